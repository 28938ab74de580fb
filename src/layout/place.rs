//! Placement: row by row, each an offset of what it stands on.

use super::net::{Facing, LineKind, Net, sagitta};
use super::over::rise_over;
use super::plane::{angle, length, normalised, r90, turned, unit, wrap};
use super::rest::Rest;
use super::ways::ways_of;
use super::{grow, petal, ring, stadium, unfold};
use kurbo::Vec2;
use std::f64::consts::TAU;

/// Places every row in turn, relaxing the last rows where one comes out badly.
pub(super) fn place_all(net: &mut Net, rest: &mut Rest, how: grow::Growth) {
    if let Some(blocks) = net.blocks.clone() {
        blocks.place(net);
    }
    for row in 0..net.fabric.rows.len() {
        for i in 0..net.lines_of[row].len() {
            let line = net.lines_of[row][i];
            if net.held[line] {
                continue;
            }
            match net.lines[line].kind {
                LineKind::Chain => place_chain(net, line),
                LineKind::Row | LineKind::Back => place_line(net, line, rest, how.unfolds),
            }
            run_on(net, line);
        }
        grow::relax_last_rows(net, row, rest, how);
    }
}

/// The round of a spiral below runs on into the one just placed.
fn run_on(net: &mut Net, line: usize) {
    let l = &net.lines[line];
    if let Some(before) = l.before.filter(|_| net.is_spiral(line))
        && let Some((below, _)) = net.seat[before]
    {
        net.lines[below].after = net.lines[line].nodes.first().copied();
    }
}

/// A foundation along x, bent as its first rows ask; a branch away from its root.
fn place_chain(net: &mut Net, line: usize) {
    let nodes = net.lines[line].nodes.clone();
    if net.lines[line].closed {
        let (n, sign) = (nodes.len() as f64, net.lines[line].sign);
        let around: f64 = (0..nodes.len()).map(|i| net.pitch(nodes[i], nodes[(i + 1) % nodes.len()])).sum();
        for (i, &node) in nodes.iter().enumerate() {
            net.heads[node] = around / TAU * unit(std::f64::consts::FRAC_PI_2 - sign * i as f64 / n * TAU);
        }
        net.middle[line] = Some(Vec2::ZERO);
        return;
    }
    let socket = net.socket(line);
    let (mut at, mut heading) = match (&socket, net.lines[line].before) {
        (Some(socket), _) => {
            let out = socket.sign * r90(normalised(net.heads[socket.to] - net.heads[socket.from]));
            (socket.at.at(&net.heads) + socket.reach * out, angle(out))
        }
        (None, Some(root)) => {
            // a chain worked on from the end of another runs on
            let out = net.seat[root].map_or(Vec2::new(0.0, -1.0), |(l, p)| net.tangent(l, p));
            (net.heads[root] + out, angle(out))
        }
        (None, None) => (Vec2::ZERO, 0.0),
    };
    for (i, &node) in nodes.iter().enumerate() {
        net.heads[node] = at;
        heading += net.natural_turn[node];
        if let Some(&next) = nodes.get(i + 1) {
            at += net.pitch(node, next) * unit(heading);
        }
    }
}

fn place_line(net: &mut Net, line: usize, rest: &mut Rest, unfolds: bool) {
    if let Some(ring) = ring_under(net, line) {
        place_round_in_ring(net, line, ring);
        rest.take_width(net, line);
    } else if let Some(centre) = centre_of_spiral(net, line) {
        place_round_of_spiral(net, line, centre);
    } else if let Some(middle) = middle_of_round(net, line) {
        net.middle[line] = Some(middle);
        place_round(net, line, middle);
    } else if !stadium::place(net, line) {
        mend_sign_by_feet(net, line);
        let ways = ways_of(net, line);
        stand(net, line, &ways, 1.0);
        if unfolds {
            unfold::unfold(net, line, &ways);
        }
        if net.lines[line].closed {
            widen(net, line, &ways);
        }
    }
    place_apexes(net, line);
    mend_sign(net, line);
    if spread_out(net, line) {
        rest.take_width(net, line);
    }
}

