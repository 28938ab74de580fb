//! The way the work goes.

use super::super::Ink;
use super::super::columns::Entry;
use super::super::ground::Ground;
use super::super::legs::mean;
use super::super::numbers::unit;
use super::super::scene::{Label, Mark, MarkRole};
use super::super::spot;
use super::super::trace::{Segment, traced};
use super::{Work, entry, mark};
use crate::fabric::{RowId, StitchId};
use crate::symbol::Speak;
use kurbo::{BezPath, Point, Vec2};

const BAND: Ink = Ink([0xf2, 0xea, 0xcf]);
const BAND_WIDTH: f64 = 0.36;
const HEAD: Ink = Ink([0x7a, 0x5c, 0x00]);
const HEAD_LINE: f64 = 0.06;
/// A number stands at every stitch of which this is a divisor.
const EVERY: usize = 5;
/// Stitches between two heads of arrows.
const BETWEEN: usize = 6;
/// How far from its stitch a number still reads as its own.
const REACH: f64 = 0.5;
/// Longest way from one row's end to the next one's start that is drawn: farther, and the yarn was cut.
const STEP: f64 = 4.0;

/// A pale band from stitch to stitch along every row, with heads of arrows between stitches where there is room.
pub(super) fn way(work: &Work, ground: &mut Ground) -> Vec<Mark> {
    let mut marks = Vec::new();
    let mut heads = Vec::new();
    let mut last: Option<Point> = None;
    for row in &work.fabric.rows {
        let line: Vec<Point> = work.line(row.index).into_iter().map(|id| middle(work, id)).collect();
        let Some(&first) = line.first() else { continue };
        let from = last.filter(|&p| (p - first).hypot2() < STEP * STEP).unwrap_or(first);
        let mut path = BezPath::new();
        let mut pen: Option<Point> = None;
        for (a, b) in std::iter::once((from, first)).chain(line.windows(2).map(|w| (w[0], w[1]))) {
            // the band is broken where a label stands
            if a == b || !ground.is_off_labels(&Segment::new(a, b, BAND_WIDTH / 2.0)) {
                pen = None;
                continue;
            }
            if pen.is_none() {
                path.move_to(a);
            }
            path.line_to(b);
            pen = Some(b);
        }
        heads.extend(arrows(&line, ground));
        if !path.elements().is_empty() {
            marks.push(mark(MarkRole::Way, BAND, path, BAND_WIDTH));
        }
        last = line.last().copied();
    }
    for segment in marks.iter().chain(&heads).flat_map(|m| &m.shapes).flat_map(traced) {
        ground.add(segment, None);
    }
    marks.extend(heads);
    marks
}

/// The middle of a stitch as drawn.
pub(super) fn middle(work: &Work, id: StitchId) -> Point {
    let pose = work.layout.pose(id);
    match pose.lying {
        Some(lying) => lying.at,
        None => mean(&pose.feet).map_or(pose.head, |foot| foot.midpoint(pose.head)),
    }
}

pub(super) fn head_at(tip: Point, along: Vec2) -> BezPath {
    let across = Vec2::new(-along.y, along.x);
    let mut path = BezPath::new();
    path.move_to(tip - along * 0.16 + across * 0.13);
    path.line_to(tip);
    path.line_to(tip - along * 0.16 - across * 0.13);
    path
}

fn arrows(line: &[Point], ground: &Ground) -> Vec<Mark> {
    let mut heads = Vec::new();
    let mut since = BETWEEN;
    for pair in line.windows(2) {
        since += 1;
        let Some(along) = unit(pair[1] - pair[0]).filter(|_| since > BETWEEN) else { continue };
        let one = mark(MarkRole::Way, HEAD, head_at(pair[0].midpoint(pair[1]) + along * 0.08, along), HEAD_LINE);
        let lines: Vec<Segment> = one.shapes.iter().flat_map(traced).collect();
        if ground.is_free_for(&lines, 0.05) {
            heads.push(one);
            since = 0;
        }
    }
    heads
}

/// The number of every fifth stitch of a row within the row, where there is room for it.
pub(super) fn numbers(work: &Work, ground: &mut Ground) -> Vec<Label> {
    let mut labels = Vec::new();
    for row in &work.fabric.rows {
        for (n, id) in numbered(work, row.index) {
            let pose = work.layout.pose(id);
            let up = mean(&pose.feet).and_then(|foot| unit(pose.head - foot)).unwrap_or(Vec2::new(0.0, -1.0));
            let label = work.note(&n.to_string(), HEAD);
            let placed = spot::near(&label, pose.head, up, REACH, ground);
            labels.extend(placed.map(|l| Label { row: Some(row.index), ..l }));
        }
    }
    labels
}

/// Stitches that count, by their number in the row; every fifth.
fn numbered(work: &Work, row: RowId) -> Vec<(usize, StitchId)> {
    let counting = work.fabric.stitches.iter().filter(|s| s.row == row && s.counts).map(|s| s.id);
    let every = counting.enumerate().map(|(k, id)| (k + 1, id)).filter(|(n, _)| n % EVERY == 0);
    every.filter(|&(_, id)| work.is_drawn(id)).collect()
}

pub(super) fn entries(speak: Speak) -> Vec<Entry> {
    let mut band = BezPath::new();
    band.move_to((0.0, 0.0));
    band.line_to((1.0, 0.0));
    let mut sample = mark(MarkRole::Way, HEAD, head_at(Point::new(0.6, 0.0), Vec2::new(1.0, 0.0)), HEAD_LINE);
    sample.shapes.extend(mark(MarkRole::Way, BAND, band, HEAD_LINE).shapes);
    vec![entry(sample, "way", speak)]
}
