//! What has no point of its own: turning chains, dots, picots.

use super::anchor::near;
use super::arc::Walk;
use super::net::{Net, Node, Post};
use super::plane::{length, normalised, point, r90, unit};
use super::poses::{on_oval, rise_of_post, upright};
use super::positions::{Layout, Lying, Pose};
use crate::fabric::{Fabric, Place, Role, Stitch, StitchId};
use kurbo::Vec2;
use std::f64::consts::{PI, TAU};

// Half the way from the head a join enters to the edge of its dot.
const DOT: f64 = 0.18;
// Length of an oval of a picot: a little smaller than those it sits on.
const PICOT_OVAL: f64 = 0.7;

/// The chains of a counting turning chain, first to last.
pub(super) fn chains_up_to(fabric: &Fabric, last: StitchId) -> Vec<StitchId> {
    let turning = |s: &Stitch| s.role == Role::Turning && s.is_chain();
    let mut first = last.index();
    while first > 0 && turning(&fabric.stitches[first - 1]) && fabric.stitches[first - 1].stands_for.is_none() {
        first -= 1;
    }
    (first..=last.index()).map(StitchId::new).collect()
}

/// Poses for every stitch not done yet.
pub(super) fn lay_out_the_rest(net: &Net, layout: &mut Layout, done: &mut [bool]) {
    for post in &net.posts {
        if net.fabric.stitch(post.stitch).is_counting_turning_chain() {
            counting_chain(net, post, layout, done);
        }
    }
    super::ring::lay_out(net, layout, done);
    // dots first: turning chains make room for them
    for stitch in net.fabric.stitches.iter().filter(|s| !s.is_chain() && !s.has_role(Role::Picot)) {
        let i = stitch.id.index();
        if !done[i] {
            layout.poses[i] = dot(net, stitch, layout);
            done[i] = true;
        }
    }
    for i in 0..done.len() {
        if done[i] {
            continue;
        }
        if net.fabric.stitches[i].has_role(Role::Picot) {
            picot(net, i, layout, done);
        } else {
            super::turning::turning_chain(net, i, layout, done);
        }
    }
}

fn counting_chain(net: &Net, post: &Post, layout: &mut Layout, done: &mut [bool]) {
    let chains = chains_up_to(net.fabric, post.stitch);
    let head = net.heads[post.node];
    let foot = layout.poses[post.stitch.index()].feet[0].to_vec2();
    let bottom = foot + on_oval(net, post) * rise_of_post(net, post);
    for (nth, &id) in chains.iter().enumerate() {
        if done[id.index()] {
            continue;
        }
        let lying = upright(bottom, head, nth as f64, chains.len() as f64);
        layout.poses[id.index()] = Pose { feet: Vec::new(), head: lying.at, lying: Some(lying) };
        done[id.index()] = true;
    }
}

/// The run of like stitches from one on: chains of one turning chain, one picot.
pub(super) fn run_from(net: &Net, first: usize, done: &[bool], like: impl Fn(&Stitch) -> bool) -> Vec<usize> {
    (first..net.fabric.stitches.len()).take_while(|&i| !done[i] && like(&net.fabric.stitches[i])).collect()
}

/// A slip stitch that joins or travels: a dot on what it enters.
fn dot(net: &Net, stitch: &Stitch, layout: &Layout) -> Pose {
    let at = match stitch.into.first() {
        Some(Place::Space { space }) if net.apex_of[space.index()].is_some() => {
            Some(Walk::along(&layout.spaces[space.index()]).at(0.5).0)
        }
        // on the oval of a space
        Some(place) => place
            .stitch()
            .filter(|id| net.node_of[id.index()].is_none() && net.fabric.space_of(*id).is_some())
            .and_then(|id| layout.poses[id.index()].lying)
            .map(|lying| lying.at.to_vec2()),
        _ => None,
    };
    let seat = near(net, stitch.id);
    let at = at.or_else(|| seat.map(|(line, at)| net.heads[net.lines[line].nodes[at]])).unwrap_or(Vec2::ZERO);
    let toward_last = match (stitch.role, seat) {
        (Role::Join, Some((line, position))) => {
            let (previous, _) = net.lines[line].neighbours(position);
            let back = net.heads[previous] - at;
            if length(back) > 1e-6 { DOT * normalised(back) } else { Vec2::ZERO }
        }
        _ => Vec2::ZERO,
    };
    let head = point(at + toward_last);
    Pose { feet: vec![head; stitch.legs.len()], head, lying: None }
}

