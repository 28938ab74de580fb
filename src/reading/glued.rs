//! A space lost in print between a stitch and its place: "dcin next sp".

use super::lex::{Kind, Token};
use super::words;
use crate::source::Span;

/// Parts "dcin" into "dc" and "in", where a word of a place follows.
pub(super) fn parted(toks: Vec<Token>) -> Vec<Token> {
    let glued = |k: usize| -> Option<usize> {
        let Kind::Word(word) = &toks[k].kind else { return None };
        let stem = word.strip_suffix("into").or_else(|| word.strip_suffix("in"))?;
        let place = matches!(&toks.get(k + 1)?.kind, Kind::Word(w) if matches!(w.as_str(), "next" | "each" | "same" | "first" | "last" | "the"));
        let stitch = words::STITCHES.iter().any(|name| name.words == [stem]);
        // every letter of it is a byte: the names are
        let plain = toks[k].span.end - toks[k].span.start == word.len();
        (stitch && place && plain).then_some(stem.len())
    };
    if !(0..toks.len()).any(|k| glued(k).is_some()) {
        return toks;
    }
    let mut parted = Vec::with_capacity(toks.len() + 1);
    for (k, token) in toks.iter().enumerate() {
        match (glued(k), &token.kind) {
            (Some(at), Kind::Word(word)) => {
                let cut = token.span.start + at;
                let stitch = Span::new(token.span.start, cut);
                parted.push(Token { kind: Kind::Word(word[..at].to_owned()), span: stitch });
                parted.push(Token { kind: Kind::Word(word[at..].to_owned()), span: Span::new(cut, token.span.end) });
            }
            _ => parted.push(token.clone()),
        }
    }
    parted
}
