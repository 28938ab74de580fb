//! The worst places of the layout: where the chart had to give way.

use super::super::Ink;
use super::super::columns::Entry;
use super::super::ground::Ground;
use super::super::legs::mean;
use super::super::numbers::unit;
use super::super::scene::{Label, Mark, MarkRole};
use super::super::spot;
use super::{Work, entry, hull, mark};
use crate::craft::{Stem, drawn_height};
use crate::fabric::{Row, RowShape, StitchId};
use crate::symbol::{Speak, filled};
use kurbo::{BezPath, Point, Rect, Shape as _, Vec2};

const FAIR: Ink = Ink([0x8a, 0x5a, 0x00]);
pub(super) const FAIR_TINT: Ink = Ink([0xff, 0xf2, 0xc2]);
const POOR: Ink = Ink([0xa8, 0x1c, 0x1c]);
pub(super) const POOR_TINT: Ink = Ink([0xfb, 0xdd, 0xd8]);
/// Most places of each kind that are marked beyond the worst.
const MOST: usize = 6;
/// How far from its stitch a figure may stand.
const REACH: f64 = 2.0;

/// How far a stitch is off, in one respect: above 1 is poor, and the least of a chart is still the worst of it.
#[derive(Clone, Debug, PartialEq)]
struct Flaw {
    stitch: StitchId,
    beside: Option<StitchId>,
    /// 0 perfect, 1 at the bound of what reads badly.
    degree: f64,
    words: String,
}

/// The worst place in each respect, and every place beyond the bounds of a good chart.
fn flaws(work: &Work) -> Vec<Flaw> {
    let mut found = Vec::new();
    for mut flaws in [spacings(work), stretches(work), leans(work)] {
        flaws.sort_by(|a, b| b.degree.total_cmp(&a.degree).then(a.stitch.cmp(&b.stitch)));
        let poor = flaws.iter().take_while(|f| f.degree > 1.0).count().min(MOST);
        found.extend(flaws.into_iter().take(poor.max(1)).filter(|f| f.degree > 0.02));
    }
    found
}

/// A tint under the stitches of the worst places.
pub(super) fn tints(work: &Work, ground: &Ground) -> Vec<Mark> {
    let tint = |flaw: &Flaw| {
        let ids = [Some(flaw.stitch), flaw.beside];
        let shapes = ids.iter().flatten().filter_map(|id| work.figures[id.index()]).flat_map(|f| &f.shapes);
        let width = if flaw.is_poor() { 0.07 } else { 0.04 };
        let (role, ink) = if flaw.is_poor() { (MarkRole::Poor, POOR) } else { (MarkRole::Fair, FAIR) };
        let shapes = hull::around(shapes, width, ground)?.to_vec();
        Some(Mark { stitch: Some(flaw.stitch), shapes, ..mark(role, ink, BezPath::new(), width) })
    };
    flaws(work).iter().filter_map(tint).collect()
}

/// Beside each of them its figure.
pub(super) fn figures(work: &Work, ground: &mut Ground) -> Vec<Label> {
    let mut labels = Vec::new();
    for flaw in flaws(work) {
        let pose = work.layout.pose(flaw.stitch);
        let up = mean(&pose.feet).and_then(|f| unit(pose.head - f)).unwrap_or(Vec2::new(0.0, -1.0));
        let ink = if flaw.is_poor() { POOR } else { FAIR };
        labels.extend(spot::near(&work.note(&flaw.words, ink), pose.head, up, REACH, ground));
    }
    labels
}

impl Flaw {
    fn is_poor(&self) -> bool {
        self.degree > 1.0
    }
}

fn worked<'a>(work: &'a Work) -> impl Iterator<Item = &'a Row> {
    work.fabric.rows.iter().filter(|r| r.shape != RowShape::Foundation)
}

/// A stitch whose length and place on the line tell something: no chain, no dot.
fn stands(work: &Work, id: StitchId) -> bool {
    let stitch = work.fabric.stitch(id);
    !stitch.is_chain() && !stitch.is_slip_stitch() && work.fabric.space_of(id).is_none()
}

