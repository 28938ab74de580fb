//! The passes of a row's repeat, as its words have them.

use crate::fabric::{Fabric, RowId, StitchId};

/// The stitches of each pass of a row's main repeat, in working order and in the row's line; empty where nothing repeats.
///
/// A row may repeat several things: the main one is that which makes most stitches.
pub(in super::super) fn of_row(fabric: &Fabric, row: RowId) -> Vec<Vec<StitchId>> {
    let mut repeats: Vec<Vec<Vec<StitchId>>> = Vec::new();
    let mut last: Option<u32> = None;
    for &id in &fabric.row(row).order {
        let pass = fabric.stitch(id).pass.first().copied();
        if let Some(n) = pass {
            match last {
                Some(before) if n == before => {}
                // the next pass of the same repeat
                Some(before) if n == before + 1 => repeats.last_mut().into_iter().for_each(|r| r.push(Vec::new())),
                _ => repeats.push(vec![Vec::new()]),
            }
            if let Some(members) = repeats.last_mut().and_then(|r| r.last_mut()) {
                members.push(id);
            }
        }
        last = pass;
    }
    repeats.retain(|r| r.len() > 1);
    repeats.into_iter().max_by_key(|r| (r.iter().map(Vec::len).sum::<usize>(), r.len())).unwrap_or_default()
}
