//! Several patterns together: what an editor has accepted in each, and where their manners differ.

mod abbreviations;
mod accepted;
mod manners;
mod style;

pub use accepted::{Accepted, Settled, as_accepted, settle};
pub use style::style;

use crate::instructions::Pattern;
use crate::working::Worked;

/// One pattern of a series.
#[derive(Clone, Copy, Debug)]
pub struct Piece<'a> {
    /// The name of its file.
    pub name: &'a str,
    /// The text as read.
    pub text: &'a str,
    /// The instruction tree.
    pub tree: &'a Pattern,
    /// The rows as worked.
    pub worked: &'a Worked,
}
