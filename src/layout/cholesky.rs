//! The normal equations of a step, solved by sparse Cholesky.

use super::terms::Term;
use faer::dyn_stack::{MemBuffer, MemStack};
use faer::sparse::linalg::SupernodalThreshold;
use faer::sparse::linalg::cholesky::{
    CholeskySymbolicParams, LdltRef, SymbolicCholesky, SymmetricOrdering, factorize_symbolic_cholesky,
};
use faer::sparse::{SparseColMatRef, SymbolicSparseColMatRef};
use faer::{Conj, MatMut, Par, Side};
use kurbo::Vec2;

/// JᵀJ and −Jᵀr over the free points, upper half, column by column.
pub(super) struct Normal {
    /// The node of each pair of unknowns.
    nodes: Vec<usize>,
    equations: Equations,
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
            values[at] += damping * (1.0 + values[at]);
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
    /// `free`: the points that may move, in ascending order.
    pub(super) fn of(terms: &[Term], heads: &[Vec2], free: &[usize]) -> Option<Normal> {
        let nodes: Vec<usize> = free.to_vec();
        let unknown = |node: usize| nodes.binary_search(&node).ok();
        if nodes.is_empty() {
            return None;
        }
        let mut slopes: Vec<(f64, Vec<(usize, Vec2)>)> = Vec::with_capacity(terms.len());
        let mut slope = Vec::new();
        let mut pairs: Vec<(usize, usize)> = (0..nodes.len()).map(|i| (i, i)).collect();
        for term in terms {
            let residual = term.linear(heads, &mut slope);
            let own: Vec<(usize, Vec2)> = slope.iter().filter_map(|&(n, g)| Some((unknown(n)?, g))).collect();
            for (k, &(i, _)) in own.iter().enumerate() {
                pairs.extend(own[k + 1..].iter().map(|&(j, _)| (i.max(j), i.min(j))));
            }
            if !own.is_empty() {
                slopes.push((residual, own));
            }
        }
        // by column, then row: each pair once
        pairs.sort_unstable();
        pairs.dedup();
        let mut column = vec![0; nodes.len() + 1];
        for &(j, _) in &pairs {
            column[j + 1] += 1;
        }
        for j in 0..nodes.len() {
            column[j + 1] += column[j];
        }
        let blocks = sum_blocks(&slopes, &pairs, &column);
        let mut right = vec![0.0; 2 * nodes.len()];
        for (residual, own) in &slopes {
            for &(i, g) in own {
                right[2 * i] -= residual * g.x;
                right[2 * i + 1] -= residual * g.y;
            }
        }
        Normal::assembled(nodes, &pairs, &column, &blocks, right)
    }

    fn assembled(
        nodes: Vec<usize>,
        pairs: &[(usize, usize)],
        column: &[usize],
        blocks: &[[f64; 4]],
        right: Vec<f64>,
    ) -> Option<Normal> {
        let (mut starts, mut rows, mut values) = (vec![0], Vec::new(), Vec::new());
        for j in 0..nodes.len() {
            for y in 0..2 {
                for k in column[j]..column[j + 1] {
                    let i = pairs[k].1;
                    for x in 0..if i == j { y + 1 } else { 2 } {
                        rows.push(2 * i + x);
                        values.push(blocks[k][2 * x + y]);
                    }
                }
                starts.push(rows.len());
            }
        }
        let equations = Equations::of(starts, rows, values, right)?;
        Some(Normal { nodes, equations })
    }

    /// The step under a damping; none where the factor fails.
    pub(super) fn solve(&self, damping: f64) -> Option<Vec<(usize, Vec2)>> {
        let solution = self.equations.solve(damping)?;
        let step = |i: usize| Vec2::new(solution[2 * i], solution[2 * i + 1]);
        Some(self.nodes.iter().enumerate().map(|(i, &node)| (node, step(i))).collect())
    }
}

/// Sums gᵢgⱼᵀ of every term into the blocks of its pairs, in the order of the terms.
fn sum_blocks(slopes: &[(f64, Vec<(usize, Vec2)>)], pairs: &[(usize, usize)], column: &[usize]) -> Vec<[f64; 4]> {
    let mut blocks = vec![[0.0; 4]; pairs.len()];
    for (_, own) in slopes {
        for (k, &(i, gi)) in own.iter().enumerate() {
            for &(j, gj) in &own[k..] {
                let ((row, gr), (col, gc)) = if i <= j { ((i, gi), (j, gj)) } else { ((j, gj), (i, gi)) };
                let from = column[col];
                // OK: every pair of a term was put into the pattern above
                let Ok(at) = pairs[from..column[col + 1]].binary_search(&(col, row)) else { continue };
                let block = &mut blocks[from + at];
                block[0] += gr.x * gc.x;
                block[1] += gr.x * gc.y;
                block[2] += gr.y * gc.x;
                block[3] += gr.y * gc.y;
            }
        }
    }
    blocks
}
