//! What gives: chains that stand out at a corner, rounds that make up for an open ring, rows that are free to spread.

use super::curve::{CUPS_BELOW, Curve, CurveNote, Verdict};
use super::line::RowLine;
use crate::craft::Stem;
use crate::fabric::{Fabric, LineNode, Place, StitchId};
use crate::source::Span;
use std::collections::BTreeMap;
use std::f64::consts::PI;

/// Extra stitches worked, where chains of corner spaces may lie along the row or stand out of it: as many of their
/// widths as the row needs. What no chain can make good stays.
pub(super) fn with_corner_chains(needed: f64, worked: f64, chains: f64) -> f64 {
    if worked > needed { (worked - chains).max(needed) } else { worked }
}

/// How high every stitch stands above the line its row began from: its own height and that of what it stands on.
#[derive(Default)]
pub(super) struct Heights {
    of: BTreeMap<StitchId, f64>,
    of_space: BTreeMap<usize, f64>,
}

impl Heights {
    /// Takes in a row and tells, gap by gap, how much longer it is for climbing and falling with the heights of its
    /// stitches than what it stands on; 0 where a row is of one height on one.
    pub(super) fn climbs(&mut self, fabric: &Fabric, line: &RowLine) -> Vec<f64> {
        let of = |node: LineNode| match node {
            LineNode::Stitch(id) => Some(fabric.stitch(id)),
            LineNode::Space(_) => None,
        };
        let under = |place: &Place| match *place {
            Place::Space { space } => self.of_space.get(&space.index()).copied(),
            Place::Ring { .. } => Some(0.0),
            _ => self.of.get(&place.stitch()?).copied().or(line.on_chain.then_some(0.0)),
        };
        let base = |at: usize| -> Option<f64> {
            let feet: Option<Vec<f64>> = of(line.stops[at].node)?.into.iter().map(under).collect();
            feet.filter(|f| !f.is_empty()).map(|f| f.iter().sum::<f64>() / f.len() as f64)
        };
        let n = line.stops.len();
        let bases: Vec<Option<f64>> = (0..n).map(base).collect();
        let heads: Vec<Option<f64>> = (0..n).map(|i| Some(bases[i]? + line.stops[i].height)).collect();
        for (i, stop) in line.stops.iter().enumerate() {
            match stop.node {
                LineNode::Stitch(id) => {
                    self.of.extend(heads[i].map(|head| (id, head)));
                }
                LineNode::Space(k) => {
                    let beside = heads[(i + n - 1) % n].zip(heads[(i + 1) % n]);
                    self.of_space.extend(beside.map(|(a, b)| (k.index(), 0.5 * (a + b))));
                }
            }
        }
        let climb = |i: usize| {
            let j = (i + 1) % n;
            let (a, b) = heads[i].zip(heads[j])?;
            let along = 1.0 - line.gaps[i]?;
            let below = bases[j]? - bases[i]?;
            let slope = |along: f64, up: f64| libm::hypot(along, up) - along;
            Some(slope(1.0, b - a) - slope(along.max(0.0), below))
        };
        (0..line.gaps.len()).map(|i| climb(i).unwrap_or(0.0)).collect()
    }
}

/// What a first round in a ring has over beyond the ring's own chains: the hole lies as open as that, and the rounds above
/// may have as many fewer. Extra stitches needed and worked; none where there is nothing over.
pub(super) fn of_open_ring(fabric: &Fabric, line: &RowLine) -> Option<(f64, f64)> {
    let ring = line.stops.iter().find_map(|s| match s.node {
        LineNode::Stitch(id) => fabric.stitch(id).into.iter().find_map(|place| match place {
            Place::Ring { ring } => fabric.rings.get(ring.index()),
            _ => None,
        }),
        LineNode::Space(_) => None,
    });
    let chains = |id: &&StitchId| matches!(fabric.stitch(**id).stem(), Stem::Chain(_));
    let chains = ring.map_or(0, |r| r.ids.iter().filter(chains).count()) as f64;
    let (needed, worked) = (line.needed(), line.worked() - chains);
    (line.on_ring && line.closed && worked > needed).then_some((needed, worked))
}

/// Tells rows that ruffle by the line they are drawn on and yet lie flat: of a piece worked to and fro from one side of a
/// chain nothing holds the ends, and it spreads into a fan whose rows all turn by the same angle.
///
/// True where it does.
pub(super) fn spread_fans(fabric: &Fabric, lines: &[RowLine], curve: &mut Curve) -> bool {
    // rows of a fan turn alike, and it ends before it meets itself
    const ALIKE: f64 = 1.2;
    const FURTHEST: f64 = 1.9 * PI;
    if curve.verdict != Verdict::Ruffles || lines.iter().any(|l| l.closed) || !begins_on_one_side(fabric, lines) {
        return false;
    }
    let judged: Vec<usize> = (0..lines.len()).filter(|&i| curve.rows[i].judged).collect();
    let turns: Vec<f64> = judged
        .iter()
        .map(|&i| {
            let stops = &lines[i].stops;
            let height = stops.iter().map(|s| s.height).sum::<f64>() / stops.len().max(1) as f64;
            // the ends of the row spread as well
            let worked: f64 = lines[i].gaps.iter().flatten().sum();
            worked / height.max(1e-6)
        })
        .collect();
    let (least, most) = turns.iter().fold((f64::INFINITY, 0.0_f64), |(a, b), &t| (a.min(t), b.max(t)));
    if turns.is_empty() || least < 0.5 || most > ALIKE * least || most > FURTHEST {
        return false;
    }
    for &i in &judged {
        curve.rows[i].verdict = Verdict::Flat;
        curve.rows[i].places.iter_mut().for_each(|p| p.verdict = Verdict::Flat);
    }
    curve.verdict = Verdict::Flat;
    let angle = (turns.iter().sum::<f64>() / turns.len() as f64).to_degrees();
    // few rows that tell, among many that give, say nothing of the angle of the whole
    let message = if judged.len() > 1 && 2 * judged.len() + 1 >= lines.len() {
        format!(
            "its ends are free, and every row has as many increases: it spreads flat into a fan of about {:.0}°",
            (angle / 5.0).round() * 5.0
        )
    } else {
        "its ends are free: what rows have over spreads flat to the sides".to_owned()
    };
    curve.notes.push(CurveNote { about: "fan", message, span: Span::default(), moves: Vec::new() });
    true
}

/// True where the first row stands on one side of a chain and on nothing else.
fn begins_on_one_side(fabric: &Fabric, lines: &[RowLine]) -> bool {
    let Some(first) = lines.first().filter(|l| l.on_chain) else { return false };
    let under = |stop: &LineNode| match *stop {
        LineNode::Stitch(id) => fabric.stitch(id).into.iter().any(|p| matches!(p, Place::Underside { .. })),
        LineNode::Space(_) => false,
    };
    !first.stops.iter().any(|s| under(&s.node)) && lines.iter().skip(1).all(|l| !l.on_chain)
}

/// True where what a ring has over makes up for what rounds lack.
pub(super) fn makes_up(over: Option<(f64, f64)>, needed: f64, worked: f64) -> bool {
    over.is_some_and(|(n, w)| (worked + w) / (needed + n).max(1e-6) >= CUPS_BELOW)
}
