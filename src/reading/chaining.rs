//! Chains, and the picots they may turn out to be.

use super::lex::Kind;
use super::phrase::{RowReader, Run};
use super::stitch::Named;
use super::whole_row::RINGS;
use super::words;
use crate::craft::{Stem, StitchForm};
use crate::instructions::{Act, Class, Step};
use crate::source::Span;

impl RowReader<'_> {
    /// Chains, and the picots they may turn out to be.
    pub(super) fn chain(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let _ = self.c.eat_any(&["work", "make"])
            || self.c.eat_any(&["start", "begin", "commence", "commencing"]) && self.c.eat("with");
        let _ = self.c.eat("a");
        let here = self.c.at;
        if self.c.at > start && self.c.eat_any(RINGS) && !self.c.eat_any(&["with", "of"]) {
            self.c.at = here;
        }
        let loosely = self.c.eat_any(words::ABOUT);
        let before = self.c.number();
        if loosely && before.is_none() {
            return false;
        }
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
        let n = n.saturating_add(self.c.added_turning().unwrap_or(0));
        self.between_parts();
        let span = self.c.since(start);
        if let Some(end) = self.picot_close(n, run) {
            run.steps.push(Step { act: Act::Picot { n }, span: span.to(end) });
            return true;
        }
        run.steps.push(Step { act: Act::Chain { n }, span });
        self.times_behind(run, start);
        true
    }

    /// "sl st in 3rd ch from hook" behind "ch 3", "sl st in first ch of ch-3", or into the stitch the chain sprang from.
    pub(super) fn picot_close(&mut self, n: u32, run: &Run) -> Option<Span> {
        let start = self.c.at;
        let _ = self.c.eat_kind(&Kind::Comma) || self.c.eat_kind(&Kind::Stop);
        let _ = self.c.eat("and") || self.c.eat("then");
        let closes = match self.c.stitch() {
            Some(Named::Form(f)) if f == StitchForm::plain(Stem::SlipStitch) => true,
            // an sc closes a picot where the words call it one
            Some(Named::Form(f)) if f == StitchForm::plain(Stem::Single) => false,
            _ => {
                self.c.at = start;
                return None;
            }
        };
        let _ = self.c.eat_any(&["down", "back"]);
        let told = self.c.eat_any(words::INTO) || self.c.eat_any(&["through", "thru"]);
        let _ = self.c.eat("the");
        let place = self.c.at;
        let ways: [fn(&mut Self, u32) -> bool; 3] = [Self::at_hook_of, Self::last_made, Self::first_of_chain];
        for (k, way) in ways.iter().enumerate() {
            // "ch 5, sl st in first ch" with nothing before it is a ring
            let ring = |reader: &Self| {
                k != 1 && reader.depth == 0 && {
                    let mut c = reader.c.clone();
                    let formed = c.closed_to_ring(false).is_some();
                    (k == 2 || formed) && !run.steps.iter().rev().any(|s| s.act.works())
                }
            };
            // "ch 5, sl st in top of last dc of row 20" closes nothing
            let elsewhere = |reader: &Self| {
                // nor does a long loop behind which the work turns: the next row fills it
                let mut c = reader.c.clone();
                let turns = n >= LEAST_LOOP && k == 1 && c.eat_kind(&Kind::Comma) && c.word(0) == Some("turn");
                turns || reader.c.word(0) == Some("of") && reader.c.word(1).is_some_and(|w| words::ROW.contains(&w))
            };
            if told && way(self, n) && !ring(self) && !elsewhere(self) {
                let end = self.c.since(start);
                let named = self.for_picot();
                if closes || named {
                    return Some(end);
                }
            }
            self.c.at = place;
        }
        self.c.at = start;
        None
    }

    /// "3rd ch from hook" of ch 3.
    fn at_hook_of(&mut self, n: u32) -> bool {
        self.c.ordinal() == Some(n) && self.c.eat_any(words::CHAIN) && self.c.eat("from") && {
            let _ = self.c.eat("the");
            self.c.eat_any(words::HOOK)
        }
    }

    /// "first ch", "first ch made", "first of 3 ch", "1st ch of ch-3".
    fn first_of_chain(&mut self, n: u32) -> bool {
        if n > LONGEST_PICOT {
            return false;
        }
        let first = self.c.eat_any(&["first", "1st"]) || self.c.eat_kind(&Kind::Ordinal(1));
        let chain = first && self.c.eat_any(words::CHAIN);
        let _ = self.c.eat("just");
        let made = self.c.eat_any(&["made", "worked"]);
        let here = self.c.at;
        let of = (chain || first) && !made && self.c.eat("of") && {
            let _ = self.c.eat_any(&["the", "these", "this", "those"]);
            let before = self.c.number();
            let named = self.c.eat_any(words::CHAIN);
            let _ = named && self.c.eat_kind(&Kind::Dash);
            let behind = if before.is_none() { self.c.number() } else { None };
            let _ = self.c.eat("just") && self.c.eat("made");
            named && before.or(behind).is_none_or(|told| told == n)
        };
        if !of {
            self.c.at = here;
        }
        // "sl st in first ch" alone, where the chain is the last thing made
        of || chain && (made || self.c.at_break() || self.c.names_picot())
    }

    /// "top of last sc", "last dc made", "side of sc just made": the stitch the chain sprang from.
    fn last_made(&mut self, n: u32) -> bool {
        if n > LONGEST_PICOT {
            return false;
        }
        if self.c.word(0) == Some("base") && self.c.bases_since_petal().is_some() {
            // the chain goes on to the other end of a petal
            return false;
        }
        let part = self.c.eat_any(&["top", "side", "base", "post"]) && self.c.eat("of");
        let _ = self.c.eat("the");
        let last = self.c.eat_any(&["last", "previous", "prev", "preceding"]);
        if !matches!(self.c.class(), Some(Class::Kind(_) | Class::Stitch)) {
            return false;
        }
        let just = self.c.eat("just");
        let made = self.c.eat_any(&["made", "worked", "completed"]);
        last && (part || made) || just && made
    }

    /// "for picot", "to form picot": what was made, told behind it.
    fn for_picot(&mut self) -> bool {
        let start = self.c.at;
        let open = matches!(self.c.kind(0), Some(Kind::Open(_)));
        self.c.at += usize::from(open);
        let led = self.c.eat_any(&["for", "forming", "makes", "making"])
            || self.c.eat("to") && self.c.eat_any(&["form", "make", "complete"]);
        let _ = led && self.c.eat_any(&["a", "the", "first"]);
        let closed = |reader: &Self| !open || matches!(reader.c.kind(0), Some(Kind::Close(_)));
        if led && self.c.eat_any(PICOT) && closed(self) {
            self.c.at += usize::from(open);
            return true;
        }
        self.c.at = start;
        // "picot made" behind it is read where such names are
        self.c.names_picot()
    }
}

