//! The net: the fabric as points, lines of points, and posts that stand on other points.
//!
//! One point per head, lying chain, chain space and ring; everything else hangs on those.

use super::View;
use super::blocks::Blocks;
use super::lin::Lin;
use super::petal;
use super::plane::{normalised, r90};
use super::sizes::Sizes;
use super::stadium::Root;
use crate::craft::Stem;
use crate::fabric::{Fabric, Middle, Place, RowShape, StitchId};
use kurbo::Vec2;

/// What a point of the net is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Node {
    /// Centre of a lying chain.
    Chain(StitchId),
    /// Head of a worked stitch, or of a turning chain that counts.
    Head(StitchId),
    /// Apex of a chain space, by index.
    Apex(usize),
    /// Centre of a ring, by index.
    Ring,
}

/// What a line of points is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum LineKind {
    /// A chain that rows stand on, root first where it grows out of the work.
    Chain,
    /// A row, round or border.
    Row,
    /// The stitches worked back along a branch.
    Back,
}

/// A run of neighbouring points.
#[derive(Clone, Debug)]
pub(super) struct Line {
    pub(super) row: usize,
    pub(super) kind: LineKind,
    pub(super) nodes: Vec<usize>,
    pub(super) closed: bool,
    /// "Up" is `sign · R90 · T`; of a chain, the side that is worked first.
    pub(super) sign: f64,
    /// The point before the first: last of the round below in a spiral, root of a branch.
    pub(super) before: Option<usize>,
    /// The point after the last: next round of a spiral, next stitch after a branch.
    pub(super) after: Option<usize>,
    /// True for a chain that widens a row: it runs on from the end of the row below.
    pub(super) widens: bool,
}

impl Line {
    /// The neighbours of a position along the line, the position itself where the line ends.
    pub(super) fn neighbours(&self, at: usize) -> (usize, usize) {
        let n = self.nodes.len();
        let here = self.nodes[at];
        let previous = match at {
            0 if self.closed => self.nodes[n - 1],
            0 => self.before.unwrap_or(here),
            _ => self.nodes[at - 1],
        };
        let next = if at + 1 < n {
            self.nodes[at + 1]
        } else if self.closed {
            self.nodes[0]
        } else {
            self.after.unwrap_or(here)
        };
        (previous, next)
    }

    /// All points in order, with those before and after, and the first again where it is closed.
    pub(super) fn run(&self) -> Vec<usize> {
        let mut run: Vec<usize> = self.before.into_iter().chain(self.nodes.iter().copied()).collect();
        if self.closed && self.nodes.len() > 2 {
            run.push(self.nodes[0]);
        } else {
            run.extend(self.after);
        }
        run
    }
}

/// Which way a place faces.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Facing {
    /// Along the normal of a line at a position, or against it (−1).
    Line { line: usize, at: usize, flip: f64 },
    /// Outward along a row, at one of its ends.
    RowEnd { end: usize, inner: usize },
    /// Away from the centre of a ring.
    Ring(usize),
}

/// One leg's place, in the plane.
#[derive(Clone, Debug)]
pub(super) struct Foot {
    pub(super) place: Option<Place>,
    pub(super) at: Lin,
    pub(super) facing: Facing,
    /// Added to the rest height: half an oval, the half-width of an end post, a ring's radius.
    pub(super) reach: f64,
    /// How much of the reach lies before the drawn foot.
    pub(super) shift: f64,
}

/// A worked stitch: its head and what it stands on.
#[derive(Clone, Debug)]
pub(super) struct Post {
    pub(super) node: usize,
    pub(super) stitch: StitchId,
    pub(super) stem: Stem,
    pub(super) feet: Vec<Foot>,
    /// Where the leg of a crossed stitch goes; its foot is the place under its head.
    pub(super) across: Option<Foot>,
    /// The mean of the feet.
    pub(super) base: Lin,
    /// Rest distance from base to head, reach included.
    pub(super) rest: f64,
}

impl Post {
    /// The place, where all legs share one.
    pub(super) fn one_place(&self) -> Option<Place> {
        let first = self.feet.first()?.place?;
        self.feet.iter().all(|f| f.place == Some(first)).then_some(first)
    }
}

