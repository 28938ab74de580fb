//! Labels lie on nothing: measured from the outlines of their letters and of the symbols as they are turned, by
//! arithmetic of its own.

mod chart;

use chart::{gallery, pieces};
use fanwise::chart::{Anchor, InkBy, Label, LabelRole, Paint, ScForm, Scene, Shape, Style, font_bytes};
use kurbo::{BezPath, PathEl, Point, Rect};
use ttf_parser::{Face, OutlineBuilder};

/// The outline of a letter as straight pieces.
struct Letters {
    to: (f64, f64, f64),
    last: Point,
    points: Vec<Point>,
}

impl Letters {
    fn at(&self, x: f32, y: f32) -> Point {
        let (scale, left, base) = self.to;
        Point::new(left + f64::from(x) * scale, base - f64::from(y) * scale)
    }
}

impl OutlineBuilder for Letters {
    fn move_to(&mut self, x: f32, y: f32) {
        self.last = self.at(x, y);
        self.points.push(self.last);
    }
    fn line_to(&mut self, x: f32, y: f32) {
        let to = self.at(x, y);
        self.points.extend((1..=4).map(|k| self.last.lerp(to, f64::from(k) / 4.0)));
        self.last = to;
    }
    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        let (a, b, c) = (self.last, self.at(x1, y1), self.at(x, y));
        let on = |t: f64| a.lerp(b, t).lerp(b.lerp(c, t), t);
        self.points.extend((1..=4).map(|k| on(f64::from(k) / 4.0)));
        self.last = c;
    }
    fn curve_to(&mut self, _: f32, _: f32, _: f32, _: f32, x: f32, y: f32) {
        self.line_to(x, y);
    }
    fn close(&mut self) {}
}

/// Points along the outlines of a label's letters.
fn outline(face: &Face, label: &Label) -> Vec<Point> {
    let scale = label.size / f64::from(face.units_per_em());
    let advance = |c: char| face.glyph_index(c).and_then(|g| face.glyph_hor_advance(g)).map_or(0.0, f64::from) * scale;
    let width: f64 = label.text.chars().map(advance).sum();
    let mut left = label.at.x - if label.anchor == Anchor::Middle { width / 2.0 } else { 0.0 };
    let mut points = Vec::new();
    for c in label.text.chars() {
        let mut letters = Letters { to: (scale, left, label.at.y), last: Point::ZERO, points: Vec::new() };
        if let Some(glyph) = face.glyph_index(c) {
            face.outline_glyph(glyph, &mut letters);
        }
        points.extend(letters.points);
        left += advance(c);
    }
    points
}

/// A shape as straight pieces, with half the width of its ink.
struct Ink {
    pieces: Vec<(Point, Point)>,
    half: f64,
    filled: bool,
    /// A box about it.
    area: Rect,
}

fn ink(shape: &Shape) -> Ink {
    let mut pieces = Vec::new();
    let (mut last, mut first) = (Point::ZERO, Point::ZERO);
    let flat =
        |path: &BezPath, each: &mut dyn FnMut(PathEl)| kurbo::flatten(path.elements().iter().copied(), 0.004, each);
    flat(&shape.path, &mut |e| match e {
        PathEl::MoveTo(p) => (last, first) = (p, p),
        PathEl::LineTo(p) => {
            pieces.push((last, p));
            last = p;
        }
        PathEl::ClosePath => pieces.push((last, first)),
        _ => {}
    });
    let (half, filled) = match shape.paint {
        Paint::Stroke(width) => (width / 2.0, false),
        Paint::Fill => (0.0, true),
    };
    let boxes = pieces.iter().map(|&(a, b)| Rect::from_points(a, b));
    let area = boxes.reduce(|a, b| a.union(b)).unwrap_or(Rect::ZERO).inflate(half + 0.01, half + 0.01);
    Ink { pieces, half, filled, area }
}

