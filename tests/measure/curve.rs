//! The curve check.

use super::rounds::{growing, rounds};
use super::{measured, orchard};
use fanwise::measure::Verdict::{Cups, Flat, Ruffles};

/// Source: mkcarroll.com, how not to crochet a flat circle, and mamas2hands.com, another pi day: 6 sc, 8 hdc, 12 dc a round.
#[test]
fn the_published_flat_circles_are_flat() {
    for (stitch, by) in [("sc", 6), ("hdc", 8), ("dc", 12)] {
        let curve = measured(&growing(stitch, by, 6)).curve;
        assert_eq!(curve.verdict, Flat, "{by} {stitch}");
        assert!((curve.ratio - 1.0).abs() < 0.01, "{by} {stitch}: {}", curve.ratio);
        assert!(
            curve.rows.iter().all(|r| r.verdict == Flat && (r.needed - r.made as f64).abs() < 0.1),
            "{by} {stitch}"
        );
        assert!(curve.notes.is_empty(), "{:?}", curve.notes);
    }
}

/// Half of what the circle rule asks cups, twice as much ruffles. Source of the rule: mkcarroll.com.
#[test]
fn too_few_cup_and_too_many_ruffle() {
    for (stitch, by, verdict) in [("sc", 3, Cups), ("sc", 5, Cups), ("dc", 6, Cups), ("sc", 12, Ruffles)] {
        let curve = measured(&growing(stitch, by, 6)).curve;
        assert_eq!(curve.verdict, verdict, "{by} {stitch}");
        let rule = match stitch {
            "sc" => 6.0,
            _ => 12.0,
        };
        assert!((curve.ratio - by as f64 / rule).abs() < 0.01, "{by} {stitch}: {}", curve.ratio);
        assert!(curve.rows[2..].iter().all(|r| r.verdict == verdict), "{by} {stitch}");
    }
}

/// Source: mkcarroll.com (dc 10 to 12) and crochetrebellion.com (hdc 10, dc 12 to 14), all published as flat.
#[test]
fn within_what_makers_publish_as_flat_it_only_may() {
    for (stitch, by, word) in [("dc", 10, "may cup"), ("hdc", 10, "may ruffle"), ("dc", 14, "may ruffle")] {
        let curve = measured(&growing(stitch, by, 5)).curve;
        assert_eq!(curve.verdict, Flat, "{by} {stitch}");
        let notes: Vec<&str> = curve.notes.iter().map(|n| n.message.as_str()).collect();
        assert!(notes.iter().any(|n| n.contains(word)), "{by} {stitch}: {notes:?}");
    }
    let curve = measured(&growing("dc", 9, 5)).curve;
    assert_eq!(curve.verdict, Cups, "fewer than anyone publishes");
}

/// The rounds of the Daffodil doily are increased by 8 with plain rounds between, 104 stitches after 16, and lie flat.
///
/// Source: American Thread Star Book No. 57 (1948).
#[test]
fn plain_rounds_between_larger_increases_are_flat() {
    let curve = measured(&rounds("sc", &[8, 16, 24, 24, 32, 40, 48, 48, 56, 64, 64, 72])).curve;
    assert_eq!(curve.verdict, Flat, "{curve:?}");
    assert!(curve.rows.iter().filter(|r| r.verdict != Flat).count() <= 1, "{curve:?}");
}

const OVAL: &str = "Oval\n\nUS terms.\nCh 1 at the start of a round does not count as a stitch.\n\nCh 7.\n\
    Rnd 1: Sc in 2nd ch from hook and in next 4 ch, 3 sc in last ch; working along opposite side of foundation ch, sc in \
    next 4 ch, 2 sc in last ch. Join with sl st to first sc. (14 sts)\n";

/// Source: offthehookcrochetdesign.com, crochet an oval: 14, 20, 26, 32 on a chain of 7, three more at each end.
#[test]
fn the_published_oval_is_flat() {
    let text = format!(
        "{OVAL}Rnd 2: Ch 1, 2 sc in next st, sc in next 4 sts, 2 sc in each of next 3 sts, sc in next 4 sts, 2 sc in each of \
         next 2 sts. Join with sl st to first sc. (20 sts)\n\
         Rnd 3: Ch 1, sc in next st, 2 sc in next st, sc in next 4 sts, [sc in next st, 2 sc in next st] 3 times, sc in next \
         4 sts, [sc in next st, 2 sc in next st] twice. Join with sl st to first sc. (26 sts)\n\
         Rnd 4: Ch 1, sc in next 2 sts, 2 sc in next st, sc in next 4 sts, [sc in next 2 sts, 2 sc in next st] 3 times, sc \
         in next 4 sts, [sc in next 2 sts, 2 sc in next st] twice. Join with sl st to first sc. (32 sts)\n"
    );
    let curve = measured(&text).curve;
    assert_eq!(curve.verdict, Flat);
    assert!((curve.ratio - 1.0).abs() < 0.02, "{}", curve.ratio);
    assert!(curve.rows.iter().all(|r| r.verdict == Flat), "{curve:?}");
}

