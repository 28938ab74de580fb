//! The bounds of a repeat, drawn, and the words that belong to it.

use super::super::columns;
use super::super::ground::Ground;
use super::super::legs::mean;
use super::super::metrics::Metrics;
use super::super::numbers::{shifted, unit};
use super::super::scene::{Label, LabelRole, Mark, MarkRole, Paint, Scene, Shape};
use super::super::spot;
use super::super::trace::{Segment, traced};
use super::super::words::stitches;
use super::super::{Ink, Style};
use super::{Bound, Repeat, Says};
use crate::fabric::{Fabric, StitchId};
use crate::layout::Layout;
use crate::symbol::{PartKind, Speak, filled};
use kurbo::{BezPath, Point, Vec2};

const LINE: f64 = 0.06;
/// A bound that would come closer to a symbol is not drawn.
const LEAST: f64 = 0.01;
/// Distance the words keep from everything.
const CLEAR: f64 = 0.12;
/// Distance of the bracket from the work, and the length of its arms.
const OFF: f64 = 0.35;
const ARM: f64 = 0.2;
/// A row that rises less is level to the eye: the cosine of 12 degrees.
const LEVEL: f64 = 0.978;
/// What a bound loses by lying across the way its row rises: smaller and it leans with the legs beside it, larger and it
/// gives up its length to stand upright.
const ASLANT: f64 = 0.6;
/// How far from the bracket its words may stand.
const REACH: f64 = 3.0;

/// What a repeat is drawn by.
pub(in super::super) struct Bounds<'a> {
    pub fabric: &'a Fabric,
    pub layout: &'a Layout,
    pub style: &'a Style,
    pub speak: Speak,
    pub metrics: &'a Metrics<'a>,
}

