//! The forms a chart comes in: for a left hand, in one black, for eyes that see little, in a house's own style and
//! symbols, many at one scale.

#![cfg(feature = "cli")]

mod program;

use fanwise::chart::{Face, Ink, InkBy, LabelRole, MarkRole, Paint, Scene, Style};
use fanwise::{ChartOptions, Hand, Pattern};
use kurbo::Shape as _;
use program::Folder;

const PEAR: &str = include_str!("../examples/orchard/pear.txt");
const ACORN: &str = include_str!("../examples/orchard/acorn.txt");
const APPLE: &str = include_str!("../examples/orchard/apple.txt");
const POSTS: &str = include_str!("shapes/spikes-and-posts.txt");

fn scene(text: &str, options: ChartOptions) -> Scene {
    Pattern::read(text).chart(&options).expect("a chart").scene().clone()
}

fn styled(text: &str, style: Style) -> Scene {
    scene(text, ChartOptions::default().with_style(style))
}

#[test]
fn a_left_hand_s_chart_is_the_mirror_of_a_right_hand_s_and_its_words_are_not() {
    let (right, left) =
        (scene(ACORN, ChartOptions::default()), scene(ACORN, ChartOptions::default().with_hand(Hand::Left)));
    for (a, b) in right.figures().zip(left.figures()) {
        assert_eq!(a.stitch, b.stitch);
        let middle = |f: &fanwise::chart::Figure| {
            f.shapes.iter().map(|s| s.path.bounding_box()).reduce(|a, b| a.union(b)).unwrap().center()
        };
        // a symbol that is not its own mirror keeps its shape, so its box may shift a little
        assert!((middle(a).x + middle(b).x).abs() < 0.3 && (middle(a).y - middle(b).y).abs() < 0.3, "{}", a.class);
    }
    let words = |scene: &Scene| -> Vec<String> { scene.labels.iter().map(|l| l.text.clone()).collect() };
    assert_eq!(words(&right), words(&left));
    let number = |scene: &Scene, n: &str| {
        let label = scene.labels.iter().find(|l| l.role == LabelRole::RowNumber && l.text == n);
        label.expect("a number").bounds.center().x
    };
    assert!((number(&right, "2") + number(&left, "2")).abs() < 1.0, "numbers stand at the starts of their rows");
}

/// One solid black, but for the pale band; alternate rows part by the weight of their lines; letters tell yarns.
#[test]
fn in_one_black_nothing_is_lost() {
    let scene = styled(APPLE, Style::default().with_ink(InkBy::One));
    assert!(scene.figures().all(|f| f.ink == Ink::SOLID));
    assert!(scene.labels.iter().all(|l| l.ink == Ink::SOLID));
    assert!(scene.marks.iter().chain(&scene.legend).all(|m| m.ink == Ink::SOLID));
    assert!(scene.tints.iter().all(|m| m.role == MarkRole::Band));
    let weight = |group: &fanwise::chart::RowGroup| {
        let stitch = group.figures.iter().find(|f| f.class == "sc")?;
        match stitch.shapes[0].paint {
            Paint::Stroke(width) => Some(width),
            Paint::Fill => None,
        }
    };
    let weights: Vec<f64> = scene.rows.iter().filter_map(weight).take(6).collect();
    assert_eq!(weights.len(), 6);
    for pair in weights.windows(2) {
        assert!(pair[0].max(pair[1]) / pair[0].min(pair[1]) >= 1.5, "{weights:?}");
    }
    assert!(weights.iter().all(|w| w * scene.mm_per_sc >= 0.25));
    let numbers: Vec<&str> =
        scene.labels.iter().filter(|l| l.role == LabelRole::RowNumber).map(|l| l.text.as_str()).collect();
    assert_eq!(numbers[..2], ["1 A", "2"]);
    assert!(numbers.contains(&"1 B, C"), "{numbers:?}");
    let letters = scene.labels.iter().filter(|l| l.role == LabelRole::YarnLetter);
    assert!(letters.filter(|l| l.text == "C").count() >= 3, "attached, cut, and where its stitches begin");
    // paper without any tint still tells the rows
    let words = |s: &Scene| s.labels.iter().map(|l| l.text.clone()).collect::<Vec<_>>();
    assert!(words(&scene).iter().any(|w| w.starts_with("A – ")));
}

/// Source: large print, 18 points; from memory.
#[test]
fn for_eyes_that_see_little_no_word_is_under_18_points_and_no_sc_under_6_mm() {
    let scene = styled(PEAR, Style::default().with_mm_per_sc(4.0).for_low_vision());
    assert!(scene.mm_per_sc >= 6.0);
    for label in &scene.labels {
        let points = label.size * scene.mm_per_sc / 25.4 * 72.0;
        assert!(points >= 18.0 - 1e-6, "\"{}\": {points}", label.text);
    }
    let boxes: Vec<_> = scene.labels.iter().map(|l| l.bounds).collect();
    for (i, a) in boxes.iter().enumerate() {
        assert!(boxes[i + 1..].iter().all(|b| a.intersect(*b).is_zero_area()), "{}", scene.labels[i].text);
    }
}

