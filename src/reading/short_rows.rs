//! Rows called by a letter inside the words of another: "rep R2", "as R3 to R5".

use super::lex::{Kind, Token};
use super::words;

/// Words before the letter that show a row is meant and no colour.
const BEFORE: &[&str] = &["as", "like", "of", "follow", "through", "thru", "to", "and", "from", "in", "work"];

/// Says "row" for the letter, behind the heading.
pub(super) fn spelled(toks: &mut [Token], body: usize) {
    let letter = |t: &Token| matches!(&t.kind, Kind::Word(w) if matches!(w.as_str(), "r" | "rw" | "rws" | "rs"));
    for k in body.max(1)..toks.len().saturating_sub(1) {
        let glued = matches!(toks[k + 1].kind, Kind::Number(_)) && toks[k].span.end == toks[k + 1].span.start;
        let led = match &toks[k - 1].kind {
            Kind::Word(w) => BEFORE.contains(&w.as_str()) || words::REPEAT.contains(&w.as_str()),
            // "R2-R5", "R2, R3"
            Kind::Dash | Kind::Comma => {
                k > 2
                    && matches!(&toks[k - 3].kind, Kind::Word(w) if w == "row")
                    && matches!(toks[k - 2].kind, Kind::Number(_))
            }
            _ => false,
        };
        if letter(&toks[k]) && glued && led {
            toks[k].kind = Kind::Word("row".into());
        }
    }
}
