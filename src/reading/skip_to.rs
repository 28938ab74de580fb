//! Stretches passed by as far as a place: "skip all sts of sleeve to next ch-2 sp", "skip to next marker".

use super::phrase::{RowReader, Run};
use super::words;
use crate::instructions::{Act, Class, Step, Target, Times};

/// Words between what is skipped and how far.
const MOST_WORDS: usize = 6;

impl RowReader<'_> {
    /// Behind "skip": everything before the place told.
    pub(super) fn skip_up_to(&mut self, run: &mut Run, start: usize) -> bool {
        let here = self.c.at;
        let _ = self.c.eat_any(&["all", "the", "every"]);
        let _ = self.c.eat_any(&["all", "the", "rem", "remaining"]);
        let from = self.c.at;
        // "sleeve sts", "sts of sleeve", "dc for armhole"
        while self.c.at - from < MOST_WORDS && !matches!(self.c.word(0), Some("to" | "until" | "till" | "up")) {
            let named = self.c.word(0).is_some_and(|w| {
                words::STITCH.contains(&w)
                    || matches!(w, "of" | "for" | "on" | "across" | "the" | "over")
                    || super::remarks::is_plain_word(w)
                    || self.c.house.own_words.contains(w)
            });
            if !named && self.c.stem().is_none() {
                break;
            }
            if named {
                self.c.at += 1;
            }
        }
        let last = self.c.clone();
        let stop = self.c.up_to().or_else(|| {
            // "to last ch-2 sp"
            self.c.at = last.at;
            let led = self.c.eat_any(&["to", "until", "till"]);
            let _ = led && self.c.eat("the");
            (led && self.c.eat("last")).then(|| self.c.class()).flatten().map(|class| Target::Last { n: 1, class })
        });
        if let Some(stop) = stop.filter(|_| self.c.at_break()) {
            let span = self.c.since(start);
            let skip = Step { act: Act::Skip { n: 1, class: Class::Stitch }, span };
            let times = Times::UpTo { stop: Box::new(stop) };
            return self.push(run, start, Act::Repeat { steps: vec![skip], times, stop: None });
        }
        self.c.at = here;
        false
    }
}
