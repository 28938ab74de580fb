//! So many increases or decreases spaced evenly over a row.

use super::edge::{State, What};
use super::row::{LastPlace, RowWork};
use crate::craft::{Stem, StitchForm};
use crate::fabric::Place;
use crate::instructions::{Class, CountOf};
use crate::source::Span;

impl RowWork<'_> {
    /// How many increases or decreases that is: 0 stands for as many as the row before has.
    pub(super) fn shaped_by(&self, by: u32) -> usize {
        match self.bench.tallies.as_slice() {
            [.., before, last] if by == 0 => last.made.abs_diff(before.made),
            _ => by as usize,
        }
    }

    /// One stitch in each place of a class, `by` more or fewer than there are places: the odd ones as far apart as they
    /// can be.
    pub(super) fn worked_evenly(&mut self, by: usize, more: bool, form: StitchForm, class: &Class, span: Span) {
        self.chains_to_space(false);
        let class = self.edge.searched(class);
        let places = self.edge.ahead(&class);
        let stitches = if more { places } else { places.saturating_sub(by) };
        if places == 0 || stitches == 0 {
            return self.run_out(span, by.max(1));
        }
        for i in 0..stitches {
            if self.bench.limit_hit {
                return;
            }
            // OK: both factors are bounded by the limit on stitches and by nine digits
            let odd = (i + 1).saturating_mul(by) / stitches - i.saturating_mul(by) / stitches;
            let taken = if more { 1 } else { 1 + odd };
            let mut into = Vec::with_capacity(taken);
            for _ in 0..taken {
                if let Some(k) = self.edge.next_of(&class) {
                    self.edge.take(k);
                    into.push(LastPlace::OnEdge(k));
                }
            }
            let legs = u8::try_from(into.len()).unwrap_or(u8::MAX);
            let made = if into.len() > 1 { StitchForm::together(form.stem, legs) } else { form };
            let each = if more { u32::try_from(1 + odd).unwrap_or(1) } else { 1 };
            self.stitches_in(each, made, &into, span);
        }
    }

    /// `n` stitches spaced evenly along the ends of rows: several in one, or some passed, as the number asks.
    pub(super) fn spaced_evenly(&mut self, each: u32, form: StitchForm, n: usize, span: Span) {
        let along = self.turned_from_ends(span);
        let from = self.edge.cursor.min(self.edge.spots.len());
        let mut ends: Vec<usize> = (from..self.edge.spots.len()).filter(|&k| self.edge.spots[k].is(&along)).collect();
        // a number that takes all of the side takes its corner too
        if n < ends.len() {
            ends.truncate(ends.len() - self.left_for_corner());
        }
        if ends.is_empty() {
            return;
        }
        for i in 0..n {
            if self.bench.limit_hit {
                return;
            }
            let k = ends[i.saturating_mul(ends.len()) / n];
            self.stitches_in(each, form, &[LastPlace::OnEdge(k)], span);
        }
        // what lies between is passed in words: the stitches are spaced along all of it
        for &k in &ends {
            self.edge.take(k);
            self.edge.spots[k].state = State::Used;
        }
    }

    /// What stitches spaced along a border go into: row ends, or the chains or stitches of the side it has come to.
    pub(super) fn turned_from_ends(&mut self, span: Span) -> Class {
        if self.on_opening() {
            return Class::Stitch;
        }
        let ends = self.edge.spots.iter().any(|s| s.what == What::RowEnd);
        if ends && self.edge.ahead(&Class::Any) == 0 {
            self.next_side(None);
        }
        let along = ends && self.edge.ahead(&Class::Any) > 0;
        if self.edge.ahead(&Class::RowEnd) == 0 && !along {
            self.row_ends(span);
        }
        // round a motif there is no row end: evenly is in what lies there, and how many that makes is not told
        let motif = self.edge.closed
            && self.bench.pass.is_empty()
            && self.edge.ahead(&Class::RowEnd) == 0
            && self.edge.ahead(&Class::All) > 0;
        match () {
            () if motif => Class::All,
            () if self.edge.ahead(&Class::RowEnd) > 0 || !along => Class::RowEnd,
            () => Class::Any,
        }
    }

    /// "Sc evenly around" a motif: as many as the round states beside those it has; where it states none, nothing tells.
    pub(super) fn round_motif(&mut self, each: u32, form: StitchForm, span: Span) -> bool {
        self.tally.uncertain = true;
        let stated = self.tally.stated.iter().find(|s| matches!(s.of, CountOf::Sts | CountOf::Kind(_)));
        let rest = stated.and_then(|s| (s.count as usize).checked_sub(self.tally.made)).filter(|&n| n > 0);
        match rest {
            // within a repeat the rest of the round is not this stitch's
            Some(n) if form.places() == 1 && each == 1 && self.bench.pass.is_empty() => {
                self.spaced_evenly(each, form, n, span);
                true
            }
            _ => false,
        }
    }

    /// The stitch that the row below is made of.
    pub(super) fn stitch_below(&self) -> StitchForm {
        let found = self.edge.spots.iter().find_map(|s| match (&s.what, s.place) {
            (What::Stitch(_), Place::Top { top, .. }) => Some(self.bench.fabric.stitch(top).stem()),
            _ => None,
        });
        StitchForm::plain(found.unwrap_or(Stem::Single))
    }
}
