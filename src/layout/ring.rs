//! Rings of chains: how large they are, and where their ovals lie.
//!
//! The ovals lie on the sides of a polygon, each as long as its side and broad in proportion. The first round stands
//! outside them. Where it asks for a wider ring than the ovals make of themselves, all of the ring is drawn larger.

use super::View;
use super::net::{Facing, Line, LineKind, Net, Post};
use super::plane::{angle, point, r90, unit};
use super::positions::{Layout, Lying, Pose};
use super::turning::BESIDE;
use crate::fabric::{Role, Row, RowShape, StitchId};
use kurbo::Vec2;
use std::f64::consts::{FRAC_PI_2, PI, TAU};

// Smaller: the feet of six sc run into one blot; larger: a ring of thread looks like one of chains.
const THREAD: f64 = 0.3;
// Chains of a ring as they lie in truth, in sc widths.
const TRUE_LENGTH: f64 = 0.62;
// Heights further apart than this make a round uneven: smaller and dc beside tr count, larger and dc beside sl st do not.
const UNLIKE: f64 = 1.2;
// What the steepest step between two stitches takes of the round: smaller and petals meet, larger and the ring gapes.
const LEAST_STEP: f64 = 0.5;
// From so many chains a space stands out from the ring as a loop, and takes this part of its chord there.
const LOOP: f64 = 4.0;
const GATHERED: f64 = 0.55;
// From the line of an oval of one sc to what stands on it.
const HALF_BREADTH: f64 = 0.22;
// What an oval is shorter than its side, for the round ends that meet at a corner: of the sine of half of its turn, squared.
const BLUNT: f64 = 0.2;
// From the end of the oval that the closing dot lies on to its middle.
const DOT: f64 = 0.14;

/// Half the turn from one oval to the next; two or fewer lie as if there were three.
fn half_turn(chains: usize) -> f64 {
    PI / chains.max(3) as f64
}

/// How far from the centre a first round stands on a ring whose ovals are one sc long.
fn reach(chains: usize) -> f64 {
    let half = half_turn(chains);
    let side = 0.5 / libm::tan(half);
    (side + HALF_BREADTH).max(side / libm::cos(half))
}

/// The lone chains that all of a first round goes into: it stands round them as round a ring.
pub(super) fn hubs(net: &Net) -> Vec<usize> {
    let fabric = net.fabric;
    let lone = |l: &Line| (l.kind == LineKind::Chain && l.nodes.len() == 1 && l.before.is_none()).then(|| l.nodes[0]);
    let all_in = |row: &Row, chain: StitchId| {
        let worked = || row.order.iter().map(|&id| fabric.stitch(id)).filter(|s| !s.is_slip_stitch());
        let around = matches!(row.shape, RowShape::Round | RowShape::Spiral);
        around && worked().all(|s| s.into.iter().all(|p| p.stitch() == Some(chain)))
    };
    let first_round = |chain: StitchId| {
        let into = |row: &&Row| {
            let places = row.order.iter().flat_map(|&id| &fabric.stitch(id).into);
            places.clone().any(|p| p.stitch() == Some(chain))
        };
        fabric.rows.iter().find(into).is_some_and(|row| all_in(row, chain))
    };
    let chains = net.lines.iter().filter_map(lone);
    chains.filter(|&node| net.stitch_of(node).is_some_and(first_round)).collect()
}

