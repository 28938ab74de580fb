//! `dump --as fabric` and `dump --as layout`: keys, types, and what holds between them.

use super::program::Folder;
use super::{PATTERNS, list};
use serde_json::Value;
use std::collections::HashMap;

/// The models of the five patterns of the orchard, by file name.
fn orchard(test: &str, model: &str) -> Vec<(String, Value)> {
    let folder = Folder::new(test);
    let dump = |name: &str| {
        let path = format!("{}/examples/orchard/{name}.txt", env!("CARGO_MANIFEST_DIR"));
        let file = format!("{name}.txt");
        folder.file(&file, std::fs::read(path).expect("the pattern is there"));
        let run = folder.run(&["dump", &file, "--as", model]);
        assert_eq!(run.code, 0, "{file}: {}", run.err);
        let document = run.json();
        assert!(run.out.starts_with("{\"fanwise\":\"") && document["schema"] == 1, "{file}");
        (file, document)
    };
    PATTERNS.iter().map(|name| dump(name)).collect()
}

fn is_one_of(value: &Value, words: &[&str]) -> bool {
    value.as_str().is_some_and(|v| words.contains(&v))
}

/// A place has one of the forms of the contract.
fn is_place(place: &Value) -> bool {
    let id = |key: &str| place[key].is_u64();
    let pair = |key: &str| place[key].as_array().is_some_and(|p| p.len() == 2 && p.iter().all(Value::is_u64));
    id("top") && is_one_of(&place["loop"], &["both", "front", "back", "third"])
        || ["chain", "underside", "bump", "space", "ring"].iter().any(|key| id(key))
        || place["row_end"]["row"].is_u64()
            && is_one_of(&place["row_end"]["edge"], &["start", "end"])
            && place["row_end"]["at"].is_number()
        || id("post") && is_one_of(&place["from"], &["front", "back"])
        || id("side") && place["at"].is_number()
        || pair("between")
        || pair("face")
}

#[test]
fn the_fabric_of_a_sound_pattern_is_complete() {
    for (file, fabric) in orchard("fabric-whole", "fabric") {
        assert_eq!(fabric["complete"], true, "{file}");
        assert_eq!(fabric["problems"], serde_json::json!([]), "{file}");
        assert!(fabric["title"].is_string(), "{file}");
        for part in list(&fabric["parts"]) {
            assert!(part["index"].is_u64() && part["name"].is_string() && part["copies"].is_u64(), "{file} {part}");
        }
        for key in ["rows", "rings", "spaces", "events", "stitches"] {
            assert!(fabric[key].is_array(), "{file}: {key}");
        }
    }
}

#[test]
fn rows_of_the_fabric_have_their_keys() {
    for (file, fabric) in orchard("fabric-rows", "fabric") {
        for (i, row) in list(&fabric["rows"]).iter().enumerate() {
            assert_eq!(row["index"], i, "{file}");
            assert!(row["part"].is_u64() && row["label"].is_string() && row["layer"].is_i64(), "{file} {row}");
            assert!(is_one_of(&row["shape"], &["foundation", "row", "round", "spiral", "border"]), "{file} {row}");
            assert!(is_one_of(&row["side"], &["RS", "WS"]), "{file} {row}");
            assert!(is_one_of(&row["direction"], &["forward", "back"]), "{file} {row}");
            assert!(row["turned"].is_boolean() && row["joined"].is_boolean(), "{file} {row}");
            for id in list(&row["order"]) {
                let stitch = &fabric["stitches"][usize::try_from(id.as_u64().expect("an id")).expect("small")];
                assert_eq!(&stitch["id"], id, "{file}: ids are the order of the stitches");
            }
        }
        for event in list(&fabric["events"]) {
            assert!(is_one_of(&event["do"], &["turn", "join", "attach", "cut", "seam"]), "{file} {event}");
            assert!(event["after"].is_u64() || event["after"].is_null(), "{file} {event}");
        }
        for space in list(&fabric["spaces"]) {
            assert!(list(&space["ids"]).iter().all(Value::is_u64), "{file} {space}");
        }
    }
}

#[test]
fn stitches_of_the_fabric_have_their_keys() {
    const ROLES: &[&str] = &["base", "turning", "join", "travel", "picot", "space", "branch"];
    for (file, fabric) in orchard("fabric-stitches", "fabric") {
        for (i, stitch) in list(&fabric["stitches"]).iter().enumerate() {
            assert_eq!(stitch["id"], i, "{file}: yarn order is id order");
            assert!(stitch["kind"].is_string() && stitch["row"].is_u64(), "{file} {stitch}");
            assert!(is_one_of(&stitch["side"], &["RS", "WS"]) && stitch["colour"].is_string(), "{file} {stitch}");
            assert!(stitch["counts"].is_boolean() && is_one_of(&stitch["role"], ROLES), "{file} {stitch}");
            assert!(is_one_of(&stitch["meet"], &["head", "foot", "both", "closed"]), "{file} {stitch}");
            assert!(list(&stitch["pass"]).iter().all(Value::is_u64), "{file} {stitch}");
            let span = list(&stitch["span"]);
            assert!(span[0].as_u64() < span[1].as_u64(), "{file} {stitch}");
            let legs = list(&stitch["legs"]);
            assert!(!legs.is_empty() && legs.iter().all(|l| l["stem"].is_string()), "{file} {stitch}");
            let flat: Vec<&Value> = legs.iter().flat_map(|l| list(&l["into"])).collect();
            assert!(flat.iter().all(|p| is_place(p)), "{file} {stitch}");
            assert_eq!(list(&stitch["into"]).iter().collect::<Vec<_>>(), flat, "into is the legs' places, flat");
        }
    }
}

