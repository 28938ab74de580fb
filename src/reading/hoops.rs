//! Things that a first round is worked round: "80 sc around the hoop", "24 sc into a curtain ring", "30 dc over hair tie".

use super::cursor::Cursor;
use super::phrase::{RowReader, Run};
use crate::instructions::{Act, Target};

/// What they are called.
const THINGS: &[&str] =
    &["hoop", "elastic", "tie", "band", "hairband", "bangle", "scrunchie", "keyring", "washer", "frame"];

/// Words before them; a ring is one of them where such a word makes it so.
const KINDS: &[&str] = &[
    "curtain",
    "metal",
    "wooden",
    "wood",
    "plastic",
    "wreath",
    "hair",
    "rubber",
    "key",
    "embroidery",
    "brass",
    "bone",
    "cabone",
    "craft",
    "macrame",
    "wire",
    "elastic",
    "bamboo",
    "gold",
    "small",
    "large",
];

/// What a ring of thread is wound round.
const FORMS: &[&str] =
    &["pencil", "finger", "forefinger", "thumb", "rod", "quill", "skewer", "mesh", "match", "needle", "pen", "stick"];

/// "wind the thread 12 times round a pencil".
pub(super) fn wound(c: &mut Cursor<'_>) -> bool {
    if !c.eat_any(&["wind", "wrap", "twist"]) {
        return false;
    }
    let _ = c.eat_any(&["the", "your"]);
    if !c.eat_any(&["thread", "cotton", "yarn", "wool", "silk"]) {
        return false;
    }
    let _ = c.eat("about");
    let times = c.number().is_some() && c.eat_any(&["times", "time"]) || c.eat_any(&["once", "twice", "thrice"]);
    let round = times && c.eat_any(&["round", "around", "over", "about"]);
    let _ = c.eat_any(&["a", "the", "your", "one"]);
    let _ = c.eat_any(&["lead", "thick", "thin", "knitting", "first", "left", "fine", "coarse", "small", "large"]);
    round && c.eat_any(FORMS)
}

impl RowReader<'_> {
    /// A ring of thread wound, to work the first round over.
    pub(super) fn wound_ring(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        wound(&mut self.c) && self.push(run, start, Act::Ring { thread: true })
    }
}

impl Cursor<'_> {
    /// "the hoop", "a curtain ring", "hair tie" behind its preposition.
    pub(super) fn hoop(&mut self) -> bool {
        let start = self.at;
        let _ = self.eat_any(&["a", "an", "the", "your", "one", "your"]);
        let kind = self.at;
        while self.word(0).is_some_and(|w| KINDS.contains(&w)) && self.word(1).is_some() {
            self.at += 1;
        }
        let made = self.at > kind;
        if self.eat_any(THINGS)
            || made && (self.eat_any(&["ring", "circle"]) || self.word_at(self.at - 1) == Some("elastic"))
        {
            self.end_words();
            return true;
        }
        self.at = start;
        false
    }

    /// "around the hoop", "over hair elastic".
    pub(super) fn round_hoop(&mut self) -> Option<Target> {
        let start = self.at;
        if self.eat_any(&["around", "round", "over", "onto", "on", "in", "into", "to", "through"]) && self.hoop() {
            return Some(Target::Ring);
        }
        self.at = start;
        None
    }
}
