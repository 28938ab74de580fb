//! Which rows hang together: a piece each.

use crate::fabric::{Fabric, Place, RowShape};

/// Rows that hang together, in working order, piece by piece.
pub(super) fn pieces(fabric: &Fabric) -> Vec<Vec<usize>> {
    let rows = fabric.rows.len();
    let mut piece: Vec<usize> = (0..rows).collect();
    let root = |piece: &[usize], mut r: usize| {
        while piece[r] != r {
            r = piece[r];
        }
        r
    };
    let mut first_in_ring: Vec<Option<usize>> = vec![None; fabric.rings.len()];
    for stitch in &fabric.stitches {
        for place in &stitch.into {
            let other = match *place {
                Place::RowEnd { row_end } => Some(row_end.row.index()),
                Place::Ring { ring } => Some(*first_in_ring[ring.index()].get_or_insert(stitch.row.index())),
                Place::Space { space } => {
                    let first = fabric.spaces[space.index()].ids.first();
                    first.map(|&id| fabric.stitch(id).row.index())
                }
                Place::Between { between: [id, _] } | Place::Face { face: [id, _] } => {
                    Some(fabric.stitch(id).row.index())
                }
                _ => place.stitch().map(|id| fabric.stitch(id).row.index()),
            };
            if let Some(other) = other {
                let (a, b) = (root(&piece, stitch.row.index()), root(&piece, other));
                piece[a.max(b)] = a.min(b);
            }
        }
    }
    let mut found: Vec<Vec<usize>> = vec![Vec::new(); rows];
    for row in 0..rows {
        found[root(&piece, row)].push(row);
    }
    found.retain(|rows| rows.iter().any(|&r| fabric.rows[r].shape != RowShape::Foundation));
    found
}
