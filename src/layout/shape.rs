//! What stands where along a line: corners, seams, fans, uneven heights.

use super::net::{Facing, LineKind, Net};
use super::petal;
use super::ways::{Key, groups, key_of, leading_part_of_last_group};
use crate::fabric::Stitch;

/// What is said of one solid point (no apex) of a line.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Flags {
    pub(super) corner: bool,
    pub(super) seam: bool,
    pub(super) uneven: bool,
    /// A slip stitch at the foot of a petal, that the line goes down to.
    pub(super) dips: bool,
}

/// The shape of a line, position by position.
#[derive(Clone, Debug, Default)]
pub(super) struct LineShape {
    /// By edge of the line's run: its ends stand on different lines.
    pub(super) seams: Vec<bool>,
    pub(super) at_seam: Vec<bool>,
    /// Its height is not that of its neighbours.
    pub(super) uneven: Vec<bool>,
    pub(super) in_fan: Vec<bool>,
    /// It stands in the last chain of a foundation, or at the tip of a branch.
    pub(super) in_end: Vec<bool>,
    /// Apexes of spaces that are corners.
    pub(super) corner_apex: Vec<bool>,
    /// Middles of three in one place that are corners.
    pub(super) corner_middles: Vec<usize>,
    /// Peaks and valleys of a ripple.
    pub(super) wave_corners: Vec<usize>,
    /// Fans of two or more, as positions.
    pub(super) fans: Vec<Vec<usize>>,
    /// Points of the run without apexes.
    pub(super) solid: Vec<usize>,
    pub(super) solid_flags: Vec<Flags>,
    /// A closed line with three true corners or more.
    pub(super) polygon: bool,
}

/// Some lines with their shapes, which stay while points move.
pub(super) struct Scope {
    pub(super) lines: Vec<usize>,
    pub(super) shapes: Vec<LineShape>,
}

impl Scope {
    /// The shapes of some lines.
    pub(super) fn of(net: &Net, lines: &[usize]) -> Scope {
        Scope { lines: lines.to_vec(), shapes: lines.iter().map(|&l| shape_of(net, l)).collect() }
    }

    /// The shapes of all lines that are relaxed.
    pub(super) fn of_all(net: &Net) -> Scope {
        Scope::of(net, &net.loose_lines())
    }

    /// Each line with its shape.
    pub(super) fn iter(&self) -> impl Iterator<Item = (usize, &LineShape)> {
        self.lines.iter().copied().zip(&self.shapes)
    }
}

/// The shape of a line.
pub(super) fn shape_of(net: &Net, line: usize) -> LineShape {
    let l = &net.lines[line];
    let n = l.nodes.len();
    let mut shape = LineShape {
        uneven: vec![false; n],
        at_seam: vec![false; n],
        in_fan: vec![false; n],
        in_end: vec![false; n],
        corner_apex: vec![false; n],
        ..LineShape::default()
    };
    let run = l.run();
    shape.seams = run.windows(2).map(|w| is_seam(net, w[0], w[1]) || is_step(net, w[0], w[1])).collect();
    if net.held[line] {
        // from block to block the row goes in steps
        shape.seams = run.windows(2).map(|w| !beside_in_block(net, w[0], w[1])).collect();
        shape.at_seam.fill(true);
    }
    if l.kind != LineKind::Chain {
        uneven_heights(net, line, &mut shape);
        fans_and_corners(net, line, &mut shape);
    }
    seams_at(net, line, &run, &mut shape);
    // where a row swings up from the one below, its line begins with its first stitch
    let hangs_from = l.before.filter(|_| net.hangs(line));
    shape.solid = run.iter().copied().filter(|&p| !net.is_apex(p) && Some(p) != hangs_from).collect();
    if l.closed && n > 2 {
        shape.solid.pop();
    }
    shape.corner_middles = corner_middles(net, line, &shape);
    shape.wave_corners = wave_corners(net, line, &shape);
    shape.solid_flags = shape.solid.iter().map(|&p| flags_of(net, line, p, &shape)).collect();
    let corners = shape.corner_apex.iter().filter(|&&c| c).count() + shape.corner_middles.len();
    // more than eight are the fans of a lace, not the corners of a shape
    shape.polygon = l.closed && (3..=8).contains(&corners);
    if !shape.polygon {
        shape.corner_apex.fill(false);
        shape.corner_middles.clear();
        for flags in &mut shape.solid_flags {
            flags.corner = false;
        }
    }
    for (i, &node) in shape.solid.iter().enumerate() {
        let at = net.seat[node].filter(|&(s, _)| s == line).map(|(_, at)| at);
        shape.solid_flags[i].corner |= at.is_some_and(|at| shape.wave_corners.contains(&at));
    }
    shape
}

