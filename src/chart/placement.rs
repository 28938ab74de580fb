//! Where the pieces go: every part as a plain shape with its name, parts worked on others in their places, and the words
//! that say how the rest is sewn on.

use super::columns::{self, bounds};
use super::furnish;
use super::ground::Ground;
use super::legs::mean;
use super::metrics::Metrics;
use super::numbers::shifted;
use super::pieces::rows_of;
use super::scene::{Label, LabelRole, Mark, MarkRole, Paint, Scene, Shape};
use super::trace::traced;
use super::wrap::Column;
use super::{ChartInfo, Ink, Style};
use crate::fabric::{Fabric, Part, PartId, Place, RowShape, StitchId};
use crate::layout::Layout;
use crate::symbol::{PartKind, SymbolSet, filled};
use kurbo::{BezPath, Point, Rect, Vec2};

/// Half the width of a stitch that fills a shape, and the line round it.
const REACH: f64 = 0.6;
const LINE: f64 = 0.08;
/// The line along which a part is worked on another.
const SEAM: f64 = 0.16;
const PALE: [Ink; 2] = [Ink([0xe3, 0xec, 0xf7]), Ink([0xfa, 0xe6, 0xdb])];
/// Distance names keep from lines.
const CLEAR: f64 = 0.15;

/// A drawing of the parts as plain shapes, at the chart's own scale. `sewing` are the pattern's words about how they are
/// put together, which no stitch tells.
pub fn placement(
    fabric: &Fabric,
    layout: &Layout,
    symbols: &SymbolSet,
    style: &Style,
    info: &ChartInfo,
    sewing: &[String],
) -> Scene {
    let metrics = Metrics::new(&style.font);
    let speak = style.speak.unwrap_or(info.terms);
    let mut scene = furnish::begun(fabric, symbols, style, info, speak);
    let own = |p: &&Part| fabric.stitches.iter().any(|s| fabric.row(s.row).part == p.index);
    let parts: Vec<&Part> = fabric.parts.iter().filter(own).collect();
    for (k, part) in parts.iter().enumerate() {
        scene.marks.extend(shape_of(fabric, layout, part.index, PALE[k % 2], style.plain_ink));
    }
    let seams: Vec<(PartId, BezPath)> =
        parts.iter().filter_map(|p| Some((p.index, seam(fabric, layout, p.index)?))).collect();
    scene.marks.extend(seams.iter().map(|(_, path)| line(MarkRole::Seam, style.plain_ink, path.clone(), SEAM)));
    let work = scene.marks.iter().filter_map(|m| bounds(&m.shapes)).reduce(|a, b| a.union(b)).unwrap_or(Rect::ZERO);
    let mut ground = Ground::new(work.inflate(8.0, 8.0));
    scene.marks.iter().flat_map(|m| &m.shapes).flat_map(traced).for_each(|s| ground.add(s, None));
    let size = style.text_size(0.7, 8.0);
    let named = |part: &Part, worked_on: bool| {
        let mut text = part.name.clone();
        if part.copies > 1 {
            text = filled("make copies", speak, &[("name", &text), ("n", &part.copies.to_string())]);
        }
        if worked_on {
            text = filled("worked on", speak, &[("name", &text)]);
        }
        metrics.centred(LabelRole::Note, &text, Point::ORIGIN, size, style.plain_ink)
    };
    scene.labels = names(fabric, layout, &parts, &seams, named, &mut ground);
    let names: Vec<String> = scene.labels.iter().map(|l| l.text.clone()).collect();
    scene.desc =
        format!("Placement: {}.{}", names.join("; "), sewing.iter().map(|s| format!("\n{s}")).collect::<String>());
    scene.prefix += "-place";
    let work = columns::bounds_of_marks(&scene);
    let below = |scene: &mut Scene| told(scene, style, &metrics, work, sewing);
    furnish::furnish(&mut scene, style, &metrics, work, below, info.credit.as_deref());
    scene
}

fn line(role: MarkRole, ink: Ink, path: BezPath, width: f64) -> Mark {
    let shape = Shape { kind: PartKind::Body, path, paint: Paint::Stroke(width), placed: None };
    Mark { role, ink, tint: None, dashed: false, shapes: vec![shape], tip: None, stitch: None }
}

