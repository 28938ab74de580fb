//! Openings: stitches that a row skipped and the chain it made over them, worked round later, as for a tail, a leg, a
//! spout or a handle.

use super::edge::{LiveEdge, Spot, What};
use super::row::RowWork;
use crate::fabric::{Place, Role, RowId, StitchId};
use crate::instructions::{Class, Step};
use crate::source::Span;

/// What lies round an opening.
struct Opening {
    /// The stitches skipped, in the order they were made.
    skipped: Vec<StitchId>,
    /// The chains over them.
    chains: Vec<StitchId>,
}

impl RowWork<'_> {
    /// Goes round the opening that a row left: its skipped stitches from the first, then the chain over them from below.
    /// Where there is none the skipped stitches are those of a row told by its number, or nothing is there.
    pub(super) fn round_opening(&mut self, row: Option<u32>, span: Span, rest: &[Step]) {
        if self.takes_opening(row) {
            return;
        }
        match row {
            Some(number) => self.of_row(number, rest),
            None => self.no_place(span, "no row has left an opening: stitches skipped, with a chain over them"),
        }
    }

    /// Takes the first opening in hand that nothing has been worked into; false where there is none.
    pub(super) fn takes_opening(&mut self, row: Option<u32>) -> bool {
        let used = self.bench.piece.first().map(|&r| self.used_since(r)).unwrap_or_default().tops;
        let free = |o: &Opening| o.skipped.iter().all(|id| !used.contains_key(id));
        let Some(opening) = self.openings(row).into_iter().find(free) else { return false };
        let skipped = opening.skipped.iter().map(|&id| self.bench.spot_of(id));
        self.edge = LiveEdge::new(skipped.chain(below(&opening.chains)).collect(), true);
        (self.last, self.entered) = (None, None);
        true
    }

    /// True on the edge of an opening, whose stitches are those skipped.
    pub(super) fn on_opening(&self) -> bool {
        let from_below = |s: &Spot| s.what == What::Chain && matches!(s.place, Place::Underside { .. });
        self.edge.closed && self.edge.spots.iter().any(from_below) && !self.edge.spots[0].is(&Class::Chain)
    }

    /// The openings of the piece, the latest row's first; of a row told by its number, or left in it.
    fn openings(&self, row: Option<u32>) -> Vec<Opening> {
        let rows: Vec<RowId> = self.bench.piece.iter().copied().filter(|&r| r != self.row).collect();
        let number = |k: usize| rows.get(k).and_then(|&r| self.number_of(r));
        // "skipped sts of rnd 4": those it passed by, or else those of its own that the next passed by
        let by_row = |told: Option<u32>| -> Vec<Opening> {
            let fits = |k: &usize| told.is_none() || number(*k) == told;
            (1..rows.len()).rev().filter(fits).flat_map(|k| self.openings_of(rows[k - 1], rows[k])).collect()
        };
        let found = by_row(row);
        if found.is_empty() && row.is_some() { by_row(row.map(|n| n.saturating_add(1))) } else { found }
    }

    fn openings_of(&self, below: RowId, row: RowId) -> Vec<Opening> {
        let fabric = &self.bench.fabric;
        let (under, order) = (&fabric.row(below).order, &fabric.row(row).order);
        let stands_on = |id: StitchId| {
            let into = &fabric.stitch(id).into;
            into.iter().rev().find_map(|p| under.iter().position(|&u| p.stitch() == Some(u)))
        };
        let mut found = Vec::new();
        for (at, &first) in order.iter().enumerate() {
            let space = fabric.space_of(first).map(|space| &fabric.spaces[space.index()].ids);
            let Some(chains) = space.filter(|ids| ids.len() > 1 && ids[0] == first).cloned() else { continue };
            let before = order[..at].iter().rev().find_map(|&id| stands_on(id));
            let behind = order[at + chains.len()..].iter().find_map(|&id| stands_on(id));
            let (from, to) = (before.map_or(0, |k| k + 1), behind.unwrap_or(under.len()));
            let plain = |id: &StitchId| {
                let stitch = fabric.stitch(*id);
                !stitch.is_chain() && stitch.role == Role::Base
            };
            let skipped: Vec<StitchId> =
                under.get(from..to).unwrap_or_default().iter().copied().filter(plain).collect();
            if skipped.len() > 1 {
                found.push(Opening { skipped, chains });
            }
        }
        found
    }
}

fn below(chains: &[StitchId]) -> impl Iterator<Item = Spot> + '_ {
    chains.iter().rev().map(|&id| Spot::new(Place::underside(id), What::Chain))
}
