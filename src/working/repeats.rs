//! Repeats: so many times, to the end, up to a place.

use super::by_kind::{named_kinds, rest_has_no_place};
use super::perimeter::SIDES;
use super::row::RowWork;
use crate::craft::Stem;
use crate::instructions::{Act, Class, Step, Target, Times};
use crate::source::{Code, Problem, Span};

impl RowWork<'_> {
    /// Ends a pass of a repeat; the outermost are counted, since a row may state how often its repeat is worked.
    fn end_pass(&mut self) {
        if let (Some(n), true) = (self.bench.pass.pop(), self.bench.pass.is_empty()) {
            match self.tally.passes.last_mut() {
                Some(passes) if n > 1 => *passes = n as usize,
                _ => self.tally.passes.push(n as usize),
            }
        }
    }

    /// How often "n times more" is in all.
    pub(super) fn more(&self, n: u32) -> usize {
        n as usize + usize::from(!self.bench.assumed.more_in_all)
    }

    pub(super) fn repeat(&mut self, steps: &[Step], times: &Times, stop: Option<usize>, span: Span, rest: &[Step]) {
        // "…, ch 3; rep from * across, ending with ch 1, dc in top of tch": that chain is in the place of the last
        let ends_on = |steps: &[Step]| matches!(steps.last().map(|s| &s.act), Some(Act::Chain { .. }));
        let chained = matches!(rest, [Step { act: Act::Ending, .. }, Step { act: Act::Chain { .. }, .. }, ..]);
        let stop = stop.or((chained && steps.len() > 1 && ends_on(steps)).then(|| steps.len() - 1));
        self.tally.begun_before |= self.tally.passes.is_empty() && self.bench.pass.is_empty() && !self.made.is_empty();
        let n = match times {
            Times::InAll(n) => *n as usize,
            Times::More(n) => self.more(*n),
            Times::Doubt(n) => {
                let told = self.bench.assumed.repeat_more;
                let more = told.unwrap_or_else(|| self.doubt(span, 2, Code::RepeatRemainder) == 0);
                *n as usize + usize::from(more)
            }
            Times::ToEnd { less, class: class @ (Class::Group(_) | Class::Run { .. }) } if *less > 0 => {
                // "to last 2 shells"
                let place = Target::Last { n: *less, class: class.clone() };
                return self.up_to(&place, span, |work| {
                    let rest = if work.edge.fence.is_some() { &[] } else { rest };
                    work.repeat_to_end(steps, 0, &Class::Any, stop, span, rest);
                });
            }
            // "*5 sc along side, 3 sc in corner; rep from * around" of a flat piece
            Times::ToEnd { less: 0, .. } if self.goes_side_by_side(steps) => SIDES,
            Times::ToEnd { less, class } => return self.repeat_to_end(steps, *less as usize, class, stop, span, rest),
            Times::Along => return self.along_each(steps, rest),
            Times::UpTo { stop: place } => {
                return self.up_to(place, span, |work| {
                    let rest = if work.edge.fence.is_some() { &[] } else { rest };
                    work.repeat_to_end(steps, 0, &Class::Any, stop, span, rest);
                });
            }
        };
        for pass in 0..n {
            let last = pass + 1 == n;
            let over = self.tally.ran_out.is_some();
            if over {
                // the rest of the passes only count what they would ask for
                let need = self.need(steps);
                let more = (n - pass).saturating_mul(need.stitches + need.spaces);
                *self.tally.used.get_or_insert(0) = self.tally.used.unwrap_or(0).saturating_add(more);
                self.tally.made = self.tally.made.saturating_add((n - pass).saturating_mul(need.made));
                return;
            }
            let before = (self.edge.cursor, self.bench.fabric.stitches.len(), self.tally.used, self.tally.made);
            self.bench.pass.push(u32::try_from(pass + 1).unwrap_or(u32::MAX));
            match stop {
                Some(stop) if last => self.run(&steps[..stop.min(steps.len())]),
                _ => self.run(steps),
            }
            self.end_pass();
            if self.bench.limit_hit || self.stopped {
                return;
            }
            if before == (self.edge.cursor, self.bench.fabric.stitches.len(), self.tally.used, self.tally.made) {
                // a pass that does nothing does nothing however often
                return;
            }
        }
    }

    pub(super) fn repeat_to_end(
        &mut self,
        steps: &[Step],
        less: usize,
        less_of: &Class,
        stop: Option<usize>,
        span: Span,
        rest: &[Step],
    ) {
        if let Some((row, plain)) = super::of_row::all_of_one(steps) {
            self.of_row(row, &plain);
            let plain_to = |k: usize| steps.iter().take(k).filter(|s| !matches!(s.act, Act::OfRow { .. })).count();
            return self.repeat_to_end(&plain, less, less_of, stop.map(plain_to), span, rest);
        }
        if super::walk::by_shape(steps) {
            return self.repeat_by_shape(steps, less, less_of, stop, span, rest);
        }
        for step in steps {
            // asked before the repeat is measured: the answer changes what it takes
            if let Act::Work { each: 1, at, .. } = &step.act
                && two_in_one(at)
                && !self.tally.stated.is_empty()
            {
                self.doubt(step.span, 2, Code::CountDiffers);
            }
        }
        let need = self.need(steps);
        let part = stop.map(|s| self.need(&steps[..s.min(steps.len())]));
        if need.stitches + need.spaces == 0 && !need.open_ended {
            self.bench.problems.push(Problem::new(
                Code::RepeatRemainder,
                span,
                "this repeat works into nothing, so it never comes to the end",
            ));
            self.stopped = true;
            return;
        }
        let (stitches_kept, spaces_kept) = match (less, less_of) {
            (0, _) => self.reserve_both(rest),
            (_, Class::Space(_) | Class::Corner(_) | Class::OpeningSpace) => (0, less),
            // "to last 3 sts" of stitches and spaces in turn, where the words behind take so many of both
            (_, Class::Stitch | Class::Any)
                if let (stitches, spaces @ 1..) = self.reserve_both(rest)
                    && stitches + spaces == less =>
            {
                (stitches, spaces)
            }
            // "across to turning ch, 3 dc in turning ch sp": its space is left as well
            _ => (less, usize::from(super::openers::any_into_opening(rest))),
        };
        let chained = need.chains > 0 && need.spaces == 0;
        let kinds = if less == 0 && rest_has_no_place(rest) { named_kinds(steps) } else { Vec::new() };
        let lengths = spaces_by_length(steps);
        let mut enough = self.last_with_spaces(&lengths);
        let mut last_named = self.edge.last_of(&kinds);
        let mut pass = 0u32;
        let mut petals = stitches_kept == 0 && self.petals_in_same(steps);
        let mut room = self.room();
        let mut counted = self.edge.cursor;
        let mut length = self.edge.spots.len();
        loop {
            if self.edge.spots.len() == length {
                // what the last pass went past is no longer ahead
                for spot in self.edge.spots.get(counted..self.edge.cursor).unwrap_or_default() {
                    room.0 = room.0.saturating_sub(usize::from(spot.is(&Class::Any)));
                    room.1 = room.1.saturating_sub(usize::from(spot.is_space()));
                }
            } else {
                // the pass opened a space into its chains, or took up row ends
                (room, length) = (self.room(), self.edge.spots.len());
                last_named = self.edge.last_of(&kinds);
                enough = self.last_with_spaces(&lengths);
            }
            counted = self.edge.cursor;
            // "skip next 3 ch, sc in next ch": the chains of spaces still to be opened are room as well
            let ahead = room.0 + if chained { self.chains_ahead() } else { 0 };
            let fits = |n: &Need| n.stitches + stitches_kept <= ahead && n.spaces + spaces_kept <= room.1;
            // the slip stitch that ends the last pass may go into the place the round set out from
            let closes = need.stitches > 1
                && need.stitches + stitches_kept == ahead + 1
                && need.spaces + spaces_kept <= room.1
                && self.comes_round(steps)
                || need.stitches == ahead + 1 && need.spaces == 0 && std::mem::take(&mut petals);
            // "*sc in next dc, ch 3; rep from * around": behind the last dc there is none
            let gone = last_named.is_some_and(|k| k < self.edge.cursor);
            // "sc in next ch-1 sp" where wider ones are still ahead
            let gone = gone || enough.is_some_and(|k| k < self.edge.cursor);
            let whole = (fits(&need) || closes) && !gone;
            let one_more_after = part.as_ref().is_none_or(|p| {
                p.stitches + need.stitches + stitches_kept <= ahead && p.spaces + need.spaces + spaces_kept <= room.1
            });
            pass += 1;
            self.bench.pass.push(pass);
            let before = self.edge.cursor;
            match (&part, stop) {
                (Some(part), Some(stop)) if !(whole && one_more_after) => {
                    if fits(part) {
                        self.run(&steps[..stop.min(steps.len())]);
                        self.end_pass();
                    } else {
                        self.bench.pass.pop();
                    }
                    break;
                }
                _ if whole => self.run(steps),
                _ => {
                    self.bench.pass.pop();
                    break;
                }
            }
            self.end_pass();
            if self.bench.limit_hit || self.stopped || self.edge.cursor == before {
                return;
            }
        }
        if less == 0 && stop.is_none() {
            self.end_last_pass(steps, rest);
        }
        if less == 0 && stop.is_none() && pass > 1 && need.spaces == 1 && need.stitches == 0 {
            self.come_back_to_the_start(steps, span, rest);
        }
        // "rep from * around" may stop part-way as well in lace, where only that makes what the row states
        let lace = (holds_chain(steps) || need.spaces > 0) && !self.tally.stated.is_empty();
        let open = |room: (usize, usize)| room.0 > stitches_kept || room.1 > spaces_kept;
        let part_way = lace
            && less == 0
            && open(self.room())
            && self.reserve_all(rest) == 0
            && self.doubt(span, 2, Code::RepeatRemainder) == 1;
        // "to last ch sp" of spaces opened into their chains: the rest of that space is what stays
        let kept_open = chained && spaces_kept > 0;
        if (less > 0 && !kept_open || part_way) && stop.is_none() {
            self.part_of_pass(steps, stitches_kept, spaces_kept);
        }
        let room = self.room();
        let over =
            if need.stitches > 0 { room.0.saturating_sub(stitches_kept) } else { room.1.saturating_sub(spaces_kept) };
        let gone = last_named.is_some_and(|k| k < self.edge.cursor);
        if over > 0 && !gone && self.reserve_all(rest) == 0 {
            self.tally.remainder.get_or_insert((span, need.stitches + need.spaces));
        }
    }

    /// True where a round set out from a place that it has not used, and the repeat ends with a slip stitch.
    fn comes_round(&self, steps: &[Step]) -> bool {
        let slips = |s: &Step| matches!(&s.act, Act::Work { each: 1, form, at: Target::Next { n: 1, .. } } if form.stem == Stem::SlipStitch);
        // "sl st in sl st between points": the last of them is the one that joined the round
        let joins = |s: &Step| matches!(&s.act, Act::Work { at: Target::Next { class: Class::Kind(kind), .. }, .. } if kind == "sl st");
        let set_out = self.edge.spots.first().is_some_and(|s| s.state != super::edge::State::Used)
            || steps.last().is_some_and(joins);
        self.edge.closed && set_out && self.edge.cursor > 0 && steps.last().is_some_and(slips)
    }

    /// A repeat whose places are named by shape: as often as its words find theirs ahead.
    fn repeat_by_shape(
        &mut self,
        steps: &[Step],
        less: usize,
        less_of: &Class,
        stop: Option<usize>,
        span: Span,
        rest: &[Step],
    ) {
        let part = stop.map(|s| &steps[..s.min(steps.len())]);
        let mut pass = 0u32;
        while !self.bench.limit_hit && !self.stopped {
            let twice: Vec<Step> = steps.iter().chain(part.unwrap_or_default()).cloned().collect();
            let whole = self.pass_fits(&twice, less, less_of, rest);
            let last = part.filter(|p| !whole && self.pass_fits(p, less, less_of, rest));
            if !whole && last.is_none() {
                break;
            }
            pass += 1;
            self.bench.pass.push(pass);
            let before = (self.edge.cursor, self.last_gap);
            self.run(last.unwrap_or(steps));
            self.end_pass();
            if last.is_some() || (self.edge.cursor, self.last_gap) == before {
                break;
            }
        }
        if pass > 0 && stop.is_none() && less == 0 {
            self.end_last_pass(steps, rest);
            self.come_round(steps, rest);
            self.chains_before_join(steps, span, rest);
        }
        if pass == 0 {
            // not even once: its own words say what is missing
            self.bench.pass.push(1);
            self.run(part.unwrap_or(steps));
            self.bench.pass.pop();
            if self.tally.ran_out.is_none() && !self.stopped {
                self.tally.ran_out = Some(span);
            }
        }
    }

    /// "*Ch 7, sc in next shell; rep from * around; join": the last chains are closed by the join, where only that makes
    /// what the round states.
    fn chains_before_join(&mut self, steps: &[Step], span: Span, rest: &[Step]) {
        let chains = steps.iter().take_while(|s| matches!(s.act, Act::Chain { .. })).count();
        let joins = matches!(rest.first().map(|s| &s.act), Some(Act::Join { .. }));
        if chains > 0
            && joins
            && self.edge.closed
            && !self.tally.stated.is_empty()
            && self.doubt(span, 2, Code::RepeatRemainder) == 1
        {
            self.run(&steps[..chains]);
        }
    }

    /// Stitch places and spaces ahead.
    pub(super) fn room(&self) -> (usize, usize) {
        (self.edge.ahead(&Class::Any), self.edge.ahead(&Class::Space(None)))
    }

    /// Chains of the spaces ahead.
    fn chains_ahead(&self) -> usize {
        let spots = self.edge.spots.get(self.edge.cursor..self.edge.end()).unwrap_or_default();
        spots.iter().map(|s| if let super::edge::What::Space(n, _) = s.what { n as usize } else { 0 }).sum()
    }

    /// Places that the steps after an "each … across" need at the end of the edge, of those that it goes into.
    pub(super) fn reserve(&self, each: &Class, rest: &[Step]) -> usize {
        let apart = |class: &Class| matches!(class, Class::Group(_) | Class::Space(_) | Class::Corner(_));
        // "V-st in each V-st, dc in top of ch 3": the top is no V-st
        let ends_with = self.edge.spots.last().is_some_and(|s| s.is(each));
        let takes = |class: &Class| !apart(each) || apart(class) || ends_with;
        rest.iter()
            .enumerate()
            .take(super::row::MOST_BEHIND)
            .take_while(|(_, s)| !matches!(s.act, Act::FarSide | Act::RowEnds))
            .map(|(k, s)| match &s.act {
                // the slip stitch that closes the round takes no place
                Act::Work { each, form, at } if self.closes_round(*each, *form, at, &rest[k + 1..]) => 0,
                Act::Work { at: Target::TurningTop, .. } => usize::from(takes(&Class::Any)),
                Act::Work { at: Target::Last { n, class }, form, .. } if takes(class) => *n as usize * form.places(),
                Act::Group { at: Target::Last { n, class }, .. } if takes(class) => *n as usize,
                Act::Leave { n: Some(n) } => *n as usize,
                _ => 0,
            })
            .sum()
    }

    /// Places that fixed steps behind a repeat will take.
    pub(super) fn reserve_all(&self, rest: &[Step]) -> usize {
        let rest = &rest[..rest.len().min(super::row::MOST_BEHIND)];
        let side = rest.iter().position(|s| matches!(s.act, Act::FarSide | Act::RowEnds)).unwrap_or(rest.len());
        let need = self.on_turning_chain(self.need(self.before_slip(&rest[..side])));
        need.stitches.max(if need.stitches == 0 { need.spaces } else { 0 })
    }

    /// Stitches and spaces that fixed steps behind a repeat will take.
    fn reserve_both(&self, rest: &[Step]) -> (usize, usize) {
        let rest = &rest[..rest.len().min(super::row::MOST_BEHIND)];
        let side = rest.iter().position(|s| matches!(s.act, Act::FarSide | Act::RowEnds)).unwrap_or(rest.len());
        let need = self.on_turning_chain(self.need(self.before_slip(&rest[..side])));
        (need.stitches, need.spaces)
    }

    /// "ending with 2ch, miss 2ch, 1tr in next ch" over meshes: those chains are the space that the turning chain made, and
    /// its top.
    fn on_turning_chain(&self, need: Need) -> Need {
        let foundation = self.edge.spots.iter().any(|s| s.what == super::edge::What::Chain);
        if need.chains < 2 || foundation || self.edge.closed || self.room().1 == 0 {
            return need;
        }
        Need { stitches: need.stitches - need.chains + 1, spaces: need.spaces + 1, ..need }
    }

    /// Places that steps take and stitches they make, as far as the words alone tell.
    pub(super) fn need(&self, steps: &[Step]) -> Need {
        let mut total = Need::default();
        // chains of a branch made within these steps: what goes into them takes no place of the edge
        let (mut chained, mut branch) = (0usize, 0usize);
        for (k, step) in steps.iter().enumerate() {
            if let Act::Chain { n } = step.act {
                (chained, branch) = (n as usize, 0);
                continue;
            }
            if let Act::Work { each, form, at } = &step.act {
                if self.closes_round(*each, *form, at, &steps[k + 1..]) {
                    continue;
                }
                let made = usize::from(form.stem != Stem::SlipStitch) * *each as usize;
                let on_branch = match at {
                    Target::FromHook { n } if chained > 0 => {
                        branch = chained.saturating_sub((*n as usize).max(1) - 1);
                        1
                    }
                    Target::Next { n, class: Class::Chain | Class::Any } => *n as usize * form.places(),
                    Target::Each { class: Class::Chain, less, .. } => branch.saturating_sub(*less as usize),
                    _ => usize::MAX,
                };
                if branch > 0 && on_branch <= branch {
                    branch -= on_branch;
                    total.made = total.made.saturating_add(made.saturating_mul(on_branch / form.places().max(1)));
                    continue;
                }
            }
            chained = 0;
            match &step.act {
                Act::Work { each, form, at } => {
                    let made = usize::from(form.stem != Stem::SlipStitch) * *each as usize;
                    match at {
                        Target::Over { legs } => {
                            legs.iter().for_each(|class| total.add(class, 1));
                            total.made += made;
                        }
                        Target::Next { n, class } | Target::Last { n, class } => {
                            let one = *each == 1 && two_in_one(at) && self.answer_at(step.span) == 1;
                            total.add(class, if one { 1 } else { *n as usize } * form.places());
                            total.made += made * *n as usize;
                        }
                        Target::First { class } if self.first_again(class).is_some() => total.made += made,
                        Target::First { class } | Target::Centre { class } => {
                            total.add(class, form.places());
                            total.made += made;
                        }
                        Target::TurningTop => {
                            total.stitches += 1;
                            total.made += made;
                        }
                        Target::Each { .. } | Target::Evenly { .. } => total.open_ended = true,
                        _ => total.made += made,
                    }
                }
                Act::Group { steps, at, .. } => {
                    let inner = self.need(steps);
                    let n = match at {
                        Target::Next { n, class } | Target::Last { n, class } => {
                            total.add(class, *n as usize);
                            *n as usize
                        }
                        Target::First { class } | Target::Centre { class } => {
                            total.add(class, 1);
                            1
                        }
                        Target::Each { .. } => {
                            total.open_ended = true;
                            1
                        }
                        _ => 1,
                    };
                    total.made += inner.made * n;
                }
                Act::Skip { n, class } => total.add(class, *n as usize),
                Act::SkipFirst { class } => total.add(class, 1),
                Act::Repeat { steps, times, .. } => {
                    let inner = self.need(steps);
                    let n = match times {
                        Times::InAll(n) => *n as usize,
                        Times::More(n) | Times::Doubt(n) => self.more(*n),
                        Times::ToEnd { .. } | Times::UpTo { .. } | Times::Along => {
                            total.open_ended = true;
                            0
                        }
                    };
                    total.stitches = total.stitches.saturating_add(inner.stitches.saturating_mul(n));
                    total.chains = total.chains.saturating_add(inner.chains.saturating_mul(n));
                    total.spaces = total.spaces.saturating_add(inner.spaces.saturating_mul(n));
                    total.made = total.made.saturating_add(inner.made.saturating_mul(n));
                }
                _ => {}
            }
        }
        if total.stitches + total.spaces == 0 {
            total.stitches = total.tips;
        }
        total
    }
}

