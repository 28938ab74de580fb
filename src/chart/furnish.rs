//! What every drawing has: a scene to begin with, the title above, the credit below, and the frame round all.

use super::metrics::Metrics;
use super::scene::{Anchor, LabelRole, Scene};
use super::{ChartInfo, Style, words};
use crate::fabric::Fabric;
use crate::symbol::{Speak, SymbolSet};
use kurbo::{Point, Rect};

/// White round everything, in sc widths.
const MARGIN: f64 = 0.6;

/// A scene with its words for those who do not see it, and nothing drawn.
pub(super) fn begun(fabric: &Fabric, symbols: &SymbolSet, style: &Style, info: &ChartInfo, speak: Speak) -> Scene {
    let desc = words::describe(fabric, info, symbols, speak);
    Scene {
        mm_per_sc: style.mm_per_sc,
        font: style.font.clone(),
        title: if info.title.is_empty() { fabric.title.clone() } else { info.title.clone() },
        prefix: words::prefix(fabric, info, &desc),
        desc,
        lang: speak.code(),
        ..Scene::default()
    }
}

/// Sets the title above the work, then what `below` sets under it and gives the box of, then the credit; and the frame
/// round all.
pub(super) fn furnish(
    scene: &mut Scene,
    style: &Style,
    metrics: &Metrics,
    work: Rect,
    below: impl FnOnce(&mut Scene) -> Rect,
    credit: Option<&str>,
) {
    let mut all = work;
    if !scene.title.is_empty() && style.furniture.title {
        let size = style.size_of(LabelRole::Title, 0.85, 11.0);
        let at = Point::new(work.x0, work.y0 - 0.9 - 0.25 * size);
        let title = metrics.label(LabelRole::Title, &scene.title, at, Anchor::Start, size, style.plain_ink);
        all = all.union(title.bounds);
        scene.labels.push(title);
    }
    all = all.union(below(scene));
    if let Some(credit) = credit.filter(|c| !c.is_empty() && style.furniture.credit) {
        let size = style.size_of(LabelRole::Credit, 0.4, 6.0);
        let at = Point::new(work.x0, all.y1 + 0.5 + size);
        let line = metrics.label(LabelRole::Credit, credit, at, Anchor::Start, size, style.plain_ink);
        all = all.union(line.bounds);
        scene.labels.push(line);
    }
    scene.frame = page(all.inflate(MARGIN, MARGIN));
}

/// The rectangle, grown to the last decimal an exporter writes.
pub(super) fn page(r: Rect) -> Rect {
    let (out, back) = (|v: f64| (v * 100.0).ceil() / 100.0, |v: f64| (v * 100.0).floor() / 100.0);
    Rect::new(back(r.x0), back(r.y0), out(r.x1), out(r.y1))
}
