//! Which items of two lists belong together: the pairing, in order, of the highest worth.

use super::rows::Line;

/// A pair of two items: an index into either list, or none.
pub(super) type Pair = (Option<usize>, Option<usize>);

/// Worth of two items that are the same.
pub(super) const SAME: u32 = 20;

/// Most pairs weighed one by one. Past that, items are paired as they stand: two books that share nothing.
const MOST_PAIRS: usize = 4_000_000;

/// Pairs two lists of `n` and `m` items, in order, so that the worth of all pairs is highest. Of equal ways the one
/// that pairs earlier items is taken. A worth of 0 is no pair.
pub(super) fn align(n: usize, m: usize, worth: impl Fn(usize, usize) -> u32) -> Vec<Pair> {
    let head = (0..n.min(m)).take_while(|&k| worth(k, k) >= SAME).count();
    let tail = (0..n.min(m) - head).take_while(|&k| worth(n - 1 - k, m - 1 - k) >= SAME).count();
    let (rows, columns) = (n - head - tail, m - head - tail);
    let mut pairs: Vec<Pair> = (0..head).map(|k| (Some(k), Some(k))).collect();
    if rows.saturating_mul(columns) > MOST_PAIRS {
        let both = rows.min(columns);
        pairs.extend((0..both).map(|k| (Some(head + k), Some(head + k))));
        pairs.extend((both..rows).map(|k| (Some(head + k), None)));
        pairs.extend((both..columns).map(|k| (None, Some(head + k))));
    } else {
        pairs.extend(middle(rows, columns, |i, j| worth(head + i, head + j)).into_iter().map(|(i, j)| {
            let past = |k: Option<usize>| k.map(|k| head + k);
            (past(i), past(j))
        }));
    }
    pairs.extend((0..tail).map(|k| (Some(n - tail + k), Some(m - tail + k))));
    pairs
}

fn middle(n: usize, m: usize, worth: impl Fn(usize, usize) -> u32) -> Vec<Pair> {
    let width = m + 1;
    // the highest worth of what lies behind each pair of places
    let mut best = vec![0u32; (n + 1) * width];
    let mut pair = vec![0u32; n * m];
    for i in (0..n).rev() {
        for j in (0..m).rev() {
            let worth = worth(i, j);
            pair[i * m + j] = worth;
            let apart = best[(i + 1) * width + j].max(best[i * width + j + 1]);
            let together = if worth > 0 { worth + best[(i + 1) * width + j + 1] } else { 0 };
            best[i * width + j] = apart.max(together);
        }
    }
    let (mut i, mut j) = (0, 0);
    let mut pairs = Vec::new();
    while i < n && j < m {
        let here = best[i * width + j];
        let worth = pair[i * m + j];
        if worth > 0 && here == worth + best[(i + 1) * width + j + 1] {
            pairs.push((Some(i), Some(j)));
            (i, j) = (i + 1, j + 1);
        } else if here == best[(i + 1) * width + j] {
            pairs.push((Some(i), None));
            i += 1;
        } else {
            pairs.push((None, Some(j)));
            j += 1;
        }
    }
    pairs.extend((i..n).map(|i| (Some(i), None)));
    pairs.extend((j..m).map(|j| (None, Some(j))));
    pairs
}

/// Rows of two editions that belong together: by their words first, then by their numbers.
pub(super) fn rows(old: &[Line], new: &[Line]) -> Vec<Pair> {
    let bag = |line: &Line| {
        let mut bag: Vec<String> = line.words.iter().map(|w| w.text.clone()).collect();
        bag.sort_unstable();
        bag
    };
    let (old_bags, new_bags): (Vec<_>, Vec<_>) = (old.iter().map(bag).collect(), new.iter().map(bag).collect());
    align(old.len(), new.len(), |i, j| {
        let label = old[i].label == new[j].label && !old[i].label.is_empty();
        let same = old_bags[i] == new_bags[j] && old[i].words.iter().zip(&new[j].words).all(|(a, b)| a.text == b.text);
        let alike = likeness(&old_bags[i], &new_bags[j]);
        match (same, label) {
            (true, true) => SAME,
            (true, false) => 16,
            (false, true) => 3 + if alike >= LIKE { alike / 10 } else { 0 },
            (false, false) if alike >= LIKE => alike / 10,
            _ => 0,
        }
    })
}

/// Words in a hundred that two rows share, from which they are taken for one.
const LIKE: u32 = 50;

/// Words in a hundred that two sorted lists share.
pub(super) fn likeness(a: &[String], b: &[String]) -> u32 {
    let (mut i, mut j, mut shared) = (0, 0, 0usize);
    while i < a.len() && j < b.len() {
        match a[i].cmp(&b[j]) {
            std::cmp::Ordering::Less => i += 1,
            std::cmp::Ordering::Greater => j += 1,
            std::cmp::Ordering::Equal => (i, j, shared) = (i + 1, j + 1, shared + 1),
        }
    }
    let all = a.len() + b.len();
    (200 * shared).checked_div(all).map_or(100, |share| share as u32)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_highest_worth_is_found_and_nothing_is_lost() {
        let (a, b) = ("abcxdef".as_bytes(), "abydezf".as_bytes());
        let pairs = align(a.len(), b.len(), |i, j| if a[i] == b[j] { SAME } else { 0 });
        let same: Vec<u8> = pairs.iter().filter_map(|p| Some(a[p.0.filter(|_| p.1.is_some())?])).collect();
        assert_eq!(same, b"abdef");
        assert_eq!(pairs.iter().filter_map(|p| p.0).collect::<Vec<_>>(), (0..7).collect::<Vec<_>>());
        assert_eq!(pairs.iter().filter_map(|p| p.1).collect::<Vec<_>>(), (0..7).collect::<Vec<_>>());
        assert_eq!(align(0, 2, |_, _| 1), [(None, Some(0)), (None, Some(1))]);
        let many = align(3000, 2999, |_, _| 0);
        assert_eq!(many.len(), 3000, "past the limit they are paired as they stand");
    }
}
