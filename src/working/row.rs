//! One row: its steps in order, along the live edge.

use super::bench::Bench;
use super::edge::{LiveEdge, Spot, State, What};
use super::tally::Tally;
use crate::craft::{Stem, StitchForm};
use crate::fabric::*;
use crate::instructions::{Act, Class, JoinTo, Step, Target};
use crate::source::{Code, Span};

/// A row under the hook.
pub(super) struct RowWork<'b> {
    pub bench: &'b mut Bench,
    pub row: RowId,
    pub edge: LiveEdge,
    /// The edges of rows further down that words name by number.
    pub away: super::of_row::Away,
    /// Open places made, in working order.
    pub made: Vec<Spot>,
    pub tally: Tally,
    /// The place last worked into: its index on the edge, or a place off it.
    pub last: Option<LastPlace>,
    /// Chains made that are not yet a space, a branch or a turning chain.
    pub chains: Vec<StitchId>,
    pub chains_span: Span,
    pub branch: Option<Branch>,
    /// True until the row's first stitch.
    pub fresh: bool,
    /// True while the group that opens the row is worked: its chain stands in the group's place.
    pub opening: bool,
    /// Where everything goes while a group is worked into one place.
    pub group_place: Option<LastPlace>,
    /// Chains of the foundation, where this is row 1 on one.
    pub foundation: Option<Vec<StitchId>>,
    pub ring: Option<RingId>,
    /// Classes the row's words name.
    pub named_stitches: bool,
    pub named_spaces: bool,
    /// Places that the last "skip" passed by, and how many of them were gone back to.
    pub skipped: Vec<usize>,
    pub skipped_used: usize,
    /// The stitch of a row below last worked into.
    pub last_below: Option<StitchId>,
    /// The place of the edge last worked into or travelled to.
    pub entered: Option<usize>,
    /// The last gap worked into: the index of the place behind it.
    pub last_gap: Option<usize>,
    /// The last place, where it was named by its shape.
    pub by_shape: Option<Target>,
    /// True once a place was named by a shape of the row below.
    pub shapes_named: bool,
    /// Index of the stitch made that a marker was last carried to.
    pub carried_mark: Option<usize>,
    /// Sides of a flat piece that a border round it has still to come to.
    pub sides: Vec<super::perimeter::PieceSide>,
    /// True once a corner of the piece was named.
    pub corner_told: bool,
    /// True where each stitch goes through both layers of a piece lying flat.
    pub both_layers: bool,
    /// True once "the last" space was named.
    pub last_space: bool,
    /// Places the last "skip" in words passed by, and whether those were spaces.
    pub last_skip: usize,
    pub skip_of_spaces: bool,
    /// Chains that bridge as many places skipped in words as they are.
    pub bridged: usize,
    /// Kinds of the places it names, where it names none otherwise.
    pub kinds: Vec<Class>,
    /// Answers to doubts, in the order asked; the default is 0.
    pub answers: Vec<usize>,
    /// Doubts asked: the words, and the number of answers.
    pub asked: Vec<(Span, usize, Code)>,
    pub joined: bool,
    /// True where a tall stitch closed the round, and with it the last space.
    pub closed_tall: bool,
    pub spiral_told: bool,
    /// The round came to hold its stitches in one chain.
    pub round_heading: bool,
    /// What is told of turning chains by the pattern.
    pub conventions: &'b [crate::instructions::Convention],
    pub first_turning: Option<StitchId>,
    /// The last chain of this row's turning chain, where it does not count.
    pub turning_top: Option<StitchId>,
    /// True once slip stitches have carried the yarn from where the round before ended.
    pub travelled: bool,
    /// True once yarn was attached at a place of the edge.
    pub attached: bool,
    /// Chains were bared by stopping the count at a doubtful phrase.
    pub stopped: bool,
}

/// A place worked into: on the edge, or elsewhere.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum LastPlace {
    OnEdge(usize),
    Off(Place),
}