/// A round far wider than its stitches: one of fewer stitches than the one it stands on.
fn spread_out(net: &Net, line: usize) -> bool {
    let l = &net.lines[line];
    let run: Vec<usize> = l.run().into_iter().filter(|&n| !net.is_apex(n)).collect();
    let long: f64 = run.windows(2).map(|w| length(net.heads[w[1]] - net.heads[w[0]])).sum();
    let wanted: f64 = l.run().windows(2).map(|w| net.pitch(w[0], w[1])).sum();
    (l.closed || net.is_spiral(line)) && l.kind == LineKind::Row && long > 1.4 * wanted
}

/// The ring that most of a line stands in.
fn ring_under(net: &Net, line: usize) -> Option<usize> {
    let posts = net.lines[line].nodes.iter().filter_map(|&n| net.post_of[n]).map(|p| &net.posts[p]);
    posts.filter_map(|p| p.feet.first()).find_map(|f| if let Facing::Ring(k) = f.facing { Some(k) } else { None })
}

/// The first round in a ring: even angles by width.
fn place_round_in_ring(net: &mut Net, line: usize, ring: usize) {
    let Some(centre) = net.ring_of[ring].map(|n| net.heads[n]) else { return };
    let l = net.lines[line].clone();
    net.middle[line] = Some(centre).filter(|_| l.closed);
    if let Some(turns) = ring::turns_of_unlike(net, line) {
        for (&node, turn) in l.nodes.iter().zip(turns) {
            let rest = net.post_of[node].map_or(1.0, |p| net.posts[p].rest);
            net.heads[node] = centre + rest * unit(std::f64::consts::FRAC_PI_2 - l.sign * turn);
        }
        return;
    }
    let n = l.nodes.len();
    let step = |a: usize, b: usize| net.pitch(a, b);
    let steps: Vec<f64> = (0..n).map(|i| step(l.nodes[i], l.nodes[(i + 1) % n])).collect();
    let around: f64 = steps.iter().sum();
    // a row into a ring that is not joined is a fan: it leaves room for one more stitch
    let runs_on = net.lines.iter().any(|other| other.kind == LineKind::Row && other.before == l.nodes.last().copied());
    let whole = if l.closed || net.fabric.rows[l.row].shape == crate::fabric::RowShape::Spiral {
        around
    } else {
        around.max(n as f64 + 1.0)
    };
    let mut heading = std::f64::consts::FRAC_PI_2;
    for (i, &node) in l.nodes.iter().enumerate() {
        let rest = net.post_of[node].map_or(1.0, |p| net.posts[p].rest);
        // a spiral rises from the start, so that its second round need not jump
        let rise = if runs_on { 0.85 + 0.3 * i as f64 / n as f64 } else { 1.0 };
        net.heads[node] = centre + rise * rest.max(around / TAU) * unit(heading);
        heading -= l.sign * steps[i] / whole * TAU;
    }
}

/// The middle of a closed round without corners that stands on closed rounds about a middle.
fn middle_of_round(net: &Net, line: usize) -> Option<Vec2> {
    let l = &net.lines[line];
    if !l.closed || l.kind != LineKind::Row || super::shape::shape_of(net, line).polygon {
        return None;
    }
    let mut middle = None;
    for foot in l.nodes.iter().filter_map(|&n| net.post_of[n]).flat_map(|p| &net.posts[p].feet) {
        match foot.facing {
            Facing::Line { line: below, .. } if below != line => middle = Some(net.middle[below]?),
            _ => return None,
        }
    }
    middle
}

