//! Placing and relaxing, and trying again where rows come out across each other.

use super::bounds::{Heard, broken};
use super::net::{LineKind, Net};
use super::quality::{Edge, crossing_edges};
use super::relax::{How, relax, terms_of};
use super::rest::Rest;
use super::shape::Scope;
use super::sizes::Sizes;
use super::{LayoutOptions, View, average, build, grow::Growth, place};
use crate::fabric::Fabric;
use kurbo::Vec2;

/// What is tried, in this order: rows relaxed where they come out badly, nearly all of them, none, and most but soon let
/// go.
const WAYS: [Growth; 5] = [
    Growth { bad: 0.15, steps: 4, rows: 4 },
    Growth { bad: 0.02, steps: 12, rows: 6 },
    Growth { bad: f64::INFINITY, steps: 0, rows: 0 },
    Growth { bad: 0.05, steps: 8, rows: 2 },
    Growth { bad: 0.1, steps: 20, rows: 12 },
];
// Points of a fabric that is small.
const SMALL: usize = 400;
// How often a small layout with branches is shaken, how far each point goes at most, how many steps it has to settle, and the share of
// the energy from which another place is worth going to.
const SHAKES: usize = 8;
const SHAKE: f64 = 0.4;
const SETTLE: usize = 20;
// The same for the place that was best.
const LAST: usize = 100;
const WORTH: f64 = 1e-3;
// Energy a point up to which there is nothing to shake out.
const AT_REST: f64 = 0.01;
// A loop in a line is turned over where it has no more points than this: larger, and two rows lie across each other.
const LOOP: usize = 8;
// How often loops are turned over.
const TURNS: usize = 3;

/// Rows across each other, and bounds of a good chart that a line does not keep.
type Faults = (usize, usize);

/// A net laid out, its rest sizes, and the symmetry residuals before and after averaging.
pub(super) struct Laid<'a> {
    pub(super) net: Net<'a>,
    pub(super) rest: Rest,
    pub(super) residuals: (f64, f64),
}

/// The first way that leaves no row across another, else the one that leaves fewest.
pub(super) fn lay_out_best<'a>(fabric: &'a Fabric, sizes: &'a dyn Sizes, options: &LayoutOptions) -> Laid<'a> {
    let view = options.view;
    // true lengths are not judged by the bounds of a chart
    let bounded = view == View::Chart && !options.unbounded;
    let attempt = |how: Growth| attempt(fabric, sizes, (view, bounded), how);
    let (mut best, mut least) = attempt(WAYS[0]);
    // rounds come out as their middle has them: other ways only twist them
    let small = best.net.nodes.len() <= SMALL && fabric.rings.is_empty();
    for how in &WAYS[1..] {
        // rows that only come out badly are worth another try where that costs little
        if least.0 == 0 && (least.1 == 0 || !small) {
            break;
        }
        let (laid, faults) = attempt(*how);
        if faults < least {
            (best, least) = (laid, faults);
        }
    }
    // what is not held to bounds has one place to settle in
    if bounded {
        settle(&mut best, least);
    }
    best
}

/// Lets a small layout settle, and where branches are shakes it a few times: it keeps what comes out with less energy
/// and no new faults. Where the stitches about a branch settle first is not always the best place near it.
fn settle(laid: &mut Laid, faults: Faults) {
    let (free, mirrors) = average::free_and_mirrors(&laid.net);
    let Laid { net, rest, .. } = laid;
    let scope = Scope::of_all(net);
    if free.len() > SMALL {
        return;
    }
    let energy_of = |net: &Net, rest: &Rest| terms_of(net, rest, &scope, Heard::All).energy(&net.heads);
    if energy_of(net, rest) <= AT_REST * free.len() as f64 {
        return;
    }
    let settle = |net: &mut Net, rest: &mut Rest, steps: usize| {
        relax(net, rest, &scope.lines, &free, steps, How::Settled(&mirrors));
        mirrors.iter().for_each(|mirror| _ = mirror.average(net));
        energy_of(net, rest)
    };
    let first = net.heads.clone();
    let mut least = settle(net, rest, LAST);
    if faults_of(net, rest) > faults {
        net.heads = first;
        least = energy_of(net, rest);
    }
    let branched = scope.shapes.iter().any(|shape| shape.seams.contains(&true));
    if !branched {
        return;
    }
    let mut dice = Dice(1);
    for _ in 0..SHAKES {
        let before = net.heads.clone();
        for &node in &free {
            net.heads[node] += Vec2::new(dice.throw(), dice.throw());
        }
        let now = settle(net, rest, SETTLE);
        if now < (1.0 - WORTH) * least && faults_of(net, rest) <= faults {
            least = now;
        } else {
            net.heads = before;
        }
    }
    let best = net.heads.clone();
    settle(net, rest, LAST);
    if faults_of(net, rest) > faults {
        net.heads = best;
    }
}

/// Numbers that look random and are the same on every machine.
struct Dice(u64);

impl Dice {
    /// A distance, either way.
    fn throw(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        // 53 bits are all that a number between 0 and 1 has
        SHAKE * 2.0 * ((self.0 >> 11) as f64 / (1_u64 << 53) as f64 - 0.5)
    }
}

/// How many rows cross, and how many bounds are not kept.
fn faults_of(net: &Net, rest: &Rest) -> Faults {
    let scope = if net.bounded { Scope::of_all(net) } else { Scope::of(net, &[]) };
    let broken = scope.iter().map(|(line, shape)| broken(net, line, shape, rest).len()).sum();
    (crossing_edges(net).len(), broken)
}

fn attempt<'a>(
    fabric: &'a Fabric,
    sizes: &'a dyn Sizes,
    (view, bounded): (View, bool),
    how: Growth,
) -> (Laid<'a>, Faults) {
    let mut net = build::net_of(fabric, sizes, view);
    net.bounded = bounded;
    let mut rest = Rest::nominal(&net);
    place::place_all(&mut net, &mut rest, how);
    let mut residuals = average::relax_and_average(&mut net, &mut rest);
    let mut crossings = crossing_edges(&net);
    for _ in 0..TURNS {
        let before = net.heads.clone();
        if crossings.is_empty() || !turn_loops_over(&mut net, &crossings) {
            break;
        }
        let again = average::relax_and_average(&mut net, &mut rest);
        let now = crossing_edges(&net);
        if now.len() >= crossings.len() {
            net.heads = before;
            break;
        }
        (crossings, residuals) = (now, again);
    }
    let faults = faults_of(&net, &rest);
    (Laid { net, rest, residuals }, faults)
}

/// Where a line crosses itself, the points between the two edges change places, last for first; true where any did.
fn turn_loops_over(net: &mut Net, crossings: &[(Edge, Edge)]) -> bool {
    let mut turned = false;
    for &((a, b), (c, d)) in crossings {
        let Some(run) = net
            .lines
            .iter()
            .filter(|l| l.kind != LineKind::Chain)
            .map(|l| l.run().into_iter().filter(|&n| !net.is_apex(n)).collect::<Vec<usize>>())
            .find(|run| [a, b, c, d].iter().all(|n| run.contains(n)))
        else {
            continue;
        };
        let mut at: Vec<usize> = [a, b, c, d].iter().filter_map(|n| run.iter().position(|r| r == n)).collect();
        at.sort_unstable();
        let (from, to) = (at[1], at[2]);
        if to <= from || to - from > LOOP {
            continue;
        }
        for k in 0..(to - from).div_ceil(2) {
            net.heads.swap(run[from + k], run[to - k]);
            turned = true;
        }
    }
    turned
}
