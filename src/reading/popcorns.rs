//! A popcorn told by what is done: "5 dc in next st. Drop loop from hook, insert hook in first dc and draw the dropped loop
//! through. Ch 1 to close."

use super::cursor::Cursor;
use super::lex::Kind;
use super::phrase::{RowReader, Run};
use super::words;
use crate::craft::{Meet, Stem, StitchForm};
use crate::instructions::Act;

/// Verbs by which the hook leaves the last stitch, or goes into the first.
const OPENS: &[&str] = &["drop", "remove", "slip", "take", "insert", "reinsert", "withdraw"];

/// Longest sentence that closes a popcorn, in tokens.
const LONGEST: usize = 40;

impl RowReader<'_> {
    /// The sentence that draws the stitches just worked into one place together.
    pub(super) fn closes_popcorn(&mut self, run: &mut Run) -> bool {
        let Some(last) = run.steps.last() else { return false };
        let Act::Work { each: each @ 2.., form, at } = &last.act else { return false };
        if *form != StitchForm::plain(form.stem) || form.stem == Stem::SlipStitch {
            return false;
        }
        let Ok(legs) = u8::try_from(*each) else { return false };
        let (stem, at) = (form.stem, at.clone());
        let start = self.c.at;
        let _ = self.c.eat_any(&["and", "then"]);
        let again = self.c.eat("re") && self.c.eat_kind(&Kind::Dash);
        if !(self.c.eat_any(OPENS) || again && self.c.eat("insert")) {
            self.c.at = start;
            return false;
        }
        if !self.drawn_through(start) {
            self.c.at = start;
            return false;
        }
        closing_chain(&mut self.c);
        let span = self.c.since(start);
        if let Some(last) = run.steps.last_mut() {
            last.act = Act::Work { each: 1, form: StitchForm::cluster(stem, legs, Meet::Closed), at };
            last.span = last.span.to(span);
        }
        true
    }

    /// "loop from hook, insert hook in first dc of group and draw loop through": every word known, to "through".
    fn drawn_through(&mut self, start: usize) -> bool {
        let (mut drawn, mut hook) = (false, false);
        while !self.c.done() && self.c.at - start < LONGEST {
            let before = self.c.at;
            match self.c.kind(0) {
                Some(Kind::Word(w)) => {
                    drawn |= matches!(w.as_str(), "draw" | "pull" | "drawing" | "pulling");
                    hook |= w == "hook";
                    let through = drawn && matches!(w.as_str(), "through" | "thru");
                    if self.c.stitch().is_none() {
                        let known = self.is_plain(w) || matches!(w.as_str(), "lp" | "loop" | "hook");
                        if !known {
                            return false;
                        }
                        self.c.at += 1;
                    }
                    if through {
                        while self.c.eat_any(&["the", "dropped", "it", "loop", "lp", "st", "stitch", "first", "same"])
                            || self.c.eat_any(&["on", "hook", "of", "group"])
                            || self.c.stitch().is_some()
                        {}
                        return hook && (self.c.at_break() || matches!(self.c.kind(0), Some(Kind::Open(_))));
                    }
                }
                Some(Kind::Comma | Kind::Stop | Kind::Dash | Kind::Number(_) | Kind::Ordinal(_)) => self.c.at += 1,
                _ => return false,
            }
            if self.c.at == before {
                return false;
            }
        }
        false
    }
}

/// ", ch 1 to close": the chain that locks a popcorn is neither stitch nor space.
pub(super) fn closing_chain(c: &mut Cursor<'_>) {
    let start = c.at;
    let _ = c.eat_kind(&Kind::Comma) || c.eat_kind(&Kind::Stop);
    let _ = c.eat("and");
    if c.eat_any(words::CHAIN)
        && {
            let _ = c.eat_kind(&Kind::Dash);
            c.number() == Some(1)
        }
        && c.eat("to")
        && c.eat_any(&["close", "secure", "lock", "fasten"])
    {
        let _ = c.eat("the");
        let _ = c.eat_any(words::STITCH) || c.eat_any(words::GROUP) || c.eat_any(words::CLUSTERS) || c.eat("it");
        if c.at_break() || c.kind(0) == Some(&Kind::Dash) {
            return;
        }
    }
    c.at = start;
}
