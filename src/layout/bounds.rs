//! The bounds of a good chart, as terms that are silent within them: a stitch far off weighs more than many a little off.

use super::View;
use super::leaning::{LEANS, fans, leans};
use super::lin::Lin;
use super::net::{LineKind, Net};
use super::over::rise_over;
use super::petal;
use super::plane::{angle, length, wrap};
use super::rest::Rest;
use super::shape::LineShape;
use super::terms::{OneTerm, Term, Terms, Weight};
use super::wants::LEAST_CHORD;
use crate::fabric::Place;

// Length over height at least and at most, a little inside of what a chart is judged by.
const SHORT: f64 = 0.97;
const SHORT_IN_SPACE: f64 = 0.98;
const TALL: f64 = 1.36;
// The same for the change of the turning from stitch to stitch, radians; long rows want to be smoother.
const KINK: f64 = 0.28;
const KINK_OF_LONG: f64 = 0.115;
/// From so many stitches a row is long.
pub(super) const LONG_ROW: usize = 30;
// What a residual beyond its bound costs. Larger and rows fold where a bound cannot be kept, smaller and none is.
const OF_HEIGHT: f64 = 20.0;
const OF_WIDTH: f64 = 16.0;
const OF_KINK: f64 = 30.0;
// Distance of neighbours over their pitch at least.
const NEAR: f64 = 0.87;
// Angle between the edge in the corner of a branch and the chord across it, and the price beyond.
const OUT_OF_ORDER: f64 = 0.9;
const OF_ORDER: f64 = 3.0;
// Width over that of its row, either way.
const UNEVEN: f64 = 0.1;
const UNEVEN_IF_STRICT: f64 = 0.06;
// Distance of neighbouring chains over their pitch, and the prices beyond: crowded ovals are drawn shorter, torn ones
// no longer lie end to end.
const SHORTEST_CHAIN: f64 = 0.94;
const OF_SHORT_CHAIN: f64 = 16.0;
const LONGEST_CHAIN: f64 = 1.05;
const OF_LONG_CHAIN: f64 = 150.0;
// Of a chain that bends of itself: how far from its own turning at a chain, radians, and the price beyond. Larger and
// smaller, and the rows on it buy their evenness by straightening it.
const UNBENT: f64 = 0.005;
const OF_BEND: f64 = 200.0;
// Chains from which a space is an arch, how far it stands out over its chord at least, and the price of less, radians at
// either end.
const ARCH: f64 = 3.0;
const LEAST_RISE: f64 = 0.33;
const OF_BOW: f64 = 12.0;
// Share of the chord that it wants at least, and the price of less.
const NARROWEST: f64 = 0.5;
const OF_NARROW: f64 = 12.0;
// Standard deviation over mean from which a row is uneven.
const JUDGED_UNEVEN: f64 = 0.055;

/// What is bounded.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Bound {
    Height,
    Width,
    Lean,
    Kink,
}

/// The bounds that a line does not keep as a chart is judged: those a step of theirs beyond.
pub(super) fn broken(net: &Net, line: usize, shape: &LineShape, rest: &Rest) -> Vec<Bound> {
    let mut terms = Terms::default();
    add_bounds(net, line, shape, rest, Heard::Near, &mut terms);
    let bound_of = |term: OneTerm| {
        let value = term.residual_and_weight(&net.heads).0;
        match (term.want(), term.weight()) {
            ("too short", _) if value < -0.012 => Some(Bound::Height),
            ("too tall", _) if value > 0.025 => Some(Bound::Height),
            ("too near", _) if value < -0.015 => Some(Bound::Width),
            ("chain crowded", _) if value < -0.015 => Some(Bound::Width),
            ("chain torn", _) if value > 0.015 => Some(Bound::Width),
            ("chain unbent", Weight::Hinged { limit, .. }) if value.abs() > 2.0 * limit => Some(Bound::Kink),
            (LEANS, Weight::Hinged { limit, .. }) if value.abs() > limit + 0.015 => Some(Bound::Lean),
            ("kink", Weight::Hinged { limit, .. }) if value.abs() > limit * 1.12 => Some(Bound::Kink),
            _ => None,
        }
    };
    let mut broken: Vec<Bound> = terms.iter().filter_map(bound_of).collect();
    if net.lines[line].kind != LineKind::Chain && super::quality::spacing_cv(net, line, shape) > JUDGED_UNEVEN {
        broken.push(Bound::Width);
    }
    broken.sort_unstable();
    broken.dedup();
    broken
}

/// How much of a bound's terms is wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Heard {
    /// None.
    No,
    /// Those near their bound now.
    Near,
    /// All of them.
    All,
}

