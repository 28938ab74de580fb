//! Fanwise reads a written crochet pattern, proves its counts and draws it as a symbol chart.
//!
//! ```
//! let text = "Swatch\n\nCh 6.\nRow 1: Sc in 2nd ch from hook and in each ch across. (5 sts)\n";
//! let svg = fanwise::Pattern::read(text).chart(&fanwise::ChartOptions::default())?.to_svg();
//! assert!(svg.starts_with("<svg"));
//! # Ok::<(), fanwise::Error>(())
//! ```
#![forbid(unsafe_code)]
#![deny(missing_docs)]

pub mod book;
pub mod chart;
pub mod check;
pub mod compare;
pub mod craft;
pub mod export;
pub mod fabric;
pub mod face;
pub mod instructions;
pub mod layout;
pub mod measure;
pub mod mend;
pub mod reading;
pub mod series;
pub mod source;
pub mod symbol;
pub mod working;
pub mod write;

pub use fabric::Fabric;
pub use face::{Chart, ChartOptions, Drawing, Error, Hand, MeasureOptions, Pattern, ReadOptions, SizeChoice, Steps};
pub use working::Builder;
