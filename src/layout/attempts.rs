//! Placing and relaxing, and trying again where rows come out across each other.

use super::average::Orbits;
use super::bounds::{Heard, broken};
use super::net::{Line, LineKind, Net};
use super::quality::{Edge, crossing_edges, first_crossing_edges};
use super::relax::{How, energy_of, relax};
use super::rest::Rest;
use super::shape::Scope;
use super::sizes::Sizes;
use super::{LayoutOptions, View, average, build, grow::Growth, place};
use crate::fabric::Fabric;
use kurbo::Vec2;

/// What is tried, in this order: rows relaxed where they come out badly, what folds laid out before; without that, none, most
/// but soon let go; then, which takes longer, nearly all of them, and many at once.
const WAYS: [Growth; 5] = [
    Growth { bad: 0.15, steps: 4, rows: 4, unfolds: true },
    Growth { bad: f64::INFINITY, steps: 0, rows: 0, unfolds: false },
    Growth { bad: 0.05, steps: 8, rows: 2, unfolds: false },
    Growth { bad: 0.02, steps: 12, rows: 6, unfolds: false },
    Growth { bad: 0.1, steps: 20, rows: 12, unfolds: false },
];
// Points of a fabric that is small.
const SMALL: usize = 400;
// What is spent on a layout at most, a point: the terms of all equations gathered or solved, of which there are about eleven a
// point where nothing is tangled. It bounds the time of what never comes clean. A fabric of few points is given as much as one
// of so many.
const ALLOWED: usize = 6600;
const FEW: usize = 60;
// Steps of the last relaxation of a small piece, and those that tell whether it will be any good.
const STEPS: usize = 60;
const PROBE: usize = 10;
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

impl<'a> Laid<'a> {
    fn of(net: Net<'a>) -> Laid<'a> {
        Laid { rest: Rest::nominal(&net), net, residuals: (0.0, 0.0) }
    }

    fn relax(&mut self, steps: usize) {
        self.residuals = average::relax_and_average(&mut self.net, &mut self.rest, steps, None);
    }

    /// The same, where there are very many points only about some lines, given in ascending order.
    fn relax_about(&mut self, lines: &[usize], steps: usize) {
        self.residuals = average::relax_and_average(&mut self.net, &mut self.rest, steps, Some(lines));
    }

    /// How many rows would cross after a few steps; all stays as it is.
    fn probe(&mut self) -> usize {
        let (heads, rest) = (self.net.heads.clone(), self.rest.clone());
        self.relax(PROBE);
        let crossings = crossing_edges(&self.net).len();
        (self.net.heads, self.rest) = (heads, rest);
        crossings
    }

    /// What may still be spent.
    fn left(&self) -> usize {
        self.net.allowed.saturating_sub(self.net.spent)
    }
}

/// The first way that leaves no row across another, else the one that leaves fewest.
pub(super) fn lay_out_best<'a>(fabric: &'a Fabric, sizes: &'a dyn Sizes, options: &LayoutOptions) -> Laid<'a> {
    // true lengths are not judged by the bounds of a chart
    let bounded = options.view == View::Chart && !options.unbounded;
    let begin = |how: Growth, left: usize| {
        let mut laid = Laid::of(build::net_of(fabric, sizes, options.view));
        laid.net.bounded = bounded;
        laid.net.bends = how == WAYS[0];
        laid.net.allowed = left.min(ALLOWED * laid.net.nodes.len().max(FEW));
        place::place_all(&mut laid.net, &mut laid.rest, how);
        laid
    };
    let mut laid = begin(WAYS[0], usize::MAX);
    let least = finish(&mut laid);
    // a way cut short comes to nothing: none is begun that cannot take as much as the first
    let whole = laid.net.spent;
    let few = laid.net.nodes.len() <= SMALL;
    let mut best = Best { least, left: laid.left(), laid };
    // rounds come out as their middle has them: other ways only twist them
    let small = few && best.laid.net.ring_of.is_empty();
    if least.0 > 0 {
        // what crosses after a few steps mostly does so at the end: those that cross least are gone to their end first
        let mut begun: Vec<(usize, Laid)> = Vec::new();
        // of many points all ways take long, and few rows of them cross
        for how in if few { &WAYS[1..] } else { &WAYS[1..3] } {
            // what is left has to do for going one of them to its end
            let enough = best.left >= whole + whole / 3;
            if !enough || begun.iter().any(|b| b.0 == 0) {
                break;
            }
            let mut laid = begin(*how, best.left);
            // of many points a tangle does not come undone
            if !few && first_crossing_edges(&laid.net, 2 * least.0 + 1).len() > 2 * least.0 {
                best.left = laid.left();
                continue;
            }
            let crossings = laid.probe();
            best.left = laid.left();
            begun.push((crossings, laid));
            begun.sort_by_key(|b| b.0);
            // many points, and one more is all that is worth its room
            begun.truncate(if few { WAYS.len() } else { 1 });
        }
        for (_, laid) in begun {
            if best.left < whole || best.least.0 == 0 {
                break;
            }
            best.go_on_with(laid);
        }
    } else if least.1 > 0 && small {
        // rows that only come out badly are worth another try where that costs little
        for how in &WAYS[1..] {
            if best.left < whole || best.least == (0, 0) {
                break;
            }
            let laid = begin(*how, best.left);
            best.left = laid.left();
            best.go_on_with(laid);
        }
    }
    let Best { mut laid, mut least, left } = best;
    // what is not held to bounds has one place to settle in
    if bounded {
        laid.net.allowed = laid.net.spent + left;
        if least.0 > 0 {
            least = settle(&mut laid, least);
        }
        shake(&mut laid, least);
    }
    laid
}

/// The best of the ways gone so far, and what may still be spent.
struct Best<'a> {
    laid: Laid<'a>,
    least: Faults,
    left: usize,
}

