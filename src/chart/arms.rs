//! Bars and strokes shortened where neighbours stand close.

use super::trace::{Segment, segments};
use crate::symbol::{PartKind, Piece, Stand, Symbol};
use kurbo::Rect;

/// Ink gap wanted between the head bars of neighbours, in sc widths.
const BAR_GAP: f64 = 0.16;
/// Ink gap wanted between a bar or stroke and any other line.
const LINE_GAP: f64 = 0.07;
/// Ink gap wanted within one stitch, whose legs belong together.
const OWN_GAP: f64 = 0.06;
/// What is left of a bar or stroke at least, and of a diagonal cross, which is nothing but its strokes.
pub(super) const LEAST: f64 = 0.42;
pub(super) const LEAST_CROSS: f64 = 0.72;
/// Each pass takes this much off whatever is too close; smaller steps waste less bar and take longer.
const STEP: f64 = 0.93;

/// A leg with its symbol, whose arms may be shortened.
pub(super) struct Armed {
    /// Which stitch it belongs to.
    pub owner: usize,
    pub stand: Stand,
    pub symbol: Symbol,
    /// What is left of a bar or stroke at least, as a share: shorter, and it no longer reads as one.
    pub least: f64,
}

#[derive(Clone, Copy, PartialEq)]
enum Line {
    /// Head bar of a leg.
    Bar,
    /// Stroke of a leg.
    Stroke,
    /// Stem, oval or dot: stays as it is.
    Fixed,
}

struct Item {
    leg: Option<usize>,
    owner: usize,
    line: Line,
    segment: Segment,
}

/// Shortens the bars and strokes of every leg until none comes too close to a line of another leg or to a `fixed`
/// line, given with the stitch it belongs to. Pairs for which `related` is true may touch: one stands on the other.
pub(super) fn shorten(legs: &mut [Armed], fixed: &[(usize, Segment)], related: impl Fn(usize, usize) -> bool) {
    let mut items = items(legs, fixed);
    let pairs = close_pairs(&items, &related);
    // OK to stop: 14 passes take an arm from its full length to under the least
    for _ in 0..14 {
        let mut wanted: Vec<[bool; 2]> = vec![[false; 2]; legs.len()];
        let mut any = false;
        for &(i, j, gap) in &pairs {
            if !items[i].segment.is_nearer(&items[j].segment, gap - 1e-9) {
                continue;
            }
            for item in [&items[i], &items[j]] {
                let Some(leg) = item.leg else { continue };
                let (slot, scale) = match item.line {
                    Line::Bar => (0, legs[leg].stand.head_scale),
                    Line::Stroke => (1, legs[leg].stand.stroke_scale),
                    Line::Fixed => continue,
                };
                if scale > legs[leg].least {
                    wanted[leg][slot] = true;
                    any = true;
                }
            }
        }
        if !any {
            break;
        }
        for (leg, want) in legs.iter_mut().zip(&wanted) {
            if want[0] {
                leg.stand.head_scale *= STEP;
            }
            if want[1] {
                leg.stand.stroke_scale *= STEP;
            }
        }
        refresh(&mut items, legs, &wanted);
    }
}

fn lines_of(leg: &Armed) -> Vec<(Line, Segment)> {
    let line = |piece: &Piece| match piece.kind {
        PartKind::Head if !piece.filled => Line::Bar,
        PartKind::Stroke => Line::Stroke,
        _ => Line::Fixed,
    };
    let pieces = leg.stand.pieces(&leg.symbol);
    pieces.iter().flat_map(|p| segments(&p.path, p.width / 2.0).into_iter().map(move |s| (line(p), s))).collect()
}

fn items(legs: &[Armed], fixed: &[(usize, Segment)]) -> Vec<Item> {
    let mut items = Vec::new();
    for (index, leg) in legs.iter().enumerate() {
        for (line, segment) in lines_of(leg) {
            items.push(Item { leg: Some(index), owner: leg.owner, line, segment });
        }
    }
    items.extend(fixed.iter().map(|&(owner, segment)| Item { leg: None, owner, line: Line::Fixed, segment }));
    items
}

/// Takes the segments of changed legs anew. Their number and order stay.
fn refresh(items: &mut [Item], legs: &[Armed], changed: &[[bool; 2]]) {
    let mut at = 0;
    for (index, leg) in legs.iter().enumerate() {
        let count = items[at..].iter().take_while(|i| i.leg == Some(index)).count();
        if changed[index] != [false; 2] {
            for (item, (_, segment)) in items[at..at + count].iter_mut().zip(lines_of(leg)) {
                item.segment = segment;
            }
        }
        at += count;
    }
}

/// Pairs of lines that may come too close, with the gap they should keep.
fn close_pairs(items: &[Item], related: &impl Fn(usize, usize) -> bool) -> Vec<(usize, usize, f64)> {
    let area = items.iter().map(|i| i.segment.bounds()).reduce(|a, b| a.union(b)).unwrap_or(Rect::ZERO);
    let columns = (area.width().ceil() as usize).clamp(1, 2048);
    let lines = (area.height().ceil() as usize).clamp(1, 2048);
    let mut cells: Vec<Vec<u32>> = vec![Vec::new(); columns * lines];
    let cells_of = |r: Rect| {
        let cell = |v: f64, n: usize| (v.max(0.0) as usize).min(n - 1);
        let (x0, x1) = (cell(r.x0 - area.x0, columns), cell(r.x1 - area.x0, columns));
        let (y0, y1) = (cell(r.y0 - area.y0, lines), cell(r.y1 - area.y0, lines));
        (y0..=y1).flat_map(move |y| (x0..=x1).map(move |x| y * columns + x))
    };
    for (i, item) in items.iter().enumerate() {
        cells_of(item.segment.bounds()).for_each(|c| cells[c].push(i as u32));
    }
    let mut pairs = Vec::new();
    let mut seen: Vec<u32> = Vec::new();
    for (i, item) in items.iter().enumerate().filter(|(_, item)| item.line != Line::Fixed) {
        seen.clear();
        let wide = item.segment.bounds().inflate(BAR_GAP, BAR_GAP);
        cells_of(wide).for_each(|c| seen.extend(&cells[c]));
        seen.sort_unstable();
        seen.dedup();
        for j in seen.iter().map(|&j| j as usize) {
            let other = &items[j];
            // two arms are met twice: once is enough
            if j == i || (j < i && other.line != Line::Fixed) || other.leg == item.leg {
                continue;
            }
            let gap = match (item.line, other.line) {
                // legs meet under their own bar
                (Line::Bar, _) | (_, Line::Bar) if other.owner == item.owner => continue,
                _ if other.owner == item.owner => OWN_GAP,
                (Line::Bar, Line::Bar) => BAR_GAP,
                _ if related(item.owner, other.owner) => continue,
                _ => LINE_GAP,
            };
            if item.segment.is_nearer(&other.segment, gap) {
                pairs.push((i, j, gap));
            }
        }
    }
    pairs
}