/// Radius to the line the first round stands on: as wide as the ring's own chains, or as that round needs.
pub(super) fn radius(net: &Net, ring: usize) -> f64 {
    let own = match net.fabric.rings.get(ring) {
        Some(ring) => {
            let chains = ring.ids.iter().filter(|id| net.fabric.stitch(**id).is_chain()).count();
            match (chains, net.view) {
                (0, _) => THREAD,
                (_, View::Chart) => reach(chains),
                (_, View::True) => (chains as f64 * TRUE_LENGTH / TAU).max(THREAD),
            }
        }
        None if net.view == View::Chart => net.sizes.on_chain(),
        None => 0.0,
    };
    let mut asked = 0.0_f64;
    for line in &net.lines {
        let on_ring: Vec<&Post> = line
            .nodes
            .iter()
            .filter_map(|&n| net.post_of[n].map(|p| &net.posts[p]))
            .filter(|p| p.feet.iter().any(|f| f.facing == Facing::Ring(ring)))
            .collect();
        if on_ring.is_empty() {
            continue;
        }
        let run = line.run();
        let least = on_ring.iter().map(|p| p.rest).fold(f64::INFINITY, f64::min);
        let most = on_ring.iter().map(|p| p.rest).fold(0.0, f64::max);
        if most - least > UNLIKE {
            asked = asked.max(radius_of_unlike(&steps_round(net, &run)));
            continue;
        }
        let part = |node: usize| if net.space_length(node) >= LOOP { GATHERED } else { 1.0 };
        let pitch = |w: &[usize]| net.pitch(w[0], w[1]) * part(w[0]).min(part(w[1]));
        let around: f64 = run.windows(2).map(pitch).sum::<f64>().max(on_ring.len() as f64);
        asked = asked.max(around / TAU - least);
    }
    own.max(asked)
}

/// From one post of a round in a ring to the next: how far round it goes, and how high above the ring it lies in the mean.
///
/// What lies between a low stitch and a tall one rises, and goes that much less far round.
fn steps_round(net: &Net, run: &[usize]) -> Vec<(f64, f64)> {
    let mut steps = Vec::new();
    let (mut length, mut last) = (0.0, None);
    for (i, &node) in run.iter().enumerate() {
        length += if i > 0 { net.pitch(run[i - 1], node) } else { 0.0 };
        let Some(height) = net.post_of[node].map(|p| net.posts[p].rest) else { continue };
        if let Some(before) = last {
            let rise: f64 = height - before;
            let round = (length * length - rise * rise).max(0.0).sqrt();
            steps.push((round.max(LEAST_STEP), 0.5 * (height + before)));
        }
        (length, last) = (0.0, Some(height));
    }
    steps
}

/// The radius of the ring about which such steps go once.
fn radius_of_unlike(steps: &[(f64, f64)]) -> f64 {
    let turn = |radius: f64| steps.iter().map(|(round, height)| round / (radius + height)).sum::<f64>();
    let (mut low, mut high) = (0.0, steps.iter().map(|s| s.0).sum::<f64>() / TAU);
    // OK: the turn falls as the radius grows, and at the upper end it is less than once
    for _ in 0..48 {
        let middle = 0.5 * (low + high);
        if turn(middle) > TAU { low = middle } else { high = middle }
    }
    if turn(0.0) > TAU { high } else { 0.0 }
}

/// Where the points of a round of unlike heights in a ring stand, as the turn from the first of them, once round in all;
/// none where they are alike, or where it is not closed.
pub(super) fn turns_of_unlike(net: &Net, line: usize) -> Option<Vec<f64>> {
    let l = &net.lines[line];
    let rest = |node: usize| net.post_of[node].map(|p| net.posts[p].rest);
    let heights = || l.nodes.iter().filter_map(|&n| rest(n));
    let unlike = heights().fold(0.0, f64::max) - heights().fold(f64::INFINITY, f64::min) > UNLIKE;
    if !l.closed || !unlike || rest(l.nodes[0]).is_none() {
        return None;
    }
    let steps: Vec<f64> = steps_round(net, &l.run()).iter().map(|(round, height)| round / height).collect();
    let scale = TAU / steps.iter().sum::<f64>();
    let mut along = 0.0;
    let mut step = steps.iter();
    let turns = l.nodes.iter().enumerate().map(|(i, &node)| {
        if i > 0 && rest(node).is_some() {
            along += scale * step.next().copied().unwrap_or(0.0);
        }
        along
    });
    Some(turns.collect())
}

