//! The way each stitch of a row stands up, before anything is relaxed.

use super::net::{Facing, Net};
use super::place::{convex_between, fanned};
use super::plane::{angle, wrap};
use super::shape::is_seam;
use crate::fabric::{Place, StitchId};
use kurbo::Vec2;

// Beyond this a row turns a corner: its stitches fan round it instead of jumping.
const JUMP: f64 = 2.0944;

/// Angle of each stitch of a line from foot to head; none for apexes and what stands on nothing.
pub(super) fn ways_of(net: &Net, line: usize) -> Vec<Option<f64>> {
    let l = &net.lines[line];
    let mut ways: Vec<Option<f64>> = l.nodes.iter().map(|&n| own_way(net, n)).collect();
    let mut keys: Vec<Option<Key>> = l.nodes.iter().map(|&n| key_of(net, n)).collect();
    // a round that starts within a group is read from where that group begins
    let shift = if l.closed { leading_part_of_last_group(&keys) } else { 0 };
    ways.rotate_left(shift);
    keys.rotate_left(shift);
    let rests: Vec<f64> = l.nodes.iter().map(|&n| net.post_of[n].map_or(0.25, |p| net.posts[p].rest)).collect();
    let rest_at = |i: usize| rests[(i + shift) % rests.len()];
    for (first, last) in groups(&keys) {
        if !round_corner(l.sign, l.closed, &mut ways, first, last) {
            let tallest = (first..=last).map(rest_at).fold(0.25, f64::max);
            fan(l.sign, &mut ways[first..=last], tallest);
        }
    }
    ways.rotate_right(shift);
    smooth_seams(net, line, &mut ways);
    ways
}

/// In the hollow where a branch meets its row stitches would cross: there their ways close up, the outer ones less.
fn smooth_seams(net: &Net, line: usize, ways: &mut [Option<f64>]) {
    // share of the whole change by which each stitch gives way, nearest to the seam first
    const SHARES: [f64; 4] = [0.38, 0.25, 0.14, 0.06];
    let l = &net.lines[line];
    for i in 0..l.nodes.len().saturating_sub(1) {
        let (Some(from), Some(to)) = (ways[i], ways[i + 1]) else { continue };
        let change = wrap(to - from);
        // only where the line turns toward its own up, and sharply
        if l.sign * change < 0.6 || !is_seam(net, l.nodes[i], l.nodes[i + 1]) {
            continue;
        }
        for (own, give, before) in [(from, change, true), (to, -change, false)] {
            for (k, share) in SHARES.iter().enumerate() {
                let at = if before { i.checked_sub(k) } else { Some(i + 1 + k).filter(|&at| at < ways.len()) };
                // the outer ones give way only where they stand as the inner ones do
                let Some(at) = at.filter(|&at| ways[at].is_some_and(|w| wrap(w - own).abs() < 0.5)) else { break };
                ways[at] = Some(own + share * give);
            }
        }
    }
}

/// How many of the first nodes of a closed line belong to the group its last nodes make.
pub(super) fn leading_part_of_last_group(keys: &[Option<Key>]) -> usize {
    let Some(last) = keys.iter().rev().take(2).find_map(|k| *k) else { return 0 };
    let mut shift = 0;
    for (i, key) in keys.iter().enumerate() {
        if *key == Some(last) {
            shift = i + 1;
        } else if key.is_some() || i > shift {
            break;
        }
    }
    if shift == keys.len() { 0 } else { shift }
}

fn own_way(net: &Net, node: usize) -> Option<f64> {
    let post = &net.posts[net.post_of[node]?];
    let mut sum = Vec2::ZERO;
    for foot in &post.feet {
        sum += net.way(foot.facing)?;
    }
    (sum.x * sum.x + sum.y * sum.y > 1e-12).then(|| angle(sum))
}

/// What stitches of one fan share: the chain, whichever side; the stitch; the space; the gap between two stitches.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Key {
    Stitch(StitchId),
    Space(usize),
    Gap(StitchId, StitchId),
}

/// The one thing a stitch stands in, if it is one.
pub(super) fn key_of(net: &Net, node: usize) -> Option<Key> {
    let post = &net.posts[net.post_of[node]?];
    // a whole round in one chain is no fan
    if post.feet.iter().any(|f| matches!(f.facing, Facing::Ring(_))) {
        return None;
    }
    match post.one_place()? {
        Place::Space { space } => Some(Key::Space(space.index())),
        Place::Between { between: [a, b] } => Some(Key::Gap(a.min(b), a.max(b))),
        Place::Top { top: id, .. }
        | Place::Chain { chain: id }
        | Place::Underside { underside: id }
        | Place::Bump { bump: id }
        | Place::Post { post: id, .. } => Some(Key::Stitch(id)),
        _ => None,
    }
}

/// Runs of stitches in one place, chain spaces between them included: first and last position.
pub(super) fn groups(keys: &[Option<Key>]) -> Vec<(usize, usize)> {
    let mut groups: Vec<(usize, usize)> = Vec::new();
    for (i, key) in keys.iter().enumerate() {
        let Some(key) = key else { continue };
        match groups.last_mut() {
            Some((_, last)) if keys[*last].as_ref() == Some(key) && i - *last <= 2 => *last = i,
            _ => groups.push((i, i)),
        }
    }
    groups
}

/// Where the ways before and after a run differ too much, it fans evenly from one to the other, the convex way.
fn round_corner(sign: f64, closed: bool, ways: &mut [Option<f64>], first: usize, last: usize) -> bool {
    let n = ways.len();
    let outside = |i: usize| i < first || i > last;
    let before = (1..n)
        .map(|k| (first + n - k, first >= k))
        .find(|&(i, inside)| (inside || closed) && outside(i % n) && ways[i % n].is_some());
    let after = (1..n)
        .map(|k| (last + k, last + k < n))
        .find(|&(i, inside)| (inside || closed) && outside(i % n) && ways[i % n].is_some());
    let (Some((before, _)), Some((after, _))) = (before, after) else { return false };
    let (Some(from), Some(to)) = (ways[before % n], ways[after % n]) else { return false };
    if wrap(to - from).abs() < JUMP {
        return false;
    }
    let members: Vec<usize> = (first..=last).filter(|&i| ways[i].is_some()).collect();
    let shares = members.len() + 1;
    for (k, &i) in members.iter().enumerate() {
        ways[i] = Some(convex_between(from, to, sign, (k + 1) as f64 / shares as f64));
    }
    true
}

/// Several in one place: spread about their middle.
fn fan(sign: f64, ways: &mut [Option<f64>], tallest: f64) {
    let count = ways.len() - 1;
    if count == 0 {
        return;
    }
    // wider and neighbours of the fan are crowded, narrower and its own heads are
    let a_leg = (0.6 / tallest).min(0.5).min(2.0 / count as f64);
    for (i, way) in ways.iter_mut().enumerate() {
        let from_middle = i as f64 - 0.5 * count as f64;
        *way = way.map(|w| fanned(w, -sign * from_middle * a_leg));
    }
}
