//! Rows called by a name: "Dec Row: …", "Row 3 (inc row): …", and worked again by it: "rep dec row twice more".

use super::cursor::{Cursor, House};
use super::lex::{Kind, Token};
use super::words;
use crate::instructions::{AS_NAMED, RowKind, RowName, Rows};

/// Words that do not name a row, but say which one it is or what is done there.
const NO_NAME: &[&str] = &[
    "next",
    "last",
    "first",
    "this",
    "that",
    "these",
    "each",
    "every",
    "rep",
    "repeat",
    "repeating",
    "work",
    "working",
    "all",
    "even",
    "odd",
    "previous",
    "prev",
    "following",
    "foll",
    "alternate",
    "alt",
    "same",
    "both",
    "other",
    "rs",
    "ws",
    "right",
    "wrong",
    "side",
    "as",
    "for",
    "of",
    "to",
    "in",
    "on",
    "at",
    "from",
    "until",
    "end",
    "beg",
    "beginning",
    "the",
    "a",
    "with",
    "between",
    "and",
    "or",
    "per",
    "total",
    "gauge",
    "into",
    "along",
    "by",
    "after",
    "before",
    "over",
    "through",
    "remaining",
    "rem",
    "above",
    "below",
    "current",
    "new",
    "any",
    "your",
    "second",
    "third",
    "fourth",
    "final",
    "one",
    "two",
    "three",
    "four",
    "half",
    "ch",
    "turn",
    "join",
    "than",
    "is",
];
/// Most words of a name, without "row".
const MOST_WORDS: usize = 3;
/// Most names one pattern may have.
const MOST_NAMES: usize = 200;

/// The names rows are called by in a pattern, in order and each once.
pub(super) fn collect(text: &str, toks: &[Token]) -> Vec<String> {
    let mut found = std::collections::BTreeSet::new();
    for at in (0..toks.len()).filter(|&k| is_row_word(&toks[k])) {
        if found.len() < MOST_NAMES
            && let Some((name, from)) = name_before(toks, at)
        {
            let (end, numbered, _) = with_number(toks, at, &name);
            if names_a_heading(text, toks, from, end) {
                found.insert(numbered);
            }
        }
    }
    found.into_iter().collect()
}

/// The name that a heading gives its row: the words in front of "row", or in its bracket.
pub(super) fn of_heading(text: &str, toks: &[Token], house: &House) -> Option<RowName> {
    let at = (0..toks.len()).rev().find(|&k| is_row_word(&toks[k]) && name_before(toks, k).is_some())?;
    let (name, from) = name_before(toks, at)?;
    let (end, name, _) = with_number(toks, at, &name);
    let index = house.row_names.iter().position(|n| *n == name)?;
    let words = text[toks[from].span.start..toks[end].span.end].to_lowercase();
    Some(RowName { index: index as u32, words })
}

/// "Dec Row:", "Joining Rnd (RS):" in front of a row's words, where no number tells which row it is.
pub(super) fn heading(c: &mut Cursor<'_>) -> Option<(RowKind, Rows)> {
    let start = c.at;
    let at = (start..=start + MOST_WORDS).find(|&k| c.tokens.get(k).is_some_and(is_row_word))?;
    let (name, from) = name_before(c.tokens, at)?;
    let (end, name, rows) = with_number(c.tokens, at, &name);
    if from != start || !colon_behind(c.tokens, end) || !c.house.row_names.contains(&name) {
        return None;
    }
    let round = matches!(&c.tokens[at].kind, Kind::Word(w) if words::ROUND.contains(&w.as_str()));
    c.at = end + 1;
    Some((if round { RowKind::Round } else { RowKind::Row }, Rows::Next(rows)))
}