/// The lengths of spaces that steps name, and how many of each.
fn spaces_by_length(steps: &[Step]) -> std::collections::BTreeMap<u32, usize> {
    let mut found = std::collections::BTreeMap::new();
    for step in steps {
        if let Act::Work { at: Target::Next { n, class }, .. }
        | Act::Group { at: Target::Next { n, class }, .. }
        | Act::Skip { n, class } = &step.act
            && let Class::Space(Some(length)) = class
        {
            *found.entry(*length).or_default() += *n as usize;
        }
    }
    found
}

impl RowWork<'_> {
    /// The last place from which spaces of these lengths are still ahead, as many as are asked; none where the edge has
    /// none of a length, so that its name is a loose one, or no spaces but those.
    fn last_with_spaces(&self, lengths: &std::collections::BTreeMap<u32, usize>) -> Option<usize> {
        let last = lengths.iter().map(|(length, n)| {
            let class = Class::Space(Some(*length));
            let mut behind = (0..self.edge.end()).rev().filter(|&k| self.edge.spots[k].is(&class));
            behind.nth(n.saturating_sub(1))
        });
        let last: Option<Vec<usize>> = last.collect();
        let named = |s: &super::edge::Spot| lengths.keys().any(|n| s.is(&Class::Space(Some(*n))));
        let others = self.edge.spots.iter().any(|s| s.is_space() && !named(s));
        last.filter(|_| others)?.into_iter().min()
    }
}

