//! What each line of the net wants, as terms of the energy.

use super::View;
use super::bounds::{Heard, add_bounds};
use super::lin::Lin;
use super::net::{Facing, Foot, LineKind, Net, Post, sagitta};
use super::plane::length;
use super::prices::Prices;
use super::rest::Rest;
use super::shape::{Flags, LineShape};
use super::terms::{Term, Terms, Weight};
use super::ways::{Key, key_of};
use std::f64::consts::FRAC_PI_2;

/// Appends the terms of a line.
pub(super) fn add_wants(net: &Net, line: usize, shape: &LineShape, rest: &Rest, heard: Heard, out: &mut Terms) {
    let price = Prices::of(net.view);
    let mut from = out.len();
    let mut name = |want: &'static str, out: &mut Terms| {
        out.name_from(from, want);
        from = out.len();
    };
    widths(net, price, line, shape, rest, out);
    name("width", out);
    if net.lines[line].kind == LineKind::Chain {
        chain_bend(net, price, line, heard, out);
        name("chain", out);
        add_bounds(net, line, shape, rest, heard, out);
        return;
    }
    heights(net, price, line, shape, rest, heard == Heard::All, out);
    name("height", out);
    leans(net, price, line, shape, out);
    name("lean", out);
    turnings(net, price, line, shape, out);
    name("turning", out);
    spaces(net, price, line, shape, rest, out);
    name("space", out);
    super::bounds::bows(net, line, heard == Heard::All, out);
    add_bounds(net, line, shape, rest, heard, out);
}

fn widths(net: &Net, price: &Prices, line: usize, shape: &LineShape, rest: &Rest, out: &mut Terms) {
    let run = own_run(net, line);
    let mut last: Option<Lin> = None;
    for (i, w) in run.windows(2).enumerate() {
        if w[0] == w[1] {
            continue;
        }
        let spaced = net.is_apex(w[0]) || net.is_apex(w[1]);
        // the space's own terms hold its chord; only where two spaces meet does the edge itself want a length
        if spaced && !(net.is_apex(w[0]) && net.is_apex(w[1])) {
            last = None;
            continue;
        }
        let edge = Lin::between(w[0], w[1]);
        // a round drawn wide of itself is measured by its own width
        let wide = rest.width[line].max(1.0);
        let pitch = net.pitch(w[0], w[1]);
        if shape.seams.get(i) == Some(&true) {
            out.push(Term::length(edge, pitch, price.seam_width).named("seam"));
            last = None;
            continue;
        }
        if net.is_slip_stitch(w[0]) || net.is_slip_stitch(w[1]) {
            out.push(Term::length(edge, pitch, price.slip_width));
            last = None;
            continue;
        }
        let chain = net.lines[line].kind == LineKind::Chain;
        out.push(Term::length(
            edge.clone(),
            pitch * rest.width[line],
            if chain { price.chain_width } else { price.width },
        ));
        out.push(
            Term::length(edge.clone(), pitch, Weight::Even(price.nominal_width / (wide * wide))).named("nominal width"),
        );
        if let Some(last) = last.take() {
            out.push(Term::even_lengths(last, edge.clone(), wide, price.even_width).named("even spacing"));
        }
        last = (!spaced).then_some(edge);
    }
    // closed: the last edge and the first are neighbours too
    if let (true, Some(last), [a, b, ..]) = (net.lines[line].closed, last, run.as_slice())
        && !net.is_apex(*a)
        && !net.is_apex(*b)
        && !shape.seams[0]
        && run.len() > 3
    {
        out.push(
            Term::even_lengths(last, Lin::between(*a, *b), rest.width[line].max(1.0), price.even_width)
                .named("even spacing"),
        );
    }
}

/// The points of a line with those before and after; a branch stands between two stitches, not on one.
pub(super) fn own_run(net: &Net, line: usize) -> Vec<usize> {
    if net.socket(line).is_some() { net.lines[line].nodes.clone() } else { net.lines[line].run() }
}

