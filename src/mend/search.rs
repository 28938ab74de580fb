//! The search for small changes of a row that make it fit.
//!
//! A number is not tried value by value: two trials tell how much one more of it adds to every count,
//! and so which value would close all gaps at once; a third trial proves it.

use super::change::{
    Change, Path, all_levels, all_steps, bare_act, ends_edge, in_open_repeat, is_bare, is_phrase, level, shares_number,
    starts_edge, step_at,
};
use super::knobs::{Knob, knobs, with};
use super::trials::{Made, Measure, Trials};
use crate::craft::{Stem, StitchForm};
use crate::instructions::{Act, RowKind, Stated, Step, Target};

/// A change after which the row fits.
#[derive(Clone, Debug)]
pub(super) struct Fit {
    pub change: Change,
    pub steps: Vec<Step>,
    pub stated: Vec<Stated>,
    pub made: Made,
    /// How much it changes; less is better.
    pub size: u32,
}

/// Values tried one by one for a number inside a repeat that goes on to the end, where nothing is proportional.
const MOST_VALUES: u32 = 16;

/// Longest chain that may be a turning chain.
const LONGEST_TURNING: u32 = 6;

/// Chains that any motif's first row finds room on.
const LONG: u32 = 40;

/// Largest number a mend writes.
const LARGEST: i64 = 2000;

/// Searches all small changes of a row. `donors` are acts that may be put in, with any number; `known` are those
/// the pattern has itself. Of a row that is worked as another, only the count may change.
pub(super) fn search(trials: &mut Trials<'_, '_>, donors: &[Act], known: &[Act], count_alone: bool) -> Vec<Fit> {
    let row = trials.row;
    let Some(base) = trials.measure(&row.steps, &row.stated) else { return Vec::new() };
    let mut search = Search { trials, base, fits: Vec::new() };
    search.statement();
    if count_alone {
        return search.fits;
    }
    search.foundation();
    search.numbers();
    search.forms();
    search.drops();
    search.again();
    search.insertions(donors, known);
    search.fits
}

struct Search<'s, 't, 'r> {
    trials: &'s mut Trials<'t, 'r>,
    base: Measure,
    fits: Vec<Fit>,
}

