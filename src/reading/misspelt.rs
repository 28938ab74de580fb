//! Slips of the pen in everyday words: "in each ch acros", "rep form * to end", "in nex 2 sc".
//!
//! Only words that no rule took are looked at, and only everyday ones: a stitch that is misspelt is never guessed.

use super::coined::Words;
use super::cursor::House;
use super::lex::{Kind, Token};
use crate::source::{Code, Problem, Span};

/// The row's words with the slips put right that make more of them understood; each is pointed at.
///
/// `read_again` reads the words of the row as they stand in the tokens it is given.
pub(super) fn put_right(
    toks: &[Token],
    house: &House,
    mut words: Words,
    mut read_again: impl FnMut(&[Token]) -> Words,
) -> Words {
    let mut toks = toks.to_vec();
    let mut told = Vec::new();
    let mut tried = 0;
    while let Some(problem) = words.problems.get(tried).filter(|_| told.len() < MOST_SLIPS && tried < MOST_PLACES) {
        let slips = slips_within(&toks, house, problem.span);
        let before: Vec<Kind> = slips.iter().map(|&(at, _)| toks[at].kind.clone()).collect();
        for &(at, near) in &slips {
            toks[at].kind = Kind::Word(near.to_owned());
        }
        let again = (!slips.is_empty()).then(|| read_again(&toks));
        let Some(again) = again.filter(|w| w.read || not_understood(w) < not_understood(&words)) else {
            for (&(at, _), kind) in slips.iter().zip(before) {
                toks[at].kind = kind;
            }
            tried += 1;
            continue;
        };
        words = again;
        for ((at, near), kind) in slips.into_iter().zip(before) {
            let Kind::Word(written) = kind else { continue };
            let message = format!("\"{written}\" is taken as \"{near}\"");
            let problem = Problem::new(Code::MisspeltWord, toks[at].span, message);
            told.push(problem.with_hint(format!("write \"{near}\"")));
        }
    }
    told.append(&mut words.problems);
    words.problems = told;
    words
}

/// How much of a row was not understood, in bytes.
fn not_understood(words: &Words) -> usize {
    words.problems.iter().map(|p| p.span.end - p.span.start).sum()
}

/// The words within `span` that are slips of one everyday word and of no other, by their tokens.
fn slips_within(toks: &[Token], house: &House, span: Span) -> Vec<(usize, &'static str)> {
    // tokens stand in the order of the text
    let first = toks.partition_point(|t| t.span.start < span.start);
    let here = toks[first..].iter().take_while(|t| span.holds(t.span)).take(MOST_WORDS);
    here.enumerate()
        .filter_map(|(k, token)| match &token.kind {
            Kind::Word(word) => Some((first + k, meant(word, house)?)),
            _ => None,
        })
        .collect()
}

/// The everyday word that `word` is a slip of.
fn meant(word: &str, house: &House) -> Option<&'static str> {
    if let Some((_, near)) = TAKEN_FOR.iter().find(|(have, _)| *have == word) {
        return Some(near);
    }
    let letters = word.chars().count();
    if !(SHORTEST..=LONGEST).contains(&letters) || house.knows(word) {
        return None;
    }
    let mut near = EVERYDAY
        .iter()
        // two words are at least as far apart as their lengths
        .filter(|name| name.len().abs_diff(letters) <= slips_of(name))
        .map(|name| (strsim::osa_distance(word, name), *name))
        .filter(|&(d, name)| d <= slips_of(name))
        .collect::<Vec<_>>();
    near.sort_unstable();
    match near.as_slice() {
        [(_, only)] => Some(only),
        [(d, first), (next, _), ..] if d < next => Some(first),
        _ => None,
    }
}

/// Letters by which a long word may be written wrong, and a short one.
const fn slips_of(word: &str) -> usize {
    if word.len() >= 8 { 2 } else { 1 }
}

/// Words of everyday instructions that are written out, and name no stitch.
const EVERYDAY: &[&str] = &[
    "across",
    "and",
    "around",
    "back",
    "beginning",
    "between",
    "border",
    "bottom",
    "center",
    "centre",
    "chain",
    "chains",
    "change",
    "color",
    "colour",
    "corner",
    "corners",
    "each",
    "edge",
    "ending",
    "every",
    "facing",
    "fasten",
    "first",
    "following",
    "foundation",
    "from",
    "front",
    "hook",
    "into",
    "join",
    "joining",
    "last",
    "leaving",
    "loop",
    "loops",
    "marked",
    "marker",
    "middle",
    "more",
    "next",
    "once",
    "opposite",
    "other",
    "over",
    "place",
    "previous",
    "remaining",
    "repeat",
    "right",
    "ring",
    "rotate",
    "round",
    "rounds",
    "rows",
    "same",
    "second",
    "side",
    "skip",
    "skipped",
    "skipping",
    "slip",
    "space",
    "spaces",
    "starting",
    "stitch",
    "stitches",
    "the",
    "third",
    "through",
    "throughout",
    "times",
    "together",
    "turn",
    "turning",
    "twice",
    "unworked",
    "using",
    "where",
    "with",
    "work",
    "working",
    "wrong",
    "yarn",
];

/// Words that are a slip for another though they are words themselves.
const TAKEN_FOR: &[(&str, &str)] = &[("form", "from"), ("fist", "first"), ("though", "through"), ("sane", "same")];

/// Slips put right in one row; a row with more is not written in everyday words.
const MOST_SLIPS: usize = 6;
/// Places looked at in one row.
const MOST_PLACES: usize = 4;
/// Words looked at in one place that was not understood.
const MOST_WORDS: usize = 40;
/// Letters of the shortest word that is held against the everyday ones, and of the longest.
const SHORTEST: usize = 3;
const LONGEST: usize = 24;
