//! How many increases a round makers publish as flat, by stitch.

use crate::craft::Stem;

/// The least and the most increases a round that makers publish for a flat circle of a stitch.
///
/// Source: sc 6, hdc 8 and dc 10 to 12, tr 12 to 14: mkcarroll.com, how not to crochet a flat circle; sc 7: Handbook of
/// Wool Knitting and Crochet, 1918; hdc 10 and dc 12 to 14: crochetrebellion.com; tr 15 to 16: crochets.top.
pub fn published_as_flat(stem: Stem) -> Option<(f64, f64)> {
    match stem {
        Stem::Single => Some((6.0, 7.0)),
        Stem::HalfDouble => Some((8.0, 10.0)),
        Stem::Tall(1) => Some((10.0, 14.0)),
        Stem::Tall(2) => Some((12.0, 16.0)),
        _ => None,
    }
}
