//! Instructions to fabric: the words worked, stitch by stitch.
//!
//! The way through the room: `plan` writes the rows out, `work_row` here tries a row under each
//! reading its words allow and keeps the one that works out, `row` moves along the live edge (`edge`),
//! `chains` settles what chains become, `bench` makes the stitches, `tally` counts. `rehearse` tries a
//! line in other words and undoes it.

mod along;
mod any_length;
mod below;
mod bench;
mod branches;
mod builder;
mod by_kind;
mod chains;
mod closing;
mod cloth;
mod doubts;
mod edge;
mod evenly;
mod filet;
mod finish;
mod fit;
mod folded;
mod foundation;
mod gaps;
mod groups;
mod grown;
mod instead;
mod into_ring;
mod joined_parts;
mod like_named;
mod loose;
mod marked;
mod missing;
mod of_row;
mod open_chains;
mod openers;
mod opening;
mod part_way;
mod perimeter;
mod pineapples;
mod plan;
mod rearranged;
mod rehearse;
mod rejoined;
mod repeats;
mod row;
mod row_ends;
mod second_look;
mod settle;
mod shapes;
mod signs;
mod skips;
mod stand_in;
mod tally;
mod times_in_all;
mod told_again;
mod travel;
mod trial;
mod unsaid;
mod until;
mod walk;

pub use bench::MOST_STITCHES;
pub use builder::{BuildError, Builder, Into};
pub use rehearse::{Rehearsal, Tried, Words, rehearse};
pub use tally::Tally;

use crate::fabric::{Direction, EventKind, Fabric, Part as FabricPart, PartId, RowShape, Side};
use crate::instructions::{Act, Convention, CountOf, Pattern, RowKind, Step};
use crate::source::{Code, Problem, Span};
use bench::Bench;
use edge::LiveEdge;
use foundation::work_foundation;
use plan::{Planned, is_border, plan, split_carried};
use row::RowWork;
use second_look::{Open, SecondLook};
use settle::{first_yarn, known_yarns, settle_conventions};
use signs::{ends_with_turn, first_into_ring, rings, runs_back};
use told_again::works;
use trial::{Snapshot, learn_habit, resized, say_reading, settle_unread};
use until::Again;

/// A pattern worked.
#[derive(Clone, Debug, Default)]
pub struct Worked {
    /// The fabric, as far as it could be worked.
    pub fabric: Fabric,
    /// The count of every row, in working order.
    pub tallies: Vec<Tally>,
    /// What working had to report: places that are not there, doubts settled.
    pub problems: Vec<Problem>,
    /// True where slip stitches worked as stitches count.
    pub slip_stitches_count: bool,
    /// True where chains count as stitches.
    pub chains_count: bool,
}

/// Works every row of a pattern. Never fails; what could not be worked is among the problems.
pub fn work(pattern: &Pattern) -> Worked {
    let worked = work_watched(pattern, &mut |_| {});
    times_in_all::work_in_all(pattern, &worked).unwrap_or(worked)
}

