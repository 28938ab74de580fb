//! Problems an editor accepts, and the manners of a series.

use super::SWATCH;
use super::program::{Folder, Run};
use serde_json::Value;

const LIST: &str = "fanwise-accepted.toml";

/// A swatch whose count is off by one.
fn wrong() -> String {
    SWATCH.replace("Row 1: Sc in 2nd ch from hook and in each ch across. Turn. (5 sts)\n", "Row 1: Sc in 2nd ch from hook and in each ch across. Turn. (5 sts)\nRow 2: Ch 1, 2 sc in each st across. (11 sts)\n")
}

fn codes(run: &Run) -> Vec<(String, String)> {
    let document = run.json();
    let text = |v: &Value| v.as_str().unwrap_or("").to_owned();
    let all = document["patterns"].as_array().into_iter().flatten();
    all.flat_map(|p| {
        p["problems"].as_array().into_iter().flatten().map(|q| (text(&p["file"]), text(&q["code"]))).collect::<Vec<_>>()
    })
    .collect()
}

#[test]
fn a_batch_goes_green_when_its_problems_are_accepted() {
    let folder = Folder::new("desk-accept");
    folder.file("a.txt", SWATCH);
    folder.file("b.txt", wrong());
    assert_eq!(folder.run(&["check", "."]).code, 1);
    let run = folder.run(&["check", ".", "--accept"]);
    assert_eq!((run.code, run.err.as_str()), (0, ""));
    let list = String::from_utf8(folder.bytes(LIST)).expect("text");
    let entry = "[[accepted]]\nfile = \"b.txt\"\ncode = \"count-differs\"\nrow = \"Row 2\"\nwords = \"";
    assert!(list.contains(entry) && list.matches("[[accepted]]").count() == 1, "{list}");
    let run = folder.run(&["check", "."]);
    assert_eq!(run.code, 0, "{}", run.out);
    assert!(run.out.contains("./b.txt: Swatch, 3 rows: fine, 1 accepted\n"), "{}", run.out);
    assert!(run.out.ends_with("2 patterns, 5 rows: fine, 1 accepted\n"), "{}", run.out);
    let json = folder.run(&["check", "b.txt", "--format", "json"]).json();
    assert_eq!(
        (&json["patterns"][0]["accepted"], &json["patterns"][0]["problems"]),
        (&1.into(), &serde_json::json!([]))
    );
    // accepting again changes nothing, not even the bytes
    folder.run(&["check", ".", "--accept"]);
    assert_eq!(String::from_utf8(folder.bytes(LIST)).expect("text"), list);
    // the pattern may be wrapped anew
    folder.file("b.txt", wrong().replace("2 sc in each", "2 sc\r\n   in each"));
    assert_eq!(folder.run(&["check", "b.txt"]).code, 0);
}

#[test]
fn an_entry_whose_words_changed_or_whose_problem_is_gone_is_a_note() {
    let folder = Folder::new("desk-stale");
    folder.file("b.txt", wrong());
    folder.run(&["check", "b.txt", "--accept"]);
    let told = |text: String| {
        let run = folder.run(&["check", folder.file("b.txt", text), "--format", "lines"]);
        (run.code, run.out)
    };
    let (code, out) = told(wrong().replace("(11 sts)", "(12 sts)"));
    assert_eq!(code, 1, "it is another problem now");
    assert!(
        out.contains("note[accepted]: count-differs was accepted in row 2, whose words are others by now"),
        "{out}"
    );
    let (code, out) = told(SWATCH.to_owned());
    assert_eq!(
        (code, out.as_str()),
        (0, "b.txt:1:1: note[accepted]: count-differs was accepted in row 2, and there is no such row any more\n")
    );
    let (code, out) = told(wrong().replace("Ch 6", "Ch 7").replace("(5 sts)", "(6 sts)"));
    assert_eq!(code, 0, "the same code in the same words: {out}");
    let (code, out) = told(wrong().replace("(11 sts)", "(10 sts)"));
    assert!(code == 0 && out.contains("note[accepted]"), "{out}");
    // brought up to date
    folder.run(&["check", "b.txt", "--accept"]);
    assert_eq!(folder.run(&["check", "b.txt", "--format", "lines"]).out, "");
}

