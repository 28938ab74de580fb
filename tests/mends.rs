//! Faults put into sound patterns: are they noticed, and is the row as it was among the mends?

#[path = "mends/faults.rs"]
mod faults;
#[path = "mends/table.rs"]
mod table;
mod texts;

use fanwise::Pattern;
use fanwise::fabric::Fabric;
use fanwise::source::{Code, Problem};
use fanwise::working::Tally;
use faults::lots::Lots;
use faults::{Fault, Plan};
use std::collections::BTreeSet;
use std::path::Path;
use table::{Outcome, Table};
use texts::gather;

/// Patterns the faults are put into, by name: the orchard, our own, and every case with nothing to report and at least
/// three rows. Of two, neither has a row on either side that could tell what is wrong with it.
fn sound() -> Vec<(String, Pattern)> {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut files = Vec::new();
    for folder in ["examples/orchard", "tests/mends/patterns", "tests/cases"] {
        gather(&here.join(folder), &mut files);
    }
    files.sort();
    let mut found = Vec::new();
    for file in files {
        let text = std::fs::read_to_string(&file).expect("it can be read");
        let (text, expect) = text.split_once("---- expect\n").unwrap_or((&text, "no problems"));
        let pattern = Pattern::read(text);
        // rows without a count, or with the reader's own faults, have nothing to be held against
        let counted = pattern.worked().tallies.iter().filter(|t| !t.stated.is_empty()).count();
        let rows = pattern.worked().tallies.iter().filter(|t| t.chains.is_none()).count();
        let fine = !expect.contains("known fault")
            && !expect.contains("read as ")
            && pattern.problems().iter().all(|p| p.code == Code::TermsMixed)
            // of several sizes one is worked at a time, and mends are not offered
            && pattern.sizes().len() <= 1
            && pattern.is_sound();
        if fine && rows >= 3 && counted == rows {
            let name = file.strip_prefix(here).expect("it lies here").display().to_string();
            found.push((name, pattern));
        }
    }
    found
}

/// What a fabric is, whatever words made it: every stitch, its place and its part.
fn work_of(fabric: &Fabric) -> Vec<String> {
    fabric
        .stitches
        .iter()
        .map(|s| format!("{} {} {:?} {:?} {}", s.row.index(), s.kind, s.role, s.into, s.counts))
        .collect()
}

/// What its rows state.
fn stated_of(pattern: &Pattern) -> Vec<u32> {
    pattern.worked().tallies.iter().flat_map(|t| t.stated.iter().map(|s| s.count)).collect()
}

/// True where a fault is one of counts: the row is read as before, and uses, makes or states another number.
fn changes_a_count(sound: &Pattern, faulty: &Pattern) -> bool {
    let misread =
        |p: &Problem| matches!(p.code, Code::UnreadWords | Code::UnknownStitch | Code::UnclosedMark | Code::Limit);
    // stitches, spaces and groups count where the row counts them; else the next row's offer tells
    let of = |t: &Tally| t.stated.iter().map(|s| t.count_of(&s.of)).collect::<Vec<_>>();
    let counts = |p: &Pattern| {
        let rows = &p.worked().tallies;
        rows.iter().map(|t| (t.offered, t.used, of(t))).collect::<Vec<_>>()
    };
    !faulty.problems().iter().any(misread) && (counts(sound) != counts(faulty) || stated_of(sound) != stated_of(faulty))
}

