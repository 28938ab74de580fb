//! Places named by a shape of the row below: which shape, and which part of it.

use serde::Serialize;

/// Which one of several shapes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Which {
    /// The next one not yet worked into.
    #[default]
    Next,
    /// The one last worked into.
    Same,
    /// The first of the edge.
    First,
    /// The last of the edge.
    Last,
    /// Every one to the end.
    Each,
}

/// Which part of a shape, in the direction of the row that works into it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Pick {
    /// The one there is: "ch-2 sp of next shell".
    Only,
    /// Counted from the side come to first, from 1.
    Nth(u32),
    /// The first so many.
    First(u32),
    /// The last so many.
    Last(u32),
    /// The middle one.
    Centre,
    /// All of them.
    Each,
    /// No part: the place right before the shape, "last sc before next corner".
    Before,
    /// No part: the place right behind the shape, "first sc after any 3-sc corner".
    After,
}

impl Pick {
    /// The word that leads to the shape.
    pub(crate) fn link(self) -> &'static str {
        match self {
            Pick::Before => "before",
            Pick::After => "after",
            _ => "of",
        }
    }
}

impl Which {
    pub(super) fn word(self) -> &'static str {
        match self {
            Which::Next => "next",
            Which::Same => "same",
            Which::First => "first",
            Which::Last => "last",
            Which::Each => "each",
        }
    }
}