impl<'a> Best<'a> {
    /// Goes a way that was begun to its end, and keeps it where it has fewer faults.
    fn go_on_with(&mut self, mut laid: Laid<'a>) {
        laid.net.allowed = laid.net.spent + self.left;
        let faults = finish(&mut laid);
        self.left = laid.left();
        if faults < self.least {
            (self.laid, self.least) = (laid, faults);
        }
    }
}

/// Relaxes what has been placed, turns loops of its lines over, and lets it settle where no row crosses another.
fn finish(laid: &mut Laid) -> Faults {
    laid.relax(STEPS);
    let mut crossings = crossing_edges(&laid.net);
    for _ in 0..TURNS {
        let before = (laid.net.heads.clone(), laid.residuals);
        let turned = if crossings.is_empty() { Vec::new() } else { turn_loops_over(&mut laid.net, &crossings) };
        if turned.is_empty() {
            break;
        }
        laid.relax_about(&turned, STEPS);
        let now = crossing_edges(&laid.net);
        if now.len() >= crossings.len() {
            (laid.net.heads, laid.residuals) = before;
            break;
        }
        crossings = now;
    }
    let faults = faults_of(&laid.net, &laid.rest);
    if faults.0 == 0 && laid.net.bounded { settle(laid, faults) } else { faults }
}

/// Relaxes a small layout until it is at rest, its rest sizes as they are; undone where that makes more faults.
fn settle(laid: &mut Laid, faults: Faults) -> Faults {
    let Some(ground) = Ground::of(laid) else { return faults };
    let before = laid.net.heads.clone();
    ground.settle(laid, LAST);
    let now = faults_of(&laid.net, &laid.rest);
    if now > faults {
        laid.net.heads = before;
        return faults;
    }
    now
}

