//! The one arrow that tells where the work starts and which way it goes.

use super::Ink;
use super::figure::shape;
use super::ground::Ground;
use super::numbers::row_start;
use super::scene::{Mark, MarkRole};
use super::trace::traced;
use crate::fabric::{Fabric, RowShape};
use crate::layout::Layout;
use crate::symbol::{Stand, SymbolSet};
use kurbo::{Point, Vec2};

/// Distance kept from ink and labels.
const CLEAR: f64 = 0.12;

/// Places the arrow; none where the fabric is empty or no place near the start is free.
pub(super) fn place(fabric: &Fabric, layout: &Layout, symbols: &SymbolSet, ink: Ink, ground: &Ground) -> Option<Mark> {
    let symbol = symbols.get("arrow")?;
    let length = symbol.height;
    let at = |tip: Point, along: Vec2| {
        let stand = Stand::new(tip - along * length, tip);
        let shapes = stand.pieces(symbol).into_iter().map(shape).collect();
        Mark { role: MarkRole::Arrow, ink, tint: None, dashed: false, shapes, tip: Some(tip), stitch: None }
    };
    for (tip, along) in candidates(fabric, layout, length) {
        let mark = at(tip, along);
        let ink: Vec<_> = mark.shapes.iter().flat_map(traced).collect();
        if ground.is_free_for(&ink, CLEAR) {
            return Some(mark);
        }
    }
    None
}

/// Tips and directions, best first.
fn candidates(fabric: &Fabric, layout: &Layout, length: f64) -> Vec<(Point, Vec2)> {
    let mut list = Vec::new();
    if let Some(row) = fabric.rows.first().filter(|r| r.shape == RowShape::Foundation) {
        let chains: Vec<_> = row.order.iter().filter_map(|&id| layout.pose(id).lying).collect();
        if let [first, second, ..] = chains.as_slice()
            && let Some(along) = super::numbers::unit(second.at - first.at)
        {
            let start = first.at - along * (first.length / 2.0);
            // before the first chain, on the chain's own line
            for gap in [0.25, 0.4, 0.6] {
                list.push((start - along * gap, along));
            }
            // beside the first chains, below the row for choice
            let down = if along.x >= 0.0 { Vec2::new(-along.y, along.x) } else { Vec2::new(along.y, -along.x) };
            for off in [0.55, -0.55, 0.75, -0.75, 1.0, -1.0] {
                list.push((start + along * length + down * off, along));
            }
        }
    }
    // rounds, or a foundation with no room: at the start of the first row, else of a later one
    let rows: Vec<_> = fabric.rows.iter().filter(|r| r.shape != RowShape::Foundation).collect();
    for row in rows {
        let Some(start) = row_start(fabric, layout, row) else { continue };
        for off in [0.9, 1.1, 1.3, 1.6, 1.9, 2.3] {
            for back in [0.0, -0.5, 0.5, -1.0] {
                list.push((start.at + start.up * off + start.along * (length / 2.0 + back), start.along));
            }
        }
    }
    list
}
