//! The symbol set on one sheet: straight, stretched and tilted, small, and in fans.

mod items;

use super::columns::{self, Entry, bounds};
use super::furnish::page;
use super::metrics::Metrics;
use super::sample::{self, Fan};
use super::scene::{Anchor, Label, LabelRole, Mark, MarkRole, Paint, Scene, Shape};
use super::{LEAST_MM, Style};
use crate::craft::Stem;
use crate::symbol::{Speak, SymbolSet, word};
use items::Item;
use kurbo::{Affine, Point, Rect};

/// Width of the sheet, in sc widths: three columns of names.
const WIDTH: f64 = 40.0;
/// White between two drawings, between lines, above a heading.
const GAP: f64 = 0.7;
const LINE_GAP: f64 = 0.6;
const SECTION_GAP: f64 = 1.6;
/// How a stretched symbol is stretched, and how tilted ones are tilted.
const STRETCH: f64 = 1.5;
const TILTS_DEG: [f64; 3] = [-35.0, 35.0, 90.0];
/// The fans shown: so many into one place.
const FANS: std::ops::RangeInclusive<usize> = 2..=9;

/// Every symbol of the set: by itself with its abbreviation and term; stretched and tilted; at the least printed
/// size; and two to nine in a stitch, in a space, and together.
pub fn specimen(symbols: &SymbolSet, style: &Style) -> Scene {
    let speak = style.speak.unwrap_or(Speak::Us);
    let items = items::all();
    let mut sheet = Sheet { style, metrics: Metrics::new(&style.font), y: 0.0, marks: Vec::new(), labels: Vec::new() };
    let title = word("symbols", speak);
    sheet.heading(LabelRole::Title, &title, 0.85);

    let entry = |item: &Item| Entry {
        shapes: item.shapes(symbols, style, 1.0, 0.0),
        role: MarkRole::Symbol,
        ink: style.plain_ink,
        text: item.words(symbols, speak).1,
        label: LabelRole::Legend,
    };
    let entries: Vec<Entry> = items.iter().map(entry).collect();
    let desc = entries.iter().map(|e| e.text.as_str()).collect::<Vec<_>>().join("\n");
    sheet.columns(&entries);

    sheet.heading(LabelRole::Legend, &word("stretched and tilted", speak), 0.7);
    let flexed: Vec<Vec<Shape>> = items
        .iter()
        .filter(|item| !matches!(item, Item::Mark(_) | Item::Ring(_) | Item::Form(_)) || is_tall(item))
        .map(|item| {
            let ways = [(1.0, 0.0), (STRETCH, 0.0)].into_iter().chain(TILTS_DEG.map(|deg| (1.0, deg)));
            side_by_side(ways.map(|(stretch, deg)| item.shapes(symbols, style, stretch, deg.to_radians())), 0.35)
        })
        .collect();
    sheet.flow(flexed, 2.0 * GAP);

    sheet.heading(LabelRole::Legend, &word("small", speak), 0.7);
    let share = (LEAST_MM / style.mm_per_sc).min(1.0);
    sheet.flow(items.iter().map(|i| scaled(i.shapes(symbols, style, 1.0, 0.0), share)).collect(), GAP);

    for (fan, heading) in [(Fan::OneStitch, "in one stitch"), (Fan::Space, "in a space"), (Fan::Together, "together")] {
        sheet.heading(LabelRole::Legend, &word(heading, speak), 0.7);
        for stem in [Stem::Single, Stem::HalfDouble, Stem::DC, Stem::TR] {
            sheet.flow(FANS.map(|n| sample::fan(symbols, style.sc, stem, n, fan)).collect(), GAP);
        }
        let small = FANS.map(|n| scaled(sample::fan(symbols, style.sc, Stem::DC, n, fan), share));
        sheet.flow(small.collect(), GAP);
    }
    sheet.scene(title, desc, speak.code())
}

/// True for a symbol with a stem to stretch, or an oval.
fn is_tall(item: &Item) -> bool {
    matches!(item, Item::Form(form) if form.stem != Stem::SlipStitch)
}

