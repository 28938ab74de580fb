//! A chart row by row: what has been worked in grey, the new row in ink, its words below.

use super::compose::bounds_of_work;
use super::furnish::page;
use super::metrics::Metrics;
use super::pieces::pieces;
use super::scene::{Label, LabelRole, Mark, RowGroup, Scene};
use super::words::is_headed;
use super::wrap::Column;
use super::{ChartInfo, Ink, Style};
use crate::fabric::{Fabric, RowId, RowShape};
use kurbo::{Rect, Vec2};

/// White round a figure, and between the drawing and its words, in sc widths.
const MARGIN: f64 = 0.6;
const ABOVE_WORDS: f64 = 0.7;

/// One figure for each row in which something is made, in working order: the rows before it in grey, the row in ink,
/// and below them the words of the row, where there are any.
///
/// All figures have one scale and frames of one size; those of one piece have the very same frame, so that a figure laid
/// over the next shows what is new. Of a pattern in several pieces each figure shows the piece its row belongs to.
pub fn steps(scene: &Scene, fabric: &Fabric, style: &Style, info: &ChartInfo) -> Vec<Scene> {
    let metrics = Metrics::new(&style.font);
    let pieces = pieces(fabric);
    let drawn: Vec<Rect> = pieces.iter().map(|rows| bounds_of_work(&only(scene, fabric, rows))).collect();
    let size = drawn.iter().fold((0.0, 0.0), |(w, h): (f64, f64), r| (w.max(r.width()), h.max(r.height())));
    let column = Column::new(&metrics, style, size.0);
    let rows: Vec<RowId> = rows_in_order(scene, fabric, &pieces);
    let lines: Vec<Vec<String>> = rows.iter().map(|&row| column.lines(&words_of(fabric, info, row))).collect();
    let most = lines.iter().map(Vec::len).max().unwrap_or(0);
    let below = if most == 0 { 0.0 } else { ABOVE_WORDS + most as f64 * column.pitch() };
    let wide = column.width.max(size.0) + 2.0 * MARGIN;
    // a little more than the content: where a frame begins is rounded as well
    let frame = page(Rect::new(0.0, 0.0, wide + 0.01, size.1 + below + 2.0 * MARGIN + 0.01)).size();
    let mut figures = Vec::with_capacity(rows.len());
    for (k, (&row, lines)) in rows.iter().zip(&lines).enumerate() {
        // OK: every row in the list comes from a piece
        let of = pieces.iter().position(|p| p.contains(&row)).unwrap_or(0);
        let centre = drawn[of].center();
        let work = Rect::from_center_size(centre, (column.width.max(size.0), size.1));
        let so_far: Vec<RowId> = pieces[of].iter().copied().filter(|&r| r <= row).collect();
        let mut figure = only(scene, fabric, &so_far);
        dim(&mut figure, fabric, row);
        figure.labels.extend(column.set(lines, work.x0, work.y1 + ABOVE_WORDS, style.plain_ink));
        figure.frame = Rect::from_origin_size(page(work.inflate(MARGIN, MARGIN)).origin(), frame);
        figure.title = titled(scene, &fabric.row(row).label);
        figure.desc = described(fabric, info, row, k + 1, rows.len());
        figure.prefix = format!("{}-step{}", scene.prefix, k + 1);
        figures.push(figure);
    }
    figures
}

/// The work alone, without title, numbers and legend: what stands for a piece among others.
pub fn bare(scene: &Scene) -> Scene {
    let mut work = furniture_apart(scene);
    work.labels.clear();
    work.marks.clear();
    work.layers.clear();
    work.tints.clear();
    work.frame = page(bounds_of_work(&work).inflate(MARGIN, MARGIN));
    work.prefix = format!("{}-bare", scene.prefix);
    work
}

/// The whole chart with the words of all its rows below it, above the legend: what is shown row by row, or all at once.
pub fn with_words(scene: &Scene, fabric: &Fabric, style: &Style, info: &ChartInfo) -> Scene {
    let metrics = Metrics::new(&style.font);
    let mut whole = scene.clone();
    let work = bounds_of_work(&furniture_apart(&whole));
    let column = Column::new(&metrics, style, work.width());
    let (left, mut top) = (work.x0, work.y1 + ABOVE_WORDS);
    let mut listed = Vec::new();
    for row in rows_in_order(scene, fabric, &pieces(fabric)) {
        let lines = column.lines(&words_of(fabric, info, row));
        let labels = column.set(&lines, left, top, style.plain_ink);
        listed.extend(labels.into_iter().map(|l| Label { row: Some(row), ..l }));
        top += (lines.len() as f64 + 0.25) * column.pitch();
    }
    let by = Vec2::new(0.0, top - work.y1);
    shift_furniture(&mut whole, by);
    let right = (left + column.width).max(whole.frame.x1 - MARGIN);
    whole.labels.extend(listed);
    whole.frame = page(Rect { x1: right + MARGIN, y1: whole.frame.y1 + by.y, ..whole.frame });
    whole
}

