//! A mark where the work is turned between rounds: rows show a turn by themselves, rounds do not.

use super::Ink;
use super::columns::bounds;
use super::ground::Ground;
use super::sample;
use super::scene::{Mark, MarkRole, Shape};
use super::trace::traced;
use crate::fabric::{EventKind, Fabric, RowShape, StitchId};
use crate::layout::Layout;
use crate::symbol::SymbolSet;
use kurbo::{Affine, Point, Vec2};

/// Distance kept from ink and labels.
const CLEAR: f64 = 0.08;
/// Directions tried, all round.
const WAYS: u32 = 32;

/// The marks, each put on the ground; none for a turn whose surroundings are full.
pub(super) fn place(fabric: &Fabric, layout: &Layout, symbols: &SymbolSet, ink: Ink, ground: &mut Ground) -> Vec<Mark> {
    let shapes = sample::mark(symbols, "turn");
    let mut marks = Vec::new();
    for last in turned_rounds(fabric) {
        let at = layout.pose(last).head;
        let Some(found) = free(&shapes, at, ground) else { continue };
        found.iter().flat_map(traced).for_each(|s| ground.add(s, None));
        marks.push(Mark {
            role: MarkRole::Turn,
            ink,
            tint: None,
            dashed: false,
            shapes: found,
            tip: None,
            stitch: Some(last),
        });
    }
    marks
}

/// The last stitch of every round after which the work is turned and goes on.
pub(super) fn turned_rounds(fabric: &Fabric) -> Vec<StitchId> {
    let ends = fabric.events.iter().filter(|e| e.kind == EventKind::Turn).filter_map(|e| e.after);
    let round = |id: &StitchId| {
        let row = fabric.row(fabric.stitch(*id).row);
        let goes_on = fabric.stitches.get(id.index() + 1).is_some_and(|next| fabric.row(next.row).part == row.part);
        matches!(row.shape, RowShape::Round | RowShape::Spiral) && goes_on
    };
    ends.filter(round).collect()
}

/// The shapes as near to a point as is free.
fn free(shapes: &[Shape], at: Point, ground: &Ground) -> Option<Vec<Shape>> {
    let middle = bounds(shapes)?.center();
    for ring in 0..24 {
        let radius = 0.4 + 0.07 * f64::from(ring);
        for way in 0..WAYS {
            let (sin, cos) = libm::sincos(std::f64::consts::TAU * f64::from(way) / f64::from(WAYS));
            let to = Affine::translate(at + Vec2::new(cos, sin) * radius - middle);
            let mut moved = shapes.to_vec();
            moved.iter_mut().for_each(|s| s.path.apply_affine(to));
            let lines: Vec<_> = moved.iter().flat_map(traced).collect();
            if ground.is_free_for(&lines, CLEAR) {
                return Some(moved);
            }
        }
    }
    None
}
