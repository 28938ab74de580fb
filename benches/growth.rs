//! How time and memory of a layout grow with its stitches. Prints; asserts nothing.
//!
//! ```text
//! cargo bench --bench growth
//! ```
//!
//! Each fabric is laid out in a process of its own, so that the most memory it ever took can be told (on Linux).

#[path = "../tests/both_sides/mod.rs"]
mod both_sides;
mod slope;

use both_sides::both_sides;
use fanwise::Pattern;
use fanwise::layout::{DrawnSizes, LayoutOptions, lay_out};
use slope::power;
use std::process::Command;
use std::time::Instant;

/// Fabrics of one kind, each larger than the one before, from about 300 stitches to 100,000.
const KINDS: [(&str, [usize; 6]); 4] = [
    ("disc", [10, 20, 40, 75, 130, 182]),
    ("doily", [6, 13, 26, 48, 82, 114]),
    ("both-sides", [7, 15, 30, 55, 95, 133]),
    ("swatch", [15, 30, 60, 110, 190, 274]),
];
/// Chains of the least fabric: what a process takes before there is anything to lay out.
const LEAST: &str = "least-2";

fn main() {
    let args: Vec<String> = std::env::args().collect();
    if let Some(at) = args.iter().position(|a| a == "--one") {
        return one(args.get(at + 1).map_or("", String::as_str));
    }
    println!("{:14} {:>9} {:>9} {:>11} {:>10}", "fabric", "stitches", "ms", "us a stitch", "kB a stitch");
    let floor = figures(LEAST).map_or(0.0, |f| f[2]);
    let mut slopes = Vec::new();
    for (kind, sizes) in KINDS {
        let of_kind: Vec<(f64, f64)> = sizes.iter().filter_map(|size| run(&format!("{kind}-{size}"), floor)).collect();
        slopes.push(format!("{kind} {:.2}", power(&of_kind)));
    }
    for name in ["loops-20", "mesh-60", "blanket-150"] {
        run(name, floor);
    }
    println!("time grows as stitches to the power of: {}", slopes.join(", "));
    println!("a process takes {floor:.0} kB to lay out two chains, left out above");
}

/// Stitches, milliseconds and kB of a fabric, laid out in a process of its own.
fn figures(name: &str) -> Option<[f64; 3]> {
    let program = std::env::current_exe().ok()?;
    let output = Command::new(program).args(["--one", name]).output().ok()?;
    let text = String::from_utf8_lossy(&output.stdout);
    let figures: Vec<f64> = text.split_whitespace().filter_map(|w| w.parse().ok()).collect();
    figures.try_into().ok()
}

/// Prints the figures of a fabric; its stitches and milliseconds.
fn run(name: &str, floor: f64) -> Option<(f64, f64)> {
    let Some([stitches, ms, kb]) = figures(name) else {
        println!("{name:14} failed");
        return None;
    };
    let kb = (kb - floor).max(0.0) / stitches;
    println!("{name:14} {stitches:9} {ms:9.1} {:11.2} {kb:10.2}", 1e3 * ms / stitches);
    Some((stitches, ms))
}

fn one(name: &str) {
    let (kind, size) = name.rsplit_once('-').unwrap_or((name, "10"));
    let size = size.parse().unwrap_or(10);
    let text = match kind {
        "least" => format!("Least\n\nUS terms.\n\nCh {size}.\n"),
        "doily" => doily(size),
        "loops" => loops(size),
        "both-sides" => both_sides(size),
        "swatch" => blanket(size, size * 4 / 3),
        "mesh" => mesh(size, size),
        "blanket" => blanket(size, 200),
        _ => disc(size),
    };
    let pattern = Pattern::read(&text);
    assert!(pattern.is_sound(), "{name}: {:?}", pattern.problems().first());
    let before = memory("VmRSS");
    let start = Instant::now();
    let layout = lay_out(pattern.fabric(), &DrawnSizes, &LayoutOptions::default());
    let ms = start.elapsed().as_secs_f64() * 1e3;
    assert_eq!(layout.poses.len(), pattern.fabric().stitches.len());
    println!("{} {ms} {}", layout.poses.len(), (memory("VmHWM") - before).max(0.0));
}

