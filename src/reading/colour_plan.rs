//! Which yarn each of several rows has: "working 1 row each with moss, sand and rust", "working 2 rnds each of B and A".

use super::lex::Kind;
use super::phrase::{RowReader, Run};
use super::words;

/// Yarns of the longest plan.
const MOST_YARNS: usize = 12;

impl RowReader<'_> {
    /// A plan of colours over the rows just told: it changes no stitch.
    pub(super) fn colour_plan(&mut self, _run: &mut Run) -> bool {
        let start = self.c.at;
        if !self.c.eat_any(&["working", "work", "alternating", "alternate", "knitting"]) || !self.plan() {
            self.c.at = start;
            return false;
        }
        let span = self.c.since(start);
        self.notes.push(span);
        true
    }

    fn plan(&mut self) -> bool {
        let rows = self.c.number().is_some() && (self.c.eat_any(words::ROW) || self.c.eat_any(words::ROUND));
        let each = rows && (self.c.eat("each") || self.c.eat("every"));
        let led = self.c.eat_any(&["with", "of", "in"]);
        if !(each && led) {
            return false;
        }
        let mut named = 0;
        while named < MOST_YARNS && self.yarn().is_some() {
            named += 1;
            let between = self.c.at;
            let comma = self.c.eat_kind(&Kind::Comma);
            let and = self.c.eat("and");
            let more = self.yarn().is_some();
            self.c.at = between;
            if !(more && (comma || and)) {
                break;
            }
            let _ = self.c.eat_kind(&Kind::Comma);
            let _ = self.c.eat("and");
        }
        named > 1 && self.c.at_break()
    }
}
