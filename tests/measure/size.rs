//! Sizes from gauges.

use super::rounds::growing;
use super::{measured, measured_with, orchard};
use fanwise::MeasureOptions;
use fanwise::instructions::Terms;
use fanwise::measure::{GaugeSource, Measured};
use fanwise::reading::gauge_told;

fn at(text: &str, gauge: &str) -> Measured {
    let gauge = gauge_told(gauge, Terms::Us).unwrap_or_else(|| panic!("\"{gauge}\" is a gauge"));
    measured_with(text, &MeasureOptions::default().with_gauge(Some(gauge)))
}

fn swatch(sts: usize, rows: usize) -> String {
    let mut text = format!(
        "Swatch\n\nUS terms.\n\nCh {}.\nRow 1: Sc in 2nd ch from hook and in each ch across. Turn. ({sts} sts)\n",
        sts + 1
    );
    for k in 2..=rows {
        text += &format!("Row {k}: Ch 1, sc in each st across. Turn. ({sts} sts)\n");
    }
    text
}

/// Stitches over stitches to the inch, rows over rows: gauge arithmetic.
#[test]
fn a_swatch_is_as_large_as_its_gauge_says() {
    let size = at(&swatch(20, 20), "16 sts 18 rows 10 cm").size.expect("a size");
    assert!((size.width - 125.0).abs() < 2.5, "{size:?}");
    assert!((size.height - 111.1).abs() < 3.0, "{size:?}");
    let inches = at(&swatch(20, 20), "16 sc and 18 rows = 4 in").size.expect("a size");
    assert!((inches.width / size.width - 1.016).abs() < 1e-6, "4 in are 101.6 mm");
}

/// A flat circle of k rounds has a radius of k stitch heights: its circumference grows by 6 stitches a round.
#[test]
fn a_disc_is_as_wide_as_its_rounds() {
    let size = at(&growing("sc", 6, 8), "18 sc and 20 rows = 10 cm").size.expect("a size");
    let diameter = 2.0 * 8.0 * 5.0;
    assert!((size.width / diameter - 1.0).abs() < 0.06, "{size:?}");
    assert!((size.height / size.width - 1.0).abs() < 0.03, "{size:?}");
}

#[test]
fn a_gauge_of_rounds_is_met_by_those_rounds() {
    let disc = growing("sc", 6, 6);
    let three = at(&growing("sc", 6, 3), "rnds 1-3 = 5 cm across");
    let size = three.size.expect("a size");
    assert!((size.width - 50.0).abs() < 1.5 && (size.height - 50.0).abs() < 1.5, "{size:?}");
    let rounds = three.gauge_of_rounds.expect("as given");
    assert_eq!((rounds.rows, rounds.across_mm, rounds.source), ([1, 3], 50.0, GaugeSource::Option));
    assert!(three.gauge.is_none());
    let six = at(&disc, "rnds 1-3 = 5 cm across").size.expect("a size");
    assert!((six.width - 100.0).abs() < 5.0, "twice as many rounds, twice as wide: {six:?}");
    let apple = measured(&orchard("apple"));
    assert_eq!(apple.gauge_of_rounds.expect("the apple tells one").source, GaugeSource::Pattern);
    assert!(apple.size.is_some());
}

#[test]
fn the_gauge_given_stands_above_that_of_the_pattern_and_that_above_the_table() {
    let own = measured(&orchard("pear"));
    let gauge = own.gauge.as_ref().expect("the pear tells one");
    assert_eq!((gauge.sts, gauge.rows, gauge.over_mm, gauge.source), (18.0, 20.0, 100.0, GaugeSource::Pattern));
    let given = at(&orchard("pear"), "9 sc and 10 rows = 10 cm");
    assert_eq!(given.gauge.expect("as given").source, GaugeSource::Option);
    let (one, two) = (own.size.expect("a size"), given.size.expect("a size"));
    assert!((two.width / one.width - 2.0).abs() < 0.01 && (two.height / one.height - 2.0).abs() < 0.01);
    let bare = orchard("pear").replace("Gauge\n18 sc and 20 rows = 10 cm\n", "");
    let table = measured(&bare);
    assert_eq!(table.gauge.expect("medium yarn").source, GaugeSource::Table);
    let sure = |m: &fanwise::measure::Size| m.high - m.low;
    assert!(sure(&table.size.expect("a size")) > sure(&one), "a table is less sure than a gauge");
}

/// Source: Crochet World, October 2018, p. 64 (the published table): fewer stitches over 4 in the thicker the yarn.
#[test]
fn three_yarns_stand_side_by_side() {
    let pear = measured(&orchard("pear"));
    let numbers: Vec<u8> = pear.in_yarns.iter().map(|y| y.weight).collect();
    assert_eq!(numbers, [3, 4, 5], "that of the pattern in the middle");
    assert!(pear.in_yarns.windows(2).all(|w| w[0].width < w[1].width && w[0].height < w[1].height));
    // 12.5 sc over 4 in, the middle of 11 to 14, against the pear's 18 over 10 cm
    let (medium, own) = (&pear.in_yarns[1], pear.size.expect("a size"));
    let ratio = (101.6 / 12.5) / (100.0 / 18.0);
    assert!((medium.width / own.width / ratio - 1.0).abs() < 0.01, "{medium:?} {own:?}");
}

#[test]
fn without_a_gauge_no_size_is_told() {
    let measured = measured(&growing("sc", 6, 4));
    assert!(measured.size.is_none() && measured.gauge.is_none());
}

#[test]
fn the_first_rounds_may_be_told_by_their_number() {
    let text = growing("sc", 6, 4);
    let told = |words: &str| {
        let text = text.replacen("\nUS terms.", &format!("\nUS terms.\n{words}\n"), 1);
        measured(&text).gauge_of_rounds.map(|g| (g.rows, g.across_mm))
    };
    assert_eq!(told("Tension: first 2 rounds measure 6 cm across"), Some(([1, 2], 60.0)));
    assert_eq!(told("Gauge: Rnds 1-2 = 6 cm across"), Some(([1, 2], 60.0)));
}

/// A tube of 18 stands on its bottom: across 18/π, and as high as its rounds climb. Derived: a body turned about an axis.
#[test]
fn what_stands_up_is_measured_across_and_high() {
    let gauge = "Gauge: 20 sc and 20 rows = 10 cm\n";
    let tube = |plain: usize| {
        format!(
            "Cup\n\nUS terms.\n{gauge}\nMake a magic ring.\nRnd 1: 6 sc in ring. (6 sts)\nRnd 2: 2 sc in each st around. (12 sts)\n\
             Rnd 3: [Sc in next st, 2 sc in next st] 6 times. (18 sts)\nRnds 4-{}: Sc in each st around. (18 sts)\n",
            3 + plain
        )
    };
    let size = measured(&tube(8)).size.expect("there is a gauge");
    // stitches of 5 mm: 18 about are 28.6 mm across; 8 rows of 5 mm, and little for a bottom that is nearly flat
    assert!(size.stands, "{size:?}");
    assert!((size.width - 18.0 * 5.0 / std::f64::consts::PI).abs() < 0.1, "{size:?}");
    assert!(size.height > 40.0 && size.height < 45.0, "{size:?}");
    let bowl = measured(&tube(1)).size.expect("there is a gauge");
    assert!(!bowl.stands, "{bowl:?}");
}
