//! The energy: what a good chart wants, as residuals of lengths and angles.

use super::lin::{Hold, Lin, held_at};
use super::plane::{angle, length, r90, wrap};
use kurbo::Vec2;
use smallvec::{SmallVec, smallvec};

/// A measure of a vector of the net.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Measure {
    Length,
    Angle,
    X,
    Y,
}

/// One measure and its factor in a residual.
#[derive(Clone, Debug)]
pub(super) struct Part {
    pub(super) factor: f64,
    pub(super) measure: Measure,
    pub(super) of: Lin,
}

/// How heavy a residual is, by its sign and size.
#[derive(Clone, Copy, Debug)]
pub(super) enum Weight {
    Even(f64),
    /// Within a limit on both sides, and what is beyond it.
    Hinged {
        within: f64,
        limit: f64,
        beyond: f64,
    },
    /// If short; if long; beyond a limit of the residual.
    Sided {
        short: f64,
        long: f64,
        limit: f64,
        beyond: f64,
    },
}

impl Weight {
    /// The weighted residual and its slope: one line after another, without a step between.
    fn weighed(self, value: f64) -> (f64, f64) {
        match self {
            Weight::Even(w) => (w * value, w),
            Weight::Hinged { within, limit, .. } if value.abs() <= limit => (within * value, within),
            Weight::Hinged { within, limit, beyond } => {
                (within * limit.copysign(value) + beyond * (value - limit.copysign(value)), beyond)
            }
            Weight::Sided { short, .. } if value < 0.0 => (short * value, short),
            Weight::Sided { long, limit, .. } if value <= limit => (long * value, long),
            Weight::Sided { long, limit, beyond, .. } => (long * limit + beyond * (value - limit), beyond),
        }
    }
}

/// A residual as it is put together: factors times measures, plus a constant; wrapped where it is an angle.
#[derive(Clone, Debug)]
pub(super) struct Term {
    want: &'static str,
    weight: Weight,
    parts: SmallVec<[Part; 3]>,
    plus: f64,
}

impl Term {
    /// Length of a vector against a rest length.
    pub(super) fn length(of: Lin, rest: f64, weight: Weight) -> Term {
        let rest = rest.max(0.05);
        let parts = smallvec![Part { factor: 1.0 / rest, measure: Measure::Length, of }];
        Term { want: "", weight, parts, plus: -1.0 }
    }

    /// Difference of two lengths over a scale.
    pub(super) fn even_lengths(a: Lin, b: Lin, scale: f64, weight: f64) -> Term {
        let part = |factor: f64, of: Lin| Part { factor: factor / scale, measure: Measure::Length, of };
        Term { want: "", weight: Weight::Even(weight), parts: smallvec![part(1.0, a), part(-1.0, b)], plus: 0.0 }
    }

    /// Sum of angles, each with its factor, plus a constant.
    pub(super) fn angles<const N: usize>(of: [(f64, Lin); N], plus: f64, weight: f64) -> Term {
        Term::weighed_angles(of, plus, Weight::Even(weight))
    }

    /// The same under any weight.
    pub(super) fn weighed_angles<const N: usize>(of: [(f64, Lin); N], plus: f64, weight: Weight) -> Term {
        let parts = of.into_iter().map(|(factor, of)| Part { factor, measure: Measure::Angle, of }).collect();
        Term { want: "", weight, parts, plus }
    }

    /// A vector that wants to be null: two residuals.
    pub(super) fn null(of: Lin, weight: f64) -> [Term; 2] {
        [Measure::X, Measure::Y].map(|measure| Term {
            want: "",
            weight: Weight::Even(weight),
            parts: smallvec![Part { factor: 1.0, measure, of: of.clone() }],
            plus: 0.0,
        })
    }

    /// The same under a name.
    pub(super) fn named(mut self, want: &'static str) -> Term {
        self.want = want;
        self
    }
}

/// A term but for its parts.
#[derive(Clone, Copy, Debug)]
struct Ends {
    want: &'static str,
    weight: Weight,
    plus: f64,
    /// Behind its last part.
    parts: u32,
}

/// A part but for its vector.
#[derive(Clone, Copy, Debug)]
struct PartEnds {
    factor: f64,
    measure: Measure,
    /// Behind its last hold.
    holds: u32,
}

