//! The commands and documents other programs rely on: names, types, numbers, exit codes.

#[path = "contract/dump.rs"]
mod dump;
#[path = "contract/measure.rs"]
mod measure;
mod program;
#[path = "contract/sizes.rs"]
mod sizes;

use program::Folder;
use serde_json::Value;

const PATTERNS: [&str; 5] = ["acorn", "apple", "coaster", "leaf", "pear"];

/// Longest a check of a small pattern may take, with room for a busy machine.
const SOON: std::time::Duration = std::time::Duration::from_secs(5);

/// A folder with the five patterns of the orchard.
fn orchard(test: &str) -> Folder {
    let folder = Folder::new(test);
    for name in PATTERNS {
        let path = format!("{}/examples/orchard/{name}.txt", env!("CARGO_MANIFEST_DIR"));
        folder.file(&format!("{name}.txt"), std::fs::read(path).expect("the pattern is there"));
    }
    folder
}

/// The one entry of `check FILE --format json`.
fn checked(folder: &Folder, file: &str) -> Value {
    let run = folder.run(&["check", file, "--format", "json"]);
    let document = run.json();
    assert!(run.out.starts_with("{\"fanwise\":\"") && run.err.is_empty(), "{}{}", run.out, run.err);
    assert_eq!(document["schema"], 1);
    assert_eq!(list(&document["patterns"]).len(), 1);
    document["patterns"][0].clone()
}

fn list(value: &Value) -> &Vec<Value> {
    value.as_array().unwrap_or_else(|| panic!("this is no list: {value}"))
}

fn rows(entry: &Value) -> Vec<Value> {
    list(&entry["parts"]).iter().flat_map(|p| list(&p["rows"]).clone()).collect()
}

/// The row of a label, with only these of its keys.
fn row(entry: &Value, label: &str, keys: &[&str]) -> Value {
    let all = rows(entry);
    let row = all.iter().find(|r| r["label"] == label).unwrap_or_else(|| panic!("there is no {label}"));
    keys.iter().map(|&k| (k.to_owned(), row[k].clone())).collect::<serde_json::Map<_, _>>().into()
}

const NUMBERS: [&str; 5] = ["offered", "used", "passed", "left", "made"];

#[test]
fn every_pattern_of_the_orchard_is_fine_in_every_format() {
    let folder = orchard("fine");
    for name in PATTERNS {
        let file = format!("{name}.txt");
        for format in ["human", "json", "lines"] {
            let run = folder.run(&["check", &file, "--format", format, "--strict"]);
            assert!(run.took < SOON, "{file} took {:?}", run.took);
            assert_eq!(run.code, 0, "{file} {format}: {}{}", run.out, run.err);
        }
        let entry = checked(&folder, &file);
        assert_eq!(entry["problems"], serde_json::json!([]), "{file}");
        for row in rows(&entry) {
            assert_eq!(row["read"], true, "{file} {row}");
            assert_eq!(row["offered"], row["used"], "{file} {row}");
        }
    }
}

