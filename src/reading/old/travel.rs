//! Going to where the work goes on: "slip to the third treble", "commence on the 3rd long of a petal", "fasten in the
//! next loop with a double".

use super::super::phrase::{RowReader, Run};
use super::super::words;
use super::quantity::Stitch;
use crate::craft::{Stem, StitchForm};
use crate::instructions::{Act, Class, Step, Target};

impl RowReader<'_> {
    /// "slip to third treble", "slip stitch up to the middle of the first scallop", "slip along 2 treble".
    pub(super) fn slip_along(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let _ = self.c.eat_any(&["work", "make"]) && self.c.eat_any(&["a", "few", "in"]);
        if !(self.c.eat_any(&["slip", "single", "ss"])) {
            return false;
        }
        let _ = self.c.eat_any(&["stitch", "stitches", "st", "crochet"]);
        let along = self.c.eat_any(&["up", "along", "over"]) | self.c.sees(&["to"]);
        if !along {
            return false;
        }
        let form = StitchForm::plain(Stem::SlipStitch);
        if let Some(n) = self.c.number() {
            let named = self.c.old_stem().is_some() || self.c.eat_any(words::STITCH) || self.c.eat_any(words::CHAIN);
            let at = Target::Next { n, class: Class::Any };
            return named && self.push(run, start, Act::Work { each: 1, form, at });
        }
        let here = self.c.at;
        let spot = self.c.old_place().or_else(|| {
            self.c.at = here;
            let _ = self.c.eat("to");
            let k = self.c.ordinal()?;
            let named = self.c.old_stem().is_some() || self.c.eat_any(words::STITCH);
            named.then(|| super::places::Spot {
                target: Target::NEXT,
                skip: k.saturating_sub(1),
                looped: false,
                successive: false,
            })
        });
        let Some(spot) = spot else { return false };
        let span = self.c.since(start);
        if spot.skip > 0 {
            // one in each stitch on the way
            let at = Target::Next { n: spot.skip, class: Class::Any };
            run.steps.push(Step { act: Act::Work { each: 1, form, at }, span });
        }
        run.steps.push(Step { act: Act::Work { each: 1, form, at: spot.target }, span });
        true
    }

    /// "fasten in third treble with a double": the stitch told behind its place.
    pub(super) fn fastened_in(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        if !self.c.eat_any(&["fasten", "fastening", "join", "joining", "catch"]) {
            return false;
        }
        let Some(spot) = self.c.old_place() else { return false };
        if !self.c.eat_any(&["with", "by"]) {
            return false;
        }
        let _ = self.c.eat_any(&["making", "working"]);
        let Some(quantity) = self.c.quantity() else { return false };
        let Stitch::Form(form) = quantity.what else { return false };
        let span = self.c.since(start);
        self.push_placed(run, quantity.n, form, spot, span);
        true
    }

    /// "commence on the 3rd long of a petal", "begin in the middle of a scallop": the yarn is set on there.
    pub(super) fn commence_at(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        if !self.c.eat_any(&["commence", "begin", "start", "commencing", "beginning"]) {
            return false;
        }
        let Some(spot) = self.c.old_place() else { return false };
        if !self.c.at_break() {
            return false;
        }
        let span = self.c.since(start);
        if spot.skip > 0 {
            run.steps.push(Step { act: Act::Skip { n: spot.skip, class: Class::Stitch }, span });
        }
        run.steps.push(Step { act: Act::Attach { yarn: None, at: Some(spot.target) }, span });
        true
    }

    /// "work down the chain with", "along the chain": where the stitches go that are told next.
    pub(super) fn direction(&mut self, _run: &mut Run) -> bool {
        let start = self.c.at;
        let _ = self.c.eat_any(&["work", "working", "now", "return"]);
        let _ = self.c.eat("back");
        if !(self.c.eat_any(&["down", "along", "up"]) && self.c.eat_any(&["the", "this"])) {
            return false;
        }
        let _ = self.c.eat("foundation");
        if !self.c.eat_any(words::CHAIN) {
            return false;
        }
        let _ = self.c.eat("with");
        let span = self.c.since(start);
        self.notes.push(span);
        true
    }
}