/// "2 sc" inside a repeat of compact notation: in two stitches, or in one.
pub(super) fn two_in_one(at: &Target) -> bool {
    matches!(at, Target::Next { n: 2..=3, class: Class::Any })
}

/// Places that steps take, as far as the words alone tell.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Need {
    pub stitches: usize,
    pub spaces: usize,
    /// Those of the stitches that are named chains: a space ahead is opened into its chains for them.
    pub chains: usize,
    pub made: usize,
    /// Tips of branches.
    pub tips: usize,
    /// True where a step inside goes "to the end" by itself.
    pub open_ended: bool,
}

impl Need {
    fn add(&mut self, class: &Class, n: usize) {
        match class {
            Class::Space(_) | Class::Corner(_) | Class::OpeningSpace => self.spaces = self.spaces.saturating_add(n),
            // no room that is counted is any of theirs
            Class::Tip | Class::ChainEnd => self.tips = self.tips.saturating_add(n),
            _ => self.stitches = self.stitches.saturating_add(n),
        }
        if *class == Class::Chain {
            self.chains = self.chains.saturating_add(n);
        }
    }
}

/// True where chains are made in the steps, or in what they work into one place.
fn holds_chain(steps: &[Step]) -> bool {
    steps.iter().any(|s| match &s.act {
        Act::Chain { .. } => true,
        Act::Group { steps, .. } => holds_chain(steps),
        _ => false,
    })
}
