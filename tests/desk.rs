//! The editor's desk: many patterns at once, the settings of a series, doubts settled from outside.

mod program;
#[path = "desk/series.rs"]
mod series;

use program::Folder;
use serde_json::Value;

const SWATCH: &str = "Swatch\n\nCh 6.\nRow 1: Sc in 2nd ch from hook and in each ch across. Turn. (5 sts)\n";

fn entry(run: &program::Run) -> Value {
    run.json()["patterns"][0].clone()
}

/// The row of a label.
fn row(entry: &Value, label: &str) -> Value {
    let rows = entry["parts"].as_array().into_iter().flatten().flat_map(|p| p["rows"].as_array()).flatten();
    rows.into_iter().find(|r| r["label"] == label).cloned().unwrap_or_else(|| panic!("there is no {label}"))
}

// ---- many files ---------------------------------------------------------------------------

#[test]
fn a_batch_has_a_line_a_file_in_order_and_the_same_bytes_every_time() {
    let folder = Folder::new("desk-batch");
    let names: Vec<String> = (0..40).map(|n| format!("p{n:02}.txt")).collect();
    for (n, name) in names.iter().enumerate() {
        // longer ones first, so that they are done last
        let rows: String = (2..40 - n / 2).map(|k| format!("Row {k}: Ch 1, sc in each st across. Turn.\n")).collect();
        std::fs::write(folder.path().join(name), format!("{SWATCH}{rows}")).expect("it is written");
    }
    let run = folder.run(&["check", "."]);
    assert_eq!((run.code, run.err.as_str()), (0, ""), "nothing but the result where there is no terminal");
    let told: Vec<&str> = run.out.lines().filter_map(|l| l.split(": ").next()).take(40).collect();
    assert_eq!(told, names.iter().map(|n| format!("./{n}")).collect::<Vec<_>>());
    for format in ["human", "json", "lines"] {
        let first = folder.run(&["check", ".", "--format", format]).out;
        for _ in 0..3 {
            assert!(folder.run(&["check", ".", "--format", format]).out == first, "{format} differs");
        }
    }
}

#[test]
fn what_is_wrong_is_told_below_its_file_and_added_up() {
    let folder = Folder::new("desk-details");
    folder.file("a.txt", SWATCH);
    folder.file("b.txt", SWATCH.replace("(5 sts)", "(6 sts)"));
    let run = folder.run(&["check", "a.txt", "b.txt"]);
    assert_eq!(run.code, 1);
    let fine = run.out.find("a.txt: Swatch, 2 rows: fine\n").expect("the first file's line");
    let line = run.out.find("b.txt: Swatch, 2 rows: 1 error, 0 warnings, 0 notes\n").expect("the second file's line");
    let detail = run.out.find("error[foundation-length]").expect("the problem");
    assert!(fine < line && line < detail && run.out[detail..].contains("--> b.txt:3:1"), "{}", run.out);
    assert!(run.out.ends_with("2 patterns, 4 rows: 1 error, 0 warnings, 0 notes\n"), "{}", run.out);
}

#[test]
fn files_that_cannot_be_read_do_not_stop_the_rest() {
    let folder = Folder::new("desk-unreadable");
    folder.file("a.txt", SWATCH);
    folder.file("b.txt", b"\xff\xfe");
    folder.file("d.txt", SWATCH);
    std::fs::create_dir(folder.path().join("none")).expect("a folder");
    let run = folder.run(&["check", "a.txt", "b.txt", "c.txt", "none", "d.txt"]);
    assert_eq!(run.code, 2);
    assert!(run.out.contains("a.txt: ") && run.out.contains("d.txt: "), "{}", run.out);
    assert!(run.out.ends_with("2 patterns, 4 rows: fine; not read: 3 files\n"), "{}", run.out);
    for told in ["error[not-text]: b.txt", "error[unreadable]: c.txt", "error[unreadable]: none holds no"] {
        assert!(run.err.contains(told), "{}", run.err);
    }
    assert_eq!(folder.run_on(&["check", "-", "-"], SWATCH).code, 2, "standard input is read once");
}