/// Rows in which something is made and drawn in ink, piece after piece as they are worked.
fn rows_in_order(scene: &Scene, fabric: &Fabric, pieces: &[Vec<RowId>]) -> Vec<RowId> {
    let inked = |row: RowId| {
        let groups = scene.rows.iter().filter(|g| g.row == row);
        groups.flat_map(|g| &g.figures).any(|f| f.ink != Ink::PAST)
    };
    let mut rows: Vec<RowId> = pieces.iter().flatten().copied().collect();
    rows.sort_unstable();
    rows.retain(|&row| inked(row) && fabric.stitches.iter().any(|s| s.row == row));
    rows
}

/// What of the scene belongs to some rows, without title, legend and credit.
pub(super) fn only(scene: &Scene, fabric: &Fabric, rows: &[RowId]) -> Scene {
    let mut part = furniture_apart(scene);
    // a ring begun in a row of its own goes with what is worked into it
    part.rows.retain(|g| rows.contains(&g.row) || (is_ring_alone(g) && rows.contains(&next(g.row))));
    let of = |mark: &Mark| mark.stitch.is_none_or(|id| rows.contains(&fabric.stitch(id).row));
    part.tints.retain(of);
    // the arrow stands at the start of the first row
    let starts = scene.rows.iter().map(|g| g.row).min().is_some_and(|first| rows.contains(&first));
    part.marks.retain(|m| of(m) && (m.stitch.is_some() || starts));
    part.labels.retain(|l| l.row.is_none_or(|row| rows.contains(&row)));
    part
}

/// True for the group of a row in which nothing but a ring is begun.
fn is_ring_alone(group: &RowGroup) -> bool {
    group.figures.is_empty() && !group.rings.is_empty()
}

fn next(row: RowId) -> RowId {
    RowId::new(row.index() + 1)
}

/// The scene without what stands round the work.
fn furniture_apart(scene: &Scene) -> Scene {
    let mut part = scene.clone();
    part.legend.clear();
    part.labels.retain(|l| !is_furniture(l));
    part
}

fn is_furniture(label: &Label) -> bool {
    matches!(label.role, LabelRole::Title | LabelRole::Legend | LabelRole::Key | LabelRole::Credit)
}

/// Moves what stands below the work.
fn shift_furniture(scene: &mut Scene, by: Vec2) {
    for shape in scene.legend.iter_mut().flat_map(|m| &mut m.shapes) {
        shape.path.apply_affine(kurbo::Affine::translate(by));
    }
    for label in scene.labels.iter_mut().filter(|l| is_furniture(l) && l.role != LabelRole::Title) {
        label.at += by;
        label.bounds = label.bounds + by;
    }
}

/// Turns everything grey that belongs to an earlier row than this.
fn dim(figure: &mut Scene, fabric: &Fabric, row: RowId) {
    for group in &mut figure.rows {
        if is_ring_alone(group) && next(group.row) == row {
            continue;
        }
        if group.row == row {
            as_made(group, fabric);
            continue;
        }
        group.ink = Ink::PAST;
        group.figures.iter_mut().for_each(|f| f.ink = Ink::PAST);
    }
    for mark in figure.marks.iter_mut() {
        let own = mark.stitch.map_or(fabric.rows.first().map(|r| r.index), |id| Some(fabric.stitch(id).row));
        if own != Some(row) {
            mark.ink = Ink::PAST;
        }
    }
    for label in figure.labels.iter_mut().filter(|l| l.row != Some(row)) {
        label.ink = Ink::PAST_WORDS;
    }
}

/// While it is made, a foundation chain is one chain: its last chains have not yet become the edge of a row.
fn as_made(group: &mut RowGroup, fabric: &Fabric) {
    if fabric.row(group.row).shape == RowShape::Foundation {
        let ink = group.ink;
        group.figures.iter_mut().for_each(|f| f.ink = ink);
    }
}

/// The words of a row, headed by its name.
fn words_of(fabric: &Fabric, info: &ChartInfo, row: RowId) -> String {
    let label = &fabric.row(row).label;
    match info.rows.iter().find(|(id, _)| *id == row).map(|(_, words)| words.trim()) {
        None | Some("") => label.clone(),
        Some(words) if is_headed(words, label) => words.to_owned(),
        Some(words) => format!("{label}: {words}"),
    }
}

fn titled(scene: &Scene, label: &str) -> String {
    if scene.title.is_empty() { label.to_owned() } else { format!("{}: {label}", scene.title) }
}

fn described(fabric: &Fabric, info: &ChartInfo, row: RowId, nth: usize, of: usize) -> String {
    let label = &fabric.row(row).label;
    format!("Figure {nth} of {of}: {label} in ink, what was worked before it in grey.\n{}", words_of(fabric, info, row))
}
