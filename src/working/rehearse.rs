//! Rehearsals: a pattern worked once more, stopping before every line so that other words can be tried in its place.

use super::bench::Bench;
use super::plan::Planned;
use super::settle::count_what_counts;
use super::tally::Tally;
use super::trial::Snapshot;
use super::{Worked, any_length, begin_piece, starts_piece, work_planned, work_watched};
use crate::fabric::Fabric;
use crate::instructions::{Convention, Pattern, Stated, Step};
use crate::source::{Problem, Span};

/// Works a pattern again, and shows `visit` every line before it is worked.
///
/// The work itself is as it was: whatever is tried is undone.
pub fn rehearse(pattern: &Pattern, worked: &Worked, visit: &mut dyn FnMut(&mut Rehearsal<'_>)) {
    let counts = (worked.slip_stitches_count, worked.chains_count);
    work_watched(pattern, &mut |rehearsal| {
        rehearsal.counts = counts;
        visit(rehearsal);
    });
}

/// A line of the pattern about to be worked, and the lines after it in its part.
pub struct Rehearsal<'a> {
    bench: &'a mut Bench,
    rows: &'a [Planned<'a>],
    conventions: &'a [Convention],
    before: Option<Snapshot>,
    /// Whether slip stitches and chains count as stitches.
    counts: (bool, bool),
}

/// Other words for one line: what is worked, and what is stated.
#[derive(Clone, Copy, Debug)]
pub struct Words<'w> {
    /// Which line: 0 is the one about to be worked.
    pub line: usize,
    /// What is worked.
    pub steps: &'w [Step],
    /// What is stated.
    pub stated: &'w [Stated],
}

/// What a trial came to, before it is undone.
#[derive(Clone, Copy, Debug)]
pub struct Tried<'t> {
    /// The fabric, the rows tried at its end.
    pub fabric: &'t Fabric,
    /// How many stitches it had before.
    pub before: usize,
    /// The counts of the rows tried.
    pub tallies: &'t [Tally],
    /// What working them had to report.
    pub problems: &'t [Problem],
}

impl Tried<'_> {
    /// True where every row tried works out and makes what it states.
    pub fn works_out(&self) -> bool {
        self.tallies.iter().all(Tally::comes_out) && !self.problems.iter().any(Problem::is_error)
    }
}

impl<'a> Rehearsal<'a> {
    pub(super) fn new(bench: &'a mut Bench, rows: &'a [Planned<'a>], conventions: &'a [Convention]) -> Self {
        Self { bench, rows, conventions, before: None, counts: (false, false) }
    }

    /// The line about to be worked.
    pub fn line(&self) -> Span {
        self.rows[0].span
    }

    /// What the line about to be worked comes to, the words of a row it refers to in their place; none of a line that is
    /// several rows.
    pub fn steps(&self) -> Option<&'a [Step]> {
        let mut own = self.rows.iter().take_while(|r| r.span == self.rows[0].span);
        let (first, more) = (own.next()?, own.next());
        more.is_none().then_some(&first.steps)
    }

    /// Works `lines` lines from here, one of them in other words where told; looks at what comes of it, and undoes it.
    pub fn work<R>(&mut self, words: Option<Words<'_>>, lines: usize, look: impl FnOnce(Tried<'_>) -> R) -> R {
        let before = self.before.get_or_insert_with(|| Snapshot::of(self.bench));
        let stitches = self.bench.fabric.stitches.len();
        let tallies = self.bench.tallies.len();
        let problems = self.bench.problems.len();
        let mut line = 0;
        for (k, row) in self.rows.iter().enumerate() {
            line += usize::from(k > 0 && self.rows[k - 1].span != row.span);
            if line >= lines || self.bench.limit_hit {
                break;
            }
            let other = words.filter(|w| w.line == line).map(|w| reworded(row, w));
            let row = other.as_ref().unwrap_or(row);
            if starts_piece(self.bench, row) {
                begin_piece(self.bench);
            }
            if any_length::is_any_length(row) {
                any_length::work_any_length(self.bench, row, self.rows.get(k + 1), self.conventions);
            } else {
                work_planned(self.bench, row, self.conventions);
            }
        }
        count_what_counts(&mut self.bench.tallies[tallies..], self.counts);
        let found = look(Tried {
            fabric: &self.bench.fabric,
            before: stitches,
            tallies: &self.bench.tallies[tallies..],
            problems: &self.bench.problems[problems..],
        });
        before.restore(self.bench);
        found
    }
}

/// A planned row in other words. Of a range, the rows that state a count state the new one.
fn reworded<'p>(row: &Planned<'p>, words: Words<'_>) -> Planned<'p> {
    let stated = if row.stated.is_empty() { Vec::new() } else { words.stated.to_vec() };
    Planned { steps: words.steps.to_vec(), stated, ..row.clone() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reading::{ReadOptions, read};
    use crate::working::work;

    const TEXT: &str = "Swatch\n\nCh 6.\nRow 1: Sc in 2nd ch from hook and in each ch across. Turn. (5 sts)\n\
        Row 2: Ch 1, sc in next 4 sts. Turn. (5 sts)\nRow 3: Ch 1, sc in each st across. (5 sts)\n";

    #[test]
    fn what_is_tried_leaves_no_trace() {
        let (pattern, _) = read(TEXT, &ReadOptions::default());
        let plain = work(&pattern);
        let mut lines = 0;
        let mut after = None;
        rehearse(&pattern, &plain, &mut |r| {
            lines += 1;
            for n in [1, 3] {
                r.work(None, n, |_| ());
            }
            after = Some(r.work(None, 1, |t| t.fabric.stitches[t.before..].len()));
        });
        assert_eq!(lines, 4);
        assert_eq!(after, Some(6));
        let again = work_watched(&pattern, &mut |r| r.work(None, 9, |_| ()));
        assert_eq!(again.fabric, plain.fabric);
        assert_eq!(again.tallies, plain.tallies);
        assert_eq!(again.problems, plain.problems);
    }

    #[test]
    fn other_words_are_worked_in_place_of_a_line_and_the_next_line_after_them() {
        let (pattern, _) = read(TEXT, &ReadOptions::default());
        let worked = work(&pattern);
        let row = &pattern.parts[0].rows[2];
        let other = &pattern.parts[0].rows[3];
        let mut seen = Vec::new();
        rehearse(&pattern, &worked, &mut |r| {
            if r.line() == row.span {
                let words = Words { line: 0, steps: &other.steps, stated: &row.stated };
                seen.push((r.work(None, 1, |t| t.works_out()), r.work(Some(words), 2, |t| t.works_out())));
            }
        });
        assert_eq!(seen, [(false, true)]);
    }
}