/// Appends the bounds of a line.
pub(super) fn add_bounds(net: &Net, line: usize, shape: &LineShape, rest: &Rest, heard: Heard, out: &mut Terms) {
    if heard == Heard::No {
        return;
    }
    let all = heard == Heard::All;
    if net.lines[line].kind == LineKind::Chain {
        chains(net, line, rest, all, out);
        return;
    }
    heights(net, line, rest, all, out);
    widths(net, line, shape, rest, all, out);
    leans(net, line, shape, rest, all, out);
    fans(net, line, shape, rest, all, out);
    kinks(net, line, shape, rest, all, out);
    corners(net, line, shape, all, out);
}

/// The ovals of a chain lie end to end.
fn chains(net: &Net, line: usize, rest: &Rest, all: bool, out: &mut Terms) {
    let strict = rest.strict(line, Bound::Width);
    for w in net.lines[line].run().windows(2) {
        let pitch = net.pitch(w[0], w[1]);
        let now = length(net.heads[w[1]] - net.heads[w[0]]) / pitch;
        if w[0] == w[1] {
            continue;
        }
        if all || now < SHORTEST_CHAIN + 0.02 {
            let weight = Weight::Sided { short: OF_SHORT_CHAIN * strict, long: 0.0, limit: 9.0, beyond: 0.0 };
            out.push(Term::length(Lin::between(w[0], w[1]), SHORTEST_CHAIN * pitch, weight).named("chain crowded"));
        }
        if all || now > LONGEST_CHAIN - 0.02 {
            let price = OF_LONG_CHAIN * strict;
            let weight = Weight::Sided { short: 0.0, long: price, limit: 9.0, beyond: price };
            out.push(Term::length(Lin::between(w[0], w[1]), LONGEST_CHAIN * pitch, weight).named("chain torn"));
        }
    }
    if !net.bent[line] {
        return;
    }
    let price = OF_BEND * rest.strict(line, Bound::Kink);
    for w in net.lines[line].run().windows(3) {
        let turn = net.natural_turn[w[1]];
        let heading = |k: usize| angle(net.heads[w[k + 1]] - net.heads[w[k]]);
        if all || wrap(heading(1) - heading(0) - turn).abs() > 0.8 * UNBENT {
            let edges = [(1.0, Lin::between(w[1], w[2])), (-1.0, Lin::between(w[0], w[1]))];
            out.push(Term::weighed_angles(edges, -turn, beyond(UNBENT, price)).named("chain unbent"));
        }
    }
}

/// In the hollow of a branch the two stitches of the corner keep their order: smaller and they change places.
fn corners(net: &Net, line: usize, shape: &LineShape, all: bool, out: &mut Terms) {
    let run = net.lines[line].run();
    for i in 1..run.len().saturating_sub(2) {
        let (from, to) = (run[i - 1], run[i + 2]);
        if !shape.seams[i] || from == to || run[i] == run[i + 1] || run[i..i + 2].iter().any(|&n| net.is_apex(n)) {
            continue;
        }
        let (edge, across) = (Lin::between(run[i], run[i + 1]), Lin::between(from, to));
        let now = wrap(angle(edge.at(&net.heads)) - angle(across.at(&net.heads)));
        if all || now.abs() > 0.8 * OUT_OF_ORDER {
            let angles = [(1.0, edge), (-1.0, across)];
            out.push(Term::weighed_angles(angles, 0.0, beyond(OUT_OF_ORDER, OF_ORDER)).named("corner"));
        }
    }
}

/// An arch stands out over its chord, away from the work and over what it passes: at either end it rises. And no space of
/// several chains is pressed together.
pub(super) fn bows(net: &Net, line: usize, all: bool, out: &mut Terms) {
    if net.view == View::True {
        return;
    }
    let l = &net.lines[line];
    for (at, &node) in l.nodes.iter().enumerate() {
        let (previous, next) = l.neighbours(at);
        if !net.is_apex(node) || net.space_length(node) < 2.0 || previous == node || next == node || previous == next {
            continue;
        }
        let chord = Lin::between(previous, next);
        let wide = chord.at(&net.heads);
        let least = NARROWEST * net.chord(node);
        if all || length(wide) < least + 0.1 {
            let weight = Weight::Sided { short: OF_NARROW, long: 0.0, limit: 9.0, beyond: 0.0 };
            out.push(Term::length(chord.clone(), least, weight).named("too narrow"));
        }
        if net.space_length(node) < ARCH || petal::side(net, node).is_some() {
            continue;
        }
        let rise = (LEAST_RISE / length(wide).max(LEAST_CHORD)).max(rise_over(net, node));
        let rises = libm::atan(2.0 * rise);
        let edges = [(l.sign, Lin::between(previous, node)), (-l.sign, Lin::between(node, next))];
        for (sign, edge) in edges {
            let now = wrap(sign * (angle(edge.at(&net.heads)) - angle(wide)));
            if all || now < rises + 0.1 {
                let weight = Weight::Sided { short: OF_BOW, long: 0.0, limit: 9.0, beyond: 0.0 };
                let angles = [(sign, edge), (-sign, chord.clone())];
                out.push(Term::weighed_angles(angles, -rises, weight).named("bowed in"));
            }
        }
    }
}

