//! Increases that stand upon those of the round below.

use super::curve::joined;
use super::line::RowLine;
use crate::fabric::{Fabric, LineNode, StitchId};
use crate::source::Span;
use std::collections::BTreeSet;

/// Rounds whose increases stand upon each other.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Stacked {
    /// The first and the last of the rounds, by place in the list of lines.
    pub first: usize,
    pub last: usize,
    /// Increases in each.
    pub corners: usize,
    /// The words of the last round's increases.
    pub span: Span,
}

/// Rounds in a row from which on a circle shows corners: fewer, and two rounds side by side hide it.
const LEAST_ROUNDS: usize = 3;

/// Runs of rounds that turn a circle into a polygon.
///
/// Source: Simply Crochet UK, 22 Oct 2020: increases are staggered from round to round.
pub(super) fn stacked(fabric: &Fabric, lines: &[RowLine]) -> Vec<Stacked> {
    let increases: Vec<Vec<[usize; 2]>> = lines.iter().map(increases).collect();
    let corners = |i: usize| {
        let (line, found) = (&lines[i], &increases[i]);
        // where every other stitch is an increase there is no corner to see
        let few = !found.is_empty() && found.len() * 2 < line.stops.len() / 2 + 1;
        (line.closed && few && (3..=8).contains(&found.len())).then_some(found.len())
    };
    let mut runs = Vec::new();
    let mut i = 0;
    while i < lines.len() {
        let Some(count) = corners(i) else {
            i += 1;
            continue;
        };
        let first = i;
        while i + 1 < lines.len() && corners(i + 1) == Some(count) && stand_on(fabric, lines, &increases, i + 1) {
            i += 1;
        }
        if i + 1 - first >= LEAST_ROUNDS {
            let spans: Vec<Span> = increases[i].iter().map(|&[a, _]| lines[i].stops[a].span).collect();
            runs.push(Stacked { first, last: i, corners: count, span: joined(&spans) });
        }
        i += 1;
    }
    runs
}

/// Pairs of neighbouring stops out of one place: a plain increase each. Fans of three are corners that are meant.
fn increases(line: &RowLine) -> Vec<[usize; 2]> {
    let n = line.stops.len();
    let twin = |i: usize| line.gaps.get(i % n).copied().flatten().is_some_and(|g| (g - 1.0).abs() < 0.01);
    (0..line.gaps.len()).filter(|&i| twin(i) && !twin(i + 1) && !twin(i + n - 1)).map(|i| [i, (i + 1) % n]).collect()
}

/// True where every increase of a round stands on a stitch of an increase below.
fn stand_on(fabric: &Fabric, lines: &[RowLine], increases: &[Vec<[usize; 2]>], i: usize) -> bool {
    let id = |line: &RowLine, k: usize| match line.stops[k].node {
        LineNode::Stitch(id) => Some(id),
        LineNode::Space(_) => None,
    };
    let below: BTreeSet<StitchId> = increases[i - 1].iter().flatten().filter_map(|&k| id(&lines[i - 1], k)).collect();
    let feet = |k: usize| id(&lines[i], k).map(|s| &fabric.stitch(s).into);
    increases[i]
        .iter()
        .all(|&[a, _]| feet(a).is_some_and(|into| into.iter().any(|p| p.stitch().is_some_and(|s| below.contains(&s)))))
}
