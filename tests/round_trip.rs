//! A pattern written out is the same pattern: read again it gives the same fabric, stitch for stitch, in US and in UK
//! terms, as text and as Markdown; and written out once more it gives the same text.

mod runner;

use fanwise::export::markdown;
use fanwise::instructions::Terms;
use fanwise::reading::SizeChoice;
use fanwise::symbol::Speak;
use fanwise::write::{as_text, same_work};
use fanwise::{Pattern, ReadOptions};
use runner::Case;
use std::path::{Path, PathBuf};

/// A pattern, how it is read, and how what was written of it is.
struct Subject {
    name: String,
    text: String,
    read: ReadOptions,
    again: ReadOptions,
}

/// Every pattern of a folder under the project.
fn subjects(folder: &str) -> Vec<Subject> {
    let mut files = Vec::new();
    gather(&Path::new(env!("CARGO_MANIFEST_DIR")).join(folder), &mut files);
    let one = |file: &PathBuf| {
        let text = std::fs::read_to_string(file).expect("a pattern can be read");
        let name = file.display().to_string();
        match Case::parse(&text) {
            Ok(case) => {
                let (read, house) = (case.options(), case.house());
                // what is written for all sizes is read in all sizes
                let again = if read.size == SizeChoice::All { house.size(SizeChoice::All) } else { house };
                Subject { name, text: case.pattern().to_owned(), read, again }
            }
            Err(_) => Subject { name, text, read: ReadOptions::default(), again: ReadOptions::default() },
        }
    };
    files.iter().map(one).collect()
}

fn gather(folder: &Path, files: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).expect("the folder is there") {
        let path = entry.expect("its entries can be read").path();
        match path.extension() {
            _ if path.is_dir() => gather(&path, files),
            Some(ending) if ending == "txt" => files.push(path),
            _ => {}
        }
    }
    files.sort();
}

/// What is wrong with a pattern written out in these terms.
fn faults(subject: &Subject, terms: Terms) -> Vec<String> {
    let pattern = Pattern::read_with(&subject.text, &subject.read);
    let written = pattern.write(Some(terms));
    let text = as_text(&written);
    let again = Pattern::read_with(&text, &subject.again);
    let mut found = Vec::new();
    if !same_work(pattern.fabric(), again.fabric()) {
        found.push("other stitches".to_owned());
    }
    if !written.unproven.is_empty() {
        found.push(format!("not proven: {}", written.unproven.join(", ")));
    }
    if again.tree().terms != terms {
        found.push(format!("it is read in {} terms", again.tree().terms));
    }
    // what an old book leaves open is an error in the words of today
    if !pattern.tree().terms.is_old() && pattern.error_count() == 0 && again.error_count() > 0 {
        let first = again.problems().iter().find(|p| p.is_error()).map(|p| p.message.clone());
        found.push(format!("an error that was not there: {}", first.unwrap_or_default()));
    }
    let twice = as_text(&again.write(None));
    if let Some((a, b)) = text.lines().zip(twice.lines()).find(|(a, b)| a != b) {
        found.push(format!("written once more, for \"{a}\" stands \"{b}\""));
    } else if text != twice {
        found.push("written once more, it has another length".into());
    }
    let marked = Pattern::read_with(&markdown::write(&written), &subject.again);
    if !same_work(pattern.fabric(), marked.fabric()) {
        found.push("other stitches in Markdown".to_owned());
    }
    found
}

fn hold(folder: &str, at_least: usize) {
    let subjects = subjects(folder);
    assert!(subjects.len() >= at_least, "{} patterns are there", subjects.len());
    let mut failed = Vec::new();
    for subject in &subjects {
        for terms in [Terms::Us, Terms::Uk] {
            let found = faults(subject, terms);
            if !found.is_empty() {
                failed.push(format!("{} in {terms} terms\n    {}", subject.name, found.join("\n    ")));
            }
        }
    }
    assert!(failed.is_empty(), "{} of {}:\n{}", failed.len(), 2 * subjects.len(), failed.join("\n"));
}

