//! One file per format. Exporters decide nothing: what they write stands in the [`Scene`](crate::chart::Scene),
//! the fabric or the layout.

pub mod json;
pub mod moving;
pub mod plate;
#[cfg(feature = "png")]
pub mod png;

pub mod svg;
