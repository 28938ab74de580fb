//! `fanwise sheet`: what a page holds, in which order, and that it needs nothing beside it.

mod program;

use fanwise::Pattern;
use fanwise::book::{SheetOptions, sheet};
use fanwise::instructions::Terms;
use program::Folder;
use std::path::Path;

fn example(name: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/orchard").join(name);
    std::fs::read_to_string(path).expect("the example is there")
}

fn page(name: &str, options: &SheetOptions) -> String {
    sheet(&Pattern::read(&example(name)), options).expect("a sound pattern has a page").html
}

/// The values of an attribute in the elements that carry a class.
fn values(html: &str, class: &str, attribute: &str) -> Vec<String> {
    let tags = html.split('<').filter(|t| t.contains(&format!("class=\"{class}")));
    let value = |t: &str| Some(t.split_once(&format!("{attribute}=\""))?.1.split('"').next()?.to_owned());
    tags.filter_map(value).collect()
}

fn spans(value: &str) -> Vec<(usize, usize)> {
    let one = |s: &str| {
        let (a, b) = s.split_once(',').expect("two ends");
        (a.parse().expect("a number"), b.parse().expect("a number"))
    };
    value.split(' ').map(one).collect()
}

#[test]
fn a_page_needs_nothing_beside_it() {
    let html = page("pear.txt", &SheetOptions::default());
    let from_elsewhere = html.replace("http://www.w3.org/", "");
    for mark in ["http:", "https:", "<link", "url(", "@import", "<iframe", "srcset", "fetch("] {
        assert!(!from_elsewhere.contains(mark), "{mark}");
    }
    assert!(!html.contains("src=\""), "no picture but one given as data");
    assert!(html.contains("@page{"), "it says how it is printed");
}

#[test]
fn the_sections_stand_in_the_order_readers_expect() {
    let html = page("leaf.txt", &SheetOptions::default());
    let order = [
        "<h1>Leaf</h1>",
        ">Materials<",
        ">Size<",
        ">Yarn<",
        ">Gauge<",
        ">Abbreviations<",
        ">Special stitches<",
        ">Notes<",
        ">Caution<",
        ">Pattern<",
        "<figure class=\"chart\">",
        ">Row by row<",
    ];
    let places: Vec<usize> = order.iter().map(|m| html.find(m).unwrap_or_else(|| panic!("{m} is missing"))).collect();
    assert!(places.is_sorted(), "{places:?}");
}

#[test]
fn every_row_has_a_box_to_tick_and_is_said_in_full_for_the_ear() {
    let html = page("pear.txt", &SheetOptions::default());
    assert_eq!(html.matches("<input type=\"checkbox\"").count(), 6, "the chain, three rows, two of the border");
    assert!(html.contains("aria-label=\"Row 2 (wrong side) done\""));
    let said = "Border row 1 (right side): With B, chain 1, single crochet in each row end across. Turn. (6 stitches)";
    assert!(html.contains(&format!("<p class=\"ear\">{said}</p>")), "{said}");
}

#[test]
fn every_stitch_of_the_chart_has_its_words() {
    for name in ["pear.txt", "apple.txt", "leaf.txt", "acorn.txt", "coaster.txt"] {
        for terms in [Terms::Us, Terms::Uk] {
            let html = page(name, &SheetOptions::default().with_speak(Some(terms)));
            let chart = html
                .split("<figure class=\"chart\">")
                .nth(1)
                .and_then(|h| h.split("</figure>").next())
                .expect("a chart");
            let phrases: Vec<_> = values(&html, "phrase", "data-span").iter().flat_map(|v| spans(v)).collect();
            let stitches = values(chart, "stitch", "data-span");
            assert!(stitches.len() > 20, "{name}: {} stitches", stitches.len());
            for stitch in stitches.iter().flat_map(|v| spans(v)) {
                let holds =
                    |p: &(usize, usize)| p.0 <= stitch.0 && stitch.1 <= p.1 || stitch.0 <= p.0 && p.1 <= stitch.1;
                assert!(phrases.iter().any(holds), "{name} in {terms}: no words for the stitch at {stitch:?}");
            }
        }
    }
}

#[test]
fn the_same_pattern_gives_the_same_bytes() {
    assert_eq!(page("acorn.txt", &SheetOptions::default()), page("acorn.txt", &SheetOptions::default()));
}

#[test]
fn a_page_is_written_in_the_terms_and_for_the_hand_asked_for() {
    let folder = Folder::new("sheet-terms");
    let text = "Bee\n\nNotes\nUS terms. Sew the wing to the left edge, the right side facing.\n\nCh 5.\nRow 1: Sc in 2nd ch from hook and in each ch across. (4 sts)\n";
    let file = folder.file("bee.txt", text);
    let run = folder.run(&["sheet", file, "-o", "bee.html", "--speak", "uk", "--hand", "left"]);
    assert_eq!(run.code, 0, "{}", run.err);
    let html = String::from_utf8(folder.bytes("bee.html")).expect("text");
    assert!(html.contains("Written in UK terms. Sew the wing to the right edge, the right side facing."), "{html}");
    assert!(html.contains("Dc in 2nd ch from hook and in each ch across"));
}

