//! Shaped pieces, such as toys and hats: what grows is drawn as a disc, what goes on or narrows is laid open beside it, and
//! a table tells every round with its stitches and its change.
//!
//! Rounds that narrow, drawn as ever larger rings, would be misread as growth.

mod extract;
mod gores;
mod layers;

pub use layers::{goes_behind, layered};

use super::aside::Aside;
use super::pieces::pieces;
use super::words::{label_within, stitches};
use crate::fabric::{Fabric, Place, RowId, RowShape, StitchId};
use crate::layout::{Layout, LayoutOptions, Pose, Sizes, lay_out};
use crate::symbol::{Speak, filled, word};
use extract::{Extract, as_it_is, laid_open};
use gores::{count, cut};
use kurbo::{Point, Rect, Vec2};

/// Room between the disc and what is laid open, between gores, and between pieces.
const BESIDE: f64 = 4.0;
const BETWEEN_GORES: f64 = 1.2;
const BELOW: f64 = 4.0;

/// A layout in which shaped pieces are taken apart, and what is to be said of it.
pub struct Shaped {
    /// Every stitch once, in the disc or in what is laid open.
    pub layout: Layout,
    /// Base lines, words and tables.
    pub aside: Aside,
}

/// Lays out a fabric with its shaped pieces taken apart; none where no piece in rounds goes on or narrows beyond a disc.
pub fn shaped(fabric: &Fabric, whole: &Layout, sizes: &dyn Sizes, how: &LayoutOptions, speak: Speak) -> Option<Shaped> {
    let mut layout = whole.clone();
    let mut aside = Aside::default();
    let mut top = 0.0;
    let mut any = false;
    for rows in pieces(fabric) {
        let keep: Vec<StitchId> = fabric.stitches.iter().filter(|s| rows.contains(&s.row)).map(|s| s.id).collect();
        let Some((disc, beyond)) = parted(fabric, &rows) else {
            // as it is, in its turn below the others
            let all = bounds(&layout, &keep);
            shift(fabric, &mut layout, &keep, Vec2::new(-all.x0, top - all.y0));
            top += all.height() + BELOW;
            continue;
        };
        any = true;
        let inner: Vec<StitchId> =
            keep.iter().copied().filter(|&id| !beyond.contains(&fabric.stitch(id).row)).collect();
        put(fabric, &mut layout, &as_it_is(fabric, &inner), sizes, how);
        let flat = bounds(&layout, &inner);
        shift(fabric, &mut layout, &inner, Vec2::new(-flat.x0, top - flat.y0));
        let (mut x, mut low) = (flat.width() + BESIDE, top);
        for gore in cut(fabric, disc, &beyond) {
            let open = put(fabric, &mut layout, &laid_open(fabric, &gore.keep, &gore.base), sizes, how);
            let own = bounds(&layout, &gore.keep);
            let by = Vec2::new(x - own.x0, top - own.y0);
            shift(fabric, &mut layout, &gore.keep, by);
            // the line of the stitches it stands on
            aside.lines.push(open.into_iter().map(|p| p + by).collect());
            low = f64::max(low, top + own.height());
            x += own.width() + BETWEEN_GORES;
        }
        let words = filled(
            "stands on",
            speak,
            &[("row", &label_within(&fabric.row(disc).label, speak)), ("sts", &stitches(count(fabric, disc), speak))],
        );
        aside.notes.push((Point::new(flat.width() + BESIDE, low), words));
        aside.tables.push((top, table(fabric, &rows, speak)));
        let lines = 0.8 * rows.len() as f64;
        top += (low - top + 1.5).max(flat.height()).max(lines) + BELOW;
    }
    any.then_some(Shaped { layout, aside })
}

