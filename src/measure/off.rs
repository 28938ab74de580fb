//! Increases that sit off the bend they serve.

use super::bends::{WINDOW, bends, missing};
use super::line::RowLine;

/// Increases of one row that belong elsewhere in it.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Astray {
    /// Each increase, by the stop after which its second stitch stands, and the stop of the bend it should go to.
    pub moves: Vec<(usize, usize)>,
    /// Stitches from where they are to the middle of the bend.
    pub apart: usize,
    /// True where they should go later in the row.
    pub later: bool,
    /// What the bend needs and gets.
    pub needed: f64,
    /// What the bend gets.
    pub worked: f64,
    /// First and last stop of where there are too many.
    pub surplus: [usize; 2],
}

/// From here on a window misses a whole stitch, as far as stitches are whole.
const WHOLE: f64 = 1.0;

/// Finds a bend that gets a whole stitch too few while increases elsewhere in the row are a whole stitch too many.
pub(super) fn astray(line: &RowLine) -> Option<Astray> {
    let windows = missing(line);
    let known = || windows.iter().enumerate().filter_map(|(i, d)| Some((i, (*d)?)));
    let (few, short) = known().max_by(|a, b| a.1.total_cmp(&b.1))?;
    let (many, over) = known().min_by(|a, b| a.1.total_cmp(&b.1))?;
    if short < WHOLE || over > -WHOLE {
        return None;
    }
    let n = line.stops.len();
    let reach = WINDOW / 2;
    // the bend that misses them, and the increases that are over where the row turns least
    let bend = bends(line).into_iter().filter(|b| b.turn > 0.0).find(|b| within(few, b.first, b.last, n));
    let bend = bend?;
    let (needed, worked) = (bend.needed, bend.worked);
    if needed - worked < WHOLE {
        return None;
    }
    let middle = (bend.first + bend.last) / 2 % n;
    let window = |i: usize| (0..WINDOW).filter_map(move |k| (i + n + k).checked_sub(reach).map(|k| k % n));
    let mut increases: Vec<(usize, f64)> = window(many)
        .filter(|&i| line.gaps.get(i).copied().flatten().is_some_and(|g| g > 0.75))
        .filter(|&i| !within(i, bend.first, bend.last, n))
        .map(|i| (i, line.stops[i].needed + line.stops[(i + 1) % n].needed))
        .collect();
    increases.sort_by(|a, b| a.1.total_cmp(&b.1));
    // a window may be narrower than the bend: what the whole bend misses counts
    let short = short.max(needed - worked);
    let count = (libm::round(short.min(-over)).max(1.0) as usize).min(increases.len());
    if count == 0 {
        return None;
    }
    let mut chosen: Vec<usize> = increases.iter().take(count).map(|&(i, _)| i).collect();
    chosen.sort_unstable();
    let centre = chosen.iter().sum::<usize>() / chosen.len();
    let ahead = (middle + n - centre) % n;
    let (apart, later) = if line.closed && ahead > n / 2 {
        (n - ahead, false)
    } else if line.closed {
        (ahead, true)
    } else {
        (middle.abs_diff(centre), middle > centre)
    };
    let (first, last) = (many.saturating_sub(reach), (many + reach).min(n - 1));
    Some(Astray {
        moves: chosen.into_iter().map(|i| (i, middle)).collect(),
        apart,
        later,
        needed,
        worked,
        surplus: [first, last],
    })
}

fn within(i: usize, first: usize, last: usize, n: usize) -> bool {
    (first..=last).contains(&i) || (first..=last).contains(&(i + n))
}
