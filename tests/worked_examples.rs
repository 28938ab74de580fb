//! Worked examples of published books, in our own words: only the figures are theirs.
//!
//! Each names its book beside the check; PG is the number at Project Gutenberg.

mod reckon;

use fanwise::source::Code;
use reckon::reckon;

#[test]
fn a_doily_of_54_spiral_rounds_ends_on_312_and_78_loops() {
    // Daffodil Luncheon Set, American Thread Co., Star Book No. 57 New Tablecloths (1948), PG #62805:
    // an increase in every kth stitch of the round, 0 for a round worked even
    let every_kth = [
        1, 2, 3, 4, 5, 0, 6, 7, 0, 8, 9, 0, 10, 11, 12, 8, 9, 0, 10, 0, 0, 11, 0, 0, 0, 0, 0, 6, 0, 0, 0, 0, 7, 0, 8,
        0, 0, 0, 0, 9, 0, 0, 0, 10, 0, 0, 0, 0, 11, 0, 0, 0, 0,
    ];
    let mut text = "Doily\n\nCh 6; join with sl st to form a ring.\nRnd 1: 8 sc in ring.\n".to_owned();
    for (i, k) in every_kth.iter().enumerate() {
        let work = match k {
            0 => "Sc in each st around".to_owned(),
            1 => "2 sc in each st around".to_owned(),
            k => format!("*Sc in next {} sts, 2 sc in next st; rep from * around", k - 1),
        };
        text += &format!("Rnd {}: {work}.\n", i + 2);
    }
    text += "Rnd 55: *Ch 6, skip next 3 sts, sc in next st; rep from * around. (78 ch-6 sps)\n";
    let doily = reckon(&text).sound();
    let made = doily.made();
    for (round, count) in [(6, 48), (9, 64), (16, 104), (18, 130), (23, 156), (34, 208), (45, 286), (54, 312), (55, 78)]
    {
        assert_eq!(made[round - 1], count, "round {round}");
    }
    assert_eq!(doily.row("Round 55").spaces.get("ch-6"), Some(&78));
}

#[test]
fn fourteen_dc_in_a_ring_only_where_eleven_times_is_eleven_more() {
    // Double Ruffle 5901, American Thread Co., Star Book No. 59 (1948), PG #62484
    let text = "Ruffle

US terms.

Ch 8; join with sl st to form a ring.
Rnd 1: Ch 4 (counts as dc and ch 1), dc in ring, *ch 1, dc in ring; rep from * 11 times, ch 1; join with sl st in 3rd ch of beg ch-4. (14 dc, 14 ch-1 sps)
";
    let round = reckon(text).sound();
    assert_eq!(round.row("Round 1").kinds.get("dc"), Some(&14));
    assert_eq!(round.row("Round 1").spaces.get("ch-1"), Some(&14));
}

#[test]
fn eight_spokes_and_three_sc_over_each_loop_are_24() {
    // Pansy Doily, American Thread Co., Star Book No. 59 (1948), PG #62484
    let text = "Pansy doily

Ch 6; join with sl st to form a ring.
Rnd 1: Ch 5 (counts as dc and ch 2), dc in ring, *ch 2, dc in ring; rep from * 5 times, ch 2; join with sl st in 3rd ch of beg ch-5. (8 dc)
Rnd 2: 3 sc in each ch-2 sp around. (24 sc)
";
    let doily = reckon(text).sound();
    assert_eq!(doily.made(), [8, 24]);
    assert_eq!(doily.row("Round 2").offered, Some(8));
    assert_eq!(doily.row("Round 2").passed, 8);
}

#[test]
fn five_shells_use_25_chains_exactly() {
    // Neck tie, American Thread Co., Star Book No. 98 Suggestions for Fairs and Bazaars (1953), PG #62190: 5 + 4 x 5
    let text = "Scarf of leaves

Ch 25.
Row 1: 3 dc in 5th ch from hook, skip next 3 ch, sc in next ch, *ch 2, 3 dc in same ch, skip next 3 ch, sc in next ch; rep from * 3 times. (15 dc, 5 sc)
";
    let row = reckon(text).sound();
    let row = row.row("Row 1");
    assert_eq!((row.offered, row.used, row.made), (Some(21), Some(21), 20));
    assert_eq!(row.spaces.get("ch-2"), Some(&4));
}

