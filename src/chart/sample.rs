//! One stitch by itself, as the legend shows it.

use super::figure::Drafter;
use super::scene::Shape;
use super::style::ScForm;
use crate::craft::{Meet, Stem, StitchForm, drawn_height};
use crate::fabric::{EdgeEnd, Fabric, Leg, Part, Place, Role, Row, RowEnd, RowId, Stitch, StitchId};
use crate::layout::{Layout, Lying, Pose};
use crate::source::Span;
use crate::symbol::SymbolSet;
use kurbo::{Point, Vec2};

/// A stitch of a form standing upright with the middle of its feet at the origin.
pub(super) fn stitch(symbols: &SymbolSet, form: StitchForm, sc: ScForm) -> Vec<Shape> {
    let height = drawn_height(form.stem);
    let n = usize::from(form.legs.max(1));
    let apart = if form.one_place { 0.0 } else { 0.9 };
    let feet = (0..n).map(|i| Point::new((i as f64 - (n as f64 - 1.0) / 2.0) * apart, 0.0)).collect();
    let head = Point::new(0.0, -height);
    let lying = form.stem.is_chain().then_some(Lying { at: Point::ORIGIN, angle_rad: 0.0, length: 1.0 });
    // places that are told apart and that nothing is drawn at
    let place = |i: usize| Place::RowEnd {
        row_end: RowEnd { row: RowId::new(0), edge: EdgeEnd::Start, at: if form.one_place { 0.0 } else { i as f64 } },
    };
    let one = Stitch {
        id: StitchId::new(0),
        kind: String::new(),
        row: RowId::new(0),
        side: Default::default(),
        colour: String::new(),
        colour_end: None,
        carried: Vec::new(),
        counts: true,
        stands_for: None,
        role: Role::Base,
        also: Vec::new(),
        legs: (0..n).map(|i| Leg { stem: form.stem, into: vec![place(i)] }).collect(),
        meet: if form.one_place && n > 1 && form.meet == Meet::Head { Meet::Both } else { form.meet },
        extra: form.extra,
        into: Vec::new(),
        covers: Vec::new(),
        layer: 0,
        span: Span::default(),
        pass: Vec::new(),
    };
    let pose = match form.stem {
        Stem::SlipStitch => Pose { feet: Vec::new(), head: Point::ORIGIN, lying: None },
        _ => Pose { feet, head, lying },
    };
    drawn(symbols, sc, vec![one], vec![pose])
}

/// A picot of `n` chains on its stitch: the ovals in a closed drop, the dot at its base.
pub(super) fn picot(symbols: &SymbolSet, n: usize) -> Vec<Shape> {
    let mut shapes = Vec::new();
    for k in 0..n {
        let lying = drop(k, n);
        let mut oval = stitch(symbols, StitchForm::plain(Stem::Chain(1)), ScForm::Plus);
        let (sin, cos) = libm::sincos(lying.angle_rad);
        let to = kurbo::Affine::new([cos, sin, -sin, cos, lying.at.x, lying.at.y])
            * kurbo::Affine::scale_non_uniform(lying.length, 0.85);
        for shape in &mut oval {
            shape.path.apply_affine(to);
            shape.placed = None;
        }
        shapes.append(&mut oval);
    }
    shapes.extend(stitch(symbols, StitchForm::plain(Stem::SlipStitch), ScForm::Plus));
    shapes
}

/// Oval `k` of `n` of a drop that opens upward from the origin.
fn drop(k: usize, n: usize) -> Lying {
    use std::f64::consts::PI;
    // the drop is a circle of n ovals and the dot, its lowest point at the origin
    let length = 0.62;
    let radius = length * (n as f64 + 0.9) / (2.0 * PI);
    let angle = PI / 2.0 - 2.0 * PI * (k as f64 + 0.95) / (n as f64 + 0.9);
    let centre = Point::new(0.0, -radius);
    let at = centre + Vec2::new(libm::cos(angle), libm::sin(angle)) * radius;
    Lying { at, angle_rad: angle + PI / 2.0, length }
}

fn drawn(symbols: &SymbolSet, sc: ScForm, stitches: Vec<Stitch>, poses: Vec<Pose>) -> Vec<Shape> {
    let fabric = Fabric { parts: vec![Part::default()], rows: vec![Row::default()], stitches, ..Fabric::default() };
    let layout = Layout { poses, ..Layout::default() };
    let mut shapes = Drafter { fabric: &fabric, layout: &layout, symbols, sc }.draw().stitches.swap_remove(0);
    for shape in &mut shapes {
        shape.placed = None;
    }
    shapes
}
