//! Wrong input: a clear message at its place, the exit code of the contract, nothing written, and soon.

mod program;

use program::{Folder, Run};
use std::time::Duration;

const HEAD: &str = "Pear\n\nCh 6.\nRow 1: Sc in 2nd ch from hook and in each ch across. Turn. (5 sts)\n";

/// A pattern of which a chart was drawn before its words went wrong.
const GOOD: &str = "Pear\n\nCh 6.\nRow 1: Sc in 2nd ch from hook and in each ch across. (5 sts)\n";

/// Longest a wrong input may take, with room for a busy machine.
const SOON: Duration = Duration::from_secs(50);

/// Checks a wrong pattern, then tries to draw it: the same code, and no file.
fn wrong(test: &str, text: impl AsRef<[u8]>, code: i32) -> Run {
    let folder = Folder::new(test);
    let file = folder.file("wrong.txt", text);
    let drawn = folder.run(&["draw", file, "-o", "wrong.svg"]);
    assert_eq!(drawn.code, code, "{}{}", drawn.out, drawn.err);
    assert_eq!(folder.names(), ["wrong.txt"], "nothing is written");
    let checked = folder.run(&["check", file]);
    assert_eq!(checked.code, code, "{}{}", checked.out, checked.err);
    let document = folder.run(&["check", file, "--format", "json"]);
    assert_eq!(document.code, code, "{}", document.err);
    assert!(document.json()["patterns"].is_array(), "the report is whole: {}", document.out);
    assert!(checked.took < SOON, "checking took {:?}", checked.took);
    assert!(drawn.took < SOON, "refusing to draw took {:?}", drawn.took);
    checked
}

/// The report shows code, place and message, and carets under exactly these words.
fn shows(run: &Run, code: &str, at: (usize, usize), words: &str, message: &str) {
    let (line, column) = at;
    assert!(run.out.contains(&format!("error[{code}]: ")), "no {code}: {}", run.out);
    assert!(run.out.contains(&format!("wrong.txt:{line}:{column}")), "not at {line}:{column}: {}", run.out);
    assert!(run.out.contains(message), "no \"{message}\": {}", run.out);
    let lines: Vec<&str> = run.out.lines().collect();
    let marked = lines.windows(2).any(|w| {
        let Some(from) = w[1].find('^') else { return false };
        let to = w[1].rfind('^').map_or(from, |to| to + 1);
        w[0].get(from..to) == Some(words)
    });
    assert!(marked, "\"{words}\" is not underlined: {}", run.out);
}

#[test]
fn a_misspelt_stitch() {
    let run = wrong("misspelt", format!("{HEAD}Row 2: Ch 1, sc in next 2 sts, hcd in next 3 sts. (5 sts)\n"), 1);
    shows(&run, "unknown-stitch", (5, 32), "hcd", "there is no stitch \"hcd\"");
    assert!(run.out.contains("did you mean \"hdc\"?"), "{}", run.out);
    assert!(run.out.contains("NOT READ"), "{}", run.out);
}

#[test]
fn a_row_that_uses_two_stitches_too_few() {
    let run = wrong("too-few", format!("{HEAD}Row 2: Ch 1, sc in next 3 sts.\n"), 1);
    shows(
        &run,
        "places-left",
        (5, 14),
        "sc in next 3 sts",
        "row 2 leaves 2 sts of row 1 unworked: 5 to work into, 3 used",
    );
}

#[test]
fn a_row_that_asks_for_more_than_there_is() {
    let run = wrong("too-many", format!("{HEAD}Row 2: Ch 1, sc in next 3 sts, sc in next 4 sts.\n"), 1);
    shows(&run, "places-short", (5, 32), "sc in next 4 sts", "these words need 7");
}

#[test]
fn a_wrong_stated_count() {
    let run = wrong("count", format!("{HEAD}Row 2: Ch 1, 2 sc in each st across. (12 sts)\n"), 1);
    shows(&run, "count-differs", (5, 39), "12 sts", "only the count at the end is off: it says 12");
}

#[test]
fn a_chain_space_that_is_not_there() {
    let run = wrong("no-space", format!("{HEAD}Row 2: Ch 1, 3 sc in next ch-2 sp, sc in next 4 sts.\n"), 1);
    shows(&run, "no-such-place", (5, 14), "3 sc in next ch-2 sp", "there is no ch-2 sp to work in");
}

