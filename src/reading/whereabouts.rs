//! Where on the piece something is done, in words that name no stitch: "at top edge of Ring", "to bottom right corner
//! of Blanket", "in the end of row 12", "on the outside of the work".

use super::cursor::Cursor;
use super::lex::Kind;
use super::remarks;
use super::words;

/// Words a place on a piece is told by. The words of remarks and of the pattern's own part names join them.
const LOCATION: &[&str] = &[
    "at",
    "of",
    "on",
    "along",
    "to",
    "from",
    "in",
    "the",
    "any",
    "each",
    "same",
    "other",
    "one",
    "both",
    "left",
    "right",
    "hand",
    "top",
    "bottom",
    "upper",
    "lower",
    "side",
    "sides",
    "edge",
    "edges",
    "corner",
    "corners",
    "end",
    "ends",
    "center",
    "centre",
    "middle",
    "outer",
    "inner",
    "outside",
    "inside",
    "front",
    "back",
    "base",
    "short",
    "long",
    "beginning",
    "beg",
    "opening",
    "space",
    "work",
    "piece",
    "row",
    "rnd",
    "round",
    "rows",
    "rnds",
    "last",
    "first",
    "near",
    "next",
    "opposite",
    "between",
    "marker",
    "marked",
    "st",
    "stitch",
    "foundation",
    "ch",
    "chain",
    "free",
    "open",
    "neck",
    "underside",
    "bind",
    "before",
    "after",
    "where",
    "second",
    "third",
    "joining",
    "joined",
];

/// Words by which such a place begins.
const LEADS: &[&str] = &["at", "of", "on", "along", "to", "from", "in", "into", "near", "across", "around"];

/// Longest place told in words.
const LONGEST: usize = 16;

/// What a place told in words is on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Whereabouts {
    /// The piece in hand.
    Here,
    /// A piece made up of others, or finished before.
    OtherPiece,
}