#[test]
fn an_oval_with_all_increases_at_one_end_is_told_apart_with_the_place() {
    let text = format!(
        "{OVAL}Rnd 2: Ch 1, sc in next 3 sts, 2 sc in each of next 6 sts, sc in next 5 sts. Join with sl st to first sc. (20 \
         sts)\nRnd 3: Ch 1, sc in next 4 sts, [sc in next st, 2 sc in next st] 6 times, sc in next 4 sts. Join with sl st to \
         first sc. (26 sts)\nRnd 4: Ch 1, sc in next 4 sts, [sc in next 2 sts, 2 sc in next st] 6 times, sc in next 4 sts. \
         Join with sl st to first sc. (32 sts)\n"
    );
    let curve = measured(&text).curve;
    assert!((curve.ratio - 1.0).abs() < 0.02, "there are enough in all: {}", curve.ratio);
    assert_eq!(curve.verdict, Cups);
    let note = curve.notes.iter().find(|n| n.about == "here" && n.message.contains("cup")).expect("the place is told");
    // the end without an increase is the one where the round begins and ends
    let words = &text[note.span.start..note.span.end];
    assert!(words.contains("sc in next 4 sts") || words.contains("sc in next 5 sts"), "{words}");
    assert!(!words.contains("2 sc"), "{words}");
}

#[test]
fn the_pear_is_flat_bend_by_bend() {
    let curve = measured(&orchard("pear")).curve;
    assert_eq!(curve.verdict, Flat);
    assert!(curve.notes.is_empty(), "{:?}", curve.notes);
    let row = curve.rows.iter().find(|r| r.label == "Row 2").expect("row 2");
    let round = row.places.iter().find(|p| p.turn_deg > 150.0).expect("the round end of the pear");
    assert!((round.worked - 3.0).abs() < 0.1 && (round.needed - 2.8).abs() < 0.3, "{round:?}");
    let hollow = row.places.iter().find(|p| p.turn_deg < -25.0).expect("the hollow");
    assert!(hollow.worked < -0.9 && hollow.needed < -0.4, "{hollow:?}");
    assert!(row.places.iter().all(|p| p.verdict == Flat));
}

#[test]
fn a_pear_with_two_increases_off_the_bend_is_told_apart_with_the_place() {
    let row_2 = "sc in next 4 sts, [2 sc in next st, sc in next st] twice, 2 sc in next st, sc in next 6 sts, 2 sc in next st, \
                 sc in next 7 sts";
    let moved_2 = "sc in next 6 sts, 2 sc in next st, sc in next 4 sts, [2 sc in next st, sc in next st] twice, 2 sc in next \
                   st, sc in next 7 sts";
    let row_3 = "sc in next 7 sts, 2 sc in next st, sc in next 2 sts, 2 sc in next st, sc in next st, 2 sc in next st, sc in \
                 next 4 sts, sc2tog";
    let moved_3 = "2 sc in next st, sc in next 2 sts, 2 sc in next st, sc in next 6 sts, 2 sc in next st, sc in next 6 sts, \
                   sc2tog";
    for (label, was, now, way) in [("Row 2", row_2, moved_2, "earlier"), ("Row 3", row_3, moved_3, "later")] {
        let text = orchard("pear");
        assert!(text.contains(was));
        let text = text.replace(was, now);
        let curve = measured(&text).curve;
        let row = curve.rows.iter().find(|r| r.label == label).expect("the row");
        assert_ne!(row.verdict, Flat);
        assert_ne!(curve.verdict, Flat);
        assert!(row.places.iter().any(|p| p.verdict == Cups && p.turn_deg > 150.0), "the bend gets too few: {row:?}");
        let note = curve.notes.iter().find(|n| n.about == "off-bend").expect("it is named");
        assert!(note.message.contains("2 increases") && note.message.contains(way), "{}", note.message);
        assert_eq!(note.moves.len(), 2);
        assert!(text[note.span.start..note.span.end].contains("2 sc in next st"));
        let others = curve.rows.iter().filter(|r| r.label != label);
        assert!(others.into_iter().all(|r| r.verdict == Flat), "only {label} is at fault");
    }
}

