//! Symmetric equations of points in the plane, solved by a sparse LDLᵀ of blocks of 2 × 2: one for each pair of points.
//!
//! Blocks take a quarter of the looking up that single numbers take, and plain sums and products in a fixed order are the
//! same on every machine.

use faer::dyn_stack::{MemBuffer, MemStack};
use faer::sparse::SymbolicSparseColMatRef;
use faer::sparse::linalg::amd;
use kurbo::Vec2;

/// Four numbers, row by row.
pub(super) type Block = [f64; 4];

/// Where the equations have blocks: the upper half, column by column.
pub(super) struct Places {
    /// Where each column begins, and where the last ends.
    pub(super) starts: Vec<usize>,
    /// Rows of each column, in ascending order, the diagonal last.
    pub(super) rows: Vec<u32>,
}

impl Places {
    /// The rows of a column.
    pub(super) fn column(&self, column: usize) -> &[u32] {
        &self.rows[self.starts[column]..self.starts[column + 1]]
    }

    /// Where the block of a row and a column stands, if it has a place.
    pub(super) fn of(&self, row: u32, column: usize) -> Option<usize> {
        // columns are short, and what is asked for most stands at their end
        let at = self.column(column).iter().rposition(|&r| r == row)?;
        Some(self.starts[column] + at)
    }

    /// How many columns there are.
    pub(super) fn columns(&self) -> usize {
        self.starts.len() - 1
    }
}

/// A block of the equations as the factor takes it up.
struct Taken {
    /// The row, by its turn.
    row: u32,
    /// Where it stands in the equations.
    at: u32,
    /// True where it lies in the other half there.
    turned_over: bool,
}

/// The factor of some equations: unknowns are eliminated in turns that keep it small.
pub(super) struct Factor {
    /// The unknown of each turn.
    order: Vec<u32>,
    /// Of each turn, what the equations have above the diagonal of its column, and where the column ends.
    taken: Vec<Taken>,
    taken_ends: Vec<u32>,
    /// Of each turn, the columns with a block in its row, ascending, and where the row ends.
    columns: Vec<u32>,
    columns_ends: Vec<u32>,
    /// Column by column, the rows below the diagonal, and their blocks.
    starts: Vec<u32>,
    rows: Vec<u32>,
    blocks: Vec<Block>,
    /// Inverses of the diagonal blocks.
    pivots: Vec<Block>,
}

impl Factor {
    /// The order of elimination, and what the factor has room for; none where the places cannot be ordered.
    pub(super) fn of(places: &Places) -> Option<Factor> {
        let n = places.columns();
        let order = order_of(places)?;
        let mut turn = vec![0_u32; n];
        for (k, &unknown) in order.iter().enumerate() {
            turn[unknown as usize] = k as u32;
        }
        let mut by_column: Vec<(u32, Taken)> = Vec::with_capacity(places.rows.len() - n);
        for column in 0..n {
            for (k, &row) in places.column(column).iter().enumerate().filter(|(_, row)| **row as usize != column) {
                let (a, b) = (turn[row as usize], turn[column]);
                let at = (places.starts[column] + k) as u32;
                by_column.push((a.max(b), Taken { row: a.min(b), at, turned_over: a > b }));
            }
        }
        by_column.sort_unstable_by_key(|(column, taken)| (*column, taken.row));
        let mut taken_ends = vec![0_u32; n];
        for (column, _) in &by_column {
            taken_ends[*column as usize] += 1;
        }
        running_sums(&mut taken_ends);
        let taken: Vec<Taken> = by_column.into_iter().map(|(_, taken)| taken).collect();
        let (columns, columns_ends) = rows_of_factor(&taken, &taken_ends);
        let mut starts = vec![0_u32; n + 1];
        for &column in &columns {
            starts[column as usize + 1] += 1;
        }
        running_sums(&mut starts);
        let mut filled = starts.clone();
        let mut rows = vec![0_u32; columns.len()];
        for k in 0..n {
            for &column in stretch(&columns, &columns_ends, k) {
                rows[filled[column as usize] as usize] = k as u32;
                filled[column as usize] += 1;
            }
        }
        let blocks = vec![[0.0; 4]; rows.len()];
        Some(Factor {
            order,
            taken,
            taken_ends,
            columns,
            columns_ends,
            starts,
            rows,
            blocks,
            pivots: vec![[0.0; 4]; n],
        })
    }