// ---- doubts settled -----------------------------------------------------------------------

const STAR: &str = "Band\n\nCh 19.\nRow 1: Sc in 2nd ch from hook and in each ch across. Turn. (18 sts)\nRow 2: Ch 1, *sc in next st, 2 sc in next st; rep from * 8 times. Turn.\n";

#[test]
fn a_repeat_is_n_more_or_n_in_all_as_assumed() {
    let folder = Folder::new("desk-repeat");
    let file = folder.file("band.txt", STAR);
    let read = |how: &str| {
        let entry = entry(&folder.run(&["check", file, "--format", "json", "--assume", how]));
        (entry["conventions"]["repeat_n"].clone(), row(&entry, "Row 2")["made"].clone())
    };
    assert_eq!(read("repeat=more"), ("more".into(), 27.into()));
    assert_eq!(read("repeat=total"), ("total".into(), 24.into()));
    // words that leave no doubt stay as they are
    let plain = folder.file("plain.txt", STAR.replace("8 times", "8 more times"));
    let entry = entry(&folder.run(&["check", plain, "--format", "json", "--assume", "repeat=total"]));
    assert_eq!(row(&entry, "Row 2")["made"], 27);
}

#[test]
fn a_turning_chain_counts_or_not_as_assumed() {
    let folder = Folder::new("desk-turning");
    let text = "Mat\n\nCh 12.\nRow 1: Dc in 4th ch from hook and in each ch across. Turn.\nRow 2: Ch 3, dc in each st across. Turn.\n";
    let file = folder.file("mat.txt", text);
    let read = |how: &str, file: &str| {
        let entry = entry(&folder.run(&["check", file, "--format", "json", "--assume", how]));
        (entry["conventions"]["turning_chain_counts"]["dc"].clone(), row(&entry, "Row 1")["made"].clone())
    };
    assert_eq!(read("turning-chain=counts", file), (true.into(), 10.into()));
    assert_eq!(read("turning-chain=not", file), (false.into(), 9.into()));
    let both = read("turning-chain=not,repeat=total", file);
    assert_eq!(both, (false.into(), 9.into()));
    // the pattern's own word stands above it
    let told = folder.file("told.txt", text.replace("Ch 12.", "Notes\nCh 3 counts as dc throughout.\n\nCh 12."));
    assert_eq!(read("turning-chain=not", told), (true.into(), 10.into()));
    let wrong = folder.run(&["check", file, "--assume", "repeat=some"]);
    assert_eq!(wrong.code, 2);
    assert!(wrong.err.contains("repeat=more"), "{}", wrong.err);
}

// ---- settings -----------------------------------------------------------------------------

const SETTINGS: &str = "terms = \"uk\"\nassume = [\"turning-chain=not\", \"repeat=total\"]\nremarks = [\"admire the blossom\"]\n\n[aliases]\nhd = \"htr\"\n\n[stitches]\n\"bud (bd)\" = \"3 hd in same st\"\n";

