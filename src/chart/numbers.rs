//! Row and round numbers, placed by search.

use super::compose::seen_row;
use super::ground::Ground;
use super::metrics::Metrics;
use super::scene::{Label, LabelRole};
use super::{Ink, Style};
use crate::fabric::{Fabric, Role, Row, RowShape, StitchId, Strand};
use crate::layout::Layout;
use crate::symbol::{Speak, Stand, word};
use kurbo::{Point, Vec2};

/// Farthest from the row's start, to its nearest edge, that a number still reads as its own.
const REACH: f64 = 1.2;
/// Step of the search, in sc widths: under the clearance, so that no gap is missed by more than it.
const STEP: f64 = 0.07;
/// Distance kept from ink and other labels.
const CLEAR: f64 = 0.1;
/// Size of the numbers, and least size in print.
const SIZE: f64 = 0.62;
const LEAST_POINTS: f64 = 6.0;

/// Where a row starts: its middle there, the way the work goes, the way the row rises.
pub(super) struct RowStart {
    pub at: Point,
    pub along: Vec2,
    pub up: Vec2,
}

/// Start of a row, from its first stitches.
pub(super) fn row_start(fabric: &Fabric, layout: &Layout, row: &Row) -> Option<RowStart> {
    let turning =
        fabric.stitches.iter().filter(|s| seen_row(fabric, s) == row.index && s.role == Role::Turning && s.is_chain());
    let first = *row.order.first()?;
    let begun = row.strands.first().filter(|s| s.chain.first() < Some(&first));
    if let Some(start) = begun.and_then(|strand| strand_start(fabric, layout, strand)) {
        return Some(start);
    }
    let lead: Vec<Point> =
        turning.take_while(|s| s.id <= first).filter_map(|s| Some(layout.pose(s.id).lying?.at)).collect();
    let middle = |id: StitchId| {
        let pose = layout.pose(id);
        match super::legs::mean(&pose.feet) {
            Some(foot) if !fabric.stitch(id).is_chain() => foot.midpoint(pose.head),
            _ => pose.lying.map_or(pose.head, |l| l.at),
        }
    };
    let at = super::legs::mean(&lead).unwrap_or_else(|| middle(first));
    let next = row.order.iter().skip(1).find(|&&id| fabric.space_of(id).is_none()).or(row.order.get(1));
    let along = next.map_or(Vec2::new(-1.0, 0.0), |&id| layout.pose(id).head - layout.pose(first).head);
    let along = unit(along).unwrap_or(Vec2::new(-1.0, 0.0));
    let rising = row.order.iter().take(3).find_map(|&id| {
        let pose = layout.pose(id);
        unit(pose.head - super::legs::mean(&pose.feet).filter(|_| !fabric.stitch(id).is_chain())?)
    });
    let up = rising.unwrap_or(Stand::new(Point::ZERO, along.to_point()).right() * -1.0);
    Some(RowStart { at, along, up })
}

/// The same of a row that begins with a chain worked out and stitches back along it: before that chain.
fn strand_start(fabric: &Fabric, layout: &Layout, strand: &Strand) -> Option<RowStart> {
    let lying = strand.chain.iter().filter(|id| !fabric.stitch(**id).has_role(Role::Turning));
    let lead: Vec<Point> = lying.filter_map(|id| Some(layout.pose(*id).lying?.at)).collect();
    let first = layout.pose(*strand.order.first()?);
    let along = unit(first.head - super::legs::mean(&first.feet)?)?;
    let up = Stand::new(Point::ZERO, along.to_point()).right() * -1.0;
    Some(RowStart { at: super::legs::mean(&lead)?, along, up })
}

pub(super) fn unit(v: Vec2) -> Option<Vec2> {
    let length = v.hypot2().sqrt();
    (length > 1e-6).then(|| v / length)
}

/// What is printed for a row: its number, with what tells it from rows of the same number: `Border 1`.
fn words_of(label: &str, speak: Speak) -> String {
    let plain = |w: &&str| !["row", "rows", "round", "rounds", "rnd", "rnds"].contains(&w.to_lowercase().as_str());
    let border = word("border", speak);
    let own = |w: &'_ str| if w.eq_ignore_ascii_case("border") { border.clone() } else { w.to_owned() };
    let words: Vec<String> = label.split_whitespace().filter(plain).map(own).collect();
    if words.is_empty() { label.to_owned() } else { words.join(" ") }
}

/// What numbers are placed by.
pub(super) struct Numbers<'a> {
    pub fabric: &'a Fabric,
    pub layout: &'a Layout,
    pub style: &'a Style,
    pub speak: Speak,
    pub metrics: &'a Metrics<'a>,
    /// The ink of each row.
    pub inks: &'a [Ink],
    /// The letters of the yarns of each row, where they stand beside its number; else nothing.
    pub yarns: &'a [String],
}

