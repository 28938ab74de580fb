//! Layers shown over a chart, measured in the SVG.

mod measured;

use fanwise::chart::{Show, Style};
use fanwise::fabric::Place;
use fanwise::{ChartOptions, Pattern};
use measured::{all, covered, lines, words};
use roxmltree::Document;
use std::path::Path;

/// The orchard and a choice of shapes: rows, rounds, lace, spikes, half loops, an uneven row.
const PATTERNS: &[&str] = &[
    "examples/orchard/pear.txt",
    "examples/orchard/leaf.txt",
    "examples/orchard/apple.txt",
    "examples/orchard/acorn.txt",
    "examples/orchard/coaster.txt",
    "tests/shapes/shells.txt",
    "tests/shapes/filet.txt",
    "tests/shapes/increase-and-decrease.txt",
    "tests/shapes/spikes-and-posts.txt",
    "tests/shapes/sc-hexagon.txt",
    "tests/shapes/flower-with-petals.txt",
    "tests/shapes/two-branches.txt",
    "tests/shapes/wave-of-heights.txt",
];

fn pattern(name: &str) -> Pattern {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(name);
    Pattern::read(&std::fs::read_to_string(path).unwrap())
}

fn drawn(pattern: &Pattern, show: Vec<Show>) -> String {
    let options = ChartOptions::default().with_style(Style::default().with_show(show));
    pattern.chart(&options).unwrap().to_svg()
}

/// What of a class is drawn in a layer; the legend shows samples of the same class.
fn drawn_in(document: &Document, layer: &str, class: &str) -> usize {
    all(document, class).iter().filter(|n| n.ancestors().any(|a| measured::has_class(&a, layer))).count()
}

/// The words of one layer.
fn said(document: &Document, layer: &str) -> Vec<String> {
    let group = all(document, layer).into_iter().find(|n| n.has_tag_name("g"));
    let texts = group.into_iter().flat_map(|g| g.descendants().filter(|n| n.has_tag_name("text")).collect::<Vec<_>>());
    texts.filter_map(|n| n.text().map(str::to_owned)).collect()
}

#[test]
fn no_label_lies_on_a_symbol_a_line_or_another_label() {
    let mut labels = 0;
    for name in PATTERNS {
        let pattern = pattern(name);
        // each by itself on a few, where fewer lines leave other places free; all together on everything
        let alone =
            Show::ALL.map(|s| vec![s]).into_iter().filter(|_| name.contains("pear") || name.contains("coaster"));
        for show in alone.chain([Show::ALL.to_vec()]) {
            let text = drawn(&pattern, show.clone());
            let document = Document::parse(&text).unwrap();
            let words = words(&document);
            labels += words.iter().filter(|w| w.class == "note").count();
            let bad = covered(&words, &lines(&document, document.root_element()));
            assert!(bad.is_empty(), "{name}, {show:?}: {bad:#?}");
        }
    }
    assert!(labels > 250, "only {labels} labels were measured");
}

#[test]
fn each_layer_is_one_group_of_its_own_and_no_row_or_stitch() {
    let pattern = pattern(PATTERNS[0]);
    let plain = drawn(&pattern, Vec::new());
    assert!(!plain.contains("overlay"));
    let text = drawn(&pattern, Show::ALL.to_vec());
    let document = Document::parse(&text).unwrap();
    for show in Show::ALL {
        let groups: Vec<_> = all(&document, show.name());
        assert_eq!(groups.len(), 1, "{show:?}");
        assert_eq!(groups[0].parent().unwrap(), document.root_element(), "{show:?} stands by itself");
        for node in groups[0].descendants() {
            let class = node.attribute("class").unwrap_or("");
            assert!(!class.split(' ').any(|c| c == "row" || c == "stitch"), "{show:?}: {class}");
            assert!(node.attribute("data-stitch").is_none());
        }
    }
    let work = |text: &str| {
        let at = text.find("class=\"work\"").unwrap();
        text[at..text[at..].find("class=\"marks\"").map_or(text.len(), |end| at + end)].replace(' ', "")
    };
    // the stitches are those of the plain chart, to the byte, but for the frame around them
    assert_eq!(work(&plain).matches("data-stitch").count(), work(&text).matches("data-stitch").count());
}

#[test]
fn counts_are_those_of_the_check() {
    for name in PATTERNS {
        let pattern = pattern(name);
        let text = drawn(&pattern, vec![Show::Counts]);
        let document = Document::parse(&text).unwrap();
        let counts = said(&document, "counts");
        let mut told: Vec<usize> =
            counts.iter().map(|t| t.rsplit(": ").next().unwrap().split(' ').next().unwrap().parse().unwrap()).collect();
        let tallies = pattern.worked().tallies.iter().filter(|t| t.chains.is_none() && t.made > 0);
        let mut made: Vec<usize> = tallies.map(|t| t.made).collect();
        told.sort_unstable();
        made.sort_unstable();
        assert_eq!(told, made, "{name}: {counts:?}");
    }
}

