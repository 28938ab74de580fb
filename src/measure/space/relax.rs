//! Relaxing a mesh in space: rows and posts take their lengths, and the fabric bends as it must.

use super::mesh::Mesh;
use super::vector::{Vec3, dot, length, plus, snapped, sub, unit};
use crate::layout::Equations;

/// A residual, linear about the points as they are: its value, and its slope at each point it holds.
struct Slope {
    value: f64,
    of: Vec<(usize, Vec3)>,
}

// Lengths weigh most; larger stiffens the equations and gains nothing.
const LENGTH: f64 = 1.0;
// A post may lean along its row: larger and increases pinch the rows together.
const LEAN: f64 = 0.05;
// Across the rows the fabric bends against a little resistance: larger flattens cups, smaller crumples them.
const BEND: f64 = 0.03;
// Along a row it waves against a little resistance: larger irons ruffles, smaller lets every other stitch stand out.
const WAVE: f64 = 0.02;
// No point moves further than this in a step.
const STEP: f64 = 0.7;

/// Relaxes the points of a mesh; the share of the lengths that are still off.
///
/// # Determinism
/// One thread, sums in a fixed order, points snapped after every step.
pub(super) fn relax(mesh: &mut Mesh, steps: usize) -> f64 {
    let mut damping = 1e-2;
    let mut reached = f64::INFINITY;
    let mut calm = 0;
    let points = mesh.points.len();
    let places = Places::of(points, &residuals(mesh));
    let (values, right) = places.filled(points, &[]);
    let Some(mut equations) = Equations::of(places.starts.clone(), places.rows.clone(), values, right) else {
        return f64::INFINITY;
    };
    for _ in 0..steps {
        let slopes = residuals(mesh);
        let (values, right) = places.filled(points, &slopes);
        equations.refill(values, right);
        let before: f64 = slopes.iter().map(|s| s.value * s.value).sum();
        let Some(now) = improve(mesh, &equations, before, &mut damping) else { break };
        // a buckle grows out of very little: several steps in a row have to bring nothing
        calm = if reached.is_finite() && before - now <= 1e-4 * before { calm + 1 } else { 0 };
        reached = now;
        if calm > 4 {
            break;
        }
    }
    let off = mesh.edges.iter().map(|e| (length(sub(mesh.points[e.b], mesh.points[e.a])) / e.rest - 1.0).abs());
    off.sum::<f64>() / mesh.edges.len().max(1) as f64
}

fn improve(mesh: &mut Mesh, equations: &Equations, before: f64, damping: &mut f64) -> Option<f64> {
    let old = mesh.points.clone();
    for _ in 0..8 {
        if let Some(step) = equations.solve(*damping) {
            let longest = step.chunks_exact(3).map(|v| length([v[0], v[1], v[2]])).fold(0.0, f64::max);
            if longest.is_finite() {
                let scale = if longest > STEP { STEP / longest } else { 1.0 };
                for (k, v) in step.chunks_exact(3).enumerate() {
                    mesh.points[k] = snapped(plus(old[k], scale, [v[0], v[1], v[2]]));
                }
                let now: f64 = residuals(mesh).iter().map(|s| s.value * s.value).sum();
                if now < before {
                    *damping = (*damping * 0.4).max(1e-5);
                    return Some(now);
                }
            }
        }
        *damping *= 8.0;
    }
    mesh.points = old;
    None
}

fn residuals(mesh: &Mesh) -> Vec<Slope> {
    let mut slopes = Vec::new();
    let at = |k: usize| mesh.points[k];
    for edge in &mesh.edges {
        let v = sub(at(edge.b), at(edge.a));
        let way = unit(v);
        let w = LENGTH / edge.rest;
        slopes.push(Slope {
            value: w * (length(v) - edge.rest),
            of: vec![(edge.a, way.map(|x| -w * x)), (edge.b, way.map(|x| w * x))],
        });
    }
    for post in &mesh.posts {
        let share = 1.0 / post.feet.len() as f64;
        let foot = post.feet.iter().fold([0.0; 3], |m, &f| plus(m, share, at(f)));
        let v = sub(at(post.head), foot);
        let along = post.along.map_or([0.0; 3], |(a, b)| tangent(at(a), foot, at(b), v));
        let lean = dot(v, along);
        let across = plus(v, -lean, along);
        let way = unit(across);
        let w = LENGTH / post.rest;
        slopes.push(pulled(post, share, way.map(|x| w * x), w * (length(across) - post.rest)));
        slopes.push(pulled(post, share, along.map(|x| LEAN * x), LEAN * lean));
    }
    for (a, b, c) in across_rows(mesh) {
        bent(&mut slopes, &[(a, 1.0), (b, -2.0), (c, 1.0)], BEND, mesh);
    }
    for (run, closed) in &mesh.rows {
        let n = run.len();
        if n < 12 {
            continue;
        }
        for i in 0..if *closed { n } else { n - 3 } {
            let p = |k: usize| run[(i + k) % n];
            bent(&mut slopes, &[(p(0), -1.0), (p(1), 3.0), (p(2), -3.0), (p(3), 1.0)], WAVE, mesh);
        }
    }
    slopes
}