impl Bounds<'_> {
    /// Draws the bounds between the stitches, and places the words beneath a strip, outside a sector.
    pub fn draw(&self, repeat: &Repeat, ground: &mut Ground, scene: &mut Scene) {
        let ink = self.style.plain_ink;
        let mut ends: Vec<(&Bound, [Point; 2])> = Vec::new();
        for bound in &repeat.bounds {
            let up = matches!(repeat.says, Says::Stitches(_)).then(|| self.up_of_row(bound)).flatten();
            let (gap, line) = between(bound, self.layout, up, ground);
            ends.push((bound, line));
            // ovals end to end leave no room between them: the bracket beneath tells where the repeat is cut
            if gap < LEAST {
                continue;
            }
            let stitch = if bound.opens { bound.after } else { bound.before };
            let mark = bound_mark(&line, ink, Some(stitch));
            mark.shapes.iter().flat_map(traced).for_each(|s| ground.add(s, None));
            scene.marks.push(mark);
        }
        let size = self.style.text_size(0.6, 7.0);
        let label = |says: &str| self.metrics.centred(LabelRole::Note, says, Point::ORIGIN, size, ink);
        match repeat.says {
            Says::Stitches(n) => self.beneath(&label(&stitches(n, self.speak)), &ends, ground, scene),
            Says::Times(n) => {
                let says = filled("repeat times", self.speak, &[("n", &n.to_string())]);
                let label = outside(label(&says), &ends, ground);
                ground.add_box(label.bounds);
                scene.labels.push(label);
            }
        }
    }

    /// The way the row of a bound rises as a whole.
    fn up_of_row(&self, bound: &Bound) -> Option<Vec2> {
        let poses = self.fabric.row(self.fabric.stitch(bound.after).row).order.iter().map(|&id| self.layout.pose(id));
        let rises = poses.filter(|pose| pose.lying.is_none()).filter_map(|pose| Some(pose.head - mean(&pose.feet)?));
        unit(rises.fold(Vec2::ZERO, |sum, rise| sum + rise))
    }

    /// A bracket beneath the work, from bound to bound of the lowest row, with the words under it.
    fn beneath(&self, label: &Label, ends: &[(&Bound, [Point; 2])], ground: &mut Ground, scene: &mut Scene) {
        let row = |b: &Bound| self.fabric.stitch(b.after).row;
        let of_rows: Vec<_> = ends.chunk_by(|a, b| row(a.0) == row(b.0)).collect();
        let Some([(first, one), (_, two)]) = of_rows.iter().find(|r| r.len() == 2).map(|r| [r[0], r[1]]) else {
            return;
        };
        // beneath is where the rows come from
        let rise = ends.iter().fold(Vec2::ZERO, |sum, (_, [foot, head])| sum + (*head - *foot));
        // along the row as a whole: where it bends, its bounds stand at different heights
        let row = row(ends[0].0);
        let order = &self.fabric.row(row).order;
        let head = |id: &StitchId| self.layout.pose(*id).head;
        let Some(along) = order.first().zip(order.last()).and_then(|(a, b)| unit(head(b) - head(a))) else { return };
        let level = |v: Vec2| if v.x.abs() > LEVEL { Vec2::new(v.x.signum(), 0.0) } else { v };
        let along = level(along);
        let normal = Vec2::new(-along.y, along.x);
        let down = if normal.dot(rise) > 0.0 { -normal } else { normal };
        let low = self.lowest(row, down, scene);
        let foot = |p: Point, at: f64| p + down * (at - p.to_vec2().dot(down));
        let bracket = |at: f64| [foot(one[0], at - ARM), foot(one[0], at), foot(two[0], at), foot(two[0], at - ARM)];
        let lines = |at: f64| -> Vec<Segment> {
            bracket(at).windows(2).map(|w| Segment::new(w[0], w[1], LINE / 2.0)).collect()
        };
        let tried = (0..60).map(|k| low + OFF + 0.1 * f64::from(k));
        let at = tried.clone().find(|&at| ground.is_free_for(&lines(at), CLEAR)).unwrap_or(low + OFF);
        lines(at).into_iter().for_each(|s| ground.add(s, None));
        let corners = bracket(at);
        // it comes with the row it is measured by
        scene.marks.push(bound_mark(&corners, self.style.plain_ink, Some(first.after)));
        let half = label.bounds.size() / 2.0;
        let room = (down.x * half.width).abs() + (down.y * half.height).abs() + LINE + CLEAR;
        let from = corners[1].midpoint(corners[2]) + down * room;
        let placed = spot::near(label, from, down, REACH, ground);
        scene.labels.extend(placed.map(|l| Label { row: Some(self.fabric.stitch(first.after).row), ..l }));
    }

    /// How far down the rows reach that hang together with one.
    fn lowest(&self, row: crate::fabric::RowId, down: Vec2, scene: &Scene) -> f64 {
        let part = self.fabric.row(row).part;
        let own = scene.rows.iter().filter(|g| self.fabric.row(g.row).part == part);
        let boxes = own.flat_map(|g| &g.figures).filter_map(|f| columns::bounds(&f.shapes));
        let deep = |b: kurbo::Rect| {
            let half = b.size() / 2.0;
            b.center().to_vec2().dot(down) + (half.width * down.x).abs() + (half.height * down.y).abs()
        };
        boxes.map(deep).fold(f64::NEG_INFINITY, f64::max)
    }
}

/// A bracket as the legend shows it.
pub(in super::super) fn sample() -> Vec<Shape> {
    bound_mark(&[(0.0, 0.0), (0.0, 0.3), (0.9, 0.3), (0.9, 0.0)].map(Point::from), Ink::BLACK, None).shapes
}

/// An open line through some points.
fn bound_mark(points: &[Point], ink: Ink, stitch: Option<StitchId>) -> Mark {
    let mut path = BezPath::new();
    points.first().into_iter().for_each(|&p| path.move_to(p));
    points.iter().skip(1).for_each(|&p| path.line_to(p));
    let shape = Shape { kind: PartKind::Body, path, paint: Paint::Stroke(LINE), placed: None };
    Mark { role: MarkRole::Bound, ink, tint: None, dashed: false, shapes: vec![shape], tip: None, stitch }
}

