//! Sentences that lead to the rows below them: "cont in htr fabric as folls:", "now work in stripes as follows:".

use super::lex::{Kind, Token};
use super::phrase::{RowReader, Run};
use crate::instructions::Act;

/// Tokens of the longest one.
const LONGEST: usize = 24;

/// How such a sentence begins.
const LED: &[&str] =
    &["cont", "continue", "continuing", "work", "working", "now", "proceed", "keeping", "shape", "begin", "then"];

const FOLLOWS: &[&str] = &["follows", "folls", "foll", "following", "follow"];

fn is_word(token: Option<&Token>, list: &[&str]) -> bool {
    matches!(token.map(|t| &t.kind), Some(Kind::Word(w)) if list.contains(&w.as_str()))
}

/// True for a line of its own that leads to the rows below it, and holds no number.
pub(super) fn is_lead(toks: &[Token]) -> bool {
    let words = match toks.split_last() {
        Some((Token { kind: Kind::Colon | Kind::Stop, .. }, words)) => words,
        _ => toks,
    };
    let plain = |t: &Token| matches!(t.kind, Kind::Word(_) | Kind::Comma | Kind::Dash);
    (3..=LONGEST).contains(&words.len())
        && is_word(words.first(), LED)
        && is_word(words.last(), FOLLOWS)
        && is_word(words.get(words.len() - 2), &["as"])
        && words.iter().all(plain)
}

impl RowReader<'_> {
    /// A lead to what is told further down: known words alone, and no number.
    pub(super) fn leads_on(&mut self, run: &mut Run) -> bool {
        if self.depth > 0 || !self.c.word(0).is_some_and(|w| LED.contains(&w)) {
            return false;
        }
        let start = self.c.at;
        let tokens = &self.c.tokens[start..self.c.tokens.len().min(start + LONGEST)];
        let end = tokens.windows(2).position(|w| is_word(w.first(), &["as"]) && is_word(w.last(), FOLLOWS));
        let Some(end) = end.filter(|&end| end > 0) else { return false };
        let known = tokens[1..end].iter().all(|t| match &t.kind {
            Kind::Word(w) => LED.contains(&w.as_str()) || self.is_plain(w),
            Kind::Comma | Kind::Dash => true,
            _ => false,
        });
        self.c.at = start + end + 2;
        let ends = self.c.at_break() || self.c.kind(0) == Some(&Kind::Colon);
        if !(known && ends) {
            self.c.at = start;
            return false;
        }
        let _ = self.c.eat_kind(&Kind::Colon);
        // "work round outside of ear as follows": along an edge whose places no words tell
        let round = tokens[..end].iter().any(|t| is_word(Some(t), &["round", "around"]));
        let outer = tokens[..end].iter().any(|t| is_word(Some(t), &["outside", "outer", "edge", "edges"]));
        if round && outer {
            return self.push(run, start, Act::NewEdge);
        }
        let span = self.c.since(start);
        self.notes.push(span);
        true
    }
}
