//! The rules of a good illustrator over the gallery, the orchard and a choice of shapes, each measured from what is
//! drawn; prints the table of rules, charts and breaches.

mod chart;
mod rules;

use chart::{Piece, gallery, piece};
use fanwise::chart::{MarkRole, ScForm, Style};
use rules::*;

const RULES: &[Rule] = &[
    ("1 ovals are chains", ovals),
    ("2 lying ovals touch", lying),
    ("3 counting chains", counting),
    ("4 other chains", not_counting),
    ("5 joining dots", joining),
    ("6 travelling dots", travelling),
    ("7 feet", feet),
    ("8 decreases", decreases),
    ("9 bars and strokes", bars),
    ("10 one form of sc", crosses),
    ("11 arches", arches),
    ("12 into arches", into_arches),
    ("13 picots", picots),
    ("14 posts", posts),
    ("15 passing over", passing),
    ("16 skipped heads", skipped),
    ("17 numbers", numbers),
    ("18 triangles", triangles),
    ("19 repeats", repeats),
    ("20 inks and layers", layers),
];

/// Rounds that are turned.
const TURNED: &str = "Turned\n\nMake a magic ring.\n\nRound 1: Ch 1, 8 sc in ring, join with sl st to first sc. Turn. (8 sts)\n\nRound 2: Ch 1, 2 sc in each st around, join with sl st to first sc. Turn. (16 sts)\n\nRound 3: Ch 1, sc in each st around, join with sl st to first sc. (16 sts)\n";

/// A stitch that reaches down over the row between.
const SPIKE: &str = "Spike\n\nCh 8.\nRow 1: Sc in 2nd ch from hook and in each ch across. Turn. (7 sts)\nRow 2: Ch 1, sc in each st across. Turn. (7 sts)\nRow 3: Ch 1, sc in next 3 sts, sc in next st 2 rows below, sc in next 3 sts. (7 sts)\n";

/// Shapes that show each rule, beside gallery and orchard.
const SHAPES: &[&str] = &[
    "granny-square",
    "pineapple-motif",
    "picot-edge",
    "spikes-and-posts",
    "puffs-bobbles-popcorns",
    "n-together",
    "v-stitches",
    "long-skips",
    "filet",
    "shells",
    "sc-ripple",
    "fans-with-chains",
    "mesh",
];

fn pieces() -> Vec<(String, Piece)> {
    let style = Style::default();
    let mut all = chart::pieces(&style, SHAPES);
    all.extend(
        [("spike", SPIKE), ("turned-rounds", TURNED)].map(|(name, text)| (name.to_owned(), piece(text, &style))),
    );
    all
}

#[test]
fn the_rules_of_a_good_illustrator_hold_over_the_gallery() {
    let pieces = pieces();
    let mut all = Vec::new();
    println!("{:22} {:>6} {:>7} {:>8}", "rule", "charts", "held", "breaches");
    for (name, rule) in RULES {
        let found: Vec<(&str, Found)> = pieces.iter().map(|(n, p)| (n.as_str(), rule(p))).collect();
        let charts = found.iter().filter(|(_, f)| f.held > 0).count();
        let held: usize = found.iter().map(|(_, f)| f.held).sum();
        let broken: usize = found.iter().map(|(_, f)| f.breaches.len()).sum();
        println!("{name:22} {charts:6} {held:7} {broken:8}");
        if charts == 0 {
            all.push(format!("{name} is held against nothing"));
        }
        for (chart, f) in found {
            all.extend(f.breaches.into_iter().map(|b| format!("{name}: {chart}: {b}")));
        }
    }
    let beside: Vec<f64> = pieces.iter().flat_map(|(_, p)| beside_feet(p)).collect();
    let over = beside.iter().filter(|d| **d <= 0.1).count();
    println!("{over} of {} decreases stand within a tenth over their feet", beside.len());
    if over * 10 < beside.len() * 7 {
        all.push(format!("8 decreases: only {over} of {} stand within a tenth over their feet", beside.len()));
    }
    assert!(all.is_empty(), "{} breaches:\n{}", all.len(), all.join("\n"));
}

/// A repeat is marked where a flat piece has one, and nowhere else; a style may leave it out.
#[test]
fn only_flat_pieces_over_a_multiple_have_a_repeat_marked() {
    let of = |text: &str, style: &Style| {
        let scene = piece(text, style).scene;
        let brackets = scene.marks.iter().filter(|m| m.role == MarkRole::Bound && is_bracket(m)).count();
        (brackets, scene.labels.iter().any(|l| l.text.contains("repeat from line to line")))
    };
    let style = Style::default();
    assert_eq!(of(include_str!("shapes/shells.txt"), &style), (1, true));
    assert_eq!(of(include_str!("shapes/v-stitches.txt"), &style), (1, true));
    for text in [
        include_str!("../examples/orchard/pear.txt"),
        include_str!("../examples/orchard/coaster.txt"),
        include_str!("shapes/triangle-in-rows.txt"),
        include_str!("shapes/increase-and-decrease.txt"),
        include_str!("shapes/sc-swatch.txt"),
    ] {
        assert_eq!(of(text, &style), (0, false), "{}", text.lines().next().unwrap_or(""));
    }
    let mut furniture = fanwise::chart::Furniture::default();
    furniture.repeat = false;
    assert_eq!(of(include_str!("shapes/shells.txt"), &style.with_furniture(furniture)), (0, false));
}

/// The two forms of sc are the same to the rules that hold of both.
#[test]
fn the_rules_of_feet_and_layers_hold_with_crosses_too() {
    for (name, p) in gallery(&Style::default().with_sc(ScForm::Cross)) {
        for (rule, check) in
            RULES.iter().filter(|(r, _)| r.starts_with("1 ") || r.starts_with("20") || r.starts_with("17"))
        {
            let found = check(&p);
            assert!(found.breaches.is_empty(), "{rule}: {name}: {}", found.breaches.join("; "));
        }
    }
}
