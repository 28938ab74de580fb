//! What a designer wants to know of a piece: how large it is, how much yarn it takes, whether it lies flat.
//!
//! The way through the room: `gauge` settles how large a stitch is and how sure that is; `size` takes the extent of the
//! true layout, `outline` the line round it, `solid` the extent of what stands up; `yarn` reckons lengths; `line` turns
//! rows into lines of stops that know what they stand on and where they bend, `bends` finds the bends, `curve` holds what
//! is needed against what is worked, with `off`, `here`, `stacked`, `spreads` and `give` for what deserves a word or takes
//! up what is over; `space` relaxes in three dimensions what does not lie flat.

mod bends;
mod curve;
mod gauge;
mod give;
mod here;
mod line;
mod off;
mod outline;
mod pieces;
mod size;
mod solid;
mod space;
mod spreads;
mod stacked;
mod yarn;

pub use curve::{CUPS_BELOW, Curve, CurveNote, CurvePlace, CurveRow, NEARLY_BELOW, RUFFLES_ABOVE, Verdict};
pub use gauge::{GaugeSource, GaugeUsed, RoundGaugeUsed};
pub use outline::Outline;
pub use size::{INCH_MM, PieceSize, Size, SizeInYarn};
pub use space::{Shape, SideItem, SideView, Space};
pub use spreads::published_as_flat;
pub use yarn::{SEWING_TAIL_M, TAIL_M, YARD_M, YarnEstimate, YarnNote, YarnUse, totals, widths_of_yarn};

use crate::fabric::Fabric;
use crate::instructions::Pattern;
use crate::layout::{DrawnSizes, Layout, LayoutOptions, Sizes, View, lay_out};
use crate::reading::{GaugeTold, SwatchTold};
use crate::working::{Tally, Worked};
use gauge::Scale;
use line::RowLine;

/// What a measure is asked for beyond the pattern itself.
#[derive(Clone, Debug, Default)]
#[non_exhaustive]
pub struct MeasureOptions {
    /// A gauge that stands above the pattern's own.
    pub gauge: Option<GaugeTold>,
    /// A swatch that was worked and measured: it sets the yarn of a stitch.
    pub swatch: Option<SwatchTold>,
    /// Metres of 100 g, as labels have them: of a yarn by its letter, or of every yarn.
    pub labels: Vec<(Option<String>, f64)>,
    /// Relaxes flat pieces in space too, for a picture.
    pub picture: bool,
    /// Tells size and yarn alone: curve and shape in space stay untold, and the layouts they want are not made.
    pub figures_only: bool,
}

impl MeasureOptions {
    /// The same with a swatch.
    #[must_use]
    pub fn with_swatch(mut self, swatch: Option<SwatchTold>) -> Self {
        self.swatch = swatch;
        self
    }

    /// The same with a picture from the side, whether or not the piece lies flat.
    #[must_use]
    pub fn with_picture(mut self, picture: bool) -> Self {
        self.picture = picture;
        self
    }

    /// The same with size and yarn alone.
    #[must_use]
    pub fn with_figures_only(mut self, only: bool) -> Self {
        self.figures_only = only;
        self
    }

    /// The same with metres of 100 g, of a yarn by its letter, or of every yarn.
    #[must_use]
    pub fn with_labels(mut self, labels: Vec<(Option<String>, f64)>) -> Self {
        self.labels = labels;
        self
    }

    /// Metres of 100 g of a yarn: its own, else those of every yarn.
    pub(crate) fn label_of(&self, letter: &str) -> Option<f64> {
        let own = self.labels.iter().find(|(of, _)| of.as_deref().is_some_and(|of| of.eq_ignore_ascii_case(letter)));
        own.or_else(|| self.labels.iter().find(|(of, _)| of.is_none())).map(|&(_, metres)| metres)
    }

    /// The same with a gauge.
    #[must_use]
    pub fn with_gauge(mut self, gauge: Option<GaugeTold>) -> Self {
        self.gauge = gauge;
        self
    }
}

/// Everything measured of one pattern.
#[derive(Clone, Debug)]
pub struct Measured {
    /// The gauge in stitches, where one is known.
    pub gauge: Option<GaugeUsed>,
    /// The gauge told as the measure of rounds, where it is.
    pub gauge_of_rounds: Option<RoundGaugeUsed>,
    /// The size of the piece, of several the largest; none where no gauge is known.
    pub size: Option<Size>,
    /// The pieces, where there are several.
    pub pieces: Vec<PieceSize>,
    /// The size in three yarns side by side.
    pub in_yarns: Vec<SizeInYarn>,
    /// The yarn it takes.
    pub yarn: YarnEstimate,
    /// Whether it lies flat.
    pub curve: Curve,
    /// What it does in space.
    pub space: Space,
    /// Width of a stitch in millimetres, where it is known.
    pub stitch_mm: Option<f64>,
    /// The largest piece from the side, where it was relaxed.
    pub side: Option<SideView>,
}

/// The curve check alone, as the chart shows it: by the pattern's own gauge.
pub fn curve_of(tree: &Pattern, worked: &Worked) -> Curve {
    let scale = Scale::of(tree, None);
    let sizes = scale.sizes(tree, None);
    let published = scale.gauge.as_ref().is_none_or(|g| !g.rows_told);
    bends_of(&worked.fabric, &sizes, &worked.tallies, published).1
}

