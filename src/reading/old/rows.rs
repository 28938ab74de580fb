//! One block of work in an old book to rows: its foundation, and what is worked on it.

use super::super::cursor::{Cursor, House};
use super::super::lex::tokens;
use super::super::phrase::RowReader;
use super::between::{passes, to_end};
use super::heads::heading;
use crate::craft::LoopPart;
use crate::instructions::{Act, Class, Heading, Row, RowKind, Rows, Step, Target};
use crate::source::{Problem, Span};

/// Reads one block. A foundation that stands before other work is a row of its own.
pub(in crate::reading) fn read_rows(
    text: &str,
    span: Span,
    headed: bool,
    house: &mut House,
    problems: &mut Vec<Problem>,
) -> Vec<Row> {
    let toks = tokens(&text[span.start..span.end], span.start);
    let mut c = Cursor::new(&toks, house);
    let head = if headed { heading(&mut c, text).unwrap_or_default() } else { Heading::default() };
    let start = c.at;
    if let Rows::Numbered(rows) = &head.rows {
        house.rows_left = house.rows_left.less(rows.len());
    }
    house.row = match &head.rows {
        Rows::Numbered(rows) => rows.first().copied(),
        _ => None,
    };
    let mut c = Cursor::new(&toks, house);
    c.at = start;
    let mut reader = RowReader::new(c, text);
    let mut steps = reader.steps();
    while !reader.c.done() {
        reader.stray_close();
        steps.extend(reader.steps());
    }
    let body = toks.get(start).map_or(Span::new(span.end, span.end), |t| Span::new(t.span.start, span.end));
    let lost = reader.unread && reader.problems.iter().any(Problem::is_error);
    problems.append(&mut reader.problems);
    if let Some(part) = reader.row_loop {
        // "1 double in each, working in the back loop only": said of the whole row
        in_loop(&mut steps, part);
    }
    let picot = reader.picot_told;
    let mut row = Row {
        heading: head,
        span,
        body,
        steps,
        stated: reader.stated,
        stated_each: reader.stated_each,
        stated_in_turn: reader.stated_in_turn,
        notes: reader.notes,
        read: !reader.unread,
        lost,
    };
    house.picot = picot.or(house.picot);
    let mut again = Vec::new();
    while let Some(tail) = split_again(&mut row) {
        again.push(tail);
    }
    again.reverse();
    if headed {
        row.steps = all_round(row.steps);
    }
    if house.fresh_chain {
        row.steps = opened_on_chain(row.steps);
    }
    let mut rows = if headed {
        house.ring = None;
        house.fresh_chain = false;
        vec![row]
    } else {
        row.heading.rows = Rows::Unnumbered;
        row.heading.kind = RowKind::Loose;
        split_foundation(row, house)
    };
    rows.extend(again);
    rows
}

/// "1 double in each loop, 5 chain", "5 chain, 1 double in every third stitch": both all round, though no word says so.
fn all_round(steps: Vec<Step>) -> Vec<Step> {
    let each = |s: &Step| match &s.act {
        Act::Work { at, .. } | Act::Group { at, .. } => match at {
            Target::Each { less: 0, every, class } => Some((*every, matches!(class, Class::Space(_)))),
            _ => None,
        },
        _ => None,
    };
    let ends = |s: &&Step| matches!(s.act, Act::FastenOff { .. } | Act::Turn | Act::Join { .. });
    let worked = steps.len() - steps.iter().rev().take_while(ends).count();
    let both = match &steps[..worked] {
        [first, Step { act: Act::Chain { .. }, .. }] => each(first).is_some(),
        // a chain before a stitch in each is its turning chain, but for places that lie apart
        [Step { act: Act::Chain { .. }, .. }, last] => each(last).is_some_and(|(every, space)| every > 1 || space),
        _ => false,
    };
    if !both {
        return steps;
    }
    let span = steps[0].span.to(steps[1].span);
    let mut steps = steps;
    let ending = steps.split_off(worked);
    let mut rounded = vec![Step { act: Act::Repeat { steps: passes(steps), times: to_end(), stop: None }, span }];
    rounded.extend(ending);
    rounded
}