    /// Numbers in it.
    pub(super) fn len(&self) -> usize {
        4 * self.blocks.len() + 3 * self.pivots.len()
    }

    /// The solution under a damping; none where a pivot has no inverse.
    pub(super) fn solve(
        &mut self,
        places: &Places,
        values: &[Block],
        right: &[Vec2],
        damping: f64,
    ) -> Option<Vec<Vec2>> {
        self.fill(places, values, damping)?;
        let mut x: Vec<Vec2> = self.order.iter().map(|&unknown| right[unknown as usize]).collect();
        for k in 0..x.len() {
            let known = x[k];
            for at in self.starts[k] as usize..self.starts[k + 1] as usize {
                x[self.rows[at] as usize] -= times_point(&self.blocks[at], known);
            }
        }
        for k in (0..x.len()).rev() {
            let mut sum = times_point(&self.pivots[k], x[k]);
            for at in self.starts[k] as usize..self.starts[k + 1] as usize {
                sum -= times_point(&turned_over(&self.blocks[at]), x[self.rows[at] as usize]);
            }
            x[k] = sum;
        }
        let mut solution = vec![Vec2::ZERO; x.len()];
        for (&unknown, x) in self.order.iter().zip(x) {
            solution[unknown as usize] = x;
        }
        Some(solution)
    }

    /// Row by row, each from the columns before it.
    fn fill(&mut self, places: &Places, values: &[Block], damping: f64) -> Option<()> {
        let n = self.order.len();
        let mut filled: Vec<u32> = self.starts[..n].to_vec();
        let mut row = vec![[0.0; 4]; n];
        for k in 0..n {
            for taken in stretch(&self.taken, &self.taken_ends, k) {
                let block = &values[taken.at as usize];
                row[taken.row as usize] = if taken.turned_over { turned_over(block) } else { *block };
            }
            let mut own = values[places.starts[self.order[k] as usize + 1] - 1];
            for at in [0, 3] {
                own[at] += damping * (1.0 + own[at].abs());
            }
            for &column in stretch(&self.columns, &self.columns_ends, k) {
                let column = column as usize;
                let above = std::mem::take(&mut row[column]);
                let (from, to) = (self.starts[column] as usize, filled[column] as usize);
                for (&r, block) in self.rows[from..to].iter().zip(&self.blocks[from..to]) {
                    let less = times(block, &above);
                    row[r as usize].iter_mut().zip(less).for_each(|(x, less)| *x -= less);
                }
                let block = times(&turned_over(&above), &self.pivots[column]);
                own.iter_mut().zip(times(&block, &above)).for_each(|(x, less)| *x -= less);
                self.blocks[to] = block;
                filled[column] += 1;
            }
            self.pivots[k] = inverse(&own)?;
        }
        Some(())
    }
}

/// The unknown of each turn, in the order of least fill that is found soon.
fn order_of(places: &Places) -> Option<Vec<u32>> {
    let n = places.columns();
    let rows: Vec<usize> = places.rows.iter().map(|&r| r as usize).collect();
    let matrix = SymbolicSparseColMatRef::new_checked(n, n, &places.starts, None, &rows);
    let (mut order, mut turns) = (vec![0_usize; n], vec![0_usize; n]);
    let mut memory = MemBuffer::try_new(amd::order_scratch::<usize>(n, rows.len())).ok()?;
    amd::order(&mut order, &mut turns, matrix, amd::Control::default(), MemStack::new(&mut memory)).ok()?;
    // OK to narrow: 2³² points have no room in memory
    Some(order.into_iter().map(|unknown| unknown as u32).collect())
}

