//! Symbols beside words, set in columns: legend, colour key, specimen.

use super::metrics::Metrics;
use super::scene::{Anchor, Label, LabelRole, Mark, MarkRole, Paint, Scene, Shape};
use super::{Ink, Style, show};
use kurbo::{Affine, Point, Rect, Shape as _};

/// One line of the legend.
pub(super) struct Entry {
    pub shapes: Vec<Shape>,
    pub role: MarkRole,
    pub ink: Ink,
    pub text: String,
    pub label: LabelRole,
}

/// One column: the width of its symbols and of its words.
struct Column {
    symbol: f64,
    words: f64,
}

impl Column {
    fn width(&self) -> f64 {
        self.symbol + GAP + self.words
    }
}

fn box_of(entry: &Entry) -> Rect {
    bounds(&entry.shapes).unwrap_or(Rect::ZERO)
}

/// Space between a symbol and its words, between columns, between lines.
const GAP: f64 = 0.35;
const COLUMN_GAP: f64 = 1.1;
const LINE_GAP: f64 = 0.4;
/// Room for words in a wider font than they are measured in: a page may lack ours, and most are wider.
const WIDER: f64 = 1.12;
/// Least width the legend may spread over when the chart is narrow.
const LEAST_WIDTH: f64 = 14.0;
/// How much wider than the chart it may be, where that saves a column.
const MORE: f64 = 1.15;

/// Sets entries in columns below `top`, from `left`, over about `width`.
pub(super) fn set(
    entries: &[Entry],
    style: &Style,
    metrics: &Metrics,
    left: f64,
    top: f64,
    width: f64,
) -> (Vec<Mark>, Vec<Label>) {
    let size = style.size_of(LabelRole::Legend, 0.56, 7.0);
    let columns = widths(entries, metrics, size, (width * MORE).max(LEAST_WIDTH));
    let (mut marks, mut labels) = (Vec::new(), Vec::new());
    let mut y = top;
    for line in entries.chunks(columns.len().max(1)) {
        let height = line.iter().map(|e| box_of(e).height()).fold(size, f64::max);
        let mut x = left;
        for (entry, column) in line.iter().zip(&columns) {
            let from = box_of(entry).center();
            let to = Point::new(x + column.symbol / 2.0, y + height / 2.0);
            let mut shapes = entry.shapes.clone();
            shapes.iter_mut().for_each(|s| s.path.apply_affine(Affine::translate(to - from)));
            let (role, ink) = (entry.role, entry.ink);
            let (tint, dashed) = show::fill(role);
            marks.push(Mark { role, ink, tint, dashed, shapes, tip: None, stitch: None });
            // the words stand level with the middle of the symbol
            let at = Point::new(x + column.symbol + GAP, to.y + size * 0.23);
            labels.push(metrics.label(entry.label, &entry.text, at, Anchor::Start, size, style.plain_ink));
            x += column.width() + COLUMN_GAP;
        }
        y += height + LINE_GAP;
    }
    (marks, labels)
}

/// Puts what was set below the work into the scene as its legend; gives the box of all.
pub(super) fn stand_below(scene: &mut Scene, marks: Vec<Mark>, words: Vec<Label>, work: Rect) -> Rect {
    let all = words.iter().map(|l| l.bounds).fold(work, |a, b| a.union(b));
    let all = marks.iter().filter_map(|m| bounds(&m.shapes)).fold(all, |a, b| a.union(b));
    scene.legend = marks;
    scene.labels.extend(words);
    all
}

/// Box of everything drawn and said so far that is no stitch.
pub(super) fn bounds_of_marks(scene: &Scene) -> Rect {
    let drawn = scene.marks.iter().filter_map(|m| bounds(&m.shapes)).chain(scene.labels.iter().map(|l| l.bounds));
    drawn.reduce(|a, b| a.union(b)).unwrap_or(Rect::ZERO)
}

/// As many columns as fit, each as wide as what stands in it.
fn widths(entries: &[Entry], metrics: &Metrics, size: f64, width: f64) -> Vec<Column> {
    /// More, and the eye loses the order.
    const MOST: usize = 4;
    let set = |n: usize| -> Vec<Column> {
        let column = |i: usize| {
            let own = || entries.iter().skip(i).step_by(n);
            let symbol = own().map(|e| box_of(e).width()).fold(0.8, f64::max);
            Column { symbol, words: own().map(|e| metrics.width(&e.text, size) * WIDER).fold(0.0, f64::max) }
        };
        (0..n).map(column).collect()
    };
    let fits = |columns: &[Column]| columns.iter().map(|c| c.width() + COLUMN_GAP).sum::<f64>() - COLUMN_GAP <= width;
    let most = MOST.min(entries.len().max(1));
    let widest = (1..=most).rev().map(set).find(|c| fits(c)).unwrap_or_else(|| set(1));
    // balanced: no column of one beside columns of many
    let lines = entries.len().div_ceil(widest.len()).max(1);
    let balanced = set(entries.len().div_ceil(lines).max(1));
    if fits(&balanced) { balanced } else { widest }
}

/// Box of the ink of some shapes.
pub(super) fn bounds(shapes: &[Shape]) -> Option<Rect> {
    let boxed = |s: &Shape| {
        let half = match s.paint {
            Paint::Stroke(width) => width / 2.0,
            Paint::Fill => 0.0,
        };
        s.path.bounding_box().inflate(half, half)
    };
    shapes.iter().map(boxed).reduce(|a, b| a.union(b))
}