/// Many terms, one after another in three lists: a relaxation makes them anew at each step.
#[derive(Default)]
pub(super) struct Terms {
    terms: Vec<Ends>,
    parts: Vec<PartEnds>,
    holds: Vec<Hold>,
}

/// One of many terms.
#[derive(Clone, Copy)]
pub(super) struct OneTerm<'t> {
    all: &'t Terms,
    at: usize,
}

impl Terms {
    /// Appends a term.
    pub(super) fn push(&mut self, term: Term) {
        for part in &term.parts {
            self.holds.extend_from_slice(&part.of.0);
            // OK to narrow: a net of 2³² holds has no room in memory
            self.parts.push(PartEnds { factor: part.factor, measure: part.measure, holds: self.holds.len() as u32 });
        }
        let Term { want, weight, plus, .. } = term;
        self.terms.push(Ends { want, weight, plus, parts: self.parts.len() as u32 });
    }

    /// Appends some terms.
    pub(super) fn extend(&mut self, terms: impl IntoIterator<Item = Term>) {
        terms.into_iter().for_each(|term| self.push(term));
    }

    /// Leaves no term, and keeps the room they took.
    pub(super) fn clear(&mut self) {
        self.terms.clear();
        self.parts.clear();
        self.holds.clear();
    }

    /// How many there are.
    pub(super) fn len(&self) -> usize {
        self.terms.len()
    }

    /// Names those from one on that have no name yet.
    pub(super) fn name_from(&mut self, from: usize, want: &'static str) {
        self.terms[from..].iter_mut().filter(|t| t.want.is_empty()).for_each(|t| t.want = want);
    }

    /// All in order.
    pub(super) fn iter(&self) -> impl Iterator<Item = OneTerm<'_>> {
        (0..self.terms.len()).map(|at| OneTerm { all: self, at })
    }

    /// The sum of squares of their weighted residuals.
    pub(super) fn energy(&self, heads: &[Vec2]) -> f64 {
        self.iter().map(|t| t.residual(heads)).map(|r| r * r).sum()
    }
}

