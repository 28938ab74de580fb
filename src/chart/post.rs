//! Stitches worked round a post: the hook, and the line that passes behind is broken.

use super::figure::{Drafter, shape};
use super::modifiers::turned_side;
use super::passing::break_under;
use super::scene::{Paint, Shape};
use super::style::Face;
use crate::craft::PostSide;
use crate::fabric::{Place, Side, Stitch, StitchId};
use crate::symbol::{PartKind, Stand, Symbol, SymbolSet};
use kurbo::{BezPath, Point, Vec2};

/// Height of the hook on the stem it goes round: between a third and a half, clear of strokes and top bar.
const HOOK_AT: f64 = 0.43;

/// Which way a post stitch goes as seen from the right side.
pub(super) fn seen_post(stitch: &Stitch, face: Face) -> Option<PostSide> {
    let worked = stitch.extra.post.or_else(|| {
        stitch.into.iter().find_map(|p| match *p {
            Place::Post { from, .. } => Some(from),
            _ => None,
        })
    })?;
    Some(match (worked, turned_side(stitch, face)) {
        (PostSide::Front, Side::Wrong) => PostSide::Back,
        (PostSide::Back, Side::Wrong) => PostSide::Front,
        (seen, _) => seen,
    })
}

/// Gives every post stitch its hook and breaks the lines that lie behind.
pub(super) fn hook_and_break(drafter: &Drafter, stitches: &mut [Vec<Shape>]) {
    let width = drafter.stroke();
    for stitch in &drafter.fabric.stitches {
        let (Some(seen), Some(target)) = (seen_post(stitch, drafter.face), post_of(stitch)) else { continue };
        let Some(post) = stem_of(drafter, target) else { continue };
        let at = post.at(HOOK_AT * post.length(), 0.0);
        let head = drafter.layout.pose(stitch.id).head;
        let own = std::mem::take(&mut stitches[stitch.id.index()]);
        // the hook is drawn upright on its post, so that the two lines cross squarely
        let mut own = with_hook(drafter.symbols, own, Stand::new(at, at + post.up()), head, seen);
        let below = &mut stitches[target.index()];
        match seen {
            // in front, the post below is broken; its bar stays whole, so that the row below still reads
            PostSide::Front => break_under(below, &own, width, |s| s.kind != PartKind::Head),
            PostSide::Back => break_under(&mut own, below, width, |s| s.kind != PartKind::Stroke),
        }
        stitches[stitch.id.index()] = own;
    }
}

/// The sample of a post stitch, as the legend shows it: by itself, with a piece of the post it goes round.
pub(super) fn hooked(symbols: &SymbolSet, shapes: Vec<Shape>, head: Point, side: PostSide) -> Vec<Shape> {
    let mut own = with_hook(symbols, shapes, Stand::new(Point::ORIGIN, Point::new(0.0, -1.0)), head, side);
    let width = symbols.get("hook").map_or(0.09, Symbol::stroke_width);
    let mut line = BezPath::new();
    line.move_to((0.0, 0.6));
    line.line_to((0.0, -0.28));
    let mut post = [Shape { kind: PartKind::Stem, path: line, paint: Paint::Stroke(width), placed: None }];
    match side {
        PostSide::Front => break_under(&mut post, &own, width, |_| true),
        PostSide::Back => break_under(&mut own, &post, width, |_| true),
    }
    own.extend(post);
    own
}

/// The stitch with its stem led to the lip of the hook that stands at `on`.
fn with_hook(symbols: &SymbolSet, mut shapes: Vec<Shape>, on: Stand, head: Point, side: PostSide) -> Vec<Shape> {
    let Some(symbol) = symbols.get("hook") else { return shapes };
    let mirrored = side == PostSide::Back;
    let hook = Stand { mirrored, ..on }.pieces(symbol);
    let lip = hook.first().and_then(|p| p.path.elements().first()?.end_point()).unwrap_or(on.foot);
    // strokes and stem lean with the new foot; the bar keeps its place at the head
    let old = shapes.iter().find(|s| s.kind == PartKind::Stem).and_then(|s| s.path.elements().first()?.end_point());
    let from = old.unwrap_or(on.foot);
    let shift = |p: Point| {
        let whole = (head - from).hypot().max(1e-9);
        let up = ((p - from).dot(head - from) / (whole * whole)).clamp(0.0, 1.0);
        (lip - from) * (1.0 - up)
    };
    for shape in &mut shapes {
        match shape.kind {
            PartKind::Stem => {
                let top = shape.path.elements().last().and_then(|e| e.end_point()).unwrap_or(head);
                let mut line = BezPath::new();
                line.move_to(lip);
                line.line_to(top);
                shape.path = line;
            }
            PartKind::Stroke => {
                let middle = kurbo::Shape::bounding_box(&shape.path).center();
                shape.path.apply_affine(kurbo::Affine::translate(shift(middle)));
            }
            _ => {}
        }
    }
    shapes.extend(hook.into_iter().map(shape));
    shapes
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
        let along = Vec2::new(libm::cos(lying.angle_rad), libm::sin(lying.angle_rad)) * (lying.length / 2.0);
        return Some(Stand::new(lying.at - along, lying.at + along));
    }
    Some(Stand::new(super::legs::mean(&pose.feet)?, pose.head))
}
