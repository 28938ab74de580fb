//! Where each leg of a stitch stands, as points hung on the net.

use super::lin::Lin;
use super::net::{Facing, Foot, LineKind, Net, Node};
use crate::fabric::{EdgeEnd, Fabric, Place, Role, Row, RowEnd, RowId, Stitch, StitchId};

// Half the width of an end post with its arms: smaller and a border stitch touches the arms, larger and it floats.
const ROW_END_REACH: f64 = 0.4;
// The same where chains stand beside the first stitches of the rows: past them too, and past the numbers of the rows; those
// find no room where several stitches crowd into one row end.
const PAST_TURNING_CHAIN: f64 = 0.75;
const PAST_NUMBERS: f64 = 1.15;
// How far up the stitch it goes round a post stitch begins: lower and its hook lies across that stitch's own strokes.
const POST: f64 = 1.0;
// A foot in a chain space stops a stroke short of the line of the arc.
const STROKE: f64 = 0.1;

/// The feet of a stitch, one per leg.
pub(super) fn feet_of(net: &Net, stitch: &Stitch) -> Vec<Foot> {
    let mut feet: Vec<Foot> = Vec::new();
    for (leg, made) in stitch.legs.iter().enumerate() {
        let through: Vec<Foot> = made.into.iter().filter_map(|p| foot_in(net, stitch.id, leg, p)).collect();
        if let Some(foot) = joined(through) {
            feet.push(foot);
        }
    }
    if feet.is_empty() {
        feet.extend(stitch.into.iter().take(1).filter_map(|p| foot_in(net, stitch.id, 0, p)));
    }
    if feet.is_empty() && stitch.is_counting_turning_chain() {
        feet.extend(beyond_foundation(net, stitch));
    }
    feet
}

/// Several places through which one leg goes: one foot in their midst.
fn joined(through: Vec<Foot>) -> Option<Foot> {
    let at = Lin::mean(through.iter().map(|f| &f.at));
    let first = through.into_iter().next()?;
    Some(Foot { at, ..first })
}

/// The skipped chains of "dc in 4th ch" stand on no chain: they rise one pitch beyond the last that lies.
fn beyond_foundation(net: &Net, stitch: &Stitch) -> Option<Foot> {
    let line = net.lines.iter().rposition(|l| {
        l.kind == LineKind::Chain
            && l.row <= stitch.row.index()
            && l.nodes.iter().any(|&n| net.stitch_of(n) < Some(stitch.id))
    })?;
    let nodes = &net.lines[line].nodes;
    let last = *nodes.last()?;
    if let Some(hub) = net.stitch_of(last).and_then(|chain| net.hub(chain)) {
        return Some(Foot { place: None, at: Lin::node(last), facing: Facing::Ring(hub), reach: 0.0, shift: 0.0 });
    }
    let inner = nodes.len().checked_sub(2).map(|i| nodes[i]);
    // in a round the fan at the foundation's end goes on with it; a row begins with it
    let round =
        net.node_of[stitch.id.index()].and_then(|n| net.seat[n]).is_some_and(|(line, _)| net.lines[line].closed);
    let at = match inner.filter(|_| !round) {
        Some(inner) => Lin::node(last).plus(1.0, &Lin::between(inner, last)),
        None => Lin::node(last),
    };
    let facing = Facing::Line { line, at: nodes.len() - 1, flip: 1.0 };
    Some(Foot { place: None, at, facing, reach: net.sizes.on_chain(), shift: 0.0 })
}

/// In the chain that all of its round is worked into; the reach is filled in as that of a ring.
fn in_hub(net: &Net, chain: StitchId, place: &Place) -> Option<Foot> {
    let at = Lin::node(net.node_of[chain.index()]?);
    Some(Foot { place: Some(*place), at, facing: Facing::Ring(net.hub(chain)?), reach: 0.0, shift: 0.0 })
}

