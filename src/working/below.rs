//! Stitches into a row further down, into places skipped before, and into loops an earlier row left unused.

use super::edge::{LiveEdge, Spot, State, What};
use super::row::{LastPlace, RowWork};
use super::tally::is_kind;
use crate::craft::{LoopPart, StitchForm};
use crate::fabric::{Place, Role, RowId, SpaceId, StitchId};
use crate::instructions::{Act, Class, Step, Target};
use crate::source::Span;
use std::collections::{BTreeMap, BTreeSet};

/// Edges remembered below the one in hand; no stitch reaches further down.
pub(super) const DEEPEST_ROW: usize = 60;

/// Tops, with the part of each that the first stitch into it took, and spaces that stitches stand in.
#[derive(Default)]
pub(super) struct Used {
    pub(super) tops: BTreeMap<StitchId, LoopPart>,
    spaces: BTreeSet<SpaceId>,
}

impl Used {
    pub(super) fn holds(&self, place: &Place) -> bool {
        match place {
            Place::Top { top, .. } => self.tops.contains_key(top),
            Place::Space { space } => self.spaces.contains(space),
            _ => false,
        }
    }
}

impl RowWork<'_> {
    /// A stitch in a row `rows` below this one, in front of the place that is next.
    pub(super) fn work_below(
        &mut self,
        (each, form): (u32, StitchForm),
        (n, class): (u32, &Class),
        rows: u32,
        span: Span,
        rest: &[Step],
    ) {
        // where the words skip the place in front themselves, nothing more is passed
        let skips_behind = matches!(rest.first().map(|s| &s.act), Some(Act::Skip { .. }));
        let just_skipped = self.skipped.last().copied().filter(|k| k + 1 == self.edge.cursor);
        for _ in 0..n {
            let from = just_skipped.unwrap_or(self.edge.cursor);
            if from >= self.edge.spots.len() {
                return self.run_out(span, 1);
            }
            let found = (from..self.edge.spots.len())
                .filter_map(|i| Some((i, self.lower(i, rows)?)))
                .filter(|&(_, id)| Some(id) != self.last_below)
                .find(|&(_, id)| self.is_of(id, class));
            let loose = || self.lower(from, rows).map(|id| (from, id));
            let Some((i, id)) = found.or_else(loose) else {
                let message = format!("there is no {} {rows} rows below to work into", class.words(1));
                return self.no_place(span, &message);
            };
            self.last_below = Some(id);
            let front = self.edge.spots[i].place;
            let named = (self.named_stitches, self.named_spaces);
            self.stitches_in(each, form, &[LastPlace::Off(Place::top(id))], span);
            (self.named_stitches, self.named_spaces) = named;
            if let Some(&made) = self.bench.fabric.rows[self.row.index()].order.last() {
                self.bench.fabric.stitches[made.index()].covers = vec![front];
            }
            if !skips_behind && just_skipped.is_none() && i >= self.edge.cursor {
                self.named_stitches = true;
                self.edge.take(i);
            }
        }
    }

    fn is_of(&self, id: StitchId, class: &Class) -> bool {
        match class {
            Class::Kind(kind) => {
                let stitch = self.bench.fabric.stitch(id);
                is_kind(&stitch.kind, kind) || stitch.stands_for.is_some_and(|s| s.to_string() == *kind)
            }
            _ => true,
        }
    }

    /// The stitch that stands under a place of the edge, `rows` below this row.
    fn lower(&self, i: usize, rows: u32) -> Option<StitchId> {
        let mut at = i;
        let mut places: Vec<Place> = self.edge.spots.iter().map(|s| s.place).collect();
        for level in self.bench.levels.iter().rev().take(rows.saturating_sub(1).max(1) as usize) {
            at = self.under(&places, at, level)?;
            places = level.to_vec();
        }
        places.get(at)?.stitch()
    }

    /// Index on the edge below of what a place stands on; of a space, the middle of what it spans.
    fn under(&self, places: &[Place], at: usize, level: &[Place]) -> Option<usize> {
        let foot = |i: usize| -> Option<usize> {
            let id = places.get(i)?.stitch()?;
            let into = self.bench.fabric.stitch(id).into.first()?.stitch()?;
            level.iter().position(|p| p.stitch() == Some(into))
        };
        if let Some(k) = foot(at) {
            return Some(k);
        }
        let before = (0..at).rev().take(2).find_map(foot);
        let behind = (at + 1..places.len()).take(2).find_map(foot);
        match (before, behind) {
            (Some(a), Some(b)) => Some(usize::midpoint(a, b)),
            (a, b) => a.or(b),
        }
    }

    /// Stitches into places skipped before, across those worked since.
    pub(super) fn in_skipped(&mut self, (each, form): (u32, StitchForm), nth: Option<u32>, n: u32, span: Span) {
        if self.skipped.is_empty() && self.on_opening() {
            // what the row of the opening skipped
            let ahead = self.edge.spots[self.edge.cursor..].iter().take_while(|s| !s.is(&Class::Chain)).count();
            let n = if n == 0 { u32::try_from(ahead).unwrap_or(u32::MAX) } else { n };
            return self.work(each, form, &Target::Next { n, class: Class::Stitch }, span, &[]);
        }
        let n = if n == 0 { self.skipped.len() - self.skipped_used.min(self.skipped.len()) } else { n as usize };
        for i in 0..n {
            let k = match nth {
                Some(nth) => (nth as usize).checked_sub(1).and_then(|k| self.skipped.get(k + i)),
                None => self.skipped.get(self.skipped_used),
            };
            let Some(&k) = k else {
                return self.no_place(span, "no st was skipped before this one, so there is none to go back to");
            };
            self.skipped_used += 1;
            let (entered, gap, last) = (self.entered, self.last_gap, self.last);
            self.stitches_in(each, form, &[LastPlace::OnEdge(k)], span);
            (self.entered, self.last_gap) = (entered, gap);
            self.last = last.or(self.last);
            if let Some(&made) = self.bench.fabric.rows[self.row.index()].order.last() {
                self.bench.fabric.stitches[made.index()].extra.crossed = true;
            }
        }
    }

    /// "In back loops of rnd 3" right above round 3: its stitches, each by that loop.
    fn loops_of_last(&mut self, part: Option<LoopPart>, row: Option<u32>) -> bool {
        let last = self.bench.piece.iter().rev().find(|&&r| r != self.row).and_then(|&r| self.number_of(r));
        let (Some(wanted), true) = (part, row.is_some() && row == last) else { return false };
        for spot in &mut self.edge.spots {
            if let Place::Top { part, .. } = &mut spot.place {
                *part = wanted;
            }
        }
        true
    }

    /// One stitch over places told one by one: "dc3tog over next dc, ch-1 sp and last dc".
    pub(super) fn over_several(&mut self, (each, form): (u32, StitchForm), legs: &[Class], span: Span) {
        let mut places = Vec::new();
        for class in legs {
            let class = self.edge.searched(class);
            // "over next dc and 2 slip sts": on over what the round was carried past at its start
            match self.edge.next_of(&class).or_else(|| self.edge.past_the_start(&class)) {
                Some(k) => {
                    self.edge.take(k);
                    places.push(LastPlace::OnEdge(k));
                }
                None => self.run_out(span, 1),
            }
        }
        if !places.is_empty() {
            self.stitches_in(each, form, &places, span);
        }
    }

    /// Goes on into the loops that a round left unused: the front ones where it was worked into the back ones.
    pub(super) fn loops_of(&mut self, part: Option<LoopPart>, row: Option<u32>, span: Span) {
        let wanted = row;
        let used = self.bench.piece.first().map(|&r| self.used_since(r)).unwrap_or_default().tops;
        let found = self.bench.piece.iter().rev().find_map(|&r| {
            let row = self.bench.fabric.row(r);
            let named = wanted.is_none_or(|n| self.number_of(r) == Some(n));
            let spots: Vec<Spot> = row.order.iter().filter_map(|&id| self.left_loop(id, part, &used)).collect();
            // "in skipped sc of rnd 1": whole stitches that nothing stands on
            let spots = match part {
                None if spots.is_empty() && wanted.is_some() && named => self.unworked(&row.order, &used),
                _ => spots,
            };
            (named && !spots.is_empty()).then_some(spots)
        });
        match found {
            Some(spots) => {
                let closed = self.edge.closed;
                self.edge = LiveEdge::new(spots, closed);
                self.last = None;
                self.entered = None;
            }
            None if self.loops_of_last(part, wanted) => {}
            None => self.no_place(span, "there are no loops left unused there"),
        }
    }

    /// What the stitches of a row and those since stand in. What joins a round or carries the yarn takes nothing.
    pub(super) fn used_since(&self, row: RowId) -> Used {
        let stitches = &self.bench.fabric.stitches;
        let first = stitches.partition_point(|s| s.row < row);
        let ties = |role: Role| matches!(role, Role::Join | Role::Travel);
        let mut used = Used::default();
        for place in stitches[first..].iter().filter(|s| !ties(s.role)).flat_map(|s| &s.into) {
            match *place {
                Place::Top { top, part } => _ = used.tops.entry(top).or_insert(part),
                Place::Space { space } => _ = used.spaces.insert(space),
                _ => {}
            }
        }
        used
    }

    /// The loop of a stitch that no stitch was worked into, where its other loop was.
    fn left_loop(&self, id: StitchId, part: Option<LoopPart>, used: &BTreeMap<StitchId, LoopPart>) -> Option<Spot> {
        let used = *used.get(&id)?;
        let left = match used {
            LoopPart::Back => LoopPart::Front,
            LoopPart::Front => LoopPart::Back,
            _ => return None,
        };
        if part.is_some_and(|p| p != left) {
            return None;
        }
        let spot = self.bench.spot_of(id);
        Some(Spot { place: Place::Top { top: id, part: left }, ..spot })
    }

    /// The stitches of a row that were passed by: none stands on them, though some stand on others.
    fn unworked(&self, order: &[StitchId], used: &BTreeMap<StitchId, LoopPart>) -> Vec<Spot> {
        let open = |id: &&StitchId| {
            let stitch = self.bench.fabric.stitch(**id);
            !stitch.is_chain() && stitch.role == Role::Base && !used.contains_key(*id)
        };
        order.iter().filter(open).map(|&id| self.bench.spot_of(id)).collect()
    }

    /// Notes what was skipped, for stitches that go back to it.
    pub(super) fn note_skipped(&mut self, from: usize) {
        let skipped: Vec<usize> = (from..self.edge.cursor)
            .filter(|&i| self.edge.spots[i].state == State::Used && !matches!(self.edge.spots[i].what, What::Space(..)))
            .collect();
        if !skipped.is_empty() {
            self.skipped = skipped;
            self.skipped_used = 0;
        }
    }
}
