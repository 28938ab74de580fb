//! Two editions of one pattern: which rows and counts changed, and the erratum as the trade prints it.
//!
//! The way through the room: `rows` takes the published rows out of an edition, `align` finds which belong together,
//! `words` finds the least difference of their words, `erratum` says it.

mod align;
mod erratum;
mod rows;
mod words;

pub use words::Difference;

use crate::instructions::Pattern;
use crate::source::{SourceText, Span};
use crate::working::Worked;
use rows::Line;
use serde::Serialize;

/// A pattern as it was published: its text, and what was read and worked of it.
#[derive(Clone, Copy, Debug)]
pub struct Edition<'a> {
    /// The text as read.
    pub text: &'a str,
    /// The instruction tree.
    pub tree: &'a Pattern,
    /// The rows as worked.
    pub worked: &'a Worked,
}

/// What became of a row or line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum What {
    /// Its words, or what it states, are others.
    Changed,
    /// Its words stand, and it makes another count, because of what changed below it.
    Count,
    /// It is new.
    Added,
    /// It is no longer there.
    Removed,
    /// Only its number changed.
    Renumbered,
}

/// A count that is another, of stitches, a kind, a space or a group.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct CountChange {
    /// What is counted: `sts`, `dc`, `ch-2`.
    pub of: String,
    /// The count now; none where it is no longer stated.
    pub count: Option<u32>,
    /// The count before; none where it was not stated.
    pub was: Option<u32>,
}

/// One row or line of which something changed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Change {
    /// What became of it.
    pub change: What,
    /// The part it is of; none for a line that is no work.
    pub part: Option<String>,
    /// Its label in the new edition.
    pub label: Option<String>,
    /// Its label in the old one.
    pub was: Option<String>,
    /// Its line in the new edition.
    pub line: Option<usize>,
    /// Its line in the old one.
    pub line_was: Option<usize>,
    /// Where it stands in the new edition.
    pub span: Option<Span>,
    /// Where it stood in the old one.
    pub span_was: Option<Span>,
    /// The words that differ.
    pub differences: Vec<Difference>,
    /// The counts stated that differ.
    pub stated: Vec<CountChange>,
    /// Stitches made now, and before, by the last row it covers.
    pub made: Option<usize>,
    /// Stitches made before.
    pub made_was: Option<usize>,
    /// What is to be printed.
    pub erratum: String,
}

/// Compares a new edition with the one before it: every change, in the order of the text.
///
/// Rows are held together by their words and their numbers, so that a row put in renumbers those behind it and no more.
pub fn compare(new: &Edition<'_>, old: &Edition<'_>) -> Vec<Change> {
    let (new_source, old_source) = (SourceText::new(new.text), SourceText::new(old.text));
    let places = Places { new: &new_source, old: &old_source };
    let mut changes = Vec::new();
    // what stands before the rows: title, yarns, gauge, notes, special stitches
    changes.extend(lines_changed(&rows::prose(new), &rows::prose(old), None, &places));
    let (new_parts, old_parts) = (rows::parts(new), rows::parts(old));
    let several = new_parts.len().max(old_parts.len()) > 1;
    for (new_part, old_part) in paired(&new_parts, &old_parts) {
        let name = new_part.or(old_part).map(|p| p.name.as_str());
        let lines = |part: Option<&'_ rows::PartLines>| part.map(|p| p.lines.clone()).unwrap_or_default();
        let mut found = lines_changed(&lines(new_part), &lines(old_part), name, &places);
        if several && let Some(name) = name {
            found.iter_mut().for_each(|c| c.erratum = format!("{name}, {}", c.erratum));
        }
        changes.extend(found);
    }
    changes
}

/// The lines of an erratum: every change, rows that are only renumbered in runs.
pub fn erratum(changes: &[Change]) -> Vec<String> {
    erratum::lines(changes)
}

struct Places<'a> {
    new: &'a SourceText<'a>,
    old: &'a SourceText<'a>,
}

/// Parts of two editions by name, in the order of the new one; those without a partner are paired in their order.
fn paired<'a>(
    new: &'a [rows::PartLines],
    old: &'a [rows::PartLines],
) -> Vec<(Option<&'a rows::PartLines>, Option<&'a rows::PartLines>)> {
    let mut left: Vec<&rows::PartLines> = old.iter().collect();
    let mut pairs: Vec<(Option<&rows::PartLines>, Option<&rows::PartLines>)> = Vec::new();
    for part in new {
        let at = left.iter().position(|o| o.name.eq_ignore_ascii_case(&part.name));
        pairs.push((Some(part), at.map(|k| left.remove(k))));
    }
    let mut left = left.into_iter();
    for pair in pairs.iter_mut().filter(|p| p.1.is_none()) {
        pair.1 = left.next();
    }
    pairs.extend(left.map(|part| (None, Some(part))));
    pairs
}

fn lines_changed(new: &[Line], old: &[Line], part: Option<&str>, places: &Places<'_>) -> Vec<Change> {
    let mut changes = Vec::new();
    let mut before: Option<&Line> = None;
    for (o, n) in align::rows(old, new) {
        let (o, n) = (o.map(|k| &old[k]), n.map(|k| &new[k]));
        changes.extend(change(n, o, before, part, places));
        before = n.or(before);
    }
    changes
}

fn change(
    new: Option<&Line>,
    old: Option<&Line>,
    before: Option<&Line>,
    part: Option<&str>,
    places: &Places<'_>,
) -> Option<Change> {
    let differences = match (new, old) {
        (Some(n), Some(o)) => words::differences(&o.words, &n.words),
        _ => Vec::new(),
    };
    let stated = match (new, old) {
        (Some(n), Some(o)) => counts(n, o),
        _ => Vec::new(),
    };
    let what = match (new, old) {
        (Some(_), None) => What::Added,
        (None, Some(_)) => What::Removed,
        (Some(_), Some(_)) if !differences.is_empty() || !stated.is_empty() => What::Changed,
        (Some(n), Some(o)) if n.label != o.label && n.work => What::Renumbered,
        (Some(n), Some(o)) if n.made != o.made => What::Count,
        _ => return None,
    };
    let (span, span_was) = (new.map(|l| l.span), old.map(|l| l.span));
    let mut change = Change {
        change: what,
        part: part.map(str::to_owned),
        label: new.map(|l| l.label.clone()),
        was: old.map(|l| l.label.clone()),
        line: span.map(|s| places.new.position(s.start).line),
        line_was: span_was.map(|s| places.old.position(s.start).line),
        span,
        span_was,
        differences,
        stated,
        made: new.and_then(|l| l.made),
        made_was: old.and_then(|l| l.made),
        erratum: String::new(),
    };
    change.erratum = erratum::of(&change, new, old, before);
    Some(change)
}

/// Counts stated that differ, by what they count.
fn counts(new: &Line, old: &Line) -> Vec<CountChange> {
    let of = |line: &Line, name: &str| line.stated.iter().find(|(of, _)| of == name).map(|&(_, n)| n);
    let mut names: Vec<&String> = new.stated.iter().map(|(of, _)| of).collect();
    names.extend(old.stated.iter().map(|(of, _)| of).filter(|of| !new.stated.iter().any(|(n, _)| n == *of)));
    let all = names.into_iter().map(|name| CountChange { of: name.clone(), count: of(new, name), was: of(old, name) });
    all.filter(|c| c.count != c.was).collect()
}
