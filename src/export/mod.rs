//! One file per format. Exporters decide nothing: what they write stands in the [`Scene`](crate::chart::Scene),
//! the fabric or the layout; what words they write, in [`Written`](crate::write::Written).

pub mod html;
pub mod json;
mod labels;
pub mod markdown;
pub mod moving;
#[cfg(feature = "pdf")]
pub mod pdf;
pub mod plate;
#[cfg(feature = "png")]
pub mod png;

pub mod side;
pub mod svg;
mod theme;
#[cfg(any(feature = "png", feature = "pdf"))]
mod tree;
