//! Where every stitch goes: fabric and sizes to positions. Knows no symbol and no page.
//!
//! Rows are placed one upon the other (`place`), relaxed where they come out badly, then all at
//! once (`relax`), averaged over the fabric's own symmetries, turned upright, and drawn out into
//! one pose per stitch (`poses`).
//!
//! Five shapes have a way of their own: squares from corner to corner (`blocks`), stitches crossed over skipped ones
//! (`crossed`), loops over what they pass (`over`), petals between slip stitches (`petal`), long rows round both sides of a
//! chain (`stadium`). A chain that all of a first round is worked into is a ring to it (`ring`).

mod anchor;
mod apart;
mod arc;
mod attempts;
mod average;
mod bend;
mod blocks;
mod bounds;
mod build;
mod cholesky;
mod crossed;
mod decor;
mod energy;
mod factor;
mod grow;
mod leaning;
mod lin;
mod net;
mod normal;
mod over;
mod petal;
mod pieces;
mod place;
mod plane;
mod poses;
mod positions;
mod prices;
mod quality;
mod relax;
mod rest;
mod ring;
mod shape;
mod sizes;
mod spread;
mod stadium;
mod terms;
mod turning;
mod unfold;
mod upright;
mod wants;
mod ways;

pub(crate) use cholesky::Equations;
pub use energy::{Energy, EnergyPart, EnergyPoint, EnergyTerm, EnergyWeights};
pub use positions::{Arc, Layout, Lying, Pose, Quality, RingPose, RowQuality};
pub use sizes::{DrawnSizes, Sizes, TrueSizes};

use crate::fabric::Fabric;

/// What a layout strives for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum View {
    /// A chart that reads well: even rows, smooth lines, heights that give way.
    #[default]
    Chart,
    /// The piece as it would lie on a table: lengths count most, and rows may bend.
    True,
}

/// What a layout can be asked for beyond the fabric itself.
#[derive(Clone, Debug, Default, PartialEq)]
#[non_exhaustive]
pub struct LayoutOptions {
    /// What it strives for. The sizes are the caller's: [`DrawnSizes`] go with a chart, [`TrueSizes`] with the true view.
    pub view: View,
    /// Writes the energy out, term by term: large, and for checks alone.
    pub energy: bool,
    /// Degrees to turn the chart further, clockwise on the page, once it stands the usual way up.
    pub up_deg: Option<f64>,
    /// Leaves out the bounds of a good chart, which even rows out: what turns then is the fabric's own, for measuring.
    pub unbounded: bool,
}

impl LayoutOptions {
    /// Strives for another view.
    #[must_use]
    pub fn with_view(mut self, view: View) -> Self {
        self.view = view;
        self
    }

    /// Writes the energy out too, or not.
    #[must_use]
    pub fn with_energy(mut self, energy: bool) -> Self {
        self.energy = energy;
        self
    }

    /// Leaves out the bounds of a good chart, or not.
    #[must_use]
    pub fn with_unbounded(mut self, unbounded: bool) -> Self {
        self.unbounded = unbounded;
        self
    }

    /// Turns the chart further by so many degrees, clockwise on the page.
    #[must_use]
    pub fn with_up_deg(mut self, degrees: f64) -> Self {
        self.up_deg = Some(degrees);
        self
    }
}

/// Lays a fabric out: a pose for every stitch, in sc widths, y down, seen from the right side, right hand.
///
/// # Determinism
/// The same fabric and sizes give the same bytes on every machine.
///
/// # Panics
/// Never for a fabric that [`Fabric::validate`] accepts.
pub fn lay_out(fabric: &Fabric, sizes: &dyn Sizes, options: &LayoutOptions) -> Layout {
    let attempts::Laid { mut net, rest, residuals } = attempts::lay_out_best(fabric, sizes, options);
    let energy = options.energy.then(|| energy::energy_of(&net, &rest));
    let turn = options.up_deg.filter(|d| d.is_finite()).unwrap_or(0.0);
    pieces::set_upright_side_by_side(&mut net, turn);
    let mut layout = poses::layout_of(&net);
    (layout.quality.residual_before, layout.quality.residual) = residuals;
    layout.quality = quality::judge(&net, &layout);
    layout.energy = energy;
    layout
}
