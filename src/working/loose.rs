//! Places named loosely: "sc in each sc" over a row that has tall stitches among its sc.

use super::row::{RowWork, works};
use crate::instructions::{Class, Step, Target};
use crate::source::{Code, Span};

impl RowWork<'_> {
    /// A whole row into "each sc" of an edge that has other stitches too: each stitch may be meant, and what comes later
    /// tells. None where nothing is in doubt.
    pub(super) fn named_loosely(&mut self, at: &Target, span: Span, rest: &[Step]) -> Option<Target> {
        let Target::Each { class: class @ Class::Kind(_), less, every } = at else { return None };
        if self.edge.cursor > 0 && !self.made.is_empty() || rest.iter().any(works) {
            return None;
        }
        let ahead = &self.edge.spots[self.edge.cursor.min(self.edge.spots.len())..];
        let spaces = ahead.iter().any(|s| s.is_space());
        let named = ahead.iter().filter(|s| s.is(class)).count();
        let others = ahead.iter().filter(|s| s.is(&Class::Stitch) && !s.is(class)).count();
        let loose = !spaces && named > 0 && others > 0 && self.doubt(span, 2, Code::PlacesLeft) == 1;
        loose.then_some(Target::Each { class: Class::Stitch, less: *less, every: *every })
    }
}
