use super::SymbolSet;
use super::language::{Language, Wording, fill, wording};
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
    /// The terms of another language.
    In(Language),
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
        _ => composed(stem_name(set, form.stem, speak), form, speak),
    }
}

fn stem_name(set: &SymbolSet, stem: Stem, speak: Speak) -> Name {
    match stem {
        Stem::Chain(_) => set.name("ch", speak),
        Stem::SlipStitch => set.name("sl st", speak),
        Stem::Single => set.name("sc plus", speak),
        Stem::HalfDouble => set.name("hdc", speak),
        Stem::Tall(wraps @ 1..=4) => set.name(["dc", "tr", "dtr", "trtr"][usize::from(wraps) - 1], speak),
        Stem::Tall(wraps) => by_rule(&Name::default(), "n wraps", wraps, speak),
    }
}

/// A name made from another by a wording of the table.
fn by_rule(of: &Name, key: &str, n: u8, speak: Speak) -> Name {
    let Wording { short, long } = wording(key, speak).unwrap_or(Wording { short: "{short}", long: "{long}" });
    let n = n.to_string();
    let filled = |wording: &str| fill(wording, &[("n", &n), ("short", &of.short), ("long", &of.long)]);
    Name { short: filled(short), long: filled(long) }
}

fn composed(stem: Name, form: StitchForm, speak: Speak) -> Name {
    let n = form.legs;
    let legs = match (form.meet, n, form.one_place) {
        (_, 0 | 1, _) => None,
        (Meet::Head | Meet::Foot, _, false) => Some("n together"),
        (Meet::Closed, ..) => Some("popcorn of n"),
        (Meet::Both, ..) if form.stem == Stem::HalfDouble => Some("puff of n"),
        _ => Some("cluster of n"),
    };
    let Extra { post, reverse, extended, part, crossed } = form.extra;
    let rules = [
        legs,
        extended.then_some("extended"),
        reverse.then_some("reverse"),
        crossed.then_some("crossed"),
        post.map(|side| match side {
            PostSide::Front => "front post",
            PostSide::Back => "back post",
        }),
        match part {
            LoopPart::Both => None,
            LoopPart::Front => Some("front loop"),
            LoopPart::Back => Some("back loop"),
            LoopPart::Third => Some("third loop"),
        },
    ];
    rules.into_iter().flatten().fold(stem, |name, key| by_rule(&name, key, n, speak))
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
