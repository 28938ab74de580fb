//! Whether a chain counts as a stitch: the verb in a row, "does not count", and the notes that say it for a whole pattern.

use super::cursor::{Cursor, House};
use super::lex::{Kind, Token};
use super::words;
use crate::instructions::Convention;
use crate::source::Span;

const NO: &[&str] =
    &["not", "never", "doesn't", "don't", "isn't", "aren't", "won't", "doesnt", "dont", "isnt", "arent", "wont"];
const HELPS: &[&str] = &["does", "do", "is", "are", "will", "should", "was", "can", "must", "to"];
const BETWEEN: &[&str] = &["be", "ever", "always", "also"];
const COUNTS: &[&str] = &["counts", "count", "counting"];
const COUNTED: &[&str] = &["counted", "considered", "included", "include", "includes", "treated"];

impl Cursor<'_> {
    /// "counts", "does not count", "never counts", "isn't counted", "is considered": true where it counts.
    pub(super) fn count_verb(&mut self) -> Option<bool> {
        let start = self.at;
        let helped = self.eat_any(HELPS);
        let no = self.eat_any(NO);
        let _ = self.eat_any(BETWEEN) && self.eat_any(BETWEEN);
        let counts = self.eat_any(COUNTS);
        let counted = !counts && self.eat_any(COUNTED) && (helped || no || self.word(0) == Some("as"));
        // "acts as first dc"
        let serves =
            !counts && !counted && self.eat_any(&["acts", "act", "serves", "serve"]) && self.word(0) == Some("as")
                || !counts && !counted && self.eat_any(&["stands", "stand"]) && self.word(0) == Some("for");
        if counts || counted || serves {
            return Some(!no);
        }
        if no && self.eat_any(&["a", "an"]) && self.eat_any(words::STITCH) && self.at_break() {
            // "not a stitch"
            return Some(false);
        }
        self.at = start;
        None
    }

    /// "= 1 dc", "equals one dc" behind a chain.
    pub(super) fn equals_one(&mut self) -> bool {
        let start = self.at;
        if (self.eat("equals") || self.eat_kind(&Kind::Equals))
            && (matches!(self.clone().number(), Some(1)) || self.word(0) == Some("first"))
        {
            return true;
        }
        self.at = start;
        false
    }

    /// "throughout", ", here and throughout": how long it holds.
    pub(super) fn throughout(&mut self) {
        let start = self.at;
        let _ = self.eat_kind(&Kind::Comma);
        let _ = self.eat_any(&["here", "now"]) && self.eat_any(&["and", "or"]);
        if !self.eat_any(&["throughout", "below", "elsewhere", "hereafter"]) {
            self.at = start;
        }
    }

    /// "in the stitch count", "towards the total": what it would count for.
    pub(super) fn of_the_count(&mut self) {
        let start = self.at;
        if self.eat_any(&["in", "into", "towards", "toward", "to", "for"]) {
            let _ = self.eat_any(&["the", "your", "any"]);
            let _ = self.eat_any(&["final", "total"]);
            let _ = self.eat_any(words::STITCH);
            if self.eat_any(&["count", "counts", "total", "totals"]) {
                return;
            }
        }
        self.at = start;
    }
}

/// "Ch 3 at beg of row counts as dc throughout", "Turning ch never counts as a st", "Do not count the ch 2 as a stitch".
pub(super) fn conventions(words: &[Token], span: Span, house: &House) -> Vec<Convention> {
    let mut found = Vec::new();
    let mut chains = None;
    let mut speaks = false;
    // said before the chain it is said of
    let mut ahead = None;
    let mut begins = true;
    let mut c = Cursor::new(words, house);
    while !c.done() {
        let start = c.at;
        let first = std::mem::replace(&mut begins, false);
        if c.eat_any(words::CHAIN) || c.eat_any(&["tch", "chains"]) {
            let _ = c.eat_kind(&Kind::Dash);
            chains = c.number().or(chains);
            speaks = true;
            if let Some(counts) = ahead.take() {
                let stem = if c.eat("as") { stem_counted(&mut c) } else { None };
                found.push(Convention { chains, stem, counts, span });
                speaks = false;
            }
            continue;
        }
        // "stitch counts do not include the ch 2", "do not count the ch 2"
        let noun = first && c.eat_any(words::STITCH) && c.eat_any(&["count", "counts"]);
        if (noun || first) && {
            let asked = c.at;
            c.count_verb().is_some_and(|counts| {
                let include = c.word_at(c.at - 1).is_some_and(|w| w.starts_with("includ"));
                ahead = Some(counts).filter(|_| include == noun && (noun || c.at > asked));
                ahead.is_some()
            })
        } {
            continue;
        }
        c.at = start;
        if speaks && let Some(counts) = c.count_verb().or_else(|| replaces(&mut c).then_some(true)) {
            c.of_the_count();
            let _ = c.eat("as");
            let stem = if counts { stem_counted(&mut c) } else { None };
            found.push(Convention { chains, stem, counts, span });
            speaks = false;
            continue;
        }
        if c.eat_kind(&Kind::Stop) {
            (chains, speaks, ahead, begins) = (None, false, None, true);
            continue;
        }
        begins = c.kind(0) == Some(&Kind::Colon);
        c.at = start + 1;
    }
    found
}

/// "replaces", "takes the place of", "stands for".
fn replaces(c: &mut Cursor<'_>) -> bool {
    c.eat_any(&["replaces", "equals", "forms"])
        || c.eat_all(&["takes", "the", "place", "of"])
        || c.eat_all(&["stands", "for"])
        || c.eat_all(&["stands", "in", "for"])
        || c.eat_all(&["is", "the", "first"])
}

fn stem_counted(c: &mut Cursor<'_>) -> Option<crate::craft::Stem> {
    let _ = c.eat_any(&["a", "an", "the", "first", "one"]);
    let _ = c.eat_kind(&Kind::Number(1)) || c.eat("first");
    c.stem()
}

/// "Ch-1 sp counts as a st", "each ch-1 space counts as 1 st".
pub(super) fn spaces_count(words: &[Token], house: &House) -> bool {
    let mut c = Cursor::new(words, house);
    while !c.done() {
        let start = c.at;
        if c.space().is_some() && c.eat_any(&["counts", "count"]) && c.eat("as") {
            let _ = c.eat_any(&["a", "an", "one"]) || c.eat_kind(&Kind::Number(1));
            return c.eat_any(words::STITCH);
        }
        c.at = start + 1;
    }
    false
}
