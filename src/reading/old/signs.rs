//! Signs of an old book: what only old books call a stitch.

use super::super::lex::{Kind, Token};
use super::super::words;
use crate::instructions::Terms;
use crate::source::Span;

/// Names that only Victorian books have, behind a number: "3 long", "12 plain", "1 purl".
const VICTORIAN: &[&str] = &["long", "plain", "purl", "purls", "longs", "plains"];
/// Names that are a stitch of an old book where no "crochet" or "treble" follows: "9 double".
const SHORT: &[&str] = &["double", "doubles", "single", "singles"];
/// Words that no old book has.
const MODERN: &[&str] = &[
    "hdc", "htr", "rnd", "rnds", "yo", "yoh", "yrh", "sk", "rep", "sc2tog", "dc2tog", "blo", "flo", "fpdc", "bpdc",
    "mr",
];
/// Short names that a book of full words does without.
const ABBREVIATED: &[&str] = &["ch", "chs", "dc", "sc", "tr", "sts", "sl", "single", "rep"];
/// Spellings and words of American books.
const AMERICAN: &[&str] = &["color", "colored", "skip", "gray", "center", "american"];

/// The old dialect the words are in, where they have its signs and none of today's.
pub(in crate::reading) fn decide(tokens: &[Token]) -> Option<(Terms, Span)> {
    let word = |i: usize| match tokens.get(i).map(|t| &t.kind) {
        Some(Kind::Word(w)) => w.as_str(),
        _ => "",
    };
    if (0..tokens.len()).any(|i| MODERN.contains(&word(i))) {
        return None;
    }
    let full_words = !(0..tokens.len()).any(|i| ABBREVIATED.contains(&word(i)));
    let (mut victorian, mut short, mut full, mut american) = (0, 0, 0, false);
    let mut sign = None;
    for i in 0..tokens.len() {
        american |= AMERICAN.contains(&word(i));
        let counted = i > 0
            && match &tokens[i - 1].kind {
                Kind::Number(_) => true,
                Kind::Word(w) => words::number_word(w).is_some() || matches!(w.as_str(), "a" | "another"),
                _ => false,
            };
        if !counted {
            continue;
        }
        let ends = names_a_stitch(tokens, i + 1);
        let figures = matches!(tokens[i - 1].kind, Kind::Number(_));
        // "4 treble, 3 chain" in a book without one short name is British
        let treble = full_words && figures && matches!(word(i), "treble" | "trebles") && word(i + 1) != "crochet";
        if treble {
            full += 1;
            sign.get_or_insert(tokens[i].span);
        } else if VICTORIAN.contains(&word(i)) && ends && figures {
            victorian += 1;
            sign.get_or_insert(tokens[i].span);
        } else if SHORT.contains(&word(i)) && ends {
            short += 1;
            sign.get_or_insert(tokens[i].span);
        }
    }
    let terms = match (victorian, short, american) {
        (0..=1, 0..=1, _) if full < 2 => return None,
        (0..=1, 0..=1, _) => Terms::OldUk,
        (0, _, _) => Terms::OldUs,
        (_, _, true) if victorian < short => Terms::OldUs,
        _ => Terms::OldUk,
    };
    sign.map(|sign| (terms, sign))
}

/// True where what follows a name leaves it a stitch: a mark, a place, "stitch", or another old name.
fn names_a_stitch(tokens: &[Token], at: usize) -> bool {
    match tokens.get(at).map(|t| &t.kind) {
        None | Some(Kind::Comma | Kind::Stop | Kind::Semicolon | Kind::Close(_) | Kind::Colon) => true,
        Some(Kind::Word(w)) => {
            words::INTO.contains(&w.as_str())
                || matches!(w.as_str(), "stitch" | "stitches" | "long" | "and" | "with" | "between" | "under" | "close")
        }
        _ => false,
    }
}
