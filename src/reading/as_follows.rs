//! Sentences that lead to the rows below them: "cont in htr fabric as folls:", "now work in stripes as follows:".

use super::lex::Kind;
use super::phrase::{RowReader, Run};

/// Tokens of the longest one.
const LONGEST: usize = 24;

impl RowReader<'_> {
    /// A lead to what is told further down: known words alone, and no number.
    pub(super) fn leads_on(&mut self, _run: &mut Run) -> bool {
        const LED: &[&str] = &[
            "cont",
            "continue",
            "work",
            "now",
            "proceed",
            "keeping",
            "working",
            "shape",
            "begin",
            "then",
            "continuing",
        ];
        if self.depth > 0 || !self.c.word(0).is_some_and(|w| LED.contains(&w)) {
            return false;
        }
        let start = self.c.at;
        let tokens = &self.c.tokens[start..self.c.tokens.len().min(start + LONGEST)];
        let end = tokens.windows(2).position(|w| match (&w[0].kind, &w[1].kind) {
            (Kind::Word(as_), Kind::Word(follows)) => {
                as_ == "as" && matches!(follows.as_str(), "follows" | "folls" | "foll" | "following" | "follow")
            }
            _ => false,
        });
        let Some(end) = end else { return false };
        let known = tokens[..end].iter().all(|t| match &t.kind {
            Kind::Word(w) => self.is_plain(w),
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
        let span = self.c.since(start);
        self.notes.push(span);
        true
    }
}
