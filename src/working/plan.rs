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
    pub number: Option<u32>,
    pub heading: &'p Heading,
    pub kind: RowKind,
    pub steps: Vec<Step>,
    pub stated: Vec<Stated>,
    pub span: Span,
    pub body: Span,
    pub read: bool,
}

/// Writes out a part's rows.
pub(super) fn plan<'p>(part: &'p Part, problems: &mut Vec<Problem>) -> Vec<Planned<'p>> {
    let mut plan = Plan { part, planned: Vec::new(), last_number: 0, kind: RowKind::Row };
    for row in &part.rows {
        if !plan.add(row, problems) {
            break;
        }
    }
    plan.in_order()
}

struct Plan<'p> {
    part: &'p Part,
    planned: Vec<Planned<'p>>,
    last_number: u32,
    /// Row or round, as the numbered rows so far say.
    kind: RowKind,
}

impl<'p> Plan<'p> {
    /// Adds the rows of one line; false where the limit is reached.
    fn add(&mut self, row: &'p Row, problems: &mut Vec<Problem>) -> bool {
        if matches!(row.heading.kind, RowKind::Row | RowKind::Round) {
            self.kind = row.heading.kind;
        }
        let sources = match self.sources(row, problems) {
            Some(sources) => sources,
            None => return true,
        };
        let again = sources.iter().any(|s| s.again);
        let numbers: Vec<Option<u32>> = match &row.heading.rows {
            Rows::Numbered(numbers) => numbers.iter().copied().map(Some).collect(),
            Rows::Next(n) => (1..=*n).map(|i| Some(self.last_number.saturating_add(i))).collect(),
            Rows::Unnumbered if again => {
                (1..=sources.len()).map(|i| Some(self.last_number.saturating_add(i as u32))).collect()
            }
            Rows::Unnumbered => vec![None],
        };
        let n = numbers.len();
        for (i, number) in numbers.into_iter().enumerate() {
            if self.planned.len() >= MOST_ROWS {
                let message = format!("these rows come to more than {MOST_ROWS}, the most one pattern may have");
                problems.push(Problem::new(Code::Limit, row.heading.span, message));
                return false;
            }
            let source = &sources[i % sources.len()];
            let inherits = again && row.stated.is_empty();
            let stated = match inherits {
                true => source.stated.clone(),
                false if i + 1 == n || row.stated_each => row.stated.clone(),
                false => Vec::new(),
            };
            let kind = if row.heading.kind == RowKind::Loose && again { self.kind } else { row.heading.kind };
            self.planned.push(Planned {
                label: label(row, number, kind, &self.part.name),
                number,
                heading: &row.heading,
                kind,
                steps: source.steps.clone(),
                stated,
                span: row.span,
                body: row.body,
                read: row.read && source.read,
            });
            self.last_number = number.unwrap_or(self.last_number);
        }
        true
    }

    /// What a line works: its own words, or those of the rows it refers to. None where such a row is not there.
    fn sources(&self, row: &'p Row, problems: &mut Vec<Problem>) -> Option<Vec<Source>> {
        let own: Vec<Step> =
            row.steps.iter().filter(|s| !matches!(s.act, Act::AsRow { .. } | Act::Even { .. })).cloned().collect();
        for step in &row.steps {
            match &step.act {
                Act::AsRow { rows } => {
                    let mut sources = Vec::new();
                    for &n in rows {
                        // "last row" is counted back from here
                        let found = match n.checked_sub(u32::MAX - 1000) {
                            Some(_) => self.planned.iter().rev().nth((u32::MAX - n) as usize),
                            None => self.planned.iter().rev().find(|p| p.number == Some(n)),
                        };
                        let Some(found) = found else {
                            let message = format!("there is no row {n} to work again");
                            problems.push(Problem::new(Code::NoSuchPlace, step.span, message));
                            return None;
                        };
                        let mut steps = found.steps.clone();
                        steps.extend(own.iter().cloned());
                        // a count stated once, or by a row that grows, is not that of every row worked like it
                        sources.push(Source { steps, stated: Vec::new(), read: found.read, again: true });
                    }
                    return Some(sources);
                }
                Act::Even { until } => {
                    let n = until.map_or(1, |u| u.saturating_sub(self.last_number)).min(MOST_ROWS as u32);
                    let steps = self.even_steps(step.span, own);
                    return Some(vec![
                        Source { steps, stated: Vec::new(), read: true, again: true };
                        n.max(1) as usize
                    ]);
                }
                _ => {}
            }
        }
        Some(vec![Source { steps: own, stated: Vec::new(), read: true, again: false }])
    }

    /// A plain row: the last row's turning chain and ending, and one stitch in each.
    fn even_steps(&self, span: Span, own: Vec<Step>) -> Vec<Step> {
        let last = self.planned.last().map(|p| p.steps.as_slice()).unwrap_or(&[]);
        let form = last
            .iter()
            .rev()
            .find_map(|s| match &s.act {
                Act::Work { form, .. } => Some(StitchForm::plain(form.stem)),
                _ => None,
            })
            .unwrap_or(StitchForm::plain(crate::craft::Stem::Single));
        let is_work = |s: &&Step| {
            matches!(
                s.act,
                Act::Work { .. } | Act::Group { .. } | Act::Repeat { .. } | Act::Skip { .. } | Act::SkipFirst { .. }
            )
        };
        let mut steps: Vec<Step> = last.iter().take_while(|s| !is_work(s)).cloned().collect();
        let at = crate::instructions::Target::Each { class: crate::instructions::Class::Stitch, less: 0, every: 1 };
        steps.push(Step { act: Act::Work { each: 1, form, at }, span });
        let ending: Vec<Step> = last.iter().rev().take_while(|s| !is_work(s)).cloned().collect();
        steps.extend(ending.into_iter().rev());
        steps.extend(own);
        steps
    }

    /// The rows in working order: a list with a gap ("Rows 2 and 4") is filled by a later heading.
    fn in_order(self) -> Vec<Planned<'p>> {
        let mut planned = self.planned;
        let mut from = 0;
        while from < planned.len() {
            let mut to = from;
            while to < planned.len() && planned[to].number.is_some() && planned[to].kind == planned[from].kind {
                to += 1;
            }
            let run = &mut planned[from..to];
            let mut numbers: Vec<u32> = run.iter().filter_map(|p| p.number).collect();
            numbers.sort_unstable();
            let distinct = numbers.windows(2).all(|w| w[0] < w[1]);
            if distinct {
                run.sort_by_key(|p| p.number);
            }
            from = to.max(from + 1);
        }
        planned
    }
}

/// The words of one row worked, and whether they are another row's.
#[derive(Clone)]
struct Source {
    steps: Vec<Step>,
    stated: Vec<Stated>,
    read: bool,
    again: bool,
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