fn heights(net: &Net, line: usize, rest: &Rest, all: bool, out: &mut Terms) {
    let price = OF_HEIGHT * rest.strict(line, Bound::Height);
    for post in net.lines[line].nodes.iter().filter_map(|&n| net.post_of[n]).map(|p| &net.posts[p]) {
        if net.is_slip_stitch(post.node) {
            continue;
        }
        let v = Lin::node(post.node).plus(-1.0, &post.base);
        let shift = post.feet.iter().map(|f| f.shift).sum::<f64>() / post.feet.len() as f64;
        let at = |stretch: f64| (stretch * (post.rest - shift) + shift) / post.rest;
        // feet in a space are drawn on a circle that the solver knows as a parabola
        let in_space = post.feet.iter().any(|f| matches!(f.place, Some(Place::Space { .. })));
        let short = at(if in_space { SHORT_IN_SPACE } else { SHORT });
        let now = length(v.at(&net.heads)) / post.rest;
        if all || now < short + 0.02 {
            let weight = Weight::Sided { short: price, long: 0.0, limit: 9.0, beyond: 0.0 };
            out.push(Term::length(v.clone(), post.rest * short, weight).named("too short"));
        }
        let tall = at(TALL);
        if all || now > tall - 0.05 {
            let weight = Weight::Sided { short: 0.0, long: price, limit: 9.0, beyond: price };
            out.push(Term::length(v, post.rest * tall, weight).named("too tall"));
        }
    }
}

fn widths(net: &Net, line: usize, shape: &LineShape, rest: &Rest, all: bool, out: &mut Terms) {
    let l = &net.lines[line];
    let strict = rest.strict(line, Bound::Width);
    let price = OF_WIDTH * strict;
    // a row that is uneven as a whole is held closer
    let bound = if strict > 1.0 { UNEVEN_IF_STRICT } else { UNEVEN };
    for (i, w) in l.run().windows(2).enumerate() {
        let plain = |node: usize| !net.is_apex(node) && !net.is_slip_stitch(node);
        if w[0] == w[1] || net.is_apex(w[0]) || net.is_apex(w[1]) {
            continue;
        }
        let pitch = net.pitch(w[0], w[1]);
        let near = length(net.heads[w[1]] - net.heads[w[0]]) / pitch;
        if all || near < NEAR + 0.02 {
            let weight = Weight::Sided { short: price, long: 0.0, limit: 9.0, beyond: 0.0 };
            out.push(Term::length(Lin::between(w[0], w[1]), NEAR * pitch, weight).named("too near"));
        }
        if shape.seams[i] || !plain(w[0]) || !plain(w[1]) {
            continue;
        }
        let of_row = net.pitch(w[0], w[1]) * rest.width[line];
        let now = length(net.heads[w[1]] - net.heads[w[0]]) / of_row - 1.0;
        if all || now.abs() > 0.8 * bound {
            out.push(Term::length(Lin::between(w[0], w[1]), of_row, beyond(bound, price)).named("uneven"));
        }
    }
}

/// Only what is beyond the bound weighs.
pub(super) fn beyond(bound: f64, price: f64) -> Weight {
    Weight::Hinged { within: 0.0, limit: bound, beyond: price }
}

fn kinks(net: &Net, line: usize, shape: &LineShape, rest: &Rest, all: bool, out: &mut Terms) {
    let l = &net.lines[line];
    let solid = &shape.solid;
    let n = solid.len();
    let price = OF_KINK * rest.strict(line, Bound::Kink);
    // over a chain that bends a long row turns as sharply as a short one: smoother, and it straightens the chain
    let bound = if n >= LONG_ROW && !net.bent[line] { KINK_OF_LONG } else { KINK };
    for i in 0..if l.closed && n > 3 { n } else { n.saturating_sub(3) } {
        let q: Vec<usize> = (0..4).map(|k| solid[(i + k) % n]).collect();
        let (b, c) = (shape.solid_flags[(i + 1) % n], shape.solid_flags[(i + 2) % n]);
        let told = b.corner || c.corner || b.uneven || c.uneven || b.seam || c.seam;
        if told || q[0] == q[1] || q[1] == q[2] || q[2] == q[3] {
            continue;
        }
        let edge = |k: usize| Lin::between(q[k], q[k + 1]);
        let heading = |k: usize| angle(net.heads[q[k + 1]] - net.heads[q[k]]);
        let now = wrap(heading(2) - 2.0 * heading(1) + heading(0));
        if all || now.abs() > 0.8 * bound {
            let angles = [(1.0, edge(2)), (-2.0, edge(1)), (1.0, edge(0))];
            out.push(Term::weighed_angles(angles, 0.0, beyond(bound, price)).named("kink"));
        }
    }
}
