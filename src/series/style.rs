//! Where the manners of a series differ: one note for each manner in each pattern that stands apart.

use super::Piece;
use super::abbreviations::defined;
use super::manners::{self, Manner};
use crate::instructions::Pattern;
use crate::source::{Code, Problem, Span};

/// The notes on each pattern of a series, in its order. A single pattern has none.
///
/// The manner of the series is that of most patterns; where as many have another, that of the first.
pub fn style(pieces: &[Piece<'_>]) -> Vec<Vec<Problem>> {
    let mut notes = vec![Vec::new(); pieces.len()];
    if pieces.len() < 2 {
        return notes;
    }
    for (what, of) in manners::ALL {
        by_manner(pieces, what, *of, &mut notes);
    }
    terms(pieces, &mut notes);
    for (what, has) in LINES {
        missing(pieces, what, *has, &mut notes);
    }
    definitions(pieces, &mut notes);
    for found in &mut notes {
        found.sort_by_key(|p| p.span);
    }
    notes
}

fn note(span: Span, message: String) -> Problem {
    Problem::new(Code::Style, span, message)
}

/// The title, for what has no place of its own.
fn top(piece: &Piece<'_>) -> Span {
    let text = piece.text;
    Span::new(0, text.find('\n').unwrap_or(text.len()))
}

/// The value that most have; of equal ones the first.
fn commonest<T: PartialEq + Clone>(values: impl Iterator<Item = T>) -> Option<(T, usize)> {
    let mut counts: Vec<(T, usize)> = Vec::new();
    for value in values {
        match counts.iter_mut().find(|(v, _)| *v == value) {
            Some((_, n)) => *n += 1,
            None => counts.push((value, 1)),
        }
    }
    // the first of equals: `max_by_key` would take the last
    counts.into_iter().rev().max_by_key(|&(_, n)| n)
}

fn by_manner(pieces: &[Piece<'_>], what: &str, of: manners::Of, notes: &mut [Vec<Problem>]) {
    let all: Vec<Vec<Manner>> = pieces.iter().map(of).collect();
    let own = |manners: &Vec<Manner>| commonest(manners.iter().map(|m| m.text.clone())).map(|(text, _)| text);
    let Some((usual, n)) = commonest(all.iter().filter_map(own)) else { return };
    let with = all.iter().filter(|m| !m.is_empty()).count();
    for (found, notes) in all.iter().zip(notes) {
        if let Some(other) = found.iter().find(|m| m.text != usual) {
            let (have, here) = (patterns(n, with), &other.text);
            notes.push(note(other.span, format!("{what} {here} here and {usual} in {have}")));
        }
    }
}

fn patterns(n: usize, of: usize) -> String {
    format!("{n} of {of} patterns")
}

fn terms(pieces: &[Piece<'_>], notes: &mut [Vec<Problem>]) {
    let Some((usual, n)) = commonest(pieces.iter().map(|p| p.tree.terms)) else { return };
    for (piece, notes) in pieces.iter().zip(notes) {
        let terms = piece.tree.terms;
        if terms != usual {
            let have = patterns(n, pieces.len());
            notes.push(note(top(piece), format!("the terms are {terms} here and {usual} in {have}")));
        }
    }
}

/// Whether a pattern has some line.
type Has = fn(&Pattern) -> bool;

/// Lines that a pattern has, or has not.
const LINES: &[(&str, Has)] = &[
    ("title", |tree| !tree.title.is_empty()),
    ("gauge", |tree| tree.gauge.is_some() || tree.gauge_of_rounds.is_some() || tells(tree, &["gauge", "tension"])),
    ("hook", |tree| tree.hook_mm.is_some() || tells(tree, &["hook", "hooks"])),
    ("yarn", |tree| !tree.yarns.is_empty() || tells(tree, &["yarn", "yarns", "materials"])),
];

/// True where a line begins with one of the words.
fn tells(tree: &Pattern, words: &[&str]) -> bool {
    tree.notes.iter().any(|note| {
        let first = note.text.split(|c: char| !c.is_alphabetic()).find(|w| !w.is_empty()).unwrap_or("");
        words.iter().any(|w| first.eq_ignore_ascii_case(w))
    })
}

fn missing(pieces: &[Piece<'_>], what: &str, has: Has, notes: &mut [Vec<Problem>]) {
    let n = pieces.iter().filter(|p| has(p.tree)).count();
    // what most do without is nobody's to miss
    if 2 * n < pieces.len() {
        return;
    }
    for (piece, notes) in pieces.iter().zip(notes).filter(|(p, _)| !has(p.tree)) {
        let verb = if n == 1 { "gives" } else { "give" };
        notes.push(note(top(piece), format!("there is no {what} here; {} {verb} one", patterns(n, pieces.len()))));
    }
}

/// One name defined in two ways: told at the later place.
fn definitions(pieces: &[Piece<'_>], notes: &mut [Vec<Problem>]) {
    let mut known: Vec<(String, String, &str)> = Vec::new();
    for (piece, notes) in pieces.iter().zip(notes) {
        for one in defined(piece) {
            match known.iter().find(|(name, ..)| *name == one.name) {
                Some((_, meaning, at)) if *meaning != one.meaning => {
                    let message = format!("\"{}\" is {} here and {meaning} in {at}", one.name, one.meaning);
                    notes.push(note(one.span, message));
                }
                Some(_) => {}
                None => known.push((one.name, one.meaning, piece.name)),
            }
        }
    }
}