/// A sheet that grows downward.
struct Sheet<'a> {
    style: &'a Style,
    metrics: Metrics<'a>,
    y: f64,
    marks: Vec<Mark>,
    labels: Vec<Label>,
}

impl Sheet<'_> {
    fn heading(&mut self, role: LabelRole, words: &str, size: f64) {
        let size = self.style.text_size(size, if role == LabelRole::Title { 11.0 } else { 9.0 });
        self.y += if role == LabelRole::Title { size } else { SECTION_GAP + size };
        let at = Point::new(0.0, self.y);
        self.labels.push(self.metrics.label(role, words, at, Anchor::Start, size, self.style.plain_ink));
        self.y += LINE_GAP;
    }

    fn columns(&mut self, entries: &[Entry]) {
        let (marks, labels) = columns::set(entries, self.style, &self.metrics, 0.0, self.y, WIDTH / 1.15);
        let boxes = labels.iter().map(|l| l.bounds).chain(marks.iter().filter_map(|m| bounds(&m.shapes)));
        self.y = boxes.map(|b| b.y1).fold(self.y, f64::max);
        self.marks.extend(marks);
        self.labels.extend(labels);
    }

    /// Drawings in lines, each line standing on its feet.
    fn flow(&mut self, drawings: Vec<Vec<Shape>>, gap: f64) {
        let mut line: Vec<(f64, Vec<Shape>)> = Vec::new();
        let mut x = 0.0;
        for shapes in drawings {
            let Some(own) = bounds(&shapes) else { continue };
            if x > 0.0 && x + own.width() > WIDTH {
                self.line(std::mem::take(&mut line));
                x = 0.0;
            }
            line.push((x - own.x0, shapes));
            x += own.width() + gap;
        }
        self.line(line);
    }

    fn line(&mut self, line: Vec<(f64, Vec<Shape>)>) {
        let boxes = || line.iter().filter_map(|(_, shapes)| bounds(shapes));
        let above = boxes().map(|b| -b.y0).fold(0.0, f64::max);
        let below = boxes().map(|b| b.y1).fold(0.0, f64::max);
        if line.is_empty() {
            return;
        }
        for (x, mut shapes) in line {
            let to = Affine::translate((x, self.y + above));
            shapes.iter_mut().for_each(|s| s.path.apply_affine(to));
            let ink = self.style.plain_ink;
            let role = MarkRole::Symbol;
            self.marks.push(Mark { role, ink, tint: None, dashed: false, shapes, tip: None, stitch: None });
        }
        self.y += above + below + LINE_GAP;
    }

    fn scene(self, title: String, desc: String, lang: &'static str) -> Scene {
        let boxes = self.labels.iter().map(|l| l.bounds).chain(self.marks.iter().filter_map(|m| bounds(&m.shapes)));
        let all = boxes.reduce(|a, b| a.union(b)).unwrap_or(Rect::new(0.0, 0.0, 1.0, 1.0));
        Scene {
            frame: page(all.inflate(0.6, 0.6)),
            mm_per_sc: self.style.mm_per_sc,
            font: self.style.font.clone(),
            title,
            desc,
            lang,
            prefix: "symbols".to_owned(),
            legend: self.marks,
            labels: self.labels,
            ..Scene::default()
        }
    }
}

/// Drawings beside each other, as one.
fn side_by_side(drawings: impl Iterator<Item = Vec<Shape>>, gap: f64) -> Vec<Shape> {
    let mut all = Vec::new();
    let mut x = 0.0;
    for mut shapes in drawings {
        let Some(own) = bounds(&shapes) else { continue };
        let to = Affine::translate((x - own.x0, 0.0));
        shapes.iter_mut().for_each(|s| s.path.apply_affine(to));
        x += own.width() + gap;
        all.extend(shapes);
    }
    all
}

/// A drawing as it looks when printed smaller, its lines with it.
fn scaled(mut shapes: Vec<Shape>, share: f64) -> Vec<Shape> {
    for shape in &mut shapes {
        shape.path.apply_affine(Affine::scale(share));
        if let Paint::Stroke(width) = &mut shape.paint {
            *width *= share;
        }
    }
    shapes
}
