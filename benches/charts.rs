//! How long a chart takes, and how fast text is read. Prints; asserts nothing.
//!
//! ```text
//! cargo bench
//! ```

use fanwise::{ChartOptions, Pattern, ReadOptions};
use std::hint::black_box;
use std::time::Instant;

/// Runs of which the middle one is told.
const RUNS: usize = 15;

/// Sizes of the texts read, in bytes.
const SIZES: [usize; 6] = [1 << 10, 1 << 12, 1 << 14, 1 << 16, 1 << 18, 1 << 20];

const ORCHARD: [(&str, &str); 5] = [
    ("leaf", include_str!("../examples/orchard/leaf.txt")),
    ("acorn", include_str!("../examples/orchard/acorn.txt")),
    ("pear", include_str!("../examples/orchard/pear.txt")),
    ("apple", include_str!("../examples/orchard/apple.txt")),
    ("coaster", include_str!("../examples/orchard/coaster.txt")),
];

fn main() {
    charts();
    println!();
    reading();
}

/// Middle time of several runs, in milliseconds.
fn median_ms<T>(mut work: impl FnMut() -> T) -> f64 {
    black_box(work());
    let mut times: Vec<f64> = (0..RUNS)
        .map(|_| {
            let start = Instant::now();
            black_box(work());
            start.elapsed().as_secs_f64() * 1e3
        })
        .collect();
    times.sort_by(f64::total_cmp);
    times[RUNS / 2]
}

fn charts() {
    println!("Text to SVG, middle of {RUNS} runs");
    println!(
        "{:10} {:>8} {:>10} {:>10} {:>10} {:>8}",
        "pattern", "stitches", "check ms", "chart ms", "all ms", "SVG kB"
    );
    let options = ChartOptions::default();
    for (name, text) in ORCHARD {
        let pattern = Pattern::read(text);
        let draw = || Some(pattern.chart(&options).ok()?.to_svg());
        let Some(svg) = draw() else {
            println!("{name:10} cannot be drawn: {} errors", pattern.error_count());
            continue;
        };
        let check = median_ms(|| Pattern::read(text));
        let chart = median_ms(draw);
        let all = median_ms(|| Some(Pattern::read(text).chart(&options).ok()?.to_svg()));
        let stitches = pattern.fabric().stitches.len();
        println!("{name:10} {stitches:8} {check:10.3} {chart:10.3} {all:10.3} {:8.1}", svg.len() as f64 / 1024.0);
    }
}

fn reading() {
    println!("Reading speed, middle of {RUNS} runs");
    println!("{:>8} {:>10} {:>8} {:>14} {:>8}", "kB", "read ms", "MB/s", "and worked ms", "MB/s");
    let options = ReadOptions::default();
    let (mut read, mut worked) = (Vec::new(), Vec::new());
    for size in SIZES {
        let text = rows_of(size);
        let megabytes = text.len() as f64 / f64::from(1 << 20);
        let once = median_ms(|| fanwise::reading::read(&text, &options));
        let both = median_ms(|| Pattern::read(&text));
        println!(
            "{:8.0} {once:10.3} {:8.2} {both:14.3} {:8.2}",
            text.len() as f64 / 1024.0,
            megabytes / once * 1e3,
            megabytes / both * 1e3
        );
        read.push((text.len() as f64, once));
        worked.push((text.len() as f64, both));
    }
    println!("time grows as size to the power of {:.2} (read), {:.2} (and worked)", power(&read), power(&worked));
}

/// A flat piece of as many rows as fill `size` bytes, with increases, decreases and repeats.
fn rows_of(size: usize) -> String {
    let mut text =
        String::from("Long leaf\n\nCh 25.\nRow 1: Sc in 2nd ch from hook and in each ch across. Turn. (24 sts)\n");
    let bodies = [
        "Ch 1, sc in next 10 sts, 2 sc in next st, sc2tog, sc in next 11 sts. Turn. (24 sts)",
        "Ch 1, [sc in next 2 sts, sc2tog, 2 sc in next st, sc in next st] 4 times. Turn. (24 sts)",
        "Ch 1, *sc in next st, hdc in next st; rep from * across. Turn. (24 sts)",
    ];
    for (n, body) in (2..).zip(bodies.iter().cycle()) {
        let row = format!("Row {n}: {body}\n");
        if text.len() + row.len() > size {
            break;
        }
        text.push_str(&row);
    }
    text
}

/// Slope of the straight line through the points on doubly logarithmic paper, by least squares.
fn power(points: &[(f64, f64)]) -> f64 {
    let logs: Vec<(f64, f64)> = points.iter().map(|&(x, y)| (x.ln(), y.ln())).collect();
    let n = logs.len() as f64;
    let (sx, sy) = logs.iter().fold((0.0, 0.0), |(a, b), (x, y)| (a + x, b + y));
    let (mx, my) = (sx / n, sy / n);
    let over: f64 = logs.iter().map(|(x, y)| (x - mx) * (y - my)).sum();
    let under: f64 = logs.iter().map(|(x, _)| (x - mx) * (x - mx)).sum();
    over / under
}