/// The fabric as points.
pub(super) struct Net<'a> {
    pub(super) fabric: &'a Fabric,
    pub(super) sizes: &'a dyn Sizes,
    pub(super) view: View,
    /// True where it is held to the bounds of a good chart.
    pub(super) bounded: bool,
    pub(super) nodes: Vec<Node>,
    /// Which piece a row belongs to: rows of one piece hang together.
    pub(super) piece: Vec<usize>,
    /// The middle of the rounds a line belongs to, where it is one of rounds about a middle.
    pub(super) middle: Vec<Option<Vec2>>,
    /// True where the last relaxation of branches reckons with how lengths and angles bend, which gets to rest sooner; where it
    /// does not come clean, the other ways go without.
    pub(super) bends: bool,
    /// Where every point is, now.
    pub(super) heads: Vec<Vec2>,
    pub(super) node_of: Vec<Option<usize>>,
    pub(super) apex_of: Vec<Option<usize>>,
    /// The centre of every ring; behind the rings, the chains that all of a first round is worked into.
    pub(super) ring_of: Vec<Option<usize>>,
    pub(super) ring_radius: Vec<f64>,
    pub(super) lines: Vec<Line>,
    /// Squares worked from corner to corner, if there are any.
    pub(super) blocks: Option<Blocks>,
    /// True for lines that stand where they are set: those of blocks.
    pub(super) held: Vec<bool>,
    /// The lines of a row.
    pub(super) lines_of: Vec<Vec<usize>>,
    /// Line and position of a point.
    pub(super) seat: Vec<Option<(usize, usize)>>,
    pub(super) posts: Vec<Post>,
    /// The post whose head a point is.
    pub(super) post_of: Vec<Option<usize>>,
    /// The posts that have a foot on a point.
    pub(super) stood_on: Vec<Vec<usize>>,
    /// Chains and slip stitches of rings, in order.
    pub(super) in_rings: Vec<StitchId>,
    /// Chains closed to a ring that are worked into one by one: they are points of a closed chain.
    pub(super) ring_worked: std::collections::BTreeSet<StitchId>,
    /// Turning of a foundation at each point that its first row asks for, radians along its line.
    pub(super) natural_turn: Vec<f64>,
    /// Chains with a bend of their own, and the lines that stand on them.
    pub(super) bent: Vec<bool>,
    /// Of every row, how far off the row ends it stands that it goes along.
    pub(super) row_end_reach: Vec<f64>,
    /// For legs in a chain space, how far along the arc they stand: by stitch and leg.
    pub(super) spread: std::collections::BTreeMap<(StitchId, usize), f64>,
    /// How many feet of one row stand in each space, at most.
    pub(super) feet_in: Vec<usize>,
    /// True for lines placed as their whole piece asks, which no relaxation of a few rows betters.
    pub(super) well_placed: Vec<bool>,
    /// Where on a chain the stitches under each point stand, as far as it is placed.
    pub(super) root: Vec<Option<Root>>,
    /// What of the row below the arch of each space passes over.
    pub(super) beneath: Vec<Vec<usize>>,
    /// What relaxing has taken so far: the terms of all equations that were gathered or solved, and what fills their
    /// factors. It measures time, and is the same on every run.
    pub(super) spent: usize,
    /// What it may take.
    pub(super) allowed: usize,
}

/// From the line of a row to the centre of the first chain of a branch: smaller and it sits in the row.
const SOCKET: f64 = 0.75;
/// The same where a later row goes up and down the branch: its corners need room for a stitch on either side.
const OPEN_SOCKET: f64 = 1.15;

/// How much further each row pushes it that fills the hollow there, skipping nothing and drawing nothing together.
const WIDER: f64 = 0.65;

/// Where a branch leaves its row: on its root, leaning to the stitch after.
pub(super) struct Socket {
    pub(super) at: Lin,
    pub(super) from: usize,
    pub(super) to: usize,
    pub(super) sign: f64,
    /// From the row to the centre of the first chain.
    pub(super) reach: f64,
    /// The same once all rows that fill its hollow have pushed it.
    pub(super) pushed: f64,
}

