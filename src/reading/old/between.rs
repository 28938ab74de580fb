//! What lies between stitches, told once for all of them: "4 long, with 1 chain between each", "2 treble divided by
//! 3 chain", "1 long and 1 chain alternately", "1 double in each loop, 5 chain between".

use super::super::lex::Kind;
use super::super::phrase::{RowReader, Run};
use super::super::words;
use super::places::Spot;
use super::quantity::{Quantity, Stitch, WORK};
use crate::instructions::{Act, Class, Step, Target, Times};
use crate::source::Span;

/// What parts the stitches of a quantity.
#[derive(Clone, Debug)]
pub(super) struct Divided {
    pub what: Step,
    /// "between the 2nd and 3rd": only there, behind so many.
    after: Option<u32>,
    /// Stitches missed under each ("missing 2 stitches").
    missed: u32,
    /// "after every 3rd stitch": so many stitches before each.
    pub every: Option<u32>,
    /// "between each group": between the places, not between the stitches.
    pub between_places: bool,
}

impl RowReader<'_> {
    /// "with 3 chain between each", "divided by 5 chain", "with 1 chain between the 2nd and 3rd".
    pub(super) fn divided(&mut self) -> Option<Divided> {
        let start = self.c.at;
        let found = self.divided_here();
        if found.is_none() {
            self.c.at = start;
        }
        found
    }

    fn divided_here(&mut self) -> Option<Divided> {
        let _ = self.c.eat_kind(&Kind::Comma);
        let _ = self.c.eat("each");
        let by = self.c.eat_any(&["divided", "separated", "parted"]) && self.c.eat("by");
        if !(by || self.c.eat("with") || self.c.eat("having")) {
            return None;
        }
        let from = self.c.at;
        let quantity = self.c.quantity()?;
        let what = quantity.what.step(quantity.n.unwrap_or(1), self.c.since(from));
        let (mut after, mut every, mut between_places) = (None, None, false);
        if !by {
            let here = self.c.at;
            every = self.after_every();
            if every.is_none() {
                self.c.at = here;
                if !self.c.eat_any(&["between", "after"]) {
                    return None;
                }
                let here = self.c.at;
                between_places = self.c.eat_any(&["each", "every", "the"])
                    && self.c.eat_any(&["group", "groups", "scallop", "scallops", "shell", "shells", "loop", "loops"]);
                if !between_places {
                    self.c.at = here;
                    after = self.which_between()?;
                }
            }
        }
        let missed = self.missing_under();
        Some(Divided { what, after, missed, every, between_places })
    }

    /// "after every 3rd stitch", "after every 6 stitches": how many.
    fn after_every(&mut self) -> Option<u32> {
        if !(self.c.eat_any(&["after", "in"]) && self.c.eat_any(&["every", "each"])) {
            return None;
        }
        let k = self.c.number().or_else(|| self.c.ordinal())?;
        let named = self.c.eat_any(words::STITCH) || self.c.eat_any(&["loop", "loops"]) || self.c.old_stem().is_some();
        (named && k > 0).then_some(k)
    }

    /// "; after every 6 stitches, 1 picot" behind one stitch in each: so many stitches and then that, all round.
    pub(super) fn told_after_every(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let Some(k) = self.after_every() else { return false };
        let _ = self.c.eat_kind(&Kind::Comma) || self.c.eat_kind(&Kind::Colon);
        let _ = self.c.eat_any(WORK);
        let Some(quantity) = self.c.quantity() else { return false };
        let Some(last) = run.steps.last_mut() else { return false };
        let Act::Work { each: 1, form, at: Target::Each { less: 0, every: 1, .. } } = last.act else { return false };
        let span = last.span.to(self.c.since(start));
        let steps = vec![
            Stitch::Form(form).step(k, last.span),
            quantity.what.step(quantity.n.unwrap_or(1), self.c.since(start)),
        ];
        *last = Step { act: Act::Repeat { steps, times: to_end(), stop: None }, span };
        true
    }

    /// Behind "between": nothing, "each", "them", "every stitch", "the 2nd and 3rd".
    fn which_between(&mut self) -> Option<Option<u32>> {
        let _ = self.c.eat("the");
        let first = self.c.eat("first").then_some(1).or_else(|| self.c.ordinal());
        if let Some(first) = first {
            let second = self.c.eat("and").then(|| {
                let _ = self.c.eat("the");
                self.c.ordinal()
            });
            let _ = self.c.old_stitch();
            return second.flatten().filter(|&s| s == first + 1).map(|_| Some(first));
        }
        if self.c.eat_any(&["each", "every"]) {
            let here = self.c.at;
            let _ = self.c.eat("of") && self.c.eat_any(&["the", "them", "these"]);
            if self.c.old_stitch().is_none() && !self.c.eat_any(words::STITCH) && !self.c.at_break() {
                self.c.at = here;
            }
        } else {
            let _ = self.c.eat("them") || self.c.eat("these");
        }
        Some(None)
    }

    /// ", missing 2 stitches under the 2 chain", ", missing 1 loop between each".
    fn missing_under(&mut self) -> u32 {
        let start = self.c.at;
        let _ = self.c.eat_kind(&Kind::Comma);
        if self.c.eat_any(&["missing", "passing", "skipping"]) {
            let _ = self.c.eat("over");
            if let Some(n) = self.c.old_count()
                && (self.c.eat_any(words::STITCH) || self.c.eat_any(&["loop", "loops"]) || self.c.eat_any(words::CHAIN))
            {
                self.under_or_between();
                return n;
            }
        }
        self.c.at = start;
        0
    }

    /// "under them", "between each", "under the 2 chain": where the missed stitches lie.
    pub(super) fn under_or_between(&mut self) {
        let start = self.c.at;
        if self.c.eat_any(&["under", "underneath", "below", "between", "beneath"]) {
            let _ = self.c.eat_any(&["the", "each", "it", "them", "these", "this"]);
            let _ = self.c.eat_any(&["each", "last"]);
            let _ = self.c.quantity();
            return;
        }
        self.c.at = start;
    }

    /// Pushes stitches with what lies between them, all in one place where one is told.
    pub(super) fn push_divided(
        &mut self,
        run: &mut Run,
        start: usize,
        quantity: &Quantity,
        divided: &Divided,
        place: Option<Spot>,
    ) {
        let span = self.c.since(start);
        if let Some(k) = divided.every {
            let steps = vec![quantity.what.step(k, span), divided.what.clone()];
            run.steps.push(Step { act: Act::Repeat { steps, times: to_end(), stop: None }, span });
            return;
        }
        if let (true, Some(spot), Stitch::Form(form)) = (divided.between_places, &place, quantity.what) {
            self.push_placed(run, quantity.n, form, spot.clone(), span);
            let _ = self.add_to_each(run, divided.what.clone());
            return;
        }
        let n = quantity.n.unwrap_or(2);
        let one = quantity.what.step(1, span);
        let steps = parted(n, quantity.what, one, divided, span);
        match place {
            Some(spot) => {
                if spot.skip > 0 {
                    run.steps.push(Step { act: Act::Skip { n: spot.skip, class: Class::Stitch }, span });
                }
                let several = matches!(spot.target, Target::Next { n: k, .. } if k > 1 && k == n);
                if several {
                    run.steps.extend(steps);
                } else {
                    run.steps.push(Step { act: Act::Group { steps, at: spot.target, name: None }, span });
                }
            }
            None => run.steps.extend(steps),
        }
    }

    /// "5 chain between", "1 double between" behind stitches in every place of a kind: both, all round. Also
    /// "4 chain after the 4 treble".
    pub(super) fn set_between(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let _ = self.c.eat("with");
        let Some(quantity) = self.c.quantity() else { return false };
        let Some(n) = quantity.n else { return false };
        if self.c.eat("after") {
            let _ = self.c.eat("the") | self.c.eat_any(&["each", "last", "every"]);
            let named = self.c.quantity().is_some();
            let span = self.c.since(start);
            return named && self.add_to_each(run, quantity.what.step(n, span));
        }
        if !self.c.eat("between") {
            return false;
        }
        let _ = self.c.eat_any(&["each", "them"]);
        let here = self.c.at;
        if self.c.quantity().is_none() && !self.c.eat_any(words::STITCH) && !self.c.eat_any(&["loop", "loops"]) {
            self.c.at = here;
        }
        let missed = self.missing_under();
        let span = self.c.since(start);
        let mut steps = vec![quantity.what.step(n, span)];
        if missed > 0 {
            steps.push(Step { act: Act::Skip { n: missed, class: Class::Stitch }, span });
        }
        steps.into_iter().all(|step| self.add_to_each(run, step))
    }

    /// Sets a step behind each pass of the last step, where that works into every place of a kind.
    pub(super) fn add_to_each(&mut self, run: &mut Run, step: Step) -> bool {
        let Some(last) = run.steps.last_mut() else { return false };
        if let Act::Repeat { steps, times: Times::ToEnd { .. }, .. } = &mut last.act {
            last.span = last.span.to(step.span);
            steps.push(step);
            return true;
        }
        let next = |at: &Target| match at {
            Target::Each { class, less: 0, every } => {
                Some((Target::Next { n: 1, class: class.clone() }, every.saturating_sub(1)))
            }
            _ => None,
        };
        let (inner, passed) = match &last.act {
            Act::Work { each, form, at } => match next(at) {
                Some((at, passed)) => (Act::Work { each: *each, form: *form, at }, passed),
                None => {
                    run.steps.push(step);
                    return true;
                }
            },
            Act::Group { steps, at, name } => match next(at) {
                Some((at, passed)) => (Act::Group { steps: steps.clone(), at, name: name.clone() }, passed),
                None => {
                    run.steps.push(step);
                    return true;
                }
            },
            _ => return false,
        };
        let span = last.span.to(step.span);
        let mut steps = Vec::new();
        if passed > 0 {
            steps.push(Step { act: Act::Skip { n: passed, class: Class::Stitch }, span: last.span });
        }
        steps.push(Step { act: inner, span: last.span });
        steps.push(step);
        *last = Step { act: Act::Repeat { steps, times: to_end(), stop: None }, span };
        true
    }

    /// "1 long and 1 chain alternately, missing 1 loop between each", "alternately 11 double, 7 chain, under which
    /// miss 7 stitches": to the end of the row.
    pub(super) fn alternately(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let _ = self.c.eat_any(WORK);
        let led = self.c.eat("alternately") || self.c.eat_all(&["in", "alternation"]);
        let _ = led && self.c.eat_any(WORK);
        let mut steps = Vec::new();
        loop {
            let from = self.c.at;
            let Some(quantity) = self.c.quantity() else { break };
            let Some(n) = quantity.n else { break };
            let span = self.c.since(from);
            match (quantity.what, self.c.old_place()) {
                (Stitch::Form(form), Some(spot)) => {
                    steps.push(Step { act: Act::Work { each: n, form, at: spot.target }, span })
                }
                (_, Some(_)) => return false,
                (what, None) => steps.push(what.step(n, span)),
            }
            let joined = self.c.eat_kind(&Kind::Comma) | self.c.eat_any(&["and", "then"]);
            if !joined {
                break;
            }
        }
        let behind = self.c.eat("alternately");
        if steps.len() < 2 || !(led || behind) {
            return false;
        }
        let _ = self.c.eat_all(&["all", "round"]) || self.c.eat_any(words::TO_END);
        let mut missed = self.missing_under();
        if missed == 0 {
            missed = self.under_which_miss();
        }
        let span = self.c.since(start);
        if missed > 0 {
            steps.push(Step { act: Act::Skip { n: missed, class: Class::Stitch }, span });
        }
        run.steps.push(Step { act: Act::Repeat { steps, times: to_end(), stop: None }, span });
        true
    }

    /// ", under which miss 7 stitches".
    fn under_which_miss(&mut self) -> u32 {
        let start = self.c.at;
        let _ = self.c.eat_kind(&Kind::Comma);
        let led = self.c.eat_any(&["under", "underneath", "below"]) && self.c.eat_any(&["which", "these", "this"]);
        if led && self.c.eat_any(MISS) {
            let n = self.c.old_count();
            let _ = self.c.eat_any(words::STITCH) || self.c.eat_any(&["loop", "loops"]);
            if let Some(n) = n {
                return n;
            }
        }
        self.c.at = start;
        0
    }

    /// "3 long, 3 chain, working twice into the 3 chain": all of it so far, twice into every such place.
    pub(super) fn working_twice(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        if !self.c.eat_any(&["working", "worked"]) {
            return false;
        }
        let _ = self.c.eat("this");
        let Some((n, false)) = self.c.times() else { return false };
        let Some(spot) = self.c.old_place() else { return false };
        let class = match spot.target {
            Target::Next { class, .. } | Target::Each { class, .. } => class,
            _ => return false,
        };
        let from = run.stars.last().map_or(0, |s| s.0).min(run.steps.len());
        let steps: Vec<Step> = run.steps.drain(from..).collect();
        if steps.is_empty() {
            return false;
        }
        let span = steps[0].span.to(self.c.since(start));
        let mut all: Vec<Step> = Vec::new();
        for _ in 0..n.min(MOST_TIMES) {
            all.extend(steps.iter().cloned());
        }
        // the chain behind the last stitches goes on to the next place
        let tail = all.pop_if(|s| matches!(s.act, Act::Chain { .. }));
        let at = Target::Next { n: 1, class };
        let mut passes = vec![Step { act: Act::Group { steps: all, at, name: None }, span }];
        passes.extend(tail);
        run.steps.push(Step { act: Act::Repeat { steps: passes, times: to_end(), stop: None }, span });
        true
    }
}

