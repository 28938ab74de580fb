//! Worked rows to problems: offered, used, made, stated.
//!
//! One fault, one message, at its first place.

mod balance;
mod counts;
mod foundation;
mod turns;

use crate::instructions::Pattern;
use crate::source::Problem;
use crate::working::Worked;

/// Everything the worked rows have to report, in the order of the text.
pub fn check(pattern: &Pattern, worked: &Worked) -> Vec<Problem> {
    let mut problems = Vec::new();
    let rows = &worked.tallies;
    for (i, tally) in rows.iter().enumerate() {
        // a row with words not understood has been reported; its numbers mean nothing
        if !tally.read || tally.uncertain || tally.chains.is_some() {
            continue;
        }
        let below = i.checked_sub(1).map(|k| &rows[k]).filter(|b| b.part == tally.part || b.chains.is_none());
        let stopped = worked.problems.iter().any(|p| p.is_error() && tally.span.holds(p.span));
        if stopped {
            continue;
        }
        let found =
            foundation::check(tally, below).or_else(|| balance::check(tally, below)).or_else(|| counts::check(tally));
        problems.extend(found);
    }
    problems.extend(turns::check(pattern, rows));
    problems.sort_by_key(|p| (p.span, p.code));
    problems
}

/// "1 st", "2 sts".
fn sts(n: usize) -> String {
    if n == 1 { "1 st".into() } else { format!("{n} sts") }
}

/// The label of a row as it stands in a sentence.
fn name(tally: &crate::working::Tally) -> String {
    let label = tally.label.to_lowercase();
    match label.strip_prefix("round ") {
        Some(n) => format!("rnd {n}"),
        None => label,
    }
}
