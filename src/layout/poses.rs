//! From points to poses: where every stitch of the fabric is drawn.

use super::arc::Walk;
use super::decor;
use super::net::{LineKind, Net, Node, Post, sagitta};
use super::plane::{angle, length, normalised, point, r90};
use super::positions::{Arc, Layout, Lying, Pose, RingPose};
use crate::fabric::{Role, StitchId};
use kurbo::Vec2;

// Lying ovals leave this much of the pitch between them: none and they fuse in print, more and the chain falls apart.
const GAP: f64 = 0.04;
// The ovals of a space begin this far from the heads that bound it, so that they clear their bars.
const MARGIN: f64 = 0.3;
// Part of an arc that the oval of a chain needs at least.
const LEAST_OVAL: f64 = 0.5;
// How far behind its tip an oval has its full width, and the most that it makes room, by what steps that is looked for.
const BELLY: f64 = 0.22;
// What the last space of a round leaves free for the chain that turned it; an arch comes down over that chain.
const BESIDE_TURNING: f64 = 0.5;
const ABOVE_TURNING: f64 = 0.1;
// Sine of the angle from which the end of an arch is steep.
const STEEP: f64 = 0.65;
// What a space leaves free beside a crossed stitch, which comes slanting with its strokes.
const BESIDE_CROSSED: f64 = 0.2;
const MOST: f64 = 1.2;
const STEP: f64 = 0.05;
// Of an arch that a tall stitch closes: share of its chains at least, and how far from the bar their last oval ends.
const LEAST_OF_CLOSED: f64 = 0.35;
const BEFORE_BAR: f64 = 0.16;
// How far apart the bellies of two such ovals are to be, from middle to middle.
const BESIDE: f64 = 0.47;

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
    if let Some(blocks) = &net.blocks {
        blocks.pose(net, &mut layout);
    }
    layout
}

fn ring_pose(net: &Net, ring: usize) -> RingPose {
    let ids = &net.fabric.rings[ring].ids;
    if ids.iter().any(|id| net.ring_worked.contains(id)) {
        let own: Vec<Vec2> = ids.iter().filter_map(|id| net.node_of[id.index()]).map(|n| net.heads[n]).collect();
        let centre = own.iter().fold(Vec2::ZERO, |sum, v| sum + *v) / own.len().max(1) as f64;
        let radius = own.iter().map(|v| length(*v - centre)).sum::<f64>() / own.len().max(1) as f64;
        return RingPose { centre: point(centre), radius };
    }
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
    let drawn = post.across.as_ref().map_or(post.feet.as_slice(), std::slice::from_ref);
    for (leg, foot) in drawn.iter().enumerate() {
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
        let bottom = feet[0].to_vec2() + on_oval(net, post) * rise_of_post(net, post);
        upright(bottom, head, count - 1.0, count)
    });
    Pose { feet, head: point(head), lying }
}

/// What of the reach of a post on a chain is the oval under it.
pub(super) fn on_oval(net: &Net, post: &Post) -> f64 {
    post.feet.first().map_or(0.0, |f| (f.reach - f.shift).clamp(0.0, net.sizes.on_chain()))
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
    let previous = if position > 0 || l.closed { Some(l.nodes[(position + n - 1) % n]) } else { None };
    let next = if position + 1 < n || l.closed { Some(l.nodes[(position + 1) % n]) } else { None };
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
    // between a long gap and a short one an oval takes a part of both; a chain between worked stitches leaves room for
    // their bars
    let mean = pitches.iter().sum::<f64>() / pitches.len() as f64;
    let free =
        if l.kind == LineKind::Chain { ((1.0 - GAP) * mean).min(pitch) } else { (pitch - MARGIN).clamp(0.3, 1.0) };
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
    let arc = Arc { start: point(start), apex: point(at), end: point(end) };
    // ovals that find no room on it stand out, where nothing is worked into them
    let room = LEAST_OVAL * net.space_length(apex) + 2.0 * MARGIN;
    let empty = net.feet_in.get(space).is_none_or(|feet| *feet == 0);
    if !empty || net.space_length(apex) < 2.0 || Walk::along(&arc).length() >= room {
        return arc;
    }
    let chord = end - start;
    let out = sagitta(room, length(chord)) * net.lines[line].sign * r90(normalised(chord));
    Arc { apex: point(start + 0.5 * chord + out), ..arc }
}

