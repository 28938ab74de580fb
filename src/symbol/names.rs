use super::SymbolSet;
use crate::craft::{Extra, LoopPart, Meet, PostSide, Stem, StitchForm};

/// The dialect a chart speaks.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Speak {
    /// American terms.
    #[default]
    Us,
    /// British terms.
    Uk,
    /// American terms with the British beside them.
    Both,
}

/// A stitch as the trade names it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Name {
    /// Abbreviation; empty where the trade has none.
    pub short: String,
    /// Term in full.
    pub long: String,
}

/// Abbreviation and term of a make of stitch, composed from those of its stem.
///
/// Source: the core names of `table.tsv` (US and UK terms as published); n-together, clusters, posts and
/// loops are the regular extension.
pub fn name_of(set: &SymbolSet, form: StitchForm, speak: Speak) -> Name {
    match speak {
        Speak::Both => {
            let (us, uk) = (name_of(set, form, Speak::Us), name_of(set, form, Speak::Uk));
            if us == uk {
                return us;
            }
            Name { short: format!("{} / {}", us.short, uk.short), long: format!("{} / {}", us.long, uk.long) }
        }
        _ => composed(&stem_name(set, form.stem, speak), form),
    }
}

fn stem_name(set: &SymbolSet, stem: Stem, speak: Speak) -> Name {
    match stem {
        Stem::Chain(_) => set.name("ch", speak),
        Stem::SlipStitch => set.name("sl st", speak),
        Stem::Single => set.name("sc plus", speak),
        Stem::HalfDouble => set.name("hdc", speak),
        Stem::Tall(wraps @ 1..=4) => set.name(["dc", "tr", "dtr", "trtr"][usize::from(wraps) - 1], speak),
        Stem::Tall(wraps) => Name { short: format!("{wraps}-wrap"), long: format!("stitch of {wraps} wraps") },
    }
}

fn composed(stem: &Name, form: StitchForm) -> Name {
    let n = form.legs;
    let Name { mut short, mut long } = stem.clone();
    match (form.meet, n, form.one_place) {
        (_, 0 | 1, _) => {}
        (Meet::Head | Meet::Foot, _, false) => {
            short = format!("{short}{n}tog");
            long = format!("{long} {n} together");
        }
        (Meet::Closed, ..) => {
            long = format!("popcorn of {n} {short}");
            short = format!("{n}-{short} pc");
        }
        (Meet::Both, ..) if form.stem == Stem::HalfDouble => {
            long = format!("puff of {n} {short}");
            short = format!("{n}-{short} puff");
        }
        _ => {
            long = format!("cluster of {n} {short}");
            short = format!("{n}-{short} cl");
        }
    }
    let Extra { post, reverse, extended, part, .. } = form.extra;
    if extended {
        (short, long) = (format!("E{short}"), format!("extended {long}"));
    }
    if reverse {
        (short, long) = (format!("rev {short}"), format!("reverse {long}"));
    }
    match post {
        Some(PostSide::Front) => (short, long) = (format!("FP{short}"), format!("front post {long}")),
        Some(PostSide::Back) => (short, long) = (format!("BP{short}"), format!("back post {long}")),
        None => {}
    }
    let loops = match part {
        LoopPart::Both => None,
        LoopPart::Front => Some(("FLO", "in front loop only")),
        LoopPart::Back => Some(("BLO", "in back loop only")),
        LoopPart::Third => Some(("3rd loop", "in third loop")),
    };
    if let Some((abbreviation, words)) = loops {
        (short, long) = (format!("{short} {abbreviation}"), format!("{long} {words}"));
    }
    Name { short, long }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: the published US/UK table; n-together is the regular extension.
    #[test]
    fn decreases_are_named_in_both_dialects() {
        let set = SymbolSet::house();
        let name = |stem, speak| name_of(&set, StitchForm::together(stem, 2), speak).short;
        assert_eq!([name(Stem::Single, Speak::Us), name(Stem::Single, Speak::Uk)], ["sc2tog", "dc2tog"]);
        assert_eq!([name(Stem::DC, Speak::Us), name(Stem::DC, Speak::Uk)], ["dc2tog", "tr2tog"]);
    }

    #[test]
    fn a_name_that_both_dialects_share_is_said_once() {
        let set = SymbolSet::house();
        assert_eq!(name_of(&set, StitchForm::plain(Stem::Chain(1)), Speak::Both).short, "ch");
        assert_eq!(name_of(&set, StitchForm::plain(Stem::DC), Speak::Both).short, "dc / tr");
    }
}