fn foot_in(net: &Net, id: StitchId, leg: usize, place: &Place) -> Option<Foot> {
    let plain = |at: Lin, facing: Facing, reach: f64| Foot { place: Some(*place), at, facing, reach, shift: 0.0 };
    match *place {
        Place::Top { top, .. } => on_stitch(net, top, 1.0, place),
        Place::Chain { chain } | Place::Bump { bump: chain } => {
            in_hub(net, chain, place).or_else(|| on_stitch(net, chain, 1.0, place))
        }
        Place::Underside { underside } => {
            in_hub(net, underside, place).or_else(|| on_stitch(net, underside, -1.0, place))
        }
        Place::Space { space } => {
            let apex = net.apex_of[space.index()]?;
            let (line, at) = net.seat[apex]?;
            let along = net.spread.get(&(id, leg)).copied().unwrap_or(0.5);
            let mut foot = plain(on_arc(net, apex, along), Facing::Line { line, at, flip: 1.0 }, net.sizes.on_chain());
            foot.shift = STROKE;
            Some(foot)
        }
        Place::Ring { ring } => {
            // the reach is filled in once the ring's radius is known
            Some(plain(Lin::node(net.ring_of[ring.index()]?), Facing::Ring(ring.index()), 0.0))
        }
        Place::RowEnd { row_end } => row_end_foot(net, id, row_end, place),
        // drawn on the head of what it goes round, as rows of post stitches are charted: its hook tells the rest
        Place::Post { post, .. } => up_the_side(net, post, POST, place),
        Place::Side { side, at } => up_the_side(net, side, at.clamp(0.0, 1.0), place),
        Place::Between { between: [a, b] } | Place::Face { face: [a, b] } => {
            let (first, second) = (on_stitch(net, a, 1.0, place)?, on_stitch(net, b, 1.0, place)?);
            Some(Foot { at: Lin::mean([first.at, second.at].iter()), ..first })
        }
    }
}

/// The point along a space's arc, 0 at the stitch before, 1 at the stitch after.
pub(super) fn on_arc(net: &Net, apex: usize, along: f64) -> Lin {
    let Some((line, at)) = net.seat[apex] else { return Lin::node(apex) };
    let (start, end) = net.lines[line].neighbours(at);
    let t = along;
    let mut lin = Lin::default().plus(4.0 * t * (1.0 - t), &Lin::node(apex));
    lin = lin.plus((1.0 - t) * (1.0 - 2.0 * t), &Lin::node(start));
    lin.plus(t * (2.0 * t - 1.0), &Lin::node(end))
}

fn on_stitch(net: &Net, id: StitchId, flip: f64, place: &Place) -> Option<Foot> {
    let stitch = net.fabric.stitch(id);
    let on_chain = if stitch.is_chain() && stitch.stands_for.is_none() { net.sizes.on_chain() } else { 0.0 };
    let foot = |at: Lin, line: usize, position: usize, flip: f64| Foot {
        place: Some(*place),
        at,
        facing: Facing::Line { line, at: position, flip },
        reach: on_chain,
        shift: 0.0,
    };
    if let Some(node) = net.node_of[id.index()] {
        let (line, at) = net.seat[node]?;
        // the underside of a worked stitch is a stitch all the same: only chains have two sides
        let flip = if matches!(net.nodes[node], Node::Chain(_)) { flip } else { 1.0 };
        return Some(foot(Lin::node(node), line, at, flip));
    }
    if let Some(space) = net.fabric.space_of(id) {
        let ids = &net.fabric.spaces[space.index()].ids;
        let apex = net.apex_of[space.index()]?;
        let (line, at) = net.seat[apex]?;
        let nth = ids.iter().position(|&c| c == id)? as f64;
        return Some(foot(on_arc(net, apex, (nth + 0.5) / ids.len() as f64), line, at, 1.0));
    }
    // chains that only turn, travel or join stand by the nearest point made before or after them
    let (line, at) = near(net, id)?;
    let nodes = &net.lines[line].nodes;
    let here = nodes[at];
    let lin = match at.checked_sub(1).map(|i| nodes[i]) {
        Some(inner) if net.lines[line].kind == LineKind::Chain && at + 1 == nodes.len() => {
            let end = Lin::node(here).plus(0.55, &Lin::between(inner, here));
            // the chain that turns a branch stands at its tip, beside the first stitch worked back
            let back = net.lines.get(line + 1).filter(|l| l.kind == LineKind::Back).map(|l| l.nodes[0]);
            back.map_or(end.clone(), |head| end.plus(0.5, &Lin::between(here, head)))
        }
        _ => Lin::node(here),
    };
    Some(foot(lin, line, at, if net.lines[line].kind == LineKind::Chain { flip } else { 1.0 }))
}

