//! Steps walked along the edge without working them: how far they would come.

use super::row::RowWork;
use super::shapes::{From, repeats};
use crate::craft::StitchForm;
use crate::instructions::{Act, Class, Step, Target, Times};

/// Steps walked at most for one question; a repeat of a published row has a few dozen.
const MOST_STEPS: usize = 4096;

/// True where steps name places by shape, so that counting places does not tell whether they fit.
pub(super) fn by_shape(steps: &[Step]) -> bool {
    let shape = |c: &Class| {
        matches!(
            c,
            Class::Group(_) | Class::Run { .. } | Class::CornerStitch | Class::Marked | Class::Picot | Class::All
        )
    };
    let target = |at: &Target| match at {
        Target::Within { .. } | Target::Between { .. } | Target::UpTo { .. } => true,
        Target::Next { class, .. } | Target::Last { class, .. } | Target::First { class } => shape(class),
        Target::Each { class, .. } => shape(class),
        _ => false,
    };
    steps.iter().any(|s| match &s.act {
        Act::OfRow { .. } | Act::Filet { .. } => true,
        Act::Work { at, .. } => target(at),
        Act::Group { at, .. } => target(at),
        Act::Skip { class, .. } => shape(class),
        Act::Repeat { steps, times, .. } => matches!(times, Times::UpTo { .. }) || by_shape(steps),
        _ => false,
    })
}