/// A later round about a middle: angles by width, as near to what each stitch stands on as that leaves them; as far out
/// as its feet and its height take each, and all of it wide enough for its stitches.
fn place_round(net: &mut Net, line: usize, middle: Vec2) {
    let l = net.lines[line].clone();
    let n = l.nodes.len();
    let steps: Vec<f64> = (0..n).map(|i| net.pitch(l.nodes[i], l.nodes[(i + 1) % n])).collect();
    let around: f64 = steps.iter().sum();
    let mut along = vec![0.0; n];
    for i in 1..n {
        along[i] = along[i - 1] - l.sign * steps[i - 1] / around * TAU;
    }
    // (turn that would bring it over its feet, distance of its feet, height)
    let stands: Vec<Option<(f64, f64, f64)>> = (0..n)
        .map(|i| {
            let post = &net.posts[net.post_of[l.nodes[i]]?];
            let base = post.base.at(&net.heads) - middle;
            Some((angle(base) - along[i], length(base), post.rest))
        })
        .collect();
    let (mut x, mut y, mut out, mut count) = (0.0, 0.0, 0.0, 0.0);
    for &(turn, far, rest) in stands.iter().flatten() {
        let u = unit(turn);
        (x, y, out, count) = (x + u.x, y + u.y, out + far + rest, count + 1.0);
    }
    if count == 0.0 {
        return;
    }
    let turn = angle(Vec2::new(x, y));
    let widen = (around / TAU / (out / count)).max(1.0);
    let mut last = out / count;
    for i in 0..n {
        if let Some((_, far, rest)) = stands[i] {
            last = far + rest;
        }
        net.heads[l.nodes[i]] = middle + widen * last * unit(along[i] + turn);
    }
}

/// The centre of the ring that a spiral round goes round, however far inside.
fn centre_of_spiral(net: &Net, line: usize) -> Option<Vec2> {
    if !net.is_spiral(line) {
        return None;
    }
    net.lines[line].before?;
    let mut line = line;
    while let Some(before) = net.lines[line].before {
        if net.lines[line].kind != LineKind::Row {
            return None;
        }
        line = net.seat[before]?.0;
    }
    ring_under(net, line).and_then(|k| net.ring_of[k]).map(|n| net.heads[n])
}

/// A later round of a spiral: evenly once round, each stitch as far out as its place and its height.
fn place_round_of_spiral(net: &mut Net, line: usize, centre: Vec2) {
    let l = net.lines[line].clone();
    let radii: Vec<f64> = l
        .nodes
        .iter()
        .map(|&n| net.post_of[n].map(|p| &net.posts[p]))
        .map(|p| p.map_or(1.0, |p| length(p.base.at(&net.heads) - centre) + p.rest))
        .collect();
    // it goes on where the round below stopped
    let before = l.before.map_or(Vec2::ZERO, |n| net.heads[n] - centre);
    let step = TAU / l.nodes.len() as f64;
    for (i, &node) in l.nodes.iter().enumerate() {
        let way = angle(before) - l.sign * step * (i + 1) as f64;
        net.heads[node] = centre + radii[i] * unit(way);
    }
}

/// Heads stand on their feet, along their ways.
fn stand(net: &mut Net, line: usize, ways: &[Option<f64>], stretch: f64) {
    let nodes = net.lines[line].nodes.clone();
    let mut last: Option<usize> = None;
    for (i, &node) in nodes.iter().enumerate() {
        if net.is_apex(node) {
            continue;
        }
        let post = net.post_of[node].map(|p| &net.posts[p]);
        net.heads[node] = match (post, ways[i]) {
            (Some(post), Some(way)) => post.base.at(&net.heads) + stretch * post.rest * unit(way),
            (Some(post), None) => post.base.at(&net.heads) + Vec2::new(0.0, -stretch * post.rest),
            // a chain that no place holds runs on from the stitch before
            (None, _) => last.map_or(Vec2::ZERO, |l| net.heads[l] + Vec2::new(0.5, -0.5)),
        };
        last = Some(node);
    }
}

/// A closed row is wide enough for its stitches: so that ruffles find room.
fn widen(net: &mut Net, line: usize, ways: &[Option<f64>]) {
    let run = net.lines[line].run();
    let wanted: f64 = run.windows(2).map(|w| net.pitch(w[0], w[1])).sum();
    let solid: Vec<usize> = run.iter().copied().filter(|&n| !net.is_apex(n)).collect();
    let mut stretch = 1.0;
    // 1.1 a step; twelve steps are three times the height: more than any ruffle can use
    for _ in 0..12 {
        let around: f64 = solid.windows(2).map(|w| length(net.heads[w[1]] - net.heads[w[0]])).sum();
        if around >= 0.97 * wanted {
            break;
        }
        stretch *= 1.1;
        stand(net, line, ways, stretch);
    }
}

