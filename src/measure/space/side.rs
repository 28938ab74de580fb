//! A relaxed piece seen from the side, a little from above.

use super::mesh::Mesh;
use super::vector::{Vec3, cross, dot, middle, normal_of, sub, unit};
use kurbo::{Point, Rect};

/// What is seen of a piece, on the page, in sc widths, y down.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SideItem {
    /// A piece of the fabric between two rows.
    Face {
        /// Its corners.
        corners: [Point; 3],
        /// The light that falls on it: from 0, dark, to 1, light.
        light: f64,
    },
    /// A piece of a row's line.
    Line([Point; 2]),
}

/// A piece from the side.
#[derive(Clone, Debug, PartialEq)]
pub struct SideView {
    /// What is drawn, from the farthest to the nearest.
    pub items: Vec<SideItem>,
    /// Everything lies within.
    pub bounds: Rect,
}

/// A row's line is drawn over the faces beside it, which lie no further before it than this.
const BEFORE: f64 = 0.6;

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
    let mut items: Vec<(f64, SideItem)> = Vec::new();
    for face in &mesh.faces {
        let p = face.map(|k| mesh.points[k]);
        let normal = unit(cross(sub(p[1], p[0]), sub(p[2], p[0])));
        let light = 0.35 + 0.65 * dot(normal, eye).abs();
        let at = p.map(seen);
        items.push(((at[0].1 + at[1].1 + at[2].1) / 3.0, SideItem::Face { corners: at.map(|a| a.0), light }));
    }
    for edge in &mesh.edges {
        let ((a, near), (b, far)) = (seen(mesh.points[edge.a]), seen(mesh.points[edge.b]));
        items.push((0.5 * (near + far) + BEFORE, SideItem::Line([a, b])));
    }
    items.sort_by(|a, b| a.0.total_cmp(&b.0));
    let corners = mesh.points.iter().map(|&p| seen(p).0);
    let bounds = corners.fold(None, |r: Option<Rect>, p| Some(r.map_or(Rect::from_points(p, p), |r| r.union_pt(p))));
    SideView { bounds: bounds.unwrap_or_default(), items: items.into_iter().map(|(_, item)| item).collect() }
}
