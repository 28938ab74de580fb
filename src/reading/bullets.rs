//! Lines of a list: "- Rnd 1: …", "• Ch 11", "[ ] Rnd 2: …", "> Rnd 3: …".

use super::lex::{Kind, Token};

/// Marks that stand in front of a line of a list.
const BULLETS: &[char] =
    &['•', '·', '◦', '▪', '■', '□', '☐', '☑', '✓', '✔', '○', '●', '➤', '→', '>', '+', '~', '◇', '◆'];

/// Tokens in front of a line that only mark it as one of a list.
pub(super) fn bullet(toks: &[Token], text: &str) -> usize {
    let kind = |k: usize| toks.get(k).map(|t| &t.kind);
    let mut at = 0;
    loop {
        let apart = match (toks.get(at), toks.get(at + 1)) {
            (Some(mark), Some(next)) => text[mark.span.end..next.span.start].starts_with([' ', '\t']),
            _ => false,
        };
        at += match kind(at) {
            Some(Kind::Dash | Kind::Star(1)) if apart => 1,
            // the first cell of a table
            Some(Kind::Stop) if text[toks[at].span.start..].starts_with('|') => 1,
            Some(Kind::Other(mark)) if BULLETS.contains(mark) => 1,
            // a box to tick: "[ ]", "[x]"
            Some(Kind::Open('[')) if matches!(kind(at + 1), Some(Kind::Close(']'))) => 2,
            Some(Kind::Open('['))
                if matches!(kind(at + 1), Some(Kind::Word(w)) if w == "x")
                    && matches!(kind(at + 2), Some(Kind::Close(']'))) =>
            {
                3
            }
            _ => return at,
        };
    }
}

/// Takes out the marks of a list inside the words of a row, where a line of the list goes on with it.
pub(super) fn without_bullets(toks: Vec<Token>, text: &str) -> Vec<Token> {
    let begins = |k: usize| k > 0 && text[toks[k - 1].span.end..toks[k].span.start].contains('\n');
    let marks = |k: usize| match &toks[k].kind {
        // "- 12 sts" is a count
        Kind::Dash => matches!(toks.get(k + 1).map(|t| &t.kind), Some(Kind::Word(_))),
        Kind::Other(mark) => BULLETS.contains(mark),
        _ => false,
    };
    if !(0..toks.len()).any(|k| begins(k) && marks(k)) {
        return toks;
    }
    let keep: Vec<bool> = (0..toks.len()).map(|k| !(begins(k) && marks(k))).collect();
    toks.into_iter().zip(keep).filter_map(|(t, keep)| keep.then_some(t)).collect()
}
