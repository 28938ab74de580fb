//! The symbol set on one sheet, measured.

#![cfg(feature = "cli")]

mod program;

use fanwise::chart::{Mark, Paint, ScForm, Scene, Shape, Style, specimen};
use fanwise::symbol::{PartKind, SymbolSet};
use kurbo::{ParamCurve, ParamCurveNearest, PathSeg, Point, Shape as _};
use program::Folder;

fn sheet(sc: ScForm) -> Scene {
    specimen(&SymbolSet::house(), &Style::default().with_sc(sc))
}

/// The drawings under a heading, by words in it.
fn section<'a>(scene: &'a Scene, heading: &str, next: &str) -> Vec<&'a Mark> {
    let at = |words: &str| scene.labels.iter().find(|l| l.text.contains(words)).map(|l| l.at.y);
    let (from, to) = (at(heading).expect("the heading"), at(next).unwrap_or(f64::INFINITY));
    scene.legend.iter().filter(|m| (from..to).contains(&top(m))).collect()
}

fn top(mark: &Mark) -> f64 {
    mark.shapes.iter().map(|s| s.path.bounding_box().y1).fold(f64::NEG_INFINITY, f64::max)
}

fn parts(mark: &Mark, kind: PartKind) -> Vec<&Shape> {
    mark.shapes.iter().filter(|s| s.kind == kind).collect()
}

fn gap(a: &Shape, b: &Shape) -> f64 {
    let half = |s: &Shape| if let Paint::Stroke(w) = s.paint { w / 2.0 } else { 0.0 };
    let to = |p: Point, s: &Shape| {
        let near = |seg: PathSeg| seg.nearest(p, 1e-6).distance_sq.sqrt();
        s.path.segments().map(near).fold(f64::INFINITY, f64::min)
    };
    let points = a.path.segments().flat_map(|s| (0..=20).map(move |k| s.eval(f64::from(k) / 20.0)));
    points.map(|p| to(p, b)).fold(f64::INFINITY, f64::min) - half(a) - half(b)
}

/// Every symbol of the published conventions, one line each, is on the sheet under its term.
///
/// Source: the kinds of the Craft Yarn Council's chart symbols, names from memory, with extended, crossed, reverse,
/// taller stitches and the marks of Japanese charts.
#[test]
fn every_symbol_of_the_conventions_is_shown() {
    let scene = sheet(ScForm::Plus);
    for term in [
        "sl st – slip stitch",
        "ch – chain",
        "sc – single crochet",
        "hdc – half double crochet",
        "dc – double crochet",
        "tr – treble crochet",
        "dtr – double treble crochet",
        "trtr – triple treble crochet",
        "5-wrap – stitch of 5 wraps",
        "sc2tog – single crochet 2 together",
        "sc3tog – single crochet 3 together",
        "dc2tog – double crochet 2 together",
        "dc3tog – double crochet 3 together",
        "3-dc cl – cluster of 3 dc",
        "5-dc cl – cluster of 5 dc",
        "3-hdc puff – puff of 3 hdc",
        "5-dc pc – popcorn of 5 dc",
        "picot",
        "FPdc – front post double crochet",
        "BPdc – back post double crochet",
        "sc BLO – single crochet in back loop only",
        "sc FLO – single crochet in front loop only",
        "Esc – extended single crochet",
        "crossed dc – crossed double crochet",
        "rev sc – reverse single crochet",
        "ring of thread",
        "ring of chains",
        "attach yarn",
        "cut yarn",
        "turn",
        "direction of work",
    ] {
        assert!(scene.labels.iter().any(|l| l.text == term), "{term}");
    }
    assert!(scene.legend.iter().all(|m| !m.shapes.is_empty()));
}

