use super::scene::{Paint, Shape};
use kurbo::{PathEl, Point, Rect};

/// Flattening error of curves, in sc widths: a fortieth of a stroke, so distances are as good as exact to the eye.
const FLATTEN: f64 = 0.002;

/// A straight piece of ink: a line of some half width.
#[derive(Clone, Copy, Debug)]
pub(super) struct Segment {
    pub a: Point,
    pub b: Point,
    pub half: f64,
}

impl Segment {
    pub fn new(a: Point, b: Point, half: f64) -> Self {
        Self { a, b, half }
    }

    /// Box of its ink.
    pub fn bounds(&self) -> Rect {
        Rect::from_points(self.a, self.b).inflate(self.half, self.half)
    }

    /// From where to where its ink may reach on a line across the page, if it reaches that line.
    pub fn stretch_at(&self, y: f64) -> Option<(f64, f64)> {
        let (high, low) = if self.a.y <= self.b.y { (self.a, self.b) } else { (self.b, self.a) };
        if y < high.y - self.half || y > low.y + self.half {
            return None;
        }
        // only the part of the middle line within half a stroke of that line has ink on it
        let rise = low.y - high.y;
        let at = |y: f64, flat: Point| {
            if rise > 0.0 { high.lerp(low, ((y - high.y) / rise).clamp(0.0, 1.0)).x } else { flat.x }
        };
        let (one, other) = (at(y - self.half, high), at(y + self.half, low));
        Some((one.min(other) - self.half, one.max(other) + self.half))
    }

    /// The point of its middle line that is nearest to a point.
    pub fn nearest(&self, p: Point) -> Point {
        let along = self.b - self.a;
        let length2 = along.hypot2();
        let t = if length2 > 0.0 { ((p - self.a).dot(along) / length2).clamp(0.0, 1.0) } else { 0.0 };
        self.a + along * t
    }

    /// Distance from a point to its middle line.
    pub fn distance_to(&self, p: Point) -> f64 {
        (p - self.nearest(p)).hypot2().sqrt()
    }

    /// Distance between the middle lines; 0 where they cross.
    pub fn distance(&self, other: &Segment) -> f64 {
        if crosses(self.a, self.b, other.a, other.b) {
            return 0.0;
        }
        let square = |s: &Segment, p: Point| (p - s.nearest(p)).hypot2();
        let ends = [square(other, self.a), square(other, self.b), square(self, other.a), square(self, other.b)];
        ends.into_iter().fold(f64::INFINITY, f64::min).sqrt()
    }

    /// Distance between the inks; negative where they overlap.
    pub fn gap(&self, other: &Segment) -> f64 {
        self.distance(other) - self.half - other.half
    }

    /// True where the inks come nearer than this to each other. Their boxes settle it for most.
    pub fn is_nearer(&self, other: &Segment, gap: f64) -> bool {
        box_gap(self.bounds(), other.bounds()) <= gap + SURE && self.gap(other) < gap
    }

    /// True where its ink comes nearer than this to a rectangle.
    pub fn is_nearer_to_rect(&self, rect: Rect, gap: f64) -> bool {
        box_gap(self.bounds(), rect) <= gap + SURE && self.gap_to_rect(rect) < gap
    }

    /// Distance from its ink to a point, or `nearest` where its box tells that it is no nearer than that.
    pub fn gap_to_point(&self, p: Point, nearest: f64) -> f64 {
        let at = Rect::from_points(p, p);
        if box_gap(self.bounds(), at) > nearest + SURE { nearest } else { self.distance_to(p) - self.half }
    }

    /// Distance from its ink to a rectangle; 0 or less where they meet.
    pub fn gap_to_rect(&self, rect: Rect) -> f64 {
        if rect.contains(self.a) || rect.contains(self.b) {
            return -self.half;
        }
        let corners = [(rect.x0, rect.y0), (rect.x1, rect.y0), (rect.x1, rect.y1), (rect.x0, rect.y1)].map(Point::from);
        let edge = |i: usize| self.distance(&Segment::new(corners[i], corners[(i + 1) % 4], 0.0));
        (0..4).map(edge).fold(f64::INFINITY, f64::min) - self.half
    }
}

