//! Every case under `tests/cases/<area>/<claim>.txt`: a pattern, and what is expected of it.

mod runner;

use runner::{Case, Outcome};
use std::path::{Path, PathBuf};

#[test]
fn every_case_says_what_comes_of_it() {
    let update = std::env::var_os("FANWISE_UPDATE").is_some_and(|v| v == "1");
    let files = case_files(&Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases"));
    let mut failed = Vec::new();
    let mut rewritten = Vec::new();
    for file in &files {
        let name = name_of(file);
        let text = std::fs::read_to_string(file).unwrap_or_else(|e| panic!("{name}: {e}"));
        let outcome = match Case::parse(&text) {
            Ok(case) => case.run(),
            Err(fault) => Outcome::failing(vec![fault]),
        };
        if outcome.faults.is_empty() {
            continue;
        }
        if let (true, Some(new)) = (update, outcome.rewritten)
            && new != text
        {
            std::fs::write(file, new).unwrap_or_else(|e| panic!("{name}: {e}"));
            rewritten.push(name.clone());
        }
        failed.push(format!("{name}\n    {}", outcome.faults.join("\n    ")));
    }
    for name in &rewritten {
        eprintln!("rewritten: {name}");
    }
    assert!(failed.is_empty(), "{} of {} cases fail:\n\n{}\n", failed.len(), files.len(), failed.join("\n\n"));
}

#[test]
fn every_case_is_named_in_the_checklist() {
    let tests = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests");
    let list = std::fs::read_to_string(tests.join("checklist.md")).expect("tests/checklist.md is there");
    let files = case_files(&tests.join("cases"));
    assert!(files.len() > 100, "only {} cases were found", files.len());
    let missing: Vec<_> = files.iter().map(|f| name_of(f)).filter(|n| !list.contains(&format!("`{n}`"))).collect();
    assert!(missing.is_empty(), "not in tests/checklist.md: {missing:#?}");
    let named = list.split('`').skip(1).step_by(2).filter(|w| w.contains('/') && !w.contains(' '));
    let names: Vec<_> = files.iter().map(|f| name_of(f)).collect();
    let gone: Vec<_> = named.filter(|w| !names.iter().any(|n| n == w)).collect();
    assert!(gone.is_empty(), "in tests/checklist.md and not under tests/cases: {gone:#?}");
}

/// The `.txt` files of a folder and its folders, by name.
fn case_files(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder).expect("the folder of cases is there") {
        let path = entry.expect("its entries can be read").path();
        if path.is_dir() {
            found.extend(case_files(&path));
        } else if path.extension().is_some_and(|e| e == "txt") {
            found.push(path);
        }
    }
    found.sort();
    found
}

/// `area/claim`.
fn name_of(file: &Path) -> String {
    let claim = file.file_stem().unwrap_or_default().to_string_lossy();
    let area = file.parent().and_then(Path::file_name).unwrap_or_default().to_string_lossy();
    format!("{area}/{claim}")
}

const SWATCH: &str = "Bee wing\n\nCh 6.\nRow 1 (RS): Sc in 2nd ch from hook and in each ch across. (5 sts)\n";

fn outcome(expect: &str) -> Outcome {
    Case::parse(&format!("{SWATCH}---- expect\n{expect}\n")).expect("the case can be read").run()
}

#[test]
fn a_right_expectation_passes() {
    for right in [
        "title: Bee wing\nno problems",
        "terms: us\nno problems\nFoundation: chains 6, made 0",
        "no problems\nRow 1: side RS, offered 5, used 5, passed 0, left 0, made 5, kinds 5 sc, stated 5 sts agrees, read",
        "no problems\nstitch Row 1.1: sc, into chain Foundation.5, colour A, counts",
        "no problems\nevents: attach A",
    ] {
        assert_eq!(outcome(right).faults, Vec::<String>::new(), "{right}");
    }
}

#[test]
fn a_wrong_expectation_fails_and_is_rewritten() {
    for (wrong, right) in [
        ("title: Bee\nno problems", "title: Bee wing"),
        ("no problems\nRow 1: offered 6", "Row 1: offered 5"),
        ("no problems\nRow 1: made 5, 4 sc", "Row 1: made 5, 5 sc"),
        ("no problems\nRow 1: side WS", "Row 1: side RS"),
        ("no problems\nRow 1: not read", "Row 1: read"),
        ("no problems\nRow 1: stated 5 sts differs", "Row 1: stated 5 sts agrees"),
        ("no problems\nstitch Row 1.2: sc, into chain Foundation.5", "into chain Foundation.4"),
        ("no problems\nevents: attach A; turn", "events: attach A"),
        ("error places-left at \"ch across\": row 1 leaves", "no problems"),
    ] {
        let outcome = outcome(wrong);
        assert!(!outcome.faults.is_empty(), "this passes and should not:\n{wrong}");
        let new = outcome.rewritten.expect("it can be rewritten");
        assert!(new.contains(right), "{new}");
        assert!(new.starts_with(SWATCH), "the pattern is kept:\n{new}");
        assert_eq!(Case::parse(&new).expect("what was rewritten can be read").run().faults, Vec::<String>::new());
    }
}

#[test]
fn an_expectation_that_is_not_understood_or_finds_no_row_fails() {
    for wrong in ["no problems\nRow 9: made 5", "no problems\nRow 1: colourful", "no problems\nfabric looks nice", ""] {
        assert!(!outcome(wrong).faults.is_empty(), "this passes and should not:\n{wrong}");
    }
}

#[test]
fn a_problem_that_nobody_expects_fails() {
    let text =
        "Bee\n\nCh 6.\nRow 1: Sc in 2nd ch from hook and in each ch across. (7 sts)\n---- expect\nRow 1: made 5\n";
    let outcome = Case::parse(text).expect("the case can be read").run();
    assert!(outcome.faults.iter().any(|f| f.contains("error")), "{:?}", outcome.faults);
}

#[test]
fn a_known_fault_that_is_cured_fails_until_it_is_taken_out() {
    let still = outcome("known fault: five stitches are not six\nno problems\nRow 1: made 6");
    assert_eq!(still.faults, Vec::<String>::new());
    let cured = outcome("known fault: nothing is wrong\nno problems\nRow 1: made 5");
    assert!(cured.faults.iter().any(|f| f.contains("known fault")), "{:?}", cured.faults);
}
