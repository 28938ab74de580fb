//! Charts row by row: what `fanwise steps` writes, measured in the SVG itself.

#![cfg(feature = "cli")]

mod program;

use program::Folder;
use roxmltree::{Document, Node};
use std::collections::BTreeSet;

const PEAR: &str = include_str!("../examples/orchard/pear.txt");
const LEAF: &str = include_str!("../examples/orchard/leaf.txt");
const TWO: &str = include_str!("shapes/two-parts.txt");
/// The grey of what was worked before.
const GREY: &str = "#8c8c8c";

fn figures(folder: &Folder, name: &str) -> Vec<String> {
    let path = folder.path().join(name);
    let mut names: Vec<_> = std::fs::read_dir(&path).unwrap().map(|e| e.unwrap().path()).collect();
    names.sort();
    names.iter().map(|p| std::fs::read_to_string(p).unwrap()).collect()
}

fn has_class(node: &Node, class: &str) -> bool {
    node.attribute("class").is_some_and(|c| c.split(' ').any(|c| c == class))
}

fn all<'a>(document: &'a Document, class: &str) -> Vec<Node<'a, 'a>> {
    document.descendants().filter(|n| has_class(n, class)).collect()
}

/// Every ink in which a node or anything in it is drawn.
fn inks(node: &Node) -> BTreeSet<String> {
    let told = node.descendants().flat_map(|n| [n.attribute("stroke"), n.attribute("fill")]);
    told.flatten().filter(|ink| *ink != "none").map(str::to_owned).collect()
}

/// All that is drawn of a stitch, and where.
fn drawing(stitch: &Node) -> String {
    let parts = stitch.descendants().flat_map(|n| [n.attribute("d"), n.attribute("transform")]);
    parts.flatten().collect::<Vec<_>>().join(" ")
}

fn words(document: &Document) -> String {
    let lines: Vec<_> = all(document, "words").iter().filter_map(|n| n.text()).map(str::to_owned).collect();
    lines.join(" ")
}

fn number(node: &Node, name: &str) -> f64 {
    node.attribute(name).and_then(|v| v.parse().ok()).unwrap()
}

/// The numbers of path data, two and two: every point of it, handles too, so that the box holds all ink.
fn points(data: &str) -> Vec<[f64; 2]> {
    let numbers: Vec<f64> =
        data.split(|c: char| c.is_ascii_alphabetic() || c == ' ').filter_map(|n| n.parse().ok()).collect();
    numbers.chunks(2).filter(|p| p.len() == 2).map(|p| [p[0], p[1]]).collect()
}

#[test]
fn each_row_has_a_figure_with_the_rows_before_it_in_grey() {
    let folder = Folder::new("steps-rows");
    folder.file("pear.txt", PEAR);
    let run = folder.run(&["steps", "pear.txt", "--into", "out"]);
    assert_eq!((run.code, run.out.as_str(), run.err.as_str()), (0, "", ""));
    let figures = figures(&folder, "out");
    assert_eq!(figures.len(), 6, "a foundation and five rows");
    let mut before: Vec<(String, String)> = Vec::new();
    let mut frames = BTreeSet::new();
    for (k, text) in figures.iter().enumerate() {
        let document = Document::parse(text).unwrap();
        let root = document.root_element();
        frames.insert(["viewBox", "width", "height"].map(|a| root.attribute(a).unwrap().to_owned()));
        let rows = all(&document, "row");
        assert_eq!(rows.len(), k + 1);
        for (i, row) in rows.iter().enumerate() {
            let inks = inks(row);
            assert_eq!(inks.len(), 1, "a row has one ink: {inks:?}");
            assert_eq!(inks.contains(GREY), i < k, "figure {k}, row {i}: {inks:?}");
        }
        let stitches: Vec<(String, String)> = all(&document, "stitch")
            .iter()
            .map(|s| (s.attribute("data-stitch").unwrap().to_owned(), drawing(s)))
            .collect();
        for old in before.iter().filter(|(_, d)| d.contains('M')) {
            let now = stitches.iter().find(|(id, _)| *id == old.0).unwrap();
            assert!(now.1 == old.1 || now.1.contains("translate"), "stitch {} has moved in figure {k}", old.0);
        }
        before = stitches;
    }
    assert_eq!(frames.len(), 1, "one scale and one frame: {frames:?}");
    let made: usize = before.len();
    assert_eq!(made, fanwise::Pattern::read(PEAR).fabric().stitches.len(), "the last figure has every stitch");
}

