//! Blocks worked from corner to corner: squares of a chain and of stitches, each beside the chain of a block of the row
//! before, or upon one.
//!
//! Row by row they stand crosswise to the last, as squares of a board along its diagonals. That is told by what stands in
//! what alone, and so they are set on their board, and nothing of them is relaxed.

use super::build::told_sign;
use super::net::Net;
use super::plane::{angle, normalised, point, r90};
use super::positions::{Arc, Layout, Lying, Pose};
use super::sizes::Sizes;
use crate::craft::Meet;
use crate::fabric::{Fabric, Place, RowShape, Stitch, StitchId};
use kurbo::Vec2;
use std::collections::BTreeMap;

// Measures of a square, from its sides: the bars of the next must keep clear of stems and of chains.
const LAST_STEM: f64 = 0.4;
const FIRST_STEM: f64 = 0.8;
const CHAIN: f64 = 0.25;
const HEAD: f64 = 0.15;
const FOOT: f64 = 0.08;
const FOOT_ON_CHAIN: f64 = 0.25;
// The chain begins above the dot before it and ends under that of the block beyond.
const CHAIN_FROM: f64 = 0.1;
const CHAIN_TO: f64 = 0.42;
// Part of the pitch that an oval takes.
const OVAL: f64 = 0.96;
/// The dot of a slip stitch into a block's chain, where four squares meet.
const DOT: Vec2 = Vec2::new(0.15, 0.2);
// Between two stems: nearer than the least and their bars run together, further than the most and the square grows for
// nothing. Stems are drawn so much taller at most, if that can be.
const LEAST_PITCH: f64 = 0.72;
const MOST_PITCH: f64 = 0.85;
const TALLEST: f64 = 1.4;
/// Fewer are corners or shells of something else.
const FEWEST: usize = 3;
/// Chains at the side of a block at most.
const MOST: usize = 8;

/// A chain and the stitches beside it, in one square of the board.
#[derive(Clone, Debug)]
struct Block {
    /// The chain at its side, and the space that is, where something is worked into it.
    chain: Vec<StitchId>,
    space: Option<usize>,
    row: usize,
    own: Vec<StitchId>,
    /// The chains it stands on, where those are its own: under the first stitch first.
    base: Vec<StitchId>,
    /// Squares along the chain side of the first block, and up from it.
    cell: (i32, i32),
    /// True where up and the chain's side change places, as in every second row.
    crosswise: bool,
    /// The first block of its board.
    first: usize,
}

/// All blocks of a fabric.
#[derive(Clone, Debug)]
pub(super) struct Blocks {
    blocks: Vec<Block>,
    /// Slip stitches, and the block in whose chain they are.
    dots: Vec<(StitchId, usize)>,
    /// Rows made of blocks alone, and the foundations under them.
    rows: Vec<bool>,
    /// Of every block, the way its board runs: 1 where the first chain side is on the right.
    sign: Vec<f64>,
    /// Side of a square.
    side: f64,
}

impl Blocks {
    /// The blocks of a fabric that has rows of them.
    pub(super) fn of(fabric: &Fabric, sizes: &dyn Sizes) -> Option<Blocks> {
        let mut blocks: Vec<Block> = Vec::new();
        let mut of_space: BTreeMap<usize, usize> = BTreeMap::new();
        for end in 0..fabric.stitches.len() {
            if let Some(block) = block_of(fabric, end, &blocks, &of_space) {
                of_space.extend(block.space.map(|space| (space, blocks.len())));
                blocks.push(block);
            }
        }
        let mut dots = Vec::new();
        for stitch in fabric.stitches.iter().filter(|s| s.is_slip_stitch()) {
            if let [Place::Space { space }] = stitch.into.as_slice()
                && let Some(&block) = of_space.get(&space.index())
            {
                dots.push((stitch.id, block));
            }
        }
        keep_whole_boards(fabric, &mut blocks, &mut dots);
        if blocks.is_empty() {
            return None;
        }
        let mut rows = vec![false; fabric.rows.len()];
        for block in &blocks {
            rows[block.row] = true;
            for chain in &block.base {
                rows[fabric.stitch(*chain).row.index()] = true;
            }
        }
        let most = blocks.iter().map(|b| b.own.len()).max()?.max(2) as f64;
        let tall = blocks.iter().map(|b| sizes.height(fabric.stitch(b.own[0]).stem())).fold(0.0, f64::max);
        let (stems, rise) = (LAST_STEM + FIRST_STEM, HEAD + FOOT);
        let pitch = ((TALLEST * tall + rise - stems) / (most - 1.0)).clamp(LEAST_PITCH, MOST_PITCH);
        let side = (stems + pitch * (most - 1.0)).max(tall + rise);
        let sign = blocks.iter().map(|b| told_sign(&fabric.rows[blocks[b.first].row])).collect();
        Some(Blocks { blocks, dots, rows, sign, side })
    }

