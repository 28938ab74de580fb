//! The five patterns of the Orchard Garland, measured from the coordinates that the program prints.

use fanwise::{Chart, ChartOptions, Fabric, Pattern};
use serde_json::Value;

type Point = (f64, f64);

fn pattern(name: &str) -> Pattern {
    let path = format!("{}/examples/orchard/{name}.txt", env!("CARGO_MANIFEST_DIR"));
    Pattern::read(&std::fs::read_to_string(path).unwrap())
}

fn dump(name: &str) -> Value {
    let chart: Chart = pattern(name).chart(&ChartOptions::default()).unwrap();
    serde_json::from_str(&chart.layout_json()).unwrap()
}

fn point(value: &Value) -> Point {
    (value[0].as_f64().unwrap(), value[1].as_f64().unwrap())
}

/// Head of a stitch; of a lying chain, its centre.
fn head(dump: &Value, id: &Value) -> Point {
    let stitch = &dump["stitches"][id.as_u64().unwrap() as usize];
    if stitch["kind"] == "ch" && stitch["role"] != "turning" { point(&stitch["at"]) } else { point(&stitch["head"]) }
}

fn line(dump: &Value, row: &Value) -> Vec<Point> {
    row["order"].as_array().unwrap().iter().map(|id| head(dump, id)).collect()
}

fn distance(a: Point, b: Point) -> f64 {
    (a.0 - b.0).hypot(a.1 - b.1)
}

fn rows<'d>(dump: &'d Value, label: &str) -> Vec<&'d Value> {
    dump["rows"].as_array().unwrap().iter().filter(|r| r["label"].as_str().unwrap().starts_with(label)).collect()
}

/// How far a closed line is from its own turn by a `k`th of a circle about its middle.
fn turned_residual(heads: &[Point], k: usize) -> f64 {
    let n = heads.len();
    assert_eq!(n % k, 0, "{n} heads do not fall into {k} equal parts");
    let middle = heads.iter().fold((0.0, 0.0), |m, h| (m.0 + h.0 / n as f64, m.1 + h.1 / n as f64));
    // anticlockwise on a page whose y runs down
    let (sin, cos) = (-std::f64::consts::TAU / k as f64).sin_cos();
    let turned = |p: Point| {
        let (x, y) = (p.0 - middle.0, p.1 - middle.1);
        (middle.0 + cos * x - sin * y, middle.1 + sin * x + cos * y)
    };
    (0..n).map(|i| distance(turned(heads[i]), heads[(i + n / k) % n])).fold(0.0, f64::max)
}

#[test]
fn every_row_of_every_pattern_is_read_and_agrees() {
    for name in ["pear", "leaf", "acorn", "apple", "coaster"] {
        let pattern = pattern(name);
        assert!(pattern.is_sound() && pattern.problems().is_empty(), "{name}: {:?}", pattern.problems());
        for tally in pattern.worked().tallies.iter().filter(|t| t.chains.is_none()) {
            assert!(!tally.stated.is_empty(), "{name}, {} states no count", tally.label);
            assert!(tally.agrees() && tally.balances(), "{name}, {}", tally.label);
        }
    }
}

#[test]
fn the_apples_disc_is_six_fold() {
    let dump = dump("apple");
    let rounds = rows(&dump, "Round");
    assert_eq!(rounds.len(), 6);
    for round in rounds {
        let residual = turned_residual(&line(&dump, round), 6);
        assert!(residual <= 1e-6, "{}: {residual}", round["label"]);
    }
}

#[test]
fn the_coaster_is_four_fold() {
    let dump = dump("coaster");
    for round in rows(&dump, "Round") {
        let residual = turned_residual(&line(&dump, round), 4);
        assert!(residual <= 1e-6, "{}: {residual}", round["label"]);
    }
    assert!(dump["quality"]["residual_before"].as_f64().unwrap() <= 0.01);
}

#[test]
fn the_leaf_is_its_own_mirror() {
    let dump = dump("leaf");
    let heads = line(&dump, rows(&dump, "Row")[0]);
    let n = heads.len();
    assert_eq!(n, 23);
    let chain = line(&dump, rows(&dump, "Foundation")[0]);
    let (a, b) = (chain[0], chain[chain.len() - 2]);
    let along = ((b.0 - a.0) / distance(a, b), (b.1 - a.1) / distance(a, b));
    let mirrored = |p: Point| {
        let (x, y) = (p.0 - a.0, p.1 - a.1);
        let t = x * along.0 + y * along.1;
        (a.0 + 2.0 * t * along.0 - x, a.1 + 2.0 * t * along.1 - y)
    };
    for i in 0..n {
        let off = distance(mirrored(heads[i]), heads[n - 1 - i]);
        assert!(off <= 1e-6, "stitch {i}: {off}");
    }
}