/// A figure of this process's memory in kB; 0 where there is no telling.
fn memory(figure: &str) -> f64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find(|l| l.starts_with(figure)).unwrap_or("");
    line.split_whitespace().nth(1).and_then(|n| n.parse().ok()).unwrap_or(0.0)
}

fn disc(rounds: usize) -> String {
    let mut text = String::from(
        "Disc\n\nUS terms.\nCh 1 at the start of a round does not count as a stitch.\n\nMake a magic ring.\nRnd 1: Ch 1, 6 sc in ring. Join with sl st to first sc. (6 sts)\nRnd 2: Ch 1, 2 sc in each st around. Join with sl st to first sc. (12 sts)\n",
    );
    for round in 3..=rounds {
        let plain = round - 2;
        text += &format!(
            "Rnd {round}: Ch 1, [sc in next {plain} sts, 2 sc in next st] 6 times. Join with sl st to first sc. ({} sts)\n",
            6 * round
        );
    }
    text
}

fn loops(rounds: usize) -> String {
    let mut text = String::from(
        "Loops\n\nUS terms.\nCh 1 at the start of a round does not count as a stitch.\n\nCh 6; join with sl st to form a ring.\nRnd 1: Ch 1, 12 sc in ring. Join with sl st to first sc. (12 sc)\nRnd 2: Ch 1, [sc in next st, ch 3] 12 times. Join with sl st to first sc.\n",
    );
    for round in 3..=rounds {
        text += &format!(
            "Rnd {round}: Ch 1, [sc in next ch-{} sp, ch {round}] 12 times. Join with sl st to first sc.\n",
            if round == 3 { 3 } else { round - 1 }
        );
    }
    text
}

/// Rounds of loops of four chains, three more in each.
fn doily(rounds: usize) -> String {
    let mut text = String::from(
        "Doily\n\nUS terms.\nCh 1 at the start of a round does not count as a stitch.\n\nCh 6; join with sl st to form a ring.\nRnd 1: Ch 1, 12 sc in ring. Join with sl st to first sc. (12 sc)\nRnd 2: Ch 1, [sc in next st, ch 4] 12 times. Join with sl st to first sc.\n",
    );
    for round in 3..=rounds {
        text += &format!(
            "Rnd {round}: Ch 1, [(sc, ch 4, sc) in next ch-4 sp, ch 4, [sc in next ch-4 sp, ch 4] {round} times] 3 times. Join with sl st to first sc.\n"
        );
    }
    text
}

fn mesh(meshes: usize, rows: usize) -> String {
    let again = meshes - 1;
    let mut text = format!(
        "Mesh\n\nUS terms.\nCh 4 counts as dc and ch 1.\n\nCh {}.\nRow 1: Dc in 6th ch from hook, [ch 1, skip next ch, dc in next ch] {again} times. Turn.\n",
        2 * meshes + 4
    );
    for row in 2..=rows {
        text += &format!(
            "Row {row}: Ch 4, skip next ch-1 sp, dc in next dc, [ch 1, skip next ch-1 sp, dc in next dc] {} times, ch 1, skip next ch, dc in next ch. Turn.\n",
            meshes - 2
        );
    }
    text
}

fn blanket(rows: usize, stitches: usize) -> String {
    let mut text = format!(
        "Blanket\n\nUS terms.\nCh 1 at the start of a row does not count as a stitch.\n\nCh {}.\nRow 1: Sc in 2nd ch from hook and in each ch across. Turn.\n",
        stitches + 1
    );
    for row in 2..=rows {
        text += &format!("Row {row}: Ch 1, sc in each st across. Turn.\n");
    }
    text
}
