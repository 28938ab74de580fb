//! How many stitches a row has, at its end.

use super::super::compose::seen_row;
use super::super::ground::Ground;
use super::super::numbers::unit;
use super::super::scene::Label;
use super::super::spot;
use super::super::words::{label_in, stitches};
use super::Work;
use crate::fabric::{Row, RowShape, StitchId};
use kurbo::{Point, Vec2};

/// How far from the row's end a count still reads as its own.
const REACH: f64 = 0.9;
/// How far beside the work the counts stand that found no place at their rows.
const BESIDE: f64 = 1.0;

/// The count of each row in its own ink; those without room at their row stand in a list beside the work.
pub(super) fn at_row_ends(work: &Work, ground: &mut Ground) -> Vec<Label> {
    let mut labels = Vec::new();
    let mut crowded: Vec<(&Row, usize)> = Vec::new();
    for row in work.fabric.rows.iter().filter(|r| r.shape != RowShape::Foundation) {
        let count = work.fabric.stitches.iter().filter(|s| s.counts && seen_row(work.fabric, s) == row.index).count();
        let Some((end, along)) = end_of(work, row).filter(|_| count > 0) else { continue };
        let label = work.note(&stitches(count, work.speak), ink_of(work, row));
        match spot::near(&label, end, along, REACH, ground) {
            Some(label) => labels.push(Label { row: Some(row.index), ..label }),
            None => crowded.push((row, count)),
        }
    }
    labels.extend(beside(work, &crowded, &labels));
    labels.iter().for_each(|l| ground.add_box(l.bounds));
    labels
}

fn ink_of(work: &Work, row: &Row) -> super::super::Ink {
    let own = work.figures.iter().flatten().find(|f| work.fabric.stitch(f.stitch).row == row.index);
    own.map_or(work.style.plain_ink, |f| f.ink)
}

/// Where a row ends, and the way the work goes there: the middle of its last stitch.
fn end_of(work: &Work, row: &Row) -> Option<(Point, Vec2)> {
    let line = work.line(row.index);
    let middle = |id: StitchId| {
        let pose = work.layout.pose(id);
        super::super::legs::mean(&pose.feet).map_or(pose.head, |foot| foot.midpoint(pose.head))
    };
    let last = middle(*line.last()?);
    let before = line.iter().rev().nth(1).map_or(last, |&id| middle(id));
    let along = unit(last - before).unwrap_or(Vec2::new(-1.0, 0.0));
    Some((last + along * 0.5, along))
}

/// A list to the right of everything, one row a line.
fn beside(work: &Work, rows: &[(&Row, usize)], placed: &[Label]) -> Vec<Label> {
    let boxes = work.figures.iter().flatten().filter_map(|f| super::super::columns::bounds(&f.shapes));
    let Some(all) = boxes.chain(placed.iter().map(|l| l.bounds)).reduce(|a, b| a.union(b)) else { return Vec::new() };
    let mut labels = Vec::new();
    let mut top = all.y0;
    for (row, count) in rows {
        let label = work.note(
            &format!("{}: {}", label_in(&row.label, work.speak), stitches(*count, work.speak)),
            ink_of(work, row),
        );
        let by = Point::new(all.x1 + 2.0 * BESIDE, top) - label.bounds.origin();
        top += 1.5 * label.size;
        labels.push(Label { at: label.at + by, bounds: label.bounds + by, row: Some(row.index), ..label });
    }
    labels
}
