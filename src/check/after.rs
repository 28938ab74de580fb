//! What follows from a fault that has been told: the rows behind a row that came out wrong are off by as much.

use crate::source::{Code, Problem};
use crate::working::Tally;

/// A row that makes other than it states, as the rows behind it see it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Off {
    part: usize,
    made: usize,
    stated: usize,
    /// True where it states nothing: how much the rows behind it are off by is not known.
    untold: bool,
}

impl Off {
    /// Of a row at fault that states what it should have come to.
    pub(super) fn of(tally: &Tally) -> Option<Self> {
        let (part, untold) = (tally.part, !tally.stated.iter().any(|s| tally.can_check(&s.of)));
        let off = |made: usize, stated: usize| Self { part, made, stated, untold };
        match tally.wrong_count() {
            Some(wrong) => Some(off(tally.count_of(&wrong.of), wrong.count as usize)),
            None => untold.then(|| off(tally.made, tally.made)),
        }
    }

    /// True where a later row is at fault only by what was missing, or too much, before it.
    pub(super) fn explains(&self, tally: &Tally, problem: &Problem) -> bool {
        if tally.part != self.part {
            return false;
        }
        if self.untold {
            return matches!(
                problem.code,
                Code::CountDiffers | Code::PlacesShort | Code::PlacesLeft | Code::RepeatRemainder | Code::TurningChain
            );
        }
        let by = self.made.abs_diff(self.stated);
        match problem.code {
            Code::CountDiffers => {
                let as_before = |w: &crate::instructions::Stated| {
                    (tally.count_of(&w.of), w.count as usize) == (self.made, self.stated)
                };
                tally.wrong_count().is_some_and(as_before)
            }
            Code::PlacesShort | Code::PlacesLeft | Code::RepeatRemainder => {
                let (offered, used) = (tally.offered.unwrap_or(0), tally.used.unwrap_or(0));
                tally.wrong_count().is_none()
                    && offered.abs_diff(used) == by
                    && (offered < used) == (self.made < self.stated)
            }
            _ => false,
        }
    }

    /// True where a row that is not at fault leaves open whether all is right again: it states nothing.
    pub(super) fn goes_on(&self, tally: &Tally) -> bool {
        tally.part == self.part && !tally.stated.iter().any(|s| tally.can_check(&s.of))
    }
}