    /// True for a row of blocks, and for the foundation of one.
    pub(super) fn has_row(&self, row: usize) -> bool {
        self.rows[row]
    }

    /// The stitches of every block with the space that its chain is.
    pub(super) fn stitches_and_spaces(&self) -> impl Iterator<Item = (&[StitchId], usize)> {
        self.blocks.iter().filter_map(|b| Some((b.own.as_slice(), b.space?)))
    }

    /// Sets every point of the blocks on the board.
    pub(super) fn place(&self, net: &mut Net) {
        let mut heads: Vec<(usize, Vec2)> = Vec::new();
        for (b, block) in self.blocks.iter().enumerate() {
            let frame = self.frame(b);
            for (i, id) in block.own.iter().enumerate() {
                heads.extend(net.node_of[id.index()].map(|node| (node, frame.at(self.head(block, i)))));
            }
            for (i, id) in block.base.iter().enumerate() {
                let at = Vec2::new(self.head(block, i).x, 0.0);
                heads.extend(net.node_of[id.index()].map(|node| (node, frame.at(at))));
            }
            let apex = Vec2::new(self.side - CHAIN, 0.5 * self.side);
            heads.extend(block.space.and_then(|k| net.apex_of[k]).map(|node| (node, frame.at(apex))));
            let top = Vec2::new(self.side - CHAIN, self.side - CHAIN_TO);
            let counting = block.chain.last().and_then(|id| net.node_of[id.index()]);
            heads.extend(counting.map(|node| (node, frame.at(top))));
        }
        for &(id, b) in &self.dots {
            heads.extend(net.node_of[id.index()].map(|node| (node, self.frame(b).at(self.dot()))));
        }
        for (node, at) in heads {
            net.heads[node] = at;
        }
    }

    /// Draws the blocks where their points have come to lie.
    pub(super) fn pose(&self, net: &Net, layout: &mut Layout) {
        let frames: Vec<Option<Frame>> = (0..self.blocks.len()).map(|b| self.frame_now(net, b)).collect();
        for (block, frame) in self.blocks.iter().zip(&frames) {
            let Some(frame) = frame else { continue };
            for (i, id) in block.own.iter().enumerate() {
                let head = self.head(block, i);
                let foot = point(frame.at(Vec2::new(head.x, if block.base.is_empty() { FOOT } else { FOOT_ON_CHAIN })));
                let legs = net.fabric.stitch(*id).legs.len();
                layout.poses[id.index()] = Pose { feet: vec![foot; legs], head: point(frame.at(head)), lying: None };
            }
            let pitch = self.pitch(block);
            for (i, id) in block.base.iter().enumerate() {
                let at = point(frame.at(Vec2::new(self.head(block, i).x, 0.0)));
                // the chain was made toward the side of the chain that stands up from it
                let lying = Lying { at, angle_rad: angle(frame.side), length: OVAL * pitch };
                layout.poses[id.index()] = Pose { feet: Vec::new(), head: at, lying: Some(lying) };
            }
            let (from, to) = (CHAIN_FROM, self.side - CHAIN_TO);
            let along = |share: f64| point(frame.at(Vec2::new(self.side - CHAIN, from + share * (to - from))));
            for (i, id) in block.chain.iter().enumerate() {
                let at = along((i as f64 + 0.5) / block.chain.len() as f64);
                let length = (OVAL * (to - from) / block.chain.len() as f64).min(1.1);
                let lying = Lying { at, angle_rad: angle(frame.up), length };
                let counts = net.node_of[id.index()].is_some();
                let (feet, head) = if counts { (vec![along(0.0)], along(1.0)) } else { (Vec::new(), at) };
                layout.poses[id.index()] = Pose { feet, head, lying: Some(lying) };
            }
            if let Some(space) = block.space {
                layout.spaces[space] = Arc { start: along(0.0), apex: along(0.5), end: along(1.0) };
            }
        }
        for &(id, b) in &self.dots {
            let Some(frame) = &frames[b] else { continue };
            let head = point(frame.at(self.dot()));
            let legs = net.fabric.stitch(id).legs.len();
            layout.poses[id.index()] = Pose { feet: vec![head; legs], head, lying: None };
        }
    }

