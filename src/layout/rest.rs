//! Rest sizes: those of the tables, as far as a line does not ask for others.

use super::bounds::{Bound, broken};
use super::net::{LineKind, Net};
use super::over::rise_over;
use super::petal;
use super::plane::length;
use super::shape::Scope;
use super::wants::{LEAST_CHORD, own_run, rise_of};
use crate::craft::Stem;
use std::collections::BTreeMap;

// How far rest sizes follow what a row asks. All the way and rows inflate each other without end, less and ruffles crowd.
const SHARE: f64 = 0.7;
// A row that ruffles is drawn this much wider at most; wider and its stitches no longer look neighbours.
const WIDEST: f64 = 2.2;
// Past any round that a piece can close with: it bounds numbers, not charts.
const BEYOND: f64 = 1000.0;
// The bounds of a row are priced no more than this many times over: what is not kept then cannot be.
const STRICTEST: f64 = 16.0;
// The same for rows on a chain that bends of itself: more, and they straighten it or tear it.
const STRICTEST_ON_BEND: f64 = 2.0;

/// Rest sizes that drift toward what each line asks.
#[derive(Clone)]
pub(super) struct Rest {
    pub(super) width: Vec<f64>,
    /// How wide a line may drift: plain rows a little, a round that had to be placed wide as wide as that.
    widest: Vec<f64>,
    height: Vec<BTreeMap<Stem, f64>>,
    /// How many times over the bounds of a line are priced, by what is bounded.
    strict: Vec<[f64; 4]>,
    /// Rise over chord that each space wants, while a relaxation lasts.
    rise: Vec<Option<f64>>,
}

impl Rest {
    /// All lines as the tables have them.
    pub(super) fn nominal(net: &Net) -> Rest {
        let lines = net.lines.len();
        Rest {
            width: vec![1.0; lines],
            widest: vec![WIDEST; lines],
            height: vec![BTreeMap::new(); lines],
            strict: vec![[1.0; 4]; lines],
            rise: vec![None; net.fabric.spaces.len()],
        }
    }

    /// How far the apex of a space wants to rise over its chord, for each width of chord.
    pub(super) fn rise_over_chord(&self, net: &Net, node: usize, chord: f64, corner: bool) -> f64 {
        let asked = || asked_rise(net, node, chord, corner);
        net.space_of(node).and_then(|space| self.rise[space]).unwrap_or_else(asked)
    }

    /// Lets the rise that spaces want follow their chords, half way a step: the whole way and they swing to and fro.
    pub(super) fn follow(&mut self, net: &Net, scope: &Scope) {
        for (line, shape) in scope.iter() {
            for (at, &node) in net.lines[line].nodes.iter().enumerate() {
                let Some(space) = net.space_of(node) else { continue };
                let (previous, next) = net.lines[line].neighbours(at);
                let chord = length(net.heads[next] - net.heads[previous]).max(LEAST_CHORD);
                let asked = asked_rise(net, node, chord, shape.corner_apex[at]);
                self.rise[space] = Some(self.rise[space].map_or(asked, |last| 0.5 * (last + asked)));
            }
        }
    }

    /// How much taller than the table stitches of a line and kind are.
    pub(super) fn height(&self, line: usize, stem: Stem) -> f64 {
        self.height[line].get(&stem).copied().unwrap_or(1.0)
    }

    /// How many times over a bound of a line is priced.
    pub(super) fn strict(&self, line: usize, bound: Bound) -> f64 {
        self.strict[line][bound as usize]
    }

    /// Every space wants what its chord asks again.
    pub(super) fn stop_following(&mut self) {
        self.rise.fill(None);
    }

    /// Prices the bounds that lines do not keep higher; true where there are any.
    pub(super) fn tighten(&mut self, net: &Net, scope: &Scope) -> bool {
        let mut any = false;
        for (line, shape) in scope.iter() {
            for bound in broken(net, line, shape, self) {
                let on_bend = net.bent[line] && net.lines[line].kind != LineKind::Chain;
                let strict = &mut self.strict[line][bound as usize];
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
        if let Some(placed) = mean_width(net, line) {
            self.width[line] = placed.clamp(0.93, BEYOND);
            self.widest[line] = WIDEST.max(placed).min(BEYOND);
        }
    }

    /// Takes from each line what it asks for: the means of its widths and heights, within bounds.
    pub(super) fn drift(&mut self, net: &Net, scope: &Scope) {
        for &line in &scope.lines {
            if let Some(width) = mean_width(net, line) {
                self.width[line] = (1.0 + SHARE * (width - 1.0)).clamp(0.93, self.widest[line]);
            }
            let mut heights: BTreeMap<Stem, (f64, f64)> = BTreeMap::new();
            for post in net.lines[line].nodes.iter().filter_map(|&n| net.post_of[n]).map(|p| &net.posts[p]) {
                let sum = heights.entry(post.stem).or_default();
                sum.0 += length(net.heads[post.node] - post.base.at(&net.heads)) / post.rest;
                sum.1 += 1.0;
            }
            for (stem, (sum, n)) in heights {
                self.height[line].insert(stem, (1.0 + SHARE * (sum / n - 1.0)).clamp(1.0, 1.6));
            }
        }
    }
}

/// Rise over chord that a space asks for: that of its chains, or more where it has to keep clear of what it passes over.
fn asked_rise(net: &Net, node: usize, chord: f64, corner: bool) -> f64 {
    if let Some(bow) = petal::bow(net, node) {
        return bow;
    }
    (rise_of(net.space_length(node), chord, corner) / chord).max(rise_over(net, node))
}

/// Mean distance of a line's neighbours over their pitch, spaces left out.
fn mean_width(net: &Net, line: usize) -> Option<f64> {
    let (mut sum, mut n) = (0.0, 0.0);
    for w in own_run(net, line).windows(2) {
        if !net.is_apex(w[0]) && !net.is_apex(w[1]) && w[0] != w[1] {
            sum += length(net.heads[w[1]] - net.heads[w[0]]) / net.pitch(w[0], w[1]);
            n += 1.0;
        }
    }
    (n > 0.0).then(|| sum / n)
}
