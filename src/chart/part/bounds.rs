//! The bounds of a repeat, drawn, and the words that belong to it.

use super::super::compose::bounds_of_work;
use super::super::ground::Ground;
use super::super::legs::mean;
use super::super::metrics::Metrics;
use super::super::numbers::{shifted, unit};
use super::super::scene::{Label, LabelRole, Mark, MarkRole, Paint, Scene, Shape};
use super::super::trace::{Segment, traced};
use super::super::words::stitches;
use super::super::{Ink, Style};
use super::{Bound, Pick, Says};
use crate::fabric::StitchId;
use crate::layout::Layout;
use crate::symbol::{PartKind, Speak, filled};
use kurbo::{BezPath, Point, Vec2};

const LINE: f64 = 0.06;
/// A bound that would come closer to a symbol is not drawn.
const LEAST: f64 = 0.01;
/// Distance the words keep from everything.
const CLEAR: f64 = 0.12;

/// Draws the bounds between the stitches and places the words beneath a strip, outside a sector.
pub(in super::super) fn draw(
    pick: &Pick,
    layout: &Layout,
    style: &Style,
    speak: Speak,
    metrics: &Metrics,
    ground: &mut Ground,
    scene: &mut Scene,
) {
    let mut ends: Vec<(bool, [Point; 2])> = Vec::new();
    for bound in &pick.bounds {
        let (gap, line) = between(bound, layout, ground);
        ends.push((bound.opens, line));
        // ovals end to end leave no room between them: the bracket beneath tells where the repeat is cut
        if gap < LEAST {
            continue;
        }
        let mut path = BezPath::new();
        path.move_to(line[0]);
        path.line_to(line[1]);
        let mark = bound_mark(path, style.plain_ink, bound);
        mark.shapes.iter().flat_map(traced).for_each(|s| ground.add(s, None));
        scene.marks.push(mark);
    }
    let says = match pick.says {
        Some(Says::Stitches(n)) => stitches(n, speak),
        Some(Says::Times(n)) => filled("repeat times", speak, &[("n", &n.to_string())]),
        None => return,
    };
    let size = style.text_size(0.6, 7.0);
    let label = metrics.centred(LabelRole::Note, &says, Point::ORIGIN, size, style.plain_ink);
    let label = if pick.sector { outside(label, &ends, ground) } else { beneath(label, &ends, scene, style) };
    ground.add_box(label.bounds);
    scene.labels.push(label);
}

fn bound_mark(path: BezPath, ink: Ink, bound: &Bound) -> Mark {
    let shape = Shape { kind: PartKind::Body, path, paint: Paint::Stroke(LINE), placed: None };
    Mark {
        role: MarkRole::Bound,
        ink,
        tint: None,
        dashed: false,
        shapes: vec![shape],
        tip: None,
        stitch: Some(if bound.opens { bound.after } else { bound.before }),
    }
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

/// The line between two stitches that keeps farthest from all ink, and how far that is.
fn between(bound: &Bound, layout: &Layout, ground: &Ground) -> (f64, [Point; 2]) {
    const TRIED: [f64; 9] = [0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74, 0.18, 0.82];
    let mut b = stem(layout, bound.after, bound.before);
    let a = stem(layout, bound.before, bound.after);
    // an oval of the one may lie the other way round
    if (b[1] - b[0]).dot(a[1] - a[0]) < 0.0 {
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
                // clear first, then long, then in the middle
                let worth = gap.min(0.06) * 10.0 + (to - from) * 0.5 - 0.2 * ((low - 0.5).abs() + (high - 0.5).abs());
                if best.as_ref().is_none_or(|(w, ..)| worth > *w) {
                    best = Some((worth, gap, line));
                }
            }
        }
    }
    // OK: there are lines to try, and the first is taken whatever its worth
    best.map_or((0.0, a), |(_, gap, line)| (gap, line))
}

/// Beneath the work between the bounds, over a bracket.
fn beneath(label: Label, ends: &[(bool, [Point; 2])], scene: &mut Scene, style: &Style) -> Label {
    let work = bounds_of_work(scene);
    let low = |opens: bool| {
        let of = ends.iter().filter(|(o, _)| *o == opens).flat_map(|(_, line)| line);
        of.copied().max_by(|a, b| a.y.total_cmp(&b.y))
    };
    let (Some(a), Some(b)) = (low(true), low(false)) else {
        return shifted(&label, Point::new(work.center().x, work.y1 + label.size));
    };
    let y = work.y1 + 0.35;
    let (left, right) = (a.x.min(b.x), a.x.max(b.x));
    let mut path = BezPath::new();
    path.move_to((left, y - 0.2));
    path.line_to((left, y));
    path.line_to((right, y));
    path.line_to((right, y - 0.2));
    let shape = Shape { kind: PartKind::Body, path, paint: Paint::Stroke(LINE), placed: None };
    scene.marks.push(Mark {
        role: MarkRole::Bound,
        ink: style.plain_ink,
        tint: None,
        dashed: false,
        shapes: vec![shape],
        tip: None,
        stitch: None,
    });
    shifted(&label, Point::new((left + right) / 2.0, y + CLEAR + LINE + label.bounds.height() / 2.0 + 0.1))
}

/// Beyond the outermost row of a sector, in the middle between its bounds.
fn outside(label: Label, ends: &[(bool, [Point; 2])], ground: &Ground) -> Label {
    let middle = |ends: &[(bool, [Point; 2])]| {
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