fn chain_bend(net: &Net, price: &Prices, line: usize, heard: Heard, out: &mut Terms) {
    let l = &net.lines[line];
    let mut run = own_run(net, line);
    if l.closed {
        run.push(l.nodes[1]);
    }
    for w in run.windows(3) {
        let edges = [(1.0, Lin::between(w[1], w[2])), (-1.0, Lin::between(w[0], w[1]))];
        out.push(Term::angles(edges, -net.natural_turn[w[1]], price.chain_bend));
    }
    for w in run.windows(4) {
        let (a, b, c) = (Lin::between(w[0], w[1]), Lin::between(w[1], w[2]), Lin::between(w[2], w[3]));
        let change = net.natural_turn[w[2]] - net.natural_turn[w[1]];
        out.push(Term::angles([(1.0, c), (-2.0, b), (1.0, a)], -change, price.chain_bend_even));
    }
    let (Some(socket), Some(&tip)) = (net.socket(line), l.nodes.last()) else { return };
    let first = l.nodes[0];
    // rows that are still to come do not push yet
    let reach = if heard == Heard::No { socket.reach } else { socket.pushed };
    out.push(Term::length(Lin::node(first).plus(-1.0, &socket.at), reach, price.chain_width));
    for (point, weight) in [(first, 0.25 * price.branch_lean), (tip, price.branch_lean)] {
        let rise = Lin::node(point).plus(-1.0, &socket.at);
        let angles = [(1.0, rise), (-1.0, Lin::between(socket.from, socket.to))];
        out.push(Term::angles(angles, -socket.sign * FRAC_PI_2, weight).named("branch"));
    }
}

// Height over the one wanted from which a stitch is stretched, less 1.
const STRETCHED: f64 = 0.4;

fn heights(net: &Net, price: &Prices, line: usize, shape: &LineShape, rest: &Rest, all: bool, out: &mut Terms) {
    let l = &net.lines[line];
    let even = if l.closed { price.even_height_closed } else { price.even_height };
    let at_of = |node: usize| net.seat[node].filter(|&(s, _)| s == line).map(|(_, at)| at);
    let aslant_at = |node: usize, height: f64| at_of(node).map_or(height, |at| aslant(net, line, shape, at, height));
    let mut last: Option<(usize, Lin)> = None;
    let before = l.before;
    let run = l.run();
    for (i, &node) in run.iter().enumerate() {
        let Some(p) = net.post_of[node] else { continue };
        let post = &net.posts[p];
        let v = Lin::node(node).plus(-1.0, &post.base);
        let mine = Some(node) != before && net.seat[node].is_some_and(|(s, _)| s == line);
        let again = l.closed && i + 1 == run.len() && run.len() > l.nodes.len();
        if mine && !again {
            let together = post.feet.len() > 1 && post.one_place().is_none();
            // legs drawn together over a wide base reach the head aslant: their mean may be a little shorter
            let rest_height = post.rest * rest.height(line, post.stem) * if together { 0.97 } else { 1.0 };
            let rest_height = if net.view == View::True { aslant_at(node, rest_height) } else { rest_height };
            out.push(Term::length(v.clone(), rest_height, if l.closed { price.height_closed } else { price.height }));
            let near = length(v.at(&net.heads)) > (1.0 + 0.5 * STRETCHED) * rest_height;
            if price.stretched > 0.0 && (all || near) {
                let weight = Weight::Sided { short: 0.0, long: 0.0, limit: STRETCHED, beyond: price.stretched };
                out.push(Term::length(v.clone(), rest_height, weight).named("stretched"));
            }
        }
        if mine && !again && across_corner(&post.feet) {
            together_in_corner(net, price, line, post, out);
        }
        if let Some((q, last_v)) = last.take() {
            let other = &net.posts[q];
            if other.stem == post.stem && (other.rest - post.rest).abs() < 0.01 {
                out.push(Term::even_lengths(last_v, v.clone(), post.rest, even).named("even height"));
            }
        }
        last = Some((p, v));
    }
}

