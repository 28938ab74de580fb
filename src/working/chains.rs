//! Chains and what becomes of them: turning chain, space, branch, picot, ring, foundation.

use super::edge::{Spot, What};
use super::perimeter::SideOf;
use super::row::{LastPlace, RowWork};
use crate::craft::{Stem, StitchForm, turning_chains};
use crate::fabric::*;
use crate::instructions::{Act, Class, Step, Target};
use crate::source::{Code, Problem, Span};

impl RowWork<'_> {
    /// Chains: at the start of a row a turning chain or a first space, else held until the next stitch tells.
    pub(super) fn chain(&mut self, n: u32, span: Span, rest: &[Step]) {
        self.end_branch();
        if (self.group_place.is_none() || self.opening)
            && self.fresh
            && self.chains.is_empty()
            && !self.opens_petal(rest)
            && !self.opens_pass(n, rest)
            && self.starts_row(n, span, rest)
        {
            return;
        }
        let ids = self.bench.chains(self.row, n, Role::Space, span);
        self.chains.extend(ids);
        self.chains_span = span;
    }

    /// "*ch 1, sk 1, sc; rep from *": the first chain is a space, as in every pass.
    fn opens_pass(&self, n: u32, rest: &[Step]) -> bool {
        n == 1 && !self.bench.pass.is_empty() && matches!(rest.first().map(|s| &s.act), Some(Act::Skip { .. }))
    }

    /// "*ch 4, tr in ring, ch 4, sl st in ring; rep from *": the first chain is the side of a petal, as in every pass.
    fn opens_petal(&self, rest: &[Step]) -> bool {
        let slips = |s: &Step| matches!(&s.act, Act::Work { form, .. } if form.stem == Stem::SlipStitch);
        let ends = rest
            .split_last()
            .is_some_and(|(last, before)| slips(last) && before.iter().any(|s| matches!(s.act, Act::Chain { .. })));
        (!self.bench.pass.is_empty() || self.group_place.is_some()) && ends && told_counts(rest).is_none()
    }

    /// Handles the chain that opens a row; false where it is no turning chain.
    fn starts_row(&mut self, n: u32, span: Span, rest: &[Step]) -> bool {
        let rest = &rest[..rest.len().min(super::row::MOST_BEHIND)];
        if matches!(next_work(rest), Some((_, Target::FromHook { .. }))) {
            return false; // a branch worked out from where the last row ended
        }
        let next = next_stem(rest).unwrap_or(Stem::Single);
        let told = told_counts(rest);
        let told_space = told.map_or(0, |(_, space, _)| space);
        // "ch 6 (counts as tr, ch 2)" once: the next ch 6 before a stitch of another height is the same
        let height = u32::from(turning_chains(next));
        let as_before = self.bench.told_chains.get(&n).copied().filter(|_| told.is_none() && height > 1 && height != n);
        let stem = told
            .and_then(|(stem, ..)| stem)
            .or(as_before.map(|(stem, _)| stem))
            .or_else(|| self.convention_stem(n))
            .unwrap_or_else(|| tall_for(n, next));
        // "ch 3, 2-dc cluster in same sp": the chain is the cluster's first leg
        let leg = matches!(next_work(rest), Some((form, at)) if form.legs > 1
            && form.one_place
            && (*at == Target::Same || self.opening && *at == Target::NEXT));
        let (counts, space) = match told {
            None if leg => (false, 0),
            Some((_, space, counts)) => {
                self.bench.learn_told(n, next, counts);
                if counts && space > 0 {
                    self.bench.told_chains.insert(n, (stem, space));
                }
                (counts, space)
            }
            None if let Some((_, space)) = as_before => (true, space),
            None if self.stands_on_skipped(n, next, rest) => (self.doubt(span, 2, Code::TurningChain) == 1, 0),
            None => self.counts_untold(n, next, span),
        };
        let space = if counts && told_space == 0 {
            space.max(n.saturating_sub(u32::from(turning_chains(stem)).max(1)))
        } else {
            space
        };
        let space = if counts && told.is_some() && told_space == 0 { 0 } else { space };
        if !counts && n > 1 && !leg && matches!(next, Stem::Single | Stem::SlipStitch) && told.is_none() {
            // a loop from the start of the row, not a turning chain; where the yarn was tied on there, it stands on it
            if let (true, Some(LastPlace::OnEdge(k))) = (self.attached, self.last)
                && k == self.edge.cursor
                && matches!(next_work(rest), Some((_, Target::Next { .. })))
            {
                self.edge.take(k);
            }
            return false;
        }
        self.tally.turning_counts = Some(counts);
        self.tally.turning_stem = Some(next);
        let standing = n - space.min(n.saturating_sub(1));
        let ids = self.bench.chains(self.row, standing, Role::Turning, span);
        let Some(&top) = ids.last() else { return true };
        if counts {
            // "ch 84, join to form a ring. Rnd 1: ch 3, dc in each ch": it stands on the first of them
            let in_chains = matches!(
                next_work(rest),
                Some((_, Target::Each { class: Class::Chain, .. } | Target::Next { class: Class::Chain, .. }))
            );
            self.turning_stitch(top, stem, self.edge.closed && in_chains);
        } else {
            self.turning_top = Some(top);
        }
        self.first_turning = ids.first().copied();
        if space > 0 && space < n {
            let ids = self.bench.chains(self.row, n - standing, Role::Space, span);
            for id in &ids {
                self.bench.fabric.stitches[id.index()].also.push(Role::Turning);
            }
            self.chains = ids;
            self.chains_span = span;
        }
        true
    }

    /// True on a foundation of stitches, which has a first place to stand on.
    fn on_chainless(&self) -> bool {
        self.edge.spots.iter().any(|s| matches!(s.what, super::edge::What::Stitch(_)))
    }

    /// A turning chain that counts stands on the first place and is a stitch of the row.
    fn turning_stitch(&mut self, top: StitchId, stem: Stem, on_edge: bool) {
        let base = if let Some(place) = self.group_place {
            if let LastPlace::OnEdge(k) = place
                && k >= self.edge.cursor
            {
                self.edge.take(k);
            }
            Some(place)
        } else if self.travelled || self.attached && self.last.is_some() {
            if let Some(LastPlace::OnEdge(k)) = self.last {
                self.edge.take(k);
            }
            self.last
        } else if !on_edge && (self.ring.is_some() || self.foundation.is_some() && !self.on_chainless()) {
            self.ring.map(|ring| LastPlace::Off(Place::ring(ring)))
        } else {
            let k = self
                .edge
                .next_of(&Class::Any)
                .filter(|&k| k == self.edge.cursor)
                .or_else(|| self.edge.next_of(&Class::Space(None)));
            k.filter(|_| !self.edge.spots.is_empty()).map(|k| {
                self.edge.take(k);
                LastPlace::OnEdge(k)
            })
        };
        let place = base.filter(|b| self.is_there(*b)).map(|b| self.place_of(b));

        let stitch = &mut self.bench.fabric.stitches[top.index()];
        stitch.counts = true;
        stitch.stands_for = Some(stem);
        if let Some(place) = place {
            stitch.into = vec![place];
            stitch.legs[0].into = vec![place];
        }
        self.last = base;
        self.fresh = false;
        self.bench.fabric.rows[self.row.index()].order.push(top);
        self.made.push(self.bench.spot_of(top));
        self.count(stem.to_string());
    }

    /// "Ch 3, turn, skip first st, sc in next dc": taller than what follows, the chain may be a loop, or the stitch that
    /// stands on the one skipped.
    fn stands_on_skipped(&self, n: u32, next: Stem, rest: &[Step]) -> bool {
        let first = rest.iter().find(|s| !matches!(s.act, Act::Turn | Act::With { .. }));
        let skips = first.is_some_and(|s| match &s.act {
            Act::SkipFirst { class } => matches!(class, Class::Any | Class::Stitch | Class::Kind(_)),
            _ => false,
        });
        let told = self.conventions.iter().any(|c| c.chains == Some(n));
        skips && !told && !self.edge.closed && next == Stem::Single && (2..=3).contains(&n)
    }

    /// Whether an untold chain counts, and the chains of a space it holds besides.
    fn counts_untold(&mut self, n: u32, next: Stem, span: Span) -> (bool, u32) {
        let told = self.conventions.iter().rev().find(|c| {
            c.chains == Some(n) || c.chains.is_none() && c.stem.is_none_or(|s| u32::from(turning_chains(s)) == n)
        });
        if let Some(told) = told {
            return (told.counts, 0);
        }
        let height = u32::from(turning_chains(next));
        if n <= 1 || height <= 1 {
            return (false, 0);
        }
        let space = n.saturating_sub(height);
        self.bench.take_up_habit(n, next, span);
        if self.counts_in_doubt(span) { (true, space) } else { (false, 0) }
    }

    /// A chain tall enough to count, of which nothing is told: as assumed, else it counts where that works out.
    fn counts_in_doubt(&mut self, span: Span) -> bool {
        let told = self.bench.assumed.turning_chain_counts;
        told.unwrap_or_else(|| self.doubt(span, 2, Code::TurningChain) == 0)
    }

    fn convention_stem(&self, n: u32) -> Option<Stem> {
        self.conventions.iter().rev().find(|c| c.chains == Some(n) && c.counts).and_then(|c| c.stem)
    }

    /// Turns chains lying before a stitch into a space of the row.
    pub(super) fn chains_to_space(&mut self, corner: bool) {
        if self.chains.is_empty() {
            return;
        }
        let ids = std::mem::take(&mut self.chains);
        let length = ids.len() as u32;
        self.fresh = false;
        self.bench.fabric.rows[self.row.index()].order.extend(&ids);
        self.add_space(ids, length, corner);
    }

    pub(super) fn add_space(&mut self, ids: Vec<StitchId>, length: u32, corner: bool) {
        self.tally.chain_stitches += ids.len();
        // what goes into a ring makes no corner of its own
        let ring = matches!(self.group_place, Some(LastPlace::Off(Place::Ring { .. })));
        let spot = self.bench.space(ids, length, corner && !ring);
        *self.tally.spaces.entry(format!("ch-{length}")).or_default() += 1;
        self.made.push(spot);
    }

    // ---- the hook -------------------------------------------------------------------------

    /// "in 2nd ch from hook": of the foundation, or of a branch just chained.
    pub(super) fn at_hook(&mut self, each: u32, n: u32, form: StitchForm, span: Span, rest: &[Step]) {
        if !self.chains.is_empty() {
            return self.start_branch(each, n, form, span, rest);
        }
        let Some(k) = self.hook_place(n, form, span, rest) else { return };
        if !self.is_there(LastPlace::OnEdge(k)) {
            return self.no_place(span, "there is no chain at the hook to count from here");
        }
        self.stitches(each, form, LastPlace::OnEdge(k), span);
    }

    pub(super) fn stitches(&mut self, each: u32, form: StitchForm, place: LastPlace, span: Span) {
        self.stitches_in(each, form, &[place], span);
    }

    /// Takes the `n`th chain from the hook; what lies before it turns, and may count.
    pub(super) fn hook_place(&mut self, n: u32, form: StitchForm, span: Span, rest: &[Step]) -> Option<usize> {
        let Some(chain) = self.foundation.clone() else {
            self.bench.problems.push(
                Problem::new(Code::NoSuchPlace, span, "there is no chain at the hook to count from here")
                    .with_hint("a row worked on a chain needs the chain before it, such as \"Ch 14.\""),
            );
            self.stopped = true;
            return None;
        };
        let n = n as usize;
        if n == 0 || n > chain.len() {
            let message = format!("the foundation has {} ch, so there is no {} ch from hook", chain.len(), ordinal(n));
            self.bench.problems.push(Problem::new(Code::NoSuchPlace, span, message));
            self.stopped = true;
            return None;
        }
        let skipped = n - 1;
        if let (false, Some(again)) = (self.made.is_empty(), skipped.checked_sub(self.tally.skipped_at_hook)) {
            // counted from the hook a second time: the chains skipped are gone already
            self.edge.take(again);
            return (again < self.edge.spots.len()).then_some(again);
        }
        self.tally.skipped_at_hook = skipped;
        self.tally.on_chain = true;
        let told = told_counts(rest);
        let height = usize::from(turning_chains(form.stem));
        let counts = match told {
            Some((_, _, counts)) => counts,
            None if height < 2 || skipped < height.min(2) => false,
            None => match self.conventions.iter().rev().find(|c| {
                c.chains == Some(skipped as u32) || c.chains.is_none() && c.stem.is_none_or(|s| s == form.stem)
            }) {
                Some(told) => told.counts,
                None => self.counts_in_doubt(span),
            },
        };
        if !counts {
            self.turning_top = chain.last().copied();
        }
        for &id in &chain[chain.len() - skipped..] {
            self.bench.fabric.stitches[id.index()].role = Role::Turning;
        }
        self.tally.turning_counts = (skipped > 0).then_some(counts);
        self.tally.turning_stem = Some(form.stem);
        // the chains skipped are no places of this row
        self.edge.spots.drain(..skipped.min(self.edge.spots.len()));
        self.edge.cursor = 0;
        if counts && skipped > 0 {
            let stem = told.and_then(|(stem, ..)| stem).unwrap_or(form.stem);
            let height = usize::from(turning_chains(stem)).max(1);
            let space = match told {
                Some((_, space, _)) => space as usize,
                // open mesh: as many chains lie under the first space as the spaces of the row have
                None => first_chain(rest).filter(|&k| skipped == height + 2 * k || skipped == height + k).unwrap_or(0),
            };
            self.count_skipped(&chain, skipped, stem, space);
        }
        self.edge.take(0);
        Some(0)
    }

    /// The chains skipped at the hook stand for a stitch, and where there are more than it needs, for a space.
    fn count_skipped(&mut self, chain: &[StitchId], skipped: usize, stem: Stem, told_space: usize) {
        if told_space == skipped {
            // "(counts as ch-3 sp)": all of them are the loop, and no stitch
            let ids = chain[chain.len() - skipped..].to_vec();
            self.fresh = false;
            self.bench.fabric.rows[self.row.index()].order.extend(&ids);
            self.add_space(ids, told_space as u32, false);
            return;
        }
        let height = usize::from(turning_chains(stem)).max(1);
        let space = told_space.min(skipped.saturating_sub(1));
        let under = skipped.saturating_sub(height + space);
        let foot = chain.len() - skipped + under;
        // those under the space lie with the foundation, and the stitch rises at their end
        for &id in &chain[chain.len() - skipped..foot] {
            self.bench.fabric.stitches[id.index()].role = Role::Base;
        }
        let top = if space == 0 { chain[chain.len() - 1] } else { chain[(foot + height - 1).min(chain.len() - 1)] };
        let stitch = &mut self.bench.fabric.stitches[top.index()];
        stitch.counts = true;
        stitch.stands_for = Some(stem);
        self.fresh = false;
        self.bench.fabric.rows[self.row.index()].order.push(top);
        self.made.push(self.bench.spot_of(top));
        self.count(stem.to_string());
        if space > 0 {
            let from = chain.len() - space.min(skipped - 1);
            let ids: Vec<StitchId> = chain[from..].to_vec();
            self.bench.fabric.rows[self.row.index()].order.extend(&ids);
            self.add_space(ids, space as u32, false);
        }
    }

    // ---- rings ----------------------------------------------------------------------------

    pub(super) fn make_ring(&mut self, thread: bool, span: Span) {
        let mut ids = Vec::new();
        if !thread {
            ids = std::mem::take(&mut self.chains);
            if ids.is_empty() {
                ids = self.foundation.take().unwrap_or_default();
            }
            for id in &ids {
                self.bench.fabric.stitches[id.index()].role = Role::Base;
            }
            if let Some(&first) = ids.first() {
                let join = self.bench.make(
                    self.row,
                    StitchForm::plain(Stem::SlipStitch),
                    &[Place::chain(first)],
                    Role::Join,
                    span,
                );
                ids.push(join);
            }
        }
        let ring = RingId::new(self.bench.fabric.rings.len());
        self.bench.fabric.rings.push(Ring { row: self.row, ids });
        self.ring = Some(ring);
        self.bench.ring = Some(ring);
        self.foundation = None;
        self.leave_edge();
        self.fresh = true;
    }

    /// Goes off the edge: what was worked into there stays a place all the same.
    pub(super) fn leave_edge(&mut self) {
        let edge = std::mem::take(&mut self.edge);
        for held in [&mut self.last, &mut self.group_place] {
            if let Some(LastPlace::OnEdge(k)) = *held {
                *held = edge.spots.get(k).map(|spot| LastPlace::Off(spot.place));
            }
        }
    }

    /// Goes on into the far side of the foundation: every chain worked but the one at the end.
    pub(super) fn far_side(&mut self, span: Span) {
        self.end_branch();
        let there = (self.goes_round_piece() || self.on_opening()) && self.edge.ahead(&Class::Chain) > 0;
        if there || self.next_side(Some(SideOf::Foundation)).is_some() {
            return;
        }
        let Some(chain) = self.bench.foundation.clone().or_else(|| self.foundation.clone()) else {
            if self.along_bottom() {
                return;
            }
            self.bench.problems.push(Problem::new(
                Code::NoSuchPlace,
                span,
                "there is no foundation chain whose other side could be worked",
            ));
            self.stopped = true;
            return;
        };
        let worked = chain.len() - self.tally.skipped_at_hook.min(chain.len());
        // "sl st in last ch, ch 2, working along opposite side, sl st in next ch": the end chain may have a stitch on
        // either side of it
        let shared = usize::from(self.doubt(span, 2, Code::PlacesShort) == 0);
        self.edge
            .spots
            .extend(chain[..worked].iter().skip(shared).map(|&id| Spot::new(Place::underside(id), What::Chain)));
        self.tally.far_side = true;
        self.bench.both_sides = true;
    }
}

