//! What the chain that opens a row is called: "turning ch", "beg ch-3", "tch", "first 3 ch".

use super::cursor::Cursor;
use super::lex::Kind;
use super::words;

impl Cursor<'_> {
    /// "beg ch-3", "turning ch", "tch", "beginning chain 3", "ch-3" behind "top of".
    pub fn beginning_chain(&mut self) -> bool {
        let start = self.at;
        if self.eat_any(&["tch", "bch"]) || self.eat_all(&["t", "ch"]) {
            return true;
        }
        if self.eat("turning") && self.eat_any(&["loop", "lp"]) {
            return true;
        }
        self.at = start;
        if self.eat_any(words::CHAIN) && self.eat_kind(&Kind::Dash) && self.number().is_some() {
            // "ch-4 turning ch"
            if self.eat("tch") || self.eat("turning") && self.eat_any(words::CHAIN) {
                return true;
            }
        }
        self.at = start;
        let _ = self.at > 0 && self.tokens[..self.at].last().is_some_and(is_top_of) && self.eat("first");
        if self.at > 0 && self.tokens[..self.at].last().is_some_and(is_to) && self.joins() {
            // "join to ch 1"
            let here = self.at;
            if self.eat_any(words::CHAIN) {
                let _ = self.eat_kind(&Kind::Dash);
                if self.number().is_some() && self.at_break() {
                    return true;
                }
            }
            self.at = here;
        }
        let named =
            self.eat_any(words::BEGINNING) || (self.at > 0 && self.tokens[..self.at].last().is_some_and(is_top_of));
        let _ = named && self.eat_kind(&Kind::Dash);
        // "top of 3 ch": the UK order
        let before = self.at;
        let counted = named && self.number().is_some() && {
            let _ = self.eat_kind(&Kind::Dash);
            self.eat_any(words::CHAIN)
        };
        if counted {
            return true;
        }
        self.at = before;
        if named && self.eat_any(words::CHAIN) {
            let after = self.at;
            let _ = self.eat_kind(&Kind::Dash);
            // "join to top of beg ch - 16 dc": a count behind a dash is none of the chain's
            if self.number().is_none() || self.clone().class().is_some() {
                self.at = after;
            }
            return true;
        }
        self.at = start;
        false
    }

    /// True where the words before "to" join a round: "join", "sl st".
    fn joins(&self) -> bool {
        let before = self.at.checked_sub(2).and_then(|k| self.kind_at(k));
        matches!(before, Some(Kind::Word(w)) if matches!(w.as_str(), "join" | "st" | "stitch" | "ss" | "slst"))
    }
}

fn is_to(token: &super::lex::Token) -> bool {
    matches!(&token.kind, Kind::Word(w) if w == "to")
}

fn is_top_of(token: &super::lex::Token) -> bool {
    matches!(&token.kind, Kind::Word(w) if matches!(w.as_str(), "of" | "the" | "first"))
}
