//! Rows worked alike, told in one line.

use super::page::{Block, Line};
use std::collections::BTreeSet;

/// Folds rows that follow upon each other in the same words: "Rows 5-8". Those of `apart` stay lines of their own.
///
/// `heading` says the numbers of a line.
pub(super) fn folded(
    blocks: Vec<Block>,
    apart: &BTreeSet<(usize, usize)>,
    heading: &dyn Fn(&Line) -> String,
) -> Vec<Block> {
    let mut out: Vec<Block> = Vec::new();
    for block in blocks {
        if let (Some(Block::Row(last)), Block::Row(next)) = (out.last_mut(), &block)
            && follows(last, next)
            && !last.from.iter().chain(&next.from).any(|row| apart.contains(row))
        {
            last.numbers.extend(&next.numbers);
            last.heading = heading(last);
            last.rows.extend(&next.rows);
            last.from.extend(&next.from);
            for (piece, more) in last.pieces.iter_mut().zip(&next.pieces) {
                piece.spans.extend(&more.spans);
            }
            continue;
        }
        out.push(block);
    }
    out
}

/// True where the next line is the same work in the next row.
fn follows(last: &Line, next: &Line) -> bool {
    let counts = |a: &Line| (a.numbers.last().copied(), a.word);
    let (Some(end), word) = counts(last) else { return false };
    !word.is_empty()
        && word == next.word
        && next.numbers.first() == end.checked_add(1).as_ref()
        && last.count == next.count
        && last.ending.is_empty()
        && last.pieces.len() == next.pieces.len()
        && last.pieces.iter().zip(&next.pieces).all(|(a, b)| a.words == b.words)
}
