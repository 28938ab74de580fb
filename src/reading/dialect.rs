//! Which terms the words are in: told, else by sure signs.

use super::lex::{Kind, tokens};
use super::preamble::told_terms;
use crate::instructions::Terms;
use crate::source::{Code, Problem, Span};

/// Words that only one dialect has.
///
/// Source: Craft Yarn Council (hdc), Crochet Now UK 2020-04 (yrh), spotlightstores.com (htr).
const US_SIGNS: &[&str] = &["hdc", "sc", "sc2tog", "sc3tog", "hdc2tog", "fpsc", "bpsc", "single"];
const UK_SIGNS: &[&str] = &["htr", "yrh", "ttr", "qtr", "htr2tog"];

/// The terms to read by; a mixture is reported at its second sign.
pub(super) fn decide(text: &str, asked: Option<Terms>, problems: &mut Vec<Problem>) -> Terms {
    let toks = tokens(text, 0);
    if let Some(terms) = asked.or_else(|| told_terms(&toks)) {
        return terms;
    }
    if let Some(old) = super::old::decide(&toks) {
        return old;
    }
    let (mut us, mut uk): (Option<Span>, Option<Span>) = (None, None);
    for (i, token) in toks.iter().enumerate() {
        let Kind::Word(w) = &token.kind else { continue };
        let half_treble =
            w == "half" && matches!(toks.get(i + 1).map(|t| &t.kind), Some(Kind::Word(t)) if t == "treble");
        if US_SIGNS.contains(&w.as_str()) {
            us.get_or_insert(token.span);
        } else if UK_SIGNS.contains(&w.as_str()) || half_treble {
            uk.get_or_insert(token.span);
        }
    }
    if let (Some(us), Some(uk)) = (us, uk) {
        let (first, second) = if us < uk { (us, uk) } else { (uk, us) };
        let word = |s: Span| &text[s.start..s.end];
        problems.push(
            Problem::new(
                Code::TermsMixed,
                second,
                format!("\"{}\" and \"{}\" are of two dialects", word(first), word(second)),
            )
            .with_label(first, "this one came first")
            .with_hint("add a line \"US terms\" or \"UK terms\""),
        );
    }
    match (us, uk) {
        (None, Some(_)) => Terms::Uk,
        _ => Terms::Us,
    }
}
