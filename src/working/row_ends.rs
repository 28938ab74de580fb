//! The ends of the rows as an edge of their own.

use super::bench::Bench;
use super::edge::{Spot, What};
use super::row::{LastPlace, RowWork};
use crate::craft::{Stem, StitchForm, row_end_places_per_two_rows};
use crate::fabric::*;
use crate::instructions::{Class, Step};
use crate::source::{Code, Span};

/// Places along the row ends, from the end of the last row down; round the foundation's open end and up again
/// where row 1 went round both sides of it.
pub(super) fn row_end_spots(bench: &Bench) -> Vec<Spot> {
    let mut spots = Vec::new();
    let down = down_from(bench, EdgeEnd::End);
    let mut halves = 0;
    for &(row, edge) in &down {
        push_ends(bench, &mut spots, row, edge, true, &mut halves);
    }
    let foundation = bench.piece.first().filter(|_| bench.fabric.row(bench.piece[0]).shape == RowShape::Foundation);
    if let (Some(&row), true) = (foundation, bench.both_sides) {
        let row_end = RowEnd { row, edge: EdgeEnd::End, at: 0.5 };
        spots.push(Spot::new(Place::RowEnd { row_end }, What::ChainEnd));
    }
    if bench.both_sides {
        for &(row, edge) in down.iter().rev() {
            push_ends(bench, &mut spots, row, other(edge), false, &mut halves);
        }
    }
    spots
}

/// The ends of the rows of the piece, from that end of its last row down to row 1.
fn down_from(bench: &Bench, mut edge: EdgeEnd) -> Vec<(RowId, EdgeEnd)> {
    let mut down = Vec::new();
    for row in open_rows(bench).rev() {
        down.push((row.index, edge));
        // a row that was turned starts where the one below it ended
        if row.turned {
            edge = other(edge);
        }
    }
    down
}

/// The rows of the piece that have ends.
pub(super) fn open_rows(bench: &Bench) -> impl DoubleEndedIterator<Item = &Row> {
    bench
        .piece
        .iter()
        .map(|&r| bench.fabric.row(r))
        .filter(|r| !matches!(r.shape, RowShape::Foundation | RowShape::Round | RowShape::Spiral))
}

/// Places along one side of a flat piece, down from that end of its last row, and the end of row 1 they come to.
pub(super) fn side_down(bench: &Bench, from: EdgeEnd) -> (Vec<Spot>, EdgeEnd) {
    let (mut spots, mut halves) = (Vec::new(), 0);
    let down = down_from(bench, from);
    for &(row, edge) in &down {
        push_ends(bench, &mut spots, row, edge, true, &mut halves);
    }
    (spots, down.last().map_or(from, |&(_, edge)| edge))
}

/// Places along the other side, up to the other end of its last row.
pub(super) fn side_up(bench: &Bench, from: EdgeEnd) -> Vec<Spot> {
    let (mut spots, mut halves) = (Vec::new(), 0);
    for &(row, edge) in down_from(bench, from).iter().rev() {
        push_ends(bench, &mut spots, row, other(edge), false, &mut halves);
    }
    spots
}

pub(super) fn other(edge: EdgeEnd) -> EdgeEnd {
    match edge {
        EdgeEnd::Start => EdgeEnd::End,
        EdgeEnd::End => EdgeEnd::Start,
    }
}

/// Places of one row end, by the pick-up table; odd ones are shared out over two rows, more first.
fn push_ends(bench: &Bench, spots: &mut Vec<Spot>, row: RowId, edge: EdgeEnd, down: bool, halves: &mut u8) {
    let two = row_end_places_per_two_rows(row_stem(bench, row));
    let n = two / 2 + if two % 2 == 1 && *halves == 0 { 1 } else { 0 };
    *halves = if two % 2 == 1 { 1 - *halves } else { 0 };
    for i in 0..n {
        let up = (f64::from(i) + 0.5) / f64::from(n);
        let at = if down { 1.0 - up } else { up };
        spots.push(Spot::new(Place::RowEnd { row_end: RowEnd { row, edge, at } }, What::RowEnd));
    }
}

/// The stem that most stitches of a row have.
fn row_stem(bench: &Bench, row: RowId) -> Stem {
    let mut counts: Vec<(Stem, usize)> = Vec::new();
    for &id in &bench.fabric.row(row).order {
        let stem = bench.fabric.stitch(id).stem();
        if stem.is_chain() || stem == Stem::SlipStitch {
            continue;
        }
        match counts.iter_mut().find(|(s, _)| *s == stem) {
            Some((_, n)) => *n += 1,
            None => counts.push((stem, 1)),
        }
    }
    counts.iter().rev().max_by_key(|(_, n)| *n).map_or(Stem::Single, |&(s, _)| s)
}

impl RowWork<'_> {
    /// "2 sc in end of each row": so many a row, however many places its end has. False where each end has but one place,
    /// or where the words mean each place: one in each, unless only one a row makes what is stated.
    pub(super) fn each_row_end(&mut self, (each, form): (u32, StitchForm), span: Span, rest: &[Step]) -> bool {
        if form.places() > 1 {
            return false;
        }
        if self.edge.ahead(&Class::RowEnd) == 0 {
            self.row_ends(span);
        }
        let row_at = |work: &Self, k: usize| match work.edge.spots.get(k).map(|s| s.place) {
            Some(Place::RowEnd { row_end }) => Some(row_end.row),
            _ => None,
        };
        let ends: Vec<usize> =
            (self.edge.cursor..self.edge.spots.len()).filter(|&k| self.edge.spots[k].is(&Class::RowEnd)).collect();
        if !ends.windows(2).any(|w| row_at(self, w[0]) == row_at(self, w[1])) {
            return false;
        }
        let counted = !self.tally.stated.is_empty();
        let answer = if counted { self.doubt(span, 2, Code::CountDiffers) } else { 0 };
        if (answer == 0) != (each > 1) {
            return false;
        }
        let ends = &ends[..ends.len().saturating_sub(self.kept_for_corner(rest))];
        for row in ends.chunk_by(|&a, &b| row_at(self, a) == row_at(self, b)).map(<[usize]>::to_vec).collect::<Vec<_>>()
        {
            let places = u32::try_from(row.len()).unwrap_or(u32::MAX);
            for (i, &k) in (0..).zip(&row) {
                let share = (each * (i + 1)).div_ceil(places) - (each * i).div_ceil(places);
                self.edge.take(k);
                if share > 0 {
                    self.stitches_in(share, form, &[LastPlace::OnEdge(k)], span);
                }
            }
        }
        true
    }
}
