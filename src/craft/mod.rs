//! The tables of the trade: stitches, their heights, their names in each dialect, yarns and hooks.

mod heights;
mod stem;
mod stitch;
mod weights;

pub use heights::{drawn_height, geometry_height, row_end_places_per_two_rows, turning_chains};
pub use stem::Stem;
pub use stitch::{Extra, LoopPart, Meet, PostSide, StitchForm};
pub use weights::{YARN_WEIGHTS, YarnWeight};