impl Search<'_, '_, '_> {
    /// Tries a change and keeps it where it fits. Of changes that make the same, the smallest is kept.
    fn take(&mut self, change: Change, size: u32) -> Option<Measure> {
        let (measure, steps, stated) = self.trials.of(&change)?;
        if let Some(made) = measure.fit.clone() {
            let states = matches!(change, Change::State { .. });
            let fit = Fit { change, steps, stated, made, size };
            let same = |f: &&mut Fit| {
                f.made.stitches == fit.made.stitches && matches!(f.change, Change::State { .. }) == states
            };
            match self.fits.iter_mut().find(same) {
                Some(known) if known.size <= size => {}
                Some(known) => *known = fit,
                None => self.fits.push(fit),
            }
        }
        Some(measure)
    }

    /// The one count at the end that is off.
    fn statement(&mut self) {
        let row = self.trials.row;
        for (index, stated) in row.stated.iter().enumerate() {
            let from = stated.count;
            let state = |count: u32| Change::State { index, count };
            let cost = |to: u32| size::STATEMENT + size::far(from, to);
            // what is made may hang on what is stated: a doubt is settled by it
            if from > 1 {
                self.take(state(from - 1), cost(from - 1));
            }
            // the gap a larger count opens is the one this count speaks of
            let Some(measure) = self.take(state(from.saturating_add(1)), cost(from.saturating_add(1))) else { return };
            let moved = measure.gaps.iter().zip(&self.base.gaps).position(|(a, b)| a != b);
            let Some(gap) = moved.and_then(|k| self.base.gaps.get(k)).copied().filter(|&g| g != 0) else { continue };
            if let Ok(count @ 1..) = u32::try_from(i64::from(from) - gap) {
                self.take(state(count), cost(count));
            }
        }
    }

    /// One number changed.
    fn numbers(&mut self) {
        let steps = self.trials.row.steps.clone();
        for path in all_steps(&steps) {
            let Some(step) = step_at(&steps, &path) else { continue };
            // nothing is proportional inside a repeat to the end, nor in a chain that may stand for a stitch
            let open = in_open_repeat(&steps, &path) || matches!(step.act, Act::Chain { n: ..=LONGEST_TURNING });
            for (knob, value) in knobs(&step.act) {
                let set = |n: u32| Change::Set { path: path.clone(), act: with(&step.act, knob, n) };
                let cost = |n: u32| size::number(knob, value, n);
                if open {
                    for n in (1..=value.saturating_add(4).clamp(LONGEST_TURNING, MOST_VALUES)).filter(|&n| n != value) {
                        self.take(set(n), cost(n));
                    }
                    continue;
                }
                self.solve(value, 1, set, cost);
                let both = |n: u32| Change::SetBoth { path: path.clone(), act: with(&step.act, knob, n) };
                let next = path.split_last().and_then(|(at, above)| level(&steps, above)?.get(at + 1));
                if knob == Knob::Each && next.is_some_and(|next| shares_number(step, next)) {
                    self.solve(value, 1, both, cost);
                }
            }
        }
    }

    /// A foundation too short to begin on says nothing of how long it should be; a long one does.
    fn foundation(&mut self) {
        let row = self.trials.row;
        let short = |s: &Step| matches!(s.act, Act::Chain { n: ..=LONGEST_TURNING });
        let Some(at) = row.steps.iter().position(short).filter(|_| row.heading.kind == RowKind::Foundation) else {
            return;
        };
        let Act::Chain { n: told } = row.steps[at].act else { return };
        let set = |n: u32| Change::Set { path: vec![at], act: Act::Chain { n } };
        let cost = |n: u32| size::number(Knob::Count, told, n);
        let (Some(long), Some(longer)) = (self.take(set(LONG), cost(LONG)), self.take(set(LONG + 1), cost(LONG + 1)))
        else {
            return;
        };
        let n = steps_to_close(&long.gaps, &longer.gaps).map_or(0, |t| i64::from(LONG) + t);
        if let Ok(n @ 1..) = u32::try_from(n) {
            self.take(set(n), cost(n));
        }
    }

    /// Finds the value of a number that closes every gap.
    fn solve(&mut self, value: u32, least: u32, set: impl Fn(u32) -> Change, cost: impl Fn(u32) -> u32) {
        let probe = value.saturating_add(1);
        let more = self.take(set(probe), cost(probe));
        let wanted = more.as_ref().and_then(|m| steps_to_close(&self.base.gaps, &m.gaps));
        let found = match wanted {
            Some(t) => Some(t),
            None if value > least => {
                // one more may run into a wall where one less does not
                let less = self.take(set(value - 1), cost(value - 1));
                less.and_then(|m| steps_to_close(&self.base.gaps, &m.gaps)).map(|t| -t)
            }
            None => None,
        };
        let n = found.map_or(0, |t| i64::from(value) + t);
        if n >= i64::from(least) && n <= LARGEST && n != i64::from(value) && n != i64::from(probe) {
            let n = n as u32; // OK: between 1 and LARGEST
            self.take(set(n), cost(n));
        }
    }

    /// Plain to decrease, and back.
    fn forms(&mut self) {
        let steps = self.trials.row.steps.clone();
        for path in all_steps(&steps) {
            let Some(Step { act: Act::Work { each: 1, form, at: Target::Next { n, class } }, .. }) =
                step_at(&steps, &path)
            else {
                continue;
            };
            let other = match (form.one_place, form.legs) {
                (true, 1) if form.stem != Stem::SlipStitch => StitchForm::together(form.stem, 2),
                (false, 2) => StitchForm::plain(form.stem),
                _ => continue,
            };
            let counts = if form.one_place { [*n, n / 2] } else { [*n, n.saturating_mul(2)] };
            for n in counts.into_iter().filter(|&n| n > 0) {
                let at = Target::Next { n, class: class.clone() };
                let act = Act::Work { each: 1, form: other, at };
                self.take(Change::Set { path: path.clone(), act }, size::FORM);
            }
        }
    }

    /// One phrase left out.
    fn drops(&mut self) {
        let steps = self.trials.row.steps.clone();
        for path in all_steps(&steps) {
            let Some(step) = step_at(&steps, &path).filter(|s| is_phrase(&s.act)) else { continue };
            let Some((&at, above)) = path.split_last() else { continue };
            let here = level(&steps, above).unwrap_or_default();
            let act = bare_act(&step.act);
            let twin = |k: Option<usize>| k.and_then(|k| here.get(k)).is_some_and(|s| bare_act(&s.act) == act);
            let doubled = twin(at.checked_sub(1)) || twin(Some(at + 1));
            self.take(Change::Drop { path }, if doubled { size::DOUBLED } else { size::DROP });
        }
    }

    /// One phrase done twice.
    fn again(&mut self) {
        let steps = self.trials.row.steps.clone();
        for path in all_steps(&steps) {
            if step_at(&steps, &path).is_some_and(|s| is_phrase(&s.act) && !ends_edge(&s.act)) {
                self.take(Change::Again { path }, size::AGAIN);
            }
        }
    }

    /// One phrase put in anywhere, with the number that fits.
    fn insertions(&mut self, donors: &[Act], known: &[Act]) {
        let steps = self.trials.row.steps.clone();
        let bare = is_bare(&steps);
        for above in all_levels(&steps) {
            let places = insertion_places(level(&steps, &above).unwrap_or_default(), above.is_empty());
            let path = |at: usize| above.iter().copied().chain([at]).collect::<Path>();
            // the number that fits is sought at three places: what a phrase takes may depend on where it stands
            let mut sought: Vec<usize> = Vec::new();
            let likely = [places.last(), places.first(), places.get(places.len() / 2)];
            likely.into_iter().flatten().for_each(|&at| {
                if !sought.contains(&at) {
                    sought.push(at);
                }
            });
            for donor in donors {
                let Some(act) = sought.iter().find_map(|&at| self.number_that_fits(donor, &path(at))) else { continue };
                // of a row that lost all its work "in each st" says the most
                let cost = match &act {
                    Act::Work { at: Target::Each { .. }, .. } if bare => size::INSERT_KNOWN - 1,
                    act if known.contains(act) => size::INSERT_KNOWN,
                    _ => size::INSERT,
                };
                for &at in &places {
                    self.take(Change::Insert { path: path(at), act: act.clone() }, cost);
                }
            }
        }
    }

    /// The donor with the number that closes every gap at this place.
    fn number_that_fits(&mut self, donor: &Act, path: &Path) -> Option<Act> {
        let insert = |act: &Act| Change::Insert { path: path.clone(), act: act.clone() };
        let numbers = match donor {
            Act::Chain { .. } => Vec::new(),
            _ => knobs(donor),
        };
        let of = |knob: Knob| numbers.iter().copied().find(|(k, _)| *k == knob);
        let Some((knob, _)) = of(Knob::Count).or_else(|| of(Knob::Each)).or_else(|| of(Knob::Times)) else {
            let (measure, ..) = self.trials.of(&insert(donor))?;
            return measure.fit.map(|_| donor.clone());
        };
        let one = with(donor, knob, 1);
        let (measure, ..) = self.trials.of(&insert(&one))?;
        if measure.fit.is_some() {
            return Some(one);
        }
        let n = match steps_to_close(&self.base.gaps, &measure.gaps) {
            Some(n) => n,
            // the first of them may do more than the others: it parts two chains
            None if measure.gaps != self.base.gaps => {
                let (more, ..) = self.trials.of(&insert(&with(donor, knob, 2)))?;
                steps_to_close(&measure.gaps, &more.gaps)? + 1
            }
            None => return None,
        };
        let act = with(donor, knob, u32::try_from(n).ok().filter(|&n| n > 0 && i64::from(n) <= LARGEST)?);
        let (measure, ..) = self.trials.of(&insert(&act))?;
        measure.fit.map(|_| act)
    }
}