    /// Head of a stitch in its square: along the side of the chain, and up.
    fn head(&self, block: &Block, nth: usize) -> Vec2 {
        Vec2::new(self.side - FIRST_STEM - nth as f64 * self.pitch(block), self.side - HEAD)
    }

    /// Between two stems of a block.
    fn pitch(&self, block: &Block) -> f64 {
        (self.side - LAST_STEM - FIRST_STEM) / (block.own.len().max(2) - 1) as f64
    }

    fn dot(&self) -> Vec2 {
        Vec2::new(self.side - DOT.x, self.side - DOT.y)
    }

    /// Where the square of a block lies on its board.
    fn frame(&self, b: usize) -> Frame {
        let (block, right, up) = (&self.blocks[b], Vec2::new(self.sign[b], 0.0), Vec2::new(0.0, -1.0));
        let corner = self.side * (f64::from(block.cell.0) * right + f64::from(block.cell.1) * up);
        let (side, up) = if block.crosswise { (up, right) } else { (right, up) };
        Frame { corner, side, up }
    }

    /// The same once the board was turned upright, from the heads of a block.
    fn frame_now(&self, net: &Net, b: usize) -> Option<Frame> {
        let block = &self.blocks[b];
        let head = |id: Option<&StitchId>| Some(net.heads[net.node_of[id?.index()]?]);
        let (first, last) = (head(block.own.first())?, head(block.own.last())?);
        let side = normalised(first - last);
        let hand = if block.crosswise { self.sign[b] } else { -self.sign[b] };
        let up = hand * r90(side);
        let from = self.head(block, 0);
        Some(Frame { corner: first - from.x * side - from.y * up, side, up })
    }
}

/// A square in the plane: a corner, the way to the side of the chain, and up.
struct Frame {
    corner: Vec2,
    side: Vec2,
    up: Vec2,
}

impl Frame {
    fn at(&self, local: Vec2) -> Vec2 {
        self.corner + local.x * self.side + local.y * self.up
    }
}

