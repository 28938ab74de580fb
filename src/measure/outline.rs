//! The outline of a piece as it would lie on a table, from its true layout.

use crate::fabric::{Fabric, Role, RowShape, Stitch, StitchId};
use crate::layout::Layout;
use kurbo::{Point, Rect, Vec2};
use std::collections::BTreeMap;

/// The true outline of one piece, in stitch widths, as its true layout has it.
#[derive(Clone, Debug, PartialEq)]
pub struct Outline {
    /// Closed lines, the outer one and those of large holes.
    pub lines: Vec<Vec<Point>>,
    /// Where its stitches stand: their heads, by which it is laid over another layout of the same stitches.
    pub heads: Vec<(StitchId, Point)>,
    /// Width and height of the piece in millimetres, where its gauge is known.
    pub size_mm: Option<[f64; 2]>,
}

/// Gaps between stitches narrower than twice this are no edge of the piece.
const CLOSED: f64 = 0.35;
/// Distance of the points at which the piece is looked at, and how many there may be.
const STEP: f64 = 0.12;
const MOST: f64 = 1.0e6;
/// Stitches that follow each other in a row and stand farther apart have a gap between them.
const APART: f64 = 3.0;
/// Half the width of a chain that nothing stands beside.
const CHAIN: f64 = 0.15;
/// A hole that is smaller is one of the lace, in square stitches.
const HOLE: f64 = 4.0;
/// How far a point may lie off the line that is kept without it.
const STRAIGHT: f64 = 0.04;

/// A closed part of the piece: a quarter between two stitches that follow each other.
type Patch = [Point; 4];

/// The outline of some rows that hang together.
pub(super) fn outline(fabric: &Fabric, layout: &Layout, rows: &[usize]) -> Option<Outline> {
    let patches = patches(fabric, layout, rows);
    let corners = patches.iter().flatten();
    let area = corners.map(|&p| Rect::from_points(p, p)).reduce(|a, b| a.union(b))?;
    let field = Field::new(&patches, area.inflate(2.0 * CLOSED, 2.0 * CLOSED));
    let lines: Vec<Vec<Point>> = field.contours().into_iter().map(|l| straightened(&l)).collect();
    let outer = lines.iter().map(|l| area_of(l).abs()).fold(0.0, f64::max);
    let lines: Vec<Vec<Point>> = lines
        .into_iter()
        .filter(|l| l.len() > 3 && (area_of(l).abs() > HOLE || area_of(l).abs() >= outer * 0.999))
        .collect();
    let own = |s: &&Stitch| rows.contains(&s.row.index()) && s.role == Role::Base;
    let heads = fabric.stitches.iter().filter(own).map(|s| (s.id, layout.pose(s.id).head)).collect();
    (!lines.is_empty()).then_some(Outline { lines, heads, size_mm: None })
}

