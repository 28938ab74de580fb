//! Joins, yarns, a change of edge, and the end of a row.

use super::edge::{LiveEdge, State, What};
use super::perimeter::SideOf;
use super::row::{LastPlace, RowWork};
use super::shapes::Found;
use crate::craft::{Stem, StitchForm};
use crate::fabric::*;
use crate::instructions::{Act, Class, JoinTo, Step, Target, Times};
use crate::source::Span;
use std::collections::BTreeMap;

/// How the spaces of one length came out.
#[derive(Default)]
struct Alike {
    /// One inside a group is used.
    used_in_group: bool,
    /// A plain one is used.
    used: bool,
    /// A plain one is passed by.
    passed: bool,
}

impl Alike {
    /// True where those used all stand inside a group.
    fn only_in_groups(&self) -> bool {
        self.used_in_group && !self.used
    }

    /// True where all the plain ones yet come to were passed by: the last of a round is passed as they were.
    fn all_passed(&self) -> bool {
        self.passed && !self.used
    }
}

impl RowWork<'_> {
    pub(super) fn join(&mut self, _to: JoinTo, with: StitchForm, span: Span) {
        self.end_branch();
        let first = self.made.iter().find(|s| !s.what.is_by_name()).cloned();
        let place = first.as_ref().map(|s| s.place).or_else(|| self.edge.spots.first().map(|s| s.place));
        if with.stem == Stem::SlipStitch {
            self.chains_to_space(false);
            if let Some(place) = place {
                self.bench.make(self.row, with, &[place], Role::Join, span);
            }
        } else {
            let chains = std::mem::take(&mut self.chains);
            let length = chains.len() as u32 + u32::from(crate::craft::turning_chains(with.stem));
            let mut ids = chains;
            if let Some(place) = place {
                ids.push(self.bench.make(self.row, with, &[place], Role::Space, span));
            }
            if !ids.is_empty() {
                self.bench.fabric.rows[self.row.index()].order.extend(&ids);
                self.add_space(ids, length, false);
                self.closed_tall = true;
            }
        }
        self.bench.event(EventKind::Join, None, true);
        self.joined = true;
        self.bench.fabric.rows[self.row.index()].joined = true;
    }

    /// "(counts as ch-4 sp)" behind a tall join: the space it closes is that long.
    pub(super) fn recount_closing(&mut self, length: u32) {
        let tall = self.bench.fabric.stitches.last().is_some_and(|s| s.role == Role::Space && !s.is_chain());
        if length == 0 || !tall || !self.joined {
            return;
        }
        if let (Some(space), Some(spot)) = (self.bench.fabric.spaces.last_mut(), self.made.last_mut()) {
            if let Some(n) = self.tally.spaces.get_mut(&format!("ch-{}", space.length)) {
                *n -= 1;
            }
            self.tally.spaces.retain(|_, n| *n > 0);
            *self.tally.spaces.entry(format!("ch-{length}")).or_default() += 1;
            space.length = length;
            spot.what = What::Space(length, false);
        }
    }

    pub(super) fn attach(&mut self, yarn: Option<&str>, at: Option<&Target>, span: Span) {
        let yarn = yarn.map_or_else(|| self.bench.yarn.clone(), str::to_owned);
        self.bench.yarns_on.retain(|y| *y != yarn);
        self.bench.take_yarn(&yarn, true);
        if let Some(
            Target::Each { class: Class::RowEnd, .. }
            | Target::Next { class: Class::RowEnd, .. }
            | Target::First { class: Class::RowEnd },
        ) = at
        {
            self.row_ends(span);
            if let Some(k) = self.edge.next_of(&Class::RowEnd) {
                self.last = Some(LastPlace::OnEdge(k));
            }
        } else if let Some(target) = at {
            let next = |class: &Class| self.edge.next_of(&self.edge.searched(class));
            let mut gap = None;
            let found = match target {
                Target::Next { class, .. } | Target::First { class } | Target::Last { class, .. } => next(class),
                _ => {
                    let part = self.edge.find_shape(&self.search(), target, &self.bench.fabric);
                    part.and_then(|part| part.first().copied()).map(|found| {
                        if let Found::Gap(_, place) = found {
                            gap = Some(LastPlace::Off(place));
                        }
                        found.index()
                    })
                }
            };
            if let Some(k) = found.or_else(|| next(&Class::Any)) {
                // the yarn hangs at this place: "same st" is it, and a round begins here
                if self.edge.closed && self.fresh {
                    self.edge.spots.rotate_left(k);
                    self.edge.cursor = 0;
                    self.edge.begun_in_gap = gap.is_some();
                } else {
                    self.edge.pass_to(k);
                    self.edge.cursor = k;
                }
                self.last = gap.or(Some(LastPlace::OnEdge(self.edge.cursor)));
                self.attached = true;
            }
        }
    }

    pub(super) fn change(&mut self, yarn: &str) {
        let before = self.bench.yarn.clone();
        self.bench.take_yarn(yarn, true);
        let last = self.bench.fabric.rows[self.row.index()].order.last().copied();
        if let Some(id) = last
            && before != yarn
        {
            self.bench.fabric.stitches[id.index()].colour_end = Some(yarn.to_owned());
        }
    }

    pub(super) fn row_ends(&mut self, span: Span) {
        if self.edge.spots.iter().any(|s| s.what == What::RowEnd) {
            if self.edge.ahead(&Class::RowEnd) == 0 {
                self.next_side(Some(SideOf::Ends));
            }
            return;
        }
        if self.set_out_round() {
            self.tally.on_chain = false;
            self.tally.leave_told = false;
            self.last = None;
            self.bench.fabric.rows[self.row.index()].shape = RowShape::Border;
            return;
        }
        let spots = super::row_ends::row_end_spots(self.bench);
        if spots.is_empty() && self.edge.closed && self.bench.pass.is_empty() && self.edge.ahead(&Class::All) > 0 {
            // "4 dc across the side" of a square worked in rounds: the side lies ahead
            return;
        }
        if spots.is_empty() && self.foundation.is_some() {
            // "along other side" of what is but a chain yet
            return self.far_side(span);
        }
        if spots.is_empty() && self.tally.uncertain {
            // along a piece that nothing here tells of
            return;
        }
        if spots.is_empty() {
            self.no_place(span, "there are no rows yet whose ends could be worked into");
            return;
        }
        self.edge = LiveEdge::new(spots, false);
        self.tally.on_chain = false;
        self.tally.leave_told = false;
        self.last = None;
        self.bench.fabric.rows[self.row.index()].shape = RowShape::Border;
    }

    /// Settles chains, branches and the tally, and hands the new edge to the bench.
    pub fn finish(mut self) {
        self.end_branch();
        if !self.chains.is_empty() {
            self.chains_to_space(false);
        }
        let closed = self.is_closed();
        self.come_home();
        // the last of rows that each leave their rest
        self.tally.leave_told |= self.bench.cut && self.bench.tallies.last().is_some_and(|t| t.leave_told);
        self.tally.opens_on_chain = self.opens_as_a_group();
        self.tally.openers = super::openers::counted(self.bench, &self.made);
        let in_ring = self.ring.is_some();
        let below: Vec<Place> = self.edge.spots.iter().map(|s| s.place).collect();
        self.settle_counts(closed);
        let kind = match (closed, self.joined) {
            (true, true) => Some(RowShape::Round),
            (true, false) => Some(RowShape::Spiral),
            _ => None,
        };
        let row = &mut self.bench.fabric.rows[self.row.index()];
        if let (Some(shape), false) = (kind, row.shape == RowShape::Border) {
            row.shape = shape;
        }
        self.tally.side = Some(row.side);
        if self.made.is_empty() && !self.edge.spots.is_empty() {
            self.bench.edge = std::mem::take(&mut self.edge).renewed(false);
        } else {
            let mut made = std::mem::take(&mut self.made);
            self.tally.alike = super::like_named::name_alike(&mut made, self.bench);
            // a tall join leaves the yarn in the middle of the last space: the next round begins there
            let tall = made.last().is_some_and(|s| self.closed_tall && s.is_space());
            if tall && closed {
                made.rotate_right(1);
            }
            self.bench.edge = LiveEdge::new(made, closed);
        }
        self.count_bridges();
        mark_corners(&mut self.bench.edge, &self.bench.fabric, in_ring);
        let clusters = |t: &super::Tally| t.kinds.keys().any(|k| super::tally::is_clustered(k));
        self.tally.clusters_known =
            clusters(&self.tally) || self.bench.tallies.last().is_some_and(|t| t.clusters_known || clusters(t));
        for stated in &self.tally.stated {
            if let crate::instructions::CountOf::Runs(n, kind) = &stated.of {
                let class = Class::Run { n: *n, kind: kind.clone() };
                let runs = self.bench.edge.shapes(&class, &self.bench.fabric).len();
                self.tally.runs.insert((*n, kind.clone()), runs);
            }
            let blocks = matches!(&stated.of, crate::instructions::CountOf::Group(name) if name.starts_with("block"));
            if blocks && let Some(filled) = self.bench.edge.filled_meshes(&self.bench.fabric) {
                self.tally.groups.entry("block".into()).or_insert(filled);
            }
        }
        self.bench.levels.push(below.into());
        if self.bench.levels.len() > super::below::DEEPEST_ROW {
            self.bench.levels.remove(0);
        }
        self.bench.last_turning = self.turning_top;
        self.bench.piece.push(self.row);
        self.bench.tallies.push(self.tally);
    }

    /// How the spaces of the edge came out, by their length.
    fn alike_by_length(&self) -> BTreeMap<u32, Alike> {
        let mut found: BTreeMap<u32, Alike> = BTreeMap::new();
        for spot in &self.edge.spots {
            let What::Space(length, in_group) = spot.what else { continue };
            let alike = found.entry(length).or_default();
            match spot.state {
                State::Used if in_group => alike.used_in_group = true,
                State::Used => alike.used = true,
                State::Passed if !in_group => alike.passed = true,
                State::Passed | State::Open => {}
            }
        }
        found
    }

    /// True for the underside of a chain with two stitches or more in it: where a round both sides of a chain began by
    /// turning its corner, it does not end in it.
    fn turned_in(&self, place: Place) -> bool {
        let Place::Underside { underside } = place else { return false };
        let order = &self.bench.fabric.rows[self.row.index()].order;
        let into = |id: &&crate::fabric::StitchId| {
            self.bench.fabric.stitch(**id).into.first() == Some(&Place::chain(underside))
        };
        self.tally.far_side && order.iter().filter(into).nth(1).is_some()
    }

    /// Ends of rows that took a fan in one place, as "7 dc in side of last dc" does: no more is worked there.
    fn crowded_ends(&self) -> Vec<(RowId, EdgeEnd)> {
        let order = &self.bench.fabric.rows[self.row.index()].order;
        let feet: Vec<Option<Place>> =
            order.iter().map(|&id| self.bench.fabric.stitch(id).into.first().copied()).collect();
        let fans = feet.chunk_by(|a, b| a == b).filter(|fan| fan.len() >= LEAST_FAN);
        fans.filter_map(|fan| end_of(fan[0]?)).collect()
    }

    /// "20 sc, ch 6, skip 6 [26 sts]": chains over a hole count one by one where the count stated needs them all, and
    /// are places one by one for the next row.
    fn count_bridges(&mut self) {
        let stated = self.tally.stated.iter().find(|s| s.of == crate::instructions::CountOf::Sts);
        let Some(wanted) = stated.map(|s| s.count as usize) else { return };
        let spaces = self.bench.edge.spots.iter().filter(|s| s.is_space());
        let chains: usize = spaces
            .filter_map(|s| match s.place {
                Place::Space { space } => Some(self.bench.fabric.spaces[space.index()].ids.len()),
                _ => None,
            })
            .sum();
        if self.bridged == 0 || chains != self.bridged || self.tally.made + chains != wanted {
            return;
        }
        let mut spots = Vec::with_capacity(wanted);
        for spot in std::mem::take(&mut self.bench.edge.spots) {
            match spot.place {
                Place::Space { space } if spot.is_space() => {
                    let ids = self.bench.fabric.spaces[space.index()].ids.clone();
                    for id in ids {
                        self.bench.fabric.stitches[id.index()].counts = true;
                        spots.push(super::edge::Spot::new(Place::chain(id), What::Chain));
                    }
                }
                _ => spots.push(spot),
            }
        }
        self.bench.edge.spots = spots;
        self.tally.made += chains;
        *self.tally.kinds.entry("ch".into()).or_default() += chains;
    }

    /// True where a chain opens the row as the first of a group, or a join does.
    fn opens_as_a_group(&self) -> bool {
        let fabric = &self.bench.fabric;
        // "join with sc in first sp, (ch 2, sc) in same sp": a group spelled out, like one that a chain opens
        let mut into = fabric.row(self.row).order.iter().filter_map(|&id| fabric.stitch(id).into.first());
        if self.attached && into.next().is_some_and(|place| into.next() == Some(place)) {
            return true;
        }
        // "ch 1, skip first sc, shell in next": so short a chain is part of no group
        let goes_on = |id: StitchId| fabric.stitches.get(id.index() + 1).is_some_and(|s| s.is_chain());
        let tall = |top: StitchId| super::openers::chain_below(self.bench, top).len() > 1;
        // one that counts is part of one only with the stitches beside it in its own place
        let counts = self.made.first().is_some_and(|s| matches!(s.what, What::Turning(_)));
        if counts && self.turning_top.is_none() {
            let stitches: Vec<_> = self.made.iter().filter(|s| !s.is_space()).take(2).map(|s| s.foot(fabric)).collect();
            return matches!(stitches.as_slice(), [Some(chain), Some(beside)] if chain == beside);
        }
        // nor is one that does not count a part of what has a name of its own
        let named = self.made.first().and_then(|s| s.group.as_ref()).is_some_and(|g| !g.name.is_empty());
        !named && (self.first_turning.or(self.turning_top).is_some_and(goes_on) || self.turning_top.is_some_and(tall))
    }

    pub(super) fn is_closed(&self) -> bool {
        self.joined
            || self.round_heading
                && (self.edge.closed || self.ring.is_some() || self.spiral_told || self.tally.offered.is_none())
    }

    pub(super) fn settle_counts(&mut self, _closed: bool) {
        if self.edge.spots.is_empty() {
            return;
        }
        let end = self.edge.cursor;
        let open: Vec<usize> =
            (0..self.edge.spots.len()).filter(|&i| self.edge.spots[i].state == State::Open).collect();
        // the skip that is not written may run on over what the round was carried past at its start
        let skipped = if self.skip_of_spaces && !self.named_stitches {
            open.iter().filter(|&&i| self.edge.spots[i].is_space()).count() == self.last_skip
        } else {
            open.len() == self.last_skip || open.len() + self.edge.spare.0 == self.last_skip
        };
        // a skip that is written at the end leaves none to be understood
        let written =
            self.skipped.last().is_some_and(|&k| self.entered.is_none_or(|entered| k > entered) && k + 1 == end);
        let closing_skip = self.joined && !written && open.iter().all(|&i| i >= end) && skipped && self.last_skip > 0;
        // what lies behind the last shape worked into is part of it, unless another such shape is left
        let shaped = self.shapes_done();
        let group = self.end_of_group();
        // "sc in first ch-4 sp, … sc in last ch-4 sp": what lies outside them is passed at either end
        let outside = self.edge.spots.iter().take_while(|s| s.state == State::Passed).count().max(1);
        let behind = open.iter().filter(|&&i| i >= end).count();
        let outside = self.last_space && !self.edge.closed && behind <= outside && behind == open.len();
        // words that name corner spaces alone pass the other spaces by
        let spaces_used = || self.edge.spots.iter().filter(|s| s.state == State::Used && s.is_space());
        let corners_only =
            spaces_used().next().is_some() && spaces_used().all(|s| matches!(s.what, What::Space(_, true)));
        let crowded = self.crowded_ends();
        // the places of the layer behind: as many as those in front, or one at the fold more
        let used = self.edge.spots.iter().filter(|s| s.state == State::Used).count();
        let behind_layer = self.both_layers && open.len() <= used + 2;
        let last_kind = self.edge.used_to_the_last(&self.kinds);
        let mut alike = self.alike_by_length();
        for &i in &open {
            if end_of(self.edge.spots[i].place).is_some_and(|end| crowded.contains(&end)) {
                self.edge.spots[i].state = State::Passed;
                continue;
            }
            if self.tally.leave_told || behind_layer {
                self.edge.spots[i].state = State::Used;
                continue;
            }
            if self.turned_in(self.edge.spots[i].place) {
                self.edge.spots[i].state = State::Passed;
                continue;
            }
            let plain_space = match self.edge.spots[i].what {
                What::Space(length, false) => alike.get_mut(&length),
                _ => None,
            };
            let named = if self.edge.spots[i].is_space() {
                let in_groups = plain_space.as_ref().is_some_and(|alike| corners_only || alike.only_in_groups());
                self.named_spaces && !in_groups
            } else {
                self.named_stitches
            };
            let tip = self.edge.spots[i].what.is_by_name();
            // what was slipped into is seldom worked again, and no loss where it is not
            let slipped = matches!(&self.edge.spots[i].what, What::Stitch(kind) if kind == "sl st");
            let by_kind = last_kind.is_some_and(|last| i > last)
                || i >= end && plain_space.as_ref().is_some_and(|alike| alike.all_passed());
            let pass =
                closing_skip || by_kind || tip || slipped || outside || i >= end && (!named || shaped || i < group);
            if pass {
                self.edge.spots[i].state = State::Passed;
                if let Some(alike) = plain_space {
                    alike.passed = true;
                }
            }
        }
        // a branch's tip and a chain's end are places only to words that name them
        let unnamed = |s: &super::edge::Spot| s.what.is_by_name() && s.state != State::Used;
        self.edge.spots.retain(|s| !unnamed(s));
        let count = |state: State| self.edge.spots.iter().filter(|s| s.state == state).count();
        let (used, passed, left) = (count(State::Used), count(State::Passed), count(State::Open));
        if closing_skip || left == 0 {
            self.tally.remainder = None;
        }
        self.tally.passed += passed;
        self.tally.left = left;
        self.tally.left_turning =
            left == 1 && self.edge.spots.iter().any(|s| s.state == State::Open && matches!(s.what, What::Turning(_)));
        let over = self.tally.used.unwrap_or(0);
        self.tally.used = Some(used.saturating_add(over));
        self.tally.offered = Some(self.edge.spots.len() - passed + self.away.used);
    }
}