impl RowReader<'_> {
    /// ", all these 13 stitches in the loop", "all in the same stitch": what was told before goes into one place.
    pub(super) fn all_in_one(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        if !self.c.eat("all") {
            return false;
        }
        let _ = self.c.eat_any(&["these", "of", "this"]) && self.c.eat("these");
        let told = self.c.number();
        let _ = self.c.eat_any(words::STITCH);
        let _ = self.c.eat_any(&["worked", "made"]);
        let Some(spot) = self.c.old_place() else { return false };
        let least = run.stars.last().map_or(0, |s| s.0).min(run.steps.len());
        let mut from = run.steps.len();
        let mut made = 0;
        while from > least && told.is_none_or(|n| made < n) {
            match &run.steps[from - 1].act {
                Act::Work { each, at: Target::Next { n, class: Class::Any }, .. } => {
                    made += each.saturating_mul(*n);
                }
                Act::Chain { .. } | Act::Picot { .. } => {}
                _ => break,
            }
            from -= 1;
        }
        if made == 0 || told.is_some_and(|n| n != made) {
            return false;
        }
        let steps: Vec<Step> = run.steps.drain(from..).collect();
        let span = steps[0].span.to(self.c.since(start));
        run.steps.push(Step { act: Act::Group { steps, at: spot.target, name: None }, span });
        true
    }
}

