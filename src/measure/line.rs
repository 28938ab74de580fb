//! Rows as lines: every stitch with the place it stands on, the way the line turns there, and what it adds.

use super::give::Heights;
use crate::fabric::{Direction, Fabric, LineNode, Place, Row, RowShape, Side, Stitch, StitchId};
use crate::layout::{Layout, Sizes};
use crate::source::Span;
use kurbo::{Point, Vec2};
use std::collections::{BTreeMap, BTreeSet};
use std::f64::consts::{PI, TAU};

/// A place on the line a row stands on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Base {
    /// The line: a row by its index, then the branches, then the rings.
    pub line: usize,
    /// How far along it, in widths.
    pub at: f64,
}

/// One stop along a row: a stitch, or a chain space.
#[derive(Clone, Debug)]
pub(super) struct Stop {
    pub node: LineNode,
    /// Where its head is, in sc widths.
    pub at: Point,
    /// Height over width.
    pub height: f64,
    /// What it stands on; none for the ends of rows and what stands on nothing.
    pub base: Option<Base>,
    /// Turning of the line here, in radians, outward bends positive.
    pub turn: f64,
    /// Extra stitches that the turning asks for.
    pub needed: f64,
    /// Extra stitches worked: half of what the gaps on either side add.
    pub worked: f64,
    /// True where a gap beside it joins different lines, so that nothing can be said.
    pub seam: bool,
    /// The words it was made by.
    pub span: Span,
}

/// A row as a line of stops.
#[derive(Clone, Debug)]
pub(super) struct RowLine {
    pub row: usize,
    pub closed: bool,
    pub stops: Vec<Stop>,
    /// What each gap adds, from a stop to the next; none across a seam. One more than gaps of an open row has none.
    pub gaps: Vec<Option<f64>>,
    /// True where it stands on a foundation chain, which gives.
    pub on_chain: bool,
    /// True where it stands in a ring or in one place.
    pub on_ring: bool,
    /// True where loops of chains take up whatever is over, or the row waves with the heights of its stitches.
    pub loose: bool,
    /// Chains of the spaces among its stitches: each gives a little.
    pub space_chains: u32,
    /// Chains of those spaces that are corners, within what stands in one place: they may stand out of the line.
    pub corner_chains: u32,
    /// True where it stands on loops of chains, whose length tells nothing.
    pub on_loops: bool,
}

/// Chains from which on a space is a loop, which hangs rather than ruffles.
///
/// Smaller and the corners of squares are loops; larger and lace is judged by chains that lie slack.
const LOOP: u32 = 4;
/// The same for spaces that are no corners: one in four stops or more.
const SHORT_LOOP: u32 = 3;

impl RowLine {
    /// Extra stitches worked in all.
    pub fn worked(&self) -> f64 {
        self.gaps.iter().flatten().sum()
    }

    /// Extra stitches its turning asks for.
    pub fn needed(&self) -> f64 {
        self.stops.iter().map(|s| s.needed).sum()
    }
}

/// Width of the gap between two stops, in stitches.
fn pitch(fabric: &Fabric, a: LineNode, b: LineNode) -> f64 {
    let chains = |node: LineNode| match node {
        LineNode::Space(k) => Some(f64::from(fabric.spaces[k.index()].length.min(1000))),
        LineNode::Stitch(_) => None,
    };
    match (chains(a), chains(b)) {
        (None, None) => 1.0,
        (Some(n), None) | (None, Some(n)) => 0.5 * (n + 1.0),
        (Some(n), Some(m)) => 0.5 * (n + m),
    }
}

/// Where every stitch and space is along its row.
struct Places<'a> {
    fabric: &'a Fabric,
    of_stitch: BTreeMap<StitchId, Base>,
    of_space: BTreeMap<usize, Base>,
    /// Length of a line that runs round, by line.
    round: BTreeMap<usize, f64>,
    /// Lines that are chains.
    chains: BTreeSet<usize>,
}

