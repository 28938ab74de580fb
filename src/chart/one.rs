//! Charts in one black: rows part by weight and by pale bands, yarns by letters.

use super::compose::seen_row;
use super::ground::Ground;
use super::legs::mean;
use super::metrics::Metrics;
use super::numbers::{shifted, unit};
use super::scene::{Label, LabelRole, Mark, MarkRole, Paint, RowGroup, Scene, Shape};
use super::{Ink, Style};
use crate::fabric::{Fabric, Role, RowShape, Stitch, StitchId};
use crate::layout::Layout;
use crate::symbol::PartKind;
use kurbo::{BezPath, Point, Vec2};

/// How much heavier the lines of every other row are: enough to part them at 3 mm an sc, where a line is 0.27 mm.
const HEAVIER: f64 = 1.6;
/// How far a band reaches past heads and feet, and how wide it is at the ends of its row.
const ROOM: f64 = 0.1;

/// What is at least so light is a tint, no line.
const PALE: f64 = 80.0;

/// For each row, true where it is drawn heavier: every other one from the second of a part on.
pub(super) fn heavy_rows(fabric: &Fabric) -> Vec<bool> {
    let (mut part, mut worked) = (None, 0);
    let heavy = |row: &crate::fabric::Row| {
        if part != Some(row.part) {
            (part, worked) = (Some(row.part), 0);
        }
        if row.shape == RowShape::Foundation || row.order.is_empty() {
            return false;
        }
        worked += 1;
        worked % 2 == 0
    };
    fabric.rows.iter().map(heavy).collect()
}

/// Makes the lines of heavy rows heavier.
pub(super) fn thicken(rows: &mut [RowGroup], heavy: &[bool]) {
    for group in rows.iter_mut().filter(|g| heavy.get(g.row.index()) == Some(&true)) {
        for shape in group.figures.iter_mut().flat_map(|f| &mut f.shapes).chain(&mut group.rings) {
            if let Paint::Stroke(width) = &mut shape.paint {
                *width *= HEAVIER;
            }
        }
    }
}

/// Turns what layers and legend tell in colours into the one black, and their tints into greys as pale as they are.
pub(super) fn blacken(scene: &mut Scene) {
    let black = |ink: &mut Ink| {
        let lightness = ink.lightness();
        *ink = if lightness < PALE { Ink::SOLID } else { Ink::grey(lightness) };
    };
    let layers = scene.layers.iter_mut();
    let (mut marks, mut labels): (Vec<&mut Mark>, Vec<&mut Label>) = (Vec::new(), Vec::new());
    for layer in layers {
        marks.extend(&mut layer.marks);
        labels.extend(&mut layer.labels);
    }
    for mark in marks.into_iter().chain(&mut scene.legend).chain(&mut scene.tints) {
        black(&mut mark.ink);
        mark.tint.iter_mut().for_each(black);
    }
    labels.into_iter().chain(&mut scene.labels).for_each(|l| black(&mut l.ink));
}

/// A pale band under every heavy row: from the feet of its stitches to their heads, from each to the next.
pub(super) fn bands(fabric: &Fabric, layout: &Layout, heavy: &[bool]) -> Vec<Mark> {
    let rows = fabric.rows.iter().filter(|r| heavy.get(r.index.index()) == Some(&true));
    let band = |row: &crate::fabric::Row| -> Option<Mark> {
        let sides: Vec<(StitchId, Point, Point)> =
            row.order.iter().filter_map(|&id| side(fabric, layout, fabric.stitch(id))).collect();
        let mut path = BezPath::new();
        let pairs = sides.windows(2).map(|p| (p[0], p[1]));
        let closing = sides.last().copied().zip(sides.first().copied()).filter(|_| row.joined);
        for ((_, foot, head), (_, next_foot, next_head)) in pairs.chain(closing) {
            // across a gap in the row, such as one that a part leaves, no band is drawn
            if (head - next_head).hypot() > 4.0 {
                continue;
            }
            path.move_to(foot);
            path.line_to(head);
            path.line_to(next_head);
            path.line_to(next_foot);
            path.close_path();
        }
        if path.elements().is_empty() {
            return None;
        }
        let shape = Shape { kind: PartKind::Body, path, paint: Paint::Stroke(2.0 * ROOM), placed: None };
        Some(Mark {
            role: MarkRole::Band,
            ink: Ink::BAND,
            tint: Some(Ink::BAND),
            dashed: false,
            shapes: vec![shape],
            tip: None,
            stitch: None,
        })
    };
    rows.filter_map(band).collect()
}