/// The same, and `watch` may try things before every line.
fn work_watched(pattern: &Pattern, watch: &mut dyn FnMut(&mut Rehearsal<'_>)) -> Worked {
    let mut bench = Bench { yarn: first_yarn(pattern), assumed: pattern.assumed, ..Bench::default() };
    bench.fabric.title = pattern.title.clone();
    bench.makes = like_named::makes(&pattern.specials);
    let mut edges = Vec::new();
    let left = of_row::left_for_later(pattern);
    let mut below = rejoined::LeftBelow::default();
    // what parts ended with is kept where some row works on them
    let on_part = |s: &Step| matches!(s.act, Act::OnPart { .. });
    let joins = pattern.parts.iter().flat_map(|p| &p.rows).any(|r| r.steps.iter().any(on_part));
    // rows that a part whose numbers go on may work again
    let mut above: Vec<Planned<'_>> = Vec::new();
    for (i, part) in pattern.parts.iter().enumerate() {
        if joins {
            bench.ended.extend(joined_parts::Ended::of(&bench).map(std::rc::Rc::new));
        }
        bench.part = PartId::new(i);
        bench.fabric.parts.push(FabricPart { index: bench.part, name: part.name.clone(), copies: part.copies });
        let mut problems = Vec::new();
        if !plan::goes_on_in_number(part) {
            above.clear();
        }
        let mut rows = plan(part, &above, pattern.gauge.as_ref(), &mut problems);
        if pattern.parts.get(i + 1).is_some_and(plan::goes_on_in_number) {
            above.extend(rows.iter().cloned());
        }
        of_row::leave_for_later(&mut rows, &left);
        below.point_to(&mut rows);
        bench.problems.append(&mut problems);
        let mut again = Again::default();
        let mut second = SecondLook::default();
        let mut at = 0;
        while let Some(row) = rows.get(at) {
            if bench.limit_hit {
                break;
            }
            if at == 0 || rows[at - 1].span != row.span {
                watch(&mut Rehearsal::new(&mut bench, &rows[at..], &pattern.conventions));
            }
            // the first round of another part, in a ring of its own
            let own_ring = at == 0 && i > 0 && rings(&row.steps.iter().collect::<Vec<_>>());
            if own_ring
                || starts_piece(&bench, row)
                || (bench.foundation.is_none() || at == 0 && i > 0)
                    && signs::begins_on_own_chain(row, at == 0 && i > 0 && bench.cut)
            {
                edges.extend(open_edge(&bench));
                begin_piece(&mut bench);
                second.forget();
            }
            if any_length::is_any_length(row) {
                any_length::work_any_length(&mut bench, row, rows.get(at + 1), &pattern.conventions);
                at += 1;
                continue;
            }
            let since = (bench.tallies.len(), bench.problems.len());
            match again.renumbered(row) {
                Some(row) => work_planned(&mut bench, &row, &pattern.conventions),
                None => work_planned(&mut bench, row, &pattern.conventions),
            }
            second.note(at, since, &mut bench);
            second.look(&rows, at, since, &mut bench, &pattern.conventions);
            until::doubt_measured(row, &mut bench);
            at = again.next(at, row, &mut bench);
        }
    }
    edges.extend(open_edge(&bench));
    bench.fabric.edges = edges;
    bench.fabric.order_spaces();
    known_yarns(pattern, &mut bench);
    let (slips, chains) = settle_conventions(pattern, &mut bench.tallies, &mut bench.fabric);
    Worked {
        fabric: bench.fabric,
        tallies: bench.tallies,
        problems: bench.problems,
        slip_stitches_count: slips,
        chains_count: chains,
    }
}

/// A foundation always begins a piece; so does a chain or ring where nothing is live.
fn starts_piece(bench: &Bench, row: &Planned<'_>) -> bool {
    let nothing_live = bench.edge.spots.is_empty() && bench.foundation.is_none() && bench.ring.is_none();
    row.kind == RowKind::Foundation || nothing_live || signs::chains_in_another_yarn(bench, row)
}

fn begin_piece(bench: &mut Bench) {
    bench.edge = LiveEdge::default();
    bench.foundation = None;
    bench.ring = None;
    bench.carried = None;
    bench.piece.clear();
    bench.levels.clear();
    bench.both_sides = false;
    bench.turn_said = false;
    bench.side = Side::Right;
}

fn open_edge(bench: &Bench) -> Option<crate::fabric::Edge> {
    let places: Vec<_> = bench.edge.spots.iter().map(|s| s.place).collect();
    (!places.is_empty()).then_some(crate::fabric::Edge { part: bench.part, places, closed: bench.edge.closed })
}

fn work_planned(bench: &mut Bench, row: &Planned<'_>, conventions: &[Convention]) {
    if let Some(steps) = &row.grown {
        // the words of the row before, where they come out; else its increases evenly
        let before = Snapshot::of(bench);
        let problems = bench.problems.len();
        let grown = Planned { steps: steps.clone(), grown: None, ..row.clone() };
        work_planned(bench, &grown, conventions);
        let sound = !bench.problems.iter().skip(problems).any(crate::source::Problem::is_error);
        if sound && bench.tallies.last().is_some_and(|t| t.comes_out() && t.agrees()) {
            return;
        }
        before.restore(bench);
    }
    if joined_parts::names_parts(row) {
        let row = joined_parts::joined(bench, row);
        return work_row(bench, &row, conventions);
    }
    let Some(at) = row.steps.iter().position(|s| s.act == Act::NewEdge) else {
        return work_on_edge(bench, row, conventions);
    };
    if works(&row.steps[..at].iter().collect::<Vec<_>>()) {
        // said behind a row's work: the next row begins there
        work_on_edge(bench, row, conventions);
        begin_piece(bench);
    } else {
        begin_piece(bench);
        // only a count tells what such an edge has
        bench.uncertain = row
            .steps
            .iter()
            .any(|s| matches!(&s.act, Act::Work { at: crate::instructions::Target::Evenly { .. }, .. }));
        work_on_edge(bench, row, conventions);
    }
}

fn work_on_edge(bench: &mut Bench, row: &Planned<'_>, conventions: &[Convention]) {
    let live = !bench.edge.spots.is_empty() || bench.ring.is_some();
    if row.kind == RowKind::Foundation {
        return work_foundation(bench, row, &row.steps.iter().collect::<Vec<_>>());
    }
    if !live && let Some(ring) = into_ring::chain_closed_alone(&row.steps) {
        return work_foundation(bench, row, &ring.iter().collect::<Vec<_>>());
    }
    if live
        && row.number == Some(1)
        && bench.tallies.len() > 1
        && !row.steps.iter().any(|s| matches!(s.act, Act::OfRow { .. } | Act::Attach { at: Some(_), .. }))
        && stand_in::needs_one(row)
        && stand_in::begins_again(bench, row)
    {
        return stand_in::work_if_it_fits(bench, row, conventions);
    }
    if live && stand_in::has_lost_its_first(bench, row) {
        return stand_in::work_without_its_first(bench, row, conventions);
    }
    if bench.on_cloth || !live && bench.foundation.is_none() {
        if let Some(plain) = cloth::on_plain_places(bench, row) {
            begin_piece(bench);
            bench.on_cloth = true;
            return stand_in::work_on_stand_in(bench, &plain, conventions);
        }
        if !live && bench.foundation.is_none() && stand_in::needs_one(row) {
            return stand_in::work_on_stand_in(bench, row, conventions);
        }
    }
    if !live {
        // "Row 1: ch 14, sc in 2nd ch from hook": the chain is a foundation of its own
        let split = row
            .steps
            .iter()
            .position(|s| {
                !matches!(s.act, Act::Chain { .. } | Act::Ring { .. } | Act::With { .. } | Act::Attach { .. })
            })
            .unwrap_or(row.steps.len());
        let chained = row.steps[..split].iter().any(|s| matches!(s.act, Act::Chain { .. }));
        // "make a magic ring, ch 3, 11 dc in ring", "ch 8, join to form a ring; ch 3, …": the chain behind a ring stands
        // in it and belongs to the round
        let ring = row.steps[..split].iter().rposition(|s| matches!(s.act, Act::Ring { .. })).unwrap_or(split);
        let chain = row.steps[ring..split].iter().position(|s| matches!(s.act, Act::Chain { .. }));
        let split = chain.map_or(split, |k| ring + k);
        let chained = chained && row.steps[..split].iter().any(|s| matches!(s.act, Act::Chain { .. }));
        let ringed = row.steps[..split].iter().any(|s| matches!(s.act, Act::Ring { .. }));
        if chained && !ringed && row.steps.get(split..).is_some_and(first_into_ring) {
            // "ch 3, 11 dc in magic ring": the ring is of thread, and the chain stands in it
            let ring = Step { act: Act::Ring { thread: true }, span: row.body };
            work_foundation(bench, row, &[&ring]);
            return work_row(bench, row, conventions);
        }
        if chained || ringed {
            let (ahead, rest) = row.steps.split_at(split);
            work_foundation(bench, row, &ahead.iter().collect::<Vec<_>>());
            // "Rnd 1: Magic ring. (6 sts)": its stitches fell out
            let counted = ringed && row.stated.iter().any(|s| s.of != CountOf::Kind("ch".into()));
            if !rest.is_empty() || row.number.is_some() && counted {
                let mut rest_row = row.clone();
                rest_row.steps = rest.to_vec();
                work_row(bench, &rest_row, conventions);
            }
            return;
        }
    }
    work_row(bench, row, conventions);
}

/// Works a row under the readings its words allow, and keeps the first that works out; else the plain one.
fn work_row(bench: &mut Bench, row: &Planned<'_>, conventions: &[Convention]) {
    let before = Snapshot::of(bench);
    let (asked, fine) = attempt(bench, row, conventions, &[]);
    if fine || !row.read {
        if !row.read {
            settle_unread(bench, row.lost);
        } else if !asked.is_empty() {
            bench.open = Some(std::rc::Rc::new(Open { before, asked }));
        }
        return;
    }
    let mut answers = vec![0; asked.len().min(MOST_DOUBTS)];
    for (k, ask) in asked.iter().enumerate().take(answers.len()) {
        answers[k] = bench.settled_answer(ask.0);
    }
    for k in 0..answers.len() {
        let plain = answers[k];
        for answer in (0..asked[k].1).filter(|&a| a != plain) {
            answers[k] = answer;
            before.restore(bench);
            if attempt(bench, row, conventions, &answers).1 {
                say_reading(bench, row, asked[k].0, asked[k].2);
                bench.settled.push((asked[k].0, answer));
                learn_habit(bench, row, asked[k].0, answer);
                return;
            }
        }
        answers[k] = plain;
    }
    if bench.tallies.last().is_some_and(|t| t.uncertain) && fit::fitted(bench, row, conventions, &before) {
        return;
    }
    if let Some(whole) = bench.tallies.last().and_then(|tally| unsaid::repeated(row, tally)) {
        before.restore(bench);
        if attempt(bench, &whole, conventions, &[]).1 {
            say_reading(bench, row, row.body, Code::RepeatRemainder);
            return;
        }
    }
    // after a faulty row the count it states may be what this row goes by
    if let Some(patched) = before.patched_edge() {
        before.restore(bench);
        bench.edge = patched;
        if attempt(bench, row, conventions, &[]).1 {
            return;
        }
    }
    before.restore(bench);
    let told = bench.problems.len();
    attempt(bench, row, conventions, &[]);
    // a row that stopped where a place is not there leaves an edge nobody can count on: one fault, one message
    let missing = |p: &Problem| p.is_error() && p.code == Code::NoSuchPlace;
    bench.uncertain |= bench.problems.get(told..).is_some_and(|found| found.iter().any(missing));
}

/// Doubts tried one by one in a row; a published row has one or two.
const MOST_DOUBTS: usize = 6;

/// One try. Gives the doubts asked, and whether the row works out.
fn attempt(
    bench: &mut Bench,
    row: &Planned<'_>,
    conventions: &[Convention],
    answers: &[usize],
) -> (Vec<(Span, usize, Code)>, bool) {
    let problems_before = bench.problems.len();
    let mut steps: Vec<&Step> = row.steps.iter().collect();
    let carried = split_carried(&mut steps);
    let border = is_border(&steps);
    let turned = is_turned(bench, row, &steps, border);
    let first_of_piece = bench.tallies.last().is_none_or(|_| bench.piece.len() <= 1);
    let side = row_side(bench, row, turned, first_of_piece);
    let shape = match (border, row.kind) {
        (true, _) => RowShape::Border,
        (_, RowKind::Round) => RowShape::Round,
        _ => RowShape::Row,
    };
    // "R3:" is a round where it goes round
    let goes_round = bench.ring.is_some() || bench.edge.closed || rings(&steps) || signs::begins_at_one_chain(&steps);
    let short = row.kind == RowKind::Loose && !matches!(row.heading.rows, crate::instructions::Rows::Unnumbered);
    let round_heading = row.kind == RowKind::Round || row.kind == RowKind::Loose && goes_round;
    let label = match (short && goes_round, row.label.strip_prefix("Row ")) {
        (true, Some(n)) => format!("Round {n}"),
        _ => row.label.clone(),
    };
    if turned {
        bench.event(EventKind::Turn, None, bench.turn_said);
    }
    // reverse work without a turn sets out from where the row before ended, and runs back
    let edge = std::mem::take(&mut bench.edge).renewed(turned || runs_back(&steps));
    let index = bench.begin_row(label.clone(), shape, side, turned);
    let foundation = bench.foundation.clone().filter(|_| bench.piece.len() == 1);
    let mut tally = Tally {
        row: index,
        part: bench.part.index(),
        label,
        span: row.span,
        body: row.body,
        read: row.read,
        stated: row.stated.clone(),
        last_words: row.body,
        ..Tally::default()
    };
    tally.on_chain = foundation.is_some();
    tally.chains_count = settle::chains_so_far(&bench.tallies);
    let opening = bench.carried.take();
    bench.cut = false;
    let uncertain = bench.uncertain || {
        bench.edge.clone_from(&edge);
        marked::miss_markers(bench, &steps, !row.stated.is_empty());
        bench.edge = LiveEdge::default();
        bench.uncertain
    };
    let ring = bench.ring.take();
    let mut work = RowWork {
        row: index,
        edge,
        away: of_row::Away::default(),
        made: Vec::new(),
        tally,
        last: None,
        chains: Vec::new(),
        chains_span: row.body,
        branch: None,
        fresh: true,
        opening: false,
        group_place: None,
        foundation,
        ring,
        named_stitches: false,
        named_spaces: false,
        last_skip: 0,
        skip_of_spaces: false,
        bridged: finish::bridged(&steps),
        kinds: by_kind::kinds_of_row(&steps),
        skipped: Vec::new(),
        skipped_used: 0,
        last_below: None,
        entered: None,
        last_gap: None,
        by_shape: None,
        shapes_named: false,
        both_layers: false,
        last_space: false,
        carried_mark: None,
        sides: Vec::new(),
        corner_told: false,
        answers: answers.to_vec(),
        asked: Vec::new(),
        joined: false,
        closed_tall: false,
        spiral_told: false,
        round_heading,
        conventions,
        first_turning: None,
        turning_top: None,
        travelled: false,
        attached: false,
        stopped: false,
        bench,
    };
    let mut owned: Vec<Step> = opening
        .map(|(n, span)| Step { act: Act::Chain { n }, span })
        .into_iter()
        .chain(steps.iter().map(|s| (*s).clone()))
        .collect();
    gaps::for_spaces(&mut owned, &work.edge, &work.bench.fabric);
    work.drop_row_below(&mut owned);
    work.name_turning_chain(&mut owned);
    work.open_as_spaces(&owned);
    work.open_turning_space(&owned);
    work.open_marked(&owned);
    work.fold_flat(&owned);
    work.run(&owned);
    let asked = std::mem::take(&mut work.asked);
    let tied_on = row.kind == RowKind::Row && (work.attached || work.edge.closed && !work.joined);
    work.finish();
    if let Some(tally) = bench.tallies.last_mut() {
        tally.turns = ends_with_turn(&steps);
        tally.leave_what_it_stops_before(finish::stops_before(&steps));
        tally.leave_beside_what_is_tied_on(tied_on);
    }
    close_row(bench, index, &steps, carried);
    if !row.read {
        // its words have been pointed at already
        let found = bench.problems.split_off(problems_before);
        bench.problems.extend(found.into_iter().filter(|p| p.code == Code::Limit));
    }
    if uncertain {
        // what lies below was not read: what is not there may be there after all
        let found = bench.problems.split_off(problems_before);
        bench.problems.extend(found.into_iter().filter(|p| p.code != Code::NoSuchPlace || !p.is_error()));
        let mut fine = true;
        if let Some(tally) = bench.tallies.last_mut() {
            tally.uncertain = true;
            // only a count tells again how many stitches there are
            let told = row.read && tally.stated.iter().any(|s| tally.can_check(&s.of));
            fine = !told || tally.comes_out();
            bench.uncertain = !told;
            let count = tally.stated.iter().find(|s| matches!(s.of, CountOf::Sts | CountOf::Kind(_)));
            if let (Some(count), true) = (count.map(|s| s.count as usize), told && !tally.agrees()) {
                bench.edge.spots = resized(&bench.edge, count);
            }
        }
        return (asked, fine);
    }
    let tally = bench.tallies.last();
    // "sc evenly around" without a count: only the next one tells
    let untold = |t: &Tally| t.read && t.uncertain && !t.stated.iter().any(|s| t.can_check(&s.of));
    bench.uncertain |= tally.is_some_and(untold);
    let fine = tally.is_some_and(Tally::comes_out) && !bench.problems[problems_before..].iter().any(Problem::is_error);
    (asked, fine)
}

/// What the end of a row hands on: chains made for the next row, a turn said, the direction it ran.
fn close_row(bench: &mut Bench, index: crate::fabric::RowId, steps: &[&Step], carried: Option<(u32, Span)>) {
    bench.carried = carried;
    if works(steps) {
        // a ring made within the row is filled: the next row stands on the row
        bench.ring = None;
    }
    bench.turn_denied = matches!(steps.last().map(|s| &s.act), Some(Act::DoNotTurn))
        || steps.iter().rev().take(3).any(|s| matches!(s.act, Act::DoNotTurn)) && works(steps);
    bench.turn_said = ends_with_turn(steps) || carried.is_some();
    let order = &bench.fabric.rows[index.index()].order;
    let reverse = !order.is_empty() && order.iter().all(|&id| bench.fabric.stitch(id).extra.reverse);
    if reverse {
        bench.fabric.rows[index.index()].direction = Direction::Back;
    }
    if bench.piece.len() > 2 {
        bench.foundation = None;
    }
}

/// True where the work is turned before this row: said, or understood between rows.
fn is_turned(bench: &Bench, row: &Planned<'_>, steps: &[&Step], border: bool) -> bool {
    let opening: Vec<&&Step> = steps
        .iter()
        .take_while(|s| !matches!(s.act, Act::Work { .. } | Act::Group { .. } | Act::Repeat { .. }))
        .collect();
    let said = bench.turn_said || opening.iter().any(|s| matches!(s.act, Act::Turn));
    let denied = opening.iter().any(|s| matches!(s.act, Act::DoNotTurn)) || bench.turn_denied && !said;
    let follows = bench.piece.len() > 1;
    if denied || !follows && !said {
        return false;
    }
    let tied_on = opening.iter().take(2).any(|s| matches!(s.act, Act::Attach { .. }));
    if (bench.cut || tied_on)
        && let Some(told) = row.heading.right_side
    {
        // cut or left, and joined again: the side told says whether the work was turned
        return told != (bench.side == Side::Right);
    }
    if border {
        return opening.iter().any(|s| matches!(s.act, Act::Turn));
    }
    // "4. Ch 1, sc 2": a number alone is a row's where the work goes flat
    let flat = row.kind == RowKind::Row || row.kind == RowKind::Loose && row.label.starts_with("Row ");
    said || flat && !bench.edge.closed && bench.ring.is_none() && works(steps)
}

fn row_side(bench: &mut Bench, row: &Planned<'_>, turned: bool, first: bool) -> Side {
    let told = row.heading.right_side.map(|rs| if rs { Side::Right } else { Side::Wrong });
    let by_turns = if turned { bench.side.turned() } else { bench.side };
    match told {
        Some(side) if first => side,
        Some(side) if side != by_turns => {
            let message = format!(
                "this row is marked {}, but by the turns before it the {} faces you",
                side.as_str(),
                if by_turns == Side::Right { "right side" } else { "wrong side" }
            );
            bench.problems.push(Problem::new(Code::Side, row.heading.span, message));
            by_turns
        }
        _ => by_turns,
    }
}