#[test]
fn the_examples_come_back_stitch_for_stitch() {
    hold("examples", 5);
}

#[test]
fn the_shapes_come_back_stitch_for_stitch() {
    hold("tests/shapes", 60);
}

#[test]
fn the_cases_come_back_stitch_for_stitch() {
    hold("tests/cases", 500);
}

/// A cap in three sizes with all that sizes may do: lists, rows of some sizes, ranges of another length.
const CAP: &str = "Acorn Cap\n\nUS terms\n\nSizes: Small (Medium, Large)\n\nCh 3 counts as dc throughout.\n\n\
    Rnd 1: Ch 4, 11 dc in 4th ch from hook. Join with sl st to top of beg ch-4. (12 dc)\n\
    Rnd 2: Ch 3, dc in same st, 2 dc in each st around. Join with sl st to top of beg ch-3. (24 dc)\n\
    Sizes Medium and Large only: Rnd 3: Ch 3, 2 dc in next st, *dc in next st, 2 dc in next st; rep from * around. \
    Join with sl st to top of beg ch-3. (36 dc)\n\
    Size Large only: Rnd 4: Ch 3, dc in next st, 2 dc in next st, *dc in next 2 sts, 2 dc in next st; rep from * around. \
    Join with sl st to top of beg ch-3. (48 dc)\n\
    Next 2 (3, 4) rnds: Ch 3, dc in each st around. Join with sl st to top of beg ch-3. 24 (36, 48) dc.\n\
    Next rnd: Ch 1, [sc in next 4 (7, 10) sts, sc2tog] 4 times. Join with sl st to first sc. 20 (32, 44) sts.\n\
    Next rnd: Ch 1, sc in next 1 (2, 3) sts, sc in each st to last 1 (2, 3) sts, 2 sc in next 1 (2, 3) sts.\n\
    Next rnd: [Sc in next 6 (9, 8) sts, sc2tog] 1 (2, 3) times.\nFasten off.\n";

/// What is wrong with a pattern written out in all its sizes at once.
fn faults_in_sizes(text: &str, read: &ReadOptions, again: &ReadOptions, terms: Terms) -> Vec<String> {
    let all = Pattern::read_with(text, &read.clone().size(SizeChoice::All));
    let written = all.write(Some(terms));
    let out = as_text(&written);
    let mut found: Vec<String> = written.unproven.iter().map(|label| format!("not proven: {label}")).collect();
    for k in 0..all.sizes().len() {
        let size = |options: &ReadOptions| options.clone().size(SizeChoice::Index(k));
        let (was, is) = (Pattern::read_with(text, &size(read)), Pattern::read_with(&out, &size(again)));
        if !same_work(was.fabric(), is.fabric()) {
            found.push(format!("other stitches in size {}", all.sizes()[k]));
        }
        if was.error_count() == 0 && is.error_count() > 0 {
            found.push(format!("an error that was not there in size {}", all.sizes()[k]));
        }
    }
    let twice = as_text(&Pattern::read_with(&out, &again.clone().size(SizeChoice::All)).write(None));
    if let Some((a, b)) = out.lines().zip(twice.lines()).find(|(a, b)| a != b) {
        found.push(format!("written once more, for \"{a}\" stands \"{b}\""));
    }
    found
}

#[test]
fn a_pattern_in_sizes_comes_back_in_every_size() {
    let mut subjects = subjects("tests/cases");
    subjects.push(Subject {
        name: "the cap".into(),
        text: CAP.into(),
        read: ReadOptions::default(),
        again: ReadOptions::default(),
    });
    let mut failed = Vec::new();
    let mut n = 0;
    for subject in subjects.iter().filter(|s| Pattern::read_with(&s.text, &s.read).sizes().len() > 1) {
        n += 1;
        for terms in [Terms::Us, Terms::Uk] {
            let found = faults_in_sizes(&subject.text, &subject.read, &subject.again, terms);
            if !found.is_empty() {
                failed.push(format!("{} in {terms} terms\n    {}", subject.name, found.join("\n    ")));
            }
        }
    }
    assert!(n > 15, "{n} patterns come in sizes");
    assert!(failed.is_empty(), "{} of {n}:\n{}", failed.len(), failed.join("\n"));
}

