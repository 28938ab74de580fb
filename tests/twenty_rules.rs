//! The rules of a good illustrator over the gallery, the orchard and a choice of shapes, each measured from what is
//! drawn; prints the table of rules, charts and breaches.

mod chart;
mod rules;

use chart::{GALLERY, gallery, piece};
use fanwise::chart::{MarkRole, ScForm, Style};
use rules::*;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

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

/// Every chart there is: the gallery, the orchard, the shapes, and two for what none of them has. By name, in words.
fn texts() -> Vec<(String, String)> {
    let mut all: Vec<(String, String)> =
        GALLERY.iter().chain(&[("spike", SPIKE), ("turned-rounds", TURNED)]).map(|(n, t)| own(n, t)).collect();
    for folder in ["examples/orchard", "tests/shapes"] {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
        let mut paths: Vec<PathBuf> =
            std::fs::read_dir(&folder).expect("a folder").map(|entry| entry.expect("an entry").path()).collect();
        paths.retain(|path| path.extension().is_some_and(|e| e == "txt"));
        paths.sort();
        for path in paths {
            let name = path.file_stem().expect("a name").to_string_lossy();
            all.push(own(&name, &std::fs::read_to_string(&path).expect("a text")));
        }
    }
    if let Ok(only) = std::env::var("FANWISE_SHAPE") {
        all.retain(|(name, _)| *name == only);
    }
    all
}

fn own(name: &str, text: &str) -> (String, String) {
    (name.to_owned(), text.to_owned())
}

/// What every rule finds on every chart, chart by chart in order: two at a time, since the largest take long.
fn found() -> Vec<(String, Vec<Found>)> {
    let (texts, style) = (texts(), Style::default());
    let next = AtomicUsize::new(0);
    let measured = Mutex::new(Vec::new());
    std::thread::scope(|scope| {
        for _ in 0..2 {
            scope.spawn(|| {
                while let Some((k, (name, text))) =
                    Some(next.fetch_add(1, Ordering::Relaxed)).and_then(|k| Some((k, texts.get(k)?)))
                {
                    let piece = piece(text, &style);
                    let found: Vec<Found> = RULES.iter().map(|(_, rule)| rule(&piece)).collect();
                    measured.lock().expect("no rule panics").push((k, name.clone(), found));
                }
            });
        }
    });
    let mut all = measured.into_inner().expect("no rule panics");
    all.sort_by_key(|(k, ..)| *k);
    all.into_iter().map(|(_, name, found)| (name, found)).collect()
}

/// What no honest effort has mended yet: by number of the rule, chart and what is measured, the figure that is let pass.
fn passed_over() -> BTreeMap<(String, String, String), f64> {
    let lines = include_str!("rules/passed_over.tsv").lines().filter(|line| !line.starts_with('#'));
    lines
        .map(|line| {
            let cells: Vec<&str> = line.split('\t').collect();
            assert!(cells.len() == 5 && !cells[4].trim().is_empty(), "rule, chart, what, figure, why: {line:?}");
            let [rule, chart, what] = [0, 1, 2].map(|k| cells[k].to_owned());
            ((rule, chart, what), cells[3].parse().expect("a figure"))
        })
        .collect()
}

#[test]
fn the_rules_of_a_good_illustrator_hold_over_every_chart() {
    let measured = found();
    let (mut all, passed_over, mut idle) = (Vec::new(), passed_over(), passed_over());
    println!("{:22} {:>6} {:>7} {:>8} {:>11}  worst", "rule", "charts", "checks", "breaches", "passed over");
    for (k, (name, _)) in RULES.iter().enumerate() {
        let number = name.split(' ').next().unwrap_or_default();
        let of_rule = || measured.iter().map(|(chart, found)| (chart, &found[k]));
        let charts = of_rule().filter(|(_, f)| f.held > 0).count();
        let held: usize = of_rule().map(|(_, f)| f.held).sum();
        if charts == 0 {
            all.push(format!("{name} is held against nothing"));
        }
        let (mut broken, mut passed) = (0, 0);
        for (chart, breach) in of_rule().flat_map(|(chart, f)| f.breaches.iter().map(move |b| (chart, b))) {
            let key = (number.to_owned(), chart.clone(), breach.what.to_owned());
            idle.remove(&key);
            if passed_over.get(&key).is_some_and(|&far| breach.no_worse_than(far)) {
                passed += 1;
            } else {
                broken += 1;
                all.push(format!("{name}: {chart}: {}", breach.told));
            }
        }
        let worst = of_rule().filter_map(|(chart, f)| Some((chart, f.worst.as_ref()?)));
        let worst = worst.max_by(|a, b| a.1.share.total_cmp(&b.1.share));
        let worst = worst.map_or(String::new(), |(chart, w)| format!("{} {:.3} in {chart}", w.what, w.figure));
        println!("{name:22} {charts:6} {held:7} {broken:8} {passed:11}  {worst}");
    }
    if std::env::var_os("FANWISE_SHAPE").is_none() {
        all.extend(idle.keys().map(|(rule, chart, what)| format!("{rule}: {chart}: {what} need not be passed over")));
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
            let told: Vec<String> = check(&p).breaches.into_iter().map(|b| b.told).collect();
            assert!(told.is_empty(), "{rule}: {name}: {}", told.join("; "));
        }
    }
}
