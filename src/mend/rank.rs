//! Which of the changes that fit is the likeliest: how little it changes, and how natural the row looks after it.

use super::change::{Change, bare_act, first_stem, is_phrase};
use super::nature::{Op, alike, is_mirrored, variety};
use super::search::Fit;
use crate::craft::{Stem, turning_chains};
use crate::instructions::{Act, Class, Step, Target};

/// The row as it is, and the rows around it.
pub(super) struct Around {
    /// The faulty row, place by place.
    pub base: Vec<Op>,
    /// Its seams: see [`seams`].
    pub seams: i64,
    /// The chain it opens with: see [`opening`].
    pub opening: Option<Opening>,
    /// True where nothing of its work is left.
    pub bare: bool,
    /// True where it begins in a ring, or in one chain, with a usual number of stitches.
    pub usual_hub: bool,
    /// True where all its work is one repeat.
    pub one_repeat: bool,
    /// True where the row below has stitches.
    pub stitches_below: bool,
    /// True where it leaves spaces of the row below unnamed.
    pub spaces_left: bool,
    /// Groups of it that are not the same from both ends: see [`lopsided`].
    pub lopsided: i64,
    /// True where it or a row around it skips something.
    pub skips: bool,
    /// Rows above and below it, and whether each runs the other way.
    pub neighbours: Vec<(Vec<Op>, bool)>,
}

/// The chain a row opens with.
#[derive(Clone, Copy)]
pub(super) struct Opening {
    at: usize,
    /// Chains it has.
    n: u32,
    /// Chains as tall as the stitch behind it, where one is.
    usual: Option<u32>,
}

/// The chain that steps open with.
pub(super) fn opening(steps: &[Step]) -> Option<Opening> {
    let at = steps.iter().position(|s| is_phrase(&s.act))?;
    let Act::Chain { n } = steps[at].act else { return None };
    let usual =
        steps[at + 1..].iter().find_map(|s| first_stem(&s.act)).map(height_in_chains).filter(|&usual| usual > 0);
    Some(Opening { at, n, usual })
}

fn height_in_chains(stem: Stem) -> u32 {
    u32::from(turning_chains(stem))
}

/// True where steps skip something.
pub(super) fn skips(steps: &[Step]) -> bool {
    steps.iter().any(|s| matches!(s.act, Act::Skip { .. }) || skips(super::change::inside(&s.act)))
}

/// Points against an opening chain made other than its stitch asks for, and for one made so.
const USUAL_OPENING: i64 = 8;
/// Points for a seam closed.
const SEAM: i64 = 10;
/// Points for a row the same from both ends: more than lies between a number off by one and a phrase lost.
const MIRRORED: i64 = 12;
/// Points for what goes into spaces that the row as it is leaves unnamed.
const INTO_SPACES: i64 = 9;
/// Points for many stitches in a stitch, where a space would hold them (common practice, no source).
const MANY_IN_ONE: i64 = 1;
/// Points against a number of stitches in a ring that rounds seldom begin with, where the words have one of the usual
/// ones, and those (common practice, no source).
const ODD_HUB: i64 = 5;
const USUAL_HUBS: &[u32] = &[6, 8, 12, 16, 24];
/// Points against each group that is not the same from both ends.
const LOPSIDED: i64 = 5;
/// Points for a row that does what a neighbour does, in other numbers.
const ALIKE: i64 = 6;
/// Points against a phrase put in at either end of a row, which the eye that wrote it seldom loses.
const AT_AN_END: i64 = 1;
/// Points against an increase or decrease put into a repeat anywhere but last (common practice, no source).
const LAST_OF_REPEAT: i64 = 1;
/// Points against each repeat of one plain phrase: nobody puts brackets round that, so something fell out of them.
const ONE_IN_BRACKETS: i64 = 7;
/// Points against several decreases in one place.
const SEVERAL_TOGETHER: i64 = 8;
/// Points against a row that stops before the last stitches of the row below.
const STOPS_SHORT: i64 = 20;
/// Points against work put in front of the chain, or the joining of a yarn, that a row opens with.
const BEFORE_OPENING: i64 = 12;
/// Points against a phrase put in beside the one repeat that all of a row is, and not inside it.
const BESIDE_THE_REPEAT: i64 = 6;
/// Points against a count changed where the words have a seam: something fell out there.
const SEAM_LEFT: i64 = 8;
/// Points against "in each st" put in beside phrases that go into so many.
const EACH_BESIDE: i64 = 8;
/// Points for "in each st" where nothing of the row is left.
const EACH_ALONE: i64 = 8;
/// Points against a row of stitches that its opening chain is not made for.
const OTHER_HEIGHT: i64 = 6;
/// Points against a skip where no row around has one.
const SKIP_ALONE: i64 = 5;
/// Points for a skip behind chains that bridge what it passes.
const BRIDGED: i64 = 6;
/// Points against each thing that no row around does.
const STRANGE: i64 = 3;
/// Points for each different thing a row does, and for each different pair of neighbours.
const KIND: i64 = 3;
const PAIR: i64 = 1;
/// A change of many things counts as one of so many.
const MOST_VARIETY: i64 = 5;

