//! Relaxation: damped Gauss-Newton on the energy, over all points or some.

use super::average::Orbits;
use super::bounds::{Bound, Heard, broken};
use super::cholesky::Normal;
use super::net::{LineKind, Net};
use super::plane::{length, snapped};
use super::terms::{Term, energy};
use super::wants::add_wants;
use super::{View, apart};
use crate::craft::Stem;
use std::collections::BTreeMap;

// Damping of the first step. Larger creeps, smaller throws far-off points about.
const DAMPING: f64 = 1e-2;
// No point moves further than this in a step: angles are linear no further.
const STEP: f64 = 1.0;
// How far rest sizes follow what a row asks. All the way and rows inflate each other without end, less and ruffles crowd.
const SHARE: f64 = 0.7;
// A row that ruffles is drawn this much wider at most; wider and its stitches no longer look neighbours.
const WIDEST: f64 = 2.2;
// Past any round that a piece can close with: it bounds numbers, not charts.
const BEYOND: f64 = 1000.0;
// What the eye no longer sees, and a decrease too small to go on for.
const STILL: f64 = 0.002;
const SMALL: f64 = 1e-5;
// Energy a point at which there is nothing to relax.
const NOTHING: f64 = 1e-9;
// The bounds of a row are priced no more than this many times over: what is not kept then cannot be.
const STRICTEST: f64 = 16.0;
// The same for rows on a chain that bends of itself: more, and they straighten it or tear it.
const STRICTEST_ON_BEND: f64 = 2.0;

/// Rest sizes that drift toward what each row asks.
pub(super) struct Rest {
    pub(super) width: Vec<f64>,
    /// How wide a row may drift: plain rows a little, a round that had to be placed wide as wide as that.
    widest: Vec<f64>,
    height: Vec<BTreeMap<Stem, f64>>,
    /// How many times over the bounds of a row are priced, by what is bounded.
    strict: Vec<[f64; 4]>,
}

impl Rest {
    /// All rows as the tables have them.
    pub(super) fn nominal(rows: usize) -> Rest {
        Rest {
            width: vec![1.0; rows],
            widest: vec![WIDEST; rows],
            height: vec![BTreeMap::new(); rows],
            strict: vec![[1.0; 4]; rows],
        }
    }

    /// How much taller than the table stitches of a row and kind are.
    pub(super) fn height(&self, row: usize, stem: Stem) -> f64 {
        self.height[row].get(&stem).copied().unwrap_or(1.0)
    }

    /// How many times over a bound of a row is priced.
    pub(super) fn strict(&self, row: usize, bound: Bound) -> f64 {
        self.strict[row][bound as usize]
    }

    /// Prices the bounds that rows do not keep higher; true where there are any.
    fn tighten(&mut self, net: &Net, lines: &[usize]) -> bool {
        let mut any = false;
        for &line in lines {
            for bound in broken(net, line, self) {
                let l = &net.lines[line];
                let on_bend = net.bent[line] && l.kind != LineKind::Chain;
                let strict = &mut self.strict[l.row][bound as usize];
                if *strict < if on_bend { STRICTEST_ON_BEND } else { STRICTEST } {
                    *strict *= 2.0;
                    any = true;
                }
            }
        }
        any
    }

    /// Takes the width of a round as it was placed: in a ring its stitches stand as far apart as they are tall, and rounds
    /// that decrease are drawn as ever larger rings.
    pub(super) fn take_width(&mut self, net: &Net, line: usize) {
        let run = net.lines[line].run();
        let edges = run.windows(2).filter(|w| !net.is_apex(w[0]) && !net.is_apex(w[1]));
        let (mut sum, mut n) = (0.0, 0.0);
        for w in edges {
            sum += length(net.heads[w[1]] - net.heads[w[0]]) / net.pitch(w[0], w[1]);
            n += 1.0;
        }
        if n > 0.0 {
            let row = net.lines[line].row;
            let placed: f64 = sum / n;
            self.width[row] = placed.clamp(0.93, BEYOND);
            self.widest[row] = WIDEST.max(placed).min(BEYOND);
        }
    }