impl Net<'_> {
    /// Where a chain grows out of a row, if it does.
    pub(super) fn socket(&self, line: usize) -> Option<Socket> {
        let hangs = self.lines[line].kind == LineKind::Chain && !self.lines[line].widens;
        let root = self.lines[line].before.filter(|_| hangs)?;
        let (base, at) = self.seat[root].filter(|&(base, _)| self.lines[base].kind != LineKind::Chain)?;
        let (previous, next) = self.lines[base].neighbours(at);
        let sign = self.lines[base].sign;
        let filled = self.passing(line, root);
        let reach = if filled.is_some() { OPEN_SOCKET } else { SOCKET };
        if next != root && self.lines[base].row == self.lines[line].row {
            // the slip stitch after a branch lies low: the line is told by the stitches beside it
            let (_, beyond) = self.seat[next].map_or((root, next), |(line, at)| self.lines[line].neighbours(at));
            let (from, to) = (previous, if beyond == root { next } else { beyond });
            let at = Lin::default().plus(0.8, &Lin::node(root)).plus(0.2, &Lin::node(next));
            let pushed = reach + WIDER * filled.unwrap_or(0) as f64;
            return Some(Socket { at, from, to, sign, reach, pushed });
        }
        // at the end of a row there is a hollow on one side alone, and room beyond it
        let at = Lin::node(root);
        (previous != next).then(|| Socket { at, from: previous, to: next, sign, reach, pushed: reach })
    }

    /// The lines that are relaxed.
    pub(super) fn loose_lines(&self) -> Vec<usize> {
        (0..self.lines.len()).filter(|&line| !self.held[line]).collect()
    }

    /// True for a point of a line that stands where it is set.
    pub(super) fn is_held(&self, node: usize) -> bool {
        self.seat[node].is_some_and(|(line, _)| self.held[line])
    }

    /// True for points of pieces that are worked apart: they lie on one sheet, and only at the end beside each other.
    pub(super) fn apart(&self, a: usize, b: usize) -> bool {
        let piece = |node: usize| self.seat[node].map(|(line, _)| self.piece[self.lines[line].row]);
        piece(a) != piece(b)
    }

    /// True for a round that runs on into the next, or out of the one before.
    pub(super) fn is_spiral(&self, line: usize) -> bool {
        let l = &self.lines[line];
        l.kind == LineKind::Row
            && self.fabric.rows[l.row].shape == RowShape::Spiral
            && (l.before.is_some() || l.after.is_some())
    }

    /// True for a row that begins with a chain space: it swings up from the last stitch of the row below.
    pub(super) fn hangs(&self, line: usize) -> bool {
        let l = &self.lines[line];
        l.kind == LineKind::Row && l.before.is_some() && self.is_apex(l.nodes[0]) && !self.is_spiral(line)
    }

    /// How many of the later rows that go round the foot of a branch fill the hollow there: a stitch on either side of it,
    /// nothing skipped and nothing drawn together. None where no row goes round it.
    fn passing(&self, branch: usize, root: usize) -> Option<usize> {
        let (row, foot) = (self.lines[branch].row, self.lines[branch].nodes[0]);
        let of_other_row = |post: &&usize| self.fabric.stitch(self.posts[**post].stitch).row.index() != row;
        let first = *self.stood_on[foot].iter().find(of_other_row)?;
        // the two points on either side of the hollow, row by row
        let mut up = foot;
        let mut filled = 0;
        let mut next = Some((first, self.beside_on(first, root)));
        while let Some((post, beside)) = next {
            filled += usize::from(beside.is_some());
            let Some((line, at)) = self.seat[self.posts[post].node] else { break };
            let Some(other) = beside.map(|p| self.posts[p].node).or_else(|| self.away_from(line, at, up)) else {
                break;
            };
            up = self.posts[post].node;
            let above = |p: &&usize| self.lines[line].row != self.fabric.stitch(self.posts[**p].stitch).row.index();
            next = self.stood_on[up].iter().find(above).map(|&p| (p, self.beside_on(p, other)));
        }
        Some(filled)
    }

    /// The post next to one along its line that stands alone on a point, where the first stands alone as well.
    fn beside_on(&self, post: usize, point: usize) -> Option<usize> {
        let alone = |p: usize| self.posts[p].one_place().and_then(|q| q.stitch()).and_then(|s| self.node_of[s.index()]);
        let (line, at) = self.seat[self.posts[post].node]?;
        let (previous, next) = self.lines[line].neighbours(at);
        alone(post)?;
        [previous, next].into_iter().filter_map(|n| self.post_of[n]).find(|&p| p != post && alone(p) == Some(point))
    }

    /// The neighbour at a place of a line that stands on another line than a point lies on.
    fn away_from(&self, line: usize, at: usize, point: usize) -> Option<usize> {
        let (previous, next) = self.lines[line].neighbours(at);
        let own = self.seat[point].map(|s| s.0);
        let below = |n: usize| match self.posts[self.post_of[n]?].feet.first()?.facing {
            Facing::Line { line, .. } => Some(line),
            _ => None,
        };
        [previous, next].into_iter().find(|&n| below(n).is_some() && below(n) != own)
    }

    /// Unit vector of the working direction at a position of a line.
    pub(super) fn tangent(&self, line: usize, at: usize) -> Vec2 {
        let (previous, next) = self.lines[line].neighbours(at);
        normalised(self.heads[next] - self.heads[previous])
    }

    /// "Up" at a position of a line.
    pub(super) fn normal(&self, line: usize, at: usize) -> Vec2 {
        self.lines[line].sign * r90(self.tangent(line, at))
    }

    /// The way a place faces, now.
    pub(super) fn way(&self, facing: Facing) -> Option<Vec2> {
        match facing {
            Facing::Line { line, at, flip } => {
                let l = &self.lines[line];
                let lone = l.neighbours(at).0 == l.neighbours(at).1;
                // a lone stitch has no line of its own: it faces as it stands
                match self.post_of[l.nodes[at]] {
                    Some(p) if lone => {
                        let post = &self.posts[p];
                        Some(flip * normalised(self.heads[post.node] - post.base.at(&self.heads)))
                    }
                    _ => Some(flip * self.normal(line, at)),
                }
            }
            Facing::RowEnd { end, inner } => {
                let out = normalised(self.heads[end] - self.heads[inner]);
                let Some(post) = self.post_of[end].map(|p| &self.posts[p]) else { return Some(out) };
                let across = r90(normalised(self.heads[end] - post.base.at(&self.heads)));
                if end == inner || across.dot(out).abs() < 0.3 {
                    Some(out)
                } else {
                    Some(across * across.dot(out).signum())
                }
            }
            Facing::Ring(_) => None,
        }
    }

    /// The number among the rings of a chain that all of a first round is worked into.
    pub(super) fn hub(&self, chain: StitchId) -> Option<usize> {
        let rings = self.fabric.rings.len();
        let node = self.node_of[chain.index()]?;
        self.ring_of[rings..].iter().position(|&hub| hub == Some(node)).map(|k| rings + k)
    }

    /// The point in the middle of the rounds of a symmetry.
    pub(super) fn middle_of(&self, about: Middle) -> Option<usize> {
        match about {
            Middle::Ring(ring) => self.ring_of[ring.index()],
            Middle::Chain(chain) => self.node_of[chain.index()],
        }
    }

    /// The stitch of a point, if it is one.
    pub(super) fn stitch_of(&self, node: usize) -> Option<StitchId> {
        match self.nodes[node] {
            Node::Chain(id) | Node::Head(id) => Some(id),
            Node::Apex(_) | Node::Ring => None,
        }
    }

    /// True for the apex of a chain space.
    pub(super) fn is_apex(&self, node: usize) -> bool {
        matches!(self.nodes[node], Node::Apex(_))
    }

    /// The space whose apex a point is, by index.
    pub(super) fn space_of(&self, node: usize) -> Option<usize> {
        if let Node::Apex(k) = self.nodes[node] { Some(k) } else { None }
    }

    /// Chains in the space whose apex a point is.
    pub(super) fn space_length(&self, node: usize) -> f64 {
        match self.nodes[node] {
            Node::Apex(k) => {
                let space = &self.fabric.spaces[k];
                // what has a point of its own is no part of the arch
                let ended = space.ids.last().is_some_and(|id| self.node_of[id.index()].is_some());
                if ended {
                    return (space.ids.len() - 1).clamp(1, 1000) as f64;
                }
                f64::from(space.length.max(u32::try_from(space.ids.len()).unwrap_or(1)).min(1000))
            }
            _ => 0.0,
        }
    }

    /// True for the head of a slip stitch.
    pub(super) fn is_slip_stitch(&self, node: usize) -> bool {
        self.stitch_of(node).is_some_and(|id| self.fabric.stitch(id).is_slip_stitch())
    }

    /// What is added between the chain that starts a row and the next stitch, where that stands by itself beyond some that
    /// are skipped: nearer, and the chain leans over them.
    fn skipped_at_start(&self, a: usize, b: usize) -> f64 {
        let starts = self.stitch_of(a).is_some_and(|id| self.fabric.stitch(id).stands_for.is_some());
        if self.view != View::Chart || !starts {
            return 0.0;
        }
        let place = |node: usize| self.post_of[node].and_then(|p| self.posts[p].one_place());
        let on = |node: usize| match self.posts[self.post_of[node]?].feet.first()?.facing {
            Facing::Line { line, at, .. } if place(node).is_some() => Some((line, at)),
            _ => None,
        };
        let beside = self.seat[b].map(|(line, at)| self.lines[line].nodes[at + 1..].iter().take(NEAR_START));
        let alone = beside.is_some_and(|mut nodes| nodes.all(|&node| place(node) != place(b)));
        let same = on(a).zip(on(b)).filter(|((a, _), (b, _))| a == b && alone && !self.lines[*a].closed);
        same.map_or(0.0, |((_, a), (_, b))| SKIPPED * a.abs_diff(b).saturating_sub(1).min(2) as f64)
    }

    /// The height of the stitch whose head a point is.
    pub(super) fn height_of(&self, node: usize) -> Option<f64> {
        self.post_of[node].map(|p| self.sizes.height(self.posts[p].stem))
    }

    /// The chord that the space of an apex wants: that of its length, or of the feet that have to find room in it.
    pub(super) fn chord(&self, node: usize) -> f64 {
        if let Some(side) = petal::side(self, node) {
            return side;
        }
        let chains = self.space_length(node);
        let feet = self.space_of(node).and_then(|k| self.feet_in.get(k)).copied().unwrap_or(0);
        let crowded = self.view == View::Chart && chains < SHORT_SPACE && feet >= MANY_FEET;
        let crowd = if crowded { BOUNDING_BARS + FEET_APART * (feet - 1) as f64 } else { 0.0 };
        wanted_chord(chains).max(crowd.min(chains + TAUT))
    }

    /// Rest distance of two neighbours of one line.
    pub(super) fn pitch(&self, a: usize, b: usize) -> f64 {
        match (self.stitch_of(a), self.stitch_of(b)) {
            (Some(x), Some(y)) => {
                self.sizes.pitch(self.fabric.stitch(x), self.fabric.stitch(y)) + self.skipped_at_start(a, b)
            }
            // half the chord a space of this length wants
            _ => 0.5 * self.chord(a).max(self.chord(b)),
        }
    }
}

