//! What a piece does in space, in a word and in figures.

use super::curvature;
use super::mesh::Mesh;
use super::vector::{Vec3, dot, length, middle, normal_of, plus, sub};
use crate::fabric::{Fabric, RowShape};
use crate::measure::curve::{Curve, Verdict};
use crate::measure::line::RowLine;
use serde::Serialize;
use std::f64::consts::TAU;

/// The shape of a piece.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Shape {
    /// It lies flat.
    #[default]
    Flat,
    /// Its rounds neither widen nor narrow.
    Tube,
    /// Its rounds widen evenly, too slowly to lie flat.
    Cone,
    /// It draws up to a bowl.
    Cup,
    /// It closes upon itself.
    Closed,
    /// It waves.
    Saddle,
}

/// A shape in figures. Lengths are in sc widths.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Space {
    /// What it is.
    #[serde(skip)]
    pub shape: Shape,
    /// From its middle to the plane of its rim; of a saddle, from its lowest point to its highest.
    pub depth: f64,
    /// Across its last round, or its widest.
    pub across: f64,
    /// Of a cone, half the angle at its tip.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub half_angle_deg: Option<f64>,
    /// Of a saddle, the waves of its rim.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub waves: Option<usize>,
    /// The mean curvature, for each square sc width.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub curvature: Option<f64>,
    /// How far its rows still are from their lengths, as a mean share.
    pub strain: f64,
}

impl Space {
    pub(in crate::measure) fn flat() -> Space {
        Space {
            shape: Shape::Flat,
            depth: 0.0,
            across: 0.0,
            half_angle_deg: None,
            waves: None,
            curvature: None,
            strain: 0.0,
        }
    }
}

/// The shape as the rows tell it: how fast rounds widen against how fast a disc does.
pub(super) fn by_rows(fabric: &Fabric, lines: &[RowLine], curve: &Curve) -> Shape {
    match curve.verdict {
        Verdict::Flat => return Shape::Flat,
        Verdict::Ruffles => return Shape::Saddle,
        Verdict::Cups => {}
    }
    let rounds: Vec<&RowLine> =
        lines.iter().filter(|l| l.closed && fabric.rows[l.row].shape != RowShape::Foundation).collect();
    if rounds.len() * 2 < lines.len() || rounds.is_empty() {
        return Shape::Cup;
    }
    let counts: Vec<f64> = rounds.iter().map(|l| l.stops.len() as f64).collect();
    let widest = counts.iter().copied().fold(0.0, f64::max);
    let last = counts[counts.len() - 1];
    // drawn in by half from its widest, what is left is closed by the last thread
    if last <= 0.5 * widest + 0.5 && widest > counts[0].min(last) {
        return Shape::Closed;
    }
    let slopes: Vec<f64> = rounds.iter().map(|l| l.worked() / (TAU * l.stops[0].height).max(0.1)).collect();
    let height = |k: usize| rounds[k].stops[0].height;
    let straight: f64 = (0..slopes.len()).filter(|&k| slopes[k].abs() < 0.15).map(height).sum();
    let all: f64 = (0..slopes.len()).map(height).sum();
    if straight >= 0.5 * all && straight >= 0.8 * widest / TAU * 2.0 {
        return Shape::Tube;
    }
    let outer = &slopes[1.min(slopes.len() - 1)..];
    let mean = outer.iter().sum::<f64>() / outer.len() as f64;
    let spread = outer.iter().map(|s| (s - mean).abs()).fold(0.0, f64::max);
    if mean > 0.1 && spread < 0.25 { Shape::Cone } else { Shape::Cup }
}

