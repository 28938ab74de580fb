//! How fast text is read, and how that grows, over several kinds of text. Prints; asserts nothing.
//!
//! ```text
//! cargo bench --bench reading                    # 1 kB to 10 MB of every kind
//! cargo bench --bench reading -- --most 100000   # up to 100 kB
//! cargo bench --bench reading -- prose sized     # these kinds alone
//! ```
//!
//! Reading is text to instructions, on one core: nothing is worked. The exponent is the slope of the best straight line
//! through the points on doubly logarithmic paper: 1 is twice the time for twice the text.

mod slope;

use fanwise::ReadOptions;
use fanwise::reading::read;
use slope::power;
use std::hint::black_box;
use std::time::{Duration, Instant};

/// Sizes of the texts, in bytes.
const SIZES: [usize; 5] = [1_000, 10_000, 100_000, 1_000_000, 10_000_000];

/// A kind of text, and what fills so many bytes with it.
type Kind = (&'static str, fn(usize) -> String);

const KINDS: &[Kind] = &[
    ("rows", |n| rows(n, "Ch 25.\n", BODIES)),
    ("short rows", |n| rows(n, "Ch 25.\n", &["Ch 1, sc in each st across. Turn."])),
    ("one row", |n| one_row(n, "sc in next 3 sts, 2 sc in next st, sc2tog, ")),
    ("bare names", |n| one_row(n, "sc ")),
    ("repeats", |n| one_row(n, "[[[sc in next st, 2 sc in next st] twice, sc2tog] 3 times, ch 1] twice, ")),
    ("stars", |n| one_row(n, "*sc in next st, ch 1; rep from * twice more, ")),
    ("open marks", |n| one_row(n, "[(sc in next st, ")),
    ("remarks", |n| one_row(n, "this will be the tip, sc in next st. Stuff the head firmly and place the eyes. ")),
    ("prose", |n| {
        lines(n, "Leaf\n\n", "The wind went over the orchard and nobody had a word to say about it all day.\n")
    }),
    ("prose in rows", |n| {
        rows(n, "Ch 25.\n", &["The wind went over the orchard, nobody had a word to say, and so on."])
    }),
    ("nonsense", |n| one_row(n, "woe is the brillig wabe ")),
    ("numbers", |n| one_row(n, "9 ")),
    ("special stitches", specials),
    ("coined names", |n| {
        rows(n, "Ch 25.\n", &["Ch 1, *5 dc in next st (fan made), sc in next st; rep from * across. Turn."])
    }),
    ("parts", parts),
    ("bold", |n| one_row(n, "**sc** in next st, ")),
    ("row numbers", |n| one_row(n, "3rd row, ")),
    ("ranges", |n| lines(n, "Leaf\n\nCh 25.\n", "Rows 1-25000: Sc in each st across.\n")),
    ("long definition", |n| {
        lines(n, "Leaf\n\nSpecial stitches\nBud: 3 dc in same st\n", "and pull it through as before\n")
    }),
    ("yarns", |n| lines(n, "Leaf\n\n", "Yarn A: red\nYarn B: pale green, drop it and stuff the leaf\n")),
    ("gauges", |n| lines(n, "Leaf\n\nGauge: ", "rows 3 and rnds 4 ")),
    ("size labels", |n| {
        lines(n, "Leaf\n\nSizes: S (M, L)\n\nCh 25 (29, 33).\n", "Size M only: Row 1: Sc in next 3 sts.\n")
    }),
    ("old paragraph", |n| {
        lines(
            n,
            "Old edging\n\nOld British terms.\n\n",
            "2nd row: 3 chain, 1 treble in the next loop, repeat; repeat this row. ",
        )
    }),
    ("old prose", old),
    ("sizes", sized),
];

fn main() {
    let args: Vec<String> = std::env::args().skip(1).filter(|a| a != "--bench").collect();
    let most = args.iter().position(|a| a == "--most");
    let limit = most.and_then(|k| args.get(k + 1)?.parse().ok()).unwrap_or(usize::MAX);
    let wanted: Vec<&String> = args[..most.unwrap_or(args.len())].iter().collect();
    let sizes: Vec<usize> = SIZES.into_iter().filter(|&n| n <= limit).collect();
    println!("Reading, MB/s by size of the text");
    let heads: String = sizes.iter().map(|n| format!(" {:>9}", format!("{} kB", n / 1000))).collect();
    println!("{:17}{heads} {:>9}", "text", "exponent");
    for (name, text) in
        KINDS.iter().filter(|(name, _)| wanted.is_empty() || wanted.iter().any(|w| name.contains(w.as_str())))
    {
        let mut points = Vec::new();
        let mut cells = String::new();
        for &size in &sizes {
            let text = text(size);
            let seconds = seconds(&text);
            cells += &format!(" {:9.2}", text.len() as f64 / 1e6 / seconds);
            points.push((text.len() as f64, seconds));
        }
        println!("{name:17}{cells} {:9.2}", power(&points));
    }
}

/// Time of one reading, on a core.
fn seconds(text: &str) -> f64 {
    let options = ReadOptions::default();
    let begun = Instant::now();
    let start = on_a_core(begun);
    for n in 1.. {
        black_box(read(black_box(text), &options));
        // long enough for the clock of a core, which ticks every few milliseconds
        if begun.elapsed() > Duration::from_millis(400) {
            return (on_a_core(begun) - start) / f64::from(n);
        }
    }
    f64::INFINITY
}

/// Seconds this process was on a core so far (on Linux), so that a busy machine does not count; else those on the clock.
fn on_a_core(begun: Instant) -> f64 {
    let told = std::fs::read_to_string("/proc/self/schedstat").ok();
    let ns = told.and_then(|t| t.split_whitespace().next()?.parse::<f64>().ok());
    ns.map_or_else(|| begun.elapsed().as_secs_f64(), |ns| ns / 1e9)
}

const BODIES: &[&str] = &[
    "Ch 1, sc in next 10 sts, 2 sc in next st, sc2tog, sc in next 11 sts. Turn. (24 sts)",
    "Ch 1, [sc in next 2 sts, sc2tog, 2 sc in next st, sc in next st] 4 times. Turn. (24 sts)",
    "Ch 1, *sc in next st, hdc in next st; rep from * across. Turn. (24 sts)",
    "With B, ch 3 (counts as dc), skip first st, (dc, ch 1, dc) in next st, dc in each st to last 2 sts. [23 dc, 1 ch-1 sp]",
];

/// Title and head, then one line again and again.
fn lines(size: usize, head: &str, line: &str) -> String {
    let mut text = String::from(head);
    while text.len() < size {
        text.push_str(line);
    }
    text
}

/// A flat piece of as many rows as fill the size.
fn rows(size: usize, head: &str, bodies: &[&str]) -> String {
    let mut text = format!("Long leaf\n\n{head}");
    for (n, body) in (1..).zip(bodies.iter().cycle()) {
        if text.len() >= size {
            break;
        }
        text.push_str(&format!("Row {n}: {body}\n"));
    }
    text
}

/// A piece of two rows of which the second is this, again and again.
fn one_row(size: usize, phrase: &str) -> String {
    let mut text = lines(
        size,
        "Long leaf\n\nCh 25.\nRow 1: Sc in 2nd ch from hook and in each ch across. Turn. (24 sts)\nRow 2: Ch 1, ",
        phrase,
    );
    text.push('\n');
    text
}

/// Half of the text defines stitches, half works them.
fn specials(size: usize) -> String {
    let name = |n: usize| -> String {
        // letters alone: "bud" and the number in base 20
        let mut n = n;
        let mut name = String::from("bud");
        loop {
            name.push(char::from(b"bcdfghjklmnpqrstvwxz"[n % 20]));
            n /= 20;
            if n == 0 {
                return name;
            }
        }
    };
    let mut text = String::from("Long leaf\n\nSpecial stitches\n");
    let mut defined = 0;
    while text.len() < size / 2 {
        text.push_str(&format!("{}: 3 dc in same st.\n", name(defined)));
        defined += 1;
    }
    text.push_str("\nRnd 1: 6 sc in magic ring.\n");
    for n in 0.. {
        if text.len() >= size {
            break;
        }
        text.push_str(&format!("Rnd {}: {} in each st around.\n", n + 2, name(n % defined)));
    }
    text
}

/// Parts of two rounds each, with prose between.
fn parts(size: usize) -> String {
    let mut text = String::from("Garland\n\n");
    for n in 1.. {
        if text.len() >= size {
            break;
        }
        text.push_str(&format!(
            "Leaf {n} (make 2)\n\nWith A, make a magic ring.\nRnd 1: 6 sc in ring. (6 sts)\nRnd 2: 2 sc in each st around. (12 sts)\nFasten off, leaving a long tail.\n\nSew the leaf on.\n\n"
        ));
    }
    text
}

/// Rows as books of 1840 to 1920 word them.
fn old(size: usize) -> String {
    let head = "Old edging\n\nOld British terms.\n\nMake a chain of 24 stitches.\n\n";
    let rows = [
        "3 chain, miss 1, 1 treble in each of the next 6 stitches, 2 chain, miss 2, * 1 treble, 1 chain, miss 1, and repeat from * to the end of the row.",
        "1 double crochet into every stitch, turn the work.",
        "5 chain, 1 single in the 3rd loop, repeat; end with 1 treble in the last stitch.",
    ];
    let mut text = String::from(head);
    for (n, row) in (1..).zip(rows.iter().cycle()) {
        if text.len() >= size {
            break;
        }
        let ending = match n % 10 {
            1 if n % 100 != 11 => "st",
            2 if n % 100 != 12 => "nd",
            3 if n % 100 != 13 => "rd",
            _ => "th",
        };
        text.push_str(&format!("{n}{ending} row: {row}\n"));
    }
    text
}

/// A pattern in four sizes, each count a list.
fn sized(size: usize) -> String {
    rows(
        size,
        "Sizes: S (M, L, XL)\n\nCh 25 (29, 33, 37).\n",
        &[
            "Ch 1, sc in next 10 (12, 14, 16) sts, 2 sc in next st, sc2tog, sc in next 11 (13, 15, 17) sts. Turn. 24 (28, 32, 36) sts.",
            "Ch 1, [sc in next 2 sts, sc2tog, 2 sc in next st, sc in next st] 4 (5, 6, 7) times. Turn.",
        ],
    )
}