// An arch is placed no higher than this many of its widths: relaxing finds the rest.
const MOST_RISE: f64 = 1.5;

/// The apex of a space: amid its neighbours, raised along "up".
fn place_apexes(net: &mut Net, line: usize) {
    let l = net.lines[line].clone();
    for (at, &node) in l.nodes.iter().enumerate() {
        if !net.is_apex(node) {
            continue;
        }
        let (a, b) = l.neighbours(at);
        let (a, b) = (if a == node { b } else { a }, if b == node { a } else { b });
        if a == node {
            continue;
        }
        let chord = net.heads[b] - net.heads[a];
        let up = if a == b {
            net.seat[a].map_or(Vec2::new(0.0, -1.0), |(line, at)| net.normal(line, at))
        } else {
            l.sign * r90(normalised(chord))
        };
        let rise = sagitta(net.space_length(node) + 0.6, length(chord)).min(MOST_RISE * length(chord).max(1.0));
        let rise = petal::bow(net, node).map_or(rise, |bow| bow * length(chord));
        let rise = rise.max(rise_over(net, node) * length(chord));
        net.heads[node] = net.heads[a] + 0.5 * chord + rise * up;
    }
}

/// The same before its heads are placed, of a closed row: by the order of its feet and the ways they face.
fn mend_sign_by_feet(net: &mut Net, line: usize) {
    let l = &net.lines[line];
    if !l.closed || l.kind != LineKind::Row {
        return;
    }
    let feet: Vec<(Vec2, Vec2)> = l
        .nodes
        .iter()
        .filter_map(|&n| net.post_of[n])
        .filter_map(|p| Some((net.posts[p].base.at(&net.heads), net.way(net.posts[p].feet.first()?.facing)?)))
        .collect();
    let mut up = 0.0;
    for (i, &(_, way)) in feet.iter().enumerate() {
        let n = feet.len();
        let along = feet[(i + 1) % n].0 - feet[(i + n - 1) % n].0;
        if length(along) > 1e-6 {
            up += way.dot(r90(normalised(along)));
        }
    }
    // what is told goes where the feet do not tell surely
    if up.abs() > 0.5 * feet.len() as f64 && up * l.sign < 0.0 {
        net.lines[line].sign = -net.lines[line].sign;
    }
}

/// A row whose heads lie below it has the wrong sign: what its places say goes before what its face says.
fn mend_sign(net: &mut Net, line: usize) {
    let l = &net.lines[line];
    let mut up = 0.0;
    for (at, &node) in l.nodes.iter().enumerate() {
        let Some(post) = net.post_of[node].map(|p| &net.posts[p]) else { continue };
        let rise = normalised(net.heads[node] - post.base.at(&net.heads));
        let (a, b) = l.neighbours(at);
        up += rise.dot(r90(normalised(net.heads[b] - net.heads[a]))) * if a == b { 0.0 } else { 1.0 };
    }
    // a lone stitch or a row folded upon itself tells nothing
    if up.abs() > 0.5 && up * l.sign < 0.0 {
        net.lines[line].sign = -net.lines[line].sign;
        place_apexes(net, line);
    }
}

/// The way halfway through a convex turn, `share` of it from one way to another.
pub(super) fn convex_between(from: f64, to: f64, sign: f64, share: f64) -> f64 {
    // up turns with the sign against the page's clock on the outside of a curve
    let mut turn = -sign * wrap(to - from);
    if turn < -0.6 {
        turn += TAU;
    }
    from - sign * turn * share
}

/// A vector turned, for fans.
pub(super) fn fanned(way: f64, by: f64) -> f64 {
    angle(turned(unit(way), by))
}
