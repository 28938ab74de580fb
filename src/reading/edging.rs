//! Edgings told loosely: "work 1 rnd of sc evenly around, having 3 sc in each corner", "sc evenly around all sides,
//! working 3 sc in corners".

use super::cursor::Cursor;
use super::lex::Kind;
use super::phrase::{RowReader, Run};
use super::stitch::Named;
use super::words;
use crate::instructions::{Act, Class, Step, Target, Until};

impl Cursor<'_> {
    /// "of corner", "of the next 3-sc corner", "of that corner group": whose stitch was named.
    pub(super) fn of_corner(&mut self) -> bool {
        let start = self.at;
        if self.eat_any(&["of", "in"]) {
            while self.eat_any(&["the", "next", "each", "same", "that", "this", "every"]) {}
            if self.run_of_stitches().is_some() {
                return true;
            }
            if self.eat("corner") {
                let _ = self.eat_any(words::GROUP);
                return true;
            }
        }
        self.at = start;
        false
    }

    /// "corner sc", "corner st": a stitch, and not the corner's space.
    pub(super) fn corner_stitch_named(&mut self) -> bool {
        self.eat("corner") && matches!(self.class(), Some(Class::Stitch | Class::Kind(_)))
    }

    /// ", skip first corner sc", ", skip first st of corner": the corner is more than one stitch.
    pub(super) fn skips_into_corner(&mut self) -> bool {
        let _ = self.eat_kind(&Kind::Comma) | self.eat("and") | self.eat("then");
        let skips = self.eat_any(words::SKIP) && {
            let _ = self.eat("the");
            self.eat_any(&["first", "next"]) || self.eat_kind(&Kind::Ordinal(1))
        };
        skips && (self.class() == Some(Class::CornerStitch) || self.of_corner())
    }
}

impl RowReader<'_> {
    /// "work 1 rnd of sc evenly around entire edge", "work 2 rows in sc": rows of one stitch.
    pub(super) fn rows_of_stitch(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        if self.depth > 0 || !self.c.eat_any(&["work", "working", "crochet", "make"]) {
            return false;
        }
        if self.so_many_evenly(run, start) {
            return true;
        }
        let Some(n) = self.c.number().or_else(|| self.c.eat_any(&["a", "one"]).then_some(1)) else { return false };
        if n == 0 || !(self.c.eat_any(words::ROUND) || self.c.eat_any(words::ROW)) {
            return false;
        }
        let _ = self.c.eat_any(&["of", "in"]);
        let Some(Named::Form(form)) = self.c.stitch() else { return false };
        let evenly = self.c.word(0) == Some("evenly");
        let at = if evenly {
            match self.c.place() {
                Some(place) => place.target,
                None => return false,
            }
        } else {
            let told = self.c.at;
            if self.c.whereabouts().is_none() {
                self.c.end_words();
                let _ = self.c.whereabouts();
            }
            if !self.c.at_break() {
                self.c.at = told;
                return false;
            }
            Target::Each { class: Class::Stitch, less: 0, every: 1 }
        };
        let span = self.c.since(start);
        run.steps.push(Step { act: Act::Work { each: 1, form, at }, span });
        if n > 1 {
            let until = Until::rows(n);
            run.steps.push(Step { act: Act::RowsUntil { rows: Vec::new(), until, own: true }, span });
        }
        true
    }

    /// "work an odd number of sc evenly spaced along each side", "work a multiple of 4 sc evenly around".
    fn so_many_evenly(&mut self, run: &mut Run, start: usize) -> bool {
        let here = self.c.at;
        let told = self.c.eat_any(&["a", "an"])
            && (self.c.eat_any(&["odd", "even"]) && self.c.eat("number")
                || self.c.eat("multiple") && self.c.eat("of") && self.c.number().is_some());
        let _ = told && self.c.eat("of");
        if told
            && let Some(Named::Form(form)) = self.c.stitch()
            && let Some(place) = self.c.place()
            && matches!(place.target, Target::Evenly { .. })
        {
            let span = self.c.since(start);
            run.steps.push(Step { act: Act::Work { each: 1, form, at: place.target }, span });
            return true;
        }
        self.c.at = here;
        false
    }

    /// ", having 3 sc in each corner" behind stitches spaced evenly: how the edging turns, of its own count.
    pub(super) fn corners_of_edging(&mut self, run: &mut Run) -> bool {
        let evenly = |s: &Step| matches!(&s.act, Act::Work { at: Target::Evenly { n: None }, .. });
        if !run.steps.last().is_some_and(evenly) {
            return false;
        }
        let start = self.c.at;
        let _ = self.c.eat("and");
        if !(self.c.eat_any(words::HAVING) || self.c.eat("work")) || self.corner_stitches().is_none() {
            self.c.at = start;
            return false;
        }
        self.and_along_sides();
        let span = self.c.since(start);
        self.notes.push(span);
        true
    }

    /// "and about 1 sc in the end of each row", "and 12 sc along each side" behind the corners: how close the rest stands.
    fn and_along_sides(&mut self) {
        let start = self.c.at;
        let _ = self.c.eat_kind(&Kind::Comma);
        let _ = self.c.eat("and");
        let _ = self.c.eat_any(words::ABOUT);
        let n = self.c.number();
        if n.is_some() && self.c.stitch().is_some() {
            let sides = self.c.eat_any(&["along", "per", "on", "down", "in", "across"])
                && (self.c.ends_of_each_row() || {
                    let _ = self.c.eat_any(&["each", "every", "both", "the"]);
                    self.c.eat_any(&["side", "sides", "edge", "row", "rows"])
                });
            if sides && self.c.at_break() {
                return;
            }
        }
        self.c.at = start;
    }

    /// "3 sc in each corner", "3 sc in corner sts", "2 hdc in center st of each 3-sc corner", "(sc, ch 1, sc) in corners".
    pub(super) fn corner_stitches(&mut self) -> Option<(u32, Named)> {
        let n = self.c.number()?;
        let named = self.c.stitch()?;
        if !self.c.eat_any(&["in", "into", "at"]) {
            return None;
        }
        self.corners().then_some((n, named))
    }

    /// "each corner", "corners", "all 4 corners", "corner sts", "center sc of each 3-sc corner".
    pub(super) fn corners(&mut self) -> bool {
        let start = self.c.at;
        let _ = self.c.eat_any(&["the", "all", "each", "every"]) && self.c.eat("of");
        let _ = self.c.eat("the");
        let _ = self.c.number();
        if self.c.eat_any(words::CENTRE) {
            let _ = self.c.class();
            if !self.c.eat_any(&["of", "at", "in"]) {
                self.c.at = start;
                return false;
            }
            let _ = self.c.eat_any(&["each", "every", "the", "all"]);
            let n = self.c.at;
            if self.c.number().is_some() {
                let _ = self.c.eat_kind(&Kind::Dash);
                if self.c.word(0) != Some("corner") && self.c.stitch().is_none() {
                    self.c.at = n;
                }
                let _ = self.c.eat_kind(&Kind::Dash);
            }
        }
        let found = if self.c.eat("corners") {
            true
        } else if self.c.eat("corner") {
            let _ = self.c.class().is_some() || self.c.eat_any(words::SPACE);
            true
        } else {
            false
        };
        if found {
            let _ = self.c.eat("as") && self.c.eat_any(&["before", "established"]);
            self.c.end_words();
        } else {
            self.c.at = start;
        }
        found
    }
}