#[test]
fn an_unclosed_bracket() {
    let run = wrong("bracket", format!("{HEAD}Row 2: Ch 1, [sc in next st 5 times. (5 sts)\n"), 1);
    shows(&run, "unclosed-mark", (5, 14), "[", "this \"[\" is never closed");
}

#[test]
fn an_empty_file_is_an_empty_pattern() {
    for text in ["", "\n\n", "\u{feff}"] {
        let run = wrong("empty", text, 1);
        assert!(run.out.contains("error[empty]: the file is empty"), "{}", run.out);
        assert!(run.out.contains("wrong.txt:1:1"), "{}", run.out);
    }
}

#[test]
fn a_file_that_is_not_text() {
    for bytes in [&b"Pear\n\nCh \xff\xfe6.\n"[..], b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", b"Pear\0\nCh 6.\n"] {
        let run = wrong("not-text", bytes, 2);
        assert!(run.err.contains("error[not-text]: wrong.txt"), "{}", run.err);
    }
}

#[test]
fn a_missing_file() {
    let folder = Folder::new("missing");
    for args in
        [&["check", "pear.txt"][..], &["draw", "pear.txt", "-o", "pear.svg"], &["dump", "pear.txt", "--as", "fabric"]]
    {
        let run = folder.run(args);
        assert_eq!(run.code, 2, "{args:?}");
        assert!(run.err.contains("error[unreadable]: pear.txt cannot be read: there is no such file"), "{}", run.err);
    }
    assert!(folder.names().is_empty());
}

#[test]
fn an_output_in_a_folder_that_does_not_exist() {
    let folder = Folder::new("no-folder");
    let file = folder.file("pear.txt", GOOD);
    let run = folder.run(&["draw", file, "-o", "charts/pear.svg"]);
    assert_eq!(run.code, 2, "{}{}", run.out, run.err);
    assert!(run.err.contains("there is no folder charts"), "{}", run.err);
    assert_eq!(folder.names(), ["pear.txt"]);
}

#[test]
fn an_output_of_an_unknown_ending_or_that_is_a_folder() {
    let folder = Folder::new("ending");
    let file = folder.file("pear.txt", GOOD);
    let run = folder.run(&["draw", file, "-o", "pear.bmp"]);
    assert_eq!(run.code, 2, "{}{}", run.out, run.err);
    assert!(run.err.contains("pear.bmp"), "{}", run.err);
    let run = folder.run(&["draw", file, "-o", "."]);
    assert_eq!(run.code, 2, "{}{}", run.out, run.err);
    assert_eq!(folder.names(), ["pear.txt"]);
}

#[test]
fn an_earlier_good_chart_survives_a_draw_that_fails() {
    let folder = Folder::new("survives");
    let good = folder.file("pear.txt", GOOD);
    assert_eq!(folder.run(&["draw", good, "-o", "pear.svg"]).code, 0);
    let before = folder.bytes("pear.svg");
    assert!(before.starts_with(b"<svg"));
    let bad = folder.file("bad.txt", GOOD.replace("5 sts", "6 sts"));
    assert_eq!(folder.run(&["draw", bad, "-o", "pear.svg"]).code, 1);
    folder.file("worse.txt", [0xff, 0xfe, 0x00]);
    assert_eq!(folder.run(&["draw", "worse.txt", "-o", "pear.svg"]).code, 2);
    assert_eq!(folder.bytes("pear.svg"), before, "the good chart is as it was");
    assert_eq!(folder.names(), ["bad.txt", "pear.svg", "pear.txt", "worse.txt"], "no half file is left");
}

#[test]
fn a_draft_of_a_pattern_with_errors_is_drawn_and_the_errors_still_count() {
    let folder = Folder::new("draft");
    let bad = folder.file("bad.txt", GOOD.replace("5 sts", "6 sts"));
    let run = folder.run(&["draw", bad, "-o", "bad.svg", "--draft"]);
    assert_eq!(run.code, 1, "{}{}", run.out, run.err);
    assert!(folder.bytes("bad.svg").starts_with(b"<svg"));
}

