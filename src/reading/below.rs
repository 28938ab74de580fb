//! Places in rows further down, places skipped before, loops left unused.

use super::cursor::Cursor;
use super::lex::Kind;
use super::phrase::{RowReader, Run};
use super::words;
use crate::craft::LoopPart;
use crate::instructions::{Act, Class, Target};

impl Cursor<'_> {
    /// "2 rows below", "3 rnds below", "one row below", "in the row below": how many rows down.
    pub(super) fn rows_below(&mut self) -> Option<u32> {
        let start = self.at;
        let _ = self.eat_kind(&Kind::Comma);
        let _ = self.eat_any(&["in", "from", "of"]);
        let _ = self.eat_any(&["the", "a"]);
        let spelled = self.word(0).and_then(words::number_word);
        self.at += usize::from(spelled.is_some());
        let n = spelled.or_else(|| self.number());
        let row = self.eat_any(words::ROW) || self.eat_any(words::ROUND);
        if row && self.eat_any(&["below", "beneath", "down"]) {
            let _ = self.eat_all(&["next", "st"]) || self.eat_all(&["next", "stitch"]);
            return Some(n.unwrap_or(1));
        }
        self.at = start;
        None
    }

    /// "working in front of last 3 tr", "going back to skipped sts and working behind these 2 dc": which way the stitches
    /// that follow pass those just made.
    pub(super) fn past_stitches(&mut self) -> bool {
        let start = self.at;
        if self.eat_any(&["going", "go"]) && self.eat_all(&["back", "to"]) {
            let _ = self.eat("the");
            let _ = self.eat_any(&["first", "next"]);
            let _ = self.number();
            let back = self.eat_any(&["skipped", "missed", "unworked"]) && self.class().is_some();
            if back && self.at_break() {
                return true;
            }
            let _ = back && (self.eat("and") || self.eat_kind(&Kind::Comma));
        }
        let passes = self.eat_any(&["working", "work"])
            && (self.eat_all(&["in", "front", "of"]) || self.eat_any(&["behind", "over"]));
        if passes {
            let _ = self.eat("the");
            let _ = self.eat_any(&["last", "these", "those", "previous", "prev", "first"]);
            let _ = self.number();
            let named = self.class().is_some() || self.stitch().is_some();
            let _ = named && self.eat("just");
            let _ = named && self.eat_any(&["made", "worked"]);
            // "working in front of st just made FPtr around skipped FPtr": no mark between
            if named && (self.at_break() || self.names_a_stem()) {
                return true;
            }
        }
        self.at = start;
        false
    }

    /// "in skipped st", "in first skipped dc", "in each of 2 skipped sts".
    pub(super) fn skipped_place(&mut self) -> Option<Target> {
        let start = self.at;
        if self.stitch_at_base() {
            return Some(Target::Same);
        }
        let each = self.eat_any(&["each", "ea"]) && {
            let _ = self.eat("of");
            true
        };
        let _ = self.eat("the");
        let nth = if self.eat_any(&["first", "1st"]) || self.eat_kind(&Kind::Ordinal(1)) {
            Some(1)
        } else if self.eat_any(&["last", "next", "previous", "just"]) {
            None
        } else {
            self.ordinal()
        };
        let n = self.number();
        // "any unused dc" is one of the row in hand
        let unused = nth.is_none() && n.is_none() && !each && self.eat_any(&["unused", "empty"]);
        if unused && let Some(class) = self.class().filter(|_| self.at_break()) {
            return Some(Target::Next { n: 1, class });
        }
        if !unused
            && self.eat_any(&["skipped", "missed", "unworked", "sk"])
            && (self.class().is_some() || self.at_break())
        {
            let here = self.at;
            if self.eat_any(&["of", "from", "on", "in"]) {
                // "in next skipped sc of rnd 1": what an earlier round left, one after another
                let _ = self.eat("the");
                let row = self.ordinal().filter(|_| self.eat_any(words::ROUND) || self.eat_any(words::ROW));
                let row = row.or_else(|| {
                    let named = self.eat_any(words::ROUND) || self.eat_any(words::ROW);
                    if named { self.number() } else { None }
                });
                if row.is_some() {
                    self.of_row = row;
                    let class = Class::Any;
                    return Some(if each && n.is_none() {
                        Target::Each { class, less: 0, every: 1 }
                    } else {
                        Target::Next { n: n.unwrap_or(1), class }
                    });
                }
            }
            self.at = here;
            // "in each skipped st": all there are
            let n = n.unwrap_or(u32::from(!each));
            return Some(Target::Skipped { nth, n });
        }
        self.at = start;
        None
    }
}