/// The first work behind a chain, and its place.
fn next_work(rest: &[Step]) -> Option<(StitchForm, &Target)> {
    for step in rest {
        match &step.act {
            Act::Work { form, at, .. } => return Some((*form, at)),
            Act::Group { steps, at, .. } => return next_work(steps).map(|(form, _)| (form, at)),
            Act::Repeat { steps, .. } => return next_work(steps),
            Act::Filet { .. } => return Some((super::filet::BAR, &super::filet::NEXT)),
            Act::Skip { .. }
            | Act::SkipFirst { .. }
            | Act::Turn
            | Act::DoNotTurn
            | Act::Counts { .. }
            | Act::With { .. }
            | Act::Attach { .. }
            | Act::OfRow { .. }
            | Act::RowEnds => {}
            _ => return None,
        }
    }
    None
}

/// The stem the opening chain is held against: that of the first work behind it, chains between passed over.
fn next_stem(rest: &[Step]) -> Option<Stem> {
    first_form(rest).map(|form| form.stem)
}

/// The first stitch worked, in groups and repeats too.
pub(super) fn first_form(steps: &[Step]) -> Option<StitchForm> {
    steps.iter().find_map(|s| match &s.act {
        Act::Work { form, .. } => Some(*form),
        Act::Group { steps, .. } | Act::Repeat { steps, .. } => first_form(steps),
        Act::Filet { .. } => Some(super::filet::BAR),
        _ => None,
    })
}

