//! The SVG a chart is written as: its hooks, its safety, its sameness.

mod chart;

use chart::{GALLERY, gallery, piece};
use fanwise::chart::{ChartInfo, InkBy, Style, compose, overlaps};
use fanwise::export::svg;
use fanwise::fabric::StitchId;
use fanwise::symbol::{Speak, SymbolSet};
use roxmltree::{Document, Node};
use std::collections::BTreeSet;

fn classes<'a>(node: &Node<'a, '_>) -> Vec<&'a str> {
    node.attribute("class").unwrap_or("").split(' ').collect()
}

#[test]
fn every_stitch_has_one_element_with_its_hooks() {
    for (name, piece) in gallery(&Style::default()) {
        let text = svg::write(&piece.scene);
        let document = Document::parse(&text).unwrap();
        let root = document.root_element();
        assert_eq!(root.attribute("class"), Some("fanwise"));
        assert_eq!(root.attribute("role"), Some("img"));
        let first: Vec<_> = root.children().filter(Node::is_element).take(2).map(|n| n.tag_name().name()).collect();
        assert_eq!(first, ["title", "desc"]);
        let rows: Vec<_> = root.descendants().filter(|n| classes(n).contains(&"row")).collect();
        assert_eq!(rows.len(), piece.fabric.rows.len(), "{name}");
        let mut stitches = 0;
        for row in &rows {
            let index: usize = row.attribute("data-row").unwrap().parse().unwrap();
            for (at, node) in row.children().filter(|n| classes(n).contains(&"stitch")).enumerate() {
                let id: usize = node.attribute("data-stitch").unwrap().parse().unwrap();
                let stitch = piece.fabric.stitch(StitchId::new(id));
                assert_eq!(stitch.row.index(), index, "{name}");
                let class = stitch.kind.replace(' ', "-");
                assert_eq!(classes(&node), ["stitch", class.as_str()], "{name}");
                let span = format!("{},{}", stitch.span.start, stitch.span.end);
                assert_eq!(node.attribute("data-span"), Some(span.as_str()), "{name}");
                let own = format!("{}-r{index}-s{}", piece.scene.prefix, at + 1);
                assert_eq!(node.attribute("id"), Some(own.as_str()), "{name}");
                stitches += 1;
            }
        }
        assert_eq!(stitches, piece.fabric.stitches.len(), "{name}");
        let everywhere = root.descendants().filter(|n| classes(n).contains(&"stitch")).count();
        assert_eq!(everywhere, stitches, "{name}: legend and labels carry no stitch class");
    }
}

#[test]
fn ids_are_told_once_and_every_link_has_its_shape() {
    for (name, piece) in gallery(&Style::default()) {
        let text = svg::write(&piece.scene);
        let document = Document::parse(&text).unwrap();
        let mut ids = BTreeSet::new();
        for node in document.descendants().filter(Node::is_element) {
            if let Some(id) = node.attribute("id") {
                assert!(ids.insert(id.to_owned()), "{name}: {id} twice");
            }
        }
        for node in document.descendants() {
            if let Some(link) = node.attribute(("http://www.w3.org/1999/xlink", "href")) {
                assert!(ids.contains(link.trim_start_matches('#')), "{name}: {link}");
            }
        }
    }
}

#[test]
fn a_file_has_nothing_that_runs_or_comes_from_outside() {
    for (name, piece) in gallery(&Style::default()) {
        let text = svg::write(&piece.scene);
        for word in ["<script", "<foreignObject", "<image", "url(", "@import", "NaN", "inf"] {
            assert!(!text.contains(word), "{name}: {word}");
        }
        assert!(!text.contains("href=\"http"), "{name}");
        // what a reader of paints cannot read stands where it is passed over
        let (before, style) = text.split_once("<style>@supports (color:var(--a)){").expect("rules");
        let (style, after) = style.split_once("}</style>").expect("their end");
        assert!(!before.contains("var(") && !after.contains("var("), "{name}");
        assert_eq!(style.matches('{').count(), style.matches('}').count(), "{name}");
    }
}

