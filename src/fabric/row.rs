use super::{PartId, RowId, StitchId, Strand};
use serde::{Deserialize, Serialize};

/// The face of the work.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Side {
    /// Right side.
    #[default]
    #[serde(rename = "RS")]
    Right,
    /// Wrong side.
    #[serde(rename = "WS")]
    Wrong,
}

impl Side {
    /// The other face.
    pub const fn turned(self) -> Side {
        match self {
            Side::Right => Side::Wrong,
            Side::Wrong => Side::Right,
        }
    }

    /// `RS` or `WS`.
    pub const fn as_str(self) -> &'static str {
        match self {
            Side::Right => "RS",
            Side::Wrong => "WS",
        }
    }
}

/// What a row is, as far as its line goes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum RowShape {
    /// A chain that everything starts on.
    Foundation,
    /// A row, open at both ends.
    #[default]
    Row,
    /// A joined round.
    Round,
    /// A round that runs on into the next.
    Spiral,
    /// A row along an edge.
    Border,
}

/// Which way the row runs as worked.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Direction {
    /// As usual.
    #[default]
    Forward,
    /// Backwards, without a turn (reverse sc).
    Back,
}

/// A row, round or foundation.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Row {
    /// Its own id.
    pub index: RowId,
    /// The part it belongs to.
    pub part: PartId,
    /// `Row 3`, `Round 1`, `Foundation`, or the heading as published.
    pub label: String,
    /// What it is.
    pub shape: RowShape,
    /// The face toward the worker.
    pub side: Side,
    /// Every stitch with a head on the row's line, in working order, chains of spaces included; turning chains
    /// that do not count, picots, joins, travel and branches left out. A turning chain that counts is there by its last chain.
    pub order: Vec<StitchId>,
    /// Side branches worked out of the row.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub strands: Vec<Strand>,
    /// Which way it runs as worked.
    pub direction: Direction,
    /// True where the work was turned before it.
    pub turned: bool,
    /// True where it is closed by a join; false for spirals and rows.
    pub joined: bool,
    /// Layer: 0, more in front, less behind.
    pub layer: i32,
}

/// A part of the pattern ("Leaf (make 2)").
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Part {
    /// Its own id.
    pub index: PartId,
    /// Its name as published; the title where the pattern has one part.
    pub name: String,
    /// How often it is made.
    pub copies: u32,
}

/// A chain space: what lies between two stitches.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Space {
    /// Its chains in yarn order, and the tall stitch that closes it, if one does.
    pub ids: Vec<StitchId>,
    /// Its length in chains, a closing tall stitch counted as the chains it stands for.
    #[serde(default)]
    pub length: u32,
}

/// A ring that a first round is worked into.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Ring {
    /// The row of stitches or chains it stands before.
    pub row: RowId,
    /// Its chains and the slip stitch that joins them; empty for a ring of thread.
    pub ids: Vec<StitchId>,
}

/// Something that happens to the work between two stitches.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Event {
    /// The last stitch made before it; none at the very start.
    pub after: Option<StitchId>,
    /// What happens.
    #[serde(rename = "do")]
    pub kind: EventKind,
    /// The yarn it happens to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub colour: Option<String>,
    /// True where the words say it; false where it is understood (the first yarn, the end of the last row).
    #[serde(default)]
    pub told: bool,
}

/// Kinds of event.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum EventKind {
    /// The work is turned.
    Turn,
    /// A round is closed.
    Join,
    /// Yarn is attached.
    Attach,
    /// Yarn is cut.
    Cut,
    /// Two edges are sewn or worked together.
    Seam,
}
