//! What makes a row look natural: how few different things it does, and whether it is the same from both ends.

use crate::fabric::{Fabric, Role, RowId};

/// What is done at one place, or over several: `sc`, `sc+sc`, `sc2tog`, `ch-2`.
pub(super) type Op = String;

/// Longest row looked at, in places; of a longer one its beginning.
const MOST_OPS: usize = 4096;

/// What rows do, place by place. Joins, travel and turning chains are set aside.
pub(super) fn ops(fabric: &Fabric, rows: &[RowId]) -> Vec<Op> {
    let mut found: Vec<Op> = Vec::new();
    let mut place = None;
    let mut chains = 0usize;
    for row in rows {
        let first = fabric.stitches.partition_point(|s| s.row < *row);
        for stitch in fabric.stitches[first..].iter().take_while(|s| s.row == *row) {
            if found.len() >= MOST_OPS {
                return found;
            }
            match stitch.role {
                Role::Turning | Role::Join | Role::Travel | Role::Picot => continue,
                _ if stitch.is_chain() => {
                    chains += 1;
                    continue;
                }
                _ => {}
            }
            if chains > 0 {
                found.push(format!("ch-{chains}"));
                chains = 0;
                place = None;
            }
            if place.as_ref() == Some(&stitch.into) && !stitch.into.is_empty() {
                if let Some(op) = found.last_mut() {
                    op.push('+');
                    op.push_str(&stitch.kind);
                }
                continue;
            }
            place = Some(stitch.into.clone());
            found.push(stitch.kind.clone());
        }
        if chains > 0 {
            found.push(format!("ch-{chains}"));
            chains = 0;
        }
        place = None;
    }
    found
}

/// What is done, and in how many places running.
pub(super) fn runs(ops: &[Op]) -> Vec<(&str, usize)> {
    let mut found: Vec<(&str, usize)> = Vec::new();
    for op in ops {
        match found.last_mut() {
            Some((last, n)) if last == op => *n += 1,
            _ => found.push((op, 1)),
        }
    }
    found
}

/// True where the row is the same from both ends.
pub(super) fn is_mirrored(ops: &[Op]) -> bool {
    let n = ops.len();
    (0..n / 2).all(|k| ops[k] == ops[n - 1 - k])
}

/// How many different things a row does, and how many different neighbours they have.
///
/// A row that repeats itself has few of both; a slip in it adds to them.
pub(super) fn variety(ops: &[Op]) -> (u32, u32) {
    let runs = runs(ops);
    let mut kinds = runs.clone();
    kinds.sort_unstable();
    kinds.dedup();
    let mut pairs: Vec<_> = runs.windows(2).map(|w| (w[0], w[1])).collect();
    pairs.sort_unstable();
    pairs.dedup();
    (kinds.len() as u32, pairs.len() as u32)
}

/// True where two rows do the same things in the same order, in whatever numbers; where the work was `turned`
/// between them, in the order of either.
pub(super) fn alike(a: &[Op], b: &[Op], turned: bool) -> bool {
    let (a, b) = (runs(a), runs(b));
    a.len() == b.len()
        && !a.is_empty()
        && (a.iter().zip(&b).all(|(x, y)| x.0 == y.0)
            || turned && a.iter().zip(b.iter().rev()).all(|(x, y)| x.0 == y.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Pattern;

    fn row(words: &str) -> Vec<Op> {
        let text =
            format!("Bud\n\nCh 11.\nRow 1: Sc in 2nd ch from hook and in each ch across. Turn.\nRow 2: {words}\n");
        let pattern = Pattern::read(&text);
        ops(pattern.fabric(), &[pattern.fabric().rows[2].index])
    }

    #[test]
    fn a_row_is_told_place_by_place() {
        let ops = row("Ch 1, sc in next 3 sts, 2 sc in next st, ch 2, skip next st, sc2tog, sc in next 3 sts.");
        let runs = runs(&ops);
        assert_eq!(runs, [("sc", 3), ("sc+sc", 1), ("ch-2", 1), ("sc2tog", 1), ("sc", 3)]);
        assert_eq!(variety(&ops), (4, 4));
        assert!(!is_mirrored(&ops));
        assert!(is_mirrored(&row("Ch 1, sc in next 4 sts, 2 sc in each of next 2 sts, sc in next 4 sts.")));
    }

    #[test]
    fn rows_are_alike_whatever_their_numbers_and_from_either_end() {
        let a = row("Ch 1, sc in next 3 sts, 2 sc in next st, dc in next 6 sts.");
        let b = row("Ch 1, dc in next 5 sts, 2 sc in next st, sc in next 4 sts.");
        assert!(alike(&a, &b, true));
        assert!(!alike(&a, &b, false));
        assert!(!alike(&a, &row("Ch 1, sc in each st across."), true));
    }
}
