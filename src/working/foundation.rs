//! Foundations: chains, or a ring of chains or of thread.

use super::bench::Bench;
use super::edge::{LiveEdge, Spot, What};
use super::plan::Planned;
use super::tally::Tally;
use crate::fabric::{Event, EventKind, RowShape, Side};
use crate::instructions::{Act, Step};

/// A foundation: chains, or a ring.
pub(super) fn work_foundation(bench: &mut Bench, row: &Planned<'_>, steps: &[&Step]) {
    bench.side = Side::Right;
    bench.uncertain = false;
    let index = bench.begin_row("Foundation".into(), RowShape::Foundation, Side::Right, false);
    let mut ids = Vec::new();
    let mut ring = None;
    let mut last = row.span;
    for step in steps {
        match &step.act {
            Act::Chain { n } => {
                ids.extend(bench.chains(index, *n, crate::fabric::Role::Base, step.span));
                last = step.span;
            }
            Act::Ring { thread } => ring = Some((*thread, step.span)),
            Act::Join { .. } if !ids.is_empty() => ring = Some((false, step.span)),
            Act::With { yarn } => bench.take_yarn(yarn, false),
            Act::Attach { yarn: Some(yarn), .. } => bench.take_yarn(yarn, true),
            Act::Turn => bench.turn_said = true,
            _ => {}
        }
    }
    let yarn = bench.yarn.clone();
    if !bench.yarns_on.contains(&yarn) {
        bench.yarns_on.push(yarn.clone());
        // the first yarn is attached before the first stitch
        bench.fabric.events.push(Event { after: None, kind: EventKind::Attach, colour: Some(yarn), told: false });
    }
    let chains = ids.len();
    bench.fabric.rows[index.index()].order = ids.clone();
    let spots = |ids: &[crate::fabric::StitchId]| -> Vec<Spot> {
        ids.iter().map(|&id| Spot::new(crate::fabric::Place::chain(id), What::Chain)).collect()
    };
    match ring {
        Some((thread, span)) => {
            let mut ring_ids = ids.clone();
            if let (false, Some(&first)) = (thread, ids.first()) {
                let slip = crate::craft::StitchForm::plain(crate::craft::Stem::SlipStitch);
                ring_ids.push(bench.make(
                    index,
                    slip,
                    &[crate::fabric::Place::chain(first)],
                    crate::fabric::Role::Join,
                    span,
                ));
                bench.event(EventKind::Join, None, true);
            }
            bench.ring = Some(crate::fabric::RingId::new(bench.fabric.rings.len()));
            bench.fabric.rings.push(crate::fabric::Ring { row: index, ids: ring_ids });
            bench.edge = LiveEdge::new(spots(&ids), true);
            bench.fabric.rows[index.index()].joined = !thread;
        }
        None => {
            let mut reversed = ids.clone();
            reversed.reverse();
            bench.edge = LiveEdge::new(spots(&reversed), false);
            bench.foundation = Some(ids);
        }
    }
    bench.piece.push(index);
    bench.tallies.push(Tally {
        row: index,
        part: bench.part.index(),
        label: "Foundation".into(),
        span: row.span,
        body: row.body,
        read: row.read,
        chains: Some(chains),
        stated: Vec::new(),
        last_words: last,
        ..Tally::default()
    });
}