#[test]
fn posts_of_wrong_side_rows_are_turned_over_or_drawn_as_worked() {
    let legend = |face| -> Vec<String> {
        let scene = styled(POSTS, Style::default().with_face(face));
        scene.labels.iter().filter(|l| l.role == LabelRole::Legend).map(|l| l.text.clone()).collect()
    };
    let (seen, worked) = (legend(Face::Right), legend(Face::Worked));
    assert!(seen.iter().any(|w| w == "RS: FPdc; WS: BPdc"), "{seen:?}");
    assert!(!seen.iter().any(|w| w.contains("as worked")));
    assert!(worked.iter().any(|w| w == "FPdc – front post double crochet"), "{worked:?}");
    assert!(worked.iter().any(|w| w == "loops and posts as worked"));
}

fn svg(folder: &Folder, args: &[&str]) -> String {
    let run = folder.run(&[&["draw", "pear.txt", "-o", "pear.svg"], args].concat());
    assert_eq!((run.code, run.err.as_str()), (0, ""), "{args:?}");
    String::from_utf8(folder.bytes("pear.svg")).unwrap()
}

fn pears(name: &str) -> Folder {
    let folder = Folder::new(name);
    folder.file("pear.txt", PEAR);
    folder
}

#[test]
fn words_as_outlines_need_no_font() {
    let folder = pears("outlines");
    let (text, outlined) = (svg(&folder, &[]), svg(&folder, &["--text", "outlines"]));
    assert!(text.contains("<text ") && text.contains("font-family"));
    assert!(!outlined.contains("<text ") && !outlined.contains("font-family"));
    assert!(outlined.contains("class=\"title\"") && outlined.contains("<desc"), "it is still read aloud");
}

#[test]
fn a_style_file_restyles_a_chart_and_the_command_line_wins() {
    let folder = pears("style");
    folder.file(
        "house.toml",
        "sc = \"cross\"\nweight = 1.5\n[inks]\nrows = [\"#006644\", \"#884400\"]\n[type]\ntitle = 20\n[furniture]\narrow = false\nlegend = false\nkey = false\n",
    );
    let styled = svg(&folder, &["--style", "house.toml"]);
    assert!(styled.contains("#006644") && !styled.contains("#12387c"));
    assert!(styled.contains("stroke-width=\".135\""));
    assert!(!styled.contains("class=\"arrow\"") && !styled.contains("legend-words"));
    assert_ne!(styled, svg(&folder, &["--style", "house.toml", "--sc", "plus"]));
    folder.file("wrong.toml", "[furniture]\ntitel = false\n");
    let run = folder.run(&["draw", "pear.txt", "-o", "x.svg", "--style", "wrong.toml"]);
    assert_eq!(run.code, 2);
    assert!(
        run.err.contains("wrong.toml:2: there is no \"titel\" in [furniture]; did you mean \"title\"?"),
        "{}",
        run.err
    );
    // settings name a file from where they are
    std::fs::create_dir(folder.path().join("series")).unwrap();
    folder.file("series/pear.txt", PEAR);
    folder.file("series/fanwise.toml", "style = \"house.toml\"\nhand = \"left\"\n");
    folder.file("series/house.toml", "weight = 2\n");
    assert_eq!(folder.run(&["draw", "series/pear.txt", "-o", "series.svg"]).code, 0);
    assert!(String::from_utf8(folder.bytes("series.svg")).unwrap().contains("stroke-width=\".18\""));
}

const ROUND_HDC: &str = r##"<svg xmlns="http://www.w3.org/2000/svg" fill="none" stroke="#000" stroke-width="0.09">
<path id="stem" d="M0 0V-1.2"/><circle id="head" cx="0" cy="-1.35" r="0.15"/>
<circle id="anchor-foot" r="0.02"/><circle id="anchor-head" cy="-1.5" r="0.02"/></svg>"##;

#[test]
fn symbols_of_a_folder_stand_in_for_ours_and_what_is_wrong_is_told_file_by_file() {
    let folder = pears("symbols");
    folder.file("knob.txt", "Knob\n\nCh 6.\nRow 1: Hdc in 3rd ch from hook and in each ch across. (5 hdc)\n");
    std::fs::create_dir(folder.path().join("own")).unwrap();
    let draw = || folder.run(&["draw", "knob.txt", "-o", "knob.svg", "--symbols", "own"]);
    let run = draw();
    assert!(run.code == 2 && run.err.contains("holds no .svg file"), "{}", run.err);
    folder.file("own/hdc.svg", ROUND_HDC);
    folder.file("own/dc3cl.svg", ROUND_HDC);
    assert_eq!(folder.run(&["draw", "knob.txt", "-o", "ours.svg"]).code, 0);
    let run = draw();
    assert_eq!((run.code, run.err.as_str()), (0, ""));
    assert!(folder.bytes("knob.svg") != folder.bytes("ours.svg"));
    folder.file("own/dc.svg", "<svg><path id='stem' d='M0 0V-1'/></svg>");
    folder.file("own/acorn.svg", ROUND_HDC);
    folder.file("own/tr.svg", "no drawing");
    let run = draw();
    assert_eq!(run.code, 2);
    for told in [
        "acorn.svg: no symbol is called so; there are ch.svg",
        "dc.svg: anchor-foot is missing",
        "tr.svg: not an SVG file",
    ] {
        assert!(run.err.contains(told), "{told}: {}", run.err);
    }
}

