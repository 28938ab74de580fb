//! The tables of the trade: stitches, their heights, their names in each dialect.

mod heights;
mod stem;
mod stitch;

pub use heights::{drawn_height, geometry_height, row_end_places_per_two_rows, turning_chains};
pub use stem::Stem;
pub use stitch::{Extra, LoopPart, Meet, PostSide, StitchForm};
