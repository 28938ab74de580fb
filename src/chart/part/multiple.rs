//! The repeat of a multiple in a flat piece: one pass of every row, bounded where the words begin and end it.

use super::passes::of_row;
use super::repeat::{bounds_of, multiple};
use super::{Bound, Repeat, Says};
use crate::chart::numbers::unit;
use crate::chart::pieces::pieces;
use crate::fabric::{Fabric, RowId, RowShape, StitchId};
use crate::layout::Layout;
use kurbo::Vec2;

/// Least share of a row's stitches that its repeat makes: a row that repeats less has no multiple, but a figure in it.
const SHARE: f64 = 0.6;
/// How far the widths of rows, and of passes of rows, may differ where they are those of one multiple.
const EVEN: f64 = 0.15;

/// The repeat of every flat piece that is worked over a multiple of stitches; `rows` are those that are drawn.
pub(in super::super) fn multiples(fabric: &Fabric, layout: &Layout, rows: &[RowId]) -> Vec<Repeat> {
    let drawn = |piece: Vec<RowId>| piece.into_iter().filter(|r| rows.contains(r)).collect::<Vec<_>>();
    pieces(fabric).into_iter().map(drawn).filter_map(|piece| of_piece(fabric, layout, &piece)).collect()
}

/// A row of a piece with the passes of its repeat; none where it repeats nothing.
struct Line<'a> {
    row: RowId,
    order: &'a [StitchId],
    passes: Vec<Vec<StitchId>>,
    /// From its first head to its last, along the work.
    width: f64,
    /// From the middle of a pass to that of the next.
    period: f64,
}

fn of_piece(fabric: &Fabric, layout: &Layout, rows: &[RowId]) -> Option<Repeat> {
    let rows: Vec<RowId> = rows
        .iter()
        .copied()
        .filter(|&r| fabric.row(r).shape != RowShape::Foundation && !fabric.row(r).order.is_empty())
        .collect();
    if rows.iter().any(|&r| fabric.row(r).shape != RowShape::Row) {
        return None;
    }
    let head = |id: StitchId| layout.pose(id).head;
    let long = rows.iter().max_by_key(|&&r| (of_row(fabric, r).len(), std::cmp::Reverse(r)))?;
    let order = &fabric.row(*long).order;
    let along = unit(head(*order.last()?) - head(*order.first()?))?;
    let place = |id: StitchId| head(id).to_vec2().dot(along);
    let middle = |ids: &[StitchId]| ids.iter().map(|&id| place(id)).sum::<f64>() / ids.len().max(1) as f64;
    let lines: Vec<Line> = rows.iter().filter_map(|&r| line(fabric, r, &place, &middle)).collect();
    if lines.len() < rows.len() || !is_straight(fabric, layout, *long, along) {
        return None;
    }
    let repeating = || lines.iter().filter(|l| !l.passes.is_empty());
    // one row that repeats here and there is no multiple
    if 2 * repeating().count() < lines.len() {
        return None;
    }
    // the widest pass is the repeat: it holds whole passes of the finer rows
    let guide = repeating().reduce(|a, b| if b.period > a.period * (1.0 + EVEN) { b } else { a })?;
    let even = |a: f64, b: f64| (a - b).abs() <= EVEN * b;
    let fits = |l: &Line| {
        let times = (guide.period / l.period).round().max(1.0);
        even(l.width, guide.width) && even(l.period * times, guide.period) && l.passes.len() as f64 >= times
    };
    if !repeating().all(fits) || !lines.iter().all(|l| even(l.width, guide.width)) {
        return None;
    }
    // the pass nearest to the middle that is parted on both sides
    let whole = |pass: &&Vec<StitchId>| bounds_of(fabric.row(guide.row), pass).len() == 2;
    let centre = (guide.passes.len() - 1) as f64 / 2.0;
    let passes = guide.passes.iter().enumerate().filter(|(_, p)| whole(p));
    let off = |k: usize| (k as f64 - centre).abs();
    let (_, chosen) = passes.min_by(|a, b| off(a.0).total_cmp(&off(b.0)))?;
    let wanted = middle(chosen);
    let mut bounds: Vec<Bound> = Vec::new();
    let mut stitches = None;
    for line in &lines {
        let times = (guide.period / line.period.max(1e-9)).round().max(1.0) as usize;
        let runs: Vec<Vec<StitchId>> = match line.passes.is_empty() {
            true => vec![between(line.order, &place, wanted, guide.period)],
            false => line.passes.windows(times).map(<[_]>::concat).collect(),
        };
        let nearest = runs.iter().min_by(|a, b| (middle(a) - wanted).abs().total_cmp(&(middle(b) - wanted).abs()))?;
        bounds.extend(bounds_of(fabric.row(line.row), nearest));
        if stitches.is_none() && line.passes.len() > 1 {
            stitches = multiple(fabric, &line.passes).map(|n| n * times);
        }
    }
    let n = stitches.unwrap_or(chosen.len());
    (n > 1 && !bounds.is_empty()).then_some(Repeat { bounds, says: Says::Stitches(n) })
}

fn line<'a>(
    fabric: &'a Fabric,
    row: RowId,
    place: &impl Fn(StitchId) -> f64,
    middle: &impl Fn(&[StitchId]) -> f64,
) -> Option<Line<'a>> {
    let order = &fabric.row(row).order;
    let width = (place(*order.last()?) - place(*order.first()?)).abs();
    let mut passes = of_row(fabric, row);
    let repeated: usize = passes.iter().map(Vec::len).sum();
    let in_passes = order.iter().filter(|&&id| !fabric.stitch(id).pass.is_empty()).count();
    // a row of two repeats is worked over no multiple, nor is one that repeats but a little
    if in_passes > repeated || (repeated as f64) < SHARE * order.len() as f64 {
        passes.clear();
    }
    let period = match passes.as_slice() {
        [first, .., last] => (middle(last) - middle(first)).abs() / (passes.len() - 1) as f64,
        _ => f64::INFINITY,
    };
    Some(Line { row, order, passes, width, period })
}

/// True where a row runs one way: not round a corner, nor back along the other side of a chain.
fn is_straight(fabric: &Fabric, layout: &Layout, row: RowId, along: Vec2) -> bool {
    /// A ripple climbs and falls at 45°, and yet goes on.
    const GOES_ON: f64 = -0.2;
    let heads = fabric.row(row).order.iter().map(|&id| layout.pose(id).head);
    let heads: Vec<_> = heads.collect();
    heads.windows(2).all(|w| unit(w[1] - w[0]).is_none_or(|way| way.dot(along) > GOES_ON))
}

/// The stitches of a row that repeats nothing, as far as the repeat reaches.
fn between(order: &[StitchId], place: &impl Fn(StitchId) -> f64, middle: f64, period: f64) -> Vec<StitchId> {
    order.iter().copied().filter(|&id| (place(id) - middle).abs() < period / 2.0 - 1e-6).collect()
}
