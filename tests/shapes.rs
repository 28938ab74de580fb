//! Every pattern of `tests/shapes` keeps the figures of a good chart.
//!
//! The bounds are those under which the eye finds no fault. What a fabric cannot keep because of what it is, and not
//! because of how it is laid out, stands in `tests/shapes/limits.tsv`: shape, figure, bound, why.
//!
//! `FANWISE_TABLE=1 cargo test --test shapes -- --nocapture` prints the whole table.

use fanwise::fabric::Fabric;
use fanwise::layout::{Quality, RowQuality};
use fanwise::{ChartOptions, Pattern};
use std::collections::BTreeMap;
use std::path::Path;

/// Name, value, bound; true where the value must not be above it, false where not below.
type Figure = (&'static str, f64, f64, bool);

/// Worst kink of the rows with at least so many stitches, chains of spaces left out.
fn kink_of_long_rows(fabric: &Fabric, q: &Quality, stitches: usize) -> f64 {
    let long = |row: &&RowQuality| {
        fabric.row(row.row).order.iter().filter(|id| fabric.space_of(**id).is_none()).count() >= stitches
    };
    q.rows.iter().filter(long).map(|row| row.kink_p95_deg).fold(0.0, f64::max)
}

// common practice, no source: bounds found by looking at charts
fn figures(fabric: &Fabric, q: &Quality) -> [Figure; 13] {
    [
        ("overlaps", q.overlaps as f64, 0.0, true),
        ("crossings", q.crossings as f64, 0.0, true),
        ("flips", q.flips as f64, 0.0, true),
        ("spacing_cv", q.spacing_cv, 0.06, true),
        ("min_spacing", q.min_spacing, 0.85, false),
        ("kink_p95_deg", q.kink_p95_deg, 18.0, true),
        ("kink_of_rows_of_30_deg", kink_of_long_rows(fabric, q, 30), 8.0, true),
        ("stretch_p05", q.stretch_p05, 0.95, false),
        ("stretch_p95", q.stretch_p95, 1.4, true),
        ("stretch_max", q.stretch_max, 1.6, true),
        ("lean_p95_deg", q.lean_p95_deg, 13.0, true),
        ("residual_before", q.residual_before, 0.01, true),
        ("residual", q.residual, 1e-6, true),
    ]
}

fn folder() -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/shapes")
}

fn shapes() -> Vec<(String, String)> {
    let mut shapes: Vec<(String, String)> = std::fs::read_dir(folder())
        .expect("the folder of shapes")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.extension().is_some_and(|e| e == "txt"))
        .map(|path| {
            let name = path.file_stem().expect("a name").to_string_lossy().into_owned();
            (name, std::fs::read_to_string(&path).expect("a text"))
        })
        .collect();
    shapes.sort();
    shapes
}

/// Bounds that give way, by shape and figure.
fn limits() -> BTreeMap<(String, String), f64> {
    let table = std::fs::read_to_string(folder().join("limits.tsv")).expect("the table of limits");
    table
        .lines()
        .filter(|line| !line.starts_with('#') && !line.trim().is_empty())
        .map(|line| {
            let cells: Vec<&str> = line.split('\t').collect();
            assert!(cells.len() == 4 && !cells[3].trim().is_empty(), "shape, figure, bound, why: {line:?}");
            ((cells[0].to_owned(), cells[1].to_owned()), cells[2].parse().expect("a bound"))
        })
        .collect()
}

#[test]
fn every_shape_keeps_the_figures_of_a_good_chart() {
    let shapes = shapes();
    assert!(shapes.len() >= 40, "{} shapes", shapes.len());
    let mut limits = limits();
    let print = std::env::var_os("FANWISE_TABLE").is_some();
    let (mut faults, mut idle) = (Vec::new(), Vec::new());
    for (name, text) in &shapes {
        let pattern = Pattern::read(text);
        assert!(pattern.is_sound(), "{name}: {:?}", pattern.problems().first());
        let chart = pattern.chart(&ChartOptions::default()).expect("a chart");
        let figures = figures(pattern.fabric(), &chart.layout().quality);
        if print {
            let cells: Vec<String> = figures.iter().map(|f| format!("{:>8.3}", f.1)).collect();
            println!("{name:28} {}", cells.join(" "));
        }
        for (figure, value, bound, above) in figures {
            let off = |bound: f64| if above { value > bound + 1e-9 } else { value < bound - 1e-9 };
            let given = limits.remove(&(name.clone(), figure.to_owned()));
            if off(given.unwrap_or(bound)) {
                faults.push(format!("{name}: {figure} {value:.4}, bound {}", given.unwrap_or(bound)));
            }
            if given.is_some() && !off(bound) {
                idle.push(format!("{name}: {figure} {value:.4} needs no bound of its own"));
            }
        }
    }
    idle.extend(limits.keys().map(|(name, figure)| format!("{name}: {figure} is of no shape or no figure")));
    assert!(faults.is_empty(), "{} faults:\n{}", faults.len(), faults.join("\n"));
    assert!(idle.is_empty(), "limits that bind nothing:\n{}", idle.join("\n"));
}

#[test]
fn no_limit_lets_symbols_overlap_or_rows_cross() {
    for ((name, figure), _) in limits() {
        assert!(!["overlaps", "crossings", "flips", "residual"].contains(&figure.as_str()), "{name}: {figure}");
    }
}
