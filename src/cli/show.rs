//! Layers over the chart: the option and its words.

use clap::{Args, ValueEnum};
use fanwise::chart::{Show, Style};

#[derive(Args, Clone)]
pub(super) struct ShowArgs {
    /// Layers to show with the chart
    #[arg(long, value_enum, value_delimiter = ',', value_name = "LAYERS")]
    show: Vec<ShowArg>,
}

#[derive(Clone, Copy, ValueEnum)]
enum ShowArg {
    /// Where stitches are gained and lost
    Increases,
    /// How many stitches each row has, at its end
    Counts,
    /// The way of the work, every fifth stitch numbered
    Order,
    /// Loops and spaces that nothing is worked into
    Loops,
    /// The worst places of the layout, with figures
    Quality,
    /// Bends with what they need and get, and where increases should move
    Curve,
    /// The outline of the piece in its true proportions, with its size by the gauge
    Outline,
}

impl ShowArgs {
    /// The style with the layers asked for.
    pub(super) fn apply(&self, style: Style) -> Style {
        let layer = |arg: &ShowArg| match arg {
            ShowArg::Increases => Show::Increases,
            ShowArg::Counts => Show::Counts,
            ShowArg::Order => Show::Order,
            ShowArg::Loops => Show::Loops,
            ShowArg::Quality => Show::Quality,
            ShowArg::Curve => Show::Curve,
            ShowArg::Outline => Show::Outline,
        };
        style.with_show(self.show.iter().map(layer).collect())
    }
}
