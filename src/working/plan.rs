//! The rows of a part in the order they are worked: ranges written out, "as row 2" looked up.

use crate::craft::StitchForm;
use crate::instructions::{Act, Heading, Part, Row, RowKind, Rows, Stated, Step};
use crate::source::{Code, Problem, Span};

/// Most rows of one pattern.
const MOST_ROWS: usize = 20_000;

/// One row to be worked.
#[derive(Clone, Debug)]
pub(super) struct Planned<'p> {
    pub label: String,
    pub heading: &'p Heading,
    pub kind: RowKind,
    pub steps: Vec<&'p Step>,
    pub stated: Vec<Stated>,
    pub span: Span,
    pub body: Span,
    pub read: bool,
}

/// Writes out a part's rows.
pub(super) fn plan<'p>(part: &'p Part, problems: &mut Vec<Problem>) -> Vec<Planned<'p>> {
    let mut planned: Vec<Planned<'p>> = Vec::new();
    let mut last_number = 0;
    let mut kind_so_far = RowKind::Row;
    for row in &part.rows {
        let numbers: Vec<Option<u32>> = match &row.heading.rows {
            Rows::Numbered(numbers) => numbers.iter().copied().map(Some).collect(),
            Rows::Next(n) => (1..=*n).map(|i| Some(last_number + i)).collect(),
            Rows::Unnumbered => vec![None],
        };
        if matches!(row.heading.kind, RowKind::Row | RowKind::Round) {
            kind_so_far = row.heading.kind;
        }
        let again = row.steps.iter().find_map(|s| match &s.act {
            Act::AsRow { rows } => Some((rows, s.span)),
            _ => None,
        });
        let sources: Vec<&Row> = match again {
            Some((rows, span)) => {
                let found: Vec<&Row> = rows.iter().filter_map(|&n| row_numbered(part, n)).collect();
                if found.len() < rows.len() {
                    let missing = rows.iter().find(|&&n| row_numbered(part, n).is_none()).copied().unwrap_or(0);
                    problems.push(Problem::new(
                        Code::NoSuchPlace,
                        span,
                        format!("there is no row {missing} to work again"),
                    ));
                    continue;
                }
                found
            }
            None => vec![row],
        };
        let numbers = if numbers == [None] && again.is_some() {
            sources.iter().enumerate().map(|(i, _)| Some(last_number + 1 + i as u32)).collect()
        } else {
            numbers
        };
        let n = numbers.len();
        for (i, number) in numbers.into_iter().enumerate() {
            if planned.len() >= MOST_ROWS {
                problems.push(Problem::new(
                    Code::Limit,
                    row.heading.span,
                    format!("these rows come to more than {MOST_ROWS}, the most one pattern may have"),
                ));
                return planned;
            }
            let source = sources[i % sources.len()];
            let last = i + 1 == n;
            let own = if again.is_some() && row.stated.is_empty() { &source.stated } else { &row.stated };
            let stated = if last || row.stated_each || again.is_some() && row.stated.is_empty() {
                own.clone()
            } else {
                Vec::new()
            };
            let kind = match row.heading.kind {
                RowKind::Loose if again.is_some() => kind_so_far,
                kind => kind,
            };
            planned.push(Planned {
                label: label(row, number, kind, &part.name),
                heading: &row.heading,
                kind,
                steps: steps_of(source, row, again.is_some()),
                stated,
                span: row.span,
                body: row.body,
                read: row.read && source.read,
            });
            last_number = number.unwrap_or(last_number);
        }
    }
    planned
}

/// The steps of the row worked again, with what its own line adds at the end.
fn steps_of<'p>(source: &'p Row, row: &'p Row, again: bool) -> Vec<&'p Step> {
    let mut steps: Vec<&Step> = source.steps.iter().filter(|s| !matches!(s.act, Act::AsRow { .. })).collect();
    if again {
        steps.extend(row.steps.iter().filter(|s| !matches!(s.act, Act::AsRow { .. })));
    }
    steps
}

fn row_numbered(part: &Part, n: u32) -> Option<&Row> {
    part.rows.iter().find(|r| {
        matches!(&r.heading.rows, Rows::Numbered(all) if all.contains(&n))
            && !r.steps.iter().any(|s| matches!(s.act, Act::AsRow { .. }))
    })
}

fn label(row: &Row, number: Option<u32>, kind: RowKind, part: &str) -> String {
    match (kind, number) {
        (RowKind::Foundation, _) => "Foundation".into(),
        (RowKind::Round, Some(n)) => format!("Round {n}"),
        (_, Some(n)) => format!("Row {n}"),
        _ if !row.heading.published.is_empty() => row.heading.published.clone(),
        _ => part.to_owned(),
    }
}

/// Chains at the end of a row that belong to the next: "ch 1, turn."
pub(super) fn split_carried(steps: &mut Vec<&Step>) -> Option<(u32, Span)> {
    let worked = steps.iter().any(|s| matches!(s.act, Act::Work { .. } | Act::Group { .. } | Act::Repeat { .. }));
    if !worked {
        return None;
    }
    let mut at = steps.len();
    let mut turn = false;
    while at > 0 {
        match &steps[at - 1].act {
            Act::Turn => turn = true,
            Act::Counts { .. } => {}
            Act::Chain { n } if turn => {
                let carried = (*n, steps[at - 1].span);
                steps.remove(at - 1);
                return Some(carried);
            }
            Act::Chain { n } => {
                // "turn, ch 1" at the row's end
                let before = at >= 2 && matches!(steps[at - 2].act, Act::Turn);
                if !before {
                    return None;
                }
                let carried = (*n, steps[at - 1].span);
                steps.remove(at - 1);
                return Some(carried);
            }
            _ => return None,
        }
        at -= 1;
    }
    None
}

/// True where the steps work along row ends.
pub(super) fn is_border(steps: &[&Step]) -> bool {
    use crate::instructions::{Class, Target};
    steps.iter().any(|s| match &s.act {
        Act::RowEnds => true,
        Act::Work { at, .. } | Act::Group { at, .. } | Act::Attach { at: Some(at), .. } => matches!(
            at,
            Target::Each { class: Class::RowEnd, .. }
                | Target::Next { class: Class::RowEnd, .. }
                | Target::First { class: Class::RowEnd }
                | Target::Evenly { .. }
        ),
        _ => false,
    })
}

/// True where a stitch is worked anywhere in the steps.
pub(super) fn works(steps: &[&Step]) -> bool {
    let slip = StitchForm::plain(crate::craft::Stem::SlipStitch);
    steps.iter().any(|s| match &s.act {
        Act::Work { form, at, .. } => *form != slip || !matches!(at, crate::instructions::Target::Same),
        Act::Group { .. } | Act::Repeat { .. } => true,
        _ => false,
    })
}
