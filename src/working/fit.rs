//! A row on an edge that nothing tells the length of: the row below was not read, or was worked to a measure. The count
//! the row states then says how long the edge was.

use super::attempt;
use super::bench::Bench;
use super::plan::Planned;
use super::trial::{Snapshot, resized};
use crate::instructions::{Class, Convention};

/// Lengths tried. Two show how much longer the row gets with its edge; a few more land on the length, or none will.
const MOST_LENGTHS: usize = 6;

/// Works the row on an edge of the length at which it comes out as it states; false, and nothing is settled, where
/// there is none.
pub(super) fn fitted(bench: &mut Bench, row: &Planned<'_>, conventions: &[Convention], before: &Snapshot) -> bool {
    let Some(stated) = row.stated.first().map(|s| s.count as i64) else { return false };
    before.restore(bench);
    let edge = bench.edge.clone();
    let have = edge.spots.iter().filter(|s| s.is(&Class::Any)).count();
    if have == 0 {
        return false;
    }
    let mut tried: Vec<(i64, i64)> = Vec::new();
    let mut length = have as i64;
    for _ in 0..MOST_LENGTHS {
        before.restore(bench);
        bench.edge.spots = resized(&edge, usize::try_from(length).unwrap_or(0));
        if attempt(bench, row, conventions, &[]).1 {
            return true;
        }
        let Some(tally) = bench.tallies.last() else { return false };
        let asked = i64::try_from(tally.used.unwrap_or(0)).unwrap_or(0);
        let made = i64::try_from(row.stated.first().map_or(0, |s| tally.count_of(&s.of))).unwrap_or(0);
        tried.push((length, made));
        let slope = match tried.as_slice() {
            [.., (a, ma), (b, mb)] if a != b && ma != mb => (*mb - *ma) as f64 / (*b - *a) as f64,
            _ => 1.0,
        };
        // a row of fixed words asks for the places it needs; one that goes to the end grows with its edge
        let next = if made == stated && asked > 0 {
            asked
        } else {
            length + (((stated - made) as f64 / slope).round() as i64).clamp(-LONGEST, LONGEST)
        };
        if next <= 0 || next > LONGEST || tried.iter().any(|(n, _)| *n == next) {
            return false;
        }
        length = next;
    }
    false
}

/// Places of the longest edge tried: more than any published row has.
const LONGEST: i64 = 5_000;
