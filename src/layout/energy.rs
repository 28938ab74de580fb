//! The energy of a layout written out, term by term, for checks from outside.

use super::bounds::Heard;
use super::net::{Net, Node};
use super::plane::point;
use super::relax::terms_of;
use super::rest::Rest;
use super::shape::Scope;
use super::terms::{Measure, OneTerm, Weight};
use crate::fabric::{RingId, SpaceId, StitchId};
use kurbo::Point;
use serde::Serialize;

/// The energy of a layout: the sum of (weight × residual)² over all terms, at the final rest sizes.
///
/// Points are as the solver left them, in sc widths, before the chart is turned upright.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Energy {
    /// The sum of all terms.
    pub total: f64,
    /// The points, in the order that terms name them by.
    pub points: Vec<EnergyPoint>,
    /// The terms.
    pub terms: Vec<EnergyTerm>,
}

/// A point: the head of a stitch or the middle of a lying chain, the apex of a space, the middle of a ring.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct EnergyPoint {
    /// The stitch, if it is one's.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stitch: Option<StitchId>,
    /// The space, if it is one's.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub space: Option<SpaceId>,
    /// The ring, if it is one's.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ring: Option<RingId>,
    /// Where it is.
    #[serde(serialize_with = "pair")]
    pub at: Point,
}

/// One term.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct EnergyTerm {
    /// What it wants, in a word or two.
    pub want: &'static str,
    /// Its residual: the sum of its parts plus a constant, brought into −π … π where it is an angle.
    pub residual: f64,
    /// The weight of a residual of this sign and size.
    pub weight: f64,
    /// The stitches whose points it holds.
    pub stitches: Vec<StitchId>,
    /// The parts whose sum it is.
    pub parts: Vec<EnergyPart>,
    /// The constant.
    pub plus: f64,
    /// The weight of a negative residual, of one up to the limit, and of what is beyond it.
    pub weights: EnergyWeights,
}

/// The weights of a term on both sides.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct EnergyWeights {
    /// Below 0.
    pub short: f64,
    /// From 0 to the limit.
    pub long: f64,
    /// The limit; none where there is none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub limit: Option<f64>,
    /// What the part beyond the limit adds.
    pub beyond: f64,
    /// True where the limit holds below 0 as well.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub both: bool,
}

/// A factor times a measure of a vector.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct EnergyPart {
    /// The factor.
    pub factor: f64,
    /// `length`, `angle`, `x` or `y`.
    pub measure: &'static str,
    /// The vector: the sum of `a · p + b · q`, q being p turned a quarter, (−y, x); by index of point, a, b.
    pub of: Vec<(usize, f64, f64)>,
}

fn pair<S: serde::Serializer>(p: &Point, serializer: S) -> Result<S::Ok, S::Error> {
    [p.x, p.y].serialize(serializer)
}

/// The energy of the net as it stands.
pub(super) fn energy_of(net: &Net, rest: &Rest) -> Energy {
    let rings: Vec<Option<usize>> = net.ring_of.clone();
    let ring_at = |node: usize| rings.iter().position(|r| *r == Some(node)).map(RingId::new);
    let points = net.nodes.iter().enumerate().map(|(node, kind)| EnergyPoint {
        stitch: net.stitch_of(node),
        space: if let Node::Apex(k) = *kind { Some(SpaceId::new(k)) } else { None },
        ring: if *kind == Node::Ring { ring_at(node) } else { None },
        at: point(net.heads[node]),
    });
    let points: Vec<EnergyPoint> = points.collect();
    let heard = if net.bounded { Heard::All } else { Heard::No };
    let terms: Vec<EnergyTerm> =
        terms_of(net, rest, &Scope::of_all(net), heard).iter().map(|t| written(net, t)).collect();
    let total = terms.iter().map(|t| (t.weight * t.residual) * (t.weight * t.residual)).sum();
    Energy { total, points, terms }
}

fn written(net: &Net, term: OneTerm) -> EnergyTerm {
    let (residual, weight) = term.residual_and_weight(&net.heads);
    let mut nodes = Vec::new();
    term.nodes(&mut nodes);
    nodes.sort_unstable();
    let parts = term.parts().map(|(factor, measure, of)| EnergyPart {
        factor,
        measure: match measure {
            Measure::Length => "length",
            Measure::Angle => "angle",
            Measure::X => "x",
            Measure::Y => "y",
        },
        of: of.to_vec(),
    });
    EnergyTerm {
        want: term.want(),
        residual,
        weight,
        stitches: nodes.into_iter().filter_map(|n| net.stitch_of(n)).collect(),
        parts: parts.collect(),
        plus: term.plus(),
        weights: match term.weight() {
            Weight::Even(w) => EnergyWeights { short: w, long: w, limit: None, beyond: w, both: false },
            Weight::Hinged { within, limit, beyond } => {
                EnergyWeights { short: within, long: within, limit: Some(limit), beyond, both: true }
            }
            Weight::Sided { short, long, limit, beyond } => {
                EnergyWeights { short, long, limit: Some(limit), beyond, both: false }
            }
        },
    }
}