/// The turn of the chain's direction from its first third to its last, in radians.
fn bend(dump: &Value) -> f64 {
    let foundation = rows(dump, "Foundation")[0];
    let lying: Vec<Point> = foundation["order"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|id| dump["stitches"][id.as_u64().unwrap() as usize]["role"] == "base")
        .map(|id| head(dump, id))
        .collect();
    let third = lying.len() / 3;
    let way = |from: usize, to: usize| (lying[to].1 - lying[from].1).atan2(lying[to].0 - lying[from].0);
    let turn = way(lying.len() - 1 - third, lying.len() - 1) - way(0, third);
    let whole = std::f64::consts::TAU;
    ((turn + 0.5 * whole).rem_euclid(whole) - 0.5 * whole).abs()
}

/// Two extra stitches across the thickness of two rows of sc are one radian (derived: 2 widths over 2 heights).
#[test]
fn the_chain_bends_by_a_radian_under_three_sc_in_one_chain() {
    let text = "Bend\n\nCh 14.\n\
        Row 1 (RS): Sc in 2nd ch from hook and in each of next 5 ch, 3 sc in next ch, sc in next 5 ch, 5 sc in last ch; \
        working along opposite side of foundation ch, sc in next 12 ch. Turn. (31 sts)\n\
        Row 2: Ch 1, sc in each st across. Turn. (31 sts)\n\
        Row 3: Ch 1, sc in each st across. (31 sts)\n";
    let chart = Pattern::read(text).chart(&ChartOptions::default()).unwrap();
    let plain = bend(&serde_json::from_str(&chart.layout_json()).unwrap());
    assert!((0.8..=1.2).contains(&plain), "with plain rows the chain turns {plain:.2} rad");
    let own = bend(&dump("pear"));
    println!("the chain turns {plain:.2} rad under plain rows, {own:.2} rad in the pear");
    assert!(own > 0.4, "the pear's chain turns {own:.2} rad");
}

/// The closing dot takes no place on the line: the last stitch is as far from the first as its neighbours are.
#[test]
fn rounds_close_without_a_gap() {
    for (name, label) in [("apple", "Round")] {
        let dump = dump(name);
        for round in rows(&dump, label) {
            let heads = line(&dump, round);
            let n = heads.len();
            let gaps: Vec<f64> = (0..n).map(|i| distance(heads[i], heads[(i + 1) % n])).collect();
            let mean = gaps.iter().sum::<f64>() / n as f64;
            let closing = gaps[n - 1];
            assert!((closing / mean - 1.0).abs() <= 0.15, "{name}, {}: {closing} against {mean}", round["label"]);
        }
    }
}

/// The starts of the apple's rounds lie on one line: each within half a width of the line through the first and last.
#[test]
fn starts_of_rounds_lie_on_one_line() {
    let dump = dump("apple");
    let starts: Vec<Point> = rows(&dump, "Round").iter().map(|r| line(&dump, r)[0]).collect();
    let (a, b) = (starts[0], starts[starts.len() - 1]);
    for s in &starts {
        let off = ((b.0 - a.0) * (s.1 - a.1) - (b.1 - a.1) * (s.0 - a.0)).abs() / distance(a, b);
        assert!(off <= 0.5, "a round starts {off:.2} beside the line");
    }
}

/// An oval is about 0.4 across: its edge keeps at least 0.3 from the heads of the round below.
#[test]
fn arches_keep_clear_of_the_round_below() {
    let dump = dump("coaster");
    let rounds = rows(&dump, "Round");
    for pair in rounds.windows(2) {
        let below = line(&dump, pair[0]);
        for id in pair[1]["order"].as_array().unwrap() {
            let stitch = &dump["stitches"][id.as_u64().unwrap() as usize];
            if stitch["role"] == "space" {
                let nearest = below.iter().map(|&h| distance(h, head(&dump, id))).fold(f64::INFINITY, f64::min);
                assert!(nearest >= 0.5, "{}: an oval lies {nearest:.2} from a head below", pair[1]["label"]);
            }
        }
    }
}

#[test]
fn no_symbol_overlaps_another() {
    for name in ["pear", "leaf", "acorn", "apple", "coaster"] {
        let quality = &dump(name)["quality"];
        for figure in ["overlaps", "crossings", "flips"] {
            assert_eq!(quality[figure].as_u64(), Some(0), "{name}: {figure}");
        }
    }
}

#[test]
fn a_fabric_goes_through_json_whole_and_draws_the_same() {
    for name in ["pear", "leaf", "acorn", "apple", "coaster"] {
        let pattern = pattern(name);
        let text = serde_json::to_string(pattern.fabric()).unwrap();
        let fabric: Fabric = serde_json::from_str(&text).unwrap();
        assert_eq!(&fabric, pattern.fabric(), "{name}");
        let from_json = Chart::of_fabric(&fabric, &ChartOptions::default()).unwrap();
        let from_text = pattern.chart(&ChartOptions::default()).unwrap();
        assert_eq!(from_json.layout().poses, from_text.layout().poses, "{name}");
    }
}

#[test]
fn a_fabric_that_names_a_place_not_there_is_refused() {
    let mut value = serde_json::to_value(pattern("leaf").fabric()).unwrap();
    value["stitches"][12]["legs"][0]["into"][0] = serde_json::json!({"chain": 4000});
    let fabric: Fabric = serde_json::from_value(value).unwrap();
    assert!(Chart::of_fabric(&fabric, &ChartOptions::default()).is_err());
}