impl Cursor<'_> {
    /// "dec row", "the increase rnd": a row by its name, as it stands among the numbers of rows worked again.
    pub(super) fn row_by_name(&mut self) -> Option<u32> {
        if self.house.row_names.is_empty() {
            return None;
        }
        let start = self.at;
        let _ = self.eat("the");
        let at = (self.at..=self.at + MOST_WORDS).find(|&k| self.tokens.get(k).is_some_and(is_row_word));
        let found = at.and_then(|at| {
            let (name, from) = name_before(self.tokens, at)?;
            let index = |name: &String| self.house.row_names.iter().position(|n| n == name);
            let (end, numbered, _) = with_number(self.tokens, at, &name);
            // "rep inc row 3" or "rep inc row 3 times": the one there is
            let (end, index) = match index(&numbered) {
                Some(index) => (end, index),
                None => (at, index(&name)?),
            };
            (from == self.at).then(|| {
                self.at = end + 1;
                AS_NAMED + index as u32
            })
        });
        if found.is_none() {
            self.at = start;
        }
        found
    }
}

fn is_row_word(token: &Token) -> bool {
    matches!(&token.kind, Kind::Word(w) if words::ROW.contains(&w.as_str()) || words::ROUND.contains(&w.as_str()))
}

/// The name that ends at the word for a row, as it is compared, and where it begins.
fn name_before(toks: &[Token], at: usize) -> Option<(String, usize)> {
    let mut from = at;
    let mut name = String::new();
    while from > 0 && at - from < MOST_WORDS {
        let Kind::Word(word) = &toks[from - 1].kind else { break };
        if NO_NAME.contains(&word.as_str()) || words::number_word(word).is_some() || is_row_word(&toks[from - 1]) {
            break;
        }
        from -= 1;
        let word = match word.as_str() {
            "decrease" | "decreases" | "decreasing" => "dec",
            "increase" | "increases" | "increasing" => "inc",
            word => word,
        };
        name = if name.is_empty() { word.to_owned() } else { format!("{word} {name}") };
    }
    (from < at).then_some((name, from))
}

/// "Inc Row 3", "Dec Rnds 4-6": the last token of the number behind the word for a row, the name with the last number, and
/// how many rows it names.
fn with_number(toks: &[Token], at: usize, name: &str) -> (usize, String, u32) {
    let number = |k: usize| match toks.get(k).map(|t| &t.kind) {
        Some(&Kind::Number(n)) => Some(n),
        _ => None,
    };
    let Some(first) = number(at + 1) else { return (at, name.to_owned(), 1) };
    let range = match toks.get(at + 2).map(|t| &t.kind) {
        Some(Kind::Dash) => true,
        Some(Kind::Word(w)) => w == "to",
        _ => false,
    };
    match number(at + 3).filter(|&last| range && last > first && last - first < MOST_NUMBERED) {
        Some(last) => (at + 3, format!("{name} {last}"), last - first + 1),
        None => (at + 1, format!("{name} {first}"), 1),
    }
}

/// Rows of the longest range under one name.
const MOST_NUMBERED: u32 = 200;

/// True where the name stands in front of a colon at the start of a line or sentence, or alone in a bracket.
fn names_a_heading(text: &str, toks: &[Token], from: usize, at: usize) -> bool {
    let kind = |k: usize| toks.get(k).map(|t| &t.kind);
    let begins = match from.checked_sub(1).and_then(kind) {
        None | Some(Kind::Stop) => true,
        Some(Kind::Open(_)) => {
            return matches!(kind(at + 1), Some(Kind::Close(_) | Kind::Comma));
        }
        // "(RS, dec row)"
        Some(Kind::Comma) if matches!(kind(at + 1), Some(Kind::Close(_))) => return true,
        // "Row 3, dec row:"
        Some(Kind::Comma | Kind::Dash) if matches!(from.checked_sub(2).and_then(kind), Some(Kind::Number(_))) => true,
        Some(_) => text[toks[from - 1].span.end..toks[from].span.start].contains('\n'),
    };
    begins && colon_behind(toks, at)
}

/// True where a colon stands behind the word for a row, or behind a short bracket that follows it.
fn colon_behind(toks: &[Token], at: usize) -> bool {
    let kind = |k: usize| toks.get(k).map(|t| &t.kind);
    match kind(at + 1) {
        Some(Kind::Colon) => true,
        Some(Kind::Open(_)) => (at + 2..at + 7)
            .any(|k| matches!(kind(k), Some(Kind::Close(_))) && matches!(kind(k + 1), Some(Kind::Colon))),
        _ => false,
    }
}
