//! Growing: rows that come out bad are relaxed before the next one stands on them.

use super::bounds::Heard;
use super::net::Net;
use super::relax::{How, energy_of, relax};
use super::rest::Rest;
use super::shape::Scope;

/// How rows are relaxed as they are placed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Growth {
    /// Energy a stitch from which a row is bad. Larger and folds grow into the rows above; smaller costs time only.
    pub(super) bad: f64,
    /// Steps for a bad row.
    pub(super) steps: usize,
    /// Rows relaxed with it.
    pub(super) rows: usize,
    /// Lays a row out in its own order first, where it would fold.
    pub(super) unfolds: bool,
}

/// Relaxes the last rows up to this one, where this one came out badly.
pub(super) fn relax_last_rows(net: &mut Net, row: usize, rest: &mut Rest, how: Growth) {
    let own: Vec<usize> = net.lines_of[row].iter().copied().filter(|&l| !net.held[l] && !net.well_placed[l]).collect();
    let stitches = own.iter().map(|&l| net.lines[l].nodes.len()).sum::<usize>();
    if stitches == 0 || how.steps == 0 {
        return;
    }
    let bad = energy_of(net, rest, &Scope::of(net, &own), Heard::No) > how.bad * stitches as f64;
    if !bad {
        return;
    }
    let first = row.saturating_sub(how.rows.max(1) - 1);
    let lines: Vec<usize> =
        (first..=row).flat_map(|r| net.lines_of[r].iter().copied()).filter(|&l| !net.held[l]).collect();
    let mut free: Vec<usize> = lines.iter().flat_map(|&l| net.lines[l].nodes.iter().copied()).collect();
    free.sort_unstable();
    free.dedup();
    // rows below that these stand on stay where they are
    relax(net, rest, &lines, &free, how.steps, How::Growing);
}
