//! The trade's arithmetic, from text to counts. Each check names the source of its figures.

mod reckon;

use fanwise::source::Code;
use reckon::reckon;

/// Rounds that grow by the same number: "[sc in next k sts, 2 sc in next st] n times".
fn circle(stitch: &str, first: usize, rounds: usize) -> String {
    let mut text =
        format!("Mushroom cap\n\nWritten in US terms.\n\nRnd 1: {first} {stitch} in magic ring. ({first} sts)\n");
    text += &format!("Rnd 2: 2 {stitch} in each st around. ({} sts)\n", 2 * first);
    for round in 3..=rounds {
        let plain = round - 2;
        text += &format!(
            "Rnd {round}: [{stitch} in next {plain} sts, 2 {stitch} in next st] {first} times. ({} sts)\n",
            round * first
        );
    }
    text
}

#[test]
fn a_flat_circle_grows_by_six_sc_eight_hdc_or_twelve_dc() {
    // 6 sc: Simply Crochet UK, 22 Oct 2020, counts 6 12 18 24 30 36
    assert_eq!(reckon(&circle("sc", 6, 6)).sound().made(), [6, 12, 18, 24, 30, 36]);
    // 8 hdc: mamas2hands.com/2017/03/14/another-pi-day-celebration
    assert_eq!(reckon(&circle("hdc", 8, 4)).sound().made(), [8, 16, 24, 32]);
    // 12 dc: pink-milk.co.uk/2013/03, counts 12 24 36
    assert_eq!(reckon(&circle("dc", 12, 3)).sound().made(), [12, 24, 36]);
}

#[test]
fn a_flat_circle_of_seven_follows_the_old_tam() {
    // 7 in the ring and 7 more each round: Handbook of Wool Knitting and Crochet (1918), PG #26113
    assert_eq!(reckon(&circle("sc", 7, 5)).sound().made(), [7, 14, 21, 28, 35]);
}

#[test]
fn an_oval_on_seven_chains_grows_14_20_26_32() {
    // offthehookcrochetdesign.com/post/crochet-an-oval
    let text = "Basket base

Ch 7.
Rnd 1: Sc in 2nd ch from hook and in next 4 ch, 3 sc in last ch; working along opposite side of foundation ch, sc in next 4 ch, 2 sc in next ch. (14 sts)
Rnd 2: 2 sc in next st, sc in next 4 sts, 2 sc in each of next 3 sts, sc in next 4 sts, 2 sc in each of next 2 sts. (20 sts)
Rnd 3: Sc in next st, 2 sc in next st, sc in next 4 sts, [sc in next st, 2 sc in next st] 3 times, sc in next 4 sts, [sc in next st, 2 sc in next st] twice. (26 sts)
Rnd 4: Sc in next 2 sts, 2 sc in next st, sc in next 4 sts, [sc in next 2 sts, 2 sc in next st] 3 times, sc in next 4 sts, [sc in next 2 sts, 2 sc in next st] twice. (32 sts)
";
    let oval = reckon(text).sound();
    assert_eq!(oval.made(), [14, 20, 26, 32]);
    // 6 chains along, and back the same but the end chain: the hook's side and the far side meet there
    assert_eq!(oval.row("Round 1").offered, Some(11));
}

#[test]
fn an_oval_on_six_chains_makes_12_18_24() {
    // rule X = chains - 3: krazykabbage.com/how-to-crochet-an-oval
    let text = "Basket base

Ch 6.
Rnd 1: Sc in 2nd ch from hook and in next 3 ch, 3 sc in last ch; working along opposite side of foundation ch, sc in next 3 ch, 2 sc in next ch. (12 sts)
Rnd 2: 2 sc in next st, sc in next 3 sts, 2 sc in each of next 3 sts, sc in next 3 sts, 2 sc in each of next 2 sts. (18 sts)
Rnd 3: Sc in next st, 2 sc in next st, sc in next 3 sts, [sc in next st, 2 sc in next st] 3 times, sc in next 3 sts, [sc in next st, 2 sc in next st] twice. (24 sts)
";
    assert_eq!(reckon(text).sound().made(), [12, 18, 24]);
}

