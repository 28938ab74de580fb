//! From fabric to net: which points there are, and in which lines they stand.

use super::blocks::Blocks;
use super::net::{Facing, Foot, Line, LineKind, Net, Node, Post};
use super::sizes::Sizes;
use super::{View, anchor, bend, crossed, over, pieces, ring, spread};
use crate::fabric::{
    Direction, EventKind, Fabric, LineNode, Place, Role, Row, RowShape, Side, Stitch, StitchId, Strand,
};
use std::collections::{BTreeMap, BTreeSet};

/// Builds the net of a fabric, nothing placed yet.
pub(super) fn net_of<'a>(fabric: &'a Fabric, sizes: &'a dyn Sizes, view: View) -> Net<'a> {
    let mut net = Net {
        fabric,
        sizes,
        view,
        bounded: view == View::Chart,
        bends: false,
        nodes: Vec::new(),
        heads: Vec::new(),
        middle: Vec::new(),
        piece: Vec::new(),
        node_of: vec![None; fabric.stitches.len()],
        apex_of: vec![None; fabric.spaces.len()],
        ring_of: vec![None; fabric.rings.len()],
        ring_radius: Vec::new(),
        blocks: Blocks::of(fabric, sizes),
        held: Vec::new(),
        lines: Vec::new(),
        lines_of: vec![Vec::new(); fabric.rows.len()],
        seat: Vec::new(),
        posts: Vec::new(),
        post_of: Vec::new(),
        stood_on: Vec::new(),
        in_rings: fabric.rings.iter().flat_map(|ring| ring.ids.iter().copied()).collect(),
        ring_worked: chains_of_rings_worked_singly(fabric),
        natural_turn: Vec::new(),
        bent: Vec::new(),
        row_end_reach: fabric.rows.iter().map(|row| anchor::row_end_reach(fabric, row)).collect(),
        spread: BTreeMap::new(),
        feet_in: Vec::new(),
        beneath: Vec::new(),
        root: Vec::new(),
        well_placed: Vec::new(),
        spent: 0,
        allowed: usize::MAX,
    };
    net.in_rings.sort_unstable();
    for k in 0..fabric.rings.len() {
        net.ring_of[k] = Some(net.add(Node::Ring));
    }
    for row in &fabric.rows {
        add_row(&mut net, row);
    }
    link_spirals(&mut net);
    let hubs = ring::hubs(&net);
    net.ring_of.extend(hubs.into_iter().map(Some));
    add_block_chains(&mut net);
    (net.spread, net.feet_in) = spread::along_spaces(&net);
    add_posts(&mut net);
    close_lone_rounds(&mut net);
    crossed::stand_under_heads(&mut net);
    net.beneath = over::beneath(&net);
    net.stood_on = vec![Vec::new(); net.nodes.len()];
    for (p, post) in net.posts.iter().enumerate() {
        for &(node, ..) in post.feet.iter().flat_map(|f| &f.at.0) {
            if net.stood_on[node].last() != Some(&p) {
                net.stood_on[node].push(p);
            }
        }
    }
    net.well_placed = vec![false; net.lines.len()];
    net.root = vec![None; net.nodes.len()];
    net.middle = vec![None; net.lines.len()];
    side_of_chains(&mut net);
    net.natural_turn = bend::natural_turn(&net);
    net.piece = pieces::piece_of_rows(&net);
    net.bent = bend::bent(&net);
    net.ring_radius = (0..net.ring_of.len()).map(|k| ring::radius(&net, k)).collect();
    for post in &mut net.posts {
        for foot in &mut post.feet {
            if let Facing::Ring(k) = foot.facing {
                foot.reach = net.ring_radius[k];
                // stitches in one chain begin on its oval
                foot.shift = if k < fabric.rings.len() { foot.reach } else { 0.0 };
                post.rest += foot.reach;
            }
        }
    }
    net
}