/// A picot: a closed drop of ovals outside the stitch or arch it sits on, the dot at its base.
fn picot(net: &Net, first: usize, layout: &mut Layout, done: &mut [bool]) {
    let run = run_from(net, first, done, |s| s.has_role(Role::Picot));
    let closing = run.iter().position(|&i| !net.fabric.stitches[i].is_chain());
    // one picot ends with its slip stitch
    let run = &run[..closing.map_or(run.len(), |c| c + 1)];
    let chains: Vec<usize> = run.iter().copied().filter(|&i| net.fabric.stitches[i].is_chain()).collect();
    let (base, out, along) = base_of_picot(net, first, layout);
    let n = chains.len().max(1) as f64;
    // half a place stays open for the dot; two chains make the sides of the drop of three
    let step = TAU / (n.max(3.0) + 0.5);
    let inner = 0.5 * PICOT_OVAL / libm::tan(0.5 * step);
    let open = PI - 0.5 * n.max(3.0) * step;
    let centre = base + inner / libm::cos(0.5 * step) * libm::cos(open) * out;
    for (i, &id) in chains.iter().enumerate() {
        // begun on the side the work comes from
        let turn = (i as f64 - 0.5 * (n - 1.0)) * step;
        let spoke = libm::cos(turn) * out + libm::sin(turn) * along;
        let tangent = libm::cos(turn) * along - libm::sin(turn) * out;
        let at = point(centre + inner * spoke);
        let lying = Lying { at, angle_rad: super::plane::angle(tangent), length: 0.96 * PICOT_OVAL };
        layout.poses[id] = Pose { feet: Vec::new(), head: at, lying: Some(lying) };
        done[id] = true;
    }
    for &i in run.iter().filter(|&&i| !net.fabric.stitches[i].is_chain()) {
        let head = point(base);
        layout.poses[i] = Pose { feet: vec![head; net.fabric.stitches[i].legs.len()], head, lying: None };
        done[i] = true;
    }
}

/// Where a picot sits, the way out, and the way the work runs there.
fn base_of_picot(net: &Net, first: usize, layout: &Layout) -> (Vec2, Vec2, Vec2) {
    let under = (0..first).rev().find(|&i| !net.fabric.stitches[i].has_role(Role::Picot));
    let Some(under) = under else { return (Vec2::ZERO, Vec2::new(0.0, -1.0), Vec2::new(1.0, 0.0)) };
    let id = StitchId::new(under);
    if let (None, Some(space)) = (net.node_of[under], net.fabric.space_of(id)) {
        let lying = layout.poses[under].lying;
        let next = layout.poses.get(first..).and_then(|_| {
            let ids = &net.fabric.spaces[space.index()].ids;
            ids.iter().find(|c| c.index() > first).and_then(|c| layout.poses[c.index()].lying)
        });
        if let (Some(lying), Some((line, _))) = (lying, net.apex_of[space.index()].and_then(|n| net.seat[n])) {
            let way = unit(lying.angle_rad);
            let end = lying.at.to_vec2() + 0.5 * lying.length * way;
            let at = next.map_or(end, |n| 0.5 * (lying.at.to_vec2() + n.at.to_vec2()));
            let out = net.lines[line].sign * r90(way);
            return (at + 0.15 * out, out, way);
        }
    }
    match near(net, id).filter(|_| net.node_of[under].is_some()).or_else(|| near(net, StitchId::new(first))) {
        Some((line, at)) => {
            let seat = net.node_of[under].and_then(|n| net.seat[n]).unwrap_or((line, at));
            let node = net.lines[seat.0].nodes[seat.1];
            let out = match (net.nodes[node], net.post_of[node]) {
                (Node::Head(_), Some(p)) => rise_of_post(net, &net.posts[p]),
                _ => net.normal(seat.0, seat.1),
            };
            (net.heads[node] + 0.05 * out, out, -net.lines[seat.0].sign * r90(out))
        }
        None => (Vec2::ZERO, Vec2::new(0.0, -1.0), Vec2::new(1.0, 0.0)),
    }
}
