//! The report of `check` as plain data.

use super::Pattern;
use super::sizes::{RowOfSizes, rows_of_sizes};
use crate::compare::{Change, erratum};
use crate::export::json::{ProblemEntry, document};
use crate::source::SourceText;
use crate::working::Tally;
use serde::Serialize;
use std::collections::BTreeMap;

#[derive(Serialize)]
struct Body<'a> {
    patterns: Vec<PatternEntry<'a>>,
}

#[derive(Serialize)]
struct PatternEntry<'a> {
    file: &'a str,
    title: &'a str,
    terms: String,
    conventions: Conventions,
    sizes: Vec<&'a str>,
    parts: Vec<PartEntry<'a>>,
    problems: Vec<ProblemEntry<'a>>,
    /// How many problems were accepted.
    #[serde(skip_serializing_if = "is_zero")]
    accepted: usize,
    #[serde(skip_serializing_if = "Option::is_none")]
    against: Option<AgainstEntry<'a>>,
}

#[allow(clippy::trivially_copy_pass_by_ref)] // serde asks by reference
fn is_zero(n: &usize) -> bool {
    *n == 0
}

#[derive(Serialize)]
struct AgainstEntry<'a> {
    file: &'a str,
    changes: Vec<Change>,
    erratum: Vec<String>,
}

#[derive(Serialize)]
struct Conventions {
    turning_chain_counts: BTreeMap<String, bool>,
    repeat_n: &'static str,
    slip_stitches_count: bool,
    chains_count: bool,
}

#[derive(Serialize)]
struct PartEntry<'a> {
    name: &'a str,
    copies: u32,
    rows: Vec<RowEntry<'a>>,
}

#[derive(Serialize)]
struct RowEntry<'a> {
    label: &'a str,
    line: usize,
    side: Option<&'static str>,
    read: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    chains: Option<usize>,
    offered: Option<usize>,
    used: Option<usize>,
    passed: Option<usize>,
    left: Option<usize>,
    made: usize,
    stated: Vec<StatedEntry>,
    kinds: &'a BTreeMap<String, usize>,
    spaces: &'a BTreeMap<String, usize>,
    groups: &'a BTreeMap<String, usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    by_size: Option<Vec<Option<SizeEntry>>>,
}

/// A row in one size.
#[derive(Serialize)]
struct SizeEntry {
    #[serde(skip_serializing_if = "Option::is_none")]
    chains: Option<usize>,
    offered: Option<usize>,
    used: Option<usize>,
    made: usize,
    stated: Vec<StatedEntry>,
}

#[derive(Serialize)]
struct StatedEntry {
    count: u32,
    of: String,
    agrees: bool,
}

/// The report of `check --format json` over patterns, each with the name of its file.
pub fn check_document(patterns: &[(String, Pattern)]) -> String {
    check_document_against(patterns, &[])
}

/// The same, each pattern held against an earlier edition where one stands at its place.
pub fn check_document_against(patterns: &[(String, Pattern)], earlier: &[Option<(String, Pattern)>]) -> String {
    let sources: Vec<SourceText<'_>> = patterns.iter().map(|(_, p)| SourceText::new(p.text())).collect();
    let mut entries = Vec::with_capacity(patterns.len());
    for (k, (file, pattern)) in patterns.iter().enumerate() {
        let mut told = entry(file, pattern, &sources[k]);
        told.against = earlier.get(k).and_then(Option::as_ref).map(|(file, old)| {
            let changes = pattern.against(old);
            AgainstEntry { file, erratum: erratum(&changes), changes }
        });
        entries.push(told);
    }
    document(Body { patterns: entries })
}

fn entry<'a>(file: &'a str, pattern: &'a Pattern, source: &SourceText<'_>) -> PatternEntry<'a> {
    let tree = pattern.tree();
    let worked = pattern.worked();
    let rows = rows_of_sizes(pattern);
    let parts = tree
        .parts
        .iter()
        .enumerate()
        .map(|(i, part)| PartEntry {
            name: &part.name,
            copies: part.copies,
            rows: rows.iter().filter(|r| r.first().part == i).map(|r| row(r, source, pattern)).collect(),
        })
        .collect();
    PatternEntry {
        file,
        title: &tree.title,
        terms: tree.terms.to_string(),
        conventions: Conventions {
            turning_chain_counts: turning(&worked.tallies),
            repeat_n: if tree.assumed.repeat_more == Some(false) { "total" } else { "more" },
            slip_stitches_count: worked.slip_stitches_count,
            chains_count: worked.chains_count,
        },
        sizes: match tree.sizes.as_slice() {
            [] => vec!["one"],
            names => names.iter().map(String::as_str).collect(),
        },
        parts,
        problems: pattern.problems().iter().map(|p| ProblemEntry::new(p, source)).collect(),
        accepted: pattern.accepted_count(),
        against: None,
    }
}

/// By stem, whether the turning chain counted; the last row that has one tells.
fn turning(tallies: &[Tally]) -> BTreeMap<String, bool> {
    tallies.iter().filter_map(|t| Some((t.turning_stem?.to_string(), t.turning_counts?))).collect()
}

fn row<'a>(row: &RowOfSizes<'a>, source: &SourceText<'_>, pattern: &Pattern) -> RowEntry<'a> {
    let tally = row.first();
    let foundation = tally.chains.is_some();
    RowEntry {
        label: &tally.label,
        line: source.position(tally.span.start).line,
        side: tally.side.map(|s| s.as_str()),
        read: tally.read,
        chains: tally.chains,
        offered: tally.offered,
        used: tally.used,
        passed: (!foundation).then_some(tally.passed),
        left: (!foundation).then_some(tally.left),
        made: tally.made,
        stated: stated(tally),
        kinds: &tally.kinds,
        spaces: &tally.spaces,
        groups: &tally.groups,
        by_size: pattern.is_of_all_sizes().then(|| row.tallies.iter().map(|t| t.map(size)).collect()),
    }
}

fn size(tally: &Tally) -> SizeEntry {
    SizeEntry {
        chains: tally.chains,
        offered: tally.offered,
        used: tally.used,
        made: tally.made,
        stated: stated(tally),
    }
}

fn stated(tally: &Tally) -> Vec<StatedEntry> {
    tally.stated.iter().map(|s| StatedEntry { count: s.count, of: s.of.name(), agrees: tally.agrees_with(s) }).collect()
}
