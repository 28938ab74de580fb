//! Stitches into a ring of thread or of chains.

use super::edge::Spot;
use super::row::{LastPlace, RowWork};
use crate::craft::StitchForm;
use crate::fabric::Place;
use crate::instructions::{Class, Target};
use crate::source::Span;

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

    pub(super) fn in_ring(&mut self, each: u32, form: StitchForm, span: Span) {
        if let Some(place) = self.ring_place(span) {
            self.stitches(each, form, LastPlace::Off(place), span);
        }
    }
}
