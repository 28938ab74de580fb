//! The part of a stitch that words ask for: back or front loop, front or back post.

use super::cursor::Cursor;
use super::lex::Kind;
use super::phrase::{RowReader, Run};
use super::place::Where;
use super::words;
use crate::craft::{LoopPart, PostSide};
use crate::instructions::{Class, Target};

impl RowReader<'_> {
    /// "FLO (sc 11, inc) x 3": the loop of all that the bracket holds.
    pub(super) fn loop_of_bracket(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let Some(part) = self.c.loop_words() else { return false };
        let _ = self.c.eat_kind(&Kind::Colon) || self.c.eat_kind(&Kind::Comma);
        if !matches!(self.c.kind(0), Some(Kind::Open(_))) {
            self.c.at = start;
            return false;
        }
        let before = self.row_loop.replace(part);
        let read = self.bracket(run);
        self.row_loop = before;
        read
    }
}

impl Cursor<'_> {
    pub fn loop_words(&mut self) -> Option<LoopPart> {
        let start = self.at;
        let _ = self.eat("the");
        let left = self.eat_any(&["unworked", "unused", "free", "remaining", "exposed"]);
        let part = self.loop_named().filter(|_| !left || self.of_stitch_below());
        if part.is_none() {
            self.at = start;
        }
        part
    }

    /// "around in back loops", "across working in BLO": to the end, and how each is worked into.
    pub fn around_in_loops(&mut self) -> Option<LoopPart> {
        let start = self.at;
        if self.word(0).is_some_and(|w| words::TO_END.contains(&w)) {
            self.at += 1;
            let _ = self.eat_kind(&Kind::Comma);
            let _ = self.eat_any(&["working", "worked"]);
            let _ = self.eat_any(&["in", "into", "through"]);
            if let Some(part) = self.loop_words().filter(|_| self.at_break()) {
                return Some(part);
            }
        }
        self.at = start;
        None
    }

    /// True before "of the stitch 2 rows below": a loop left over is that of one stitch.
    fn of_stitch_below(&self) -> bool {
        let mut c = self.clone();
        let _ = c.eat("of") && c.eat("the");
        let _ = c.eat_any(&["next", "corresponding", "same"]);
        c.class().is_some() && c.rows_below().is_some()
    }

    fn loop_named(&mut self) -> Option<LoopPart> {
        let bar = |w: &str| matches!(w, "loop" | "lp" | "bar" | "bars");
        let third = self.kind(0) == Some(&Kind::Ordinal(3)) || self.word(0) == Some("horizontal");
        if third && self.word(1).is_some_and(bar) {
            // "3rd loop", "horizontal bar": the loop behind the two of the top
            self.at += 2;
            let _ = self.eat("only");
            return Some(LoopPart::Third);
        }
        let part = match self.word(0)? {
            "blo" | "tbl" | "bl" => LoopPart::Back,
            "flo" | "fl" => LoopPart::Front,
            "back" | "front" | "third" | "both" | "top" => {
                let both_top = self.sees(&["both", "top"]);
                self.at += usize::from(both_top);
                let part = match self.word(0) {
                    // of a chain lying with its V up, both are on top
                    Some("both" | "top") => LoopPart::Both,
                    Some("back") => LoopPart::Back,
                    Some("front") => LoopPart::Front,
                    _ => LoopPart::Third,
                };
                if part == LoopPart::Back
                    && self.word(1).is_some_and(|w| matches!(w, "bar" | "bars" | "bump" | "bumps" | "ridge" | "ridges"))
                {
                    // the loop at the back of a chain
                    self.at += 2;
                    return Some(LoopPart::Third);
                }
                if !self.word(1).is_some_and(|w| matches!(w, "loop" | "loops" | "lp" | "lps")) {
                    return None;
                }
                self.at += 1;
                part
            }
            _ => return None,
        };
        self.at += 1;
        let _ = self.eat("only");
        Some(part)
    }

    /// ", in FLO", "in back loops only" behind a place: how it is worked into.
    pub fn in_loop_behind(&mut self) -> Option<LoopPart> {
        let start = self.at;
        if self.eat_any(&["in", "through", "into"]) {
            let _ = self.eat("the");
            let part = self.loop_words();
            if part.is_some() && (self.at_break() || matches!(self.kind(0), Some(Kind::Open(_) | Kind::Dash))) {
                return part;
            }
        }
        self.at = start;
        None
    }

    /// "each front loop around", "next back loop", "each of next 3 front loops": stitches told by the loop worked into.
    pub fn each_loop(&mut self) -> Option<Where> {
        let start = self.at;
        let each = self.eat_any(&["each", "ea"]);
        let _ = each && self.eat("of");
        let next = self.eat_any(&["next", "first"]);
        let n = if next { self.number() } else { None };
        let part = if each || next { self.loop_words() } else { None };
        if part.is_none() || self.word(0).is_some_and(|w| matches!(w, "of" | "on" | "from")) {
            self.at = start;
            return None;
        }
        self.end_words();
        let target = if next {
            Target::Next { n: n.unwrap_or(1), class: Class::Any }
        } else {
            Target::Each { class: Class::Stitch, less: 0, every: 1 }
        };
        Some(Where { target, part, post: None })
    }

    /// "post of", "front post of".
    pub fn post_words(&mut self) -> Option<PostSide> {
        let start = self.at;
        let _ = self.eat("the");
        let side = if self.eat("back") { PostSide::Back } else { PostSide::Front };
        let _ = side == PostSide::Front && self.eat("front");
        if self.eat_any(&["post", "posts"]) {
            return Some(side);
        }
        self.at = start;
        None
    }
}