/// A branch being worked back along.
#[derive(Clone, Debug)]
pub(super) struct Branch {
    pub root: Option<StitchId>,
    pub chain: Vec<StitchId>,
    /// Chains left to work into, from the tip.
    pub left: Vec<StitchId>,
    pub worked: Vec<StitchId>,
    pub order: Vec<StitchId>,
    /// True where it widens the row it opens: nothing is worked into its underside.
    pub widens: bool,
}

impl RowWork<'_> {
    pub fn run(&mut self, steps: &[Step]) {
        for (i, step) in steps.iter().enumerate() {
            if self.bench.limit_hit || self.stopped {
                return;
            }
            self.step(step, &steps[i + 1..]);
        }
    }

    pub(super) fn step(&mut self, step: &Step, rest: &[Step]) {
        let span = step.span;
        match &step.act {
            Act::Chain { n } => self.chain(*n, span, rest),
            // only a foundation is as long as wanted, and it is measured before it is worked
            Act::AnyChain => {}
            Act::Mark { back } => self.mark(*back),
            Act::Counts { space, .. } => self.recount_closing(*space),
            Act::Turn | Act::DoNotTurn => {}
            Act::Ring { thread } => self.make_ring(*thread, span),
            Act::Work { each, form, at } => match (at, rest.first().map(|s| &s.act)) {
                (Target::Each { class, .. }, Some(Act::Shape { by, more, own: false })) => {
                    self.worked_evenly(*by as usize, *more, *form, class, span);
                }
                _ => self.work(*each, *form, at, span, rest),
            },
            Act::Shape { by, more, own: true } => {
                let form = self.stitch_below();
                self.worked_evenly(self.shaped_by(*by), *more, form, &Class::Stitch, span);
            }
            Act::Shape { .. } => {}
            Act::Group { steps, at, name } => self.group(steps, at, name.as_deref(), span, rest),
            Act::Repeat { steps, times, stop } => self.repeat(steps, times, *stop, span, rest),
            Act::Skip { n, class } => self.skip(*n as usize, class, span),
            Act::SkipFirst { class } => self.skip_first(class, span),
            Act::Leave { .. } => self.tally.leave_told = true,
            Act::BothLayers { .. } => self.both_layers = true,
            Act::Picot { n } => self.picot(*n, span),
            Act::Filet { n, filled } => self.filet(*n, *filled, span, rest),
            Act::Join { to, with } => self.join(*to, *with, span),
            Act::DoNotJoin => self.spiral_told = true,
            Act::Ending => {}
            // the row was begun on nothing where it says so
            Act::NewEdge | Act::AsPart { .. } | Act::OnPart { .. } => {}
            Act::FarSide => self.far_side(span),
            Act::RowEnds => self.row_ends(span),
            Act::OfRow { row } => self.of_row(*row, rest),
            Act::Opening { row } => self.round_opening(*row, span, rest),
            Act::LoopsOf { part, row } => self.loops_of(*part, *row, span),
            Act::Attach { yarn, at } => self.attach(yarn.as_deref(), at.as_ref(), span),
            Act::With { yarn } => self.bench.take_yarn(yarn, true),
            Act::Change { yarn } => self.change(yarn),
            Act::FastenOff { yarn } => {
                self.end_branch();
                self.chains_to_space(false);
                self.bench.cut_yarn(yarn.as_deref());
            }
            Act::Instead { .. }
            | Act::AsRow { .. }
            | Act::Pattern { .. }
            | Act::RowsUntil { .. }
            | Act::Even { .. } => {}
        }
        if !matches!(step.act, Act::Counts { .. } | Act::Turn | Act::With { .. } | Act::FastenOff { .. }) {
            self.tally.last_words = span;
        }
    }

    // ---- stitches -------------------------------------------------------------------------

    pub(super) fn work(&mut self, each: u32, form: StitchForm, at: &Target, span: Span, rest: &[Step]) {
        if self.branch_takes(form, at, span) || self.travels(each, form, at, span, rest) {
            return;
        }
        if let (Some(place), Target::Next { n, class: Class::Any }) = (self.group_place, at) {
            self.chains_to_space(true);
            return self.stitches_in(each.saturating_mul(*n), form, &[place], span);
        }
        if !self.made.is_empty() && self.closes_round(each, form, at, rest) {
            return self.join(JoinTo::Untold, form, span);
        }
        if let Target::FromHook { n } = at {
            return self.at_hook(each, *n, form, span, rest);
        }
        self.chains_to_space(false);
        // "(sc, 2sc) 6 times" in compact notation may mean two in one stitch: the count tells
        if let Target::Next { n, .. } = at
            && super::repeats::two_in_one(at)
            && each == 1
            && !self.bench.pass.is_empty()
            && !self.tally.stated.is_empty()
            && self.doubt(span, 2, Code::CountDiffers) == 1
        {
            return self.along(*n, form, &Target::NEXT, span, rest);
        }
        match at {
            Target::Same => {
                let place = self.same_place(span);
                self.stitches_in(each, form, &place, span);
            }
            Target::Ring => self.in_ring(each, form, span),
            at if self.means_ring(at) => self.in_ring(each, form, span),
            Target::Next { n, .. } if self.only_ring(form, at) => self.in_ring(each.saturating_mul(*n), form, span),
            Target::Each { class: Class::RowEnd, less: 0, every: 1 } if self.each_row_end((each, form), span, rest) => {
            }
            at if let Some(loop_) = self.own_loop(at) => self.stitches_in(each, form, &[LastPlace::Off(loop_)], span),
            Target::Within { .. } | Target::Between { .. } => self.in_shape(each, form, at, span),
            Target::Below { n, class, rows } => self.work_below((each, form), (*n, class), *rows, span, rest),
            Target::Skipped { nth, n } => self.in_skipped((each, form), *nth, *n, span),
            Target::Over { legs } => self.over_several((each, form), legs, span),
            Target::UpTo { class, stop } => {
                let at = Target::Each { class: class.clone(), less: 0, every: 1 };
                self.up_to(stop, span, |work| work.along(each, form, &at, span, &[]));
                self.on_to_the_start(class, |work, k| work.stitches_in(each, form, &[LastPlace::OnEdge(k)], span));
            }
            Target::Evenly { n: Some(n) } if form.places() == 1 => self.spaced_evenly(each, form, *n as usize, span),
            _ => match self.named_loosely(at, span, rest) {
                Some(each_stitch) => self.along(each, form, &each_stitch, span, rest),
                None => self.along(each, form, at, span, rest),
            },
        }
    }

    /// Stitches along the edge: `each` into every place, or n together over several.
    pub(super) fn along(&mut self, each: u32, form: StitchForm, at: &Target, span: Span, rest: &[Step]) {
        let per = form.places();
        let slips_on = form.stem == Stem::SlipStitch && per == 1 && self.edge.closed && !self.made.is_empty();
        if slips_on && self.edge.cursor >= self.edge.spots.len() && !self.edge.spots.is_empty() {
            return self.slip_past_the_start(at, span);
        }
        if let (Target::First { class }, 1) = (at, per)
            && self.stands_on_first(class)
        {
            // "ch 3 (counts as dc), dc in first dc": the first is the one the chain stands on
            return self.stitches_in(each, form, &[LastPlace::OnEdge(0)], span);
        }
        if let (Target::First { class }, 1) = (at, per)
            && self.edge.ahead(class) == 0
            && let Some(k) = self.first_again(class)
        {
            // "3 sc in each loop around, 1 sc in first loop": the round has come back to where it began
            return self.stitches_in(each, form, &[LastPlace::OnEdge(k)], span);
        }
        self.past_the_rest_of_a_shape(at, rest);
        let Some((class, wanted)) = self.reach(at, per, (each, form), span, rest) else { return };
        let slips = form.stem == Stem::SlipStitch;
        for i in 0..wanted {
            if self.bench.limit_hit {
                return;
            }
            let mut places = Vec::with_capacity(per);
            for _ in 0..per {
                match self.edge.next_of(&class).or_else(|| self.edge.past_the_start(&class)) {
                    Some(k) => {
                        self.edge.take(k);
                        places.push(LastPlace::OnEdge(k));
                    }
                    // "sl st in next 2 sts" at the end of a round goes on past its start
                    None if slips && i > 0 && per == 1 && self.edge.closed && !self.made.is_empty() => {
                        let n = u32::try_from(wanted - i).unwrap_or(u32::MAX);
                        // the place reached has been worked into: nothing goes into it again
                        self.last = None;
                        return self.slip_past_the_start(&Target::Next { n, class }, span);
                    }
                    None => match self.edge.run_on(&class) {
                        Some(k) => places.push(LastPlace::OnEdge(k)),
                        None => self.run_out(span, 1),
                    },
                }
            }
            if places.is_empty() {
                // the words ask for more than there is: count what they ask, make what can be made
                let rest_asked = wanted - i;
                *self.tally.used.get_or_insert(0) += (rest_asked - 1) * per;
                let counted = if slips { 0 } else { rest_asked * each as usize };
                self.tally.made += counted;
                if counted > 0 {
                    *self.tally.kinds.entry(form.to_string()).or_default() += counted;
                }
                return;
            }
            self.stitches_in(each, form, &places, span);
            if matches!(class, Class::Picot | Class::Marked | Class::Group(_) | Class::Run { .. }) {
                self.by_shape = Some(Target::Next { n: 1, class: class.clone() });
            }
        }
    }

    pub(super) fn stitches_in(&mut self, each: u32, form: StitchForm, places: &[LastPlace], span: Span) {
        let from = self.made.len();
        for _ in 0..each {
            if self.bench.limit_hit {
                return;
            }
            self.stitch_at(form, places, span);
        }
        self.carry_mark(places.last(), from);
        if each > 1 && self.group_place.is_none() {
            self.name_group(from, "");
        }
    }

    /// One stitch into places, and its open top.
    pub fn stitch_at(&mut self, form: StitchForm, places: &[LastPlace], span: Span) {
        if places.iter().any(|p| !self.is_there(*p)) {
            return self.no_place(span, "there is no place left to work into here");
        }
        let into: Vec<Place> = places.iter().map(|p| self.place_of(*p)).collect();
        self.name_classes(&into);
        for place in places {
            if let LastPlace::OnEdge(k) = *place {
                if k >= self.edge.cursor {
                    self.edge.take(k);
                }
                self.edge.spots[k].state = State::Used;
            }
        }
        let id = self.bench.make(self.row, form, &into, Role::Base, span);
        if self.bench.limit_hit {
            return;
        }
        self.fresh = false;
        self.last = places.last().copied();
        self.by_shape = None;
        if let Some(LastPlace::OnEdge(k)) = self.last {
            self.entered = Some(k);
        }
        self.push_head(id, form);
    }

    /// A head on the row's line, counted by its kind.
    pub fn push_head(&mut self, id: StitchId, form: StitchForm) {
        self.bench.fabric.rows[self.row.index()].order.push(id);
        self.made.push(self.bench.spot_of(id));
        if form.stem == Stem::SlipStitch {
            self.tally.slip_stitches += 1;
        } else {
            self.count(form.to_string());
        }
    }

    pub fn count(&mut self, kind: String) {
        self.tally.made += 1;
        *self.tally.kinds.entry(kind).or_default() += 1;
    }

    pub(super) fn name_classes(&mut self, into: &[Place]) {
        for place in into {
            match place {
                Place::Space { .. } => self.named_spaces = true,
                _ => self.named_stitches = true,
            }
        }
    }

    /// True where a place off the edge, or a place that is still on it.
    pub(super) fn is_there(&self, place: LastPlace) -> bool {
        !matches!(place, LastPlace::OnEdge(k) if k >= self.edge.spots.len())
    }

    pub fn place_of(&self, last: LastPlace) -> Place {
        match last {
            LastPlace::OnEdge(k) => self.edge.spots[k].place,
            LastPlace::Off(place) => place,
        }
    }

    /// How many times, and of which class, a target asks along the edge.
    pub(super) fn reach(
        &mut self,
        at: &Target,
        per: usize,
        (each, form): (u32, StitchForm),
        span: Span,
        rest: &[Step],
    ) -> Option<(Class, usize)> {
        if self.turn_the_corner(at, (each, form), span, rest) {
            return None;
        }
        match at {
            Target::Next { n, class } => {
                self.open_next_chains(class, *n as usize * per);
                if matches!(class, Class::RowEnd)
                    && self.edge.ahead(class) == 0
                    && !self.edge.spots.iter().any(|s| s.what == What::RowEnd)
                {
                    self.row_ends(span);
                }
                let searched =
                    if self.edge.stands_at_post_of(class) { Class::Stitch } else { self.edge.searched(class) };
                if let (Class::Corner(_) | Class::Tip, Some(last)) = (class, self.last)
                    && !self.edge.spots.iter().any(|s| s.is_space() || s.corner || s.what == What::Tip)
                    && self.edge.spots.iter().any(|s| s.what == What::RowEnd)
                {
                    // the corner of an edging along row ends: where the edge turns
                    self.stitches_in(each, form, &[last], span);
                    return None;
                }
                if matches!(
                    class,
                    Class::Space(_) | Class::Corner(_) | Class::RowEnd | Class::Tip | Class::ChainEnd | Class::Group(_)
                ) && self.missing_class(class, span)
                {
                    return None;
                }
                Some((searched, *n as usize))
            }
            Target::First { class } | Target::Centre { class } => Some((self.edge.searched(class), 1)),
            Target::Each { class, less, every } => {
                if matches!(class, Class::RowEnd) && self.edge.ahead(class) == 0 {
                    self.row_ends(span);
                }
                if matches!(class, Class::Space(_) | Class::Corner(_)) && self.missing_class(class, span) {
                    return None;
                }
                self.open_chains(class);
                let class = self.with_narrow_spaces(class, span);
                let class = &self.with_joined(&class);
                self.put_start_behind(class, span);
                let class = self.edge.searched(class);
                let behind = if self.goes_round_piece() { 0 } else { self.reserve(&class, rest) }
                    .max(self.kept_for_corner(rest));
                let kept = (*less as usize).max(behind);
                let ahead = self.edge.ahead(&class).saturating_sub(kept);
                if *every > 1 {
                    self.every(*every as usize, &class, ahead, (each, form), span);
                    return None;
                }
                if per > 1 && !ahead.is_multiple_of(per) {
                    self.tally.remainder.get_or_insert((span, per));
                }
                Some((class, ahead / per))
            }
            Target::Last { n, class } => {
                self.last_space |= matches!(class, Class::Space(_));
                let class = self.edge.searched(class);
                // "dc in last dc, dc in top of turning ch": the last before the chain
                let top = |s: &Step| matches!(s.act, Act::Work { at: Target::TurningTop, .. });
                let mut ahead = self.edge.ahead(&class);
                if ahead > 1 && self.edge.ends_on_chain(&class) && rest.iter().take(MOST_BEHIND).any(top) {
                    ahead -= 1;
                }
                let n = (*n as usize).max(1);
                if ahead > n * per {
                    // what lies before "last n" stays open, and is reported as left
                    let first = ahead - n * per;
                    let from = self.edge.cursor;
                    let skipped: Vec<usize> =
                        (from..self.edge.spots.len()).filter(|&i| self.edge.spots[i].is(&class)).take(first).collect();
                    let group = if self.shapes_done() { usize::MAX } else { self.end_of_group() };
                    for &i in skipped.iter().filter(|&&i| i < group) {
                        self.edge.spots[i].state = State::Passed;
                    }
                    let on_space = self.is_on_space();
                    if on_space && n * per == 1 {
                        // "…, ch 1, 3 dc in last dc" behind a space: what stands between is crossed with the chains
                        skipped.iter().for_each(|&i| self.edge.spots[i].state = State::Passed);
                    }
                    // "sc in ch-3 sp, shell in each of last 2 ch-2 sps": from space to space, all between is crossed
                    let crossed = group == usize::MAX || on_space && matches!(class, Class::Space(_));
                    match skipped.last() {
                        Some(&k) if crossed => self.edge.pass_to(k + 1),
                        Some(&k) => self.edge.cursor = k + 1,
                        None => {}
                    }
                }
                Some((class, n))
            }
            Target::TurningTop => {
                let class = Class::Any;
                let turning = (self.edge.cursor..self.edge.spots.len())
                    .find(|&i| matches!(self.edge.spots[i].what, What::Turning(_)));
                match turning {
                    Some(k) => {
                        self.close_last_skip(k);
                        let by_name = self.shapes_named || self.named_spaces && !self.named_stitches;
                        if (by_name || self.is_on_space()) && per == 1 && self.edge.cursor < k {
                            // places named by spaces or shapes alone: what lies before the chain is passed with them
                            self.edge.pass_to(k);
                        }
                        Some((class, 1))
                    }
                    None if self.edge.ahead(&class) > 0 => Some((class, 1)),
                    None if self.bench.last_turning.is_some() => {
                        // a chain that does not count is no place of the edge, and can be worked into when named
                        let top = self.bench.last_turning.take()?;
                        self.stitches_in(each, form, &[LastPlace::Off(Place::top(top))], span);
                        None
                    }
                    None => {
                        self.no_place(span, "there is no turning ch left to work into here");
                        None
                    }
                }
            }
            Target::Evenly { n } => {
                let class = self.turned_from_ends(span);
                if n.is_none() && class == Class::All && self.round_motif(each, form, span) {
                    return None;
                }
                if n.is_none() && self.evenly_all_round(rest) {
                    self.tally.uncertain = true;
                    if self.spread_all_round(each, form, span) {
                        return None;
                    }
                    return Some((Class::Any, self.edge.ahead(&Class::Any)));
                }
                self.tally.leave_told |= n.is_some();
                self.tally.uncertain |= n.is_none() && self.goes_round_piece();
                let ahead = self.edge.ahead(&class) - self.left_for_corner();
                Some((class, n.map_or(ahead, |n| n as usize)))
            }
            Target::Same
            | Target::Ring
            | Target::FromHook { .. }
            | Target::Within { .. }
            | Target::Between { .. }
            | Target::Below { .. }
            | Target::Skipped { .. }
            | Target::Over { .. }
            | Target::Short { .. }
            | Target::UpTo { .. } => None,
        }
    }

    /// One stitch in every `every`th place: skips between, in words.
    pub(super) fn every(
        &mut self,
        every: usize,
        class: &Class,
        ahead: usize,
        (each, form): (u32, StitchForm),
        span: Span,
    ) {
        for _ in 0..ahead / every {
            for _ in 1..every {
                if let Some(k) = self.edge.next_of(class) {
                    self.edge.take(k);
                }
            }
            if let Some(k) = self.edge.next_of(class) {
                self.edge.take(k);
                self.stitches_in(each, form, &[LastPlace::OnEdge(k)], span);
            }
        }
    }

    /// The row below, as a person names it.
    pub fn below(&self) -> String {
        self.bench.tallies.last().map_or_else(|| "the row below".into(), |t| t.label.to_lowercase())
    }

    /// The place "same st" speaks of; at the start of a row its first place.
    pub(super) fn same_place(&mut self, span: Span) -> Vec<LastPlace> {
        if let Some(place) = self.group_place.or(self.last) {
            return vec![place];
        }
        // a round closed by a tall stitch leaves the yarn in its last space, which comes first now
        let space = self.edge.spots.first().is_some_and(|s| self.edge.closed && self.edge.cursor == 0 && s.is_space());
        let first = if space { Some(0) } else { self.edge.next_of(&Class::Any) };
        match first.or_else(|| self.edge.next_of(&Class::Space(None))) {
            Some(k) => {
                self.edge.take(k);
                vec![LastPlace::OnEdge(k)]
            }
            None => {
                self.no_place(span, "no stitch was worked into before this one, so there is no same place");
                Vec::new()
            }
        }
    }
}

/// Steps looked at behind an "each … across" for places they need at the end; a row has a few.
pub(super) const MOST_BEHIND: usize = 64;

/// True for a step that makes stitches.
pub(super) fn works(step: &Step) -> bool {
    step.act.works()
}
