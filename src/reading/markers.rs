//! Stitch markers: where one is placed, and places named by one.

use super::cursor::Cursor;
use super::phrase::{RowReader, Run};
use super::words;
use crate::instructions::{Act, Class, Target};

impl Cursor<'_> {
    /// "marked st", "marked ch on next loop", behind "next" or "to"; "marker" where it is a place to come to.
    pub(super) fn marked(&mut self) -> Option<Class> {
        let start = self.at;
        if self.eat("marked") {
            if self.class().is_some() {
                self.of_next_loop();
                return Some(Class::Marked);
            }
            self.at = start;
        }
        None
    }

    /// "to marker", "to next marker": behind "to".
    pub(super) fn as_far_as_marker(&mut self) -> Option<Target> {
        let start = self.at;
        let _ = self.eat_any(&["next", "first", "foll", "following", "1st"]);
        if self.eat_any(&["marker", "markers", "m"]) || self.marked().is_some() {
            return Some(Target::Next { n: 1, class: Class::Marked });
        }
        self.at = start;
        None
    }

    /// "on next large loop": which shape the marked stitch is in, and it is the next in any case.
    fn of_next_loop(&mut self) {
        let start = self.at;
        if self.eat_any(&["on", "of", "in"]) {
            let _ = self.eat("the");
            if self.eat_any(&["next", "same", "foll", "following"]) {
                let _ = self.eat_any(&["large", "small", "long", "short"]);
                if self.space().is_some() || self.eat_any(words::SPACE) || self.shape().is_some() {
                    return;
                }
            }
        }
        self.at = start;
    }
}

impl RowReader<'_> {
    /// "pm", "place marker in 2nd sc of group just made", "placing a marker on last hdc", "place marker between last 2
    /// sc": which of the stitches just made is marked.
    pub(super) fn mark_made(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let made = run.steps.iter().rev().find_map(|s| match &s.act {
            Act::Work { each, .. } => Some(*each),
            Act::Chain { .. } | Act::Group { .. } => Some(1),
            Act::Mark { .. } => None,
            _ => Some(0),
        });
        let (Some(each), true) = (made.filter(|&e| e > 0), self.places_marker()) else { return false };
        let back = match self.which_made(each) {
            Some(back) => back,
            None if self.c.at_break() => 0,
            None => return false,
        };
        self.push(run, start, Act::Mark { back })
    }

    /// "pm", "place a marker", "place marker (pm)".
    fn places_marker(&mut self) -> bool {
        let c = &mut self.c;
        if c.eat("pm") {
            return true;
        }
        if !c.eat_any(&["place", "placing", "put", "putting"]) {
            return false;
        }
        let _ = c.eat_any(&["a", "one"]);
        let _ = c.eat_any(&["stitch", "st"]);
        if !c.eat("marker") {
            return false;
        }
        let behind = c.at;
        let bracket = matches!(c.kind(0), Some(super::lex::Kind::Open(_)));
        c.at += usize::from(bracket);
        if bracket && c.eat("pm") && matches!(c.kind(0), Some(super::lex::Kind::Close(_))) {
            c.at += 1;
        } else {
            c.at = behind;
        }
        true
    }

    /// Behind "place marker": how far back the marked one lies, of `each` just worked into one place.
    fn which_made(&mut self, each: u32) -> Option<u32> {
        let start = self.c.at;
        if self.c.eat("between") {
            let _ = self.c.eat("the");
            let two = self.c.eat("last") && self.c.number() == Some(2) && self.c.class().is_some();
            let _ = self.c.eat_any(&["made", "worked"]);
            if two && self.c.at_break() {
                return Some(0);
            }
            self.c.at = start;
            return None;
        }
        if !self.c.eat_any(&["in", "on", "into", "through"]) {
            return None;
        }
        let _ = self.c.eat_any(&["the", "this"]);
        let back = if self.c.eat("last") {
            Some(0)
        } else if self.c.eat_any(&["first", "1st"]) || self.c.eat_kind(&super::lex::Kind::Ordinal(1)) {
            (each > 1).then_some(each - 1)
        } else if self.c.eat_any(words::CENTRE) {
            (each > 1).then_some(each / 2)
        } else {
            match self.c.ordinal() {
                Some(n) => each.checked_sub(n).filter(|_| each > 1),
                None => Some(0).filter(|_| self.c.word(1).is_some_and(|w| matches!(w, "just" | "made"))),
            }
        };
        let named = back.is_some() && self.c.class().is_some() && {
            let _ = self.c.eat("of") && self.c.eat_any(&["group", "the", "these"]) && {
                let _ = self.c.number();
                let _ = self.c.class();
                true
            };
            let _ = self.c.eat("just");
            let _ = self.c.eat_any(&["made", "worked"]);
            self.c.at_break()
        };
        if named {
            return back;
        }
        self.c.at = start;
        None
    }
}
