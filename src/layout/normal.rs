//! The normal equations of a step.

use super::factor::{Block, Factor, Places};
use super::terms::Terms;
use kurbo::Vec2;
use smallvec::{SmallVec, smallvec};

/// JᵀJ and −Jᵀr over the free points.
pub(super) struct Normal {
    /// The node of each unknown point.
    nodes: Vec<usize>,
    /// The unknown of each node of the net, if it is free.
    unknown: Vec<u32>,
    places: Places,
    values: Vec<Block>,
    right: Vec<Vec2>,
    factor: Factor,
    /// The energy where they were gathered.
    pub(super) energy: f64,
}

impl Normal {
    /// Gathers the equations of some terms; none where nothing is free.
    ///
    /// `free`: the points that may move, in ascending order. `last`: the equations of the step before over the same points,
    /// whose order of elimination serves again where they have a place for all that is said now.
    pub(super) fn of(terms: &Terms, heads: &[Vec2], free: &[usize], last: Option<Normal>) -> Option<Normal> {
        if free.is_empty() {
            return None;
        }
        let unknown = match last {
            Some(mut last) => {
                if last.sum(terms, heads) {
                    return Some(last);
                }
                last.unknown
            }
            None => {
                let mut unknown = vec![NONE; heads.len()];
                for (i, &node) in free.iter().enumerate() {
                    // OK to narrow: 2³² points have no room in memory
                    unknown[node] = i as u32;
                }
                unknown
            }
        };
        let places = places_of(terms, free.len(), &unknown);
        let values = vec![[0.0; 4]; places.rows.len()];
        let factor = Factor::of(&places)?;
        let right = vec![Vec2::ZERO; free.len()];
        let mut normal = Normal { nodes: free.to_vec(), unknown, places, values, right, factor, energy: 0.0 };
        normal.sum(terms, heads).then_some(normal)
    }

    /// Sums gᵢgⱼᵀ and −rgᵢ of every term, in the order of the terms; false where there is no place for some.
    fn sum(&mut self, terms: &Terms, heads: &[Vec2]) -> bool {
        let Normal { unknown, places, values, right, .. } = self;
        values.fill([0.0; 4]);
        right.fill(Vec2::ZERO);
        let mut energy = 0.0;
        let (mut slope, mut own) = (Vec::new(), Vec::new());
        for term in terms.iter() {
            let residual = term.linear(heads, &mut slope);
            energy += residual * residual;
            own.clear();
            own.extend(slope.iter().map(|&(n, g)| (unknown[n], g)).filter(|o| o.0 != NONE));
            for (k, &(i, gi)) in own.iter().enumerate() {
                right[i as usize] -= residual * gi;
                for &(j, gj) in &own[k..] {
                    let ((row, gr), (col, gc)) = if i <= j { ((i, gi), (j, gj)) } else { ((j, gj), (i, gi)) };
                    let Some(at) = places.of(row, col as usize) else { return false };
                    add(&mut values[at], [gr.x * gc.x, gr.x * gc.y, gr.y * gc.x, gr.y * gc.y]);
                }
            }
        }
        self.energy = energy;
        true
    }

    /// Adds what the bending of lengths and angles does to the energy: near rest the steps find the least of it sooner.
    pub(super) fn bend(&mut self, terms: &Terms, heads: &[Vec2]) {
        let Normal { unknown, places, values, .. } = self;
        for term in terms.iter() {
            term.bending(heads, |p, q, block| {
                let (row, col) = (unknown[p], unknown[q]);
                if row == NONE || col == NONE {
                    return;
                }
                // OK: the pair was given a place with the term's slopes
                let Some(at) = places.of(row, col as usize) else { return };
                add(&mut values[at], block);
            });
        }
    }

    /// Numbers in the factor.
    pub(super) fn fill(&self) -> usize {
        self.factor.len()
    }

    /// The step under a damping; none where the factor fails.
    pub(super) fn solve(&mut self, damping: f64) -> Option<Vec<(usize, Vec2)>> {
        let solution = self.factor.solve(&self.places, &self.values, &self.right, damping)?;
        Some(self.nodes.iter().copied().zip(solution).collect())
    }
}

fn add(to: &mut Block, block: Block) {
    to.iter_mut().zip(block).for_each(|(sum, x)| *sum += x);
}

// What is held.
const NONE: u32 = u32::MAX;

/// Where the terms put numbers.
fn places_of(terms: &Terms, columns: usize, unknown: &[u32]) -> Places {
    let mut by_column: Vec<SmallVec<[u32; 24]>> = (0..columns as u32).map(|j| smallvec![j]).collect();
    let (mut nodes, mut own) = (Vec::new(), Vec::new());
    for term in terms.iter() {
        term.nodes(&mut nodes);
        own.clear();
        own.extend(nodes.iter().map(|&n| unknown[n]).filter(|&i| i != NONE));
        for (k, &i) in own.iter().enumerate() {
            for &j in &own[k + 1..] {
                let column = &mut by_column[i.max(j) as usize];
                if let Err(at) = column.binary_search(&i.min(j)) {
                    column.insert(at, i.min(j));
                }
            }
        }
    }
    let mut starts = vec![0];
    let mut rows = Vec::with_capacity(by_column.iter().map(SmallVec::len).sum());
    for column in by_column {
        rows.extend_from_slice(&column);
        starts.push(rows.len());
    }
    Places { starts, rows }
}
