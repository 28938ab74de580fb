//! The names of stitches in a text, wherever they stand: for whoever says the same words in the other dialect.

use super::lex::{Kind, tokens};
use super::words;
use crate::craft::Stem;
use crate::instructions::Terms;
use crate::source::Span;

/// A stitch named in words.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Named {
    /// The name, without what is written on to it: of `fpdc2tog`, the `dc`.
    pub span: Span,
    /// What it is.
    pub stem: Stem,
    /// True for a name in full, false for an abbreviation.
    pub in_full: bool,
}

/// What is written before a name without a space.
const BEFORE: &[&str] = &["fp", "bp", "fl", "bl", "rev", "ex", "e", "x", "f"];
/// Words that only names in full have.
const FULL: &[&str] = &["crochet", "treble", "double", "triple", "half", "slip"];

/// Every modern name of a stitch in the text, in its order. The books of before 1920 have names of their own, which
/// nothing here knows: of them none is found.
pub fn stitches_named(text: &str, terms: Terms) -> Vec<Named> {
    if terms.is_old() {
        return Vec::new();
    }
    let tokens = tokens(text, 0);
    let word = |k: usize| match tokens.get(k).map(|t| &t.kind) {
        Some(Kind::Word(w)) => Some(w.as_str()),
        _ => None,
    };
    let mut found = Vec::new();
    let mut k = 0;
    while k < tokens.len() {
        let Some(first) = word(k) else {
            k += 1;
            continue;
        };
        let start = tokens[k].span.start;
        let whole = words::STITCHES_BY_LETTER.begun_by(first).iter().find(|name| {
            let last = name.words.len() - 1;
            let same = |(i, w): (usize, &&str)| {
                word(k + i).is_some_and(|have| if i == last { words::is_or_plural(have, w) } else { have == *w })
            };
            name.words.iter().enumerate().all(same)
        });
        if let Some(name) = whole {
            let last = k + name.words.len() - 1;
            let in_full = name.words.iter().any(|w| FULL.contains(w));
            if let Some(stem) = name.stem(terms) {
                found.push(Named { span: Span::new(start, tokens[last].span.end), stem, in_full });
            }
            k = last + 1;
            continue;
        }
        found.extend(composed(first, start, terms));
        k += 1;
    }
    found
}

/// The name inside a word that has something written on to it: `fpdc`, `sc2tog`, `dc3cl`.
fn composed(word: &str, start: usize, terms: Terms) -> Option<Named> {
    let lead = BEFORE.iter().map(|b| b.len()).filter(|&n| BEFORE.iter().any(|b| b.len() == n && word.starts_with(b)));
    let at = |lead: usize| {
        let rest = word.get(lead..)?;
        let known = |name: &&&words::StitchName| {
            let tail = rest.strip_prefix(name.words[0]).filter(|_| name.words.len() == 1);
            tail.is_some_and(|t| matches!(t, "" | "s" | "tog" | "cl") || t.starts_with(|c: char| c.is_ascii_digit()))
        };
        let name = words::STITCHES.iter().find(|n| known(&n))?;
        let (from, to) = (start + lead, start + lead + name.words[0].len());
        Some(Named { span: Span::new(from, to), stem: name.stem(terms)?, in_full: false })
    };
    [0].into_iter().chain(lead).find_map(at)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(text: &str, terms: Terms) -> Vec<(&str, Stem)> {
        stitches_named(text, terms).into_iter().map(|n| (&text[n.span.start..n.span.end], n.stem)).collect()
    }

    #[test]
    fn names_are_found_in_full_and_short_and_inside_longer_words() {
        let text = "Row 1: Double crochet in next st, 2 sc, fpdc, Sc2tog, sl st in last st. Turn. (5 sts)";
        let expected = [
            ("Double crochet", Stem::Tall(1)),
            ("sc", Stem::Single),
            ("dc", Stem::Tall(1)),
            ("Sc", Stem::Single),
            ("sl st", Stem::SlipStitch),
        ];
        assert_eq!(found(text, Terms::Us), expected);
        assert_eq!(found("2 dc, htr, ss", Terms::Uk).len(), 3);
        assert_eq!(found("2 dc", Terms::Uk), [("dc", Stem::Single)]);
        assert!(found("3 double in next", Terms::OldUs).is_empty());
    }

    #[test]
    fn words_that_only_hold_a_name_are_left_alone() {
        assert!(found("dec in next st, this section, describe, trace, scd", Terms::Us).is_empty());
    }
}