impl<'t> OneTerm<'t> {
    /// What it wants, in a word or two.
    pub(super) fn want(self) -> &'static str {
        self.all.terms[self.at].want
    }

    /// How heavy it is.
    pub(super) fn weight(self) -> Weight {
        self.all.terms[self.at].weight
    }

    /// The constant.
    pub(super) fn plus(self) -> f64 {
        self.all.terms[self.at].plus
    }

    /// Its parts: factor, measure, and the vector that is measured.
    pub(super) fn parts(self) -> impl Iterator<Item = (f64, Measure, &'t [Hold])> {
        let all = self.all;
        let from = if self.at == 0 { 0 } else { all.terms[self.at - 1].parts as usize };
        let mut begin = if from == 0 { 0 } else { all.parts[from - 1].holds as usize };
        all.parts[from..all.terms[self.at].parts as usize].iter().map(move |part| {
            let holds = &all.holds[begin..part.holds as usize];
            begin = part.holds as usize;
            (part.factor, part.measure, holds)
        })
    }

    /// The residual at these positions, and the weight it has there.
    pub(super) fn residual_and_weight(self, heads: &[Vec2]) -> (f64, f64) {
        let value = self.value(heads);
        let (weighted, slope) = self.weight().weighed(value);
        (value, if value.abs() > 1e-12 { weighted / value } else { slope })
    }

    /// The weighted residual at these positions.
    pub(super) fn residual(self, heads: &[Vec2]) -> f64 {
        self.weight().weighed(self.value(heads)).0
    }

    fn value(self, heads: &[Vec2]) -> f64 {
        self.value_of(heads, |_| {})
    }

    /// Its value, and each of the vectors that it is the measure of.
    fn value_of(self, heads: &[Vec2], mut measured: impl FnMut(Vec2)) -> f64 {
        let mut sum = self.plus();
        let mut turns = false;
        for (factor, measure, of) in self.parts() {
            let v = held_at(of, heads);
            measured(v);
            turns = measure == Measure::Angle;
            sum += factor
                * match measure {
                    Measure::Length => length(v),
                    Measure::Angle => angle(v),
                    Measure::X => v.x,
                    Measure::Y => v.y,
                };
        }
        // the parts of a term are all of one measure
        if turns { wrap(sum) } else { sum }
    }

    /// The weighted residual, and its derivative by each node's x and y in `slope`: none for a term that is silent.
    pub(super) fn linear(self, heads: &[Vec2], slope: &mut Vec<(usize, Vec2)>) -> f64 {
        slope.clear();
        let mut vectors: SmallVec<[Vec2; 4]> = SmallVec::new();
        let (residual, weight) = self.weight().weighed(self.value_of(heads, |v| vectors.push(v)));
        if weight == 0.0 {
            return residual;
        }
        for ((factor, measure, of), &v) in self.parts().zip(&vectors) {
            // short vectors have wild angles: below a twentieth of a width they count as that long
            let l2 = (v.x * v.x + v.y * v.y).max(0.0025);
            let gradient = match measure {
                Measure::Length => v / l2.sqrt(),
                Measure::Angle => r90(v) / l2,
                Measure::X => Vec2::new(1.0, 0.0),
                Measure::Y => Vec2::new(0.0, 1.0),
            } * (factor * weight);
            for &(node, a, b) in of {
                let by_node = if b == 0.0 { a * gradient } else { a * gradient - b * r90(gradient) };
                match slope.iter_mut().find(|s| s.0 == node) {
                    Some(s) => s.1 += by_node,
                    None => slope.push((node, by_node)),
                }
            }
        }
        residual
    }

    /// What the bending of its measures adds to half the second derivative of the energy: `add` is given two nodes, the
    /// first no later than the second, and a block of 2 × 2, row by row.
    pub(super) fn bending(self, heads: &[Vec2], mut add: impl FnMut(usize, usize, [f64; 4])) {
        if matches!(self.parts().next(), Some((_, Measure::X | Measure::Y, _))) {
            return;
        }
        let mut vectors: SmallVec<[Vec2; 4]> = SmallVec::new();
        let (residual, weight) = self.weight().weighed(self.value_of(heads, |v| vectors.push(v)));
        if weight * residual == 0.0 {
            return;
        }
        for ((factor, measure, of), &v) in self.parts().zip(&vectors) {
            let l2 = (v.x * v.x + v.y * v.y).max(0.0025);
            // second derivatives of the measure by the vector: xx, xy, yy
            let (xx, xy, yy) = match measure {
                Measure::Length => {
                    let l3 = l2 * l2.sqrt();
                    (v.y * v.y / l3, -v.x * v.y / l3, v.x * v.x / l3)
                }
                Measure::Angle => {
                    let l4 = l2 * l2;
                    (2.0 * v.x * v.y / l4, (v.y * v.y - v.x * v.x) / l4, -2.0 * v.x * v.y / l4)
                }
                Measure::X | Measure::Y => continue,
            };
            let by = residual * weight * factor;
            let bent = [by * xx, by * xy, by * xy, by * yy];
            for (k, &p) in of.iter().enumerate() {
                for &q in &of[k..] {
                    let (p, q) = if p.0 <= q.0 { (p, q) } else { (q, p) };
                    add(p.0, q.0, through(p, bent, q));
                }
            }
        }
    }

    /// The nodes it holds, each once, in the order of its parts.
    pub(super) fn nodes(self, nodes: &mut Vec<usize>) {
        nodes.clear();
        for (_, _, of) in self.parts() {
            for &(node, ..) in of {
                if !nodes.contains(&node) {
                    nodes.push(node);
                }
            }
        }
    }
}

/// A block seen through two holds: (a + b·R90)ᵀ of the first, the block, (a + b·R90) of the second.
fn through((_, a, b): Hold, m: [f64; 4], (_, c, d): Hold) -> [f64; 4] {
    if b == 0.0 && d == 0.0 {
        return m.map(|x| a * c * x);
    }
    // (aI + bR)ᵀ = [[a, b], [−b, a]]
    let n = [a * m[0] + b * m[2], a * m[1] + b * m[3], a * m[2] - b * m[0], a * m[3] - b * m[1]];
    // (cI + dR) = [[c, −d], [d, c]]
    [c * n[0] + d * n[1], c * n[1] - d * n[0], c * n[2] + d * n[3], c * n[3] - d * n[2]]
}