/// Its names.
const PICOT: &[&str] = &["picot", "picots", "p"];

/// Chains of a picot that is told by its first chain; a published one has three to five.
const LONGEST_PICOT: u32 = 8;

impl super::cursor::Cursor<'_> {
    /// "+ 1 turning ch", "(+ 1 for turning)", "plus 1 ch to turn", "+ 1": chains told beside those of a foundation.
    pub(super) fn added_turning(&mut self) -> Option<u32> {
        let start = self.at;
        let open = matches!(self.kind(0), Some(Kind::Open(_)));
        self.at += usize::from(open);
        let _ = self.eat_kind(&Kind::Comma);
        let added = self.eat_kind(&Kind::Other('+')) || self.eat("plus");
        let n = if added { self.number() } else { None };
        let _ = self.eat_any(&["extra", "more", "additional"]);
        let _ = self.eat_any(words::CHAIN);
        let _ = self.eat_any(&["for", "to", "as"]) && self.eat_any(&["a", "the"]);
        let turning = self.eat("tch")
            || self.eat("t") && (self.eat_kind(&Kind::Dash) || self.word(0).is_some_and(|w| words::CHAIN.contains(&w)))
            || self.eat_any(&["turning", "turn"]);
        let _ = turning && self.eat_any(words::CHAIN);
        let closed = open && matches!(self.kind(0), Some(Kind::Close(_)));
        self.at += usize::from(closed);
        if n.is_none() || open != closed || !(turning || self.at_break()) {
            self.at = start;
            return None;
        }
        n
    }

    /// True before "(picot made)", "– picot", "picot made".
    fn names_picot(&self) -> bool {
        let mark = usize::from(matches!(self.kind(0), Some(Kind::Dash | Kind::Open(_) | Kind::Comma)));
        self.word(mark).is_some_and(|w| PICOT.contains(&w)) && matches!(self.word(mark + 1), Some("made" | "completed"))
    }
}

/// Chains of the least loop at the end of a row that is filled on the way back.
const LEAST_LOOP: u32 = 6;