#[test]
fn six_more_times_gives_eight_spaces_in_a_ring() {
    // Diamond Setting doily CT-229, Spool Cotton Co., Book 259 (1949), PG #71438
    let text = "Setting

Written in US terms.

Ch 6; join with sl st to form a ring.
Rnd 1: Ch 6 (counts as tr and ch 2), *tr in ring, ch 2; rep from * 6 more times; join with sl st in 4th ch of beg ch-6. (8 tr, 8 ch-2 sps)
";
    let round = reckon(text).sound();
    assert_eq!(round.row("Round 1").made, 8);
    assert_eq!(round.row("Round 1").spaces.get("ch-2"), Some(&8));
}

#[test]
fn twelve_loops_stand_on_twelve_sc() {
    // Large Table Ruffle, American Thread Co., Star Doily Book No. 143 (n.d.), PG #62486
    let text = "Ruffle

Ch 6; join with sl st to form a ring.
Rnd 1: 12 sc in ring. (12 sc)
Rnd 2: *Ch 3, sc in next st; rep from * around. (12 ch-3 sps)
";
    let ruffle = reckon(text).sound();
    assert_eq!(ruffle.made(), [12, 12]);
    assert_eq!(ruffle.row("Round 2").spaces.get("ch-3"), Some(&12));
}

#[test]
fn eleven_dc_in_the_fourth_chain_and_the_chain_are_twelve() {
    // Pineapple Ruffle, American Thread Co., Star Doily Book No. 143 (n.d.), PG #62486
    let text = "Pineapple

Written in US terms.

Ch 4.
Rnd 1: 11 dc in 4th ch from hook (beginning ch counts as 1 dc); join with sl st to top of beg ch. (12 dc)
Rnd 2: *Ch 3, sl st in next st; rep from * around. (12 ch-3 sps)
";
    let ruffle = reckon(text).sound();
    assert_eq!(ruffle.row("Round 1").made, 12);
    assert_eq!(ruffle.row("Round 2").spaces.get("ch-3"), Some(&12));
}

#[test]
fn a_mesh_of_95_chains_comes_out_to_the_last_chain() {
    // Philodendron mat, American Thread Co., Star Book No. 57 (1948), PG #62805: 15 + 4 + 10 x 7 + 6 = 95
    let text = "Mat of leaves

Written in US terms.

Ch 95.
Row 1: Tr in 15th ch from hook, [ch 1, skip next ch, tr in next ch] twice, *ch 5, skip next 5 ch, tr in next ch, [ch 1, skip next ch, tr in next ch] twice; rep from * 6 times, ch 5, skip next 5 ch, tr in last ch.
";
    let mat = reckon(text).sound();
    let row = mat.row("Row 1");
    assert_eq!((row.offered, row.used, row.left), (Some(81), Some(81), 0));
    assert_eq!(row.spaces.get("ch-1"), Some(&16));
}

#[test]
fn a_place_mat_that_says_29_dc_leaves_one_chain_over() {
    // Luncheon set place mat 6526, Virginia Snow Studios, Book 54 (n.d.), PG #65873: the count is right, a chain is left
    let text = "Place mat

Written in US terms.

Ch 30.
Row 1: Dc in 3rd ch from hook, dc in next 26 ch, dc in same ch as last dc. (29 dc)
";
    let mat = reckon(text);
    let row = mat.row("Row 1");
    assert_eq!((row.offered, row.used, row.left, row.made), (Some(28), Some(27), 1, 29));
    let (error, words) = mat.error();
    assert_eq!((error.code, words), (Code::FoundationLength, "Ch 30"), "{}", error.message);
}

#[test]
fn twelve_meshes_take_75_chains() {
    // Bridge set place mat 6533, Virginia Snow Studios, Book 54 (n.d.), PG #65873: (75 - 3) / 6
    let text = "Place mat

Written in US terms.

Ch 75.
Row 1: Dc in 4th ch from hook and in next 3 ch, ch 2, skip next 2 ch, [dc in next 4 ch, ch 2, skip next 2 ch] 11 times. (12 ch-2 sps)
";
    let mat = reckon(text).sound();
    assert_eq!(mat.row("Row 1").offered, Some(72));
    assert_eq!(mat.row("Row 1").spaces.get("ch-2"), Some(&12));
}