impl Net<'_> {
    fn add(&mut self, node: Node) -> usize {
        self.nodes.push(node);
        self.heads.push(kurbo::Vec2::ZERO);
        self.seat.push(None);
        self.post_of.push(None);
        self.nodes.len() - 1
    }

    /// The point of a node of a line: made where it is new.
    fn point_of(&mut self, node: LineNode, lying: bool) -> usize {
        match node {
            LineNode::Stitch(id) => {
                if let Some(there) = self.node_of[id.index()] {
                    return there;
                }
                let new = self.add(if lying { Node::Chain(id) } else { Node::Head(id) });
                self.node_of[id.index()] = Some(new);
                new
            }
            LineNode::Space(k) => {
                if let Some(there) = self.apex_of[k.index()] {
                    return there;
                }
                let new = self.add(Node::Apex(k.index()));
                self.apex_of[k.index()] = Some(new);
                new
            }
        }
    }

    fn add_line(&mut self, line: Line) -> usize {
        let index = self.lines.len();
        for (at, &node) in line.nodes.iter().enumerate() {
            if self.seat[node].is_none() {
                self.seat[node] = Some((index, at));
            }
        }
        self.lines_of[line.row].push(index);
        self.lines.push(line);
        index
    }
}

/// The chain of a block that was begun on one of its own is a space like those of the others.
fn add_block_chains(net: &mut Net) {
    let Some(blocks) = net.blocks.clone() else {
        net.held = vec![false; net.lines.len()];
        return;
    };
    net.held = net.lines.iter().map(|l| blocks.has_row(l.row)).collect();
    for line in net.lines.iter_mut().filter(|l| blocks.has_row(l.row)) {
        (line.before, line.after) = (None, None);
    }
    for (own, space) in blocks.stitches_and_spaces() {
        let first = net.node_of[own[0].index()].and_then(|n| net.seat[n]);
        let Some((line, at)) = first.filter(|_| net.apex_of[space].is_none()) else { continue };
        let apex = net.add(Node::Apex(space));
        net.apex_of[space] = Some(apex);
        net.lines[line].nodes.insert(at, apex);
        for at in at..net.lines[line].nodes.len() {
            net.seat[net.lines[line].nodes[at]] = Some((line, at));
        }
    }
}

/// The chains of rings that rounds are worked into chain by chain, as a tube is begun.
fn chains_of_rings_worked_singly(fabric: &Fabric) -> BTreeSet<StitchId> {
    let of_chain = |place: &Place| match *place {
        Place::Chain { chain } | Place::Bump { bump: chain } | Place::Underside { underside: chain } => Some(chain),
        _ => None,
    };
    let mut in_rings: BTreeMap<StitchId, usize> = BTreeMap::new();
    for (k, ring) in fabric.rings.iter().enumerate() {
        in_rings.extend(ring.ids.iter().map(|&id| (id, k)));
    }
    let mut worked = vec![false; fabric.rings.len()];
    for chain in fabric.stitches.iter().filter(|s| !s.is_slip_stitch()).flat_map(|s| &s.into).filter_map(of_chain) {
        if let Some(&ring) = in_rings.get(&chain) {
            worked[ring] = true;
        }
    }
    in_rings.into_iter().filter(|&(_, ring)| worked[ring]).map(|(id, _)| id).collect()
}

/// The sign of a row's "up": a turn flips it, reverse work flips it again.
pub(super) fn told_sign(row: &Row) -> f64 {
    let face = if row.side == Side::Right { 1.0 } else { -1.0 };
    if row.direction == Direction::Back { -face } else { face }
}