/// Length of a leg whose head stands so high: those of a fan spread from one foot.
///
/// On a circle of radius r a head that stands a height further out and so far aside is √(height² + r/(r + height)·aside²)
/// away, and the radii are as the places to the stitches in them.
fn aslant(net: &Net, line: usize, shape: &LineShape, at: usize, height: f64) -> f64 {
    // stitches on either side that tell how the row widens
    const BESIDE: usize = 3;
    // round the end of a chain they stand off every way, each as tall as it is
    if !shape.in_fan[at] || shape.in_end[at] {
        return height;
    }
    let Some((fan, nth)) = shape.fans.iter().find_map(|fan| Some((fan, fan.iter().position(|&leg| leg == at)?))) else {
        return height;
    };
    let aside = (nth as f64 - 0.5 * (fan.len() - 1) as f64).abs().min(height);
    let l = &net.lines[line];
    let (first, last) = (fan[0], fan[fan.len() - 1]);
    let mut near: Vec<usize> = Vec::new();
    let mut beside = |from: usize, forward: bool| {
        let mut at = Some(from);
        for _ in 0..BESIDE {
            let Some((previous, next)) = at.map(|at| l.neighbours(at)) else { break };
            let node = if forward { next } else { previous };
            near.push(node);
            at = net.seat[node].filter(|&(s, _)| s == line).map(|(_, at)| at);
        }
    };
    beside(first, false);
    beside(last, true);
    near.sort_unstable();
    near.dedup();
    near.retain(|&node| net.post_of[node].is_some() && !fan.iter().any(|&at| l.nodes[at] == node));
    let mut places: Vec<Option<Key>> = near.iter().map(|&node| key_of(net, node)).collect();
    places.sort_unstable();
    places.dedup();
    let widens = (places.len() + 1) as f64 / (near.len() + fan.len()) as f64;
    libm::sqrt(height * height + widens * aside * aside)
}

/// True for feet on different lines.
fn across_corner(feet: &[Foot]) -> bool {
    let line_of = |f: &Foot| if let Facing::Line { line, .. } = f.facing { Some(line) } else { None };
    feet.windows(2).any(|w| line_of(&w[0]) != line_of(&w[1]))
}

/// Drawn together in the hollow of a branch: it stands evenly on both its feet, and either leg keeps clear of the stitch
/// beside it.
fn together_in_corner(net: &Net, price: &Prices, line: usize, post: &Post, out: &mut Terms) {
    // between the bars of a leg and of the stitch beside it: smaller and they touch
    const CLEAR: f64 = 0.8;
    let leg = |f: &Foot| Lin::node(post.node).plus(-1.0, &f.at);
    let (first, last) = (&post.feet[0], &post.feet[post.feet.len() - 1]);
    out.push(Term::even_lengths(leg(first), leg(last), post.rest, price.even_legs).named("even legs"));
    let short = |price: f64| Weight::Sided { short: price, long: 0.0, limit: 9.0, beyond: 0.0 };
    for foot in [first, last] {
        let tall = net.sizes.height(post.stem) + foot.reach;
        out.push(Term::length(leg(foot), tall, short(price.short_leg)).named("short leg"));
    }
    let Some((_, at)) = net.seat[post.node].filter(|&(l, _)| l == line) else { return };
    let (previous, next) = net.lines[line].neighbours(at);
    for (foot, beside) in [(first, previous), (last, next)] {
        let Some(other) = net.post_of[beside].map(|p| &net.posts[p]).filter(|o| o.node != post.node) else { continue };
        let middle = |top: usize, bottom: &Lin| Lin::default().plus(0.5, &Lin::node(top)).plus(0.5, bottom);
        let between = middle(post.node, &foot.at).plus(-1.0, &middle(other.node, &other.base));
        out.push(Term::length(between, CLEAR, short(price.clear_leg)).named("leg apart"));
    }
}

