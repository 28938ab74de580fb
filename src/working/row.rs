//! One row: its steps in order, along the live edge.

use super::bench::Bench;
use super::edge::{LiveEdge, Spot, State, What};
use super::tally::Tally;
use crate::craft::{Stem, StitchForm};
use crate::fabric::*;
use crate::instructions::{Act, Class, JoinTo, Step, Target, Times};
use crate::source::{Code, Problem, Span};

/// A row under the hook.
pub(super) struct RowWork<'b> {
    pub bench: &'b mut Bench,
    pub row: RowId,
    pub edge: LiveEdge,
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
    /// Where everything goes while a group is worked into one place.
    pub group_place: Option<LastPlace>,
    /// Chains of the foundation, where this is row 1 on one.
    pub foundation: Option<Vec<StitchId>>,
    pub ring: Option<RingId>,
    /// Classes the row's words name.
    pub named_stitches: bool,
    pub named_spaces: bool,
    /// Places the last "skip" in words passed by.
    pub last_skip: usize,
    /// Answers to doubts, in the order asked; the default is 0.
    pub answers: Vec<usize>,
    /// Doubts asked: the words, and the number of answers.
    pub asked: Vec<(Span, usize)>,
    pub joined: bool,
    pub spiral_told: bool,
    /// The round came to hold its stitches in one chain.
    pub round_heading: bool,
    /// What is told of turning chains by the pattern.
    pub conventions: &'b [crate::instructions::Convention],
    pub first_turning: Option<StitchId>,
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

    fn step(&mut self, step: &Step, rest: &[Step]) {
        let span = step.span;
        match &step.act {
            Act::Chain { n } => self.chain(*n, span, rest),
            Act::Counts { .. } | Act::Turn | Act::DoNotTurn => {}
            Act::Ring { thread } => self.make_ring(*thread, span),
            Act::Work { each, form, at } => self.work(*each, *form, at, span, rest),
            Act::Group { steps, at, name } => self.group(steps, at, name.as_deref(), span, rest),
            Act::Repeat { steps, times, stop } => self.repeat(steps, times, *stop, span, rest),
            Act::Skip { n, class } => self.skip(*n as usize, class, span),
            Act::Leave { .. } => self.tally.leave_told = true,
            Act::Picot { n } => self.picot(*n, span),
            Act::Join { to, with } => self.join(*to, *with, span),
            Act::DoNotJoin => self.spiral_told = true,
            Act::FarSide => self.far_side(span),
            Act::RowEnds => self.row_ends(span),
            Act::Attach { yarn, at } => self.attach(yarn.as_deref(), at.as_ref(), span),
            Act::With { yarn } => self.bench.take_yarn(yarn, true),
            Act::Change { yarn } => self.change(yarn),
            Act::FastenOff { yarn } => {
                self.end_branch();
                self.chains_to_space(false);
                self.bench.cut_yarn(yarn.as_deref());
            }
            Act::AsRow { .. } | Act::Even { .. } => {}
        }
        if !matches!(step.act, Act::Counts { .. } | Act::Turn | Act::With { .. } | Act::FastenOff { .. }) {
            self.tally.last_words = span;
        }
    }

    /// Answers a doubt: the default unless another answer is being tried.
    pub fn doubt(&mut self, span: Span, answers: usize) -> usize {
        let k = self.asked.len();
        self.asked.push((span, answers));
        self.answers.get(k).copied().unwrap_or(0)
    }

    // ---- stitches -------------------------------------------------------------------------

    fn work(&mut self, each: u32, form: StitchForm, at: &Target, span: Span, rest: &[Step]) {
        if self.branch_takes(form, at, span) || self.travels(each, form, at, span, rest) {
            return;
        }
        if let (Some(place), Target::Next { n, class: Class::Any }) = (self.group_place, at) {
            self.chains_to_space(true);
            for _ in 0..(each * n) {
                self.stitch_at(form, &[place], span);
            }
            return;
        }
        if let Target::FromHook { n } = at {
            return self.from_hook(each, *n, form, span, rest);
        }
        self.chains_to_space(false);
        match at {
            Target::Same => {
                let place = self.same_place(span);
                self.stitches_in(each, form, &place, span);
            }
            Target::Ring => self.in_ring(each, form, span),
            _ => self.along(each, form, at, span, rest),
        }
    }

    /// Stitches along the edge: `each` into every place, or n together over several.
    fn along(&mut self, each: u32, form: StitchForm, at: &Target, span: Span, rest: &[Step]) {
        let per = form.places();
        let Some((class, wanted)) = self.reach(at, per, span, rest) else { return };
        let slips = form.stem == Stem::SlipStitch;
        for i in 0..wanted {
            if self.bench.limit_hit {
                return;
            }
            let mut places = Vec::with_capacity(per);
            for _ in 0..per {
                match self.edge.next_of(&class) {
                    Some(k) => {
                        self.edge.take(k);
                        places.push(LastPlace::OnEdge(k));
                    }
                    None => self.run_out(span, 1),
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
        }
    }

    fn stitches_in(&mut self, each: u32, form: StitchForm, places: &[LastPlace], span: Span) {
        for _ in 0..each {
            self.stitch_at(form, places, span);
        }
    }

    /// One stitch into places, and its open top.
    pub fn stitch_at(&mut self, form: StitchForm, places: &[LastPlace], span: Span) {
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

    fn name_classes(&mut self, into: &[Place]) {
        for place in into {
            match place {
                Place::Space { .. } => self.named_spaces = true,
                _ => self.named_stitches = true,
            }
        }
    }

    pub fn place_of(&self, last: LastPlace) -> Place {
        match last {
            LastPlace::OnEdge(k) => self.edge.spots[k].place,
            LastPlace::Off(place) => place,
        }
    }

    /// How many times, and of which class, a target asks along the edge.
    fn reach(&mut self, at: &Target, per: usize, span: Span, rest: &[Step]) -> Option<(Class, usize)> {
        match at {
            Target::Next { n, class } => {
                self.open_chains(class);
                let searched = self.edge.searched(class);
                if matches!(class, Class::Space(_) | Class::Corner | Class::RowEnd | Class::Tip)
                    && self.missing_class(class, span)
                {
                    return None;
                }
                Some((searched, *n as usize))
            }
            Target::First { class } => {
                let searched = self.edge.searched(class);
                Some((searched, 1))
            }
            Target::Centre { class } => {
                let class = self.edge.searched(class);
                Some((class, 1))
            }
            Target::Each { class, less, every } => {
                if matches!(class, Class::RowEnd) && self.edge.ahead(class) == 0 {
                    self.row_ends(span);
                }
                if matches!(class, Class::Space(_) | Class::Corner) && self.missing_class(class, span) {
                    return None;
                }
                self.open_chains(class);
                let class = self.edge.searched(class);
                let kept = (*less as usize).max(self.reserve(rest));
                let ahead = self.edge.ahead(&class).saturating_sub(kept);
                if *every > 1 {
                    self.every(*every as usize, &class, ahead, span);
                    return None;
                }
                if per > 1 && !ahead.is_multiple_of(per) {
                    self.tally.remainder.get_or_insert((span, per));
                }
                Some((class, ahead / per))
            }
            Target::Last { n, class } => {
                let class = self.edge.searched(class);
                let ahead = self.edge.ahead(&class);
                let n = (*n as usize).max(1);
                if ahead > n * per {
                    // what lies before "last n" stays open, and is reported as left
                    let first = ahead - n * per;
                    let from = self.edge.cursor;
                    let skipped: Vec<usize> =
                        (from..self.edge.spots.len()).filter(|&i| self.edge.spots[i].is(&class)).take(first).collect();
                    if let Some(&k) = skipped.last() {
                        self.edge.cursor = k + 1;
                    }
                }
                Some((class, n))
            }
            Target::TurningTop => {
                let class = Class::Any;
                let turning = (self.edge.cursor..self.edge.spots.len())
                    .find(|&i| matches!(self.edge.spots[i].what, What::Turning(_)));
                match turning {
                    Some(_) => Some((class, 1)),
                    None if self.edge.ahead(&class) > 0 => Some((class, 1)),
                    None => {
                        self.no_place(span, "there is no turning ch left to work into here");
                        None
                    }
                }
            }
            Target::Evenly { n } => {
                if self.edge.ahead(&Class::RowEnd) == 0 {
                    self.row_ends(span);
                }
                let ahead = self.edge.ahead(&Class::RowEnd);
                Some((Class::RowEnd, n.map_or(ahead, |n| n as usize)))
            }
            Target::Same | Target::Ring | Target::FromHook { .. } => None,
        }
    }

    /// Where the words name chains and only spaces lie ahead, each chain of a space is a place of its own.
    fn open_chains(&mut self, class: &Class) {
        let from = self.edge.cursor.min(self.edge.spots.len());
        let ahead = &self.edge.spots[from..];
        if *class != Class::Chain || ahead.iter().any(|s| s.what == What::Chain) || !ahead.iter().any(Spot::is_space) {
            return;
        }
        let tail = self.edge.spots.split_off(from);
        for spot in tail {
            match spot.place {
                Place::Space { space } if spot.is_space() => {
                    let ids = self.bench.fabric.spaces[space.index()].ids.clone();
                    self.edge.spots.extend(ids.into_iter().map(|id| Spot::new(Place::chain(id), What::Chain)));
                }
                _ => self.edge.spots.push(spot),
            }
        }
    }

    /// One stitch in every `every`th place: skips between, in words.
    fn every(&mut self, every: usize, class: &Class, ahead: usize, span: Span) {
        for _ in 0..ahead / every {
            for _ in 1..every {
                if let Some(k) = self.edge.next_of(class) {
                    self.edge.take(k);
                }
            }
            if let Some(k) = self.edge.next_of(class) {
                self.edge.take(k);
                self.stitch_at(StitchForm::plain(Stem::Single), &[LastPlace::OnEdge(k)], span);
            }
        }
    }

    /// Places that the steps after an "each … across" need at the end of the edge.
    fn reserve(&self, rest: &[Step]) -> usize {
        rest.iter()
            .map(|s| match &s.act {
                Act::Work { at: Target::TurningTop, .. } => 1,
                Act::Work { at: Target::Last { n, .. }, form, .. } => *n as usize * form.places(),
                Act::Group { at: Target::Last { n, .. }, .. } => *n as usize,
                Act::Leave { n: Some(n) } => *n as usize,
                _ => 0,
            })
            .sum()
    }

    fn missing_class(&mut self, class: &Class, span: Span) -> bool {
        if self.edge.ahead(class) > 0 || self.edge.spots.iter().any(|s| s.is(class)) {
            return false;
        }
        let mut lengths: Vec<(u32, usize)> = Vec::new();
        for spot in &self.edge.spots {
            if let What::Space(n, _) = spot.what {
                match lengths.iter_mut().find(|(l, _)| *l == n) {
                    Some((_, many)) => *many += 1,
                    None => lengths.push((n, 1)),
                }
            }
        }
        let below = self.below();
        let message = format!("there is no {} to work in: {below} made {}", class.words(1), spaces_words(&lengths));
        let mut problem = Problem::new(Code::NoSuchPlace, span, message);
        if let Some((n, _)) = lengths.first() {
            problem = problem.with_hint(format!("did you mean \"next ch-{n} sp\"?"));
        }
        self.bench.problems.push(problem);
        self.stopped = true;
        true
    }

    fn no_place(&mut self, span: Span, message: &str) {
        self.bench.problems.push(Problem::new(Code::NoSuchPlace, span, message));
        self.stopped = true;
    }

    /// The row below, as a person names it.
    pub fn below(&self) -> String {
        self.bench.tallies.last().map_or_else(|| "the row below".into(), |t| t.label.to_lowercase())
    }

    /// Notes that the edge ran out at these words.
    pub fn run_out(&mut self, span: Span, n: usize) {
        self.tally.ran_out.get_or_insert(span);
        *self.tally.used.get_or_insert(0) += n;
    }

    /// The place "same st" speaks of; at the start of a row its first place.
    fn same_place(&mut self, span: Span) -> Vec<LastPlace> {
        if let Some(place) = self.group_place.or(self.last) {
            return vec![place];
        }
        match self.edge.next_of(&Class::Any).or_else(|| self.edge.next_of(&Class::Space(None))) {
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

    // ---- groups and repeats ---------------------------------------------------------------

    fn group(&mut self, steps: &[Step], at: &Target, name: Option<&str>, span: Span, rest: &[Step]) {
        self.end_branch();
        self.chains_to_space(false);
        if let Some(name) = name {
            *self.tally.groups.entry(name.to_owned()).or_default() += 0;
        }
        let places: Vec<LastPlace> = match at {
            Target::Same => self.same_place(span),
            Target::Ring => match self.ring_place(span) {
                Some(place) => vec![LastPlace::Off(place)],
                None => return,
            },
            Target::FromHook { n } => match self.hook_place(*n, StitchForm::plain(first_stem(steps)), span, rest) {
                Some(k) => vec![LastPlace::OnEdge(k)],
                None => return,
            },
            _ => {
                let Some((class, wanted)) = self.reach(at, 1, span, rest) else { return };
                let mut places = Vec::new();
                for _ in 0..wanted {
                    match self.edge.next_of(&class) {
                        Some(k) => {
                            self.edge.take(k);
                            places.push(LastPlace::OnEdge(k));
                        }
                        None => {
                            self.run_out(span, 1);
                            break;
                        }
                    }
                }
                places
            }
        };
        for place in places {
            let outer = self.group_place.replace(place);
            self.last = Some(place);
            self.run(steps);
            self.chains_to_space(true);
            self.group_place = outer;
            if let Some(name) = name {
                *self.tally.groups.entry(name.to_owned()).or_default() += 1;
            }
        }
    }

    fn repeat(&mut self, steps: &[Step], times: &Times, stop: Option<usize>, span: Span, rest: &[Step]) {
        let n = match times {
            Times::InAll(n) => *n as usize,
            Times::More(n) => *n as usize + 1,
            Times::Doubt(n) => {
                let more = self.doubt(span, 2) == 0;
                *n as usize + usize::from(more)
            }
            Times::ToEnd { less, class } => return self.repeat_to_end(steps, *less as usize, class, stop, span, rest),
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
            self.bench.pass.push(u32::try_from(pass + 1).unwrap_or(u32::MAX));
            match stop {
                Some(stop) if last => self.run(&steps[..stop.min(steps.len())]),
                _ => self.run(steps),
            }
            self.bench.pass.pop();
            if self.bench.limit_hit || self.stopped {
                return;
            }
        }
    }

    fn repeat_to_end(
        &mut self,
        steps: &[Step],
        less: usize,
        less_of: &Class,
        stop: Option<usize>,
        span: Span,
        rest: &[Step],
    ) {
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
        let kept = if less > 0 { less } else { self.reserve_all(rest) };
        let spaces_kept = if matches!(less_of, Class::Space(_) | Class::Corner) { kept } else { 0 };
        let stitches_kept = if spaces_kept > 0 { 0 } else { kept };
        let mut pass = 0u32;
        loop {
            let room = self.room();
            let fits = |n: &Need| n.stitches + stitches_kept <= room.0 && n.spaces + spaces_kept <= room.1;
            let whole = fits(&need);
            let one_more_after = part.as_ref().is_none_or(|p| {
                p.stitches + need.stitches + stitches_kept <= room.0 && p.spaces + need.spaces + spaces_kept <= room.1
            });
            pass += 1;
            self.bench.pass.push(pass);
            let before = self.edge.cursor;
            match (&part, stop) {
                (Some(part), Some(stop)) if !(whole && one_more_after) => {
                    if fits(part) {
                        self.run(&steps[..stop.min(steps.len())]);
                    }
                    self.bench.pass.pop();
                    break;
                }
                _ if whole => self.run(steps),
                _ => {
                    self.bench.pass.pop();
                    break;
                }
            }
            self.bench.pass.pop();
            if self.bench.limit_hit || self.stopped || self.edge.cursor == before {
                return;
            }
        }
        let room = self.room();
        let over =
            if need.stitches > 0 { room.0.saturating_sub(stitches_kept) } else { room.1.saturating_sub(spaces_kept) };
        if over > 0 && stop.is_none() && self.reserve_all(rest) == 0 {
            self.tally.remainder.get_or_insert((span, need.stitches + need.spaces));
        }
    }

    /// Stitch places and spaces ahead.
    fn room(&self) -> (usize, usize) {
        (self.edge.ahead(&Class::Any), self.edge.ahead(&Class::Space(None)))
    }

    /// Places that fixed steps behind a repeat will take.
    fn reserve_all(&self, rest: &[Step]) -> usize {
        let need = self.need(rest);
        need.stitches.max(if need.stitches == 0 { need.spaces } else { 0 })
    }

    /// Places that steps take and stitches they make, as far as the words alone tell.
    fn need(&self, steps: &[Step]) -> Need {
        let mut total = Need::default();
        for step in steps {
            match &step.act {
                Act::Work { each, form, at } => {
                    let made = usize::from(form.stem != Stem::SlipStitch) * *each as usize;
                    match at {
                        Target::Next { n, class } | Target::Last { n, class } => {
                            total.add(class, *n as usize * form.places());
                            total.made += made * *n as usize;
                        }
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
                Act::Repeat { steps, times, .. } => {
                    let inner = self.need(steps);
                    let n = match times {
                        Times::InAll(n) => *n as usize,
                        Times::More(n) | Times::Doubt(n) => *n as usize + 1,
                        Times::ToEnd { .. } => {
                            total.open_ended = true;
                            0
                        }
                    };
                    total.stitches = total.stitches.saturating_add(inner.stitches.saturating_mul(n));
                    total.spaces = total.spaces.saturating_add(inner.spaces.saturating_mul(n));
                    total.made = total.made.saturating_add(inner.made.saturating_mul(n));
                }
                _ => {}
            }
        }
        total
    }

    fn skip(&mut self, n: usize, class: &Class, span: Span) {
        self.end_branch();
        // chains lying before a skip become a space when the next stitch comes
        let class = self.edge.searched(class);
        let class = match (&class, self.edge.ahead(&class)) {
            (Class::Kind(_) | Class::Stitch | Class::Chain, 0) if self.edge.ahead(&Class::Space(None)) > 0 => {
                Class::Space(None)
            }
            _ => class,
        };
        self.last_skip = n;
        if self.edge.spots.is_empty() && self.foundation.is_some() {
            return;
        }
        for i in 0..n {
            match self.edge.next_of(&class) {
                Some(k) => self.edge.take(k),
                None => {
                    self.run_out(span, n - i);
                    return;
                }
            }
        }
    }

    // ---- joins, yarns, edges --------------------------------------------------------------

    fn join(&mut self, _to: JoinTo, with: StitchForm, span: Span) {
        self.end_branch();
        let first = self.made.first().cloned();
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
            }
        }
        self.bench.event(EventKind::Join, None, true);
        self.joined = true;
        self.bench.fabric.rows[self.row.index()].joined = true;
    }

    fn attach(&mut self, yarn: Option<&str>, at: Option<&Target>, span: Span) {
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
            let class = match target {
                Target::Next { class, .. } | Target::First { class } | Target::Last { class, .. } => {
                    self.edge.searched(class)
                }
                _ => Class::Any,
            };
            if let Some(k) = self.edge.next_of(&class) {
                // the yarn hangs at this place: "same st" is it, and a round begins here
                if self.edge.closed && self.fresh {
                    self.edge.spots.rotate_left(k);
                    self.edge.cursor = 0;
                } else {
                    self.edge.cursor = k;
                }
                self.last = Some(LastPlace::OnEdge(self.edge.cursor));
                self.attached = true;
            }
        }
    }

    fn change(&mut self, yarn: &str) {
        let before = self.bench.yarn.clone();
        self.bench.take_yarn(yarn, true);
        let last = self.bench.fabric.rows[self.row.index()].order.last().copied();
        if let Some(id) = last
            && before != yarn
        {
            self.bench.fabric.stitches[id.index()].colour_end = Some(yarn.to_owned());
        }
    }

    fn row_ends(&mut self, span: Span) {
        if self.edge.spots.iter().any(|s| s.what == What::RowEnd) {
            return;
        }
        let spots = super::row_ends::row_end_spots(self.bench);
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

    // ---- the end of the row ---------------------------------------------------------------

    /// Settles chains, branches and the tally, and hands the new edge to the bench.
    pub fn finish(mut self) {
        self.end_branch();
        if !self.chains.is_empty() {
            self.chains_to_space(false);
        }
        let closed = self.is_closed();
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
            self.bench.edge = LiveEdge::new(std::mem::take(&mut self.made), closed);
        }
        self.bench.piece.push(self.row);
        self.bench.tallies.push(self.tally);
    }

    fn is_closed(&self) -> bool {
        self.joined
            || self.round_heading
                && (self.edge.closed || self.ring.is_some() || self.spiral_told || self.tally.offered.is_none())
    }

    fn settle_counts(&mut self, _closed: bool) {
        if self.edge.spots.is_empty() {
            return;
        }
        let end = self.edge.cursor;
        let open: Vec<usize> =
            (0..self.edge.spots.len()).filter(|&i| self.edge.spots[i].state == State::Open).collect();
        let closing_skip =
            self.joined && open.iter().all(|&i| i >= end) && open.len() == self.last_skip && self.last_skip > 0;
        for &i in &open {
            if self.tally.leave_told {
                self.edge.spots[i].state = State::Used;
                continue;
            }
            let named = if self.edge.spots[i].is_space() { self.named_spaces } else { self.named_stitches };
            let tip = self.edge.spots[i].what == What::Tip;
            let pass = closing_skip || tip || i >= end && !named;
            if pass {
                self.edge.spots[i].state = State::Passed;
            }
        }
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
        self.tally.offered = Some(self.edge.spots.len() - passed);
    }
}

/// Places that steps take, as far as the words alone tell.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Need {
    pub stitches: usize,
    pub spaces: usize,
    pub made: usize,
    /// True where a step inside goes "to the end" by itself.
    pub open_ended: bool,
}

impl Need {
    fn add(&mut self, class: &Class, n: usize) {
        match class {
            Class::Space(_) | Class::Corner => self.spaces = self.spaces.saturating_add(n),
            _ => self.stitches = self.stitches.saturating_add(n),
        }
    }
}

fn first_stem(steps: &[Step]) -> Stem {
    steps
        .iter()
        .find_map(|s| match &s.act {
            Act::Work { form, .. } => Some(form.stem),
            _ => None,
        })
        .unwrap_or(Stem::Single)
}

fn spaces_words(lengths: &[(u32, usize)]) -> String {
    if lengths.is_empty() {
        return "no ch sps".into();
    }
    let all: Vec<String> =
        lengths.iter().map(|(n, many)| format!("{many} ch-{n} sp{}", if *many == 1 { "" } else { "s" })).collect();
    all.join(" and ")
}