impl<'a> Places<'a> {
    fn of(fabric: &'a Fabric) -> Self {
        let mut places = Places {
            fabric,
            of_stitch: BTreeMap::new(),
            of_space: BTreeMap::new(),
            round: BTreeMap::new(),
            chains: BTreeSet::new(),
        };
        let mut next = fabric.rows.len();
        for row in &fabric.rows {
            let index = row.index.index();
            let chain = row.shape == RowShape::Foundation;
            let ring = chain && fabric.rings.iter().any(|r| r.ids.iter().any(|id| row.order.contains(id)));
            let order: Vec<StitchId> =
                row.order.iter().copied().filter(|&id| !ring || !fabric.stitch(id).is_slip_stitch()).collect();
            if chain {
                places.chains.insert(index);
            }
            places.lay(index, &order, is_round(row) || ring);
            for strand in &row.strands {
                places.lay(next, &strand.chain, false);
                places.lay(next + 1, &strand.order, false);
                places.chains.insert(next);
                next += 2;
            }
        }
        places
    }

    fn lay(&mut self, line: usize, order: &[StitchId], closed: bool) {
        let nodes = self.fabric.nodes_of(order);
        let mut at = 0.0;
        for (i, &node) in nodes.iter().enumerate() {
            if i > 0 {
                at += pitch(self.fabric, nodes[i - 1], node);
            }
            let base = Base { line, at };
            match node {
                LineNode::Stitch(id) => {
                    self.of_stitch.entry(id).or_insert(base);
                }
                LineNode::Space(k) => {
                    self.of_space.entry(k.index()).or_insert(base);
                    for &id in &self.fabric.spaces[k.index()].ids {
                        self.of_stitch.entry(id).or_insert(base);
                    }
                }
            }
        }
        if closed && let (Some(&first), Some(&last)) = (nodes.first(), nodes.last()) {
            self.round.insert(line, at + pitch(self.fabric, last, first));
        }
    }

    fn of_place(&self, place: &Place) -> Option<Base> {
        match *place {
            Place::Space { space } => self.of_space.get(&space.index()).copied(),
            // rings come after every line: no row is as far up
            Place::Ring { ring } => Some(Base { line: usize::MAX - ring.index(), at: 0.0 }),
            Place::Between { between: [a, b] } => {
                let (a, b) = (self.of_stitch.get(&a)?, self.of_stitch.get(&b)?);
                (a.line == b.line).then_some(Base { line: a.line, at: 0.5 * (a.at + b.at) })
            }
            Place::RowEnd { .. } | Place::Face { .. } => None,
            _ => self.of_stitch.get(&place.stitch()?).copied(),
        }
    }

    /// What a stitch stands on: the mean of its places where they are on one line.
    fn of_feet(&self, stitch: &Stitch) -> Option<Base> {
        let mut found: Vec<Base> = Vec::new();
        for place in &stitch.into {
            found.push(self.of_place(place)?);
        }
        let first = *found.first()?;
        if found.iter().any(|b| b.line != first.line) {
            return None;
        }
        let round = self.round.get(&first.line).copied();
        let near = |b: &Base| match round {
            Some(length) => b.at - length * libm::round((b.at - first.at) / length),
            None => b.at,
        };
        let at = found.iter().map(near).sum::<f64>() / found.len() as f64;
        Some(Base { line: first.line, at })
    }

    /// How far it is from one place to another; none across lines.
    fn advance(&self, a: Option<Base>, b: Option<Base>) -> Option<f64> {
        let (a, b) = a.zip(b).filter(|(a, b)| a.line == b.line)?;
        let apart = (b.at - a.at).abs();
        Some(match self.round.get(&a.line) {
            Some(length) => apart.min((length - apart).abs()),
            None => apart,
        })
    }
}

/// True for rounds, joined or not.
pub(super) fn is_round(row: &Row) -> bool {
    row.shape != RowShape::Foundation && (row.joined || matches!(row.shape, RowShape::Round | RowShape::Spiral))
}

/// Every row above a foundation, as laid out.
pub(super) fn row_lines(fabric: &Fabric, layout: &Layout, sizes: &dyn Sizes) -> Vec<RowLine> {
    let places = Places::of(fabric);
    let rows = fabric.rows.iter().filter(|r| r.shape != RowShape::Foundation && !r.order.is_empty());
    let mut lines: Vec<RowLine> = rows.map(|row| row_line(row, &places, layout, sizes)).collect();
    even_out_crumpled(fabric, &mut lines);
    lines.iter_mut().for_each(need);
    let mut heights = Heights::default();
    for line in &mut lines {
        let climbs = heights.climbs(fabric, line);
        let n = line.stops.len();
        for (i, climb) in climbs.into_iter().enumerate().filter(|_| line.closed) {
            line.stops[i].needed += 0.5 * climb;
            line.stops[(i + 1) % n].needed += 0.5 * climb;
        }
    }
    lines
}

