//! Special stitches that a pattern names and never defines: taken as the trade commonly works them, where the pattern
//! then works out.

use super::pattern::{Sized, read_unmended};
use crate::instructions::Terms;
use crate::reading::{HouseWords, ReadOptions, in_other_terms};
use crate::source::{Code, Problem, Severity};

/// What stitches of these names commonly are, the commonest first, in US terms. Common practice, no source: the names are
/// not fixed, so a pattern should define its own.
const COMMON: &[(&str, &[&str])] = &[
    (
        "shell",
        &[
            "5 dc in same st",
            "(2 dc, ch 2, 2 dc) in same st",
            "(3 dc, ch 2, 3 dc) in same st",
            "(2 dc, ch 1, 2 dc) in same st",
            "(3 dc, ch 1, 3 dc) in same st",
            "3 dc in same st",
            "7 dc in same st",
            "4 dc in same st",
            "6 dc in same st",
            "(3 dc, ch 3, 3 dc) in same st",
            "(2 dc, ch 3, 2 dc) in same st",
            "9 dc in same st",
        ],
    ),
    ("small shell", SMALL),
    ("large shell", LARGE),
    ("small fan", SMALL),
    ("large fan", LARGE),
    (
        "v-st",
        &[
            "(dc, ch 1, dc) in same st",
            "(dc, ch 2, dc) in same st",
            "(dc, ch 3, dc) in same st",
            "2 dc in same st",
            "(hdc, ch 1, hdc) in same st",
            "(tr, ch 1, tr) in same st",
        ],
    ),
    (
        "fan",
        &[
            "5 dc in same st",
            "7 dc in same st",
            "(2 dc, ch 1, 2 dc) in same st",
            "(2 dc, ch 2, 2 dc) in same st",
            "(dc, (ch 1, dc) 4 times) in same st",
            "9 dc in same st",
        ],
    ),
    ("loop st", &["sc in same st"]),
    ("cluster", CLUSTER),
    ("cl", CLUSTER),
    ("puff", &["(yo, draw up a loop in same st) 3 times, yo and draw through all 7 loops"]),
    (
        "bobble",
        &["(yo, draw up a loop in same st, yo and draw through 2 loops) 5 times, yo and draw through all 6 loops"],
    ),
    ("popcorn", POPCORN),
    ("pc", POPCORN),
];

const SMALL: &[&str] =
    &["3 dc in same st", "(dc, ch 1, dc) in same st", "(dc, ch 1, dc, ch 1, dc) in same st", "4 dc in same st"];
const LARGE: &[&str] = &["7 dc in same st", "9 dc in same st", "8 dc in same st", "6 dc in same st"];
const CLUSTER: &[&str] =
    &["(yo, draw up a loop in same st, yo and draw through 2 loops) 3 times, yo and draw through all 4 loops"];
const POPCORN: &[&str] = &["5 dc in same st, drop loop from hook, insert hook in first dc, draw dropped loop through"];

/// How else such names are written.
const OTHER_NAMES: &[(&str, &str)] = &[
    ("shell", "sh"),
    ("loop st", "lp st"),
    ("loop st", "loopy st"),
    ("small shell", "sm shell"),
    ("small shell", "smshell"),
    ("large shell", "lg shell"),
    ("large shell", "lgshell"),
    ("small fan", "sm fan"),
    ("small fan", "smfan"),
    ("large fan", "lg fan"),
    ("large fan", "lgfan"),
];

/// Most readings tried for one pattern, most stitches worked in all of them, and the longest text that is read so often.
const MOST_TRIALS: usize = 24;
const MOST_STITCHES: usize = 60_000;
const LONGEST: usize = 200_000;

/// A pattern read, and not mended yet, with what its undefined stitches commonly are.
pub(super) struct Supposed {
    pub options: ReadOptions,
    pub one: Sized,
}