    /// Takes from each row what it asks for: the means of its widths and heights, within bounds.
    pub(super) fn drift(&mut self, net: &Net, lines: &[usize]) {
        let mut widths: BTreeMap<usize, (f64, f64)> = BTreeMap::new();
        let mut heights: BTreeMap<usize, BTreeMap<Stem, (f64, f64)>> = BTreeMap::new();
        for line in lines.iter().map(|&l| &net.lines[l]) {
            for w in line.run().windows(2) {
                if !net.is_apex(w[0]) && !net.is_apex(w[1]) && w[0] != w[1] {
                    let sum = widths.entry(line.row).or_default();
                    sum.0 += length(net.heads[w[1]] - net.heads[w[0]]) / net.pitch(w[0], w[1]);
                    sum.1 += 1.0;
                }
            }
            for post in line.nodes.iter().filter_map(|&n| net.post_of[n]).map(|p| &net.posts[p]) {
                let sum = heights.entry(line.row).or_default().entry(post.stem).or_default();
                sum.0 += length(net.heads[post.node] - post.base.at(&net.heads)) / post.rest;
                sum.1 += 1.0;
            }
        }
        for (row, (sum, n)) in widths {
            if n > 0.0 {
                self.width[row] = (1.0 + SHARE * (sum / n - 1.0)).clamp(0.93, self.widest[row]);
            }
        }
        for (row, by_stem) in heights {
            for (stem, (sum, n)) in by_stem {
                self.height[row].insert(stem, (1.0 + SHARE * (sum / n - 1.0)).clamp(1.0, 1.6));
            }
        }
    }
}

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
    let drifting = matches!(how, How::Last(_));
    let orbits = match how {
        How::Growing => &[],
        How::Last(orbits) | How::Settled(orbits) => orbits,
    };
    // true lengths are those of the tables, whatever a chart is judged by
    let heard = if matches!(how, How::Growing) || !net.bounded { Heard::No } else { Heard::Near };
    let mut damping = DAMPING;
    let mut reached = f64::INFINITY;
    for step in 0..steps {
        // true lengths are those of the tables, whatever a row asks
        if drifting && net.view == View::Chart && matches!(step, 2 | 4) {
            rest.drift(net, lines);
        }
        let terms = terms_of(net, rest, lines, heard);
        // placed as it should be: swatches and mesh, and rounds of one kind
        if drifting && energy(&terms, &net.heads) <= NOTHING * free.len() as f64 {
            break;
        }
        let Some((moved, mut now)) = improve(net, &terms, free, &mut damping) else { break };
        // symmetric to begin with, a step is symmetric but for what its search cuts off: kept so, lace cannot fall over
        // to one side
        if !orbits.is_empty() {
            for orbits in orbits {
                orbits.average(net);
            }
            now = energy(&terms, &net.heads);
        }
        let small = reached.is_finite() && reached - now <= SMALL * reached && !(drifting && step < 5);
        reached = now;
        if moved < STILL || small {
            // at rest, what is still out of bounds is priced higher, and all goes on
            if !drifting || heard == Heard::No || !rest.tighten(net, lines) {
                break;
            }
            reached = f64::INFINITY;
        }
    }
    reached
}

/// The terms of some lines, and those that hold bodies apart.
pub(super) fn terms_of(net: &Net, rest: &Rest, lines: &[usize], heard: Heard) -> Vec<Term> {
    let mut terms = Vec::new();
    for &line in lines {
        add_wants(net, line, rest, heard, &mut terms);
    }
    apart::add_wants_apart(net, lines, heard == Heard::All, &mut terms);
    terms
}

/// One damped step, tried with more damping until the energy falls; the distance moved and the energy.
fn improve(net: &mut Net, terms: &[Term], free: &[usize], damping: &mut f64) -> Option<(f64, f64)> {
    let before = energy(terms, &net.heads);
    let normal = Normal::of(terms, &net.heads, free)?;
    let old: Vec<kurbo::Vec2> = free.iter().map(|&n| net.heads[n]).collect();
    for _ in 0..8 {
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
        let now = energy(terms, &net.heads);
        if now < before {
            *damping = (*damping * 0.3).max(1e-6);
            return Some((longest * scale, now));
        }
        for (&node, old) in free.iter().zip(&old) {
            net.heads[node] = *old;
        }
        *damping *= 10.0;
    }
    None
}