/// Least line 0.25 mm at final size, also where an sc is 3 mm.
#[test]
fn no_line_is_finer_than_a_quarter_millimetre_at_3_mm() {
    let scene = sheet(ScForm::Plus);
    let widths = scene.legend.iter().flat_map(|m| &m.shapes).filter_map(|s| match s.paint {
        Paint::Stroke(width) => Some(width * scene.mm_per_sc),
        Paint::Fill => None,
    });
    assert!(widths.fold(f64::INFINITY, f64::min) >= 0.25 - 1e-9);
}

/// Legs of one place run apart from where they start, and reach within a tenth of it; at most 120 degrees in all.
#[test]
fn fans_of_two_to_nine_make_no_blob() {
    let scene = sheet(ScForm::Cross);
    let fans = section(&scene, "in one stitch", "in a space");
    assert_eq!(fans.len(), 5 * 8);
    for (k, fan) in fans.iter().enumerate() {
        let n = 2 + k % 8;
        let mut stems = parts(fan, PartKind::Stem);
        if stems.is_empty() {
            continue; // a cross has strokes only
        }
        assert_eq!(stems.len(), n);
        stems.sort_by(|a, b| a.path.bounding_box().center().x.total_cmp(&b.path.bounding_box().center().x));
        // the last line is at half scale
        let scale = if k >= 32 { 0.5 } else { 1.0 };
        for pair in stems.windows(2) {
            assert!(gap(pair[0], pair[1]) > 0.02 * scale, "fan of {n}: {}", gap(pair[0], pair[1]));
        }
        for pair in parts(fan, PartKind::Head).windows(2) {
            assert!(gap(pair[0], pair[1]) > 0.1 * scale, "bars of {n}: {}", gap(pair[0], pair[1]));
        }
        let lean = |s: &Shape| {
            let segment = s.path.segments().next().unwrap();
            let along = segment.end() - segment.start();
            along.x.atan2(-along.y).to_degrees()
        };
        assert!(lean(stems[n - 1]) - lean(stems[0]) <= 120.0 + 1e-6);
    }
}

#[test]
fn feet_in_a_space_keep_a_quarter_apart() {
    let scene = sheet(ScForm::Plus);
    for fan in section(&scene, "in a space", "2 to 9 together").iter().take(32) {
        let mut feet: Vec<Point> =
            parts(fan, PartKind::Stem).iter().map(|s| s.path.segments().next().unwrap().start()).collect();
        feet.sort_by(|a, b| a.x.total_cmp(&b.x));
        assert!(feet.windows(2).all(|p| (p[1] - p[0]).hypot() >= 0.25));
    }
}

/// A stretched symbol keeps bars, strokes and line widths; a tilted one is the upright one, turned.
#[test]
fn stretching_lengthens_stems_only() {
    let scene = sheet(ScForm::Plus);
    let flexed = section(&scene, "Stretched and tilted", "Small: 3 mm");
    assert!(flexed.len() >= 40);
    for mark in flexed {
        let lengths = |kind| -> Vec<f64> { parts(mark, kind).iter().map(|s| s.path.perimeter(1e-6)).collect() };
        let heads = lengths(PartKind::Head);
        let each = heads.len() / 5;
        for (k, length) in heads.iter().enumerate() {
            assert!((length - heads[k % each]).abs() < 1e-6, "a bar has changed");
        }
    }
}

#[test]
fn the_program_draws_the_sheet_in_every_format_alike_each_time() {
    let folder = Folder::new("specimen");
    for out in ["a.svg", "b.svg", "a.png", "a.pdf"] {
        let run = folder.run(&["draw", "--specimen", "-o", out, "--dpi", "60", "--lang", "nl"]);
        assert_eq!((run.code, run.err.as_str(), run.out.as_str()), (0, "", ""));
    }
    assert!(folder.bytes("a.svg") == folder.bytes("b.svg"));
    assert!(String::from_utf8(folder.bytes("a.svg")).unwrap().contains("v – vaste"));
    let run = folder.run(&["draw", "--specimen", "pear.txt", "-o", "c.svg"]);
    assert_eq!(run.code, 2);
    assert_eq!(folder.run(&["draw", "-o", "c.svg"]).code, 2);
}
