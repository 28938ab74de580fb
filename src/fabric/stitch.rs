use super::{Place, RowId, Side, StitchId};
use crate::craft::{Extra, Meet, Stem, StitchForm};
use crate::source::Span;
use serde::{Deserialize, Serialize};

/// One leg of a stitch: a stem and the place it stands in, or several places where it goes through layers.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Leg {
    /// What the leg is made of.
    pub stem: Stem,
    /// Where it stands; empty for a chain of a foundation or space.
    pub into: Vec<Place>,
}

/// What a stitch is there for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Role {
    /// Part of the fabric proper: stitches, and the chains of a foundation.
    #[default]
    Base,
    /// A chain of a turning or starting chain.
    Turning,
    /// The slip stitch that closes a round.
    Join,
    /// A slip stitch that carries the yarn along.
    Travel,
    /// A chain or slip stitch of a picot.
    Picot,
    /// A chain of a chain space, or the tall stitch that closes one.
    Space,
    /// A chain or stitch of a side branch.
    Branch,
}

/// One stitch of the fabric.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Stitch {
    /// Its place in yarn order.
    pub id: StitchId,
    /// Its name for people, lower-case US: `sc`, `dc3tog`, `fpdc`, `ch`, `sl st`.
    pub kind: String,
    /// The row it was made in.
    pub row: RowId,
    /// The face that was toward the worker.
    pub side: Side,
    /// Letter or name of the yarn at its foot.
    pub colour: String,
    /// The yarn after its last pull-through, where it differs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub colour_end: Option<String>,
    /// Yarns carried inside it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub carried: Vec<String>,
    /// True where it counts in the row's total.
    pub counts: bool,
    /// The kind it stands for: `dc` on the last chain of a ch 3 that counts as one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stands_for: Option<Stem>,
    /// What it is there for.
    pub role: Role,
    /// Further roles: the ch 2 of a starting ch 5 that is dc and space has chains of both.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub also: Vec<Role>,
    /// The legs, left to right in working order.
    pub legs: Vec<Leg>,
    /// How they meet.
    pub meet: Meet,
    /// Modifiers.
    #[serde(default, flatten)]
    pub extra: Extra,
    /// All legs' places, flat.
    pub into: Vec<Place>,
    /// Places it stands in front of without being worked into them (spikes).
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub covers: Vec<Place>,
    /// Layer: 0, more in front, less behind.
    #[serde(default)]
    pub layer: i32,
    /// The words it was made by.
    pub span: Span,
    /// Inside repeats, which pass of each, outermost first, from 1.
    #[serde(default)]
    pub pass: Vec<u32>,
}

impl Stitch {
    /// True for every chain, whatever its role.
    pub fn is_chain(&self) -> bool {
        self.legs.len() == 1 && self.legs[0].stem.is_chain()
    }

    /// True for every slip stitch, whatever its role.
    pub fn is_slip_stitch(&self) -> bool {
        self.legs.len() == 1 && self.legs[0].stem == Stem::SlipStitch
    }

    /// True where it has the role, first or further.
    pub fn has_role(&self, role: Role) -> bool {
        self.role == role || self.also.contains(&role)
    }

    /// The stem it is drawn and measured by: what it stands for, else that of its first leg.
    pub fn stem(&self) -> Stem {
        self.stands_for.or_else(|| self.legs.first().map(|l| l.stem)).unwrap_or(Stem::Chain(1))
    }

    /// True for the last chain of a turning chain that counts.
    pub fn is_counting_turning_chain(&self) -> bool {
        self.role == Role::Turning && self.stands_for.is_some()
    }

    /// Its make: stem, legs, meet and modifiers.
    pub fn form(&self) -> StitchForm {
        let legs = u8::try_from(self.legs.len()).unwrap_or(u8::MAX);
        let one_place = self.legs.windows(2).all(|w| w[0].into == w[1].into);
        let stem = self.legs.first().map_or(Stem::Chain(1), |l| l.stem);
        StitchForm { stem, legs, meet: self.meet, one_place, extra: self.extra }
    }
}
