//! A tint with a line round it, under several symbols.

use super::super::ground::Ground;
use super::super::scene::{Paint, Shape};
use super::super::trace::{Segment, traced};
use crate::symbol::PartKind;
use kurbo::{BezPath, Point};

/// How far the line keeps off the ink.
const ROOM: f64 = 0.13;
/// Directions in which the room is kept.
const WAYS: usize = 16;

/// Longest piece of the line that is drawn or left out as one.
const PIECE: f64 = 0.05;

/// The tightest outline without dents that keeps off the ink of all shapes: filled, and its line, broken where a label
/// stands. None where there is no ink.
pub(super) fn around<'a>(shapes: impl Iterator<Item = &'a Shape>, width: f64, ground: &Ground) -> Option<[Shape; 2]> {
    let mut points: Vec<Point> = Vec::new();
    for segment in shapes.flat_map(traced) {
        let room = segment.half + ROOM;
        for way in 0..WAYS {
            let (sin, cos) = libm::sincos(std::f64::consts::TAU * way as f64 / WAYS as f64);
            points.extend([segment.a, segment.b].map(|p| Point::new(p.x + room * cos, p.y + room * sin)));
        }
    }
    let hull = hull(points);
    let (first, rest) = hull.split_first()?;
    let mut area = BezPath::new();
    area.move_to(*first);
    rest.iter().for_each(|p| area.line_to(*p));
    area.close_path();
    let mut line = BezPath::new();
    let mut pen = false;
    for (k, &a) in hull.iter().enumerate() {
        let b = hull[(k + 1) % hull.len()];
        let pieces = ((b - a).hypot2().sqrt() / PIECE).ceil().max(1.0) as usize;
        let whole = ground.is_off_labels(&Segment::new(a, b, width));
        let pieces = if whole { 1 } else { pieces };
        for i in 0..pieces {
            let [from, to] = [i, i + 1].map(|i| a.lerp(b, i as f64 / pieces as f64));
            if !whole && !ground.is_off_labels(&Segment::new(from, to, width)) {
                pen = false;
                continue;
            }
            if !pen {
                line.move_to(from);
            }
            line.line_to(to);
            pen = true;
        }
    }
    let shape = |path, paint| Shape { kind: PartKind::Body, path, paint, placed: None };
    Some([shape(area, Paint::Fill), shape(line, Paint::Stroke(width))])
}

/// The convex hull, by walking along the points from left to right and back.
fn hull(mut points: Vec<Point>) -> Vec<Point> {
    points.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    points.dedup();
    let half = |points: &mut dyn Iterator<Item = Point>| {
        let mut line: Vec<Point> = Vec::new();
        for p in points {
            while let [.., a, b] = line[..] {
                if (b - a).cross(p - b) > 1e-9 {
                    break;
                }
                line.pop();
            }
            line.push(p);
        }
        line.pop();
        line
    };
    let mut line = half(&mut points.iter().copied());
    line.extend(half(&mut points.iter().rev().copied()));
    line
}
