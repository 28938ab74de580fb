//! Full stops behind short names: "1 tr. in 4th ch., 1 d.c. in next st." They end no sentence.

use super::lex::{Kind, Token};

/// Short names that some houses write with a stop.
const SHORT: &[&str] = &[
    "ch", "chs", "st", "sts", "sp", "sps", "lp", "lps", "tr", "dc", "sc", "hdc", "htr", "dtr", "ttr", "ss", "sl", "d",
    "c", "s", "h", "l", "rep", "rnd", "patt", "tog", "beg", "foll", "cl",
];
/// Words a sentence does not begin with: a stop before one of them, in small letters, is that of a short name.
const GOES_ON: &[&str] = &[
    "in", "into", "to", "over", "from", "on", "of", "across", "around", "round", "along", "at", "between", "space",
    "sp", "sps", "loop", "loops", "together", "tog", "st", "ch", "only", "until", "twice", "once", "and",
];

/// Takes out the stops that belong to short names.
pub(super) fn without_stops_of_names(found: Vec<Token>, text: &str, offset: usize) -> Vec<Token> {
    let mut kept: Vec<Token> = Vec::with_capacity(found.len());
    let mut rest = found.into_iter().peekable();
    while let Some(token) = rest.next() {
        if token.kind == Kind::Stop {
            let behind_name = kept.last().is_some_and(|t| {
                matches!(&t.kind, Kind::Word(w) if SHORT.contains(&w.as_str())) && t.span.end == token.span.start
            });
            let goes_on = match rest.peek().map(|t| (&t.kind, t.span)) {
                Some((Kind::Comma | Kind::Semicolon | Kind::Close(_), _)) => true,
                // "d.c."
                Some((Kind::Word(w), span)) if span.start == token.span.end => SHORT.contains(&w.as_str()),
                Some((Kind::Word(w), span)) => {
                    let small = text[span.start - offset..].starts_with(char::is_lowercase);
                    small && GOES_ON.contains(&w.as_str())
                }
                _ => false,
            };
            if behind_name && goes_on {
                continue;
            }
        }
        kept.push(token);
    }
    kept
}
