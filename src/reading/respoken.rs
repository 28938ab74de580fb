//! Words with every stitch name said in other terms: prose, definitions, and rows that no other words can say.

use super::lex::{Kind, Token, tokens};
use super::words::{STITCHES, StitchName};
use crate::craft::Stem;
use crate::instructions::Terms;

/// What a stem is called: in short and in full, in US and in UK terms.
struct Spoken {
    stem: Stem,
    us: [&'static str; 2],
    uk: [&'static str; 2],
}

/// Source: Craft Yarn Council, crochet abbreviations and US to UK conversion; `qtr` from memory.
const SPOKEN: &[Spoken] = &[
    Spoken { stem: Stem::SlipStitch, us: ["sl st", "slip stitch"], uk: ["ss", "slip stitch"] },
    Spoken { stem: Stem::Single, us: ["sc", "single crochet"], uk: ["dc", "double crochet"] },
    Spoken { stem: Stem::HalfDouble, us: ["hdc", "half double crochet"], uk: ["htr", "half treble crochet"] },
    Spoken { stem: Stem::Tall(1), us: ["dc", "double crochet"], uk: ["tr", "treble crochet"] },
    Spoken { stem: Stem::Tall(2), us: ["tr", "treble crochet"], uk: ["dtr", "double treble crochet"] },
    Spoken { stem: Stem::Tall(3), us: ["dtr", "double treble crochet"], uk: ["trtr", "triple treble crochet"] },
    Spoken { stem: Stem::Tall(4), us: ["trtr", "triple treble crochet"], uk: ["qtr", "quadruple treble crochet"] },
];

/// The words with the names of stitches in them turned from one dialect into another, and nothing else.
///
/// Old dialects have everyday words for stitches; words of theirs, and words already in the terms asked for, come back
/// as they are.
pub fn in_other_terms(text: &str, from: Terms, to: Terms) -> String {
    let uk = |terms| matches!(terms, Terms::Uk | Terms::OldUk);
    if from.is_old() || uk(from) == uk(to) {
        return text.to_owned();
    }
    let toks = tokens(text, 0);
    let mut out = String::with_capacity(text.len() + 16);
    let (mut at, mut done) = (0, 0);
    while at < toks.len() {
        let found = whole(&toks[at..], from).or_else(|| glued(&toks[at], text, from).map(|w| (1, w)));
        let Some((n, Word { before, stem, after, short })) = found else {
            at += 1;
            continue;
        };
        let span = toks[at].span.to(toks[at + n - 1].span);
        let was = &text[span.start..span.end];
        if let Some(spoken) = SPOKEN.iter().find(|s| s.stem == stem) {
            let names = if uk(to) { spoken.uk } else { spoken.us };
            let name = names[usize::from(!short)];
            let new = format!("{before}{name}{after}");
            out.push_str(&text[done..span.start]);
            out.push_str(&as_written(was, &new, before.is_empty()));
            done = span.end;
        }
        at += n;
    }
    out.push_str(&text[done..]);
    out
}

/// A word around a stitch name, and what stands glued to it.
struct Word {
    before: String,
    stem: Stem,
    after: String,
    /// True for an abbreviation.
    short: bool,
}

/// A name in as many words as it has.
fn whole(toks: &[Token], terms: Terms) -> Option<(usize, Word)> {
    let named = |name: &StitchName| {
        name.words.iter().zip(toks).all(|(w, t)| matches!(&t.kind, Kind::Word(have) if have == w))
            && name.words.len() <= toks.len()
    };
    let name = STITCHES.iter().find(|n| named(n))?;
    let short = !name.words.iter().any(|w| matches!(*w, "crochet" | "treble" | "double" | "slip"));
    let n = name.words.len();
    Some((n, Word { before: String::new(), stem: name.stem(terms)?, after: String::new(), short }))
}

/// `fpdc`, `dc2tog`, `dcs`, `scblo`: one word that holds a name.
fn glued(token: &Token, text: &str, terms: Terms) -> Option<Word> {
    let Kind::Word(word) = &token.kind else { return None };
    let written = &text[token.span.start..token.span.end];
    if written.len() != word.len() {
        return None;
    }
    let stem_of = |name: &str| STITCHES.iter().find(|n| n.words == [name]).and_then(|n| n.stem(terms));
    for before in ["fp", "bp", "rev", "e", ""] {
        let Some(rest) = word.strip_prefix(before) else { continue };
        for end in (1..=rest.len()).rev().filter(|&k| rest.is_char_boundary(k)) {
            let (name, after) = rest.split_at(end);
            let ending = after.trim_start_matches(|c: char| c.is_ascii_digit());
            let known = matches!(ending, "" | "tog" | "cl" | "s" | "'s" | "fp" | "bp" | "blo" | "flo" | "bl" | "fl");
            if known && let Some(stem) = stem_of(name) {
                let before = written[..before.len()].to_owned();
                return Some(Word { before, stem, after: after.to_owned(), short: true });
            }
        }
    }
    None
}

/// A name with the capitals the old one had.
fn as_written(was: &str, new: &str, first: bool) -> String {
    let letters: Vec<char> = was.chars().filter(|c| c.is_alphabetic()).collect();
    if letters.len() > 1 && letters.iter().all(|c| c.is_uppercase()) {
        return new.to_uppercase();
    }
    let mut chars = new.chars();
    match chars.next() {
        Some(c) if first && was.starts_with(char::is_uppercase) => c.to_uppercase().chain(chars).collect(),
        _ => new.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: Craft Yarn Council, US to UK conversion.
    #[test]
    fn names_of_stitches_are_turned_and_nothing_else() {
        let uk = |words| in_other_terms(words, Terms::Us, Terms::Uk);
        assert_eq!(uk("Shell: 5 dc in same st."), "Shell: 5 tr in same st.");
        assert_eq!(uk("Ch 3 counts as dc throughout."), "Ch 3 counts as tr throughout.");
        assert_eq!(uk("sc2tog, FPdc, 2dc, 3-tr cluster, hdc"), "dc2tog, FPtr, 2tr, 3-dtr cluster, htr");
        assert_eq!(uk("Half double crochet in the single lamp"), "Half treble crochet in the single lamp");
        assert_eq!(in_other_terms("1 dtr, ss to tr", Terms::Uk, Terms::Us), "1 tr, sl st to dc");
        assert_eq!(in_other_terms("1 long, 2 plain", Terms::OldUk, Terms::Us), "1 long, 2 plain");
    }

    #[test]
    fn there_and_back_is_where_it_began() {
        let words = "Picot: ch 3, sl st in 3rd ch from hook; sc, hdc, dc, tr, dtr and SC.";
        assert_eq!(in_other_terms(&in_other_terms(words, Terms::Us, Terms::Uk), Terms::Uk, Terms::Us), words);
    }
}
