//! Work that names its places by their kind alone: "*sc in next dc, ch 3; rep from * around" over petals goes from dc to
//! dc, and what lies between and behind them is passed by.

use super::edge::{LiveEdge, Spot, State};
use crate::instructions::{Act, Class, Step, Target};

/// The kinds that steps name, where they name no place otherwise; none where they name some place in another way.
pub(super) fn named_kinds(steps: &[Step]) -> Vec<Class> {
    let mut found = Vec::new();
    if gather(steps.iter(), &mut found) { found } else { Vec::new() }
}

/// The same of a whole row.
pub(super) fn kinds_of_row(steps: &[&Step]) -> Vec<Class> {
    let mut found = Vec::new();
    if gather(steps.iter().copied(), &mut found) { found } else { Vec::new() }
}

fn gather<'s>(steps: impl Iterator<Item = &'s Step>, found: &mut Vec<Class>) -> bool {
    for step in steps {
        let fits = match &step.act {
            Act::Work { at, .. } | Act::Group { at, .. } => match at {
                Target::Next { n: 1, class: class @ Class::Kind(_) }
                | Target::First { class: class @ Class::Kind(_) } => {
                    if !found.contains(class) {
                        found.push(class.clone());
                    }
                    true
                }
                Target::Same => true,
                _ => false,
            },
            Act::Attach { at: Some(Target::Next { class: Class::Kind(_), .. } | Target::First { .. }), .. } => true,
            Act::Attach { at: None, .. } => true,
            Act::Repeat { steps, .. } => gather(steps.iter(), found),
            Act::Skip { .. } | Act::Leave { .. } | Act::SkipFirst { .. } | Act::Attach { .. } | Act::OfRow { .. } => {
                false
            }
            Act::LoopsOf { .. } | Act::RowEnds | Act::FarSide | Act::Shape { .. } | Act::AsRow { .. } => false,
            _ => true,
        };
        if !fits {
            return false;
        }
    }
    true
}

/// True where what follows a repeat works into nothing.
pub(super) fn rest_has_no_place(rest: &[Step]) -> bool {
    !rest.iter().any(|s| matches!(s.act, Act::Work { .. } | Act::Group { .. } | Act::Repeat { .. } | Act::Skip { .. }))
}

impl LiveEdge {
    /// Where the last place of these kinds lies, on an edge that holds each of them and other stitches between.
    pub(super) fn last_of(&self, kinds: &[Class]) -> Option<usize> {
        let named = |s: &Spot| kinds.iter().any(|k| s.is(k));
        let each = !kinds.is_empty() && kinds.iter().all(|k| self.spots.iter().any(|s| s.is(k)));
        let last = self.spots.iter().rposition(named).filter(|_| each)?;
        let first = self.spots.iter().position(named)?;
        self.spots[first..last].iter().any(|s| s.is(&Class::Stitch) && !named(s)).then_some(last)
    }

    /// The last place of these kinds, where it is used: those behind it are passed as those between were.
    pub(super) fn used_to_the_last(&self, kinds: &[Class]) -> Option<usize> {
        self.last_of(kinds).filter(|&last| self.spots[last].state == State::Used)
    }
}