#[test]
fn a_testers_page_has_boxes_and_a_query_for_every_row() {
    let folder = Folder::new("sheet-tester");
    let file = folder.file("leaf.txt", example("leaf.txt"));
    assert_eq!(folder.run(&["sheet", file, "-o", "leaf.html", "--tester"]).code, 0);
    let html = String::from_utf8(folder.bytes("leaf.html")).expect("text");
    for label in ["Gauge: stitches and rows", "Finished size", "Metres used, by colour", "Time taken"] {
        assert!(html.contains(&format!("<th scope=\"row\">{label}</th><td class=\"blank\">")), "{label}");
    }
    assert_eq!(html.matches("class=\"query\"").count(), html.matches("type=\"checkbox\"").count());
}

#[test]
fn a_series_has_an_index_with_yarn_in_all_and_what_was_measured_comes_first() {
    let folder = Folder::new("sheet-series");
    let set = folder.path().join("set");
    std::fs::create_dir(&set).expect("a folder");
    for name in ["pear.txt", "leaf.txt"] {
        std::fs::write(set.join(name), example(name)).expect("a file");
    }
    std::fs::write(set.join("fanwise.toml"), "[measured.leaf]\nsize = \"6 x 3 cm\"\n\"yarn A\" = \"3.5 m\"\n")
        .expect("a file");
    let run = folder.run(&["sheet", "set", "--into", "pages"]);
    assert_eq!(run.code, 0, "{}", run.err);
    let read = |name: &str| std::fs::read_to_string(folder.path().join("pages").join(name)).expect("the page is there");
    let index = read("index.html");
    assert!(index.contains("<a href=\"leaf.html\">") && index.contains("<a href=\"pear.html\">"));
    assert!(index.contains("6 x 3 cm (measured)"));
    assert!(index.contains("<td>leaf green</td><td class=\"number\">3.5</td><td class=\"number\"></td><td class=\"number\">1</td><td>measured</td>"), "{}", index.split("<table>").nth(1).unwrap_or(""));
    assert!(index.contains("<td>pear green</td>"));
    let leaf = read("leaf.html");
    assert!(
        leaf.contains("A: 3.5 m (measured)") && !leaf.contains("reckoned"),
        "what is measured outranks what is reckoned"
    );
    assert!(read("pear.html").contains("reckoned"));
    // all charts at one scale: the widths of the thumbnails are to each other as those of the works
    let width = |svg: &str| svg.split("width=\"").filter_map(|w| w.split("mm\"").next()?.parse::<f64>().ok()).next();
    assert!(index.split("<svg").skip(1).all(|svg| width(svg).is_some()));
}

#[test]
fn a_pattern_with_errors_has_no_page_unless_a_draft_is_asked_for() {
    let folder = Folder::new("sheet-errors");
    let file = folder.file("leaf.txt", "Leaf\n\nCh 6.\nRow 1: Sc in 2nd ch from hook, sc in next 3 ch. (5 sts)\n");
    let run = folder.run(&["sheet", file, "-o", "leaf.html"]);
    assert_eq!(run.code, 1);
    assert!(run.err.contains("--draft"), "{}", run.err);
    assert_eq!(folder.names(), ["leaf.txt"]);
    assert_eq!(folder.run(&["sheet", file, "-o", "leaf.html", "--draft"]).code, 1);
    assert_eq!(folder.names(), ["leaf.html", "leaf.txt"]);
    for wrong in
        [vec!["sheet", file], vec!["sheet", file, file, "-o", "x.html"], vec!["sheet", "none.txt", "-o", "x.html"]]
    {
        assert_eq!(folder.run(&wrong).code, 2, "{wrong:?}");
    }
    assert_eq!(folder.names(), ["leaf.html", "leaf.txt"]);
}

#[test]
fn a_photo_is_taken_in_with_its_words() {
    let folder = Folder::new("sheet-photo");
    let file = folder.file("leaf.txt", example("leaf.txt"));
    folder.file("leaf-photo.png", [0x89, b'P', b'N', b'G']);
    assert_eq!(folder.run(&["sheet", file, "-o", "leaf.html", "--credit", "The press"]).code, 0);
    let html = String::from_utf8(folder.bytes("leaf.html")).expect("text");
    assert!(html.contains("<img src=\"data:image/png;base64,iVBORw==\" alt=\"Leaf, finished\">"), "{}", &html[..2000]);
    assert!(html.contains("Photo: The press"));
    let run = folder.run(&["sheet", file, "-o", "x.html", "--photo", "leaf.txt"]);
    assert_eq!(run.code, 2);
}
