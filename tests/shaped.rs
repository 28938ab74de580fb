//! Shaped pieces taken apart, measured in the SVG.

mod measured;

use fanwise::face::PartChoice;
use fanwise::{ChartOptions, Pattern};
use kurbo::Rect;
use measured::{Line, all, covered, lines, words};
use roxmltree::Document;
use std::collections::BTreeMap;
use std::path::Path;

const PLUM: &str = "tests/mends/patterns/plum-toy.txt";
const CHERRY: &str = "tests/mends/patterns/cherry-ball.txt";
const CUP: &str = "tests/shapes/cup.txt";

fn pattern(name: &str) -> Pattern {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(name);
    Pattern::read(&std::fs::read_to_string(path).unwrap())
}

fn apart(pattern: &Pattern) -> Result<String, String> {
    let options = ChartOptions::default().with_part(PartChoice::default().with_shaped(true));
    pattern.chart(&options).map(|c| c.to_svg()).map_err(|e| e.to_string())
}

fn bounds(lines: &[Line]) -> Rect {
    lines.iter().map(|l| Rect::from_points(l.a, l.b)).reduce(|a, b| a.union(b)).unwrap()
}

/// The boxes of the stitches of every row, joins and turning chains too.
fn boxes(document: &Document) -> BTreeMap<usize, Vec<Rect>> {
    let mut rows: BTreeMap<usize, Vec<Rect>> = BTreeMap::new();
    for node in all(document, "stitch") {
        let row = node.parent().unwrap().attribute("data-row").unwrap().parse().unwrap();
        rows.entry(row).or_default().push(bounds(&lines(document, node)));
    }
    rows
}

fn around(boxes: &[Rect]) -> Rect {
    boxes.iter().copied().reduce(|a, b| a.union(b)).unwrap()
}

#[test]
fn what_grows_is_a_disc_and_the_rest_lies_open_beside_it() {
    // pattern, rounds of the disc
    for (name, disc) in [(PLUM, 5), (CHERRY, 4), (CUP, 4)] {
        let pattern = pattern(name);
        let fabric = pattern.fabric();
        let text = apart(&pattern).unwrap();
        let document = Document::parse(&text).unwrap();
        assert_eq!(all(&document, "stitch").len(), fabric.stitches.len(), "{name}: every stitch once");
        let rows = boxes(&document);
        let rounds: Vec<usize> = rows.keys().copied().filter(|&r| fabric.rows[r].label.starts_with("Round")).collect();
        let (inner, open) = rounds.split_at(disc);
        let flat = around(&inner.iter().flat_map(|r| rows[r].clone()).collect::<Vec<_>>());
        // rings about one middle, each within the next
        for pair in inner.windows(2) {
            let (small, large) = (around(&rows[&pair[0]]), around(&rows[&pair[1]]));
            assert!(small.width() < large.width() && small.height() < large.height(), "{name}");
            assert!((small.center() - large.center()).hypot() < 1.0, "{name}");
        }
        for pair in open.windows(2) {
            let (low, high) = (around(&rows[&pair[0]]), around(&rows[&pair[1]]));
            assert!(low.x0 > flat.x1 + 1.0, "{name}: beside the disc");
            assert!(high.center().y < low.center().y - 0.5, "{name}: each round above the one it stands on");
            assert!(high.width() < low.width() + 0.5, "{name}: no round that narrows is drawn as growth");
        }
        let bad = covered(&words(&document), &lines(&document, document.root_element()));
        assert!(bad.is_empty(), "{name}: {bad:#?}");
        let options = ChartOptions::default().with_part(PartChoice::default().with_shaped(true));
        let chart = pattern.chart(&options).unwrap();
        assert!(fanwise::chart::overlaps(chart.scene(), fabric).pairs.is_empty(), "{name}: symbols lie on each other");
    }
}