fn outcome(sound: &Pattern, fault: &Fault, faulty: &Pattern) -> Outcome {
    let known = |p: &Problem| sound.problems().iter().any(|s| s.code == p.code && s.message == p.message);
    let noticed = !faulty.problems().iter().all(known);
    // a doubt that the counts settled is told in a note, and so noticed; it may have a mend, or nothing to mend
    let told = |p: &&Problem| !known(p) && !p.mends.is_empty();
    let Some(problem) = faulty.problems().iter().find(|p| p.is_error()).or_else(|| faulty.problems().iter().find(told))
    else {
        return Outcome { noticed, ..Outcome::default() };
    };
    let as_it_was = (work_of(sound.fabric()), stated_of(sound));
    let place = problem.mends.iter().position(|m| {
        let mended = Pattern::read(&fanwise::mend::apply(&fault.text, &m.edits));
        (work_of(mended.fabric()), stated_of(&mended)) == as_it_was
    });
    Outcome { noticed, place, mends: problem.mends.len(), equal: problem.equal_mends.into() }
}

/// The patterns that faults are drawn from: those of a list, so that a case added to the tests does not draw other
/// faults; all sound ones where that is asked, to see how mends carry over to them.
fn drawn_from() -> Vec<(String, Pattern)> {
    let mut patterns = sound();
    if std::env::var_os("FANWISE_MENDS_ALL").is_none() {
        let listed: BTreeSet<&str> = include_str!("mends/drawn_from.txt").lines().collect();
        patterns.retain(|(name, _)| listed.contains(name.as_str()));
        assert_eq!(patterns.len(), listed.len(), "a pattern of the list is sound no more");
    }
    patterns
}

fn run(seed: u64, plan: &Plan) -> Table {
    let patterns = drawn_from();
    assert!(patterns.len() >= 40, "only {} sound patterns", patterns.len());
    let show = std::env::var_os("FANWISE_MENDS").is_some();
    // every row is as likely to be the one with the fault
    let rows: Vec<(usize, usize)> = (0..patterns.len())
        .flat_map(|p| (0..patterns[p].1.tree().parts.iter().map(|q| q.rows.len()).sum()).map(move |r| (p, r)))
        .collect();
    let mut lots = Lots(seed);
    let mut seen = BTreeSet::new();
    let mut table = Table::default();
    while table.len() < plan.faults {
        let (at, row) = rows[lots.below(rows.len())];
        let (name, sound) = &patterns[at];
        let Some(fault) = faults::draw(sound, row, &mut lots, &plan.weights) else { continue };
        if !seen.insert(fault.text.clone()) {
            continue;
        }
        let faulty = Pattern::read(&fault.text);
        if !changes_a_count(sound, &faulty) {
            continue;
        }
        let outcome = outcome(sound, &fault, &faulty);
        if show && (!outcome.noticed || outcome.place != Some(0)) {
            show_miss(name, sound, &fault, &faulty, &outcome);
        }
        table.add(fault.kind, outcome);
    }
    table
}

fn show_miss(name: &str, sound: &Pattern, fault: &Fault, faulty: &Pattern, outcome: &Outcome) {
    let row = sound.tree().parts.iter().flat_map(|p| &p.rows).nth(fault.row).expect("the row is there");
    let was = sound.text()[row.span.start..row.span.end].replace('\n', " ");
    let is: String = fault.text[row.span.start..].lines().take(1).collect();
    eprintln!(
        "{} in {name}: place {:?} of {}, {} equal",
        fault.kind.name(),
        outcome.place,
        outcome.mends,
        outcome.equal
    );
    eprintln!("  was  {was}\n  is   {is}");
    for problem in faulty.problems() {
        eprintln!("  said {}: {}", problem.code.as_str(), problem.message);
        problem.mends.iter().for_each(|m| eprintln!("  mend {}", m.row));
    }
}

fn plan() -> Plan {
    Plan::read(include_str!("mends/faults.txt"))
}

#[test]
fn faults_are_noticed_and_the_row_as_it_was_is_among_the_mends() {
    let plan = plan();
    let table = run(plan.seed, &plan);
    eprintln!("seed {}\n{table}", plan.seed);
    table.holds();
}

#[test]
fn so_they_are_with_a_seed_held_out() {
    let plan = plan();
    let table = run(plan.held_out, &plan);
    eprintln!("seed {}\n{table}", plan.held_out);
    table.holds();
}