#[test]
fn every_entry_of_check_has_its_keys_and_types() {
    let folder = orchard("keys");
    for name in PATTERNS {
        let entry = checked(&folder, &format!("{name}.txt"));
        assert_eq!(entry["file"], format!("{name}.txt"));
        assert!(entry["title"].is_string());
        assert_eq!(entry["terms"], "us");
        assert_eq!(entry["sizes"], serde_json::json!(["one"]));
        let conventions = &entry["conventions"];
        assert!(conventions["turning_chain_counts"].as_object().is_some_and(|m| m.values().all(Value::is_boolean)));
        assert!(matches!(conventions["repeat_n"].as_str(), Some("more" | "total")));
        assert!(conventions["slip_stitches_count"].is_boolean() && conventions["chains_count"].is_boolean());
        for part in list(&entry["parts"]) {
            assert!(part["name"].is_string() && part["copies"].is_u64());
        }
        for row in rows(&entry) {
            assert!(row["label"].is_string() && row["line"].as_u64().is_some_and(|n| n > 0), "{row}");
            assert!(row["read"].is_boolean() && row["made"].is_u64(), "{row}");
            for key in ["kinds", "spaces", "groups"] {
                assert!(row[key].as_object().is_some_and(|m| m.values().all(Value::is_u64)), "{row}");
            }
            for stated in list(&row["stated"]) {
                assert!(stated["count"].is_u64() && stated["of"].is_string() && stated["agrees"].is_boolean(), "{row}");
            }
            let sum: u64 = row["kinds"].as_object().into_iter().flatten().filter_map(|(_, n)| n.as_u64()).sum();
            assert_eq!(Some(sum), row["made"].as_u64(), "kinds sum to made: {row}");
            if row["label"] == "Foundation" {
                assert!(row["side"].is_null() && row["chains"].is_u64(), "{row}");
                assert!(row["offered"].is_null() && row["used"].is_null() && row["made"] == 0, "{row}");
            } else {
                assert!(matches!(row["side"].as_str(), Some("RS" | "WS")), "{row}");
                assert!(row["offered"].is_u64() == row["used"].is_u64(), "{row}");
                assert!(row["passed"].is_u64() && row["left"].is_u64(), "{row}");
            }
        }
    }
}

#[test]
fn the_pear_has_the_numbers_of_its_words() {
    let folder = orchard("pear");
    let pear = checked(&folder, "pear.txt");
    assert_eq!(pear["title"], "Pear");
    assert_eq!(row(&pear, "Foundation", &["chains", "made"]), serde_json::json!({"chains": 14, "made": 0}));
    // 13 chains from the second, and 13 less the end chain on the way back
    let numbers = |offered: u64, made: u64| serde_json::json!({"offered": offered, "used": offered, "passed": 0, "left": 0, "made": made});
    assert_eq!(row(&pear, "Row 1", &NUMBERS), numbers(25, 31));
    assert_eq!(row(&pear, "Row 2", &NUMBERS), numbers(31, 34));
    assert_eq!(row(&pear, "Row 3", &NUMBERS), numbers(34, 37));
    // three rows have two ends each; the chain's own end is no place of the edge unless it is named
    assert_eq!(row(&pear, "Border row 1", &NUMBERS), numbers(6, 6));
    let stated = serde_json::json!([{"count": 34, "of": "sts", "agrees": true}]);
    assert_eq!(row(&pear, "Row 2", &["side", "stated"]), serde_json::json!({"side": "WS", "stated": stated}));
    assert_eq!(row(&pear, "Row 2", &["kinds"])["kinds"], serde_json::json!({"sc": 33, "sc2tog": 1}));
}

#[test]
fn round_2_of_a_square_is_offered_4_uses_4_and_passes_12() {
    let folder = orchard("square");
    let coaster = checked(&folder, "coaster.txt");
    let first = serde_json::json!({"offered": null, "used": null, "made": 12});
    assert_eq!(row(&coaster, "Round 1", &["offered", "used", "made"]), first);
    let second = serde_json::json!({"offered": 4, "used": 4, "passed": 12, "left": 0, "made": 24});
    assert_eq!(row(&coaster, "Round 2", &NUMBERS), second);
    let third = serde_json::json!({"offered": 8, "used": 8, "passed": 24, "left": 0, "made": 36});
    assert_eq!(row(&coaster, "Round 3", &NUMBERS), third);
    let made = row(&coaster, "Round 2", &["kinds", "spaces"]);
    assert_eq!(made, serde_json::json!({"kinds": {"dc": 24}, "spaces": {"ch-1": 4, "ch-2": 4}}));
    assert_eq!(coaster["conventions"]["turning_chain_counts"], serde_json::json!({"dc": true}));
}