impl RowReader<'_> {
    /// "in each unused front loop of rnd 2", "working in free loops of rnd 1": the loops an earlier row left.
    pub(super) fn unused_loops(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let _ = self.c.eat_any(&["working", "work"]);
        let _ = self.c.eat_any(&["in", "into", "behind"]);
        let Some((part, row)) = self.loops_left() else {
            let named = self.c.at > start && (self.c.eat_any(words::ROW) || self.c.eat_any(words::ROUND));
            let row = if named { self.c.number() } else { None };
            return match row {
                Some(row) if self.c.at_break() => self.push(run, start, Act::OfRow { row }),
                _ => {
                    self.c.at = start;
                    false
                }
            };
        };
        if row.is_none() {
            self.c.at = start;
            return false;
        }
        // "sc around in unworked back loops of rnd 2": told behind the stitches that go into them
        let each = |s: &crate::instructions::Step| {
            matches!(s.act, Act::Work { at: Target::Each { less: 0, every: 1, class: Class::Stitch }, .. })
        };
        if start > 0 && matches!(self.c.kind_at(start - 1), Some(Kind::Word(_))) && run.steps.last().is_some_and(each) {
            let span = self.c.since(start);
            let at = run.steps.len() - 1;
            run.steps.insert(at, crate::instructions::Step { act: Act::LoopsOf { part, row }, span });
            return true;
        }
        self.push(run, start, Act::LoopsOf { part, row })
    }

    /// "sc in each unused front loop of rnd 1": the loops and the stitch in each of them.
    pub(super) fn in_unused_loops(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let number = self.c.number();
        let Some(super::stitch::Named::Form(form)) = self.c.stitch() else { return false };
        if !self.c.eat_any(words::INTO) {
            return false;
        }
        let _ = self.c.eat("the");
        let each = self.c.eat_any(&["each", "ea", "all"]);
        let Some((part, row)) = self.loops_left() else { return false };
        if !each && row.is_none() {
            return false;
        }
        self.c.end_words();
        let span = self.c.since(start);
        self.push(run, start, Act::LoopsOf { part, row });
        let (each, at) = match number {
            // "12 sc in BLO of rnd 2": one in each of so many
            Some(n) if !each => (1, Target::Next { n, class: Class::Stitch }),
            _ => (number.unwrap_or(1), Target::Each { class: Class::Stitch, less: 0, every: 1 }),
        };
        run.steps.push(crate::instructions::Step { act: Act::Work { each, form, at }, span });
        true
    }

    /// "to any front loop of 8th rnd", "in first free loop of rnd 2": where a yarn is tied on.
    pub(super) fn loops_of_row(&mut self) -> Option<(Option<LoopPart>, Option<u32>)> {
        let start = self.c.at;
        let _ = self.c.eat_any(words::INTO);
        let _ = self.c.eat_any(&["any", "a", "the", "first", "next", "one"]);
        let _ = self.c.eat_any(&["first", "next"]);
        let found = self.loops_left().filter(|(_, row)| row.is_some()).or_else(|| {
            // "first sc front loop of rnd 2", "any unused front loop of rnd 2", "front loop left from rnd 2"
            let _ = self.c.stem();
            let _ = self.c.eat_any(&["unused", "free", "rem", "remaining", "unworked", "exposed"]);
            let part = self.c.loop_words()?;
            let _ = self.c.eat_any(&["left", "remaining"]);
            self.c.eat_any(&["of", "on", "in", "from"]).then_some(())?;
            let _ = self.c.eat_any(&["any", "a", "first"]);
            let _ = self.c.class().is_some() && self.c.eat_any(&["of", "on", "in"]);
            let ordinal = self.c.ordinal();
            let named = self.c.eat_any(words::ROUND) || self.c.eat_any(words::ROW);
            let row = ordinal.or_else(|| self.c.number());
            (named && row.is_some()).then_some((Some(part), row))
        });
        if found.is_none() {
            self.c.at = start;
        }
        found
    }

    /// "unused front loops of rnd 2", "free loops", "back loops of rnd 2", "BLO of rnd 2": without a word for what is left,
    /// the row has to be told.
    fn loops_left(&mut self) -> Option<(Option<LoopPart>, Option<u32>)> {
        let start = self.c.at;
        let _ = self.c.eat_any(&["the", "of"]);
        let left = self.c.eat_any(&["unused", "free", "rem", "remaining", "unworked", "exposed"]);
        let (part, short) = match self.c.word(0) {
            Some("front") => (Some(LoopPart::Front), false),
            Some("back") => (Some(LoopPart::Back), false),
            Some("flo" | "fl") => (Some(LoopPart::Front), true),
            Some("blo" | "bl") => (Some(LoopPart::Back), true),
            _ => (None, false),
        };
        self.c.at += usize::from(part.is_some());
        if (left || part.is_some()) && (short || self.c.eat_any(&["loop", "loops", "lp", "lps"])) {
            let _ = self.c.eat("only");
            let here = self.c.at;
            let of = self.c.eat_any(&["of", "on", "from", "in"]);
            let _ = of && self.c.eat_any(&["sts", "each", "the"]);
            let _ = of && (self.c.eat_all(&["st", "of"]) || self.c.eat_any(&["of", "on", "from"]));
            let ordinal = if of { self.c.ordinal() } else { None };
            if of && (self.c.eat_any(words::ROUND) || self.c.eat_any(words::ROW)) {
                let row = ordinal.or_else(|| self.c.number());
                if left || row.is_some() {
                    let _ = row.is_some() && self.c.eat_any(words::STITCH);
                    return Some((part, row));
                }
            }
            if left {
                self.c.at = here;
                return Some((part, None));
            }
        }
        self.c.at = start;
        None
    }
}
