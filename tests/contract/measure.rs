//! `measure --format json`.

use super::{Folder, PATTERNS, list, orchard};
use serde_json::Value;

fn measured(folder: &Folder, words: &[&str]) -> Value {
    let run = folder.run(&[&["measure"], words, &["--format", "json"]].concat());
    assert!(run.out.starts_with("{\"fanwise\":\"") && run.err.is_empty(), "{}{}", run.out, run.err);
    assert_eq!(run.code, 0);
    let document = run.json();
    assert_eq!(document["schema"], 1);
    document
}

#[test]
fn a_measure_has_gauge_size_yarn_and_curve() {
    let folder = orchard("measure");
    let document = measured(&folder, &["pear.txt"]);
    let pear = &document["patterns"][0];
    assert_eq!(pear["file"], "pear.txt");
    let gauge = &pear["gauge"];
    assert_eq!((&gauge["sts"], &gauge["rows"], &gauge["over_mm"]), (&18.0.into(), &20.0.into(), &100.0.into()));
    assert_eq!((&gauge["stitch"], &gauge["source"]), (&"sc".into(), &"pattern".into()));
    assert!(pear["gauge_of_rounds"].is_null());
    let size = &pear["size_mm"];
    for key in ["width", "height", "low", "high"] {
        assert!(size[key].as_f64().is_some_and(|n| n > 0.0), "{key}: {size}");
    }
    let yarn = list(&pear["yarn"]);
    assert_eq!(yarn.len(), 2);
    for one in yarn {
        let of = |key: &str| one[key].as_f64().unwrap_or_else(|| panic!("{key}: {one}"));
        assert!(of("low") < of("metres") && of("metres") < of("high"));
        assert!(one["colour"].is_string());
    }
    let curve = &pear["curve"];
    assert_eq!(curve["verdict"], "flat");
    assert!(curve["ratio"].is_f64());
    let row = list(&curve["rows"]).iter().find(|r| r["label"] == "Row 2").expect("row 2");
    assert_eq!((&row["made"], &row["verdict"]), (&34.into(), &"flat".into()));
    assert!(row["ratio"].is_f64() && row["needed"].is_f64());
    for place in list(&row["places"]) {
        assert_eq!(list(&place["span"]).len(), 2);
        assert!(["turn_deg", "needed", "worked"].iter().all(|k| place[*k].is_f64()), "{place}");
    }
}

#[test]
fn what_is_not_known_is_null() {
    let folder = Folder::new("measure-unknown");
    folder.file("bud.txt", "Bud\n\nUS terms.\n\nRnd 1: 6 sc in magic ring. Join with sl st to first sc. (6 sts)\n");
    let bud = &measured(&folder, &["bud.txt"])["patterns"][0];
    assert!(bud["gauge"].is_null() && bud["size_mm"].is_null() && bud["gauge_of_rounds"].is_null(), "{bud}");
    assert_eq!(list(&bud["yarn"]).len(), 0);
    let given = &measured(&folder, &["bud.txt", "--gauge", "rnd 1 = 2 cm across"])["patterns"][0];
    assert_eq!(given["gauge_of_rounds"]["rows"], serde_json::json!([1, 1]));
    assert_eq!(given["gauge_of_rounds"]["across_mm"], 20.0);
    assert!((given["size_mm"]["width"].as_f64().expect("known") - 20.0).abs() < 1.0, "{given}");
}

#[test]
fn several_patterns_are_added_up_by_colour() {
    let folder = orchard("measure-totals");
    let files: Vec<String> = PATTERNS.iter().map(|p| format!("{p}.txt")).collect();
    let words: Vec<&str> = files.iter().map(String::as_str).collect();
    let document = measured(&folder, &words);
    let all = list(&document["patterns"]);
    assert_eq!(all.len(), PATTERNS.len());
    let sum = |yarns: &[&Value]| yarns.iter().map(|y| y["metres"].as_f64().expect("metres")).sum::<f64>();
    let each: Vec<&Value> = all.iter().flat_map(|p| list(&p["yarn"])).collect();
    let totals: Vec<&Value> = list(&document["totals"]["yarn"]).iter().collect();
    assert!((sum(&each) - sum(&totals)).abs() < 1e-6);
    assert!(totals.len() < each.len(), "browns and greens are shared");
}

#[test]
fn a_pattern_with_errors_is_not_measured_and_the_others_are() {
    let folder = orchard("measure-errors");
    folder.file("bad.txt", "Bad\n\nCh 5.\nRow 1: Sc in 2nd ch from hook and in each ch across. (9 sts)\n");
    let run = folder.run(&["measure", "bad.txt", "pear.txt", "--format", "json"]);
    assert_eq!(run.code, 1);
    assert_eq!(list(&run.json()["patterns"]).len(), 1);
    assert!(run.err.contains("bad.txt: nothing is measured of a pattern with errors"), "{}", run.err);
}

#[test]
fn wrong_words_of_a_gauge_a_swatch_or_a_label_are_refused() {
    let folder = orchard("measure-wrong");
    for words in [
        ["--gauge", "tight"],
        ["--gauge", "0 sts 10 cm"],
        ["--swatch", "20 sc"],
        ["--swatch", "20x20 sc -3 m"],
        ["--metres-per-100g", "A=0"],
        ["--metres-per-100g", "nan"],
    ] {
        let run = folder.run(&["measure", "pear.txt", words[0], words[1]]);
        assert_eq!(run.code, 2, "{words:?}: {}", run.out);
        assert!(run.out.is_empty() && !run.err.is_empty());
    }
}

#[test]
fn settings_hold_gauge_and_swatch() {
    let folder = orchard("measure-settings");
    folder.file(
        "fanwise.toml",
        "gauge = \"9 sc and 10 rows = 10 cm\"\nswatch = \"20x20 sc 30 m\"\nmetres-per-100g = 200\n",
    );
    let pear = &measured(&folder, &["pear.txt"])["patterns"][0];
    assert_eq!((&pear["gauge"]["sts"], &pear["gauge"]["source"]), (&9.0.into(), &"option".into()));
    let yarn = &pear["yarn"][0];
    let (grams, metres) = (yarn["grams"].as_f64().expect("grams"), yarn["metres"].as_f64().expect("metres"));
    assert!((grams * 2.0 - metres).abs() < 1e-6);
}
