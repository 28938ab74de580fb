//! A chart on squares, for mesh and filet.

mod cells;

use super::columns::{self, Entry};
use super::furnish;
use super::metrics::Metrics;
use super::scene::{Label, LabelRole, Mark, MarkRole, Paint, Scene, Shape};
use super::{ChartInfo, Ink, Style};
use crate::craft::{Stem, StitchForm};
use crate::fabric::{Fabric, RowId, Side};
use crate::symbol::{PartKind, Speak, SymbolSet, filled, name_of};
use cells::{Cells, cells_of};
use kurbo::{BezPath, Point, Rect, Shape as _};

/// Width of the lines between squares, and white round a filled square, in squares.
const LINE: f64 = 0.05;
const INSET: f64 = 0.12;
/// Columns are numbered at every fifth.
const EVERY: usize = 5;

/// The chart of a mesh or filet on squares: one square for each cell, filled where its stitches are all worked. Rows are
/// numbered where they start, columns from the right, as row 1 runs.
///
/// # Errors
/// In words, where the rows make no mesh.
pub fn grid(
    fabric: &Fabric,
    rows: &[RowId],
    symbols: &SymbolSet,
    style: &Style,
    info: &ChartInfo,
) -> Result<Scene, String> {
    let cells = cells_of(fabric, rows)?;
    let metrics = Metrics::new(&style.font);
    let speak = style.speak.unwrap_or(info.terms);
    let mut scene = furnish::begun(fabric, symbols, style, info, speak);
    scene.marks = squares(&cells, style.plain_ink);
    scene.labels = numbers(fabric, &cells, style, &metrics);
    let entries = entries(&cells, symbols, speak, style.plain_ink);
    let work = columns::bounds_of_marks(&scene);
    let below = |scene: &mut Scene| {
        let (marks, words) = columns::set(&entries, style, &metrics, work.x0, work.y1 + 1.1, work.width());
        columns::stand_below(scene, marks, words, work)
    };
    furnish::furnish(&mut scene, style, &metrics, work, below, info.credit.as_deref());
    Ok(scene)
}

/// The square of a cell: row 1 at the bottom.
fn square(row: usize, column: i64) -> Rect {
    let (x, y) = (column as f64, -(row as f64) - 1.0);
    Rect::new(x, y, x + 1.0, y + 1.0)
}

fn squares(cells: &Cells, ink: Ink) -> Vec<Mark> {
    let mut marks = Vec::new();
    for (k, row) in cells.rows.iter().enumerate() {
        for (i, &filled) in row.filled.iter().enumerate() {
            let cell = square(k, row.first + i as i64);
            let (role, shapes) = match filled {
                true => (MarkRole::Block, vec![outline(cell), block(cell)]),
                false => (MarkRole::Open, vec![outline(cell)]),
            };
            marks.push(Mark { role, ink, tint: None, dashed: false, shapes, tip: None, stitch: Some(row.posts[i]) });
        }
    }
    marks
}

fn outline(cell: Rect) -> Shape {
    Shape { kind: PartKind::Body, path: path(cell), paint: Paint::Stroke(LINE), placed: None }
}

fn block(cell: Rect) -> Shape {
    Shape { kind: PartKind::Dot, path: path(cell.inflate(-INSET, -INSET)), paint: Paint::Fill, placed: None }
}

fn path(r: Rect) -> BezPath {
    r.to_path(0.01)
}

fn numbers(fabric: &Fabric, cells: &Cells, style: &Style, metrics: &Metrics) -> Vec<Label> {
    let size = style.text_size(0.6, 7.0);
    let mut labels = Vec::new();
    for (k, row) in cells.rows.iter().enumerate() {
        let cell = |i: usize| square(k, row.first + i as i64);
        let last = row.filled.len() - 1;
        let text = fabric.row(row.row).label.rsplit(' ').next().unwrap_or("").to_owned();
        let half = metrics.width(&text, size) / 2.0 + 0.3;
        let at = match fabric.row(row.row).side {
            Side::Right => Point::new(cell(last).x1 + half, cell(last).center().y),
            Side::Wrong => Point::new(cell(0).x0 - half, cell(0).center().y),
        };
        let label = metrics.centred(LabelRole::RowNumber, &text, at, size, style.row_inks[k % 2]);
        labels.push(Label { row: Some(row.row), ..label });
    }
    let bottom = &cells.rows[0];
    let n = bottom.filled.len();
    for column in (1..=n).filter(|c| *c == 1 || c % EVERY == 0) {
        let cell = square(0, bottom.first + (n - column) as i64);
        let at = Point::new(cell.center().x, cell.y1 + 0.2 + size * 0.5);
        labels.push(metrics.centred(LabelRole::Note, &column.to_string(), at, size, style.plain_ink));
    }
    labels
}

fn entries(cells: &Cells, symbols: &SymbolSet, speak: Speak, ink: Ink) -> Vec<Entry> {
    let name = |stem: Stem| name_of(symbols, StitchForm::plain(stem), speak).short;
    let (post, chain) = (name(cells.stem), name(Stem::Chain(1)));
    let between = cells.pitch - 1;
    let entry = |filled: bool, text: String| {
        let cell = Rect::new(0.0, 0.0, 1.0, 1.0);
        let shapes = if filled { vec![outline(cell), block(cell)] } else { vec![outline(cell)] };
        let role = if filled { MarkRole::Block } else { MarkRole::Open };
        Entry { shapes, role, ink, text, label: LabelRole::Legend }
    };
    let any = |filled: bool| cells.rows.iter().any(|r| r.filled.contains(&filled));
    let open = any(false).then(|| {
        entry(false, filled("open square", speak, &[("post", &post), ("chain", &chain), ("n", &between.to_string())]))
    });
    let block = any(true)
        .then(|| entry(true, filled("filled square", speak, &[("n", &(between + 1).to_string()), ("post", &post)])));
    let end = Entry {
        shapes: Vec::new(),
        role: MarkRole::Open,
        ink,
        text: filled("last post", speak, &[("post", &post)]),
        label: LabelRole::Legend,
    };
    open.into_iter().chain(block).chain([end]).collect()
}