#[test]
fn settings_beside_a_pattern_hold_and_the_command_line_wins() {
    let folder = Folder::new("desk-settings");
    folder.file("fanwise.toml", SETTINGS);
    let text = "Hedge\n\nCh 6.\nRow 1: Dc in 2nd ch from hook, admire the blossom, hd in next 2 ch, bd in next ch, dc in last ch.\n";
    let file = folder.file("hedge.txt", text);
    let run = folder.run(&["check", file, "--format", "json"]);
    assert_eq!(run.code, 0, "{}{}", run.out, run.err);
    let told = entry(&run);
    assert_eq!((&told["terms"], &told["conventions"]["repeat_n"]), (&"uk".into(), &"total".into()));
    let worked = row(&told, "Row 1");
    assert_eq!(worked["kinds"], serde_json::json!({"hdc": 5, "sc": 2}));
    assert_eq!(worked["groups"], serde_json::json!({"bud": 1}));
    let us = entry(&folder.run(&["check", file, "--format", "json", "--terms", "us", "--assume", "repeat=more"]));
    assert_eq!((&us["terms"], &us["conventions"]["repeat_n"]), (&"us".into(), &"more".into()));
    // every command that reads has them, and standard input those of the folder
    assert_eq!(folder.run(&["dump", file, "--as", "fabric"]).code, 0);
    assert_eq!(folder.run(&["draw", file, "-o", "hedge.svg"]).code, 0);
    assert_eq!(folder.run_on(&["check", "-"], text).code, 0);
    // without them the words are pointed at
    std::fs::remove_file(folder.path().join("fanwise.toml")).expect("it is gone");
    let run = folder.run(&["check", file, "--format", "lines"]);
    for word in ["\"admire the blossom\"", "\"hd\"", "\"bd\""] {
        assert!(run.out.contains(word), "{word}: {}", run.out);
    }
}

#[test]
fn every_stitch_of_a_house_stitch_points_at_the_words_that_ask_for_it() {
    let folder = Folder::new("desk-spans");
    folder.file("fanwise.toml", "[stitches]\nbud = \"(2 dc, ch 1, 2 dc) in same st\"\n");
    let text = "Twig\n\nCh 6.\nRow 1: Sc in 2nd ch from hook and in next 3 ch, bud in last ch.\n";
    let run = folder.run(&["dump", folder.file("twig.txt", text), "--as", "fabric"]);
    let at = text.find("bud in last ch").expect("it is there");
    let stitches = run.json()["stitches"].clone();
    let buds: Vec<&Value> = stitches.as_array().into_iter().flatten().filter(|s| s["kind"] == "dc").collect();
    assert_eq!(buds.len(), 4, "{}", run.out);
    assert!(buds.iter().all(|s| s["span"] == serde_json::json!([at, at + "bud in last ch".len()])), "{}", run.out);
}

#[test]
fn a_pattern_s_own_definition_stands_above_the_house_s() {
    let folder = Folder::new("desk-own");
    folder.file("fanwise.toml", "[stitches]\nbud = \"3 dc in same st\"\n");
    let text = "Twig\n\nSpecial stitch\nBud: 5 dc in same st.\n\nCh 6.\nRow 1: Sc in 2nd ch from hook and in next 3 ch, bud in last ch.\n";
    let run = folder.run(&["check", folder.file("twig.txt", text), "--format", "json"]);
    assert_eq!(row(&entry(&run), "Row 1")["kinds"], serde_json::json!({"dc": 5, "sc": 4}), "{}", run.out);
}

#[test]
fn a_remark_is_taken_only_as_a_phrase_of_its_own() {
    let folder = Folder::new("desk-remark");
    folder.file("fanwise.toml", "remarks = [\"do not\", \"for the blossom\"]\n");
    let rows =
        "Row 2: Ch 1, sc in each st across. Do not turn.\nRow 3: Ch 1, sc in each st across, for the blossom only.\n";
    let run = folder.run(&["check", folder.file("a.txt", format!("{SWATCH}{rows}")), "--format", "json"]);
    let told = entry(&run);
    let sides: Vec<Value> = ["Row 1", "Row 2", "Row 3"].iter().map(|r| row(&told, r)["side"].clone()).collect();
    assert_eq!(sides, ["RS", "WS", "WS"], "\"do not turn\" is no remark and a turn: {}", run.out);
}