/// The row, and which of its ends, that a place is.
fn end_of(place: Place) -> Option<(RowId, EdgeEnd)> {
    match place {
        Place::RowEnd { row_end } => Some((row_end.row, row_end.edge)),
        _ => None,
    }
}

/// A space whose neighbours stand in one place turns a corner, as does every space of a round worked into a ring.
fn mark_corners(edge: &mut LiveEdge, fabric: &Fabric, in_ring: bool) {
    let n = edge.spots.len();
    // "shell, ch 1" round a ring: the wider spaces are the corners
    let widest = if in_ring { edge.widest_of_few() } else { None };
    let wide = |i: usize| widest.is_none_or(|n| edge.spots[i].is(&Class::Space(Some(n))));
    let stands = |i: usize| edge.spots[i].foot(fabric);
    let corners: Vec<usize> = (0..n)
        .filter(|&i| edge.spots[i].is_space())
        .filter(|&i| {
            let before = if i > 0 { Some(i - 1) } else { edge.closed.then_some(n - 1) };
            let behind = if i + 1 < n { Some(i + 1) } else { edge.closed.then_some(0) };
            let one_place = match (before.and_then(stands), behind.and_then(stands)) {
                // or "ch 1" between two sides of a border
                (Some(a), Some(b)) => a == b || matches!(a, Place::RowEnd { .. }) != matches!(b, Place::RowEnd { .. }),
                _ => false,
            };
            if in_ring { wide(i) } else { one_place }
        })
        .collect();
    for i in corners {
        if let What::Space(_, corner) = &mut edge.spots[i].what {
            *corner = true;
        }
    }
}

