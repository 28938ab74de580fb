//! Which way up the chart is looked at.

use super::bend::is_plain;
use super::net::{Facing, Line, LineKind, Net};
use super::plane::{angle, length, r90, turned, unit};
use super::poses::rise_of_post;
use crate::fabric::RowShape;
use kurbo::Vec2;
use std::f64::consts::FRAC_PI_2;

// Mean of the ways of stitches that go two thirds of the way round a point, sin(t) / t of half that angle: smaller and a
// fan just past a half circle stands on its head, larger and a horseshoe lies on its opening.
const MOST_OF_THE_WAY: f64 = 0.41;

/// Turns the whole net upright, then further by what is asked.
pub(super) fn turn_upright(net: &mut Net, rows: &[usize], more_deg: f64) {
    let by = upright_turn(net, rows) + more_deg.to_radians();
    if by == 0.0 {
        return;
    }
    for &node in &nodes_of(net, rows) {
        net.heads[node] = turned(net.heads[node], by);
    }
}

/// The points of some rows, rings they stand in included.
pub(super) fn nodes_of(net: &Net, rows: &[usize]) -> Vec<usize> {
    let mut nodes: Vec<usize> = Vec::new();
    for line in rows.iter().flat_map(|&r| net.lines_of[r].iter()) {
        nodes.extend(&net.lines[*line].nodes);
        for post in net.lines[*line].nodes.iter().filter_map(|&n| net.post_of[n]).map(|p| &net.posts[p]) {
            for foot in &post.feet {
                if let Facing::Ring(k) = foot.facing {
                    nodes.extend(net.ring_of[k]);
                }
            }
        }
    }
    nodes.sort_unstable();
    nodes.dedup();
    nodes
}

fn upright_turn(net: &Net, rows: &[usize]) -> f64 {
    let first = rows.iter().flat_map(|&r| net.lines_of[r].iter()).copied().next();
    let Some(first) = first else { return 0.0 };
    if net.lines[first].kind == LineKind::Chain && net.lines[first].nodes.len() > 1 {
        if net.lines[first].closed {
            let nodes = &net.lines[first].nodes;
            let centre = nodes.iter().fold(Vec2::ZERO, |s, &n| s + net.heads[n]) / nodes.len() as f64;
            return -FRAC_PI_2 - angle(net.heads[nodes[0]] - centre);
        }
        return if out_of_one_chain(net, first) { growth_turn(net, rows) } else { foundation_turn(net, first) };
    }
    round_turn(net, rows)
}

/// Worked along one side: foundation below. Worked round both, with an open end: that end up.
fn foundation_turn(net: &Net, chain: usize) -> f64 {
    let nodes = &net.lines[chain].nodes;
    let (first, last) = (net.heads[nodes[0]], net.heads[nodes[nodes.len() - 1]]);
    let along = last - first;
    let round =
        net.lines.iter().find(|l| l.kind == LineKind::Row && sides(net, l.nodes.as_slice(), chain) == (true, true));
    match round {
        Some(row) if !row.closed => {
            let middle = row.nodes.iter().fold(Vec2::ZERO, |s, &n| s + net.heads[n]) / row.nodes.len() as f64;
            let ends = 0.5 * (net.heads[row.nodes[0]] + net.heads[row.nodes[row.nodes.len() - 1]]);
            let open = ends - middle;
            if length(open) < 1e-6 { 0.0 } else { -FRAC_PI_2 - angle(open) }
        }
        Some(_) => -angle(along),
        None => {
            let up = net.lines[chain].sign * r90(along);
            // the first row on the chain tells; a border may go along its other side later
            let under = net
                .lines
                .iter()
                .filter(|l| l.kind == LineKind::Row)
                .map(|l| sides(net, &l.nodes, chain))
                .find(|&on| on != (false, false))
                .is_some_and(|on| on == (false, true));
            let up = if under { -up } else { up };
            -FRAC_PI_2 - angle(up)
        }
    }
}

/// Whether a row stands on the upper side of a chain, and on its underside.
fn sides(net: &Net, nodes: &[usize], chain: usize) -> (bool, bool) {
    let mut sides = (false, false);
    for post in nodes.iter().filter_map(|&n| net.post_of[n]).map(|p| &net.posts[p]) {
        for foot in &post.feet {
            if let Facing::Line { line, flip, .. } = foot.facing
                && line == chain
            {
                sides.0 |= flip > 0.0;
                sides.1 |= flip < 0.0;
            }
        }
    }
    sides
}

