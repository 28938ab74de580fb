//! Symbol files to parts and anchors, and how a symbol stands between a foot and a head.
//!
//! Symbols are drawn in sc widths with the foot at the origin and the head straight above it (y down, so at
//! negative y). A file marks its parts by id: `stem…` stretches between foot and head, `stroke…` keeps its
//! shape and rides at its anchor's share of the way, `head…` keeps to the head, `foot…` to the foot, `body`
//! stretches whole (a chain's oval), `dot…` is filled and keeps to the head. Anchors are small circles:
//! `anchor-foot`, `anchor-head`, and `anchor-stroke` where there are strokes.

mod file;
mod language;
mod names;
mod set;
mod stand;

pub use file::{Part, PartKind, Symbol, SymbolFault};
pub use language::{Language, fill, filled, word};
pub use names::{Name, Speak, name_of};
pub use set::SymbolSet;
pub use stand::{Piece, Stand};
