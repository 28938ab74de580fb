//! Charts on paper: PDF, pages that are joined, and how small an sc may be.

#![cfg(all(feature = "cli", feature = "pdf"))]

mod program;

use fanwise::chart::{LEAST_MM, Paper, Scene, Sheet, Style};
use fanwise::{Chart, ChartOptions, Pattern};
use kurbo::{Rect, Shape as _};
use program::Folder;

const PEAR: &str = include_str!("../examples/orchard/pear.txt");
const DOILY: &str = include_str!("shapes/pineapple-doily.txt");

fn chart(text: &str, paper: Option<Paper>) -> Chart {
    Pattern::read(text).chart(&ChartOptions::default().with_paper(paper)).expect("a chart")
}

fn holds(bytes: &[u8], words: &str) -> bool {
    bytes.windows(words.len()).any(|w| w == words.as_bytes())
}

#[test]
fn a_pdf_is_the_same_every_time_has_no_date_and_carries_its_font() {
    let folder = Folder::new("pdf");
    folder.file("pear.txt", PEAR);
    for name in ["one.pdf", "two.pdf"] {
        let run = folder.run(&["draw", "pear.txt", "-o", name, "--page", "a5"]);
        assert_eq!((run.code, run.out.as_str()), (0, ""), "{}", run.err);
    }
    let bytes = folder.bytes("one.pdf");
    assert!(bytes == folder.bytes("two.pdf"));
    assert!(bytes.starts_with(b"%PDF-"));
    for date in ["CreationDate", "ModDate", "CreateDate", "ModifyDate", "xmp:MetadataDate"] {
        assert!(!holds(&bytes, date), "{date}");
    }
    assert!(holds(&bytes, "+SourceSans3-Regular") && holds(&bytes, "/FontFile2"));
    // for those who do not see it: a figure with words, and the language they are in
    assert!(holds(&bytes, "/StructTreeRoot") && holds(&bytes, "/Marked true") && holds(&bytes, "/Lang(en-US)"));
    let words: String = "Crochet chart of Pear".encode_utf16().map(|u| format!("{u:04X}")).collect();
    assert!(holds(&bytes, "/S/Figure") && holds(&bytes, &format!("/Alt<FEFF{words}")), "its rows are told in words");
    // A5 in points: 148 and 210 mm
    assert!(holds(&bytes, "/MediaBox[0 0 419.527"), "the page is as large as its paper");
    assert!(!holds(&bytes, "/Subtype/Image"), "nothing is painted in dots");
}

#[test]
fn a_page_of_the_chart_s_own_size_is_what_is_drawn_without_paper() {
    let chart = chart(PEAR, None);
    let sheets = chart.drawing().sheets();
    assert_eq!(sheets.len(), 1);
    assert_eq!((sheets[0].width_mm, sheets[0].height_mm), chart.scene().size_mm());
}

#[test]
fn a_chart_is_made_smaller_for_its_paper_and_never_under_3_mm() {
    let natural = Style::default().mm_per_sc;
    for (text, paper, pages) in [
        (PEAR, Paper::A4, 1),
        (PEAR, Paper::A5, 1),
        (PEAR, Paper::LETTER, 1),
        (DOILY, Paper::A5, 1),
        (DOILY, Paper::own(80.0, 100.0), 5),
        (PEAR, Paper::own(55.0, 60.0), 5),
    ] {
        let chart = chart(text, Some(paper));
        let scale = chart.scene().mm_per_sc;
        let sheets = chart.drawing().sheets();
        assert_eq!(sheets.len(), pages, "{paper:?}");
        assert!(scale <= natural && scale >= LEAST_MM - 1e-9, "{scale}");
        for sheet in &sheets {
            let page = Rect::new(0.0, 0.0, sheet.width_mm, sheet.height_mm);
            let room = page.inflate(-paper.margin_mm + 1e-6, -paper.margin_mm + 1e-6);
            for view in &sheet.views {
                assert_eq!(room.union(view.to_mm), room, "{paper:?}: the margins stay white");
            }
            for mark in &sheet.marks {
                assert_eq!(page.union(mark.path.bounding_box()), page);
            }
        }
    }
}