fn leans(net: &Net, price: &Prices, line: usize, shape: &LineShape, out: &mut Terms) {
    let l = &net.lines[line];
    for (at, &node) in l.nodes.iter().enumerate() {
        let Some(post) = net.post_of[node].map(|p| &net.posts[p]) else { continue };
        let v = Lin::node(node).plus(-1.0, &post.base);
        let (previous, next) = l.neighbours(at);
        let soft =
            if net.is_slip_stitch(node) { 0.3 } else { 1.0 } * if shape.uneven[at] { price.unequal } else { 1.0 };
        let own = if shape.in_fan[at] { price.lean_of_leg } else { price.lean };
        let spaced = net.is_apex(previous) || net.is_apex(next);
        if previous != next && !shape.at_seam[at] {
            let t = Lin::between(previous, next);
            out.push(Term::angles([(1.0, v.clone()), (-1.0, t)], -l.sign * FRAC_PI_2, own * soft));
        }
        if let (Some(Facing::Line { line: below, at: on, flip }), false) =
            (post.feet.first().map(|f| f.facing), shape.in_end[at])
        {
            let base = &net.lines[below];
            let (previous, next) = base.neighbours(on);
            if previous != next && !shape.in_fan[at] {
                let t = Lin::between(previous, next);
                let up = flip * base.sign * FRAC_PI_2;
                // a space beside it takes up the slope
                let soft = if spaced { 1.0 } else { soft };
                out.push(Term::angles([(1.0, v), (-1.0, t)], -up, price.lean_on_base * soft).named("lean below"));
            }
        }
    }
    for fan in &shape.fans {
        let posts: Vec<usize> = fan.iter().filter_map(|&at| net.post_of[l.nodes[at]]).collect();
        let legs: Vec<Lin> =
            posts.iter().map(|&p| Lin::node(net.posts[p].node).plus(-1.0, &net.posts[p].base)).collect();
        let (first, last) = (fan[0], fan[fan.len() - 1]);
        let (previous, next) = (l.neighbours(first).0, l.neighbours(last).1);
        let mean = Lin::mean(legs.iter());
        let uneven = fan.iter().any(|&at| shape.uneven[at]);
        if previous != next && !fan.iter().any(|&at| shape.in_end[at] || shape.at_seam[at]) {
            let t = Lin::between(previous, next);
            let soft = if uneven { price.unequal } else { 1.0 };
            out.push(Term::angles([(1.0, mean.clone()), (-1.0, t)], -l.sign * FRAC_PI_2, price.lean * soft));
            if let Some(Facing::Line { line: below, at: on, flip }) = net.posts[posts[0]].feet.first().map(|f| f.facing)
            {
                let (previous, next) = net.lines[below].neighbours(on);
                if previous != next {
                    let up = flip * net.lines[below].sign * FRAC_PI_2;
                    let t = Lin::between(previous, next);
                    out.push(Term::angles([(1.0, mean), (-1.0, t)], -up, price.lean_on_base).named("lean below"));
                }
            }
        }
        for w in legs.windows(3) {
            let angles = [(1.0, w[2].clone()), (-2.0, w[1].clone()), (1.0, w[0].clone())];
            out.push(Term::angles(angles, 0.0, price.fan).named("fan"));
        }
    }
}