impl Around {
    /// How far a change is from the likeliest; equal where nothing tells two apart.
    pub fn rank(&self, fit: &Fit) -> i64 {
        let mut rank = i64::from(fit.size) + STOPS_SHORT * i64::from(fit.made.stops);
        rank += ONE_IN_BRACKETS * one_in_brackets(&fit.steps);
        if matches!(fit.change, Change::State { .. }) {
            rank += SEAM_LEFT * i64::from(self.seams > 0);
        }
        // of a count, or of a foundation, nothing looks more or less natural
        if matches!(fit.change, Change::State { .. })
            || self.base.is_empty() && self.seams == 0 && only_chains(&fit.made.ops)
        {
            return rank;
        }
        let ops = &fit.made.ops;
        let ((kinds, pairs), (kinds_before, pairs_before)) = (variety(ops), variety(&self.base));
        let more = |now: u32, before: u32| (i64::from(now) - i64::from(before)).clamp(-MOST_VARIETY, MOST_VARIETY);
        let varied = KIND * more(kinds, kinds_before) + PAIR * more(pairs, pairs_before);
        // a row with a phrase less is always plainer; that speaks for no phrase in particular
        let dropped = matches!(fit.change, Change::Drop { .. });
        rank += if dropped { varied.max(0) } else { varied };
        // a row of one thing is the same from both ends for want of anything else: a stitch made otherwise spoils nothing
        let (before, now) = (is_mirrored(&self.base), is_mirrored(ops));
        let lost = before && !now && (kinds_before > 1 || !matches!(fit.change, Change::Set { .. }));
        rank += MIRRORED * (i64::from(lost) - i64::from(now && !before));
        let like = |ops: &[Op]| i64::from(self.neighbours.iter().any(|(n, turned)| alike(ops, n, *turned)));
        rank -= ALIKE * (like(ops) - like(&self.base));
        rank += STRANGE * (self.strange(ops) - self.strange(&self.base));
        rank += SEAM * (seams(&fit.steps) - self.seams);
        rank += LOPSIDED * (lopsided(&fit.steps) - self.lopsided);
        if let (Change::Set { path, act: Act::Chain { n } }, Some(opening)) = (&fit.change, self.opening)
            && path[..] == [opening.at]
            && let Some(usual) = opening.usual
        {
            rank += USUAL_OPENING * (i64::from(opening.n == usual) - i64::from(*n == usual));
        }
        if let Change::Set { path, act } = &fit.change {
            rank += LAST_OF_REPEAT * i64::from(shapes(act) && !is_last(&fit.steps, path));
            let together = matches!(act, Act::Work { each: 2.., form, .. } if form.places() > 1);
            rank += SEVERAL_TOGETHER * i64::from(together);
            if let Act::Work { each, at: Target::Ring | Target::FromHook { .. }, .. } = act {
                rank += ODD_HUB * i64::from(self.usual_hub && !USUAL_HUBS.contains(each));
            }
            let crowded = matches!(act, Act::Work { each: 3.., at: Target::Next { n: 1, class }, .. }
                if !matches!(class, Class::Space(_) | Class::Corner(_) | Class::CornerStitch));
            rank += MANY_IN_ONE * i64::from(crowded);
        }
        if let Change::Insert { path, act } = &fit.change {
            let each = matches!(act, Act::Work { at: Target::Each { less: 0, .. }, .. });
            let other = |o: Opening| first_stem(act).is_some_and(|stem| height_in_chains(stem) != o.n);
            rank += OTHER_HEIGHT * i64::from(self.bare && self.opening.is_some_and(other));
            let spaced = matches!(act, Act::Work { at: Target::Next { class: Class::Space(_), .. }, .. });
            rank -= INTO_SPACES * i64::from(spaced && self.spaces_left);
            let bridged = matches!(act, Act::Skip { .. }) && behind_chains(&fit.steps, path);
            rank += SKIP_ALONE * i64::from(matches!(act, Act::Skip { .. }) && !self.skips && !bridged);
            rank -= BRIDGED * i64::from(bridged);
            rank += match (each, self.bare) {
                (true, true) if self.stitches_below => -EACH_ALONE,
                (true, true) => EACH_BESIDE,
                (true, false) if path.len() == 1 => EACH_BESIDE,
                _ => 0,
            };
            rank += LAST_OF_REPEAT * i64::from(shapes(act) && !is_last(&fit.steps, path));
            let level_is_row = path.len() == 1;
            rank += BESIDE_THE_REPEAT * i64::from(level_is_row && self.one_repeat && !matches!(act, Act::Chain { .. }));
            let first = fit.steps.iter().position(|s| is_phrase(&s.act) && !is_chain(s));
            let last = fit.steps.iter().rposition(|s| is_phrase(&s.act) && !is_chain(s));
            let opens =
                fit.steps.iter().rposition(|s| matches!(s.act, Act::Attach { .. })).or(self.opening.map(|o| o.at + 1));
            let before = level_is_row && opens.is_some_and(|at| path.first().is_some_and(|&k| k < at));
            rank += BEFORE_OPENING * i64::from(before && !matches!(act, Act::Chain { .. }));
            rank += AT_AN_END
                * i64::from(level_is_row && (path.first() == first.as_ref() || path.first() == last.as_ref()));
        }
        rank
    }
}

