//! One sector of a piece in rounds.

use super::passes::of_row;
use super::repeat::take;
use super::{Pick, Repeat, Says, Shown};
use crate::fabric::{Fabric, Middle, RowId, StitchId, SymmetryKind};
use crate::layout::Layout;
use kurbo::Point;
use std::f64::consts::TAU;

/// A round of at most so many stitches stands complete: cut, it is not seen that it is a round.
const SMALL: usize = 16;

/// The sector of some rounds, worked outward from a ring; none where the rounds have no repeat in common.
pub(super) fn of_rounds(fabric: &Fabric, layout: &Layout, rounds: &[RowId]) -> Option<Pick> {
    let (order, centre) = repeats(fabric, layout, rounds)?;
    let outer = fabric.row(*rounds.last()?);
    let share = |row: RowId| fabric.row(row).order.len() / order;
    // the sector opens where a pass of the outermost round does, about half way round
    let starts = starts(fabric, outer.index, share(outer.index), order);
    let start = starts.get(starts.len() / 2).copied().unwrap_or(0);
    let axis = mean_angle(layout, centre, &run(&outer.order, start, share(outer.index)));
    let mut pick = Pick::none(fabric);
    let mut bounds = Vec::new();
    for (k, &row) in rounds.iter().enumerate() {
        let line = &fabric.row(row).order;
        let whole = k == 0 || (line.len() <= SMALL && k < rounds.len() / 2) || !line.len().is_multiple_of(order);
        if whole {
            fabric.stitches.iter().filter(|s| s.row == row).for_each(|s| pick.show(s.id, Shown::Full));
            continue;
        }
        let size = share(row);
        let off = |start: usize| turn(mean_angle(layout, centre, &run(line, start, size)) - axis).abs();
        let starts = self::starts(fabric, row, size, order);
        let best = starts.iter().copied().min_by(|&a, &b| off(a).total_cmp(&off(b)))?;
        bounds.extend(take(&mut pick, fabric.row(row), &run(line, best, size)));
    }
    // a foundation ring of chains belongs to the first round
    let first = fabric.row(rounds[0]);
    let ring = fabric.rings.iter().filter(|r| r.row <= first.index).flat_map(|r| &r.ids);
    ring.for_each(|&id| pick.show(id, Shown::Full));
    pick.with_hangers_on(fabric);
    pick.repeat = Some(Repeat { bounds, says: Says::Times(order) });
    Some(pick)
}

/// How many sectors the rounds have, and their middle: by the turn that carries the fabric into itself, else by the passes
/// of the words.
fn repeats(fabric: &Fabric, layout: &Layout, rounds: &[RowId]) -> Option<(usize, Point)> {
    let outer = *rounds.last()?;
    let symmetry = fabric.symmetries().into_iter().find_map(|s| match s.kind {
        SymmetryKind::Turn { order, about } if s.rows.contains(&outer) => Some((order, about)),
        _ => None,
    });
    let middle = || {
        let heads = fabric.row(rounds[0]).order.iter().map(|&id| layout.pose(id).head.to_vec2());
        let n = fabric.row(rounds[0]).order.len().max(1) as f64;
        (heads.fold(kurbo::Vec2::ZERO, |sum, v| sum + v) / n).to_point()
    };
    let (order, centre) = match symmetry {
        Some((order, Middle::Ring(ring))) => (order, layout.rings.get(ring.index()).map_or_else(middle, |r| r.centre)),
        Some((order, Middle::Chain(chain))) => (order, layout.pose(chain).head),
        None => (of_row(fabric, outer).len(), middle()),
    };
    (order > 2 && fabric.row(outer).order.len().is_multiple_of(order)).then_some((order, centre))
}

/// Places in a round's line where a sector may open: where the words begin a pass that is no smaller than the sector, or a
/// whole part of it; anywhere where the words tell nothing.
fn starts(fabric: &Fabric, row: RowId, size: usize, order: usize) -> Vec<usize> {
    let line = &fabric.row(row).order;
    let passes = of_row(fabric, row);
    let fits = passes.iter().all(|p| p.len() == passes[0].len() && size.is_multiple_of(p.len()));
    let told: Vec<usize> = passes.iter().filter_map(|p| line.iter().position(|o| Some(o) == p.first())).collect();
    if told.is_empty() || !fits {
        return (0..line.len()).collect();
    }
    // where the words write some of the sectors out, those begin a whole number of passes away
    let step = passes[0].len();
    let lead = told[0] % step;
    let all: Vec<usize> = (0..line.len() / step).map(|k| lead + k * step).filter(|&k| k < line.len()).collect();
    if passes.len().is_multiple_of(order) { told } else { all }
}

/// `size` stitches of a closed line from a place on.
fn run(line: &[StitchId], start: usize, size: usize) -> Vec<StitchId> {
    (0..size).map(|k| line[(start + k) % line.len()]).collect()
}

fn mean_angle(layout: &Layout, centre: Point, ids: &[StitchId]) -> f64 {
    let sum = ids.iter().fold(kurbo::Vec2::ZERO, |sum, &id| {
        let v = layout.pose(id).head - centre;
        sum + v / v.hypot2().sqrt().max(1e-9)
    });
    libm::atan2(sum.y, sum.x)
}

/// An angle between half a turn back and half a turn on.
fn turn(angle: f64) -> f64 {
    angle - TAU * libm::round(angle / TAU)
}
