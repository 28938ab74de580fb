//! Yarn brought to a place in words that are no stitch: "insert hook in any ch-2 sp and pull up a loop", "in last st,
//! join B in last pull-through".

use super::lex::Kind;
use super::phrase::{RowReader, Run};
use super::words;
use crate::instructions::{Act, Target};

impl RowReader<'_> {
    /// "insert hook into any st and pull up a loop [of B]", with chains behind it: the yarn is tied on there.
    pub(super) fn loop_pulled_up(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        if self.depth > 0 || !self.c.eat_any(&["insert", "put"]) {
            return false;
        }
        let _ = self.c.eat_any(&["your", "the"]);
        if !(self.c.eat("hook") && matches!(self.c.word(0), Some("in" | "into" | "through"))) {
            return false;
        }
        let Some(place) = self.c.place() else { return false };
        let _ = self.c.eat_kind(&Kind::Comma);
        let _ = self.c.eat("and");
        if self.c.eat("yo") {
            let _ = self.c.eat_kind(&Kind::Comma) | self.c.eat("and");
        }
        if !(self.c.eat_any(&["pull", "draw"]) && self.c.eat("up")) {
            return false;
        }
        let _ = self.c.eat_any(&["a", "the"]);
        if !self.c.eat_any(&["loop", "lp"]) {
            return false;
        }
        let yarn = if self.c.eat("of") || self.c.eat("with") { self.yarn() } else { None };
        let here = self.c.at;
        while self.c.eat_kind(&Kind::Comma) || self.c.eat_kind(&Kind::Stop) || self.c.eat_any(&["and", "then"]) {}
        let chains = self.c.word(0).is_some_and(|w| words::CHAIN.contains(&w));
        self.c.at = here;
        chains && self.push(run, start, Act::Attach { yarn, at: Some(place.target) })
    }

    /// "by drawing through last 2 loops of sc", "drawing new yarn through last 2 loops on hook": how it is taken up.
    fn drawn_through_last(&mut self) {
        let start = self.c.at;
        let _ = self.c.eat("by");
        let mut told = self.c.eat_any(&["drawing", "pulling", "draw", "pull"]);
        let mut loops = false;
        while told && !self.c.at_break() {
            told = match self.c.kind(0) {
                Some(Kind::Number(_)) => true,
                Some(Kind::Word(w)) => {
                    loops |= matches!(w.as_str(), "loops" | "loop" | "lps");
                    self.is_plain(w)
                }
                _ => false,
            };
            self.c.at += 1;
        }
        if !(told && loops) {
            self.c.at = start;
        }
    }

    /// "in last st, join B in last pull-through": the yarn that the last stitch is closed with.
    pub(super) fn last_loop_in(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let last = match self.c.word(0) {
            Some("in" | "on") => matches!(self.c.place().map(|w| w.target), Some(Target::Last { n: 1, .. })),
            // "ending last row with join B by drawing through last 2 loops"
            Some("ending" | "end") => {
                self.c.at += 1;
                let _ = self.c.eat("the");
                self.c.eat_any(&["last", "final"])
                    && (self.c.eat_any(words::ROW) || self.c.eat_any(words::ROUND))
                    && self.c.eat_any(&["with", "by"])
            }
            _ => return false,
        };
        let _ = self.c.eat_kind(&Kind::Comma);
        if !(last && self.c.eat_any(&["join", "attach", "change", "switch", "changing", "joining"])) {
            return false;
        }
        let _ = self.c.eat("to");
        let Some(yarn) = self.yarn() else { return false };
        self.on_last_pull();
        self.drawn_through_last();
        self.c.at_break() && self.push(run, start, Act::Change { yarn })
    }
}
