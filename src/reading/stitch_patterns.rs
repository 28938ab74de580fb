//! Stitch patterns that are written out once and then worked by their name: "Check Pat (multiple of 6 + 3)" with its rows,
//! and further down "work in Check Pat until piece measures 8 in", "rep rows 1 and 2 of Check Pat 6 times".

use super::as_part::words_of;
use super::document::{Block, What};
use super::lex::{Kind, Token};
use super::phrase::{RowReader, Run};
use crate::instructions::{Act, Part, PartRows, Row, RowKind, Rows, Step, Until};

/// How such a pattern's name ends.
const NAMES: &[&str] = &["pat", "patt", "pattern", "stitch", "st"];

/// Words of the longest name.
const MOST_WORDS: usize = 5;

/// "Check Pat", "SHELL STITCH PATTERN", "Moss Stitch (multiple of 2 + 1)": the name of a stitch pattern, without what is
/// said of its stitches in brackets.
pub(super) fn name_of_heading(line: &str) -> Option<&str> {
    let bare = line.trim_matches(['#', '*', ' ', '.']).trim_end_matches(':').trim();
    let (name, said) = bare.split_once(['(', '[']).map_or((bare, ""), |(name, said)| (name.trim(), said));
    let multiple =
        said.is_empty() || said.to_lowercase().contains("multiple") || said.to_lowercase().contains("number");
    let words: Vec<&str> = name.split_whitespace().collect();
    let capitals = words.iter().all(|w| w.len() < 3 || w.starts_with(char::is_uppercase));
    let last = words.last()?.to_lowercase();
    // "Special Stitch", "Abbreviations and Pattern Stitch" head what is told of stitches
    let section = words.first().is_some_and(|w| super::preamble::SECTIONS.contains(&w.to_lowercase().as_str()));
    let plain = name.chars().all(|c| c.is_alphabetic() || matches!(c, ' ' | '-' | '\'' | '’' | '&'));
    (multiple
        && plain
        && capitals
        && !section
        && (2..=MOST_WORDS).contains(&words.len())
        && NAMES.contains(&last.as_str()))
    .then_some(name)
}

/// The names of the stitch patterns among the parts, word by word.
pub(super) fn names(blocks: &[Block]) -> Vec<Vec<String>> {
    let named = blocks.windows(2).filter_map(|pair| match (&pair[0].what, &pair[1].what) {
        (What::Part(name, 1), What::Row) => name_of_heading(name).map(words_of),
        (What::Part(name, 1), What::Prose) => name_of_heading(name).map(words_of),
        _ => None,
    });
    named.collect()
}

/// True for a part that only writes a stitch pattern out: nothing tells what its rows are worked on.
pub(super) fn is_written_out(part: &Part) -> bool {
    let chain = |row: &Row| row.heading.kind == RowKind::Foundation;
    name_of_heading(&part.name).is_some() && !part.rows.iter().any(chain)
}

/// The rows that are worked where the pattern is named: those with numbers of their own.
pub(super) fn rows_of(part: &Part, which: &PartRows, first: bool) -> Vec<Row> {
    let told = |row: &&Row| match (&row.heading.rows, which) {
        (Rows::Numbered(own), PartRows::Numbered(wanted)) => own.iter().any(|n| wanted.contains(n)),
        (Rows::Numbered(_), _) => true,
        _ => false,
    };
    let mut found: Vec<Row> = part.rows.iter().filter(told).cloned().collect();
    if !first {
        // which side faces, the rows before it say
        found.iter_mut().for_each(|row| row.heading.right_side = None);
    }
    found
}

/// The numbers of rows, one after another.
pub(super) fn numbers(rows: &[Row]) -> Vec<u32> {
    let told = |row: &Row| match &row.heading.rows {
        Rows::Numbered(numbers) => numbers.clone(),
        _ => Vec::new(),
    };
    rows.iter().flat_map(told).collect()
}

/// "Work in Check Pat until piece measures 8 in", "Work Rows 1 and 2 of Wave Stitch 4 times": a line that works such a
/// pattern, or looks like one that does.
pub(super) fn begins(toks: &[Token]) -> bool {
    const SOON: usize = 10;
    let word = |k: usize| match toks.get(k).map(|t| &t.kind) {
        Some(Kind::Word(w)) => w.as_str(),
        _ => "",
    };
    if !matches!(word(0), "work" | "cont" | "continue" | "working") {
        return false;
    }
    let led = (1..4).any(|k| word(k) == "in") || (3..SOON).any(|k| word(k) == "of");
    let ends = |k: usize| {
        matches!(word(k), "until" | "for" | "till")
            || matches!(toks.get(k).map(|t| &t.kind), None | Some(Kind::Stop | Kind::Number(_)))
    };
    led && (2..SOON).any(|k| NAMES.contains(&word(k)) && ends(k + 1))
}

