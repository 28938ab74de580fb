//! Where a row bends, and how what is worked there fits.

use super::line::RowLine;

/// A run of stops over which a row turns one way. Past the number of stops it goes on at the start of a round.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Bend {
    pub first: usize,
    pub last: usize,
    /// Turning in radians, outward positive.
    pub turn: f64,
    pub needed: f64,
    pub worked: f64,
}

/// Stops of a window on which what is needed is held against what is worked. Smaller and one increase beside its bend is
/// a fault; larger and a bend hides in the straight on either side.
pub(super) const WINDOW: usize = 9;

/// A bend turns at least so much, in radians: less is a waver of the line.
const LEAST_TURN: f64 = 0.44;
/// Of the strongest turning of a row, what still belongs to a bend.
const SHARE: f64 = 0.3;

/// The bends of a row in working order: of a round that turns evenly, the whole of it.
pub(super) fn bends(line: &RowLine) -> Vec<Bend> {
    let n = line.stops.len();
    if n < 3 {
        return Vec::new();
    }
    let smooth: Vec<f64> = (0..n).map(|i| around(line, i, 1).map(|k| line.stops[k].turn).sum::<f64>() / 3.0).collect();
    let most = smooth.iter().map(|t| t.abs()).fold(0.0, f64::max);
    let mean = smooth.iter().sum::<f64>() / n as f64;
    if line.closed && most < 2.0 * mean {
        return vec![over(line, 0, n - 1)];
    }
    let side = |i: usize| {
        let t = smooth[i % n];
        if t.abs() < SHARE * most { 0 } else { t.signum() as i32 }
    };
    // a round is walked from where it is straight
    let start = if line.closed { (0..n).find(|&i| side(i) == 0).unwrap_or(0) } else { 0 };
    let mut found = Vec::new();
    let mut i = start;
    while i < start + n {
        let way = side(i);
        let first = i;
        while i < start + n && side(i) == way {
            i += 1;
        }
        let bend = over(line, first, i - 1);
        if way != 0 && bend.turn.abs() >= LEAST_TURN {
            found.push(bend);
        }
    }
    found
}

fn over(line: &RowLine, first: usize, last: usize) -> Bend {
    let n = line.stops.len();
    let sum = |f: fn(&super::line::Stop) -> f64| (first..=last).map(|i| f(&line.stops[i % n])).sum();
    Bend { first, last, turn: sum(|s| s.turn), needed: sum(|s| s.needed), worked: sum(|s| s.worked) }
}

/// The stops within reach of one.
fn around(line: &RowLine, i: usize, reach: usize) -> impl Iterator<Item = usize> {
    let n = line.stops.len();
    let closed = line.closed && n > 2 * reach;
    let from = i as i64 - reach as i64;
    (0..=2 * reach as i64).map(move |k| from + k).filter_map(move |k| {
        if closed { Some(k.rem_euclid(n as i64) as usize) } else { usize::try_from(k).ok().filter(|&k| k < n) }
    })
}

/// Stitches missing in the window about each stop, below 0 where there are too many; none where a seam is in it.
pub(super) fn missing(line: &RowLine) -> Vec<Option<f64>> {
    let reach = WINDOW / 2;
    let one = |i: usize| {
        let within = around(line, i, reach);
        let mut sum = 0.0;
        for k in within {
            let stop = &line.stops[k];
            if stop.seam {
                return None;
            }
            sum += stop.needed - stop.worked;
        }
        Some(sum)
    };
    (0..line.stops.len()).map(one).collect()
}
