//! Openings worked round later: "join in first skipped sc of rnd 4", "attach yarn to any st of tail opening".

use super::cursor::Cursor;
use super::words;

/// What an opening is called.
const OPENINGS: &[&str] = &["opening", "openings", "hole", "gap", "slit"];
/// Words that lead to a place.
const LEADS: &[&str] = &["in", "to", "at", "into", "on", "around"];
/// Most words between the lead and the opening.
const LONGEST: usize = 8;

impl Cursor<'_> {
    /// Where a yarn is tied on at an opening: the number of the row that left it, where told.
    pub(super) fn at_opening(&mut self) -> Option<Option<u32>> {
        let start = self.at;
        if self.eat_any(LEADS) {
            if let Some(row) = self.skipped_of_row() {
                return Some(row);
            }
            if self.opening_named() {
                return Some(None);
            }
        }
        self.at = start;
        None
    }

    /// "first skipped sc of rnd 4", "any missed st", "1st skipped st of opening rnd".
    fn skipped_of_row(&mut self) -> Option<Option<u32>> {
        let start = self.at;
        let _ = self.eat_any(&["the", "any", "a"]);
        let _ = self.eat_any(&["first", "1st", "next"]) || self.eat_kind(&super::lex::Kind::Ordinal(1));
        let _ = self.eat_any(&["of", "the"]) && self.eat("the");
        let _ = self.number();
        let skipped = self.eat_any(&["skipped", "missed", "sk", "unworked"]) && self.class().is_some();
        if !skipped {
            self.at = start;
            return None;
        }
        let of = self.at;
        if self.eat_any(&["of", "from", "on", "in"]) {
            let _ = self.eat("the");
            let ordinal = self.ordinal();
            if self.eat_any(words::ROUND) || self.eat_any(words::ROW) {
                return Some(ordinal.or_else(|| self.number()));
            }
            self.at = of + 1;
            if self.opening_named() {
                return Some(None);
            }
            self.at = of;
        }
        Some(None)
    }

    /// "opening", "any st of the tail opening", "edge of leg hole", "tail opening rnd".
    fn opening_named(&mut self) -> bool {
        let start = self.at;
        for _ in 0..LONGEST {
            if self.eat_any(OPENINGS) {
                let _ = self.eat_any(words::ROUND) || self.eat_any(words::ROW);
                return true;
            }
            let plain = self.word(0).is_some_and(|w| {
                matches!(w, "any" | "first" | "edge" | "of" | "at" | "on" | "corner" | "side" | "start" | "beginning")
                    || words::STITCH.contains(&w)
                    || super::remarks::is_plain_word(w)
                    || self.house.own_words.contains(w) && !words::WORKING_WORDS.contains(&w)
            });
            if self.at_break() || !plain {
                break;
            }
            self.at += 1;
        }
        self.at = start;
        false
    }

    /// "around opening", "around the tail opening" behind the places of it.
    pub(super) fn around_opening(&mut self) -> bool {
        let start = self.at;
        let found = self.eat_any(&["around", "along"]) && self.opening_named();
        if !found {
            self.at = start;
        }
        found
    }
}