/// Indices of a level before which a phrase may be put: from the first phrase to behind the last. The chain a row
/// begins with stays where it is.
fn insertion_places(steps: &[Step], is_row: bool) -> Vec<usize> {
    let opening = |s: &Step| {
        matches!(s.act, Act::Counts { .. } | Act::With { .. } | Act::Attach { .. } | Act::Ring { .. } | Act::Turn)
    };
    let begun = steps.iter().position(|s| !opening(s)).unwrap_or(steps.len());
    let chain = usize::from(is_row && steps.get(begun).is_some_and(|s| matches!(s.act, Act::Chain { .. })));
    // "Ch 1, turn." with no work at all: the turn ends the row
    let works = steps[begun + chain..].iter().any(|s| is_phrase(&s.act));
    let leads_on = |s: &&Step| opening(s) && (works || s.act != Act::Turn);
    let counts = steps[begun + chain..].iter().take_while(leads_on).count();
    let first = if is_row { begun + chain + counts } else { 0 };
    let last = steps.iter().rposition(|s| is_phrase(&s.act)).map_or(first, |k| (k + 1).max(first));
    let follows = |at: usize| at == 0 || !ends_edge(&steps[at - 1].act);
    let leads = |at: usize| steps.get(at).is_none_or(|s| !starts_edge(&s.act));
    (first..=last).filter(|&at| follows(at) && leads(at)).collect()
}

