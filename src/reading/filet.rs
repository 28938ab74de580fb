//! Filet told by its meshes: "work 3 mesh, 2 blocks, 3 mesh", "5 sps, 1 bl", "block over each of next 3 mesh", "mesh across".

use super::cursor::Cursor;
use super::lex::{Kind, Token};
use super::phrase::{RowReader, Run};
use super::words;
use crate::instructions::Act;

const OPEN: &[&str] = &["mesh", "meshes", "om", "oms"];
const FILLED: &[&str] = &["block", "blocks", "bl", "bls", "blk", "blks", "sm", "sms"];

/// Tokens of a row looked through for words that only filet has.
const MOST_LOOKED_AT: usize = 200;

impl RowReader<'_> {
    /// So many meshes or blocks, one after another.
    pub(super) fn filet(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let _ = self.c.eat_any(&["work", "make", "working"]);
        let _ = self.c.eat_any(&["in", "a", "an"]);
        let counted = self.c.number();
        let _ = counted.is_some() && self.c.eat("more");
        let Some(filled) = self.c.filet_word(counted.is_some()) else { return false };
        if !(counted.is_some() || self.c.at_break() || self.c.over_ahead()) || !self.is_filet() {
            return false;
        }
        let mut n = counted;
        let over = self.c.at;
        if self.c.eat_any(&["over", "in", "into", "above"]) {
            let _ = self.c.eat("each") && self.c.eat("of");
            let _ = self.c.eat_any(&["next", "the", "foll", "following"]);
            let told = self.c.number();
            if self.c.filet_word(true).is_none() {
                self.c.at = over;
            } else {
                n = n.or(told);
            }
        }
        let n = if self.c.to_end_ahead() || self.c.word(0).is_some_and(|w| words::TO_END.contains(&w)) {
            self.c.end_words();
            if counted.is_some() { n } else { Some(0) }
        } else {
            n.or(Some(1))
        };
        if !self.c.at_break() && self.c.kind(0) != Some(&Kind::Dash) && !matches!(self.c.kind(0), Some(Kind::Open(_))) {
            return false;
        }
        self.push(run, start, Act::Filet { n: n.unwrap_or(1), filled })
    }

    /// True where a word of the row, or of what stands before the rows, speaks of filet.
    fn is_filet(&self) -> bool {
        let word = |t: &Token| matches!(&t.kind, Kind::Word(w) if OPEN.contains(&w.as_str()) || matches!(w.as_str(), "bl" | "bls" | "blk" | "blks"));
        ["filet", "mesh", "meshes"].iter().any(|w| self.c.house.own_words.contains(*w))
            || self.c.tokens.iter().take(MOST_LOOKED_AT).any(word)
    }
}

impl Cursor<'_> {
    /// "mesh", "open meshes", "bls"; behind a number "sps" too. True for a filled one.
    fn filet_word(&mut self, counted: bool) -> Option<bool> {
        let start = self.at;
        let open = self.eat("open");
        let solid = !open && self.eat_any(&["solid", "filled", "closed"]);
        if self.eat_any(OPEN) {
            let _ = self.eat_any(words::SPACE);
            return Some(solid);
        }
        if !open && self.eat_any(FILLED) {
            return Some(true);
        }
        if counted && self.eat_any(&["sp", "sps", "space", "spaces"]) {
            return Some(solid);
        }
        self.at = start;
        None
    }

    /// True for "3 mesh", "2 blocks", "block over next mesh", "mesh across".
    pub(super) fn asks_for_meshes(&self, counted: bool) -> bool {
        let mut c = self.clone();
        let Some(filled) = c.filet_word(false) else { return false };
        if counted {
            return c.at_break() || c.over_ahead();
        }
        matches!(c.word(0), Some("over" | "above")) || !filled && matches!(c.word(0), Some("across" | "to"))
    }

    fn over_ahead(&self) -> bool {
        self.word(0).is_some_and(|w| matches!(w, "over" | "in" | "across" | "to" | "above" | "around"))
    }
}
