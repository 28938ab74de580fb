//! Where a step goes, in the words of another language.

use super::says::Says;
use super::table::{Gender, Noun};
use crate::craft::{Stem, StitchForm};
use crate::instructions::{Class, Target};

/// How stitches are taken to a place: into it, or round its post.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Way {
    Into,
    Around,
}

impl Says<'_> {
    /// What places of a class are called; none where the table has no word for them.
    pub(super) fn class(&self, class: &Class) -> Option<Noun> {
        let chain = self.stem(Stem::Chain(1));
        let noun = |key: &str, n: u32, kind: &str| {
            let n = n.to_string();
            let row = self.words.noun("row", &[]).one;
            self.words.noun(key, &[("ch", &chain), ("n", &n), ("k", kind), ("row", &row)])
        };
        Some(match class {
            Class::Any | Class::Stitch => noun("stitch", 0, ""),
            Class::Chain => noun("chain", 0, ""),
            Class::Space(None) => noun("space", 0, ""),
            Class::Space(Some(n)) => noun("space of n", *n, ""),
            Class::Corner(None) => noun("corner", 0, ""),
            Class::Corner(Some(n)) => noun("corner of n", *n, ""),
            Class::RowEnd => noun("row end", 0, ""),
            Class::Picot => noun("picot", 0, ""),
            Class::Marked => noun("marked", 0, ""),
            Class::Run { n: 0, kind } => noun("group", 0, &self.kind_or_stitch(kind.as_deref())?),
            Class::Run { n, kind } => noun("group of n", *n, &self.kind_or_stitch(kind.as_deref())?),
            Class::Kind(kind) => {
                let form: StitchForm = kind.parse().ok()?;
                let name = self.form(form);
                Noun { gender: self.gender(form), one: name.clone(), many: name }
            }
            Class::Group(name) => Noun { gender: Gender::Masculine, one: name.clone(), many: name.clone() },
            Class::Tip => noun("tip", 0, ""),
            Class::CornerStitch => noun("corner stitch", 0, ""),
            Class::All | Class::AllChains | Class::ChainEnd | Class::OpeningSpace => return None,
        })
    }

    fn kind_or_stitch(&self, kind: Option<&str>) -> Option<String> {
        match kind {
            Some(kind) => Some(self.form(kind.parse().ok()?)),
            None => Some(self.words.noun("stitch", &[]).one),
        }
    }

    fn gender(&self, form: StitchForm) -> Gender {
        self.words.gender(match (form.legs, form.stem) {
            (2.., _) => "gender of made",
            (_, Stem::SlipStitch | Stem::Chain(_)) => "gender of sl st",
            (_, Stem::Single) => "gender of sc",
            (_, Stem::HalfDouble) => "gender of hdc",
            (_, Stem::Tall(_)) => "gender of tall",
        })
    }

    /// Work and its place: "1 fM in die nächste M"; none where the table has no words for it.
    pub(super) fn at(&self, work: &str, at: &Target, way: Way) -> Option<String> {
        let chain = self.stem(Stem::Chain(1));
        let say = |key: &str, class: &Class, n: u32| {
            let noun = self.class(class)?;
            let (count, form) = (n.to_string(), noun.of(n.max(1)));
            let values = [("w", work), ("n", &count), ("c", form), ("cc", &noun.many), ("r", form), ("ch", &chain)];
            Some(self.words.say_of(key, noun.gender, &values))
        };
        let plain = |key: &str, n: u32| say(key, &Class::Stitch, n);
        if way == Way::Around {
            return match at {
                Target::Next { n: 1, class } => say("around next", class, 1),
                Target::Next { n, class } => say("around next n", class, *n),
                Target::Each { class, less: 0, every: 1 } => say("around each", class, 1),
                _ => None,
            };
        }
        match at {
            Target::Next { n: 1, class } => say("next", class, 1),
            Target::Next { n, class } => say("next n", class, *n),
            Target::Each { class, less: 0, every: 1 } => say("each", class, 1),
            Target::Each { class, less, every: 1 } => {
                let noun = self.class(class)?;
                let n = less.to_string();
                let values = [("w", work), ("n", &n), ("c", &noun.one), ("r", noun.of(*less))];
                Some(self.words.say_of("each but n", noun.gender, &values))
            }
            Target::Each { class, less: 0, every } => {
                let noun = self.class(class)?;
                let n = every.to_string();
                let values = [("w", work), ("n", n.as_str()), ("c", &noun.one), ("cc", &noun.many)];
                Some(self.words.say_of("every nth", noun.gender, &values))
            }
            Target::Last { n: 1, class } => say("last", class, 1),
            Target::Last { n, class } => say("last n", class, *n),
            Target::Same => plain("same", 1),
            Target::FromHook { n } => plain("from hook", *n),
            Target::Ring if self.ring_to_come => plain("thread ring place", 1),
            Target::Ring => plain("ring place", 1),
            Target::TurningTop => plain("turning top", 1),
            Target::First { class } => say("first", class, 1),
            Target::Between { class, each: false } => say("between next", class, 2),
            Target::Between { class, each: true } => say("between each", class, 2),
            Target::Evenly { .. } => plain("evenly n", 1),
            Target::Each { .. }
            | Target::Centre { .. }
            | Target::Within { .. }
            | Target::Below { .. }
            | Target::Skipped { .. }
            | Target::Over { .. }
            | Target::Short { .. }
            | Target::UpTo { .. } => None,
        }
    }
}