// Room that a stitch skipped at the start of a row leaves in it.
const SKIPPED: f64 = 0.7;
// Points after the first stitch of a row that tell whether it is one of a fan.
const NEAR_START: usize = 4;
// Room for the bars of the stitches that bound a space, and how much longer than its chains one is that is drawn taut.
const BOUNDING_BARS: f64 = 1.2;
const TAUT: f64 = 0.6;
// Feet of one space stand this far apart: nearer, and they are one.
const FEET_APART: f64 = 0.26;
// From so many chains a space has room for what is worked into it.
const SHORT_SPACE: f64 = 3.0;
// From so many feet a short space is crowded.
const MANY_FEET: usize = 4;

/// The chord a space of so many chains wants.
///
/// Larger and lace sags open; smaller and loops crowd the row into ruffles.
fn wanted_chord(chains: f64) -> f64 {
    0.72 * chains + 0.4
}

/// Height of the circular arc of `arc` length over `chord`; 0 for a taut one.
pub(super) fn sagitta(arc: f64, chord: f64) -> f64 {
    if arc <= chord * 1.000_1 {
        return 0.0;
    }
    // half angle t with sin t / t = chord / arc, by bisection: monotone on (0, π)
    let ratio = (chord / arc).max(0.02);
    let (mut low, mut high) = (0.0_f64, std::f64::consts::PI);
    for _ in 0..48 {
        let t = 0.5 * (low + high);
        if libm::sin(t) / t > ratio { low = t } else { high = t }
    }
    let t = 0.5 * (low + high);
    arc / (2.0 * t) * (1.0 - libm::cos(t))
}
