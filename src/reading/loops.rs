//! The part of a stitch that words ask for: back or front loop, front or back post.

use super::cursor::Cursor;
use crate::craft::{LoopPart, PostSide};

impl Cursor<'_> {
    pub fn loop_words(&mut self) -> Option<LoopPart> {
        let part = match self.word(0)? {
            "blo" | "tbl" | "bl" => LoopPart::Back,
            "flo" | "fl" => LoopPart::Front,
            "back" | "front" | "third" | "both" => {
                let part = match self.word(0) {
                    Some("both") => LoopPart::Both,
                    Some("back") => LoopPart::Back,
                    Some("front") => LoopPart::Front,
                    _ => LoopPart::Third,
                };
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
