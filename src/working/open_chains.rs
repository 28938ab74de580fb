//! Chain spaces worked into chain by chain: a space is opened, and each of its chains becomes a place of its own.

use super::edge::{Spot, What};
use super::row::RowWork;
use crate::fabric::Place;
use crate::instructions::Class;

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
