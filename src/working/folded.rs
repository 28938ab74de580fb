//! A tube flattened and closed: each stitch goes through the front layer and the one behind it.

use super::row::RowWork;
use crate::instructions::{Act, CountOf, Step};

impl RowWork<'_> {
    /// Only the front half of a closed edge is worked along where a row folds it flat; the count that the row states says
    /// on which side of the fold a stitch in the middle lies.
    pub(super) fn fold_flat(&mut self, steps: &[Step]) {
        let folded = steps.iter().any(|s| matches!(s.act, Act::BothLayers { next: false, folded: true }));
        if !folded || !self.edge.closed {
            return;
        }
        let places = self.edge.spots.len();
        let half = places.div_ceil(2);
        let told = self.tally.stated.iter().find(|s| matches!(s.of, CountOf::Sts | CountOf::Kind(_)));
        let told = told.map(|s| s.count as usize).filter(|&n| n.abs_diff(half) <= 1);
        self.edge.fence = Some(told.unwrap_or(half).min(places));
    }
}
