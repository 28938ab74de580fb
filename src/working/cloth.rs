//! An edging worked on something that is no crochet: "join thread in any corner of handkerchief, *3 sc in corner, 39 sc
//! evenly along side; rep from * around". Its places are as many as its words or its own count make them.

use super::bench::Bench;
use super::plan::Planned;
use crate::craft::{Stem, StitchForm};
use crate::instructions::{Act, Class, CountOf, RowKind, Step, Target, Times};

/// Corners of a cloth.
const CORNERS: u32 = 4;

/// The row as worked into plain places, where it is the first of all and goes evenly along an edge.
pub(super) fn on_plain_places<'p>(bench: &Bench, row: &Planned<'p>) -> Option<Planned<'p>> {
    let begins = bench.tallies.last().is_none_or(|t| bench.on_cloth && t.part != bench.part.index());
    if !begins || !row.read || !row.steps.iter().any(evenly) || row.steps.iter().any(own_start) {
        return None;
    }
    let mut plain = row.clone();
    let work = plain.steps.iter().position(|s| s.act.works()).unwrap_or(0);
    // before any work to join is to tie the thread on
    let mut at = 0;
    plain.steps.retain(|s| {
        at += 1;
        at > work || !matches!(s.act, Act::Join { .. } | Act::Attach { .. })
    });
    plain.steps = plain.steps.into_iter().filter_map(|s| plainly(s, row.kind)).collect();
    let counted = row.stated.iter().find(|s| matches!(s.of, CountOf::Sts | CountOf::Kind(_))).map(|s| s.count);
    if !plain.steps.iter().all(|s| matches!(s.act, Act::Work { .. } | Act::Group { .. } | Act::Repeat { .. }))
        && let Some(count) = counted
        && made(&plain.steps) != Some(count)
    {
        // "sc evenly around, 3 sc in each corner": only its count tells how many those are
        let first = plain.steps.iter().find_map(|s| match &s.act {
            Act::Work { form, .. } if form.stem != Stem::SlipStitch => Some((*form, s.span)),
            _ => None,
        });
        let (form, span) = first.unwrap_or((StitchForm::plain(Stem::Single), row.body));
        let work = plain.steps.iter().position(|s| s.act.works()).unwrap_or(plain.steps.len());
        plain.steps.retain(|s| !s.act.works());
        let at = Target::Next { n: count, class: Class::Any };
        plain.steps.insert(work.min(plain.steps.len()), Step { act: Act::Work { each: 1, form, at }, span });
    }
    Some(plain)
}

fn evenly(step: &Step) -> bool {
    match &step.act {
        Act::Work { at: Target::Evenly { .. }, .. } => true,
        Act::Repeat { steps, .. } => steps.iter().any(evenly),
        _ => false,
    }
}

/// A chain or ring of its own to work into.
fn own_start(step: &Step) -> bool {
    match &step.act {
        Act::Chain { n } => *n > super::stand_in::TALLEST,
        Act::Ring { .. } | Act::AnyChain | Act::FarSide | Act::LoopsOf { .. } => true,
        Act::Work { at: Target::FromHook { .. } | Target::Ring, .. } => true,
        Act::Repeat { steps, .. } => steps.iter().any(own_start),
        _ => false,
    }
}

/// A step with plain places in the place of an edge and its corners.
fn plainly(mut step: Step, kind: RowKind) -> Option<Step> {
    match &mut step.act {
        Act::RowEnds => return None,
        Act::Work { each, at, .. } => match at {
            Target::Evenly { n } => {
                let n = n.unwrap_or(std::mem::replace(each, 1));
                *at = Target::Next { n, class: Class::Any };
            }
            Target::Next { class, .. } | Target::First { class } | Target::Last { class, .. } if is_corner(class) => {
                *at = Target::NEXT;
            }
            _ => {}
        },
        Act::Group { at, .. } => {
            if let Target::Next { class, .. } | Target::First { class } = at
                && is_corner(class)
            {
                *at = Target::NEXT;
            }
        }
        Act::Repeat { steps, times, .. } => {
            if kind == RowKind::Round && matches!(times, Times::ToEnd { less: 0, .. }) {
                *times = Times::InAll(CORNERS);
            }
            *steps = std::mem::take(steps).into_iter().filter_map(|s| plainly(s, kind)).collect();
        }
        _ => {}
    }
    Some(step)
}

fn is_corner(class: &Class) -> bool {
    matches!(class, Class::Corner(_) | Class::CornerStitch | Class::ChainEnd | Class::RowEnd)
}

/// Stitches that steps make, where their words alone tell.
fn made(steps: &[Step]) -> Option<u32> {
    steps.iter().try_fold(0u32, |sum, step| {
        let own = match &step.act {
            Act::Work { form, .. } if form.stem == Stem::SlipStitch => 0,
            Act::Work { each, at: Target::Next { n, .. }, .. } => each.checked_mul(*n)?,
            Act::Work { .. } => return None,
            Act::Group { steps, .. } => made(steps)?,
            Act::Repeat { steps, times: Times::InAll(n), .. } => made(steps)?.checked_mul(*n)?,
            Act::Repeat { .. } => return None,
            _ => 0,
        };
        sum.checked_add(own)
    })
}
