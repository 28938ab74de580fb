//! One file per format. Exporters decide nothing: what they write stands in the [`Scene`](crate::chart::Scene),
//! the fabric or the layout.

pub mod json;
#[cfg(feature = "pdf")]
pub mod pdf;
#[cfg(feature = "png")]
pub mod png;
pub mod svg;
#[cfg(any(feature = "png", feature = "pdf"))]
mod tree;
