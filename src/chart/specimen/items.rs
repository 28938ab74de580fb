//! What the specimen shows: every symbol of the set, ready to be drawn taller and tilted.

use super::super::sample::{self, Standing};
use super::super::scene::Shape;
use super::super::{Style, legend};
use crate::craft::{LoopPart, Meet, PostSide, Stem, StitchForm};
use crate::symbol::{Speak, SymbolSet, name_of};
use kurbo::Affine;

/// One symbol of the set.
pub(super) enum Item {
    /// A stitch by itself.
    Form(StitchForm),
    /// A drop of so many chains.
    Picot(usize),
    /// A ring of so many chains.
    Ring(usize),
    /// Two stitches that cross.
    Crossed(Stem),
    /// A symbol of the table that is no stitch.
    Mark(&'static str),
}

impl Item {
    /// Its abbreviation and term.
    pub fn words(&self, symbols: &SymbolSet, speak: Speak) -> (String, String) {
        let named = |key: &str| {
            let name = symbols.name(key, speak);
            (name.short.clone(), legend::words(&name))
        };
        match *self {
            Item::Form(form) => {
                let name = name_of(symbols, form, speak);
                (name.short.clone(), legend::words(&name))
            }
            Item::Picot(_) => named("picot"),
            Item::Ring(_) => named("chain ring"),
            Item::Crossed(stem) => {
                let mut form = StitchForm::plain(stem);
                form.extra.crossed = true;
                let name = name_of(symbols, form, speak);
                (name.short.clone(), legend::words(&name))
            }
            Item::Mark(key) => named(key),
        }
    }

    /// Its drawing, so many times as tall, tilted clockwise. What has no height of its own is only tilted.
    pub fn shapes(&self, symbols: &SymbolSet, style: &Style, stretch: f64, tilt_rad: f64) -> Vec<Shape> {
        let turned = |mut shapes: Vec<Shape>| {
            shapes.iter_mut().for_each(|s| s.path.apply_affine(Affine::rotate(tilt_rad)));
            shapes
        };
        match *self {
            Item::Form(form) => {
                let how = Standing { form, stretch, tilt_rad };
                how.shapes(symbols, style.sc)
            }
            Item::Picot(n) => turned(sample::picot(symbols, n)),
            Item::Ring(n) => turned(sample::ring(symbols, n)),
            Item::Crossed(stem) => turned(sample::crossed(symbols, stem, stretch)),
            Item::Mark(key) => turned(sample::mark(symbols, key)),
        }
    }
}

/// The whole set, by kind, and within a kind by height.
pub(super) fn all() -> Vec<Item> {
    let plain = StitchForm::plain;
    let with = |stem, change: fn(&mut StitchForm)| {
        let mut form = plain(stem);
        change(&mut form);
        Item::Form(form)
    };
    let (sc, hdc) = (Stem::Single, Stem::HalfDouble);
    let mut items: Vec<Item> = Vec::new();
    let mut stems = vec![Stem::SlipStitch, Stem::Chain(1), sc, hdc];
    stems.extend((1..=5).map(Stem::Tall));
    items.extend(stems.into_iter().map(|stem| Item::Form(plain(stem))));
    for (stem, legs) in [
        (sc, 2),
        (sc, 3),
        (hdc, 2),
        (hdc, 3),
        (Stem::DC, 2),
        (Stem::DC, 3),
        (Stem::DC, 5),
        (Stem::TR, 2),
        (Stem::TR, 3),
    ] {
        items.push(Item::Form(StitchForm::together(stem, legs)));
    }
    for (stem, legs) in [(Stem::DC, 2), (Stem::DC, 3), (Stem::DC, 4), (Stem::DC, 5), (Stem::TR, 3)] {
        items.push(Item::Form(StitchForm::cluster(stem, legs, Meet::Both)));
    }
    items.extend([3, 4, 5].map(|legs| Item::Form(StitchForm::cluster(hdc, legs, Meet::Both))));
    items.extend([3, 4, 5, 6].map(|legs| Item::Form(StitchForm::cluster(Stem::DC, legs, Meet::Closed))));
    items.push(Item::Form(StitchForm::cluster(hdc, 4, Meet::Closed)));
    items.extend([
        with(sc, |f| f.extra.part = LoopPart::Back),
        with(sc, |f| f.extra.part = LoopPart::Front),
        with(Stem::DC, |f| f.extra.part = LoopPart::Back),
        with(Stem::DC, |f| f.extra.part = LoopPart::Front),
        with(sc, |f| f.extra.extended = true),
        with(Stem::DC, |f| f.extra.extended = true),
        with(sc, |f| f.extra.reverse = true),
        with(sc, |f| f.extra.post = Some(PostSide::Front)),
        with(sc, |f| f.extra.post = Some(PostSide::Back)),
        with(hdc, |f| f.extra.post = Some(PostSide::Front)),
        with(hdc, |f| f.extra.post = Some(PostSide::Back)),
        with(Stem::DC, |f| f.extra.post = Some(PostSide::Front)),
        with(Stem::DC, |f| f.extra.post = Some(PostSide::Back)),
        with(Stem::TR, |f| f.extra.post = Some(PostSide::Front)),
        with(Stem::TR, |f| f.extra.post = Some(PostSide::Back)),
        Item::Crossed(Stem::DC),
        Item::Crossed(Stem::TR),
        Item::Picot(3),
        Item::Picot(4),
        Item::Ring(6),
    ]);
    items.extend(["ring", "attach", "cut", "turn", "arrow"].map(Item::Mark));
    items
}
