//! A row as it is placed, laid out so that its heads follow each other in its own order.
//!
//! A group spread over its place reaches past its neighbours; a row that begins folded so is never pulled straight.

use super::net::{Facing, Net};
use super::plane::{normalised, r90, unit};
use super::shape::shape_of;
use kurbo::Vec2;

// The part of their pitch they then have at least, the best first: smaller and they still crowd, larger and what they push
// leans.
const APART: [f64; 3] = [0.8, 0.55, 0.3];
// Along row ends, which stay as they are, heads nearer than this part of their pitch are parted too: smaller and a border of
// more stitches than its side folds later, larger and borders that would come out by themselves are moved.
const CROWDED: f64 = 0.25;
// Heads moved further than this lie over: a row so crowded finds room by widening what it stands on, and is left to that.
// The ends of rows and a lone chain do not widen.
const FARTHEST: f64 = 1.2;

/// Moves the heads of an open row along it, as little as parts them, where they do not follow each other.
pub(super) fn unfold(net: &mut Net, line: usize, ways: &[Option<f64>]) {
    let l = &net.lines[line];
    let up = |at: usize| ways[at].map(unit);
    let solid: Vec<usize> = (0..l.nodes.len()).filter(|&at| up(at).is_some()).collect();
    if l.closed || solid.len() < 3 {
        return;
    }
    let head = |i: usize| net.heads[l.nodes[solid[i]]];
    let foot = |i: usize| net.post_of[l.nodes[solid[i]]].map_or(Vec2::ZERO, |p| net.posts[p].base.at(&net.heads));
    let mut along: Vec<Vec2> = solid.iter().map(|&at| -l.sign * r90(up(at).unwrap_or(Vec2::ZERO))).collect();
    let mean = |along: &[Vec2], i: usize| normalised(along[i] + along[i + 1]);
    let forward: f64 = (0..solid.len() - 1).map(|i| (foot(i + 1) - foot(i)).dot(mean(&along, i))).sum();
    // the order of its feet goes before what its face says; stitches in one place tell nothing
    if forward < -0.5 {
        along.iter_mut().for_each(|way| *way = -*way);
    }
    let pitch = |i: usize| (solid[i]..solid[i + 1]).map(|at| net.pitch(l.nodes[at], l.nodes[at + 1])).sum::<f64>();
    // round the end of a chain a row turns back, and no line tells its order, unless all of it stands there
    let in_end = shape_of(net, line).in_end;
    let placed = |&at: &usize| net.post_of[l.nodes[at]].is_some_and(|p| net.posts[p].one_place().is_some());
    let out_of_one = solid.iter().filter(|at| placed(at)).all(|&at| in_end[at]);
    let turns = |i: usize| !out_of_one && (in_end[solid[i]] || in_end[solid[i + 1]]);
    let step = |i: usize| if turns(i) { pitch(i) } else { (head(i + 1) - head(i)).dot(mean(&along, i)) };
    let steps: Vec<f64> = (0..solid.len() - 1).map(step).collect();
    let on_row_ends = solid.iter().any(|&at| {
        let post = net.post_of[l.nodes[at]].map(|p| &net.posts[p]);
        post.is_some_and(|p| p.feet.iter().any(|f| matches!(f.facing, Facing::RowEnd { .. })))
    });
    let least = if on_row_ends { CROWDED } else { 0.0 };
    if (0..steps.len()).all(|i| steps[i] >= least * pitch(i)) {
        return;
    }
    // how far each has to move, where all have so much of their pitch
    let moved = |apart: f64| {
        let mut ahead = vec![0.0; solid.len()];
        for i in 0..steps.len() {
            ahead[i + 1] = ahead[i] + steps[i] - apart * pitch(i);
        }
        in_order(&ahead).into_iter().zip(ahead).map(|(parted, ahead)| parted - ahead).collect::<Vec<f64>>()
    };
    let near = |moves: &Vec<f64>| on_row_ends || out_of_one || moves.iter().all(|by| by.abs() <= FARTHEST);
    let Some(moves) = APART.into_iter().map(moved).find(near) else { return };
    let moves: Vec<(usize, Vec2)> = (0..solid.len()).map(|i| (l.nodes[solid[i]], moves[i] * along[i])).collect();
    for (node, by) in moves {
        net.heads[node] += by;
    }
}

/// The values that never fall which are nearest to some: runs that fall take their mean.
fn in_order(values: &[f64]) -> Vec<f64> {
    let mut runs: Vec<(f64, usize)> = Vec::new();
    for &value in values {
        let (mut sum, mut n) = (value, 1);
        while let Some(&(before, m)) = runs.last().filter(|&&(before, m)| before / m as f64 > sum / n as f64) {
            (sum, n) = (sum + before, n + m);
            runs.pop();
        }
        runs.push((sum, n));
    }
    runs.into_iter().flat_map(|(sum, n)| std::iter::repeat_n(sum / n as f64, n)).collect()
}

#[cfg(test)]
mod tests {
    use super::in_order;

    #[test]
    fn values_that_fall_take_their_mean_and_others_stay() {
        assert_eq!(in_order(&[0.0, 1.0, 3.0, 2.0, 4.0]), [0.0, 1.0, 2.5, 2.5, 4.0]);
        assert_eq!(in_order(&[3.0, 2.0, 1.0]), [2.0, 2.0, 2.0]);
        assert!(in_order(&[]).is_empty());
    }
}
