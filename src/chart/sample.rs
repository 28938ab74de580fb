//! One stitch by itself, as the legend shows it.

use super::figure::Drafter;
use super::post;
use super::scene::Shape;
use super::style::ScForm;
use crate::craft::{Meet, Stem, StitchForm, drawn_height};
use crate::fabric::{EdgeEnd, Fabric, Leg, Part, Place, Role, Row, RowEnd, RowId, Stitch, StitchId};
use crate::layout::{Layout, Lying, Pose};
use crate::source::Span;
use crate::symbol::SymbolSet;
use kurbo::Point;

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
    let mut shapes = drawn(symbols, sc, vec![one], vec![pose]);
    if let Some(side) = form.extra.post {
        shapes = post::hooked(symbols, shapes, head, side);
    }
    shapes
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

/// Oval `k` of `n` of a drop that opens upward from the origin: a ring of ovals with half a place open for the dot.
fn drop(k: usize, n: usize) -> Lying {
    use std::f64::consts::{PI, TAU};
    let length = 0.68;
    let places = n.max(3) as f64;
    let step = TAU / (places + 0.5);
    let inner = 0.5 * length / libm::tan(0.5 * step);
    // the middle of the ring, so far above the dot that the first and last oval meet it
    let middle = -inner / libm::cos(0.5 * step) * libm::cos(PI - 0.5 * places * step);
    let turn = (k as f64 - 0.5 * (n as f64 - 1.0)) * step;
    let at = Point::new(libm::sin(turn) * inner, middle - libm::cos(turn) * inner);
    Lying { at, angle_rad: turn, length }
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
