//! A branch at every place of a row worked round both sides of a chain: body, branch and the row round it keep clear.
//!
//! Every sixth place by default, all of them with `FANWISE_BRANCHES=1`.
//! `FANWISE_TABLE=1 cargo test --test layout_branches -- --nocapture` prints the figures that are off.

use fanwise::{ChartOptions, Pattern};

/// Stitches along each side of the chain, and at its end.
const SIDE: usize = 9;
const END: usize = 5;

/// One or two in each stitch, in words.
fn in_words(each: &[usize]) -> String {
    let phrase = |run: &[usize]| match (run[0], run.len()) {
        (1, 1) => "sc in next st".to_owned(),
        (1, n) => format!("sc in next {n} sts"),
        (k, 1) => format!("{k} sc in next st"),
        (k, n) => format!("{k} sc in each of next {n} sts"),
    };
    each.chunk_by(|a, b| a == b).map(phrase).collect::<Vec<_>>().join(", ")
}

/// A piece with a branch of so many chains after so many stitches of row 2, and a row round it all.
fn with_branch(chains: usize, after: usize) -> String {
    let row = [vec![1; SIDE], vec![2; END], vec![1; SIDE]].concat();
    let (before, beyond) = (&row[..after], &row[after + 1..]);
    // row 3 increases in the second of every two, but for the corners of the branch
    let next = |each: &[usize]| -> Vec<usize> {
        let mut next: Vec<usize> = each.iter().flat_map(|&k| if k == 1 { vec![1] } else { vec![1, 2] }).collect();
        next.reverse();
        next
    };
    let (mut toward, mut away) = (next(beyond), next(before));
    toward.pop();
    away.remove(0);
    let corner = toward.len().saturating_sub(2);
    toward[corner..].fill(1);
    let corner = away.len().min(2);
    away[..corner].fill(1);
    let round = [
        in_words(&toward),
        "skip next 2 sts".to_owned(),
        format!("sc in next {} sts up the branch", chains - 1),
        "3 sc in tip of branch".to_owned(),
        format!("sc in next {} ch down the other side of the branch", chains - 2),
        "sc2tog".to_owned(),
        in_words(&away),
    ];
    let round: Vec<&str> = round.iter().map(String::as_str).filter(|words| !words.is_empty()).collect();
    format!(
        "Branch of {chains} after {after}\n\nUS terms.\nCh 1 at the start of a row does not count as a stitch.\n\nCh {}.\n\
         Row 1 (RS): Sc in 2nd ch from hook and in next {} ch, {END} sc in last ch; working along opposite side of foundation ch, sc in next {SIDE} ch. Turn. ({} sts)\n\
         Row 2: Ch 1, {}; for the branch, ch {chains}, sc in 2nd ch from hook and in each of next {} ch, sl st in next st; {}. Turn.\n\
         Row 3: Ch 1, {}.\n",
        SIDE + 2,
        SIDE - 1,
        2 * SIDE + END,
        in_words(before),
        chains - 2,
        in_words(beyond),
        round.join(", ")
    )
}

/// What is wrong with a chart: symbols on one another, rows across each other, stitches upside down.
fn faults(name: &str, text: &str) -> Option<String> {
    let pattern = Pattern::read(text);
    assert!(pattern.is_sound(), "{name}: {:?}\n{text}", pattern.problems().first());
    let chart = pattern.chart(&ChartOptions::default()).expect("a chart");
    let q = &chart.layout().quality;
    if std::env::var_os("FANWISE_TABLE").is_some() && (q.spacing_cv > 0.06 || q.lean_p95_deg > 13.0) {
        println!("{name}: spacing {:.3}, lean {:.1}", q.spacing_cv, q.lean_p95_deg);
    }
    let bad = (q.overlaps, q.crossings, q.flips) != (0, 0, 0) || q.spacing_cv > 0.1 || q.lean_p95_deg > 18.0;
    bad.then(|| {
        format!(
            "{name}: {} overlaps, {} crossings, {} flips, spacing {:.3}, lean {:.1}",
            q.overlaps, q.crossings, q.flips, q.spacing_cv, q.lean_p95_deg
        )
    })
}

/// Whether a branch is among those tried; over all lengths every place is.
fn tried(nth: usize) -> bool {
    std::env::var_os("FANWISE_BRANCHES").is_some() || nth.is_multiple_of(6)
}

fn sweep(lengths: impl Iterator<Item = usize>) {
    let mut all = Vec::new();
    for chains in lengths {
        let places = 2..2 * SIDE + END - 2;
        for after in places.filter(|after| tried(chains + after)) {
            all.extend(faults(&format!("{chains} chains after {after}"), &with_branch(chains, after)));
        }
    }
    assert!(all.is_empty(), "{} branches:\n{}", all.len(), all.join("\n"));
}

#[test]
fn branches_of_3_to_7_chains_stand_clear_at_every_place() {
    sweep(3..=7);
}

#[test]
fn branches_of_8_to_12_chains_stand_clear_at_every_place() {
    sweep(8..=12);
}

#[test]
fn a_branch_on_a_branch_stands_clear_wherever_it_grows() {
    let mut all = Vec::new();
    for chains in [3, 4, 5, 7, 10] {
        for up in (2..7).filter(|up| tried(chains + up)) {
            let text = format!(
                "Twig\n\nUS terms.\nCh 1 at the start of a row does not count as a stitch.\n\nCh 17.\n\
                 Row 1 (RS): Sc in 2nd ch from hook and in each ch across. Turn. (16 sts)\n\
                 Row 2: Ch 1, sc in next 8 sts; for the branch, ch 10, sc in 2nd ch from hook and in each of next 8 ch, sl st in next st; sc in next 7 sts. Turn.\n\
                 Row 3: Ch 1, sc in next 6 sts, skip next 2 sts, sc in next {up} sts up the branch; for the twig, ch {chains}, sc in 2nd ch from hook and in each of next {} ch, sl st in next st; sc in next {} sts, 3 sc in tip of branch, sc in next 9 ch down the other side of the branch, skip next st, sc in next 7 sts.\n",
                chains - 2,
                8 - up
            );
            all.extend(faults(&format!("{chains} chains {up} up"), &text));
        }
    }
    assert!(all.is_empty(), "{} branches:\n{}", all.len(), all.join("\n"));
}

#[test]
fn a_branch_on_a_branch_on_a_branch_stands_clear_where_a_row_fills_their_hollows() {
    let text = "Shoot\n\nUS terms.\nCh 1 at the start of a row does not count as a stitch.\n\nCh 17.\n\
        Row 1 (RS): Sc in 2nd ch from hook and in each ch across. Turn.\n\
        Row 2: Ch 1, sc in next 8 sts; for the branch, ch 10, sc in 2nd ch from hook and in each of next 8 ch, sl st in next st; sc in next 7 sts. Turn.\n\
        Row 3: Ch 1, sc in next 6 sts, skip next 2 sts, sc in next 4 sts up the branch; for the twig, ch 8, sc in 2nd ch from hook and in each of next 6 ch, sl st in next st; sc in next 4 sts, 3 sc in tip of branch, sc in next 9 ch down the other side of the branch, skip next st, sc in next 7 sts. Turn.\n\
        Row 4: Ch 1, sc in next 13 sts; for the shoot, ch 6, sc in 2nd ch from hook and in each of next 4 ch, sl st in next st; sc in next 34 sts.\n";
    let chart = Pattern::read(text).chart(&ChartOptions::default()).expect("a chart");
    let q = &chart.layout().quality;
    assert_eq!((q.overlaps, q.crossings, q.flips), (0, 0, 0));
}
