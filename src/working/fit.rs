//! A row on an edge that nothing tells the length of: the row below was not read, or was worked to a measure. The count
//! the row states then says how long the edge was.

use super::attempt;
use super::bench::Bench;
use super::edge::{LiveEdge, Spot};
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
        let wanted = usize::try_from(length).unwrap_or(0);
        bench.edge.spots = stretched(&edge, wanted).unwrap_or_else(|| resized(&edge, wanted));
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

/// The edge of a pattern, longer or shorter by whole repeats in its middle, with about so many stitches; none where
/// every place is a stitch, or nothing repeats.
fn stretched(edge: &LiveEdge, count: usize) -> Option<Vec<Spot>> {
    let spots = &edge.spots;
    if !spots.iter().any(Spot::is_space) || spots.len() < LEAST_PATTERN {
        return None;
    }
    let middle = spots.len() / 2;
    let same = |a: usize, b: usize| spots[a].is_space() == spots[b].is_space();
    let period = (2..=middle / 2).find(|p| (middle - p..middle).all(|i| same(i, i + p)))?;
    let unit = &spots[middle - period..middle];
    let per = unit.iter().filter(|s| s.is(&Class::Any)).count();
    let have = spots.iter().filter(|s| s.is(&Class::Any)).count();
    if per == 0 {
        return None;
    }
    let mut longer = spots.clone();
    if count >= have {
        for _ in 0..(count - have) / per {
            longer.splice(middle..middle, unit.iter().cloned());
        }
    } else {
        let gone = ((have - count) / per * period).min(spots.len() - LEAST_PATTERN) / period * period;
        let from = (spots.len() - gone) / 2;
        let from = from + (middle - from % period.max(1)) % period;
        longer.drain(from.min(spots.len() - gone)..from.min(spots.len() - gone) + gone);
    }
    Some(longer)
}

/// Places of the shortest edge that a pattern is seen in.
const LEAST_PATTERN: usize = 8;
