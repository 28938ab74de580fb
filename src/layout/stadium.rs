//! Long rows round the end of a straight chain: straight along both its sides, and half a circle about its last chain.
//!
//! Placed stitch upon stitch alone, such rows keep every dent of the row below, and a hundred rows on they fold.

use super::net::{Facing, LineKind, Net};
use super::plane::{normalised, r90, turned};
use kurbo::Vec2;
use std::f64::consts::PI;

/// Shorter rows are relaxed as a whole soon enough.
const LONG: usize = 160;

/// A place on a chain: the chain, where along it, on its underside or not.
pub(super) type Root = (usize, usize, bool);

/// Places a long open row of stitches alike round the end of the straight chain they all come from; false where it is none.
pub(super) fn place(net: &mut Net, line: usize) -> bool {
    let roots: Vec<Option<Root>> = net.lines[line].nodes.iter().map(|&n| root_of(net, n)).collect();
    for (at, root) in roots.iter().enumerate() {
        let node = net.lines[line].nodes[at];
        net.root[node] = *root;
    }
    let placed = place_round_end(net, line, &roots).is_some();
    net.well_placed[line] = placed;
    placed
}

/// Where on a chain the stitches under a stitch stand, from one to the next.
fn root_of(net: &Net, node: usize) -> Option<Root> {
    let [foot] = net.posts[net.post_of[node]?].feet.as_slice() else { return None };
    let Facing::Line { line, at, flip } = foot.facing else { return None };
    let l = &net.lines[line];
    match l.kind {
        LineKind::Chain => (!l.closed && l.before.is_none()).then_some((line, at, flip < 0.0)),
        _ => net.root[l.nodes[at]],
    }
}

fn place_round_end(net: &mut Net, line: usize, roots: &[Option<Root>]) -> Option<()> {
    let l = &net.lines[line];
    if l.closed || l.kind != LineKind::Row || l.nodes.len() < LONG {
        return None;
    }
    let roots: Vec<Root> = roots.iter().copied().collect::<Option<_>>()?;
    let (chain, ..) = roots[0];
    let last = net.lines[chain].nodes.len().checked_sub(1).filter(|&last| last > 1)?;
    let straight = !net.bent[chain] && roots.iter().all(|r| r.0 == chain);
    // along one side, round the end, back along the other
    let turn = roots.windows(2).find(|w| w[0].2 != w[1].2)?;
    let round = [0, last].into_iter().find(|&at| turn.iter().any(|r| r.1 == at))?;
    let toward = if round == 0 { -1 } else { 1 };
    let end = roots.iter().position(|r| r.1 == round)?;
    let on = end + roots[end..].iter().position(|r| r.1 != round)?;
    let (first_side, other_side) = (&roots[..end], &roots[on..]);
    let one_by_one = |side: &[Root], step: isize| {
        side.windows(2).all(|w| w[1].1 as isize - w[0].1 as isize == step && w[0].2 == w[1].2)
    };
    let sides = one_by_one(first_side, toward)
        && one_by_one(other_side, -toward)
        && end > 0
        && first_side[0].2 != other_side[0].2;
    let posts: Vec<usize> = l.nodes.iter().filter_map(|&n| net.post_of[n]).collect();
    let alike = posts.iter().all(|&p| net.posts[p].stem == net.posts[posts[0]].stem);
    if !(straight && sides && alike) {
        return None;
    }
    let nodes = l.nodes.clone();
    let chain_at = |at: usize| net.heads[net.lines[chain].nodes[at]];
    let (tail, centre) = (chain_at(last - round), chain_at(round));
    let along = normalised(centre - tail);
    // up of the first side
    let up = net.lines[chain].sign * f64::from(toward as i8) * r90(along) * if first_side[0].2 { -1.0 } else { 1.0 };
    let rest = |i: usize| net.posts[posts[i]].rest;
    let base = |i: usize| net.posts[posts[i]].base.at(&net.heads);
    let mut heads: Vec<Vec2> = (0..nodes.len()).map(|i| base(i) + rest(i) * if i < end { up } else { -up }).collect();
    let (before, after) = (heads[end - 1], heads[on]);
    let far = 0.5 * (before - after).dot(up);
    if far <= 0.0 {
        return None;
    }
    // straight on to above the last chain, half round it, and back
    let (lead, back) = ((centre - before).dot(along).max(0.0), (centre - after).dot(along).max(0.0));
    let middle = centre + up * (0.5 * (before + after) - centre).dot(up);
    let step = (lead + PI * far + back) / (on - end + 1) as f64;
    let hand = if along.cross(up) < 0.0 { 1.0 } else { -1.0 };
    for (k, head) in heads[end..on].iter_mut().enumerate() {
        let gone = step * (k + 1) as f64 - lead;
        *head = if gone < 0.0 {
            middle + far * up + gone * along
        } else if gone > PI * far {
            middle - far * up - (gone - PI * far) * along
        } else {
            middle + far * turned(up, hand * gone / far)
        };
    }
    for (&node, head) in nodes.iter().zip(heads) {
        net.heads[node] = head;
    }
    Some(())
}
