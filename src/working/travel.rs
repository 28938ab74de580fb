//! Slip stitches that carry the yarn to where a round begins.

use super::edge::State;
use super::row::{LastPlace, RowWork};
use super::shapes::Found;
use crate::craft::{Stem, StitchForm};
use crate::fabric::{Place, Role};
use crate::instructions::{Act, Class, Pick, Step, Target, Which};
use crate::source::Span;

impl RowWork<'_> {
    /// At the start of a joined round, slip stitches before its starting chain only travel: they use and make nothing.
    pub(super) fn travels(&mut self, each: u32, form: StitchForm, at: &Target, span: Span, rest: &[Step]) -> bool {
        let slips = form == StitchForm::plain(Stem::SlipStitch) && each == 1;
        let leads = if self.edge.closed {
            before_chain(rest) || reaches_space(at, rest)
        } else {
            self.made.is_empty() && opens_row(rest)
        };
        if !(slips && self.fresh && !self.attached && leads) {
            return false;
        }
        let (n, class) = match at {
            Target::Next { n: 1, class: Class::Any } if let Some(place) = self.group_place => {
                let into = self.place_of(place);
                self.bench.make(self.row, form, &[into], Role::Travel, span);
                (self.travelled, self.last) = (true, Some(place));
                return true;
            }
            Target::Next { n, class } => (n, class),
            // "sl st in first ch-2 sp, ch 3, 2 dc in same sp"
            Target::First { class } if self.edge.closed || !self.travelled => (&1, class),
            Target::UpTo { class, stop } => return self.travels_up_to(form, class, stop, span),
            // "sl st in next 2 chs of ch-5 sp"
            Target::Within { pick: Pick::First(n), class: Class::Chain, shape: Class::Space(_), .. }
                if self.edge.closed =>
            {
                (n, &Class::Chain)
            }
            Target::Within { which: Which::Next | Which::First, .. } => return self.travels_to_shape(form, at, span),
            Target::Between { each: false, .. } if !self.travelled => return self.travels_to_gap(form, at, span),
            _ => return false,
        };
        if !self.travelled && self.edge.closed {
            // the yarn comes out of the first place, where the round before was joined
            self.edge.cursor = usize::from(!self.edge.spots.is_empty());
        }
        self.past_the_place_reached();
        if !(*class == Class::Chain && self.travels_into_space(form, *n as usize, span)) {
            let class = self.edge.searched(class);
            for _ in 0..*n {
                let Some(k) = self.edge.next_of(&class) else {
                    self.run_out(span, 1);
                    return true;
                };
                self.edge.cursor = k + 1;
                let place = self.edge.spots[k].place;
                self.bench.make(self.row, form, &[place], Role::Travel, span);
                self.travelled = true;
                self.last = Some(LastPlace::OnEdge(k));
            }
        }
        // the place reached is where the round begins: it stays open for what is worked there
        if let Some(LastPlace::OnEdge(k)) = self.last {
            self.edge.cursor = k;
            for spot in &mut self.edge.spots[..k] {
                spot.state = State::Passed;
            }
            if self.edge.closed {
                self.edge.spare = (k, 0);
            }
        }
        true
    }

    /// "Sl st in next st, sl st in next st": the place reached is behind, unless something is worked in it.
    pub(super) fn past_the_place_reached(&mut self) {
        if let (true, true, Some(LastPlace::OnEdge(k))) = (self.travelled, self.fresh, self.last)
            && self.edge.cursor == k
            && k < self.edge.spots.len()
        {
            self.edge.spots[k].state = State::Passed;
            self.edge.cursor = k + 1;
            if self.edge.closed {
                self.edge.spare = (k + 1, 0);
            }
        }
    }

    /// "Sl st in next 2 ch, ch 1, sc in same sp": over the first chains of the space that comes next, and so into it.
    /// False where no space comes next, or one of fewer chains.
    fn travels_into_space(&mut self, form: StitchForm, n: usize, span: Span) -> bool {
        let Some(k) = self.edge.next_of(&Class::All) else { return false };
        let Place::Space { space } = self.edge.spots[k].place else { return false };
        let ids = self.bench.fabric.spaces[space.index()].ids.clone();
        if !self.edge.spots[k].is_space() || n > ids.len() {
            return false;
        }
        for id in ids.into_iter().take(n) {
            self.bench.make(self.row, form, &[Place::chain(id)], Role::Travel, span);
        }
        self.travelled = true;
        self.last = Some(LastPlace::OnEdge(k));
        true
    }

    /// "Sl st in each ch to next marked ch, ch 5": the row begins before that place.
    fn travels_up_to(&mut self, form: StitchForm, class: &Class, stop: &Target, span: Span) -> bool {
        let mut there = false;
        self.open_chains(class);
        self.up_to(stop, span, |work| {
            there = work.edge.fence.is_some();
            while there && !work.bench.limit_hit {
                let Some(k) = work.edge.next_of(class) else { break };
                work.edge.cursor = k + 1;
                let place = work.edge.spots[k].place;
                work.bench.make(work.row, form, &[place], Role::Travel, span);
                (work.travelled, work.last) = (true, Some(LastPlace::OnEdge(k)));
            }
        });
        let cursor = self.edge.cursor;
        for spot in &mut self.edge.spots[..cursor] {
            spot.state = State::Passed;
        }
        there
    }

    /// "Sl st in sp between ch-3 and first dc, ch 3, dc in same sp": the round begins in that gap.
    fn travels_to_gap(&mut self, form: StitchForm, at: &Target, span: Span) -> bool {
        let found = self.edge.find_shape(&self.search(), at, &self.bench.fabric);
        let Some([Found::Gap(k, place)]) = found.as_deref() else { return self.travels_to_shape(form, at, span) };
        self.bench.make(self.row, form, &[*place], Role::Travel, span);
        (self.travelled, self.last) = (true, Some(LastPlace::Off(*place)));
        if self.edge.closed {
            self.edge.spots.rotate_left(*k);
            self.edge.cursor = 0;
            self.edge.begun_in_gap = true;
        } else {
            self.edge.pass_to(*k);
            self.last_gap = Some(*k);
        }
        true
    }

    /// "Sl st to center sp of first shell, ch 1, sc in same sp": the row begins within the shape.
    fn travels_to_shape(&mut self, form: StitchForm, at: &Target, span: Span) -> bool {
        let Some(&[place]) = self.take_shape(at).as_deref() else { return false };
        if !self.is_there(place) {
            return false;
        }
        let into = self.place_of(place);
        self.bench.make(self.row, form, &[into], Role::Travel, span);
        (self.travelled, self.last) = (true, Some(place));
        if let LastPlace::OnEdge(k) = place {
            self.edge.cursor = k;
            self.edge.spots[k].state = State::Open;
        }
        let cursor = self.edge.cursor;
        for spot in &mut self.edge.spots[..cursor] {
            spot.state = State::Passed;
        }
        true
    }
}