/// The peaks and valleys of a ripple: three in one and three together by turns, the row straight between them.
fn wave_corners(net: &Net, line: usize, shape: &LineShape) -> Vec<usize> {
    let l = &net.lines[line];
    let peaks = shape.fans.iter().filter(|fan| fan.len() == 3).map(|fan| (fan[1], true));
    let together = |at: &usize| {
        let post = net.post_of[l.nodes[*at]].map(|p| &net.posts[p]);
        post.is_some_and(|p| p.feet.len() > 2 && p.one_place().is_none())
    };
    let valleys = (0..l.nodes.len()).filter(together).map(|at| (at, false));
    let mut turns: Vec<(usize, bool)> = peaks.chain(valleys).collect();
    turns.sort_unstable();
    let by_turns = turns.len() > 1 && turns.windows(2).all(|w| w[0].1 != w[1].1);
    if by_turns { turns.into_iter().map(|(at, _)| at).collect() } else { Vec::new() }
}

/// The middles of three in one place between plain stitches as tall as they are: corners, where no chain spaces are.
/// Fans of lace stand among other fans, among lower stitches, or have more legs.
fn corner_middles(net: &Net, line: usize, shape: &LineShape) -> Vec<usize> {
    if shape.corner_apex.contains(&true) {
        return Vec::new();
    }
    let l = &net.lines[line];
    let at_of = |node: usize| net.seat[node].filter(|&(s, _)| s == line).map(|(_, at)| at);
    let plain = |node: usize| at_of(node).is_some_and(|at| !shape.in_fan[at]) && !net.is_apex(node);
    let is_corner = |fan: &&Vec<usize>| {
        let (before, after) = (l.neighbours(fan[0]).0, l.neighbours(fan[fan.len() - 1]).1);
        fan.len() == 3 && !fan.iter().any(|&at| shape.uneven[at]) && plain(before) && plain(after)
    };
    shape.fans.iter().filter(is_corner).map(|fan| fan[1]).collect()
}

fn flags_of(net: &Net, line: usize, node: usize, shape: &LineShape) -> Flags {
    let Some((_, at)) = net.seat[node].filter(|&(s, _)| s == line) else { return Flags::default() };
    let l = &net.lines[line];
    let (previous, next) = l.neighbours(at);
    let beside = |p: usize| net.seat[p].is_some_and(|(s, a)| s == line && shape.corner_apex[a]);
    let middle = shape.corner_middles.contains(&at);
    Flags {
        corner: beside(previous) || beside(next) || middle,
        seam: shape.at_seam[at],
        uneven: shape.uneven[at],
        dips: petal::is_foot(net, line, node),
    }
}

/// What a stitch stands on, as far as a row's line may run on over it: a foundation with both its sides, a branch with
/// its chain and the stitches back along it, the rounds of a spiral are each one thing.
fn stands_on(net: &Net, node: usize) -> Option<usize> {
    match net.posts[net.post_of[node]?].feet.first()?.facing {
        Facing::Line { line, .. } => {
            let l = &net.lines[line];
            let chain =
                line.checked_sub(1).filter(|&c| net.lines[c].kind == LineKind::Chain && net.lines[c].row == l.row);
            Some(match l.kind {
                LineKind::Row if net.is_spiral(line) => usize::MAX,
                LineKind::Back => chain.unwrap_or(line),
                _ => line,
            })
        }
        Facing::RowEnd { .. } => Some(usize::MAX - 1),
        Facing::Ring(_) => None,
    }
}

/// True where two neighbours stand on different things.
pub(super) fn is_seam(net: &Net, a: usize, b: usize) -> bool {
    match (stands_on(net, a), stands_on(net, b)) {
        (Some(a), Some(b)) => a != b,
        _ => false,
    }
}

/// True where a spiral of tall stitches steps up from the end of a round to the start of the next.
fn is_step(net: &Net, a: usize, b: usize) -> bool {
    // up to an hdc the line climbs on its way round
    const STEEP: f64 = 1.6;
    let line = |node: usize| net.seat[node].map(|(line, _)| line);
    let tall = |node: usize| net.post_of[node].is_some_and(|p| net.sizes.height(net.posts[p].stem) > STEEP);
    line(a).zip(line(b)).is_some_and(|(a, b)| a != b && net.is_spiral(b)) && tall(a) && tall(b)
}