/// The line and position nearest in yarn order to a stitch without a point of its own.
pub(super) fn near(net: &Net, id: StitchId) -> Option<(usize, usize)> {
    // what a dot enters is where it lies
    let into = net.fabric.stitch(id).into.first().and_then(Place::stitch).filter(|&s| s < id);
    if let Some(seat) = into.and_then(|s| net.node_of[s.index()]).and_then(|n| net.seat[n]) {
        return Some(seat);
    }
    let seat_of = |i: usize| net.node_of[i].and_then(|n| net.seat[n]);
    (0..id.index()).rev().find_map(seat_of).or_else(|| (id.index()..net.node_of.len()).find_map(seat_of))
}

fn up_the_side(net: &Net, id: StitchId, height: f64, place: &Place) -> Option<Foot> {
    let foot = on_stitch(net, id, 1.0, place)?;
    let post = net.node_of[id.index()].and_then(|n| net.post_of[n]).map(|p| &net.posts[p]);
    let Some(post) = post else { return Some(foot) };
    let at = Lin::default().plus(height, &Lin::node(post.node)).plus(1.0 - height, &post.base);
    Some(Foot { at, ..foot })
}

fn row_end_foot(net: &Net, id: StitchId, row_end: RowEnd, place: &Place) -> Option<Foot> {
    let line = *net.lines_of[row_end.row.index()].first()?;
    let nodes = &net.lines[line].nodes;
    let (end, inner) = match row_end.edge {
        EdgeEnd::Start => (nodes[0], nodes[1.min(nodes.len() - 1)]),
        EdgeEnd::End => (nodes[nodes.len() - 1], nodes[nodes.len().saturating_sub(2)]),
    };
    let height = row_end.at.clamp(0.0, 1.0);
    let at = match net.post_of[end].map(|p| &net.posts[p]) {
        Some(post) => Lin::default().plus(height, &Lin::node(end)).plus(1.0 - height, &post.base),
        None => Lin::node(end),
    };
    let facing = Facing::RowEnd { end, inner };
    let reach = net.row_end_reach[net.fabric.stitch(id).row.index()];
    Some(Foot { place: Some(*place), at, facing, reach, shift: reach })
}

/// How far from the row ends it goes along a border stands, the same all along it.
pub(super) fn row_end_reach(fabric: &Fabric, border: &Row) -> f64 {
    let places = || border.order.iter().flat_map(|s| &fabric.stitch(*s).into);
    let ends =
        || places().filter_map(|place| if let Place::RowEnd { row_end } = *place { Some(row_end) } else { None });
    if !ends().any(|end| end.edge == EdgeEnd::Start && begins_beside_chains(fabric, end.row)) {
        return ROW_END_REACH;
    }
    let mut taken: Vec<(RowId, bool)> = ends().map(|end| (end.row, end.edge == EdgeEnd::Start)).collect();
    taken.sort_unstable();
    if taken.windows(2).all(|w| w[0] != w[1]) { PAST_NUMBERS } else { PAST_TURNING_CHAIN }
}

/// True for a row whose first stitch has chains beside it that are no stitch.
fn begins_beside_chains(fabric: &Fabric, row: RowId) -> bool {
    fabric.row(row).order.first().is_some_and(|f| {
        let before = f.index().checked_sub(1).map(|i| &fabric.stitches[i]);
        before.is_some_and(|s| s.is_chain() && s.role == Role::Turning && s.stands_for.is_none())
            && fabric.stitch(*f).stands_for.is_none()
    })
}
