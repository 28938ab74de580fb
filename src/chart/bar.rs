//! The scale bar of a chart in the proportions of the piece.

use super::Style;
use super::metrics::Metrics;
use super::scene::{Anchor, Label, LabelRole, Mark, MarkRole, Paint, Shape};
use crate::symbol::PartKind;
use kurbo::{BezPath, Point, Rect};

/// Lengths a bar may stand for, in millimetres.
const LENGTHS_MM: [f64; 7] = [10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0];
/// Most of the work's width that it takes.
const SHARE: f64 = 0.5;
const TICK: f64 = 0.14;
const LINE: f64 = 0.07;

/// A bar below the work, from its left edge, and the length it stands for. None where even a centimetre is wider than
/// the work.
pub(super) fn place(work: Rect, stitch_mm: f64, style: &Style, metrics: &Metrics) -> Option<(Mark, Label)> {
    let fits = |mm: &&f64| **mm / stitch_mm <= SHARE * work.width();
    let least = Some(&LENGTHS_MM[0]).filter(|mm| **mm / stitch_mm <= work.width());
    let mm = *LENGTHS_MM.iter().rev().find(fits).or(least)?;
    let (x0, x1, y) = (work.x0, work.x0 + mm / stitch_mm, work.y1 + 0.75);
    let mut path = BezPath::new();
    path.move_to((x0, y - TICK));
    path.line_to((x0, y + TICK));
    path.move_to((x0, y));
    path.line_to((x1, y));
    path.move_to((x1, y - TICK));
    path.line_to((x1, y + TICK));
    let shape = Shape { kind: PartKind::Body, path, paint: Paint::Stroke(LINE), placed: None };
    let ink = style.plain_ink;
    let mark =
        Mark { role: MarkRole::Scale, ink, tint: None, dashed: false, shapes: vec![shape], tip: None, stitch: None };
    let size = style.size_of(LabelRole::Legend, 0.5, 7.0);
    let at = Point::new(x1 + 0.3, y + 0.23 * size);
    let words = format!("{} cm", mm / 10.0);
    Some((mark, metrics.label(LabelRole::Scale, &words, at, Anchor::Start, size, ink)))
}
