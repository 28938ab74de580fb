//! How large a stitch wants to be, seen by the layout: it knows no symbol.

use crate::craft::{Stem, drawn_height};
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
