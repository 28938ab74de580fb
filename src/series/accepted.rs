//! Problems an editor has accepted: each by its code, its row, and a fingerprint of the row's words.
//!
//! An entry holds as long as the words of its row stand. Nothing has to be written into the pattern.

use super::Piece;
use crate::source::{Code, Problem, Span};
use std::fmt::Write;

/// A problem that is accepted.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Accepted {
    /// The problem's code.
    pub code: String,
    /// The label of its row; empty where it is in none.
    pub row: String,
    /// Fingerprint of the words of the row, or of the line.
    pub words: String,
}

/// What is left of a pattern's problems.
#[derive(Clone, Debug, Default)]
pub struct Settled {
    /// Problems that are not accepted, and a note for every entry that no longer holds.
    pub problems: Vec<Problem>,
    /// How many are accepted.
    pub accepted: usize,
    /// For every entry whether it holds.
    pub holds: Vec<bool>,
}

/// The entry that accepts a problem; none for one that cannot be accepted.
pub fn as_accepted(problem: &Problem, piece: &Piece<'_>) -> Option<Accepted> {
    // what the program refuses to work is not the editor's to accept, nor is what is said of this very list
    if matches!(problem.code, Code::Limit | Code::Accepted) {
        return None;
    }
    let (row, span) = row_of(problem.span, piece);
    let words = fingerprint(piece.text.get(span.start..span.end).unwrap_or(""));
    Some(Accepted { code: problem.code.as_str().to_owned(), row, words })
}

/// Takes out of a pattern's problems those that are accepted, and says which entries no longer hold.
pub fn settle(problems: &[Problem], entries: &[Accepted], piece: &Piece<'_>) -> Settled {
    let mut settled = Settled { holds: vec![false; entries.len()], ..Settled::default() };
    for problem in problems {
        let entry = as_accepted(problem, piece);
        let mut found = false;
        for (k, _) in entries.iter().enumerate().filter(|(_, e)| Some(*e) == entry.as_ref()) {
            settled.holds[k] = true;
            found = true;
        }
        settled.accepted += usize::from(found);
        if !found {
            settled.problems.push(problem.clone());
        }
    }
    // notes on style come and go with the patterns beside it
    let told = |entry: &Accepted| entry.code != Code::Style.as_str();
    let gone = entries.iter().zip(&settled.holds).filter(|(entry, holds)| !**holds && told(entry));
    settled.problems.extend(gone.map(|(entry, _)| stale(entry, piece)));
    settled.problems.sort_by_key(|p| (p.span, p.code));
    settled
}

/// The note on an entry that no longer holds.
fn stale(entry: &Accepted, piece: &Piece<'_>) -> Problem {
    let rows: Vec<_> = piece.worked.tallies.iter().filter(|t| t.label == entry.row).collect();
    let words = |span: Span| fingerprint(piece.text.get(span.start..span.end).unwrap_or(""));
    let same = rows.iter().find(|t| words(t.span) == entry.words);
    let (code, row) = (&entry.code, entry.row.to_lowercase());
    let title = Span::new(0, piece.text.find('\n').unwrap_or(piece.text.len()));
    let (span, message) = match (same.or(rows.first()), same) {
        (Some(tally), Some(_)) => (tally.span, format!("{code} was accepted in {row}, and is no longer there")),
        (Some(tally), None) => (tally.span, format!("{code} was accepted in {row}, whose words are others by now")),
        (None, _) if row.is_empty() => (title, format!("{code} was accepted in a line that is no longer there")),
        (None, _) => (title, format!("{code} was accepted in {row}, and there is no such row any more")),
    };
    Problem::new(Code::Accepted, span, message).with_hint("\"fanwise check --accept\" brings the list up to date")
}

/// The row a place is in, by its label, and its words; else the line.
fn row_of(at: Span, piece: &Piece<'_>) -> (String, Span) {
    let tallies = &piece.worked.tallies;
    match tallies.iter().find(|t| t.span.start <= at.start && at.start < t.span.end.max(t.span.start + 1)) {
        Some(tally) => (tally.label.clone(), tally.span),
        None => {
            let at = at.start.min(piece.text.len());
            let bytes = piece.text.as_bytes();
            let start = bytes[..at].iter().rposition(|&b| b == b'\n').map_or(0, |k| k + 1);
            let end = bytes[at..].iter().position(|&b| b == b'\n').map_or(bytes.len(), |k| at + k);
            (String::new(), Span::new(start, end))
        }
    }
}

/// Sixteen figures that are the same for the same words on every machine; white space does not matter.
///
/// Source: FNV-1a, 64 bits.
fn fingerprint(words: &str) -> String {
    let mut hash = 0xcbf2_9ce4_8422_2325_u64;
    let mut add = |byte: u8| hash = (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
    for (k, word) in words.split_whitespace().enumerate() {
        if k > 0 {
            add(b' ');
        }
        word.bytes().for_each(&mut add);
    }
    let mut text = String::with_capacity(16);
    // OK: a String takes every write
    let _ = write!(text, "{hash:016x}");
    text
}

#[cfg(test)]
mod tests {
    use super::fingerprint;

    #[test]
    fn the_fingerprint_is_the_published_hash_of_the_words() {
        assert_eq!(fingerprint(""), "cbf29ce484222325");
        assert_eq!(fingerprint("foobar"), "85944171f73967e8");
        assert_eq!(fingerprint(" Ch 1,\r\n\tturn. "), fingerprint("Ch 1, turn."));
        assert_ne!(fingerprint("Ch 1"), fingerprint("Ch 2"));
    }
}
