//! The rows of a part in the order they are worked: ranges written out, "as row 2" looked up.

use super::instead::exchange;
use super::rearranged::rearrange;
use super::told_again::{take_up, with_ending, works, yarn_apart};
use super::until::{Length, last_is_right};
use crate::craft::StitchForm;
use crate::instructions::{
    AS_EVEN, AS_NAMED, Act, Class, Gauge, Heading, Part, Row, RowKind, Rows, Stated, Step, Target,
};
use crate::source::{Code, Problem, Span};

/// Most rows of one pattern.
pub(super) const MOST_ROWS: usize = 20_000;

/// One row to be worked.
#[derive(Clone, Debug)]
pub(super) struct Planned<'p> {
    pub label: String,
    pub number: Option<u32>,
    pub heading: &'p Heading,
    pub kind: RowKind,
    pub steps: Vec<Step>,
    /// What it works where it goes on as the row before: that row's words, a stitch more or less between their increases.
    pub grown: Option<Vec<Step>>,
    pub stated: Vec<Stated>,
    pub span: Span,
    pub body: Span,
    pub read: bool,
    /// True where work is written that was not understood.
    pub lost: bool,
    /// True where its number only follows the row before.
    pub follows: bool,
    /// The rows that end here are worked again until there are so many stitches.
    pub until: Option<UntilSts>,
    /// The last of so many rows worked again to a measure.
    pub measured: Option<usize>,
}

impl Planned<'_> {
    /// The same row so many numbers on.
    pub fn moved(&self, by: u32) -> Self {
        let mut moved = self.clone();
        if let Some(n) = self.number
            && let Some(name) = self.label.strip_suffix(&n.to_string())
        {
            moved.number = Some(n.saturating_add(by));
            moved.label = format!("{name}{}", n.saturating_add(by));
        }
        moved
    }
}

/// "Rep last 2 rows until 12 sts rem."
#[derive(Clone, Copy, Debug)]
pub(super) struct UntilSts {
    pub sts: usize,
    /// How many rows are worked again.
    pub rows: usize,
}

/// True for "Shape top: Row 15: …": the part goes on with the numbers of the one before.
pub(super) fn goes_on_in_number(part: &Part) -> bool {
    let numbered = |r: &Row| match &r.heading.rows {
        Rows::Numbered(numbers) => numbers.first().copied(),
        _ => None,
    };
    let begins = part.rows.iter().take_while(|r| r.heading.kind != RowKind::Foundation).find_map(numbered);
    begins.is_some_and(|n| n > 1)
}

/// Writes out a part's rows.
pub(super) fn plan<'p>(
    part: &'p Part,
    above: &[Planned<'p>],
    gauge: Option<&'p Gauge>,
    problems: &mut Vec<Problem>,
) -> Vec<Planned<'p>> {
    let mut plan =
        Plan { part, above, gauge, planned: Vec::new(), last_number: 0, kind: RowKind::Row, pat: Vec::new() };
    for row in &part.rows {
        if !plan.add(row, problems) {
            break;
        }
    }
    let mut planned = plan.in_order();
    rearrange(&mut planned);
    planned
}

/// "Rnds 4-6: …, fasten off", "rep last row twice more. Fasten off": the yarn is cut after the last of them where the
/// line of all of them says so, unless each takes up a yarn of its own.
fn go_on(steps: &mut Vec<Step>, said_of_all: impl Fn(&Step) -> bool) {
    let takes_up = |s: &Step| matches!(s.act, Act::Attach { .. } | Act::With { .. });
    // "rep last row twice more; do not turn on last row. Ch 13; turn"
    if let Some(last) = steps.iter().rposition(|s| works(&[s])).filter(|&k| !said_of_all(&steps[k])) {
        let behind = steps.split_off(last + 1);
        let of_last = |s: &Step| matches!(s.act, Act::Chain { .. } | Act::DoNotTurn) && said_of_all(s);
        steps.extend(behind.into_iter().filter(|s| !of_last(s)));
    }
    if !steps.iter().any(takes_up) {
        steps.retain(|s| !(matches!(s.act, Act::FastenOff { .. }) && said_of_all(s)));
    }
}

