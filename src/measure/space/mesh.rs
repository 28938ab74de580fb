//! The fabric as a mesh in space: a point for every stitch, chain space and ring, edges along rows, posts between them.

use super::vector::{Vec3, middle};
use crate::fabric::{Fabric, LineNode, Place, RowShape, Stitch, StitchId};
use crate::layout::{Layout, Sizes};
use std::collections::BTreeMap;
use std::f64::consts::TAU;

/// Two neighbours of a row, and how far apart they are.
pub(super) struct Edge {
    pub a: usize,
    pub b: usize,
    pub rest: f64,
}

/// A stitch: its head, what it stands on, how high it is.
pub(super) struct Post {
    pub head: usize,
    pub feet: Vec<usize>,
    /// Neighbours of its feet along their line: it may lean along it, not across.
    pub along: Option<(usize, usize)>,
    pub rest: f64,
}

/// The mesh of a piece.
pub(super) struct Mesh {
    pub points: Vec<Vec3>,
    pub edges: Vec<Edge>,
    pub posts: Vec<Post>,
    /// The rows as runs of points, and whether they close.
    pub rows: Vec<(Vec<usize>, bool)>,
    pub faces: Vec<[usize; 3]>,
    /// The ring the rounds stand in, if they do.
    pub ring: Option<usize>,
}

/// Chains of a ring lie this close, in sc widths of its radius for each.
const RING: f64 = 0.12;

impl Mesh {
    /// True where every row is a round.
    pub fn stands_in_rounds(&self) -> bool {
        self.rows.iter().all(|(run, closed)| *closed || run.len() < 2)
    }

    /// True where no row closes: rows one above the other on a chain.
    pub fn stands_in_rows(&self) -> bool {
        self.rows.len() > 1 && self.rows.iter().all(|(run, closed)| !closed && run.len() > 1)
    }

    /// Sets rows one above the other in a fan as wide as the first two ask, the stitches of each crowded evenly, and waves
    /// it a little.
    pub fn set_up_rows(&mut self) {
        const WIDEST: f64 = 4.5;
        let mut heights: Vec<f64> = vec![0.0; self.points.len()];
        let mut feet: Vec<Option<usize>> = vec![None; self.points.len()];
        for post in &self.posts {
            (heights[post.head], feet[post.head]) = (post.rest, Some(post.feet[0]));
        }
        let rows = self.rows.clone();
        let long = |k: usize| (rows[k].0.len() - 1) as f64;
        let high = |k: usize| rows[k].0.iter().map(|&p| heights[p]).fold(0.1, f64::max);
        let last = rows.len() - 1;
        let grown = (long(last) - long(0)).max(0.0) / (1..=last).map(high).sum::<f64>().max(0.1);
        let turn = ((long(1) - long(0)) / high(1)).max(0.5 * grown).clamp(0.2, WIDEST);
        let mut radius = long(0).max(1.0) / turn;
        let inner = radius;
        let mut along: Vec<f64> = vec![0.0; self.points.len()];
        for (k, (run, _)) in rows.iter().enumerate() {
            radius += if k == 0 { 0.0 } else { high(k) };
            // a row worked back runs against the one below
            let under = |p: usize| feet[p].map_or(0.0, |f| along[f]);
            let ends = run.first().zip(run.last());
            let back = k > 0 && ends.is_some_and(|(&a, &b)| under(a) > under(b));
            for (i, &p) in run.iter().enumerate() {
                let t = i as f64 / (run.len() - 1) as f64;
                along[p] = if back { 1.0 - t } else { t };
                let (a, y) = (turn * (along[p] - 0.5), radius - inner);
                let wave = 0.06 * libm::cos(2.0 * TAU * along[p] + 0.3) + 0.04 * libm::cos(3.0 * TAU * along[p] + 1.1);
                self.points[p] = [radius * libm::sin(a), radius * libm::cos(a), wave * y];
            }
        }
    }

