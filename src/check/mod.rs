//! Worked rows to problems: offered, used, made, stated.
//!
//! One fault, one message, at its first place.

mod after;
mod balance;
mod counts;
mod foundation;
mod old;
mod sizes;
mod turns;

use crate::instructions::Pattern;
use crate::source::{Code, Problem};
use crate::working::Worked;

/// Everything the worked rows have to report, in the order of the text.
pub fn check(pattern: &Pattern, worked: &Worked) -> Vec<Problem> {
    let mut problems = Vec::new();
    let rows = &worked.tallies;
    let mut lost_at_turning = None;
    let mut off: Option<after::Off> = None;
    let mut faults: Vec<_> = worked.problems.iter().filter(|p| p.is_error()).map(|p| p.span).collect();
    faults.sort();
    for (i, tally) in rows.iter().enumerate() {
        // a row with words not understood has been reported; its numbers mean nothing
        if !tally.read || tally.uncertain || tally.chains.is_some() {
            continue;
        }
        let below = i.checked_sub(1).map(|k| &rows[k]).filter(|b| b.part == tally.part || b.chains.is_none());
        let from = faults.partition_point(|f| f.start < tally.span.start);
        let stopped = faults[from..].iter().take_while(|f| f.start < tally.span.end).any(|&f| tally.span.holds(f));
        if stopped {
            continue;
        }
        let next = rows.get(i + 1).filter(|n| n.part == tally.part);
        let found = foundation::check(tally, below)
            .or_else(|| balance::check(tally, below))
            .or_else(|| counts::check(tally, next));
        let found = found.map(|p| if pattern.terms.is_old() { old::lenient(p) } else { p });
        // a stitch lost at the turning chain is lost in every row after it: said once
        let again = |p: &Problem| {
            lost_at_turning == Some(tally.part)
                && (p.code == Code::TurningChain
                    || p.code == Code::CountDiffers
                        && tally.stated.iter().all(|s| tally.count_of(&s.of) < s.count as usize))
        };
        match found {
            Some(problem) if again(&problem) => {}
            Some(problem) if off.is_some_and(|off| off.explains(tally, &problem)) => {}
            Some(problem) => {
                off = if problem.is_error() { after::Off::of(tally) } else { off };
                lost_at_turning = (problem.code == Code::TurningChain).then_some(tally.part);
                problems.push(problem);
            }
            None => {
                lost_at_turning = None;
                off = off.filter(|off| off.goes_on(tally));
            }
        }
    }
    problems.extend(turns::check(pattern, rows));
    problems.extend(sizes::check(pattern));
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