#[test]
fn places_left_at_the_open_end_of_the_far_side_are_a_note() {
    let folder = Folder::new("far-side");
    let text = "Leaf\n\nCh 6.\nRow 1: Sc in 2nd ch from hook and in next 3 ch, 3 sc in last ch; working along opposite side of foundation ch, sc in next 3 ch. (10 sts)\n";
    let run = folder.run(&["check", folder.file("leaf.txt", text), "--format", "json", "--strict"]);
    assert_eq!(run.code, 0, "a note is no warning: {}", run.out);
    let entry = &run.json()["patterns"][0];
    let problem = &entry["problems"][0];
    assert_eq!((&problem["code"], &problem["severity"]), (&"places-left".into(), &"note".into()));
    let numbers = serde_json::json!({"offered": 9, "used": 8, "passed": 0, "left": 1, "made": 10});
    assert_eq!(row(entry, "Row 1", &NUMBERS), numbers);
}

#[test]
fn a_problem_has_its_code_place_message_and_what_mends_it() {
    let folder = Folder::new("problem");
    // columns count letters, spans count bytes: é is one and two
    let text = "Poiré\n\nCh 6.\nRow 1: Sc in 2nd ch from hook (this will be the café), hcd in next 4 ch. (5 sts)\n";
    let run = folder.run(&["check", folder.file("poire.txt", text), "--format", "json"]);
    let entry = &run.json()["patterns"][0];
    for problem in list(&entry["problems"]) {
        let span = list(&problem["span"]);
        let (start, end) = (span[0].as_u64().expect("a number"), span[1].as_u64().expect("a number"));
        let (start, end) = (usize::try_from(start).expect("small"), usize::try_from(end).expect("small"));
        let words = text.get(start..end).expect("a span is a part of the file");
        let line_start = text[..start].rfind('\n').map_or(0, |n| n + 1);
        let line = text[..start].matches('\n').count() + 1;
        assert_eq!(problem["line"], line, "{words}");
        assert_eq!(problem["column"], text[line_start..start].chars().count() + 1, "{words}");
        assert!(matches!(problem["severity"].as_str(), Some("error" | "warning" | "note")));
        assert!(problem["code"].is_string() && problem["message"].is_string());
        assert!(problem["labels"].is_array() && problem["hints"].is_array() && problem["mends"].is_array());
    }
    assert_eq!(entry["problems"][0]["column"], 56, "é before it is one letter: {}", entry["problems"]);
    assert_eq!(run.code, 1, "{}", run.out);
}

#[test]
fn lines_are_one_a_problem() {
    let folder = Folder::new("lines");
    let text =
        "Pear\n\nCh 6.\nRow 1: Sc in 2nd ch from hook and in each ch across. (5 sts)\nRow 2: Ch 1, sc in next 3 sts.\n";
    let run = folder.run(&["check", folder.file("pear.txt", text), "--format", "lines"]);
    let message = "row 2 leaves 2 sts of row 1 unworked: 5 to work into, 3 used";
    assert_eq!(run.out, format!("pear.txt:5:14: error[places-left]: {message}\n"));
    assert_eq!(run.code, 1);
}

#[test]
fn exit_codes_are_0_1_and_2_and_a_batch_exits_with_its_highest() {
    let folder = orchard("codes");
    folder.file("wrong.txt", "Pear\n\nCh 6.\nRow 1: Sc in 2nd ch from hook and in each ch across. (6 sts)\n");
    assert_eq!(folder.run(&["check", "pear.txt", "leaf.txt"]).code, 0);
    assert_eq!(folder.run(&["check", "pear.txt", "wrong.txt", "leaf.txt"]).code, 1);
    let run = folder.run(&["check", "pear.txt", "gone.txt", "wrong.txt", "--format", "json"]);
    assert_eq!(run.code, 2);
    assert_eq!(list(&run.json()["patterns"]).len(), 2, "the others are still reported");
    assert!(run.err.contains("gone.txt"), "{}", run.err);
    assert_eq!(folder.run(&["check", "."]).code, 1, "a folder is its patterns");
    assert_eq!(folder.run(&["--version"]).code, 0);
    assert_eq!(folder.run(&["explain", "places-left"]).code, 0);
    assert_eq!(folder.run(&["explain", "no-such-code"]).code, 2);
}

