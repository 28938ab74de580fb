//! What is other in a row worked again: "rep rnd 4, replacing ch 3 with ch 4", "as row 2, working hdc instead of sc",
//! "rep rows 1-3, substituting A for C".

use super::lex::Kind;
use super::phrase::{RowReader, Run};
use super::stitch::Named;
use super::words;
use crate::instructions::{Act, Class, Step, Target};

impl RowReader<'_> {
    /// One thing put in the place of another, behind rows worked again.
    pub(super) fn instead(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let again = |s: &Step| matches!(&s.act, Act::AsRow { .. } | Act::Instead { .. });
        if !run.steps.last().is_some_and(again) {
            return false;
        }
        let _ = self.c.eat_any(&["but", "except"]);
        if self.c.eat_any(&["replacing", "replace", "substituting", "substitute", "changing", "exchanging"]) {
            return self.exchanged(run, start);
        }
        let _ = self.c.eat_any(&["with", "working", "work", "making", "make", "using", "use"]);
        if let Some(put) = self.bare_work().or_else(|| self.row_worked_into())
            && (self.c.eat_all(&["instead", "of"]) || self.c.eat_all(&["in", "place", "of"]))
            && let Some(of) = match &put {
                Act::OfRow { .. } => self.row_worked_into(),
                _ => self.bare_work(),
            }
            && self.c.at_break()
        {
            return self.put_instead(run, start, of, put);
        }
        self.c.at = start;
        false
    }

    /// Behind "replacing": "ch 3 with ch 4", "A for C and C for A".
    fn exchanged(&mut self, run: &mut Run, start: usize) -> bool {
        let here = self.c.at;
        if let Some(one) = self.bare_work() {
            let swapped = self.c.eat("for");
            if (swapped || self.c.eat_any(&["with", "by", "to"]))
                && let Some(other) = self.bare_work()
                && self.c.at_break()
            {
                // "replacing ch 3 with ch 4", but "substituting ch 4 for ch 3"
                let (of, put) = if swapped { (other, one) } else { (one, other) };
                return self.put_instead(run, start, of, put);
            }
        }
        self.c.at = here;
        while self.yarn().is_some() && self.c.eat_any(&["for", "with", "by"]) && self.yarn().is_some() {
            if self.c.at_break() && self.c.word(0) != Some("and") {
                let span = self.c.since(start);
                self.notes.push(span);
                return true;
            }
            let _ = self.c.eat_kind(&Kind::Comma);
            let _ = self.c.eat("and");
        }
        self.c.at = start;
        false
    }

    fn put_instead(&mut self, run: &mut Run, start: usize, of: Act, put: Act) -> bool {
        let span = self.c.since(start);
        let [of, put] = [of, put].map(|act| Box::new(Step { act, span }));
        self.push(run, start, Act::Instead { of, put })
    }

    /// "in skipped sc of row 20", "into 20th row": the row that stitches go down into.
    fn row_worked_into(&mut self) -> Option<Act> {
        let start = self.c.at;
        let _ = self.c.eat_any(words::INTO);
        let _ = self.c.eat("the");
        let skipped = self.c.eat_any(&["skipped", "unworked", "missed", "free", "rem", "remaining"]);
        if skipped && !(self.c.class().is_some() && self.c.eat_any(&["of", "on", "in", "from"])) {
            self.c.at = start;
            return None;
        }
        let _ = skipped && self.c.eat("the");
        let nth = self.c.ordinal();
        let row = self.c.eat_any(words::ROW) || self.c.eat_any(words::ROUND);
        let row = if row { nth.or_else(|| self.c.number()) } else { None };
        if row.is_none() {
            self.c.at = start;
        }
        row.map(|row| Act::OfRow { row })
    }

    /// "ch 3", "3 dc", "sc": work with no place.
    fn bare_work(&mut self) -> Option<Act> {
        let start = self.c.at;
        if self.c.eat_any(words::CHAIN) {
            let _ = self.c.eat_kind(&Kind::Dash);
            return self.c.number().map(|n| Act::Chain { n }).or_else(|| {
                self.c.at = start;
                None
            });
        }
        let n = self.leading_count();
        if let Some(Named::Form(form)) = self.c.stitch() {
            return Some(Act::Work { each: n.unwrap_or(0), form, at: Target::Next { n: 1, class: Class::Any } });
        }
        self.c.at = start;
        None
    }
}

impl RowReader<'_> {
    /// "ending with sl st in first sc instead of last sc", "in place of last shell": what the ending is worked for.
    pub(super) fn instead_of_last(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let ends = run.steps.iter().rev().take(MOST_OF_ENDING).any(|s| s.act == Act::Ending);
        let led = ends && (self.c.eat_all(&["instead", "of"]) || self.c.eat_all(&["in", "place", "of"]));
        let _ = led && self.c.eat("the");
        let _ = led && self.c.eat_any(&["last", "final"]);
        let counted = led && self.c.number().is_some();
        // "ending with 2 dc in top of turning ch instead of 3"
        let alone = counted && self.c.at_break();
        if alone {
            let span = self.c.since(start);
            self.notes.push(span);
            return true;
        }
        if led
            && (self.c.shape().is_some() || self.c.class().is_some() || self.c.stitch().is_some())
            && self.c.at_break()
        {
            let span = self.c.since(start);
            self.notes.push(span);
            return true;
        }
        self.c.at = start;
        false
    }
}

/// Steps of an ending.
const MOST_OF_ENDING: usize = 4;
