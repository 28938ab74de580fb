//! Chains, and the picots they may turn out to be.

use super::lex::Kind;
use super::phrase::{RowReader, Run};
use super::stitch::Named;
use super::words;
use crate::craft::{Stem, StitchForm};
use crate::instructions::{Act, Class, Step};
use crate::source::Span;

impl RowReader<'_> {
    /// Chains, and the picots they may turn out to be.
    pub(super) fn chain(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let _ = self.c.eat_any(&["work", "make"]) || self.c.eat_any(&["start", "begin"]) && self.c.eat("with");
        let _ = self.c.eat("a");
        let before = self.c.number();
        let _ = before.is_some() && (self.c.eat_kind(&Kind::Dash) || self.c.eat("more"));
        if !self.c.eat_any(words::CHAIN) {
            return false;
        }
        let _ = before.is_none() && self.c.eat("of");
        let _ = self.c.eat_kind(&Kind::Dash) || self.c.eat_kind(&Kind::Times) || self.c.eat("x");
        let n = match before {
            Some(n) => n,
            None => match self.c.number() {
                Some(n) => n,
                None => return false,
            },
        };
        if before.is_none() && self.c.word(0).is_some_and(|w| words::SPACE.contains(&w)) {
            return false;
        }
        if before.is_none() && super::any_chain::is_measure(&self.c) {
            // "make a chain 60" long": no number of chains
            return false;
        }
        let _ = self.c.eat_any(&["loosely", "sts", "stitches", "st's", "more"]);
        let span = self.c.since(start);
        if let Some(end) = self.picot_close(n) {
            run.steps.push(Step { act: Act::Picot { n }, span: span.to(end) });
            return true;
        }
        run.steps.push(Step { act: Act::Chain { n }, span });
        self.times_behind(run, start);
        true
    }

    /// "sl st in 3rd ch from hook" behind "ch 3", or into the stitch the chain sprang from.
    pub(super) fn picot_close(&mut self, n: u32) -> Option<Span> {
        let start = self.c.at;
        let _ = self.c.eat_kind(&Kind::Comma) || self.c.eat_kind(&Kind::Stop);
        let _ = self.c.eat("and");
        let named = self.c.stitch();
        let slip = matches!(named, Some(Named::Form(f)) if f == StitchForm::plain(Stem::SlipStitch));
        if slip {
            let told = self.c.eat_any(words::INTO);
            let _ = self.c.eat("the");
            let hook = self.c.ordinal() == Some(n) && self.c.eat_any(words::CHAIN) && self.c.eat("from") && {
                let _ = self.c.eat("the");
                self.c.eat_any(&["hook", "hk"])
            };
            if told && hook {
                return Some(self.c.since(start));
            }
            self.c.at = start;
            let _ = self.c.eat_kind(&Kind::Comma) || self.c.eat_kind(&Kind::Stop);
            let _ = self.c.eat("and");
            let _ = self.c.stitch();
            let _ = self.c.eat_any(words::INTO);
            let _ = self.c.eat_all(&["top", "of"]);
            let _ = self.c.eat("the");
            if self.c.eat_all(&["last"])
                && matches!(self.c.class(), Some(Class::Kind(_)))
                && self.c.eat_any(&["made", "worked"])
            {
                return Some(self.c.since(start));
            }
        }
        self.c.at = start;
        None
    }
}