#[test]
fn only_the_codes_asked_for_are_accepted_and_reasons_are_kept() {
    let folder = Folder::new("desk-codes");
    let text = wrong().replace("(11 sts)", "(11 sts)\nRow 3: Ch 1, scc in each st across.");
    let file = folder.file("b.txt", text);
    assert_eq!(folder.run(&["check", file, "--accept=count-differs"]).code, 1, "the other is left");
    let list = String::from_utf8(folder.bytes(LIST)).expect("text");
    assert!(list.contains("count-differs") && !list.contains("unknown-stitch"), "{list}");
    folder.file(LIST, format!("{list}why = \"as the designer wants it\"\n"));
    assert_eq!(folder.run(&["check", file, "--accept"]).code, 0);
    let list = String::from_utf8(folder.bytes(LIST)).expect("text");
    assert!(list.contains("why = \"as the designer wants it\"") && list.contains("unknown-stitch"), "{list}");
    let run = folder.run(&["check", file, "--accept=count-difers"]);
    assert!(run.code == 2 && run.err.contains("did you mean \"count-differs\"?"), "{}", run.err);
    // what is wrong in the list is told, and the list is left alone
    folder.file(LIST, "[[accepted]]\nfil = \"b.txt\"\n");
    let run = folder.run(&["check", file, "--accept"]);
    assert!(run.code == 2 && run.err.contains("fanwise-accepted.toml:2: there is no key \"fil\""), "{}", run.err);
    assert_eq!(folder.bytes(LIST), b"[[accepted]]\nfil = \"b.txt\"\n");
    assert_eq!(folder.run_on(&["check", "-", "--accept"], SWATCH).code, 2);
}

#[test]
fn a_pattern_is_drawn_when_its_problems_are_accepted_and_no_longer_when_its_words_change() {
    let folder = Folder::new("desk-accepted-draw");
    let file = folder.file("b.txt", wrong());
    assert_eq!(folder.run(&["draw", file, "-o", "b.svg"]).code, 1);
    assert_eq!(folder.run(&["check", file, "--accept"]).code, 0);
    let run = folder.run(&["draw", file, "-o", "b.svg"]);
    assert_eq!((run.code, run.err.as_str()), (0, ""), "{}", run.out);
    assert!(folder.bytes("b.svg").starts_with(b"<svg"));
    folder.file("b.txt", wrong().replace("(11 sts)", "(12 sts)"));
    assert_eq!(folder.run(&["draw", file, "-o", "c.svg"]).code, 1, "the row was accepted with other words");
    assert!(!folder.names().contains(&"c.svg".to_owned()));
}

#[test]
fn a_limit_cannot_be_accepted() {
    let folder = Folder::new("desk-limit");
    let file = folder.file("a.txt", "Chain\n\nCh 99999999.\nRow 1: Sc in 2nd ch from hook and in each ch across.\n");
    assert_eq!(folder.run(&["check", file, "--accept"]).code, 2);
    assert_eq!(folder.run(&["check", file]).code, 2);
}

// ---- the manners of a series --------------------------------------------------------------

const PEAR: &str = "Pear\n\nGauge: 18 sc and 20 rows = 10 cm\nHook: 3.75 mm\nYarn A: green, medium (4)\n\nAbbreviations: beg = beginning, sk = skip.\n\nSpecial stitch\nBud: 3 dc in same st.\n\nRnd 1 (RS): 6 sc in magic ring. (6 sts)\nRnd 2: Bud in each st around. (18 sts)\n";

/// The style notes of each file after the first, which is the pear; the lines as printed.
fn notes(test: &str, others: &[String]) -> Vec<String> {
    let folder = Folder::new(test);
    folder.file("a.txt", PEAR);
    let mut args = vec!["check".to_owned(), "a.txt".to_owned()];
    for (k, text) in others.iter().enumerate() {
        let name = format!("{}.txt", char::from(b'b' + k as u8));
        std::fs::write(folder.path().join(&name), text).expect("a file");
        args.push(name);
    }
    args.extend(["--format".to_owned(), "lines".to_owned(), "--strict".to_owned()]);
    let run = folder.run(&args.iter().map(String::as_str).collect::<Vec<_>>());
    assert_eq!(run.code, 0, "notes are nothing to stop at: {}{}", run.out, run.err);
    run.out.lines().map(str::to_owned).collect()
}

#[test]
fn patterns_of_one_manner_have_no_notes_and_one_alone_never_has() {
    let same = PEAR.replace("Pear", "Quince").replace("Bud: 3 dc in same st", "Bud: work 3 dc in the same st");
    assert_eq!(notes("desk-same", &[same]), [""; 0]);
    assert_eq!(notes("desk-alone", &[]), [""; 0]);
}

