//! Prose of old books: how a row of 1840 to 1920 is told.
//!
//! Old books number their rows inside paragraphs (`heads`, `paragraphs`), have names of their own for stitches
//! (`stitches`) and places (`places`), tell what lies between stitches once for all of them (`between`), repeat
//! without a mark (`again`) and talk while they work (`remarks`). Nothing here is tried in the modern dialects: their
//! words keep their modern meaning, or have none.

mod again;
mod between;
mod chains;
mod figures;
mod heads;
mod paragraphs;
mod places;
mod quantity;
mod remarks;
mod rows;
mod sides;
mod signs;
mod stitches;
mod travel;

pub(super) use paragraphs::blocks;
pub(super) use rows::read_rows;
pub(super) use signs::decide;

use super::lex::Kind;
use super::phrase::{RowReader, Run};

impl RowReader<'_> {
    /// One phrase of old prose; false where no rule of the old books takes it.
    pub(super) fn old_step(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let rules: [fn(&mut Self, &mut Run) -> bool; 29] = [
            Self::old_mark,
            Self::told_loops,
            Self::old_counts,
            Self::same_all_round,
            Self::repeat_unmarked,
            Self::like_row,
            Self::corresponding,
            Self::other_side,
            Self::old_turn,
            Self::declared,
            Self::old_ring,
            Self::slip_along,
            Self::fastened_in,
            Self::commence_at,
            Self::direction,
            Self::set_between,
            Self::told_after_every,
            Self::alternately,
            Self::old_purl,
            Self::old_chain,
            Self::working_twice,
            Self::all_in_one,
            Self::old_skip,
            Self::place_leads,
            Self::old_work,
            Self::bare_times,
            Self::old_remark,
            Self::old_ending,
            Self::all_round,
        ];
        for rule in rules {
            if rule(self, run) {
                return true;
            }
            self.c.at = start;
        }
        false
    }

    /// Marks between the parts of a row that say nothing more than a comma.
    fn old_mark(&mut self, _run: &mut Run) -> bool {
        let mark = matches!(self.c.kind(0), Some(Kind::Dash | Kind::Equals | Kind::Other('_' | '"' | '“' | '”' | '&')));
        self.c.at += usize::from(mark);
        mark
    }
}