#[test]
fn a_foundation_of_54_that_says_50_sc_is_two_chains_too_long() {
    // Rug triangle 6538, Virginia Snow Studios, Book 54 (n.d.), PG #65873: printed 50, its own words give 52
    let text = "Rug triangle

Ch 54.
Row 1: Sc in 3rd ch from hook and in each ch across. (50 sc)
";
    let rug = reckon(text);
    let row = rug.row("Row 1");
    assert_eq!((row.offered, row.used, row.made), (Some(52), Some(52), 52));
    let (error, words) = rug.error();
    assert_eq!(error.code, Code::FoundationLength);
    assert_eq!(words, "Ch 54", "the foundation's words are at fault, not the count");
    assert!(error.message.contains("2 ch too long"), "{}", error.message);
    assert!(error.message.contains("52") && error.message.contains("50"), "both numbers: {}", error.message);
    assert!(error.hints.iter().any(|h| h.contains("make it ch 52")), "{:?}", error.hints);
    assert!(reckon(&text.replace("54", "52")).sound().row("Row 1").made == 50, "so mended, it works out");
}

#[test]
fn a_diamond_has_2n_and_1_and_half_of_it_n_and_1() {
    // Bassinet counterpane, The Ladies Work-Book (19th c.), PG #16605: 61 and 31 stitches after 30 rows
    let mut whole = "Diamond\n\nCh 2.\nRow 1: 3 sc in 2nd ch from hook. Turn. (3 sts)\n".to_owned();
    let mut half = "Half diamond\n\nCh 2.\nRow 1: 2 sc in 2nd ch from hook. Turn. (2 sts)\n".to_owned();
    for n in 2..=30 {
        let side = n - 1;
        whole += &format!(
            "Row {n}: Ch 1, sc in back loop only of next {side} sts, 3 sc in center st, sc in back loop only of next {side} sts. Turn. ({} sts)\n",
            2 * n + 1
        );
        half += &format!("Row {n}: Ch 1, 2 sc in first st, sc in each st across. Turn. ({} sts)\n", n + 1);
    }
    assert_eq!(reckon(&whole).sound().row("Row 30").made, 61);
    assert_eq!(reckon(&half).sound().row("Row 30").made, 31);
}

#[test]
fn twelve_loops_take_52_chains() {
    // Girl's jacket, Handbook of Wool Knitting and Crochet (1918), PG #26113: 8 + 4 x 11 = 52, ten times being ten more
    let text = "Jacket

Ch 52.
Row 1: Sc in 8th ch from hook, *ch 3, skip next 3 ch, sc in next ch; rep from * 10 times. (12 sc)
";
    let jacket = reckon(text).sound();
    let row = jacket.row("Row 1");
    assert_eq!((row.offered, row.used, row.made), (Some(45), Some(45), 12));
}

#[test]
fn ten_doubles_stand_on_eleven_chains() {
    // Baby's bootees No. 1, Handbook of Wool Knitting and Crochet (1918), PG #26113; their double is our sc
    let text = "Bootee\n\nCh 11.\nRow 1: Skip first ch, sc in each ch across. (10 sc)\n";
    assert_eq!(reckon(text).sound().row("Row 1").made, 10);
}

#[test]
fn a_tam_grows_by_seven_and_its_skips_divide_it_whole() {
    // Tam-o'-Shanter, Handbook of Wool Knitting and Crochet (1918), PG #26113: 224, then 196, 168 and 112
    let mut text = "Tam\n\nRnd 1: 7 sc in magic ring. (7 sts)\nRnd 2: 2 sc in each st around. (14 sts)\n".to_owned();
    for round in 3..=32 {
        text += &format!(
            "Rnd {round}: *Sc in next {} sts, 2 sc in next st; rep from * around. ({} sts)\n",
            round - 2,
            7 * round
        );
    }
    for (round, plain, count) in [(33, 7, 196), (34, 6, 168), (35, 2, 112)] {
        text += &format!("Rnd {round}: *Sc in next {plain} sts, skip next st; rep from * around. ({count} sts)\n");
    }
    text += "Rnds 36-45: Sc in each st around. (112 sts)\n";
    let tam = reckon(&text).sound();
    assert_eq!(tam.made().len(), 45);
    assert_eq!(tam.row("Round 32").made, 224);
    assert_eq!(tam.row("Round 45").made, 112);
}

#[test]
fn a_square_begins_with_16_that_four_divides() {
    // Square motif 36, Spool Cotton Co., freevintagecrochet.com/motif-patterns/spool58/crochet-square-pattern
    let text = "Motif

Written in US terms.

Ch 7; join with sl st to form a ring.
Rnd 1: Ch 2 (counts as dc), 15 dc in ring; join with sl st to top of beg ch-2. (16 dc)
";
    assert_eq!(reckon(text).sound().row("Round 1").made, 16);
}