impl Around {
    /// Different things done that no row around does.
    fn strange(&self, ops: &[Op]) -> i64 {
        let mut kinds: Vec<&Op> = ops.iter().collect();
        kinds.sort_unstable();
        kinds.dedup();
        if self.neighbours.is_empty() {
            return 0;
        }
        kinds.retain(|op| !self.neighbours.iter().any(|(n, _)| n.contains(op)));
        kinds.len() as i64
    }
}

/// Places where one phrase follows another that does the same: "sc in next 4, sc in last 11". Nobody writes that,
/// so something is doubled there, or fell out between.
pub(super) fn seams(steps: &[Step]) -> i64 {
    let what = |s: &Step| match &s.act {
        Act::Work { each, form, at: Target::Next { .. } | Target::Last { .. } } => Some((*each, *form)),
        _ => None,
    };
    let here = steps.windows(2).filter(|w| what(&w[0]).is_some() && what(&w[0]) == what(&w[1])).count() as i64;
    here + steps.iter().map(|s| seams(super::change::inside(&s.act))).sum::<i64>()
}

/// Repeats that hold one stitch in each place and nothing beside it.
pub(super) fn one_in_brackets(steps: &[Step]) -> i64 {
    let one = |s: &Step| match &s.act {
        Act::Repeat { steps: inner, .. } => {
            let alone = matches!(inner.as_slice(), [Step { act: Act::Work { at: Target::Next { .. }, form, .. }, .. }]
                if form.places() == 1);
            i64::from(alone) + one_in_brackets(inner)
        }
        act => one_in_brackets(super::change::inside(act)),
    };
    steps.iter().map(one).sum()
}

