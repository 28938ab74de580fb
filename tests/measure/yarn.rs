//! Yarn by colour.

use super::{measured, measured_with, orchard};
use fanwise::MeasureOptions;
use fanwise::instructions::Terms;
use fanwise::measure::{YARD_M, YarnUse, totals};
use fanwise::reading::swatch_told;

/// Rows of 20 stitches at 16 over 4 in: 5 in wide.
fn rows(stitch: &str, rows: usize) -> String {
    let (chains, first, turn) = match stitch {
        "sc" => (21, "Sc in 2nd ch from hook and in each ch across", "Ch 1, sc in each st across"),
        "hdc" => (21, "Hdc in 2nd ch from hook and in each ch across", "Ch 1, hdc in each st across"),
        _ => (21, "Dc in 2nd ch from hook and in each ch across", "Ch 1, dc in each st across"),
    };
    let mut text = format!(
        "Strip\n\nYarn A: red, medium (4)\nHook: 5 mm\nGauge: 16 {stitch} = 4 in\nUS terms. Ch 1 at the start of a row does \
         not count as a stitch.\n\nCh {chains}.\nRow 1: {first}. Turn. (20 sts)\n"
    );
    for k in 2..=rows {
        text += &format!("Row {k}: {turn}. Turn. (20 sts)\n");
    }
    text
}

/// Inches that one more row of 5 in takes.
fn inches_of_a_row(stitch: &str, options: &MeasureOptions) -> f64 {
    let metres = |n| measured_with(&rows(stitch, n), options).yarn.colours[0].metres;
    (metres(3) - metres(2)) / 0.0254
}

/// Source: windchilde.com, worsted and a 5 mm hook: 53, 78.5 and 102 inches of yarn in a 5-inch row of sc, hdc and dc.
#[test]
fn rows_take_the_yarn_that_was_measured() {
    for (stitch, inches) in [("sc", 53.0), ("hdc", 78.5), ("dc", 102.0)] {
        let found = inches_of_a_row(stitch, &MeasureOptions::default());
        assert!((found / inches - 1.0).abs() < 0.15, "{stitch}: {found} inches");
    }
}

/// The same source; the row of sc alone calibrates.
#[test]
fn calibrated_on_sc_the_taller_rows_are_met() {
    let swatch = swatch_told("20x1 sc 53 in", Terms::Us);
    assert!(swatch.is_some());
    let options = MeasureOptions::default().with_swatch(swatch);
    for (stitch, inches) in [("hdc", 78.5), ("dc", 102.0)] {
        // the chain that turns is a quarter of a percent of the row's width: it is no part of the published row
        let chain = inches_of_a_row("sc", &options) - 53.0;
        let found = inches_of_a_row(stitch, &options) - chain;
        assert!((found / inches - 1.0).abs() < 0.03, "{stitch}: {found} inches");
    }
}

/// A swatch that takes twice the yarn makes a piece that takes twice the yarn, tails aside.
#[test]
fn a_swatch_sets_the_scale() {
    let with = |words| {
        let options = MeasureOptions::default().with_swatch(swatch_told(words, Terms::Us));
        measured_with(&orchard("pear"), &options).yarn.colours[0].clone()
    };
    let (one, two) = (with("20x20 sc 20 m"), with("20x20 sc 40 m"));
    assert!(((two.metres - two.tails) / (one.metres - one.tails) - 2.0).abs() < 1e-9);
    let plain = measured(&orchard("pear")).yarn.colours[0].clone();
    assert!(one.high / one.low < plain.high / plain.low, "a swatch makes it surer");
}

/// An appliqué in worsted with a 3.75 mm hook: 65 sc of the main colour in rows, and 12 of a second along an edge.
fn applique(gauge: &str, end: &str) -> String {
    let mut text = format!(
        "Plum\n\nYarn A: purple, medium (4)\nYarn B: green, medium (4)\nHook: 3.75 mm\n{gauge}\n\nNotes\nUS terms. Ch 1 at the \
         start of a row does not count as a stitch.\n\nWith A, ch 14.\nRow 1: Sc in 2nd ch from hook and in each ch across. \
         Turn. (13 sts)\n"
    );
    for k in 2..=5 {
        let last = if k == 5 { ", changing to B in last st" } else { "" };
        text += &format!("Row {k}: Ch 1, sc in each st across{last}. Turn. (13 sts)\n");
        text += if k == 5 { "Fasten off A" } else { "" };
    }
    text + end + ".\nRow 6: With B, ch 1, sc in next 12 sts. Leave remaining st unworked. (12 sts)\nFasten off B.\n"
}

