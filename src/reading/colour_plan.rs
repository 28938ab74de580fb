//! Which yarn each of several rows has: "working 1 row each with moss, sand and rust", "working 2 rnds each of B and A".

use super::lex::{Kind, Token};
use super::phrase::{RowReader, Run};
use super::words;

/// Yarns of the longest plan.
const MOST_YARNS: usize = 12;

/// "With A, work 1 rnd.", "These 4 rnds form stripe pat." in a list of stripes ahead of all rows.
pub(super) fn is_stripe(toks: &[Token]) -> bool {
    let word = |k: usize| match toks.get(k).map(|t| &t.kind) {
        Some(Kind::Word(w)) => w.as_str(),
        _ => "",
    };
    let row = |w: &str| words::ROW.contains(&w) || words::ROUND.contains(&w);
    let length = toks.iter().rposition(|t| t.kind != Kind::Stop).map_or(0, |k| k + 1);
    let yarn = matches!(word(0), "with" | "using") && (5..=8).contains(&length);
    let stripe =
        yarn && word(length - 3) == "work" && matches!(toks[length - 2].kind, Kind::Number(_)) && row(word(length - 1));
    let formed = word(0) == "these" && row(word(2)) && word(3).starts_with("form");
    stripe || formed
}

impl RowReader<'_> {
    /// A plan of colours over the rows just told: it changes no stitch.
    pub(super) fn colour_plan(&mut self, _run: &mut Run) -> bool {
        let start = self.c.at;
        if self.changes_every() {
            let span = self.c.since(start);
            self.notes.push(span);
            return true;
        }
        let led = self.c.eat_any(&["working", "work", "alternating", "alternate", "following", "foll"]);
        let behind = self.c.at;
        let planned = led && self.plan() || {
            self.c.at = if led { behind } else { start };
            self.sequence()
        };
        if !planned {
            self.c.at = start;
            return false;
        }
        let span = self.c.since(start);
        self.notes.push(span);
        true
    }

    /// "changing colors every 2 rows".
    fn changes_every(&mut self) -> bool {
        let start = self.c.at;
        let every = self.c.eat_any(&["changing", "change", "alternating", "alternate"])
            && self.c.eat_any(&["color", "colour", "colors", "colours", "yarn", "yarns"])
            && self.c.eat_any(&["every", "after", "each"]);
        let _ = every && self.c.eat("every");
        let _ = every && self.c.number().is_some();
        if every && (self.c.eat_any(words::ROW) || self.c.eat_any(words::ROUND)) {
            return self.c.at_break();
        }
        self.c.at = start;
        false
    }

    /// "in following sequence: 2 rows A, 2 rows B", "color sequence: [8 rows A, 4 rows C] 3 times", "2 rows each A and B".
    pub(super) fn sequence(&mut self) -> bool {
        let _ = self.c.eat_any(&["in", "with", "for"]);
        let _ = self.c.eat_any(&["the", "this"]);
        let _ = self.c.eat_any(&["following", "foll"]);
        let _ = self.c.eat_any(&["color", "colour", "yarn"]);
        if self.c.eat_any(&["stripe", "striped", "stripes", "sequence", "order"]) {
            let _ = self.c.eat_any(&["pattern", "pat", "sequence", "order"]);
            let _ = self.c.eat("as") && self.c.eat_any(&["follows", "given"]);
            let _ = self.c.eat_kind(&Kind::Colon);
        } else if !matches!(self.c.kind(0), Some(Kind::Number(_) | Kind::Open(_))) {
            return false;
        }
        let open = self.c.at;
        let bracket = matches!(self.c.kind(0), Some(Kind::Open(_)));
        let close = if bracket { self.partners.get(open).copied().flatten() } else { None };
        self.c.at += usize::from(bracket);
        let mut told = 0;
        while told < MOST_YARNS && self.rows_in_yarn() {
            told += 1;
            let between = self.c.at;
            let parted = self.c.eat_kind(&Kind::Comma) | self.c.eat_any(&["and", "then"]);
            if !parted || !matches!(self.c.kind(0), Some(Kind::Number(_))) {
                self.c.at = between;
                break;
            }
        }
        if bracket {
            if close != Some(self.c.at) {
                return false;
            }
            self.c.at += 1;
            let _ = self.c.times();
        }
        told > 1 && self.c.at_break()
    }

    /// "8 rows A", "2 rnds in C", "1 row with moss".
    fn rows_in_yarn(&mut self) -> bool {
        let start = self.c.at;
        let rows = self.c.number().is_some() && (self.c.eat_any(words::ROW) || self.c.eat_any(words::ROUND));
        let _ = rows && self.c.eat_any(&["with", "of", "in", "using"]);
        if rows && (self.yarn().is_some() || self.c.eat_any(words::COLOURS)) {
            return true;
        }
        self.c.at = start;
        false
    }

    fn plan(&mut self) -> bool {
        let rows = self.c.number().is_some() && (self.c.eat_any(words::ROW) || self.c.eat_any(words::ROUND));
        let each = rows && (self.c.eat("each") || self.c.eat("every"));
        let led = self.c.eat_any(&["with", "of", "in"]);
        if !(each && led) {
            return false;
        }
        let mut named = 0;
        while named < MOST_YARNS && self.yarn().is_some() {
            named += 1;
            let between = self.c.at;
            let comma = self.c.eat_kind(&Kind::Comma);
            let and = self.c.eat("and");
            let more = self.yarn().is_some();
            self.c.at = between;
            if !(more && (comma || and)) {
                break;
            }
            let _ = self.c.eat_kind(&Kind::Comma);
            let _ = self.c.eat("and");
        }
        named > 1 && self.c.at_break()
    }
}
