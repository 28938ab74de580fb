//! Rows that go on as the one before them: its own words, with a stitch more or less between their increases or
//! decreases.

use super::told_again::{take_up, works, yarn_apart};
use crate::instructions::{Act, Step, Target};

/// The steps of a row that goes on so from another's, with what its own words say of the yarn and of the end; none where
/// that row does not tell by itself which stitches those are.
pub(super) fn grown(before: &[Step], own: &[Step], more: bool) -> Option<Vec<Step>> {
    let mut steps = before.to_vec();
    let changed = change(&mut steps, more)?;
    let said = own.iter().position(|s| matches!(s.act, Act::Shape { .. }))?;
    let (lead, _) = yarn_apart(own[..said].to_vec(), own[said].span);
    take_up(&mut steps, &lead, true);
    let ends = |s: &&Step| matches!(s.act, Act::FastenOff { .. } | Act::Change { .. } | Act::Attach { .. });
    steps.extend(own[said + 1..].iter().filter(ends).cloned());
    (changed > 0).then_some(steps)
}

/// True for the words that say so, alone.
pub(super) fn goes_on_as_before(steps: &[Step]) -> Option<bool> {
    let mut worked = steps.iter().filter(|s| works(&[s]) || matches!(s.act, Act::AsRow { .. } | Act::RowsUntil { .. }));
    match (worked.next().map(|s| &s.act), worked.next()) {
        (Some(&Act::Shape { by: 0, more, own: true }), None) => Some(more),
        _ => None,
    }
}

/// Changes the plain stretches beside increases and decreases; how many there were.
fn change(steps: &mut Vec<Step>, more: bool) -> Option<usize> {
    let shaping: Vec<bool> = steps.iter().map(shapes).collect();
    let beside = |k: usize| {
        let before = k.checked_sub(1).is_some_and(|b| shaping[b]);
        before || shaping.get(k + 1).is_some_and(|&s| s)
    };
    let mut changed = 0;
    let mut gone = Vec::new();
    for k in 0..steps.len() {
        let near = beside(k);
        match &mut steps[k].act {
            Act::Repeat { steps, .. } => changed += change(steps, more)?,
            Act::Work { each: 1, form, at: Target::Next { n, .. } | Target::Last { n, .. } }
                if near && form.places() == 1 =>
            {
                *n = if more { n.checked_add(1)? } else { n.checked_sub(1)? };
                changed += 1;
                if *n == 0 {
                    gone.push(k);
                }
            }
            _ => {}
        }
    }
    for k in gone.into_iter().rev() {
        steps.remove(k);
    }
    Some(changed)
}

/// True for an increase or a decrease.
fn shapes(step: &Step) -> bool {
    match &step.act {
        Act::Work { each, form, .. } => *each > 1 || form.places() > 1,
        _ => false,
    }
}