/// Common practice, no source: two worsted appliqués at a 3.75 mm hook, about 130 sc of the main colour in the pair, take at
/// most 12 yards of it, and 24 sc of a second colour at most 4 yards, tails included; an estimate that is of use stays under
/// that with its high end and above half of it with its low end.
#[test]
fn a_pair_of_appliques_takes_what_makers_reckon_with() {
    for gauge in ["Gauge: 18 sc and 20 rows = 10 cm", "Gauge: 18 sc = 10 cm", ""] {
        for end in ["", ", leaving a long tail for sewing"] {
            let one = measured(&applique(gauge, end)).yarn;
            let pair: Vec<YarnUse> = totals([&one, &one].into_iter());
            let of = |name: &str| pair.iter().find(|y| y.colour == name).expect("the colour");
            for (name, yards) in [("purple", 12.0), ("green", 4.0)] {
                let (low, high) = (of(name).low / YARD_M, of(name).high / YARD_M);
                assert!(high < yards && low > 0.5 * yards, "{gauge}{end} {name}: {low} to {high} yards");
            }
        }
    }
}

#[test]
fn tails_are_longer_where_the_words_keep_them_for_sewing() {
    let tails = |end| measured(&applique("Gauge: 18 sc = 10 cm", end)).yarn.colours[0].tails;
    let plain = tails("");
    assert!((plain - 0.30).abs() < 1e-9, "one at each end: {plain}");
    assert!((tails(", leaving a long tail for sewing") - 0.45).abs() < 1e-9);
    assert!((tails(", leaving a 60 cm tail for sewing") - 0.75).abs() < 1e-9, "as long as the words say");
}

#[test]
fn ends_are_two_for_each_time_a_yarn_is_attached() {
    let apple = measured(&orchard("apple")).yarn;
    let ends: Vec<(&str, usize)> = apple.colours.iter().map(|y| (y.colour.as_str(), y.ends)).collect();
    assert_eq!(ends, [("A", 2), ("B", 2), ("C", 2)]);
}

const STRIPES: &str = "Bee\n\nYarn A: yellow\nYarn B: brown\nGauge: 18 sc = 10 cm\nUS terms.\n\nWith A, ch 21.\n\
    Row 1: Sc in 2nd ch from hook and in each ch across. Turn. (20 sts)\n";

#[test]
fn a_float_of_more_than_five_stitches_is_pointed_at() {
    let row = |n: usize| {
        let rest = 17 - n;
        format!(
            "{STRIPES}Row 2: Ch 1, sc in next 2 sts, changing to B in last st, sc in next {n} sts, changing to A in last st, sc \
             in next {rest} sts, changing to B in last st, sc in next st. (20 sts)\n"
        )
    };
    let text = row(8);
    let notes = measured(&text).yarn.notes;
    assert!(notes.iter().any(|n| n.message.contains("A (yellow) floats behind 8 stitches")), "{notes:?}");
    let note = &notes[0];
    assert!(text[note.span.start..note.span.end].contains("sc in next 9 sts"));
    // B is away from the first brown run to the last stitch
    let short = measured(&row(5)).yarn.notes;
    assert!(short.iter().all(|n| !n.message.contains("A (yellow)")), "five are no matter: {short:?}");
}

#[test]
fn copies_and_labels_are_reckoned_with() {
    let one = "Leaf\n\nYarn A: green, 100 g = 200 m\nGauge: 18 sc = 10 cm\nUS terms.\n\nLeaf (make 1)\nCh 11.\nRow 1: Sc in 2nd ch \
               from hook and in each ch across. (10 sts)\nFasten off.\n";
    let five = one.replace("make 1", "make 5");
    let (one, five) = (measured(one).yarn.colours[0].clone(), measured(&five).yarn.colours[0].clone());
    assert!((five.metres / one.metres - 5.0).abs() < 1e-9 && five.ends == 5 * one.ends);
    assert!((one.grams.expect("the yarn line tells") - one.metres / 2.0).abs() < 1e-9);
    let options = MeasureOptions::default().with_labels(vec![(None, 100.0)]);
    let pear = measured_with(&orchard("pear"), &options).yarn.colours;
    assert!(pear.iter().all(|y| (y.grams.expect("given") - y.metres).abs() < 1e-9));
    assert!(measured(&orchard("pear")).yarn.colours.iter().all(|y| y.grams.is_none()));
}

#[test]
fn totals_go_by_the_colour_not_by_the_letter() {
    let (pear, apple) = (measured(&orchard("pear")).yarn, measured(&orchard("apple")).yarn);
    let all = totals([&pear, &apple].into_iter());
    let brown = all.iter().find(|y| y.colour == "bark brown").expect("both have brown");
    let sum: f64 = pear.colours.iter().chain(&apple.colours).filter(|y| y.name == "bark brown").map(|y| y.metres).sum();
    assert!((brown.metres - sum).abs() < 1e-9 && brown.ends == 4);
}
