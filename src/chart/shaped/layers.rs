//! Petals worked behind others: the layers drawn apart, each on the round it stands on.

use super::super::aside::Aside;
use super::super::pieces::{pieces, rows_of};
use super::super::words::label_within;
use super::extract::as_it_is;
use super::{BELOW, BESIDE, Shaped, bounds, holds_ring, put, shift};
use crate::fabric::{Fabric, Place, RowId, RowShape, StitchId};
use crate::layout::{Layout, LayoutOptions, Sizes};
use crate::symbol::{Speak, filled};
use kurbo::{Point, Vec2};

/// A layer: its rows, and the row of another layer that its first stands on.
struct Layer {
    rows: Vec<RowId>,
    on: Option<RowId>,
}

/// Lays out a fabric with its layers apart; none where no row goes behind another.
///
/// A row goes behind another where both stand on one row and it was made later: the petals of a flower in the front loops
/// of a round, and behind them a round in its back loops.
pub fn layered(
    fabric: &Fabric,
    whole: &Layout,
    sizes: &dyn Sizes,
    how: &LayoutOptions,
    speak: Speak,
) -> Option<Shaped> {
    let mut layout = whole.clone();
    let mut aside = Aside::default();
    let (mut top, mut any) = (0.0, false);
    for rows in pieces(fabric) {
        let layers = layers_of(fabric, &rows);
        any |= layers.len() > 1;
        let (mut x, mut low) = (0.0, top);
        for (k, layer) in layers.iter().enumerate() {
            let own: Vec<StitchId> = stitches(fabric, &layer.rows);
            // laid out with all it stands on, and without what lies before it
            let mut bearing = Vec::new();
            let mut on = layer.on;
            while let Some(row) = on {
                let of = layers.iter().find(|l| l.rows.contains(&row));
                bearing.extend(of.into_iter().flat_map(|l| &l.rows).copied().filter(|&r| r <= row));
                on = of.and_then(|l| l.on);
            }
            let together: Vec<RowId> =
                rows.iter().copied().filter(|r| bearing.contains(r) || layer.rows.contains(r)).collect();
            let mut trial = layout.clone();
            put(fabric, &mut trial, &as_it_is(fabric, &stitches(fabric, &together)), sizes, how);
            let mut line: Vec<Point> = layer
                .on
                .map_or_else(Vec::new, |row| fabric.row(row).order.iter().map(|&id| trial.pose(id).head).collect());
            if let Some(&first) = line.first().filter(|_| layer.on.is_some_and(|r| closed(fabric, r))) {
                line.push(first);
            }
            take(fabric, &mut layout, &trial, &own);
            let all = bounds(&layout, &own);
            let by = Vec2::new(x - all.x0, top - all.y0);
            shift(fabric, &mut layout, &own, by);
            if !line.is_empty() {
                aside.lines.push(line.into_iter().map(|p| p + by).collect());
            }
            if layers.len() > 1 {
                aside.notes.push((Point::new(x + 0.5, top + all.height()), words(fabric, &layers, k, speak)));
            }
            low = f64::max(low, top + all.height());
            x += all.width() + BESIDE;
        }
        top = low + BELOW;
    }
    any.then_some(Shaped { layout, aside })
}

/// True where a row goes behind another, so that [`layered`] draws them apart.
pub fn goes_behind(fabric: &Fabric) -> bool {
    pieces(fabric).iter().any(|rows| layers_of(fabric, rows).len() > 1)
}

fn closed(fabric: &Fabric, row: RowId) -> bool {
    matches!(fabric.row(row).shape, RowShape::Round)
}

fn stitches(fabric: &Fabric, rows: &[RowId]) -> Vec<StitchId> {
    fabric.stitches.iter().filter(|s| rows.contains(&s.row)).map(|s| s.id).collect()
}

/// Takes over the positions of some stitches, and of the rings and spaces that go with them.
fn take(fabric: &Fabric, layout: &mut Layout, from: &Layout, ids: &[StitchId]) {
    for id in ids {
        layout.poses[id.index()] = from.pose(*id).clone();
    }
    for k in 0..layout.rings.len() {
        if holds_ring(fabric, ids, k) {
            layout.rings[k] = from.rings[k];
        }
    }
    for (k, space) in fabric.spaces.iter().enumerate() {
        if space.ids.first().is_some_and(|id| ids.contains(id)) {
            layout.spaces[k] = from.spaces[k];
        }
    }
}

/// Front to back.
fn layers_of(fabric: &Fabric, rows: &[RowId]) -> Vec<Layer> {
    let mut layers: Vec<Layer> = Vec::new();
    let mut bases: Vec<(RowId, RowId)> = Vec::new();
    for &row in rows {
        let own = |s: &&crate::fabric::Stitch| s.row == row && fabric.row(row).order.contains(&s.id);
        // a row along the underside of the chain lies below it, not behind what stands upon it
        let under = |p: &&Place| matches!(p, Place::Underside { .. });
        let on_it = fabric.stitches.iter().filter(own).flat_map(|s| &s.into).filter(|p| !under(p));
        let below = on_it.flat_map(|p| rows_of(fabric, p));
        let on = below.filter(|&r| r != row).max();
        // something made since stands on the same row: this one goes behind it
        let behind = on.filter(|on| bases.iter().any(|(_, b)| b == on));
        let home = on.and_then(|on| layers.iter().position(|l| l.rows.contains(&on)));
        match (behind, home) {
            (None, Some(k)) => layers[k].rows.push(row),
            (None, None) => match layers.first_mut() {
                // what stands on nothing belongs to the beginning
                Some(first) if on.is_none() => first.rows.push(row),
                _ => layers.push(Layer { rows: vec![row], on: None }),
            },
            (Some(on), _) => layers.push(Layer { rows: vec![row], on: Some(on) }),
        }
        bases.extend(on.map(|on| (row, on)));
    }
    layers
}

/// `round 1 to 3, in front`, `round 4 to 5, behind, on round 2`.
fn words(fabric: &Fabric, layers: &[Layer], k: usize, speak: Speak) -> String {
    let layer = &layers[k];
    let named: Vec<&str> = layer
        .rows
        .iter()
        .map(|&r| fabric.row(r))
        .filter(|r| r.shape != RowShape::Foundation && !r.order.is_empty())
        .map(|r| r.label.as_str())
        .collect();
    let name = |label: &str| label_within(label, speak);
    let rows = match named.as_slice() {
        [] => String::new(),
        [one] => name(one),
        [first, .., last] => {
            let to = last.rsplit(' ').next().unwrap_or(last);
            filled("from to", speak, &[("a", &name(first)), ("b", to)])
        }
    };
    match layer.on {
        None => filled("in front", speak, &[("rows", &rows)]),
        Some(on) => filled("behind", speak, &[("rows", &rows), ("row", &name(&fabric.row(on).label))]),
    }
}
