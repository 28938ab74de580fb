//! Charts of a part, measured in the SVG: what is drawn in ink, what in grey, and where a repeat begins and ends.

mod measured;
mod program;

use fanwise::chart::Style;
use fanwise::fabric::{Fabric, StitchId};
use fanwise::face::PartChoice;
use fanwise::{ChartOptions, Pattern};
use kurbo::{Point, Rect};
use measured::{Line, all, covered, lines, words};
use program::Folder;
use roxmltree::{Document, Node};
use std::collections::BTreeSet;
use std::path::Path;

const GREY: &str = "#8c8c8c";

fn pattern(name: &str) -> Pattern {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(name);
    Pattern::read(&std::fs::read_to_string(path).unwrap())
}

fn drawn(pattern: &Pattern, part: PartChoice) -> String {
    let options = ChartOptions::default().with_style(Style::default()).with_part(part);
    pattern.chart(&options).unwrap().to_svg()
}

/// Stitches drawn in ink, and stitches drawn in grey.
fn inked(document: &Document) -> (BTreeSet<usize>, BTreeSet<usize>) {
    let (mut full, mut faded) = (BTreeSet::new(), BTreeSet::new());
    for node in all(document, "stitch") {
        let id: usize = node.attribute("data-stitch").unwrap().parse().unwrap();
        let own = node.descendants().find_map(|n| n.attribute("stroke").filter(|s| *s != "none"));
        let fill = node.descendants().find_map(|n| n.attribute("fill").filter(|s| *s != "none"));
        let row = node.ancestors().find_map(|n| n.attribute("stroke"));
        let ink = fill.or(own).or(row).unwrap();
        if ink == GREY {
            faded.insert(id)
        } else {
            full.insert(id)
        };
    }
    (full, faded)
}

/// The stitches of one row that are in a set, in the order of the row's line.
fn in_row(fabric: &Fabric, row: usize, ids: &BTreeSet<usize>) -> Vec<usize> {
    fabric.rows[row].order.iter().map(|id| id.index()).filter(|id| ids.contains(id)).collect()
}

fn bounds(lines: &[Line]) -> Rect {
    lines.iter().map(|l| Rect::from_points(l.a, l.b)).reduce(|a, b| a.union(b)).unwrap()
}

/// Distance between two straight pieces of ink, walked along the first.
fn apart(one: &Line, other: &Line) -> f64 {
    let steps = ((one.b - one.a).hypot() / 0.01).ceil().max(1.0) as usize;
    let to = |p: Point| {
        let v = other.b - other.a;
        let t = if v.hypot2() > 0.0 { ((p - other.a).dot(v) / v.hypot2()).clamp(0.0, 1.0) } else { 0.0 };
        (p - (other.a + v * t)).hypot()
    };
    let least = (0..=steps).map(|k| to(one.a.lerp(one.b, k as f64 / steps as f64))).fold(f64::INFINITY, f64::min);
    least - one.half - other.half
}

/// The bounds of a chart touch no symbol and no label lies on anything.
fn stands_free(name: &str, document: &Document) {
    let is_bound = |n: &Node| measured::has_class(n, "bound");
    let marks: Vec<Line> = all(document, "bound").into_iter().flat_map(|n| lines(document, n)).collect();
    assert!(!marks.is_empty(), "{name}");
    let symbols: Vec<Line> =
        all(document, "stitch").into_iter().filter(|n| !is_bound(n)).flat_map(|n| lines(document, n)).collect();
    for bound in &marks {
        let near = |l: &&Line| {
            Rect::from_points(l.a, l.b)
                .inflate(0.3, 0.3)
                .intersect(Rect::from_points(bound.a, bound.b).inflate(0.3, 0.3))
                .area()
                > 0.0
        };
        let gap = symbols.iter().filter(near).map(|l| apart(bound, l)).fold(f64::INFINITY, f64::min);
        assert!(gap > 0.0, "{name}: a bound at {:?} touches a symbol by {gap}", bound.a);
    }
    let bad = covered(&words(document), &lines(document, document.root_element()));
    assert!(bad.is_empty(), "{name}: {bad:#?}");
}

