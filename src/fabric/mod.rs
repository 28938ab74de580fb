//! The fabric: the stitches in the order the yarn makes them, and what each is worked into.
//!
//! This is the waist of the house. Checking, measuring, layout, drawing and JSON all read it, and
//! none of them reads the words again.

mod ids;
mod line;
mod place;
mod row;
mod spaces;
mod stitch;
mod symmetry;
mod validate;

pub use ids::{PartId, RingId, RowId, SpaceId, StitchId};
pub use line::{LineNode, Strand};
pub use place::{Edge, EdgeEnd, Place, RowEnd};
pub use row::{Direction, Event, EventKind, Part, Ring, Row, RowShape, Side, Space};
pub use stitch::{Leg, Role, Stitch};
pub use symmetry::{Middle, Symmetry, SymmetryKind};
pub use validate::Invalid;

use serde::{Deserialize, Serialize};

/// A worked piece, or several: everything that checking, measuring and drawing need.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Fabric {
    /// Title of the pattern.
    #[serde(default)]
    pub title: String,
    /// Named parts, in the order of the pattern.
    pub parts: Vec<Part>,
    /// Rows and rounds, foundations included, in working order.
    pub rows: Vec<Row>,
    /// Rings, of thread or of chains.
    #[serde(default)]
    pub rings: Vec<Ring>,
    /// Chain spaces that something was worked into, or that lie open.
    #[serde(default)]
    pub spaces: Vec<Space>,
    /// Turns, joins, yarns attached and cut, seams.
    #[serde(default)]
    pub events: Vec<Event>,
    /// Every stitch, in yarn order: the index is the id.
    pub stitches: Vec<Stitch>,
    /// What is open to be worked into when the work ends.
    #[serde(default)]
    pub edges: Vec<Edge>,
}

impl Fabric {
    /// The stitch of an id.
    ///
    /// # Panics
    /// Where the id is not of this fabric.
    pub fn stitch(&self, id: StitchId) -> &Stitch {
        &self.stitches[id.index()]
    }

    /// The row of an id.
    ///
    /// # Panics
    /// Where the id is not of this fabric.
    pub fn row(&self, id: RowId) -> &Row {
        &self.rows[id.index()]
    }
}