/// Every stitch and label is whole on one page at least, and the pages show it at one scale.
#[test]
fn pages_that_are_joined_show_everything_whole() {
    let chart = chart(DOILY, Some(Paper::own(80.0, 100.0)));
    let scene = chart.scene();
    let sheets = chart.drawing().sheets();
    let (key, tiles) = sheets.split_first().expect("a page that shows the whole");
    let windows: Vec<Rect> = tiles.iter().map(|t| t.views[0].window).collect();
    let whole = |r: Rect| windows.iter().any(|w| w.union(r) == *w);
    let widest = 10.0 / scene.mm_per_sc;
    for figure in scene.figures() {
        let ink = figure.shapes.iter().map(|s| s.path.bounding_box()).reduce(|a, b| a.union(b)).unwrap();
        // a stitch that is wider than the overlap may be cut, and is then whole once the pages are joined
        assert!(whole(ink) || ink.width().max(ink.height()) > widest, "{}", figure.class);
    }
    for tile in tiles {
        let view = &tile.views[0];
        let scale = [view.to_mm.width() / view.window.width(), view.to_mm.height() / view.window.height()];
        assert!(scale.iter().all(|s| (s - scene.mm_per_sc).abs() < 1e-9));
    }
    let legend = |scene: &Scene| scene.labels.iter().filter(|l| format!("{:?}", l.role) == "Legend").count();
    let on_key: usize = key.views.iter().map(|v| legend(&v.scene)).sum();
    assert_eq!(on_key, legend(scene), "the legend stands whole on the first page");
}

/// A mark of one page and its twin of the next are the same point of the chart.
#[test]
fn register_marks_of_neighbours_fall_together() {
    let chart = chart(PEAR, Some(Paper::own(55.0, 60.0)));
    let sheets = chart.drawing().sheets();
    let points = |sheet: &Sheet| -> Vec<(f64, f64)> {
        let view = &sheet.views[0];
        let scale = view.window.width() / view.to_mm.width();
        let centre = |s: &fanwise::chart::Shape| s.path.bounding_box().center();
        let of_ring = sheet.marks.chunks(3).map(|ring| centre(&ring[2]));
        of_ring
            .map(|c| {
                let x = view.window.x0 + (c.x - view.to_mm.x0) * scale;
                (x, view.window.y0 + (c.y - view.to_mm.y0) * scale)
            })
            .collect()
    };
    let [a1, a2, b1] = [1, 2, 3].map(|k| points(&sheets[k]));
    let same = |a: &(f64, f64), b: &(f64, f64)| (a.0 - b.0).abs() < 1e-9 && (a.1 - b.1).abs() < 1e-9;
    let shared = |a: &[(f64, f64)], b: &[(f64, f64)]| a.iter().filter(|p| b.iter().any(|q| same(p, q))).count();
    assert_eq!(shared(&a1, &a2), 2);
    assert_eq!(shared(&a1, &b1), 2);
}

#[test]
fn what_gets_small_is_said() {
    let folder = Folder::new("small");
    folder.file("doily.txt", DOILY);
    for name in ["a.svg", "a.png", "a.pdf"] {
        let run = folder.run(&["draw", "doily.txt", "-o", name, "--width", "60"]);
        assert_eq!(run.code, 0);
        assert!(run.err.contains("one sc is 2.3 mm") && run.err.contains("--width 78"), "{}", run.err);
    }
    let run = folder.run(&["draw", "doily.txt", "-o", "a.svg", "--width", "80"]);
    assert_eq!((run.code, run.err.as_str()), (0, ""));
    let run = folder.run(&["draw", "doily.txt", "-o", "b.pdf", "--page", "80x100"]);
    assert!(run.err.contains("the chart takes 4 pages"), "{}", run.err);
}

#[test]
fn paper_that_cannot_be_is_refused() {
    let folder = Folder::new("paper");
    folder.file("pear.txt", PEAR);
    for (args, part) in [
        (["--page", "a9"].as_slice(), "it is one of a4, letter, a5"),
        (&["--page", "20x300"], "out of range: 50 to 5000 mm"),
        (&["--page", "60x60", "--margin", "20"], "take a smaller --margin"),
        (&["--margin", "1"], "out of range: 5 to 100 mm"),
    ] {
        let run = folder.run(&[&["draw", "pear.txt", "-o", "x.pdf"], args].concat());
        assert_eq!(run.code, 2);
        assert!(run.err.contains(part), "{}", run.err);
    }
    let run = folder.run(&["draw", "pear.txt", "-o", "x.jpg"]);
    assert!(run.code == 2 && run.err.contains(".svg, .png or .pdf"), "{}", run.err);
    assert_eq!(folder.names(), ["pear.txt"]);
}

/// Source: the PNG specification, pHYs in dots per metre; 11811 is 300 dpi.
#[test]
fn a_png_says_its_dots() {
    let folder = Folder::new("dots");
    folder.file("pear.txt", PEAR);
    assert_eq!(folder.run(&["draw", "pear.txt", "-o", "pear.png", "--dpi", "300"]).code, 0);
    let bytes = folder.bytes("pear.png");
    let at = bytes.windows(4).position(|w| w == b"pHYs").expect("the chunk of its size");
    let dots = u32::from_be_bytes(bytes[at + 4..at + 8].try_into().unwrap());
    assert_eq!((dots, bytes[at + 12]), (11811, 1));
}