/// True where what comes next opens a row in the place the slip stitches reach: a chain as tall as the stitch behind
/// it, a chain whose stitch goes into the same place, a group that begins with its chain.
fn opens_row(rest: &[Step]) -> bool {
    let slip = |s: &&Step| matches!(&s.act, Act::Work { form, .. } if form.stem == Stem::SlipStitch);
    let mut rest = rest.iter().skip_while(slip).filter(|s| !matches!(s.act, Act::Counts { .. } | Act::Turn));
    let begins = |steps: &[Step]| matches!(steps.first().map(|s| &s.act), Some(Act::Chain { .. }));
    let same = |s: Option<&Step>| {
        matches!(s.map(|s| &s.act), Some(Act::Work { at: Target::Same, .. } | Act::Group { at: Target::Same, .. }))
    };
    match rest.next().map(|s| &s.act) {
        Some(Act::Group { steps, .. }) if begins(steps) => true,
        Some(Act::Chain { n }) => {
            let behind = rest.next();
            let stem = match behind.map(|s| &s.act) {
                Some(Act::Work { form, .. }) => Some(form.stem),
                Some(Act::Group { steps, .. }) => steps.iter().find_map(|s| match &s.act {
                    Act::Work { form, .. } => Some(form.stem),
                    _ => None,
                }),
                _ => None,
            };
            same(behind) || *n >= 2 && stem.is_some_and(|s| u32::from(crate::craft::turning_chains(s)) == *n)
        }
        _ => false,
    }
}

/// True where slip stitches run to a space and the round then begins in a space: the one they reached.
fn reaches_space(at: &Target, rest: &[Step]) -> bool {
    let slip = |s: &&Step| matches!(&s.act, Act::Work { form, .. } if form.stem == Stem::SlipStitch);
    let last = rest.iter().take_while(slip).last().map_or(Some(at), |s| match &s.act {
        Act::Work { at, .. } => Some(at),
        _ => None,
    });
    let space = |at: &Target| matches!(at, Target::Next { n: 1, class: Class::Space(_) });
    last.is_some_and(space) && rest.iter().find(|s| !slip(s)).is_some_and(|s| begins_in(s, &space))
}

/// True where the first stitches of a step, behind chains, go into such a place.
fn begins_in(step: &Step, fits: &impl Fn(&Target) -> bool) -> bool {
    match &step.act {
        Act::Group { at, .. } | Act::Work { at, .. } => fits(at),
        Act::Repeat { steps, .. } => {
            steps.iter().find(|s| !matches!(s.act, Act::Chain { .. })).is_some_and(|s| begins_in(s, fits))
        }
        _ => false,
    }
}

/// True where a chain comes next, after no more than further slip stitches.
fn before_chain(rest: &[Step]) -> bool {
    rest.iter()
        .find(|s| {
            !matches!(&s.act, Act::Work { form, .. } if form.stem == Stem::SlipStitch) && !matches!(s.act, Act::Turn)
        })
        .is_some_and(|s| match &s.act {
            Act::Chain { .. } | Act::Group { at: Target::Same, .. } | Act::Work { at: Target::Same, .. } => true,
            // "sl st to center of shell, beg shell in shell": its chain rises where the yarn is
            // and so does that of "(sl st, ch 4, dc) in next st"
            Act::Group { steps, .. } => opens_with_chain(steps),
            _ => false,
        })
}

/// True where a chain is the first that is made in a group, but for slip stitches on the way there.
pub(super) fn opens_with_chain(steps: &[Step]) -> bool {
    let way = |s: &&Step| matches!(&s.act, Act::Work { each: 1, form, .. } if form.stem == Stem::SlipStitch);
    matches!(steps.iter().find(|s| !way(s)).map(|s| &s.act), Some(Act::Chain { .. }))
}
