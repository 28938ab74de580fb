//! What rows worked as another one come to, told beside it: "rep row 3, inc 1 st at beg of every row", and told alone:
//! "continue in this way, increasing 1 st at beg of each row".

use super::lex::Kind;
use super::phrase::{RowReader, Run};
use super::words;
use crate::instructions::{Act, Step};

/// Verbs that say how rows grow or shrink.
const CHANGES: &[&str] = &["inc", "increase", "increasing", "incr", "dec", "decrease", "decreasing", "decr"];

/// What is said of stitches that were added or lost.
const CHANGED: &[&str] = &["increased", "decreased", "added", "inc", "dec", "more", "less", "fewer"];

/// Steps looked back over for the row that is worked again.
const SOON: usize = 4;

impl RowReader<'_> {
    /// How rows worked again grow or shrink; alone, the row before is the one that is worked again.
    pub(super) fn change_told(&mut self, run: &mut Run) -> bool {
        if self.depth > 0 {
            return false;
        }
        let start = self.c.at;
        let again = |s: &Step| matches!(s.act, Act::AsRow { .. } | Act::RowsUntil { .. });
        let again = run.steps.iter().rev().take(SOON).any(again);
        let going_on = !again && run.steps.is_empty() && self.goes_on();
        let _ = self.c.eat("and") | self.c.eat("by");
        let told = self.change();
        if told == Some(true) && again {
            let span = self.c.since(start);
            self.notes.push(span);
            return true;
        }
        // the end of a row is named: it grows there as the one before it did
        if told == Some(true) && run.steps.is_empty() && going_on && self.named_end(start) {
            return self.push(run, start, Act::AsRow { rows: vec![u32::MAX] });
        }
        self.c.at = start;
        false
    }

    /// "continue in this way,", "keep", "cont to".
    fn goes_on(&mut self) -> bool {
        if !self.c.eat_any(&["cont", "continue", "continuing", "keep", "carry", "go"]) {
            return false;
        }
        let _ = self.c.eat_any(&["on", "to"]);
        if self.c.eat("in") {
            let _ = self.c.eat_any(&["this", "the"]);
            let _ = self.c.eat("same");
            let _ = self.c.eat_any(&["way", "manner", "pat", "pattern"]);
        } else if self.c.eat("as") {
            let _ = self.c.eat_any(&["before", "established", "set"]);
        }
        let _ = self.c.eat_kind(&Kind::Comma);
        true
    }

    /// "inc 1 st at beg of every row", "1 st increased at each end": true where it is said of each row.
    fn change(&mut self) -> Option<bool> {
        let verb = self.c.eat_any(CHANGES);
        let number = self.c.number().is_some() || self.c.eat_any(&["a", "one", "an"]);
        let _ = self.c.eat_any(&["more", "extra", "less"]);
        let stitch = self.c.eat_any(words::STITCH) || self.c.class().is_some();
        let behind = !verb && number && stitch && {
            let _ = self.c.eat_any(&["is", "are"]);
            self.c.eat_any(CHANGED)
        };
        if !(verb && (number && stitch || !number && !stitch) || behind) {
            return None;
        }
        let end = self.row_end();
        let here = self.c.at;
        let of = self.c.eat_any(&["of", "in", "on"]);
        let _ = self.c.eat("the");
        let each = self.c.eat_any(&["each", "every", "all"])
            && (self.c.eat_any(words::ROW) || self.c.eat_any(words::ROUND) || self.c.eat("time"));
        if !each {
            self.c.at = if of { here } else { self.c.at };
        }
        (self.c.at_break() && (each || end)).then_some(each || end)
    }

    /// "at beg", "at the beginning", "at both ends".
    fn row_end(&mut self) -> bool {
        let start = self.c.at;
        if self.c.eat_any(&["at", "in"]) {
            let _ = self.c.eat_any(&["the", "both", "each", "either", "every"]);
            if self.c.eat_any(&["beg", "beginning", "start", "end", "ends", "side", "sides"]) {
                return true;
            }
        }
        self.c.at = start;
        false
    }

    /// True where the words since a token name an end of a row.
    fn named_end(&self, start: usize) -> bool {
        let names = |w: &str| matches!(w, "beg" | "beginning" | "start" | "end" | "ends" | "side" | "sides");
        (start..self.c.at).any(|k| self.c.word_at(k).is_some_and(names))
    }
}