/// Source: Simply Crochet UK, 22 Oct 2020: increases one above the other turn the circle into a hexagon; stagger them.
#[test]
fn stacked_increases_are_named_and_staggered_ones_are_not() {
    let mut text = "Disc\n\nUS terms.\nMake a magic ring.\nRnd 1: 6 sc in ring. Join with sl st to first sc. (6 sts)\n\
                    Rnd 2: Ch 1, 2 sc in each st around. Join with sl st to first sc. (12 sts)\n"
        .to_owned();
    for k in 3..8 {
        let plain = if k == 3 { "sc in next st".to_owned() } else { format!("sc in next {} sts", k - 2) };
        text += &format!(
            "Rnd {k}: Ch 1, [{plain}, 2 sc in next st] 6 times. Join with sl st to first sc. ({} sts)\n",
            6 * k
        );
    }
    let curve = measured(&text).curve;
    assert_eq!(curve.verdict, Flat);
    let note = curve.notes.iter().find(|n| n.about == "stacked").expect("it is named");
    assert!(note.message.contains("hexagon") && note.message.contains("6 increases"), "{}", note.message);
    let staggered = measured(&growing("sc", 6, 7)).curve;
    assert!(staggered.notes.is_empty(), "{:?}", staggered.notes);
    assert!(measured(&orchard("apple")).curve.notes.iter().all(|n| n.about != "stacked"));
}

/// Source: northeytechnologies.com (sc square, 8 more a round) and octojellycrochetstudio.com (dc square, 4 more a side).
#[test]
fn squares_lie_flat_though_they_grow_faster_than_circles() {
    let mut sc = "Square\n\nUS terms.\nMake a magic ring.\nRnd 1: 4 sc in ring. Join with sl st to first sc. (4 sts)\n\
                  Rnd 2: Ch 1, 3 sc in each st around. Join with sl st to first sc. (12 sts)\n"
        .to_owned();
    for k in 3..7 {
        let side = 2 * k - 4;
        sc += &format!(
            "Rnd {k}: Ch 1, sc in next st, 3 sc in next st, [sc in next {side} sts, 3 sc in next st] 3 times, sc in next {} \
             st{}. Join with sl st to first sc. ({} sts)\n",
            side - 1,
            if side == 2 { "" } else { "s" },
            8 * k - 4
        );
    }
    assert_eq!(measured(&sc).curve.verdict, Flat);
    assert_eq!(measured(&orchard("coaster")).curve.verdict, Flat);
}

#[test]
fn shaped_edges_of_flat_rows_are_no_curve() {
    let mut text = "Triangle\n\nUS terms.\nCh 1 at the start of a row does not count as a stitch.\n\nCh 4.\n\
                    Row 1: Sc in 2nd ch from hook and in each ch across. Turn. (3 sts)\n"
        .to_owned();
    for k in 2..10 {
        text += &format!(
            "Row {k}: Ch 1, 2 sc in next st, sc in next {} st{}, 2 sc in next st. Turn. ({} sts)\n",
            2 * k - 3,
            if k == 2 { "" } else { "s" },
            2 * k + 1
        );
    }
    let curve = measured(&text).curve;
    assert_eq!(curve.verdict, Flat);
    assert!(curve.rows.iter().all(|r| r.verdict == Flat), "{curve:?}");
}

#[test]
fn every_pattern_of_the_orchard_lies_flat() {
    for name in ["acorn", "apple", "coaster", "leaf", "pear"] {
        let curve = measured(&orchard(name)).curve;
        assert_eq!(curve.verdict, Flat, "{name}");
        assert!(curve.notes.is_empty(), "{name}: {:?}", curve.notes);
    }
}

#[test]
fn the_chart_shows_what_does_not_fit_and_where_increases_should_go() {
    use fanwise::chart::{Show, Style};
    let drawn = |text: &str| {
        let options = fanwise::ChartOptions::default().with_style(Style::default().with_show(vec![Show::Curve]));
        fanwise::Pattern::read(text).chart(&options).expect("it is sound").to_svg()
    };
    let pear = orchard("pear");
    let was = "sc in next 4 sts, [2 sc in next st, sc in next st] twice, 2 sc in next st, sc in next 6 sts";
    let now = "sc in next 6 sts, 2 sc in next st, sc in next 4 sts, [2 sc in next st, sc in next st] twice";
    let moved = pear.replace(was, now);
    assert_ne!(pear, moved);
    let (fine, off) = (drawn(&pear), drawn(&moved));
    for class in ["bend-few", "bend-many", "\"move"] {
        assert!(off.contains(class) && !fine.contains(class), "{class}");
    }
    assert!(off.contains("bend-fits") && fine.contains("bend-fits"));
    assert!(off.contains("needs 2.7, gets 1.0"));
}

/// A pattern of the shapes.
fn shape(name: &str) -> String {
    let path = format!("{}/tests/shapes/{name}.txt", env!("CARGO_MANIFEST_DIR"));
    std::fs::read_to_string(path).expect("the shape is there")
}

