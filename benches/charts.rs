//! How long a chart takes from text to SVG. Prints; asserts nothing.
//!
//! ```text
//! cargo bench --bench charts
//! ```

use fanwise::{ChartOptions, Pattern};
use std::hint::black_box;
use std::time::Instant;

/// Runs of which the middle one is told.
const RUNS: usize = 15;

const ORCHARD: [(&str, &str); 5] = [
    ("leaf", include_str!("../examples/orchard/leaf.txt")),
    ("acorn", include_str!("../examples/orchard/acorn.txt")),
    ("pear", include_str!("../examples/orchard/pear.txt")),
    ("apple", include_str!("../examples/orchard/apple.txt")),
    ("coaster", include_str!("../examples/orchard/coaster.txt")),
];

fn main() {
    charts();
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
