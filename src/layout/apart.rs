//! Bodies keep apart: what is not worked together does not touch.

use super::lin::Lin;
use super::net::{Net, Node};
use super::plane::length;
use super::terms::{Term, Terms, Weight};
use kurbo::Vec2;

// Nearer than this two bodies of one width touch; larger and tight rows push each other about.
const CLEAR: f64 = 0.72;
const APART: f64 = 2.5;
// Side of a cell of the grid: a body and its clearance.
const CELL: f64 = 2.0;

// Neighbours that may push one body. A tangle has no end of them, and its equations none of their zeros.
const MOST: usize = 8;
// How far beyond their clearance bodies are still named where the energy is written out.
const MIGHT: f64 = 0.5;

/// A body: the middle of a stitch's stem, or of an oval.
struct Body<'n> {
    node: usize,
    /// From foot (0) to head (1), the stretch that has width.
    from: Vec2,
    to: Vec2,
    /// What a stem stands on.
    base: Option<&'n Lin>,
}

/// Appends terms that hold bodies apart which are neither neighbours nor stand on one another.
pub(super) fn add_wants_apart(net: &Net, lines: &[usize], all: bool, out: &mut Terms) {
    let bodies: Vec<Body> =
        lines.iter().flat_map(|&l| net.lines[l].nodes.iter()).filter_map(|&n| body_of(net, n)).collect();
    let cell = |v: f64| libm::floor(v / CELL) as i64;
    let seat = |(i, body): (usize, &Body)| {
        let middle = 0.5 * (body.from + body.to);
        (cell(middle.x), cell(middle.y), i)
    };
    let mut seats: Vec<(i64, i64, usize)> = bodies.iter().enumerate().map(seat).collect();
    seats.sort_unstable();
    let cells: Vec<&[(i64, i64, usize)]> = seats.chunk_by(|a, b| (a.0, a.1) == (b.0, b.1)).collect();
    let in_cell = |x: i64, y: i64| cells.binary_search_by_key(&(x, y), |c| (c[0].0, c[0].1)).ok().map(|at| cells[at]);
    // written out, those that might come too near as well
    let within = if all { CLEAR + MIGHT } else { CLEAR };
    let most = if all { usize::MAX } else { MOST };
    let mut pushed = vec![0_usize; bodies.len()];
    for here in &cells {
        let (x, y, _) = here[0];
        for (dx, dy) in [(0, 0), (1, 0), (-1, 1), (0, 1), (1, 1)] {
            let Some(there) = in_cell(x + dx, y + dy) else { continue };
            for &(.., i) in *here {
                for &(.., j) in there {
                    let new = (dx, dy) != (0, 0) || i < j;
                    if new
                        && pushed[i] < most
                        && pushed[j] < most
                        && push_apart(net, &bodies[i], &bodies[j], within, out)
                    {
                        pushed[i] += 1;
                        pushed[j] += 1;
                    }
                }
            }
        }
    }
}

fn body_of<'n>(net: &'n Net, node: usize) -> Option<Body<'n>> {
    let head = net.heads[node];
    match (net.nodes[node], net.post_of[node]) {
        (Node::Ring, _) => None,
        (_, Some(p)) => {
            let post = &net.posts[p];
            let foot = post.base.at(&net.heads);
            let whole = length(head - foot).max(0.1);
            // the width begins a little above the foot, past an oval or a ring, and ends a little below the head
            let reach = post.feet.iter().map(|f| f.reach).fold(0.0, f64::max);
            let along = |distance: f64| foot + (distance / whole) * (head - foot);
            let low = (reach + 0.45).min(0.5 * whole);
            Some(Body { node, from: along(low), to: along((whole - 0.35).max(0.5 * whole)), base: Some(&post.base) })
        }
        (_, None) => Some(Body { node, from: head, to: head, base: None }),
    }
}

/// Adds the term that pushes two bodies apart, where they are too near; true where it did.
fn push_apart(net: &Net, a: &Body, b: &Body, within: f64, out: &mut Terms) -> bool {
    let (s, t) = nearest(a, b);
    let gap = (a.from + s * (a.to - a.from)) - (b.from + t * (b.to - b.from));
    let short = length(gap);
    if short >= within || net.apart(a.node, b.node) || related(net, a.node, b.node) {
        return false;
    }
    // as points hung on the net: the share of each body's own length, feet and heads moving with it
    let hung = |body: &Body, share: f64| {
        let Some(base) = body.base else { return Lin::node(body.node) };
        let foot = base.at(&net.heads);
        let whole = net.heads[body.node] - foot;
        let l2 = whole.x * whole.x + whole.y * whole.y;
        let at = body.from + share * (body.to - body.from) - foot;
        let along = if l2 > 1e-9 { (at.dot(whole) / l2).clamp(0.0, 1.0) } else { 1.0 };
        Lin::default().plus(along, &Lin::node(body.node)).plus(1.0 - along, base)
    };
    let between = hung(a, s).plus(-1.0, &hung(b, t));
    let weight = Weight::Sided { short: APART, long: 0.0, limit: 9.0, beyond: 0.0 };
    out.push(Term::length(between, CLEAR, weight).named("apart"));
    true
}

/// Neighbours of one line have their widths, a stitch and what it stands on their height.
fn related(net: &Net, a: usize, b: usize) -> bool {
    let beside = |p: usize, q: usize| {
        net.seat[p].is_some_and(|(line, at)| {
            let (previous, next) = net.lines[line].neighbours(at);
            let further = |n: usize| net.seat[n].filter(|s| s.0 == line).map(|(l, at)| net.lines[l].neighbours(at));
            previous == q
                || next == q
                || net.lines[line].before == Some(q)
                || net.is_apex(previous) && further(previous).is_some_and(|f| f.0 == q)
        })
    };
    let on = |p: usize, q: usize| {
        net.post_of[p].is_some_and(|post| net.posts[post].feet.iter().any(|f| f.at.0.iter().any(|t| t.0 == q)))
    };
    let together = || match (super::ways::key_of(net, a), super::ways::key_of(net, b)) {
        (Some(x), Some(y)) => x == y,
        _ => false,
    };
    // in the hollow of a branch neighbours stand at an angle, and their middles come nearer than their heads
    let beside = |p: usize, q: usize| beside(p, q) && !super::shape::is_seam(net, p, q);
    beside(a, b) || beside(b, a) || on(a, b) || on(b, a) || together()
}

/// Shares along two bodies where they come nearest.
fn nearest(a: &Body, b: &Body) -> (f64, f64) {
    let (u, v, w) = (a.to - a.from, b.to - b.from, a.from - b.from);
    let (uu, uv, vv, uw, vw) = (u.dot(u), u.dot(v), v.dot(v), u.dot(w), v.dot(w));
    let denominator = uu * vv - uv * uv;
    let mut s = if denominator > 1e-9 { ((uv * vw - vv * uw) / denominator).clamp(0.0, 1.0) } else { 0.5 };
    let t = if vv > 1e-9 { ((s * uv + vw) / vv).clamp(0.0, 1.0) } else { 0.5 };
    if uu > 1e-9 {
        s = ((t * uv - uw) / uu).clamp(0.0, 1.0);
    }
    (s, t)
}
