//! A row that begins a piece though nothing says what it is worked into: "Rnd 1: sc in each st around. (16 sts)" of a part
//! that is picked up from another. It goes by its own count, on chains that stand in for what is not told.

use super::bench::Bench;
use super::plan::Planned;
use super::trial::Snapshot;
use crate::instructions::{Act, Class, Convention, CountOf, RowKind, Step, Target, Times};
use crate::source::{Code, Problem, Severity};

/// Places that are stood in for at most; no piece is picked up along more.
const MOST: usize = 2_000;

/// Chains of the tallest turning chain: that of a quadruple treble.
pub(super) const TALLEST: u32 = 7;

/// True for work along an edge that is not there. A row that names a foundation chain, or a ring, has lost it: that is
/// said of the words, and nothing stands in for it.
pub(super) fn needs_one(row: &Planned<'_>) -> bool {
    row.read
        && row.kind != RowKind::Foundation
        && row.steps.iter().any(along_edge)
        && !row.steps.iter().any(on_own_start)
}

fn along_edge(step: &Step) -> bool {
    match &step.act {
        Act::Work { at, .. } => matches!(
            at,
            Target::Next { .. } | Target::Each { .. } | Target::First { .. } | Target::Last { .. } | Target::TurningTop
        ),
        Act::Repeat { steps, .. } => steps.iter().any(along_edge),
        _ => false,
    }
}

fn on_own_start(step: &Step) -> bool {
    match &step.act {
        // longer than any turning chain: a foundation of the row's own
        Act::Chain { n } => *n > TALLEST,
        Act::Skip { class: Class::Chain, .. }
        | Act::Ring { .. }
        | Act::AnyChain
        | Act::FarSide
        | Act::RowEnds
        | Act::LoopsOf { .. } => true,
        Act::AsRow { .. } | Act::RowsUntil { .. } | Act::Even { .. } => true,
        Act::Work { at, .. } | Act::Group { at, .. } => match at {
            Target::Ring | Target::FromHook { .. } | Target::Evenly { .. } => true,
            Target::Next { class, .. } | Target::Each { class, .. } | Target::Last { class, .. } => {
                *class == Class::Chain
            }
            _ => false,
        },
        Act::Repeat { steps, .. } => steps.iter().any(on_own_start),
        _ => false,
    }
}

/// Works the row on as many chains as its words ask for, or as its count states, and says so.
pub(super) fn work_on_stand_in(bench: &mut Bench, row: &Planned<'_>, conventions: &[Convention]) {
    let mut plain = row.clone();
    plain.steps.iter_mut().for_each(spaces_as_stitches);
    let row = &plain;
    let before = Snapshot::of(bench);
    let problems = bench.problems.len();
    let stated = row.stated.iter().find(|s| matches!(s.of, CountOf::Sts | CountOf::Kind(_))).map(|s| s.count as usize);
    let places = if row.steps.iter().any(open_ended) {
        stated.map(|count| fitting(bench, row, conventions, &before, count))
    } else {
        super::work_row(bench, row, conventions);
        let asked = bench.tallies.last().and_then(|t| t.used);
        before.restore(bench);
        asked
    };
    let span = row.body;
    let Some(places) = places.filter(|&n| n > 0 && n <= MOST) else {
        // nothing tells how many there are: the next count does
        bench.uncertain = true;
        super::work_row(bench, row, conventions);
        return;
    };
    on_chains(bench, row, conventions, places, false);
    let fits = bench.tallies.last().is_some_and(|t| t.balances() && t.agrees());
    if !fits || bench.problems.iter().skip(problems).any(Problem::is_error) {
        // what it is worked into is no plain edge: only its count is taken
        before.restore(bench);
        on_chains(bench, row, conventions, stated.unwrap_or(places).min(MOST), true);
    }
    let message = format!("nothing says what this is worked into; {places} places are taken for it, as its words ask");
    bench.problems.push(
        Problem::new(Code::NoSuchPlace, span, message)
            .with_severity(Severity::Note)
            .with_hint("a foundation before it, such as \"Ch 14.\", or the edge it is picked up along, would say it"),
    );
}

/// The spaces of an edge that is not told are places like the others.
fn spaces_as_stitches(step: &mut Step) {
    match &mut step.act {
        Act::Work { at, .. } | Act::Group { at, .. } => {
            if let Target::Next { class, .. }
            | Target::Each { class, .. }
            | Target::First { class }
            | Target::Last { class, .. } = at
                && matches!(class, Class::Space(_) | Class::Corner(_))
            {
                *class = Class::Stitch;
            }
        }
        Act::Repeat { steps, .. } => steps.iter_mut().for_each(spaces_as_stitches),
        _ => {}
    }
}