fn add_row(net: &mut Net, row: &Row) {
    let index = row.index.index();
    let chain = row.shape == RowShape::Foundation;
    let ring = chain && row.order.iter().any(|id| net.ring_worked.contains(id));
    let wide = row.strands.first().filter(|s| net.fabric.widens(row, s));
    if let Some(strand) = wide {
        add_chain_of(net, row, strand, true);
    }
    let order: Vec<StitchId> = wide
        .iter()
        .flat_map(|s| &s.order)
        .chain(&row.order)
        .copied()
        .filter(|&id| !(chain && net.fabric.stitch(id).role == Role::Turning))
        .filter(|&id| !ring || net.fabric.stitch(id).is_chain())
        .filter(|&id| net.node_of[id.index()].is_none())
        // chains closed to a ring lie round it, not in a line, unless each is worked into by itself
        .filter(|id| ring || net.in_rings.binary_search(id).is_err())
        .collect();
    let mut nodes: Vec<usize> = Vec::new();
    let mut taken: BTreeSet<usize> = BTreeSet::new();
    for node in net.fabric.nodes_of(&order) {
        let lying = chain && matches!(node, LineNode::Stitch(id) if net.fabric.stitch(id).is_chain());
        let point = net.point_of(node, lying);
        if taken.insert(point) {
            nodes.push(point);
        }
    }
    // a tall stitch that closes the last space of a row is the end post of the row
    if let Some(last) = order.last().filter(|_| !chain && !row.joined).copied()
        && !net.fabric.stitch(last).is_chain()
        && net.node_of[last.index()].is_none()
        && net.fabric.space_of(last).is_some()
    {
        let post = net.add(Node::Head(last));
        net.node_of[last.index()] = Some(post);
        nodes.push(post);
    }
    if !nodes.is_empty() {
        let kind = if chain { LineKind::Chain } else { LineKind::Row };
        let closed = (row.joined && !chain || ring) && nodes.len() > 1;
        // a row that begins with a chain space swings out from the last stitch of the row below
        let hangs = !closed && !chain && net.is_apex(nodes[0]);
        let before = if chain && !ring || hangs { root_of_chain(net, row, order[0]) } else { None };
        net.add_line(Line {
            row: index,
            kind,
            nodes,
            closed,
            sign: told_sign(row),
            before,
            after: None,
            widens: false,
        });
    }
    for strand in row.strands.iter().skip(usize::from(wide.is_some())) {
        add_branch(net, row, strand);
    }
}

/// A chain worked on from the piece without cutting the yarn grows out of the last stitch made.
fn root_of_chain(net: &Net, row: &Row, first: StitchId) -> Option<usize> {
    let fabric = net.fabric;
    let previous = fabric.stitches[..first.index()].iter().rev().find(|s| net.node_of[s.id.index()].is_some())?;
    let cut = |kind| matches!(kind, EventKind::Cut | EventKind::Attach);
    let between = |after: Option<StitchId>| after.is_some_and(|a| a >= previous.id && a < first);
    let parted = fabric.events.iter().any(|e| cut(e.kind) && between(e.after));
    (!parted && fabric.row(previous.row).part == row.part).then(|| net.node_of[previous.id.index()]).flatten()
}

/// The chain of a branch, from its root out; how its lines begin.
fn add_chain_of(net: &mut Net, row: &Row, strand: &Strand, widens: bool) -> Line {
    let fabric = net.fabric;
    let used =
        |id: StitchId| strand.order.iter().any(|&s| fabric.stitch(s).into.iter().any(|p| p.stitch() == Some(id)));
    let last_used = strand.chain.iter().rposition(|&id| used(id));
    let lying: Vec<StitchId> = strand
        .chain
        .iter()
        .enumerate()
        .filter(|&(i, &id)| !fabric.stitch(id).has_role(Role::Turning) && last_used.is_none_or(|last| i <= last))
        .map(|(_, &id)| id)
        .filter(|&id| fabric.stitch(id).is_chain())
        .collect();
    let chain: Vec<usize> = lying.iter().map(|&id| net.point_of(LineNode::Stitch(id), true)).collect();
    let root = net.node_of[strand.root.index()];
    let base = Line {
        row: row.index.index(),
        kind: LineKind::Chain,
        nodes: Vec::new(),
        closed: false,
        sign: -told_sign(row),
        before: None,
        after: None,
        widens: false,
    };
    if !chain.is_empty() {
        net.add_line(Line { nodes: chain, before: root, widens, ..base.clone() });
    }
    base
}

fn add_branch(net: &mut Net, row: &Row, strand: &Strand) {
    let fabric = net.fabric;
    let root = net.node_of[strand.root.index()];
    let base = add_chain_of(net, row, strand, false);
    let mut back: Vec<usize> = Vec::new();
    for node in fabric.nodes_of(&strand.order) {
        let point = net.point_of(node, false);
        if net.seat[point].is_none() && !back.contains(&point) {
            back.push(point);
        }
    }
    if !back.is_empty() {
        let after = root.and_then(|r| net.seat[r]).and_then(|(line, at)| {
            let (_, next) = net.lines[line].neighbours(at);
            (net.lines[line].kind == LineKind::Row && Some(next) != root).then_some(next)
        });
        net.add_line(Line { kind: LineKind::Back, nodes: back, sign: told_sign(row), after, ..base });
    }
}

