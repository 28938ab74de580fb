//! Where a step goes, in words.

use super::speech::Speech;
use crate::instructions::{Class, JoinTo, Pick, Target, Which, ordinal};

impl Speech<'_> {
    /// What so many places are called; where the number is another in each size, as several are.
    pub(super) fn numbered(&self, class: &Class, n: u32) -> String {
        self.class(class, if self.varied { n.max(2) } else { n })
    }

    /// What places are called, one or several.
    pub(super) fn class(&self, class: &Class, n: u32) -> String {
        let s = if n == 1 { "" } else { "s" };
        let kind = |kind: &Option<String>| kind.as_deref().map_or_else(|| "st".to_owned(), |k| self.tongue.kind(k));
        match class {
            Class::Kind(kind) => {
                let name = self.tongue.kind(kind);
                // "next 2 popcorns": names that are words have a plural, abbreviations have none
                let word = name.ends_with("cluster") || name.ends_with("popcorn") || name.ends_with("puff");
                if word && n != 1 { format!("{name}s") } else { name }
            }
            Class::Group(name) => {
                let name = self.in_tongue(name);
                if n == 1 { name } else { plural(&name) }
            }
            Class::Run { n: 0, kind: of } => format!("{} group{s}", kind(of)),
            Class::Run { n: many, kind: None } => format!("group{s} of {many} sts"),
            Class::Run { n: many, kind: of } => format!("{many}-{} group{s}", kind(of)),
            other => other.words(n),
        }
    }

    /// Wordings of a place, the one that is written first where it reads back. `each` stitches go into every place.
    pub(super) fn target(&self, at: &Target, each: u32, chained: bool) -> Vec<String> {
        let c = |class: &Class, n: u32| self.class(class, n);
        let to_end = if self.round { "around" } else { "across" };
        let one = |words: String| vec![words];
        match at {
            Target::Next { n: 1, class: Class::Tip } => one("in tip".into()),
            Target::Next { n: 1, class } if !self.varied => one(format!("in next {}", c(class, 1))),
            Target::Next { n, class } if each == 1 && !chained => {
                let name = self.numbered(class, *n);
                vec![format!("in next {n} {name}"), format!("in each of next {n} {name}")]
            }
            Target::Next { n, class } => one(format!("in each of next {n} {}", self.numbered(class, *n))),
            Target::Each { class, less: 0, every: 1 } => {
                let class = c(class, 1);
                vec![format!("in each {class} {to_end}"), format!("in each {class} to end"), format!("in each {class}")]
            }
            Target::Each { class, less, every: 1 } => {
                let (name, rest) = (c(class, 1), self.numbered(class, *less));
                let rest = match less {
                    1 if !self.varied => format!("last {rest}"),
                    n => format!("last {n} {rest}"),
                };
                let last = if *less == 1 && !self.varied { "last st".to_owned() } else { format!("last {less} sts") };
                vec![format!("in each {name} to {rest}"), format!("in each {name} to {last}")]
            }
            Target::Each { class, every, .. } => {
                let (every, class) = (ordinal(*every), c(class, 1));
                vec![format!("in every {every} {class} {to_end}"), format!("in every {every} {class}")]
            }
            Target::Last { n: 1, class } if !self.varied => one(format!("in last {}", c(class, 1))),
            Target::Last { n, class } => {
                let name = self.numbered(class, *n);
                vec![format!("in last {n} {name}"), format!("in each of last {n} {name}")]
            }
            Target::Same if self.in_space => vec!["in same sp".into(), "in same st".into()],
            Target::Same => vec!["in same st".into(), "in same sp".into()],
            Target::FromHook { n } => one(format!("in {} ch from hook", ordinal(*n))),
            Target::Ring if self.ring_to_come => vec!["in magic ring".into(), "in ring".into()],
            Target::Ring => one("in ring".into()),
            Target::TurningTop => {
                // at the end of a round it is the round's own chain
                let chain = self.opening.or(self.below);
                let chain = chain.map_or_else(String::new, |n| format!("in top of beg ch-{n}"));
                let turning = "in top of turning ch".to_owned();
                if self.round && !chain.is_empty() { vec![chain, turning] } else { vec![turning] }
            }
            Target::First { class } => one(format!("in first {}", c(class, 1))),
            Target::Centre { class } => one(format!("in {} {}", self.centre(), c(class, 1))),
            Target::Within { pick, class, shape, which } => {
                let part = self.part_of_shape(*pick, class);
                let which = match which {
                    Which::Next => "next",
                    Which::Same => "same",
                    Which::First => "first",
                    Which::Last => "last",
                    Which::Each => "each",
                };
                let shape = c(shape, 1);
                let link = pick.link();
                vec![format!("in {part} {link} {which} {shape}"), format!("in {part} {link} {shape}")]
            }
            Target::Between { class, each: false } => one(format!("between next 2 {}", c(class, 2))),
            Target::Between { class, each: true } => {
                vec![format!("between each {} {to_end}", c(class, 1)), format!("between each {}", c(class, 1))]
            }
            Target::Below { n, class, rows } => {
                let rows_below = if *rows == 1 { "1 row below".into() } else { format!("{rows} rows below") };
                match n {
                    1 => one(format!("in next {} {rows_below}", c(class, 1))),
                    n => one(format!("in next {n} {} {rows_below}", c(class, *n))),
                }
            }
            Target::Over { legs } => {
                let legs: Vec<String> = legs.iter().map(|class| format!("next {}", self.class(class, 1))).collect();
                one(format!("over {}", legs.join(" and ")))
            }
            Target::Skipped { nth: Some(nth), .. } => one(format!("in {} skipped st", ordinal(*nth))),
            Target::Skipped { nth: None, n: 0 } => one("in each skipped st".into()),
            Target::Skipped { nth: None, n: 1 } => one("in skipped st".into()),
            Target::Skipped { nth: None, n } => one(format!("in {n} skipped sts")),
            Target::Short { n, of } => {
                let of = self.target(of, 1, false).into_iter().next().unwrap_or_default();
                let of = of.strip_prefix("in ").unwrap_or(&of).to_owned();
                one(format!("in {n} {} before {of}", if *n == 1 { "st" } else { "sts" }))
            }
            Target::UpTo { class, stop } => {
                let stop = self.target(stop, 1, false).into_iter().next().unwrap_or_default();
                let stop = stop.strip_prefix("in ").unwrap_or(&stop).to_owned();
                vec![format!("in each {} to {stop}", c(class, 1)), format!("in each {} up to {stop}", c(class, 1))]
            }
            Target::Evenly { n: Some(n) } => one(format!("{n} evenly along edge")),
            Target::Evenly { n: None } => one("evenly along edge".into()),
        }
    }

    fn centre(&self) -> &'static str {
        if self.tongue.is_uk() { "centre" } else { "center" }
    }

    fn part_of_shape(&self, pick: Pick, class: &Class) -> String {
        match pick {
            Pick::Only => self.class(class, 1),
            Pick::Nth(n) => format!("{} {}", ordinal(n), self.class(class, 1)),
            Pick::First(n) => format!("first {n} {}", self.class(class, n)),
            Pick::Last(n) => format!("last {n} {}", self.class(class, n)),
            Pick::Centre => format!("{} {}", self.centre(), self.class(class, 1)),
            Pick::Each => format!("each {}", self.class(class, 1)),
            Pick::Before => format!("last {}", self.class(class, 1)),
            Pick::After => format!("first {}", self.class(class, 1)),
        }
    }

    /// What a round is joined to.
    pub(super) fn joined_to(&self, to: JoinTo) -> Vec<String> {
        let first = self.first.as_ref().map_or_else(|| "to first st".to_owned(), |kind| format!("to first {kind}"));
        match to {
            JoinTo::Untold | JoinTo::First => vec![first, "to first st".into()],
            JoinTo::Chain(None) => {
                let told = self.opening.map(|n| format!("to top of beg ch-{n}"));
                told.into_iter().chain(["to top of beg ch".to_owned()]).collect()
            }
            JoinTo::Chain(Some(n)) => {
                let told = self.opening.map(|all| format!("to {} ch of beg ch-{all}", ordinal(n)));
                told.into_iter().chain([format!("to {} ch of beg ch", ordinal(n))]).collect()
            }
            JoinTo::Space => vec!["to first ch sp".into()],
        }
    }
}

/// The plural of a name: "shells", "V-stitches".
pub(super) fn plural(name: &str) -> String {
    match name {
        _ if name.ends_with('s') => name.to_owned(),
        _ if name.ends_with("ch") => format!("{name}es"),
        _ => format!("{name}s"),
    }
}