/// Six times "(sc, inc)": six gores, whose stitches are those of one pass each.
#[test]
fn what_narrows_is_cut_into_a_gore_for_each_repeat() {
    for name in [PLUM, CHERRY] {
        let pattern = pattern(name);
        let text = apart(&pattern).unwrap();
        let document = Document::parse(&text).unwrap();
        let fabric = pattern.fabric();
        let rows = boxes(&document);
        for (row, boxes) in rows.iter().filter(|(r, _)| **r >= fabric.rows.len() - 3) {
            let mut sides: Vec<(f64, f64)> = boxes.iter().map(|b| (b.x0, b.x1)).collect();
            sides.sort_by(|a, b| a.0.total_cmp(&b.0));
            let mut reach = f64::NEG_INFINITY;
            let mut groups = 0;
            for (from, to) in sides {
                groups += usize::from(from > reach + 0.9);
                reach = reach.max(to);
            }
            assert_eq!(groups, 6, "{name}, row {row}");
        }
    }
}

#[test]
fn the_table_has_every_round_with_its_stitches_and_its_change() {
    let pattern = pattern(PLUM);
    let text = apart(&pattern).unwrap();
    let document = Document::parse(&text).unwrap();
    let cells: Vec<_> = words(&document).into_iter().filter(|w| w.class == "table").collect();
    let mut by_line: Vec<Vec<(f64, String)>> = Vec::new();
    let mut heights: Vec<f64> = Vec::new();
    for node in all(&document, "table") {
        let (x, y): (f64, f64) =
            (node.attribute("x").unwrap().parse().unwrap(), node.attribute("y").unwrap().parse().unwrap());
        let at = heights.iter().position(|h| (h - y).abs() < 1e-6).unwrap_or_else(|| {
            heights.push(y);
            by_line.push(Vec::new());
            heights.len() - 1
        });
        by_line[at].push((x, node.text().unwrap().to_owned()));
    }
    let read: Vec<Vec<String>> = by_line
        .into_iter()
        .map(|mut l| {
            l.sort_by(|a, b| a.0.total_cmp(&b.0));
            l.into_iter().map(|c| c.1).collect()
        })
        .collect();
    // the stitches are those the pattern states in brackets
    let stated = [6, 12, 18, 24, 30, 30, 30, 24, 18, 12, 6];
    assert_eq!(read[0], ["round", "sts", "change"]);
    for (k, n) in stated.iter().enumerate() {
        let change = if k == 0 { None } else { Some(n - stated[k - 1]) };
        let change = change.map(|c: i32| if c > 0 { format!("+{c}") } else { c.to_string().replace('-', "−") });
        let line: Vec<String> =
            [Some((k + 1).to_string()), Some(n.to_string()), change].into_iter().flatten().collect();
        assert_eq!(read[k + 1], line);
    }
    assert_eq!(read.len(), 12);
    assert!(cells.iter().all(|c| c.bounds.width() > 0.0));
}

#[test]
fn a_flat_piece_is_not_taken_apart() {
    for name in ["examples/orchard/pear.txt", "tests/shapes/sc-circle.txt", "tests/shapes/shell-doily.txt"] {
        assert_eq!(
            apart(&pattern(name)),
            Err("no piece here is worked in rounds that go on beyond a disc".into()),
            "{name}"
        );
    }
}

/// Petals in the front loops of round 2, and behind them a round in its back loops with petals of its own.
const BLOSSOM: &str = "Apple Blossom

US terms.
Ch 1 at the start of a round does not count as a stitch.

Make a magic ring.
Rnd 1 (RS): Ch 1, 6 sc in ring. Join with sl st to first sc. (6 sc)
Rnd 2: Ch 1, 2 sc in each st around. Join with sl st to first sc. (12 sc)
Rnd 3: Ch 1, working in front loops only, [(sc, hdc, dc, hdc, sc) in next st, sl st in next st] 6 times. Join with sl st to first sc.
Rnd 4: Ch 1, sc in each unused back loop of rnd 2. Join with sl st to first sc. (12 sc)
Rnd 5: Ch 1, [(sc, hdc, 3 dc, hdc, sc) in next st, sl st in next st] 6 times. Join with sl st to first sc.
";

