//! Points of space.

/// A point, or a way, in space.
pub(crate) type Vec3 = [f64; 3];

pub(super) fn sub(a: Vec3, b: Vec3) -> Vec3 {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

pub(super) fn plus(a: Vec3, t: f64, b: Vec3) -> Vec3 {
    [a[0] + t * b[0], a[1] + t * b[1], a[2] + t * b[2]]
}

pub(super) fn dot(a: Vec3, b: Vec3) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

pub(super) fn cross(a: Vec3, b: Vec3) -> Vec3 {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

pub(super) fn length(a: Vec3) -> f64 {
    dot(a, a).sqrt()
}

/// Made one long; the null vector where it is too short to have a direction.
pub(super) fn unit(a: Vec3) -> Vec3 {
    let l = length(a);
    if l > 1e-9 { [a[0] / l, a[1] / l, a[2] / l] } else { [0.0; 3] }
}

/// The middle of some points.
pub(super) fn middle(points: &[Vec3]) -> Vec3 {
    let n = points.len().max(1) as f64;
    points.iter().fold([0.0; 3], |m, &p| plus(m, 1.0 / n, p))
}

/// The normal of the plane nearest to some points: the way in which they spread least.
pub(super) fn normal_of(points: &[Vec3]) -> Vec3 {
    let centre = middle(points);
    let mut m = [[0.0; 3]; 3];
    for &p in points {
        let d = sub(p, centre);
        for i in 0..3 {
            for j in 0..3 {
                m[i][j] += d[i] * d[j];
            }
        }
    }
    let (values, ways) = eigen(m);
    let least = (0..3).min_by(|&a, &b| values[a].total_cmp(&values[b])).unwrap_or(2);
    [ways[0][least], ways[1][least], ways[2][least]]
}

/// Eigenvalues and vectors (in columns) of a symmetric matrix, by Jacobi's turns.
fn eigen(mut m: [[f64; 3]; 3]) -> ([f64; 3], [[f64; 3]; 3]) {
    let mut v = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];
    for _ in 0..24 {
        for (p, q) in [(0, 1), (0, 2), (1, 2)] {
            if m[p][q].abs() < 1e-14 {
                continue;
            }
            let theta = 0.5 * libm::atan2(2.0 * m[p][q], m[q][q] - m[p][p]);
            let (c, s) = (libm::cos(theta), libm::sin(theta));
            for row in &mut m {
                let (a, b) = (row[p], row[q]);
                (row[p], row[q]) = (c * a - s * b, s * a + c * b);
            }
            let (above, below) = (m[p], m[q]);
            m[p] = [0, 1, 2].map(|k| c * above[k] - s * below[k]);
            m[q] = [0, 1, 2].map(|k| s * above[k] + c * below[k]);
            for row in &mut v {
                let (a, b) = (row[p], row[q]);
                (row[p], row[q]) = (c * a - s * b, s * a + c * b);
            }
        }
    }
    ([m[0][0], m[1][1], m[2][2]], v)
}

/// Snapped to a grid of 2⁻²⁰, as the flat layout is: what the last bits differ by never gets further.
pub(super) fn snapped(p: Vec3) -> Vec3 {
    const GRID: f64 = 1_048_576.0;
    p.map(|x| libm::round(x * GRID) / GRID)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_normal_of_a_tilted_plane_is_found() {
        let points: Vec<Vec3> = (0..12)
            .map(|k| {
                let (x, y) = (f64::from(k % 4), f64::from(k / 4));
                [x, y, 0.5 * x - 0.25 * y]
            })
            .collect();
        let n = normal_of(&points);
        let told = unit([-0.5, 0.25, 1.0]);
        assert!((dot(n, told).abs() - 1.0).abs() < 1e-9, "{n:?}");
    }
}
