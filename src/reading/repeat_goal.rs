//! A repeat told by what it comes to: "repeat from * to make 4 points", "repeat 7 more times for a total of 8 sepals", "rep
//! from * until you have 6 petals".

use super::cursor::Cursor;
use super::lex::Kind;
use super::phrase::{RowReader, Run};
use super::words;
use crate::instructions::Act;

impl RowReader<'_> {
    /// ", making 6 loops", "for a total of 8 sepals" behind a repeat whose number is told: what it comes to.
    pub(super) fn comes_to(&mut self, run: &mut Run) -> bool {
        matches!(run.steps.last().map(|s| &s.act), Some(Act::Repeat { .. })) && self.c.in_all_told().is_some()
    }
}

impl Cursor<'_> {
    /// "to make 4 points", "for a total of 8 petals", "until there are 6 shells": how many in all, of what the repeat makes.
    pub(super) fn in_all_told(&mut self) -> Option<u32> {
        let start = self.at;
        if let Some(n) = self.until_all_parts() {
            return Some(n);
        }
        let _ = self.eat_kind(&Kind::Comma);
        let led = self.eat("to") && self.eat_any(&["make", "form", "get"])
            || {
                self.at = start;
                let _ = self.eat_kind(&Kind::Comma);
                let making = self.eat("making");
                let _ = making || self.eat("for");
                self.eat_all(&["a", "total", "of"]) || making
            }
            || {
                self.at = start;
                let _ = self.eat_kind(&Kind::Comma);
                self.eat_any(&["until", "till"])
                    && (self.eat_all(&["you", "have"]) || self.eat_all(&["there", "are"]) || self.eat("all"))
                    && {
                        let _ = self.eat("made");
                        true
                    }
            };
        let found = if led { self.number() } else { None };
        if let Some(n) = found.filter(|_| self.counts_a_shape()) {
            let _ = self.eat_any(&["in", "altogether"]) && self.eat_any(&["all", "total"]);
            let _ = self.eat_any(&["made", "total", "completed"]) || self.eat_all(&["have", "been", "made"]);
            if self.at_break() || matches!(self.kind(0), Some(Kind::Dash)) {
                return Some(n);
            }
        }
        self.at = start;
        None
    }

    /// "until all leaves have been joined", "for each leaf": as many as the pattern makes of that part.
    fn until_all_parts(&mut self) -> Option<u32> {
        let start = self.at;
        let until = self.eat_any(&["until", "till"]);
        let all = (until || self.eat("for")) && self.eat_any(&["all", "each", "every"]) && {
            let _ = self.eat("of") && self.eat("the");
            true
        };
        let of = |c: &Self, w: &str| {
            let same = |noun: &str| super::on_part::singular(noun) == super::on_part::singular(w);
            c.house.copies.iter().find(|(noun, _)| same(noun)).map(|(_, n)| *n)
        };
        let found = self.word(0).filter(|_| all).and_then(|w| of(self, w));
        if found.is_some() {
            self.at += 1;
            let _ = self.eat_any(&["are", "have", "is", "has"]) && self.eat("been");
            let told =
                self.eat_any(&["joined", "attached", "used", "done", "added", "made", "on", "connected", "worked"]);
            if (told || !until) && self.at_break() {
                return found;
            }
        }
        self.at = start;
        None
    }

    /// "for each point", "in each rem petal around", "on all sides": a repeat that goes on until there is no other such
    /// shape.
    pub(super) fn for_each_shape(&mut self) -> bool {
        let start = self.at;
        let led = self.eat_any(&["for", "on", "in", "around", "along", "over", "up"]);
        let _ = led && self.eat("the");
        let every = led && self.eat_any(&["each", "every", "all", "rem", "remaining", "other"]);
        if every {
            let _ = self.eat("of") && self.eat("the");
            let _ = self.eat_any(&["rem", "remaining", "other"]);
            let _ = self.number();
            let _ = self.eat_any(&["rem", "remaining", "other"]);
            let shape = |w: &str| {
                let singular = w.strip_suffix('s').unwrap_or(w);
                words::LIMBS.contains(&singular) || words::SHAPES.contains(&singular) || PARTS_ROUND.contains(&w)
            };
            if self.word(0).is_some_and(shape) {
                self.at += 1;
                self.end_words();
                if self.at_break() {
                    return true;
                }
            } else if self.word_at(start) == Some("in") && self.class().is_some() {
                // "rep from * in each loop around"
                self.end_words();
                if self.at_break() {
                    return true;
                }
            }
        }
        self.at = start;
        false
    }

    /// "petals", "small points": a noun in the plural that is no stitch, with at most a word before it.
    pub(super) fn counts_a_shape(&mut self) -> bool {
        let stitch = |w: &str| words::STITCH.contains(&w) || words::ROW.contains(&w) || words::ROUND.contains(&w);
        for k in 0..2 {
            let Some(word) = self.word(k) else { return false };
            if stitch(word) || matches!(word, "times" | "time" | "more") {
                return false;
            }
            let mut ahead = self.clone();
            ahead.at += k;
            let many = word.len() > 3 && word.ends_with('s') || matches!(word, "teeth" | "feet");
            if many && ahead.stem().is_none() {
                self.at += k + 1;
                return true;
            }
        }
        false
    }
}

/// What goes round a piece, beside limbs and shapes.
const PARTS_ROUND: &[&str] = &[
    "side", "sides", "corner", "corners", "section", "sections", "leaves", "motif", "motifs", "peak", "peaks", "edge",
    "edges", "quarter", "quarters",
];
