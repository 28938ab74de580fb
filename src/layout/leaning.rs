//! The bounds of a good chart on how stitches lean: on their row, over their feet, in a fan.

use super::bounds::{Bound, beyond};
use super::lin::Lin;
use super::net::{Facing, Net};
use super::plane::{angle, wrap};
use super::rest::Rest;
use super::shape::LineShape;
use super::terms::{Term, Terms};
use crate::fabric::Place;
use std::f64::consts::FRAC_PI_2;

// Lean at most, radians, a little inside of what a chart is judged by, and what a residual beyond it costs.
const LEAN: f64 = 0.21;
const OF_LEAN: f64 = 16.0;
/// What the bound of a lean is called.
pub(super) const LEANS: &str = "leans too far";
// How far beside the middle of its feet the head of a decrease stands at most, and the price beyond. That is no fault that
// sets other ways going: smaller or dearer, and rows that lose stitches at their ends creep.
const BESIDE_FEET: f64 = 0.065;
const OF_FEET: f64 = 22.0;
// A fan in one stitch, radians: from its first leg to its last at most, how far the angle between two legs may be from the
// next, and its middle from the normal of what it stands on.
const WIDE_FAN: f64 = 2.05;
const UNEVEN_FAN: f64 = 0.025;
const ASLANT_FAN: f64 = 0.04;

/// No stitch leans further on its row, and what is worked together stands over its feet.
pub(super) fn leans(net: &Net, line: usize, shape: &LineShape, rest: &Rest, all: bool, out: &mut Terms) {
    let l = &net.lines[line];
    let strict = OF_LEAN * rest.strict(line, Bound::Lean);
    let mut lean = |v: Lin, (previous, next): (usize, usize), most: f64, price: f64, want: &'static str| {
        if previous == next {
            return;
        }
        let t = Lin::between(previous, next);
        let now = wrap(angle(v.at(&net.heads)) - angle(t.at(&net.heads)) - l.sign * FRAC_PI_2);
        if all || now.abs() > 0.8 * most {
            let angles = [(1.0, v), (-1.0, t)];
            out.push(Term::weighed_angles(angles, -l.sign * FRAC_PI_2, beyond(most, price)).named(want));
        }
    };
    let rise =
        |at: usize| net.post_of[l.nodes[at]].map(|p| Lin::node(net.posts[p].node).plus(-1.0, &net.posts[p].base));
    let together = |at: usize| {
        let post = net.post_of[l.nodes[at]].map(|p| &net.posts[p]);
        post.filter(|p| p.feet.len() > 1 && p.one_place().is_none())
    };
    for at in (0..l.nodes.len()).filter(|&at| !shape.in_fan[at] && !shape.at_seam[at]) {
        let Some(v) = rise(at) else { continue };
        if let Some(post) = together(at) {
            lean(v, l.neighbours(at), BESIDE_FEET / post.rest, OF_FEET, "beside its feet");
        } else if !shape.uneven[at] {
            lean(v, l.neighbours(at), LEAN, strict, LEANS);
        }
    }
    for fan in &shape.fans {
        if !fan.iter().any(|&at| shape.uneven[at] || shape.at_seam[at]) {
            let legs: Vec<Lin> = fan.iter().filter_map(|&at| rise(at)).collect();
            let beside = (l.neighbours(fan[0]).0, l.neighbours(fan[fan.len() - 1]).1);
            lean(Lin::mean(legs.iter()), beside, LEAN, strict, LEANS);
        }
    }
}

/// Legs of a fan in one stitch stand in equal angles, and not too wide; those of two or three do so of themselves.
pub(super) fn fans(net: &Net, line: usize, shape: &LineShape, rest: &Rest, all: bool, out: &mut Terms) {
    let l = &net.lines[line];
    let price = OF_LEAN * rest.strict(line, Bound::Lean);
    let stands = |fan: &&Vec<usize>| {
        fan.len() > 3 && in_one_stitch(net, l.nodes[fan[0]]) && !fan.iter().any(|&at| shape.in_end[at])
    };
    for fan in shape.fans.iter().filter(stands) {
        let posts = fan.iter().filter_map(|&at| net.post_of[l.nodes[at]]).map(|p| &net.posts[p]);
        let legs: Vec<Lin> = posts.map(|p| Lin::node(p.node).plus(-1.0, &p.base)).collect();
        let ways: Vec<f64> = legs.iter().map(|leg| angle(leg.at(&net.heads))).collect();
        let n = legs.len();
        for (k, at) in fan.windows(3).enumerate() {
            let now = wrap(ways[k + 2] - 2.0 * ways[k + 1] + ways[k]);
            // where chains lie between two legs, they need more room than none
            if at[0] + 2 == at[2] && (all || now.abs() > 0.8 * UNEVEN_FAN) {
                let angles = [(1.0, legs[k + 2].clone()), (-2.0, legs[k + 1].clone()), (1.0, legs[k].clone())];
                out.push(Term::weighed_angles(angles, 0.0, beyond(UNEVEN_FAN, price)).named("uneven fan"));
            }
        }
        if all || wrap(ways[n - 1] - ways[0]).abs() > 0.8 * WIDE_FAN {
            let whole = [(1.0, legs[n - 1].clone()), (-1.0, legs[0].clone())];
            out.push(Term::weighed_angles(whole, 0.0, beyond(WIDE_FAN, price)).named("wide fan"));
        }
        let foot = net.post_of[l.nodes[fan[0]]].and_then(|p| net.posts[p].feet.first()).map(|f| f.facing);
        let Some(Facing::Line { line: below, at, flip }) = foot else { continue };
        let (previous, next) = net.lines[below].neighbours(at);
        // the middle leg, or the two
        let (middle, along) = (Lin::mean(legs[(n - 1) / 2..=n / 2].iter()), Lin::between(previous, next));
        let up = flip * net.lines[below].sign * FRAC_PI_2;
        let now = wrap(angle(middle.at(&net.heads)) - angle(along.at(&net.heads)) - up);
        // at the end of a row no line runs on to be upright on
        let amid = net.lines[below].nodes[at] != previous && net.lines[below].nodes[at] != next;
        if amid && previous != next && (all || now.abs() > 0.8 * ASLANT_FAN) {
            let angles = [(1.0, middle), (-1.0, along)];
            out.push(Term::weighed_angles(angles, -up, beyond(ASLANT_FAN, price)).named("fan aslant"));
        }
    }
}

/// True for a stitch worked into one other, not into a space or a ring.
fn in_one_stitch(net: &Net, node: usize) -> bool {
    let Some(post) = net.post_of[node].map(|p| &net.posts[p]) else { return false };
    let in_ring = post.feet.iter().any(|f| matches!(f.facing, Facing::Ring(_)));
    !in_ring && matches!(post.one_place(), Some(Place::Top { .. } | Place::Chain { .. } | Place::Underside { .. }))
}