#[test]
fn what_is_gained_and_lost_adds_up_to_the_rows_it_stands_in() {
    // worked into stitches alone, so that a row makes what it uses and what it gains
    for name in ["examples/orchard/apple.txt", "tests/shapes/sc-hexagon.txt", "tests/shapes/increase-and-decrease.txt"]
    {
        let pattern = pattern(name);
        let text = drawn(&pattern, vec![Show::Increases]);
        let document = Document::parse(&text).unwrap();
        let rounds = pattern.worked().tallies.iter().filter(|t| !t.leave_told);
        let rows = rounds.filter_map(|t| Some(t.made as i64 - t.used? as i64));
        let gained: i64 = rows.sum();
        let signs: Vec<i64> =
            said(&document, "increases").iter().map(|t| t.replace('−', "-").parse().expect("a number")).collect();
        let (more, less) = (drawn_in(&document, "increases", "increase"), drawn_in(&document, "increases", "decrease"));
        // a tint is one stitch, a number says how many it is instead
        let sum = more as i64 - less as i64 + signs.iter().map(|n| n - n.signum()).sum::<i64>();
        assert_eq!(sum, gained, "{name}: {more} increases, {less} decreases, {signs:?}");
        assert!(more > 0 && signs.iter().all(|n| n.abs() > 1), "{name}");
    }
}

#[test]
fn every_open_top_has_a_ring_and_no_other() {
    for name in PATTERNS {
        let pattern = pattern(name);
        let fabric = pattern.fabric();
        let used = |id| {
            fabric.stitches.iter().flat_map(|s| &s.into).any(|p| matches!(*p, Place::Top { top, .. } if top == id))
        };
        let text = drawn(&pattern, vec![Show::Loops]);
        let document = Document::parse(&text).unwrap();
        let rings = drawn_in(&document, "loops", "open-loop");
        // at the least the stitches that stand and have nothing on them
        let in_line = fabric.rows.iter().flat_map(|r| &r.order).map(|&id| fabric.stitch(id));
        let open = in_line.filter(|s| !used(s.id) && s.counts && !s.is_chain() && !s.is_slip_stitch()).count();
        assert!(rings >= open && open > 0, "{name}: {rings} rings, {open} open tops");
    }
    // a row that leaves nothing open but its own tops: 10 of them
    let text = "Twig\n\nCh 11.\nRow 1: Sc in 2nd ch from hook and in each ch across. Turn. (10 sts)\nRow 2: Ch 1, sc in back loop only of each st across. (10 sts)\n";
    let svg = drawn(&Pattern::read(text), vec![Show::Loops]);
    let document = Document::parse(&svg).unwrap();
    let (whole, half) = (drawn_in(&document, "loops", "open-loop"), drawn_in(&document, "loops", "half-loop"));
    // 10 tops, 10 undersides of the foundation; the front loops of row 1
    assert_eq!((whole, half), (20, 10));
}

#[test]
fn the_worst_place_is_where_a_stitch_was_pushed_out_of_line() {
    use fanwise::chart::{ChartInfo, compose};
    use fanwise::layout::{DrawnSizes, LayoutOptions, lay_out};
    use fanwise::symbol::SymbolSet;
    let pattern = pattern("tests/shapes/sc-swatch.txt");
    let fabric = pattern.fabric();
    let mut layout = lay_out(fabric, &DrawnSizes, &LayoutOptions::default());
    let row = fabric.rows.iter().rev().find(|r| r.order.len() > 6).unwrap();
    let pushed = row.order[row.order.len() / 2];
    layout.poses[pushed.index()].head.x += 0.5;
    let style = Style::default().with_show(vec![Show::Quality]);
    let scene = compose(fabric, &layout, &SymbolSet::house(), &style, &ChartInfo::default());
    let text = fanwise::export::svg::write(&scene);
    let document = Document::parse(&text).unwrap();
    assert!(!all(&document, "poor").is_empty(), "half a stitch out of line reads badly");
    let notes = said(&document, "quality");
    assert!(notes.iter().any(|n| n == "apart × 0.50") && notes.iter().any(|n| n.starts_with("leans ")), "{notes:?}");
    // an even swatch has nothing to show but what is all but even
    let even = drawn(&pattern, vec![Show::Quality]);
    assert!(all(&Document::parse(&even).unwrap(), "poor").is_empty());
}

/// Width and height of the drawn edge in millimetres, from the SVG.
fn edge_mm(svg: &str, stitch_mm: f64) -> (f64, f64) {
    let document = Document::parse(svg).unwrap();
    let group = all(&document, "outline").remove(0);
    let edges: Vec<_> = group.descendants().filter(|n| measured::has_class(n, "edge")).collect();
    let drawn: Vec<_> = edges.into_iter().flat_map(|n| lines(&document, n)).collect();
    let boxes = drawn.iter().map(|l| kurbo::Rect::from_points(l.a, l.b));
    let all = boxes.reduce(|a, b| a.union(b)).expect("a line");
    (all.width() * stitch_mm, all.height() * stitch_mm)
}

