//! Manners of writing that a house keeps: how rows are headed, where counts stand, in which brackets.

use super::Piece;
use crate::instructions::{Act, Heading, Row, RowKind, Rows};
use crate::source::Span;

/// One thing written in some manner.
pub(super) struct Manner {
    /// The manner, as an example of itself: `"Rnd 1:"`.
    pub text: String,
    pub span: Span,
}

/// Everything of one kind in a pattern, in its order.
pub(super) type Of = fn(&Piece<'_>) -> Vec<Manner>;

/// What is looked at, as a message begins.
pub(super) const ALL: &[(&str, Of)] = &[
    ("rounds are headed", rounds),
    ("rows are headed", rows),
    ("counts are written", brackets),
    ("counts stand", places),
];

fn rounds(piece: &Piece<'_>) -> Vec<Manner> {
    headed(piece, "Round ")
}

fn rows(piece: &Piece<'_>) -> Vec<Manner> {
    headed(piece, "Row ")
}

/// Headings of rows, or of rounds, by what they turned out to be.
fn headed(piece: &Piece<'_>, label: &str) -> Vec<Manner> {
    let tallies = &piece.worked.tallies;
    let found = piece.tree.parts.iter().flat_map(|p| &p.rows).filter(|row| {
        let from = tallies.partition_point(|t| t.span.start < row.span.start);
        let numbered = matches!(row.heading.rows, Rows::Numbered(_)) && row.heading.kind != RowKind::Foundation;
        numbered && tallies.get(from).is_some_and(|t| t.span == row.span && t.label.starts_with(label))
    });
    found.filter_map(|row| heading(&row.heading, piece.text)).collect()
}

/// `"Rnd 1:"` for "Rnd 3 (RS):" and for "Rnds 4-6:".
fn heading(heading: &Heading, text: &str) -> Option<Manner> {
    let published = &heading.published;
    let words = || published.split(|c: char| !c.is_alphabetic()).filter(|w| !w.is_empty());
    let rows = ["row", "rows", "rnd", "rnds", "round", "rounds", "r", "rw", "rws"];
    let word = words().find(|w| rows.contains(&w.to_lowercase().as_str()));
    // "3rd rnd", "First row"
    let ordinal = word != words().next();
    let mark = mark_behind(heading.span, text);
    let shown = match word {
        Some(word) => {
            let one = if word.len() > 1 { word.trim_end_matches(['s', 'S']) } else { word };
            let behind = published.split_once(word).and_then(|(_, rest)| rest.chars().next());
            let glued = behind.is_some_and(|c| c.is_ascii_digit());
            match (ordinal, glued) {
                (true, _) => format!("1st {one}{mark}"),
                (_, true) => format!("{one}1{mark}"),
                _ => format!("{one} 1{mark}"),
            }
        }
        None => format!("1{mark}"),
    };
    Some(Manner { text: format!("\"{shown}\""), span: heading.span })
}

/// The mark that ends a heading, a side in brackets passed over.
fn mark_behind(span: Span, text: &str) -> &str {
    let mut rest = text.get(span.end..).unwrap_or("").trim_start();
    if let Some(inner) = rest.strip_prefix('(')
        && let Some((side, after)) = inner.split_once(')')
        && side.len() <= LONGEST_SIDE
    {
        rest = after.trim_start();
    }
    match rest.chars().next() {
        Some(c @ (':' | '.' | ')' | '-' | '–' | '—')) => &rest[..c.len_utf8()],
        _ => "",
    }
}

/// Bytes of "right side facing".
const LONGEST_SIDE: usize = 20;

/// How counts are marked off: `"(12)"`, `"[12]"`, `"- 12"`, `"= 12"`, `"12"`.
fn brackets(piece: &Piece<'_>) -> Vec<Manner> {
    stated(piece, |row, text| {
        let at = row.stated.first()?.span;
        let before = text.get(row.span.start..at.start)?.trim_end();
        Some(match before.chars().next_back() {
            Some('(') => "\"(12)\"".into(),
            Some('[') => "\"[12]\"".into(),
            Some('{') => "\"{12}\"".into(),
            Some(c @ ('-' | '–' | '—' | '=' | ':')) => format!("\"{c} 12\""),
            _ => "\"12\"".into(),
        })
    })
}

/// Whether counts stand behind the whole row, or before its turn or join.
fn places(piece: &Piece<'_>) -> Vec<Manner> {
    stated(piece, |row, _| {
        let last = row.stated.last()?.span;
        let closes = |act: &Act| matches!(act, Act::Turn | Act::DoNotTurn | Act::Join { .. } | Act::DoNotJoin);
        let behind = row.steps.iter().any(|s| closes(&s.act) && s.span.start >= last.end);
        Some(if behind { "before the turn or join".into() } else { "at the end of the row".into() })
    })
}

fn stated(piece: &Piece<'_>, manner: impl Fn(&Row, &str) -> Option<String>) -> Vec<Manner> {
    let rows = piece.tree.parts.iter().flat_map(|p| &p.rows).filter(|row| row.read && !row.stated.is_empty());
    rows.filter_map(|row| Some(Manner { text: manner(row, piece.text)?, span: row.stated[0].span })).collect()
}
