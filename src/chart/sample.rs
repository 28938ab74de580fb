//! One stitch by itself, as the legend shows it.

use super::figure::{Drafter, PICOT_SHARE, shape};
use super::post;
use super::scene::Shape;
use super::style::{Face, ScForm};
use crate::craft::{Meet, Stem, StitchForm, drawn_height};
use crate::fabric::{EdgeEnd, Fabric, Leg, Part, Place, Role, Row, RowEnd, RowId, Stitch, StitchId};
use crate::layout::{Layout, Lying, Pose};
use crate::source::Span;
use crate::symbol::{Stand, SymbolSet};
use kurbo::{Affine, Point};

/// A stitch of a form standing upright with the middle of its feet at the origin.
pub(super) fn stitch(symbols: &SymbolSet, form: StitchForm, sc: ScForm) -> Vec<Shape> {
    Standing { form, stretch: 1.0, tilt_rad: 0.0 }.shapes(symbols, sc)
}

/// A stitch by itself as it stands: so many times its own height, tilted clockwise about the origin.
pub(super) struct Standing {
    pub form: StitchForm,
    pub stretch: f64,
    pub tilt_rad: f64,
}

impl Standing {
    pub fn shapes(&self, symbols: &SymbolSet, sc: ScForm) -> Vec<Shape> {
        let form = self.form;
        let turn = Affine::rotate(self.tilt_rad);
        let n = usize::from(form.legs.max(1));
        let apart = if form.one_place { 0.0 } else { APART };
        let foot = |i: usize| turn * Point::new((i as f64 - (n as f64 - 1.0) / 2.0) * apart, 0.0);
        let feet: Vec<Point> = (0..n).map(foot).collect();
        let head = turn * Point::new(0.0, -drawn_height(form.stem) * self.stretch);
        let lying = Lying { at: Point::ORIGIN, angle_rad: self.tilt_rad, length: self.stretch };
        // places that are told apart and that nothing is drawn at
        let at = |i: usize| if form.one_place { 0.0 } else { i as f64 };
        let place =
            |i: usize| Place::RowEnd { row_end: RowEnd { row: RowId::new(0), edge: EdgeEnd::Start, at: at(i) } };
        let mut one = blank(0);
        one.legs = (0..n).map(|i| Leg { stem: form.stem, into: vec![place(i)] }).collect();
        one.meet = if form.one_place && n > 1 && form.meet == Meet::Head { Meet::Both } else { form.meet };
        one.extra = form.extra;
        let pose = match form.stem {
            Stem::SlipStitch => Pose { feet: Vec::new(), head: Point::ORIGIN, lying: None },
            stem => Pose { feet, head, lying: stem.is_chain().then_some(lying) },
        };
        let shapes = drawn(symbols, sc, Fabric { stitches: vec![one], ..Fabric::default() }, vec![pose]);
        let Some(side) = form.extra.post else { return shapes };
        if self.tilt_rad == 0.0 {
            return post::hooked(symbols, shapes, head, side);
        }
        // hook and post are one drawing, tilted whole
        let mut shapes = Standing { tilt_rad: 0.0, ..*self }.shapes(symbols, sc);
        shapes.iter_mut().for_each(|s| s.path.apply_affine(turn));
        shapes
    }
}

fn blank(id: usize) -> Stitch {
    Stitch {
        id: StitchId::new(id),
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
        legs: Vec::new(),
        meet: Meet::Head,
        extra: Default::default(),
        into: Vec::new(),
        covers: Vec::new(),
        layer: 0,
        span: Span::default(),
        pass: Vec::new(),
    }
}

/// A stitch of one stem that is worked into a place.
fn worked(id: usize, stem: Stem, place: Place) -> Stitch {
    Stitch { legs: vec![Leg { stem, into: vec![place] }], into: vec![place], ..blank(id) }
}

