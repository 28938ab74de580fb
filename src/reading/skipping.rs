//! What is passed by: "skip next 2 dc", "sk first st", "skip next 3-sc corner", "skip next dc and ch-2 sp".

use super::lex::Kind;
use super::phrase::{RowReader, Run};
use super::words;
use crate::instructions::{Act, Class};

impl RowReader<'_> {
    /// "skip next 2 sts", "sk 3 ch", "skip the ch-1 sp".
    pub(super) fn skip(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        if !(self.c.eat_any(words::SKIP) || self.c.eat_any(&["skipping", "missing"])) {
            return false;
        }
        if self.skip_up_to(run, start) {
            return true;
        }
        let _ = self.c.eat("the") || self.c.eat_all(&["each", "of"]);
        let first = self.c.eat("first") || self.c.eat_kind(&Kind::Ordinal(1));
        let named = first || self.c.eat("last");
        let _ = named || self.c.eat_any(&["next", "following", "foll", "center", "centre", "middle"]);
        // "skip next 3-sc corner": the number is that of its stitches
        let dashed = matches!((self.c.kind(0), self.c.kind(1)), (Some(Kind::Number(_)), Some(Kind::Dash)));
        let group = if dashed { self.c.run_of_stitches() } else { None };
        if let Some(class) = group {
            return self.push(run, start, Act::Skip { n: 1, class });
        }
        // "miss 3-ch sp": the number is that of its chains
        let by_length = if dashed { self.c.space() } else { None };
        let n = self.c.number().or_else(|| self.c.eat_any(&["a", "one", "each"]).then_some(1));
        let class = if n.is_none() { self.chain_of() } else { None }.or(by_length).or_else(|| self.c.class());
        let here = self.c.at;
        if class == Some(Class::Chain) && self.c.eat("of") && !self.c.beginning_chain() {
            self.c.at = here;
        }
        let of_shape = class.is_some() && self.of_shape();
        // "miss st at base of ch": the first, which the chain stands on
        let first = first && !of_shape || n.is_none() && class.is_some() && self.at_base_of_chain();
        self.passed_words();
        // "skip first st of corner": the corner's first is the next one there is
        let of_corner = class.is_some() && self.c.of_corner() || named && class == Some(Class::CornerStitch);
        let (class, first) = if of_corner { (Some(Class::Stitch), false) } else { (class, first) };
        if class.is_some() {
            // "skip 18 sts at center back"
            let _ = super::garment::on_the_piece(&mut self.c);
        }
        if n.is_none() && class.is_none() {
            return false;
        }
        let class = class.unwrap_or(Class::Stitch);
        let further = self.further_skip(&class);
        if first && n.is_none_or(|n| n == 1) && class != Class::Chain {
            return self.push(run, start, Act::SkipFirst { class });
        }
        if let (true, Some(n @ 2..)) = (first && class != Class::Chain, n) {
            // "ch 4 (counts as dc, ch 1), sk first 2 sc": the first is the one the chain stands on
            self.push(run, start, Act::SkipFirst { class: class.clone() });
            self.push(run, start, Act::Skip { n: n - 1, class });
            return match further {
                Some((n, class)) => self.push(run, start, Act::Skip { n, class }),
                None => true,
            };
        }
        self.push(run, start, Act::Skip { n: n.unwrap_or(1), class });
        match further {
            Some((n, class)) => self.push(run, start, Act::Skip { n, class }),
            None => true,
        }
    }

    /// "skip ch-2": the space of that length.
    fn chain_of(&mut self) -> Option<Class> {
        let start = self.c.at;
        if self.c.eat_any(words::CHAIN)
            && self.c.eat_kind(&Kind::Dash)
            && let Some(n) = self.c.number()
            && self.c.at_break()
        {
            return Some(Class::Space(Some(n)));
        }
        self.c.at = start;
        None
    }

    /// "at base of ch", "at the base of ch-3", "at base of 3 ch": where the chain that opens the row stands.
    fn at_base_of_chain(&mut self) -> bool {
        let start = self.c.at;
        if self.c.eat("at") {
            let _ = self.c.eat("the");
            let base = self.c.eat("base");
            if base && self.c.at_break() {
                return true;
            }
            if base && self.c.eat("of") {
                let _ = self.c.eat_any(&["the", "same", "this"]);
                let _ = self.c.number().is_some() && self.c.eat_kind(&Kind::Dash);
                if self.c.beginning_chain() || self.c.eat_any(words::CHAIN) {
                    let _ = self.c.eat_kind(&Kind::Dash);
                    let _ = self.c.number();
                    if self.c.at_break() {
                        return true;
                    }
                }
            }
        }
        self.c.at = start;
        false
    }

    /// "skip next dc and ch-2 sp", "skip next ch-1 sp and next 2 sc": what else is passed by.
    fn further_skip(&mut self, class: &Class) -> Option<(u32, Class)> {
        let start = self.c.at;
        if self.c.eat("and") {
            let led = self.c.eat_any(&["next", "following", "foll", "last"]);
            let n = self.c.number();
            let further = self.c.class();
            let space = |c: &Class| matches!(c, Class::Space(_));
            if let Some(further) = further
                && (led || n.is_some() || space(&further) != space(class))
                && self.c.at_break()
            {
                return Some((n.unwrap_or(1), further));
            }
        }
        self.c.at = start;
        None
    }
}