    /// Sets every round as wide as its stitches are and its height below, or inside, the one it stands on.
    pub fn set_up_rounds(&mut self) {
        let centre = self.ring.map_or_else(|| middle(&self.points), |ring| self.points[ring]);
        let mut heights: Vec<f64> = vec![0.0; self.points.len()];
        self.posts.iter().for_each(|p| heights[p.head] = p.rest);
        let mut around: Vec<f64> = vec![0.0; self.rows.len()];
        let mut row_of: Vec<usize> = vec![usize::MAX; self.points.len()];
        for (row, (run, _)) in self.rows.iter().enumerate() {
            run.iter().for_each(|&k| row_of[k] = row);
        }
        self.edges.iter().for_each(|e| around[row_of[e.a]] += e.rest);
        let (mut radius, mut z, mut first) = (0.0, 0.0, self.ring.is_none());
        for (row, (run, _)) in self.rows.iter().enumerate() {
            let wide = around[row] / TAU;
            let high = run.iter().map(|&k| heights[k]).sum::<f64>() / run.len().max(1) as f64;
            if !first {
                z -= (high * high - (wide - radius) * (wide - radius)).max(0.0).sqrt();
            }
            (radius, first) = (wide, false);
            for &k in run {
                let [x, y, _] = self.points[k];
                let (x, y) = (x - centre[0], y - centre[1]);
                let far = (x * x + y * y).sqrt().max(1e-9);
                self.points[k] = [wide * x / far, wide * y / far, z];
            }
        }
        if let Some(ring) = self.ring {
            self.points[ring] = [0.0; 3];
        }
    }
}

struct Builder<'a> {
    fabric: &'a Fabric,
    layout: &'a Layout,
    of_stitch: BTreeMap<StitchId, usize>,
    of_space: BTreeMap<usize, usize>,
    of_ring: BTreeMap<usize, usize>,
    /// Row and position of a point.
    seat: Vec<Option<(usize, usize)>>,
    mesh: Mesh,
}

/// The mesh of some rows, flat as laid out.
pub(super) fn mesh_of(fabric: &Fabric, layout: &Layout, sizes: &dyn Sizes, rows: &[usize]) -> Mesh {
    let mesh = Mesh {
        points: Vec::new(),
        edges: Vec::new(),
        posts: Vec::new(),
        rows: Vec::new(),
        faces: Vec::new(),
        ring: None,
    };
    let mut builder = Builder {
        fabric,
        layout,
        of_stitch: BTreeMap::new(),
        of_space: BTreeMap::new(),
        of_ring: BTreeMap::new(),
        seat: Vec::new(),
        mesh,
    };
    for &row in rows {
        builder.add_row(row);
    }
    for &row in rows.iter().filter(|&&r| fabric.rows[r].shape != RowShape::Foundation) {
        builder.add_posts(row, sizes);
    }
    builder.add_faces();
    builder.mesh
}