/// The reading in which the pattern has fewest errors, where some stitch named in it is not defined and all its rows
/// come out better for the supposition; each stitch supposed is still told as an error, once.
pub(super) fn suppose(text: &str, options: &ReadOptions, first: &Sized) -> Option<Supposed> {
    let terms = first.tree.terms;
    let missing: Vec<&Problem> = first.problems.iter().filter(|p| p.code == Code::UndefinedStitch).collect();
    if missing.is_empty() || text.len() > LONGEST {
        return None;
    }
    let mut names: Vec<(&str, &[&str], &Problem)> = Vec::new();
    for problem in &missing {
        let told = problem.message.split('"').nth(1).unwrap_or_default();
        let found = COMMON.iter().find(|(name, _)| *name == told);
        if let Some(&(name, makes)) = found.filter(|(name, _)| names.iter().all(|(n, ..)| n != name)) {
            names.push((name, makes, problem));
        }
    }
    if names.is_empty() {
        return None;
    }
    let mut chosen = vec![0; names.len()];
    let read = |chosen: &[usize]| {
        let mut words = options.house_words.clone();
        for (&(name, makes, _), &k) in names.iter().zip(chosen) {
            add(&mut words, name, makes[k], terms);
        }
        let options = options.clone().house_words(words);
        let one = read_unmended(text, &options);
        Supposed { options, one }
    };
    let mut best = read(&chosen);
    let mut trials = 1;
    let most = (MOST_STITCHES / best.one.worked.fabric.stitches.len().max(1)).clamp(1, MOST_TRIALS);
    for (i, (_, makes, _)) in names.iter().enumerate() {
        for k in 1..makes.len() {
            if faults(&best.one) == 0 || trials >= most {
                break;
            }
            let mut other = chosen.clone();
            other[i] = k;
            trials += 1;
            let trial = read(&other);
            if faults(&trial.one) < faults(&best.one) {
                (best, chosen) = (trial, other);
            }
        }
    }
    // the rows may not come out worse than with the stitch left out
    if faults(&best.one) + missing.len() > faults(first) {
        return None;
    }
    let known: Vec<_> = first.problems.iter().map(|p| (p.span, p.code)).collect();
    let arithmetic =
        [Code::PlacesLeft, Code::PlacesShort, Code::CountDiffers, Code::NoSuchPlace, Code::RepeatRemainder];
    for problem in &mut best.one.problems {
        // what only the supposition brings to light is no error of the pattern
        if problem.is_error() && arithmetic.contains(&problem.code) && !known.contains(&(problem.span, problem.code)) {
            problem.severity = Severity::Warning;
            problem.hints.push("it may be so only because a stitch above is supposed: define it".into());
        }
    }
    for (&(name, makes, problem), &k) in names.iter().zip(&chosen) {
        let make = in_other_terms(makes[k], Terms::Us, terms);
        let message =
            format!("\"{name}\" is not defined in this pattern; taken as \"{make}\", with which its rows fit best");
        let told = Problem::new(Code::UndefinedStitch, problem.span, message);
        best.one.problems.push(told.with_hint(format!("define it under \"Special stitches\": \"{name}: {make}\"")));
    }
    best.one.problems.sort_by_key(|p| (p.span, p.code));
    Some(best)
}

/// What is wrong with a reading: errors, and rows that were not read.
fn faults(one: &Sized) -> usize {
    one.problems.iter().filter(|p| p.is_error()).count() + one.worked.tallies.iter().filter(|t| !t.read).count()
}

/// Adds a stitch and, where it opens on a dc, the form of it that opens a row on a chain of 3.
fn add(words: &mut HouseWords, name: &str, make: &str, terms: Terms) {
    // a name that has a meaning already keeps it
    let mut stitch = |name: &str, make: &str| _ = words.add_stitch(name, &in_other_terms(make, Terms::Us, terms));
    stitch(name, make);
    for (_, other) in OTHER_NAMES.iter().filter(|(known, _)| *known == name) {
        stitch(other, make);
    }
    if let Some(opened) = opened_by_chain(make) {
        stitch(&format!("beg {name}"), &opened);
    }
}

/// The make with a chain of 3 for its first dc, in US terms as the make is.
fn opened_by_chain(make: &str) -> Option<String> {
    if let Some(rest) = make.strip_prefix('(') {
        let behind = rest.strip_prefix("dc, ").map(str::to_owned);
        return behind
            .or_else(|| rest.strip_prefix("2 dc, ").map(|r| format!("dc, {r}")))
            .or_else(|| rest.strip_prefix("3 dc, ").map(|r| format!("2 dc, {r}")))
            .map(|r| format!("ch 3, ({r}"));
    }
    let n: u32 = make.strip_suffix(" dc in same st")?.parse().ok()?;
    (n > 2).then(|| format!("ch 3, {} dc in same st", n - 1))
}
