//! A row tried in other words: how far it is from working out, and what it makes.

use super::change::Change;
use super::nature::{Op, ops};
use crate::fabric::RowId;
use crate::instructions::{Row, Stated, Step};
use crate::working::{Rehearsal, Tried, Words};

/// Trials of one line.
pub(super) struct Trials<'t, 'r> {
    pub rehearsal: &'t mut Rehearsal<'r>,
    pub row: &'t Row,
    /// Lines that have to work out: this one, or this and the one its fault shows in.
    pub lines: usize,
    /// Stitches that may still be worked.
    pub left: &'t mut usize,
}

/// What a trial gave.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Measure {
    /// For every row and every count: how much is missing. All 0 where it fits.
    pub gaps: Vec<i64>,
    /// What the line makes, where everything fits.
    pub fit: Option<Made>,
}

/// What a line that fits makes.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Made {
    /// Stitch by stitch, into what: the same for words that say the same.
    pub stitches: String,
    /// Place by place.
    pub ops: Vec<Op>,
    pub used: usize,
    pub made: usize,
    /// True where it leaves what its last words stop before.
    pub stops: bool,
    /// True where the line after works out too.
    pub next: bool,
}

/// What a trial costs beside its stitches.
const COST_OF_A_TRIAL: usize = 24;

impl Trials<'_, '_> {
    /// Tries a change. None where it cannot be made, or no trials are left.
    pub fn of(&mut self, change: &Change) -> Option<(Measure, Vec<Step>, Vec<Stated>)> {
        let steps = change.applied(&self.row.steps)?;
        let stated = change.stated(&self.row.stated);
        let measure = self.measure(&steps, &stated)?;
        Some((measure, steps, stated))
    }

    /// Works the line with these steps and counts.
    pub fn measure(&mut self, steps: &[Step], stated: &[Stated]) -> Option<Measure> {
        let span = self.row.span;
        let words = Words { line: 0, steps, stated };
        let (mut measure, cost) = self.work(words, self.lines, |tried| {
            let gaps = gaps(&tried);
            let fit = tried.works_out().then(|| {
                let of_line = tried.tallies.iter().rfind(|t| t.span == span);
                let rows: Vec<RowId> = tried.tallies.iter().filter(|t| t.span == span).map(|t| t.row).collect();
                Made {
                    stitches: stitches(&tried),
                    ops: ops(tried.fabric, &rows),
                    used: of_line.and_then(|t| t.used).unwrap_or(0),
                    made: of_line.map_or(0, |t| t.made),
                    stops: of_line.is_some_and(|t| t.left_by_stop),
                    next: false,
                }
            });
            (Measure { gaps, fit }, cost_of(&tried))
        })?;
        self.pay(cost);
        if let Some(fit) = &mut measure.fit
            && let Some((next, cost)) = self.work(words, self.lines + 1, |tried| (tried.works_out(), cost_of(&tried)))
        {
            fit.next = next;
            self.pay(cost);
        }
        Some(measure)
    }

    fn work<R>(&mut self, words: Words<'_>, lines: usize, look: impl FnOnce(Tried<'_>) -> R) -> Option<R> {
        (*self.left > 0).then(|| self.rehearsal.work(Some(words), lines, look))
    }

    fn pay(&mut self, cost: usize) {
        *self.left = self.left.saturating_sub(cost + COST_OF_A_TRIAL);
    }
}

fn cost_of(tried: &Tried<'_>) -> usize {
    let asked: usize = tried.tallies.iter().map(|t| t.offered.unwrap_or(0)).sum();
    tried.fabric.stitches.len() - tried.before + asked
}

/// What is missing: places not used, and stitches not made, count by count.
fn gaps(tried: &Tried<'_>) -> Vec<i64> {
    let signed = |a: usize, b: usize| i64::try_from(a).unwrap_or(i64::MAX) - i64::try_from(b).unwrap_or(i64::MAX);
    let mut found = Vec::new();
    for tally in tried.tallies {
        if let (Some(offered), Some(used)) = (tally.offered, tally.used) {
            found.push(signed(
                offered,
                match (tally.left_by_stop, tally.leave_told) {
                    (true, _) => used - tally.stops_before.min(used),
                    (false, true) => offered,
                    _ => used,
                },
            ));
        }
        for s in tally.stated.iter().filter(|s| tally.can_check(&s.of)) {
            found.push(signed(s.count as usize, tally.count_of(&s.of)));
        }
    }
    found
}

fn stitches(tried: &Tried<'_>) -> String {
    let mut found = String::new();
    for stitch in &tried.fabric.stitches[tried.before..] {
        found.push_str(&format!("{}{:?}{:?};", stitch.kind, stitch.role, stitch.into));
    }
    found
}
