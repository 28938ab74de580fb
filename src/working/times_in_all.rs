//! "Rep from * 3 times more" in a pattern that means three in all: told once, instead of row by row.

use super::{Tally, Worked, work_watched};
use crate::instructions::{Act, Pattern, Step, Times};
use crate::source::{Code, Problem, Span};
use std::collections::BTreeSet;

/// Rows that come out only so, before it is held for the pattern's own way of saying it and not for a slip in one row.
const LEAST_ROWS: usize = 3;

/// The pattern worked with its "n times more" as n in all, where nothing else lets its rows come out.
pub(super) fn work_in_all(pattern: &Pattern, first: &Worked) -> Option<Worked> {
    let more: BTreeSet<Span> = pattern.parts.iter().flat_map(|p| &p.rows).filter_map(|r| said_in(&r.steps)).collect();
    let tells = |tally: &Tally| {
        more.range(Span::new(tally.body.start, tally.body.start)..).next().filter(|s| tally.body.holds(**s)).copied()
    };
    let faulty = |worked: &Worked| worked.tallies.iter().filter(|t| is_faulty(t)).count();
    let told: Vec<Span> = first.tallies.iter().filter(|t| is_faulty(t)).filter_map(tells).collect();
    if told.len() < LEAST_ROWS {
        return None;
    }
    let mut in_all = pattern.clone();
    in_all.assumed.more_in_all = true;
    let mut second = work_watched(&in_all, &mut |_| {});
    if second.tallies.iter().any(|t| is_faulty(t) && tells(t).is_some()) || faulty(&second) >= faulty(first) {
        return None;
    }
    second.problems.push(
        Problem::new(
            Code::RepeatRemainder,
            *told.first()?,
            format!("\"more\" is one time too many, here and in {} other rows: they come out only where the times are in all", told.len() - 1),
        )
        .with_hint("write one time less, or \"times in all\""),
    );
    Some(second)
}

fn is_faulty(tally: &Tally) -> bool {
    tally.read && !tally.uncertain && !tally.comes_out()
}

/// Where steps say "n times more" first.
fn said_in(steps: &[Step]) -> Option<Span> {
    steps.iter().find_map(|step| match &step.act {
        Act::Repeat { times: Times::More(_), .. } => Some(step.span),
        Act::Repeat { steps, .. } | Act::Group { steps, .. } => said_in(steps),
        _ => None,
    })
}