/// The last round of the disc, and the rounds beyond it; none where a piece is all disc, or is not worked in rounds.
fn parted(fabric: &Fabric, rows: &[RowId]) -> Option<(RowId, Vec<RowId>)> {
    let rounds: Vec<RowId> = rows.iter().copied().filter(|&r| !fabric.row(r).order.is_empty()).collect();
    let in_rounds = |&r: &RowId| matches!(fabric.row(r).shape, RowShape::Round | RowShape::Spiral);
    let worked: Vec<RowId> = rounds.into_iter().filter(|&r| fabric.row(r).shape != RowShape::Foundation).collect();
    if worked.len() < 2 || !worked.iter().all(in_rounds) {
        return None;
    }
    let counts: Vec<usize> = worked.iter().map(|&r| count(fabric, r)).collect();
    // one round without increases between two that have them still lies flat
    let grows = |k: usize| counts.get(k + 1).is_some_and(|n| *n > counts[k]);
    let rests = |k: usize| counts.get(k + 1) == Some(&counts[k]) && counts.get(k + 2).is_some_and(|n| *n > counts[k]);
    let mut last = 0;
    while grows(last) || rests(last) {
        last += 1;
    }
    let beyond: Vec<RowId> = worked[last + 1..].to_vec();
    // lace is flat by its chains, whatever its stitches count
    let lace = fabric.spaces.iter().flat_map(|s| &s.ids).any(|&id| beyond.contains(&fabric.stitch(id).row));
    (!beyond.is_empty() && !lace).then(|| (worked[last], beyond))
}

/// Lays out an extract and takes over its positions; gives the line its first row stands on.
fn put(fabric: &Fabric, layout: &mut Layout, extract: &Extract, sizes: &dyn Sizes, how: &LayoutOptions) -> Vec<Point> {
    let own = lay_out(&extract.fabric, sizes, how);
    for (pose, from) in own.poses.iter().zip(&extract.from) {
        if let Some(id) = from {
            layout.poses[id.index()] = pose.clone();
        }
    }
    let kept: Vec<StitchId> = extract.from.iter().flatten().copied().collect();
    let rings = (0..fabric.rings.len()).filter(|&k| holds_ring(fabric, &kept, k));
    for (k, pose) in rings.zip(&own.rings) {
        layout.rings[k] = *pose;
    }
    let stand_ins = extract.from.iter().zip(&own.poses).filter(|(from, _)| from.is_none());
    stand_ins.map(|(_, pose)| pose.head).collect()
}

fn bounds(layout: &Layout, ids: &[StitchId]) -> Rect {
    let points = |pose: &Pose| pose.feet.iter().copied().chain([pose.head]).chain(pose.lying.map(|l| l.at)).collect();
    let all: Vec<Point> = ids.iter().map(|&id| layout.pose(id)).flat_map::<Vec<Point>, _>(points).collect();
    let boxes = all.iter().map(|&p| Rect::from_points(p, p));
    boxes.reduce(|a, b| a.union(b)).unwrap_or(Rect::ZERO).inflate(0.5, 0.5)
}

/// True where one of the stitches is worked into a ring.
fn holds_ring(fabric: &Fabric, ids: &[StitchId], ring: usize) -> bool {
    let into = ids.iter().flat_map(|&id| &fabric.stitch(id).into);
    into.into_iter().any(|p| matches!(*p, Place::Ring { ring: r } if r.index() == ring))
}

fn shift(fabric: &Fabric, layout: &mut Layout, ids: &[StitchId], by: Vec2) {
    for id in ids {
        let pose = &mut layout.poses[id.index()];
        pose.head += by;
        pose.feet.iter_mut().for_each(|f| *f += by);
        if let Some(lying) = &mut pose.lying {
            lying.at += by;
        }
    }
    for (k, pose) in layout.rings.iter_mut().enumerate() {
        if holds_ring(fabric, ids, k) {
            pose.centre += by;
        }
    }
    for (space, arc) in fabric.spaces.iter().zip(&mut layout.spaces) {
        if space.ids.first().is_some_and(|id| ids.contains(id)) {
            (arc.start, arc.apex, arc.end) = (arc.start + by, arc.apex + by, arc.end + by);
        }
    }
}

/// Every round with its stitches and how many more or fewer they are than in the round before.
fn table(fabric: &Fabric, rows: &[RowId], speak: Speak) -> Vec<[String; 3]> {
    let mut lines = vec![["table round", "table sts", "table change"].map(|key| word(key, speak))];
    let mut before: Option<usize> = None;
    for row in rows.iter().map(|&r| fabric.row(r)).filter(|r| !r.order.is_empty() && r.shape != RowShape::Foundation) {
        let now = count(fabric, row.index);
        let change = match before {
            None => String::new(),
            Some(b) if now > b => format!("+{}", now - b),
            Some(b) if now < b => format!("−{}", b - now),
            Some(_) => "0".to_owned(),
        };
        let name = row.label.rsplit(' ').next().unwrap_or("").to_owned();
        lines.push([name, now.to_string(), change]);
        before = Some(now);
    }
    lines
}
