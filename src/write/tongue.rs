//! The names of stitches in the terms spoken.

use crate::craft::{LoopPart, Meet, PostSide, Stem, StitchForm};
use crate::instructions::Terms;
use crate::symbol::{Speak, SymbolSet, name_of};

/// US or UK terms, and the names they have for stitches.
#[derive(Clone, Debug)]
pub(super) struct Tongue {
    pub terms: Terms,
    symbols: SymbolSet,
}

impl Tongue {
    /// Old dialects are spoken as those of today.
    pub fn new(terms: Terms) -> Self {
        let terms = if matches!(terms, Terms::Uk | Terms::OldUk) { Terms::Uk } else { Terms::Us };
        Tongue { terms, symbols: SymbolSet::house() }
    }

    pub fn is_uk(&self) -> bool {
        self.terms == Terms::Uk
    }

    fn speak(&self) -> Speak {
        if self.is_uk() { Speak::Uk } else { Speak::Us }
    }

    /// The word for passing places by.
    pub fn skip(&self) -> &'static str {
        if self.is_uk() { "miss" } else { "skip" }
    }

    /// The abbreviation of a stem: `sc`, or `dc` in UK terms.
    pub fn stem(&self, stem: Stem) -> String {
        match stem {
            // taller than the tables of symbols go; the names of words.rs
            Stem::Tall(5) if !self.is_uk() => "qtr".into(),
            _ => name_of(&self.symbols, StitchForm::plain(stem), self.speak()).short,
        }
    }

    /// The term in full of a make of stitch.
    pub fn long(&self, form: StitchForm) -> String {
        name_of(&self.symbols, form, self.speak()).long
    }

    /// A make of stitch as rows name it, loops aside.
    pub fn form(&self, form: StitchForm) -> String {
        let stem = self.stem(form.stem);
        let n = form.legs;
        let name = match (form.meet, n, form.one_place) {
            (_, 0 | 1, _) => stem,
            (Meet::Head | Meet::Foot, _, false) => format!("{stem}{n}tog"),
            (Meet::Closed, ..) => format!("{n}-{stem} popcorn"),
            (Meet::Both, ..) if form.stem == Stem::HalfDouble => format!("{n}-{stem} puff"),
            (Meet::Both, ..) => format!("{n}-{stem} bobble"),
            _ => format!("{n}-{stem} cluster"),
        };
        let post = match form.extra.post {
            Some(PostSide::Front) => "FP",
            Some(PostSide::Back) => "BP",
            None => "",
        };
        let reverse = if form.extra.reverse { "reverse " } else { "" };
        let extended = if form.extra.extended { "e" } else { "" };
        format!("{reverse}{post}{extended}{name}")
    }

    /// A kind by its US name, as the fabric and the places of the tree name it: `sc`, `fpdc`, `dc3cl`.
    pub fn kind(&self, kind: &str) -> String {
        if !self.is_uk() {
            return match split(kind) {
                Some((before, stem, after)) => self.joined(before, stem, after),
                None => kind.to_owned(),
            };
        }
        match split(kind) {
            Some((before, stem, after)) => self.joined(before, stem, after),
            None => crate::reading::in_other_terms(kind, Terms::Us, self.terms),
        }
    }

    fn joined(&self, before: &str, stem: Stem, after: &str) -> String {
        let stem = self.stem(stem);
        let before = match before {
            "fp" => "FP",
            "bp" => "BP",
            "rev" => "reverse ",
            "x" => "",
            other => other,
        };
        let ending = after.trim_start_matches(|c: char| c.is_ascii_digit());
        let n = &after[..after.len() - ending.len()];
        match ending {
            "cl" => format!("{before}{n}-{stem} cluster"),
            "puff" => format!("{before}{n}-{stem} puff"),
            "pc" => format!("{before}{n}-{stem} popcorn"),
            _ => format!("{before}{stem}{after}"),
        }
    }
}

/// The words for the loop worked through.
pub(super) const fn loop_words(part: LoopPart) -> Option<&'static str> {
    match part {
        LoopPart::Both => None,
        LoopPart::Front => Some("front loop only"),
        LoopPart::Back => Some("back loop only"),
        LoopPart::Third => Some("third loop"),
    }
}

/// `fpdc3tog` as `fp`, its stem and `3tog`.
fn split(kind: &str) -> Option<(&str, Stem, &str)> {
    let before = ["fp", "bp", "rev", "x", "e", ""].into_iter().find_map(|p| kind.strip_prefix(p).map(|r| (p, r)));
    let starts = before.into_iter().chain([("", kind)]);
    for (before, rest) in starts {
        for name in ["sl st", "hdc", "dtr", "trtr", "sc", "dc", "tr"] {
            let Some(after) = rest.strip_prefix(name) else { continue };
            if after.is_empty() || after.starts_with(|c: char| c.is_ascii_digit()) {
                return Some((before, name.parse().ok()?, after));
            }
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kinds_are_named_in_the_terms_spoken() {
        let uk = Tongue::new(Terms::Uk);
        assert_eq!(uk.kind("sc"), "dc");
        assert_eq!(uk.kind("fpdc"), "FPtr");
        assert_eq!(uk.kind("dc3tog"), "tr3tog");
        assert_eq!(uk.kind("dc3cl"), "3-tr cluster");
        assert_eq!(uk.kind("trtr"), "qtr");
        assert_eq!(Tongue::new(Terms::Us).kind("esc"), "esc");
    }
}