/// The rows as lines, and their check. Bends are read off the chart's layout, the even one; sizes off the true one.
fn bends_of(fabric: &Fabric, sizes: &dyn Sizes, tallies: &[Tally], published: bool) -> (Vec<RowLine>, Curve) {
    let drawn = lay_out(fabric, &DrawnSizes, &LayoutOptions::default().with_unbounded(true));
    let lines = line::row_lines(fabric, &drawn, sizes);
    let curve = curve::check(fabric, &lines, tallies, published);
    (lines, curve)
}

/// The true outline of every piece, as the chart shows it: by the pattern's own gauge, else in the proportions of its
/// stitches.
pub fn outlines_of(tree: &Pattern, worked: &Worked) -> Vec<Outline> {
    let fabric = &worked.fabric;
    let mut scale = Scale::of(tree, None);
    let laid = lay_out(fabric, &scale.sizes(tree, None), &LayoutOptions::default().with_view(View::True));
    if let (None, Some(rounds)) = (scale.width_mm, &scale.rounds) {
        scale.width_mm = size::across(fabric, &laid, rounds).map(|wide| rounds.across_mm / wide);
    }
    let one = |rows: Vec<usize>| {
        let rect = size::extent(fabric, &laid, &rows)?;
        let size_mm = scale.width_mm.map(|mm| [rect.width() * mm, rect.height() * mm]);
        Some(Outline { size_mm, ..outline::outline(fabric, &laid, &rows)? })
    };
    pieces::pieces(fabric).into_iter().filter_map(one).collect()
}

/// Measures a pattern as worked.
///
/// # Determinism
/// The same pattern and options give the same bytes on every machine.
pub fn measure(text: &str, tree: &Pattern, worked: &Worked, options: &MeasureOptions) -> Measured {
    let fabric = &worked.fabric;
    let given = options.gauge.as_ref();
    let mut scale = Scale::of(tree, given);
    let sizes = scale.sizes(tree, given);
    let published = scale.gauge.as_ref().is_none_or(|g| !g.rows_told);
    let (lines, curve) = match options.figures_only {
        true => (Vec::new(), Curve::default()),
        false => bends_of(fabric, &sizes, &worked.tallies, published),
    };
    let known = scale.width_mm.is_some() || scale.rounds.is_some();
    // without a gauge there is no size to tell
    let sized = known || !options.figures_only;
    let laid = match sized {
        true => lay_out(fabric, &sizes, &LayoutOptions::default().with_view(View::True)),
        false => Layout::default(),
    };
    if let (None, Some(rounds)) = (scale.width_mm, &scale.rounds) {
        scale.width_mm = size::across(fabric, &laid, rounds).map(|wide| rounds.across_mm / wide);
    }
    let extents = if sized { extents(tree, fabric, &laid, &sizes) } else { Vec::new() };
    let main = extents.iter().max_by(|a, b| (a.width * a.height).total_cmp(&(b.width * b.height)));
    let size_of = |mm: f64, unsure: f64| {
        let of = |e: &PieceSize| {
            let (width, height) = (e.width * mm, e.height * mm);
            Size { width, height, low: 1.0 - unsure, high: 1.0 + unsure, stands: e.stands }
        };
        main.map(of)
    };
    let pieces = match scale.width_mm.filter(|_| extents.len() > 1) {
        None => Vec::new(),
        Some(mm) => {
            extents.iter().map(|e| PieceSize { width: e.width * mm, height: e.height * mm, ..e.clone() }).collect()
        }
    };
    let in_yarns = gauge::three_weights(tree).into_iter().filter_map(|weight| {
        let hook_mm = 0.5 * (weight.hook_mm[0] + weight.hook_mm[1]);
        let scale = Scale::by_table(weight, Some(hook_mm));
        let size = size_of(scale.width_mm?, scale.unsure)?;
        let Size { width, height, low, high, stands } = size;
        Some(SizeInYarn { weight: weight.number, name: weight.name, hook_mm, width, height, low, high, stands })
    });
    let in_yarns = in_yarns.collect();
    let size = scale.width_mm.and_then(|mm| size_of(mm, scale.unsure));
    let all = pieces::pieces(fabric);
    let stitches = |rows: &Vec<usize>| rows.iter().map(|&r| fabric.rows[r].order.len()).sum::<usize>();
    let rows = all.into_iter().max_by_key(stitches).unwrap_or_default();
    let (space, side) = match options.figures_only {
        true => (Space::flat(), None),
        false => space::shape_of(fabric, &laid, &sizes, &rows, (&lines, &curve), options.picture),
    };
    let stitch_mm = scale.width_mm;
    let yarn = yarn::estimate(text, tree, worked, &sizes, (scale.width_mm, scale.unsure), options);
    Measured {
        space,
        stitch_mm,
        side,
        yarn,
        gauge: scale.gauge,
        gauge_of_rounds: scale.rounds,
        size,
        pieces,
        in_yarns,
        curve,
    }
}

/// The extent of every piece in stitch widths, with the name of its first part.
fn extents(tree: &Pattern, fabric: &Fabric, laid: &Layout, sizes: &dyn Sizes) -> Vec<PieceSize> {
    let one = |rows: Vec<usize>| {
        let rect = size::extent(fabric, laid, &rows)?;
        let stands = solid::solid(fabric, sizes, &rows);
        let (width, height) = stands.unwrap_or((rect.width(), rect.height()));
        let part = tree.parts.get(fabric.rows[*rows.first()?].part.index());
        Some(PieceSize {
            name: part.map_or(String::new(), |p| p.name.clone()),
            copies: part.map_or(1, |p| p.copies.max(1)),
            width,
            height,
            stands: stands.is_some(),
        })
    };
    pieces::pieces(fabric).into_iter().filter_map(one).collect()
}
