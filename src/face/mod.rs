//! The face of the library: a pattern, its chart, and the few lines that run the phases in order.

mod chart;
mod drawing;
mod error;
mod measured;
mod part;
mod pattern;
mod report;
mod scale;
mod series;
mod sizes;
mod steps;
mod supposed;

pub use chart::{Chart, ChartOptions, Hand};
pub use drawing::Drawing;
pub use error::Error;
pub use measured::measure_document;
pub use part::PartChoice;
pub use pattern::Pattern;
pub use report::{check_document, check_document_against};
pub use series::note_style;
pub use sizes::{RowOfSizes, rows_of_sizes};
pub use steps::Steps;
#[cfg(feature = "png")]
pub use steps::figure_png;

pub use crate::measure::MeasureOptions;
pub use crate::reading::{ReadOptions, SizeChoice};
