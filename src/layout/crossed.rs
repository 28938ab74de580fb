//! Crossed stitches: worked into places that change their order, so that the legs cross and the heads do not.
//!
//! Their heads stand as those of plain stitches would, the first over the first of the places; only the legs reach across.

use super::lin::Lin;
use super::net::{Facing, Foot, Line, LineKind, Net};

// Places back at most to a stitch that was skipped: further, and the row begins again somewhere else.
const BACK: f64 = 8.5;
// Stitches made at most before the yarn goes back to those skipped.
const AHEAD: usize = 12;

/// A post, the line and side it stands on, and how far along that, in stitches.
struct Stand {
    post: usize,
    base: (usize, bool),
    along: f64,
    /// Its place in its own row.
    at: usize,
}

/// Gives the posts of crossed stitches the places that lie under their heads to stand on; where their legs go is kept
/// beside.
pub(super) fn stand_under_heads(net: &mut Net) {
    for line in 0..net.lines.len() {
        if net.lines[line].kind == LineKind::Chain {
            continue;
        }
        let nodes = net.lines[line].nodes.iter().enumerate();
        let mut stands: Vec<Stand> = nodes.filter_map(|(at, &node)| stand_of(net, node, at)).collect();
        // a stable sort: those of one base keep their order
        stands.sort_by_key(|s| s.base);
        // a row that comes to its base again, or goes on far off, begins there anew
        let on = |a: &Stand, b: &Stand| {
            let step = around(&net.lines[a.base.0], b.along - a.along);
            a.base == b.base && b.at - a.at <= AHEAD && step.abs() < BACK
        };
        let runs: Vec<&[Stand]> = stands.chunk_by(on).collect();
        let groups: Vec<_> = runs.into_iter().flat_map(|run| out_of_order(net, run)).collect();
        for group in groups {
            change_places(net, &group);
        }
    }
}

/// Where a stitch of one leg stands, if that is on a line.
fn stand_of(net: &Net, node: usize, own: usize) -> Option<Stand> {
    let post = net.post_of[node]?;
    let [foot] = net.posts[post].feet.as_slice() else { return None };
    let Facing::Line { line, at: facing, flip } = foot.facing else { return None };
    let l = &net.lines[line];
    // a place between two points lies between them, and at the seam of a round those are its ends
    let (mut along, mut share) = (0.0, 0.0);
    for &(node, weight, _) in foot.at.0.iter().filter(|hold| hold.1.abs() > 1e-9) {
        let Some((_, at)) = net.seat[node].filter(|&(l, _)| l == line) else { continue };
        along += weight * around(l, at as f64 - facing as f64);
        share += weight;
    }
    let along = facing as f64 + along;
    let base = (line, flip < 0.0);
    (share > 0.99 && share < 1.01).then_some(Stand { post, base, along, at: own })
}

/// A step along a line, the shorter way round where it is closed.
fn around(line: &Line, step: f64) -> f64 {
    let whole = line.nodes.len() as f64;
    if line.closed && step.abs() > 0.5 * whole { step - whole * step.signum() } else { step }
}

/// Runs of posts whose places, and no others, change their order; each with its places in the order of the row.
fn out_of_order(net: &Net, stands: &[Stand]) -> Vec<Vec<(usize, f64)>> {
    // along the base from the first, round and round
    let mut at = Vec::with_capacity(stands.len());
    let mut sum = 0.0;
    for (i, stand) in stands.iter().enumerate() {
        let step = |last: &Stand| around(&net.lines[stand.base.0], stand.along - last.along);
        sum += if i == 0 { 0.0 } else { step(&stands[i - 1]) };
        at.push(sum);
    }
    // for all that goes back, the row comes to its end
    let way = if at.last().is_some_and(|&end| end < 0.0) { -1.0 } else { 1.0 };
    let mut groups = Vec::new();
    let mut from = 0;
    while from < at.len() {
        let (mut to, mut furthest) = (from, way * at[from]);
        // as long as something later stands before something in the run
        while let Some(later) = (to + 1..at.len().min(to + 1 + AHEAD)).rev().find(|&k| {
            let behind = furthest - way * at[k];
            behind > 1e-6 && behind < BACK
        }) {
            to = later;
            furthest = at[from..=to].iter().fold(furthest, |m, &a| m.max(way * a));
        }
        if to > from {
            groups.push((from..=to).map(|k| (stands[k].post, way * at[k])).collect());
        }
        from = to + 1;
    }
    groups
}

fn change_places(net: &mut Net, group: &[(usize, f64)]) {
    let mut places: Vec<(f64, Foot)> = group.iter().map(|&(p, at)| (at, net.posts[p].feet[0].clone())).collect();
    // a stable sort: stitches in one place keep their order
    places.sort_by(|a, b| a.0.total_cmp(&b.0));
    for (&(p, at), (under, foot)) in group.iter().zip(places) {
        if (at - under).abs() < 1e-6 {
            continue;
        }
        let post = &mut net.posts[p];
        post.rest += foot.reach - post.feet[0].reach;
        post.base = Lin::default().plus(1.0, &foot.at);
        post.across = Some(std::mem::replace(&mut post.feet[0], foot));
    }
}
