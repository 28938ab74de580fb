//! The normal equations of a step, solved by sparse Cholesky.

use super::terms::Terms;
use faer::dyn_stack::{MemBuffer, MemStack};
use faer::sparse::linalg::SupernodalThreshold;
use faer::sparse::linalg::cholesky::{
    CholeskySymbolicParams, LdltRef, SymbolicCholesky, SymmetricOrdering, factorize_symbolic_cholesky,
};
use faer::sparse::{SparseColMatRef, SymbolicSparseColMatRef};
use faer::{Conj, MatMut, Par, Side};
use kurbo::Vec2;
use smallvec::{SmallVec, smallvec};

/// JᵀJ and −Jᵀr over the free points, upper half, column by column.
pub(super) struct Normal {
    /// The node of each pair of unknowns.
    nodes: Vec<usize>,
    /// The unknown of each node of the net, if it is free.
    unknown: Vec<u32>,
    blocks: Blocks,
    equations: Equations,
    /// The energy where they were gathered.
    pub(super) energy: f64,
}

/// Symmetric equations, upper half, column by column, solved by sparse Cholesky on one thread.
pub(crate) struct Equations {
    starts: Vec<usize>,
    rows: Vec<usize>,
    values: Vec<f64>,
    right: Vec<f64>,
    symbolic: SymbolicCholesky<usize>,
}

impl Equations {
    /// Equations from the columns of the upper half, the diagonal last in each; none where they cannot be ordered.
    pub(crate) fn of(starts: Vec<usize>, rows: Vec<usize>, values: Vec<f64>, right: Vec<f64>) -> Option<Equations> {
        let n = right.len();
        let matrix = SymbolicSparseColMatRef::new_checked(n, n, &starts, None, &rows);
        // the simplicial path is plain scalar code: it picks no instructions by processor
        let params = CholeskySymbolicParams {
            supernodal_flop_ratio_threshold: SupernodalThreshold::FORCE_SIMPLICIAL,
            ..CholeskySymbolicParams::default()
        };
        let symbolic = factorize_symbolic_cholesky(matrix, Side::Upper, SymmetricOrdering::Amd, params).ok()?;
        Some(Equations { starts, rows, values, right, symbolic })
    }

    /// The same places with other numbers in them.
    pub(crate) fn refill(&mut self, values: Vec<f64>, right: Vec<f64>) {
        (self.values, self.right) = (values, right);
    }

    /// The solution under a damping; none where the factor fails.
    pub(crate) fn solve(&self, damping: f64) -> Option<Vec<f64>> {
        let n = self.right.len();
        let mut values = self.values.clone();
        for j in 0..n {
            // the diagonal is the last of its column: only the upper half is stored
            let at = self.starts[j + 1] - 1;
            values[at] += damping * (1.0 + values[at].abs());
        }
        let pattern = SymbolicSparseColMatRef::new_checked(n, n, &self.starts, None, &self.rows);
        let matrix = SparseColMatRef::new(pattern, &values);
        let mut factor = vec![0.0; self.symbolic.len_val()];
        let numeric_scratch = self.symbolic.factorize_numeric_ldlt_scratch::<f64>(Par::Seq, Default::default());
        let mut memory = MemBuffer::try_new(numeric_scratch).ok()?;
        let ldlt: LdltRef<'_, usize, f64> = self
            .symbolic
            .factorize_numeric_ldlt(
                &mut factor,
                matrix,
                Side::Upper,
                Default::default(),
                Par::Seq,
                MemStack::new(&mut memory),
                Default::default(),
            )
            .ok()?;
        let mut solution = self.right.clone();
        let mut memory = MemBuffer::try_new(self.symbolic.solve_in_place_scratch::<f64>(1, Par::Seq)).ok()?;
        ldlt.solve_in_place_with_conj(
            Conj::No,
            MatMut::from_column_major_slice_mut(&mut solution, n, 1),
            Par::Seq,
            MemStack::new(&mut memory),
        );
        Some(solution)
    }
}

