//! A foundation as long as wanted: "make foundation ch with an odd number of sts", "ch any even number".

use super::cursor::Cursor;
use super::phrase::{RowReader, Run};
use super::words;
use crate::instructions::Act;

/// "[foundation] ch with an odd number of stitches", "ch to desired length": behind "make a".
pub(super) fn any_length(c: &mut Cursor<'_>) -> bool {
    let _ = c.eat_any(&["foundation", "beginning", "starting", "beg"]);
    if !c.eat_any(words::CHAIN) {
        return false;
    }
    let _ = c.eat_any(&["with", "of", "to", "in"]);
    let _ = c.eat_any(&["a", "an", "any", "your", "the"]);
    if c.eat_any(&["odd", "even", "uneven"]) {
        let _ = c.eat("number") && c.eat("of") && (c.eat_any(words::STITCH) || c.eat_any(words::CHAIN));
        return c.at_break();
    }
    let _ = c.eat_any(&["desired", "required", "wanted"]);
    if !c.eat("length") {
        return false;
    }
    let _ = c.eat_any(&["desired", "required", "wanted"]) || c.eat_all(&["you", "want"]);
    c.at_break()
}

impl RowReader<'_> {
    /// A foundation chain whose length is left to the worker.
    pub(super) fn any_chain(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let _ = self.c.eat_any(&["make", "work", "start", "begin"]);
        let _ = self.c.eat("with");
        let _ = self.c.eat_any(&["a", "the"]);
        any_length(&mut self.c) && self.push(run, start, Act::AnyChain)
    }
}
