//! A relaxed piece seen from the side, a little from above.

use super::mesh::Mesh;
use super::vector::{Vec3, cross, dot, middle, normal_of, sub, unit};
use kurbo::{Point, Rect};

/// A face as seen: its corners, and how much light falls on it.
#[derive(Clone, Debug, PartialEq)]
pub struct SideFace {
    /// Corners on the page, in sc widths, y down.
    pub corners: [Point; 3],
    /// From 0, dark, to 1, light.
    pub light: f64,
    /// Which of its sides, from each corner to the next, are part of a row's line.
    pub rows: [bool; 3],
}

impl SideFace {
    /// The sides that are part of a row's line.
    pub fn drawn(&self) -> impl Iterator<Item = (Point, Point)> + '_ {
        (0..3).filter(|&k| self.rows[k]).map(|k| (self.corners[k], self.corners[(k + 1) % 3]))
    }
}

/// A piece from the side: faces from the farthest to the nearest, and row lines laid over those that they bound.
#[derive(Clone, Debug, PartialEq)]
pub struct SideView {
    /// What is drawn, in order.
    pub faces: Vec<SideFace>,
    /// Everything lies within.
    pub bounds: Rect,
}

/// How far from above it is looked at, in radians: from the very side a cup hides its inside.
const ABOVE: f64 = 0.35;

/// Looks at a mesh from the side: its rim level, the deeper end below.
pub(super) fn view(mesh: &Mesh) -> SideView {
    let rim: Vec<Vec3> = match mesh.rows.iter().rev().find(|(_, closed)| *closed) {
        Some((run, _)) => run.iter().map(|&k| mesh.points[k]).collect(),
        None => mesh.points.clone(),
    };
    let centre = middle(&mesh.points);
    let mut up = normal_of(&rim);
    if dot(sub(middle(&rim), centre), up) < 0.0 {
        up = up.map(|x| -x);
    }
    // any way across will do, the same every time
    let helper = if up[0].abs() < 0.7 { [1.0, 0.0, 0.0] } else { [0.0, 1.0, 0.0] };
    let right = unit(cross(up, helper));
    let toward = cross(right, up);
    let (c, s) = (libm::cos(ABOVE), libm::sin(ABOVE));
    let eye = unit([0, 1, 2].map(|k| c * toward[k] + s * up[k]));
    let page_up = cross(eye, right);
    let seen = |p: Vec3| {
        let d = sub(p, centre);
        (Point::new(dot(d, right), -dot(d, page_up)), dot(d, eye))
    };
    let mut row_of: Vec<Option<usize>> = vec![None; mesh.points.len()];
    for (row, (run, _)) in mesh.rows.iter().enumerate() {
        run.iter().for_each(|&k| row_of[k] = Some(row));
    }
    let of_a_row = |a: usize, b: usize| row_of[a].is_some() && row_of[a] == row_of[b];
    let mut faces: Vec<(f64, SideFace)> = mesh
        .faces
        .iter()
        .map(|face| {
            let p = face.map(|k| mesh.points[k]);
            let normal = unit(cross(sub(p[1], p[0]), sub(p[2], p[0])));
            let light = 0.35 + 0.65 * dot(normal, eye).abs();
            let at = p.map(seen);
            let depth = (at[0].1 + at[1].1 + at[2].1) / 3.0;
            let rows = [0, 1, 2].map(|k| of_a_row(face[k], face[(k + 1) % 3]));
            (depth, SideFace { corners: [at[0].0, at[1].0, at[2].0], light, rows })
        })
        .collect();
    faces.sort_by(|a, b| a.0.total_cmp(&b.0));
    let corners = faces.iter().flat_map(|(_, f)| f.corners);
    let bounds = corners.fold(None, |r: Option<Rect>, p| Some(r.map_or(Rect::from_points(p, p), |r| r.union_pt(p))));
    SideView { bounds: bounds.unwrap_or_default(), faces: faces.into_iter().map(|(_, f)| f).collect() }
}