#[test]
fn layers_stand_apart_each_on_the_round_it_is_worked_into() {
    let pattern = Pattern::read(BLOSSOM);
    assert!(pattern.is_sound(), "{:?}", pattern.problems());
    let options = ChartOptions::default().with_part(PartChoice::default().with_layers(true));
    let chart = pattern.chart(&options).unwrap();
    let text = chart.to_svg();
    let document = Document::parse(&text).unwrap();
    assert_eq!(all(&document, "stitch").len(), pattern.fabric().stitches.len(), "every stitch once");
    let rows = boxes(&document);
    let of = |labels: &[&str]| {
        let fits = rows.iter().filter(|(r, _)| labels.contains(&pattern.fabric().rows[**r].label.as_str()));
        around(&fits.flat_map(|(_, b)| b.clone()).collect::<Vec<_>>())
    };
    let (front, back) = (of(&["Round 1", "Round 2", "Round 3"]), of(&["Round 4", "Round 5"]));
    assert!(back.x0 > front.x1 + 1.0, "the layer behind stands beside");
    // the line of round 2 lies within round 4, about its middle
    let base: Vec<Line> = all(&document, "base").into_iter().flat_map(|n| lines(&document, n)).collect();
    let (base, fourth) = (bounds(&base), of(&["Round 4"]));
    assert!(fourth.contains(base.center()) && base.width() < fourth.width());
    assert!((base.center() - fourth.center()).hypot() < 0.6);
    let said: Vec<String> = words(&document).into_iter().filter(|w| w.class == "note").map(|w| w.text).collect();
    assert_eq!(said, ["round 1 to 3, in front", "round 4 to 5, behind, on round 2"]);
    let bad = covered(&words(&document), &lines(&document, document.root_element()));
    assert!(bad.is_empty(), "{bad:#?}");
    let flat = pattern_of("examples/orchard/apple.txt", PartChoice::default().with_layers(true));
    assert_eq!(flat, Err("no row here goes behind another".into()));
}

fn pattern_of(name: &str, part: PartChoice) -> Result<String, String> {
    let chart = pattern(name).chart(&ChartOptions::default().with_part(part));
    chart.map(|c| c.to_svg()).map_err(|e| e.to_string())
}

/// A body, wings to be sewn on, and the sentence that says where.
const BIRD: &str = "Orchard Bird

US terms.

Body

Rnd 1: 6 sc in magic ring. (6 sts)
Rnd 2: 2 sc in each st around. (12 sts)
Rnd 3: [Sc in next st, 2 sc in next st] 6 times. (18 sts)
Fasten off.

Wing (make 2)

Ch 6.
Row 1: Sc in 2nd ch from hook, hdc in next ch, dc in next 2 ch, sc in last ch. (5 sts)
Fasten off.

Making up
Sew the wings to rnd 3 of the body, 5 sts apart.
";

#[test]
fn a_placement_drawing_names_every_part_and_says_how_it_is_sewn_on() {
    let part = PartChoice::default().with_placement(true);
    let text = Pattern::read(BIRD).chart(&ChartOptions::default().with_part(part.clone())).unwrap().to_svg();
    let document = Document::parse(&text).unwrap();
    let said: Vec<(String, String)> = words(&document).into_iter().map(|w| (w.class, w.text)).collect();
    let of = |class: &str| said.iter().filter(|s| s.0 == class).map(|s| s.1.as_str()).collect::<Vec<_>>();
    assert_eq!(of("note"), ["Body", "Wing, make 2"]);
    assert_eq!(of("words").join(" "), "Sew the wings to rnd 3 of the body, 5 sts apart.");
    // two strokes a part: its ink, and its pale inside over it
    assert_eq!(all(&document, "outline").len(), 4);
    assert!(all(&document, "seam").is_empty(), "neither is worked on the other");
    let bad = covered(&words(&document), &lines(&document, document.root_element()));
    assert!(bad.is_empty(), "{bad:#?}");
    // a part worked on another is in its place, and the line where it begins is drawn
    let text = pattern_of("examples/orchard/apple.txt", part).unwrap();
    let document = Document::parse(&text).unwrap();
    assert_eq!(all(&document, "seam").len(), 1);
    let outlines = all(&document, "outline");
    let (apple, stem) = (bounds(&lines(&document, outlines[0])), bounds(&lines(&document, outlines[2])));
    assert!(apple.intersect(stem).area() > 0.0, "the stem begins on the apple");
    let bad = covered(&words(&document), &lines(&document, document.root_element()));
    assert!(bad.is_empty(), "{bad:#?}");
}