#[test]
fn a_solid_square_of_sc_grows_by_eight() {
    // 4, 12, 20: northeytechnologies.com/how-do-you-crochet-a-square-in-the-round.html
    let text = "Orchard coaster

Rnd 1: 4 sc in magic ring. (4 sts)
Rnd 2: 3 sc in each st around. (12 sts)
Rnd 3: [Sc in next st, 3 sc in next st, sc in next st] 4 times. (20 sts)
Rnd 4: [Sc in next 2 sts, 3 sc in next st, sc in next 2 sts] 4 times. (28 sts)
";
    assert_eq!(reckon(text).sound().made(), [4, 12, 20, 28]);
}

#[test]
fn a_solid_square_of_dc_has_sides_of_seven_eleven_and_fifteen() {
    // octojellycrochetstudio.com/2021/02/16/double-crochet-square
    let side = |k: usize| format!("(2 dc, ch 4, 2 dc) in next ch-4 sp, dc in next {k} dc");
    let text = format!(
        "Orchard coaster

Written in US terms.

Rnd 1: [3 dc in magic ring, ch 4] 4 times. (12 dc, 4 ch-4 sps)
Rnd 2: Dc in next 3 dc, [{}] 3 times, (2 dc, ch 4, 2 dc) in next ch-4 sp. (28 dc, 4 ch-4 sps)
Rnd 3: Dc in next 5 dc, [{}] 3 times, (2 dc, ch 4, 2 dc) in next ch-4 sp, dc in next 2 dc. (44 dc, 4 ch-4 sps)
",
        side(3),
        side(7)
    );
    let made = reckon(&text).sound().made();
    assert_eq!(made, [12, 4 * 7, 4 * 11]);
}

#[test]
fn a_granny_square_has_12_dc_more_each_round() {
    // round 1 of 12: crochetbouquet.co.uk/pages/week-three-square-nine-classic-granny-square; 12r derived from its rounds
    let corner = "(3 dc, ch 2, 3 dc) in next ch-2 sp, ch 1";
    let start = "Sl st in next 2 dc and in next ch-2 sp, ch 3, (2 dc, ch 2, 3 dc) in same sp, ch 1";
    let end = "Join with sl st to top of beg ch-3.";
    let side = |groups: usize| ", 3 dc in next ch-1 sp, ch 1".repeat(groups);
    let mut text = format!(
        "Orchard coaster\n\nNotes\nWritten in US terms.\nBeg ch 3 counts as dc throughout.\n\nCh 4; join with sl st to form a ring.\nRnd 1: Ch 3, 2 dc in ring, ch 2, [3 dc in ring, ch 2] 3 times. {end} (12 dc)\n"
    );
    for round in 2..=5 {
        let side = side(round - 2);
        text += &format!("Rnd {round}: {start}{side}, [{corner}{side}] 3 times. {end} ({} dc)\n", 12 * round);
    }
    let square = reckon(&text).sound();
    assert_eq!(square.made(), [12, 24, 36, 48, 60]);
    for (label, offered, passed) in [("Round 2", 4, 12), ("Round 3", 8, 24), ("Round 4", 12, 36)] {
        let row = square.row(label);
        assert_eq!((row.offered, row.used, row.passed, row.left), (Some(offered), Some(offered), passed, 0), "{label}");
    }
}

#[test]
fn chains_skipped_at_the_hook_are_the_height_of_the_stitch() {
    // turning chains 1, 2, 3, 4, 5, 6 and the first chain worked; hdc and taller count. CGOA Crochet Lessons 1997
    for (stitch, first, counts) in
        [("sc", "2nd", 0), ("hdc", "3rd", 1), ("dc", "4th", 1), ("tr", "5th", 1), ("dtr", "6th", 1), ("trtr", "7th", 1)]
    {
        for chains in [8_usize, 13, 40] {
            let skipped: usize = first[..1].parse::<usize>().expect("an ordinal") - 1;
            let text = format!(
                "Leaf\n\nWritten in US terms.\n\nCh {chains}.\nRow 1: {stitch} in {first} ch from hook and in each ch across.\n"
            );
            let row1 = reckon(&text).sound();
            let row1 = row1.row("Row 1");
            assert_eq!(row1.offered, Some(chains - skipped), "{text}");
            assert_eq!(row1.made, chains - skipped + counts, "{text}");
        }
    }
}