/// How many more of what was tried once would close every gap; none where no whole number does.
fn steps_to_close(base: &[i64], tried: &[i64]) -> Option<i64> {
    if base.len() != tried.len() {
        return None;
    }
    let mut steps = None;
    for (b, t) in base.iter().zip(tried) {
        let closed = b - t;
        if closed == 0 {
            if *b != 0 {
                return None;
            }
            continue;
        }
        let n = (b % closed == 0).then(|| b / closed)?;
        if steps.is_some_and(|s| s != n) {
            return None;
        }
        steps = Some(n);
    }
    steps.filter(|&n| n != 0)
}

/// How much a change changes.
mod size {
    use super::Knob;

    /// A phrase that stands twice, taken out once: whoever sees it knows.
    pub const DOUBLED: u32 = 10;
    pub const TIMES: u32 = 15;
    /// Common practice, no source: of words and the count at the end that differ by one slip, the words are
    /// longer and so hold the slip more often.
    pub const STATEMENT: u32 = 24;
    pub const AGAIN: u32 = 26;
    pub const FORM: u32 = 26;
    /// A phrase the pattern has just so.
    pub const INSERT_KNOWN: u32 = 28;
    pub const DROP: u32 = 30;
    pub const INSERT: u32 = 31;

    pub fn number(knob: Knob, from: u32, to: u32) -> u32 {
        match knob {
            Knob::Times if from.abs_diff(to) == 1 => TIMES,
            Knob::Length | Knob::Hook => 26 + far(from, to),
            _ => 20 + far(from, to),
        }
    }

    /// Off by one is the commonest slip, then a figure lost or doubled; far off is hardly a slip.
    pub fn far(from: u32, to: u32) -> u32 {
        match from.abs_diff(to) {
            0 | 1 => 0,
            2 => 2,
            3 => 6,
            _ if from / 10 == to || to / 10 == from => 8,
            4 => 9,
            n => 8 + n.min(8),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_trials_tell_the_number() {
        // 3 places and 6 stitches missing, one more increase takes 1 and makes 2
        assert_eq!(steps_to_close(&[3, 6], &[2, 4]), Some(3));
        assert_eq!(steps_to_close(&[-2, -2], &[-3, -3]), Some(-2));
        assert_eq!(steps_to_close(&[3, 6], &[2, 5]), None);
        assert_eq!(steps_to_close(&[3, 0], &[1, 0]), None);
        assert_eq!(steps_to_close(&[0, 4], &[0, 4]), None);
        assert_eq!(steps_to_close(&[0, 4], &[0, 3]), Some(4));
    }
}
