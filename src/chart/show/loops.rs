//! Loops and spaces that nothing is worked into.

use super::super::Ink;
use super::super::columns::Entry;
use super::super::ground::Ground;
use super::super::legs::mean;
use super::super::numbers::unit;
use super::super::scene::{Mark, MarkRole};
use super::super::trace::{Segment, traced};
use super::{Work, entry, mark};
use crate::craft::LoopPart;
use crate::fabric::{Place, Role, RowShape, Stitch, StitchId};
use crate::symbol::Speak;
use kurbo::{Arc, BezPath, Circle, Point, Shape as _, Vec2};

const INK: Ink = Ink([0x0a, 0x6b, 0x78]);
const LINE: f64 = 0.055;
const RADIUS: f64 = 0.11;

/// What of a place is open.
#[derive(Clone, Copy, PartialEq)]
enum Open {
    Whole,
    Front,
    Back,
}

/// A ring over every open loop or space, half a ring over one that has one of its two loops left.
pub(super) fn rings(work: &Work, ground: &mut Ground) -> Vec<Mark> {
    let mut marks = Vec::new();
    for (stitch, at, up, open) in open_places(work) {
        let mut best: Option<Mark> = None;
        // off the head, and aside where the way is barred; where nothing is free it lies on what it least hides
        'search: for clear in [0.05, 0.02, -0.03, f64::NEG_INFINITY] {
            for off in [0.28, 0.36, 0.46, 0.2, 0.56] {
                for aside in [0.0, 0.12, -0.12, 0.26, -0.26] {
                    let centre = at + up * off + Vec2::new(-up.y, up.x) * aside;
                    let ring = ring(centre, up, open, stitch);
                    let lines: Vec<Segment> = ring.shapes.iter().flat_map(traced).collect();
                    if ground.is_free_for(&lines, clear) {
                        best = Some(ring);
                        break 'search;
                    }
                }
            }
        }
        if let Some(ring) = best {
            ring.shapes.iter().flat_map(traced).for_each(|s| ground.add(s, None));
            marks.push(ring);
        }
    }
    marks
}

fn ring(centre: Point, up: Vec2, open: Open, stitch: StitchId) -> Mark {
    let turn = libm::atan2(up.y, up.x);
    let half = std::f64::consts::PI;
    let path: BezPath = match open {
        Open::Whole => Circle::new(centre, RADIUS).to_path(0.001),
        // the half that is left: the front loop lies toward the reader, below
        Open::Front => Arc::new(centre, (RADIUS, RADIUS), turn + half / 2.0, half, 0.0).to_path(0.001),
        Open::Back => Arc::new(centre, (RADIUS, RADIUS), turn - half / 2.0, half, 0.0).to_path(0.001),
    };
    let role = if open == Open::Whole { MarkRole::OpenLoop } else { MarkRole::HalfLoop };
    Mark { stitch: Some(stitch), ..mark(role, INK, path, LINE) }
}

fn open_places(work: &Work) -> Vec<(StitchId, Point, Vec2, Open)> {
    let fabric = work.fabric;
    let mut tops: Vec<Vec<LoopPart>> = vec![Vec::new(); fabric.stitches.len()];
    let (mut upper, mut under) = (vec![false; fabric.stitches.len()], vec![false; fabric.stitches.len()]);
    let mut spaces = vec![false; fabric.spaces.len()];
    for place in fabric.stitches.iter().flat_map(|s| &s.into) {
        match *place {
            Place::Top { top, part } => tops[top.index()].push(part),
            Place::Chain { chain } | Place::Bump { bump: chain } => upper[chain.index()] = true,
            Place::Underside { underside } => under[underside.index()] = true,
            Place::Space { space } => spaces[space.index()] = true,
            _ => {}
        }
    }
    let mut found = Vec::new();
    for stitch in fabric.stitches.iter().filter(|s| work.is_drawn(s.id)) {
        let (id, k) = (stitch.id, stitch.id.index());
        let pose = work.layout.pose(id);
        if has_top(work, stitch) {
            let up = mean(&pose.feet).and_then(|f| unit(pose.head - f)).unwrap_or(Vec2::new(0.0, -1.0));
            let open = match tops[k].as_slice() {
                [] => Some(Open::Whole),
                all if all.iter().all(|p| *p == LoopPart::Back) => Some(Open::Front),
                all if all.iter().all(|p| *p == LoopPart::Front) => Some(Open::Back),
                _ => None,
            };
            found.extend(open.map(|open| (id, pose.head, up, open)));
        } else if stitch.is_chain() && fabric.row(stitch.row).shape == RowShape::Foundation && upper[k] != under[k] {
            // the side away from what stands on the worked one
            let worked = fabric.stitches.iter().find(|s| s.into.iter().any(|p| p.stitch() == Some(id)));
            let away = worked.and_then(|s| unit(pose.head - work.layout.pose(s.id).head));
            found.extend(away.map(|away| (id, pose.head, away, Open::Whole)));
        }
    }
    for (k, space) in fabric.spaces.iter().enumerate().filter(|(k, _)| !spaces[*k]) {
        let drawn = space.ids.iter().copied().find(|&id| work.is_drawn(id));
        let Some((id, arc)) = drawn.zip(work.layout.spaces.get(k)) else { continue };
        // a chain of the space worked into by itself fills it as well
        let entered = space.ids.iter().any(|id| upper[id.index()] || !tops[id.index()].is_empty());
        if let Some(up) = unit(arc.apex - arc.start.midpoint(arc.end)).filter(|_| !entered) {
            found.push((id, arc.apex, up, Open::Whole));
        }
    }
    found
}

/// True for a stitch that the next row could stand on.
fn has_top(work: &Work, stitch: &Stitch) -> bool {
    let stands = matches!(stitch.role, Role::Base | Role::Branch) && !stitch.is_chain();
    let in_space = work.fabric.space_of(stitch.id).is_some();
    (stands && (stitch.counts || !stitch.is_slip_stitch()) && !in_space) || stitch.is_counting_turning_chain()
}

pub(super) fn entries(marks: &[Mark], speak: Speak) -> Vec<Entry> {
    let sample = |role, open, key| {
        let shown = marks.iter().any(|m| m.role == role);
        shown.then(|| entry(ring(Point::ORIGIN, Vec2::new(0.0, -1.0), open, StitchId::default()), key, speak))
    };
    let whole = sample(MarkRole::OpenLoop, Open::Whole, "open here");
    let half = sample(MarkRole::HalfLoop, Open::Front, "half open");
    whole.into_iter().chain(half).collect()
}
