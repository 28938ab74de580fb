//! The energy: what a good chart wants, as residuals of lengths and angles.

use super::lin::Lin;
use super::plane::{angle, length, r90, wrap};
use kurbo::Vec2;

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

/// A residual: factors times measures, plus a constant; wrapped where it is an angle.
#[derive(Clone, Debug)]
pub(super) struct Term {
    /// What it wants, in a word or two.
    pub(super) want: &'static str,
    pub(super) weight: Weight,
    pub(super) parts: Vec<Part>,
    pub(super) plus: f64,
}

impl Term {
    /// Length of a vector against a rest length.
    pub(super) fn length(of: Lin, rest: f64, weight: Weight) -> Term {
        let rest = rest.max(0.05);
        Term { want: "", weight, parts: vec![Part { factor: 1.0 / rest, measure: Measure::Length, of }], plus: -1.0 }
    }

    /// Difference of two lengths over a scale.
    pub(super) fn even_lengths(a: Lin, b: Lin, scale: f64, weight: f64) -> Term {
        let part = |factor: f64, of: Lin| Part { factor: factor / scale, measure: Measure::Length, of };
        Term { want: "", weight: Weight::Even(weight), parts: vec![part(1.0, a), part(-1.0, b)], plus: 0.0 }
    }

    /// Sum of angles, each with its factor, plus a constant.
    pub(super) fn angles(of: Vec<(f64, Lin)>, plus: f64, weight: f64) -> Term {
        Term::weighed_angles(of, plus, Weight::Even(weight))
    }

    /// The same under any weight.
    pub(super) fn weighed_angles(of: Vec<(f64, Lin)>, plus: f64, weight: Weight) -> Term {
        let parts = of.into_iter().map(|(factor, of)| Part { factor, measure: Measure::Angle, of }).collect();
        Term { want: "", weight, parts, plus }
    }

    /// A vector that wants to be null: two residuals.
    pub(super) fn null(of: Lin, weight: f64) -> [Term; 2] {
        [Measure::X, Measure::Y].map(|measure| Term {
            want: "",
            weight: Weight::Even(weight),
            parts: vec![Part { factor: 1.0, measure, of: of.clone() }],
            plus: 0.0,
        })
    }

    /// The same under a name.
    pub(super) fn named(mut self, want: &'static str) -> Term {
        self.want = want;
        self
    }

    /// The residual at these positions, and the weight it has there.
    pub(super) fn residual_and_weight(&self, heads: &[Vec2]) -> (f64, f64) {
        let value = self.value(heads);
        let (weighted, slope) = self.weighed(value);
        (value, if value.abs() > 1e-12 { weighted / value } else { slope })
    }

    /// The weighted residual at these positions.
    pub(super) fn residual(&self, heads: &[Vec2]) -> f64 {
        self.weighed(self.value(heads)).0
    }

    fn value(&self, heads: &[Vec2]) -> f64 {
        let mut sum = self.plus;
        for part in &self.parts {
            let v = part.of.at(heads);
            sum += part.factor
                * match part.measure {
                    Measure::Length => length(v),
                    Measure::Angle => angle(v),
                    Measure::X => v.x,
                    Measure::Y => v.y,
                };
        }
        if self.parts.first().is_some_and(|p| p.measure == Measure::Angle) { wrap(sum) } else { sum }
    }

    /// The weighted residual and its slope: one line after another, without a step between.
    fn weighed(&self, value: f64) -> (f64, f64) {
        match self.weight {
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

    /// The weighted residual, and its derivative by each node's x and y, added to `slope`.
    pub(super) fn linear(&self, heads: &[Vec2], slope: &mut Vec<(usize, Vec2)>) -> f64 {
        slope.clear();
        let (residual, weight) = self.weighed(self.value(heads));
        for part in &self.parts {
            let v = part.of.at(heads);
            // short vectors have wild angles: below a twentieth of a width they count as that long
            let l2 = (v.x * v.x + v.y * v.y).max(0.0025);
            let gradient = match part.measure {
                Measure::Length => v / l2.sqrt(),
                Measure::Angle => r90(v) / l2,
                Measure::X => Vec2::new(1.0, 0.0),
                Measure::Y => Vec2::new(0.0, 1.0),
            } * (part.factor * weight);
            for &(node, a, b) in &part.of.0 {
                let by_node = a * gradient - b * r90(gradient);
                match slope.iter_mut().find(|s| s.0 == node) {
                    Some(s) => s.1 += by_node,
                    None => slope.push((node, by_node)),
                }
            }
        }
        residual
    }
}

/// The energy of some terms: the sum of squares of their weighted residuals.
pub(super) fn energy(terms: &[Term], heads: &[Vec2]) -> f64 {
    terms.iter().map(|t| t.residual(heads)).map(|r| r * r).sum()
}