/// The point in the middle of the ring a line stands in.
fn ring_under(net: &Net, line: usize) -> Option<usize> {
    net.lines[line].nodes.iter().find_map(|&n| {
        let post = &net.posts[net.post_of[n]?];
        post.feet.iter().find_map(|f| if let Facing::Ring(k) = f.facing { net.ring_of[k] } else { None })
    })
}

/// True for a chain whose first row, open at both ends, is all worked into one of its chains.
fn out_of_one_chain(net: &Net, chain: usize) -> bool {
    let on = |l: &&Line| l.kind == LineKind::Row && sides(net, &l.nodes, chain) != (false, false);
    net.lines.iter().find(on).is_some_and(|row| {
        let places: Vec<_> =
            row.nodes.iter().filter_map(|&n| net.post_of[n]).map(|p| net.posts[p].one_place()).collect();
        let worked: Vec<_> = places.iter().flatten().collect();
        !row.closed && worked.len() > 1 && worked.windows(2).all(|w| w[0] == w[1])
    })
}

/// Rows that grow out of one point: what they grow from below. Where they go most of the way round it: their open end up.
fn growth_turn(net: &Net, rows: &[usize]) -> f64 {
    let of_rows = rows.iter().filter(|&&r| net.fabric.rows[r].shape == RowShape::Row);
    let posts = of_rows.flat_map(|&r| net.lines_of[r].iter()).flat_map(|&l| &net.lines[l].nodes);
    let rises: Vec<Vec2> = posts.filter_map(|&n| net.post_of[n]).map(|p| rise_of_post(net, &net.posts[p])).collect();
    let up = rises.iter().fold(Vec2::ZERO, |sum, rise| sum + *rise) / rises.len().max(1) as f64;
    if length(up) < 1e-6 {
        return 0.0;
    }
    let up = if length(up) < MOST_OF_THE_WAY { -up } else { up };
    -FRAC_PI_2 - angle(up)
}

/// Rounds start above the middle and run to the left; a shape with corners stands on a side.
fn round_turn(net: &Net, rows: &[usize]) -> f64 {
    let Some((line, ring)) =
        rows.iter().flat_map(|&r| net.lines_of[r].iter()).find_map(|&l| Some((l, ring_under(net, l)?)))
    else {
        return growth_turn(net, rows);
    };
    if !rows.iter().flat_map(|&r| net.lines_of[r].iter()).any(|&l| net.lines[l].closed || net.is_spiral(l)) {
        return growth_turn(net, rows);
    }
    let centre = net.heads[ring];
    let start = angle(net.heads[net.lines[line].nodes[0]] - centre);
    let turn = -FRAC_PI_2 - start;
    let mut rounds = rows.iter().rev().flat_map(|&r| net.lines_of[r].iter()).filter(|&&l| net.lines[l].closed);
    // a plain round about a shape has the corners of that
    let Some(&outer) = rounds.find(|&&l| !is_plain(net, l)) else { return turn };
    let corners = corners_of(net, outer);
    if corners.len() < 3 {
        return turn;
    }
    // the least further turn that lays a side along the bottom, by the mean of where the sides face
    let sides = corners.len() as f64;
    let facing = (0..corners.len()).map(|i| {
        let (a, b) = (corners[i], corners[(i + 1) % corners.len()]);
        let across = r90(b - a);
        let out = if across.dot(0.5 * (a + b) - centre) < 0.0 { -across } else { across };
        unit(sides * (angle(out) + turn - FRAC_PI_2))
    });
    turn - angle(facing.fold(Vec2::ZERO, |sum, way| sum + way)) / sides
}

/// Where the corners of a closed row are, if it has any.
fn corners_of(net: &Net, line: usize) -> Vec<Vec2> {
    let shape = super::shape::shape_of(net, line);
    let corner = |at: &usize| shape.corner_apex[*at] || shape.corner_middles.contains(at);
    (0..shape.corner_apex.len()).filter(corner).map(|at| net.heads[net.lines[line].nodes[at]]).collect()
}
