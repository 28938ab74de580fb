//! How far a chain bends of itself: where its first rows put more into one side than into the other.

use super::net::{Facing, LineKind, Net, Post};
use std::f64::consts::TAU;

// A surplus is paid for by chains skipped this near: a shell and the skips beside it leave the chain straight.
// Larger and a bend vanishes beside a far decrease, smaller and shells make the chain wave.
const REACH: usize = 4;
// The part of a chain space's length that gives way to a fan beside it.
const SLACK: f64 = 0.6;
// A bend is spread over the chains beside it; narrower and the chain breaks, wider and it turns into an arc.
const KERNEL: [f64; 7] = [1.0, 2.0, 3.0, 4.0, 3.0, 2.0, 1.0];
// No chain bends further than this from one way to another, radians: beyond it the ends meet and the rest must ruffle.
const MOST: f64 = 2.6;
// How much a plain row over rows that bend pulls them straight: smaller and its stitches crowd on one side and part on
// the other.
const PULL: f64 = 0.055;
// What bends less than this is straight to the eye, radians.
const BENT: f64 = 0.3;

/// Exterior angle, in radians along the line, that each point of a chain wants.
pub(super) fn natural_turn(net: &Net) -> Vec<f64> {
    let mut turn = vec![0.0; net.nodes.len()];
    for line in 0..net.lines.len() {
        if net.lines[line].kind != LineKind::Chain || net.lines[line].nodes.len() < 3 {
            continue;
        }
        if net.lines[line].closed {
            let once_round = -net.lines[line].sign * TAU / net.lines[line].nodes.len() as f64;
            for &node in &net.lines[line].nodes {
                turn[node] = once_round;
            }
            continue;
        }
        let upper = surplus(net, line, 1.0);
        let under = surplus(net, line, -1.0);
        let sides = f64::from(u8::from(upper.is_some()) + u8::from(under.is_some())).max(1.0);
        let n = net.lines[line].nodes.len();
        let zero = vec![0.0; n];
        let (upper, under) = (upper.unwrap_or_else(|| zero.clone()), under.unwrap_or(zero));
        let sharp: Vec<f64> = (0..n).map(|i| -net.lines[line].sign * (upper[i] - under[i]) / sides).collect();
        let mut soft = vec![0.0; n];
        for (i, &value) in sharp.iter().enumerate() {
            if value == 0.0 {
                continue;
            }
            let reach = reach_of_bend(&sharp, i);
            // the slopes of a ripple are as steep as lets its stitches stand square on them
            let value = if reach < KERNEL.len() / 2 { 2.0 * libm::atan(0.5 * value) } else { value };
            let near = |k: usize| {
                let off = (KERNEL.len() / 2).abs_diff(k);
                (i + k).checked_sub(KERNEL.len() / 2).filter(|&j| off <= reach && j > 0 && j + 1 < n)
            };
            let whole: f64 = (0..KERNEL.len()).filter(|&k| near(k).is_some()).map(|k| KERNEL[k]).sum();
            for (k, share) in KERNEL.iter().enumerate() {
                if let Some(j) = near(k) {
                    soft[j] += value * share / whole;
                }
            }
        }
        let (mut heading, mut least, mut most) = (0.0_f64, 0.0_f64, 0.0_f64);
        for t in &soft {
            heading += t;
            (least, most) = (least.min(heading), most.max(heading));
        }
        let most_of_it = if most - least > MOST { MOST / (most - least) } else { 1.0 };
        let scale = most_of_it / (1.0 + PULL * plain_rows_above(net, line) as f64);
        for (i, &node) in net.lines[line].nodes.iter().enumerate() {
            turn[node] = soft[i] * scale;
        }
    }
    turn
}

