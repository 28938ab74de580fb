//! Draws every pattern of some folders into one page, with the figures of its layout, for the eye.
//!
//! `cargo run --example gallery -- PAGE.html [FOLDER ...]`
//!
//! Without folders: `examples/orchard` and `tests/shapes`. With `--true` the true view is drawn.

use fanwise::layout::{Quality, View};
use fanwise::{ChartOptions, Pattern};
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

fn main() {
    let mut args: Vec<String> = std::env::args().skip(1).collect();
    let view = if args.iter().any(|a| a == "--true") { View::True } else { View::Chart };
    args.retain(|a| a != "--true");
    if args.is_empty() {
        eprintln!("usage: gallery PAGE.html [FOLDER ...] [--true]");
        std::process::exit(2);
    }
    let page = PathBuf::from(args.remove(0));
    if args.is_empty() {
        args = ["examples/orchard", "tests/shapes"].map(String::from).to_vec();
    }
    let mut body = String::new();
    for folder in &args {
        for path in texts_in(Path::new(folder)) {
            body.push_str(&figure(&path, &ChartOptions::default().with_view(view)));
        }
    }
    let html = format!(
        "<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><title>Gallery</title><style>{STYLE}</style></head>\n<body>\n{body}</body></html>\n"
    );
    if let Err(error) = std::fs::write(&page, html) {
        eprintln!("error: {}: {error}", page.display());
        std::process::exit(2);
    }
}

const STYLE: &str = "body{font:14px sans-serif;display:flex;flex-wrap:wrap;gap:2em;margin:2em}\
figure{margin:0;border:1px solid #ccc;padding:1em;max-width:44em}svg{max-width:100%;height:auto}\
td{padding-right:1em}.off{color:#b00;font-weight:bold}";

/// The pattern texts of a folder, by name.
fn texts_in(folder: &Path) -> Vec<PathBuf> {
    let mut paths: Vec<PathBuf> = std::fs::read_dir(folder)
        .into_iter()
        .flatten()
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|path| path.extension().is_some_and(|e| e == "txt"))
        .collect();
    paths.sort();
    paths
}

fn figure(path: &Path, options: &ChartOptions) -> String {
    let name = path.file_stem().unwrap_or_default().to_string_lossy();
    let text = std::fs::read_to_string(path).unwrap_or_default();
    let pattern = Pattern::read(&text);
    match pattern.chart(options) {
        Ok(chart) => {
            let stitches = pattern.fabric().stitches.len();
            let figures = table(&chart.layout().quality);
            for (a, b, area) in fanwise::chart::overlaps(chart.scene(), pattern.fabric()).pairs {
                let named = |id: fanwise::fabric::StitchId| {
                    let stitch = pattern.fabric().stitch(id);
                    format!("{} {} of {}", stitch.kind, id.index(), pattern.fabric().row(stitch.row).label)
                };
                println!("{name}: {} and {} overlap by {area:.3}", named(a), named(b));
            }
            format!("<figure><h2>{name}</h2>\n{}\n<p>{stitches} stitches</p>{figures}</figure>\n", chart.to_svg())
        }
        Err(error) => {
            println!("{name}: {error}");
            format!("<figure><h2>{name}</h2><p class=\"off\">{error}</p></figure>\n")
        }
    }
}

/// The figures as a table; those past the bound of a bad chart stand out.
fn table(q: &Quality) -> String {
    let mut rows = String::from("<table>");
    let mut row = |name: &str, value: f64, off: bool| {
        let class = if off { " class=\"off\"" } else { "" };
        let _ = write!(rows, "<tr><td>{name}</td><td{class}>{value:.4}</td></tr>");
    };
    row("overlaps", q.overlaps as f64, q.overlaps > 0);
    row("crossings", q.crossings as f64, q.crossings > 0);
    row("flips", q.flips as f64, q.flips > 0);
    row("spacing_cv", q.spacing_cv, q.spacing_cv > 0.10);
    row("min_spacing", q.min_spacing, q.min_spacing < 0.75);
    row("kink_p95_deg", q.kink_p95_deg, q.kink_p95_deg > 22.0);
    row("stretch_p05", q.stretch_p05, q.stretch_p05 < 0.9);
    row("stretch_p95", q.stretch_p95, q.stretch_p95 > 1.6);
    row("stretch_max", q.stretch_max, q.stretch_max > 1.6);
    row("lean_p95_deg", q.lean_p95_deg, q.lean_p95_deg > 18.0);
    row("residual_before", q.residual_before, q.residual_before > 0.05);
    row("residual", q.residual, q.residual > 1e-6);
    rows.push_str("</table>");
    rows
}