/// Gauge arithmetic: 12 stitches of 20 to 10 cm are 60 mm, 8 rows of 25 to 10 cm are 32 mm, whatever the chart looks like.
#[test]
fn the_outline_is_as_large_as_the_gauge_says() {
    let mut text = String::from(
        "Tag\n\nUS terms.\nGauge: 20 sc and 25 rows = 10 cm\n\nCh 13.\nRow 1: Sc in 2nd ch from hook and in each ch across. Turn. (12 sts)\n",
    );
    for row in 2..=8 {
        text += &format!("Row {row}: Ch 1, sc in each st across. Turn. (12 sts)\n");
    }
    let svg = drawn(&Pattern::read(&text), vec![Show::Outline]);
    let (width, height) = edge_mm(&svg, 5.0);
    assert!((width - 60.0).abs() < 1.5 && (height - 32.0).abs() < 1.5, "{width} by {height}");
    let document = Document::parse(&svg).unwrap();
    let [told] = said(&document, "outline").try_into().expect("one size");
    let figures: Vec<f64> = told.trim_end_matches(" mm").split(" × ").map(|n| n.parse().unwrap()).collect();
    assert!((figures[0] - 60.0).abs() <= 1.5 && (figures[1] - 32.0).abs() <= 1.5, "{told}");
    // without a gauge it has its proportions and no size
    let unsized_ = drawn(&Pattern::read(&text.replace("Gauge: 20 sc and 25 rows = 10 cm\n", "")), vec![Show::Outline]);
    let document = Document::parse(&unsized_).unwrap();
    assert_eq!(drawn_in(&document, "outline", "edge"), 1);
    assert!(said(&document, "outline").is_empty());
}

#[test]
fn the_outline_is_mirrored_with_the_work_and_has_the_size_that_is_measured() {
    use fanwise::face::Hand;
    let pattern = pattern("examples/orchard/pear.txt");
    let size = pattern.measure(&fanwise::MeasureOptions::default()).size.expect("the pear tells its gauge");
    for hand in [Hand::Right, Hand::Left] {
        let options =
            ChartOptions::default().with_style(Style::default().with_show(vec![Show::Outline])).with_hand(hand);
        let svg = pattern.chart(&options).unwrap().to_svg();
        // 18 sc to 10 cm
        let (width, height) = edge_mm(&svg, 100.0 / 18.0);
        assert!(
            (width / size.width - 1.0).abs() < 0.05 && (height / size.height - 1.0).abs() < 0.03,
            "{hand:?}: {width} by {height}, {size:?}"
        );
        // it lies on the work: nearly every stitch of the chart is within a stitch and a half of its box
        let document = Document::parse(&svg).unwrap();
        let of = |class: &str| {
            let found: Vec<_> = all(&document, class).into_iter().flat_map(|n| lines(&document, n)).collect();
            found.iter().map(|l| kurbo::Rect::from_points(l.a, l.b)).reduce(|a, b| a.union(b)).expect("lines")
        };
        let legend: Vec<_> = all(&document, "stitch").into_iter().flat_map(|n| lines(&document, n)).collect();
        let work =
            legend.iter().map(|l| kurbo::Rect::from_points(l.a, l.b)).reduce(|a, b| a.union(b)).expect("stitches");
        let edge = all(&document, "outline").remove(0);
        let edge: Vec<_> =
            edge.descendants().filter(|n| measured::has_class(n, "edge")).flat_map(|n| lines(&document, n)).collect();
        let edge = edge.iter().map(|l| kurbo::Rect::from_points(l.a, l.b)).reduce(|a, b| a.union(b)).expect("an edge");
        assert!((edge.center() - work.center()).hypot() < 1.0, "{hand:?}: {edge:?} {work:?}");
        assert!(of("edge").width() > 0.0);
    }
}

#[test]
fn in_one_black_layers_are_black_on_greys_too() {
    use fanwise::chart::InkBy;
    let style = Style::default().with_show(Show::ALL.to_vec()).with_ink(InkBy::One);
    let options = ChartOptions::default().with_style(style);
    let svg = pattern("examples/orchard/pear.txt").chart(&options).unwrap().to_svg();
    let document = Document::parse(&svg).unwrap();
    let inks = document.descendants().flat_map(|n| ["fill", "stroke"].map(|a| n.attribute(a)));
    let mut seen = 0;
    for ink in inks.flatten().filter(|i| i.starts_with('#')) {
        seen += 1;
        let part = |k: usize| u8::from_str_radix(&ink[k..k + 2], 16).unwrap();
        let (r, g, b) = (part(1), part(3), part(5));
        assert!(r == g && g == b, "{ink} is no grey");
        // black, or a tint under it that any line stands out from
        assert!(r == 0 || r > 0xb0, "{ink} is a grey line");
    }
    assert!(seen > 50, "{seen}");
}
