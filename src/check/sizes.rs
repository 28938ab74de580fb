//! Sizes that run backwards: a later size with fewer stitches than an earlier one.

use crate::instructions::{Act, Pattern, RowKind, SizeList};
use crate::source::{Code, Problem, Severity, Span};

/// Chains of foundations and counts stated grow with the sizes; what falls among lists that grow is a slip.
pub(super) fn check(pattern: &Pattern) -> Vec<Problem> {
    let spans = told_by_size(pattern);
    let lists: Vec<&SizeList> = pattern
        .size_lists
        .iter()
        .filter(|l| spans.iter().any(|s| s.start <= l.span.start && l.span.end <= s.end))
        .collect();
    let falls = |l: &SizeList| l.numbers.windows(2).any(|w| w[1] < w[0]);
    let grows = |l: &SizeList| l.numbers.windows(2).any(|w| w[1] > w[0]);
    let growing = lists.iter().filter(|l| grows(l) && !falls(l)).count();
    let falling = lists.iter().filter(|l| falls(l) && !grows(l)).count();
    lists
        .iter()
        // all that fall alike are listed from the largest size down
        .filter(|l| falls(l) && (grows(l) || growing > falling))
        .filter_map(|l| backwards(l, pattern))
        .collect()
}

/// Where the pattern tells how many stitches there are: foundations, and counts stated.
fn told_by_size(pattern: &Pattern) -> Vec<Span> {
    let rows = pattern.parts.iter().flat_map(|p| &p.rows);
    rows.flat_map(|row| {
        let chains =
            row.steps.iter().filter(|s| row.heading.kind == RowKind::Foundation && matches!(s.act, Act::Chain { .. }));
        chains.map(|s| s.span).chain(row.stated.iter().map(|s| s.span)).collect::<Vec<_>>()
    })
    .collect()
}

fn backwards(list: &SizeList, pattern: &Pattern) -> Option<Problem> {
    let k = list.numbers.windows(2).position(|w| w[1] < w[0])?;
    let (before, after) = (pattern.sizes.get(k)?, pattern.sizes.get(k + 1)?);
    let message = format!(
        "the sizes run backwards here: size {before} has {}, size {after} {}",
        list.numbers[k],
        list.numbers[k + 1]
    );
    Some(
        Problem::new(Code::Sizes, list.span, message)
            .with_severity(Severity::Warning)
            .with_hint("see that the numbers stand in the order of the sizes"),
    )
}