impl Builder<'_> {
    fn point(&mut self, x: f64, y: f64) -> usize {
        self.mesh.points.push([x, y, 0.0]);
        self.seat.push(None);
        self.mesh.points.len() - 1
    }

    fn add_row(&mut self, row: usize) {
        let own = &self.fabric.rows[row];
        let ring = own.shape == RowShape::Foundation
            && self.fabric.rings.iter().any(|r| r.ids.iter().any(|id| own.order.contains(id)));
        let slip = |id: StitchId| ring && self.fabric.stitch(id).is_slip_stitch();
        let order: Vec<StitchId> = own.order.iter().copied().filter(|&id| !slip(id)).collect();
        let mut run = Vec::new();
        let nodes = self.fabric.nodes_of(&order);
        for &node in &nodes {
            let at = match node {
                LineNode::Stitch(id) => self.layout.pose(id).lying.map_or(self.layout.pose(id).head, |l| l.at),
                LineNode::Space(k) => self.layout.spaces.get(k.index()).copied().unwrap_or_default().apex,
            };
            let point = self.point(at.x, at.y);
            match node {
                LineNode::Stitch(id) => self.of_stitch.insert(id, point),
                LineNode::Space(k) => {
                    for &id in &self.fabric.spaces[k.index()].ids {
                        self.of_stitch.insert(id, point);
                    }
                    self.of_space.insert(k.index(), point)
                }
            };
            self.seat[point] = Some((self.mesh.rows.len(), run.len()));
            run.push(point);
        }
        let closed = (super::super::line::is_round(own) || ring) && run.len() > 2;
        let half = |node: LineNode| match node {
            LineNode::Stitch(_) => 0.5,
            LineNode::Space(k) => 0.5 * f64::from(self.fabric.spaces[k.index()].length.min(1000)),
        };
        let n = run.len();
        for i in 0..if closed { n } else { n.saturating_sub(1) } {
            let rest = half(nodes[i]) + half(nodes[(i + 1) % n]);
            self.mesh.edges.push(Edge { a: run[i], b: run[(i + 1) % n], rest });
        }
        self.mesh.rows.push((run, closed));
    }

    fn foot(&mut self, place: &Place) -> Option<usize> {
        match *place {
            Place::Space { space } => self.of_space.get(&space.index()).copied(),
            Place::Ring { ring } => {
                if let Some(&there) = self.of_ring.get(&ring.index()) {
                    return Some(there);
                }
                let centre = self.layout.rings.get(ring.index()).copied().unwrap_or_default().centre;
                let point = self.point(centre.x, centre.y);
                self.of_ring.insert(ring.index(), point);
                self.mesh.ring.get_or_insert(point);
                Some(point)
            }
            Place::RowEnd { row_end } => {
                let order = &self.fabric.row(row_end.row).order;
                let end = match row_end.edge {
                    crate::fabric::EdgeEnd::Start => order.first(),
                    crate::fabric::EdgeEnd::End => order.last(),
                };
                self.of_stitch.get(end?).copied()
            }
            Place::Between { between: [a, _] } | Place::Face { face: [a, _] } => self.of_stitch.get(&a).copied(),
            _ => self.of_stitch.get(&place.stitch()?).copied(),
        }
    }

    fn feet(&mut self, stitch: &Stitch) -> Vec<usize> {
        let mut feet: Vec<usize> = stitch.into.iter().filter_map(|p| self.foot(p)).collect();
        feet.dedup();
        feet
    }

    fn add_posts(&mut self, row: usize, sizes: &dyn Sizes) {
        let fabric = self.fabric;
        for &id in &fabric.rows[row].order {
            let stitch = fabric.stitch(id);
            let Some(&head) = self.of_stitch.get(&id) else { continue };
            if fabric.space_of(id).is_some() {
                continue;
            }
            let feet = self.feet(stitch);
            if feet.is_empty() || feet.contains(&head) {
                continue;
            }
            let mut rest = sizes.height(stitch.stem()).max(0.1);
            if let Some(Place::Ring { ring }) = stitch.into.first() {
                rest += RING * fabric.rings[ring.index()].ids.len() as f64;
            }
            let along = self.neighbours(feet[0], *feet.last().unwrap_or(&feet[0]));
            self.mesh.posts.push(Post { head, feet, along, rest });
        }
    }

    /// The points before the first and after the last of some feet along their line.
    fn neighbours(&self, first: usize, last: usize) -> Option<(usize, usize)> {
        let ((row, i), (other, j)) = (self.seat[first]?, self.seat[last]?);
        let (run, closed) = &self.mesh.rows[row];
        let n = run.len();
        if row != other || n < 2 {
            return None;
        }
        let (before, after) =
            if *closed { ((i + n - 1) % n, (j + 1) % n) } else { (i.saturating_sub(1), (j + 1).min(n - 1)) };
        (before != after).then_some((run[before], run[after]))
    }

    /// Faces between every two neighbours of a row and what they stand on.
    fn add_faces(&mut self) {
        let mut feet: Vec<Vec<usize>> = vec![Vec::new(); self.mesh.points.len()];
        for post in &self.mesh.posts {
            feet[post.head] = post.feet.clone();
        }
        let rows = self.mesh.rows.clone();
        for (run, closed) in &rows {
            let closed = *closed;
            let n = run.len();
            let standing: Vec<usize> = (0..n).filter(|&i| !feet[run[i]].is_empty()).collect();
            for (k, &i) in standing.iter().enumerate() {
                let own = &feet[run[i]];
                for w in own.windows(2) {
                    self.mesh.faces.push([run[i], w[1], w[0]]);
                }
                let j = match standing.get(k + 1) {
                    Some(&j) => j,
                    None if closed && standing.len() > 2 => standing[0] + n,
                    None => continue,
                };
                let top: Vec<usize> = (i..=j).map(|t| run[t % n]).collect();
                let next = &feet[run[j % n]];
                // the feet that face each other, in working order
                let (Some(&from), Some(&to)) = (own.last(), next.first()) else { continue };
                let Some(base) = self.path(from, to) else { continue };
                for w in base.windows(2) {
                    self.mesh.faces.push([top[0], w[1], w[0]]);
                }
                let last = *base.last().unwrap_or(&from);
                for w in top.windows(2) {
                    self.mesh.faces.push([w[0], w[1], last]);
                }
            }
        }
    }

    /// The points of a line from one to another, the shorter way about a round.
    fn path(&self, from: usize, to: usize) -> Option<Vec<usize>> {
        if from == to {
            return Some(vec![from]);
        }
        let ((row, i), (other, j)) = (self.seat[from]?, self.seat[to]?);
        let (run, closed) = self.mesh.rows.get(row)?;
        (row == other).then(|| {
            let n = run.len();
            let ahead = (j + n - i) % n;
            if *closed && ahead * 2 <= n {
                (0..=ahead).map(|k| run[(i + k) % n]).collect()
            } else if *closed {
                (0..=n - ahead).map(|k| run[(i + n - k) % n]).collect()
            } else if i <= j {
                run[i..=j].to_vec()
            } else {
                run[j..=i].iter().rev().copied().collect()
            }
        })
    }
}