#[test]
fn numbers_of_all_sizes_stand_in_lists_and_rows_of_some_have_a_label() {
    let options = ReadOptions::default().size(SizeChoice::All);
    let text = as_text(&Pattern::read_with(CAP, &options).write(Some(Terms::Uk)));
    for words in [
        "\nSizes: Small (Medium, Large)\n",
        "\nSizes Medium and Large only: Rnd 3: Ch 3, 2 tr in next st, *tr in next st, 2 tr in next st; rep from * around.",
        "\nSize Large only: Rnd 4: ",
        "\nNext 2 (3, 4) rnds: Ch 3, tr in each st around. Join with ss to top of beg ch-3. 24 (36, 48) tr.\n",
        "\nNext rnd: Ch 1, [dc in next 4 (7, 10) sts, dc2tog] 4 times. Join with ss to first dc. 20 (32, 44) sts.\n",
        "dc in next 1 (2, 3) sts, dc in each st to last 1 (2, 3) sts, 2 dc in each of next 1 (2, 3) sts. 21 (34, 47) sts.\n",
        "\nNext rnd: [Dc in next 6 (9, 8) sts, dc2tog] 1 (2, 3) times.",
    ] {
        assert!(text.contains(words), "{words}\n{text}");
    }
}

const MOTIF: &str = "Bee\n\nUS terms\n\nRnd 1: 6 sc in magic ring. (6 sts)\nRnd 2: 2 sc in each st around. (12 sts)\n\
    Rnd 3: Sc in each st around. (12 sts)\nRnd 4: Sc in each st around. (12 sts)\nRnd 5: Sc in each st around.\n\
    Rnd 6: Sc in next st, 2 sc in next st, sc in next st, 2 sc in next st, sc in next st, 2 sc in next st, sc in next st, \
    2 sc in next st, sc in next st, 2 sc in next st, sc in next st, 2 sc in next st. (18 sts)\n";

#[test]
fn rows_worked_alike_are_folded_repeats_starred_and_counts_stated() {
    let text = as_text(&Pattern::read(MOTIF).write(None));
    assert!(text.contains("\nRnds 3-5: Sc in each st around. (12 sts)\n"), "{text}");
    assert!(text.contains("\nRnd 6: *Sc in next st, 2 sc in next st; rep from * 5 more times. (18 sts)\n"), "{text}");
}

#[test]
fn rows_that_alternate_are_told_once_more_by_their_numbers() {
    let pair = |n: u32| {
        format!(
            "Row {n}: Ch 3 (counts as dc), skip first st, dc in each st across. Turn. (12 dc)\nRow {}: Ch 1, sc in each st across. Turn. (12 sts)\n",
            n + 1
        )
    };
    let rows: String = [2, 4, 6].into_iter().map(pair).collect();
    let text = format!(
        "Leaf Scarf\n\nUS terms\n\nCh 13.\nRow 1: Sc in 2nd ch from hook and in each ch across. Turn. (12 sts)\n{rows}Row 8: Ch 1, sc in each st across. Fasten off.\n"
    );
    let pattern = Pattern::read(&text);
    for (terms, rep) in [
        (Terms::Us, "\nRows 4-7: Rep rows 2 and 3.\n\nRow 8: Ch 1, sc"),
        (Terms::Uk, "\nRows 4-7: Rep rows 2 and 3.\n\nRow 8: Ch 1, dc"),
    ] {
        let written = as_text(&pattern.write(Some(terms)));
        assert!(written.contains(rep), "{written}");
        let again = Pattern::read(&written);
        assert!(same_work(pattern.fabric(), again.fabric()), "{written}");
        assert_eq!(as_text(&again.write(None)), written);
    }
    let german = pattern.write_in(match Speak::of_code("de") {
        Some(Speak::In(l)) => l,
        _ => unreachable!(),
    });
    assert!(as_text(&german.expect("rows")).contains("\nReihen 4-7: Wie Reihen 2 und 3.\n"));
}