/// The multiple as the words have it: row 1 of the shells takes 2 + 1 + 2 + 1 chains, of the ripple 4 + 3 + 4 + 1.
#[test]
fn one_repeat_of_rows_runs_from_star_to_semicolon_with_its_number_beneath() {
    for (name, says) in [("tests/shapes/shells.txt", "6 sts"), ("tests/shapes/sc-ripple.txt", "12 sts")] {
        let pattern = pattern(name);
        let fabric = pattern.fabric();
        let text = drawn(&pattern, PartChoice::default().with_one_repeat(true));
        let document = Document::parse(&text).unwrap();
        let (full, faded) = inked(&document);
        for row in 1..fabric.rows.len() {
            let shown = in_row(fabric, row, &full);
            let pass: BTreeSet<_> = shown.iter().map(|&id| fabric.stitch(StitchId::new(id)).pass.clone()).collect();
            assert_eq!(pass.len(), 1, "{name}, row {row}: stitches of one pass only");
            let pass = pass.into_iter().next().unwrap();
            let whole = fabric.rows[row].order.iter().filter(|&&id| fabric.stitch(id).pass == pass).count();
            assert_eq!(shown.len(), whole, "{name}, row {row}: all of the pass");
            // half a neighbour on each side
            let order: Vec<usize> = fabric.rows[row].order.iter().map(|id| id.index()).collect();
            let (first, last) =
                (order.iter().position(|o| *o == shown[0]), order.iter().position(|o| o == shown.last().unwrap()));
            let half = shown.len().div_ceil(2);
            let (first, last) = (first.unwrap(), last.unwrap());
            let sides = order[first.saturating_sub(half)..first].iter().chain(order[last + 1..].iter().take(half));
            let told: BTreeSet<usize> = sides.copied().collect();
            assert_eq!(in_row(fabric, row, &faded).into_iter().collect::<BTreeSet<_>>(), told, "{name}, row {row}");
        }
        let notes: Vec<_> = all(&document, "note").iter().filter_map(|n| n.text().map(str::to_owned)).collect();
        assert_eq!(notes, [says], "{name}");
        // beneath: under every stitch, between the outermost bounds
        let note = words(&document).into_iter().find(|w| w.class == "note").unwrap().bounds;
        let stitches: Vec<Line> = all(&document, "stitch").into_iter().flat_map(|n| lines(&document, n)).collect();
        assert!(note.y0 > bounds(&stitches).y1, "{name}");
        assert!(
            all(&document, "bound").len() > 2 * (fabric.rows.len() - 1),
            "{name}: two bounds a row and the bracket"
        );
        let marks: Vec<Line> = all(&document, "bound").into_iter().flat_map(|n| lines(&document, n)).collect();
        assert!(note.x0 > bounds(&marks).x0 && note.x1 < bounds(&marks).x1, "{name}");
        stands_free(name, &document);
    }
}

/// Sectors as the words repeat: six sides, eight or six times, four corners.
#[test]
fn one_sector_of_rounds_says_how_often_it_is_worked_and_the_first_round_is_whole() {
    let cases = [
        ("tests/shapes/sc-hexagon.txt", 6),
        ("tests/shapes/shell-doily.txt", 8),
        ("tests/shapes/pineapple-doily.txt", 6),
        ("tests/shapes/chain-loop-doily.txt", 12),
        ("examples/orchard/coaster.txt", 4),
    ];
    for (name, times) in cases {
        let pattern = pattern(name);
        let fabric = pattern.fabric();
        let text = drawn(&pattern, PartChoice::default().with_one_repeat(true));
        let document = Document::parse(&text).unwrap();
        let (full, faded) = inked(&document);
        let rounds: Vec<usize> = (0..fabric.rows.len()).filter(|&r| !fabric.rows[r].order.is_empty()).collect();
        let rounds: Vec<usize> = rounds.into_iter().filter(|&r| fabric.rows[r].label.starts_with("Round")).collect();
        assert_eq!(
            in_row(fabric, rounds[0], &full).len(),
            fabric.rows[rounds[0]].order.len(),
            "{name}: the first is whole"
        );
        for &row in &rounds[1..] {
            let (shown, all) = (in_row(fabric, row, &full).len(), fabric.rows[row].order.len());
            let grey = in_row(fabric, row, &faded).len();
            assert!(
                shown == all || (shown * times == all && grey == 2 * shown.div_ceil(2)),
                "{name}, {row}: {shown} of {all}, {grey} in grey"
            );
        }
        let outer = *rounds.last().unwrap();
        assert_eq!(in_row(fabric, outer, &full).len() * times, fabric.rows[outer].order.len(), "{name}");
        let said = format!("repeat {times} times");
        assert!(words(&document).iter().any(|w| w.class == "note" && w.text == said), "{name}: {said}");
        stands_free(name, &document);
    }
}