/// True where all the work of steps is one repeat: "(sc in next 2 sts, inc) 6 times".
pub(super) fn one_repeat(steps: &[Step]) -> bool {
    let mut works = steps.iter().filter(|s| s.act.works());
    matches!((works.next().map(|s| &s.act), works.next()), (Some(Act::Repeat { .. }), None))
}

/// True where steps put a usual number of stitches into a ring, or into one chain.
pub(super) fn usual_hub(steps: &[Step]) -> bool {
    steps.iter().any(|s| {
        matches!(&s.act, Act::Work { each, at: Target::Ring | Target::FromHook { .. }, .. } if USUAL_HUBS.contains(each))
    })
}

/// Groups with a chain in their middle, or of many parts, that are not the same from both ends: a corner, shell or
/// petal is. One that opens a row has a chain beside it for its first stitch.
pub(super) fn lopsided(steps: &[Step]) -> i64 {
    let part = |s: &Step| match &s.act {
        Act::Work { each, form, at: Target::Next { n, .. } } => {
            Act::Work { each: each.saturating_mul(*n), form: *form, at: Target::NEXT }
        }
        act => bare_act(act),
    };
    let own = |s: &Step| match &s.act {
        Act::Group { steps, at, .. } if *at != Target::Same => {
            let parts: Vec<Act> = steps.iter().map(part).collect();
            // "(sc, hdc, 3 dc, hdc, sc)": a petal is as well
            let shaped = steps.iter().any(is_chain) || parts.len() >= PETAL;
            i64::from(shaped && !parts.iter().eq(parts.iter().rev()))
        }
        act => lopsided(super::change::inside(act)),
    };
    steps.iter().map(own).sum()
}

/// Parts of the smallest group that is a petal.
const PETAL: usize = 4;

/// True for an increase or a decrease.
fn shapes(act: &Act) -> bool {
    matches!(act, Act::Work { each, form, .. } if *each > 1 || !form.one_place)
}

/// True for the last step inside a bracket, and for every step outside of brackets.
fn is_last(steps: &[Step], path: &[usize]) -> bool {
    let Some((&at, above)) = path.split_last() else { return true };
    above.is_empty() || super::change::level(steps, above).is_some_and(|l| at + 1 == l.len())
}

/// True where the step at a path stands behind two chains or more, inside brackets.
fn behind_chains(steps: &[Step], path: &[usize]) -> bool {
    let Some((&at, above)) = path.split_last() else { return false };
    let before = super::change::level(steps, above).and_then(|level| level.get(at.checked_sub(1)?));
    !above.is_empty() && before.is_some_and(|s| matches!(s.act, Act::Chain { n: 2.. }))
}

fn only_chains(ops: &[Op]) -> bool {
    ops.iter().all(|op| op.starts_with("ch-"))
}

fn is_chain(step: &Step) -> bool {
    matches!(step.act, Act::Chain { .. })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::mend::trials::Made;

    fn fit(change: Change, ops: &[&str], size: u32) -> Fit {
        let ops = ops.iter().map(|&o| o.to_owned()).collect();
        let made = Made { stitches: String::new(), ops, used: 0, made: 0, stops: false, next: true };
        Fit { change, steps: Vec::new(), stated: Vec::new(), made, size }
    }

    #[test]
    fn of_equal_changes_the_one_that_mirrors_the_row_comes_first() {
        let owned = |ops: &[&str]| ops.iter().map(|&o| o.to_owned()).collect::<Vec<_>>();
        let around = Around {
            base: owned(&["sc", "inc", "sc", "sc"]),
            seams: 0,
            opening: None,
            bare: false,
            usual_hub: false,
            one_repeat: false,
            stitches_below: true,
            spaces_left: false,
            lopsided: 0,
            skips: false,
            neighbours: Vec::new(),
        };
        let set = || Change::Drop { path: vec![0] };
        let mirrored = around.rank(&fit(set(), &["sc", "sc", "inc", "sc", "sc"], 20));
        let other = around.rank(&fit(set(), &["sc", "inc", "sc", "sc", "sc"], 20));
        assert!(mirrored < other, "{mirrored} {other}");
    }
}
