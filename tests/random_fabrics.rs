//! Whatever is worked, its layout ends, and every position of it is a number.
//!
//! Patterns are put together at random from phrases, most of which do not come out with the row below; what could be
//! worked of them is laid out as a draft. `FANWISE_FABRICS=N` tries so many instead of a few, with `FANWISE_FROM=N` those
//! from that seed on; run it with `--release -- --nocapture` for the mix, the times and what is not legible.
//! `FANWISE_SEED=N` tries that one alone and shows its words.

use fanwise::layout::{DrawnSizes, LayoutOptions, View, lay_out};
use fanwise::{ChartOptions, Pattern};
use std::fmt::Write as _;
use std::time::Instant;

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
    let k = 6 + dice.below(14);
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
        let rest = dice.of(&[
            "",
            ", sc in each st around",
            ", dc in each st around",
            ", [sc in next st, 2 sc in next st] around",
            ", [sc in next st, ch 2, skip next st] around",
        ]);
        let rest = if round { rest.to_owned() } else { rest.replace("around", "across") };
        let _ = writeln!(text, "{rest}. {}", if round { "Join with sl st to first st." } else { "Turn." });
    }
    text
}

/// Seconds a thousand stitches from which a chart counts as hanging. Far above what any takes without optimisation on a busy
/// machine: it is no measure of speed.
const FOREVER: f64 = 300.0;

/// Time that this thread has worked, whatever else the machine does; by the clock where the system does not tell.
struct Clock(Option<f64>, Instant);

impl Clock {
    fn start() -> Clock {
        Clock(worked(), Instant::now())
    }

    fn seconds(&self) -> f64 {
        match (self.0, worked()) {
            (Some(from), Some(to)) => to - from,
            _ => self.1.elapsed().as_secs_f64(),
        }
    }
}

fn worked() -> Option<f64> {
    let told = std::fs::read_to_string("/proc/thread-self/schedstat").ok()?;
    Some(1e-9 * told.split_whitespace().next()?.parse::<f64>().ok()?)
}

fn seeded(seed: u64) -> String {
    pattern(&mut Dice(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15)))
}

fn told(variable: &str) -> Option<usize> {
    std::env::var(variable).ok()?.parse().ok()
}

/// What was laid out.
#[derive(Default)]
struct Tally {
    stitches: Vec<usize>,
    with_spaces: usize,
    with_branches: usize,
    /// Symbols overlap, rows cross or stitches stand on their heads, and the chart names them.
    faulty: usize,
    /// Seconds a thousand stitches of the slowest chart, and of the slowest layout in the chart view by itself.
    slowest_chart: (f64, String),
    slowest: (f64, String),
}

fn slower(seconds: f64, name: &str, than: &(f64, String)) -> (f64, String) {
    if seconds > than.0 { (seconds, name.to_owned()) } else { than.clone() }
}

impl Tally {
    /// Lays a draft of a pattern out, and holds what comes of it to numbers.
    fn add(&mut self, name: &str, text: &str, views: &[View]) {
        let read = Pattern::read(text);
        let fabric = read.fabric();
        for &view in views {
            let start = Clock::start();
            let chart = read.chart(&ChartOptions::default().with_draft(true).with_view(view)).expect("a draft");
            let layout = chart.layout();
            // a few stitches take what a hundred may
            let thousands = 1e-3 * layout.poses.len().max(100) as f64;
            let seconds = start.seconds() / thousands;
            self.slowest_chart = slower(seconds, name, &self.slowest_chart);
            if view == View::Chart && seconds > self.slowest.0 {
                let start = Clock::start();
                let _ = lay_out(fabric, &DrawnSizes, &LayoutOptions::default());
                self.slowest = slower(start.seconds() / thousands, name, &self.slowest);
            }
            assert!(seconds < FOREVER, "{name}: {seconds:.1} s a thousand stitches\n{text}");
            let points = layout.poses.iter().flat_map(|p| p.feet.iter().chain([&p.head]));
            let arcs = layout.spaces.iter().flat_map(|s| [&s.start, &s.apex, &s.end]);
            assert!(points.chain(arcs).all(|p| p.is_finite()), "{name}:\n{text}");
            let q = &layout.quality;
            let figures = [q.spacing_cv, q.min_spacing, q.kink_p95_deg, q.stretch_p05, q.stretch_max, q.lean_p95_deg];
            assert!(figures.iter().all(|f| f.is_finite()), "{name}: {q:?}\n{text}");
            assert!(!chart.to_svg().contains("NaN"), "{name}:\n{text}");
            if view == View::Chart {
                let pairs = fanwise::chart::overlaps(chart.scene(), fabric).pairs;
                assert_eq!(pairs.is_empty(), q.overlaps == 0, "{name}: overlaps are named one by one\n{text}");
                self.faulty += usize::from((q.overlaps, q.crossings, q.flips) != (0, 0, 0));
            }
        }
        self.stitches.push(fabric.stitches.len());
        self.with_spaces += usize::from(!fabric.spaces.is_empty());
        self.with_branches += usize::from(fabric.rows.iter().any(|row| !row.strands.is_empty()));
    }

