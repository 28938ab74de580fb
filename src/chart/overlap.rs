//! Symbols that cover each other though nothing joins them.

use super::scene::{Figure, Paint, Scene};
use super::touch::entered;
use super::trace::{Segment, inside, traced};
use crate::fabric::{Fabric, Place, StitchId};
use crate::layout::Quality;
use kurbo::{Point, Rect};
use std::ops::RangeInclusive;

/// Area above which two symbols count as overlapping, in square sc widths: one crossing of two strokes is just less.
const LEAST_AREA: f64 = 0.01;
/// Side of the squares the area is counted in. An area is right to within its outline's length times half of this:
/// for one crossing of two strokes, 0.002.
const PIXEL: f64 = 0.01;

/// Pairs of symbols that overlap, and the area they share.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Overlaps {
    /// The pairs with their area, in id order.
    pub pairs: Vec<(StitchId, StitchId, f64)>,
}

impl Overlaps {
    /// The area of all pairs.
    pub fn area(&self) -> f64 {
        // the sum of no areas is +0, which prints without a sign
        self.pairs.iter().fold(0.0, |sum, p| sum + p.2)
    }

    /// Fills in the figures that only the chart knows.
    pub fn fill(&self, quality: &mut Quality) {
        quality.overlaps = self.pairs.len();
        quality.overlap_area = self.area();
    }
}

struct Ink {
    id: StitchId,
    layer: i32,
    bounds: Rect,
    lines: Vec<Segment>,
    /// Each with the box it lies in.
    outlines: Vec<(Rect, Vec<Segment>)>,
}

/// Finds the symbols whose ink overlaps by more than 0.01 square sc widths.
///
/// Left out: pairs that share a place, pairs one of which stands on the other, crossings declared within a row, different
/// layers. Neighbours on the yarn are held to the same area as any others.
///
/// Tolerance: areas are counted in squares of 0.01; see the source for what that bounds.
pub fn overlaps(scene: &Scene, fabric: &Fabric) -> Overlaps {
    let mut inks: Vec<Ink> = scene.figures().filter_map(ink).collect();
    inks.sort_by_key(|i| i.id);
    let mut pairs = Vec::new();
    for (a, b) in near_pairs(&inks) {
        let (first, second) = (&inks[a], &inks[b]);
        if first.layer != second.layer || joined(fabric, first.id, second.id) {
            continue;
        }
        let area = shared_area(first, second);
        if area > LEAST_AREA {
            pairs.push((first.id, second.id, area));
        }
    }
    Overlaps { pairs }
}

fn ink(figure: &Figure) -> Option<Ink> {
    let mut lines = Vec::new();
    let mut outlines = Vec::new();
    for shape in &figure.shapes {
        match shape.paint {
            Paint::Stroke(_) => lines.extend(traced(shape)),
            Paint::Fill => {
                let outline = traced(shape);
                outlines.extend(bounds_of(&outline).map(|bounds| (bounds, outline)));
            }
        }
    }
    let bounds = bounds_of(&lines).into_iter().chain(outlines.iter().map(|o| o.0)).reduce(|a, b| a.union(b))?;
    Some(Ink { id: figure.stitch, layer: figure.layer, bounds, lines, outlines })
}

fn bounds_of(segments: &[Segment]) -> Option<Rect> {
    segments.iter().map(Segment::bounds).reduce(|a, b| a.union(b))
}

/// Pairs whose boxes meet, by sweeping from left to right; in id order.
fn near_pairs(inks: &[Ink]) -> Vec<(usize, usize)> {
    let mut order: Vec<usize> = (0..inks.len()).collect();
    order.sort_by(|&a, &b| inks[a].bounds.x0.total_cmp(&inks[b].bounds.x0).then(a.cmp(&b)));
    let mut open: Vec<usize> = Vec::new();
    let mut pairs = Vec::new();
    for &i in &order {
        let mine = inks[i].bounds;
        open.retain(|&j| inks[j].bounds.x1 > mine.x0);
        let meets = |&&j: &&usize| inks[j].bounds.y0 < mine.y1 && mine.y0 < inks[j].bounds.y1;
        pairs.extend(open.iter().filter(meets).map(|&j| (i.min(j), i.max(j))));
        open.push(i);
    }
    pairs.sort_unstable();
    pairs
}

/// True where the two may touch: see [`overlaps`].
fn joined(fabric: &Fabric, a: StitchId, b: StitchId) -> bool {
    let (below, above) = (fabric.stitch(a), fabric.stitch(b));
    let shares = above.into.iter().any(|p| below.into.contains(p));
    let stands = above.into.iter().chain(&above.covers).any(|p| match *p {
        Place::Space { space } => fabric.spaces[space.index()].ids.contains(&a),
        Place::Ring { ring } => fabric.rings[ring.index()].ids.contains(&a),
        Place::Between { between } => between.contains(&a),
        Place::Face { face } => face.contains(&a),
        Place::RowEnd { .. } => entered(fabric, p).contains(&a),
        _ => p.stitch() == Some(a),
    });
    let crossed = below.row == above.row && (above.extra.crossed || below.extra.crossed);
    shares || stands || crossed
}

fn shared_area(a: &Ink, b: &Ink) -> f64 {
    let common = a.bounds.intersect(b.bounds);
    if common.is_zero_area() {
        return 0.0;
    }
    // on a grid fixed to the page, so that the same pair has the same area wherever its boxes end
    let first = |v: f64| (v / PIXEL).floor() as i64;
    let (from, to) = (first(common.x0), first(common.x1));
    let mut count = 0;
    let (mut of_a, mut of_b) = (Vec::new(), Vec::new());
    for j in first(common.y0)..=first(common.y1) {
        let y = (j as f64 + 0.5) * PIXEL;
        a.cover(y, from..=to, &mut of_a);
        if !of_a.contains(&true) {
            continue;
        }
        b.cover(y, from..=to, &mut of_b);
        count += of_a.iter().zip(&of_b).filter(|(a, b)| **a && **b).count();
    }
    count as f64 * PIXEL * PIXEL
}

impl Ink {
    /// Which squares of a line across the page it covers.
    fn cover(&self, y: f64, squares: RangeInclusive<i64>, covered: &mut Vec<bool>) {
        covered.clear();
        covered.resize((squares.end() - squares.start() + 1) as usize, false);
        let middle = |i: i64| Point::new((i as f64 + 0.5) * PIXEL, y);
        let mut cover = |from: f64, to: f64, covers: &dyn Fn(Point) -> bool| {
            // a square more either way, so that rounding leaves none out
            let (from, to) = ((from / PIXEL).floor() as i64 - 1, (to / PIXEL).floor() as i64 + 1);
            for i in from.max(*squares.start())..=to.min(*squares.end()) {
                let square = &mut covered[(i - squares.start()) as usize];
                *square = *square || covers(middle(i));
            }
        };
        for s in &self.lines {
            if let Some((from, to)) = s.stretch_at(y) {
                cover(from, to, &|p| s.distance_to(p) < s.half);
            }
        }
        for (box_of, outline) in &self.outlines {
            if box_of.y0 <= y && y <= box_of.y1 {
                cover(box_of.x0, box_of.x1, &|p| inside(outline, p));
            }
        }
    }
}
