//! Rows told by what they lose or gain at their ends: "dec 1 st at each end", "dec 1 sc at each end of next and every alt
//! row 3 times", "inc 1 st at beg of next 4 rows".

use super::cursor::Cursor;
use super::lex::Kind;
use super::phrase::{RowReader, Run};
use super::shaping::{LESS, MORE};
use super::words;
use crate::craft::StitchForm;
use crate::instructions::{AS_EVEN, Act, Class, Step, Target, Until};

/// Most rows that one such line tells.
pub(super) const MOST: u32 = 200;

/// Which ends of a row are shaped.
#[derive(Clone, Copy, PartialEq, Eq)]
enum End {
    Both,
    First,
    Last,
}

/// The rows that are shaped: the first, and how others follow.
#[derive(Clone, Copy)]
pub(super) struct Course {
    /// Rows shaped in all.
    pub times: u32,
    /// Plain rows between two of them.
    even: u32,
    /// True where no number says how many there are.
    pub open: bool,
}

impl Course {
    /// The rows of one time behind the first, as [`Act::AsRow`] tells them: the plain ones, and the one shaped.
    pub fn pass(self) -> Vec<u32> {
        let mut pass = vec![AS_EVEN; self.even as usize];
        pass.push(u32::MAX);
        pass
    }
}

impl Cursor<'_> {
    /// "dec 1 st at each end", "inc one sc at beg and end": true for more, and where.
    fn shaped_ends(&mut self) -> Option<(bool, End)> {
        let start = self.at;
        let found = self.shaped_ends_here();
        self.at = if found.is_none() { start } else { self.at };
        found
    }

    fn shaped_ends_here(&mut self) -> Option<(bool, End)> {
        let more = self.eat_any(MORE);
        if !(more || self.eat_any(LESS)) {
            return None;
        }
        let one = self.eat_any(&["one", "a"]) || self.eat_kind(&Kind::Number(1));
        if !(one && self.class().is_some()) {
            return None;
        }
        let led = self.eat_any(&["at", "in", "on"]);
        let _ = self.eat("the");
        let both = self.eat_any(&["each", "both", "either"]) && self.eat_any(&["end", "ends", "side", "sides", "edge"]);
        if both {
            return Some((more, End::Both));
        }
        if led && self.eat_any(&["beg", "beginning", "start"]) {
            let both = self.eat("and") && self.eat("end");
            return Some((more, if both { End::Both } else { End::First }));
        }
        (led && self.eat_any(&["end", "ends"])).then_some((more, End::Last))
    }

    /// True where such a row is told here.
    pub(super) fn shapes_ends(&self) -> bool {
        self.clone().shaped_ends().is_some()
    }

    /// "of next and every alt row 3 times", "of next 4 rows", "of every row until 6 sts rem".
    pub(super) fn course(&mut self) -> Course {
        let start = self.at;
        let mut course = Course { times: 1, even: 0, open: false };
        let _ = self.eat_any(&["of", "on", "in"]);
        let _ = self.eat_any(&["the", "this"]);
        let first = self.eat_any(&["next", "following", "foll"]);
        let counted = if first { self.number() } else { None };
        let named = first && self.row_word();
        if named && counted.is_some() {
            course.times = counted.unwrap_or(1);
            return course;
        }
        let joined = first && (self.eat("and") | self.eat("then"));
        let _ = joined && self.eat("on");
        let _ = joined && self.eat_any(&["foll", "following"]);
        let more = if joined { self.number() } else { None };
        let every = self.eat_any(&["every", "each"]);
        let _ = self.eat_any(&["foll", "following"]);
        course.even = match self.kind(0) {
            Some(Kind::Word(w)) if matches!(w.as_str(), "alt" | "alternate" | "other" | "second") => {
                self.at += 1;
                1
            }
            Some(Kind::Ordinal(n)) if (2..=20).contains(n) => {
                self.at += 1;
                n - 1
            }
            _ => 0,
        };
        let _ = self.eat_any(&["foll", "following"]);
        // "on next and following 6th rnd": one more
        let once = joined && !every && more.is_none() && course.even > 0;
        let told = (every || more.is_some() || once) && self.row_word();
        if !told {
            if !named {
                self.at = start;
                // "dec 1 st at each end of row"
                let _ = self.eat("of") && self.eat_any(&["the", "this"]);
                if !self.row_word() {
                    self.at = start;
                }
            }
            return course;
        }
        if let Some(more) = more.or(once.then_some(1)) {
            course.times = more.saturating_add(1);
            return course;
        }
        let here = self.at;
        let _ = self.eat_kind(&Kind::Comma);
        match self.times() {
            Some((n, again)) => course.times = n.saturating_add(u32::from(again && joined)),
            None => {
                self.at = here;
                course.open = true;
            }
        }
        course
    }

    fn row_word(&mut self) -> bool {
        self.eat_any(words::ROW) || self.eat_any(words::ROUND)
    }
}

impl RowReader<'_> {
    /// Such a row as the stitches it comes to: the usual stitch in each, and the shaping where it is told.
    pub(super) fn ends_shaped(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let works = |s: &Step| matches!(s.act, Act::Work { .. } | Act::Group { .. } | Act::Repeat { .. });
        if self.depth > 0 || run.steps.iter().any(works) {
            return false;
        }
        let Some((more, end)) = self.c.shaped_ends() else { return false };
        let course = self.c.course();
        let until = if course.open { self.until_so_many() } else { None };
        let told = matches!(self.c.kind(0), Some(Kind::Dash | Kind::Colon | Kind::Equals | Kind::Open(_)))
            || matches!(self.c.word(0), Some("and" | "then" | "turn"));
        if course.times == 0 || course.times > MOST || !(told || self.c.at_break()) {
            return false;
        }
        let span = self.c.since(start);
        let usual = StitchForm::plain(self.c.usual_form().stem);
        let shaped = match more {
            true => Act::Work { each: 2, form: usual, at: Target::NEXT },
            false => Act::Work { each: 1, form: StitchForm::together(usual.stem, 2), at: Target::NEXT },
        };
        let taken = if more { 1 } else { 2 };
        let less = if end == End::First { 0 } else { taken };
        let along = Act::Work { each: 1, form: usual, at: Target::Each { class: Class::Stitch, less, every: 1 } };
        let acts = match end {
            End::Both => vec![shaped.clone(), along, shaped],
            End::First => vec![shaped, along],
            End::Last => vec![along, shaped],
        };
        run.steps.extend(acts.into_iter().map(|act| Step { act, span }));
        let pass = course.pass();
        if let Some(sts) = until {
            let until = Until { sts: Some(sts), ..Until::default() };
            run.steps.push(Step { act: Act::RowsUntil { rows: pass, until, own: false }, span });
        } else if course.times > 1 {
            let rows = pass.repeat(course.times as usize - 1);
            run.steps.push(Step { act: Act::AsRow { rows }, span });
        }
        true
    }
}