/// How many of the rows above the first on a chain have one stitch in each of the row they stand on.
fn plain_rows_above(net: &Net, chain: usize) -> usize {
    let on = |node: usize| net.stood_on[node].iter().map(|&p| net.posts[p].node).filter_map(|head| net.seat[head]);
    let mut below = chain;
    let mut plain = 0;
    loop {
        let l = &net.lines[below];
        // a border along the ends of rows stands on a few of them
        let whole = |line: &usize| 2 * net.lines[*line].nodes.len() > l.nodes.len();
        let mut above = l.nodes.iter().flat_map(|&n| on(n)).map(|(line, _)| line);
        let Some(above) = above.find(|line| net.lines[*line].row > l.row && whole(line)) else { return plain };
        plain += usize::from(below != chain && is_plain(net, above));
        below = above;
    }
}

/// True for a row of stitches each alone in its place.
pub(super) fn is_plain(net: &Net, line: usize) -> bool {
    let of_line = || net.lines[line].nodes.iter().map(|&n| net.post_of[n].map(|p| &net.posts[p]));
    let places: Option<Vec<_>> = of_line().map(|post| post.filter(|p| p.feet.len() == 1)?.one_place()).collect();
    places.is_some_and(|places| places.windows(2).all(|w| w[0] != w[1]))
}

/// The open chains whose ends turn away from each other of themselves, and the lines that stand on them, at whatever remove.
pub(super) fn bent(net: &Net) -> Vec<bool> {
    let mut bent = vec![false; net.lines.len()];
    for line in 0..net.lines.len() {
        let l = &net.lines[line];
        bent[line] = if l.kind == LineKind::Chain {
            let turns: Vec<f64> = l.nodes.iter().map(|&n| net.natural_turn[n]).filter(|t| *t != 0.0).collect();
            // a ripple goes up and down, and where it ends is where it was cut off
            let waves = turns.windows(2).filter(|w| w[0] * w[1] < 0.0).count();
            !l.closed && waves < 2 && turns.iter().sum::<f64>().abs() > BENT
        } else {
            l.nodes
                .iter()
                .filter_map(|&n| net.post_of[n])
                .flat_map(|p| &net.posts[p].feet)
                .any(|foot| matches!(foot.facing, Facing::Line { line: below, .. } if below != line && bent[below]))
        };
    }
    bent
}

/// How far from its place a bend is spread: in a ripple peak and valley leave each other straight chain between.
fn reach_of_bend(sharp: &[f64], at: usize) -> usize {
    let other = sharp.iter().enumerate().filter(|(_, v)| **v * sharp[at] < 0.0).map(|(i, _)| i.abs_diff(at)).min();
    other.map_or(KERNEL.len() / 2, |d| (d / 5).min(KERNEL.len() / 2))
}

/// Extra turning, stitch widths over stitch height, that one side of a chain is worked with; none where it is not worked.
fn surplus(net: &Net, line: usize, side: f64) -> Option<Vec<f64>> {
    let n = net.lines[line].nodes.len();
    let mut count = vec![0.0; n];
    let (mut height, mut legs) = (0.0, 0.0);
    let mut row_of_side: Option<usize> = None;
    for post in posts_on(net, line) {
        let row = net.fabric.stitch(post.stitch).row.index();
        for foot in &post.feet {
            let Facing::Line { line: l, at, flip } = foot.facing else { continue };
            // a later row into the same side lies elsewhere
            if l != line || flip != side || *row_of_side.get_or_insert(row) != row || foot.place.is_none() {
                continue;
            }
            count[at] += 1.0 / post.feet.len() as f64;
            height += post.rest - foot.reach;
            legs += 1.0;
        }
    }
    let mut slack = vec![0.0; n];
    add_spaces(net, line, side, row_of_side?, &mut count, &mut slack);
    let first = count.iter().position(|&c| c > 0.0)?;
    let last = count.iter().rposition(|&c| c > 0.0)?;
    let mean_height = height / legs;
    let mut extra = vec![0.0; n];
    for at in first..=last {
        // what fans out at an end turns the row, not the chain
        if at > 0 && at + 1 < n {
            extra[at] = count[at] - 1.0;
        }
    }
    rest_fans(&count, mean_height, &mut extra);
    settle(&mut extra);
    give_slack(&slack, &mut extra);
    // what is left over this near an end was paid for beyond it
    let near_end = 3.min(n / 4);
    for at in (0..near_end).chain(n - near_end..n) {
        extra[at] = 0.0;
    }
    Some(extra.into_iter().map(|e| e / mean_height.max(0.25)).collect())
}

