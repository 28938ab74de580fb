//! Rows looked at a second time: a chain that may count or not, of which its own row tells nothing, is read the other
//! way where only that lets a later row come out.

use super::bench::Bench;
use super::plan::Planned;
use super::trial::{Snapshot, learn_habit, say_reading};
use super::work_planned;
use crate::instructions::Convention;
use crate::source::{Code, Problem, Span};
use std::rc::Rc;

/// A row that works out as it was read, though its words can be read in another way and no count of it tells which.
#[derive(Debug)]
pub(super) struct Open {
    pub before: Snapshot,
    /// Doubts asked: the words, and the number of answers.
    pub asked: Vec<(Span, usize, Code)>,
}

/// The open rows of the piece in hand, by their place in the plan.
#[derive(Default)]
pub(super) struct SecondLook {
    open: Vec<(usize, Rc<Open>)>,
    /// Looks taken so far.
    looks: usize,
}

// Open rows kept, the first of a piece: what holds for the first chain holds for those after it.
const MOST_OPEN: usize = 3;
// Rows worked again in one look, and looks in one pattern.
const MOST_ROWS: usize = 80;
const MOST_LOOKS: usize = 48;

impl SecondLook {
    /// Forgets the rows of a piece that is done with.
    pub fn forget(&mut self) {
        self.open.clear();
    }

    /// Notes what the row just worked left open.
    pub fn note(&mut self, at: usize, since: (usize, usize), bench: &mut Bench) {
        // a row that made its own foundation cannot be begun again from behind it
        let Some(open) = bench.open.take().filter(|open| open.before.lengths() == since) else { return };
        let known = |span: Span| self.open.iter().any(|(_, o)| o.asked.iter().any(|a| a.0 == span));
        if self.open.len() < MOST_OPEN && open.asked.iter().any(|a| !known(a.0)) {
            self.open.push((at, open));
        }
    }

    /// After the row at `at`: where it did not come out, the open rows before it are read in their other ways.
    /// `since` are the numbers of tallies and problems before the row.
    pub fn look(
        &mut self,
        rows: &[Planned<'_>],
        at: usize,
        since: (usize, usize),
        bench: &mut Bench,
        conventions: &[Convention],
    ) {
        if self.open.is_empty() || is_sound(bench, since) {
            return;
        }
        for (from, open) in self.open.clone() {
            let plain = rows[from..=at].iter().all(|r| r.read && r.until.is_none());
            if plain
                && (1..=MOST_ROWS).contains(&(at - from))
                && self.reread(&open, &rows[from..=at], bench, conventions)
            {
                self.open.clear();
                return;
            }
        }
    }

    /// Works rows, of which the first is open, under its other answers; true where one lets all of them come out. Else
    /// they are as they were.
    fn reread(&mut self, open: &Open, rows: &[Planned<'_>], bench: &mut Bench, conventions: &[Convention]) -> bool {
        let work = |bench: &mut Bench, row: &Planned<'_>| {
            work_planned(bench, row, conventions);
            bench.open = None;
        };
        let Some((first, behind)) = rows.split_first() else { return false };
        let others = open.asked.iter().flat_map(|&(span, answers, code)| (0..answers).map(move |a| (span, a, code)));
        let settled: Vec<usize> = open.asked.iter().map(|a| bench.settled_answer(a.0)).collect();
        let is_default = |span: Span, answer: usize| {
            open.asked.iter().zip(&settled).any(|(asked, &default)| asked.0 == span && answer == default)
        };
        let mut touched = false;
        for (span, answer, code) in others.filter(|&(span, answer, _)| !is_default(span, answer)) {
            if self.looks == MOST_LOOKS {
                break;
            }
            self.looks += 1;
            touched = true;
            open.before.restore(bench);
            bench.settled.push((span, answer));
            work(bench, first);
            learn_habit(bench, first, span, answer);
            behind.iter().for_each(|row| work(bench, row));
            if is_sound(bench, open.before.lengths()) {
                say_reading(bench, first, span, code);
                return true;
            }
        }
        if touched {
            open.before.restore(bench);
            rows.iter().for_each(|row| work(bench, row));
        }
        false
    }
}

/// True where every row since comes out and nothing is wrong with it.
fn is_sound(bench: &Bench, (tallies, problems): (usize, usize)) -> bool {
    let rows = bench.tallies.get(tallies..).unwrap_or_default();
    rows.iter().all(|t| t.uncertain || t.comes_out())
        && !bench.problems.get(problems..).unwrap_or_default().iter().any(Problem::is_error)
}