#[test]
fn a_thousand_million_repeats_are_over_the_limit() {
    let huge = [
        format!("{HEAD}Row 2: Ch 1, [sc in next st] 1000000000 times.\n"),
        format!("{HEAD}Row 2: Ch 1, *sc in next st; rep from * 1000000000 times.\n"),
        format!("{HEAD}Row 2: Ch 1, *sc in next st; rep from * 1000000000 more times.\n"),
        format!("{HEAD}Row 2: Ch 1, [[2 sc in same st] 100000 times] 100000 times.\n"),
        format!("{HEAD}Row 2: Ch 1, [ch 1, sc in same st] 1000000000 times.\n"),
    ];
    for text in huge {
        let folder = Folder::new("repeats");
        let run = folder.run(&["check", folder.file("wrong.txt", &text)]);
        assert!(run.code == 1 || run.code == 2, "{text}{}", run.out);
        assert!(run.out.contains("wrong.txt:5:") && run.out.contains('^'), "{}", run.out);
        assert!(run.took < SOON, "{text}took {:?}", run.took);
    }
}

#[test]
fn a_thousand_million_stitches_or_rows_are_over_the_limit() {
    let huge = [
        "Pear\n\nCh 1000000000.\nRow 1: Sc in 2nd ch from hook and in each ch across.\n".to_owned(),
        "Pear\n\nRnd 1: 1000000000 sc in magic ring.\n".to_owned(),
        format!("{HEAD}Row 2: Ch 1, 1000000000 sc in next st, sc in next 4 sts.\n"),
        format!("{HEAD}Rows 2-1000000000: Ch 1, sc in each st across. Turn.\n"),
    ];
    for text in huge {
        let run = wrong("stitches", &text, 2);
        assert!(run.took < SOON, "{text}took {:?}", run.took);
        assert!(run.out.contains("error[limit]: "), "{text}{}", run.out);
        assert!(run.out.contains("wrong.txt:") && run.out.contains('^'), "{}", run.out);
    }
}

#[test]
fn a_technique_out_of_scope() {
    let row = "Row 2: Ch 1, Tunisian simple stitch in each st across. (5 sts)";
    let run = wrong("tunisian", format!("{HEAD}{row}\n"), 1);
    shows(&run, "unread-words", (5, 14), "Tunisian simple stitch in each st across", "tunisian crochet");
}

#[test]
fn brackets_nested_ten_thousand_deep() {
    let deep = |open: &str, close: &str| {
        format!("{HEAD}Row 2: Ch 1, {}sc in next st{} 5 times.\n", open.repeat(10_000), close.repeat(10_000))
    };
    for text in [deep("[", "]"), deep("(", ")"), deep("[", ""), deep("", "]"), deep("*", ""), deep("* ", "")] {
        let folder = Folder::new("deep");
        let run = folder.run(&["check", folder.file("wrong.txt", &text), "--format", "lines"]);
        assert!(run.code == 1 || run.code == 2, "code {}: {}", run.code, run.err);
        assert!(run.out.starts_with("wrong.txt:5:"), "{}", run.out.get(..200).unwrap_or(&run.out));
        assert!(run.took < SOON, "took {:?}", run.took);
    }
}

#[test]
fn a_line_of_five_megabytes() {
    let long = |phrase: &str| format!("{HEAD}Row 2: Ch 1, {}\n", phrase.repeat((5 << 20) / phrase.len()));
    for phrase in ["sc in next st, ", "woe ", "9", "(sc) ", "é", "sc ", "[", "(", "]", "* "] {
        let folder = Folder::new("long");
        let run = folder.run(&["check", folder.file("wrong.txt", long(phrase)), "--format", "lines"]);
        // words without a stitch among them are a warning
        assert!(run.code != 0 || run.out.contains("warning[unread-words]"), "{phrase}: {}", run.err);
        assert!(run.out.contains("wrong.txt:5:"), "{phrase}: {}", run.out.get(..200).unwrap_or(&run.out));
        assert!(run.took < SOON, "{phrase} took {:?}", run.took);
    }
}

#[test]
fn a_file_larger_than_the_limit() {
    let folder = Folder::new("large");
    let run = folder.run(&["check", folder.file("wrong.txt", vec![b'a'; (32 << 20) + 1])]);
    assert_eq!(run.code, 2);
    assert!(run.err.contains("error[limit]: wrong.txt is larger than 32 MB"), "{}", run.err);
}

#[test]
fn wrong_usage_is_told_with_the_usage() {
    let folder = Folder::new("usage");
    for args in
        [&["knit", "pear.txt"][..], &["check"], &["check", "pear.txt", "--format", "xml"], &["draw", "pear.txt"]]
    {
        let run = folder.run(args);
        assert_eq!(run.code, 2, "{args:?}: {}", run.out);
        assert!(run.err.contains("Usage:") || run.err.contains("--help"), "{args:?}: {}", run.err);
        assert!(run.out.is_empty(), "nothing on standard output: {}", run.out);
    }
}
