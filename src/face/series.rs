//! A pattern among others: what an editor accepted in it, and notes on the manners of the series.

use super::Pattern;
use crate::series::{self, Accepted, Piece};
use crate::source::Problem;

impl Pattern {
    /// Takes out the problems that are accepted; entries that no longer hold become notes.
    pub fn accept(&mut self, entries: &[Accepted]) {
        let settled = series::settle(&self.problems, entries, &self.piece(""));
        self.problems = settled.problems;
        self.accepted += settled.accepted;
    }

    /// How many problems were accepted.
    pub fn accepted_count(&self) -> usize {
        self.accepted
    }

    /// The entry that accepts a problem of this pattern; none for one that cannot be accepted.
    pub fn as_accepted(&self, problem: &Problem) -> Option<Accepted> {
        series::as_accepted(problem, &self.piece(""))
    }

    fn piece<'a>(&'a self, name: &'a str) -> Piece<'a> {
        Piece { name, text: &self.text, tree: &self.tree, worked: &self.worked }
    }
}

/// Adds to each pattern of a series the notes on its style; `members` are the places of the series in the list.
///
/// A single pattern has no series, and so no notes.
pub fn note_style(patterns: &mut [(String, Pattern)], members: &[usize]) {
    let pieces: Vec<Piece<'_>> = members.iter().map(|&k| patterns[k].1.piece(&patterns[k].0)).collect();
    let notes = series::style(&pieces);
    for (&k, notes) in members.iter().zip(notes) {
        let pattern = &mut patterns[k].1;
        pattern.problems.extend(notes);
        pattern.problems.sort_by_key(|p| (p.span, p.code));
    }
}