#[test]
fn each_manner_that_stands_apart_is_a_note_at_its_first_place() {
    let heading = PEAR.replace("Rnd ", "Round ");
    let mark = PEAR.replace("Rnd 1 (RS):", "Rnd 1 (RS).").replace("Rnd 2:", "Rnd 2.");
    let found = notes("desk-headings", &[PEAR.to_owned(), heading, mark, PEAR.replace("Rnd ", "R")]);
    let at = |file: &str, here: &str| {
        format!("{file}.txt:12:1: note[style]: rounds are headed \"{here}\" here and \"Rnd 1:\" in 2 of 5 patterns")
    };
    assert_eq!(found, [at("c", "Round 1:"), at("d", "Rnd 1."), at("e", "R1:")]);
    let square = PEAR.replace("(6 sts)", "[6 sts]").replace("(18 sts)", "[18 sts]");
    let before = PEAR.replace("6 sc in magic ring. (6 sts)", "6 sc in magic ring. (6 sts) Do not join.");
    let found = notes("desk-counts", &[square, PEAR.to_owned(), before]);
    assert_eq!(found.len(), 2, "{found:?}");
    assert!(
        found[0].starts_with("b.txt:12:34: note[style]: counts are written \"[12]\" here and \"(12)\" in 3 of 4"),
        "{found:?}"
    );
    assert!(
        found[1].contains(
            "d.txt:12:34: note[style]: counts stand before the turn or join here and at the end of the row in 3 of 4"
        ),
        "{found:?}"
    );
}

#[test]
fn one_name_in_two_meanings_is_a_note_at_the_later() {
    let bud = PEAR.replace("Bud: 3 dc", "Bud: 5 dc").replace("(18 sts)", "(30 sts)");
    let found = notes("desk-names", &[bud, PEAR.replace("sk = skip", "sk = skein")]);
    assert_eq!(found[0], "b.txt:10:1: note[style]: \"bud\" is 5 dc in same st here and 3 dc in same st in a.txt");
    assert_eq!(found[1], "c.txt:7:1: note[style]: \"sk\" is skein here and skip in a.txt");
}

#[test]
fn terms_and_lines_that_one_lacks_are_notes() {
    let uk = PEAR
        .replace("Bud: 3 dc", "Bud: 3 tr")
        .replace("6 sc in", "6 dc in")
        .replace("18 sc and", "18 dc and")
        .replace("\n\nGauge", "\n\nUK terms.\nGauge");
    let bare = PEAR.replace("Gauge: 18 sc and 20 rows = 10 cm\n", "").replace("Hook: 3.75 mm\n", "");
    let found = notes("desk-lines", &[uk, bare]);
    let told: Vec<&str> = found.iter().filter_map(|l| l.split_once("note[style]: ").map(|(_, told)| told)).collect();
    assert_eq!(
        told,
        [
            "the terms are uk here and us in 2 of 3 patterns",
            "there is no gauge here; 2 of 3 patterns give one",
            "there is no hook here; 2 of 3 patterns give one",
        ]
    );
}

#[test]
fn a_folder_with_settings_is_a_series_of_its_own_and_notes_can_be_accepted() {
    let folder = Folder::new("desk-series");
    for (path, text) in [
        ("one/a.txt", PEAR.to_owned()),
        ("one/b.txt", PEAR.replace("Rnd ", "Round ")),
        ("two/a.txt", PEAR.replace("Rnd ", "R")),
        ("two/fanwise.toml", "terms = \"us\"\n".to_owned()),
    ] {
        let path = folder.path().join(path);
        std::fs::create_dir_all(path.parent().expect("a folder")).expect("a folder");
        std::fs::write(path, text).expect("a file");
    }
    let check = ["check", "one", "two", "--format", "json"];
    assert_eq!(codes(&folder.run(&check)), [("one/b.txt".to_owned(), "style".to_owned())]);
    folder.run(&["check", "one", "two", "--accept"]);
    assert_eq!(codes(&folder.run(&check)), []);
    // alone the pattern has no such note, and its entry is not called stale, nor dropped
    assert_eq!(codes(&folder.run(&["check", "one/b.txt", "--format", "json"])), []);
    folder.run(&["check", "one/b.txt", "--accept"]);
    assert_eq!(codes(&folder.run(&check)), []);
}