/// What the piece covers: between each stitch and the next, and half a stitch beyond the ends of rows.
fn patches(fabric: &Fabric, layout: &Layout, rows: &[usize]) -> Vec<Patch> {
    let side = |id: StitchId| -> [Point; 2] {
        let pose = layout.pose(id);
        let n = pose.feet.len() as f64;
        let foot = pose.feet.iter().fold(Vec2::ZERO, |sum, p| sum + p.to_vec2() / n).to_point();
        match pose.lying {
            Some(lying) => [lying.at; 2],
            None if pose.feet.is_empty() => [pose.head; 2],
            None => [foot, pose.head],
        }
    };
    let mut patches = Vec::new();
    for row in rows.iter().map(|&r| &fabric.rows[r]) {
        let mut sides: Vec<[Point; 2]> = row.order.iter().map(|&id| side(id)).collect();
        let n = sides.len();
        if row.joined || row.shape == RowShape::Round {
            sides.extend(sides.first().copied());
        } else if row.shape != RowShape::Spiral && row.shape != RowShape::Foundation && n > 1 {
            let beyond = |end: [Point; 2], inner: [Point; 2]| {
                let out = end[1] - inner[1];
                let half = 0.5 / out.hypot2().sqrt().max(1e-9) * out;
                end.map(|p| p + half)
            };
            let (first, last) = (beyond(sides[0], sides[1]), beyond(sides[n - 1], sides[n - 2]));
            sides.insert(0, first);
            sides.push(last);
        }
        let near = |w: &&[[Point; 2]]| (w[1][1] - w[0][1]).hypot2() < APART * APART;
        patches.extend(sides.windows(2).filter(near).map(|w| [w[0][0], w[0][1], w[1][1], w[1][0]]));
        patches.extend(sides.iter().map(|&[foot, head]| [foot, head, head, foot]));
    }
    // what stands in no row's line: chains as broad as they are, branches from stitch to stitch
    let mut in_line = vec![false; fabric.stitches.len()];
    fabric.rows.iter().flat_map(|r| &r.order).for_each(|id| in_line[id.index()] = true);
    let aside = |s: &Stitch| !matches!(s.role, Role::Turning | Role::Join | Role::Travel) && !in_line[s.id.index()];
    let own: Vec<&Stitch> = fabric.stitches.iter().filter(|s| rows.contains(&s.row.index())).collect();
    let mut borne = vec![false; fabric.stitches.len()];
    let standing = fabric.stitches.iter().filter(|s| !s.is_slip_stitch() && !s.is_chain());
    standing.flat_map(|s| &s.into).filter_map(|p| p.stitch()).for_each(|id| borne[id.index()] = true);
    let bare = own.iter().filter(|s| s.role != Role::Turning && !borne[s.id.index()]);
    for lying in bare.filter_map(|s| layout.pose(s.id).lying) {
        let (sin, cos) = libm::sincos(lying.angle_rad);
        let (along, across) = (Vec2::new(cos, sin) * (0.5 * lying.length), Vec2::new(-sin, cos) * CHAIN);
        patches.push([along + across, along - across, -along - across, across - along].map(|v| lying.at + v));
    }
    for pair in own.windows(2).filter(|p| p.iter().all(|s| aside(s) && !s.is_chain())) {
        let [a, b] = [side(pair[0].id), side(pair[1].id)];
        if (a[1] - b[1]).hypot2() < APART * APART {
            patches.push([a[0], a[1], b[1], b[0]]);
        }
    }
    patches
}

/// How far each point of a grid is from the piece, and where that is nearest.
struct Field {
    origin: Point,
    step: f64,
    columns: usize,
    lines: usize,
    nearest: Vec<(f64, Point)>,
}

impl Field {
    fn new(patches: &[Patch], area: Rect) -> Field {
        let step = STEP.max((area.area() / MOST).sqrt());
        let count = |length: f64| (length / step).ceil() as usize + 2;
        let (columns, lines) = (count(area.width()), count(area.height()));
        let far = (f64::INFINITY, Point::ORIGIN);
        let mut field = Field { origin: area.origin(), step, columns, lines, nearest: vec![far; columns * lines] };
        patches.iter().for_each(|p| field.cover(p));
        field
    }

    fn at(&self, x: usize, y: usize) -> Point {
        self.origin + Vec2::new(x as f64 * self.step, y as f64 * self.step)
    }

    /// Brings the distances of all points near a patch down to that of the patch.
    fn cover(&mut self, patch: &Patch) {
        let around = patch.iter().map(|&p| Rect::from_points(p, p)).reduce(|a, b| a.union(b));
        let Some(around) = around.map(|r| r.inflate(CLOSED + 2.0 * self.step, CLOSED + 2.0 * self.step)) else {
            return;
        };
        let cell = |v: f64, n: usize| ((v / self.step).max(0.0) as usize).min(n - 1);
        let (x0, x1) = (cell(around.x0 - self.origin.x, self.columns), cell(around.x1 - self.origin.x, self.columns));
        let (y0, y1) = (cell(around.y0 - self.origin.y, self.lines), cell(around.y1 - self.origin.y, self.lines));
        for y in y0..=y1 {
            for x in x0..=x1 {
                let p = self.at(x, y);
                let (distance, nearest) = to_patch(patch, p);
                let slot = &mut self.nearest[y * self.columns + x];
                if distance < slot.0 {
                    *slot = (distance, nearest);
                }
            }
        }
    }

