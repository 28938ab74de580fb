//! Layout, symbols and style to a [`Scene`]: everything placed, labelled, coloured, overlaps found.
//!
//! The scene is the second waist of the house: exporters decide nothing, and tests measure it.

mod arms;
mod arrow;
mod columns;
mod compose;
mod figure;
mod font;
mod grid;
mod ground;
mod info;
mod inks;
mod legend;
mod legs;
mod metrics;
mod modifiers;
mod numbers;
mod one;
mod overlap;
mod pages;
mod part;
mod passing;
mod pieces;
mod post;
mod sample;
mod scene;
mod show;
mod specimen;
mod stamps;
mod steps;
mod strip;
mod style;
mod touch;
mod trace;
mod words;
mod wrap;
mod yarn;

pub use compose::compose;
pub use font::{FONT_FAMILY, Font, FontFault, font_bytes};
pub use grid::grid;
pub use info::{ChartInfo, Yarn};
pub use inks::{Ink, contrast, contrast_on_white};
pub use metrics::{text_outline, text_width};
pub use overlap::{Overlaps, overlaps};
pub use pages::{LEAST_MM, Paper, Sheet, View, sheets, whole};
pub use part::{Pick, Shown, one_repeat};
pub use scene::{Anchor, Figure, Label, LabelRole, Mark, MarkRole, Paint, Placed, RowGroup, Scene, Shape, Stamp};
pub use show::{Layer, Show};
pub use specimen::specimen;
pub use steps::{bare, steps, with_words};
pub use strip::{Panel, Plate, strip};
pub use style::{Face, Furniture, InkBy, ScForm, Style, TextAs, TypeSizes};
