//! How many of which stitch, as old books say it: "3 long", "another treble", "30 stitches of double crochet",
//! "double crochet 1 stitch", "close double crochet".

use super::super::cursor::Cursor;
use super::super::phrase::{RowReader, Run};
use super::super::stitch::Named;
use super::super::words;
use super::places::Spot;
use crate::craft::StitchForm;
use crate::instructions::{Act, Class, Step, Target, Times};
use crate::source::Span;

/// So many of a stitch.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Quantity {
    /// None where no number is told.
    pub n: Option<u32>,
    pub what: Stitch,
}

/// What is counted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Stitch {
    Form(StitchForm),
    Chain,
    Picot(u32),
}

impl Stitch {
    /// The step that makes `n` of it: stitches each in their own place, chains, picots.
    pub fn step(self, n: u32, span: Span) -> Step {
        let act = match self {
            Stitch::Form(form) => Act::Work { each: 1, form, at: Target::Next { n, class: Class::Any } },
            Stitch::Chain => Act::Chain { n },
            Stitch::Picot(k) if n == 1 => Act::Picot { n: k },
            Stitch::Picot(k) => {
                Act::Repeat { steps: vec![Step { act: Act::Picot { n: k }, span }], times: Times::InAll(n), stop: None }
            }
        };
        Step { act, span }
    }
}

impl Cursor<'_> {
    /// "3", "three", "a", "another", "2 more".
    pub(super) fn old_count(&mut self) -> Option<u32> {
        let n = self.number().or_else(|| self.eat_any(&["a", "an", "another"]).then_some(1))?;
        let _ = self.eat("more");
        Some(n)
    }

    /// A stitch, a chain or a picot with its number.
    pub(super) fn quantity(&mut self) -> Option<Quantity> {
        let start = self.at;
        let found = self.quantity_here();
        if found.is_none() {
            self.at = start;
        }
        found
    }

    fn quantity_here(&mut self) -> Option<Quantity> {
        let n = self.old_count();
        let here = self.at;
        if n.is_some() && self.eat_any(words::STITCH) && self.eat_any(&["of", "in"]) {
            let _ = self.eat("close");
            let what = self.old_stitch()?;
            return Some(Quantity { n, what });
        }
        self.at = here;
        let _ = self.eat_any(&["close", "ordinary", "loose", "tight"]);
        let what = self.old_stitch()?;
        if n.is_none() {
            // "double crochet 1 stitch into each loop"
            let after = self.at;
            let told = self.number();
            if told.is_some() && self.eat_any(words::STITCH) {
                return Some(Quantity { n: told, what });
            }
            self.at = after;
        }
        Some(Quantity { n, what })
    }

    /// A stitch, chain or picot by its old name.
    pub(super) fn old_stitch(&mut self) -> Option<Stitch> {
        if self.eat_any(words::CHAIN) {
            let _ = self.eat_kind(&super::super::lex::Kind::Dash);
            let _ = self.eat_any(words::STITCH);
            return Some(Stitch::Chain);
        }
        if self.eat_any(PICOT) {
            let here = self.at;
            let told = if self.eat("of") { self.number() } else { None };
            if let Some(n) = told.filter(|_| self.eat_any(words::CHAIN)) {
                return Some(Stitch::Picot(n));
            }
            self.at = here;
            return Some(Stitch::Picot(self.house.picot.unwrap_or(3)));
        }
        match self.stitch()? {
            Named::Form(form) => Some(Stitch::Form(form)),
            Named::Picot(n) => Some(Stitch::Picot(n.or(self.house.picot).unwrap_or(3))),
            _ => None,
        }
    }
}

/// What old books call a picot.
pub(super) const PICOT: &[&str] = &["purl", "purls", "picot", "picots", "pearl", "pearls"];