/// Most times one place is worked into by a word.
const MOST_TIMES: u32 = 12;

/// Words that pass a stitch by.
pub(super) const MISS: &[&str] = &["miss", "missing", "pass", "passing", "skip", "omit"];

/// Steps repeated to the end, where "each" of one of several means the next one in every pass.
pub(super) fn passes(mut steps: Vec<Step>) -> Vec<Step> {
    if let [Step { act: Act::Skip { n: first, .. }, .. }, _, .., Step { act: Act::Skip { n: last, .. }, .. }] =
        steps.as_slice()
        && first == last
    {
        // "1 long in the 3rd, miss 2; repeat": the ordinal counts what was missed before it
        steps.pop();
    }
    let several = steps.iter().filter(|s| !matches!(s.act, Act::Turn | Act::Counts { .. })).count() > 1;
    if several {
        for step in &mut steps {
            if let Act::Work { at, .. } | Act::Group { at, .. } = &mut step.act
                && let Target::Each { class, less: 0, every: 1 } = at
            {
                *at = Target::Next { n: 1, class: class.clone() };
            }
        }
        // "1 double in every third stitch": two are passed before it
        let every = |s: &Step| match &s.act {
            Act::Work { at: Target::Each { less: 0, every, .. }, .. } => Some(*every),
            _ => None,
        };
        while let Some((i, k)) = steps.iter().enumerate().find_map(|(i, s)| Some((i, every(s)?))) {
            let span = steps[i].span;
            if let Act::Work { at, .. } = &mut steps[i].act
                && let Target::Each { class, .. } = at
            {
                *at = Target::Next { n: 1, class: class.clone() };
            }
            steps.insert(i, Step { act: Act::Skip { n: k.saturating_sub(1), class: Class::Stitch }, span });
        }
    }
    steps
}

/// To the end of the row.
pub(super) fn to_end() -> Times {
    Times::ToEnd { less: 0, class: Class::Any }
}

/// `n` stitches with the divider between each two, or behind one of them.
fn parted(n: u32, what: Stitch, one: Step, divided: &Divided, span: Span) -> Vec<Step> {
    if let Some(after) = divided.after.filter(|&a| a < n) {
        return vec![what.step(after, span), divided.what.clone(), what.step(n - after, span)];
    }
    if n < 2 {
        return vec![one, divided.what.clone()];
    }
    let mut pass = vec![one.clone(), divided.what.clone()];
    if divided.missed > 0 {
        pass.push(Step { act: Act::Skip { n: divided.missed, class: Class::Stitch }, span });
    }
    vec![Step { act: Act::Repeat { steps: pass, times: Times::InAll(n - 1), stop: None }, span }, one]
}
