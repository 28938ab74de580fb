//! Chains that turn the work and are no stitch of it: upright beside the first stitch, clear of what stands there.

use super::anchor::near;
use super::decor::run_from;
use super::net::{Net, Node, Post};
use super::plane::{length, normalised, point, r90};
use super::poses::{on_oval, rise_of_post, upright};
use super::positions::{Layout, Lying, Pose};
use crate::fabric::{Role, StitchId};
use kurbo::Vec2;

/// A turning chain that does not count stands this far outside the first stitch: nearer it touches the arms, further it
/// looks like a stitch of its own.
pub(super) const BESIDE: f64 = 0.5;
/// Most height of a chain that turns a round without counting: longer, and those of rounds 1 and 2 touch; shorter, and
/// it is no longer the oval of the legend.
const LONE_IN_ROUND: f64 = 0.72;
// Room from the axis of an upright oval to the middle of any other line.
const CLEAR: f64 = 0.28;
// Half the width of a bar, less than it is drawn: beside its end an oval narrows.
const BAR: f64 = 0.2;
// From the middle of a dot nearly to its edge.
const DOT: f64 = 0.1;
// Stitches made before and after it that may stand in its way.
const BEFORE: usize = 16;
const AFTER: usize = 4;
// What is tried, in this order: nearer or further from the first stitch, higher or lower along it, shorter.
const ASIDE: [f64; 5] = [0.0, -0.08, 0.08, -0.16, 0.16];
const LIFTS: [f64; 7] = [0.0, 0.12, -0.12, 0.24, 0.36, 0.48, -0.24];
const HEIGHTS: [f64; 4] = [1.0, 0.8, 0.65, 0.55];

/// Chains that only turn: upright beside the first stitch after them.
pub(super) fn turning_chain(net: &Net, first: usize, layout: &mut Layout, done: &mut [bool]) {
    let run = run_from(net, first, done, |s| s.is_chain() && !s.has_role(Role::Picot));
    let count = run.len() as f64;
    let after = run[run.len() - 1] + 1;
    let row = (after < net.fabric.stitches.len()).then(|| net.fabric.stitches[after].row);
    let beside = (after..net.fabric.stitches.len().min(after + 3))
        .filter(|&i| Some(net.fabric.stitches[i].row) == row)
        .find_map(|i| net.node_of[i].and_then(|n| net.post_of[n]))
        .map(|p| &net.posts[p]);
    let (bottom, top) = match beside {
        Some(post) => beside_post(net, post, layout, (first, after), done, count),
        None => {
            // nothing follows: they run on from the last stitch made
            let (line, at) = near(net, StitchId::new(first)).unwrap_or((usize::MAX, 0));
            let Some(l) = net.lines.get(line) else { return fall_back(&run, layout, done) };
            let from = net.heads[l.nodes[at]];
            let way = if l.nodes.len() > 1 { net.tangent(line, at) } else { Vec2::new(1.0, 0.0) };
            (from + 0.5 * way, from + (0.5 + 0.9 * count) * way)
        }
    };
    for (nth, &i) in run.iter().enumerate() {
        let lying = upright(bottom, top, nth as f64, count);
        layout.poses[i] = Pose { feet: Vec::new(), head: lying.at, lying: Some(lying) };
        done[i] = true;
    }
}

fn fall_back(run: &[usize], layout: &mut Layout, done: &mut [bool]) {
    for (nth, &i) in run.iter().enumerate() {
        let at = point(Vec2::new(nth as f64, 0.0));
        layout.poses[i] = Pose { feet: Vec::new(), head: at, lying: Some(Lying { at, angle_rad: 0.0, length: 0.96 }) };
        done[i] = true;
    }
}

/// From where to where the ovals beside a first stitch stand.
fn beside_post(
    net: &Net,
    post: &Post,
    layout: &Layout,
    (first, after): (usize, usize),
    done: &[bool],
    count: f64,
) -> (Vec2, Vec2) {
    let rise = rise_of_post(net, post);
    let foot = layout.poses[post.stitch.index()].feet[0].to_vec2() + on_oval(net, post) * rise;
    let head = net.heads[post.node];
    let out = net.seat[post.node].map_or(Vec2::new(1.0, 0.0), |(line, at)| {
        let (previous, next) = net.lines[line].neighbours(at);
        let back = net.heads[if previous == post.node { post.node } else { previous }] - net.heads[next];
        if length(back) > 1e-9 { back } else { net.lines[line].sign * r90(rise) }
    });
    let across = r90(rise);
    let side = if across.dot(out) < 0.0 { -across } else { across };
    let tall = length(head - foot).max(0.3);
    // a lone chain beside a tall stitch stays a chain, and beside a slip stitch does not shrink to a dot
    let height = tall.clamp(0.75 * count, 1.05 * count) - 0.08;
    let last = beside_last(net, post);
    // the starts of small rounds stand close above one another: a shorter oval keeps clear of the next
    let height = if last.is_some() { height.min(LONE_IN_ROUND * count) } else { height };
    let leaning = last.map_or(rise, |last| normalised(rise + rise_of_post(net, last)));
    let middle = foot + 0.5 * tall.max(height) * rise + BESIDE * side;
    let there = in_the_way(net, layout, post, (first, after), done);
    let mut best = (f64::NEG_INFINITY, (middle, middle));
    for shorter in HEIGHTS {
        for lift in LIFTS {
            for aside in ASIDE {
                let at = middle + aside * side + lift * rise;
                let half = 0.5 * shorter * height * leaning;
                let oval = (at - half, at + half);
                let room = there.iter().map(|&line| between(oval, line)).fold(CLEAR, f64::min);
                // OK to compare: the first of equals stays
                if room > best.0 + 1e-9 {
                    best = (room, oval);
                }
                if room >= CLEAR {
                    return oval;
                }
            }
        }
    }
    best.1
}

