//! The one arrow that tells where the work starts and which way it goes.

use super::Ink;
use super::figure::shape;
use super::ground::Ground;
use super::numbers::row_start;
use super::scene::{Mark, MarkRole};
use super::trace::traced;
use crate::fabric::{Fabric, Role, RowId, RowShape, StitchId};
use crate::layout::Layout;
use crate::symbol::{Stand, SymbolSet};
use kurbo::{Point, Vec2};

/// Distance kept from ink and labels.
const CLEAR: f64 = 0.12;
/// How far other rows are looked for.
const NEAR: f64 = 2.5;

/// Places the arrow; none where the fabric is empty or no place near the start is free.
pub(super) fn place(fabric: &Fabric, layout: &Layout, symbols: &SymbolSet, ink: Ink, ground: &Ground) -> Option<Mark> {
    let symbol = symbols.get("arrow")?;
    let length = symbol.height;
    let at = |tip: Point, along: Vec2| {
        let stand = Stand::new(tip - along * length, tip);
        let shapes = stand.pieces(symbol).into_iter().map(shape).collect();
        Mark { role: MarkRole::Arrow, ink, tint: None, dashed: false, shapes, tip: Some(tip), stitch: None }
    };
    let free = |mark: &Mark| {
        let ink: Vec<_> = mark.shapes.iter().flat_map(traced).collect();
        ground.is_free_for(&ink, CLEAR)
    };
    let all = candidates(fabric, layout, length);
    // beside the start of another row it would tell of that
    let own = |c: &&Candidate| {
        let middle = c.tip - c.along * (length / 2.0);
        c.row.is_none_or(|row| [c.tip, middle].iter().all(|&p| ground.is_nearest_to(row, p, 0.0, NEAR)))
    };
    let drawn = |c: &Candidate| Some(at(c.tip, c.along)).filter(free);
    all.iter().filter(own).find_map(drawn).or_else(|| all.iter().find_map(drawn))
}

/// Where the arrow may lie.
struct Candidate {
    tip: Point,
    along: Vec2,
    /// The row it then tells of, unless that is the foundation.
    row: Option<RowId>,
}

/// Tips and directions, best first.
fn candidates(fabric: &Fabric, layout: &Layout, length: f64) -> Vec<Candidate> {
    let mut list = Vec::new();
    let mut push = |tip: Point, along: Vec2, row: Option<RowId>| list.push(Candidate { tip, along, row });
    if let Some(row) = fabric.rows.first().filter(|r| r.shape == RowShape::Foundation) {
        // the chains that turn stand up from the others
        let lies = |id: &&StitchId| fabric.stitch(**id).role != Role::Turning;
        let chains: Vec<_> = row.order.iter().filter(lies).filter_map(|&id| layout.pose(id).lying).collect();
        if let [first, second, ..] = chains.as_slice()
            && let Some(along) = super::numbers::unit(second.at - first.at)
            && !fabric.rings.iter().any(|ring| ring.ids.contains(&row.order[0]))
        {
            let start = first.at - along * (first.length / 2.0);
            // before the first chain, on the chain's own line
            for gap in [0.25, 0.4, 0.6] {
                push(start - along * gap, along, None);
            }
            // beside the first chains, below the row for choice
            let down = if along.x >= 0.0 { Vec2::new(-along.y, along.x) } else { Vec2::new(along.y, -along.x) };
            for off in [0.55, -0.55, 0.75, -0.75, 1.0, -1.0] {
                push(start + along * length + down * off, along, None);
            }
        }
    }
    let (rounds, rows): (Vec<_>, Vec<_>) = fabric
        .rows
        .iter()
        .filter(|r| r.shape != RowShape::Foundation)
        .partition(|r| matches!(r.shape, RowShape::Round | RowShape::Spiral));
    // a piece begun in rows: before the start of its first row, in that line
    if let Some(row) = rows.first().filter(|row| rounds.first().is_none_or(|round| row.index < round.index))
        && let Some(start) = row_start(fabric, layout, row)
    {
        for gap in [0.5, 0.7, 0.9, 1.1, 1.3, 1.5, 1.7] {
            push(start.at - start.along * gap, start.along, Some(row.index));
        }
    }
    // of rounds: over the start of the last, outside the work, else within
    for row in rounds.iter().rev().chain(&rows) {
        let Some(start) = row_start(fabric, layout, row) else { continue };
        for off in [0.9, 1.1, 1.3, 1.6, 1.9, 2.3] {
            for back in [0.0, -0.5, 0.5, -1.0] {
                let tip = start.at + start.up * off + start.along * (length / 2.0 + back);
                push(tip, start.along, Some(row.index));
            }
        }
    }
    list
}