impl RowReader<'_> {
    /// A quantity with its place, and what lies between its stitches.
    pub(super) fn old_work(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let _ = self.c.eat_any(WORK);
        let _ = self.c.eat_all(&["a", "row", "of"]) || self.c.eat_all(&["a", "round", "of"]);
        let _ = self.c.eat_any(&["entirely", "only"]);
        let _ = self.c.eat("in");
        let Some(quantity) = self.c.quantity() else { return false };
        let Stitch::Form(form) = quantity.what else {
            return self.old_loose(run, start, &quantity);
        };
        if let (Some(n), true) = (quantity.n, self.drawn_together()) {
            return self.push_together(run, start, n, form);
        }
        if let Some(divided) = self.divided() {
            let place = self.c.old_place();
            self.push_divided(run, start, &quantity, &divided, place);
            return true;
        }
        let place = self.c.old_place();
        if let Some(divided) = self.divided() {
            self.push_divided(run, start, &quantity, &divided, place);
            return true;
        }
        let span = self.c.since(start);
        match place {
            Some(spot) => self.push_placed(run, quantity.n, form, spot, span),
            None => {
                let _ = self.c.eat_all(&["along", "the", "chain"])
                    || self.c.eat_all(&["all", "round"])
                    || self.c.eat_any(words::TO_END)
                    || self.c.eat("throughout");
                if let Some(divided) = self.divided().filter(|d| d.every.is_some()) {
                    self.push_divided(run, start, &quantity, &divided, None);
                    return true;
                }
                let at = match quantity.n {
                    Some(n) => Target::Next { n, class: Class::Any },
                    // "close double crochet": one in each
                    None => Target::Each { class: Class::Stitch, less: 0, every: 1 },
                };
                run.steps.push(Step { act: Act::Work { each: 1, form, at }, span });
            }
        }
        self.further_places(run, quantity.n, form);
        true
    }

    /// "cast off together as one stitch", "drawn together", "worked off together".
    fn drawn_together(&mut self) -> bool {
        let start = self.c.at;
        let _ = self.c.eat_kind(&super::super::lex::Kind::Comma);
        let drawn = self.c.eat_any(&["cast", "drawn", "worked", "looped", "taken", "finished", "drawing", "closed"]);
        let _ = self.c.eat_any(&["off", "up"]);
        if drawn && self.c.eat_any(&["together", "tog"]) {
            let _ = self.c.eat_all(&["as", "one", "stitch"]) || self.c.eat_all(&["as", "one"]);
            return true;
        }
        self.c.at = start;
        false
    }

    /// So many drawn together: over as many stitches, or all in one place.
    fn push_together(&mut self, run: &mut Run, start: usize, n: u32, form: StitchForm) -> bool {
        let Some(legs) = u8::try_from(n).ok().filter(|&n| n >= 2) else { return false };
        let place = self.c.old_place();
        let span = self.c.since(start);
        let (form, at) = match place.map(|p| p.target) {
            None => (StitchForm::together(form.stem, legs), Target::NEXT),
            Some(Target::Next { n: k, .. }) if k == n => (StitchForm::together(form.stem, legs), Target::NEXT),
            Some(at) => (StitchForm::cluster(form.stem, legs, crate::craft::Meet::Head), at),
        };
        run.steps.push(Step { act: Act::Work { each: 1, form, at }, span });
        true
    }

    /// "1 into the next": the same stitch again, its name left out.
    fn further_places(&mut self, run: &mut Run, n: Option<u32>, form: StitchForm) {
        loop {
            let start = self.c.at;
            let _ = self.c.eat_kind(&super::super::lex::Kind::Comma);
            let _ = self.c.eat_any(&["and", "then"]);
            let told = self.c.old_count();
            let joined = self.c.at > start;
            match self.c.old_place().filter(|_| joined && (told.is_some() || self.c.at_break())) {
                Some(spot) => {
                    let span = self.c.since(start);
                    self.push_placed(run, told.or(n), form, spot, span);
                }
                None => {
                    self.c.at = start;
                    return;
                }
            }
        }
    }

    /// A stitch in its place; "1 in the next 7" is one in each of them.
    pub(super) fn push_placed(&mut self, run: &mut Run, n: Option<u32>, form: StitchForm, spot: Spot, span: Span) {
        let n = n.unwrap_or(1);
        if spot.successive {
            let at = Target::Next { n, class: Class::Any };
            run.steps.push(Step { act: Act::Work { each: 1, form, at }, span });
            return;
        }
        let spot = spot.holding(n);
        let passed = match run.steps.last().map(|s| &s.act) {
            // "miss 3, 1 long in the 4th": the ordinal counts what was missed
            Some(Act::Skip { n, .. }) => *n,
            _ => 0,
        };
        if spot.skip > passed {
            run.steps.push(Step { act: Act::Skip { n: spot.skip - passed, class: Class::Stitch }, span });
        }
        let each = match &spot.target {
            Target::Next { n: k, .. } if *k > 1 && n > 1 && n.is_multiple_of(*k) => n / k,
            _ => n,
        };
        run.steps.push(Step { act: Act::Work { each, form, at: spot.target }, span });
    }

    /// Chains and picots with no place, and the "between" that sets them between the stitches before.
    fn old_loose(&mut self, run: &mut Run, start: usize, quantity: &Quantity) -> bool {
        let Some(n) = quantity.n else { return false };
        let span = self.c.since(start);
        run.steps.push(quantity.what.step(n, span));
        true
    }
}

/// Words that lead a phrase of work and say no more than that it is work.
pub(super) const WORK: &[&str] = &["work", "make", "crochet", "do", "put", "now", "next", "again", "always"];
