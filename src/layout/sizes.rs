//! How large a stitch wants to be, seen by the layout: it knows no symbol.

use crate::craft::{Stem, drawn_height, geometry_height};
use crate::fabric::Stitch;

/// The sizes the layout strives for, in sc widths.
pub trait Sizes {
    /// Width a stitch takes along its row.
    fn width(&self, stitch: &Stitch) -> f64;

    /// Height of a stem from foot to head.
    fn height(&self, stem: Stem) -> f64;

    /// How much longer a stitch is on a chain, whose oval has a thickness.
    fn on_chain(&self) -> f64 {
        0.25
    }

    /// Distance between neighbours of these widths; closer beside a slip stitch, which has no arms.
    fn pitch(&self, a: &Stitch, b: &Stitch) -> f64 {
        let plain = 0.5 * (self.width(a) + self.width(b));
        if a.is_slip_stitch() || b.is_slip_stitch() { 0.8 * plain } else { plain }
    }
}

/// The heights of the drawn symbols ([`drawn_height`]), every stitch one wide.
///
/// # Source
/// The heights of teaching charts; see [`drawn_height`].
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct DrawnSizes;

impl Sizes for DrawnSizes {
    fn width(&self, _: &Stitch) -> f64 {
        1.0
    }

    fn height(&self, stem: Stem) -> f64 {
        drawn_height(stem)
    }
}

/// Heights as they are worked, against widths of one: those of the circle rule ([`geometry_height`]), brought to a gauge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TrueSizes {
    factor: f64,
}

impl TrueSizes {
    /// Heights by the circle rule alone.
    pub const fn by_rule() -> Self {
        TrueSizes { factor: 1.0 }
    }

    /// Heights brought to a gauge: stitches and rows of one stem over the same measure.
    ///
    /// A gauge no hand works, less than half or more than twice the rule, is set aside.
    pub fn by_gauge(stem: Stem, stitches: f64, rows: f64) -> Self {
        let factor = stitches / rows / geometry_height(stem);
        if (0.5..=2.0).contains(&factor) { TrueSizes { factor } } else { Self::by_rule() }
    }
}

impl Sizes for TrueSizes {
    fn width(&self, _: &Stitch) -> f64 {
        1.0
    }

    fn height(&self, stem: Stem) -> f64 {
        self.factor * geometry_height(stem)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_gauge_scales_every_stem_and_an_impossible_one_none() {
        let sizes = TrueSizes::by_gauge(Stem::Single, 18.0, 20.0);
        assert!((sizes.height(Stem::Single) - 0.9).abs() < 1e-12);
        assert!((sizes.height(Stem::DC) - 1.8).abs() < 1e-3);
        for sizes in [TrueSizes::by_gauge(Stem::Single, 18.0, 0.0), TrueSizes::by_gauge(Stem::DC, f64::NAN, 9.0)] {
            assert_eq!(sizes, TrueSizes::by_rule());
        }
    }
}
