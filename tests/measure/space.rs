//! Shapes in space.

use super::rounds::{growing, rounds};
use super::{measured, measured_with};
use fanwise::MeasureOptions;
use fanwise::measure::{Shape, Verdict};

/// Height over width of sc by the circle rule. Source: mkcarroll.com, 6 more a round: 6/2π.
const HEIGHT: f64 = 0.955;

/// A cone whose rounds grow by k of the 6 that a disc needs has a half-angle of asin(k/6): its rounds lie one height apart
/// along its side. Derived from the circle rule.
#[test]
fn cones_have_the_angle_of_their_ratio() {
    for by in [3_u8, 4, 5] {
        let cone = measured(&growing("sc", usize::from(by), 9)).space;
        assert_eq!(cone.shape, Shape::Cone, "{by}");
        let told = libm::asin(f64::from(by) / 6.0).to_degrees();
        let found = cone.half_angle_deg.expect("a cone has one");
        assert!((found / told - 1.0).abs() < 0.05, "{by} sc a round: {found}, asin says {told}");
    }
}

#[test]
fn a_cylinder_is_a_tube_as_long_as_its_rounds() {
    let mut text = "Tube\n\nUS terms.\nCh 1 at the start of a round does not count as a stitch.\n\nCh 20; join with sl st to form a \
                    ring.\n"
        .to_owned();
    for k in 1..=8 {
        let what = if k == 1 { "ch" } else { "st" };
        text += &format!("Rnd {k}: Ch 1, sc in each {what} around. Join with sl st to first sc. (20 sts)\n");
    }
    let tube = measured(&text);
    assert_eq!((tube.curve.verdict, tube.space.shape), (Verdict::Cups, Shape::Tube));
    assert!((tube.space.depth / (8.0 * HEIGHT) - 1.0).abs() < 0.05, "{:?}", tube.space);
    assert!((tube.space.across / (20.0 / std::f64::consts::PI) - 1.0).abs() < 0.05, "{:?}", tube.space);
    let closed_below = measured(&rounds("sc", &[6, 12, 18, 18, 18, 18, 18, 18, 18, 18, 18])).space;
    assert_eq!(closed_below.shape, Shape::Tube);
}

/// Source: The Ideal Crochet Sphere, Ms Premise-Conclusion, 14 Mar 2010: counts go with the sine of the angle from the pole;
/// the numbers 2n sin(πk/n), rounded, are derived for square stitches.
#[test]
fn the_published_spheres_close() {
    for n in [6_u8, 8, 10] {
        let count =
            |k: u8| (2.0 * f64::from(n) * libm::sin(std::f64::consts::PI * f64::from(k) / f64::from(n))).round();
        let counts: Vec<usize> = (1..n).map(|k| count(k) as usize).collect();
        let sphere = measured(&rounds("sc", &counts));
        assert_eq!((sphere.curve.verdict, sphere.space.shape), (Verdict::Cups, Shape::Closed), "{counts:?}");
        // as wide as its widest round, and about as high as it is wide
        let wide = f64::from(2 * n) / std::f64::consts::PI;
        assert!((sphere.space.across / wide - 1.0).abs() < 0.06, "{n}: {:?}", sphere.space);
        assert!((sphere.space.depth / wide - 1.0).abs() < 0.15, "{n}: {:?}", sphere.space);
        // and curved as a sphere of that width is: 1/r²
        let curvature = sphere.space.curvature.expect("it is relaxed");
        assert!((curvature * wide * wide / 4.0 - 1.0).abs() < 0.15, "{n}: {curvature}");
    }
}

#[test]
fn a_disc_with_rounds_worked_even_is_a_cup() {
    let cup = measured(&rounds("sc", &[6, 12, 18, 24, 24, 24])).space;
    assert_eq!(cup.shape, Shape::Cup);
    assert!(cup.depth > HEIGHT && cup.depth < 3.5 * HEIGHT, "two rounds stand up: {cup:?}");
    assert!((cup.across / (24.0 / std::f64::consts::PI) - 1.0).abs() < 0.06, "{cup:?}");
}

#[test]
fn twice_the_increases_make_a_saddle_with_waves() {
    let saddle = measured(&growing("sc", 12, 4));
    assert_eq!((saddle.curve.verdict, saddle.space.shape), (Verdict::Ruffles, Shape::Saddle));
    assert!(saddle.space.waves.is_some_and(|w| w >= 2), "{:?}", saddle.space);
    assert!(saddle.space.depth > 1.0, "it leaves the plane: {:?}", saddle.space);
    assert!(saddle.space.curvature.is_some_and(|k| k < 0.0));
}

/// Rows in which every N stitches become N + 1, on a chain of `first`.
fn constant_ratio(n: usize, first: usize, rows: usize) -> String {
    let mut text = format!(
        "Strip\n\nUS terms.\nCh 1 at the start of a row does not count as a stitch.\n\nCh {}.\nRow 1: Sc in 2nd ch from hook and in \
         each ch across. Turn. ({first} sts)\n",
        first + 1
    );
    let plain = |k: usize| match k {
        0 => String::new(),
        1 => "sc in next st, ".to_owned(),
        _ => format!("sc in next {k} sts, "),
    };
    let (mut count, mut over) = (first, n / 2);
    for row in 2..=rows {
        // what is left of a row goes on in the next
        let mut words = String::new();
        let mut left = count;
        let mut more = 0;
        while left > n - 1 - over.min(n - 1) {
            let before = n - 1 - over.min(n - 1);
            words += &plain(before);
            words += "2 sc in next st, ";
            left -= before + 1;
            more += 1;
            over = 0;
        }
        words += &plain(left);
        over += left;
        count += more;
        text += &format!("Row {row}: Ch 1, {}. Turn. ({count} sts)\n", words.trim_end_matches(", "));
    }
    text
}

/// Every N stitches become N + 1, row upon row: a surface of constant negative curvature −1/R².
///
/// Source: D. Henderson and D. Taimina, Crocheting the Hyperbolic Plane, Math. Intelligencer 23(2), 2001 (the constant
/// ratio); R/h = 1/ln((N+1)/N) is derived from it by an annular strip one row high.
#[test]
fn a_constant_ratio_is_a_hyperbolic_plane() {
    // unoptimised, the large ones take minutes
    let last = if cfg!(debug_assertions) && std::env::var_os("FANWISE_ALL_RATIOS").is_none() { 4 } else { 12 };
    for n in 3..=last {
        let piece =
            measured_with(&constant_ratio(n, if n > 10 { 4 * n } else { 5 * n }, n + 3), &MeasureOptions::default());
        assert_eq!((piece.curve.verdict, piece.space.shape), (Verdict::Ruffles, Shape::Saddle), "{n}");
        let curvature = piece.space.curvature.expect("it is relaxed");
        assert!(curvature < 0.0, "{n}: {curvature}");
        let found = 1.0 / (-curvature).sqrt() / HEIGHT;
        let told = 1.0 / libm::log((n + 1) as f64 / n as f64);
        println!(
            "N = {n}: R/h {found:.3}, told {told:.3}, off {:.3}, strain {:.4}",
            found / told - 1.0,
            piece.space.strain
        );
        assert!((found / told - 1.0).abs() < 0.1, "{n} to {}: R/h {found}, told {told}", n + 1);
    }
}