/// Chains of the rings, round their polygons, and the dots that join them.
pub(super) fn lay_out(net: &Net, layout: &mut Layout, done: &mut [bool]) {
    for (k, ring) in net.fabric.rings.iter().enumerate() {
        let (centre, radius) = (layout.rings[k].centre.to_vec2(), layout.rings[k].radius);
        let chains: Vec<StitchId> =
            ring.ids.iter().copied().filter(|&c| net.fabric.stitch(c).is_chain() && !done[c.index()]).collect();
        let half = half_turn(chains.len());
        let scale = radius / reach(chains.len());
        let to_line = scale * 0.5 / libm::tan(half);
        let length = scale * (1.0 - BLUNT * libm::sin(half) * libm::sin(half));
        // the dot lies a little past where the ring is closed
        let past = half - libm::atan((0.5 * length - DOT).max(0.0) / to_line);
        let from = start(net, k, centre) + past;
        let out = |i: usize| unit(from - (i as f64 + 0.5) / chains.len() as f64 * TAU);
        for (i, &id) in chains.iter().enumerate() {
            let at = point(centre + to_line * out(i));
            let lying = Lying { at, angle_rad: angle(-r90(out(i))), length };
            layout.poses[id.index()] = Pose { feet: Vec::new(), head: at, lying: Some(lying) };
            done[id.index()] = true;
        }
        let closed = seat_of_dot(net, k, layout).unwrap_or(centre + radius * unit(from));
        for &id in ring.ids.iter().filter(|&&id| !net.fabric.stitch(id).is_chain()) {
            if !done[id.index()] {
                layout.poses[id.index()] = Pose { feet: vec![point(closed)], head: point(closed), lying: None };
                done[id.index()] = true;
            }
        }
    }
}

/// On the near end of the chain it enters: there the last chain keeps clear of it.
fn seat_of_dot(net: &Net, k: usize, layout: &Layout) -> Option<Vec2> {
    let mut chains = net.fabric.rings[k].ids.iter().copied().filter(|&id| net.fabric.stitch(id).is_chain());
    let lying = layout.pose(chains.next()?).lying?;
    let last = layout.pose(chains.next_back()?).head;
    let along = unit(lying.angle_rad);
    let towards = along * along.dot(last - lying.at).signum();
    Some(lying.at.to_vec2() + (0.5 * lying.length - DOT).max(0.0) * towards)
}

/// The direction in which a ring is closed: where the first round rises from it, with the chain that turns it or else its
/// first stitch; of a ring worked into chain by chain, where its ends meet.
fn start(net: &Net, k: usize, centre: Vec2) -> f64 {
    let ring = &net.fabric.rings[k];
    let first = net.lines.iter().find_map(|l| {
        let post = &net.posts[net.post_of[*l.nodes.first()?]?];
        let here = post.feet.iter().any(|f| f.facing == Facing::Ring(k));
        let before = post.stitch.index().checked_sub(1).map(|i| &net.fabric.stitches[i]);
        let turns = before.is_some_and(|s| s.is_chain() && s.role == Role::Turning && s.stands_for.is_none());
        let turns = turns && !net.fabric.stitch(post.stitch).is_chain();
        let aside = if turns { l.sign * BESIDE / (net.ring_radius[k] + 0.5) } else { 0.0 };
        here.then(|| angle(net.heads[post.node] - centre) + aside)
    });
    let worked = ring.ids.iter().filter(|id| net.ring_worked.contains(id) && net.fabric.stitch(**id).is_chain());
    let seam = || {
        let ends = [worked.clone().next()?, worked.clone().next_back()?].map(|id| net.node_of[id.index()]);
        Some(angle(0.5 * (net.heads[ends[0]?] + net.heads[ends[1]?]) - centre))
    };
    first.or_else(seam).unwrap_or(FRAC_PI_2)
}
