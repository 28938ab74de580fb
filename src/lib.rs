//! Fanwise reads a written crochet pattern, proves its counts and draws it as a symbol chart.
#![forbid(unsafe_code)]
#![deny(missing_docs)]

pub mod chart;
pub mod check;
pub mod craft;
pub mod export;
pub mod fabric;
pub mod instructions;
pub mod layout;
pub mod reading;
pub mod source;
pub mod symbol;
pub mod working;