/// How several stitches stand together.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Fan {
    /// All in one stitch, here a chain.
    OneStitch,
    /// Side by side in a space of three chains.
    Space,
    /// Each leg over a place of its own, their heads in one.
    Together,
}

/// `n` stitches of a stem, with what they are worked into.
pub(super) fn fan(symbols: &SymbolSet, sc: ScForm, stem: Stem, n: usize, kind: Fan) -> Vec<Shape> {
    let height = drawn_height(stem);
    let middle = (n as f64 - 1.0) / 2.0;
    // ovals of a row stand as close as its feet do
    let length = if kind == Fan::Together { APART } else { 1.0 };
    let chain = |id: usize, at: Point, angle_rad: f64| {
        let pose = Pose { feet: Vec::new(), head: at, lying: Some(Lying { at, angle_rad, length }) };
        (Stitch { legs: vec![Leg { stem: Stem::Chain(1), into: Vec::new() }], ..blank(id) }, pose)
    };
    let mut fabric = Fabric::default();
    let mut poses = Vec::new();
    let mut add = |fabric: &mut Fabric, (stitch, pose): (Stitch, Pose)| {
        fabric.stitches.push(stitch);
        poses.push(pose);
    };
    match kind {
        Fan::OneStitch => {
            let step = (FAN_STEP_DEG.min(FAN_MOST_DEG / (n as f64 - 1.0))).to_radians();
            let radius = height.max(LEAST_PITCH / (2.0 * libm::sin(step / 2.0)));
            add(&mut fabric, chain(0, Point::ORIGIN, 0.0));
            for k in 0..n {
                let (sin, cos) = libm::sincos((k as f64 - middle) * step);
                let pose =
                    Pose { feet: vec![Point::ORIGIN], head: Point::new(radius * sin, -radius * cos), lying: None };
                add(&mut fabric, (worked(k + 1, stem, Place::Chain { chain: StitchId::new(0) }), pose));
            }
        }
        Fan::Space => {
            // an arch as long as its feet need, with the chains end to end on it
            let width = n as f64 * 0.5 + 0.8;
            let chains = (width.ceil() as usize).max(3);
            let radius = 1.2 * chains as f64 / 2.0;
            let on = |at: f64, off: f64| {
                let (sin, cos) = libm::sincos(at / radius);
                Point::new((radius + off) * sin, radius - (radius + off) * cos)
            };
            for k in 0..chains {
                let at = k as f64 - (chains as f64 - 1.0) / 2.0;
                add(&mut fabric, chain(k, on(at, 0.0), at / radius));
            }
            let ids = (0..chains).map(StitchId::new).collect();
            fabric.spaces.push(crate::fabric::Space { ids, length: chains as u32 });
            for k in 0..n {
                let at = (k as f64 - middle) * 0.5;
                let pose = Pose { feet: vec![on(at, 0.0)], head: on(at * 1.05, height), lying: None };
                let space = Place::Space { space: crate::fabric::SpaceId::new(0) };
                add(&mut fabric, (worked(chains + k, stem, space), pose));
            }
        }
        Fan::Together => {
            let foot = |k: usize| Point::new((k as f64 - middle) * APART, 0.0);
            for k in 0..n {
                add(&mut fabric, chain(k, foot(k), 0.0));
            }
            let place = |k: usize| Place::Chain { chain: StitchId::new(k) };
            let mut one = blank(n);
            one.legs = (0..n).map(|k| Leg { stem, into: vec![place(k)] }).collect();
            one.into = (0..n).map(place).collect();
            // tall enough that the outer legs do not lie down
            let tall = height.max(0.28 * n as f64);
            add(
                &mut fabric,
                (one, Pose { feet: (0..n).map(foot).collect(), head: Point::new(0.0, -tall), lying: None }),
            );
        }
    }
    drawn(symbols, sc, fabric, poses)
}