/// Neighbours closer or farther than is even for their row: bound 0.75 of the row's mean, or half over.
fn spacings(work: &Work) -> Vec<Flaw> {
    let mut flaws = Vec::new();
    for row in worked(work) {
        let line = &work.fabric.row(row.index).order;
        let pairs: Vec<(StitchId, StitchId, f64)> = line
            .windows(2)
            .filter(|w| stands(work, w[0]) && stands(work, w[1]) && w[1].index() == w[0].index() + 1)
            .map(|w| (w[0], w[1], (work.layout.pose(w[1]).head - work.layout.pose(w[0]).head).hypot2().sqrt()))
            .collect();
        if pairs.len() < 3 {
            continue;
        }
        let mean = pairs.iter().map(|p| p.2).sum::<f64>() / pairs.len() as f64;
        for &(a, b, distance) in pairs.iter().filter(|p| work.is_drawn(p.0) && work.is_drawn(p.1)) {
            let share = distance / mean.max(1e-9);
            let degree = if share < 1.0 { (1.0 - share) / 0.25 } else { (share - 1.0) / 0.5 };
            flaws.push(Flaw {
                stitch: a,
                beside: Some(b),
                degree,
                words: filled("apart", work.speak, &[("n", &format!("{share:.2}"))]),
            });
        }
    }
    flaws
}

/// Stitches longer or shorter than their symbol: bound 1.6 times.
fn stretches(work: &Work) -> Vec<Flaw> {
    let rows = worked(work).flat_map(|r| &r.order).copied();
    let flaw = |id: StitchId| {
        let pose = work.layout.pose(id);
        let stem = work.fabric.stitch(id).legs.iter().map(|l| l.stem).max().unwrap_or(Stem::Single);
        let foot = mean(&pose.feet)?;
        let share = (pose.head - foot).hypot2().sqrt() / drawn_height(stem);
        let degree = if share >= 1.0 { (share - 1.0) / 0.6 } else { (1.0 - share) / 0.3 };
        Some(Flaw {
            stitch: id,
            beside: None,
            degree,
            words: filled("long", work.speak, &[("n", &format!("{share:.2}"))]),
        })
    };
    rows.filter(|&id| stands(work, id) && work.is_drawn(id)).filter_map(flaw).collect()
}

/// Stitches that stand askew on the line of their row, one to a place: bound 18 degrees.
fn leans(work: &Work) -> Vec<Flaw> {
    let mut flaws = Vec::new();
    for row in worked(work) {
        for three in row.order.windows(3) {
            let [a, b, c] = [three[0], three[1], three[2]];
            let alone = |other: StitchId| work.fabric.stitch(other).into != work.fabric.stitch(b).into;
            let run = c.index() == a.index() + 2 && three.iter().all(|&id| stands(work, id));
            if !run || !work.is_drawn(b) || !alone(a) || !alone(c) || work.fabric.stitch(b).legs.len() > 1 {
                continue;
            }
            let pose = work.layout.pose(b);
            let rise = mean(&pose.feet).map(|foot| pose.head - foot);
            let along = unit(work.layout.pose(c).head - work.layout.pose(a).head);
            let Some((rise, along)) = rise.and_then(unit).zip(along) else { continue };
            let degrees = libm::asin(rise.dot(along).abs().min(1.0)).to_degrees();
            flaws.push(Flaw {
                stitch: b,
                beside: None,
                degree: degrees / 18.0,
                words: filled("leans", work.speak, &[("n", &format!("{degrees:.0}"))]),
            });
        }
    }
    flaws
}

pub(super) fn entries(marks: &[Mark], speak: Speak) -> Vec<Entry> {
    let sample = |role, ink, width, key| {
        let path: BezPath = Rect::from_origin_size(Point::ORIGIN, (0.7, 0.5)).to_path(0.01);
        marks.iter().any(|m| m.role == role).then(|| entry(mark(role, ink, path, width), key, speak))
    };
    let fair = sample(MarkRole::Fair, FAIR, 0.04, "least even");
    let poor = sample(MarkRole::Poor, POOR, 0.07, "uneven");
    fair.into_iter().chain(poor).collect()
}