/// Foot and head of a stitch; of a chain, across its oval as its neighbour stands.
fn stem(layout: &Layout, id: StitchId, neighbour: StitchId) -> [Point; 2] {
    let up = |id: StitchId| {
        let pose = layout.pose(id);
        mean(&pose.feet).filter(|_| pose.lying.is_none()).and_then(|foot| unit(pose.head - foot))
    };
    let pose = layout.pose(id);
    match (pose.lying, mean(&pose.feet)) {
        (None, Some(foot)) => [foot, pose.head],
        (lying, _) => {
            let across = lying.map(|l| Vec2::new(libm::sin(l.angle_rad), -libm::cos(l.angle_rad)));
            let up = up(neighbour).or(across).unwrap_or(Vec2::new(0.0, -1.0)) * 0.45;
            let at = lying.map_or(pose.head, |l| l.at);
            [at - up, at + up]
        }
    }
}

/// The line between two stitches that keeps farthest from all ink, and how far that is. In a strip it stands as upright in
/// its row as it can: it goes on from row to row.
fn between(bound: &Bound, layout: &Layout, up: Option<Vec2>, ground: &Ground) -> (f64, [Point; 2]) {
    const TRIED: [f64; 9] = [0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74, 0.18, 0.82];
    let mut b = stem(layout, bound.after, bound.before);
    let a = stem(layout, bound.before, bound.after);
    // an oval of the one may lie the other way round; the outer legs of two fans only lean apart
    let lies = |id: StitchId| layout.pose(id).lying.is_some();
    if (lies(bound.after) || lies(bound.before)) && (b[1] - b[0]).dot(a[1] - a[0]) < 0.0 {
        b.swap(0, 1);
    }
    let mut best: Option<(f64, f64, [Point; 2])> = None;
    for low in TRIED {
        for high in TRIED {
            let (foot, head) = (a[0].lerp(b[0], low), a[1].lerp(b[1], high));
            for (from, to) in [(0.0, 1.0), (0.12, 1.0), (0.25, 1.0), (0.25, 0.8), (0.4, 0.8)] {
                let line = [foot.lerp(head, from), foot.lerp(head, to)];
                let segment = Segment::new(line[0], line[1], LINE / 2.0);
                let near = ground.near(segment.bounds().inflate(0.4, 0.4));
                let gap = near.iter().map(|(s, _)| s.gap(&segment)).fold(0.3, f64::min);
                let gap = if ground.is_off_labels(&segment) { gap } else { f64::NEG_INFINITY };
                // clear first, then long, then in the middle
                let aslant = up.zip(unit(line[1] - line[0])).map_or(0.0, |(up, way)| up.cross(way).abs());
                let worth = gap.min(0.06) * 10.0 + (to - from) * 0.5
                    - 0.2 * ((low - 0.5).abs() + (high - 0.5).abs())
                    - ASLANT * aslant;
                if best.as_ref().is_none_or(|(w, ..)| worth > *w) {
                    best = Some((worth, gap, line));
                }
            }
        }
    }
    // OK: there are lines to try, and the first is taken whatever its worth
    best.map_or((0.0, a), |(_, gap, line)| (gap, line))
}

/// Beyond the outermost row of a sector, in the middle between its bounds.
fn outside(label: Label, ends: &[(&Bound, [Point; 2])], ground: &Ground) -> Label {
    let middle = |ends: &[(&Bound, [Point; 2])]| {
        let points: Vec<Point> = ends.iter().flat_map(|(_, line)| *line).collect();
        mean(&points)
    };
    // two bounds a round, from the innermost outward
    let (Some(inner), Some(outer)) =
        (middle(&ends[..ends.len().min(2)]), middle(&ends[ends.len().saturating_sub(2)..]))
    else {
        return label;
    };
    let out = unit(outer - inner).unwrap_or(Vec2::new(0.0, -1.0));
    let middle = outer;
    let steps = 0..400;
    let free = steps.map(|k| shifted(&label, middle + out * (0.4 + 0.1 * f64::from(k))));
    free.into_iter().find(|l| ground.is_free(l.bounds, CLEAR)).unwrap_or(label)
}
