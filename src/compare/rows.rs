//! The published rows of an edition, and the lines that are no work.

use super::Edition;
use super::words::{Words, words};
use crate::instructions::{Row, RowKind};
use crate::source::Span;

/// A row or a line as published.
#[derive(Clone, Debug)]
pub(super) struct Line {
    /// Its name in lists: `Round 5`, or the word before the colon.
    pub label: String,
    /// Its heading as printed: `Rnd 5`.
    pub printed: String,
    /// The whole of it in one line.
    pub whole: String,
    /// The same without its heading.
    pub body: String,
    /// Its words, the count stated left out.
    pub words: Words,
    pub stated: Vec<(String, u32)>,
    /// Stitches the last row it covers makes.
    pub made: Option<usize>,
    pub span: Span,
    /// False for a line that is no work.
    pub work: bool,
}

/// The rows of a part.
#[derive(Clone, Debug)]
pub(super) struct PartLines {
    pub name: String,
    pub lines: Vec<Line>,
}

pub(super) fn parts(edition: &Edition<'_>) -> Vec<PartLines> {
    let part = |p: &crate::instructions::Part| PartLines {
        name: p.name.clone(),
        lines: p.rows.iter().map(|row| line(row, edition)).collect(),
    };
    edition.tree.parts.iter().map(part).collect()
}

fn line(row: &Row, edition: &Edition<'_>) -> Line {
    let tallies = &edition.worked.tallies;
    let from = tallies.partition_point(|t| t.span.start < row.span.start);
    let tally = tallies[from..].iter().take_while(|t| t.span == row.span).last();
    let published = &row.heading.published;
    let several = tallies[from..].iter().take_while(|t| t.span == row.span).count() > 1;
    let label = match tally {
        _ if row.heading.kind == RowKind::Foundation => "Foundation".to_owned(),
        Some(tally) if published.is_empty() || !several => tally.label.clone(),
        _ => published.clone(),
    };
    Line {
        printed: if published.is_empty() { label.clone() } else { published.clone() },
        label,
        whole: one_line(edition.text, row.span),
        body: one_line(edition.text, row.body),
        words: words(edition.text, row.body, &row.stated.iter().map(|s| s.span).collect::<Vec<_>>()),
        stated: row.stated.iter().map(|s| (s.of.name(), s.count)).collect(),
        made: tally.filter(|t| t.chains.is_none()).map(|t| t.made),
        span: row.span,
        work: true,
    }
}

/// Title, materials, notes: whatever is no work, line by line.
pub(super) fn prose(edition: &Edition<'_>) -> Vec<Line> {
    let notes = edition.tree.notes.iter().map(|note| {
        let name = edition.text.get(note.span.start..note.span.end).and_then(|t| t.split_once([':', '='])).map(|p| p.0);
        let name = name.map(str::trim).filter(|n| !n.is_empty() && n.split_whitespace().count() <= LONGEST_NAME);
        let label = name.map_or_else(String::new, str::to_owned);
        let colon = name.map_or(0, |n| note.span.start + n.len() + 1);
        // of "Gauge: 18 sc" the words behind the name are compared
        let body = Span::new(colon.max(note.span.start).min(note.span.end), note.span.end);
        plain(edition, label, note.span, body)
    });
    title(edition).into_iter().chain(notes).collect()
}

/// Words of a name before a colon.
const LONGEST_NAME: usize = 4;

fn title(edition: &Edition<'_>) -> Option<Line> {
    let title = &edition.tree.title;
    let at = edition.text.find(title.as_str()).filter(|_| !title.is_empty())?;
    let span = Span::new(at, at + title.len());
    Some(plain(edition, "Title".into(), span, span))
}

fn plain(edition: &Edition<'_>, label: String, span: Span, body: Span) -> Line {
    Line {
        printed: label.clone(),
        label,
        whole: one_line(edition.text, span),
        body: one_line(edition.text, body),
        words: words(edition.text, body, &[]),
        stated: Vec::new(),
        made: None,
        span,
        work: false,
    }
}

/// Words of a span with single spaces.
pub(super) fn one_line(text: &str, span: Span) -> String {
    text.get(span.start..span.end).unwrap_or("").split_whitespace().collect::<Vec<_>>().join(" ")
}