    fn value(&self, x: usize, y: usize) -> f64 {
        // far enough from everything to be outside, near enough to be reckoned with
        self.nearest[y * self.columns + x].0.min(4.0 * CLOSED) - CLOSED
    }

    /// The lines along which the piece ends: traced where the grid is just closed over, and drawn back onto the piece.
    fn contours(&self) -> Vec<Vec<Point>> {
        // from edge of the grid to edge of the grid, with the piece on the left
        let mut next: BTreeMap<(usize, usize, bool), (usize, usize, bool)> = BTreeMap::new();
        for y in 0..self.lines - 1 {
            for x in 0..self.columns - 1 {
                let inside = [(x, y), (x + 1, y), (x + 1, y + 1), (x, y + 1)].map(|(x, y)| self.value(x, y) < 0.0);
                // edges of the cell: top, right, bottom, left; true for those that run along x
                let edges = [(x, y, true), (x + 1, y, false), (x, y + 1, true), (x, y, false)];
                let crossed = |k: usize| inside[k] != inside[(k + 1) % 4];
                let enters: Vec<usize> = (0..4).filter(|&k| crossed(k) && !inside[k]).collect();
                let leaves: Vec<usize> = (0..4).filter(|&k| crossed(k) && inside[k]).collect();
                for &from in &leaves {
                    // the next way in, going round the cell backwards: where two corners meet, they stay apart
                    let to = (1..4).map(|d| (from + 4 - d) % 4).find(|k| enters.contains(k));
                    if let Some(to) = to {
                        next.insert(edges[to], edges[from]);
                    }
                }
            }
        }
        let mut lines = Vec::new();
        while let Some((&start, _)) = next.iter().next() {
            let mut line = Vec::new();
            let mut edge = start;
            while let Some(to) = next.remove(&edge) {
                line.push(self.on_piece(edge));
                edge = to;
            }
            lines.push(line);
        }
        lines
    }

    /// The point of the piece that is nearest to where an edge of the grid is crossed.
    fn on_piece(&self, (x, y, along_x): (usize, usize, bool)) -> Point {
        let (x2, y2) = if along_x { (x + 1, y) } else { (x, y + 1) };
        let (a, b) = (self.value(x, y), self.value(x2, y2));
        let t = if (a - b).abs() > 1e-9 { (a / (a - b)).clamp(0.0, 1.0) } else { 0.5 };
        let of = |x: usize, y: usize| self.nearest[y * self.columns + x];
        let (a, b) = (of(x, y), of(x2, y2));
        match (a.0.is_finite(), b.0.is_finite()) {
            (true, true) => a.1.lerp(b.1, t),
            (true, false) => a.1,
            _ => b.1,
        }
    }
}

/// Distance of a point to a patch, 0 within it, and the nearest point of it.
fn to_patch(patch: &Patch, p: Point) -> (f64, Point) {
    let edge = |k: usize| (patch[k], patch[(k + 1) % 4]);
    let crossing = |k: usize| {
        let (a, b) = edge(k);
        (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x)
    };
    if (0..4).filter(|&k| crossing(k)).count() % 2 == 1 {
        return (0.0, p);
    }
    let nearest = |k: usize| {
        let (a, b) = edge(k);
        let along = b - a;
        let t = if along.hypot2() > 0.0 { ((p - a).dot(along) / along.hypot2()).clamp(0.0, 1.0) } else { 0.0 };
        let q = a + along * t;
        ((p - q).hypot2().sqrt(), q)
    };
    (0..4).map(nearest).fold((f64::INFINITY, p), |best, one| if one.0 < best.0 { one } else { best })
}