/// A row that the plane cannot hold crumples there and tells nothing: it turns as the rows below it do, evenly.
fn even_out_crumpled(fabric: &Fabric, lines: &mut [RowLine]) {
    // an open row that turns further than this runs into itself
    const FURTHEST: f64 = 1.95 * PI;
    // and one stitch does not turn further than this, but in a corner
    const SHARPEST: f64 = 0.62 * PI;
    let mut last: Option<(crate::fabric::PartId, f64)> = None;
    for line in lines.iter_mut().filter(|l| !l.closed) {
        let part = fabric.rows[line.row].part;
        let total: f64 = line.stops.iter().map(|s| s.turn).sum();
        let sharpest = line.stops.iter().map(|s| s.turn.abs()).fold(0.0, f64::max);
        if total.abs() <= FURTHEST && sharpest <= SHARPEST {
            last = Some((part, total));
            continue;
        }
        let kept = last.filter(|(p, _)| *p == part).map_or(0.0, |(_, t)| t);
        let n = line.stops.len() as f64;
        line.stops.iter_mut().for_each(|s| s.turn = kept / n);
    }
}

fn row_line(row: &Row, places: &Places<'_>, layout: &Layout, sizes: &dyn Sizes) -> RowLine {
    let fabric = places.fabric;
    let nodes = fabric.line(row.index);
    let (mut loose, mut short_loops, mut space_chains) = (false, 0, 0);
    let mut stops: Vec<Stop> = Vec::with_capacity(nodes.len());
    for &node in &nodes {
        let (at, height, base, span) = match node {
            LineNode::Stitch(id) => {
                let stitch = fabric.stitch(id);
                (layout.pose(id).head, sizes.height(stitch.stem()), places.of_feet(stitch), stitch.span)
            }
            LineNode::Space(k) => {
                let space = &fabric.spaces[k.index()];
                loose |= space.length >= LOOP;
                short_loops += usize::from(space.length >= SHORT_LOOP);
                space_chains += space.length.min(1000);
                let span = space.ids.first().map_or(Span::default(), |&id| fabric.stitch(id).span);
                (layout.spaces.get(k.index()).copied().unwrap_or_default().apex, 0.0, None, span)
            }
        };
        stops.push(Stop { node, at, height, base, turn: 0.0, needed: 0.0, worked: 0.0, seam: false, span });
    }
    let stitches = stops.iter().filter(|s| matches!(s.node, LineNode::Stitch(_))).count();
    loose |= short_loops * 4 > stops.len() || space_chains as usize > stitches;
    let closed = is_round(row) && stops.len() > 2;
    heights_of_spaces(&mut stops);
    let gaps = gaps_of(places, &stops, closed);
    let corner_chains = corner_chains(fabric, &stops, places);
    for (i, gap) in gaps.iter().enumerate() {
        let (a, b) = (i, (i + 1) % stops.len());
        match gap {
            Some(extra) => {
                stops[a].worked += 0.5 * extra;
                stops[b].worked += 0.5 * extra;
            }
            None => (stops[a].seam, stops[b].seam) = (true, true),
        }
    }
    let sign = if (row.side == Side::Right) != (row.direction == Direction::Back) { 1.0 } else { -1.0 };
    if of_one_height(&stops) {
        turn(&mut stops, closed, sign);
    } else {
        loose |= !turn_of_posts(&mut stops, layout, closed, sign) || waves(&stops);
    }
    let bases: Vec<Base> = stops.iter().filter_map(|s| s.base).collect();
    let one_place = bases.len() > 2 && bases.windows(2).all(|w| w[0] == w[1]);
    let on_ring = one_place || bases.first().is_some_and(|b| b.line > usize::MAX / 2);
    let open_chain = |b: &&Base| places.chains.contains(&b.line) && !places.round.contains_key(&b.line);
    let on_chain = !on_ring && bases.iter().filter(open_chain).count() * 2 > bases.len();
    let loop_of = |node: LineNode| match node {
        LineNode::Stitch(id) => fabric.stitch(id).into.iter().any(|place| match place {
            Place::Space { space } => fabric.spaces.get(space.index()).is_some_and(|s| s.length >= LOOP),
            _ => false,
        }),
        LineNode::Space(_) => false,
    };
    let in_loops = stops.iter().filter(|s| loop_of(s.node)).count();
    let on_loops = !on_ring && in_loops * 2 > stitches;
    RowLine {
        row: row.index.index(),
        closed,
        stops,
        gaps,
        on_chain,
        on_ring,
        loose,
        space_chains,
        corner_chains,
        on_loops,
    }
}

