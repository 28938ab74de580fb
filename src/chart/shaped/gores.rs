//! How the rounds beyond the disc are cut, so that they can be laid open.

use super::super::part::passes_of_row;
use crate::fabric::{Fabric, Place, Role, RowId, StitchId};

/// The stitches of one gore or strip: those it stands on, and its own, in yarn order.
pub(super) struct Gore {
    pub base: Vec<StitchId>,
    pub keep: Vec<StitchId>,
}

/// The rounds beyond `disc` in gores, one for each pass of the first round that loses stitches; else in one strip.
pub(super) fn cut(fabric: &Fabric, disc: RowId, beyond: &[RowId]) -> Vec<Gore> {
    let decreasing = beyond.iter().copied().find(|&row| count(fabric, row) < count_below(fabric, disc, beyond, row));
    let gores = decreasing.and_then(|row| by_passes(fabric, disc, beyond, row));
    gores.unwrap_or_else(|| vec![strip(fabric, disc, beyond)])
}

/// Stitches that count in a round.
pub(super) fn count(fabric: &Fabric, row: RowId) -> usize {
    fabric.stitches.iter().filter(|s| s.row == row && s.counts).count()
}

fn count_below(fabric: &Fabric, disc: RowId, beyond: &[RowId], row: RowId) -> usize {
    let below = beyond.iter().rev().find(|&&r| r < row).copied().unwrap_or(disc);
    count(fabric, below)
}

fn strip(fabric: &Fabric, disc: RowId, beyond: &[RowId]) -> Gore {
    let keep = fabric.stitches.iter().filter(|s| beyond.contains(&s.row)).map(|s| s.id).collect();
    Gore { base: fabric.row(disc).order.clone(), keep }
}

/// The stitches a stitch stands on.
fn bases(fabric: &Fabric, id: StitchId) -> Vec<StitchId> {
    let stands = |p: &Place| match *p {
        Place::Top { top, .. } => Some(top),
        Place::Post { post, .. } => Some(post),
        _ => None,
    };
    fabric.stitch(id).into.iter().filter_map(stands).collect()
}

/// None where a pass is cut through by another, or a stitch belongs to none.
fn by_passes(fabric: &Fabric, disc: RowId, beyond: &[RowId], from: RowId) -> Option<Vec<Gore>> {
    let passes = passes_of_row(fabric, from);
    let whole = passes.iter().map(Vec::len).sum::<usize>() == fabric.row(from).order.len();
    if passes.len() < 3 || !whole {
        return None;
    }
    let mut of: Vec<Option<usize>> = vec![None; fabric.stitches.len()];
    for (k, pass) in passes.iter().enumerate() {
        pass.iter().for_each(|id| of[id.index()] = Some(k));
    }
    // downward each stitch belongs to what stands on it, upward to what it stands on
    let down = beyond.iter().rev().filter(|&&r| r <= from);
    for &id in down.flat_map(|&r| &fabric.row(r).order) {
        let gore = of[id.index()];
        bases(fabric, id).iter().for_each(|b| of[b.index()] = of[b.index()].or(gore));
    }
    for &id in beyond.iter().filter(|&&r| r > from).flat_map(|&r| &fabric.row(r).order) {
        of[id.index()] = bases(fabric, id).first().and_then(|b| of[b.index()]);
    }
    let rows = || beyond.iter().copied().chain([disc]);
    for row in rows() {
        let line: Option<Vec<usize>> = fabric.row(row).order.iter().map(|id| of[id.index()]).collect();
        // each gore one run, in their order
        if !line?.is_sorted() {
            return None;
        }
    }
    // what stands in no line goes with its neighbour: a turning chain with the next stitch, a join with what it enters
    let mut next: Option<usize> = None;
    for stitch in fabric.stitches.iter().rev().filter(|s| beyond.contains(&s.row)) {
        let k = stitch.id.index();
        if of[k].is_none() {
            let entered = bases(fabric, stitch.id).first().and_then(|b| of[b.index()]);
            of[k] = if stitch.role == Role::Turning { next } else { entered.or(next) };
        }
        next = of[k].or(next);
    }
    let gore = |k: usize| {
        let own = |id: &&StitchId| of[id.index()] == Some(k);
        let base = fabric.row(disc).order.iter().filter(own).copied().collect();
        let all = fabric.stitches.iter().filter(|s| beyond.contains(&s.row)).map(|s| s.id);
        Gore { base, keep: all.filter(|id| of[id.index()].unwrap_or(0) == k).collect() }
    };
    Some((0..passes.len()).map(gore).collect())
}
