//! The curve check on the chart: bands along the bends, and arrows from increases to the bend they should serve.

use super::super::Ink;
use super::super::columns::Entry;
use super::super::ground::Ground;
use super::super::legs::mean;
use super::super::numbers::unit;
use super::super::scene::{Label, Mark, MarkRole};
use super::super::spot;
use super::super::trace::Segment;
use super::order::{head_at, middle};
use super::{Work, entry, mark};
use crate::fabric::StitchId;
use crate::measure::{CurvePlace, Verdict};
use crate::symbol::Speak;
use kurbo::{BezPath, Point, Vec2};

const FITS: Ink = Ink([0xd9, 0xec, 0xd2]);
const FEW: Ink = Ink([0xf6, 0xc9, 0x8f]);
const MANY: Ink = Ink([0xc6, 0xd0, 0xf2]);
const WORDS: Ink = Ink([0x5a, 0x3a, 0x10]);
/// Of three widths, so that they part without colour: a bend with too few is the broadest.
const BANDS: [(MarkRole, Ink, f64); 3] =
    [(MarkRole::BendFits, FITS, 0.3), (MarkRole::BendFew, FEW, 0.62), (MarkRole::BendMany, MANY, 0.46)];
const MOVE: Ink = Ink([0x8a, 0x1f, 0x1f]);
const MOVE_LINE: f64 = 0.1;
/// How far from its bend a figure may stand.
const REACH: f64 = 3.0;

const fn band_of(verdict: Verdict) -> (MarkRole, Ink, f64) {
    match verdict {
        Verdict::Flat => BANDS[0],
        Verdict::Cups => BANDS[1],
        Verdict::Ruffles => BANDS[2],
    }
}

fn places<'a>(work: &'a Work) -> impl Iterator<Item = &'a CurvePlace> {
    let rows = work.curve.into_iter().flat_map(|c| &c.rows).filter(|r| r.judged);
    rows.flat_map(|r| &r.places)
}

/// A band along every bend, in the colour of what it gets, and an arrow for every increase that should move.
pub(super) fn bands(work: &Work, ground: &Ground) -> Vec<Mark> {
    let mut marks: Vec<Mark> = Vec::new();
    for place in places(work) {
        let (role, ink, width) = band_of(place.verdict);
        let line: Vec<Point> =
            place.stitches.iter().filter(|id| work.is_drawn(**id)).map(|&id| middle(work, id)).collect();
        let around = place.turn_deg > 350.0 && line.len() > 2;
        let ends = line.last().zip(line.first()).filter(|_| around).map(|(&a, &b)| (a, b));
        let mut path = BezPath::new();
        let mut pen: Option<Point> = None;
        for (a, b) in line.windows(2).map(|w| (w[0], w[1])).chain(ends) {
            // the band is broken where a label stands
            if !ground.is_off_labels(&Segment::new(a, b, width / 2.0)) {
                pen = None;
                continue;
            }
            if pen != Some(a) {
                path.move_to(a);
            }
            path.line_to(b);
            pen = Some(b);
        }
        if !path.elements().is_empty() {
            marks.push(mark(role, ink, path, width));
        }
    }
    // what does not fit lies over what does
    marks.sort_by_key(|m| m.role != MarkRole::BendFits);
    let moves = work.curve.into_iter().flat_map(|c| &c.notes).flat_map(|n| &n.moves);
    marks.extend(moves.filter_map(|&(from, to)| arrow(work, ground, from, to)));
    marks
}

/// Along the heads of the row, from an increase to the bend.
fn arrow(work: &Work, ground: &Ground, from: StitchId, to: StitchId) -> Option<Mark> {
    let order = &work.fabric.row(work.fabric.stitch(from).row).order;
    let (a, b) = (order.iter().position(|&s| s == from)?, order.iter().position(|&s| s == to)?);
    let run: Vec<StitchId> = if a <= b { order[a..=b].to_vec() } else { order[b..=a].iter().rev().copied().collect() };
    // between the heads of this row and the feet of the next
    let points: Vec<Point> = run.iter().filter(|id| work.is_drawn(**id)).map(|&id| work.layout.pose(id).head).collect();
    let [.., before, last] = points[..] else { return None };
    let mut path = BezPath::new();
    let mut pen: Option<Point> = None;
    for w in points.windows(2) {
        if !ground.is_off_labels(&Segment::new(w[0], w[1], MOVE_LINE / 2.0)) {
            pen = None;
            continue;
        }
        if pen != Some(w[0]) {
            path.move_to(w[0]);
        }
        path.line_to(w[1]);
        pen = Some(w[1]);
    }
    path.extend(head_at(last, unit(last - before)?));
    Some(mark(MarkRole::Move, MOVE, path, MOVE_LINE))
}

/// Beside each bend that does not fit, what it needs and gets.
pub(super) fn figures(work: &Work, ground: &mut Ground) -> Vec<Label> {
    let mut labels = Vec::new();
    for place in places(work).filter(|p| p.verdict != Verdict::Flat) {
        let drawn: Vec<StitchId> = place.stitches.iter().copied().filter(|&id| work.is_drawn(id)).collect();
        let Some(&id) = drawn.get(drawn.len() / 2) else { continue };
        let pose = work.layout.pose(id);
        let up = mean(&pose.feet).and_then(|f| unit(pose.head - f)).unwrap_or(Vec2::new(0.0, -1.0));
        let words = format!("needs {:.1}, gets {:.1}", place.needed, place.worked);
        labels.extend(spot::near(&work.note(&words, WORDS), pose.head, up, REACH, ground));
    }
    labels
}

/// The bands and the arrow as the legend shows them.
pub(super) fn entries(marks: &[Mark], speak: Speak) -> Vec<Entry> {
    let keys = ["curve fits", "curve too few", "curve too many"];
    let bands = BANDS.iter().zip(keys).filter(|((role, ..), _)| marks.iter().any(|m| m.role == *role));
    let mut entries: Vec<Entry> = bands
        .map(|(&(role, ink, width), key)| {
            let mut path = BezPath::new();
            path.move_to((0.0, 0.0));
            path.line_to((1.0, 0.0));
            entry(mark(role, ink, path, width), key, speak)
        })
        .collect();
    if marks.iter().any(|m| m.role == MarkRole::Move) {
        let mut path = BezPath::new();
        path.move_to((0.0, 0.0));
        path.line_to((1.0, 0.0));
        path.extend(head_at(Point::new(1.0, 0.0), Vec2::new(1.0, 0.0)));
        entries.push(entry(mark(MarkRole::Move, MOVE, path, MOVE_LINE), "curve move", speak));
    }
    entries
}
