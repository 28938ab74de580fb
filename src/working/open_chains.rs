//! Chain spaces worked into chain by chain: a space is opened, and each of its chains becomes a place of its own.

use super::edge::{Spot, State, What};
use super::row::{LastPlace, RowWork};
use crate::fabric::Place;
use crate::instructions::Class;
use crate::source::{Code, Span};

impl RowWork<'_> {
    /// Where the words name chains and only spaces lie ahead, each chain of a space is a place of its own.
    pub(super) fn open_chains(&mut self, class: &Class) {
        let from = self.edge.cursor.min(self.edge.spots.len());
        let ahead = &self.edge.spots[from..];
        let all = *class == Class::AllChains;
        let asked = all || *class == Class::Chain && !ahead.iter().any(|s| s.what == What::Chain);
        if !asked || !ahead.iter().any(Spot::is_space) {
            return;
        }
        self.open_spaces(usize::MAX);
    }

    /// The same for the next `n` chains: no more spaces are opened than hold them, since later words may name a space.
    pub(super) fn open_next_chains(&mut self, class: &Class, n: usize) {
        if *class != Class::Chain {
            return self.open_chains(class);
        }
        while self.edge.ahead(class) < n && self.edge.ahead(&Class::Space(None)) > 0 {
            self.open_spaces(1);
        }
    }

    /// Opens the next so many spaces.
    fn open_spaces(&mut self, mut most: usize) {
        let from = self.edge.cursor.min(self.edge.spots.len());
        let tail = self.edge.spots.split_off(from);
        for spot in tail {
            match spot.place {
                Place::Space { space } if spot.is_space() && most > 0 => {
                    most -= 1;
                    let ids = self.bench.fabric.spaces[space.index()].ids.clone();
                    self.edge.spots.extend(ids.into_iter().map(|id| Spot::new(Place::chain(id), What::Chain)));
                }
                _ => self.edge.spots.push(spot),
            }
        }
    }
}

impl RowWork<'_> {
    /// "dc in each st across" over dc and ch-1 sps: the spaces are stitches to some, where that makes what is stated.
    pub(super) fn with_narrow_spaces(&mut self, class: &Class, span: Span) -> Class {
        let narrow = |s: &Spot| matches!(s.what, What::Space(1, _));
        let ahead = self.edge.spots.get(self.edge.cursor..self.edge.end()).unwrap_or_default();
        let told = !self.tally.stated.is_empty() || self.bench.settled_answer(span) == 1;
        let asks = *class == Class::Stitch && ahead.iter().any(narrow) && told;
        if asks && self.doubt(span, 2, Code::CountDiffers) == 1 { Class::All } else { class.clone() }
    }

    /// "sc in each sc around" over sc and a dc4tog among them: a stitch that joins others is one of the row.
    pub(super) fn with_joined(&self, class: &Class) -> Class {
        let ahead = self.edge.spots.get(self.edge.cursor..self.edge.end()).unwrap_or_default();
        let stitches = || ahead.iter().filter(|s| s.is(&Class::Stitch));
        let joins = |s: &Spot| matches!(&s.what, What::Stitch(kind) if kind.ends_with("tog"));
        let named = stitches().filter(|s| s.is(class)).count();
        let only = stitches().all(|s| s.is(class) || joins(s));
        if matches!(class, Class::Kind(_)) && only && named * 2 > stitches().count() {
            Class::Stitch
        } else {
            class.clone()
        }
    }

    /// What a round passed over at its start lies at its end: "each sc around" comes to it last.
    pub(super) fn put_start_behind(&mut self, class: &Class, span: Span) {
        let whole = self.edge.closed && self.edge.fence.is_none() && !self.attached;
        let passed = self.edge.spots.iter().take_while(|s| s.state == State::Passed).count();
        let used = self.edge.spots.get(passed).is_some_and(|s| s.state == State::Used);
        let meant = whole && used && self.last_gap.is_none() && self.edge.spots[..passed].iter().any(|s| s.is(class));
        // slip stitches that carried the yarn lie on those, and a pattern may count them as done with
        if meant && (!self.travelled || self.doubt(span, 2, Code::PlacesLeft) == 0) {
            for spot in &mut self.edge.spots[..passed] {
                spot.state = State::Open;
            }
            self.edge.spots.rotate_left(passed);
            self.edge.cursor -= passed;
            let moved = |k: usize| if k >= passed { k - passed } else { k + self.edge.spots.len() - passed };
            if let Some(LastPlace::OnEdge(k)) = self.last {
                self.last = Some(LastPlace::OnEdge(moved(k)));
            }
            self.entered = self.entered.map(moved);
            self.skipped = self.skipped.iter().map(|&k| moved(k)).collect();
        }
    }
}