/// True for stitches of one block.
fn beside_in_block(net: &Net, a: usize, b: usize) -> bool {
    let own = |node: usize| net.stitch_of(node).map(|id| net.fabric.stitch(id)).filter(|s| !s.is_chain());
    let in_turn = |(a, b): (&Stitch, &Stitch)| a.id.index() + 1 == b.id.index();
    own(a).zip(own(b)).is_some_and(|(a, b)| in_turn((a, b)) && !a.is_slip_stitch() && !b.is_slip_stitch())
}

fn seams_at(net: &Net, line: usize, run: &[usize], shape: &mut LineShape) {
    for (i, w) in run.windows(2).enumerate() {
        if !shape.seams[i] {
            continue;
        }
        for &node in w {
            if let Some((_, at)) = net.seat[node].filter(|&(s, _)| s == line) {
                shape.at_seam[at] = true;
            }
        }
    }
}

fn uneven_heights(net: &Net, line: usize, shape: &mut LineShape) {
    let l = &net.lines[line];
    let height = |node: usize| net.height_of(node);
    for (at, &node) in l.nodes.iter().enumerate() {
        let Some(own) = height(node) else { continue };
        let (previous, next) = l.neighbours(at);
        let beside = [beyond_space(net, line, previous, node), beyond_space(net, line, next, node)];
        shape.uneven[at] = beside.iter().any(|&p| height(p).is_some_and(|h| (h - own).abs() > 0.3));
    }
}

/// A neighbour of a point of a line, or the one beyond it where it is the apex of a space.
fn beyond_space(net: &Net, line: usize, beside: usize, from: usize) -> usize {
    let seat = net.seat[beside].filter(|&(own, _)| own == line && net.is_apex(beside));
    let (a, b) = seat.map_or((beside, beside), |(_, at)| net.lines[line].neighbours(at));
    if a == from { b } else { a }
}

fn fans_and_corners(net: &Net, line: usize, shape: &mut LineShape) {
    let l = &net.lines[line];
    let n = l.nodes.len();
    let mut keys: Vec<Option<Key>> = l.nodes.iter().map(|&p| key_of(net, p)).collect();
    let shift = if l.closed { leading_part_of_last_group(&keys) } else { 0 };
    keys.rotate_left(shift);
    for (first, last) in groups(&keys) {
        let members: Vec<usize> = (first..=last).map(|i| (i + shift) % n).collect();
        let posts: Vec<usize> = members.iter().copied().filter(|&at| net.post_of[l.nodes[at]].is_some()).collect();
        for &at in &posts {
            shape.in_end[at] |= stands_in_end(net, l.nodes[at]) && (posts.len() > 1 || turns_there(net, line, at));
        }
        if posts.len() > 1 {
            // between slip stitches a group is a petal, and no corner
            let beside = [l.neighbours(members[0]).0, l.neighbours(members[members.len() - 1]).1];
            let corner = l.closed && !beside.iter().any(|&node| petal::is_foot(net, line, node));
            for &at in &members {
                shape.corner_apex[at] |= net.is_apex(l.nodes[at]) && corner;
            }
            for &at in &posts {
                shape.in_fan[at] = true;
            }
            shape.fans.push(posts);
        }
    }
}

/// In the last chain of a chain: there the sides meet, and no normal tells the way.
fn stands_in_end(net: &Net, node: usize) -> bool {
    let Some(post) = net.post_of[node].map(|p| &net.posts[p]) else { return false };
    post.feet.iter().any(|f| match f.facing {
        Facing::Line { line, at, .. } => {
            let l = &net.lines[line];
            l.kind == LineKind::Chain && !l.closed && (at + 1 == l.nodes.len() || (at == 0 && l.before.is_none()))
        }
        _ => false,
    })
}

/// The stitches before and after stand on different sides of a chain.
fn turns_there(net: &Net, line: usize, at: usize) -> bool {
    let (previous, next) = net.lines[line].neighbours(at);
    let side = |p: usize| match net.posts[net.post_of[p]?].feet.first()?.facing {
        Facing::Line { line, flip, .. } if net.lines[line].kind == LineKind::Chain => Some(flip),
        _ => None,
    };
    matches!((side(previous), side(next)), (Some(a), Some(b)) if a != b)
}