#[test]
fn the_same_words_give_the_same_bytes() {
    for (name, text) in GALLERY {
        let once = svg::write(&piece(text, &Style::default()).scene);
        let again = svg::write(&piece(text, &Style::default()).scene);
        assert_eq!(once, again, "{name}");
    }
}

#[test]
fn words_of_the_pattern_cannot_break_the_file() {
    let text =
        "Pear & <leaf> \"acorn\" ]]>\n\nCh 5.\n\nRow 1 (RS): Sc in 2nd ch from hook and in each ch across. (4 sc)\n";
    let piece = piece(text, &Style::default());
    let info =
        ChartInfo::titled("</title><script>alert(1)</script>\u{0}").with_credit("a < b & c").with_prefix("\"><x");
    let scene = compose(&piece.fabric, &piece.layout, &SymbolSet::house(), &Style::default(), &info);
    let text = svg::write(&scene);
    let document = Document::parse(&text).unwrap();
    assert!(!document.descendants().any(|n| n.tag_name().name() == "script"));
}

#[test]
fn the_description_can_be_read_aloud_row_by_row() {
    let piece = piece(GALLERY[0].1, &Style::default());
    assert!(piece.scene.desc.starts_with("Crochet chart of Leaf swatch, 4 rows."), "{}", piece.scene.desc);
    assert!(piece.scene.desc.contains("\nRow 2: 1 chain, 12 single crochet."), "{}", piece.scene.desc);
}

#[test]
fn a_chart_speaks_the_dialect_asked_for() {
    let piece = piece(GALLERY[0].1, &Style::default().with_speak(Speak::Uk));
    let words: Vec<_> = piece.scene.labels.iter().map(|l| l.text.as_str()).collect();
    assert!(words.contains(&"dc – double crochet") && words.contains(&"tr – treble crochet"), "{words:?}");
    assert_eq!(piece.scene.lang, "en-GB");
}

#[test]
fn inks_tell_the_yarn_where_asked() {
    let text = GALLERY.iter().find(|g| g.0 == "acorn-colours").unwrap().1;
    let piece = piece(text, &Style::default().with_ink(InkBy::Yarn));
    for figure in piece.scene.figures() {
        let yarn = &piece.fabric.stitch(figure.stitch).colour;
        let other =
            piece.scene.figures().find(|f| f.ink == figure.ink && piece.fabric.stitch(f.stitch).colour != *yarn);
        assert!(other.is_none(), "one ink for two yarns");
    }
}

#[test]
fn stitches_in_doubt_are_marked_under_the_work() {
    let piece = piece(GALLERY[0].1, &Style::default());
    let info = ChartInfo::titled("Leaf").with_doubtful(vec![StitchId::new(20), StitchId::new(20)]);
    let scene = compose(&piece.fabric, &piece.layout, &SymbolSet::house(), &Style::default(), &info);
    assert_eq!(scene.tints.len(), 1);
    let text = svg::write(&scene);
    assert!(text.find("class=\"doubts\"").unwrap() < text.find("class=\"work\"").unwrap());
    assert!(text.contains("stroke-dasharray"));
}

#[test]
fn good_charts_have_no_overlaps_and_a_stitch_pushed_onto_another_is_found() {
    let text = "Pear\n\nCh 9.\n\nRow 1 (RS): Sc in 2nd ch from hook and in each ch across. (8 sc)\n";
    let mut piece = piece(text, &Style::default());
    assert!(overlaps(&piece.scene, &piece.fabric).pairs.is_empty());
    let (victim, other) = (StitchId::new(11), StitchId::new(13));
    piece.layout.poses[victim.index()] = piece.layout.poses[other.index()].clone();
    let scene = compose(&piece.fabric, &piece.layout, &SymbolSet::house(), &Style::default(), &ChartInfo::default());
    let found = overlaps(&scene, &piece.fabric);
    assert_eq!(found.pairs.len(), 1);
    assert_eq!((found.pairs[0].0, found.pairs[0].1), (victim, other));
    // the area of one whole sc, two strokes less the square where they cross: 0.09 × (0.81 + 0.72 − 0.09), caps included
    assert!((found.area() - 0.13).abs() < 0.03, "{}", found.area());
}