#[test]
fn the_words_of_the_row_stand_below_the_drawing_and_within_the_frame() {
    let folder = Folder::new("steps-words");
    for (name, text) in [("pear.txt", PEAR), ("leaf.txt", LEAF)] {
        folder.file(name, text);
        assert_eq!(folder.run(&["steps", name, "--into", "out"]).code, 0);
        let published = text.split_whitespace().collect::<Vec<_>>().join(" ");
        for figure in figures(&folder, "out") {
            let document = Document::parse(&figure).unwrap();
            let words = words(&document);
            let said = words.strip_prefix("Foundation: ").unwrap_or(&words);
            assert!(published.contains(said) && said.len() > 10, "{words}");
            let frame: Vec<f64> =
                document.root_element().attribute("viewBox").unwrap().split(' ').map(|n| n.parse().unwrap()).collect();
            let lowest = all(&document, "stitch")
                .iter()
                .flat_map(|s| s.descendants())
                .filter_map(|n| n.attribute("d"))
                .flat_map(points)
                .fold(f64::NEG_INFINITY, |y, p| y.max(p[1]));
            let lines = all(&document, "words");
            for line in &lines {
                let (x, y, size) = (number(line, "x"), number(line, "y"), number(line, "font-size"));
                assert!(y - size > lowest && y < frame[1] + frame[3], "{words}");
                // as wide as a wide font sets such words: the reader may lack the one the lines were set for
                let wide = 0.46 * size * line.text().unwrap().chars().count() as f64;
                assert!(x >= frame[0] && x + wide <= frame[0] + frame[2] + 0.6, "{:?} is cut", line.text());
            }
            let heights: Vec<f64> = lines.iter().map(|l| number(l, "y")).collect();
            assert!(heights.windows(2).all(|w| w[1] - w[0] > 0.6), "lines lie over each other");
        }
        std::fs::remove_dir_all(folder.path().join("out")).unwrap();
    }
}

#[test]
fn words_are_spoken_in_the_dialect_asked_for() {
    let folder = Folder::new("steps-speak");
    folder.file("leaf.txt", LEAF);
    assert_eq!(folder.run(&["steps", "leaf.txt", "--into", "out", "--speak", "uk"]).code, 0);
    let figures = figures(&folder, "out");
    let document = Document::parse(&figures[1]).unwrap();
    let words = words(&document);
    let start =
        "Row 1 (RS): Ss in 2nd ch from hook, dc in next ch, htr in next ch, tr in each of next 2 ch, dtr in next ch";
    assert!(words.starts_with(start), "{words}");
    assert!(words.ends_with("(23 sts) Fasten off, leaving a tail for sewing."), "{words}");
}

#[test]
fn a_ring_is_in_ink_with_its_first_round_and_grey_ever_after() {
    let folder = Folder::new("steps-ring");
    folder.file("cup.txt", include_str!("shapes/cup.txt"));
    assert_eq!(folder.run(&["steps", "cup.txt", "--into", "out"]).code, 0);
    for (k, figure) in figures(&folder, "out").iter().enumerate() {
        let document = Document::parse(figure).unwrap();
        let rings = all(&document, "ring");
        assert_eq!(rings.len(), 1, "figure {k}");
        let ink = rings[0].ancestors().find_map(|n| n.attribute("stroke")).unwrap();
        assert_eq!(ink == GREY, k > 0, "figure {k}: {ink}");
    }
}

#[test]
fn pieces_worked_apart_are_shown_apart_at_one_scale() {
    let folder = Folder::new("steps-pieces");
    folder.file("two.txt", TWO);
    assert_eq!(folder.run(&["steps", "two.txt", "--into", "out"]).code, 0);
    let figures = figures(&folder, "out");
    let fabric = fanwise::Pattern::read(TWO).fabric().clone();
    let sizes: BTreeSet<_> = figures
        .iter()
        .map(|f| {
            let document = Document::parse(f).unwrap();
            ["width", "height"].map(|a| document.root_element().attribute(a).unwrap().to_owned())
        })
        .collect();
    assert_eq!(sizes.len(), 1, "{sizes:?}");
    for figure in &figures {
        let document = Document::parse(figure).unwrap();
        let parts: BTreeSet<_> = all(&document, "row")
            .iter()
            .map(|r| fabric.rows[r.attribute("data-row").unwrap().parse::<usize>().unwrap()].part)
            .collect();
        assert_eq!(parts.len(), 1);
    }
}

