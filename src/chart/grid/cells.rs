//! The cells of a mesh: posts at even distances, and between them chains or stitches.

use crate::craft::Stem;
use crate::fabric::{Fabric, Place, RowId, RowShape, Side, StitchId};

/// Widest cell looked for, in stitches from post to post.
const WIDEST: usize = 6;

/// The rows of a mesh as squares, from the first row up.
pub(super) struct Cells {
    pub rows: Vec<RowOfCells>,
    /// Stitches and chains from one post to the next.
    pub pitch: usize,
    /// What the posts are.
    pub stem: Stem,
}

/// One row, from left to right as seen from the right side.
pub(super) struct RowOfCells {
    pub row: RowId,
    /// Column of the leftmost cell; that of the first row is 0.
    pub first: i64,
    /// True for cells whose stitches are all worked.
    pub filled: Vec<bool>,
    /// The post each cell opens with, seen from the left.
    pub posts: Vec<StitchId>,
}

/// One column of a row: a stitch, or a chain of a space.
#[derive(Clone, Copy)]
struct Column {
    id: StitchId,
    post: bool,
}

/// The cells of some rows.
///
/// # Errors
/// In words: what the rows lack to be a mesh.
pub(super) fn cells_of(fabric: &Fabric, rows: &[RowId]) -> Result<Cells, String> {
    let worked: Vec<RowId> = rows
        .iter()
        .copied()
        .filter(|&r| fabric.row(r).shape != RowShape::Foundation && !fabric.row(r).order.is_empty())
        .collect();
    if let Some(&round) = worked.iter().find(|&&r| fabric.row(r).shape != RowShape::Row) {
        return Err(format!("{} is no row: squares are for mesh and filet worked in rows", fabric.row(round).label));
    }
    let columns: Vec<Vec<Column>> = worked.iter().map(|&r| columns(fabric, r)).collect();
    let open = columns.iter().flatten().any(|c| !c.post);
    if worked.is_empty() || !open {
        return Err("there is no open mesh here: squares are for mesh and filet".into());
    }
    // the pitch that fits most rows; the first row that it does not fit is told
    let fit = |pitch: usize| columns.iter().take_while(|c| filled(c, pitch).is_some()).count();
    let pitch = (2..=WIDEST).max_by_key(|&p| (fit(p), std::cmp::Reverse(p))).unwrap_or(2);
    let mut found = Vec::new();
    let mut below: Option<(Vec<Column>, i64)> = None;
    for (&row, columns) in worked.iter().zip(&columns) {
        let label = &fabric.row(row).label;
        let cells = filled(columns, pitch)
            .ok_or_else(|| format!("{label} makes no squares: its posts do not stand every {pitch} stitches with all or nothing between them"))?;
        let shift = match &below {
            None => 0,
            Some((under, shift)) => {
                shift
                    + offset(fabric, columns, under)
                        .ok_or_else(|| format!("{label} does not stand on the posts of the row below"))?
            }
        };
        if shift % pitch as i64 != 0 {
            return Err(format!("{label} stands off the squares of the row below"));
        }
        let posts = columns.iter().step_by(pitch).take(cells.len()).map(|c| c.id).collect();
        found.push(RowOfCells { row, first: shift / pitch as i64, filled: cells, posts });
        below = Some((columns.clone(), shift));
    }
    let stems = columns.iter().flatten().filter(|c| c.post).map(|c| fabric.stitch(c.id).stem());
    Ok(Cells { rows: found, pitch, stem: stems.max().unwrap_or(Stem::Tall(1)) })
}

/// The columns of a row from left to right.
fn columns(fabric: &Fabric, row: RowId) -> Vec<Column> {
    let row = fabric.row(row);
    let column = |&id: &StitchId| {
        let stitch = fabric.stitch(id);
        Column { id, post: !stitch.is_chain() || stitch.is_counting_turning_chain() }
    };
    let mut columns: Vec<Column> = row.order.iter().map(column).collect();
    // right-side rows are worked from right to left
    if row.side == Side::Right {
        columns.reverse();
    }
    columns
}

/// Which cells are filled; none where the columns make no cells of this pitch.
fn filled(columns: &[Column], pitch: usize) -> Option<Vec<bool>> {
    if columns.len() <= pitch || !(columns.len() - 1).is_multiple_of(pitch) {
        return None;
    }
    let cell = |k: usize| {
        let inner = &columns[k * pitch + 1..(k + 1) * pitch];
        let posts = inner.iter().filter(|c| c.post).count();
        let bounded = columns[k * pitch].post && columns[(k + 1) * pitch].post;
        (bounded && (posts == 0 || posts == inner.len())).then_some(posts > 0)
    };
    (0..(columns.len() - 1) / pitch).map(cell).collect()
}

/// How many columns farther right this row begins than the row below.
fn offset(fabric: &Fabric, columns: &[Column], below: &[Column]) -> Option<i64> {
    columns.iter().enumerate().filter(|(_, c)| c.post).find_map(|(k, c)| {
        let stands_on = fabric.stitch(c.id).into.iter().find_map(|p| match *p {
            Place::Top { top, .. } => Some(top),
            _ => None,
        })?;
        let at = below.iter().position(|b| b.id == stands_on)?;
        Some(at as i64 - k as i64)
    })
}
