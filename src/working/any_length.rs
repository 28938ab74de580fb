//! A foundation as long as wanted: it is made as long as two or more repeats of row 1 need.

use super::bench::Bench;
use super::plan::Planned;
use super::trial::Snapshot;
use super::{attempt, work_foundation};
use crate::instructions::{Act, Convention, Step};
use crate::source::{Code, Problem, Severity};

/// The shortest and longest foundation tried, in chains.
const LENGTHS: std::ops::RangeInclusive<u32> = 20..=150;

/// True for a foundation whose length is left to the worker.
pub(super) fn is_any_length(row: &Planned<'_>) -> bool {
    row.steps.iter().any(|s| matches!(s.act, Act::AnyChain))
}

/// Works such a foundation at the first length at which the row on it comes out.
pub(super) fn work_any_length(
    bench: &mut Bench,
    row: &Planned<'_>,
    next: Option<&Planned<'_>>,
    conventions: &[Convention],
) {
    let before = Snapshot::of(bench);
    let steps = |n: u32| -> Vec<Step> {
        let chain = |s: &Step| match s.act {
            Act::AnyChain => Step { act: Act::Chain { n }, span: s.span },
            _ => s.clone(),
        };
        row.steps.iter().map(chain).collect()
    };
    let fits = |bench: &mut Bench, n: u32| {
        let steps = steps(n);
        work_foundation(bench, row, &steps.iter().collect::<Vec<_>>());
        let fine = next.is_some_and(|next| attempt(bench, next, conventions, &[]).1);
        before.restore(bench);
        fine
    };
    let found = match next {
        Some(next) if next.read => LENGTHS.into_iter().find(|&n| fits(bench, n)),
        _ => None,
    };
    let n = found.unwrap_or(*LENGTHS.start());
    let steps = steps(n);
    work_foundation(bench, row, &steps.iter().collect::<Vec<_>>());
    bench.uncertain |= found.is_none();
    let span = row.steps.iter().find(|s| matches!(s.act, Act::AnyChain)).map_or(row.body, |s| s.span);
    bench.problems.push(
        Problem::new(
            Code::FoundationLength,
            span,
            format!("the length of this chain is left open; {n} ch are worked here"),
        )
        .with_severity(Severity::Note)
        .with_hint("say how many chains, and that many are worked"),
    );
}
