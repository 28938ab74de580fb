//! The outline of the piece as it would lie on a table, laid over the chart at the same stitch width.

use super::super::Ink;
use super::super::columns::Entry;
use super::super::ground::Ground;
use super::super::scene::{Label, Mark, MarkRole};
use super::super::spot;
use super::super::trace::{Segment, traced};
use super::{Work, entry, mark};
use crate::measure::Outline;
use crate::symbol::Speak;
use kurbo::{Affine, BezPath, Point, Vec2};

const INK: Ink = Ink([0x3d, 0x4f, 0x5c]);
const LINE: f64 = 0.07;
/// Longest piece of the line that is drawn or left out as one.
const PIECE: f64 = 0.05;
/// How far from the line its size may stand.
const REACH: f64 = 2.5;

/// The outlines of the pieces that are drawn, each laid on the stitches it has in the chart.
fn laid<'a>(work: &'a Work) -> impl Iterator<Item = (&'a Outline, Vec<Vec<Point>>)> {
    let drawn = |o: &&Outline| !o.heads.is_empty() && o.heads.iter().all(|(id, _)| work.is_drawn(*id));
    work.outlines.iter().filter(drawn).map(|o| {
        let to = fitted(o, work);
        (o, o.lines.iter().map(|l| l.iter().map(|&p| to * p).collect()).collect())
    })
}

/// The move, turn or mirroring after which the heads of the piece lie nearest to those of the chart.
fn fitted(outline: &Outline, work: &Work) -> Affine {
    let n = outline.heads.len() as f64;
    let middle = |points: &mut dyn Iterator<Item = Point>| points.fold(Vec2::ZERO, |sum, p| sum + p.to_vec2() / n);
    let from = middle(&mut outline.heads.iter().map(|h| h.1));
    let to = middle(&mut outline.heads.iter().map(|h| work.layout.pose(h.0).head));
    // the turn that fits best, by least squares, straight and mirrored
    let turn = |mirror: f64| {
        let (mut along, mut across) = (0.0, 0.0);
        for (id, p) in &outline.heads {
            let (a, b) = (p.to_vec2() - from, work.layout.pose(*id).head.to_vec2() - to);
            let a = Vec2::new(a.x * mirror, a.y);
            along += a.dot(b);
            across += a.cross(b);
        }
        ((along * along + across * across).sqrt(), libm::atan2(across, along), mirror)
    };
    let (straight, mirrored) = (turn(1.0), turn(-1.0));
    let (_, angle, mirror) = if mirrored.0 > straight.0 * (1.0 + 1e-9) { mirrored } else { straight };
    let (sin, cos) = libm::sincos(angle);
    Affine::translate(to) * Affine::new([cos * mirror, sin * mirror, -sin, cos, 0.0, 0.0]) * Affine::translate(-from)
}

/// A dashed line round each piece, broken where a label stands.
pub(super) fn lines(work: &Work, ground: &mut Ground) -> Vec<Mark> {
    let mut marks = Vec::new();
    for (_, lines) in laid(work) {
        let mut path = BezPath::new();
        for line in &lines {
            let mut pen = false;
            for (k, &a) in line.iter().enumerate() {
                let b = line[(k + 1) % line.len()];
                let whole = ground.is_off_labels(&Segment::new(a, b, LINE));
                let pieces = if whole { 1 } else { ((b - a).hypot2().sqrt() / PIECE).ceil().max(1.0) as usize };
                for i in 0..pieces {
                    let [from, to] = [i, i + 1].map(|i| a.lerp(b, i as f64 / pieces as f64));
                    if !whole && !ground.is_off_labels(&Segment::new(from, to, LINE)) {
                        pen = false;
                        continue;
                    }
                    if !pen {
                        path.move_to(from);
                    }
                    path.line_to(to);
                    pen = true;
                }
            }
        }
        if !path.elements().is_empty() {
            marks.push(mark(MarkRole::Edge, INK, path, LINE));
        }
    }
    marks.iter().flat_map(|m| &m.shapes).flat_map(traced).for_each(|s| ground.add(s, None));
    marks
}

/// Width and height below each outline, where they are known.
pub(super) fn sizes(work: &Work, ground: &mut Ground) -> Vec<Label> {
    let mut labels = Vec::new();
    for (outline, lines) in laid(work) {
        let Some([width, height]) = outline.size_mm else { continue };
        let points = || lines.iter().flatten();
        let low = points().map(|p| p.y).fold(f64::NEG_INFINITY, f64::max);
        let middle = points().map(|p| p.x).sum::<f64>() / points().count().max(1) as f64;
        let label = work.note(&format!("{width:.0} × {height:.0} mm"), INK);
        let below = Point::new(middle, low + label.bounds.height());
        labels.extend(spot::near(&label, below, Vec2::new(0.0, 1.0), REACH, ground));
    }
    labels
}

/// The line as the legend shows it.
pub(super) fn entries(marks: &[Mark], speak: Speak) -> Vec<Entry> {
    let mut path = BezPath::new();
    path.move_to((0.0, 0.0));
    path.line_to((1.2, 0.0));
    let sample = entry(mark(MarkRole::Edge, INK, path, LINE), "true outline", speak);
    if marks.is_empty() { Vec::new() } else { vec![sample] }
}
