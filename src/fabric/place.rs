use super::{PartId, RingId, RowId, SpaceId, StitchId};
use crate::craft::{LoopPart, PostSide};
use serde::{Deserialize, Serialize};

/// Which end of a row, in its own working order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum EdgeEnd {
    /// Where the row was begun.
    Start,
    /// Where it ended.
    End,
}

/// A point on the end of a row.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct RowEnd {
    /// The row.
    pub row: RowId,
    /// Its end.
    pub edge: EdgeEnd,
    /// Height along the row's end, from 0 at the row's foot to 1 at its top.
    pub at: f64,
}

/// What a stitch is worked into.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(untagged)]
pub enum Place {
    /// The top of a stitch.
    Top {
        /// The stitch; of a turning chain that counts, its last chain.
        top: StitchId,
        /// The loops taken.
        #[serde(rename = "loop", default)]
        part: LoopPart,
    },
    /// The upper side of a chain: the side worked first.
    Chain {
        /// The chain.
        chain: StitchId,
    },
    /// The far side of a chain.
    Underside {
        /// The chain.
        underside: StitchId,
    },
    /// The bump at the back of a chain.
    Bump {
        /// The chain.
        bump: StitchId,
    },
    /// A chain space.
    Space {
        /// The space.
        space: SpaceId,
    },
    /// A ring.
    Ring {
        /// The ring.
        ring: RingId,
    },
    /// The end of a row.
    RowEnd {
        /// Where.
        row_end: RowEnd,
    },
    /// Round the post of a stitch.
    Post {
        /// The stitch.
        post: StitchId,
        /// The side the hook comes from, as worked.
        from: PostSide,
    },
    /// The side of a stitch.
    Side {
        /// The stitch.
        side: StitchId,
        /// Height along it, 0 at the foot, 1 at the head.
        at: f64,
    },
    /// The gap between two stitches.
    Between {
        /// The two, in row order.
        between: [StitchId; 2],
    },
    /// The face of the fabric between two stitches.
    Face {
        /// The two.
        face: [StitchId; 2],
    },
}

impl Place {
    /// The top of a stitch, through both loops.
    pub const fn top(id: StitchId) -> Place {
        Place::Top { top: id, part: LoopPart::Both }
    }

    /// The upper side of a chain.
    pub const fn chain(id: StitchId) -> Place {
        Place::Chain { chain: id }
    }

    /// The far side of a chain.
    pub const fn underside(id: StitchId) -> Place {
        Place::Underside { underside: id }
    }

    /// A chain space.
    pub const fn space(id: SpaceId) -> Place {
        Place::Space { space: id }
    }

    /// A ring.
    pub const fn ring(id: RingId) -> Place {
        Place::Ring { ring: id }
    }

    /// The stitch the place belongs to, where it belongs to one.
    pub const fn stitch(&self) -> Option<StitchId> {
        match *self {
            Place::Top { top: id, .. }
            | Place::Chain { chain: id }
            | Place::Underside { underside: id }
            | Place::Bump { bump: id }
            | Place::Post { post: id, .. }
            | Place::Side { side: id, .. } => Some(id),
            _ => None,
        }
    }
}

/// An ordered list of open places: the live edge that the next row takes a run of.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Edge {
    /// The part it belongs to.
    pub part: PartId,
    /// The places, in the working order of the row that made them.
    pub places: Vec<Place>,
    /// True where the last place is followed by the first.
    pub closed: bool,
}
