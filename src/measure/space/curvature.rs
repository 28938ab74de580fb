//! Curvature from angle defects.

use super::mesh::Mesh;
use super::vector::{cross, dot, length, sub};
use std::collections::BTreeMap;
use std::f64::consts::TAU;

/// The mean curvature (Gauss's) over the inner points of a mesh, for each square sc width: the angles that are missing from
/// a full turn about them, over the area that is theirs. None where no point is within: the rim does not
/// count, nor do a foundation chain and the row on it.
pub(super) fn mean(mesh: &Mesh) -> Option<f64> {
    let n = mesh.points.len();
    let (mut defect, mut area) = (vec![TAU; n], vec![0.0; n]);
    let mut sides: BTreeMap<(usize, usize), usize> = BTreeMap::new();
    for face in &mesh.faces {
        let p = face.map(|k| mesh.points[k]);
        let own = 0.5 * length(cross(sub(p[1], p[0]), sub(p[2], p[0])));
        for k in 0..3 {
            let (a, b) = (sub(p[(k + 1) % 3], p[k]), sub(p[(k + 2) % 3], p[k]));
            defect[face[k]] -= libm::atan2(length(cross(a, b)), dot(a, b));
            area[face[k]] += own / 3.0;
            let (i, j) = (face[k], face[(k + 1) % 3]);
            *sides.entry((i.min(j), i.max(j))).or_default() += 1;
        }
    }
    let mut rim = vec![false; n];
    for (&(i, j), &faces) in &sides {
        if faces != 2 {
            (rim[i], rim[j]) = (true, true);
        }
    }
    // a row on a chain takes the chain's length: the ratio of its rows begins above it
    let begin =
        if mesh.rows.first().is_some_and(|(run, _)| !mesh.posts.iter().any(|p| run.contains(&p.head))) { 2 } else { 0 };
    mesh.rows.iter().take(begin).flat_map(|(run, _)| run).for_each(|&k| rim[k] = true);
    let inner: Vec<usize> = (0..n).filter(|&k| !rim[k] && area[k] > 0.0).collect();
    let (sum, over) = inner.iter().fold((0.0, 0.0), |s, &k| (s.0 + defect[k], s.1 + area[k]));
    (over > 0.0).then(|| sum / over)
}