#[test]
fn chosen_rows_are_in_ink_and_what_they_stand_on_in_grey() {
    let pattern = pattern("examples/orchard/pear.txt");
    let fabric = pattern.fabric();
    let text = drawn(&pattern, PartChoice::default().with_rows(vec![2..=3]));
    let document = Document::parse(&text).unwrap();
    let (full, faded) = inked(&document);
    assert!(
        full.iter()
            .all(|&id| ["Row 2", "Row 3"].contains(&fabric.row(fabric.stitch(StitchId::new(id)).row).label.as_str()))
    );
    assert_eq!(in_row(fabric, 2, &full).len(), 34);
    assert_eq!(in_row(fabric, 3, &full).len(), 37);
    assert_eq!(in_row(fabric, 1, &faded).len(), 31, "row 2 stands on all of row 1");
    // of the foundation only the chain that turned row 1, at its edge
    let of_foundation = |ids: &BTreeSet<usize>| ids.iter().filter(|&&id| id < 14).copied().collect::<Vec<_>>();
    assert_eq!((of_foundation(&faded), of_foundation(&full)), (vec![13], vec![]));
    let numbers: Vec<_> = all(&document, "row-number").iter().filter_map(|n| n.text().map(str::to_owned)).collect();
    assert_eq!(numbers, ["2", "3"]);
    // every stitch stands where the whole chart has it
    let whole = drawn(&pattern, PartChoice::default());
    let whole = Document::parse(&whole).unwrap();
    let path = |d: &Document, id: usize| {
        let id = id.to_string();
        let node = all(d, "stitch").into_iter().find(|n| n.attribute("data-stitch") == Some(&id)).unwrap();
        node.attribute("d").map(str::to_owned)
    };
    assert!(full.iter().all(|&id| path(&document, id) == path(&whole, id) || path(&whole, id).is_none()));
}

#[test]
fn a_part_is_drawn_by_its_name_with_what_it_was_joined_to() {
    let pattern = pattern("examples/orchard/apple.txt");
    let fabric = pattern.fabric();
    let text = drawn(&pattern, PartChoice::default().with_part(Some("stem AND leaf".into())));
    let document = Document::parse(&text).unwrap();
    let (full, faded) = inked(&document);
    let part = |id: &usize| fabric.row(fabric.stitch(StitchId::new(*id)).row).part.index();
    assert!(full.iter().all(|id| part(id) == 1) && !full.is_empty());
    assert!(faded.iter().all(|id| part(id) == 0) && !faded.is_empty());
    // the legend speaks of what is drawn: no ring of thread, which lies far within
    let legend: Vec<_> = all(&document, "legend-words").iter().filter_map(|n| n.text().map(str::to_owned)).collect();
    assert!(legend.iter().any(|l| l.starts_with("hdc")) && !legend.iter().any(|l| l.contains("ring")), "{legend:?}");
}

#[test]
fn what_is_not_there_is_told_and_nothing_is_written() {
    let folder = Folder::new("part-wrong");
    folder.file(
        "pear.txt",
        std::fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/orchard/pear.txt")).unwrap(),
    );
    let told = |args: &[&str], code: i32| {
        let run = folder.run(&[&["draw", "pear.txt", "-o", "out.svg"], args].concat());
        assert_eq!((run.code, folder.names()), (code, vec!["pear.txt".to_owned()]), "{args:?}: {}", run.err);
        run.err
    };
    assert!(told(&["--part", "Stalk"], 2).contains("there is no part \"Stalk\"; the parts are \"Pear\""));
    assert!(told(&["--rows", "4-6"], 2).contains("there is no row from 4 to 6; the last is 3"));
    assert!(told(&["--rows", "3-1"], 2).contains("it runs backwards: write 1-3"));
    assert!(told(&["--rows", "all"], 2).contains("no number of a row"));
    assert!(told(&["--one-repeat"], 2).contains("nothing repeats here"));
}