#[test]
fn a_stitch_and_the_chain_beside_it_on_the_yarn_overlap_like_any_others() {
    let text =
        "Loop\n\nCh 9.\n\nRow 1 (RS): Sc in 2nd ch from hook, ch 3, skip 3 ch, sc in next 4 ch. (5 sc, 1 ch-3 sp)\n";
    let mut piece = piece(text, &Style::default());
    assert!(overlaps(&piece.scene, &piece.fabric).pairs.is_empty());
    let stitch = piece.fabric.rows[1].order[0];
    let chain = StitchId::new(stitch.index() + 1);
    let pose = piece.layout.pose(stitch).clone();
    let beneath = &mut piece.layout.poses[chain.index()];
    beneath.lying.as_mut().expect("a chain lies").at = pose.head.midpoint(pose.feet[0]);
    let scene = compose(&piece.fabric, &piece.layout, &SymbolSet::house(), &Style::default(), &ChartInfo::default());
    let found = overlaps(&scene, &piece.fabric).pairs;
    assert!(found.iter().any(|&(a, b, _)| (a, b) == (stitch, chain)), "{found:?}");
}

/// A doily of a thousand stitches, as a site would have it in a page.
fn thousand_stitches() -> String {
    let mut text = String::from(
        "Doily\n\nUS terms. Ch 3 at the start of a round counts as a dc.\n\nCh 6; join with sl st to form a ring.\n\nRnd 1: Ch 3, 11 dc in ring, join with sl st to top of ch 3. (12 dc)\n\nRnd 2: Ch 3, dc in same st, 2 dc in each st around, join with sl st to top of ch 3. (24 dc)\n",
    );
    for n in 3..=11 {
        let plain = match n - 2 {
            1 => "dc in next st".to_owned(),
            more => format!("dc in next {more} sts"),
        };
        let first = match n - 2 {
            1 => String::new(),
            more => format!("dc in next {} sts, ", more - 1).replace("next 1 sts", "next st"),
        };
        text += &format!(
            "\nRnd {n}: Ch 3, {first}2 dc in next st, *{plain}, 2 dc in next st; rep from * 10 times more, join with sl st to top of ch 3. ({} dc)\n",
            12 * n
        );
    }
    text += "\nRnd 12: Ch 1, sc in same st, *ch 3, skip 2 sts, sc in next st; rep from * 42 times more, ch 3, skip 2 sts, join with sl st to first sc. (44 sc)\n";
    text
}

/// At most 220 bytes a stitch, furniture and description included.
#[test]
fn a_chart_of_a_thousand_stitches_is_small() {
    let pattern = fanwise::Pattern::read(&thousand_stitches());
    assert!(pattern.is_sound(), "{:?}", pattern.problems().first());
    let n = pattern.fabric().stitches.len();
    assert!(n >= 1000, "{n}");
    let svg = pattern.chart(&fanwise::ChartOptions::default()).expect("a chart").to_svg();
    let each = svg.len() as f64 / n as f64;
    println!("{n} stitches, {} bytes, {each:.0} a stitch", svg.len());
    assert!(each <= 220.0, "{each:.0} bytes a stitch");
}

/// Ids of one chart are never those of another, nor, with a prefix, of the same chart twice.
#[test]
fn ten_charts_in_one_page_share_no_id() {
    let mut ids = BTreeSet::new();
    let mut add = |svg: &str| {
        for node in Document::parse(svg).unwrap().descendants() {
            if let Some(id) = node.attribute("id") {
                assert!(ids.insert(id.to_owned()), "{id}");
            }
        }
    };
    for (_, piece) in gallery(&Style::default()) {
        add(&svg::write(&piece.scene));
    }
    for prefix in ["first", "second"] {
        let options = fanwise::ChartOptions::default().with_prefix(Some(prefix.into()));
        add(&fanwise::Pattern::read(GALLERY[0].1).chart(&options).unwrap().to_svg());
    }
    assert!(ids.iter().all(|id| id.starts_with(|c: char| c.is_ascii_alphabetic())));
}