/// Chains of spaces with the same place on either side of them.
fn corner_chains(fabric: &Fabric, stops: &[Stop], places: &Places<'_>) -> u32 {
    let n = stops.len();
    let corner = |i: &usize| {
        let (a, b) = (&stops[(i + n - 1) % n], &stops[(i + 1) % n]);
        places.advance(a.base, b.base).is_some_and(|apart| apart < 0.01)
    };
    let chains = |i: usize| match stops[i].node {
        LineNode::Space(k) => fabric.spaces[k.index()].length.min(1000),
        LineNode::Stitch(_) => 0,
    };
    (0..n).filter(corner).map(chains).sum()
}

/// A space is as high as the stitches beside it.
fn heights_of_spaces(stops: &mut [Stop]) {
    let mut last = stops.iter().find(|s| s.height > 0.0).map_or(1.0, |s| s.height);
    for stop in stops {
        if stop.height > 0.0 { last = stop.height } else { stop.height = last }
    }
}

/// What each gap adds: its own width less that of what it stands on.
fn gaps_of(places: &Places<'_>, stops: &[Stop], closed: bool) -> Vec<Option<f64>> {
    let n = stops.len();
    // chain spaces stand on nothing: the gap is from stitch to stitch, told at the stitch before
    let stands = |i: usize| matches!(stops[i].node, LineNode::Stitch(_));
    let mut gaps = vec![Some(0.0); if closed { n } else { n.saturating_sub(1) }];
    for i in (0..n).filter(|&i| stands(i)) {
        let mut wide = 0.0;
        for step in 1..=n {
            let (from, to) = (i + step - 1, i + step);
            if !closed && to >= n {
                break;
            }
            wide += pitch(places.fabric, stops[from % n].node, stops[to % n].node);
            if stands(to % n) {
                gaps[i] = places.advance(stops[i].base, stops[to % n].base).map(|below| wide - below);
                break;
            }
        }
    }
    gaps
}

/// The turning at every stop, outward positive; that of a round is a full turn, however it lies.
fn turn(stops: &mut [Stop], closed: bool, sign: f64) {
    let n = stops.len();
    if n < 3 {
        return;
    }
    let within = if closed { 0..n } else { 1..n - 1 };
    for i in within {
        let (a, b, c) = (stops[(i + n - 1) % n].at, stops[i].at, stops[(i + 1) % n].at);
        stops[i].turn = -sign * exterior(b - a, c - b);
    }
    if !closed {
        return;
    }
    let total: f64 = stops.iter().map(|s| s.turn).sum();
    let largest = stops.iter().map(|s| s.turn.abs()).fold(0.0, f64::max);
    if (total - TAU).abs() > 0.1 || largest > 0.9 * PI {
        // a round that the plane cannot hold: it turns evenly
        stops.iter_mut().for_each(|s| s.turn = TAU / n as f64);
    }
}

/// True where no stitch is much taller than the rest: else the line rises and falls without a bend.
fn of_one_height(stops: &[Stop]) -> bool {
    let (least, most) = stops.iter().fold((f64::INFINITY, 0.0_f64), |(a, b), s| (a.min(s.height), b.max(s.height)));
    most <= 1.2 * least
}

/// True where posts swing to and fro, as in rows of shells: what they add and take says nothing of the fabric.
fn waves(stops: &[Stop]) -> bool {
    let (all, sum) = stops.iter().fold((0.0, 0.0), |(a, s), t| (a + t.turn.abs(), s + t.turn));
    all > sum.abs() + 1.2
}

