//! Where stitches are gained and lost.

use super::super::Ink;
use super::super::columns::Entry;
use super::super::ground::Ground;
use super::super::legs::mean;
use super::super::numbers::unit;
use super::super::scene::{Label, Mark, MarkRole};
use super::super::spot;
use super::{Work, entry, hull, mark};
use crate::fabric::{Place, Role, Stitch, StitchId};
use crate::symbol::Speak;
use kurbo::{BezPath, Point, Rect, Shape as _, Vec2};

const MORE: Ink = Ink([0x1c, 0x6b, 0x4e]);
pub(super) const MORE_TINT: Ink = Ink([0xd9, 0xf0, 0xe5]);
const LESS: Ink = Ink([0x8a, 0x2a, 0x7c]);
pub(super) const LESS_TINT: Ink = Ink([0xf3, 0xdd, 0xf0]);
const LINE: f64 = 0.05;
/// How far from its stitches a sign may stand.
const REACH: f64 = 2.2;

/// A tint under the stitches of each increase and decrease.
pub(super) fn tints(work: &Work, ground: &Ground) -> Vec<Mark> {
    let mut marks = Vec::new();
    for (stitches, change) in changes(work) {
        let shapes = stitches.iter().filter_map(|id| work.figures[id.index()]).flat_map(|f| &f.shapes);
        let Some(outline) = hull::around(shapes, LINE, ground) else { continue };
        let (role, ink) = if change > 0 { (MarkRole::Increase, MORE) } else { (MarkRole::Decrease, LESS) };
        let stitch = stitches.first().copied();
        let one = Mark { stitch, shapes: outline.to_vec(), ..mark(role, ink, BezPath::new(), LINE) };
        marks.push(one);
    }
    marks
}

/// Beside each increase and decrease of more than one stitch, how many. One stitch is what the tint alone says: signs at
/// every increase would fill a fabric of sc and leave no room for anything else.
pub(super) fn signs(work: &Work, ground: &mut Ground) -> Vec<Label> {
    let mut labels = Vec::new();
    for (stitches, change) in changes(work).into_iter().filter(|(_, change)| change.abs() > 1) {
        let ink = if change > 0 { MORE } else { LESS };
        let sign = if change > 0 { format!("+{change}") } else { format!("−{}", -change) };
        let heads: Vec<Point> = stitches.iter().map(|&id| work.layout.pose(id).head).collect();
        let feet: Vec<Point> = stitches.iter().flat_map(|&id| work.layout.pose(id).feet.clone()).collect();
        if let Some((head, foot)) = mean(&heads).zip(mean(&feet)) {
            let up = unit(head - foot).unwrap_or(Vec2::new(0.0, -1.0));
            labels.extend(spot::near(&work.note(&sign, ink), head, up, REACH, ground));
        }
    }
    labels
}

/// The stitches of each increase and decrease that are drawn, with the stitches gained.
fn changes(work: &Work) -> Vec<(Vec<StitchId>, i64)> {
    let stands = |s: &&Stitch| {
        let counting = matches!(s.role, Role::Base | Role::Branch) && !s.is_chain() && !s.is_slip_stitch();
        (counting || s.is_counting_turning_chain()) && work.is_drawn(s.id)
    };
    let mut found: Vec<(Vec<StitchId>, i64)> = Vec::new();
    let mut keyed: Vec<((usize, u8, StitchId), StitchId)> = Vec::new();
    for stitch in work.fabric.stitches.iter().filter(stands) {
        let mut places: Vec<_> = stitch.into.iter().filter_map(key).collect();
        places.sort_unstable();
        places.dedup();
        match places.as_slice() {
            [] => {}
            [(tag, at)] => keyed.push(((stitch.row.index(), *tag, *at), stitch.id)),
            // two places in one leg are two layers worked through, which loses nothing
            several if stitch.legs.len() > 1 => found.push((vec![stitch.id], 1 - several.len() as i64)),
            _ => {}
        }
    }
    keyed.sort_unstable();
    for group in keyed.chunk_by(|a, b| a.0 == b.0).filter(|g| g.len() > 1) {
        found.push((group.iter().map(|&(_, id)| id).collect(), group.len() as i64 - 1));
    }
    found.sort_by_key(|(ids, _)| ids.first().copied());
    found
}

/// A place that holds one stitch where nothing is gained or lost. Rings and spaces hold any number.
fn key(place: &Place) -> Option<(u8, StitchId)> {
    match *place {
        Place::Top { top, .. } => Some((0, top)),
        Place::Chain { chain } | Place::Bump { bump: chain } => Some((1, chain)),
        Place::Underside { underside } => Some((2, underside)),
        Place::Post { post, .. } => Some((3, post)),
        _ => None,
    }
}

/// The two tints as the legend shows them.
pub(super) fn entries(marks: &[Mark], speak: Speak) -> Vec<Entry> {
    let sample = |role, ink, key| {
        let path: BezPath = Rect::new(0.0, 0.0, 0.7, 0.5).to_path(0.01);
        marks.iter().any(|m| m.role == role).then(|| entry(mark(role, ink, path, LINE), key, speak))
    };
    let more = sample(MarkRole::Increase, MORE, "increase");
    let less = sample(MarkRole::Decrease, LESS, "decrease");
    more.into_iter().chain(less).collect()
}