#[test]
fn what_counts_in_the_fabric_is_what_check_says_was_made() {
    let folder = Folder::new("fabric-made");
    for (file, fabric) in orchard("fabric-counts", "fabric") {
        let path = format!("{}/examples/orchard/{file}", env!("CARGO_MANIFEST_DIR"));
        folder.file(&file, std::fs::read(path).expect("the pattern is there"));
        let checked = folder.run(&["check", &file, "--format", "json"]).json();
        let made: u64 = list(&checked["patterns"][0]["parts"])
            .iter()
            .flat_map(|p| list(&p["rows"]))
            .filter_map(|r| r["made"].as_u64())
            .sum();
        let counts = list(&fabric["stitches"]).iter().filter(|s| s["counts"] == true).count();
        assert_eq!(Some(made), u64::try_from(counts).ok(), "{file}");
    }
}

#[test]
fn a_pattern_with_errors_is_dumped_as_far_as_it_was_worked() {
    let folder = Folder::new("fabric-errors");
    let text = "Pear\n\nCh 6.\nRow 1: Sc in 2nd ch from hook and in each ch across. (6 sts)\n";
    let run = folder.run(&["dump", folder.file("wrong.txt", text), "--as", "fabric"]);
    assert_eq!(run.code, 1, "{}", run.err);
    let fabric = run.json();
    assert_eq!(fabric["complete"], false);
    assert!(is_one_of(&fabric["problems"][0]["code"], &["foundation-length", "count-differs"]), "{fabric}");
    assert_eq!(list(&fabric["stitches"]).iter().filter(|s| s["kind"] == "sc").count(), 5);
}

fn is_point(value: &Value) -> bool {
    value.as_array().is_some_and(|p| p.len() == 2 && p.iter().all(Value::is_number))
}

#[test]
fn every_stitch_of_the_layout_has_a_head_and_a_foot_for_each_leg() {
    for (file, layout) in orchard("layout-stitches", "layout") {
        for stitch in list(&layout["stitches"]) {
            assert!(is_point(&stitch["head"]), "{file} {stitch}");
            let feet = list(&stitch["feet"]);
            assert!(feet.iter().all(is_point), "{file} {stitch}");
            if stitch["kind"] == "ch" {
                assert!(is_point(&stitch["at"]) && stitch["angle_rad"].is_number(), "{file} {stitch}");
            } else {
                assert_eq!(feet.len(), list(&stitch["legs"]).len(), "{file} {stitch}");
            }
        }
        for space in list(&layout["spaces"]) {
            assert!(is_point(&space["apex"]) && space["ids"].is_array(), "{file} {space}");
        }
    }
}

#[test]
fn the_order_of_a_row_holds_heads_on_its_line_and_a_branch_stands_in_strands() {
    for (file, layout) in orchard("layout-rows", "layout") {
        let role: HashMap<u64, &str> =
            list(&layout["stitches"]).iter().filter_map(|s| Some((s["id"].as_u64()?, s["role"].as_str()?))).collect();
        let mut branches = 0;
        for row in list(&layout["rows"]) {
            assert!(row["closed"].is_boolean(), "{file} {row}");
            for id in list(&row["order"]) {
                let role = role[&id.as_u64().expect("an id")];
                assert!(!matches!(role, "picot" | "join" | "travel" | "branch"), "{file}: a {role} in {row}");
            }
            for strand in row["strands"].as_array().into_iter().flatten() {
                assert!(strand["root"].is_u64() && !list(&strand["order"]).is_empty(), "{file} {strand}");
                branches += 1;
            }
        }
        assert_eq!(branches > 0, role.values().any(|&r| r == "branch"), "{file}: {branches} strands");
    }
}

#[test]
fn the_quality_has_its_figures() {
    for (file, layout) in orchard("layout-quality", "layout") {
        let quality = &layout["quality"];
        for key in ["overlaps", "crossings", "flips"] {
            assert!(quality[key].is_u64(), "{file}: {key}");
        }
        for key in [
            "overlap_area",
            "spacing_cv",
            "min_spacing",
            "kink_p95_deg",
            "stretch_p05",
            "stretch_p95",
            "stretch_max",
            "lean_p95_deg",
            "residual_before",
            "residual",
        ] {
            assert!(quality[key].is_number(), "{file}: {key}");
        }
        for row in list(&quality["rows"]) {
            assert!(row["row"].is_u64(), "{file} {row}");
            for key in ["spacing_cv", "kink_p95_deg", "lean_p95_deg"] {
                assert!(row[key].is_number(), "{file} {row}");
            }
        }
    }
}

#[test]
fn numbers_have_at_most_nine_decimals() {
    let folder = Folder::new("decimals");
    let path = format!("{}/examples/orchard/leaf.txt", env!("CARGO_MANIFEST_DIR"));
    let run =
        folder.run(&["dump", folder.file("leaf.txt", std::fs::read(path).expect("it is there")), "--as", "layout"]);
    let decimals = |word: &str| word.split_once('.').map_or(0, |(_, d)| d.len());
    let longest = run.out.split(|c: char| !c.is_ascii_digit() && c != '.').map(decimals).max();
    assert!(longest.is_some_and(|n| (1..=9).contains(&n)), "{longest:?}");
}
