//! `fanwise mend`: what is written, what is not, and with which exit code.

mod program;

use fanwise::Pattern;
use program::Folder;

/// Row 2 lacks a stitch, in a place that three mends could fill.
const LEAF: &str = "Leaf\r\n\r\nCh 10.\r\nRow 1: Sc in 2nd ch from hook and in each ch across. Turn. (9 sts)\r\n\
    Row 2: Ch 1, sc in next 3 sts, 3 sc in next st, sc in next 4 sts. Turn. (11 sts)\r\nRow 3: Ch 1, sc in each st across. (11 sts)\r\n";

const MENDED: &str = "Row 2: Ch 1, sc in next 4 sts, 3 sc in next st, sc in next 4 sts. Turn. (11 sts)";

#[test]
fn a_copy_is_written_with_the_first_mend_and_nothing_else_is_touched() {
    let folder = Folder::new("mend-copy");
    let file = folder.file("leaf.txt", LEAF);
    let run = folder.run(&["mend", file, "-o", "mended.txt"]);
    assert_eq!(run.code, 0, "{}{}", run.out, run.err);
    assert_eq!(folder.bytes(file), LEAF.as_bytes(), "the pattern itself stays as it is");
    let copy = String::from_utf8(folder.bytes("mended.txt")).expect("text");
    assert_eq!(copy, LEAF.replace("sc in next 3 sts", "sc in next 4 sts"));
    assert!(run.out.contains(&format!("now  {MENDED}")), "{}", run.out);
    assert!(run.out.contains("mended.txt: 1 mend made, no error is left"), "{}", run.out);
    assert_eq!(folder.run(&["check", "mended.txt"]).code, 0);
}

#[test]
fn another_mend_may_be_chosen_and_one_that_is_not_there_is_refused() {
    let folder = Folder::new("mend-choose");
    let file = folder.file("leaf.txt", LEAF);
    let pattern = Pattern::read(LEAF);
    let mends = &pattern.problems()[0].mends;
    assert!(mends.len() > 1);
    let run = folder.run(&["mend", file, "-o", "second.txt", "--choose", "2", "--row", "row 2"]);
    assert_eq!(run.code, 0, "{}{}", run.out, run.err);
    assert!(run.out.contains(&format!("now  {}", mends[1].row)), "{}", run.out);
    for (n, row) in [("0", "Row 2"), ("4", "Row 2"), ("1", "Row 9")] {
        let run = folder.run(&["mend", file, "-o", "none.txt", "--choose", n, "--row", row]);
        assert_eq!(run.code, 2, "--choose {n} --row {row}");
        assert!(run.err.starts_with("error"), "{}", run.err);
    }
    assert_eq!(folder.names(), ["leaf.txt", "second.txt"]);
}

#[test]
fn the_pattern_is_written_over_only_when_that_is_asked_for() {
    let folder = Folder::new("mend-in-place");
    let file = folder.file("leaf.txt", LEAF);
    for out in ["leaf.txt", "./leaf.txt"] {
        let run = folder.run(&["mend", file, "-o", out]);
        assert_eq!(run.code, 2);
        assert!(run.err.contains("--in-place"), "{}", run.err);
        assert_eq!(folder.bytes(file), LEAF.as_bytes());
    }
    assert_eq!(folder.run(&["mend", file]).code, 2, "somewhere it has to go");
    assert_eq!(folder.run(&["mend", file, "-o", "b.txt", "--in-place"]).code, 2, "but not to two places");
    assert_eq!(folder.run(&["mend", file, "--in-place"]).code, 0);
    assert!(String::from_utf8(folder.bytes(file)).expect("text").contains(MENDED));
    assert_eq!(folder.names(), ["leaf.txt"]);
}

#[test]
fn standard_input_goes_to_a_file_or_to_standard_output_and_not_in_place() {
    let folder = Folder::new("mend-stdin");
    let run = folder.run_on(&["mend", "-", "-o", "-"], LEAF);
    assert_eq!(run.code, 0, "{}", run.err);
    assert_eq!(run.out, LEAF.replace("sc in next 3 sts", "sc in next 4 sts"), "nothing but the copy");
    assert!(run.err.contains("1 mend made"), "{}", run.err);
    assert_eq!(folder.run_on(&["mend", "-", "--in-place"], LEAF).code, 2);
    assert_eq!(folder.run_on(&["mend", "-", "-o", "leaf.txt"], LEAF).code, 0);
    assert_eq!(folder.names(), ["leaf.txt"]);
}

#[test]
fn what_cannot_be_mended_is_left_and_told() {
    let folder = Folder::new("mend-left");
    let lost = LEAF.replace("Row 3: Ch 1, sc in each st across.", "Row 3: Ch 1, scc in each st across.");
    let half = folder.file("half.txt", &lost);
    let run = folder.run(&["mend", half, "-o", "copy.txt"]);
    assert_eq!(run.code, 1, "{}{}", run.out, run.err);
    assert!(run.out.contains("1 mend made, 1 error left"), "{}", run.out);
    assert!(run.out.contains("there is no stitch \"scc\""), "{}", run.out);
    assert!(String::from_utf8(folder.bytes("copy.txt")).expect("text").contains(MENDED));
    let none = folder.file("none.txt", "Leaf\n\nCh 10.\nRow 1: Scc in each ch across. (9 sts)\n");
    let run = folder.run(&["mend", none, "-o", "nothing.txt"]);
    assert_eq!(run.code, 1);
    assert!(run.out.contains("nothing is written"), "{}", run.out);
    assert_eq!(folder.names(), ["copy.txt", "half.txt", "none.txt"]);
}

#[test]
fn a_sound_pattern_is_copied_as_it_is() {
    let folder = Folder::new("mend-sound");
    let sound = LEAF.replace("sc in next 3 sts", "sc in next 4 sts");
    let file = folder.file("leaf.txt", &sound);
    let run = folder.run(&["mend", file, "-o", "copy.txt"]);
    assert_eq!((run.code, folder.bytes("copy.txt")), (0, sound.into_bytes()));
    assert!(run.out.contains("nothing to mend"), "{}", run.out);
}

#[test]
fn a_folder_that_is_not_there_and_a_text_that_is_none_are_refused() {
    let folder = Folder::new("mend-refused");
    let file = folder.file("leaf.txt", LEAF);
    assert_eq!(folder.run(&["mend", file, "-o", "away/copy.txt"]).code, 2);
    assert_eq!(folder.run(&["mend", "absent.txt", "-o", "copy.txt"]).code, 2);
    let bytes = folder.file("bytes.txt", [0xff, 0xfe, 0x00]);
    assert_eq!(folder.run(&["mend", bytes, "-o", "copy.txt"]).code, 2);
    assert_eq!(folder.names(), ["bytes.txt", "leaf.txt"]);
}

#[test]
fn the_report_holds_mends_as_edits_of_the_file() {
    let folder = Folder::new("mend-json");
    let file = folder.file("leaf.txt", LEAF);
    let json = folder.run(&["check", file, "--format", "json"]).json();
    let mend = &json["patterns"][0]["problems"][0]["mends"][0];
    assert_eq!(mend["row"], MENDED);
    assert_eq!((&mend["used"], &mend["made"]), (&9.into(), &11.into()));
    let span = &mend["edits"][0]["span"];
    let at = LEAF.find("next 3 sts").expect("it is there") + 5;
    assert_eq!((span[0].as_u64(), span[1].as_u64()), (Some(at as u64), Some(at as u64 + 1)));
    assert_eq!(mend["edits"][0]["with"], "4");
}