#[test]
fn a_strip_has_every_figure_once_and_no_id_twice() {
    let folder = Folder::new("steps-strip");
    folder.file("pear.txt", PEAR);
    let run = folder.run(&["steps", "pear.txt", "--into", "out", "--strip", "--formats", "svg,png"]);
    assert_eq!(run.code, 0, "{}", run.err);
    let names: Vec<_> = std::fs::read_dir(folder.path().join("out")).unwrap().map(|e| e.unwrap().file_name()).collect();
    assert_eq!(names.len(), 2, "{names:?}");
    let text = std::fs::read_to_string(folder.path().join("out/pear-strip.svg")).unwrap();
    let document = Document::parse(&text).unwrap();
    let panels: Vec<_> = all(&document, "fanwise");
    assert_eq!(panels.len(), 6);
    let mut ids = BTreeSet::new();
    let told = document.descendants().filter_map(|n| n.attribute("id"));
    assert!(told.into_iter().all(|id| ids.insert(id.to_owned())));
    let boxes: Vec<[f64; 4]> = panels.iter().map(|p| ["x", "y", "width", "height"].map(|a| number(p, a))).collect();
    for (i, a) in boxes.iter().enumerate() {
        for b in &boxes[i + 1..] {
            let apart = a[0] + a[2] <= b[0] || b[0] + b[2] <= a[0] || a[1] + a[3] <= b[1] || b[1] + b[3] <= a[1];
            assert!(apart, "figures lie over each other");
        }
    }
    assert!(all(&document, "legend").len() == 1 && all(&document, "title").len() == 1);
}

#[test]
fn a_moving_chart_is_one_file_that_stands_still_where_less_motion_is_asked_for() {
    let folder = Folder::new("steps-moving");
    folder.file("pear.txt", PEAR);
    assert_eq!(folder.run(&["steps", "pear.txt", "--into", "out", "--animated"]).code, 0);
    let text = std::fs::read_to_string(folder.path().join("out/pear-animated.svg")).unwrap();
    // rows gone by are grey on either ground: words keep 4.5 to 1 and lines 3 to 1 (WCAG 2)
    let told = |of: &str, name: &str| {
        let at = text.find(of).expect(of) + of.len();
        let value = text[at..].split(name).nth(1).unwrap();
        fanwise::chart::Ink::told(&value[..7]).unwrap()
    };
    use fanwise::chart::{Ink, contrast};
    let dark = "dark){#";
    let after_theme = text.find("--past:").unwrap();
    let dark_at = text[after_theme..].find(dark).unwrap() + after_theme;
    let night = |name: &str| Ink::told(&text[dark_at..].split(name).nth(1).unwrap()[..7]).unwrap();
    assert!(contrast(night("--past:"), Ink::NIGHT) >= 3.0 && contrast(night("--past-words:"), Ink::NIGHT) >= 4.5);
    assert!(contrast(told("{", "--past:"), Ink::PAPER) >= 3.0);

    let document = Document::parse(&text).unwrap();
    assert!(!text.contains("<script") && !text.contains("href=\"http") && !text.contains("<animate"));
    let style = document.descendants().find(|n| n.tag_name().name() == "style").unwrap().text().unwrap();
    assert!(style.starts_with("@media (prefers-reduced-motion:no-preference){"), "every rule is within the question");
    // brackets close at the very end, so that nothing stands outside
    let mut depth = 0;
    let closed = style.char_indices().find_map(|(at, c)| {
        depth += i32::from(c == '{') - i32::from(c == '}');
        (c == '}' && depth == 0).then_some(at)
    });
    assert_eq!(closed, Some(style.len() - 1));
    let rows = all(&document, "row");
    assert_eq!(rows.len(), 6);
    let mut last = -1.0;
    for row in &rows {
        let id = row.attribute("id").unwrap();
        assert!(style.contains(&format!("#{id},")), "{id} does not move");
        // the moment it comes, as a share of the whole
        let name = format!("@keyframes {}-k{}{{", id.rsplit_once("-r").unwrap().0, row.attribute("data-row").unwrap());
        let rule = style.split(&name).nth(1).unwrap().split("visible").next().unwrap();
        let comes: f64 = rule.rsplit('}').next().unwrap().split('%').next().unwrap().parse().unwrap();
        assert!(comes > last && comes < 100.0, "rows come one after another");
        last = comes;
    }
    // without the rules it is the whole chart: no stitch is grey or hidden, and the words of every row are there
    assert!(!text.replace(style, "").contains(GREY) && !text.replace(style, "").contains("hidden"));
    for label in ["Foundation:", "Row 1 (RS):", "Row 3 (RS):", "Border row 2 (WS):"] {
        assert!(words(&document).contains(label), "{label}");
    }
}

