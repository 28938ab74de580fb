//! The last relaxation, and the mean of the layout over the fabric's own symmetries.

use super::net::{LineKind, Net};
use super::plane::{angle, snapped, turned};
use super::relax::{Rest, relax};
use crate::fabric::{Symmetry, SymmetryKind};
use kurbo::Vec2;
use std::f64::consts::TAU;

// Steps of the last relaxation. Two or three are final to the eye; the rest make symmetry good.
const STEPS: usize = 14;

/// Relaxes everything and averages; the symmetry residuals before and after.
///
/// Rounds about a ring are relaxed and averaged by themselves, then held while what hangs on them is fitted again: a
/// stem does not bend the disc it grows out of.
pub(super) fn relax_and_average(net: &mut Net, rest: &mut Rest) -> (f64, f64) {
    let symmetries = net.fabric.symmetries();
    let mut free = vec![true; net.nodes.len()];
    let (mut before, mut after) = (0.0_f64, 0.0_f64);
    let mut mean_of = |net: &mut Net, symmetry: &Symmetry| {
        let (b, a) = average(net, symmetry);
        before = before.max(b);
        after = after.max(a);
    };
    for symmetry in symmetries.iter().filter(|s| s.kind != SymmetryKind::Mirror) {
        let lines: Vec<usize> = symmetry
            .rows
            .iter()
            .flat_map(|r| net.lines_of[r.index()].iter().copied())
            .filter(|&l| net.lines[l].kind == LineKind::Row)
            .collect();
        let mut own = vec![false; net.nodes.len()];
        for &node in lines.iter().flat_map(|&l| &net.lines[l].nodes) {
            own[node] = true;
        }
        relax(net, rest, &lines, &own, STEPS, true);
        mean_of(net, symmetry);
        for (node, own) in own.into_iter().enumerate() {
            free[node] &= !own;
        }
        if let SymmetryKind::Turn { ring, .. } = symmetry.kind
            && let Some(node) = net.ring_of[ring.index()]
        {
            free[node] = false;
        }
    }
    if free.contains(&true) {
        let lines: Vec<usize> = (0..net.lines.len()).collect();
        relax(net, rest, &lines, &free, STEPS, true);
    }
    for symmetry in symmetries.iter().filter(|s| s.kind == SymmetryKind::Mirror) {
        mean_of(net, symmetry);
    }
    (before, after)
}

/// The nodes a symmetry moves, each with its image.
fn pairs_of(net: &Net, symmetry: &Symmetry) -> Vec<(usize, usize)> {
    let stitches =
        symmetry.stitches.iter().filter_map(|(a, b)| Some((net.node_of[a.index()]?, net.node_of[b.index()]?)));
    let spaces = symmetry.spaces.iter().filter_map(|(a, b)| Some((net.apex_of[a.index()]?, net.apex_of[b.index()]?)));
    let mut pairs: Vec<(usize, usize)> = stitches.chain(spaces).collect();
    pairs.sort_unstable();
    pairs
}

fn average(net: &mut Net, symmetry: &Symmetry) -> (f64, f64) {
    let pairs = pairs_of(net, symmetry);
    if pairs.is_empty() {
        return (0.0, 0.0);
    }
    let mut image = vec![usize::MAX; net.nodes.len()];
    for &(a, b) in &pairs {
        image[a] = b;
    }
    // every node's orbit must close, or its mean would pull it away
    if pairs.iter().any(|&(_, b)| image[b] == usize::MAX) {
        return (0.0, 0.0);
    }
    let motion = Motion::of(net, symmetry, &pairs);
    let before = motion.residual(net, &pairs);
    let order = match symmetry.kind {
        SymmetryKind::Turn { order, .. } => order,
        SymmetryKind::Mirror => 2,
    };
    let means: Vec<(usize, Vec2)> = pairs
        .iter()
        .map(|&(a, _)| {
            let (mut sum, mut node) = (Vec2::ZERO, a);
            for step in 0..order {
                sum += motion.back(net.heads[node], step);
                node = image[node];
            }
            (a, sum / order as f64)
        })
        .collect();
    // where the rounds have wound themselves into something else, the mean would fold them
    if before > 0.5 {
        return (before, before);
    }
    for (node, mean) in means {
        net.heads[node] = mean;
    }
    let after = motion.residual(net, &pairs);
    (before, after)
}

/// A symmetry as a motion of the plane.
struct Motion {
    centre: Vec2,
    /// Angle of the turn; of a mirror, twice that of its axis.
    angle: f64,
    mirror: bool,
}

impl Motion {
    fn of(net: &Net, symmetry: &Symmetry, pairs: &[(usize, usize)]) -> Motion {
        match symmetry.kind {
            SymmetryKind::Turn { order, ring } => {
                let centre = net.ring_of[ring.index()].map_or(Vec2::ZERO, |n| net.heads[n]);
                let by = |angle: f64| Motion { centre, angle, mirror: false };
                let (one, other) = (by(TAU / order as f64), by(-TAU / order as f64));
                // rounds may run either way about their ring
                if one.residual(net, pairs) < other.residual(net, pairs) { one } else { other }
            }
            SymmetryKind::Mirror => {
                let centre = snapped(pairs.iter().fold(Vec2::ZERO, |s, p| s + net.heads[p.0]) / pairs.len() as f64);
                let (mut x, mut y) = (0.0, 0.0);
                for &(a, b) in pairs {
                    let (u, v) = (net.heads[a] - centre, net.heads[b] - centre);
                    x += u.x * v.x - u.y * v.y;
                    y += u.x * v.y + u.y * v.x;
                }
                Motion { centre, angle: angle(Vec2::new(x, y)), mirror: true }
            }
        }
    }

    /// Where a point came from, so many applications ago.
    fn back(&self, p: Vec2, times: usize) -> Vec2 {
        let v = p - self.centre;
        if self.mirror {
            let v = if times.is_multiple_of(2) { v } else { turned(Vec2::new(v.x, -v.y), self.angle) };
            self.centre + v
        } else {
            self.centre + turned(v, -self.angle * times as f64)
        }
    }

    /// Root mean square of how far images lie from where they should.
    fn residual(&self, net: &Net, pairs: &[(usize, usize)]) -> f64 {
        let square = |v: Vec2| v.x * v.x + v.y * v.y;
        let sum: f64 = pairs.iter().map(|&(a, b)| square(self.back(net.heads[b], 1) - net.heads[a])).sum();
        (sum / pairs.len() as f64).sqrt()
    }
}
