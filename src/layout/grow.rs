//! Growing: rows that come out bad are relaxed before the next one stands on them.

use super::net::Net;
use super::relax::{Rest, relax, terms_of};
use super::terms::energy;

// Energy a stitch from which a row is bad. Larger and folds grow into the rows above; smaller costs time only.
const BAD: f64 = 0.15;
const STEPS: usize = 4;
const ROWS: usize = 4;

/// Relaxes the last rows up to this one, where this one came out badly.
pub(super) fn relax_last_rows(net: &mut Net, row: usize, rest: &mut Rest) {
    let own = net.lines_of[row].clone();
    let stitches = own.iter().map(|&l| net.lines[l].nodes.len()).sum::<usize>();
    if stitches == 0 {
        return;
    }
    let bad = energy(&terms_of(net, rest, &own), &net.heads) > BAD * stitches as f64;
    if !bad {
        return;
    }
    let first = row.saturating_sub(ROWS - 1);
    let lines: Vec<usize> = (first..=row).flat_map(|r| net.lines_of[r].iter().copied()).collect();
    let mut free: Vec<usize> = lines.iter().flat_map(|&l| net.lines[l].nodes.iter().copied()).collect();
    free.sort_unstable();
    free.dedup();
    // rows below that these stand on stay where they are
    relax(net, rest, &lines, &free, STEPS, None);
}