/// How far from its ends the ovals of a space begin: further where the next arch leaves the same head at a narrow angle,
/// so that the last oval of the one and the first of the other keep apart.
fn margins(net: &Net, space: usize, layout: &Layout, walk: &Walk) -> [f64; 2] {
    let Some((line, at)) = net.apex_of[space].and_then(|n| net.seat[n]) else { return [MARGIN; 2] };
    let (previous, next) = net.lines[line].neighbours(at);
    let beside = |head: usize, own: usize| -> Option<usize> {
        let (line, at) = net.seat[head]?;
        let (a, b) = net.lines[line].neighbours(at);
        let other = if a == own { b } else { a };
        match net.nodes[other] {
            Node::Apex(k) if other != own => Some(k),
            _ => None,
        }
    };
    let own = net.lines[line].nodes[at];
    [(previous, 0.0), (next, 1.0)].map(|(head, share)| {
        let crosses = net.post_of[head].is_some_and(|p| net.posts[p].across.is_some());
        let kept = match () {
            () if share == 1.0 && turns_beside(net, head) && !steep(walk) => BESIDE_TURNING,
            () if share == 1.0 && turns_beside(net, head) => ABOVE_TURNING,
            () if crosses => BESIDE_CROSSED,
            () => 0.0,
        };
        let free = MARGIN + kept;
        let Some(other) = beside(head, own) else { return free };
        let beside = Walk::along(&layout.spaces[other]);
        // points so far along the two arches from their common head
        let on = |walk: &Walk, share: f64, far: f64| {
            let far = (far / walk.length().max(1e-6)).min(0.5);
            walk.at(if share == 0.0 { far } else { 1.0 - far }).0
        };
        let apart = |far: f64| length(on(walk, share, far) - on(&beside, 1.0 - share, far));
        let steps = ((MOST - free) / STEP) as usize;
        let clear = (0..=steps).map(|k| free + k as f64 * STEP).find(|m| apart(m + BELLY) >= BESIDE);
        clear.unwrap_or(MOST)
    })
}

/// True for an arch that comes down to its end.
fn steep(walk: &Walk) -> bool {
    let chord = normalised(walk.at(1.0).0 - walk.at(0.0).0);
    walk.at(1.0).1.cross(chord).abs() > STEEP
}

/// True where a chain that turns the round, and is no stitch of it, stands beside its first stitch.
fn turns_beside(net: &Net, head: usize) -> bool {
    let own = net.stitch_of(head).filter(|&id| !net.fabric.stitch(id).is_chain());
    let before = own.and_then(|id| id.index().checked_sub(1)).map(|i| &net.fabric.stitches[i]);
    let first = net.seat[head].is_some_and(|(_, at)| at == 0);
    first && before.is_some_and(|s| s.is_chain() && s.role == Role::Turning && s.stands_for.is_none())
}

/// The chains of a space: evenly along its arc, tangent to it.
///
/// A tall stitch that closes it takes as much of the arc as the chains it stands for: its foot is where the arc ends, and
/// its bar at the last chain.
fn lay_space(net: &Net, space: usize, layout: &mut Layout, done: &mut [bool]) {
    if net.apex_of[space].is_none() {
        return;
    }
    let walk = Walk::along(&layout.spaces[space]);
    let ids = &net.fabric.spaces[space].ids;
    let chains: Vec<StitchId> =
        ids.iter().copied().filter(|&c| net.fabric.stitch(c).is_chain() && !done[c.index()]).collect();
    let closing = ids.iter().copied().find(|&id| !net.fabric.stitch(id).is_chain() && !done[id.index()]);
    let whole = walk.length().max(1e-6);
    let n = chains.len() as f64;
    // a taut space keeps at least half its line for its ovals
    let [low, mut high] = margins(net, space, layout, &walk).map(|m| (m / whole).min(0.3));
    if let Some(id) = closing {
        let head = (n / f64::from(net.fabric.spaces[space].length).max(n + 1.0)).max(LEAST_OF_CLOSED);
        high = (1.0 - head + BEFORE_BAR / whole).min(0.9 - low);
        let feet = vec![layout.spaces[space].end; net.fabric.stitch(id).legs.len()];
        layout.poses[id.index()] = Pose { feet, head: point(walk.at(head).0), lying: None };
        done[id.index()] = true;
    }
    for (i, &id) in chains.iter().enumerate() {
        let (at, way) = walk.at(low + (i as f64 + 0.5) / n * (1.0 - low - high));
        let length = (1.0 - GAP) * whole * (1.0 - low - high) / n;
        let lying = Lying { at: point(at), angle_rad: angle(way), length: length.min(1.1) };
        layout.poses[id.index()] = Pose { feet: Vec::new(), head: point(at), lying: Some(lying) };
        done[id.index()] = true;
    }
}