/// A star climbs to its points and falls from them, so that its line is longer than a circle's, and the chains at its
/// points stand out of that line. By the edges of a star of five points between the radii 2.55 and 4.2 its line is 27
/// stitches long; derived from plane geometry.
#[test]
fn a_star_lies_flat() {
    let curve = measured(&shape("star")).curve;
    assert_eq!(curve.verdict, Flat, "{curve:?}");
    assert!(curve.rows[1].verdict == Flat && (curve.rows[1].needed - 25.0).abs() < 3.0, "{curve:?}");
}

/// A sole gets at each end what its stitches are high: 3 more in a round of sc, 6 in dc. Source: oval of the 1918 shoe
/// sole, 31 + 3 + 31 + 3 (Handbook of Wool Knitting and Crochet), and +6 a round of sc; dc by their height, derived.
#[test]
fn a_sole_lies_flat_where_each_end_gets_what_the_height_asks() {
    let shoe = "Shoe sole\n\nUS terms.\n\nCh 33.\n\
        Rnd 1: Sc in 2nd ch from hook and in next 30 ch, 3 sc in last ch; working along opposite side of foundation ch, sc in \
        next 31 ch, 3 sc in last ch. (68 sts)\n\
        Rnd 2: 2 sc in next st, sc in next 31 sts, 2 sc in each of next 3 sts, sc in next 31 sts, 2 sc in each of next 2 sts.\n";
    assert_eq!(measured(shoe).curve.verdict, Flat);
    let by_sc = shape("sole")
        .replace("2 sc in each of next 7 sts", "sc in next 2 sts, 2 sc in each of next 3 sts, sc in next 2 sts");
    assert_eq!(measured(&by_sc).curve.verdict, Flat);
    let by_dc = shape("sole").replace(
        "sc in next 10 sts, 2 sc in each of next 7 sts, sc in next 10 sts",
        "sc in next 5 sts, hdc in next 2 sts, dc in next 3 sts, 2 dc in each of next 7 sts, dc in next 3 sts, hdc in next 2 \
         sts, sc in next 5 sts",
    );
    assert_eq!(measured(&by_dc).curve.verdict, Flat);
    // as it stands, the toe of a round of sc gets what a round of dc would: it waves, and the place is told
    let told = measured(&shape("sole")).curve;
    assert_eq!(told.verdict, Ruffles);
    let toe = told.rows[1].places.iter().find(|p| p.verdict == Ruffles).expect("the toe is named");
    assert!(toe.worked - toe.needed > 3.0, "{toe:?}");
}

/// Half a round, half of what makers publish for a round. Source: crochetrebellion.com, dc 14 a round as flat.
#[test]
fn a_turn_round_the_end_of_a_chain_is_half_a_round() {
    let curve = measured(&shape("u-rows-of-dc")).curve;
    assert_eq!(curve.verdict, Flat);
    assert!(curve.notes.iter().any(|n| n.about == "may" && n.message.contains("may ruffle")), "{:?}", curve.notes);
    assert_eq!(measured(&shape("u-rows")).curve.verdict, Ruffles, "sc 10 a round is twice what is published");
}

/// Loops have no length of their own: what stands on them is held against nothing.
#[test]
fn rows_on_loops_are_not_judged() {
    for name in ["pineapple-doily", "shell-doily", "chain-loop-doily"] {
        let curve = measured(&shape(name)).curve;
        assert_eq!(curve.verdict, Flat, "{name}");
    }
    let curve = measured(&shape("shell-doily")).curve;
    assert!(!curve.rows[2].judged && curve.rows[2].why.contains("loops"), "{:?}", curve.rows[2]);
}

/// A washer: the first round has 6 more than the ring's 12 chains and its own height ask for, so that the next needs none.
/// Derived: a ring of radius r and k rows of height h is 2π(r + kh) round.
#[test]
fn an_open_ring_makes_up_for_one_round_and_not_for_more() {
    let ring = |rounds: usize| {
        let mut text = "Washer\n\nUS terms.\nCh 1 at the start of a round does not count as a stitch.\n\nCh 12; join with sl st to \
                        form a ring.\nRnd 1: Ch 1, 24 sc in ring. Join with sl st to first sc. (24 sc)\n"
            .to_owned();
        for k in 2..=rounds {
            text += &format!("Rnd {k}: Ch 1, sc in each st around. Join with sl st to first sc. (24 sc)\n");
        }
        measured(&text).curve.verdict
    };
    assert_eq!([ring(2), ring(4)], [Flat, Cups]);
}

/// Worked to and fro from one side of a chain, with as many more in every row, nothing holds the ends: the rows turn
/// alike. Derived: a sector of an annulus.
#[test]
fn a_fan_with_free_ends_lies_flat() {
    let curve = measured(&shape("mushroom-cap")).curve;
    assert_eq!(curve.verdict, Flat, "{curve:?}");
    assert!(curve.notes.iter().any(|n| n.about == "fan" && n.message.contains("210°")), "{:?}", curve.notes);
}
