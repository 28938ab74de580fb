//! Vectors and angles of the chart's plane, with the same bits on every machine.

use kurbo::{Point, Vec2};
use std::f64::consts::{PI, TAU};

/// A quarter turn, clockwise on the page (y down).
pub(super) fn r90(v: Vec2) -> Vec2 {
    Vec2::new(-v.y, v.x)
}

/// Length; `sqrt` is exact everywhere, `hypot` is not.
pub(super) fn length(v: Vec2) -> f64 {
    (v.x * v.x + v.y * v.y).sqrt()
}

/// Direction of a vector, in (−π, π]; 0 for the null vector.
pub(super) fn angle(v: Vec2) -> f64 {
    libm::atan2(v.y, v.x)
}

/// The unit vector of a direction.
pub(super) fn unit(angle: f64) -> Vec2 {
    Vec2::new(libm::cos(angle), libm::sin(angle))
}

/// The vector made one long; +x where it is too short to have a direction.
pub(super) fn normalised(v: Vec2) -> Vec2 {
    let l = length(v);
    if l > 1e-9 { v / l } else { Vec2::new(1.0, 0.0) }
}

/// An angle brought into −π … π.
pub(super) fn wrap(angle: f64) -> f64 {
    let turned = angle - TAU * libm::round(angle / TAU);
    turned.clamp(-PI, PI)
}

/// The vector turned by an angle.
pub(super) fn turned(v: Vec2, angle: f64) -> Vec2 {
    let u = unit(angle);
    Vec2::new(u.x * v.x - u.y * v.y, u.y * v.x + u.x * v.y)
}

/// As a point.
pub(super) fn point(v: Vec2) -> Point {
    Point::new(v.x, v.y)
}

/// Snapped to a grid of 2⁻²⁰: what the last bits of a sum may differ by never reaches the page.
pub(super) fn snapped(v: Vec2) -> Vec2 {
    // OK: positions stay far below 2³², where the grid would end
    const GRID: f64 = 1_048_576.0;
    Vec2::new(libm::round(v.x * GRID) / GRID, libm::round(v.y * GRID) / GRID)
}