/// The way of the line a stitch stands on, where its head is over it: about a curved line the way turns as the stitch leans.
fn tangent(before: Vec3, foot: Vec3, after: Vec3, post: Vec3) -> Vec3 {
    let straight = unit(sub(after, before));
    let lean = dot(post, straight).clamp(-1.0, 1.0);
    let (back, on) = (sub(foot, before), sub(after, foot));
    unit(plus(on.map(|x| (1.0 + lean) * x), 1.0 - lean, back))
}

fn pulled(post: &super::mesh::Post, share: f64, way: Vec3, value: f64) -> Slope {
    let mut of = vec![(post.head, way)];
    of.extend(post.feet.iter().map(|&f| (f, way.map(|x| -share * x))));
    Slope { value, of }
}

/// Every stitch with what it stands on and what that stands on.
fn across_rows(mesh: &Mesh) -> Vec<(usize, usize, usize)> {
    let mut below: Vec<Option<usize>> = vec![None; mesh.points.len()];
    for post in &mesh.posts {
        below[post.head] = Some(post.feet[0]);
    }
    (0..mesh.points.len()).filter_map(|a| Some((a, below[a]?, below[below[a]?]?))).collect()
}

fn bent(slopes: &mut Vec<Slope>, of: &[(usize, f64)], weight: f64, mesh: &Mesh) {
    for axis in 0..3 {
        let value = of.iter().map(|&(k, f)| f * mesh.points[k][axis]).sum::<f64>();
        let mut way = [0.0; 3];
        let mut slope = |f: f64| {
            way[axis] = weight * f;
            way
        };
        slopes.push(Slope { value: weight * value, of: of.iter().map(|&(k, f)| (k, slope(f))).collect() });
    }
}

/// Where the numbers of the equations go: the same in every step.
struct Places {
    /// Pairs of points that a residual holds, by column, then row.
    pairs: Vec<(usize, usize)>,
    column: Vec<usize>,
    /// For every residual, the pair of each two of its points, and whether they stand the other way round.
    of: Vec<Vec<(usize, bool)>>,
    starts: Vec<usize>,
    rows: Vec<usize>,
}

impl Places {
    fn of(points: usize, slopes: &[Slope]) -> Places {
        let two = |slope: &Slope| {
            let n = slope.of.len();
            let ids: Vec<usize> = slope.of.iter().map(|&(k, _)| k).collect();
            (0..n).flat_map(|k| (k..n).map(move |m| (k, m))).map(|(k, m)| (ids[k], ids[m])).collect::<Vec<_>>()
        };
        let mut pairs: Vec<(usize, usize)> = (0..points).map(|i| (i, i)).collect();
        pairs.extend(slopes.iter().flat_map(two).map(|(i, j)| (i.max(j), i.min(j))));
        pairs.sort_unstable();
        pairs.dedup();
        let mut column = vec![0; points + 1];
        pairs.iter().for_each(|&(j, _)| column[j + 1] += 1);
        for j in 0..points {
            column[j + 1] += column[j];
        }
        let place = |(i, j): (usize, usize)| {
            let (col, row) = (i.max(j), i.min(j));
            let from = column[col];
            // OK: every pair was put in above
            (from + pairs[from..column[col + 1]].binary_search(&(col, row)).unwrap_or(0), i > j)
        };
        let of = slopes.iter().map(|s| two(s).into_iter().map(place).collect()).collect();
        let (mut starts, mut rows) = (vec![0], Vec::new());
        for j in 0..points {
            for y in 0..3 {
                for &(_, i) in &pairs[column[j]..column[j + 1]] {
                    rows.extend((0..if i == j { y + 1 } else { 3 }).map(|x| 3 * i + x));
                }
                starts.push(rows.len());
            }
        }
        Places { pairs, column, of, starts, rows }
    }

    /// JᵀJ, upper half, column by column, and −Jᵀr.
    fn filled(&self, points: usize, slopes: &[Slope]) -> (Vec<f64>, Vec<f64>) {
        let mut blocks = vec![[0.0; 9]; self.pairs.len()];
        let mut right = vec![0.0; 3 * points];
        for (slope, places) in slopes.iter().zip(&self.of) {
            let mut places = places.iter();
            for (k, &(i, g)) in slope.of.iter().enumerate() {
                for x in 0..3 {
                    right[3 * i + x] -= slope.value * g[x];
                }
                for &(_, h) in &slope.of[k..] {
                    let Some(&(at, swapped)) = places.next() else { continue };
                    let (above, below) = if swapped { (h, g) } else { (g, h) };
                    let block = &mut blocks[at];
                    for x in 0..3 {
                        for y in 0..3 {
                            block[3 * x + y] += above[x] * below[y];
                        }
                    }
                }
            }
        }
        let mut values = Vec::with_capacity(self.rows.len());
        for j in 0..points {
            for y in 0..3 {
                let of = self.column[j]..self.column[j + 1];
                for (block, &(_, i)) in blocks[of.clone()].iter().zip(&self.pairs[of]) {
                    let most = if i == j { y + 1 } else { 3 };
                    values.extend((0..most).map(|x| block[3 * x + y]));
                }
            }
        }
        (values, right)
    }
}
