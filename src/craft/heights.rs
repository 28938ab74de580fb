//! Three height scales that must not be mixed: drawn, geometric, turning chain.

use super::Stem;

/// Height of the drawn symbol, in sc widths.
///
/// Source: the height rule 1 : 1.5 : 2 : 3 of teaching charts (half double from memory); slip stitch common practice, no source.
pub fn drawn_height(stem: Stem) -> f64 {
    match stem {
        Stem::Chain(n) => f64::from(n) * 0.8,
        Stem::SlipStitch => 0.25,
        Stem::Single => 1.0,
        Stem::HalfDouble => 1.5,
        Stem::Tall(wraps) => 1.0 + f64::from(wraps),
    }
    .max(0.25)
}

/// Height over width of a worked stitch, as the flat-circle rule implies it: 6, 8, 12, 16 increases a round over 2π.
///
/// Source: circle rule of mkcarroll.com (sc 6, hdc 8, dc 12) and crochets.top (tr 15 to 16); taller stitches extrapolated.
pub fn geometry_height(stem: Stem) -> f64 {
    match stem {
        Stem::Chain(n) => f64::from(n) * 0.955,
        Stem::SlipStitch => 0.25,
        Stem::Single => 0.955,
        Stem::HalfDouble => 1.273,
        Stem::Tall(1) => 1.910,
        Stem::Tall(wraps) => 2.546 + 0.7 * f64::from(wraps - 2),
    }
}

/// Chains that turn to this height.
///
/// Source: dummies.com "How to crochet a turning chain"; CGOA Crochet Lessons 1997.
pub const fn turning_chains(stem: Stem) -> u8 {
    match stem {
        Stem::Chain(n) => n,
        Stem::SlipStitch => 0,
        Stem::Single => 1,
        Stem::HalfDouble => 2,
        Stem::Tall(wraps) => wraps + 2,
    }
}

/// Places for an sc edging along two row ends of this stitch.
///
/// Source: carol-mycrochetpage.blogspot.com, picot edging (sc 1, dc 2, tr 3 a row); hdc from memory.
pub const fn row_end_places_per_two_rows(stem: Stem) -> u8 {
    match stem {
        Stem::Chain(_) | Stem::SlipStitch => 0,
        Stem::Single => 2,
        Stem::HalfDouble => 3,
        Stem::Tall(wraps) => 2 * (wraps + 1),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use Stem::*;

    /// Source: dummies.com and CGOA 1997 (sc 1, hdc 2, dc 3, tr 4, dtr 5, trtr 6).
    #[test]
    fn turning_chain_heights_are_the_published_ones() {
        let all = [SlipStitch, Single, HalfDouble, Tall(1), Tall(2), Tall(3), Tall(4)];
        assert_eq!(all.map(turning_chains), [0, 1, 2, 3, 4, 5, 6]);
    }

    /// Source: carol-mycrochetpage.blogspot.com (sc, dc, tr); hdc from memory.
    #[test]
    fn row_ends_offer_the_published_places() {
        let all = [Single, HalfDouble, Tall(1), Tall(2)];
        assert_eq!(all.map(row_end_places_per_two_rows), [2, 3, 4, 6]);
    }

    /// Source: mkcarroll.com, how not to crochet a flat circle: 6, 8 and 12 a round.
    #[test]
    fn geometric_heights_give_back_the_flat_circle_increases() {
        for (stem, increase) in [(Single, 6.0), (HalfDouble, 8.0), (Tall(1), 12.0)] {
            let per_round = std::f64::consts::TAU * geometry_height(stem);
            assert!((per_round - increase).abs() < 0.01, "{stem}: {per_round}");
        }
    }
}
