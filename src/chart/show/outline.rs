//! A line round several symbols.

use super::super::scene::Shape;
use super::super::trace::traced;
use kurbo::{BezPath, Point};

/// How far the line keeps off the ink.
const ROOM: f64 = 0.13;
/// Directions in which the room is kept.
const WAYS: usize = 16;

/// The tightest line without dents that keeps off the ink of all shapes; none where there is no ink.
pub(super) fn around<'a>(shapes: impl Iterator<Item = &'a Shape>) -> Option<BezPath> {
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
    let mut path = BezPath::new();
    path.move_to(*first);
    rest.iter().for_each(|p| path.line_to(*p));
    path.close_path();
    Some(path)
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