fn in_loop(steps: &mut [Step], part: LoopPart) {
    for step in steps {
        match &mut step.act {
            Act::Work { form, .. } if form.extra.part == LoopPart::default() => form.extra.part = part,
            Act::Group { steps, .. } | Act::Repeat { steps, .. } => in_loop(steps, part),
            _ => {}
        }
    }
}

/// "Miss the 1st chain, 1 double in each of the next 10": the first stitch goes into the 2nd chain from the hook.
fn opened_on_chain(steps: Vec<Step>) -> Vec<Step> {
    let (missed, work) = match steps.as_slice() {
        [Step { act: Act::Skip { n, .. }, .. }, work, ..] => (*n, work.clone()),
        _ => return steps,
    };
    let Act::Work { each, form, at } = &work.act else { return steps };
    let hook = Target::FromHook { n: missed.saturating_add(1) };
    let rest = match at {
        Target::Next { n, class } if *n > 1 => Some(Target::Next { n: n - 1, class: class.clone() }),
        Target::Next { .. } => None,
        Target::Each { less: 0, every: 1, .. } => Some(at.clone()),
        _ => return steps,
    };
    let step = |at: Target| Step { act: Act::Work { each: *each, form: *form, at }, span: work.span };
    let mut opened = vec![step(hook)];
    opened.extend(rest.map(step));
    opened.extend(steps.into_iter().skip(2));
    opened
}

/// "… Repeat the 4th and 5th rows": rows of their own, told at the end of another row's words.
fn split_again(row: &mut Row) -> Option<Row> {
    let at = row.steps.iter().rposition(|s| matches!(s.act, Act::AsRow { .. })).filter(|&at| at > 0)?;
    let mut again = row.clone();
    again.steps = row.steps.split_off(at);
    let cut = again.steps[0].span.start;
    again.heading = Heading { kind: RowKind::Loose, ..Heading::default() };
    again.span = Span::new(cut, row.span.end);
    again.body = again.span;
    again.stated = Vec::new();
    again.notes.retain(|n| n.start >= cut);
    row.notes.retain(|n| n.start < cut);
    row.span.end = row.steps.last().map_or(cut, |s| s.span.end);
    row.body.end = row.span.end.max(row.body.start);
    Some(again)
}

/// A chain or ring that opens the work is a foundation; what stands behind it is a row on it.
fn split_foundation(mut row: Row, house: &mut House) -> Vec<Row> {
    let founds = |s: &Step| matches!(s.act, Act::Chain { .. } | Act::AnyChain | Act::Ring { .. } | Act::With { .. });
    let at = row.steps.iter().position(|s| !founds(s)).unwrap_or(row.steps.len());
    // no more than one chain: a second one belongs to the work
    let ring = row.steps[..at].iter().position(|s| matches!(s.act, Act::Ring { .. }));
    let chains = row.steps[..at].iter().position(|s| matches!(s.act, Act::Chain { .. } | Act::AnyChain));
    let Some(chain) = chains else {
        return vec![row];
    };
    let mut at = ring.map_or(chain + 1, |r| r + 1);
    at += usize::from(matches!(row.steps.get(at).map(|s| &s.act), Some(Act::Turn)));
    house.fresh_chain = ring.is_none();
    house.ring = match (ring, &row.steps[chain].act) {
        (Some(_), Act::Chain { n }) => Some(*n),
        _ => None,
    };
    let rest = row.steps.split_off(at);
    if rest.is_empty() {
        row.heading.kind = RowKind::Foundation;
        return vec![row];
    }
    let cut = rest[0].span.start;
    let mut foundation = row.clone();
    foundation.heading.kind = RowKind::Foundation;
    foundation.span = Span::new(row.span.start, row.steps.last().map_or(cut, |s| s.span.end));
    foundation.body = foundation.span;
    foundation.stated = Vec::new();
    foundation.notes.retain(|n| n.start < cut);
    row.span = Span::new(cut, row.span.end);
    row.body = row.span;
    row.notes.retain(|n| n.start >= cut);
    row.steps = rest;
    row.heading.kind = if ring.is_some() { RowKind::Round } else { RowKind::Row };
    row.heading.rows = Rows::Unnumbered;
    // the chain is used up by the row on it
    house.fresh_chain = false;
    house.ring = None;
    vec![foundation, row]
}