#[test]
fn each_folder_has_settings_of_its_own() {
    let folder = Folder::new("desk-folders");
    for (name, terms) in [("east", "us"), ("west", "uk")] {
        std::fs::create_dir(folder.path().join(name)).expect("a folder");
        std::fs::write(folder.path().join(name).join("fanwise.toml"), format!("terms = \"{terms}\"\n"))
            .expect("a file");
        let text = "Hedge\n\nCh 6.\nRow 1: Dc in 2nd ch from hook and in each ch across.\n";
        std::fs::write(folder.path().join(name).join("hedge.txt"), text).expect("a file");
    }
    let document = folder.run(&["check", "east", "west", "--format", "json"]).json();
    let terms: Vec<&Value> = document["patterns"].as_array().into_iter().flatten().map(|p| &p["terms"]).collect();
    assert_eq!(terms, ["us", "uk"]);
    // one that is wrong is told once, and keeps only its own folder from being checked
    std::fs::write(folder.path().join("east/more.txt"), SWATCH).expect("a file");
    std::fs::write(folder.path().join("east/fanwise.toml"), "\n\nterm = \"us\"\n").expect("a file");
    let run = folder.run(&["check", "east", "west", "--format", "json"]);
    assert_eq!(run.err, "error: east/fanwise.toml:3: there is no setting \"term\"; did you mean \"terms\"?\n");
    assert_eq!((run.code, run.json()["patterns"].as_array().map(Vec::len)), (2, Some(1)), "{}", run.out);
}

#[test]
fn yarns_are_drawn_in_the_colours_of_the_settings() {
    let folder = Folder::new("desk-inks");
    let file = folder.file("pear.txt", SWATCH);
    folder.file("fanwise.toml", "ink = \"yarn\"\n[yarns]\nA = \"#a02020\"\n");
    assert_eq!(folder.run(&["draw", file, "-o", "pear.svg"]).code, 0);
    let ink = |svg: &[u8]| String::from_utf8_lossy(svg).contains("#a02020");
    assert!(ink(&folder.bytes("pear.svg")));
    assert_eq!(folder.run(&["draw", file, "-o", "rows.svg", "--ink", "row"]).code, 0);
    assert!(!ink(&folder.bytes("rows.svg")), "the command line wins");
}

#[test]
fn strict_may_be_a_setting_and_denied() {
    let folder = Folder::new("desk-strict");
    folder.file("fanwise.toml", "strict = true\n");
    let file = folder.file("a.txt", format!("{SWATCH}Row 2: Ch 1, sc in each st across.\nRow 3: Ch 1, sc in each st across. Turn.\nRow 4: Ch 1, sc in each st across.\n"));
    assert_eq!(folder.run(&["check", file]).code, 1, "the missing turn is a warning");
    assert_eq!(folder.run(&["check", file, "--strict=false"]).code, 0);
}

// ---- the command line ---------------------------------------------------------------------

#[test]
fn every_command_has_help_with_examples_and_every_shell_its_completions() {
    let folder = Folder::new("desk-help");
    let help = folder.run(&["--help"]).out;
    let commands = help.lines().skip_while(|l| *l != "Commands:").skip(1).take_while(|l| !l.is_empty());
    let names: Vec<String> = commands
        .filter(|l| l.starts_with("  ") && !l.starts_with("   "))
        .filter_map(|l| l.split_whitespace().next().map(str::to_owned))
        .collect();
    assert!(names.iter().any(|n| n == "check") && names.len() >= 5, "{help}");
    for name in names.iter().filter(|n| *n != "help") {
        let run = folder.run(&[name, "--help"]);
        assert!(run.out.contains("Examples:\n  fanwise "), "{name} has no examples: {}", run.out);
        assert!(!run.out.contains('\u{1b}'), "no colours where NO_COLOR is set");
    }
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        let run = folder.run(&["completions", shell]);
        assert_eq!((run.code, run.err.as_str()), (0, ""));
        assert!(run.out.contains("fanwise") && run.out.contains("strict"), "{shell}");
    }
    assert_eq!(folder.run(&["completions", "abacus"]).code, 2);
}

// ---- two editions -------------------------------------------------------------------------

