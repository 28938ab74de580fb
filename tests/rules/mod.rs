//! The rules of a good illustrator, each a function from a piece to what broke it, and the geometry they share.
#![allow(dead_code)]

mod arches;
mod chains;
mod furniture;
mod places;
mod strokes;

pub use arches::{arches, into_arches, picots};
pub use chains::{counting, joining, lying, not_counting, ovals, travelling};
pub use furniture::{is_bracket, layers, numbers, repeats, triangles};
pub use places::{decreases, feet, skipped};
pub use strokes::{bars, crosses, passing, posts};

use crate::chart::Piece;
use fanwise::chart::{Figure, Paint, Shape};
use fanwise::fabric::{Stitch, StitchId};
use fanwise::symbol::PartKind;
use kurbo::{ParamCurve, ParamCurveNearest, Point, Shape as _, Vec2};

/// What breaks a rule: what is measured, its figure, and both in words.
pub struct Breach {
    pub what: &'static str,
    pub figure: f64,
    pub told: String,
    /// True where less is worse.
    least: bool,
}

impl Breach {
    /// True where it is no worse than a figure.
    pub fn no_worse_than(&self, figure: f64) -> bool {
        if self.least { self.figure >= figure - SMALL } else { self.figure <= figure + SMALL }
    }
}

/// The figure nearest to its bound, or furthest past it.
pub struct Worst {
    /// The share of its bound that it takes up: past 1, and the rule is broken.
    pub share: f64,
    pub what: &'static str,
    pub figure: f64,
}

/// What a rule found on one chart: how often it was held against something, what came nearest, and what broke it.
#[derive(Default)]
pub struct Found {
    pub held: usize,
    pub worst: Option<Worst>,
    pub breaches: Vec<Breach>,
}

impl Found {
    /// Something is so, or it is not.
    pub fn hold(&mut self, fine: bool, told: impl FnOnce() -> String) {
        self.held += 1;
        if !fine {
            self.breaches.push(Breach { what: "broken", figure: 1.0, told: told(), least: false });
        }
    }

    /// A figure is no more than its bound.
    pub fn at_most(&mut self, what: &'static str, figure: f64, bound: f64, place: impl FnOnce() -> String) {
        self.bound(what, figure, figure <= bound + SMALL, figure / bound, place, || format!("at most {bound}"));
    }

    /// A figure is no less than its bound.
    pub fn at_least(&mut self, what: &'static str, figure: f64, bound: f64, place: impl FnOnce() -> String) {
        let share = if figure > 0.0 { bound / figure } else { 99.0 };
        self.bound(what, figure, figure >= bound - SMALL, share, place, || format!("at least {bound}"));
    }

    fn bound(
        &mut self,
        what: &'static str,
        figure: f64,
        fine: bool,
        share: f64,
        place: impl FnOnce() -> String,
        bound: impl FnOnce() -> String,
    ) {
        self.held += 1;
        if self.worst.as_ref().is_none_or(|w| share > w.share) {
            self.worst = Some(Worst { share, what, figure });
        }
        if !fine {
            let (place, bound) = (place(), bound());
            let least = bound.starts_with("at least");
            self.breaches.push(Breach { what, figure, told: format!("{place}: {what} {figure:.3}, {bound}"), least });
        }
    }
}

/// What figures differ by through rounding alone.
const SMALL: f64 = 1e-6;

pub type Rule = (&'static str, fn(&Piece) -> Found);

pub fn half(shape: &Shape) -> f64 {
    if let Paint::Stroke(width) = shape.paint { width / 2.0 } else { 0.0 }
}

/// Distance from a point to the ink of a shape.
pub fn to_ink(shape: &Shape, p: Point) -> f64 {
    shape.path.segments().map(|s| s.nearest(p, 1e-5).distance_sq.sqrt()).fold(f64::INFINITY, f64::min) - half(shape)
}

/// Gap between two inks, by points along the first.
pub fn gap(a: &Shape, b: &Shape) -> f64 {
    let apart = a.path.bounding_box().inflate(1.0, 1.0).intersect(b.path.bounding_box().inflate(1.0, 1.0));
    if apart.is_zero_area() {
        return 1.0;
    }
    let points = a.path.segments().flat_map(|s| (0..=12).map(move |k| s.eval(f64::from(k) / 12.0)));
    points.map(|p| to_ink(b, p)).fold(f64::INFINITY, f64::min) - half(a)
}

pub fn gap_of(a: &Figure, b: &Figure) -> f64 {
    let pairs = a.shapes.iter().flat_map(|s| b.shapes.iter().map(move |t| gap(s, t)));
    pairs.fold(f64::INFINITY, f64::min)
}

pub fn fig(p: &Piece, id: StitchId) -> &Figure {
    p.scene.figure(id).expect("every stitch is drawn")
}

pub fn parts(f: &Figure, kind: PartKind) -> Vec<&Shape> {
    f.shapes.iter().filter(|s| s.kind == kind).collect()
}

pub fn ends(shape: &Shape) -> (Point, Point) {
    (shape.path.segments().next().expect("a line").start(), shape.path.segments().last().expect("a line").end())
}

/// Middle of an oval, and its long axis.
pub fn oval(shape: &Shape) -> (Point, Vec2) {
    let points: Vec<Point> = shape.path.segments().map(|s| s.start()).collect();
    let middle = (points.iter().fold(Vec2::ZERO, |sum, p| sum + p.to_vec2()) / points.len() as f64).to_point();
    let far = points.iter().max_by(|a, b| (**a - middle).hypot().total_cmp(&(**b - middle).hypot())).expect("points");
    (middle, *far - middle)
}

pub fn standing(s: &Stitch) -> bool {
    !s.is_chain() && !s.is_slip_stitch()
}

pub fn label(p: &Piece, id: StitchId) -> String {
    format!("{} {}", p.fabric.stitch(id).kind, id.index())
}
