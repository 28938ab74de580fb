//! Symmetric equations, solved by sparse Cholesky.

use faer::dyn_stack::{MemBuffer, MemStack};
use faer::sparse::linalg::SupernodalThreshold;
use faer::sparse::linalg::cholesky::{
    CholeskySymbolicParams, LdltRef, SymbolicCholesky, SymmetricOrdering, factorize_symbolic_cholesky,
};
use faer::sparse::{SparseColMatRef, SymbolicSparseColMatRef};
use faer::{Conj, MatMut, Par, Side};

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
