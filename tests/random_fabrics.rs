//! Whatever is worked, its layout ends, and every position of it is a number.
//!
//! Patterns are put together at random from phrases, most of which do not come out with the row below; what could be
//! worked of them is laid out as a draft. `FANWISE_FABRICS=N` tries so many instead of a few.

use fanwise::layout::View;
use fanwise::{ChartOptions, Pattern};
use std::fmt::Write as _;

/// Numbers that look random and are the same on every run.
struct Dice(u64);

impl Dice {
    fn below(&mut self, n: usize) -> usize {
        // a linear congruence, of which the upper bits are good enough for dice
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) as usize) % n
    }

    fn of<'t>(&mut self, all: &[&'t str]) -> &'t str {
        all[self.below(all.len())]
    }
}

const STITCHES: [&str; 6] = ["sc", "hdc", "dc", "tr", "sl st", "dtr"];

fn phrase(dice: &mut Dice) -> String {
    let (stitch, n, k) = (dice.of(&STITCHES), 1 + dice.below(6), 2 + dice.below(5));
    match dice.below(12) {
        0 => format!("{k} {stitch} in next st"),
        1 => format!("skip next {n} sts"),
        2 => format!("ch {k}, skip next {n} sts"),
        3 => format!("({stitch}, ch {n}, {stitch}) in next st"),
        4 => format!("{stitch} in next ch-{k} sp"),
        5 => "sc2tog".to_owned(),
        6 => "dc3tog".to_owned(),
        7 => format!("[{stitch} in next st, ch {n}] {k} times"),
        8 => {
            format!("for the branch, ch {}, sc in 2nd ch from hook and in each of next {k} ch, sl st in next st", k + 2)
        }
        9 => format!("{k} {stitch} in next ch-{n} sp, ch {n}"),
        _ => format!("{stitch} in next {n} sts"),
    }
}

fn pattern(dice: &mut Dice) -> String {
    let mut text = String::from("Anything\n\nUS terms.\n\n");
    let round = dice.below(2) == 0;
    let k = 3 + dice.below(12);
    text += &match (round, dice.below(3)) {
        (true, 0) => format!(
            "Ch {k}; join with sl st to form a ring.\nRnd 1: Ch 1, {} sc in ring. Join with sl st to first sc.\n",
            2 * k
        ),
        (true, _) => format!("Make a magic ring.\nRnd 1: Ch 3, {k} dc in ring. Join with sl st to top of beg ch-3.\n"),
        (false, 0) => format!(
            "Ch {k}.\nRow 1: Sc in 2nd ch from hook and in next {} ch, 3 sc in last ch; working along opposite side of foundation ch, sc in next {} ch. Turn.\n",
            k - 3,
            k - 2
        ),
        (false, _) => format!("Ch {}.\nRow 1: Sc in 2nd ch from hook and in each ch across. Turn.\n", 2 * k),
    };
    for row in 2..4 + dice.below(4) {
        let _ = write!(text, "{} {row}: Ch {}", if round { "Rnd" } else { "Row" }, 1 + dice.below(3));
        for _ in 0..1 + dice.below(7) {
            let _ = write!(text, ", {}", phrase(dice));
        }
        let rest = dice.of(&["", ", sc in each st around", ", [sc in next st, ch 2, skip next st] around"]);
        let rest = if round { rest.to_owned() } else { rest.replace("around", "across") };
        let _ = writeln!(text, "{rest}. {}", if round { "Join with sl st to first st." } else { "Turn." });
    }
    text
}

#[test]
fn random_fabrics_are_laid_out_in_numbers() {
    let count: u64 = std::env::var("FANWISE_FABRICS").ok().and_then(|n| n.parse().ok()).unwrap_or(40);
    let mut stitches = 0;
    for seed in 0..count {
        let text = pattern(&mut Dice(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15)));
        let read = Pattern::read(&text);
        for view in [View::Chart, View::True] {
            let chart = read.chart(&ChartOptions::default().with_draft(true).with_view(view)).expect("a draft");
            let layout = chart.layout();
            let points = layout.poses.iter().flat_map(|p| p.feet.iter().chain([&p.head]));
            let arcs = layout.spaces.iter().flat_map(|s| [&s.start, &s.apex, &s.end]);
            assert!(points.chain(arcs).all(|p| p.is_finite()), "seed {seed}:\n{text}");
            let q = &layout.quality;
            let figures = [q.spacing_cv, q.min_spacing, q.kink_p95_deg, q.stretch_p05, q.stretch_max, q.lean_p95_deg];
            assert!(figures.iter().all(|f| f.is_finite()), "seed {seed}: {q:?}\n{text}");
            assert!(!chart.to_svg().contains("NaN"), "seed {seed}:\n{text}");
            stitches += layout.poses.len();
        }
    }
    assert!(stitches > 40 * count as usize, "{stitches} stitches in {count} patterns");
}
