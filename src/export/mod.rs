//! One file per format. Exporters decide nothing: what they write stands in the [`Scene`](crate::chart::Scene),
//! the fabric or the layout.

pub mod json;
#[cfg(feature = "png")]
pub mod png;
pub mod svg;
