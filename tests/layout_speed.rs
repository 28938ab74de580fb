//! Layouts of large fabrics end, and soon.

#[path = "layout_charts/hand.rs"]
mod hand;
#[path = "layout_charts/shapes.rs"]
#[allow(dead_code)]
mod shapes;

use fanwise::craft::Stem;
use fanwise::layout::{DrawnSizes, LayoutOptions, lay_out};

#[test]
#[ignore = "for timing"]
fn large_fabrics() {
    for (name, fabric) in [
        ("spiral 8", shapes::spiral(6, 8)),
        ("spiral 10", shapes::spiral(6, 10)),
        ("spiral 14", shapes::spiral(6, 14)),
        ("spiral 20", shapes::spiral(6, 20)),
        ("disc 31", shapes::disc(Stem::Single, 6, 31)),
        ("disc 54", shapes::disc(Stem::Single, 6, 54)),
        ("granny 16", shapes::granny(16)),
        ("oval 30", shapes::oval(Stem::Single, 30, 20)),
        ("spiral 31", shapes::spiral(6, 31)),
        ("swatch 60", shapes::swatch(Stem::Single, 60, 60)),
        ("bend 12", shapes::bend_rows(12)),
    ] {
        let start = std::time::Instant::now();
        let layout = lay_out(&fabric, &DrawnSizes, &LayoutOptions::default());
        let q = &layout.quality;
        println!(
            "{name:10} {:6} stitches {:.2?} cv {:.3} kink {:.1} stretch {:.2} {:.2} cross {} sym {:.4}",
            fabric.stitches.len(),
            start.elapsed(),
            q.spacing_cv,
            q.kink_p95_deg,
            q.stretch_p05,
            q.stretch_p95,
            q.crossings,
            q.residual_before
        );
    }
}

#[test]
#[ignore = "for timing"]
fn one_pattern() {
    let path = std::env::var("FANWISE_PATTERN").expect("a path");
    let text = std::fs::read_to_string(path).expect("a pattern");
    let (pattern, _) = fanwise::reading::read(&text, &Default::default());
    let fabric = fanwise::working::work(&pattern).fabric;
    let start = std::time::Instant::now();
    let layout = lay_out(&fabric, &DrawnSizes, &LayoutOptions::default());
    println!("{} stitches {:.2?} {:?}", fabric.stitches.len(), start.elapsed(), layout.quality.crossings);
}
