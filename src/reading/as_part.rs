//! Rows of another part worked again: "work as given for Left Leg", "work rnds 1-5 same as for Head", "work from ** to **
//! as given for Back".

use super::document::Block;
use super::document::What;
use super::lex::{Kind, Token};
use super::phrase::{RowReader, Run};
use crate::instructions::{Act, Part, PartRows, Pattern, Row, RowKind, Rows, Step};
use crate::source::{Code, Problem};

/// Words of the longest name of a part that is looked for.
const LONGEST_NAME: usize = 8;

/// Rows behind the first of "from 2nd row to end", at the most.
const MOST_FROM: u32 = 500;

/// Rows that one pattern may come to by its references; beyond them the limit on rows is met in any case.
const MOST: usize = 20_000;

/// The names of parts, lower case, longest first.
pub(super) fn names(blocks: &[Block]) -> Vec<Vec<String>> {
    let mut found: Vec<Vec<String>> = blocks
        .iter()
        .filter_map(|b| match &b.what {
            What::Part(name, _) => Some(words_of(name)),
            _ => None,
        })
        .filter(|words| !words.is_empty())
        .collect();
    found.sort_by_key(|words| std::cmp::Reverse(words.len()));
    found.dedup();
    found
}

/// Parts made more than once, by the last word of their names.
pub(super) fn copies(blocks: &[Block]) -> Vec<(String, u32)> {
    let copied = |b: &Block| match &b.what {
        What::Part(name, copies) if *copies > 1 => words_of(name).pop().map(|word| (word, *copies)),
        _ => None,
    };
    blocks.iter().filter_map(copied).collect()
}

/// True for a line such as "Work from ** to ** as given for Head."
pub(super) fn begins(toks: &[Token]) -> bool {
    let word = |k: usize| match toks.get(k).map(|t| &t.kind) {
        Some(Kind::Word(w)) => w.as_str(),
        _ => "",
    };
    // "With B, work from 1st to 3rd rnds as given for Head."
    let with = matches!(word(0), "with" | "using").then(|| toks.iter().take(SOON).position(|t| t.kind == Kind::Comma));
    let first = with.flatten().map_or(0, |comma| comma + 1);
    // "Work as first motif to end of rnd 2."
    let to_row = |k: usize| matches!(word(k), "to" | "until" | "through" | "thru" | "till");
    let soon = toks.len().min(first + SOON);
    if word(first) == "work" && word(first + 1) == "as" && (first + 3..soon).any(to_row) {
        return true;
    }
    matches!(word(first), "work" | "rep" | "repeat")
        && (1..toks.len().min(SOON)).any(|k| {
            word(k) == "as" && (word(k - 1) == "same" || matches!(word(k + 1), "given" | "for") || word(k + 2) == "for")
        })
}

/// Tokens in which such a line says "as".
const SOON: usize = 14;

pub(super) fn words_of(name: &str) -> Vec<String> {
    name.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty()).map(str::to_lowercase).collect()
}