/// "Ch 2, 6 sc in first ch" opens a piece: the chain is a foundation, and its first the last from the hook.
fn on_first_chain(steps: &mut [Step]) {
    let begins = |s: &Step| !matches!(s.act, Act::With { .. } | Act::Attach { .. } | Act::Counts { .. });
    let mut opening = steps.iter_mut().filter(|s| begins(s));
    let (Some(Act::Chain { n }), Some(first)) = (opening.next().map(|s| &s.act), opening.next()) else { return };
    let n = *n;
    if let Act::Work { at, .. } | Act::Group { at, .. } = &mut first.act
        && *at == (Target::First { class: Class::Chain })
    {
        *at = Target::FromHook { n };
    }
}

pub(super) struct Plan<'p, 'a> {
    part: &'p Part,
    /// Rows of the parts before, where the numbers of this one go on from theirs.
    above: &'a [Planned<'p>],
    pub(super) gauge: Option<&'p Gauge>,
    pub(super) planned: Vec<Planned<'p>>,
    last_number: u32,
    /// Numbers of the rows that were repeated last: the pattern that is established.
    pub(super) pat: Vec<u32>,
    /// Row or round, as the numbered rows so far say.
    kind: RowKind,
}

impl<'p> Plan<'p, '_> {
    /// Adds the rows of one line; false where the limit is reached.
    fn add(&mut self, row: &'p Row, problems: &mut Vec<Problem>) -> bool {
        self.add_in_turn(row, &row.steps, &row.stated, false, problems)
    }

    /// The same for some steps of a line, which may be several rows and rows worked again.
    fn add_in_turn(
        &mut self,
        row: &'p Row,
        steps: &[Step],
        stated: &[Stated],
        later: bool,
        problems: &mut Vec<Problem>,
    ) -> bool {
        // "3rd row: … Turn. Rep last 2 rows twice more": the row, then the rows again
        let again = steps.iter().position(|s| {
            matches!(
                s.act,
                Act::AsRow { .. }
                    | Act::Pattern { .. }
                    | Act::RowsUntil { own: false, .. }
                    | Act::Even { .. }
                    | Act::Shape { own: true, .. }
            )
        });
        // "dec 8 sc on next and following 6th rnd": a row of its own, and then again
        let own = |at: usize| matches!(steps[at].act, Act::Shape { .. });
        let then = |at: usize| matches!(steps.get(at + 1).map(|s| &s.act), Some(Act::AsRow { .. }));
        let first = |at: usize| !works(&steps[..at].iter().collect::<Vec<_>>());
        let again = again.map(|at| if own(at) && then(at) && first(at) { at + 1 } else { at });
        let ahead: Vec<&Step> = steps[..again.unwrap_or(0)].iter().collect();
        // "Last 2 rows form check pat" is no row
        if let Some(at) = again
            && let Act::Pattern { rows } = &steps[at].act
        {
            let behind = &steps[at + 1..];
            let told = if behind.is_empty() { stated } else { &[] };
            let ahead = ahead.is_empty() || self.add_steps(row, &steps[..at], told, later, problems);
            self.pat = self.numbers_of(rows);
            let told = &stated[told.len()..];
            return ahead && (behind.is_empty() || self.add_in_turn(row, behind, told, at > 0, problems));
        }
        // "rep 2nd row. Work 6 rows even": one after the other
        let further =
            |s: &Step| matches!(s.act, Act::AsRow { .. } | Act::RowsUntil { own: false, .. } | Act::Even { .. });
        let first = again.filter(|&at| further(&steps[at]) && !works(&ahead));
        if let Some(second) = first.and_then(|at| Some(at + 1 + steps[at + 1..].iter().position(further)?)) {
            let cut = steps[second].span.start;
            let (before, after): (Vec<Stated>, Vec<Stated>) = stated.iter().cloned().partition(|s| s.span.start < cut);
            return self.add_steps(row, &steps[..second], &before, later, problems)
                && self.add_in_turn(row, &steps[second..], &after, true, problems);
        }
        if let Some(at) = again.filter(|_| works(&ahead)) {
            let cut = steps[at].span.start;
            let (before, after): (Vec<Stated>, Vec<Stated>) = stated.iter().cloned().partition(|s| s.span.start < cut);
            return self.add_steps(row, &steps[..at], &before, later, problems)
                && self.add_in_turn(row, &steps[at..], &after, true, problems);
        }
        // "work 10 rnds even. Press flat and sc through both sides": a row of its own
        let closes = |s: &Step| matches!(s.act, Act::BothLayers { .. } | Act::Attach { at: Some(_), .. });
        let rows = again.is_some_and(|at| matches!(steps[at].act, Act::RowsUntil { .. }));
        if let Some((at, behind)) = again.filter(|_| rows).map(|at| (at, &steps[at + 1..]))
            && behind.iter().any(closes)
        {
            return self.add_steps(row, &steps[..=at], &[], later, problems)
                && self.add_steps(row, behind, stated, true, problems);
        }
        self.add_steps(row, steps, stated, later, problems)
    }

    /// Adds the rows of these steps of a line; `behind` where they follow the rows of its heading.
    fn add_steps(
        &mut self,
        row: &'p Row,
        steps: &[Step],
        told: &[Stated],
        behind: bool,
        problems: &mut Vec<Problem>,
    ) -> bool {
        if matches!(row.heading.kind, RowKind::Row | RowKind::Round) {
            self.kind = row.heading.kind;
        }
        let sources = match self.sources(steps, problems) {
            Some(sources) => sources,
            None => return true,
        };
        let shaped = behind && steps.iter().any(|s| matches!(s.act, Act::Shape { own: true, .. }));
        let again = sources.iter().any(|s| s.again) || shaped;
        let unnumbered = Rows::Unnumbered;
        let numbers: Vec<Option<u32>> = match if behind { &unnumbered } else { &row.heading.rows } {
            Rows::Alternate { first, last } => self.alternate(*first, *last).into_iter().map(Some).collect(),
            Rows::Numbered(numbers) => numbers.iter().copied().map(Some).collect(),
            Rows::Next(n) => (1..=*n).take(MOST_ROWS + 1).map(|i| Some(self.last_number.saturating_add(i))).collect(),
            Rows::Unnumbered if again => {
                (1..=sources.len()).map(|i| Some(self.last_number.saturating_add(i as u32))).collect()
            }
            Rows::Unnumbered => vec![None],
        };
        let n = numbers.len();
        for (i, number) in numbers.into_iter().enumerate() {
            if self.planned.len() >= MOST_ROWS {
                let message = format!("these rows come to more than {MOST_ROWS}, the most one pattern may have");
                let span = if row.heading.published.is_empty() { row.span } else { row.heading.span };
                problems.push(Problem::new(Code::Limit, span, message));
                return false;
            }
            let Some(source) = sources.get(i % sources.len().max(1)) else { break };
            let inherits = again && told.is_empty();
            let stated = match inherits {
                true => source.stated.clone(),
                false if row.stated_in_turn && told.len() == n => vec![told[i].clone()],
                false if i + 1 == n || row.stated_each => told.to_vec(),
                false => Vec::new(),
            };
            let kind =
                if (row.heading.kind == RowKind::Loose || behind) && again { self.kind } else { row.heading.kind };
            let mut steps = source.steps.clone();
            if self.planned.is_empty() {
                on_first_chain(&mut steps);
            }
            // what rows worked again say of the yarn by themselves stays with them
            if i + 1 < n {
                go_on(&mut steps, |step| !again || row.span.holds(step.span));
            }
            let grown = super::grown::goes_on_as_before(&steps).filter(|_| source.until.is_none()).and_then(|more| {
                let before = self.planned.last()?;
                super::grown::grown(before.grown.as_ref().unwrap_or(&before.steps), &steps, more)
            });
            self.planned.push(Planned {
                grown,
                label: label(row, number, kind, &self.part.name),
                number,
                heading: &row.heading,
                kind,
                steps,
                stated,
                span: row.span,
                body: row.body,
                read: row.read && source.read,
                lost: row.lost || !source.read,
                follows: match row.heading.rows {
                    Rows::Next(_) => true,
                    Rows::Unnumbered => again,
                    _ => behind,
                },
                until: source.until.filter(|_| i + 1 == n),
                measured: source.measured.filter(|_| i + 1 == n),
            });
            self.last_number = number.unwrap_or(self.last_number);
        }
        true
    }

    /// What a line works: its own words, or those of the rows it refers to. None where such a row is not there.
    fn sources(&mut self, steps: &[Step], problems: &mut Vec<Problem>) -> Option<Vec<Source>> {
        let again = |s: &&Step| matches!(s.act, Act::AsRow { .. } | Act::Even { .. } | Act::RowsUntil { .. });
        let own: Vec<Step> = steps.iter().filter(|s| !again(s)).cloned().collect();
        let Some(step) = steps.iter().find(again) else {
            return Some(vec![Source {
                steps: own,
                stated: Vec::new(),
                read: true,
                again: false,
                until: None,
                measured: None,
            }]);
        };
        match &step.act {
            Act::AsRow { rows } => {
                if rows.len() > 1 {
                    self.pat = self.numbers_of(rows);
                }
                self.rows_again(rows, &own, step, problems)
            }
            Act::RowsUntil { rows, until, own: false } => {
                let once = if !rows.is_empty() {
                    self.pat = self.numbers_of(rows);
                    self.rows_again(rows, &own, step, problems)?
                } else if !self.pat.is_empty() {
                    let pat = self.pat.clone();
                    self.rows_again(&pat, &own, step, problems)?
                } else {
                    vec![Source::again(self.even_steps(step.span, own))]
                };
                Some(self.repeated(once, until, step.span, problems))
            }
            Act::RowsUntil { until, .. } => Some(self.repeated(vec![Source::again(own)], until, step.span, problems)),
            Act::Even { until } => {
                let n = until.map_or(1, |u| u.saturating_sub(self.last_number)).min(MOST_ROWS as u32);
                Some(vec![Source::again(self.even_steps(step.span, own)); n.max(1) as usize])
            }
            _ => None,
        }
    }

    /// The rows told by their own numbers, once each.
    fn numbers_of(&self, rows: &[u32]) -> Vec<u32> {
        let mut found = Vec::new();
        let number = |&n: &u32| match n.checked_sub(u32::MAX - 1000) {
            Some(_) => self.planned.iter().rev().nth((u32::MAX - n) as usize)?.number,
            None => Some(n).filter(|&n| n < AS_NAMED),
        };
        for n in rows.iter().map_while(number) {
            if found.contains(&n) {
                break;
            }
            found.push(n);
        }
        found
    }

    /// The steps of earlier rows, with what is told of their ending.
    fn rows_again(&self, rows: &[u32], own: &[Step], step: &Step, problems: &mut Vec<Problem>) -> Option<Vec<Source>> {
        let mut sources = Vec::new();
        let told: Vec<Step> = own.iter().filter(|s| !matches!(s.act, Act::Instead { .. })).cloned().collect();
        let (lead, rest) = yarn_apart(told, step.span);
        for &n in rows {
            if n == AS_EVEN {
                sources.push(Source::again(self.even_steps(step.span, rest.clone())));
                continue;
            }
            // "last row" is counted back from here
            let found = match n.checked_sub(u32::MAX - 1000) {
                Some(_) => self.planned.iter().rev().chain(self.above.iter().rev()).nth((u32::MAX - n) as usize),
                None if n >= AS_NAMED => {
                    let called = |p: &&Planned<'_>| p.heading.called.as_ref().is_some_and(|c| AS_NAMED + c.index == n);
                    self.planned.iter().rev().find(called)
                }
                None => self.planned.iter().rev().chain(self.above.iter().rev()).find(|p| p.number == Some(n)),
            };
            let Some(found) = found else {
                let message = match n.checked_sub(u32::MAX - 1000) {
                    Some(_) => "there are not so many rows to work again".to_owned(),
                    None if n >= AS_NAMED => "there is no row of this name above to work again".to_owned(),
                    None => format!("there is no row {n} to work again"),
                };
                problems.push(Problem::new(Code::NoSuchPlace, step.span, message));
                return None;
            };
            // a count stated once, or by a row that grows, is not that of every row worked like it
            sources.push(Source {
                steps: {
                    let mut steps = with_ending(&found.steps, &rest);
                    take_up(&mut steps, &lead, sources.is_empty());
                    exchange(&mut steps, own);
                    steps
                },
                stated: Vec::new(),
                read: found.read,
                again: true,
                until: None,
                measured: None,
            });
        }
        Some(sources)
    }

    /// Rows worked again until something is so.
    fn repeated(
        &self,
        mut once: Vec<Source>,
        until: &crate::instructions::Until,
        span: Span,
        problems: &mut Vec<Problem>,
    ) -> Vec<Source> {
        let rows = once.len();
        if let (Some(sts), Some(last)) = (until.sts, once.last_mut()) {
            last.until = Some(UntilSts { sts: sts as usize, rows });
            return once;
        }
        let length = Length {
            so_far: self.planned.iter().rev().take_while(|p| p.kind != RowKind::Foundation).count(),
            last_number: self.last_number as usize,
            gauge: self.gauge,
            right: last_is_right(&self.planned),
            repeat: rows.max(1),
            last_of_repeat: until.end.and_then(|e| match e {
                crate::instructions::EndWith::Row(n) => {
                    let steps = self.planned.iter().rev().find(|p| p.number == Some(n)).map(|p| &p.steps)?;
                    once.iter().position(|s| s.steps == *steps)
                }
                crate::instructions::EndWith::Side { .. } => None,
            }),
        };
        let n = length.rows(until, span, problems).min(MOST_ROWS + 1);
        if until.rows.is_none() && until.row.is_none() {
            once.iter_mut().for_each(|s| s.measured = Some(rows.max(1)));
        }
        (0..n).filter_map(|i| once.get(i % rows.max(1)).cloned()).collect()
    }

    /// "2nd and alt rows": every second one up to the last told, but for those that have words of their own.
    fn alternate(&self, first: u32, last: Option<u32>) -> Vec<u32> {
        let told: std::collections::BTreeSet<u32> = self
            .part
            .rows
            .iter()
            .flat_map(|r| match &r.heading.rows {
                Rows::Numbered(numbers) => numbers.clone(),
                _ => Vec::new(),
            })
            .collect();
        let last = last.or(told.last().copied()).unwrap_or(first).max(first);
        (first..=last).step_by(2).filter(|n| !told.contains(n)).take(MOST_ROWS + 1).collect()
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
                Act::Work { .. }
                    | Act::Group { .. }
                    | Act::Repeat { .. }
                    | Act::Shape { .. }
                    | Act::Skip { .. }
                    | Act::SkipFirst { .. }
            )
        };
        let mut steps: Vec<Step> = last.iter().take_while(|s| !is_work(s)).cloned().collect();
        let at = crate::instructions::Target::Each { class: crate::instructions::Class::Stitch, less: 0, every: 1 };
        steps.push(Step { act: Act::Work { each: 1, form, at }, span });
        let ending: Vec<Step> = last.iter().rev().take_while(|s| !is_work(s)).cloned().collect();
        steps.extend(ending.into_iter().rev());
        let (lead, rest) = yarn_apart(own, span);
        take_up(&mut steps, &lead, true);
        steps.extend(rest);
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
    until: Option<UntilSts>,
    /// Rows of one pass, where a measure says how often.
    measured: Option<usize>,
}

impl Source {
    fn again(steps: Vec<Step>) -> Self {
        Source { steps, stated: Vec::new(), read: true, again: true, until: None, measured: None }
    }
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