/// Distance between the feet of stitches that are worked together.
const APART: f64 = 0.9;
/// Angle between neighbours of a fan, and most of the whole.
const FAN_STEP_DEG: f64 = 24.0;
const FAN_MOST_DEG: f64 = 120.0;
/// Least distance between neighbouring heads of a fan.
const LEAST_PITCH: f64 = 0.75;

/// Two stitches of a stem that cross: the second passes in front of the first.
pub(super) fn crossed(symbols: &SymbolSet, stem: Stem, stretch: f64) -> Vec<Shape> {
    let height = drawn_height(stem) * stretch;
    let place = |at: f64| Place::RowEnd { row_end: RowEnd { row: RowId::new(0), edge: EdgeEnd::Start, at } };
    let pose = |x: f64| Pose { feet: vec![Point::new(x, 0.0)], head: Point::new(-x, -height), lying: None };
    let mut front = worked(1, stem, place(1.0));
    front.extra.crossed = true;
    let fabric = Fabric { stitches: vec![worked(0, stem, place(0.0)), front], ..Fabric::default() };
    drawn(symbols, ScForm::Plus, fabric, vec![pose(0.5), pose(-0.5)])
}

/// What an oval of a ring gives up at its corners, by the angle between it and the next.
const CORNER: f64 = 0.07;

/// A ring of `n` chains with the dot that closes it.
pub(super) fn ring(symbols: &SymbolSet, n: usize) -> Vec<Shape> {
    let step = std::f64::consts::TAU / n as f64;
    let radius = 0.5 / libm::tan(step / 2.0);
    let lying = |k: usize| {
        let angle_rad = k as f64 * step;
        let (sin, cos) = libm::sincos(angle_rad);
        Lying { at: Point::new(radius * sin, -radius * cos), angle_rad, length: 1.0 - CORNER * step }
    };
    let chain = |k: usize| Stitch { legs: vec![Leg { stem: Stem::Chain(1), into: Vec::new() }], ..blank(k) };
    let pose = |k: usize| Pose { feet: Vec::new(), head: lying(k).at, lying: Some(lying(k)) };
    let fabric = Fabric { stitches: (0..n).map(chain).collect(), ..Fabric::default() };
    drawn(symbols, ScForm::Plus, fabric, (0..n).map(pose).collect())
}

/// A symbol of the table that is no stitch, at its own size.
pub(super) fn mark(symbols: &SymbolSet, key: &str) -> Vec<Shape> {
    let Some(symbol) = symbols.get(key) else { return Vec::new() };
    let head = if key == "arrow" { Point::new(symbol.height, 0.0) } else { Point::new(0.0, -symbol.height) };
    Stand::new(Point::ORIGIN, head).pieces(symbol).into_iter().map(shape).collect()
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
    // the sharper the corners, the farther ovals have to stand apart to touch at their ends alone
    let inner = 0.5 * length / libm::tan(0.5 * step) + 0.01 * step;
    // the middle of the ring, so far above the dot that the first and last oval meet it
    let middle = -inner / libm::cos(0.5 * step) * libm::cos(PI - 0.5 * places * step);
    let turn = (k as f64 - 0.5 * (n as f64 - 1.0)) * step;
    let at = Point::new(libm::sin(turn) * inner, middle - libm::cos(turn) * inner);
    Lying { at, angle_rad: turn, length: PICOT_SHARE * length }
}

/// The shapes of every stitch, in their order.
fn drawn(symbols: &SymbolSet, sc: ScForm, fabric: Fabric, poses: Vec<Pose>) -> Vec<Shape> {
    let fabric = Fabric { parts: vec![Part::default()], rows: vec![Row::default()], ..fabric };
    let layout = Layout { poses, ..Layout::default() };
    let stitches = Drafter { fabric: &fabric, layout: &layout, symbols, sc, face: Face::Right }.draw().stitches;
    let mut shapes: Vec<Shape> = stitches.into_iter().flatten().collect();
    shapes.iter_mut().for_each(|shape| shape.placed = None);
    shapes
}