/// A part as one shape: its stitches as broad strokes that run into each other, over the same in ink and a little broader.
fn shape_of(fabric: &Fabric, layout: &Layout, part: PartId, pale: Ink, ink: Ink) -> [Mark; 2] {
    let mut path = BezPath::new();
    for row in fabric.rows.iter().filter(|r| r.part == part) {
        let round = matches!(row.shape, RowShape::Round | RowShape::Spiral);
        // along the middles of the stitches, and along their heads, so that the edge is smooth
        let lines = [middle, |layout: &Layout, id: StitchId| layout.pose(id).head];
        for line in lines {
            let points: Vec<Point> = row.order.iter().map(|&id| line(layout, id)).collect();
            let Some((first, rest)) = points.split_first() else { continue };
            path.move_to(*first);
            rest.iter().for_each(|p| path.line_to(*p));
            if round {
                path.line_to(*first);
            }
        }
    }
    // the hole in the middle of a ring is no hole in the shape
    for (ring, pose) in fabric.rings.iter().zip(&layout.rings).filter(|(r, _)| fabric.row(r.row).part == part) {
        let first = fabric.rows[ring.row.index()..].iter().find_map(|r| r.order.first());
        path.move_to(pose.centre);
        path.line_to(first.map_or(pose.centre + Vec2::new(0.01, 0.0), |&id| layout.pose(id).head));
    }
    for stitch in fabric.stitches.iter().filter(|s| fabric.row(s.row).part == part) {
        let pose = layout.pose(stitch.id);
        let from = mean(&pose.feet).unwrap_or(pose.head);
        path.move_to(from);
        // a line of no length draws nothing everywhere alike
        path.line_to(if from == pose.head { from + Vec2::new(0.01, 0.0) } else { pose.head });
    }
    let width = 2.0 * REACH;
    [line(MarkRole::Outline, ink, path.clone(), width + 2.0 * LINE), line(MarkRole::Outline, pale, path, width)]
}

fn middle(layout: &Layout, id: StitchId) -> Point {
    let pose = layout.pose(id);
    mean(&pose.feet).map_or(pose.head, |foot| foot.midpoint(pose.head))
}

/// The line along which a part is worked on another; none for a part begun by itself.
fn seam(fabric: &Fabric, layout: &Layout, part: PartId) -> Option<BezPath> {
    let own = fabric.stitches.iter().filter(|s| fabric.row(s.row).part == part);
    let other = |p: &Place| rows_of(fabric, p).iter().any(|&r| fabric.row(r).part != part);
    let joined = own.filter(|s| s.into.iter().any(other));
    let points: Vec<Point> = joined.filter_map(|s| layout.pose(s.id).feet.first().copied()).collect();
    let (first, rest) = points.split_first()?;
    let mut path = BezPath::new();
    path.move_to(*first);
    path.line_to(*first + Vec2::new(0.01, 0.0));
    rest.iter().for_each(|p| path.line_to(*p));
    Some(path)
}

/// The name of each part below its shape, or beside it where that is not free.
fn names(
    fabric: &Fabric,
    layout: &Layout,
    parts: &[&Part],
    seams: &[(PartId, BezPath)],
    named: impl Fn(&Part, bool) -> Label,
    ground: &mut Ground,
) -> Vec<Label> {
    let mut labels = Vec::new();
    for part in parts {
        let heads = fabric.stitches.iter().filter(|s| fabric.row(s.row).part == part.index);
        let boxes = heads.map(|s| Rect::from_points(layout.pose(s.id).head, layout.pose(s.id).head));
        let Some(own) = boxes.reduce(|a, b| a.union(b)).map(|b| b.inflate(REACH, REACH)) else { continue };
        let worked_on = seams.iter().any(|(p, _)| *p == part.index);
        let label = named(part, worked_on);
        let half = label.bounds.size() / 2.0;
        let below = Point::new(own.center().x, own.y1 + 0.5 + half.height);
        let above = Point::new(own.center().x, own.y0 - 0.5 - half.height);
        let beside = [
            Point::new(own.x1 + 0.5 + half.width, own.center().y),
            Point::new(own.x0 - 0.5 - half.width, own.center().y),
        ];
        let wished =
            if worked_on { vec![beside[0], beside[1], above, below] } else { vec![below, above, beside[0], beside[1]] };
        let tried = (0..40).flat_map(|k| {
            let away = 0.2 * f64::from(k);
            wished.clone().into_iter().map(move |p| {
                let out = p - own.center();
                p + out / out.hypot2().sqrt().max(1e-9) * away
            })
        });
        let free = tried.map(|p| shifted(&label, p)).find(|l| ground.is_free(l.bounds, CLEAR));
        let placed = free.unwrap_or_else(|| shifted(&label, below));
        ground.add_box(placed.bounds);
        labels.push(placed);
    }
    labels
}

/// The words about sewing below the work; gives the box of all.
fn told(scene: &mut Scene, style: &Style, metrics: &Metrics, work: Rect, sewing: &[String]) -> Rect {
    let column = Column::new(metrics, style, work.width());
    let (mut all, mut top) = (work, work.y1 + 0.9);
    for words in sewing {
        let lines = column.lines(words);
        let labels = column.set(&lines, work.x0, top, style.plain_ink);
        top += (lines.len() as f64 + 0.3) * column.pitch();
        all = labels.iter().map(|l| l.bounds).fold(all, |a, b| a.union(b));
        scene.labels.extend(labels);
    }
    if !sewing.is_empty() {
        all.x1 = all.x1.max(work.x0 + column.width);
    }
    all
}