/// The figures of a relaxed mesh.
pub(super) fn measured(mesh: &Mesh, shape: Shape, strain: f64) -> Space {
    let mut space = Space { shape, strain, curvature: curvature::mean(mesh), ..Space::flat() };
    let rounds: Vec<Vec<Vec3>> = mesh
        .rows
        .iter()
        .filter(|(run, closed)| *closed && run.len() > 2)
        .map(|(run, _)| run.iter().map(|&k| mesh.points[k]).collect())
        .collect();
    let rim: Vec<Vec3> = match rounds.last() {
        Some(rim) => rim.clone(),
        None => mesh.rows.last().map(|(run, _)| run.iter().map(|&k| mesh.points[k]).collect()).unwrap_or_default(),
    };
    let first = mesh.ring.map(|k| mesh.points[k]).or_else(|| rounds.first().map(|r| middle(r)));
    let centre = middle(&rim);
    let axis = match (first, shape) {
        // rounds about an axis: from the first to the last
        (Some(tip), Shape::Tube | Shape::Cone | Shape::Closed) if length(sub(centre, tip)) > 0.5 => {
            super::vector::unit(sub(centre, tip))
        }
        _ if shape == Shape::Saddle => normal_of(&mesh.points),
        _ => normal_of(&rim),
    };
    let along = |p: Vec3| dot(sub(p, centre), axis);
    let radius = |points: &[Vec3]| {
        let m = middle(points);
        points.iter().map(|&p| length(flat(sub(p, m), axis))).sum::<f64>() / points.len().max(1) as f64
    };
    space.across = 2.0 * rounds.iter().map(|r| radius(r)).fold(0.0, f64::max);
    let (low, high) = mesh.points.iter().fold((0.0_f64, 0.0_f64), |(l, h), &p| (l.min(along(p)), h.max(along(p))));
    space.depth = match (first, rounds.is_empty()) {
        (Some(tip), false) if !matches!(shape, Shape::Saddle | Shape::Closed) => along(tip).abs(),
        _ => high - low,
    };
    if rounds.is_empty() {
        space.across = widest(&mesh.points, axis);
    }
    if shape == Shape::Cone {
        // the tip is blunt: its first rounds are few straight stitches
        let tip = (rounds.len() / 3).min(3);
        let pairs: Vec<(f64, f64)> = rounds.iter().skip(tip).map(|r| (along(middle(r)), radius(r))).collect();
        space.half_angle_deg = slope(&pairs).map(|s| libm::atan(s.abs()).to_degrees());
    }
    if shape == Shape::Saddle {
        space.waves = Some(waves(&rim.iter().map(|&p| along(p)).collect::<Vec<_>>(), !rounds.is_empty()));
    }
    space
}

fn flat(v: Vec3, axis: Vec3) -> Vec3 {
    plus(v, -dot(v, axis), axis)
}

fn widest(points: &[Vec3], axis: Vec3) -> f64 {
    let m = middle(points);
    2.0 * points.iter().map(|&p| length(flat(sub(p, m), axis))).fold(0.0, f64::max)
}

/// Slope of the line nearest to some pairs: how fast the second grows with the first.
fn slope(pairs: &[(f64, f64)]) -> Option<f64> {
    let n = pairs.len() as f64;
    let (mx, my) = pairs.iter().fold((0.0, 0.0), |m, p| (m.0 + p.0 / n, m.1 + p.1 / n));
    let (sxx, sxy) =
        pairs.iter().fold((0.0, 0.0), |s, p| (s.0 + (p.0 - mx) * (p.0 - mx), s.1 + (p.0 - mx) * (p.1 - my)));
    (pairs.len() > 1 && sxx > 1e-9).then(|| sxy / sxx)
}

/// Waves of a rim: half the times it crosses the middle, small wavers left out.
fn waves(heights: &[f64], closed: bool) -> usize {
    let most = heights.iter().map(|h| h.abs()).fold(0.0, f64::max);
    let mean = heights.iter().sum::<f64>() / heights.len().max(1) as f64;
    let sides: Vec<bool> = heights.iter().filter(|h| (**h - mean).abs() > 0.25 * most).map(|h| *h > mean).collect();
    let mut changes = sides.windows(2).filter(|w| w[0] != w[1]).count();
    if closed && sides.first() != sides.last() {
        changes += 1;
    }
    changes.div_ceil(2)
}
