//! A free place for a label near a point.

use super::ground::Ground;
use super::numbers::shifted;
use super::scene::Label;
use kurbo::{Point, Vec2};

/// Distance kept from ink and other labels.
pub(super) const CLEAR: f64 = 0.08;
/// Directions tried, and the step outward.
const WAYS: usize = 36;
const STEP: f64 = 0.08;

/// Puts a label where it is free: nearest to `from`, in the direction of `wish` for choice, no farther than `reach`
/// from its own edge to the point. The place is taken on the ground.
pub(super) fn near(label: &Label, from: Point, wish: Vec2, reach: f64, ground: &mut Ground) -> Option<Label> {
    let half = label.bounds.size() / 2.0;
    let mut candidates: Vec<(f64, Point)> = Vec::new();
    let most = reach + half.width.max(half.height);
    for k in 0..=(most / STEP) as usize {
        let radius = k as f64 * STEP;
        for way in 0..WAYS {
            let angle = std::f64::consts::TAU * way as f64 / WAYS as f64;
            let to = Vec2::new(libm::cos(angle), libm::sin(angle));
            let centre = from + to * radius;
            let away = centre - from;
            let gap =
                Vec2::new((away.x.abs() - half.width).max(0.0), (away.y.abs() - half.height).max(0.0)).hypot2().sqrt();
            if gap <= reach {
                candidates.push((gap + 0.35 * (1.0 - to.dot(wish)), centre));
            }
        }
    }
    candidates.sort_by(|a, b| a.0.total_cmp(&b.0));
    for (_, centre) in candidates {
        if ground.is_free(label.bounds + (centre - label.bounds.center()), CLEAR) {
            let moved = shifted(label, centre);
            ground.add_box(moved.bounds.inflate(CLEAR / 2.0, CLEAR / 2.0));
            return Some(moved);
        }
    }
    None
}