const APPLE: &str = "Little Apple\n\nGauge: 18 sc = 10 cm\n\nRnd 1: 6 sc in magic ring. (6 sts)\nRnd 2: 2 sc in each st around. (12 sts)\nRnd 3: [Sc in next st, 2 sc in next st] 6 times. (18 sts)\nRnd 4: Sc in each st around.\nRnd 5: [Sc in next 2 sts, 2 sc in next st] 6 times. (24 sts)\n";

/// The erratum of a text against the apple, and the JSON of what changed.
fn against_apple(name: &str, new: &str) -> (Vec<String>, Value) {
    let folder = Folder::new(&format!("desk-against-{name}"));
    folder.file("old.txt", APPLE);
    let file = folder.file("new.txt", new);
    let run = folder.run(&["check", file, "--against", "old.txt"]);
    let told = run.out.split_once("\nErratum against old.txt\n").map_or("", |(_, told)| told);
    let told: Vec<String> = told.lines().map(|l| l.trim().to_owned()).collect();
    let json = folder.run(&["check", file, "--against", "old.txt", "--format", "json"]);
    let entry = entry(&json)["against"].clone();
    assert_eq!(entry["file"], "old.txt");
    assert_eq!(entry["erratum"], serde_json::json!(told));
    (told, entry["changes"].clone())
}

#[test]
fn an_erratum_says_the_least_words_and_the_counts() {
    let new = APPLE.replace("2 sc in next st] 6 times. (24 sts)", "3 sc in next st] 6 times. (30 sts)");
    let (told, changes) = against_apple("words", &new);
    assert_eq!(told, ["Rnd 5: for 2 sc read 3 sc; count 30, was 24"]);
    let at = new.find("3 sc in next st").expect("it is there");
    let row = &changes[0];
    assert_eq!((&row["change"], &row["label"], &row["line"]), (&"changed".into(), &"Round 5".into(), &9.into()));
    let words = serde_json::json!([{"for": "2 sc", "read": "3 sc", "after": null, "nth": null,
        "span_was": [at, at + 4], "span": [at, at + 4]}]);
    assert_eq!(row["differences"], words);
    assert_eq!(row["stated"], serde_json::json!([{"of": "sts", "count": 30, "was": 24}]));
    assert_eq!((&row["made"], &row["made_was"]), (&30.into(), &24.into()));
}

#[test]
fn a_row_put_in_renumbers_those_behind_it_and_no_more() {
    let new = APPLE
        .replace("Rnd 5:", "Rnd 6:")
        .replace("Rnd 4:", "Rnd 5:")
        .replace("Rnd 5: Sc in each", "Rnd 4: Ch 1, turn, sc in each st around. (18 sts)\nRnd 5: Sc in each");
    let (told, changes) = against_apple("added", &new);
    let added = "after Rnd 3 add \"Rnd 4: Ch 1, turn, sc in each st around. (18 sts)\"";
    assert_eq!(told, [added, "Round 4 to Round 5 are now Round 5 to Round 6"]);
    let kinds: Vec<&Value> = changes.as_array().into_iter().flatten().map(|c| &c["change"]).collect();
    assert_eq!(kinds, ["added", "renumbered", "renumbered"]);
    // and the other way
    let less = APPLE.replace("Rnd 4: Sc in each st around.\n", "").replace("Rnd 5:", "Rnd 4:");
    assert_eq!(against_apple("removed", &less).0, ["omit Rnd 4", "Rnd 5 is now Rnd 4"]);
}

#[test]
fn a_row_whose_words_stand_and_whose_count_does_not_is_told() {
    let new = APPLE.replace("[Sc in next st, 2 sc in next st] 6 times. (18 sts)", "2 sc in each st around. (24 sts)");
    let (told, changes) = against_apple("count", &new);
    assert_eq!(told[1], "Rnd 4: makes 24, was 18, the words stand");
    assert_eq!(changes[1]["change"], "count");
}

