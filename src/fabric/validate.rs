use super::{Fabric, Place, StitchId};
use std::fmt;

/// Why a fabric from outside is not one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Invalid(String);

impl fmt::Display for Invalid {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for Invalid {}

impl Fabric {
    /// Checks that every id is there, that ids ascend, and that no stitch stands on one made after it.
    ///
    /// # Errors
    /// The first fault found, in words.
    pub fn validate(&self) -> Result<(), Invalid> {
        let fault = |text: String| Err(Invalid(text));
        for (i, row) in self.rows.iter().enumerate() {
            if row.index.index() != i {
                return fault(format!("row {i} has index {}", row.index.index()));
            }
            if row.part.index() >= self.parts.len() {
                return fault(format!("row {i} belongs to part {}, which is not there", row.part.index()));
            }
            let branch = row.strands.iter().flat_map(|s| s.chain.iter().chain(&s.order).chain([&s.root]));
            if let Some(id) = row.order.iter().chain(branch).find(|id| id.index() >= self.stitches.len()) {
                return fault(format!("row {i} names stitch {}, which is not there", id.index()));
            }
        }
        for (i, stitch) in self.stitches.iter().enumerate() {
            if stitch.id.index() != i {
                return fault(format!("stitch {i} has id {}", stitch.id.index()));
            }
            if stitch.row.index() >= self.rows.len() {
                return fault(format!("stitch {i} is in row {}, which is not there", stitch.row.index()));
            }
            if stitch.legs.is_empty() {
                return fault(format!("stitch {i} has no leg"));
            }
            for place in stitch.legs.iter().flat_map(|l| &l.into).chain(&stitch.into) {
                self.validate_place(stitch.id, place)?;
            }
        }
        for (k, space) in self.spaces.iter().enumerate() {
            if space.ids.is_empty() || space.ids.iter().any(|id| id.index() >= self.stitches.len()) {
                return fault(format!("space {k} has no chains, or names one that is not there"));
            }
        }
        for (k, ring) in self.rings.iter().enumerate() {
            if ring.row.index() >= self.rows.len() || ring.ids.iter().any(|id| id.index() >= self.stitches.len()) {
                return fault(format!("ring {k} names a row or chain that is not there"));
            }
        }
        Ok(())
    }

    fn validate_place(&self, id: StitchId, place: &Place) -> Result<(), Invalid> {
        let earlier = |other: StitchId| other < id;
        let good = match *place {
            Place::Between { between: [a, b] } | Place::Face { face: [a, b] } => earlier(a) && earlier(b),
            Place::Space { space } => self.spaces.get(space.index()).is_some_and(|s| s.ids.iter().all(|&c| earlier(c))),
            Place::Ring { ring } => ring.index() < self.rings.len(),
            Place::RowEnd { row_end } => row_end.row.index() < self.rows.len() && row_end.at.is_finite(),
            _ => place.stitch().is_some_and(earlier),
        };
        if good {
            Ok(())
        } else {
            Err(Invalid(format!("stitch {} is worked into a place that is not there", id.index())))
        }
    }
}
