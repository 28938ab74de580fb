//! The circular arc a chain space is drawn along.

use super::plane::{angle, length, normalised, r90, unit, wrap};
use super::positions::Arc;
use kurbo::Vec2;
use std::f64::consts::TAU;

/// An arc as something to walk along.
#[derive(Clone, Copy, Debug)]
pub(super) enum Walk {
    Straight { from: Vec2, to: Vec2 },
    Round { centre: Vec2, radius: f64, from: f64, sweep: f64 },
}

impl Walk {
    /// The circle through start, apex and end; a straight line where they are nearly in one.
    pub(super) fn along(arc: &Arc) -> Walk {
        let (a, b, c) = (arc.start.to_vec2(), arc.apex.to_vec2(), arc.end.to_vec2());
        let (u, v) = (b - a, c - a);
        let area = u.cross(v);
        let scale = length(v).max(length(u));
        // flatter than this a radius is too large to trust
        if area.abs() < 1e-3 * scale * scale || scale < 1e-6 {
            return Walk::Straight { from: a, to: if length(v) > 1e-6 { c } else { b } };
        }
        let (uu, vv) = (u.dot(u), v.dot(v));
        let centre = a + Vec2::new(v.y * uu - u.y * vv, u.x * vv - v.x * uu) / (2.0 * area);
        let (from, through, to) = (angle(a - centre), angle(b - centre), angle(c - centre));
        let mut sweep = wrap(to - from);
        // the apex says which of the two ways round is meant
        let half = wrap(through - from);
        if half * sweep < 0.0 || half.abs() > sweep.abs() {
            sweep -= TAU * sweep.signum();
        }
        Walk::Round { centre, radius: length(a - centre), from, sweep }
    }

    /// Length of the whole arc.
    pub(super) fn length(&self) -> f64 {
        match *self {
            Walk::Straight { from, to } => length(to - from),
            Walk::Round { radius, sweep, .. } => radius * sweep.abs(),
        }
    }

    /// Point and direction at a share of the way.
    pub(super) fn at(&self, share: f64) -> (Vec2, Vec2) {
        match *self {
            Walk::Straight { from, to } => (from + share * (to - from), normalised(to - from)),
            Walk::Round { centre, radius, from, sweep } => {
                let out = unit(from + share * sweep);
                (centre + radius * out, r90(out) * sweep.signum())
            }
        }
    }
}