impl Cursor<'_> {
    /// Eats a place on the piece to the end of its phrase; nothing where a word of it is not known, or where it asks
    /// for work.
    pub(super) fn whereabouts(&mut self) -> Option<Whereabouts> {
        let start = self.at;
        if !self.eat_any(LEADS) {
            return None;
        }
        self.at = start;
        let mut named = 0;
        let mut found = Whereabouts::Here;
        while !self.at_break() && !self.parts_phrases() {
            if self.word_in_brackets() {
                continue;
            }
            let bracket = matches!(self.kind(0), Some(Kind::Open(_)));
            if bracket
                || self.at - start >= LONGEST
                || matches!(self.word(0), Some("with" | "and" | "then" | "turn" | "as"))
            {
                break;
            }
            let known = match self.kind(0) {
                Some(Kind::Word(w)) => {
                    named += usize::from(!matches!(w.as_str(), "st" | "stitch" | "next" | "same"));
                    LOCATION.contains(&w.as_str())
                        || (remarks::is_plain_word(w) || self.house.own_words.contains(w.as_str()))
                            && !words::WORKING_WORDS.contains(&w.as_str())
                }
                Some(Kind::Number(_) | Kind::Ordinal(_)) => self.numbers_a_row(),
                // "left-hand"
                Some(Kind::Dash) => true,
                _ => false,
            };
            if !known {
                self.at = start;
                return None;
            }
            if self.word(0) == Some("of") && self.names_a_piece() && !self.ends_this_piece() {
                found = Whereabouts::OtherPiece;
            }
            self.at += 1;
        }
        let bracket = matches!(self.kind(0), Some(Kind::Open(_)));
        if named < 2 || !(bracket || self.at_break() || matches!(self.word(0), Some("with" | "and" | "then" | "as"))) {
            self.at = start;
            return None;
        }
        self.elsewhere |= found == Whereabouts::OtherPiece;
        Some(found)
    }

    /// "(unworked)" in "at inner (unworked) edge": said of the place that is named behind it.
    fn word_in_brackets(&mut self) -> bool {
        let plain = |w: &str| remarks::is_plain_word(w) || matches!(w, "unworked" | "free" | "unused");
        let said = matches!(self.kind(0), Some(Kind::Open(_)))
            && self.word(1).is_some_and(plain)
            && matches!(self.kind(2), Some(Kind::Close(_)))
            && self.word(3).is_some_and(|w| LOCATION.contains(&w));
        self.at += if said { 3 } else { 0 };
        said
    }

    /// A colon, or a dash with a space beside it.
    fn parts_phrases(&self) -> bool {
        let between = |a: usize, b: usize| match (self.tokens.get(a), self.tokens.get(b)) {
            (Some(a), Some(b)) => a.span.end < b.span.start,
            _ => true,
        };
        match self.kind(0) {
            Some(Kind::Colon) => true,
            Some(Kind::Dash) => between(self.at.saturating_sub(1), self.at) || between(self.at, self.at + 1),
            _ => false,
        }
    }

    /// "of Blanket", "of ring of motifs" here, not "of last rnd", "of foundation ch", "of work".
    fn names_a_piece(&self) -> bool {
        let at = 1 + usize::from(matches!(self.word(1), Some("the" | "any" | "each")));
        match self.kind(at) {
            Some(Kind::Word(w)) => !LOCATION.contains(&w.as_str()) && self.clone().at_word(at).stitch().is_none(),
            _ => false,
        }
    }

    /// "last row" before "of Blanket": where no part has that name, it is the piece in hand.
    fn ends_this_piece(&self) -> bool {
        let before = |back: usize| self.at.checked_sub(back).and_then(|k| self.word_at(k));
        let row = before(1).is_some_and(|w| words::ROW.contains(&w) || words::ROUND.contains(&w));
        let at = self.at + 1 + usize::from(matches!(self.word(1), Some("the" | "any" | "each")));
        let part = |w: &str| self.house.part_nouns.contains(&super::on_part::singular(w));
        row && before(2) == Some("last") && !self.word_at(at).is_some_and(part)
    }

    fn at_word(mut self, ahead: usize) -> Self {
        self.at += ahead;
        self
    }

    /// "along side of pouch", "across bottom edge of cuff", "up side of heart": an edge by name, along which stitches
    /// that are counted are spaced.
    pub(super) fn along_named_edge(&mut self) -> bool {
        let start = self.at;
        let led = self.eat_any(&["along", "across", "up", "down", "around"]);
        let _ = led && self.eat("the");
        if led && self.eat_any(&["foundation", "beginning", "starting"]) {
            if (self.eat_any(super::words::CHAIN) || self.eat("edge")) && self.at_break() {
                return true;
            }
            self.at = start;
            return false;
        }
        let edge = |w: &str| {
            matches!(
                w,
                "side"
                    | "edge"
                    | "front"
                    | "bottom"
                    | "top"
                    | "left"
                    | "right"
                    | "short"
                    | "long"
                    | "opening"
                    | "other"
                    | "opposite"
                    | "next"
                    | "first"
                    | "second"
            )
        };
        if led && self.word(0).is_some_and(edge) {
            while self.word(0).is_some_and(edge) {
                self.at += 1;
            }
            // "24 sc up side edge and 3 sc in corner"
            let more = self.word(0) == Some("and") && matches!(self.kind(1), Some(Kind::Number(_)));
            if more
                || self.at_break()
                || self.whereabouts().is_some()
                || matches!(self.kind(0), Some(Kind::Open(_) | Kind::Dash))
            {
                return true;
            }
        }
        self.at = start;
        false
    }

    /// "row 40", "8th rnd", "motif 3", "2 fingers": a figure that counts no stitch.
    fn numbers_a_row(&self) -> bool {
        let row = |w: Option<&str>| w.is_some_and(|w| words::ROW.contains(&w) || words::ROUND.contains(&w));
        let before = self.at.checked_sub(1).and_then(|k| match self.kind_at(k) {
            Some(Kind::Word(w)) => Some(w.as_str()),
            _ => None,
        });
        row(self.word(1)) || row(before) || before.is_some_and(|w| self.house.own_words.contains(w) || w == "motif")
    }
}