impl Normal {
    /// Gathers the equations of some terms; none where nothing is free or nothing pulls.
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
        let blocks = Blocks::of(terms, free.len(), &unknown);
        let (mut starts, mut rows) = (vec![0], Vec::new());
        for j in 0..free.len() {
            for y in 0..2 {
                for &i in blocks.column(j) {
                    let i = i as usize;
                    rows.extend((0..if i == j { y + 1 } else { 2 }).map(|x| 2 * i + x));
                }
                starts.push(rows.len());
            }
        }
        let values = vec![0.0; rows.len()];
        let equations = Equations::of(starts, rows, values, vec![0.0; 2 * free.len()])?;
        let mut normal = Normal { nodes: free.to_vec(), unknown, blocks, equations, energy: 0.0 };
        normal.sum(terms, heads).then_some(normal)
    }

    /// Sums gᵢgⱼᵀ and −rgᵢ of every term, in the order of the terms; false where there is no place for some.
    fn sum(&mut self, terms: &Terms, heads: &[Vec2]) -> bool {
        let (unknown, blocks) = (&self.unknown, &self.blocks);
        let Equations { starts, values, right, .. } = &mut self.equations;
        values.fill(0.0);
        right.fill(0.0);
        self.energy = 0.0;
        let (mut slope, mut own) = (Vec::new(), Vec::new());
        for term in terms.iter() {
            let residual = term.linear(heads, &mut slope);
            self.energy += residual * residual;
            own.clear();
            own.extend(slope.iter().map(|&(n, g)| (unknown[n], g)).filter(|o| o.0 != NONE));
            for (k, &(i, gi)) in own.iter().enumerate() {
                right[2 * i as usize] -= residual * gi.x;
                right[2 * i as usize + 1] -= residual * gi.y;
                for &(j, gj) in &own[k..] {
                    let ((row, gr), (col, gc)) = if i <= j { ((i, gi), (j, gj)) } else { ((j, gj), (i, gi)) };
                    let Some(at) = blocks.place(row, col as usize) else { return false };
                    let col = 2 * col as usize;
                    let (left, next) = (starts[col] + 2 * at, starts[col + 1] + 2 * at);
                    values[left] += gr.x * gc.x;
                    values[next] += gr.x * gc.y;
                    values[next + 1] += gr.y * gc.y;
                    if i != j {
                        values[left + 1] += gr.y * gc.x;
                    }
                }
            }
        }
        true
    }

    /// Adds what the bending of lengths and angles does to the energy: near rest the steps find the least of it sooner.
    pub(super) fn bend(&mut self, terms: &Terms, heads: &[Vec2]) {
        let (unknown, blocks) = (&self.unknown, &self.blocks);
        let Equations { starts, values, .. } = &mut self.equations;
        for term in terms.iter() {
            term.bending(heads, |p, q, block| {
                let (row, col) = (unknown[p], unknown[q] as usize);
                if row == NONE || unknown[q] == NONE {
                    return;
                }
                // OK: the pair was given a place with the term's slopes
                let Some(at) = blocks.place(row, col) else { return };
                let (left, next) = (starts[2 * col] + 2 * at, starts[2 * col + 1] + 2 * at);
                values[left] += block[0];
                values[next] += block[1];
                values[next + 1] += block[3];
                if row as usize != col {
                    values[left + 1] += block[2];
                }
            });
        }
    }

    /// Numbers in the factor.
    pub(super) fn fill(&self) -> usize {
        self.equations.symbolic.len_val()
    }

    /// The step under a damping; none where the factor fails.
    pub(super) fn solve(&self, damping: f64) -> Option<Vec<(usize, Vec2)>> {
        let solution = self.equations.solve(damping)?;
        let step = |i: usize| Vec2::new(solution[2 * i], solution[2 * i + 1]);
        Some(self.nodes.iter().enumerate().map(|(i, &node)| (node, step(i))).collect())
    }
}

// What is held.
const NONE: u32 = u32::MAX;

/// The places of blocks of 2 × 2.
struct Blocks {
    /// Where each column begins, and where the last ends.
    starts: Vec<u32>,
    /// Rows of each column, in ascending order, the diagonal last.
    rows: Vec<u32>,
}

impl Blocks {
    /// Where the terms put numbers.
    fn of(terms: &Terms, columns: usize, unknown: &[u32]) -> Blocks {
        let mut blocks: Vec<SmallVec<[u32; 24]>> = (0..columns as u32).map(|j| smallvec![j]).collect();
        let (mut nodes, mut own) = (Vec::new(), Vec::new());
        for term in terms.iter() {
            term.nodes(&mut nodes);
            own.clear();
            own.extend(nodes.iter().map(|&n| unknown[n]).filter(|&i| i != NONE));
            for (k, &i) in own.iter().enumerate() {
                for &j in &own[k + 1..] {
                    let column = &mut blocks[i.max(j) as usize];
                    if let Err(at) = column.binary_search(&i.min(j)) {
                        column.insert(at, i.min(j));
                    }
                }
            }
        }
        let mut starts = vec![0];
        let mut rows = Vec::with_capacity(blocks.iter().map(SmallVec::len).sum());
        for column in blocks {
            rows.extend_from_slice(&column);
            starts.push(rows.len() as u32);
        }
        Blocks { starts, rows }
    }

    fn column(&self, column: usize) -> &[u32] {
        &self.rows[self.starts[column] as usize..self.starts[column + 1] as usize]
    }

    /// Where in its column a row stands, if it has a place there.
    fn place(&self, row: u32, column: usize) -> Option<usize> {
        let rows = self.column(column);
        // most columns are short: looked through from the diagonal, which is asked for most
        rows.iter().rposition(|&r| r == row)
    }
}