/// The turning of a row of unequal heights: that of its posts, from each to the next. False where it tells nothing.
fn turn_of_posts(stops: &mut [Stop], layout: &Layout, closed: bool, sign: f64) -> bool {
    let ways: Vec<Option<Vec2>> = stops
        .iter()
        .map(|s| {
            let LineNode::Stitch(id) = s.node else { return None };
            let feet = &layout.pose(id).feet;
            let sum = feet.iter().fold(Vec2::ZERO, |sum, f| sum + f.to_vec2());
            let way = layout.pose(id).head.to_vec2() - sum / feet.len().max(1) as f64;
            (!feet.is_empty() && way.hypot2() > 1e-6).then_some(way)
        })
        .collect();
    let known: Vec<usize> = (0..stops.len()).filter(|&i| ways[i].is_some()).collect();
    let pairs = known.windows(2).map(|w| (w[0], w[1]));
    let around = known.last().zip(known.first()).filter(|_| closed && known.len() > 2).map(|(&a, &b)| (a, b));
    let mut total = 0.0;
    for (a, b) in pairs.chain(around) {
        let (Some(from), Some(to)) = (ways[a], ways[b]) else { continue };
        let turn = -sign * exterior(from, to);
        total += turn;
        stops[a].turn += 0.5 * turn;
        stops[b].turn += 0.5 * turn;
    }
    let once = !closed || (total - TAU).abs() <= 0.1;
    if !once {
        let n = stops.len() as f64;
        stops.iter_mut().for_each(|s| s.turn = TAU / n);
    }
    once
}

/// The angle from one edge of a line to the next.
fn exterior(a: Vec2, b: Vec2) -> f64 {
    if a.hypot2() < 1e-12 || b.hypot2() < 1e-12 { 0.0 } else { libm::atan2(a.cross(b), a.dot(b)) }
}

/// The extra stitches that the turning asks for: a bend its angle times the height, a corner that of a mitre.
fn need(line: &mut RowLine) {
    let n = line.stops.len();
    for stop in &mut line.stops {
        stop.needed = stop.turn * stop.height;
    }
    let corners = corners(line);
    let reach = corner_reach(&corners, n, line.closed);
    for [first, last] in corners {
        let from = if line.closed { first + n - reach } else { first.saturating_sub(reach) };
        let to = if line.closed { last + n + reach } else { (last + reach).min(n - 1) };
        let within: Vec<usize> = (from..=to).map(|i| i % n).collect();
        let turn: f64 = within.iter().map(|&i| line.stops[i].turn).sum();
        if turn > 0.5 && turn < 2.2 {
            let more = (2.0 * libm::tan(0.5 * turn) / turn).max(1.0);
            within.iter().for_each(|&i| line.stops[i].needed *= more);
        }
    }
    if !line.closed && line.space_chains == 0 {
        // nearer to the end of an open row than this, an increase slants the edge and bends nothing
        const EDGE: usize = 3;
        for i in (0..n).filter(|i| *i < EDGE || i + EDGE >= n) {
            (line.stops[i].needed, line.stops[i].worked) = (0.0, 0.0);
        }
    }
}

/// How far the line still turns beside a corner, in stops: as drawn, corners are round. Corners do not share stops.
fn corner_reach(corners: &[[usize; 2]], n: usize, closed: bool) -> usize {
    const FURTHEST: usize = 3;
    let between = corners.windows(2).map(|w| w[1][0].saturating_sub(w[0][1] + 1));
    let around = corners.last().zip(corners.first()).map(|(a, b)| (b[0] + n).saturating_sub(a[1] + 1));
    between.chain(around.filter(|_| closed)).map(|room| room / 2).min().unwrap_or(FURTHEST).min(FURTHEST)
}

/// True corners: three or more stops out of one place, straight on either side. First and last stop of each, the last
/// beyond the end where it runs over the start of a round.
fn corners(line: &RowLine) -> Vec<[usize; 2]> {
    let n = line.stops.len();
    // round the end of a chain a fan is no mitre
    if line.on_ring || line.on_chain || n < 4 {
        return Vec::new();
    }
    let same = |i: usize| line.gaps.get(i % n).copied().flatten().is_some_and(|g| g > 0.99);
    let starts = (0..n).filter(|&i| same(i) && (i > 0 || !line.closed) && (i == 0 || !same(i - 1)));
    let mut found = Vec::new();
    for first in starts {
        let most = if line.closed { first + n } else { n - 1 };
        let mut last = first;
        while last < most && same(last) {
            // a gap told at the stitch before a space runs over the space
            last += if matches!(line.stops[(last + 1) % n].node, LineNode::Space(_)) { 2 } else { 1 };
        }
        if last >= first + 2 && last < most {
            found.push([first, last]);
        }
    }
    found
}