/// The block whose chain ends with a stitch, where it is one and stands on its own chain or on one of those found before.
fn block_of(fabric: &Fabric, end: usize, found: &[Block], of_space: &BTreeMap<usize, usize>) -> Option<Block> {
    let head = fabric.stitches.get(end + 1).filter(|s| !s.is_chain() && !s.is_slip_stitch())?;
    let last = fabric.stitches.get(end).filter(|s| s.is_chain())?;
    let space = fabric.space_of(last.id).map(|k| k.index());
    let first = match space {
        Some(k) => fabric.spaces[k].ids.first()?.index(),
        // its own last chain that something stands on, else all of its chains
        None => match head.into.as_slice() {
            [Place::Chain { chain }] => chain.index() + 1,
            _ => end + 1 - fabric.stitches[..=end].iter().rev().take_while(|s| s.is_chain()).count(),
        },
    };
    let chain: Vec<StitchId> = (first..=end).map(StitchId::new).collect();
    if chain.is_empty() || chain.len() > MOST || chain.iter().any(|id| !fabric.stitch(*id).is_chain()) {
        return None;
    }
    let plain = |s: &&Stitch| {
        let upright = s.legs.len() == 1 && s.meet == Meet::Head && !s.is_chain() && !s.is_slip_stitch();
        upright && s.row == head.row && s.stem() == head.stem()
    };
    let stands: Vec<&Stitch> = fabric.stitches[end + 1..].iter().take_while(plain).collect();
    if stands.len() < 2 {
        return None;
    }
    let row = head.row.index();
    let own: Vec<StitchId> = stands.iter().map(|s| s.id).collect();
    if let [Place::Space { space: under }] = head.into.as_slice() {
        let parent = *of_space.get(&under.index())?;
        // the yarn is brought to the place by a slip stitch
        let before = fabric.stitches.get(first.checked_sub(1)?)?;
        if !before.is_slip_stitch() || before.into != head.into {
            return None;
        }
        let (below, all) = (&found[parent], stands.iter().all(|s| s.into == head.into));
        let (x, y) = below.cell;
        let cell = if below.crosswise { (x, y + 1) } else { (x + 1, y) };
        let (crosswise, first) = (!below.crosswise, below.first);
        return (all && below.row < row).then_some(Block {
            chain,
            space,
            row,
            own,
            base: Vec::new(),
            cell,
            crosswise,
            first,
        });
    }
    let on = |(i, s): (usize, &&Stitch)| {
        let chain = first.checked_sub(i + 1).map(StitchId::new)?;
        (s.into == [Place::chain(chain)]).then_some(chain)
    };
    let base: Vec<StitchId> = stands.iter().enumerate().map(on).collect::<Option<_>>()?;
    let begun = fabric.stitch(*base.last()?);
    if fabric.row(begun.row).shape == RowShape::Foundation {
        let whole = fabric.row(begun.row).order.first() == Some(&begun.id);
        let first = found.len();
        return whole.then_some(Block { chain, space, row, own, base, cell: (0, 0), crosswise: false, first });
    }
    // a chain that runs on from the last stitch of the row before
    let root = fabric.rows[row].strands.iter().find(|s| s.chain.first() == Some(&begun.id))?.root;
    let below = found.iter().rfind(|b| b.own.last() == Some(&root))?;
    let (x, y) = below.cell;
    let cell = if below.crosswise { (x + 1, y) } else { (x, y + 1) };
    Some(Block { chain, space, row, own, base, cell, crosswise: !below.crosswise, first: below.first })
}

/// Leaves boards whose rows are of blocks and slip stitches alone, no two blocks in one square.
fn keep_whole_boards(fabric: &Fabric, blocks: &mut Vec<Block>, dots: &mut Vec<(StitchId, usize)>) {
    let mut in_block = vec![false; fabric.stitches.len()];
    for block in blocks.iter() {
        for id in block.own.iter().chain(&block.base).chain(&block.chain) {
            in_block[id.index()] = true;
        }
    }
    let whole_row = |row: usize| {
        let strands = fabric.rows[row].strands.iter().flat_map(|s| s.chain.iter().chain(&s.order));
        let mut all = fabric.rows[row].order.iter().chain(strands);
        all.all(|id| in_block[id.index()] || fabric.stitch(*id).is_slip_stitch())
    };
    let mut boards: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (b, block) in blocks.iter().enumerate() {
        boards.entry(block.first).or_default().push(b);
    }
    let mut kept = vec![false; blocks.len()];
    for board in boards.values() {
        let mut cells: Vec<(i32, i32)> = board.iter().map(|&b| blocks[b].cell).collect();
        cells.sort_unstable();
        let apart = cells.windows(2).all(|w| w[0] != w[1]);
        let rows = board.iter().all(|&b| whole_row(blocks[b].row));
        for &b in board {
            kept[b] = apart && rows && board.len() >= FEWEST;
        }
    }
    let mut new = vec![usize::MAX; blocks.len()];
    let mut at = 0;
    for (b, kept) in kept.iter().enumerate() {
        if *kept {
            new[b] = at;
            at += 1;
        }
    }
    dots.retain_mut(|dot| {
        dot.1 = new[dot.1];
        dot.1 != usize::MAX
    });
    let mut b = 0;
    blocks.retain(|_| {
        b += 1;
        kept[b - 1]
    });
    blocks.iter_mut().for_each(|block| block.first = new[block.first]);
}
