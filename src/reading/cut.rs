//! Several rows on one line: "With A, ch 14. Row 1: …", "1. Rnd 1: …, rnds 2-5: …".

use super::cursor::{Cursor, House};
use super::heading::heading;
use super::lex::{Kind, Token};
use super::{preamble, words};

/// The tokens at which pieces of a line begin, the first among them; one where the line is not cut.
pub(super) fn cuts(toks: &[Token], text: &str, house: &House) -> Vec<usize> {
    let mut found = vec![after_list_number(toks, text, house)];
    let first = toks.iter().find_map(|t| match &t.kind {
        Kind::Word(w) => Some(w.as_str()),
        _ => None,
    });
    if first.is_none_or(|w| preamble::SECTIONS.contains(&w)) {
        let note = first.is_some_and(|w| matches!(w, "note" | "notes"));
        let chain = super::lead::chain_behind_note(toks).filter(|_| note);
        return std::iter::once(0).chain(chain).collect();
    }
    let mut depth = 0usize;
    for i in 1..toks.len() {
        match toks[i - 1].kind {
            Kind::Open(_) => depth += 1,
            Kind::Close(_) => depth = depth.saturating_sub(1),
            _ => {}
        }
        let parted = matches!(toks[i - 1].kind, Kind::Stop | Kind::Comma | Kind::Semicolon | Kind::Close(_));
        // "Do not fasten off. Edging: ch 1, …"
        let edging = toks[i - 1].kind == Kind::Stop
            && matches!(&toks[i].kind, Kind::Word(w) if matches!(w.as_str(), "edging" | "border" | "trim"))
            && toks.get(i + 1).is_some_and(|t| t.kind == Kind::Colon);
        let stripe = toks[i - 1].kind == Kind::Stop && takes_yarn_for_rows(&toks[i..]);
        if depth == 0 && parted && i > found[0] && (edging || stripe || begins_row(&toks[i..], text, house)) {
            found.push(i);
        }
    }
    found
}

/// "4. rnd 31: …": the number of a list before a heading of its own says nothing. Where "4. With A, rnd 1: …" holds a
/// heading further on, it is taken off as well.
fn after_list_number(toks: &[Token], text: &str, house: &House) -> usize {
    let numbered = matches!(toks.first().map(|t| &t.kind), Some(Kind::Number(_)))
        && matches!(toks.get(1).map(|t| &t.kind), Some(Kind::Stop | Kind::Close(_)));
    if !numbered {
        return 0;
    }
    let yarn_first =
        matches!(toks.get(2).map(|t| &t.kind), Some(Kind::Word(w)) if matches!(w.as_str(), "with" | "using"));
    let behind_yarn = yarn_first
        && (3..toks.len().min(9)).any(|i| toks[i - 1].kind == Kind::Comma && begins_row(&toks[i..], text, house));
    if begins_row(&toks[2..], text, house) || behind_yarn { 2 } else { 0 }
}

/// A numbered heading with its colon.
fn begins_row(toks: &[Token], text: &str, house: &House) -> bool {
    let named = |w: &str| words::ROW.contains(&w) || words::ROUND.contains(&w);
    let may = match toks.first().map(|t| &t.kind) {
        // "Stuff. R11: (sc, dec) x 6"
        Some(Kind::Word(w)) if matches!(w.as_str(), "r" | "rd" | "rw") => {
            matches!(toks.get(1).map(|t| &t.kind), Some(Kind::Number(_)))
        }
        Some(Kind::Word(w)) => named(w) || w == "next",
        Some(Kind::Ordinal(_)) => toks.iter().take(8).any(|t| matches!(&t.kind, Kind::Word(w) if named(w))),
        _ => false,
    };
    if !may {
        return false;
    }
    let mut c = Cursor::new(toks, house);
    heading(&mut c, text).is_some() && toks[..c.at].iter().any(|t| t.kind == Kind::Colon)
}

/// "Using green yarn,": what stands before a heading takes up a yarn, and no more.
pub(super) fn takes_yarn(toks: &[Token]) -> bool {
    toks.len() < 8
        && matches!(toks.first().map(|t| &t.kind), Some(Kind::Word(w)) if matches!(w.as_str(), "with" | "using"))
}

/// "With Gold, work 6 rows of sc": rows of their own, in another yarn.
pub(super) fn takes_yarn_for_rows(toks: &[Token]) -> bool {
    const SOON: usize = 6;
    let word = |k: usize| match toks.get(k).map(|t| &t.kind) {
        Some(Kind::Word(w)) => w.as_str(),
        _ => "",
    };
    let yarn = matches!(word(0), "with" | "using");
    let comma = toks.iter().take(SOON).position(|t| t.kind == Kind::Comma).filter(|_| yarn);
    comma.is_some_and(|k| {
        let more = k + 1 + usize::from(word(k + 1) == "work");
        let counted = matches!(toks.get(more).map(|t| &t.kind), Some(Kind::Number(_)))
            || words::number_word(word(more)).is_some();
        let further = more + 1 + usize::from(word(more + 1) == "more");
        counted && (words::ROW.contains(&word(further)) || words::ROUND.contains(&word(further)))
    })
}
