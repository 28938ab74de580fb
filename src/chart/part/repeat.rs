//! One repeat of a multiple: in rows a strip from bound to bound, in rounds a sector.

use super::passes::of_row;
use super::sector;
use super::{Bound, Pick, Repeat, Says, Shown};
use crate::fabric::{Fabric, Place, Role, Row, RowId, RowShape, StitchId};
use crate::layout::Layout;
use kurbo::{Point, Vec2};

/// One repeat of some rows or rounds, with half a neighbour in grey on each side; none where nothing repeats.
///
/// The bounds run between the stitches where the words of each row begin and end their repeat. Rows that repeat nothing
/// are cut where the others are. Of rounds the first stand complete.
pub fn one_repeat(fabric: &Fabric, layout: &Layout, rows: &[RowId]) -> Option<Pick> {
    let rounds: Vec<RowId> = rows
        .iter()
        .map(|&r| fabric.row(r))
        .filter(|r| matches!(r.shape, RowShape::Round | RowShape::Spiral) && !r.order.is_empty())
        .map(|r| r.index)
        .collect();
    if rounds.len() > 1 { sector::of_rounds(fabric, layout, &rounds) } else { of_rows(fabric, layout, rows) }
}

/// Where the repeat lies: along the rows, from one bound to the other.
struct Strip {
    origin: Point,
    along: Vec2,
    from: f64,
    to: f64,
}

impl Strip {
    fn place_of(&self, p: Point) -> f64 {
        (p - self.origin).dot(self.along)
    }
}

fn of_rows(fabric: &Fabric, layout: &Layout, rows: &[RowId]) -> Option<Pick> {
    let rows: Vec<&Row> = rows.iter().map(|&r| fabric.row(r)).filter(|r| !r.order.is_empty()).collect();
    // the row with the most passes has the finest repeat: the others are cut by it
    let guide = rows.iter().max_by_key(|r| (of_row(fabric, r.index).len(), std::cmp::Reverse(r.index)))?;
    let worked = rows.iter().filter(|r| r.shape != RowShape::Foundation);
    let repeating = worked.clone().filter(|r| !of_row(fabric, r.index).is_empty()).count();
    // one row of increases here and there is no multiple
    if 2 * repeating < worked.count() {
        return None;
    }
    let passes = of_row(fabric, guide.index);
    let middle = passes.get(passes.len() / 2)?;
    let strip = strip(layout, &passes, middle)?;
    let mut pick = Pick::none(fabric);
    let mut bounds = Vec::new();
    for row in &rows {
        let passes = of_row(fabric, row.index);
        let centre = |ids: &[StitchId]| {
            ids.iter().map(|&id| strip.place_of(layout.pose(id).head)).sum::<f64>() / ids.len().max(1) as f64
        };
        let wanted = (strip.from + strip.to) / 2.0;
        let nearest = passes.iter().min_by(|a, b| {
            let off = |p: &[StitchId]| (centre(p) - wanted).abs();
            off(a).total_cmp(&off(b))
        });
        let chosen: Vec<StitchId> = match nearest {
            Some(pass) => pass.clone(),
            None => {
                let within = |id: &&StitchId| {
                    let at = strip.place_of(layout.pose(**id).head);
                    at > strip.from && at < strip.to
                };
                row.order.iter().filter(within).copied().collect()
            }
        };
        bounds.extend(take(&mut pick, row, &chosen));
    }
    pick.with_hangers_on(fabric);
    let n = multiple(fabric, &passes).unwrap_or(middle.len());
    pick.repeat = Some(Repeat { bounds, says: Says::Stitches(n) });
    Some(pick)
}

/// Shows a run of a row in full, half as much on each side in grey; gives its bounds.
pub(super) fn take(pick: &mut Pick, row: &Row, chosen: &[StitchId]) -> Vec<Bound> {
    let Some([first, last]) = ends_of(row, chosen) else { return Vec::new() };
    row.order[first..=last].iter().for_each(|&id| pick.show(id, Shown::Full));
    let half = chosen.len().div_ceil(2);
    for k in 1..=half as i64 {
        for id in [stitch_at(row, first as i64 - k), stitch_at(row, last as i64 + k)].into_iter().flatten() {
            pick.show(id, Shown::Faded);
        }
    }
    bounds_of(row, chosen)
}

/// Where a run of a row begins and ends: between its first and last stitch and those beside them, where there are any.
pub(super) fn bounds_of(row: &Row, chosen: &[StitchId]) -> Vec<Bound> {
    let Some([first, last]) = ends_of(row, chosen) else { return Vec::new() };
    let opens = stitch_at(row, first as i64 - 1);
    let closes = stitch_at(row, last as i64 + 1);
    let opens = opens.map(|before| Bound { before, after: row.order[first], opens: true });
    let closes = closes.map(|after| Bound { before: row.order[last], after, opens: false });
    opens.into_iter().chain(closes).collect()
}

/// The places of the first and last stitch of a run in its row.
fn ends_of(row: &Row, chosen: &[StitchId]) -> Option<[usize; 2]> {
    let position = |id: StitchId| row.order.iter().position(|&o| o == id);
    Some([position(*chosen.first()?)?, position(*chosen.last()?)?])
}

/// A stitch of a row by its place, which runs on round a closed one.
fn stitch_at(row: &Row, k: i64) -> Option<StitchId> {
    let n = row.order.len() as i64;
    let k = if matches!(row.shape, RowShape::Round) { k.rem_euclid(n.max(1)) } else { k };
    usize::try_from(k).ok().and_then(|k| row.order.get(k)).copied()
}

fn strip(layout: &Layout, passes: &[Vec<StitchId>], middle: &[StitchId]) -> Option<Strip> {
    let head = |id: StitchId| layout.pose(id).head;
    let (first, last) = (*passes.first()?.first()?, *passes.last()?.last()?);
    let along = super::super::numbers::unit(head(last) - head(first))?;
    let (a, b) = (head(*middle.first()?), head(*middle.last()?));
    // half a pitch beyond the first and the last stitch
    let span = (b - a).dot(along);
    let half = span / (2.0 * (middle.len().max(2) - 1) as f64);
    Some(Strip { origin: a, along, from: -half.abs(), to: span + half.abs() })
}

/// Stitches of the row below that one pass takes: what the trade calls the multiple. None where the passes stand in
/// spaces or rings, which tell nothing of it.
pub(super) fn multiple(fabric: &Fabric, passes: &[Vec<StitchId>]) -> Option<usize> {
    let entered = |pass: &[StitchId]| {
        pass.iter().find_map(|&id| fabric.stitch(id).into.first().copied()).and_then(|place| match place {
            Place::Top { top: id, .. } | Place::Chain { chain: id } | Place::Bump { bump: id } => {
                let row = fabric.row(fabric.stitch(id).row);
                // of a foundation chain every chain counts, of a row what counts in it
                let counts =
                    |o: &&StitchId| row.shape == RowShape::Foundation || fabric.stitch(**o).role != Role::Turning;
                row.order.iter().filter(counts).position(|&o| o == id)
            }
            _ => None,
        })
    };
    let (one, next) = (entered(&passes[0])?, entered(&passes[1])?);
    Some(one.abs_diff(next)).filter(|&n| n > 0)
}