#[test]
fn ch_n_with_dc_in_the_fourth_gives_n_less_two() {
    // derived, checked on the place mat 6526 of Virginia Snow Studios, Book 54, PG #65873: ch 30 gives 28 by this start
    for n in [5_usize, 30, 100] {
        let text = format!("Basket\n\nUS terms.\n\nCh {n}.\nRow 1: Dc in 4th ch from hook and in each ch across.\n");
        assert_eq!(reckon(&text).sound().row("Row 1").made, n - 2);
    }
}

#[test]
fn a_turning_chain_of_the_usual_height_stands_for_its_stitch() {
    // hdc 2, dc 3, tr 4, dtr 5: dummies.com, How to crochet a turning chain
    for (stitch, turn, first) in [("hdc", 2, "3rd"), ("dc", 3, "4th"), ("tr", 4, "5th"), ("dtr", 5, "6th")] {
        let text = format!(
            "Panel\n\nUS terms.\n\nCh {}.\nRow 1: {stitch} in {first} ch from hook and in each ch across. Turn.\nRow 2: Ch {turn}, {stitch} in next 9 sts. (10 sts)\n",
            9 + turn
        );
        let panel = reckon(&text).sound();
        assert_eq!(panel.made(), [10, 10], "{text}");
        assert_eq!(panel.row("Row 2").turning_counts, Some(true), "{text}");
        assert_eq!(panel.row("Row 2").kinds.get(stitch), Some(&10), "{text}");
    }
}

#[test]
fn row_ends_give_one_for_sc_two_for_dc_three_for_tr_and_three_in_two_for_hdc() {
    // carol-mycrochetpage.blogspot.com/2009/09/picot-edging.html for sc, dc and tr; hdc halfway between, from memory
    for (stitch, turn, first, rows, places) in [
        ("sc", 1, "2nd", 4, 4),
        ("hdc", 2, "3rd", 2, 3),
        ("hdc", 2, "3rd", 4, 6),
        ("dc", 3, "4th", 3, 6),
        ("tr", 4, "5th", 2, 6),
    ] {
        let mut text = format!(
            "Basket\n\nUS terms.\n\nCh {}.\nRow 1: {stitch} in {first} ch from hook and in each ch across. Turn.\n",
            8 + turn
        );
        for row in 2..=rows {
            text += &format!("Row {row}: Ch {turn}, {stitch} in each st across. Turn.\n");
        }
        text += "Border row: Ch 1, working in ends of rows, sc in each row end.\n";
        let border = reckon(&text);
        let row = border.row("Border row");
        assert_eq!((row.offered, row.used, row.made), (Some(places), Some(places), places), "{text}");
    }
}

#[test]
fn increasing_in_every_kth_needs_a_count_that_k_divides() {
    // c stitches become c + c/k where k divides c: Daffodil Luncheon Set, Star Book No. 57 (1948), PG #62805
    let round = |count: usize, k: usize| {
        let text = format!(
            "Doily\n\nRnd 1: {count} sc in magic ring.\nRnd 2: *Sc in next {} sts, 2 sc in next st; rep from * around.\n",
            k - 1
        );
        reckon(&text)
    };
    for (count, k) in [(16, 2), (24, 3), (104, 8), (130, 10), (156, 6), (286, 11)] {
        assert_eq!(round(count, k).sound().made(), [count, count + count / k]);
    }
    for (count, k) in [(16, 3), (25, 2), (156, 7)] {
        let uneven = round(count, k);
        let (error, _) = uneven.error();
        assert_eq!(error.code, Code::RepeatRemainder, "{}", error.message);
        assert!(error.message.contains(&format!("{} repeats and {} st", count / k, count % k)), "{}", error.message);
    }
}

#[test]
fn solid_filet_squares_are_three_dc_each_and_one() {
    // 4, 7, 10 for one, two, three squares: Dillmont, Encyclopedia of Needlework, PG #20776
    for squares in 1..=3_usize {
        let text = format!(
            "Net\n\nUS terms.\n\nCh {}.\nRow 1: Dc in 4th ch from hook, dc in next 2 ch, [dc in next 3 ch] {} times.\n",
            3 * squares + 3,
            squares - 1
        );
        let text = if squares == 1 { text.replace(", [dc in next 3 ch] 0 times", "") } else { text };
        assert_eq!(reckon(&text).sound().row("Row 1").made, 3 * squares + 1, "{text}");
    }
}