impl RowReader<'_> {
    /// "Work in Check Pat until piece measures 8 in", "work even in pattern stitch for 20 rows": the pattern's rows, and
    /// those again.
    pub(super) fn in_stitch_pattern(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        if self.depth > 0 || self.c.house.stitch_patterns.is_empty() || !run.steps.is_empty() {
            return false;
        }
        if !self.c.eat_any(&["work", "cont", "continue", "working"]) {
            return false;
        }
        let _ = self.c.eat_any(&["even", "straight", "evenly"]);
        if !self.c.eat("in") {
            self.c.at = start;
            return false;
        }
        let _ = self.c.eat("the");
        let Some(part) = self.pattern_name() else {
            self.c.at = start;
            return false;
        };
        self.push(run, start, Act::AsPart { part, rows: PartRows::All });
        self.pattern_again(run, start, &[]);
        if self.c.at_break() {
            return true;
        }
        run.steps.clear();
        self.c.at = start;
        false
    }

    /// Behind a stitch pattern's rows: "until piece measures 8 in", "6 times".
    pub(super) fn pattern_again(&mut self, run: &mut Run, start: usize, rows: &[u32]) {
        let here = self.c.at;
        if let Some((times, _)) = self.c.times().filter(|_| !rows.is_empty()) {
            let again = rows.repeat((times as usize).saturating_sub(1).min(1000));
            if !again.is_empty() {
                self.push(run, start, Act::AsRow { rows: again });
            }
            return;
        }
        self.c.at = here;
        if let Some(until) = self.until_clause(start) {
            self.push(run, start, Act::RowsUntil { rows: rows.to_vec(), until, own: false });
        }
    }

    /// A stitch pattern by its name, or "pattern" where there is one.
    fn pattern_name(&mut self) -> Option<String> {
        let patterns = &self.c.house.stitch_patterns;
        let sees = |words: &Vec<String>| {
            words.iter().enumerate().all(|(i, w)| {
                let have = self.c.word(i).unwrap_or_default();
                have == w || NAMES.contains(&have) && NAMES.contains(&w.as_str())
            })
        };
        if let Some(words) = patterns.iter().find(|words| sees(words)) {
            self.c.at += words.len();
            return Some(words.join(" "));
        }
        let generic = self.c.eat_any(&["pat", "patt", "pattern"]) && {
            let _ = self.c.eat_any(&["stitch", "st"]);
            true
        } || self.c.eat("stitch") && self.c.eat_any(&["pat", "patt", "pattern"]);
        let established = matches!(self.c.word(0), Some("as"));
        match patterns.as_slice() {
            [only] if generic && !established && !self.c.house.pattern_used => Some(only.join(" ")),
            _ => None,
        }
    }
}

/// Keeps the numbers of the rows that a line works again, where they are several: they are the pattern from then on.
pub(super) fn remember(steps: &[Step], pattern: &mut Vec<u32>) {
    for step in steps {
        let (Act::AsRow { rows } | Act::RowsUntil { rows, .. }) = &step.act else { continue };
        let mut once: Vec<u32> = rows.iter().copied().take_while(|&n| n < u32::MAX - 1000).collect();
        once.sort_unstable();
        once.dedup();
        if once.len() > 1 && once.len() <= LONGEST {
            *pattern = once;
        }
    }
}

/// Rows of the longest pattern that is worked on in another yarn without its numbers being told.
const LONGEST: usize = 100;

/// True for a row that takes up a yarn and says no more.
pub(super) fn only_takes_yarn(steps: &[Step]) -> bool {
    let takes = |s: &Step| matches!(s.act, Act::With { .. });
    let ends = |s: &Step| matches!(s.act, Act::FastenOff { .. } | Act::Turn);
    steps.iter().any(takes) && steps.iter().all(|s| takes(s) || ends(s))
}

/// What is left of "for 20 rows" when the pattern's rows have been worked once; none where they are all.
pub(super) fn rest_of(until: Until, worked: usize) -> Option<Until> {
    match until.rows {
        Some(n) if n as usize <= worked => None,
        Some(n) => Some(Until { rows: Some(n - worked as u32), ..until }),
        None => Some(until),
    }
}

#[cfg(test)]
mod tests {
    use super::name_of_heading;

    #[test]
    fn headings_of_stitch_patterns_are_told_from_sections_and_sentences() {
        assert_eq!(name_of_heading("Check Pat (multiple of 6 sts + 3)"), Some("Check Pat"));
        assert_eq!(name_of_heading("MOSS STITCH PATTERN:"), Some("MOSS STITCH PATTERN"));
        assert_eq!(name_of_heading("Special Stitch"), None);
        assert_eq!(name_of_heading("Work in pattern"), None);
        assert_eq!(name_of_heading("Leaf"), None);
    }
}