impl Numbers<'_> {
    /// Places the number of every row but the foundation, all in one size. Each placed label is put on the ground.
    pub fn place(&self, ground: &mut Ground) -> Vec<Label> {
        let Numbers { fabric, layout, style, speak, metrics, inks, yarns } = *self;
        let full = style.size_of(LabelRole::RowNumber, SIZE, LEAST_POINTS + 1.0);
        let least = style.size_of(LabelRole::RowNumber, 0.4, LEAST_POINTS).min(full);
        let starts: Vec<(&Row, RowStart)> = fabric
            .rows
            .iter()
            .filter(|r| r.shape != RowShape::Foundation)
            .filter_map(|row| Some((row, row_start(fabric, layout, row)?)))
            .collect();
        let boxes = ground.box_count();
        let mut best: Option<(f64, Vec<Label>)> = None;
        for k in 0..SIZES {
            let size = full + (least - full) * f64::from(k) / f64::from(SIZES - 1);
            // smaller letters have to earn their keep
            let mut cost = 0.1 * f64::from(k) * starts.len() as f64;
            let mut labels = Vec::new();
            for (row, start) in &starts {
                // each number only adds to what a size costs
                if best.as_ref().is_some_and(|(least, _)| cost >= *least) {
                    break;
                }
                let text = match yarns.get(row.index.index()).filter(|y| !y.is_empty()) {
                    Some(yarns) => format!("{} {yarns}", words_of(&row.label, speak)),
                    None => words_of(&row.label, speak),
                };
                let label = metrics.centred(LabelRole::RowNumber, &text, start.at, size, inks[row.index.index()]);
                let Some((own, mut label)) = search(&label, row, start, ground, 0.0)
                    .or_else(|| search(&label, row, start, ground, label.bounds.width() + 1.0))
                else {
                    cost += 100.0;
                    continue;
                };
                cost += own;
                label.row = Some(row.index);
                ground.add_box(label.bounds.inflate(CLEAR / 2.0, CLEAR / 2.0));
                labels.push(label);
            }
            ground.forget_boxes_after(boxes);
            if best.as_ref().is_none_or(|(b, _)| cost < *b) {
                best = Some((cost, labels));
            }
        }
        let labels = best.map(|(_, labels)| labels).unwrap_or_default();
        labels.iter().for_each(|l| ground.add_box(l.bounds.inflate(CLEAR / 2.0, CLEAR / 2.0)));
        labels
    }
}

/// How many sizes are tried between the full one and the least.
const SIZES: u32 = 4;

fn search(label: &Label, row: &Row, start: &RowStart, ground: &Ground, more: f64) -> Option<(f64, Label)> {
    let round = matches!(row.shape, RowShape::Round | RowShape::Spiral);
    let out = -start.along;
    // rows: beside the start, outside the work; rounds: in the gap before the start
    let ideal = start.at + out * if round { 0.55 } else { 0.45 + label.bounds.width() / 2.0 };
    let outside = |p: Point| round || (p - start.at).dot(out) > 0.3;
    let steps = (1.6 * (REACH + more) / STEP) as i32;
    let mut candidates: Vec<(f64, Point)> = Vec::new();
    for i in -steps..=steps {
        for j in -steps..=steps {
            let p = ideal + out * (f64::from(i) * STEP) + start.up * (f64::from(j) * STEP);
            // off mid-row height costs twice what distance does
            let off = (p - ideal).dot(start.up).abs();
            let half = label.bounds.size() / 2.0;
            let away = p - start.at;
            let far = Vec2::new((away.x.abs() - half.width).max(0.0), (away.y.abs() - half.height).max(0.0)).hypot()
                - REACH
                - more;
            let cost = (p - ideal).hypot2().sqrt()
                + off
                + if far > -0.02 { 5.0 + far } else { 0.0 }
                + if outside(p) { 0.0 } else { 3.0 };
            candidates.push((cost, p));
        }
    }
    candidates.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut second: Option<(f64, Point)> = None;
    for (cost, p) in candidates {
        if !ground.is_free(label.bounds + (p - label.bounds.center()), CLEAR) {
            continue;
        }
        if ground.is_nearest_to(row.index, p, 0.02, 2.5) {
            return Some((cost, shifted(label, p)));
        }
        second = second.or(Some((cost + 10.0, p)));
    }
    second.map(|(cost, p)| (cost, shifted(label, p)))
}

/// The label with its ink centred on a point.
pub(super) fn shifted(label: &Label, centre: Point) -> Label {
    let by = centre - label.bounds.center();
    let mut moved = label.clone();
    moved.at += by;
    moved.bounds = label.bounds + by;
    moved
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_border_row_is_told_from_a_row_of_the_same_number() {
        assert_eq!(
            ["Row 3", "Rnd 12", "Border row 1", "Border"].map(|l| words_of(l, Speak::Us)),
            ["3", "12", "Border 1", "Border"]
        );
    }
}
