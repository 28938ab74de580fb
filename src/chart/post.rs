//! Stitches worked round a post: the hook, and the line that passes behind is broken.

use super::figure::{Drafter, shape};
use super::scene::{Paint, Shape};
use super::trace::segments;
use crate::craft::PostSide;
use crate::fabric::{Place, Side, Stitch, StitchId};
use crate::symbol::{PartKind, Stand};
use kurbo::{BezPath, Point};

/// Height of the hook on the stem it goes round: between a third and a half, clear of strokes and top bar.
const HOOK_AT: f64 = 0.4;

/// Which way a post stitch goes as seen from the right side.
pub(super) fn seen_post(stitch: &Stitch) -> Option<PostSide> {
    let worked = stitch.extra.post.or_else(|| {
        stitch.into.iter().find_map(|p| match *p {
            Place::Post { from, .. } => Some(from),
            _ => None,
        })
    })?;
    Some(match (worked, stitch.side) {
        (PostSide::Front, Side::Wrong) => PostSide::Back,
        (PostSide::Back, Side::Wrong) => PostSide::Front,
        (seen, _) => seen,
    })
}

/// Gives every post stitch its hook and breaks the line that lies behind it.
pub(super) fn hook_and_break(drafter: &Drafter, stitches: &mut [Vec<Shape>]) {
    let width = drafter.stroke();
    for stitch in &drafter.fabric.stitches {
        let Some(seen) = seen_post(stitch) else { continue };
        let Some(target) = post_of(stitch) else { continue };
        let (Some(symbol), Some(post)) = (drafter.symbol("hook"), stem_of(drafter, target)) else { continue };
        let head = drafter.layout.pose(stitch.id).head;
        let at = post.at(HOOK_AT * post.length(), 0.0);
        // the hook is drawn upright on its post, so that the two lines cross squarely
        let own = Stand::new(at, at + post.up());
        let mirrored = seen == PostSide::Back;
        let side = if mirrored { -1.0 } else { 1.0 };
        let lip = own.at(symbol.height, side * 0.17);
        let hook: Vec<Shape> = Stand { mirrored, ..own }.pieces(symbol).into_iter().map(shape).collect();
        let shapes = &mut stitches[stitch.id.index()];
        retarget(shapes, lip, head);
        match seen {
            PostSide::Front => {
                shapes.extend(hook.iter().cloned());
                break_under(&mut stitches[target.index()], &hook, width);
            }
            PostSide::Back => {
                let mut hook = hook;
                let stems: Vec<Shape> =
                    stitches[target.index()].iter().filter(|s| s.kind == PartKind::Stem).cloned().collect();
                break_under(&mut hook, &stems, width);
                stitches[stitch.id.index()].extend(hook);
            }
        }
    }
}

fn post_of(stitch: &Stitch) -> Option<StitchId> {
    stitch.into.iter().find_map(|p| match *p {
        Place::Post { post, .. } => Some(post),
        _ => None,
    })
}

fn stem_of(drafter: &Drafter, id: StitchId) -> Option<Stand> {
    let pose = drafter.layout.pose(id);
    if let Some(lying) = pose.lying {
        let along = kurbo::Vec2::new(libm::cos(lying.angle_rad), libm::sin(lying.angle_rad)) * (lying.length / 2.0);
        return Some(Stand::new(lying.at - along, lying.at + along));
    }
    Some(Stand::new(super::legs::mean(&pose.feet)?, pose.head))
}

/// Moves the lower end of a stem to the lip of its hook.
fn retarget(shapes: &mut [Shape], lip: Point, head: Point) {
    for shape in shapes.iter_mut().filter(|s| s.kind == PartKind::Stem) {
        let top = shape.path.elements().last().and_then(|e| e.end_point()).unwrap_or(head);
        let mut line = BezPath::new();
        line.move_to(lip);
        line.line_to(top);
        shape.path = line;
    }
}

/// Leaves a gap of one stroke each side where lines pass behind others.
fn break_under(behind: &mut [Shape], front: &[Shape], width: f64) {
    let over: Vec<_> = front.iter().flat_map(|s| segments(&s.path, width / 2.0)).collect();
    for shape in behind.iter_mut().filter(|s| matches!(s.paint, Paint::Stroke(_)) && s.kind != PartKind::Head) {
        let hidden = |p: Point| over.iter().any(|s| s.distance_to(p) < 2.0 * width);
        if !segments(&shape.path, 0.0).iter().any(|s| over.iter().any(|o| o.distance(s) < 1e-9)) {
            continue;
        }
        shape.path = visible(&shape.path, hidden);
        shape.placed = None;
    }
}

/// The stretches of a path that are not hidden, found to a fiftieth of an sc.
fn visible(path: &BezPath, hidden: impl Fn(Point) -> bool) -> BezPath {
    const STEP: f64 = 0.02;
    let mut out = BezPath::new();
    let mut drawing = false;
    let mut last: Option<Point> = None;
    for segment in segments(path, 0.0) {
        let length = (segment.b - segment.a).hypot();
        let pieces = (length / STEP).ceil().max(1.0) as usize;
        if last != Some(segment.a) {
            drawing = false;
        }
        for k in 0..=pieces {
            let p = segment.a.lerp(segment.b, k as f64 / pieces as f64);
            match (hidden(p), drawing) {
                (false, false) => {
                    out.move_to(p);
                    drawing = true;
                }
                (false, true) if k == pieces => out.line_to(p),
                (true, true) => {
                    out.line_to(segment.a.lerp(segment.b, k.saturating_sub(1) as f64 / pieces as f64));
                    drawing = false;
                }
                _ => {}
            }
        }
        last = Some(segment.b);
    }
    out
}
