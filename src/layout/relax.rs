//! Relaxation: damped Gauss-Newton on the energy, over all points or some.

use super::average::Orbits;
use super::bounds::Heard;
use super::net::{LineKind, Net};
use super::normal::Normal;
use super::plane::{length, snapped};
use super::rest::Rest;
use super::shape::Scope;
use super::terms::Terms;
use super::wants::add_wants;
use super::{View, apart};

// Damping of the first step. Larger creeps, smaller throws far-off points about.
const DAMPING: f64 = 1e-2;
// No point moves further than this in a step: angles are linear no further.
const STEP: f64 = 1.0;
// What the eye no longer sees, and a decrease too small to go on for.
const STILL: f64 = 0.002;
const SMALL: f64 = 1e-5;
// The same where all is to settle.
const SETTLED: f64 = 1e-6;
// Damping above which a small step says that it was careful, not that there is nowhere to go.
const CAREFUL: f64 = 0.05;
// Numbers of a factor that take as long as a term.
const FILL_A_TERM: usize = 12;
// Share of the energy that a step gains from which on the next reckons with how lengths and angles bend: further off that
// leads astray.
const NEAR_REST: f64 = 0.05;
// Energy a point at which there is nothing to relax.
const NOTHING: f64 = 1e-9;

/// What a relaxation is for.
#[derive(Clone, Copy)]
pub(super) enum How<'o> {
    /// Rows placed last.
    Growing,
    /// All of it, within the bounds of a good chart and the symmetries given; rest sizes drift.
    Last(&'o [Orbits]),
    /// The same with rest sizes as they have come out.
    Settled(&'o [Orbits]),
}

/// Relaxes the points of some rows, the others held; returns the energy reached.
///
/// The last relaxation lets rest sizes drift, and keeps to the symmetries given.
///
/// # Determinism
/// Sums run in the order of lines, and points are snapped after each step.
pub(super) fn relax(net: &mut Net, rest: &mut Rest, lines: &[usize], free: &[usize], steps: usize, how: How) -> f64 {
    let (drifting, settling) = (matches!(how, How::Last(_)), matches!(how, How::Settled(_)));
    let orbits = match how {
        How::Growing => &[],
        How::Last(orbits) | How::Settled(orbits) => orbits,
    };
    // true lengths are those of the tables, whatever a chart is judged by
    let heard = if matches!(how, How::Growing) || !net.bounded { Heard::No } else { Heard::Near };
    let scope = Scope::of(net, lines);
    // lines that are held all over keep their sizes
    let moves = |line: &usize| net.lines[*line].nodes.iter().any(|node| free.binary_search(node).is_ok());
    let moving = Scope::of(net, &lines.iter().copied().filter(moves).collect::<Vec<usize>>());
    let mut damping = DAMPING;
    let (mut terms, mut last) = (Terms::default(), None);
    let mut reached = f64::INFINITY;
    // what is symmetric would lean over to one side, and long borders fold
    let branched = || net.lines.iter().any(|l| l.kind == LineKind::Back);
    let bending = settling || drifting && net.bends && orbits.is_empty() && net.ring_of.is_empty() && branched();
    let mut near_rest = false;
    for step in 0..steps {
        if net.spent >= net.allowed {
            break;
        }
        // true lengths are those of the tables, whatever a row asks
        if drifting && net.view == View::Chart && matches!(step, 2 | 4) {
            rest.drift(net, &moving);
        }
        rest.follow(net, &scope);
        terms.clear();
        add_terms(net, rest, &scope, heard, &mut terms);
        let Some(normal) = Normal::of(&terms, &net.heads, free, last.take()) else { break };
        let normal = last.insert(normal);
        // placed as it should be: swatches and mesh, and rounds of one kind
        if drifting && normal.energy <= NOTHING * free.len() as f64 {
            break;
        }
        net.spent += terms.len();
        if near_rest {
            normal.bend(&terms, &net.heads);
        }
        let Some(Step { moved, before, mut now }) = improve(net, &terms, free, normal, &mut damping) else { break };
        // symmetric to begin with, a step is symmetric but for what its search cuts off: kept so, lace cannot fall over
        // to one side
        if !orbits.is_empty() {
            for orbits in orbits {
                orbits.average(net);
            }
            now = terms.energy(&net.heads);
        }
        // what a step gains is told by its own terms: arches want another rise before the next
        let small = before - now <= SMALL * before && !(drifting && step < 5);
        reached = now;
        near_rest = bending && before - now <= NEAR_REST * before;
        // what has to settle creeps along its bounds: that is no rest yet
        let still = if settling { before - now <= SETTLED * before } else { moved < STILL || small };
        if still && damping <= CAREFUL {
            // at rest, what is still out of bounds is priced higher, and all goes on
            if !drifting || heard == Heard::No || !rest.tighten(net, &moving) {
                break;
            }
        }
    }
    rest.stop_following();
    reached
}

/// The terms of some lines, and those that hold bodies apart.
pub(super) fn terms_of(net: &Net, rest: &Rest, scope: &Scope, heard: Heard) -> Terms {
    let mut terms = Terms::default();
    add_terms(net, rest, scope, heard, &mut terms);
    terms
}

/// The energy of some lines, without room for all their terms at once.
pub(super) fn energy_of(net: &Net, rest: &Rest, scope: &Scope, heard: Heard) -> f64 {
    let mut terms = Terms::default();
    let mut sum = 0.0;
    let mut take = |terms: &mut Terms| {
        sum += terms.energy(&net.heads);
        terms.clear();
    };
    for (line, shape) in scope.iter() {
        add_wants(net, line, shape, rest, heard, &mut terms);
        take(&mut terms);
    }
    apart::add_wants_apart(net, &scope.lines, heard == Heard::All, &mut terms);
    take(&mut terms);
    sum
}

fn add_terms(net: &Net, rest: &Rest, scope: &Scope, heard: Heard, terms: &mut Terms) {
    for (line, shape) in scope.iter() {
        add_wants(net, line, shape, rest, heard, terms);
    }
    apart::add_wants_apart(net, &scope.lines, heard == Heard::All, terms);
}

/// What one step did: how far the point that moved furthest moved, and the energy before and after.
struct Step {
    moved: f64,
    before: f64,
    now: f64,
}

/// One damped step, tried with more damping until the energy falls.
fn improve(net: &mut Net, terms: &Terms, free: &[usize], normal: &mut Normal, damping: &mut f64) -> Option<Step> {
    let before = normal.energy;
    let old: Vec<kurbo::Vec2> = free.iter().map(|&n| net.heads[n]).collect();
    for _ in 0..8 {
        net.spent += terms.len() / 2 + normal.fill() / FILL_A_TERM;
        let Some(step) = normal.solve(*damping) else {
            *damping *= 10.0;
            continue;
        };
        let longest = step.iter().map(|(_, v)| length(*v)).fold(0.0, f64::max);
        if !longest.is_finite() {
            *damping *= 10.0;
            continue;
        }
        let scale = if longest > STEP { STEP / longest } else { 1.0 };
        // a step names the free points in their order
        for (&(node, v), old) in step.iter().zip(&old) {
            net.heads[node] = snapped(*old + scale * v);
        }
        let now = terms.energy(&net.heads);
        if now < before {
            *damping = (*damping * 0.3).max(1e-6);
            return Some(Step { moved: longest * scale, before, now });
        }
        for (&node, old) in free.iter().zip(&old) {
            net.heads[node] = *old;
        }
        *damping *= 10.0;
    }
    None
}
