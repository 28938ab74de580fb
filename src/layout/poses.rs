//! From points to poses: where every stitch of the fabric is drawn.

use super::arc::Walk;
use super::decor;
use super::net::{LineKind, Net, Node, Post};
use super::plane::{angle, length, normalised, point};
use super::positions::{Arc, Layout, Lying, Pose, RingPose};
use crate::fabric::StitchId;
use kurbo::Vec2;

// Lying ovals leave this much of the pitch between them: none and they fuse in print, more and the chain falls apart.
const GAP: f64 = 0.04;
// The ovals of a space begin this far from the heads that bound it, so that they clear their bars.
const MARGIN: f64 = 0.3;

/// The drawn positions of everything.
pub(super) fn layout_of(net: &Net) -> Layout {
    let mut layout = Layout {
        poses: vec![Pose::default(); net.fabric.stitches.len()],
        spaces: (0..net.fabric.spaces.len()).map(|k| arc_of_space(net, k)).collect(),
        rings: (0..net.fabric.rings.len()).map(|k| ring_pose(net, k)).collect(),
        ..Layout::default()
    };
    let mut done = vec![false; net.fabric.stitches.len()];
    for post in &net.posts {
        layout.poses[post.stitch.index()] = post_pose(net, post);
        done[post.stitch.index()] = true;
    }
    for (node, kind) in net.nodes.iter().enumerate() {
        let (Node::Chain(id) | Node::Head(id)) = *kind else { continue };
        if !done[id.index()] {
            layout.poses[id.index()] = lying_pose(net, node, id);
            done[id.index()] = true;
        }
    }
    for k in 0..net.fabric.spaces.len() {
        lay_space(net, k, &mut layout, &mut done);
    }
    decor::lay_out_the_rest(net, &mut layout, &mut done);
    layout
}

fn ring_pose(net: &Net, ring: usize) -> RingPose {
    let centre = net.ring_of[ring].map_or(Vec2::ZERO, |n| net.heads[n]);
    RingPose { centre: point(centre), radius: net.ring_radius[ring] }
}

/// The unit vector from a post's base to its head.
pub(super) fn rise_of_post(net: &Net, post: &Post) -> Vec2 {
    normalised(net.heads[post.node] - post.base.at(&net.heads))
}

fn post_pose(net: &Net, post: &Post) -> Pose {
    let head = net.heads[post.node];
    let mut feet: Vec<_> = Vec::with_capacity(post.feet.len());
    for (leg, foot) in post.feet.iter().enumerate() {
        let mut at = foot.at.at(&net.heads);
        if let Some(crate::fabric::Place::Space { space }) = foot.place {
            // the solver's parabola gives way to the circle that is drawn
            let share = net.spread.get(&(post.stitch, leg)).copied().unwrap_or(0.5);
            at = Walk::along(&arc_of_space(net, space.index())).at(share).0;
        }
        let way = head - at;
        let shift = foot.shift.min(0.9 * length(way));
        feet.push(point(at + shift * normalised(way)));
    }
    let stitch = net.fabric.stitch(post.stitch);
    for _ in feet.len()..stitch.legs.len() {
        feet.push(feet[0]);
    }
    let lying = stitch.is_chain().then(|| {
        let count = decor::chains_up_to(net.fabric, post.stitch).len() as f64;
        let bottom = feet[0].to_vec2() + on_oval(post) * rise_of_post(net, post);
        upright(bottom, head, count - 1.0, count)
    });
    Pose { feet, head: point(head), lying }
}

/// What of the reach of a post on a chain is the oval under it.
pub(super) fn on_oval(post: &Post) -> f64 {
    post.feet.first().map_or(0.0, |f| (f.reach - f.shift).max(0.0))
}

/// The `nth` of `count` ovals end to end from bottom to top.
pub(super) fn upright(bottom: Vec2, top: Vec2, nth: f64, count: f64) -> Lying {
    let way = top - bottom;
    Lying {
        at: point(bottom + (nth + 0.5) / count * way),
        angle_rad: angle(way),
        length: (1.0 - GAP) * length(way) / count,
    }
}