fn turnings(net: &Net, price: &Prices, line: usize, shape: &LineShape, out: &mut Terms) {
    let l = &net.lines[line];
    let solid = &shape.solid;
    let n = solid.len();
    let around = if l.closed && n > 3 { n } else { n.saturating_sub(3) };
    let runs_on = l.before.is_some() && !net.hangs(line);
    let smooth = if l.closed || runs_on || l.after.is_some() { price.turning_closed } else { price.turning };
    for i in 0..around {
        let q: Vec<usize> = (0..4).map(|k| solid[(i + k) % n]).collect();
        let (b, c) = (&shape.solid_flags[(i + 1) % n], &shape.solid_flags[(i + 2) % n]);
        let breaks = |flags: &Flags| flags.corner || flags.seam || flags.dips;
        if q[0] == q[1] || q[1] == q[2] || q[2] == q[3] || breaks(b) || breaks(c) {
            continue;
        }
        let edge = |k: usize| Lin::between(q[k], q[k + 1]);
        let weight = smooth * if b.uneven || c.uneven { price.unequal } else { 1.0 };
        out.push(Term::angles([(1.0, edge(2)), (-2.0, edge(1)), (1.0, edge(0))], 0.0, weight));
    }
    for i in 1..n.saturating_sub(2) {
        let q = &solid[i - 1..i + 3];
        if shape.solid_flags[i].seam && shape.solid_flags[i + 1].seam && q[1] != q[2] {
            for k in [0, 1] {
                let edges = [(1.0, Lin::between(q[k + 1], q[k + 2])), (-1.0, Lin::between(q[k], q[k + 1]))];
                out.push(Term::angles(edges, 0.0, price.seam_turn));
            }
        }
    }
    if !shape.polygon {
        return;
    }
    for i in 0..n {
        let flags = &shape.solid_flags[(i + 1) % n];
        if !flags.corner && !flags.seam && !flags.uneven {
            let (a, b, c) = (solid[i], solid[(i + 1) % n], solid[(i + 2) % n]);
            out.push(Term::angles([(1.0, Lin::between(b, c)), (-1.0, Lin::between(a, b))], 0.0, price.side));
        }
    }
}

fn spaces(net: &Net, price: &Prices, line: usize, shape: &LineShape, rest: &Rest, out: &mut Terms) {
    let l = &net.lines[line];
    for (at, &node) in l.nodes.iter().enumerate() {
        if !net.is_apex(node) {
            continue;
        }
        let (previous, next) = l.neighbours(at);
        let chains = net.space_length(node);
        if previous == node || next == node || previous == next {
            // a loop with one foot: it stays where it hangs
            let hold = if previous == node { next } else { previous };
            if hold != node {
                out.push(Term::length(Lin::between(hold, node), 0.5 * net.chord(node), price.width));
            }
            continue;
        }
        let chord = Lin::between(previous, next);
        let now = length(chord.at(&net.heads)).max(LEAST_CHORD);
        let rise = rest.rise_over_chord(net, node, now, shape.corner_apex[at]);
        let middle = Lin::mean([Lin::node(previous), Lin::node(next)].iter());
        let off = Lin::node(node).plus(-1.0, &middle).plus_r90(-l.sign * rise, &chord);
        out.extend(Term::null(off, price.apex));
        let wanted = net.chord(node);
        let limit = (chains + 1.0) * rest.width[line].max(1.0) / wanted - 1.0;
        // a space that swings up from the row below reaches as far as that leaves it
        let hangs = at == 0 && net.hangs(line);
        let short = if hangs { 0.0 } else { price.chord_short };
        let weight = Weight::Sided { short, long: 0.0, limit, beyond: price.chord_beyond };
        out.push(Term::length(chord, wanted, weight));
    }
}

// Shorter chords count as this long.
pub(super) const LEAST_CHORD: f64 = 0.2;
// Height over width of a short arch at most: a little over a half circle.
const HALF_CIRCLE: f64 = 0.6;

/// How far the apex of a space rises over its chord: short spaces in a straight run are straight bars.
pub(super) fn rise_of(chains: f64, chord: f64, corner: bool) -> f64 {
    if chains < 3.0 && !corner {
        return 0.0;
    }
    // a taut loop still shows which way it faces
    let rise = sagitta(chains + 0.6, chord).max(if chains >= 3.0 { 0.35 } else { 0.25 });
    // three ovals that close up to a drop would lie on one another: no more than a half circle for them
    if chains < 4.0 && chord > 1.0 { rise.min(HALF_CIRCLE * chord) } else { rise }
}