/// A filet of three rows, and its squares as they are read off the words by hand, each row from left to right seen from the
/// right side: row 1 and 3 run leftward, row 2 rightward.
const GATE: &str = "Orchard Gate

US terms.
Ch 3 counts as dc throughout. Ch 5 counts as dc and ch 2.

Ch 24.
Row 1 (RS): Dc in 4th ch from hook and in next 2 ch, [ch 2, skip 2 ch, dc in next ch] 4 times, dc in next 3 ch, ch 2, skip 2 ch, dc in last ch. Turn.
Row 2: Ch 5, skip next ch-2 sp, dc in next dc, ch 2, skip next 2 dc, dc in next dc, [2 dc in next ch-2 sp, dc in next dc] twice, ch 2, skip next ch-2 sp, dc in next dc, ch 2, skip next ch-2 sp, dc in next dc, ch 2, skip next 2 dc, dc in last dc. Turn.
Row 3: Ch 3, 2 dc in next ch-2 sp, dc in next dc, [ch 2, skip next ch-2 sp, dc in next dc] twice, [dc in next 3 dc] twice, ch 2, skip next ch-2 sp, dc in next dc, ch 2, skip next ch-2 sp, dc in last st.
";
const GATE_SQUARES: [&str; 3] = [".#....#", "..##...", "..##..#"];

#[test]
fn squares_are_those_of_the_words() {
    let pattern = Pattern::read(GATE);
    assert!(pattern.is_sound(), "{:?}", pattern.problems());
    let text = drawn(&pattern, PartChoice::default().with_squares(true));
    let document = Document::parse(&text).unwrap();
    assert!(all(&document, "row").is_empty() && all(&document, "stitch").is_empty());
    let in_legend = |n: &Node| n.ancestors().any(|a| measured::has_class(&a, "legend"));
    let mut cells: Vec<(Rect, bool)> = Vec::new();
    for node in all(&document, "cell").into_iter().filter(|n| !in_legend(n)) {
        let black = node.descendants().any(|n| n.attribute("fill").is_some_and(|f| f != "none"));
        cells.push((bounds(&lines(&document, node)), black));
        assert_eq!(black, measured::has_class(&node, "filled"));
    }
    // rows from the bottom up, cells from left to right
    cells.sort_by(|a, b| b.0.y0.total_cmp(&a.0.y0).then(a.0.x0.total_cmp(&b.0.x0)));
    for (row, expected) in cells.chunks(7).zip(GATE_SQUARES) {
        let read: String = row.iter().map(|c| if c.1 { '#' } else { '.' }).collect();
        assert_eq!(read, expected);
        assert!(
            row.iter().all(|c| (c.0.width() - c.0.height()).abs() < 1e-6 && c.0.y0 == row[0].0.y0),
            "squares in a row"
        );
    }
    assert_eq!(cells.len(), 21);
    // right-side rows are numbered at the right, wrong-side rows at the left
    let (left, right) = (cells[0].0.x0, cells[6].0.x1);
    for number in words(&document).into_iter().filter(|w| w.class == "row-number") {
        let at_right = number.bounds.x0 > right;
        assert!(at_right || number.bounds.x1 < left, "{}", number.text);
        assert_eq!(at_right, number.text != "2");
    }
    let bad = covered(&words(&document), &lines(&document, document.root_element()));
    assert!(bad.is_empty(), "{bad:#?}");
}

#[test]
fn what_is_no_mesh_is_not_put_on_squares() {
    let told = |name: &str| {
        let options = ChartOptions::default().with_part(PartChoice::default().with_squares(true));
        pattern(name).chart(&options).unwrap_err().to_string()
    };
    assert!(told("examples/orchard/coaster.txt").starts_with("Round 1 is no row"));
    assert!(told("tests/shapes/dc-swatch.txt").starts_with("there is no open mesh here"));
    assert!(told("tests/shapes/fans-with-chains.txt").contains("makes no squares"));
}