#[test]
fn every_code_is_explained() {
    let folder = Folder::new("explain");
    for code in fanwise::source::Code::ALL {
        let run = folder.run(&["explain", code.as_str()]);
        assert_eq!(run.code, 0, "{}: {}", code.as_str(), run.err);
        assert!(run.out.contains(code.as_str()) && run.out.len() > 100, "{}", run.out);
    }
}

#[test]
fn strict_turns_warnings_into_errors() {
    let folder = Folder::new("strict");
    let text = "Leaf\n\nCh 6.\nRow 1 (RS): Sc in 2nd ch from hook and in each ch across. Turn. (5 sts)\nRow 2 (RS): Ch 1, sc in each st across. (5 sts)\n";
    let file = folder.file("leaf.txt", text);
    assert_eq!(folder.run(&["check", file]).code, 0, "a warning is fine");
    assert_eq!(folder.run(&["check", file, "--strict"]).code, 1);
}

#[test]
fn terms_say_how_the_words_are_read() {
    let folder = Folder::new("terms");
    let file = folder.file("hedge.txt", "Hedge\n\nCh 6.\nRow 1: Dc in 2nd ch from hook and in each ch across.\n");
    let kinds = |terms: &str| {
        let document = folder.run(&["check", file, "--terms", terms, "--format", "json"]).json();
        let entry = &document["patterns"][0];
        (entry["terms"].clone(), row(entry, "Row 1", &["kinds"])["kinds"].clone())
    };
    assert_eq!(kinds("uk"), ("uk".into(), serde_json::json!({"sc": 5})));
    assert_eq!(kinds("us").0, "us");
    assert!(kinds("us").1["dc"].is_u64());
}

#[test]
fn a_dash_is_standard_input() {
    let folder = orchard("stdin");
    let words = String::from_utf8(folder.bytes("pear.txt")).expect("it is text");
    let run = folder.run_on(&["check", "-", "--format", "json"], &words);
    assert_eq!(run.code, 0, "{}{}", run.out, run.err);
    let mut entry = run.json()["patterns"][0].clone();
    entry["file"] = "pear.txt".into();
    assert_eq!(entry, checked(&folder, "pear.txt"));
    let dumped = folder.run_on(&["dump", "-", "--as", "fabric"], &words);
    assert_eq!(dumped.out, folder.run(&["dump", "pear.txt", "--as", "fabric"]).out);
    let drawn = folder.run_on(&["draw", "-", "-o", "pear.svg"], &words);
    assert_eq!((drawn.code, drawn.out.as_str()), (0, ""), "{}", drawn.err);
    let names = ["acorn.txt", "apple.txt", "coaster.txt", "leaf.txt", "pear.svg", "pear.txt"];
    assert_eq!(folder.names(), names, "the chart is written and nothing else");
}

#[test]
fn the_same_words_give_the_same_bytes_ten_times_over() {
    let folder = orchard("bytes");
    for name in PATTERNS {
        let file = format!("{name}.txt");
        let all = || {
            let svg = folder.run(&["draw", &file, "-o", "out.svg"]);
            assert_eq!(svg.code, 0, "{}", svg.err);
            let mut bytes = folder.bytes("out.svg");
            for args in [
                &["check", &file, "--format", "json"][..],
                &["dump", &file, "--as", "fabric"],
                &["dump", &file, "--as", "layout"],
            ] {
                bytes.extend(folder.run(args).out.into_bytes());
            }
            bytes
        };
        let first = all();
        for time in 2..=10 {
            assert!(all() == first, "{file} differs the {time}th time");
        }
    }
}