impl Ink {
    fn gap(&self, p: Point) -> f64 {
        let to = |&(a, b): &(Point, Point)| {
            let (along, off) = (b - a, p - a);
            let t = if along.hypot2() > 0.0 { (off.dot(along) / along.hypot2()).clamp(0.0, 1.0) } else { 0.0 };
            (p - a.lerp(b, t)).hypot()
        };
        let near = self.pieces.iter().map(to).fold(f64::INFINITY, f64::min) - self.half;
        let left = self.pieces.iter().filter(|(a, b)| (a.y > p.y) != (b.y > p.y));
        let crossings = left.filter(|(a, b)| p.x < (b.x - a.x) * (p.y - a.y) / (b.y - a.y) + a.x).count();
        if self.filled && crossings % 2 == 1 { -near.abs() } else { near }
    }
}

/// What a label touches, in words.
fn faults(face: &Face, scene: &Scene) -> Vec<String> {
    let all: Vec<(&Label, Vec<Point>)> = scene.labels.iter().map(|l| (l, outline(face, l))).collect();
    let figures = scene.figures().map(|f| (f.class.as_str(), &f.shapes));
    let marks = scene.marks.iter().chain(&scene.legend).map(|m| ("a mark", &m.shapes));
    let rings = scene.rows.iter().map(|r| ("a ring", &r.rings));
    let inks: Vec<(&str, Ink)> = figures
        .chain(marks)
        .chain(rings)
        .flat_map(|(name, shapes)| shapes.iter().map(move |s| (name, ink(s))))
        .collect();
    let mut faults = Vec::new();
    for (i, (label, points)) in all.iter().enumerate() {
        let own = label.bounds.inflate(0.3, 0.3);
        for (name, ink) in inks.iter().filter(|(_, i)| i.area.intersect(own).area() > 0.0) {
            if points.iter().any(|&p| ink.gap(p) <= 0.0) {
                faults.push(format!("\"{}\" lies on {name}", label.text));
            }
        }
        for (other, theirs) in all[i + 1..].iter().filter(|(o, _)| o.bounds.intersect(own).area() > 0.0) {
            let near = |p: &Point| theirs.iter().any(|q| (*p - *q).hypot() < 0.02);
            if points.iter().any(near) {
                faults.push(format!("\"{}\" lies on \"{}\"", label.text, other.text));
            }
        }
    }
    faults
}

/// Shapes with narrow places beside the orchard.
const SHAPES: &[&str] = &["pineapple-motif", "crab-edge", "picot-edge", "shells", "puffs-bobbles-popcorns"];

#[test]
fn no_label_lies_on_a_symbol_a_mark_or_another_label() {
    let face = Face::parse(font_bytes(), 0).expect("the font");
    let mut all = Vec::new();
    for (how, style) in [
        ("plain", Style::default()),
        ("3 mm", Style::default().with_mm_per_sc(3.0)),
        ("one black", Style::default().with_ink(InkBy::One)),
        ("cross", Style::default().with_sc(ScForm::Cross)),
        ("large", Style::default().for_low_vision()),
    ] {
        let pieces = pieces(&style, SHAPES);
        let labels: usize = pieces.iter().map(|(_, p)| p.scene.labels.len()).sum();
        let found: Vec<String> = pieces
            .iter()
            .flat_map(|(name, p)| faults(&face, &p.scene).into_iter().map(move |f| format!("{how}, {name}: {f}")))
            .collect();
        let roles = |role| pieces.iter().flat_map(|(_, p)| &p.scene.labels).filter(|l| l.role == role).count();
        let (numbers, letters) = (roles(LabelRole::RowNumber), roles(LabelRole::YarnLetter));
        println!("{how:10} {numbers} numbers, {letters} letters of yarns");
        println!("{how:10} {labels:4} labels, {} on something", found.len());
        all.extend(found);
    }
    assert!(all.is_empty(), "{}", all.join("\n"));
}

/// The measure itself: a label put upon a symbol is found.
#[test]
fn a_label_on_a_symbol_is_found() {
    let face = Face::parse(font_bytes(), 0).expect("the font");
    let mut piece = gallery(&Style::default()).swap_remove(0).1;
    assert!(faults(&face, &piece.scene).is_empty());
    let on = piece.layout.poses[20].feet[0];
    let label = piece.scene.labels.iter_mut().find(|l| l.role == LabelRole::RowNumber).expect("a number");
    label.bounds = label.bounds + (on - label.at);
    label.at = on;
    assert!(!faults(&face, &piece.scene).is_empty());
}