#[test]
fn ranges_that_alternate_are_told_once_more_as_well() {
    let some = |n: u32| {
        format!(
            "Rnds {n}-{}: Sc in each st around. (12 sts)\nRnd {}: [Sc in next 2 sts, sl st in next st] 4 times. (12 sts)\n",
            n + 2,
            n + 3
        )
    };
    let text = format!("Twig\n\nUS terms\n\nRnd 1: 12 sc in magic ring. (12 sts)\n{}{}{}", some(2), some(6), some(10));
    let pattern = Pattern::read(&text);
    assert!(pattern.is_sound(), "{:#?}", pattern.problems());
    let written = as_text(&pattern.write(None));
    assert!(written.contains("\nRnds 6-13: Rep rnds 2-5.\n"), "{written}");
}

#[test]
fn the_other_dialect_says_the_same() {
    let text = as_text(&Pattern::read(MOTIF).write(Some(Terms::Uk)));
    assert!(text.contains("\nWritten in UK terms.\n"), "{text}");
    assert!(text.contains("\nRnd 6: *Dc in next st, 2 dc in next st; rep from * 5 more times. (18 sts)\n"), "{text}");
    let list = text.split("Abbreviations\n").nth(1).and_then(|t| t.split("\n\n").next()).expect("a list");
    assert_eq!(list, "dc: double crochet\nrep: repeat\nrnd(s): round(s)\nst(s): stitch(es)");
}

/// Source of the names: Craft Yarn Council, US to UK conversion chart.
#[test]
fn special_stitches_gauge_and_notes_are_turned_as_well() {
    let us = "Fan\n\nGauge: 16 dc and 8 rows = 10 cm\n\nShell: 5 dc in same st\n\nNotes\nUS terms. Ch 3 counts as dc.\n\n\
        Ch 9.\nRow 1: Sc in 2nd ch from hook, skip next 2 ch, shell in next ch, skip next 2 ch, sc in next 2 ch. (8 sts)\n";
    let text = as_text(&Pattern::read(us).write(Some(Terms::Uk)));
    for words in [
        "Gauge: 16 tr and 8 rows = 10 cm",
        "Shell: 5 tr in same st",
        "Ch 3 counts as tr.",
        "miss next 2 ch, shell in next ch",
    ] {
        assert!(text.contains(words), "{words}\n{text}");
    }
}

#[test]
fn a_title_that_tells_the_terms_tells_those_spoken_and_a_join_names_its_own_chain() {
    let uk = "Coaster, UK terms\n\n6 ch, ss in first ch to form ring.\nRnd 1: 3 ch (counts as 1 tr), 11 tr into ring, ss into top of 3 ch. 12 tr.\n";
    let text = as_text(&Pattern::read(uk).write(Some(Terms::Us)));
    assert!(text.starts_with("Coaster, US terms\n"), "{text}");
    assert!(text.contains("Rnd 1: Ch 3 (counts as dc), 11 dc in ring, sl st in top of beg ch-3. (12 dc)"), "{text}");
}

#[test]
fn a_pattern_with_errors_is_written_as_it_stands() {
    let short = "Leaf\n\nCh 6.\nRow 1: Sc in 2nd ch from hook, sc in next 3 ch. (5 sts)\n";
    let text = as_text(&Pattern::read(short).write(None));
    assert!(text.contains("Row 1: Sc in 2nd ch from hook and in each of next 3 ch. (5 sts)"), "{text}");
}