/// Of each turn, the columns that have a block in its row: those of the equations, and what eliminating them adds.
fn rows_of_factor(taken: &[Taken], taken_ends: &[u32]) -> (Vec<u32>, Vec<u32>) {
    const NONE: u32 = u32::MAX;
    let n = taken_ends.len();
    // the first row below the diagonal of each column, and the last turn that came by it
    let (mut next, mut seen) = (vec![NONE; n], vec![NONE; n]);
    let (mut columns, mut ends): (Vec<u32>, Vec<u32>) = (Vec::new(), Vec::with_capacity(n));
    for k in 0..n as u32 {
        let from = columns.len();
        seen[k as usize] = k;
        for first in stretch(taken, taken_ends, k as usize) {
            let mut column = first.row;
            while seen[column as usize] != k {
                seen[column as usize] = k;
                columns.push(column);
                if next[column as usize] == NONE {
                    next[column as usize] = k;
                }
                column = next[column as usize];
            }
        }
        columns[from..].sort_unstable();
        ends.push(columns.len() as u32);
    }
    (columns, ends)
}

fn stretch<'a, T>(all: &'a [T], ends: &[u32], k: usize) -> &'a [T] {
    let from = if k == 0 { 0 } else { ends[k - 1] };
    &all[from as usize..ends[k] as usize]
}

fn running_sums(counts: &mut [u32]) {
    let mut sum = 0;
    for count in counts {
        sum += *count;
        *count = sum;
    }
}

fn times(a: &Block, b: &Block) -> Block {
    [a[0] * b[0] + a[1] * b[2], a[0] * b[1] + a[1] * b[3], a[2] * b[0] + a[3] * b[2], a[2] * b[1] + a[3] * b[3]]
}

fn times_point(a: &Block, v: Vec2) -> Vec2 {
    Vec2::new(a[0] * v.x + a[1] * v.y, a[2] * v.x + a[3] * v.y)
}

fn turned_over(a: &Block) -> Block {
    [a[0], a[2], a[1], a[3]]
}

/// The inverse of a symmetric block, by its upper half.
fn inverse(a: &Block) -> Option<Block> {
    let det = a[0] * a[3] - a[1] * a[1];
    let inverse = [a[3] / det, -a[1] / det, -a[1] / det, a[0] / det];
    inverse.iter().all(|x| x.is_finite()).then_some(inverse)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Equations of a ring of points, each with its own block and one with the next.
    fn ring(n: u32) -> (Places, Vec<Block>, Vec<Vec2>) {
        let (mut starts, mut rows, mut values) = (vec![0], Vec::new(), Vec::new());
        for column in 0..n {
            let above: Vec<u32> = match column {
                0 => vec![],
                _ if column == n - 1 => vec![0, n - 2],
                _ => vec![column - 1],
            };
            for row in above {
                rows.push(row);
                values.push([0.5, -0.3, 0.2, f64::from(row + column) * 0.05]);
            }
            rows.push(column);
            values.push([3.0 + f64::from(column), 0.4, 0.4, 4.0]);
            starts.push(rows.len());
        }
        let right = (0..n).map(|i| Vec2::new(f64::from(i) - 2.0, 1.0 / f64::from(i + 1))).collect();
        (Places { starts, rows }, values, right)
    }

    #[test]
    fn a_solution_put_in_gives_the_right_side_again() {
        let (places, values, right) = ring(9);
        let mut factor = Factor::of(&places).unwrap();
        for damping in [0.0, 0.1] {
            let x = factor.solve(&places, &values, &right, damping).unwrap();
            let mut sums = vec![Vec2::ZERO; x.len()];
            for column in 0..x.len() {
                for (k, &row) in places.column(column).iter().enumerate() {
                    let (row, mut block) = (row as usize, values[places.starts[column] + k]);
                    if row == column {
                        [0, 3].into_iter().for_each(|at| block[at] += damping * (1.0 + block[at]));
                    } else {
                        sums[column] += times_point(&turned_over(&block), x[row]);
                    }
                    sums[row] += times_point(&block, x[column]);
                }
            }
            assert!(sums.iter().zip(&right).all(|(a, b)| (*a - *b).hypot() < 1e-12), "{sums:?}\n{right:?}");
        }
    }

    #[test]
    fn a_point_that_nothing_holds_has_no_solution() {
        let places = Places { starts: vec![0, 1], rows: vec![0] };
        let mut factor = Factor::of(&places).unwrap();
        assert!(factor.solve(&places, &[[0.0; 4]], &[Vec2::ZERO], 0.0).is_none());
        assert!(factor.solve(&places, &[[0.0; 4]], &[Vec2::ZERO], 0.1).is_some());
    }
}
