//! Which terms the words are in: told, else by sure signs.

use super::lex::{Kind, Token};
use super::preamble::told_terms;
use crate::instructions::Terms;
use crate::source::{Code, Problem, Severity, Span};

/// Words that only one dialect has.
///
/// Source: Craft Yarn Council (hdc), Crochet Now UK 2020-04 (yrh), spotlightstores.com (htr).
const US_SIGNS: &[&str] = &["hdc", "sc", "sc2tog", "sc3tog", "hdc2tog", "fpsc", "bpsc", "single"];
const UK_SIGNS: &[&str] = &["htr", "yrh", "ttr", "qtr", "htr2tog", "rtrf", "rtrb"];
/// Words that both dialects have for different stitches: they prove nothing.
const BOTH: &[&str] = &["dc", "tr", "dtr", "trc", "dc2tog", "tr2tog", "dc3tog", "tr3tog"];
/// House style on both sides of the ocean: it breaks a tie and never warns.
const US_HOUSE: &[&str] = &["skip", "gauge", "color", "yo", "center", "gray"];
const UK_HOUSE: &[&str] = &["miss", "tension", "colour", "yoh", "centre", "grey"];

/// The terms to read by; a mixture is reported at its second sign.
pub(super) fn decide(text: &str, toks: &[Token], asked: Option<Terms>, problems: &mut Vec<Problem>) -> Terms {
    if let Some(terms) =
        asked.or_else(|| told_terms(toks)).or_else(|| told_in_title(text, toks)).or_else(|| told_alone(text))
    {
        return terms;
    }
    if let Some((old, sign)) = super::old::decide(toks) {
        let message = format!("terms read as {old}; \"{}\" is a stitch of old books", &text[sign.start..sign.end]);
        problems.push(note(sign, message));
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
    if us.is_none() && uk.is_none() {
        match chain_counted_as(toks).or_else(|| from_the_hook(toks)) {
            Some((Terms::Uk, sign)) => uk = Some(sign),
            Some((_, sign)) => us = Some(sign),
            None => {}
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
    let house = |list: &[&str]| toks.iter().any(|t| matches!(&t.kind, Kind::Word(w) if list.contains(&w.as_str())));
    match (us, uk) {
        (None, Some(_)) => Terms::Uk,
        (Some(_), None) => Terms::Us,
        (Some(_), Some(_)) if house(UK_HOUSE) && !house(US_HOUSE) => Terms::Uk,
        (Some(_), Some(_)) => Terms::Us,
        (None, None) => {
            let british = house(UK_HOUSE) || chains_behind_numbers(toks);
            let terms = if british && !house(US_HOUSE) { Terms::Uk } else { Terms::Us };
            if let Some(token) = toks.iter().enumerate().find_map(|(i, t)| is_both(toks, i).then_some(t)) {
                let read = if terms == Terms::Uk { "UK" } else { "US" };
                problems.push(note(token.span, format!("terms read as {read}; dc and tr alone prove nothing")));
            }
            terms
        }
    }
}

/// "Ch 3 (counts as 1 dc)" is US, "3ch (counts as 1tr)" UK: a chain counts as the stitch it is as high as.
///
/// Source: Craft Yarn Council, turning chains (3 for a US dc, 4 for a US tr).
fn chain_counted_as(toks: &[Token]) -> Option<(Terms, Span)> {
    let word = |i: usize| word_at(toks, i);
    let number = |i: Option<usize>| match i.and_then(|i| toks.get(i)).map(|t| &t.kind) {
        Some(Kind::Number(n)) => Some(*n),
        _ => None,
    };
    // "ch 3 (= first tr)" says it too
    let equals = |i: usize| toks[i].kind == Kind::Equals && i > 0 && matches!(toks[i - 1].kind, Kind::Open(_));
    let says = |i: usize| {
        matches!(word(i), "counts" | "count" | "counting" | "counted" | "acts") && word(i + 1) == "as" || equals(i)
    };
    (0..toks.len()).filter(|&i| says(i)).find_map(|i| {
        let before =
            (i.saturating_sub(MOST_BETWEEN)..i).rev().find(|&k| matches!(word(k), "ch" | "chain" | "chains"))?;
        let n = number(Some(before + 1)).filter(|_| before + 1 < i).or_else(|| number(before.checked_sub(1)))?;
        let at = (i + 1..i + 5).find(|&k| BOTH.contains(&word(k)))?;
        let terms = match (n, word(at)) {
            (3, "dc") | (4, "tr") | (5, "dtr") => Terms::Us,
            (1, "dc") | (3, "tr") | (4, "dtr") => Terms::Uk,
            _ => return None,
        };
        Some((terms, toks[at].span))
    })
}

/// "1 dc in 4th ch from hook" is US, "1 tr in 4th ch from hook" UK: the chains skipped are as high as the stitch.
///
/// Source: Craft Yarn Council, turning chains (3 for a US dc, 4 for a US tr).
fn from_the_hook(toks: &[Token]) -> Option<(Terms, Span)> {
    let hook = |i: usize| {
        matches!(word_at(toks, i), "ch" | "chain") && word_at(toks, i + 1) == "from" && {
            word_at(toks, i + 2) == "hook" || word_at(toks, i + 3) == "hook"
        }
    };
    (0..toks.len()).filter(|&i| hook(i)).find_map(|i| {
        let nth = toks.get(i.checked_sub(1)?)?;
        let Kind::Ordinal(nth) = nth.kind else { return None };
        let lead = i.saturating_sub(MOST_BETWEEN)..i - 1;
        let into = |k: &usize| matches!(word_at(toks, k + 1), "in" | "into");
        let at = lead.rev().find(|k| BOTH.contains(&word_at(toks, *k)) && into(k))?;
        let terms = match (nth, word_at(toks, at)) {
            (4, "dc") | (5, "tr") | (6, "dtr") => Terms::Us,
            (2, "dc") | (4, "tr") | (5, "dtr") => Terms::Uk,
            _ => return None,
        };
        Some((terms, toks[at].span))
    })
}

/// "3 ch" and never "ch 3": the order of British patterns (common practice, no source).
fn chains_behind_numbers(toks: &[Token]) -> bool {
    let chain = |i: usize| matches!(word_at(toks, i), "ch" | "chain");
    let number = |i: Option<usize>| matches!(i.and_then(|i| toks.get(i)).map(|t| &t.kind), Some(Kind::Number(_)));
    let behind = (0..toks.len()).any(|i| chain(i) && number(i.checked_sub(1)));
    behind
        && !(0..toks.len())
            .any(|i| chain(i) && (number(Some(i + 1)) || toks.get(i + 1).is_some_and(|t| t.kind == Kind::Dash)))
}

/// Tokens between a chain and what it is said to count as.
const MOST_BETWEEN: usize = 5;

/// "Pear motif (UK)", "Coaster - US": the mark behind the title.
fn told_in_title(text: &str, toks: &[Token]) -> Option<Terms> {
    let first = toks.first()?.span.start;
    let end = text[first..].find('\n').map_or(text.len(), |k| first + k);
    let marked = toks.iter().enumerate().take_while(|(_, t)| t.span.start < end).find(|(i, t)| {
        let behind = toks.get(i + 1).filter(|t| t.span.start < end).map(|t| &t.kind);
        let before = i.checked_sub(1).map(|k| &toks[k].kind);
        matches!(&text[t.span.start..t.span.end], "US" | "UK" | "USA")
            && (matches!(behind, Some(Kind::Close(_))) && matches!(before, Some(Kind::Open(_)))
                || behind.is_none()
                    && matches!(before, Some(Kind::Dash | Kind::Comma | Kind::Colon | Kind::Other('|' | '/'))))
    })?;
    Some(if text[marked.1.span.start..].starts_with("UK") { Terms::Uk } else { Terms::Us })
}

/// "US", "UK" alone on a line.
fn told_alone(text: &str) -> Option<Terms> {
    text.lines().find_map(|line| match line.trim().trim_matches(['(', ')', '[', ']', '.', '*', '#']).trim() {
        "US" | "USA" | "U.S" | "American" => Some(Terms::Us),
        "UK" | "U.K" | "British" => Some(Terms::Uk),
        _ => None,
    })
}

/// A stitch of either dialect: "dc", "double crochet", "treble crochet".
fn is_both(toks: &[Token], i: usize) -> bool {
    let word = word_at(toks, i);
    BOTH.contains(&word) || matches!(word, "double" | "treble") && word_at(toks, i + 1) == "crochet"
}

/// The word of a token; empty for other marks.
fn word_at(toks: &[Token], i: usize) -> &str {
    match toks.get(i).map(|t| &t.kind) {
        Some(Kind::Word(w)) => w,
        _ => "",
    }
}

fn note(span: Span, message: String) -> Problem {
    Problem::new(Code::TermsMixed, span, message).with_severity(Severity::Note).with_hint(
        "a line \"US terms\" or \"UK terms\" settles it; for an old book \"old US terms\" or \"old UK terms\"",
    )
}
