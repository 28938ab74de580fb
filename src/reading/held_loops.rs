//! Stitches held on the hook and closed as one: "keeping last loop of each on hook, 3 dc in next st, yo and draw through
//! all 4 loops", with the words about the loops before or behind the stitches.

use super::lex::Kind;
use super::phrase::{RowReader, Run};
use super::popcorns::closing_chain;
use crate::craft::{Meet, Stem, StitchForm};
use crate::instructions::{Act, Target};

/// Verbs that keep a loop on the hook.
const HOLDS: &[&str] =
    &["keeping", "holding", "leaving", "retaining", "keep", "hold", "leave", "retain", "omitting", "omit"];

/// Words between the verb and the hook.
const BETWEEN: &[&str] = &[
    "back", "the", "on", "of", "each", "every", "st", "stitch", "sts", "stitches", "loop", "lp", "loops", "lps",
    "last", "your", "one", "for",
];

impl RowReader<'_> {
    /// The stitches whose last loops stay on the hook, to the draw through all of them.
    pub(super) fn held_loops(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let steps = run.steps.len();
        if !self.keeps_loops() {
            return false;
        }
        let _ = self.c.eat_kind(&Kind::Comma);
        let behind = self.closes_loops();
        if !behind {
            let led = self.work(run) && run.steps.len() == steps + 1;
            let _ = self.keeps_loops();
            if !led || !self.closes_loops() {
                run.steps.truncate(steps);
                self.c.at = start;
                return false;
            }
        }
        let span = self.c.since(start);
        let Some(step) = run.steps.last_mut() else { return false };
        let Some((form, at)) = closed(&step.act) else {
            run.steps.truncate(steps);
            self.c.at = start;
            return false;
        };
        step.act = Act::Work { each: 1, form, at };
        step.span = step.span.to(span);
        closing_chain(&mut self.c);
        true
    }

    /// "keeping back the last loop of each dc on the hook".
    fn keeps_loops(&mut self) -> bool {
        let start = self.c.at;
        let _ = self.c.eat_any(&["while", "but", "and", "always"]);
        let (mut last, mut loops) = (false, false);
        if self.c.eat_any(HOLDS) {
            loop {
                match self.c.word(0) {
                    Some("hook") => {
                        self.c.at += 1;
                        if loops {
                            break;
                        }
                    }
                    Some(w) if BETWEEN.contains(&w) => {
                        last |= w == "last";
                        loops |= matches!(w, "loop" | "lp" | "loops" | "lps");
                        self.c.at += 1;
                    }
                    _ if loops && self.c.stem().is_some() => {}
                    _ => break,
                }
            }
        }
        if !(last && loops) {
            self.c.at = start;
        }
        last && loops
    }

    /// "yo and draw through all 4 loops on hook", "then work off all loops together".
    fn closes_loops(&mut self) -> bool {
        let start = self.c.at;
        while self.c.eat_kind(&Kind::Comma)
            || self.c.eat_kind(&Kind::Stop)
            || self.c.eat_kind(&Kind::Semicolon)
            || self.c.eat_any(&["and", "then"])
        {}
        let over = self.c.eat_any(&["yo", "yoh", "yrh"])
            || self.c.eat_all(&["yarn", "over"])
            || self.c.eat_all(&["thread", "over"])
            || self.c.eat_all(&["yarn", "round", "hook"]);
        let _ = self.c.eat("hook");
        let _ = self.c.eat_kind(&Kind::Comma);
        let _ = self.c.eat_any(&["and", "then"]);
        let drawn = self.c.eat_any(&["draw", "pull", "drawing", "pulling"]) && {
            let _ = self.c.eat_any(&["yarn", "thread", "it"]) || self.c.eat_all(&["a", "loop"]) || self.c.eat("loop");
            self.c.eat_any(&["through", "thru"])
        };
        // "yo and through all 3 loops"
        let drawn = drawn || over && self.c.eat_any(&["through", "thru"]);
        let off = !over && !drawn && self.c.eat_all(&["work", "off"]);
        if drawn || off {
            while self.c.eat_any(&["all", "the", "rem", "remaining", "these"]) || self.c.number().is_some() {}
            let loops = self.c.eat_any(&["loops", "lps", "loop", "lp", "sts"]) || self.c.eat("of") || off;
            let _ = self.c.eat_all(&["on", "hook"])
                || self.c.eat_all(&["on", "the", "hook"])
                || self.c.eat_all(&["left", "on", "hook"]);
            let _ = self.c.eat_any(&["together", "tog"]) || self.c.eat_all(&["at", "once"]);
            if loops && (over || off) {
                return true;
            }
        }
        self.c.at = start;
        false
    }
}

/// The stitch that these make closed at the head; none where they are one, or do not stand as stitches do.
fn closed(act: &Act) -> Option<(StitchForm, Target)> {
    let Act::Work { each, form, at } = act else { return None };
    if *form != StitchForm::plain(form.stem) || form.stem == Stem::SlipStitch {
        return None;
    }
    let legs = |n: u32| u8::try_from(n).ok().filter(|&n| n >= 2);
    match at {
        Target::Next { n, .. } if *each == 1 => Some((StitchForm::together(form.stem, legs(*n)?), Target::NEXT)),
        _ => Some((StitchForm::cluster(form.stem, legs(*each)?, Meet::Head), at.clone())),
    }
}