/// The posts that stand on a chain, in yarn order.
fn posts_on<'n>(net: &'n Net, line: usize) -> impl Iterator<Item = &'n Post> {
    let mut posts: Vec<usize> = net.lines[line].nodes.iter().flat_map(|&n| net.stood_on[n].iter().copied()).collect();
    posts.sort_unstable();
    posts.dedup();
    posts.into_iter().map(|p| &net.posts[p])
}

/// A chain space is as good as stitches over the chains it passes, and no better: what is longer bows. Its chains can
/// also give way to a surplus beside them.
fn add_spaces(net: &Net, line: usize, side: f64, row: usize, count: &mut [f64], slack: &mut [f64]) {
    let on = |node: usize| {
        let post = &net.posts[net.post_of[node]?];
        post.feet.iter().find_map(|f| match f.facing {
            Facing::Line { line: l, at, flip } if l == line && flip == side && f.place.is_some() => Some(at),
            _ => None,
        })
    };
    for l in net.lines_of[row].iter().map(|&l| &net.lines[l]) {
        for (at, &node) in l.nodes.iter().enumerate() {
            let (before, after) = l.neighbours(at);
            if !net.is_apex(node) || before == node || after == node {
                continue;
            }
            // beside the chain that stands as the first stitch of row 1, which no chain carries
            let (a, b) = match (on(before), on(after)) {
                (Some(a), Some(b)) => (a, b),
                (Some(a), None) | (None, Some(a)) => (a, a),
                _ => continue,
            };
            let (low, high) = (a.min(b), a.max(b));
            let passed = if low + 1 < high { low + 1..high } else { low..low + 1 };
            let share = net.space_length(node) / passed.len() as f64;
            for passed in passed {
                count[passed] += share.min(1.0);
                slack[passed] += SLACK * share;
            }
        }
    }
}

/// The skips on both sides of a fan make room for its legs to lean: they do not pull the chain the other way.
fn rest_fans(count: &[f64], height: f64, extra: &mut [f64]) {
    for at in 0..count.len() {
        // two in one place are an increase; three and more with skips beside them are a fan
        if count[at] < 2.5 {
            continue;
        }
        let reach = (0.5 * (count[at] - 1.0) + height).max(0.0) as usize + 1;
        let mut after = at + 1..(at + 1 + reach).min(count.len());
        let mut before = (at.saturating_sub(reach)..at).rev();
        let skipped = |i: &usize| count[*i] == 0.0;
        let beside: Vec<usize> =
            after.by_ref().take_while(skipped).chain(before.by_ref().take_while(skipped)).collect();
        if (beside.len() as f64) < extra[at] {
            continue;
        }
        extra[at] = 0.0;
        for i in beside {
            extra[i] = 0.0;
        }
    }
}

/// Surpluses near slack chain spaces are taken up by them.
fn give_slack(slack: &[f64], extra: &mut [f64]) {
    let mut slack = slack.to_vec();
    for distance in 0..=2 * REACH {
        for (i, extra) in extra.iter_mut().enumerate() {
            for j in [i.checked_sub(distance), i.checked_add(distance)].into_iter().flatten() {
                let paid = extra.min(slack.get(j).copied().unwrap_or(0.0)).max(0.0);
                if paid > 0.0 {
                    *extra -= paid;
                    slack[j] -= paid;
                }
            }
        }
    }
}

/// Surpluses and skips near each other cancel.
fn settle(extra: &mut [f64]) {
    for distance in 1..=REACH {
        for i in 0..extra.len() {
            let Some(j) = i.checked_add(distance).filter(|&j| j < extra.len()) else { continue };
            if extra[i] * extra[j] < 0.0 {
                let paid = extra[i].abs().min(extra[j].abs());
                extra[i] -= paid * extra[i].signum();
                extra[j] -= paid * extra[j].signum();
            }
        }
    }
}
