//! Markers: placed on what was just made, found again as places, carried along by what is worked into them.

use super::bench::Bench;
use super::edge::What;
use super::row::{LastPlace, RowWork};
use crate::fabric::Place;
use crate::instructions::{Act, Class, Step, Target, Times};
use crate::source::{Code, Problem, Severity};

impl RowWork<'_> {
    /// Marks the stitch, or the chain, that many back from the last one made.
    pub(super) fn mark(&mut self, back: u32) {
        if let (0, Some(&chain)) = (back, self.chains.last()) {
            self.bench.marked_chains.push(chain);
            return;
        }
        if let Some(carried) = self.carried_mark.take()
            && carried + MOST_IN_ONE > self.made.len()
        {
            // told where the marker goes, it does not go there by itself
            self.made[carried].marked = false;
        }
        let stitches = self.made.iter_mut().rev().filter(|s| !s.is_space());
        if let Some(spot) = stitches.take(back as usize + 1).last() {
            spot.marked = true;
        }
    }

    /// Opens the spaces that hold marked chains, where the row's words name marked places.
    pub(super) fn open_marked(&mut self, steps: &[Step]) {
        if self.bench.marked_chains.is_empty() || !names_marks(steps) {
            return;
        }
        let spots = std::mem::take(&mut self.edge.spots);
        for spot in spots {
            let chains = match (&spot.what, spot.place) {
                (What::Space(..), Place::Space { space }) => self.bench.fabric.spaces[space.index()].ids.clone(),
                _ => Vec::new(),
            };
            if chains.iter().any(|id| self.bench.marked_chains.contains(id)) {
                self.edge.spots.extend(chains.into_iter().map(|id| {
                    let mut chain = super::edge::Spot::new(Place::chain(id), What::Chain);
                    chain.marked = self.bench.marked_chains.contains(&id);
                    chain
                }));
            } else {
                self.edge.spots.push(spot);
            }
        }
    }

    /// A marker goes up with the stitches worked into its place, from `from` on: at an
    /// increase beside another marker, to the stitch on that side.
    pub(super) fn carry_mark(&mut self, place: Option<&LastPlace>, from: usize) {
        let Some(&LastPlace::OnEdge(k)) = place else { return };
        let marked = |k: usize| self.edge.spots.get(k).is_some_and(|s| s.marked);
        if !marked(k) || from >= self.made.len() {
            return;
        }
        let beside = k > 0 && marked(k - 1);
        let at = if beside { from } else { self.made.len() - 1 };
        self.made[at].marked = true;
        self.carried_mark = Some(at);
    }
}

/// Stitches worked into one place at most before words that place a marker speak of others.
const MOST_IN_ONE: usize = 8;

/// "To marker" where no marker was placed in words: what comes of it is uncertain, and an error where the row states a
/// count that cannot be held against it.
pub(super) fn miss_markers(bench: &mut Bench, steps: &[&Step], counted: bool) {
    let owned: Vec<Step> = steps.iter().map(|s| (*s).clone()).collect();
    let any = !bench.marked_chains.is_empty() || bench.edge.spots.iter().any(|s| s.marked);
    if any || bench.uncertain || !names_marks(&owned) {
        return;
    }
    let span = owned.iter().find(|s| names_marks(std::slice::from_ref(s))).map(|s| s.span).unwrap_or_default();
    let problem = Problem::new(Code::NoSuchPlace, span, "no marker was placed that these words could mean")
        .with_hint("say in the row before which stitch is marked, such as \"place marker in last sc\"");
    bench.problems.push(if counted { problem } else { problem.with_severity(Severity::Warning) });
    bench.uncertain = !counted;
}

/// True where the steps name marked places.
fn names_marks(steps: &[Step]) -> bool {
    let target = |at: &Target| match at {
        Target::Next { class, .. } | Target::First { class } | Target::Last { class, .. } => *class == Class::Marked,
        Target::Each { class, .. } => *class == Class::Marked,
        Target::UpTo { stop, .. } => matches!(**stop, Target::Next { class: Class::Marked, .. }),
        _ => false,
    };
    steps.iter().any(|s| match &s.act {
        Act::Work { at, .. } => target(at),
        Act::Group { steps, at, .. } => target(at) || names_marks(steps),
        Act::Repeat { steps, times, .. } => {
            let stop =
                matches!(times, Times::UpTo { stop } if matches!(**stop, Target::Next { class: Class::Marked, .. }));
            stop || names_marks(steps)
        }
        _ => false,
    })
}
