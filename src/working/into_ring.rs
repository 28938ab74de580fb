//! Stitches into a ring of thread or of chains.

use super::edge::{Spot, State, What};
use super::row::{LastPlace, RowWork};
use crate::craft::{Stem, StitchForm};
use crate::fabric::Place;
use crate::instructions::{Act, Class, Step, Target};
use crate::source::{Code, Span};

/// Places of the edge that a hanging loop is held by.
const MOST_HELD: usize = 2;

impl RowWork<'_> {
    /// The ring in hand; a thread ring is made where the words speak of one that is not there.
    pub(super) fn ring_place(&mut self, span: Span) -> Option<Place> {
        if self.ring.is_none() {
            let chains = self.foundation.is_some();
            self.make_ring(!chains, span);
        }
        self.leave_edge();
        self.ring.map(Place::ring)
    }

    /// "in loop" on a ring of thread: the ring.
    pub(super) fn means_ring(&self, at: &Target) -> bool {
        let bare = matches!(at, Target::Next { n: 1, class: Class::Space(None) });
        bare && self.ring.is_some() && !self.edge.spots.iter().any(Spot::is_space)
    }

    /// "Ch 10, sl st in next st, 15 sc in loop": where the row below has no such space, the loop just closed.
    pub(super) fn own_loop(&mut self, at: &Target) -> Option<Place> {
        let Target::Next { n: 1, class: class @ Class::Space(_) } = at else { return None };
        let own = self.made.iter().rev().take(2).find(|s| s.is_space() && s.is(class)).map(|s| s.place);
        // "ch 5, sc in loop": a chain not closed yet is no loop
        let closed = self.chains.is_empty() && !self.edge.spots.iter().any(Spot::is_space);
        let place = own.filter(|_| closed)?;
        // what hangs on the edge leaves the rest of it
        self.tally.leave_told |= self.edge.spots.iter().filter(|s| s.state == State::Used).count() <= MOST_HELD;
        Some(place)
    }

    /// "MR, 6 sc": nothing else is there that the stitches could go into. "Ch 4, join to form ring. Rnd 1: Ch 3, 11 dc":
    /// into the chains, where there are enough of them, else into the ring.
    pub(super) fn only_ring(&mut self, form: StitchForm, at: &Target) -> bool {
        let plain = matches!(at, Target::Next { class: Class::Any | Class::Stitch, .. }) && form.places() == 1;
        // a slip stitch behind the last stitch closes the round; one that is told again goes down into the ring
        let closes = form.stem == Stem::SlipStitch && (self.bench.pass.is_empty() || !self.edge.spots.is_empty());
        if !plain || closes || self.ring.is_none() {
            return false;
        }
        let of_chains = !self.edge.spots.is_empty() && self.edge.spots.iter().all(|s| s.what == What::Chain);
        let first = self.edge.cursor == 0 && self.edge.closed;
        let row = self.tally.body;
        self.edge.spots.is_empty() || of_chains && first && self.doubt(row, 2, Code::NoSuchPlace) == 1
    }

    pub(super) fn in_ring(&mut self, each: u32, form: StitchForm, span: Span) {
        if let Some(place) = self.ring_place(span) {
            self.stitches(each, form, LastPlace::Off(place), span);
        }
    }
}

/// "Ch 4, sl st in 4th ch from hook", with nothing below and nothing else: what would be a picot is a ring.
pub(super) fn chain_closed_alone(steps: &[Step]) -> Option<Vec<Step>> {
    let yarn = steps.iter().take_while(|s| matches!(s.act, Act::With { .. } | Act::Attach { .. })).count();
    let [Step { act: Act::Picot { n: n @ 3.. }, span }] = steps[yarn..] else { return None };
    let closed = [Act::Chain { n }, Act::Ring { thread: false }].map(|act| Step { act, span });
    Some(steps[..yarn].iter().cloned().chain(closed).collect())
}