/// True where a row numbered 1 stands behind rows with numbers of their own: a piece may begin, though nothing says so.
pub(super) fn begins_again(bench: &Bench, row: &Planned<'_>) -> bool {
    let numbered = |label: &str| label.rsplit(' ').next().is_some_and(|n| n.parse::<u32>().is_ok_and(|n| n > 1));
    let last = bench.tallies.last();
    last.is_some_and(|t| numbered(&t.label)) && !row.stated.is_empty()
}

/// True for a round of a later number behind a row whose yarn was cut: the rounds before it have been lost.
pub(super) fn has_lost_its_first(bench: &Bench, row: &Planned<'_>) -> bool {
    let last = bench.tallies.last();
    bench.cut
        && row.kind == RowKind::Round
        && row.number.is_some_and(|n| n > 1)
        && last.is_some_and(|t| {
            t.label.strip_prefix("Row ").and_then(|n| n.parse().ok()).is_some_and(|n: u32| Some(n + 1) != row.number)
        })
}

/// Works such a round on the edge in hand where it fits there, and else takes it as it says.
pub(super) fn work_without_its_first(bench: &mut Bench, row: &Planned<'_>, conventions: &[Convention]) {
    let before = Snapshot::of(bench);
    let problems = bench.problems.len();
    super::work_row(bench, row, conventions);
    let wrong = bench.problems.iter().skip(problems).any(Problem::is_error);
    if !wrong && bench.tallies.last().is_none_or(|t| t.comes_out()) {
        return;
    }
    let behind = bench.tallies.iter().rev().nth(1).map_or_else(String::new, |t| t.label.to_lowercase());
    before.restore(bench);
    bench.uncertain = true;
    super::work_row(bench, row, conventions);
    let message = format!(
        "the rounds before this one are missing: it stands right behind {behind}, and is not checked against it"
    );
    bench.problems.push(
        Problem::new(Code::NoSuchPlace, row.heading.span, message)
            .with_severity(Severity::Warning)
            .with_hint("write the rounds before it, or number it from 1"),
    );
}

/// Works the row on the edge in hand, and on a stand-in where only that makes what it states.
pub(super) fn work_if_it_fits(bench: &mut Bench, row: &Planned<'_>, conventions: &[Convention]) {
    let before = Snapshot::of(bench);
    let problems = bench.problems.len();
    let fits = |bench: &Bench| {
        bench.tallies.last().is_some_and(|t| t.balances() && t.agrees())
            && !bench.problems.iter().skip(problems).any(Problem::is_error)
    };
    super::work_row(bench, row, conventions);
    if fits(bench) {
        return;
    }
    before.restore(bench);
    super::begin_piece(bench);
    work_on_stand_in(bench, row, conventions);
    if !fits(bench) || bench.uncertain {
        before.restore(bench);
        super::work_row(bench, row, conventions);
    }
}

/// Works the row on so many chains.
fn on_chains(bench: &mut Bench, row: &Planned<'_>, conventions: &[Convention], places: usize, uncertain: bool) {
    let span = row.body;
    let chain = Step { act: Act::Chain { n: u32::try_from(places).unwrap_or(0) }, span };
    let ring = Step { act: Act::Ring { thread: false }, span };
    let closed = row.kind != RowKind::Row;
    let steps: Vec<&Step> = if closed { vec![&chain, &ring] } else { vec![&chain] };
    super::foundation::work_foundation(bench, row, &steps);
    bench.foundation = None;
    bench.ring = None;
    bench.uncertain = uncertain;
    super::work_row(bench, row, conventions);
}

/// Places that make the count stated, by what so many places make.
fn fitting(bench: &mut Bench, row: &Planned<'_>, conventions: &[Convention], before: &Snapshot, count: usize) -> usize {
    if count > MOST {
        return 0;
    }
    on_chains(bench, row, conventions, count, false);
    let made = bench.tallies.last().map_or(0, |t| t.made);
    before.restore(bench);
    if made == 0 || made == count { count } else { (count * count + made / 2) / made }
}

/// True where words go on to the end of the edge, however long it is.
fn open_ended(step: &Step) -> bool {
    match &step.act {
        Act::Work { at, .. } | Act::Group { at, .. } => matches!(at, Target::Each { .. } | Target::UpTo { .. }),
        Act::Repeat { steps, times, .. } => {
            matches!(times, Times::ToEnd { .. } | Times::Along | Times::UpTo { .. }) || steps.iter().any(open_ended)
        }
        _ => false,
    }
}
