//! Ovals and dots: shapes that many stitches share.

use super::scene::{Paint, Placed, Shape, Stamp};
use crate::layout::Lying;
use crate::symbol::{PartKind, Stand, Symbol};
use kurbo::{Affine, BezPath, Point};

/// Length of an oval below which it is drawn narrower, so that it stays an oval and no ball.
const FULL_OVAL: f64 = 0.8;
/// Length of the shortest oval drawn: less is a blot.
const LEAST_OVAL: f64 = 0.42;
/// Breadth of the narrowest, and of one that is no stitch, over that of the symbol.
const LEAST_BREADTH: f64 = 0.6;
const SLIM: f64 = 0.85;

/// Length of an oval of the symbol's own proportions.
const OWN_OVAL: f64 = 0.96;

/// How broad an oval is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Breadth {
    /// As the symbol; short ones are narrower.
    Own,
    /// A little less, for a chain that is no stitch.
    Slim,
    /// Long ones broader in proportion.
    AsLong,
}

impl Breadth {
    /// Over that of the symbol.
    fn of(self, length: f64) -> f64 {
        let short = (length / FULL_OVAL).min(1.0);
        match self {
            Breadth::Own => short.max(LEAST_BREADTH),
            Breadth::Slim => (SLIM * short).max(LEAST_BREADTH),
            Breadth::AsLong => short.max(LEAST_BREADTH).max(length / OWN_OVAL),
        }
    }
}

/// The oval for a chain of this length: short ones are narrower.
pub(super) fn slimmed(symbol: &Symbol, length: f64) -> Symbol {
    as_broad(symbol, Breadth::Own.of(length))
}

fn as_broad(symbol: &Symbol, share: f64) -> Symbol {
    let mut symbol = symbol.clone();
    for part in &mut symbol.parts {
        part.path.apply_affine(Affine::scale_non_uniform(share, 1.0));
    }
    symbol
}

/// Lengths of ovals a sc.
const STEPS: f64 = 50.0;

/// Shared shapes, made as they are asked for.
#[derive(Default)]
pub(super) struct Stamps {
    pub list: Vec<Stamp>,
    keys: Vec<(bool, i64, i64)>,
}

impl Stamps {
    fn stamp(&mut self, key: (bool, i64, i64), draw: impl FnOnce() -> BezPath) -> usize {
        if let Some(at) = self.keys.iter().position(|k| *k == key) {
            return at;
        }
        let base = if key.0 { "ch" } else { "sl-st" };
        let same = self.keys.iter().filter(|k| k.0 == key.0).count();
        let name = if same == 0 { base.to_owned() } else { format!("{base}{}", same + 1) };
        self.keys.push(key);
        self.list.push(Stamp { name, path: draw() });
        self.list.len() - 1
    }

    /// An oval as it lies. Lengths are cut to a fiftieth of an sc, a fifth of a stroke, so that most chains share a shape.
    pub fn oval(&mut self, symbol: &Symbol, lying: Lying, breadth: Breadth) -> Shape {
        let step = (lying.length.max(LEAST_OVAL) * STEPS + 1e-6).floor();
        let length = step / STEPS;
        let broad = breadth.of(length);
        let part = &symbol.parts[0];
        let stamp = self.stamp((true, step as i64, (broad * 1000.0) as i64), || {
            let stand = Stand::new(Point::new(-length / 2.0, 0.0), Point::new(length / 2.0, 0.0));
            stand.pieces(&as_broad(symbol, broad)).into_iter().map(|p| p.path).next().unwrap_or_default()
        });
        let placed = Placed { stamp, at: lying.at, angle_rad: lying.angle_rad };
        self.placed(placed, part.kind, Paint::Stroke(part.width))
    }

    /// A dot at a point.
    pub fn dot(&mut self, symbol: &Symbol, at: Point) -> Shape {
        let part = &symbol.parts[0];
        let stamp = self.stamp((false, 0, 0), || Affine::translate((0.0, symbol.height)) * &part.path);
        self.placed(Placed { stamp, at, angle_rad: 0.0 }, part.kind, Paint::Fill)
    }

    fn placed(&self, placed: Placed, kind: PartKind, paint: Paint) -> Shape {
        Shape { kind, path: placed.affine() * &self.list[placed.stamp].path, paint, placed: Some(placed) }
    }
}
