//! Several scenes on one plate.

use super::Style;
use super::columns::{self, Entry, bounds};
use super::furnish::page;
use super::metrics::Metrics;
use super::scene::{Anchor, Label, LabelRole, Mark, Scene};
use kurbo::{Point, Rect, Vec2};

/// White round the plate, and between its panels, in sc widths.
const MARGIN: f64 = 0.6;
const GAP: f64 = 0.8;
/// Width over height that a plate of many panels comes near to: that of a page on a screen.
const ASPECT: f64 = 1.4;

/// Several drawings at one scale on one plate, under one title and over one legend.
///
/// Units: sc widths, y down.
#[derive(Clone, Debug, Default)]
pub struct Plate {
    /// The page: everything lies in it.
    pub frame: Rect,
    /// Printed width of one sc.
    pub mm_per_sc: f64,
    /// Title in words.
    pub title: String,
    /// The plate read aloud.
    pub desc: String,
    /// Language of the words, as in HTML.
    pub lang: &'static str,
    /// Prefix of its own ids; each panel has one of its own.
    pub prefix: String,
    /// The drawings.
    pub panels: Vec<Panel>,
    /// Lines that belong to the plate as a whole.
    pub marks: Vec<Mark>,
    /// Symbols and swatches of the legend.
    pub legend: Vec<Mark>,
    /// Title, words, legend.
    pub labels: Vec<Label>,
}

/// A drawing on a plate.
#[derive(Clone, Debug)]
pub struct Panel {
    /// What is drawn.
    pub scene: Scene,
    /// Where the corner of its frame goes.
    pub at: Point,
}

impl Panel {
    /// The box it takes on the plate.
    pub fn bounds(&self) -> Rect {
        Rect::from_origin_size(self.at, self.scene.frame.size())
    }
}

impl Plate {
    /// Printed width and height.
    pub fn size_mm(&self) -> (f64, f64) {
        (self.frame.width() * self.mm_per_sc, self.frame.height() * self.mm_per_sc)
    }
}

/// The figures of one chart in reading order, as many side by side as make a plate that is easy to look at, with the
/// chart's own title above and its legend below.
///
/// The figures have frames of one size, as those of [`super::steps`] do.
pub fn strip(chart: &Scene, figures: &[Scene], style: &Style) -> Plate {
    let cell = figures.first().map_or(kurbo::Size::ZERO, |f| f.frame.size());
    let columns = across(figures.len(), cell);
    let place = |k: usize| {
        let (i, j) = ((k % columns) as f64, (k / columns) as f64);
        Point::new(i * (cell.width + GAP), j * (cell.height + GAP))
    };
    let panels = figures.iter().enumerate().map(|(k, f)| Panel { scene: f.clone(), at: place(k) }).collect();
    let mut plate = Plate {
        mm_per_sc: chart.mm_per_sc,
        title: chart.title.clone(),
        desc: chart.desc.clone(),
        lang: chart.lang,
        prefix: format!("{}-strip", chart.prefix),
        panels,
        ..Plate::default()
    };
    furnish(&mut plate, chart, style);
    plate
}

/// How many columns come nearest to the wanted shape, and leave few places empty.
fn across(n: usize, cell: kurbo::Size) -> usize {
    let off = |columns: usize| {
        let lines = n.div_ceil(columns);
        let wide = columns as f64 * (cell.width + GAP);
        let high = lines as f64 * (cell.height + GAP);
        let empty = (columns * lines - n) as f64 / (columns * lines) as f64;
        libm::fabs(libm::log(wide / high.max(1e-9) / ASPECT)) + 2.0 * empty
    };
    (1..=n.max(1)).min_by(|&a, &b| off(a).total_cmp(&off(b))).unwrap_or(1)
}

/// Puts the title above the panels and the legend of a chart below them, and sets the frame.
pub(super) fn furnish(plate: &mut Plate, chart: &Scene, style: &Style) {
    let metrics = Metrics::new(&style.font);
    let boxes = plate.panels.iter().map(Panel::bounds);
    let work = boxes.chain(plate.labels.iter().map(|l| l.bounds)).reduce(|a, b| a.union(b)).unwrap_or(Rect::ZERO);
    let mut all = work;
    if !plate.title.is_empty() {
        let size = style.text_size(0.85, 11.0);
        let at = Point::new(work.x0 + MARGIN, work.y0 - 0.25 * size);
        let title = metrics.label(LabelRole::Title, &plate.title, at, Anchor::Start, size, style.plain_ink);
        all = all.union(title.bounds);
        plate.labels.push(title);
    }
    let (legend, words) = columns::set(&entries(chart), style, &metrics, work.x0 + MARGIN, work.y1 + GAP, work.width());
    all = words.iter().map(|l| l.bounds).fold(all, |a, b| a.union(b));
    all = legend.iter().filter_map(|m| bounds(&m.shapes)).fold(all, |a, b| a.union(b));
    plate.legend = legend;
    plate.labels.extend(words);
    for credit in chart.labels.iter().filter(|l| l.role == LabelRole::Credit) {
        let by = Vec2::new(work.x0 + MARGIN - credit.bounds.x0, all.y1 + GAP - credit.bounds.y0);
        let moved = Label { at: credit.at + by, bounds: credit.bounds + by, ..credit.clone() };
        all = all.union(moved.bounds);
        plate.labels.push(moved);
    }
    plate.frame = page(all.inflate(MARGIN, MARGIN));
}

/// The legend of a chart line by line, to be set anew: its marks and words stand in one order.
fn entries(chart: &Scene) -> Vec<Entry> {
    let words = chart.labels.iter().filter(|l| matches!(l.role, LabelRole::Legend | LabelRole::Key));
    let entry = |(mark, label): (&Mark, &Label)| Entry {
        shapes: mark.shapes.clone(),
        role: mark.role,
        ink: mark.ink,
        text: label.text.clone(),
        label: label.role,
    };
    chart.legend.iter().zip(words).map(entry).collect()
}
