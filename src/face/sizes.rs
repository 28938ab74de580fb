//! Every size of a pattern side by side: the same rows, and the problems of all.

use super::Pattern;
use super::pattern::Sized;
use crate::source::{Code, Problem};
use crate::working::Tally;

/// A row in every size: none in those that do not work it.
pub struct RowOfSizes<'a> {
    /// One for each size, in their order.
    pub tallies: Vec<Option<&'a Tally>>,
}

impl<'a> RowOfSizes<'a> {
    /// The row in the first size that works it.
    pub fn first(&self) -> &'a Tally {
        // OK: a row is only made with a tally in it
        self.tallies.iter().flatten().next().expect("a row is worked in one size at least")
    }
}

/// The rows of all sizes in working order; a row that only some sizes work stands behind the row it follows there.
pub fn rows_of_sizes(pattern: &Pattern) -> Vec<RowOfSizes<'_>> {
    let sizes = pattern.by_size();
    let mut rows: Vec<RowOfSizes<'_>> = Vec::new();
    for (k, worked) in sizes.iter().enumerate() {
        let mut at = 0;
        for tally in &worked.tallies {
            let same = |r: &RowOfSizes<'_>| {
                let first = r.first();
                r.tallies[k].is_none() && first.label == tally.label && first.span == tally.span
            };
            let found = rows[at..].iter().take(MOST_BETWEEN).position(same).map(|i| at + i);
            // a row found far behind is another of the same name, unless those between are not for this size
            match found {
                Some(i) => {
                    rows[i].tallies[k] = Some(tally);
                    at = i + 1;
                }
                None => {
                    let mut tallies = vec![None; sizes.len()];
                    tallies[k] = Some(tally);
                    rows.insert(at, RowOfSizes { tallies });
                    at += 1;
                }
            }
        }
    }
    rows
}

/// Rows that one size may have and another lacks, between two that both have.
const MOST_BETWEEN: usize = 500;

/// The problems of all sizes: one that all have is said once, one that some have names them.
pub(super) fn merged(names: &[String], first: &Sized, others: &[Sized]) -> Vec<Problem> {
    let all: Vec<&[Problem]> =
        std::iter::once(first.problems.as_slice()).chain(others.iter().map(|o| o.problems.as_slice())).collect();
    let mut found: Vec<(Problem, Vec<usize>, bool)> = Vec::new();
    for (k, problems) in all.iter().enumerate() {
        for problem in *problems {
            let same = found.iter_mut().find(|(p, ..)| p.code == problem.code && p.span == problem.span);
            match same {
                Some((p, sizes, alike)) => {
                    if sizes.last() != Some(&k) {
                        sizes.push(k);
                    }
                    *alike &= p.message == problem.message;
                }
                None => found.push((problem.clone(), vec![k], true)),
            }
        }
    }
    let mut out: Vec<Problem> = found
        .into_iter()
        .map(
            |(problem, sizes, alike)| {
                if sizes.len() == all.len() && alike { problem } else { in_sizes(problem, names, &sizes) }
            },
        )
        .collect();
    out.sort_by_key(|p| (p.span, p.code));
    out
}

/// The problem with the sizes it is a problem of.
fn in_sizes(mut problem: Problem, names: &[String], sizes: &[usize]) -> Problem {
    let named = |list: &[usize]| {
        let of: Vec<&str> = list.iter().filter_map(|&k| names.get(k)).map(String::as_str).collect();
        match of.as_slice() {
            [one] => format!("size {one}"),
            [start @ .., last] => format!("sizes {} and {last}", start.join(", ")),
            [] => String::new(),
        }
    };
    // the figures are those of the first
    problem.message = format!("{}: {}", named(&sizes[..1]), problem.message);
    if sizes.len() > 1 {
        problem = problem.with_hint(format!("also in {}", named(&sizes[1..])));
    }
    let fine: Vec<usize> = (0..names.len()).filter(|k| !sizes.contains(k)).collect();
    if !fine.is_empty() && problem.is_error() {
        let verb = if fine.len() == 1 { "works" } else { "work" };
        problem = problem.with_hint(format!("{} {verb} out here", named(&fine)));
        if problem.code == Code::RepeatRemainder {
            // whole in one size and not in another: the numbers of this size are at fault, not the repeat
            problem.code = Code::Sizes;
        }
    }
    problem
}