    fn median(&mut self) -> usize {
        self.stitches.sort_unstable();
        self.stitches[self.stitches.len() / 2]
    }
}

#[test]
fn random_fabrics_are_laid_out_in_numbers() {
    let mut tally = Tally::default();
    if let Some(seed) = told("FANWISE_SEED") {
        println!("{}", seeded(seed as u64));
        tally.add(&format!("seed {seed}"), &seeded(seed as u64), &[View::Chart]);
        return;
    }
    let count = told("FANWISE_FABRICS").unwrap_or(16);
    let from = told("FANWISE_FROM").unwrap_or(0) as u64;
    // many are looked at as charts alone
    let views: &[View] = if count > 1000 { &[View::Chart] } else { &[View::Chart, View::True] };
    for seed in from..from + count as u64 {
        tally.add(&format!("seed {seed}"), &seeded(seed), views);
    }
    let (median, most) = (tally.median(), *tally.stitches.last().expect("a fabric"));
    println!(
        "{count} fabrics of {median} stitches in the middle and {most} at most, {} with spaces, {} with branches; {} with \
         overlaps, crossings or stitches upside down; a thousand stitches at most: layout {:.2} s ({}), chart {:.2} s ({})",
        tally.with_spaces,
        tally.with_branches,
        tally.faulty,
        tally.slowest.0,
        tally.slowest.1,
        tally.slowest_chart.0,
        tally.slowest_chart.1
    );
    // a few tell nothing of the mix
    if count < 200 {
        return;
    }
    assert!(median >= 60, "{median} stitches in the middle of {count}");
    assert!(5 * tally.with_spaces >= count, "{} of {count} with spaces", tally.with_spaces);
    assert!(10 * tally.with_branches >= count, "{} of {count} with branches", tally.with_branches);
}

const IN_ROUNDS: &str =
    "Anything\n\nUS terms.\nCh 1 at the start of a round does not count as a stitch.\n\nMake a magic ring.\n";

/// Fabrics that no plane holds.
fn wild() -> Vec<(&'static str, String)> {
    let join = "Join with sl st to first sc.";
    let ruffle: String = (2..=4).map(|n| format!("Rnd {n}: Ch 1, 4 sc in each st around. {join}\n")).collect();
    let cup: String = (3..=9).map(|n| format!("Rnd {n}: Ch 1, sc in each st around. {join}\n")).collect();
    let on_branches = "Anything\n\nUS terms.\nCh 1 at the start of a row does not count as a stitch.\n\nCh 17.\n\
        Row 1 (RS): Sc in 2nd ch from hook and in each ch across. Turn.\n\
        Row 2: Ch 1, sc in next 8 sts; for the branch, ch 10, sc in 2nd ch from hook and in each of next 8 ch, sl st in next st; sc in next 7 sts. Turn.\n\
        Row 3: Ch 1, sc in next 6 sts, skip next 2 sts, sc in next 4 sts up the branch; for the twig, ch 8, sc in 2nd ch from hook and in each of next 6 ch, sl st in next st; sc in next 4 sts, 3 sc in tip of branch, sc in next 9 ch down the other side of the branch, skip next st, sc in next 7 sts. Turn.\n\
        Row 4: Ch 1, sc in next 13 sts; for the shoot, ch 6, sc in 2nd ch from hook and in each of next 4 ch, sl st in next st; sc in next 34 sts.\n";
    vec![
        ("four in every stitch", format!("{IN_ROUNDS}Rnd 1: Ch 1, 6 sc in ring. {join}\n{}", ruffle)),
        ("sixty in a ring", format!("{IN_ROUNDS}Rnd 1: Ch 3, 59 dc in ring. Join with sl st to top of beg ch-3.\n")),
        (
            "a cup that closes",
            format!(
                "{IN_ROUNDS}Rnd 1: Ch 1, 6 sc in ring. {join}\nRnd 2: Ch 1, 2 sc in each st around. {join}\n{cup}\
                 Rnd 10: Ch 1, [sc2tog] 6 times. {join}\nRnd 11: Ch 1, [sc2tog] 3 times. {join}\n"
            ),
        ),
        ("a branch on a branch on a branch", on_branches.to_owned()),
    ]
}

#[test]
fn what_no_plane_holds_is_laid_out_in_numbers_too() {
    let mut tally = Tally::default();
    for (name, text) in wild() {
        assert!(Pattern::read(&text).is_sound(), "{name}: {:?}\n{text}", Pattern::read(&text).problems().first());
        tally.add(name, &text, &[View::Chart, View::True]);
    }
    println!(
        "{:?} stitches; {} not free of faults; slowest layout {:.2} s a thousand, chart {:.2}",
        tally.stitches, tally.faulty, tally.slowest.0, tally.slowest_chart.0
    );
}
