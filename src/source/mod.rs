//! Text, places in it, and what is wrong with it.
//!
//! Everything above this room points back at the published words through a
//! [`Span`]; everything that has to be said about them is a [`Problem`].

mod problem;
mod span;
mod text;

pub use problem::{Code, Edit, Label, Mend, Problem, Severity};
pub use span::Span;
pub use text::{Position, SourceText};
