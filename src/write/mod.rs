//! The pattern written out again in one normal form, in US or UK terms.
//!
//! The way through the room: [`write()`] takes the document apart (`page`), says every row in words (`line`, by
//! `speech` for the steps and `places` for where they go), finds repeats and folds rows that are worked alike
//! (`repeats`, `fold`), turns prose into the terms spoken (`reading::in_other_terms`), lists the abbreviations used
//! (`abbreviations`) and proves the whole: what is written is read and worked again, and a row that comes out
//! otherwise is said in plainer words until it does not (`prove`). `plain` sets it as text. `abroad` tells the
//! same rows in another language, `sizes` writes one text for all sizes of a pattern.

mod abbreviations;
mod abroad;
mod fold;
mod line;
mod page;
mod places;
mod plain;
mod prove;
mod repeats;
mod sizes;
mod speech;
mod tongue;

pub use abbreviations::Abbreviation;
pub use abroad::is_written_in;
pub use page::{Block, Line, Piece, Written};
pub use plain::as_text;
pub use prove::{same_work, write, write_in};
pub use sizes::{write_sizes, write_sizes_in};
