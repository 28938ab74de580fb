//! A chain closed into a ring: "join to form a ring", "sl st in first ch to close the ring", "join into a ring with ss".

use super::cursor::Cursor;
use super::phrase::{RowReader, Run, join_target};
use super::stitch::Named;
use super::whole_row::RINGS;
use super::words;
use crate::craft::{Stem, StitchForm};
use crate::instructions::Act;

impl Cursor<'_> {
    /// "to form a ring", "into a ring", "to join ends into ring": eaten with the slip stitch behind it. `joins` where the
    /// verb stands before these words. True where they say that a ring is made, false where they close or join one.
    pub(super) fn closed_to_ring(&mut self, joins: bool) -> Option<bool> {
        let start = self.at;
        let to = self.eat("to");
        let forms = self.eat_any(&["form", "make", "create"]);
        let verb = forms || self.eat_any(&["join", "close", "complete"]);
        if verb || joins {
            let here = self.at;
            let _ = self.eat_any(&["the", "both", "two"]);
            let thing = self.eat_any(&["it", "ends", "ch", "chain"]);
            let _ = thing && self.eat("ends");
            if !(thing && matches!(self.word(0), Some("in" | "into" | "to"))) {
                self.at = here;
            }
        }
        let into = self.eat("into") || !to && joins && self.eat("to");
        let inside = !into && self.eat_any(&["in", "as"]);
        let a = self.eat_any(&["a", "an"]);
        let _ = verb && !a && self.eat("the");
        // "sl st in ring" is a place
        let led = if into || inside { a || verb && !inside || joins && into } else { verb || (to && a) };
        if led && self.eat_any(RINGS) && !self.sees(&["with", "a", "long"]) {
            let _ = self.slipped_with();
            return Some(forms);
        }
        self.at = start;
        None
    }

    /// "with a sl st in first ch", where a stitch is told so and no more.
    fn slipped_with(&mut self) -> bool {
        let start = self.at;
        if self.eat_any(&["with", "by", "using"]) {
            let _ = self.eat_any(&["a", "one"]);
            if matches!(self.stitch(), Some(Named::Form(form)) if form == StitchForm::plain(Stem::SlipStitch)) {
                let here = self.at;
                if self.place().is_none() {
                    self.at = here;
                }
                return true;
            }
        }
        self.at = start;
        false
    }
}

impl RowReader<'_> {
    /// "… to join" behind a slip stitch closes the round.
    pub(super) fn read_to_join(&mut self, run: &mut Run) {
        let start = self.c.at;
        // "to close the ring" behind stitches closes the round
        let closes = |run: &Run| run.steps.iter().rev().skip(1).all(|s| !s.act.works());
        let mut ring = self.c.closed_to_ring(false).is_some_and(|forms| forms || closes(run));
        if !ring {
            self.c.at = start;
        }
        let told = !ring && {
            self.c.eat("to") && self.c.eat_any(&["join", "close"]) || {
                self.c.at = start;
                self.c.forms_last_space()
            }
        };
        ring |= told && self.c.closed_to_ring(false).is_some();
        let Some(last) = run.steps.last_mut() else { return };
        let Act::Work { form, at, .. } = &last.act else {
            self.c.at = start;
            return;
        };
        if !(told || ring) || ring && form.stem != Stem::SlipStitch {
            self.c.at = start;
            return;
        }
        last.act = if ring {
            Act::Ring { thread: false }
        } else {
            let _ =
                self.c.eat_any(words::ROUND) || self.c.eat_all(&["the", "rnd"]) || self.c.eat_all(&["the", "round"]);
            let _ = self.c.forms_last_space();
            Act::Join { to: join_target(at), with: *form }
        };
        last.span = last.span.to(self.c.since(start));
    }

    /// "form a ring with a sl st in first ch", "make into a ring with ss".
    pub(super) fn ring_formed(&mut self) -> bool {
        let start = self.c.at;
        if self.c.eat_any(&["form", "make", "forming"]) {
            let _ = self.c.eat("into");
            let _ = self.c.eat("a");
            if self.c.eat_any(RINGS) && self.c.slipped_with() {
                return true;
            }
        }
        self.c.at = start;
        false
    }
}
