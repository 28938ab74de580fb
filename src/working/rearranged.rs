//! What one row says and another works: the chain behind a ring, layers of the next row, a turn that opens a round.

use super::plan::Planned;
use crate::craft::{Stem, StitchForm};
use crate::instructions::{Act, Class, JoinTo, RowKind, Step, Target};

/// Puts what the rows say where it is worked.
pub(super) fn rearrange(planned: &mut Vec<Planned<'_>>) {
    over_own_loops(planned);
    chain_alone(planned);
    rounds_by_shape(planned);
    layers_of_next(planned);
    turned_at_start(planned);
    chain_behind_ring(planned);
}

/// "Ch 10, sl st in same st, 15 sc in loop. Fasten off.": what goes over a hanging loop is worked on it, and not on the edge
/// that holds it.
fn over_own_loops(planned: &mut Vec<Planned<'_>>) {
    let slips = |s: &Step| {
        matches!(&s.act, Act::Work { each: 1, form, .. } if form.stem == Stem::SlipStitch)
            || matches!(s.act, Act::Join { .. })
    };
    let mut i = 0;
    while i < planned.len() {
        let row = &planned[i];
        let begins =
            row.steps.iter().position(|s| !matches!(s.act, Act::With { .. } | Act::Attach { .. })).unwrap_or(0);
        let loop_ = match row.steps.get(begins..).unwrap_or_default() {
            [Step { act: Act::Chain { n: LEAST_LOOP.. }, .. }, closes, Step { act: over, .. }, rest @ ..]
                if slips(closes) && !rest.iter().any(|s| s.act.works()) =>
            {
                matches!(over, Act::Work { each: 2.., at: Target::Next { n: 1, class: Class::Space(_) }, .. })
            }
            _ => false,
        };
        if loop_ && row.read {
            let mut over = planned[i].clone();
            over.steps.drain(..begins + 2);
            let held = &mut planned[i];
            held.steps.truncate(begins + 2);
            let span = held.steps[begins].span;
            held.steps.push(Step { act: Act::Leave { n: None }, span });
            held.stated.clear();
            planned.insert(i + 1, over);
            i += 1;
        }
        i += 1;
    }
}

/// Chains of the shortest hanging loop.
const LEAST_LOOP: u32 = 5;

/// "Row 1: Ch 4, turn. Row 2: Sc in 2nd ch from hook", "Foundation row: Ch 25.": a chain is a foundation though it has a number.
fn chain_alone(planned: &mut [Planned<'_>]) {
    let chain = |s: &Step| matches!(s.act, Act::Chain { .. });
    let besides =
        |s: &Step| chain(s) || matches!(s.act, Act::Turn | Act::DoNotTurn | Act::With { .. } | Act::Counts { .. });
    let on_chain = |s: &Step| match &s.act {
        Act::Work { at, .. } | Act::Group { at, .. } => matches!(
            at,
            Target::FromHook { .. }
                | Target::Next { class: Class::Chain, .. }
                | Target::Each { class: Class::Chain, .. }
        ),
        Act::Skip { class: Class::Chain, .. } => true,
        _ => false,
    };
    for i in 1..planned.len() {
        let (before, row) = planned.split_at_mut(i);
        let before = &mut before[i - 1];
        let first = before.number == Some(1)
            || before.number.is_none() && before.heading.published.to_lowercase().starts_with("foundation");
        let alone = before.read && first && before.steps.iter().all(besides);
        if alone && before.steps.iter().any(chain) && row[0].steps.iter().take(2).any(on_chain) {
            before.kind = RowKind::Foundation;
            before.steps.retain(|s| !matches!(s.act, Act::Turn | Act::DoNotTurn));
        }
    }
}

/// "Make a magic ring, ch 3. Rnd 1: 11 dc in ring": the chain behind the ring stands in it and belongs to the round.
fn chain_behind_ring(planned: &mut [Planned<'_>]) {
    let chains = |s: &Step| matches!(s.act, Act::Chain { .. } | Act::Counts { .. });
    for i in 1..planned.len() {
        let (before, row) = planned.split_at_mut(i);
        let (before, row) = (&mut before[i - 1], &mut row[0]);
        let ring = before.steps.iter().rposition(|s| matches!(s.act, Act::Ring { .. } | Act::Join { .. }));
        let Some(ring) = ring.filter(|_| before.kind == RowKind::Foundation && row.kind != RowKind::Foundation) else {
            continue;
        };
        let own = row.steps.first().is_none_or(|s| matches!(s.act, Act::Chain { .. } | Act::Ring { .. }));
        if !own && before.steps.len() > ring + 1 && before.steps[ring + 1..].iter().all(chains) {
            row.steps.splice(..0, before.steps.drain(ring + 1..));
        }
    }
}

/// "Flatten the wing and work the next row through both layers": said behind one row, and of the one that follows.
fn layers_of_next(planned: &mut [Planned<'_>]) {
    for i in 1..planned.len() {
        let (before, row) = planned.split_at_mut(i);
        let said = before[i - 1].steps.iter().position(|s| matches!(s.act, Act::BothLayers { next: true, .. }));
        if let Some(at) = said {
            let step = before[i - 1].steps.remove(at);
            let folded = matches!(step.act, Act::BothLayers { folded: true, .. });
            row[0].steps.insert(0, Step { act: Act::BothLayers { next: false, folded }, span: step.span });
        }
    }
}

/// "Rnd 4: Sl st in next st, ch 1, turn, sc in same st": a spiral is closed and turned before the round it is said in.
fn turned_at_start(planned: &mut [Planned<'_>]) {
    let slip = |s: &Step| {
        matches!(&s.act, Act::Work { each: 1, form, at: Target::Next { n: 1, .. } | Target::First { .. } }
            if form.stem == Stem::SlipStitch)
    };
    for i in 1..planned.len() {
        let (before, row) = planned.split_at_mut(i);
        let (before, row) = (&mut before[i - 1], &mut row[0]);
        let joined = before.steps.iter().any(|s| matches!(s.act, Act::Join { .. } | Act::Turn));
        if joined || before.kind != RowKind::Round || row.kind != RowKind::Round || !row.steps.first().is_some_and(slip)
        {
            continue;
        }
        let turn = match (row.steps.get(1).map(|s| &s.act), row.steps.get(2).map(|s| &s.act)) {
            (Some(Act::Turn), _) => 1,
            (Some(Act::Chain { .. }), Some(Act::Turn)) => 2,
            _ => continue,
        };
        let turn = row.steps.remove(turn);
        let join = Act::Join { to: JoinTo::First, with: StitchForm::plain(Stem::SlipStitch) };
        let span = row.steps.remove(0).span;
        before.steps.extend([Step { act: join, span }, turn]);
    }
}

/// Rows round both sides of a chain, with no turn and no chain to turn with, go on in a spiral whatever they are called.
fn rounds_by_shape(planned: &mut [Planned<'_>]) {
    let rows: Vec<usize> = (0..planned.len()).filter(|&i| planned[i].kind == RowKind::Row).collect();
    let Some((&first, others)) = rows.split_first() else { return };
    let goes_round = planned[first].steps.iter().any(|s| matches!(s.act, Act::FarSide));
    let turns = |i: &usize| planned[*i].steps.iter().any(|s| matches!(s.act, Act::Turn));
    let opens_with_chain = |i: &usize| matches!(planned[*i].steps.first().map(|s| &s.act), Some(Act::Chain { .. }));
    if goes_round && !others.is_empty() && !rows.iter().any(turns) && !others.iter().any(opens_with_chain) {
        for i in rows {
            planned[i].kind = RowKind::Round;
        }
    }
}
