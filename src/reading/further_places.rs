//! The same stitch in a further place: "sc in 2nd ch from hook and in each ch across".

use super::lex::Kind;
use super::phrase::{RowReader, Run, apply_loop};
use super::stitch::Named;
use crate::craft::Stem;
use crate::instructions::{Act, Class, Target};

impl RowReader<'_> {
    /// "sc in 2nd ch from hook and in each ch across": the same stitch in a further place.
    pub(super) fn more_targets(&mut self, run: &mut Run, named: &Named, each: u32) {
        loop {
            let start = self.c.at;
            let joined = self.c.eat("and") || {
                let _ = self.c.eat_kind(&Kind::Comma);
                self.c.eat("and")
            };
            if joined && self.c.word(0).is_some_and(|w| matches!(w, "around" | "across")) {
                // "sc in same st and around"
                let from = self.c.at;
                self.c.end_words();
                let span = self.c.since(from);
                let at = Target::Each { class: Class::Stitch, less: 0, every: 1 };
                self.push_named(run, named.clone(), each, at, true, span);
                continue;
            }
            let leads = matches!(self.c.word(0), Some("in" | "into" | "each" | "next" | "last" | "ea"));
            // "sl st in first dc, ch-1 sp and next dc": what the yarn is carried over
            let slips = matches!(named, Named::Form(f) if f.stem == Stem::SlipStitch);
            let here = self.c.at;
            if let Some(class) = (slips && here > start).then(|| self.c.space()).flatten() {
                let span = self.c.since(here);
                self.push_named(run, named.clone(), each, Target::Next { n: 1, class }, true, span);
                continue;
            }
            if !(joined && leads) {
                self.c.at = start;
                return;
            }
            let from = self.c.at;
            let Some(place) = self.c.place() else {
                self.c.at = start;
                return;
            };
            let mut named = named.clone();
            apply_loop(&mut named, place.part, place.post);
            let span = self.c.since(from);
            self.push_named(run, named, each, place.target, true, span);
        }
    }

    /// "and in each ch across": the last stitch again, in a further place.
    pub(super) fn again_in(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let behind_stop = start > 0 && self.c.kind_at(start - 1) == Some(&Kind::Stop);
        if !matches!(self.c.word(0), Some("in" | "into" | "each" | "ea")) || behind_stop {
            return false;
        }
        let last = run.steps.iter().rev().find_map(|s| match &s.act {
            Act::Work { each, form, .. } => Some((*each, *form)),
            _ => None,
        });
        let Some((each, form)) = last else { return false };
        let Some(place) = self.c.place() else { return false };
        if !self.c.at_break() && self.c.word(0) != Some("and") {
            return false;
        }
        let mut named = Named::Form(form);
        apply_loop(&mut named, place.part, place.post);
        let span = self.c.since(start);
        self.push_named(run, named, each, place.target, true, span);
        true
    }
}
