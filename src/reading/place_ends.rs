//! Words behind a place that say how far it goes: "around", "to end of row", "to last 3 sts", "at end of 4th row".

use super::cursor::Cursor;
use super::lex::Kind;
use super::words;
use crate::instructions::{Class, Target};

/// Which way a side is worked.
pub(super) const ALONG: &[&str] = &["along", "down", "up", "across", "on"];

impl Cursor<'_> {
    /// "as joining", "as last sl st", "as ch-3": what "same" is the same as.
    pub(super) fn eat_as_clause(&mut self) {
        let start = self.at;
        if !self.eat_any(&["as", "where"]) {
            return;
        }
        let _ = self.eat_any(&["the", "last", "first", "your", "previous"]);
        let _ = self.eat_any(&["last", "first"]);
        let counted = self.at;
        if self.number().is_some() && self.class().is_none() {
            self.at = counted;
        } else if self.at > counted {
            // "as first 3 hdc"
            return;
        }
        let named = self.eat_any(&["joining", "join", "joined", "before", "beg", "beginning", "start", "base"])
            | (self.eat("of") | self.class().is_some());
        if named {
            let _ = self.eat_kind(&Kind::Dash);
            let _ = self.number();
            let _ = self.eat_any(&["worked", "made", "join"]);
        } else {
            self.at = start;
        }
    }

    /// "around", "across", "to end of row", then "to last 3 sts": how many are left, of what.
    pub fn read_to_last(&mut self) -> Option<(u32, Class)> {
        self.end_words();
        let start = self.at;
        let _ = self.eat_any(&["up", "until", "til", "till", "to", "within"]);
        let _ = self.eat("to");
        let _ = self.eat("the");
        if self.at > start && self.eat("last") {
            // "to last 3-ch sp": the number is that of its chains
            if self.kind(1) == Some(&Kind::Dash)
                && let Some(class) = self.space()
            {
                return Some((1, class));
            }
            let n = self.number().unwrap_or(1);
            let class = self.class().unwrap_or_default();
            // "to last dc and ch-2 sp": the space lies beside it
            let here = self.at;
            if !(matches!(class, Class::Stitch | Class::Kind(_))
                && self.eat("and")
                && matches!(self.class(), Some(Class::Space(_)))
                && self.at_break())
            {
                self.at = here;
            }
            return Some((n, class));
        }
        if self.at > start && self.word_at(start).is_some_and(|w| matches!(w, "until" | "til" | "till")) {
            // "until 1 st remains", "until there are 2 sts left"
            let here = self.at;
            let _ = self.eat("there") && self.eat_any(&["are", "is"]);
            let _ = self.eat("only");
            if let Some(n) = self.number() {
                let class = self.class().unwrap_or_default();
                let _ = self.eat_any(&["are", "is"]);
                if self.eat_any(&["rem", "remain", "remains", "remaining", "left", "unworked"]) {
                    return Some((n, class));
                }
            }
            self.at = here;
        }
        if self.at > start && self.beginning_chain() {
            // "across to turning ch": all but the stitch it counts for
            return Some((1, Class::Any));
        }
        self.at = start;
        None
    }

    /// "until 2 sts remain", "until last 2 sts", "until you have 6 sts left".
    pub(super) fn until_sts(&mut self) -> bool {
        if self.clone().read_to_last().is_some() {
            return true;
        }
        self.at += 1;
        let _ = self.eat_all(&["you", "have"]) || self.eat_all(&["there", "are"]);
        let _ = self.eat("only");
        self.number().is_some() && self.class().is_some()
    }

    /// "dc at base of 3ch", "st at the base of ch-3": the stitch that the chain in hand sprang from.
    pub(super) fn stitch_at_base(&mut self) -> bool {
        let start = self.at;
        let _ = self.eat("the");
        if matches!(self.class(), Some(Class::Stitch | Class::Kind(_))) && self.eat("at") {
            let _ = self.eat("the");
            if self.eat("base") && self.eat("of") {
                let _ = self.eat_any(&["the", "same", "this", "beg", "beginning", "turning"]);
                let before = self.number().is_some() && {
                    let _ = self.eat_kind(&Kind::Dash);
                    true
                };
                if self.eat_any(words::CHAIN) || self.eat("tch") {
                    let _ = !before && {
                        let _ = self.eat_kind(&Kind::Dash);
                        self.number().is_some()
                    };
                    return true;
                }
            }
        }
        self.at = start;
        false
    }

    /// "ends of rows", "row ends", "end of each row", "along the side edge", "across the open end".
    pub fn row_end_words(&mut self) -> bool {
        let c = self;
        if c.eat_all(&["ends", "of", "rows"])
            || c.eat_all(&["ends", "of", "the", "rows"])
            || c.eat_all(&["row", "ends"])
            || c.eat_all(&["edge", "sts", "of", "rows"])
            || c.eat_all(&["end", "sts", "of", "rows"])
            || c.eat_all(&["open", "end"])
            || c.eat_all(&["open", "edge"])
            || c.eat_all(&["side", "edge"])
            || c.eat_all(&["short", "edge"])
        {
            let start = c.at;
            if c.eat_any(&["across", "along"]) {
                let _ = c.eat("the");
                if !(c.eat_all(&["open", "end"]) || c.eat_all(&["open", "edge"]) || c.eat_all(&["side", "edge"])) {
                    c.at = start;
                }
            }
            return true;
        }
        false
    }

    /// "in side of last dc", "in side of turning ch", "in side of next row": the end of a row by the stitch there.
    pub fn side_of_stitch(&mut self) -> bool {
        let start = self.at;
        if self.eat_any(&["side", "end"]) && self.eat("of") {
            let _ = self.eat("the");
            let _ = self.eat_any(&["last", "first", "next", "same"]);
            let named = self.eat_any(words::ROW)
                || self.beginning_chain()
                || matches!(self.class(), Some(Class::Kind(_) | Class::Stitch));
            let _ = named && self.eat_any(&["made", "worked"]);
            if named && self.at_break() {
                return true;
            }
        }
        self.at = start;
        false
    }

    /// "6 sc in MC (6)": a magic circle, where no yarn goes by that name.
    pub fn ring_by_letters(&mut self) -> bool {
        let ends = matches!(
            self.kind(1),
            None | Some(Kind::Comma | Kind::Stop | Kind::Open(_) | Kind::Semicolon | Kind::Dash)
        );
        let ring = self.word(0) == Some("mc") && ends && !self.house.yarns.iter().any(|y| y.eq_ignore_ascii_case("mc"));
        self.at += usize::from(ring);
        ring
    }

    /// "end of each row", "the side of every dc row", "ends of all rows": row ends, one by one.
    pub fn ends_of_each_row(&mut self) -> bool {
        let start = self.at;
        if self.eat_any(&["each", "every"]) && self.eat_any(words::ROW) && self.eat_any(ALONG) && self.side_named() {
            // "sc in each row along side"
            return true;
        }
        self.at = start;
        let _ = self.eat("the");
        if self.eat_any(&["end", "ends", "side", "sides", "edge"]) && self.eat("of") {
            let _ = self.eat("the");
            if self.eat_any(&["each", "every", "ea", "all"]) {
                let _ = self.eat("of") && self.eat("the");
                let _ = self.stem();
                if self.eat_any(words::ROW) {
                    self.end_words();
                    if self.eat("to") {
                        // "to the next corner": as far as the rows go
                        let _ = self.eat("the");
                        let _ = self.eat_any(&["next", "first", "last"]);
                        let _ = self.eat("corner") || self.eat("edge");
                    }
                    return true;
                }
            }
        }
        self.at = start;
        false
    }

    /// "the left side", "side edge", "the next long edge": a side of a piece, but none of its chain.
    pub(super) fn side_named(&mut self) -> bool {
        let start = self.at;
        let _ = self.eat("the");
        while self.eat_any(&["left", "right", "first", "next", "long", "short", "raw", "same", "this", "that"]) {}
        let named = self.eat("edge")
            || self.eat_any(&["side", "sides"]) && {
                let _ = self.eat("edge");
                true
            };
        if !named || self.word(0) == Some("of") {
            self.at = start;
            return false;
        }
        true
    }

    /// "at end of 4th row", "at the end of last rnd", "at beg of rnd": when something is done, or what a count is of.
    pub fn at_end_of_row(&mut self) -> bool {
        let start = self.at;
        if self.eat_any(&["at", "on", "in"]) {
            let _ = self.eat("the");
            let end = self.eat_any(&["end", "beg", "beginning"]) && self.eat("of");
            let _ = self.eat_any(&["the", "each", "this", "every"]);
            let named = self.eat_any(&["last", "previous", "prev"]) || self.ordinal().is_some();
            while named && (self.eat("and") || self.eat_kind(&Kind::Comma)) && self.ordinal().is_some() {}
            let row = self.eat_any(words::ROW) || self.eat_any(words::ROUND);
            if row && (end || named) {
                let _ = self.number();
                return true;
            }
        }
        self.at = start;
        false
    }

    /// "the circle", "the entire square" behind "around": no more than the round.
    pub fn whole_piece(&mut self) {
        let start = self.at;
        let _ = self.eat("the");
        let _ = self.eat_any(&["entire", "whole"]);
        if !(self.at > start && self.eat_any(words::PIECES) && self.at_break()) {
            self.at = start;
        }
    }

    /// "ch-8": a chain told by its length.
    fn chain_by_length(&mut self) -> bool {
        let start = self.at;
        let found = self.eat_any(words::CHAIN) && self.eat_kind(&Kind::Dash) && self.number().is_some();
        if !found {
            self.at = start;
        }
        found
    }

    /// Words that say "to the end" or name the row worked over, and change nothing more.
    pub fn end_words(&mut self) {
        loop {
            let start = self.at;
            if self.evenly_on() {
                self.at += 1;
            } else if self.around_opening() {
            } else if self.eat_any(words::TO_END)
                || self.eat_any(&["back", "up", "down"])
                || self.eat_all(&["all", "around"])
                || self.eat_all(&["all", "round"])
                || self.eat_all(&["to", "end"])
                || self.eat_all(&["to", "the", "end"])
                || self.eat_all(&["until", "the", "end"])
                || self.eat_all(&["until", "end"])
                || self.eat_all(&["till", "the", "end"])
                || self.eat_all(&["all", "the", "way", "to", "the", "end"])
                || self.eat_all(&["all", "the", "way", "around"])
                || self.eat_all(&["all", "the", "way", "across"])
                || self.ends_at_beginning_chain()
                || self.between_petals()
                || self.beside_picot()
                || self.this_piece()
                || self.as_far_as_the_piece()
            {
                // "along one side", "across the row" say no more than "across"
                let noun = self.at;
                let _ = self.eat("of");
                let _ = self.eat("the") || self.eat("one");
                let _ = self.eat_any(&[
                    "same",
                    "open",
                    "long",
                    "short",
                    "top",
                    "left",
                    "right",
                    "second",
                    "opposite",
                    "lower",
                    "upper",
                    "remaining",
                    "rem",
                    "other",
                    "first",
                    "next",
                    "last",
                    "foundation",
                ]);
                let side = self.eat_any(&["side", "row", "edge", "end", "chain", "ch", "bottom", "top"]) && {
                    let _ = self.eat_any(&["edge", "side"]);
                    let _ = self.eat("of") && {
                        let _ = self.eat("the");
                        self.eat_any(words::LIMBS) || self.chain_by_length()
                    };
                    true
                };
                let foundation = self.at > 0 && self.word_at(self.at - 1) == Some("foundation") && self.at_break();
                if !(side || foundation || self.eat_any(words::LIMBS) || self.eat_any(words::ROUND)) {
                    self.at = noun;
                    self.whole_piece();
                }
            } else if self.eat_any(&["of", "on", "from", "at"]) {
                let _ = self.eat("the");
                let named = self.eat_any(&["prev", "previous", "last", "this"]);
                let _ = named && self.eat_any(&["full", "complete", "whole", "long"]);
                let ordinal = self.ordinal();
                let nth = ordinal.is_some();
                let row = self.eat_any(words::ROW) || self.eat_any(words::ROUND);
                let named = named || nth;
                let number = if row { self.number() } else { None };
                let numbered = number.is_some();
                if let (true, Some(n)) = (row, ordinal.or(number)) {
                    self.of_row = Some(n);
                }
                let other = !row
                    && (self.eat_any(&[
                        "foundation",
                        "beg",
                        "beginning",
                        "starting",
                        "original",
                        "branch",
                        "stem",
                        "main",
                    ]) && {
                        let _ = self.eat_any(words::CHAIN) || self.eat("stem");
                        true
                    } || named && self.eat_any(&["row", "rnd"])
                        || self.eat_any(&["top", "bottom"]) && self.at_break());
                // "last row of Blanket", "Row 5 of Body": the pattern's own name for the piece
                let called = |w: &str| {
                    self.house.own_words.contains(w)
                        || w == "body"
                        || words::LIMBS.contains(&w)
                        || words::PIECES.contains(&w)
                };
                let piece = !row && !other && !named && !nth && self.word(0).is_some_and(called);
                self.at += usize::from(piece);
                let other = other || piece && (self.at_break() || self.word(0) == Some("and"));
                if !(row && (named || numbered || self.at_break()) || other) {
                    self.at = start;
                    return;
                }
            } else {
                return;
            }
        }
    }

    /// "to the leaf", "to body" behind "in each ch": as far as the piece the chain hangs on.
    fn as_far_as_the_piece(&mut self) -> bool {
        let start = self.at;
        if self.eat("to") {
            let _ = self.eat("the");
            if (self.eat_any(words::LIMBS) || self.eat_any(words::PIECES) || self.eat("body")) && self.at_break() {
                return true;
            }
        }
        self.at = start;
        false
    }

    /// "in ch at tip", "next ch at tip of leaf", "st at point": the chain or stitch that makes the tip.
    pub(super) fn at_tip(&mut self, class: Class) -> Class {
        let start = self.at;
        if matches!(class, Class::Chain | Class::Stitch) && self.eat_any(&["at", "of", "on"]) {
            let _ = self.eat("the");
            if self.eat_any(&["tip", "point", "top"]) {
                let here = self.at;
                let of = self.eat_any(&["of", "on"]);
                let _ = self.eat_any(&["the", "this", "each", "same", "next"]);
                if !(of && self.eat_any(words::LIMBS)) {
                    self.at = here;
                }
                if self.at_break() {
                    return Class::Tip;
                }
            }
        }
        self.at = start;
        class
    }

    /// "sp formed by joining dc", "loop just made": where a tall join left the yarn.
    pub(super) fn formed_by_join(&mut self) -> bool {
        let start = self.at;
        if self.space().is_some() || self.eat_any(words::SPACE) {
            let _ = self.eat("just");
            if self.eat_any(&["formed", "made"]) {
                if self.at_break() {
                    return true;
                }
                let led = self.eat("by") && {
                    let _ = self.eat("the");
                    self.eat_any(&["joining", "join", "closing"])
                };
                let _ = led && self.class().is_some();
                if led && self.at_break() {
                    return true;
                }
            }
        }
        self.at = start;
        false
    }

    /// "under turning ch-5", "under next ch-3", "under ch-5 loop": the space below the chain.
    pub(super) fn under_chain(&mut self) -> Option<Target> {
        let start = self.at;
        let _ = self.eat("the");
        if self.beginning_chain() || self.opening_space() {
            return Some(Target::Next { n: 1, class: Class::OpeningSpace });
        }
        let led = self.eat_any(&["next", "foll", "following", "same"]);
        let same = led && self.word_at(self.at - 1) == Some("same");
        if let Some(class) = self.space() {
            return Some(if same { Target::Same } else { Target::Next { n: 1, class } });
        }
        if self.eat_any(words::CHAIN) {
            let _ = self.eat_kind(&Kind::Dash);
            let class = Class::Space(self.number());
            return Some(if same { Target::Same } else { Target::Next { n: 1, class } });
        }
        self.at = start;
        self.target(true)
    }

    /// "10 sc around ch-8", "8 sc over ch-5": the space that the chain is.
    pub(super) fn around_chain(&mut self) -> Option<Target> {
        let start = self.at;
        if self.eat_any(&["around", "over", "in", "into"]) {
            let _ = self.eat_any(&["the", "next"]);
            if self.eat_any(words::CHAIN)
                && self.eat_kind(&Kind::Dash)
                && let Some(n) = self.number().filter(|_| self.at_break())
            {
                return Some(Target::Next { n: 1, class: Class::Space(Some(n)) });
            }
        }
        self.at = start;
        None
    }

    /// True where a line speaks of chains or cords made apart: "chains of 40 ch", "ties".
    pub(super) fn at_most_a_cord(mut self) -> bool {
        self.at += 1;
        self.at_break()
            || self.eat_any(&["of", "each"]) && {
                let _ = self.number().is_some() && self.eat_any(words::CHAIN);
                self.at_break() || matches!(self.word(0), Some("and" | "for"))
            }
    }

    /// True where "to end", "to end of row" stand here.
    pub(super) fn to_end_ahead(&self) -> bool {
        self.sees(&["to", "end"]) || self.sees(&["to", "the", "end"]) || self.evenly_on()
    }

    /// "sc even", "sc even around": with neither increase nor decrease.
    fn evenly_on(&self) -> bool {
        let ends = |k: usize| match self.kind(k) {
            None | Some(Kind::Comma | Kind::Stop | Kind::Semicolon | Kind::Open(_) | Kind::Dash) => true,
            Some(Kind::Word(w)) => words::TO_END.contains(&w.as_str()),
            _ => false,
        };
        self.word(0) == Some("even") && ends(1)
    }

    /// "to beginning ch": to the end of a round.
    pub(super) fn ends_at_beginning_chain(&mut self) -> bool {
        let start = self.at;
        let _ = self.eat("up");
        if self.eat("to") {
            let _ = self.eat("the");
            let named = self.word(0).is_some_and(|w| words::BEGINNING.contains(&w) && w != "turning" && w != "t");
            let chain = self.at;
            if named && self.beginning_chain() && self.at_break() {
                return true;
            }
            // "around to beg"
            self.at = chain;
            if named && self.eat_any(words::BEGINNING) && self.at_break() {
                return true;
            }
        }
        self.at = start;
        false
    }

    /// "bottom left ch-3 corner sp": the next to come to.
    pub(super) fn corner_by_compass(&mut self) -> Option<Target> {
        let start = self.at;
        let compass = self.eat_any(&["top", "bottom", "upper", "lower"]) | self.eat_any(&["left", "right"]);
        let _ = compass && (self.eat("hand") || self.eat_kind(&Kind::Dash) && self.eat("hand"));
        let corner = if compass { self.corner_of_chains() } else { None };
        if corner.is_none() {
            self.at = start;
        }
        corner.map(|class| Target::Next { n: 1, class })
    }

    /// "around post of dc just made", which joined the round before: where the yarn is.
    pub(super) fn made_just_now(&mut self, target: Target, post: bool) -> Target {
        let start = self.at;
        let one = matches!(target, Target::Next { n: 1, class: Class::Kind(_) | Class::Stitch });
        if post && one && self.eat("just") && self.eat_any(&["made", "worked"]) {
            return Target::Same;
        }
        self.at = start;
        target
    }
}
