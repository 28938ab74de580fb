//! Rows worked alike, told in one line.

use super::page::{Block, Line, Piece};
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

/// Most lines that are told again in one.
const LONGEST: usize = 12;

/// Folds runs of lines that are worked again, line for line, behind themselves: "Rows 4-9: Rep rows 2 and 3.".
///
/// `again` says a line anew, of which the numbers are those told in it, as the rows of the other numbers worked again.
pub(super) fn alternating(
    blocks: Vec<Block>,
    apart: &BTreeSet<(usize, usize)>,
    again: &dyn Fn(&mut Line, &[u32]),
) -> Vec<Block> {
    let mut out: Vec<Block> = Vec::new();
    let mut at = 0;
    while at < blocks.len() {
        let Some((len, times)) = run(&blocks[at..], apart) else {
            out.push(blocks[at].clone());
            at += 1;
            continue;
        };
        let lines = |from: usize, to: usize| blocks[from..to].iter().filter_map(line_of);
        let numbers: Vec<u32> = lines(at, at + len).flat_map(|l| l.numbers.iter().copied()).collect();
        out.extend(blocks[at..at + len].iter().cloned());
        let (from, to) = (at + len, at + len * (times + 1));
        let mut line = lines(from, from + 1).next().cloned().unwrap_or_default();
        line.numbers = lines(from, to).flat_map(|l| l.numbers.iter().copied()).collect();
        line.rows = lines(from, to).flat_map(|l| l.rows.iter().copied()).collect();
        line.from = lines(from, to).flat_map(|l| l.from.iter().copied()).collect();
        let spans = lines(from, to).flat_map(|l| &l.pieces).flat_map(|p| p.spans.iter().copied()).collect();
        line.pieces = vec![Piece { words: String::new(), spans }];
        line.count = String::new();
        again(&mut line, &numbers);
        out.push(Block::Row(Box::new(line)));
        at = to;
    }
    out
}

/// The shortest run of lines at the start that follows upon itself: its length, and how often it is worked again.
fn run(blocks: &[Block], apart: &BTreeSet<(usize, usize)>) -> Option<(usize, usize)> {
    (2..=LONGEST.min(blocks.len() / 2)).find_map(|len| {
        let first: Vec<&Line> = blocks[..len].iter().map_while(fit).collect();
        if first.len() < len || !in_order(&first, None) {
            return None;
        }
        let same = |a: &Line, b: &Line| {
            a.word == b.word
                && a.numbers.len() == b.numbers.len()
                && a.count == b.count
                && a.pieces.len() == b.pieces.len()
                && a.pieces.iter().zip(&b.pieces).all(|(a, b)| a.words == b.words)
                && !b.from.iter().any(|row| apart.contains(row))
        };
        let mut last = first[len - 1].numbers.last().copied();
        let mut times = 0;
        for next in blocks[len..].chunks_exact(len) {
            let next: Vec<&Line> = next.iter().map_while(fit).collect();
            let again = next.len() == len && in_order(&next, last) && first.iter().zip(&next).all(|(a, b)| same(a, b));
            if !again {
                break;
            }
            last = next[len - 1].numbers.last().copied();
            times += 1;
        }
        (times > 0).then_some((len, times))
    })
}

/// A line that may be told again: numbered, with nothing ended behind it.
fn fit(block: &Block) -> Option<&Line> {
    line_of(block).filter(|l| !l.numbers.is_empty() && !l.word.is_empty() && l.ending.is_empty() && l.unread.is_none())
}

/// True where the numbers of the lines go up by one, from that behind `last` on.
fn in_order(lines: &[&Line], last: Option<u32>) -> bool {
    let mut last = last;
    lines.iter().flat_map(|l| &l.numbers).all(|&n| {
        let follows = last.is_none_or(|last| last.checked_add(1) == Some(n));
        last = Some(n);
        follows
    })
}

fn line_of(block: &Block) -> Option<&Line> {
    match block {
        Block::Row(line) => Some(line),
        _ => None,
    }
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