#[test]
fn a_row_that_is_another_altogether_is_printed_whole() {
    let old = "Rnd 5: [Sc in next 2 sts, 2 sc in next st] 6 times. (24 sts)";
    let new = APPLE.replace(old, "Rnd 5: Hdc around. (18 sts)");
    let long = APPLE.replace(old, "Rnd 5: Skip first st, dc in next st, [hdc in next st, picot, tr in next st, dtr in next st] 4 times, sl st in last st, turn, ch 9. (24 sts)");
    let folder = Folder::new("desk-against-whole");
    folder.file("long.txt", &long);
    let file = folder.file("new.txt", new);
    let run = folder.run(&["check", file, "--against", "long.txt"]);
    assert!(run.out.contains("\n  Rnd 5: read \"Hdc around. (18 sts)\""), "{}", run.out);
}

#[test]
fn what_is_no_work_is_compared_too_and_nothing_is_nothing() {
    let new = APPLE.replace("18 sc = 10 cm", "16 sc = 10 cm").replace("Little Apple", "Little Red Apple");
    assert_eq!(against_apple("prose", &new).0, ["Title: for Apple read Red Apple", "Gauge: for 18 sc read 16 sc"]);
    let folder = Folder::new("desk-against-same");
    folder.file("old.txt", APPLE);
    let file = folder.file("new.txt", APPLE.replace("Rnd 2: 2 sc in", "Rnd 2: 2 SC  in"));
    let run = folder.run(&["check", file, "--against", "old.txt"]);
    assert!(run.code == 0 && run.out.ends_with("\nNothing changed against old.txt\n"), "{}", run.out);
}

#[test]
fn an_erratum_of_a_pattern_in_sizes_says_which_size_it_is_of() {
    let folder = Folder::new("desk-against-sizes");
    let cap = "Cap\n\nSizes: S (M, L)\n\nCh 9 (11, 13).\nRow 1: Sc in 2nd ch from hook and in each ch across. 8 (10, 12) sts.\n";
    folder.file("old.txt", cap);
    folder.file("new.txt", cap.replace("11, 13", "12, 13").replace("10, 12", "11, 12"));
    let run = folder.run(&["check", "new.txt", "--against", "old.txt"]);
    assert!(run.out.contains("\nErratum in size S against old.txt\n"), "{}", run.out);
    assert!(!run.out.contains("count 11, was 10"), "size M is not compared: {}", run.out);
    let run = folder.run(&["check", "new.txt", "--against", "old.txt", "--size", "M"]);
    assert!(run.out.contains("\nErratum in size M against old.txt\n"), "{}", run.out);
    assert!(run.out.contains("Row 1: count 11, was 10"), "{}", run.out);
}

#[test]
fn a_series_is_compared_with_the_folder_of_its_earlier_edition() {
    let folder = Folder::new("desk-against-series");
    for (path, text) in [
        ("old/apple.txt", APPLE.to_owned()),
        ("new/apple.txt", APPLE.replace("6 sc in magic", "7 sc in magic")),
        ("new/swatch.txt", SWATCH.to_owned()),
    ] {
        let path = folder.path().join(path);
        std::fs::create_dir_all(path.parent().expect("a folder")).expect("a folder");
        std::fs::write(path, text).expect("a file");
    }
    let run = folder.run(&["check", "new", "--against", "old"]);
    assert!(run.out.contains("Erratum against old/apple.txt\n  Rnd 1: for 6 sc read 7 sc"), "{}", run.out);
    assert!(run.out.contains("New in this edition"), "{}", run.out);
    assert_eq!(run.code, 1, "the new edition's own errors count");
    assert_eq!(folder.run(&["check", "new", "--against", "old/apple.txt"]).code, 2, "one edition of many patterns");
    assert_eq!(folder.run(&["check", "new", "--against", "gone.txt"]).code, 2);
    assert_eq!(folder.run(&["check", "new/apple.txt", "--against", "gone.txt"]).code, 2);
    assert_eq!(folder.run(&["check", "new", "--against", "old", "--format", "lines"]).code, 2);
}
