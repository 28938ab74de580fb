//! Slip stitches spelled out: "insert hook in next st, yo and draw through st and loop on hook". Between the stitches of an
//! earlier row they lie on the face of the fabric, which they leave as it is.

use super::lex::Kind;
use super::phrase::{RowReader, Run};
use super::spelled::YARN_OVER;
use super::words;
use crate::craft::{Stem, StitchForm};
use crate::instructions::{Act, Class};

/// What the loop is drawn through, and the words between.
const THROUGH: &[&str] = &[
    "the", "st", "stitch", "fabric", "work", "both", "all", "loop", "loops", "lp", "lps", "on", "hook", "and",
    "through", "thru", "piece", "layers", "same", "also",
];

impl RowReader<'_> {
    /// One such stitch, or the loop of a yarn drawn up where they begin.
    pub(super) fn drawn_slip(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        if !(self.c.eat_all(&["insert", "hook"]) || self.c.eat_all(&["insert", "your", "hook"])) {
            return false;
        }
        let _ = self.c.eat_all(&["from", "front", "to", "back"]);
        let on_face = self.between_stitches_below();
        let at = if on_face { None } else { self.c.place() };
        if !on_face && at.is_none() {
            self.c.at = start;
            return false;
        }
        let at = at.map(|place| place.target);
        self.between_draws();
        if self.c.eat_any(&["draw", "pull"]) {
            // "and draw up a loop of D"
            let drawn = self.c.eat_all(&["up", "a", "loop"]) && self.c.eat_any(&["of", "with"]);
            let yarn = if drawn { self.yarn().or_else(|| self.colour_alone()) } else { None };
            if yarn.is_some() {
                return self.push(run, start, Act::Attach { yarn, at });
            }
        } else if self.draws_through() {
            if on_face {
                let span = self.c.since(start);
                self.notes.push(span);
                return true;
            }
            let form = StitchForm::plain(Stem::SlipStitch);
            let at = at.unwrap_or(crate::instructions::Target::NEXT);
            return self.push(run, start, Act::Work { each: 1, form, at });
        }
        self.c.at = start;
        false
    }

    /// "yo and draw loop through st and through loop on hook", to the end of the phrase.
    fn draws_through(&mut self) -> bool {
        if !(self.c.eat_any(YARN_OVER) || self.c.eat_all(&["yarn", "over"])) {
            return false;
        }
        self.between_draws();
        let draws = self.c.eat_any(&["draw", "pull"]);
        let _ = draws && self.c.eat_any(&["the", "a"]);
        let _ = draws && self.c.eat_any(&["loop", "lp", "it", "yarn"]);
        if !(draws && matches!(self.c.word(0), Some("through" | "thru"))) {
            return false;
        }
        let mut hook = false;
        while !self.c.at_break() && !matches!(self.c.kind(0), Some(Kind::Open(_))) {
            match self.c.word(0) {
                Some(w) if THROUGH.contains(&w) => hook |= w == "hook",
                _ => return false,
            }
            self.c.at += 1;
        }
        hook
    }

    /// "red", which nothing lists.
    fn colour_alone(&mut self) -> Option<String> {
        let named = |w: &&str| words::COLOURS.contains(w) || super::yarn_names::may_be_yarn(w);
        let colour = self.c.word(0).filter(named).map(str::to_owned)?;
        self.c.at += 1;
        Some(colour)
    }

    fn between_draws(&mut self) {
        let _ = self.c.eat_kind(&Kind::Comma);
        let _ = self.c.eat_any(&["and", "then"]);
    }

    /// "in next space between sts of rnd 3", "in any sp between 2 sts of row 4".
    fn between_stitches_below(&mut self) -> bool {
        let start = self.c.at;
        let _ = self.c.eat_any(words::INTO);
        let _ = self.c.eat_any(&["the", "any", "next", "first"]);
        let gap = self.c.eat_any(words::SPACE) && self.c.eat("between");
        let _ = gap && self.c.eat_any(&["any", "the", "next", "first"]);
        let _ = gap && self.c.number().is_some();
        let stitches = gap && matches!(self.c.class(), Some(Class::Stitch | Class::Kind(_)));
        let of = stitches && self.c.eat_any(&["of", "on", "in"]);
        let nth = if of { self.c.ordinal() } else { None };
        let row = of && (self.c.eat_any(words::ROW) || self.c.eat_any(words::ROUND));
        if !(row && (nth.is_some() || self.c.number().is_some())) {
            self.c.at = start;
            return false;
        }
        true
    }
}
