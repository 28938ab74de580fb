//! Patterns in several sizes by the program: one size at a time, all in one table, all in one document.

use super::program::Folder;
use serde_json::json;

/// Size M is two stitches short of what row 2 asks.
const CAP: &str = "Acorn cap\n\nSizes: S (M, L)\n\nCh 7 (9, 11).\n\
    Row 1: Sc in 2nd ch from hook and in each ch across. Turn. 6 (8, 10) sts.\n\
    Row 2: Ch 1, sc in next 6 (10, 10) sts.\n";

#[test]
fn the_document_has_every_size_of_every_row() {
    let folder = Folder::new("sizes-json");
    let file = folder.file("cap.txt", CAP);
    let run = folder.run(&["check", file, "--size", "all", "--format", "json"]);
    assert_eq!(run.code, 1, "{}", run.err);
    let entry = &run.json()["patterns"][0];
    assert_eq!(entry["sizes"], json!(["S", "M", "L"]));
    let rows = &entry["parts"][0]["rows"];
    assert_eq!(
        rows[1]["by_size"],
        json!([
            {"offered": 6, "used": 6, "made": 6, "stated": [{"count": 6, "of": "sts", "agrees": true}]},
            {"offered": 8, "used": 8, "made": 8, "stated": [{"count": 8, "of": "sts", "agrees": true}]},
            {"offered": 10, "used": 10, "made": 10, "stated": [{"count": 10, "of": "sts", "agrees": true}]}
        ])
    );
    let used: Vec<_> = (0..3).map(|k| rows[2]["by_size"][k]["used"].clone()).collect();
    assert_eq!(used, [json!(6), json!(10), json!(10)]);
    let problems = entry["problems"].as_array().expect("a list");
    assert_eq!(problems.len(), 1, "{problems:?}");
    assert!(problems[0]["message"].as_str().is_some_and(|m| m.starts_with("size M: ")), "{problems:?}");
}

#[test]
fn a_size_that_fits_is_fine_by_itself() {
    let folder = Folder::new("sizes-one");
    let file = folder.file("cap.txt", CAP);
    for (size, code, stitches) in [("S", 0, "6 of 6 used"), ("M", 1, "10 of 8 used"), ("3", 0, "10 of 10 used")] {
        let run = folder.run(&["check", file, "--size", size]);
        assert_eq!(run.code, code, "{}", run.out);
        assert!(run.out.contains(stitches), "size {size}: {}", run.out);
        let run = folder.run(&["check", file, "--size", size, "--format", "json"]);
        assert!(run.json()["patterns"][0]["parts"][0]["rows"][0].get("by_size").is_none());
    }
}

#[test]
fn the_report_has_all_sizes_in_one_table() {
    let folder = Folder::new("sizes-table");
    let file = folder.file("cap.txt", CAP);
    let run = folder.run(&["check", file, "--size", "all"]);
    let line = |start: &str| run.out.lines().find(|l| l.trim_start().starts_with(start)).unwrap_or_default().to_owned();
    assert_eq!(line("S ").split_whitespace().collect::<Vec<_>>(), ["S", "M", "L"]);
    assert!(line("Row 1").contains("6 of 6, 6 made") && line("Row 1").contains("10 of 10, 10 made"), "{}", run.out);
    assert!(run.out.contains("3 rows in 3 sizes checked: 1 error"), "{}", run.out);
}

#[test]
fn a_size_is_drawn_and_dumped_one_at_a_time() {
    let folder = Folder::new("sizes-draw");
    let file = folder.file("cap.txt", CAP);
    let run = folder.run(&["draw", file, "-o", "cap.svg", "--size", "L"]);
    assert_eq!(run.code, 0, "{}{}", run.out, run.err);
    let run = folder.run(&["dump", file, "--as", "fabric", "--size", "L"]);
    let stitches = run.json()["stitches"].as_array().map(Vec::len);
    assert_eq!(stitches, Some(11 + 10 + 1 + 10), "chains, row 1, turning chain, row 2");
    for command in [
        &["draw", "cap.txt", "-o", "all.svg", "--size", "all"][..],
        &["dump", "cap.txt", "--as", "tree", "--size", "all"],
    ] {
        let run = folder.run(command);
        assert_eq!(run.code, 2, "{}", run.out);
        assert!(run.err.contains("one size"), "{}", run.err);
    }
    assert_eq!(folder.names(), ["cap.svg", "cap.txt"]);
}

#[test]
fn a_size_that_is_not_there_is_told() {
    let folder = Folder::new("sizes-none");
    let file = folder.file("cap.txt", CAP);
    let run = folder.run(&["check", file, "--size", "XXL"]);
    assert_eq!(run.code, 2);
    assert!(run.err.contains("has no size \"XXL\": its sizes are S, M, L"), "{}", run.err);
    // a pattern of one size is of any size
    let file = folder.file("leaf.txt", "Leaf\n\nCh 6.\nRow 1: Sc in 2nd ch from hook and in each ch across. (5 sts)\n");
    assert_eq!(folder.run(&["check", file, "--size", "XXL"]).code, 0);
}