/// More than boxes and distances, reckoned in different ways, can differ by.
const SURE: f64 = 1e-9;

/// How far two boxes are apart across or along, whichever is more: what lies in them is no nearer.
fn box_gap(a: Rect, b: Rect) -> f64 {
    (a.x0 - b.x1).max(b.x0 - a.x1).max(a.y0 - b.y1).max(b.y0 - a.y1)
}

fn crosses(a: Point, b: Point, c: Point, d: Point) -> bool {
    let side = |p: Point, q: Point, r: Point| (q - p).cross(r - p);
    // a line that runs through the point where two pieces of another meet crosses one of them, not neither
    let parted = |one: f64, other: f64| (one >= 0.0) != (other >= 0.0);
    parted(side(a, b, c), side(a, b, d)) && parted(side(c, d, a), side(c, d, b))
}

/// Where two middle lines cross, if they do.
pub(super) fn crossing(s: &Segment, o: &Segment) -> Option<Point> {
    if !crosses(s.a, s.b, o.a, o.b) {
        return None;
    }
    let (along, across) = (s.b - s.a, o.b - o.a);
    let t = (o.a - s.a).cross(across) / along.cross(across);
    Some(s.a + along * t)
}

/// The straight pieces of a path.
pub(super) fn segments(path: &kurbo::BezPath, half: f64) -> Vec<Segment> {
    let mut out = Vec::new();
    let (mut start, mut last) = (Point::ZERO, Point::ZERO);
    kurbo::flatten(path.iter(), FLATTEN, |element| match element {
        PathEl::MoveTo(p) => (start, last) = (p, p),
        PathEl::LineTo(p) => {
            out.push(Segment::new(last, p, half));
            last = p;
        }
        PathEl::ClosePath => {
            if last != start {
                out.push(Segment::new(last, start, half));
            }
            last = start;
        }
        _ => {}
    });
    out
}

/// The straight pieces of a shape's ink; of a filled one, its outline.
pub(super) fn traced(shape: &Shape) -> Vec<Segment> {
    match shape.paint {
        Paint::Stroke(width) => segments(&shape.path, width / 2.0),
        Paint::Fill => segments(&shape.path, 0.0),
    }
}

/// True where the point lies within the outline.
pub(super) fn inside(outline: &[Segment], p: Point) -> bool {
    let mut within = false;
    for s in outline {
        if (s.a.y > p.y) != (s.b.y > p.y) && p.x < s.a.x + (p.y - s.a.y) / (s.b.y - s.a.y) * (s.b.x - s.a.x) {
            within = !within;
        }
    }
    within
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_through_a_corner_crosses_once() {
        let line = Segment::new(Point::new(0.0, -1.0), Point::new(0.0, 1.0), 0.0);
        let (a, corner, b) = (Point::new(-1.0, 0.0), Point::ZERO, Point::new(1.0, 0.0));
        let pieces = [Segment::new(a, corner, 0.0), Segment::new(corner, b, 0.0)];
        assert_eq!(pieces.iter().filter_map(|p| crossing(&line, p)).count(), 1);
    }

    #[test]
    fn gaps_are_measured_from_ink_to_ink() {
        let a = Segment::new(Point::ZERO, Point::new(1.0, 0.0), 0.05);
        let b = Segment::new(Point::new(0.5, 0.3), Point::new(0.5, 1.0), 0.05);
        assert!((a.gap(&b) - 0.2).abs() < 1e-12);
        assert!((b.gap_to_rect(Rect::new(0.6, 0.5, 1.0, 0.6)) - 0.05).abs() < 1e-12);
        assert!(a.gap_to_rect(Rect::new(0.4, -0.1, 0.6, 0.1)) < 0.0);
    }
}
