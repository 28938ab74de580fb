//! Words with every stitch name said in other terms: prose, definitions, and rows that no other words can say.

use super::named::stitches_named;
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
    let mut out = String::with_capacity(text.len() + 16);
    let mut done = 0;
    for named in stitches_named(text, from) {
        let Some(spoken) = SPOKEN.iter().find(|s| s.stem == named.stem) else { continue };
        let names = if uk(to) { spoken.uk } else { spoken.us };
        let was = &text[named.span.start..named.span.end];
        out.push_str(&text[done..named.span.start]);
        out.push_str(&as_written(was, names[usize::from(named.in_full)]));
        done = named.span.end;
    }
    out.push_str(&text[done..]);
    out
}

/// A name with the capitals the old one had.
fn as_written(was: &str, new: &str) -> String {
    let letters: Vec<char> = was.chars().filter(|c| c.is_alphabetic()).collect();
    if letters.len() > 1 && letters.iter().all(|c| c.is_uppercase()) {
        return new.to_uppercase();
    }
    let mut chars = new.chars();
    match chars.next() {
        Some(c) if was.starts_with(char::is_uppercase) => c.to_uppercase().chain(chars).collect(),
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