fn lying_pose(net: &Net, node: usize, id: StitchId) -> Pose {
    let at = net.heads[node];
    let Some((line, position)) = net.seat[node] else { return Pose { head: point(at), ..Pose::default() } };
    let l = &net.lines[line];
    let n = l.nodes.len();
    let previous = if position > 0 { Some(l.nodes[position - 1]) } else { None };
    let next = if position + 1 < n { Some(l.nodes[position + 1]) } else { None };
    let mut pitches: Vec<f64> = [previous, next].iter().flatten().map(|&p| length(net.heads[p] - at)).collect();
    if pitches.is_empty() {
        pitches.push(1.0);
    }
    let pitch = pitches.iter().copied().fold(f64::INFINITY, f64::min);
    let ends = (previous.or(l.before).unwrap_or(node), next.or(l.after).unwrap_or(node));
    let way = if ends.0 == ends.1 { Vec2::new(1.0, 0.0) } else { net.heads[ends.1] - net.heads[ends.0] };
    if !net.fabric.stitch(id).is_chain() {
        return Pose { feet: vec![point(at); net.fabric.stitch(id).legs.len()], head: point(at), lying: None };
    }
    // a chain between worked stitches leaves room for their bars
    let free = if l.kind == LineKind::Chain { (1.0 - GAP) * pitch } else { (pitch - MARGIN).clamp(0.3, 1.0) };
    Pose {
        feet: Vec::new(),
        head: point(at),
        lying: Some(Lying { at: point(at), angle_rad: angle(way), length: free }),
    }
}

/// The arc of a space, through the heads beside it.
pub(super) fn arc_of_space(net: &Net, space: usize) -> Arc {
    let Some(apex) = net.apex_of[space] else { return Arc::default() };
    let at = net.heads[apex];
    let Some((line, position)) = net.seat[apex] else {
        return Arc { start: point(at), apex: point(at), end: point(at) };
    };
    let (previous, next) = net.lines[line].neighbours(position);
    let (mut start, mut end) = (net.heads[previous], net.heads[next]);
    // a loop at the end of a row hangs by one foot: it runs on as far beyond its apex
    if previous == apex {
        start = at + (at - end);
    }
    if next == apex {
        end = at + (at - start);
    }
    Arc { start: point(start), apex: point(at), end: point(end) }
}

/// The chains of a space: evenly along its arc, tangent to it.
fn lay_space(net: &Net, space: usize, layout: &mut Layout, done: &mut [bool]) {
    if net.apex_of[space].is_none() {
        return;
    }
    let walk = Walk::along(&layout.spaces[space]);
    let ids = &net.fabric.spaces[space].ids;
    let chains: Vec<StitchId> =
        ids.iter().copied().filter(|&c| net.fabric.stitch(c).is_chain() && !done[c.index()]).collect();
    let whole = walk.length().max(1e-6);
    // a taut space keeps at least half its line for its ovals
    let margin = (MARGIN / whole).min(0.25);
    let n = chains.len() as f64;
    for (i, &id) in chains.iter().enumerate() {
        let (at, way) = walk.at(margin + (i as f64 + 0.5) / n * (1.0 - 2.0 * margin));
        let length = (1.0 - GAP) * whole * (1.0 - 2.0 * margin) / n;
        let lying = Lying { at: point(at), angle_rad: angle(way), length: length.min(1.1) };
        layout.poses[id.index()] = Pose { feet: Vec::new(), head: point(at), lying: Some(lying) };
        done[id.index()] = true;
    }
    // a tall stitch that closes the space rises from the place it joins to the top of the arc
    for &id in ids.iter().filter(|&&id| !net.fabric.stitch(id).is_chain()) {
        if done[id.index()] {
            continue;
        }
        let end = layout.spaces[space].end;
        let feet = vec![end; net.fabric.stitch(id).legs.len()];
        layout.poses[id.index()] = Pose { feet, head: layout.spaces[space].apex, lying: None };
        done[id.index()] = true;
    }
}
