//! Rows that hang together.

use crate::fabric::{Fabric, Place, RowId, StitchId};

/// The pieces of a fabric: rows worked onto each other, in working order. Rows of which nothing was made are left out.
pub(super) fn pieces(fabric: &Fabric) -> Vec<Vec<RowId>> {
    let mut first: Vec<usize> = (0..fabric.rows.len()).collect();
    let mut rings: Vec<Option<usize>> = vec![None; fabric.rings.len()];
    for stitch in &fabric.stitches {
        let own = stitch.row.index();
        for place in stitch.legs.iter().flat_map(|l| &l.into).chain(&stitch.into) {
            if let Place::Ring { ring } = *place {
                let held = *rings[ring.index()].get_or_insert(own);
                join(&mut first, own, held);
            }
            rows_of(fabric, place).into_iter().for_each(|row| join(&mut first, own, row.index()));
        }
    }
    let mut pieces: Vec<Vec<RowId>> = vec![Vec::new(); fabric.rows.len()];
    for row in &fabric.rows {
        if fabric.stitches.iter().any(|s| s.row == row.index) {
            pieces[root(&first, row.index.index())].push(row.index);
        }
    }
    pieces.retain(|p| !p.is_empty());
    pieces
}

/// The rows a place belongs to.
pub(super) fn rows_of(fabric: &Fabric, place: &Place) -> Vec<RowId> {
    // the chain that turns after a foundation is one with the row it turns into
    let of = |id: StitchId| super::compose::seen_row(fabric, fabric.stitch(id));
    match *place {
        Place::Space { space } => fabric.spaces[space.index()].ids.first().map(|&id| of(id)).into_iter().collect(),
        Place::Ring { ring } => fabric.rings[ring.index()].ids.first().map(|&id| of(id)).into_iter().collect(),
        Place::Between { between } => between.map(of).to_vec(),
        Place::Face { face } => face.map(of).to_vec(),
        Place::RowEnd { row_end } => vec![row_end.row],
        _ => place.stitch().map(of).into_iter().collect(),
    }
}

fn root(first: &[usize], mut row: usize) -> usize {
    while first[row] != row {
        row = first[row];
    }
    row
}

fn join(first: &mut [usize], a: usize, b: usize) {
    let (a, b) = (root(first, a), root(first, b));
    first[a.max(b)] = a.min(b);
}