#[test]
fn chosen_rows_have_a_figure_each_on_what_they_stand_on() {
    let folder = Folder::new("steps-chosen");
    folder.file("pear.txt", PEAR);
    let run = folder.run(&["steps", "pear.txt", "--into", "out", "--rows", "2-3"]);
    assert_eq!((run.code, run.err.as_str()), (0, ""));
    let mut names: Vec<_> =
        std::fs::read_dir(folder.path().join("out")).unwrap().map(|f| f.unwrap().file_name()).collect();
    names.sort();
    assert_eq!(names, ["pear-01.svg", "pear-02.svg"]);
    for (name, said) in [("pear-01.svg", "Row 2 (WS):"), ("pear-02.svg", "Row 3 (RS):")] {
        let text = std::fs::read_to_string(folder.path().join("out").join(name)).unwrap();
        let document = Document::parse(&text).unwrap();
        assert!(words(&document).starts_with(said), "{name}: {}", words(&document));
        assert!(text.contains(GREY), "{name}");
    }
}

#[test]
fn a_pdf_has_a_page_for_each_figure() {
    let folder = Folder::new("steps-pdf");
    folder.file("pear.txt", PEAR);
    let run = folder.run(&["steps", "pear.txt", "--into", "out", "--formats", "svg,pdf"]);
    assert_eq!((run.code, run.err.as_str()), (0, ""));
    let names: Vec<_> = std::fs::read_dir(folder.path().join("out")).unwrap().collect();
    let bytes = std::fs::read(folder.path().join("out/pear-steps.pdf")).unwrap();
    let count = |words: &[u8]| bytes.windows(words.len()).filter(|w| w == &words).count();
    assert_eq!(names.len(), 7, "a file for each row, and one for all");
    assert_eq!((count(b"/Type/Page/"), count(b"/S/Figure")), (6, 6));
}

#[test]
fn the_folder_is_made_where_its_parent_is_there_and_all_is_written_or_nothing() {
    let folder = Folder::new("steps-folder");
    folder.file("pear.txt", PEAR);
    let run = folder.run(&["steps", "pear.txt", "--into", "no/such/out"]);
    assert_eq!(run.code, 2);
    assert!(run.err.contains("there is no folder no/such"), "{}", run.err);
    assert_eq!(folder.names(), ["pear.txt"]);
    let run = folder.run(&["steps", "pear.txt", "--into", "pear.txt"]);
    assert_eq!(run.code, 2);
    assert!(run.err.contains("pear.txt is a file"), "{}", run.err);
    // one name is taken by a folder: not one of the others is written
    std::fs::create_dir_all(folder.path().join("out/pear-04.svg")).unwrap();
    assert_eq!(folder.run(&["steps", "pear.txt", "--into", "out"]).code, 2);
    assert_eq!(std::fs::read_dir(folder.path().join("out")).unwrap().count(), 1);
    // a picture too large is found out before anything is written
    let run =
        folder.run(&["steps", "pear.txt", "--into", "big", "--formats", "png", "--width", "5000", "--dpi", "2400"]);
    assert_eq!((run.code, folder.names()), (2, vec!["out".to_owned(), "pear.txt".to_owned()]));
    let run = folder.run_on(&["steps", "-", "--into", "in"], PEAR);
    assert_eq!(run.code, 0);
    assert!(folder.path().join("in/chart-01.svg").is_file());
}

#[test]
fn a_pattern_with_errors_is_drawn_only_as_a_draft() {
    let folder = Folder::new("steps-errors");
    folder.file("twig.txt", "Twig\n\nCh 11.\nRow 1: Sc in 2nd ch from hook and in each ch across. Turn. (10 sts)\nRow 2: Ch 1, sc in next 8 sts. (8 sts)\n");
    let run = folder.run(&["steps", "twig.txt", "--into", "out"]);
    assert_eq!((run.code, folder.names()), (1, vec!["twig.txt".to_owned()]));
    let run = folder.run(&["steps", "twig.txt", "--into", "out", "--draft"]);
    assert_eq!(run.code, 1);
    assert_eq!(figures(&folder, "out").len(), 3);
}
