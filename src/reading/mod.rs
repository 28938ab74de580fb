//! Text to instructions. Never fails: returns what it read together with everything it has to report.
//!
//! The way through the room: [`read`] cuts the text into lines (`document`), takes the preamble
//! (`preamble`), and reads every row line: its heading (`heading`), its phrases (`phrase`, `marks`,
//! `actions`, `yarn`), their stitches (`stitch`), places (`place`) and the counts stated (`stated`). What no
//! rule takes is pointed at (`unread`). Vocabulary stands in tables (`words`).

mod actions;
mod cursor;
mod dialect;
mod document;
mod heading;
mod lex;
mod marks;
mod parts;
mod phrase;
mod place;
mod preamble;
mod remarks;
mod spelled;
mod stated;
mod stitch;
mod unread;
mod words;
mod yarn;

pub use document::read;

use crate::instructions::Terms;

/// How to read.
#[derive(Clone, Debug, Default)]
#[non_exhaustive]
pub struct ReadOptions {
    /// The dialect, where it is not to be taken from the words.
    pub terms: Option<Terms>,
}

impl ReadOptions {
    /// Reads in a dialect whatever the words say.
    pub fn terms(mut self, terms: Terms) -> Self {
        self.terms = Some(terms);
        self
    }
}
