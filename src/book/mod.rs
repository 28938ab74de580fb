//! Charts inside other documents: the printable sheet of a pattern, and the index of a series.
//!
//! The way through the room: [`sheet()`] writes the pattern out, sorts its prose into the sections that readers expect
//! (`sections`), says every row in full words for the ear (`ear`), adds what has to be said where small parts or cords
//! are made (`caution`), turns words for the left hand (`hand`) and sets it all as one page of HTML (`page`), large charts over
//! several when it is printed (`tiles`); size and yarn are measured, reckoned or told (`figured`). Nothing is read from
//! anywhere: pictures come as data.

mod caution;
mod ear;
mod figured;
mod hand;
mod page;
mod sections;
mod series;
mod tiles;

pub use figured::{From, YarnOfPiece};
pub use page::{Photo, Sheet, SheetOptions, sheet};
pub use series::{Member, index};