/// Foot and head of a stitch; of a lying chain, the two sides of its oval.
fn side(fabric: &Fabric, layout: &Layout, stitch: &Stitch) -> Option<(StitchId, Point, Point)> {
    let pose = layout.pose(stitch.id);
    if let (Some(lying), true) = (pose.lying, stitch.is_chain() && fabric.space_of(stitch.id).is_some()) {
        let across = Vec2::new(libm::sin(lying.angle_rad), -libm::cos(lying.angle_rad)) * 0.15;
        return Some((stitch.id, lying.at - across, lying.at + across));
    }
    Some((stitch.id, mean(&pose.feet)?, pose.head))
}

/// The letters of the yarns of each row, in the order of the work; nothing where they are those of the row before.
pub(super) fn yarns_of_rows(fabric: &Fabric) -> Vec<String> {
    let mut rows: Vec<Vec<&str>> = vec![Vec::new(); fabric.rows.len()];
    for stitch in fabric.stitches.iter().filter(|s| !s.colour.is_empty()) {
        let letters = &mut rows[seen_row(fabric, stitch).index()];
        if !letters.contains(&stitch.colour.as_str()) {
            letters.push(&stitch.colour);
        }
    }
    let letters: Vec<String> = rows.into_iter().map(|letters| letters.join(", ")).collect();
    // a letter holds until another is told
    let before = |k: usize| k.checked_sub(1).map(|k| &letters[k]);
    (0..letters.len())
        .map(|k| if before(k) == Some(&letters[k]) { String::new() } else { letters[k].clone() })
        .collect()
}

/// A letter at the first stitch of every run of a yarn, in rows of more than one.
pub(super) fn run_letters(
    fabric: &Fabric,
    layout: &Layout,
    style: &Style,
    metrics: &Metrics,
    ground: &mut Ground,
) -> Vec<Label> {
    let size = style.size_of(LabelRole::YarnLetter, 0.42, 6.0);
    let mut labels = Vec::new();
    let stitches: Vec<&Stitch> = fabric.stitches.iter().filter(|s| s.role != Role::Travel).collect();
    for row in &fabric.rows {
        let of_row: Vec<&Stitch> = stitches.iter().filter(|s| seen_row(fabric, s) == row.index).copied().collect();
        if of_row.windows(2).all(|p| p[0].colour == p[1].colour) {
            continue;
        }
        let starts = of_row.iter().enumerate().filter(|(k, s)| *k == 0 || of_row[k - 1].colour != s.colour);
        for (_, stitch) in starts.filter(|(_, s)| !s.colour.is_empty()) {
            if let Some(label) = letter(layout, stitch, metrics, size, style, ground) {
                ground.add_box(label.bounds.inflate(0.03, 0.03));
                labels.push(label);
            }
        }
    }
    labels
}

/// The letter of a stitch's yarn, as near to its head as is free.
fn letter(
    layout: &Layout,
    stitch: &Stitch,
    metrics: &Metrics,
    size: f64,
    style: &Style,
    ground: &Ground,
) -> Option<Label> {
    const WAYS: u32 = 24;
    let pose = layout.pose(stitch.id);
    let middle = mean(&pose.feet).map_or(pose.head, |foot| foot.midpoint(pose.head));
    let label = metrics.centred(LabelRole::YarnLetter, &stitch.colour, middle, size, style.plain_ink);
    let up = mean(&pose.feet).and_then(|foot| unit(pose.head - foot)).unwrap_or(Vec2::new(0.0, -1.0));
    for ring in 0..16 {
        let radius = 0.3 + 0.05 * f64::from(ring);
        for way in 0..WAYS {
            // the ways nearest to up come first
            let turn = f64::from(way.div_ceil(2)) * if way % 2 == 0 { 1.0 } else { -1.0 };
            let (sin, cos) = libm::sincos(turn * std::f64::consts::TAU / f64::from(WAYS));
            let to = Vec2::new(up.x * cos - up.y * sin, up.x * sin + up.y * cos);
            let moved = shifted(&label, middle + to * radius);
            if ground.is_free(moved.bounds, 0.05) {
                return Some(moved);
            }
        }
    }
    None
}