/// Chains with a skip of as many places beside them: "ch 6, skip next 6 sts".
pub(super) fn bridged(steps: &[&Step]) -> usize {
    let pair = |a: &Act, b: &Act| match (a, b) {
        (Act::Chain { n }, Act::Skip { n: skipped, class }) | (Act::Skip { n: skipped, class }, Act::Chain { n }) => {
            let stitches = !matches!(class, Class::Space(_));
            (n == skipped && stitches && *n >= LEAST_BRIDGE).then_some(*n as usize)
        }
        _ => None,
    };
    steps.windows(2).filter_map(|w| pair(&w[0].act, &w[1].act)).sum()
}

/// Places that the last words of a row stop before: "rep from * to last 2 sc. Turn."
pub(super) fn stops_before(steps: &[&Step]) -> usize {
    match steps.iter().rev().find(|s| s.act.works()).map(|s| &s.act) {
        Some(Act::Work { at: Target::Each { less, .. }, .. } | Act::Group { at: Target::Each { less, .. }, .. }) => {
            *less as usize
        }
        Some(Act::Repeat { times: Times::ToEnd { less, .. }, .. }) => *less as usize,
        _ => 0,
    }
}

/// Chains of the smallest hole that is counted chain by chain.
const LEAST_BRIDGE: u32 = 3;

/// Stitches of the smallest fan.
const LEAST_FAN: usize = 4;
