//! How time and memory of a layout grow with its stitches. Prints; asserts nothing.
//!
//! ```text
//! cargo bench --bench growth
//! ```
//!
//! Each fabric is laid out in a process of its own, so that the most memory it ever took can be told (on Linux).

mod slope;

use fanwise::Pattern;
use fanwise::layout::{DrawnSizes, LayoutOptions, lay_out};
use slope::power;
use std::process::Command;
use std::time::Instant;

/// Rounds of discs, from about 300 stitches to 100,000.
const DISCS: [usize; 6] = [10, 20, 40, 75, 130, 182];

fn main() {
    let args: Vec<String> = std::env::args().collect();
    if let Some(at) = args.iter().position(|a| a == "--one") {
        return one(args.get(at + 1).map_or("", String::as_str));
    }
    println!("{:14} {:>9} {:>9} {:>11} {:>10}", "fabric", "stitches", "ms", "us a stitch", "kB a stitch");
    let mut discs = Vec::new();
    for rounds in DISCS {
        discs.extend(run(&format!("disc-{rounds}")));
    }
    for name in ["doily-20", "mesh-60", "blanket-150"] {
        run(name);
    }
    println!("time of discs grows as stitches to the power of {:.2}", power(&discs));
}

/// Lays one fabric out in a process of its own; its stitches and milliseconds.
fn run(name: &str) -> Option<(f64, f64)> {
    let program = std::env::current_exe().ok()?;
    let output = Command::new(program).args(["--one", name]).output().ok()?;
    let text = String::from_utf8_lossy(&output.stdout);
    let figures: Vec<f64> = text.split_whitespace().filter_map(|w| w.parse().ok()).collect();
    let [stitches, ms, kb] = figures[..] else {
        println!("{name:14} failed");
        return None;
    };
    println!("{name:14} {stitches:9} {ms:9.1} {:11.2} {:10.2}", 1e3 * ms / stitches, kb / stitches);
    Some((stitches, ms))
}

fn one(name: &str) {
    let (kind, size) = name.split_once('-').unwrap_or((name, "10"));
    let size = size.parse().unwrap_or(10);
    let text = match kind {
        "doily" => doily(size),
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

fn doily(rounds: usize) -> String {
    let mut text = String::from(
        "Doily\n\nUS terms.\nCh 1 at the start of a round does not count as a stitch.\n\nCh 6; join with sl st to form a ring.\nRnd 1: Ch 1, 12 sc in ring. Join with sl st to first sc. (12 sc)\nRnd 2: Ch 1, [sc in next st, ch 3] 12 times. Join with sl st to first sc.\n",
    );
    for round in 3..=rounds {
        text += &format!(
            "Rnd {round}: Ch 1, [sc in next ch-{} sp, ch {round}] 12 times. Join with sl st to first sc.\n",
            if round == 3 { 3 } else { round - 1 }
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
