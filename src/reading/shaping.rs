//! Increases and decreases told by their number alone: "inc 6 sts evenly around", "cont as established, inc 6 sc every
//! rnd until there are 48 sc".

use super::end_shaping::{Course, MOST};
use super::lex::Kind;
use super::phrase::{RowReader, Run};
use super::words;
use crate::instructions::{Act, Step, Target, Until};

pub(super) const MORE: &[&str] = &["inc", "increase", "increasing", "incr"];
pub(super) const LESS: &[&str] = &["dec", "decrease", "decreasing", "decr"];

impl RowReader<'_> {
    /// So many increases or decreases, spaced evenly: over the stitches before, or in rows of their own.
    pub(super) fn shaping(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let going_on = self.going_on() || self.goes_on_to_shape();
        let _ = self.c.eat("and");
        // "as 3rd rnd, having 1 more sc between incs"
        let as_row = matches!(run.steps.as_slice(), [.., Step { act: Act::AsRow { rows }, .. }] if rows.len() == 1);
        if let Some(more) = self.between_shapings().filter(|_| (going_on || as_row) && self.depth == 0) {
            if !going_on {
                run.steps.pop();
            }
            return self.shaped_as_before(run, start, more);
        }
        let more = self.c.eat_any(MORE);
        if !(more || self.c.eat_any(LESS)) {
            self.c.at = start;
            return false;
        }
        let Some(by) = self.c.number() else {
            if going_on && self.depth == 0 && self.as_established() {
                return self.shaped_as_before(run, start, more);
            }
            self.c.at = start;
            return false;
        };
        let _ = self.c.class();
        let evenly = self.c.eat("evenly");
        let _ = evenly && self.c.eat_any(&["spaced", "spread", "distributed"]);
        self.c.end_words();
        if going_on && let Some(course) = self.course_of_several() {
            return self.shaped_in_course(run, start, Act::Shape { by, more, own: true }, course);
        }
        let rows = self.every_row();
        let over = run.steps.last().is_some_and(|s| {
            matches!(&s.act, Act::Work { at: Target::Each { less: 0, every: 1, .. }, form, .. } if form.places() == 1)
        });
        let fits = if rows { going_on || run.steps.is_empty() } else { evenly && (over || run.steps.is_empty()) };
        if !fits || self.depth > 0 {
            self.c.at = start;
            return false;
        }
        let span = self.c.since(start);
        let until = if rows { self.until_so_many() } else { None };
        run.steps.push(Step { act: Act::Shape { by, more, own: rows || !over }, span });
        if let Some(n) = until {
            let until = Until { sts: Some(n), ..Until::default() };
            let span = self.c.since(start);
            run.steps.push(Step { act: Act::RowsUntil { rows: Vec::new(), until, own: true }, span });
        }
        true
    }

    /// "on next and following 6th rnd", "on next and every alt rnd 3 times": where more than one row is told.
    fn course_of_several(&mut self) -> Option<Course> {
        let start = self.c.at;
        let leads = matches!(self.c.word(0), Some("on" | "in" | "of"));
        let course = if leads { Some(self.c.course()) } else { None };
        let several = course.filter(|c| !c.open && (2..=MOST).contains(&c.times));
        if several.is_none() {
            self.c.at = start;
        }
        several
    }

    /// Rows shaped so many times, with plain ones between.
    fn shaped_in_course(&mut self, run: &mut Run, start: usize, shape: Act, course: Course) -> bool {
        let span = self.c.since(start);
        run.steps.push(Step { act: shape, span });
        let rows = course.pass().repeat(course.times as usize - 1);
        self.push(run, start, Act::AsRow { rows })
    }

    /// Rows that grow or shrink as the one before them did, until there are so many stitches where that is told.
    fn shaped_as_before(&mut self, run: &mut Run, start: usize, more: bool) -> bool {
        // "having 1 more sc between incs, inc 7 sc every rnd": the same, told twice
        let here = self.c.at;
        let _ = self.c.eat_kind(&Kind::Comma);
        let _ = self.c.eat("and") || self.c.eat("thus");
        let told = (self.c.eat_any(MORE) || self.c.eat_any(LESS)) && self.c.number().is_some();
        if told {
            let _ = self.c.class();
            let _ = self.c.eat("evenly");
        } else {
            self.c.at = here;
        }
        let _ = self.every_row();
        let span = self.c.since(start);
        let until = self.until_so_many();
        run.steps.push(Step { act: Act::Shape { by: 0, more, own: true }, span });
        if let Some(n) = until {
            let until = Until { sts: Some(n), ..Until::default() };
            run.steps
                .push(Step { act: Act::RowsUntil { rows: Vec::new(), until, own: true }, span: self.c.since(start) });
        }
        true
    }

    /// "working 1 more sc between increases", "with one st less between decreases": true for more.
    fn between_shapings(&mut self) -> Option<bool> {
        let start = self.c.at;
        let led = self.c.eat_any(&["working", "with", "having", "making", "adding"]);
        let one = self.c.eat_any(&["one", "an", "a"]) || self.c.number() == Some(1);
        let more = self.c.eat_any(&["more", "extra", "additional"]);
        let less = !more && self.c.eat_any(&["less", "fewer"]);
        let named = self.c.class().is_some() || self.c.stitch().is_some();
        let behind = !(more || less) && self.c.eat_any(&["more", "extra"]);
        let fewer = !(more || less || behind) && self.c.eat_any(&["less", "fewer"]);
        let told = led && one && named && (more || less || behind || fewer);
        if told && self.beside_shaping() {
            return Some(more || behind);
        }
        if told && self.c.eat_any(&["between", "before"]) {
            let _ = self.c.eat_any(&["each", "the"]);
            let shapes = |w: &str| w.starts_with("inc") || w.starts_with("dec");
            if self.c.word(0).is_some_and(shapes) {
                self.c.at += 1;
                return Some(more || behind);
            }
        }
        self.c.at = start;
        None
    }

    /// "at each side of sc3tog", "before and after the center st" behind "1 less sc".
    fn beside_shaping(&mut self) -> bool {
        let start = self.c.at;
        let led = self.c.eat_any(&["at", "on"]) && self.c.eat_any(&["each", "both", "either"]) && {
            self.c.eat_any(&["side", "sides", "end", "ends"]) && self.c.eat("of")
        } || self.c.eat_all(&["before", "and", "after"]);
        let _ = led && self.c.eat_any(&["the", "each"]);
        let _ = led && self.c.eat_any(words::CENTRE);
        let shapes = |w: &str| w.starts_with("inc") || w.starts_with("dec") || w == "corner";
        let named = led
            && (self.c.word(0).is_some_and(shapes) && {
                self.c.at += 1;
                true
            } || self.c.stitch().is_some()
                || self.c.class().is_some());
        if !named {
            self.c.at = start;
        }
        named
    }

    /// "as established", "in this manner" behind "continue to increase".
    fn as_established(&mut self) -> bool {
        let start = self.c.at;
        let told = self.c.eat("as") && self.c.eat_any(&["established", "set", "before"])
            || self.c.eat("in") && {
                let _ = self.c.eat_any(&["this", "same", "the"]);
                let _ = self.c.eat("same");
                self.c.eat_any(&["manner", "way", "pat", "pattern"])
            };
        if !told {
            self.c.at = start;
        }
        told
    }

    /// "cont", "continue to" before "increasing 6 sts each rnd".
    fn goes_on_to_shape(&mut self) -> bool {
        let start = self.c.at;
        if self.c.eat_any(&["cont", "continue", "continuing", "keep"]) {
            let _ = self.c.eat("to");
            if self.c.word(0).is_some_and(|w| MORE.contains(&w) || LESS.contains(&w)) {
                return true;
            }
        }
        self.c.at = start;
        false
    }

    /// "cont as established,", "continue in this manner,".
    fn going_on(&mut self) -> bool {
        let start = self.c.at;
        if self.c.eat_any(&["cont", "continue", "continuing", "work"]) {
            let _ = self.c.eat_all(&["to", "work"]);
            let told = self.as_established()
                || self.c.eat("in") && {
                    let _ = self.c.eat_any(&["this", "same", "the"]);
                    self.c.eat_any(&["sc", "rnds", "rounds", "rows"])
                }
                || self.c.eat_all(&["even"]);
            if told && self.c.eat_kind(&Kind::Comma) {
                return true;
            }
        }
        self.c.at = start;
        false
    }

    /// "every rnd", "in each row", "on next rnd".
    fn every_row(&mut self) -> bool {
        let start = self.c.at;
        let _ = self.c.eat_any(&["in", "on"]);
        let _ = self.c.eat("the");
        if self.c.eat_any(&["every", "each", "next"]) && (self.c.eat_any(words::ROUND) || self.c.eat_any(words::ROW)) {
            return true;
        }
        self.c.at = start;
        false
    }

    /// "until there are 48 sc", "until 12 sts rem", "to 40 sts".
    pub(super) fn until_so_many(&mut self) -> Option<u32> {
        let start = self.c.at;
        let _ = self.c.eat_kind(&Kind::Comma);
        if self.c.eat_any(&["until", "till", "to"]) {
            let _ = self.c.eat_all(&["there", "are"]) || self.c.eat_all(&["you", "have"]);
            let _ = self.c.eat_any(&["only"]);
            if let Some(n) = self.c.number()
                && self.c.class().is_some()
            {
                let _ = self.c.eat_any(&["rem", "remain", "are", "have"]);
                let _ = self.c.eat_any(&["left", "been", "rem"]);
                let _ = self.c.eat_any(&["worked", "left"]);
                return Some(n);
            }
        }
        self.c.at = start;
        None
    }
}