/// The lines of what stands about the start of a row: stems, their bars, ovals.
fn in_the_way(
    net: &Net,
    layout: &Layout,
    post: &Post,
    (first, after): (usize, usize),
    done: &[bool],
) -> Vec<(Vec2, Vec2)> {
    let mut ids: Vec<usize> = (first.saturating_sub(BEFORE)..(after + AFTER).min(done.len()))
        .filter(|i| !(first..after).contains(i))
        .collect();
    // the last of a round stands beside its first, and what they stand on has neighbours of its own
    let mut nodes = vec![post.node];
    nodes.extend(post.feet.iter().flat_map(|f| f.at.0.iter().map(|t| t.0)));
    for node in nodes {
        let Some((line, at)) = net.seat[node] else { continue };
        let (previous, next) = net.lines[line].neighbours(at);
        for beside in [previous, node, next] {
            match net.nodes[beside] {
                Node::Apex(k) => ids.extend(net.fabric.spaces[k].ids.iter().map(|id| id.index())),
                _ => ids.extend(net.stitch_of(beside).map(StitchId::index)),
            }
        }
        // the chain that turned the row below stands before its first stitch
        if let Some(id) = net.stitch_of(node).filter(|_| at == 0) {
            ids.extend(id.index().checked_sub(1).filter(|&i| net.fabric.stitches[i].role == Role::Turning));
        }
    }
    // the dot that joins the round lies on its first stitch
    let last = net.seat[post.node].and_then(|(line, _)| net.stitch_of(*net.lines[line].nodes.last()?));
    let dots = last.into_iter().flat_map(|id| id.index() + 1..(id.index() + AFTER).min(done.len()));
    ids.extend(dots.filter(|&i| net.fabric.stitches[i].role == Role::Join));
    ids.sort_unstable();
    ids.dedup();
    let mut lines = Vec::new();
    for i in ids.into_iter().filter(|&i| done[i]) {
        let (stitch, pose) = (&net.fabric.stitches[i], &layout.poses[i]);
        if let Some(lying) = pose.lying {
            let half = 0.5 * (lying.length - 0.3).max(0.0) * super::plane::unit(lying.angle_rad);
            // an oval has a width of its own
            let at = lying.at.to_vec2();
            let wide = 0.1 * r90(normalised(half + Vec2::new(1e-6, 0.0)));
            lines.extend([(at - half + wide, at + half + wide), (at - half - wide, at + half - wide)]);
            continue;
        }
        let head = pose.head.to_vec2();
        if stitch.is_slip_stitch() {
            let wide = Vec2::new(DOT, 0.0);
            lines.extend([(head - wide, head + wide), (head - r90(wide), head + r90(wide))]);
            continue;
        }
        for foot in pose.feet.iter().map(|f| f.to_vec2()) {
            lines.push((foot, head));
        }
        let foot = pose.feet.first().map_or(head, |f| f.to_vec2());
        let across = BAR * r90(normalised(head - foot));
        let bar = if stitch.stem() == crate::craft::Stem::Single { 0.5 * (foot + head) } else { head };
        lines.push((bar - across, bar + across));
    }
    lines
}

/// Least distance of two stretches of line.
fn between(a: (Vec2, Vec2), b: (Vec2, Vec2)) -> f64 {
    let to = |p: Vec2, (from, to): (Vec2, Vec2)| {
        let way = to - from;
        let whole = way.dot(way);
        let share = if whole > 1e-12 { ((p - from).dot(way) / whole).clamp(0.0, 1.0) } else { 0.0 };
        length(p - from - share * way)
    };
    let side = |p: Vec2, (from, to): (Vec2, Vec2)| (to - from).cross(p - from);
    if side(a.0, b) * side(a.1, b) < 0.0 && side(b.0, a) * side(b.1, a) < 0.0 {
        return 0.0;
    }
    [to(a.0, b), to(a.1, b), to(b.0, a), to(b.1, a)].into_iter().fold(f64::INFINITY, f64::min)
}

/// Of a round: its last stitch, where that stands next to the first.
fn beside_last<'n>(net: &'n Net, post: &Post) -> Option<&'n Post> {
    let (line, at) = net.seat[post.node]?;
    let l = &net.lines[line];
    let last = l.nodes[l.nodes.len() - 1];
    let near = l.closed && at == 0 && length(net.heads[last] - net.heads[post.node]) < 2.0;
    net.post_of[last].filter(|_| near).map(|p| &net.posts[p])
}
