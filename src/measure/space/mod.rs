//! The shape a piece takes in space where it does not lie flat.
//!
//! The flat layout is disturbed a little and relaxed in three dimensions (`mesh`, `relax`): rows keep their lengths, stitches
//! their heights, and the fabric bends. What comes of it is told in figures (`shape`, `curvature`) and seen from the side
//! (`side`).

mod curvature;
mod mesh;
mod relax;
mod shape;
mod side;
mod vector;

pub use shape::{Shape, Space};
pub use side::{SideItem, SideView};

use super::curve::Curve;
use super::line::RowLine;
use crate::fabric::Fabric;
use crate::layout::{Layout, Sizes};
use mesh::{Mesh, mesh_of};

/// Most points relaxed: beyond, the rows alone tell the shape. A step costs about the square of their number.
const MOST_POINTS: usize = 1500;
/// Steps of a relaxation; it ends sooner where nothing moves any more.
const STEPS: usize = 160;

/// The shape of a piece, relaxed where it does not lie flat or `always`.
pub(super) fn shape_of(
    fabric: &Fabric,
    layout: &Layout,
    sizes: &dyn Sizes,
    rows: &[usize],
    (lines, curve): (&[RowLine], &Curve),
    always: bool,
) -> (Space, Option<SideView>) {
    let told = shape::by_rows(fabric, lines, curve);
    if told == Shape::Flat && !always {
        return (Space::flat(), None);
    }
    let rows = without_edging(rows, lines, curve);
    let mut mesh = mesh_of(fabric, layout, sizes, &rows);
    if mesh.points.len() > MOST_POINTS || mesh.posts.is_empty() {
        return (Space { shape: told, ..Space::flat() }, None);
    }
    disturb(&mut mesh, told);
    let off = relax::relax(&mut mesh, STEPS);
    let space = shape::measured(&mesh, told, off);
    let view = side::view(&mesh);
    (space, Some(view))
}

/// The rows without those of loops and shells behind the last that is judged: what hangs on the edge of a piece waves as it
/// likes, and bends the piece no more than it is held against it.
fn without_edging(rows: &[usize], lines: &[RowLine], curve: &Curve) -> Vec<usize> {
    let Some(last) = curve.rows.iter().rposition(|r| r.judged) else { return rows.to_vec() };
    let edging: Vec<usize> = lines.iter().skip(last + 1).map(|l| l.row).collect();
    rows.iter().copied().filter(|row| !edging.contains(row)).collect()
}

/// Takes a piece out of the plane. Rounds that draw up are set one below the other, each as wide as its stitches: from the
/// plane they would fold upon themselves, which costs a fabric nothing. Rows that ruffle are set up as a fan. Everything
/// else is disturbed a little, by a shallow
/// bowl with waves of two and three about its middle, the same for every piece.
fn disturb(mesh: &mut Mesh, shape: Shape) {
    if shape != Shape::Saddle && shape != Shape::Flat && mesh.stands_in_rounds() {
        mesh.set_up_rounds();
        return;
    }
    if shape == Shape::Saddle && mesh.stands_in_rows() {
        mesh.set_up_rows();
        return;
    }
    const BOWL: f64 = 0.02;
    const WAVES: [(f64, f64, f64); 2] = [(2.0, 0.3, 0.04), (3.0, 1.1, 0.02)];
    let centre = mesh.ring.map_or_else(|| vector::middle(&mesh.points), |ring| mesh.points[ring]);
    for p in &mut mesh.points {
        let (x, y) = (p[0] - centre[0], p[1] - centre[1]);
        let far = (x * x + y * y).sqrt();
        let around = libm::atan2(y, x);
        p[2] = -BOWL * far * (1.0 + 0.1 * far);
        for (times, phase, high) in WAVES.iter().filter(|_| shape == Shape::Saddle) {
            p[2] += high * far * libm::cos(times * around + phase);
        }
    }
}