/// Shakes a small layout with branches a few times, and keeps what comes out with less energy and no new faults. Where the
/// stitches about a branch settle first is not always the best place near it.
fn shake(laid: &mut Laid, faults: Faults) {
    let Some(ground) = Ground::of(laid) else { return };
    if !ground.scope.shapes.iter().any(|shape| shape.seams.contains(&true)) {
        return;
    }
    let mut least = ground.energy(laid);
    let mut dice = Dice(1);
    for _ in 0..SHAKES {
        if laid.net.spent >= laid.net.allowed {
            return;
        }
        let before = laid.net.heads.clone();
        for &node in &ground.free {
            laid.net.heads[node] += Vec2::new(dice.throw(), dice.throw());
        }
        let now = ground.settle(laid, SETTLE);
        if now < (1.0 - WORTH) * least && faults_of(&laid.net, &laid.rest) <= faults {
            least = now;
        } else {
            laid.net.heads = before;
        }
    }
    let best = laid.net.heads.clone();
    ground.settle(laid, LAST);
    if faults_of(&laid.net, &laid.rest) > faults {
        laid.net.heads = best;
    }
}

/// What of a small layout may settle further, and into what.
struct Ground {
    scope: Scope,
    free: Vec<usize>,
    mirrors: Vec<Orbits>,
}

impl Ground {
    /// None for a large layout, and for one that is at rest.
    fn of(laid: &Laid) -> Option<Ground> {
        let (free, mirrors) = average::free_and_mirrors(&laid.net);
        if free.len() > SMALL {
            return None;
        }
        let ground = Ground { scope: Scope::of_all(&laid.net), free, mirrors };
        (ground.energy(laid) > AT_REST * ground.free.len() as f64).then_some(ground)
    }

    fn energy(&self, laid: &Laid) -> f64 {
        energy_of(&laid.net, &laid.rest, &self.scope, Heard::All)
    }

    /// So many steps at most; the energy reached.
    fn settle(&self, laid: &mut Laid, steps: usize) -> f64 {
        let Laid { net, rest, .. } = laid;
        relax(net, rest, &self.scope.lines, &self.free, steps, How::Settled(&self.mirrors));
        self.mirrors.iter().for_each(|mirror| _ = mirror.average(net));
        self.energy(laid)
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

/// Where a line crosses itself, the points between the two edges change places, last for first; the lines where any did,
/// in ascending order.
fn turn_loops_over(net: &mut Net, crossings: &[(Edge, Edge)]) -> Vec<usize> {
    let mut turned = Vec::new();
    let solid = |l: &Line| match l.kind {
        LineKind::Chain => Vec::new(),
        _ => l.run().into_iter().filter(|&n| !net.is_apex(n)).collect::<Vec<usize>>(),
    };
    let runs: Vec<Vec<usize>> = net.lines.iter().map(solid).collect();
    // of every point, the runs it is in and where it stands there first
    let mut seats: Vec<(usize, usize, usize)> = Vec::new();
    for (r, run) in runs.iter().enumerate() {
        seats.extend(run.iter().enumerate().map(|(at, &node)| (node, r, at)));
    }
    seats.sort_unstable();
    seats.dedup_by_key(|s| (s.0, s.1));
    let seats_of = |node: usize| {
        let from = seats.partition_point(|s| s.0 < node);
        seats[from..].iter().take_while(move |s| s.0 == node)
    };
    for &((a, b), (c, d)) in crossings {
        let in_run = |node: usize, run: usize| seats_of(node).find(|s| s.1 == run).map(|s| s.2);
        let seat = |&(_, r, _): &(usize, usize, usize)| {
            Some((r, [in_run(a, r)?, in_run(b, r)?, in_run(c, r)?, in_run(d, r)?]))
        };
        let Some((r, mut at)) = seats_of(a).find_map(seat) else { continue };
        let run = &runs[r];
        at.sort_unstable();
        let (from, to) = (at[1], at[2]);
        if to <= from || to - from > LOOP {
            continue;
        }
        for k in 0..(to - from).div_ceil(2) {
            net.heads.swap(run[from + k], run[to - k]);
            turned.push(r);
        }
    }
    turned.sort_unstable();
    turned.dedup();
    turned
}