impl RowWork<'_> {
    /// Where steps come to from a place on; none where a place they name is not ahead.
    pub(super) fn walked(&self, steps: &[Step], from: From) -> Option<From> {
        let mut left = MOST_STEPS;
        self.walk(steps, from, &mut left)
    }

    fn walk(&self, steps: &[Step], mut from: From, left: &mut usize) -> Option<From> {
        let mut away = false;
        for step in steps {
            *left = left.checked_sub(1)?;
            if let Act::OfRow { row } = step.act {
                away = !self.edge_is_of(row);
            }
            // what goes into another row takes nothing of this edge
            if away {
                continue;
            }
            from = match &step.act {
                Act::Work { form, at, .. } => self.walk_to(at, *form, from)?,
                Act::Group { at, .. } => self.walk_to(at, StitchForm::plain(crate::craft::Stem::Single), from)?,
                // what is skipped is not gone into: "sk 2 dc, sc in center dc of next shell" means the shell skipped into
                Act::Skip { n, class } => From { entered: from.entered, ..self.walk_skip(class, *n as usize, from)? },
                Act::Repeat { steps, times, .. } => match times {
                    Times::InAll(n) => self.walk_times(steps, *n as usize, from, left)?,
                    Times::More(n) | Times::Doubt(n) => self.walk_times(steps, self.more(*n), from, left)?,
                    Times::UpTo { stop } => self.walk_before(stop, from),
                    Times::ToEnd { .. } | Times::Along => return Some(From { cursor: self.edge.spots.len(), ..from }),
                },
                Act::Filet { n, .. } => self.walk_filet(*n, from)?,
                Act::FarSide | Act::RowEnds => return Some(from),
                _ => from,
            };
        }
        Some(from)
    }

    fn walk_times(&self, steps: &[Step], n: usize, mut from: From, left: &mut usize) -> Option<From> {
        for _ in 0..n {
            let before = from.cursor;
            from = self.walk(steps, from, left)?;
            if from.cursor == before {
                break;
            }
        }
        Some(from)
    }

    fn walk_before(&self, stop: &Target, from: From) -> From {
        match self.edge.stop_of(&from, stop, &self.bench.fabric) {
            Some(k) => From { cursor: from.cursor.max(k), ..from },
            None => From { cursor: self.edge.spots.len(), ..from },
        }
    }

    fn walk_to(&self, at: &Target, form: StitchForm, mut from: From) -> Option<From> {
        match at {
            Target::Next { n, class } => self.walk_over(class, *n as usize * form.places(), from),
            Target::Last { n, class } => {
                // a kind that the words before have used up is not any stitch
                let class = self.edge.searched(class);
                let ahead = (from.cursor..self.edge.spots.len()).filter(|&i| self.edge.spots[i].is(&class));
                let enough = ahead.clone().count() >= *n as usize * form.places();
                // "shell in last sc, sc in top of tch": what lies behind the last of a kind is still there
                ahead.last().filter(|_| enough).map(|k| From { cursor: k + 1, ..from })
            }
            Target::Within { .. } | Target::Between { .. } => {
                if repeats(at) {
                    return Some(From { cursor: self.edge.spots.len(), ..from });
                }
                for found in self.edge.find_shape(&from, at, &self.bench.fabric)? {
                    from.pass(found);
                }
                Some(from)
            }
            Target::TurningTop => {
                let turning = |i: &usize| matches!(self.edge.spots[*i].what, super::edge::What::Turning(_));
                let found = (from.cursor..self.edge.end()).find(turning);
                let gone = found.is_none() && (0..from.cursor).any(|i| turning(&i));
                (!gone).then(|| From { cursor: found.map_or(from.cursor, |k| k + 1), ..from })
            }
            Target::Over { legs } => legs.iter().try_fold(from, |from, class| self.walk_over(class, 1, from)),
            Target::UpTo { stop, .. } => Some(self.walk_before(stop, from)),
            Target::Each { .. } | Target::Evenly { .. } => Some(From { cursor: self.edge.spots.len(), ..from }),
            _ => Some(from),
        }
    }

    fn walk_skip(&self, class: &Class, n: usize, from: From) -> Option<From> {
        self.walk_over(class, n, from).or_else(|| {
            let over = self.shapes_over(n, class, &from)?;
            over.last().map(|shape| From { cursor: shape.end, ..from })
        })
    }

    fn walk_over(&self, class: &Class, n: usize, mut from: From) -> Option<From> {
        let class = self.edge.searched_from(if from.strict { self.edge.cursor } else { from.cursor }, class);
        for _ in 0..n {
            let k = self.edge.next_from(from.cursor, &class)?;
            from.cursor = k + 1;
            from.entered = Some(k);
        }
        Some(from)
    }

    /// "rep from * across, ending with sc in last st": the last pass as far as those words take its place, where only
    /// that comes to the end of the edge.
    pub(super) fn end_last_pass(&mut self, steps: &[Step], rest: &[Step]) {
        let Some((Step { act: Act::Ending, .. }, behind)) = rest.split_first() else { return };
        let behind = &behind[..behind.len().min(super::row::MOST_BEHIND)];
        let slipped = self.before_close(behind);
        if slipped.len() < behind.len()
            && slipped.iter().all(|s| matches!(s.act, Act::Chain { .. }))
            && !slipped.is_empty()
        {
            return self.end_at_chain(steps, slipped.first());
        }
        let place = |s: &&Step| matches!(s.act, Act::Work { .. } | Act::Group { .. });
        // "ending with sl st in first sc": the join takes the place of the last step
        let joins = matches!(behind.first().map(|s| &s.act), Some(Act::Join { .. }));
        if !joins && !behind.iter().take_while(|s| !matches!(s.act, Act::Join { .. })).any(|s| place(&s)) {
            return self.end_at_chain(steps, behind.first());
        }
        // a repeat that goes from space to space passes the stitches between and behind them
        let need = self.need(steps);
        let spaces = need.stitches == 0 && need.spaces > 0;
        let left = |work: &Self, words: &[Step]| {
            let from = work.walked(words, From { strict: true, ..work.search() })?;
            let counts = |i: usize| match spaces {
                true => work.edge.spots[i].is_space(),
                false => !work.edge.spots[i].what.is_by_name(),
            };
            // a gap lies before the last place: that is passed with it
            let behind = from.cursor + usize::from(from.gap == Some(from.cursor));
            Some((behind..work.edge.end()).filter(|&i| counts(i)).count())
        };
        // nothing is left of the edge: the repeat has come round by itself
        if !(self.edge.cursor..self.edge.end()).any(|i| !self.edge.spots[i].what.is_by_name()) {
            return;
        }
        let ends = |work: &Self, k: usize| {
            let words: Vec<Step> = steps[..k].iter().chain(behind).cloned().collect();
            left(work, &words) == Some(0)
        };
        // "*5 ch, miss 6, dc in next; rep from * ending with 5 ch, miss 6": its chain is the one of the words behind
        let chain = |s: Option<&Step>| s.is_some_and(|s| matches!(s.act, Act::Chain { .. }));
        let twice = |k: usize| chain(steps.get(k - 1)) && chain(behind.first());
        if let Some(k) = (1..steps.len()).rev().find(|&k| !twice(k) && ends(self, k)) {
            self.run(&steps[..k]);
        }
    }

    /// "*ch 3, sc in next loop of pineapple, …, ch 3, shell in next shell; rep from * around, ending with ch 3": the last
    /// pass stops at the chain that the words behind it tell, where what comes behind that chain is not there.
    fn end_at_chain(&mut self, steps: &[Step], ending: Option<&Step>) {
        let Some(Act::Chain { n }) = ending.map(|s| &s.act) else { return };
        let stops = (1..steps.len()).rev().find(|&k| {
            matches!(&steps[k].act, Act::Chain { n: own } if own == n)
                && steps[k..].iter().any(|s| s.act.works())
                && steps[..k].iter().any(|s| s.act.works())
                && self.walked(&steps[..k], self.search()).is_some()
                && self.walked(steps, self.search()).is_none()
        });
        if let Some(k) = stops {
            self.run(&steps[..k]);
        }
    }

    /// "*ch 5, sc in last dc of same group, sc in ch-1 sp, sc in first dc of next group; rep from * around": the last pass
    /// goes as far as the stitch that the round began with.
    pub(super) fn come_round(&mut self, steps: &[Step], rest: &[Step]) {
        let open = |work: &Self, from: usize| {
            (from..work.edge.end()).filter(|&i| !work.edge.spots[i].what.is_by_name()).count()
        };
        let ends = self.before_close(rest).iter().all(|s| !s.act.works());
        if !self.edge.closed || !ends || steps.len() < 2 || open(self, self.edge.cursor) == 0 {
            return;
        }
        let (last, before) = match steps.split_last() {
            Some((last, before)) if last.act.works() => (last, before),
            _ => return,
        };
        let Act::Work { at: Target::Within { .. } | Target::Next { .. }, .. } = &last.act else { return };
        let strict = From { strict: true, ..self.search() };
        if self.walked(before, strict).is_some_and(|from| open(self, from.cursor) == 0)
            && self.walked(steps, strict).is_none()
        {
            self.run(before);
        }
    }

    /// The steps before the slip stitch that closes the round, as "ss to 3rd of 3ch" does: it takes no place still to come.
    fn before_close<'s>(&self, rest: &'s [Step]) -> &'s [Step] {
        let slips = |form: &StitchForm| form.stem == crate::craft::Stem::SlipStitch;
        let closes = |s: &Step| match &s.act {
            Act::Work { form, at: Target::TurningTop | Target::First { .. }, .. } => slips(form),
            _ => false,
        };
        let end = rest.iter().position(|s| self.edge.closed && closes(s)).unwrap_or(rest.len());
        &rest[..end]
    }

    /// True where one more pass fits, with what stays for the words behind it.
    pub(super) fn pass_fits(&self, steps: &[Step], less: usize, less_of: &Class, rest: &[Step]) -> bool {
        let Some(from) = self.walked(steps, self.search()) else { return false };
        if from.cursor <= self.edge.cursor && from.gap == self.last_gap {
            return false;
        }
        if less > 0 {
            // a kind that the pass has used up is not any stitch
            let class = self.edge.searched(less_of);
            let ahead = (from.cursor..self.edge.spots.len()).filter(|&i| self.edge.spots[i].is(&class)).count();
            return ahead >= less;
        }
        let rest = &rest[..rest.len().min(super::row::MOST_BEHIND)];
        self.walked(self.before_close(rest), from).is_some()
    }
}