impl RowReader<'_> {
    /// The reference, where it names a part of the pattern.
    pub(super) fn as_part(&mut self, run: &mut Run) -> bool {
        if self.in_stitch_pattern(run) {
            return true;
        }
        let start = self.c.at;
        if self.depth > 0 || self.c.house.part_names.is_empty() {
            return false;
        }
        if !self.c.eat_any(&["work", "rep", "repeat", "make", "working", "crochet"]) {
            return false;
        }
        let _ = self.c.eat("all");
        let mut which = self.which_rows();
        let same = self.c.eat("the") | self.c.eat("same");
        let led = self.c.eat("as") && {
            let _ = self.c.eat_any(&["given", "worked"]);
            let _ = self.c.eat_any(&["for", "on"]);
            true
        } || which != PartRows::All && !same && self.c.eat_any(&["of", "from"]);
        let _ = led && self.c.eat("the");
        let here = self.c.at;
        let behind = if led && which == PartRows::All { self.which_rows() } else { PartRows::All };
        if behind != PartRows::All && self.c.eat_any(&["of", "from", "for", "on"]) {
            // "same as rnds 1 and 2 of First Motif"
            which = behind;
            let _ = self.c.eat("the");
        } else {
            self.c.at = here;
        }
        let Some(part) = led.then(|| self.part_name()).flatten() else {
            self.c.at = start;
            return false;
        };
        // "to Armhole Shaping": where the next part of it begins
        let here = self.c.at;
        let _ = self.c.eat_any(&["to", "until"]);
        let _ = self.c.eat("beg") && self.c.eat("of");
        let mut rows = which;
        if self.part_name().is_none() {
            // "to end of rnd 10"
            self.c.at = here;
            let to = self.c.eat("up") | self.c.eat_any(&["to", "until", "through", "till", "thru"]);
            match self.last_of_rows().filter(|_| to && rows == PartRows::All) {
                Some(last) => rows = PartRows::Numbered((1..=last).collect()),
                None => {
                    // "as given for Front from ** to **"
                    self.c.at = here;
                    match self.which_rows() {
                        marked @ PartRows::Marked { .. } if rows == PartRows::All => rows = marked,
                        _ => self.c.at = here,
                    }
                }
            }
        }
        let again = match &rows {
            PartRows::Numbered(numbers) => numbers.clone(),
            _ => Vec::new(),
        };
        self.push(run, start, Act::AsPart { part, rows });
        if !again.is_empty() {
            self.pattern_again(run, start, &again);
        }
        true
    }

    /// "rows 1-5", "1st to 3rd rnds", "from ** to ***".
    fn which_rows(&mut self) -> PartRows {
        let start = self.c.at;
        if self.c.eat("from")
            && let Some(&Kind::Star(from)) = self.c.kind(0)
        {
            self.c.at += 1;
            if self.c.eat_any(&["to", "until"])
                && let Some(&Kind::Star(to)) = self.c.kind(0)
            {
                self.c.at += 1;
                return PartRows::Marked { from, to };
            }
        }
        self.c.at = start;
        let from = self.c.eat("from");
        let here = self.c.at;
        if from
            && self.c.eat_any(&["beg", "beginning", "start"])
            && self.c.eat_any(&["to", "until", "through"])
            && let Some(last) = self.last_of_rows()
        {
            // "from beg to end of 5th rnd"
            return PartRows::Numbered((1..=last).collect());
        }
        self.c.at = here;
        if from
            && let Some(first) = self.row_numbers().and_then(|rows| rows.first().copied())
            && self.c.eat_any(&["to", "until"])
            && {
                let _ = self.c.eat("the");
                self.c.eat_any(&["end", "finish"])
            }
        {
            // "from 2nd row to end"
            return PartRows::Numbered((first..=first.saturating_add(MOST_FROM)).collect());
        }
        self.c.at = here;
        if let Some(rows) = self.row_numbers()
            && rows.iter().all(|&n| n < u32::MAX - 1000)
        {
            return PartRows::Numbered(rows);
        }
        self.c.at = start;
        PartRows::All
    }

    /// "end of 5th rnd", "and including row 5": the last row of those worked again, if it is not past all sense.
    fn last_of_rows(&mut self) -> Option<u32> {
        let _ = self.c.eat_all(&["and", "including"]);
        let _ = self.c.eat_all(&["the", "end", "of"]) || self.c.eat_all(&["end", "of"]);
        self.row_numbers()?.pop().filter(|&n| n as usize <= MOST)
    }

    pub(super) fn part_name(&mut self) -> Option<String> {
        if self.c.house.part_name_set.is_empty() {
            return None;
        }
        let mut words: Vec<String> = Vec::new();
        let mut found = None;
        while words.len() < LONGEST_NAME {
            let word = match self.c.kind(words.len()) {
                Some(Kind::Word(w)) => w.clone(),
                Some(Kind::Number(n)) => n.to_string(),
                // "1st motif"
                Some(Kind::Ordinal(n)) => crate::instructions::ordinal(*n),
                _ => break,
            };
            words.push(word);
            if self.c.house.part_name_set.contains(&words) {
                found = Some(words.clone());
            }
        }
        let found = found?;
        self.c.at += found.len();
        Some(found.join(" "))
    }
}

