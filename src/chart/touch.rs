//! What touches by its nature: a stitch and what it is worked into, neighbours in the yarn.

use crate::fabric::{EdgeEnd, Fabric, Place, RowId, Stitch, StitchId};

/// The stitches whose ink a leg meets where it enters a place.
pub(super) fn entered(fabric: &Fabric, place: &Place) -> Vec<StitchId> {
    match *place {
        Place::Space { space } => fabric.spaces[space.index()].ids.clone(),
        Place::Ring { ring } => fabric.rings[ring.index()].ids.clone(),
        Place::Between { between: [a, b] } | Place::Face { face: [a, b] } => vec![a, b],
        Place::RowEnd { row_end } => end_of_row(fabric, row_end.row, row_end.edge),
        _ => place.stitch().into_iter().collect(),
    }
}

/// True where two stitches touch by their nature: one is worked into the other, or they follow in the yarn and one is a chain or dot.
pub(super) fn related(fabric: &Fabric, a: usize, b: usize) -> bool {
    let (first, second) = (a.min(b), a.max(b));
    let (below, above) = (&fabric.stitches[first], &fabric.stitches[second]);
    let enters = above.into.iter().chain(&above.covers).any(|p| match *p {
        Place::Top { .. }
        | Place::Chain { .. }
        | Place::Underside { .. }
        | Place::Bump { .. }
        | Place::Side { .. }
        | Place::Post { .. } => p.stitch() == Some(below.id),
        _ => entered(fabric, p).contains(&below.id),
    });
    let loose = |s: &Stitch| s.is_chain() || s.is_slip_stitch();
    enters || (second == first + 1 && loose(below) && loose(above))
}

/// The stitches at one end of a row: its first or last on the line, and what was made beyond it.
fn end_of_row(fabric: &Fabric, row: RowId, edge: EdgeEnd) -> Vec<StitchId> {
    let order = &fabric.row(row).order;
    // stitches are made row by row, so that those of a row are one run about any of its ids
    let of_row = |i: &usize| fabric.stitches.get(*i).is_some_and(|s| s.row == row);
    match (edge, order.first(), order.last()) {
        (EdgeEnd::Start, Some(&first), _) => (0..=first.index()).rev().take_while(of_row).map(StitchId::new).collect(),
        (EdgeEnd::End, _, Some(&last)) => (last.index()..).take_while(of_row).map(StitchId::new).collect(),
        _ => Vec::new(),
    }
}
