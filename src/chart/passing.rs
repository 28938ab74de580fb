//! Lines that pass behind others are broken, so that the eye sees which lies in front.

use super::scene::{Paint, Shape};
use super::trace::{Segment, crossing, segments};
use crate::fabric::{Fabric, Stitch, StitchId};
use crate::symbol::PartKind;
use kurbo::{BezPath, Point};

/// Half the gap where a line passes behind another, in strokes: the line over it and one stroke each side.
const BREAK: f64 = 1.6;
/// The same from line to line, where a stem covers what it passes rather than cross it.
const CLEAR: f64 = 2.1;
/// How many stitches either way are looked at beside one that is crossed: three crossed over three span no more.
pub(super) const WINDOW: usize = 5;

/// Breaks whatever long stitches and crossed stitches pass in front of.
pub(super) fn break_crossed(fabric: &Fabric, stitches: &mut [Vec<Shape>], width: f64) {
    for stitch in fabric.stitches.iter().filter(|s| s.extra.crossed || !s.covers.is_empty()) {
        let front: Vec<Shape> = stitches[stitch.id.index()].clone();
        for behind in behind(fabric, stitch) {
            // a stroke with a gap in it is another stroke, or none
            let whole = |s: &Shape| matches!(s.kind, PartKind::Head | PartKind::Stroke);
            break_under(&mut stitches[behind.index()], &front, width, |s| !whole(s));
        }
        for covered in stitch.covers.iter().filter_map(|p| p.stitch()) {
            clear_under(&mut stitches[covered.index()], &front, width);
        }
    }
}

/// The stitches that may lie behind one: made before it, next to it or to what it covers, and not in a layer in front.
fn behind(fabric: &Fabric, stitch: &Stitch) -> Vec<StitchId> {
    let covered = stitch.covers.iter().filter_map(|p| p.stitch());
    let mut ids: Vec<StitchId> = Vec::new();
    for near in covered.chain([stitch.id]) {
        let from = near.index().saturating_sub(WINDOW);
        let to = (near.index() + WINDOW).min(fabric.stitches.len() - 1);
        ids.extend((from..=to).map(StitchId::new));
    }
    ids.sort_unstable();
    ids.dedup();
    let lies_behind = |other: &Stitch| match other.layer.cmp(&stitch.layer) {
        std::cmp::Ordering::Equal => other.id < stitch.id,
        order => order.is_lt(),
    };
    ids.retain(|&id| lies_behind(fabric.stitch(id)) && !stitch.into.iter().any(|p| p.stitch() == Some(id)));
    ids
}

/// Leaves of what a stem covers only what lies a stroke beside it: the two may run along each other.
fn clear_under(behind: &mut Vec<Shape>, front: &[Shape], width: f64) {
    let stems = front.iter().filter(|s| s.kind == PartKind::Stem);
    let over: Vec<Segment> = stems.flat_map(|s| segments(&s.path, width / 2.0)).collect();
    let hidden = |p: Point| over.iter().any(|o| o.distance_to(p) < CLEAR * width);
    let cleared = |shape: &Shape| match shape.paint {
        Paint::Stroke(_) => Shape { path: visible(&segments(&shape.path, 0.0), hidden), placed: None, ..shape.clone() },
        Paint::Fill => shape.clone(),
    };
    let mut left: Vec<Shape> = behind.iter().map(cleared).collect();
    left.retain(|s| !s.path.elements().is_empty());
    // what would be hidden whole stays as it is: no stitch is lost
    if !left.is_empty() {
        *behind = left;
    }
}

/// Leaves a gap where lines pass behind others.
pub(super) fn break_under(behind: &mut [Shape], front: &[Shape], width: f64, which: impl Fn(&Shape) -> bool) {
    let over: Vec<Segment> = front.iter().flat_map(|s| segments(&s.path, width / 2.0)).collect();
    for shape in behind.iter_mut().filter(|s| matches!(s.paint, Paint::Stroke(_)) && which(s)) {
        let own = segments(&shape.path, 0.0);
        let crossings: Vec<Point> = own.iter().flat_map(|s| over.iter().filter_map(|o| crossing(s, o))).collect();
        if !crossings.is_empty() {
            shape.path = visible(&own, |p| crossings.iter().any(|c| (*c - p).hypot2().sqrt() < BREAK * width));
            shape.placed = None;
        }
    }
}

/// The stretches of a path that are not hidden, found to a fiftieth of an sc. Crumbs are left out.
fn visible(path: &[Segment], hidden: impl Fn(Point) -> bool) -> BezPath {
    const STEP: f64 = 0.02;
    let mut stretches: Vec<Vec<Point>> = Vec::new();
    let mut drawing = false;
    for segment in path {
        let pieces = ((segment.b - segment.a).hypot() / STEP).ceil().max(1.0) as usize;
        let at = |k: usize| segment.a.lerp(segment.b, k as f64 / pieces as f64);
        drawing &= stretches.last().and_then(|s| s.last()) == Some(&segment.a);
        for k in 0..=pieces {
            match (hidden(at(k)), drawing) {
                (false, false) => stretches.push(vec![at(k)]),
                (false, true) => {
                    let line = stretches.last_mut().expect("a stretch is being drawn");
                    // straight stretches stay one line: only its end moves on
                    if k > 1 && line.len() > 1 {
                        line.pop();
                    }
                    line.push(at(k));
                }
                _ => {}
            }
            drawing = !hidden(at(k));
        }
    }
    let mut out = BezPath::new();
    for line in stretches.iter().filter(|l| length(l) > CRUMB) {
        out.move_to(line[0]);
        line[1..].iter().for_each(|&p| out.line_to(p));
    }
    out
}

/// What is left of a line that is broken is a line, and no dot, if it is longer than a stroke is wide.
const CRUMB: f64 = 0.1;

fn length(line: &[Point]) -> f64 {
    line.windows(2).map(|w| (w[1] - w[0]).hypot()).sum()
}