/// Puts the rows referred to in the place of the words that refer to them.
pub(super) fn resolve(pattern: &mut Pattern, text: &str, problems: &mut Vec<Problem>) {
    let mut total: usize = pattern.parts.iter().map(|p| p.rows.len()).sum();
    let mut named = std::collections::BTreeSet::new();
    for k in 0..pattern.parts.len() {
        let refers = |r: &Row| r.steps.iter().any(|s| matches!(s.act, Act::AsPart { .. }));
        if !pattern.parts[k].rows.iter().any(refers) {
            continue;
        }
        let mut at = 0;
        while let Some(row) = pattern.parts[k].rows.get(at) {
            let Some(i) = row.steps.iter().position(|s| matches!(s.act, Act::AsPart { .. })) else {
                at += 1;
                continue;
            };
            let step = row.steps[i].clone();
            let Act::AsPart { part, rows } = &step.act else { break };
            let source = (0..k).rev().find(|&p| words_of(&pattern.parts[p].name).join(" ") == *part);
            let fresh = at == 0 && row.steps[..i].iter().all(takes_yarn);
            // "Rows 2-5: Work same as for First Earflap"
            let own = match (rows, &row.heading.rows) {
                (PartRows::All, Rows::Numbered(numbers)) => Some(PartRows::Numbered(numbers.clone())),
                _ => None,
            };
            let of_own = own.zip(source).map(|(own, p)| chosen(&pattern.parts[p], &own, fresh, text));
            let found = of_own.filter(|rows| !rows.is_empty());
            let written_out = source.is_some_and(|p| super::stitch_patterns::is_written_out(&pattern.parts[p]));
            let mut found = found.unwrap_or_else(|| match source {
                Some(p) if written_out => super::stitch_patterns::rows_of(&pattern.parts[p], rows, at == 0),
                Some(p) => chosen(&pattern.parts[p], rows, fresh, text),
                // "Bottom edge: work as for 1st and 2nd rnds of Top edge", which the same part began with
                None if words_of(&pattern.parts[k].name).join(" ") == *part && *rows != PartRows::All => {
                    let mut above = pattern.parts[k].clone();
                    above.rows.truncate(at);
                    chosen(&above, rows, false, text)
                }
                None => Vec::new(),
            });
            if found.is_empty() || total + found.len() > MOST {
                let message = format!("there are no such rows of \"{part}\" before this");
                problems.push(Problem::new(Code::NoSuchPlace, step.span, message));
                let row = &mut pattern.parts[k].rows[at];
                row.steps.remove(i);
                continue;
            }
            if written_out {
                named.insert(source.unwrap_or_default());
                again_for_long(&mut pattern.parts[k].rows[at], i, &mut found);
            }
            total += found.len();
            let n = found.len();
            at = put(&mut pattern.parts[k].rows, at, i, found).max(at + n.min(1));
        }
        // "Fasten off." behind the rows belongs to the last of them
        let part = &mut pattern.parts[k];
        for row in std::mem::take(&mut part.rows) {
            super::document::add_row(part, row);
        }
    }
    // a stitch pattern that is written out once is worked where it is named
    for k in named {
        pattern.parts[k].rows.clear();
    }
}

/// "Work in Check Pat for 20 rows": behind the pattern's rows, what of them is worked again.
fn again_for_long(row: &mut Row, i: usize, found: &mut Vec<Row>) {
    let numbers = super::stitch_patterns::numbers(found);
    let Some(Act::RowsUntil { rows, until, own: false }) = row.steps.get_mut(i + 1).map(|s| &mut s.act) else { return };
    if rows.is_empty() {
        rows.clone_from(&numbers);
    }
    match super::stitch_patterns::rest_of(until.clone(), numbers.len()) {
        Some(rest) => *until = rest,
        None => {
            found.truncate(until.rows.unwrap_or_default() as usize);
            row.steps.remove(i + 1);
        }
    }
}