fn area_of(line: &[Point]) -> f64 {
    let next = line.iter().cycle().skip(1);
    0.5 * line.iter().zip(next).map(|(a, b)| a.to_vec2().cross(b.to_vec2())).sum::<f64>()
}

/// The closed line without the points that lie all but on it.
fn straightened(line: &[Point]) -> Vec<Point> {
    let Some(&first) = line.first() else { return Vec::new() };
    let far = |i: &usize, j: &usize| (line[*i] - first).hypot2().total_cmp(&(line[*j] - first).hypot2());
    let middle = (0..line.len()).max_by(far).unwrap_or(0);
    let mut kept = vec![false; line.len()];
    (kept[0], kept[middle]) = (true, true);
    let mut open = vec![(0, middle), (middle, line.len())];
    while let Some((a, b)) = open.pop() {
        let (from, to) = (line[a], line[b % line.len()]);
        let off = |k: usize| {
            let along = to - from;
            let t =
                if along.hypot2() > 0.0 { ((line[k] - from).dot(along) / along.hypot2()).clamp(0.0, 1.0) } else { 0.0 };
            (line[k] - (from + along * t)).hypot2()
        };
        let Some(worst) = (a + 1..b).max_by(|&i, &j| off(i).total_cmp(&off(j))) else { continue };
        if off(worst) > STRAIGHT * STRAIGHT {
            kept[worst] = true;
            open.extend([(a, worst), (worst, b)]);
        }
    }
    line.iter().zip(kept).filter(|(_, kept)| *kept).map(|(&p, _)| p).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_outline_of_two_squares_side_by_side_is_their_rectangle() {
        let square = |x: f64| [(x, 0.0), (x, 1.0), (x + 1.0, 1.0), (x + 1.0, 0.0)].map(Point::from);
        // half a stitch apart: closed over
        let field = Field::new(&[square(0.0), square(1.5)], Rect::new(-1.0, -1.0, 3.5, 2.0));
        let lines: Vec<Vec<Point>> = field.contours().iter().map(|l| straightened(l)).collect();
        assert_eq!(lines.len(), 1);
        assert!((area_of(&lines[0]).abs() - 2.5).abs() < 0.1, "{}", area_of(&lines[0]));
        // two stitches apart they are two pieces
        let field = Field::new(&[square(0.0), square(3.0)], Rect::new(-1.0, -1.0, 5.0, 2.0));
        assert_eq!(field.contours().len(), 2);
    }

    #[test]
    fn a_hole_is_a_line_of_its_own() {
        let bar = |r: Rect| [(r.x0, r.y0), (r.x0, r.y1), (r.x1, r.y1), (r.x1, r.y0)].map(Point::from);
        let frame = [
            Rect::new(0.0, 0.0, 5.0, 1.0),
            Rect::new(0.0, 4.0, 5.0, 5.0),
            Rect::new(0.0, 0.0, 1.0, 5.0),
            Rect::new(4.0, 0.0, 5.0, 5.0),
        ];
        let field = Field::new(&frame.map(bar), Rect::new(-1.0, -1.0, 6.0, 6.0));
        let mut areas: Vec<f64> = field.contours().iter().map(|l| area_of(l)).collect();
        areas.sort_by(f64::total_cmp);
        assert_eq!(areas.len(), 2);
        assert!(areas[0] * areas[1] < 0.0, "they run opposite ways: {areas:?}");
        let (hole, outer) = (areas[0].abs().min(areas[1].abs()), areas[0].abs().max(areas[1].abs()));
        assert!((outer - 25.0).abs() < 0.5 && (hole - 9.0).abs() < 0.5, "{areas:?}");
    }
}
