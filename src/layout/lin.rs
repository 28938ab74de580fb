//! Points that hang on other points: affine anchors, and vectors between them.

use super::plane::r90;
use kurbo::Vec2;
use smallvec::{SmallVec, smallvec};

/// A node and its weights `a` and `b`.
pub(super) type Hold = (usize, f64, f64);

/// A linear form of node positions: the sum of `a·p + b·R90·p`.
///
/// Weights `a` that sum to 1 (and `b` to 0) make a point, to 0 a vector. Most are of four nodes or fewer, and many are made
/// only to be measured once: those are not worth a place on the heap.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Lin(pub(super) SmallVec<[Hold; 4]>);

impl Lin {
    /// A node itself.
    pub(super) fn node(node: usize) -> Lin {
        Lin(smallvec![(node, 1.0, 0.0)])
    }

    /// The vector from one node to another.
    pub(super) fn between(from: usize, to: usize) -> Lin {
        Lin(smallvec![(to, 1.0, 0.0), (from, -1.0, 0.0)])
    }

    /// Where it lies.
    pub(super) fn at(&self, heads: &[Vec2]) -> Vec2 {
        held_at(&self.0, heads)
    }

    /// Itself plus `factor` times another.
    pub(super) fn plus(mut self, factor: f64, other: &Lin) -> Lin {
        for &(node, a, b) in &other.0 {
            match self.0.iter_mut().find(|t| t.0 == node) {
                Some(t) => {
                    t.1 += factor * a;
                    t.2 += factor * b;
                }
                None => self.0.push((node, factor * a, factor * b)),
            }
        }
        self
    }

    /// Itself plus `factor` times another turned a quarter.
    pub(super) fn plus_r90(self, factor: f64, other: &Lin) -> Lin {
        let quarter = Lin(other.0.iter().map(|&(n, a, b)| (n, -b, a)).collect());
        self.plus(factor, &quarter)
    }

    /// The mean of several; empty for none.
    pub(super) fn mean<'a>(all: impl ExactSizeIterator<Item = &'a Lin>) -> Lin {
        let share = 1.0 / all.len().max(1) as f64;
        all.fold(Lin::default(), |sum, lin| sum.plus(share, lin))
    }
}

/// Where the sum of some holds lies.
pub(super) fn held_at(holds: &[Hold], heads: &[Vec2]) -> Vec2 {
    let mut sum = Vec2::ZERO;
    for &(node, a, b) in holds {
        sum += a * heads[node];
        if b != 0.0 {
            sum += b * r90(heads[node]);
        }
    }
    sum
}
