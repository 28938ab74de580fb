//! Gaps between shapes: "between next 2 shells", "between last and next shell", "in sp before next shell".

use super::cursor::Cursor;
use super::lex::Kind;
use super::words;
use crate::instructions::{Class, Target};

impl Cursor<'_> {
    /// "between next 2 sts", "sp between next 2 dc groups", "space before next dc", "between shells".
    pub(super) fn gap(&mut self) -> Option<Target> {
        let _ = self.eat_any(&["next", "each", "first", "any"]);
        let each = self.at > 0 && self.tokens[..self.at].last().is_some_and(|t| t.kind == Kind::Word("each".into()));
        let spaced = self.eat_any(words::SPACE) || self.space().is_some();
        let _ = self.eat_any(&["in"]);
        if spaced && self.eat_any(&["before", "after"]) {
            let _ = self.eat("the");
            let _ = self.eat("next");
            let class = if self.opening_chain() { Class::Stitch } else { self.class()? };
            return Some(Target::Between { class, each: false });
        }
        if !self.eat("between") {
            return None;
        }
        if let Some(target) = self.loop_of_picots() {
            return Some(target);
        }
        let every = self.eat_any(&["each", "all", "every"]);
        let _ = self.eat("the") || self.eat("of");
        // "between next and following shells", "between last and next"
        let pair = |c: &mut Self, a: &[&str], b: &[&str]| {
            let start = c.at;
            let both = c.eat_any(a) && c.eat("and") && (c.eat_any(b) || c.ordinal() == Some(2));
            if !both {
                c.at = start;
            }
            both
        };
        let next = &["next", "foll", "following"];
        let _ = pair(self, &["last", "this", "same", "next", "first"], next)
            || self.eat_any(next)
            || self.eat_any(&["first", "last", "any", "this", "same"]);
        if let Some(class) = self.groups_of_so_many() {
            return Some(Target::Between { class, each: each || every });
        }
        let two = self.number_of_shapes();
        if two.is_some_and(|n| n != 2) {
            return None;
        }
        let chain = self.opening_chain() && self.eat("and");
        if chain {
            // "between ch-3 and first dc"
            let _ = self.eat("the") | self.eat_any(&["next", "first", "last"]);
        }
        let mut class = self.gap_class()?;
        let again = self.at;
        if !chain && self.eat("and") {
            // "between this dc and next dc", "between first dc and first V-st"
            while self.eat_any(&["the", "next", "foll", "following", "first", "last", "beg"]) {}
            // "between last dc and top of tch", "between last dc and ch-3"
            let _ = self.eat("top") && self.eat("of") && self.eat("the");
            let turning = self.opening_chain() || self.beginning_chain();
            match if turning { None } else { self.gap_class() } {
                _ if turning => {}
                Some(other @ (Class::Kind(_) | Class::Stitch)) => class = other,
                Some(_) => {}
                None => self.at = again,
            }
        }
        Some(Target::Between { class, each: each || every })
    }

    /// "pairs of dc", "groups of 3 dc": stitches that stand together, with their number.
    fn groups_of_so_many(&mut self) -> Option<Class> {
        let start = self.at;
        let pairs = self.eat_any(&["pair", "pairs"]);
        let grouped = (pairs || self.eat_any(words::GROUP)) && self.eat("of");
        let n = if pairs { Some(2) } else { self.number() };
        if let (true, Some(n), Some(Class::Kind(kind))) = (grouped, n, self.class()) {
            return Some(Class::Run { n, kind: Some(kind) });
        }
        self.at = start;
        None
    }

    /// "ch-3", "beg ch 3", "3ch", "turning ch": the chain a round opens with, where a stitch is named with it.
    fn opening_chain(&mut self) -> bool {
        let start = self.at;
        if self.beginning_chain() {
            return true;
        }
        let _ = self.eat_any(words::BEGINNING);
        let before = self.number().is_some();
        let _ = before && self.eat_kind(&Kind::Dash);
        let chain = self.eat_any(words::CHAIN) && {
            let _ = self.eat_kind(&Kind::Dash);
            before || self.number().is_some()
        };
        if !chain {
            self.at = start;
        }
        chain
    }

    /// "2" of "2 shells"; not the "2" of "2-dc groups".
    fn number_of_shapes(&mut self) -> Option<u32> {
        let start = self.at;
        if self.run_of_stitches().is_some() {
            self.at = start;
            return None;
        }
        self.number()
    }

    fn gap_class(&mut self) -> Option<Class> {
        self.run_of_stitches().or_else(|| self.class())
    }
}
