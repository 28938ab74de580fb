//! What the steps of a row say of it before it is worked: which way it runs, whether it turns, whether it is in a ring.

use crate::instructions::{Act, Step, Target};

/// True where the row's first stitch is worked backwards.
pub(super) fn runs_back(steps: &[&Step]) -> bool {
    steps
        .iter()
        .find_map(|s| match &s.act {
            Act::Work { form, .. } => Some(form.extra.reverse),
            Act::Group { .. } | Act::Repeat { .. } => Some(false),
            _ => None,
        })
        .unwrap_or(false)
}

/// True where the steps work into a ring.
pub(super) fn rings(steps: &[&Step]) -> bool {
    steps.iter().any(|s| {
        matches!(&s.act, Act::Ring { .. } | Act::Work { at: Target::Ring, .. } | Act::Group { at: Target::Ring, .. })
    })
}

pub(super) fn ends_with_turn(steps: &[&Step]) -> bool {
    steps
        .iter()
        .rev()
        .take_while(|s| {
            matches!(
                s.act,
                Act::Turn
                    | Act::FastenOff { .. }
                    | Act::Counts { .. }
                    | Act::Change { .. }
                    | Act::DoNotTurn
                    | Act::Join { .. }
            )
        })
        .any(|s| matches!(s.act, Act::Turn))
}

/// True where the first stitch goes into a ring.
pub(super) fn first_into_ring(steps: &[Step]) -> bool {
    let first = steps.iter().find(|s| !matches!(s.act, Act::Counts { .. } | Act::Turn));
    match first.map(|s| &s.act) {
        Some(Act::Work { at, .. } | Act::Group { at, .. }) => *at == Target::Ring,
        Some(Act::Repeat { steps, .. }) => first_into_ring(steps),
        _ => false,
    }
}