fn takes_yarn(step: &Step) -> bool {
    matches!(step.act, Act::With { .. })
}

/// Replaces step `i` of row `at` by rows; gives the index behind them.
fn put(rows: &mut Vec<Row>, at: usize, i: usize, mut found: Vec<Row>) -> usize {
    let row = rows.remove(at);
    let (mut before, mut after) = (row.clone(), row.clone());
    before.steps.truncate(i);
    before.stated.clear();
    after.steps.drain(..=i);
    if let Some(last) = found.last_mut()
        && after.steps.is_empty()
        && !row.stated.is_empty()
    {
        last.stated.clone_from(&row.stated);
    }
    if let Some(first) = found.first_mut()
        && before.steps.iter().all(takes_yarn)
        && !before.steps.is_empty()
    {
        // "with B, work as given for Head": in that yarn, not in the one of the words
        let at = first.steps.iter().take_while(|s| takes_yarn(s)).count();
        first.steps.splice(..at, std::mem::take(&mut before.steps));
    }
    let n = found.len();
    let mut all = Vec::with_capacity(n + 2);
    if !before.steps.is_empty() {
        all.push(before);
    }
    all.append(&mut found);
    let behind = at + all.len();
    if !after.steps.is_empty() {
        all.push(after);
    }
    rows.splice(at..at, all);
    behind
}

/// The rows of a part that are meant; with what they are worked on, where the part they are put into is `fresh` and they
/// begin with the first row.
fn chosen(part: &Part, which: &PartRows, fresh: bool, text: &str) -> Vec<Row> {
    let mut found: Vec<Row> = match which {
        PartRows::All => return part.rows.clone(),
        PartRows::Numbered(wanted) => part.rows.iter().filter_map(|row| numbered(row, wanted)).collect(),
        PartRows::Marked { from, to } => marked(part, *from, *to, text),
    };
    let foundation = part.rows.iter().take_while(|r| r.heading.kind == RowKind::Foundation).count();
    let begins = |row: &Row| part.rows.get(foundation).is_some_and(|first| first.span == row.span);
    if fresh && found.first().is_some_and(begins) {
        found.splice(..0, part.rows[..foundation].iter().cloned());
    }
    found
}

fn numbered(row: &Row, wanted: &[u32]) -> Option<Row> {
    let Rows::Numbered(numbers) = &row.heading.rows else { return None };
    let kept: Vec<u32> = numbers.iter().copied().filter(|n| wanted.contains(n)).collect();
    (!kept.is_empty()).then(|| {
        let mut row = row.clone();
        row.heading.rows = Rows::Numbered(kept);
        row
    })
}

fn marked(part: &Part, from: usize, to: usize, text: &str) -> Vec<Row> {
    let marks = |row: &Row, n: usize| stars(&text[row.span.start..row.span.end], n);
    let Some(first) = part.rows.iter().position(|r| marks(r, from).is_some()) else { return Vec::new() };
    let own = usize::from(from == to);
    let last = part.rows.iter().enumerate().skip(first).find(|(k, r)| {
        let found = marks(r, to);
        *k > first && found.is_some() || *k == first && found.is_some_and(|(n, _)| n > own)
    });
    let Some((last, row)) = last else { return Vec::new() };
    // a mark before the row's first word leaves the row out
    let ahead = marks(row, to).is_some_and(|(_, at)| at == 0) && last > first;
    part.rows[first..=last - usize::from(ahead)].to_vec()
}

/// How many marks of exactly so many stars words hold, and where the first is.
fn stars(words: &str, n: usize) -> Option<(usize, usize)> {
    let bytes = words.as_bytes();
    let mut found: Option<(usize, usize)> = None;
    let mut i = 0;
    while i < bytes.len() {
        let run = bytes[i..].iter().take_while(|b| **b == b'*').count();
        if run == n {
            found = Some(found.map_or((1, i), |(k, at)| (k + 1, at)));
        }
        i += run.max(1);
    }
    found
}