/// Rounds that run on into the next are one line in all but name.
fn link_spirals(net: &mut Net) {
    for row in 1..net.fabric.rows.len() {
        let (this, last) = (&net.fabric.rows[row], &net.fabric.rows[row - 1]);
        let spiral = this.shape == RowShape::Spiral && last.shape == RowShape::Spiral && this.part == last.part;
        let (Some(&a), Some(&b)) = (net.lines_of[row - 1].first(), net.lines_of[row].first()) else { continue };
        if spiral && this.side == last.side && this.direction == last.direction {
            // the line below runs on into this one only once this one is placed
            net.lines[b].before = net.lines[a].nodes.last().copied();
        }
    }
}

/// A round of a spiral that no other follows or goes before closes by itself, where what it stands on is closed.
fn close_lone_rounds(net: &mut Net) {
    for line in 0..net.lines.len() {
        let l = &net.lines[line];
        let row = &net.fabric.rows[l.row];
        if l.kind != LineKind::Row || l.nodes.len() < 3 || !net.fabric.is_lone_round(row) || !row.strands.is_empty() {
            continue;
        }
        let posts = l.nodes.iter().filter_map(|&n| net.post_of[n]).map(|p| &net.posts[p]);
        let closed = posts.flat_map(|p| &p.feet).all(|foot| match foot.facing {
            Facing::Ring(_) => true,
            Facing::Line { line: below, .. } => below != line && net.lines[below].closed,
            Facing::RowEnd { .. } => false,
        });
        if closed {
            net.lines[line].closed = true;
            net.lines[line].before = None;
        }
    }
}

fn add_posts(net: &mut Net) {
    for line in 0..net.lines.len() {
        for at in 0..net.lines[line].nodes.len() {
            let node = net.lines[line].nodes[at];
            let Node::Head(id) = net.nodes[node] else { continue };
            if net.seat[node] != Some((line, at)) {
                continue;
            }
            let stitch = net.fabric.stitch(id);
            let feet: Vec<Foot> = anchor::feet_of(net, stitch);
            if feet.is_empty() {
                continue;
            }
            let stem = stitch.stem();
            let base = super::lin::Lin::mean(feet.iter().map(|f| &f.at));
            // a chain is drawn as thick as its oval, and in truth no thicker than the stitches on it
            let drawn = if net.view == View::Chart { 1.0 } else { 0.0 };
            let reach = drawn * feet.iter().map(|f| f.reach).sum::<f64>() / feet.len() as f64;
            let rest = net.sizes.height(stem).max(0.05) + reach + passed_over(net, stitch);
            net.post_of[node] = Some(net.posts.len());
            net.posts.push(Post { node, stitch: id, stem, feet, across: None, base, rest });
        }
    }
}

/// How much longer a stitch is that reaches down over others: by their height.
fn passed_over(net: &Net, stitch: &Stitch) -> f64 {
    let below = |id: StitchId| net.fabric.stitch(id).into.first().and_then(|p| p.stitch()).filter(|&b| b < id);
    let Some(foot) = stitch.into.first().and_then(|p| p.stitch()) else { return 0.0 };
    let covered = stitch.covers.first().and_then(|p| p.stitch());
    let passed = std::iter::successors(covered, |&id| below(id)).take_while(|&id| id > foot);
    passed.map(|id| net.sizes.height(net.fabric.stitch(id).stem())).sum()
}

/// Which side of a chain the first row stands on, from the way that row runs along it.
fn side_of_chains(net: &mut Net) {
    // of every chain: line and side of the first legs on it, how far they move along it, where the last one stood
    let mut first: Vec<Option<(usize, f64, f64, usize)>> = vec![None; net.lines.len()];
    for post in &net.posts {
        for foot in &post.feet {
            let Facing::Line { line, at, flip } = foot.facing else { continue };
            let (Some((row, _)), LineKind::Chain) = (net.seat[post.node], net.lines[line].kind) else { continue };
            match &mut first[line] {
                none @ None => *none = Some((row, flip, 0.0, at)),
                Some((r, f, way, last)) if *r == row && *f == flip => {
                    *way += at as f64 - *last as f64;
                    *last = at;
                }
                Some(_) => {}
            }
        }
    }
    for (chain, told) in first.into_iter().enumerate() {
        if let Some((row, flip, way, _)) = told {
            // a lone stitch tells no way: a row comes back along the chain
            let along = if way > 0.0 { 1.0 } else { -1.0 };
            net.lines[chain].sign = net.lines[row].sign * along * flip;
        }
    }
}
