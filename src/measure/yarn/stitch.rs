//! How much yarn one stitch takes.

use crate::craft::{Meet, Stem, geometry_height};
use crate::fabric::{Leg, Stitch};
use crate::layout::Sizes;

/// Yarn of a stem, in widths of a stitch.
///
/// Source: windchilde.com, yarn per 5-inch row in worsted on a 5 mm hook: chain 25.5, sc 53, hdc 78.5, dc 102 inches, so 5.1,
/// 10.6, 15.7 and 20.4 times the width of what is worked. Taller stitches lie between the same again for each wrap (25)
/// and the same for each area (27: thesnugglery.net, swatches of dc and tr from equal lengths come out equally high). A
/// slip stitch takes about a chain: common practice, no source.
pub fn widths_of_yarn(stem: Stem) -> f64 {
    const CHAIN: f64 = 5.1;
    const DC: f64 = 20.4;
    const WRAP: f64 = 5.6;
    match stem {
        Stem::Chain(n) => CHAIN * f64::from(n),
        Stem::SlipStitch => CHAIN,
        Stem::Single => 10.6,
        Stem::HalfDouble => 15.7,
        Stem::Tall(wraps) => DC + WRAP * f64::from(wraps.max(1) - 1),
    }
}

/// Yarn of a stem at a gauge. About half of it runs along the height and follows that: common practice, no source.
fn of_stem(stem: Stem, sizes: &dyn Sizes) -> f64 {
    let taller = match stem {
        Stem::Chain(_) | Stem::SlipStitch => 1.0,
        _ => sizes.height(stem) / geometry_height(stem),
    };
    widths_of_yarn(stem) * (0.5 + 0.5 * taller)
}

/// Yarn of a whole stitch, in widths: its legs, and how they meet.
pub(super) fn of_stitch(stitch: &Stitch, sizes: &dyn Sizes) -> f64 {
    // the last pull-through that legs drawn together share; round a post, a tenth more: common practice, no source
    const SHARED: f64 = 3.5;
    const ROUND_A_POST: f64 = 1.1;
    let stem = |leg: &Leg| of_stem(leg.stem, sizes);
    let legs: f64 = stitch.legs.iter().map(stem).sum();
    let more = stitch.legs.len().saturating_sub(1) as f64;
    let mut all = match stitch.meet {
        Meet::Closed => legs + widths_of_yarn(Stem::Chain(1)),
        _ => legs - SHARED * more,
    };
    if stitch.extra.post.is_some() {
        all *= ROUND_A_POST;
    }
    if stitch.extra.extended {
        all += widths_of_yarn(Stem::Chain(1));
    }
    all.max(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: windchilde.com, ratios to a row of sc: hdc 1.481, dc 1.925, chain 0.481.
    #[test]
    fn yarn_follows_the_height_of_the_stitch() {
        let sc = widths_of_yarn(Stem::Single);
        for (stem, ratio) in [(Stem::HalfDouble, 1.481), (Stem::DC, 1.925), (Stem::Chain(1), 0.481)] {
            assert!((widths_of_yarn(stem) / sc - ratio).abs() < 0.005, "{stem}");
        }
    }

    /// Source: thesnugglery.net: equal lengths of yarn gave swatches of dc and of tr 4.75 in high, of sc 4.00 in.
    #[test]
    fn of_one_length_tall_stitches_make_as_much_fabric_or_a_sixth_more() {
        let per_area = |stem| widths_of_yarn(stem) / geometry_height(stem);
        assert!((per_area(Stem::TR) / per_area(Stem::DC) - 1.0).abs() < 0.06);
        let saved = 1.0 - per_area(Stem::DC) / per_area(Stem::Single);
        assert!((0.0..=0.16).contains(&saved), "the two sources have 0 and 16 %: {saved}");
    }
}