/// What the words right behind a chain tell of it.
pub(super) fn told_counts(rest: &[Step]) -> Option<(Option<Stem>, u32, bool)> {
    rest.iter().take_while(|s| matches!(s.act, Act::Counts { .. } | Act::Turn | Act::DoNotTurn)).find_map(|s| {
        match s.act {
            Act::Counts { stem, space, counts } => Some((stem, space, counts)),
            _ => None,
        }
    })
}

/// The stitch a chain of `n` stands for where nothing says: the one it turns for, else the next stitch's.
fn tall_for(n: u32, next: Stem) -> Stem {
    let height = u32::from(turning_chains(next));
    if n >= height && height >= 2 {
        return next;
    }
    match n {
        0 | 1 => Stem::Single,
        // many write "ch 2" for the dc of a row of dc
        2 if next == Stem::Tall(1) => next,
        2 => Stem::HalfDouble,
        n => Stem::Tall(u8::try_from(n - 2).unwrap_or(u8::MAX)),
    }
}

/// The length of the first chain made between the stitches of a row; those within a group part its own stitches.
fn first_chain(rest: &[Step]) -> Option<usize> {
    rest.iter().find_map(|s| match &s.act {
        Act::Chain { n } => Some(*n as usize),
        Act::Repeat { steps, .. } => first_chain(steps),
        _ => None,
    })
}

pub(super) fn ordinal(n: usize) -> String {
    crate::instructions::ordinal(u32::try_from(n).unwrap_or(u32::MAX))
}