fn width_of(svg: &str) -> (f64, f64) {
    let told = |name: &str| svg.split(&format!("{name}=\"")).nth(1).unwrap().split('"').next().unwrap().to_owned();
    let mm: f64 = told(" width").trim_end_matches("mm").parse().unwrap();
    let sc: f64 = told("viewBox").split(' ').nth(2).unwrap().parse().unwrap();
    (mm, sc)
}

#[test]
fn charts_of_a_set_have_one_scale_and_one_that_fails_does_not_stop_the_rest() {
    let folder = Folder::new("set");
    std::fs::create_dir(folder.path().join("set")).unwrap();
    folder.file("set/pear.txt", PEAR);
    folder.file("set/acorn.txt", ACORN);
    folder.file("set/broken.txt", "Broken\n\nCh 5.\nRow 1: Sc in 2nd ch from hook and in next 2 ch. Turn. (3 sts)\nRow 2: Ch 1, sc in next 9 sts.\n");
    let run = folder.run(&[
        "draw",
        "set",
        "missing.txt",
        "--into",
        "out",
        "--formats",
        "svg,png",
        "--width",
        "70",
        "--dpi",
        "40",
    ]);
    assert_eq!(run.code, 2, "{}", run.err);
    assert!(
        run.err.contains("missing.txt") && (run.out.contains("broken.txt") || run.err.contains("broken.txt")),
        "{}",
        run.err
    );
    let names: Vec<String> = std::fs::read_dir(folder.path().join("out"))
        .unwrap()
        .map(|e| e.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    assert_eq!(names.len(), 4, "{names:?}");
    let scale = |name: &str| {
        let (mm, sc) = width_of(&String::from_utf8(folder.bytes(name)).unwrap());
        (mm, mm / sc)
    };
    let (pear, acorn) = (scale("out/pear.svg"), scale("out/acorn.svg"));
    assert!((pear.1 / acorn.1 - 1.0).abs() < 0.001, "{pear:?} {acorn:?}");
    assert!(pear.0.max(acorn.0) <= 70.5, "the widest is as wide as was asked");
    let run = folder.run(&["draw", "set/pear.txt", "set/acorn.txt", "--into", "own", "--width", "70", "--own-scale"]);
    assert_eq!(run.code, 0);
    assert!((scale("own/pear.svg").0 - 70.0).abs() < 0.5 && (scale("own/acorn.svg").0 - 70.0).abs() < 0.5);
    let run = folder.run(&["draw", "set/pear.txt", "set/acorn.txt", "-o", "two.svg"]);
    assert!(run.code == 2 && run.err.contains("--into DIR draws several"), "{}", run.err);
    let run = folder.run(&["draw", "set/pear.txt", "--into", "no/such"]);
    assert!(run.code == 2 && run.err.contains("there is no folder no"), "{}", run.err);
}

/// By the gauge of the pear, 18 sc are 10 cm: a bar of 5 cm is 9 sc long.
#[test]
fn a_chart_in_true_proportions_has_a_scale_bar() {
    let view = |view| scene(PEAR, ChartOptions::default().with_view(view));
    let (chart, piece) = (view(fanwise::layout::View::Chart), view(fanwise::layout::View::True));
    assert!(!chart.marks.iter().any(|m| m.role == MarkRole::Scale));
    let bar = piece.marks.iter().find(|m| m.role == MarkRole::Scale).expect("a bar");
    let words = &piece.labels.iter().find(|l| l.role == LabelRole::Scale).expect("its length").text;
    let cm: f64 = words.strip_suffix(" cm").expect("centimetres").parse().expect("a number");
    let long = bar.shapes[0].path.bounding_box().width();
    assert!((long - cm * 1.8).abs() < 1e-6, "{words}: {long} sc");
}

#[test]
fn the_version_line_comes_from_the_pattern_s_own_text() {
    let text = PEAR.replacen("Pear\n", "Pear\n\nVersion 2, for the second printing\n", 1);
    let credit = |text: &str| {
        let scene = scene(text, ChartOptions::default());
        scene.labels.iter().find(|l| l.role == LabelRole::Credit).map(|l| l.text.clone())
    };
    assert_eq!(credit(&text).as_deref(), Some("Version 2, for the second printing"));
    assert_eq!(credit(PEAR), None);
}
