//! Text to instructions. Never fails: returns what it read together with everything it has to report.
//!
//! The way through the room: [`read`] cuts the text into lines (`document`), takes the preamble
//! (`preamble`), and reads every row line: its heading (`heading`), its phrases (`phrase`, `marks`,
//! `actions`, `yarn`), their stitches (`stitch`), places (`place`) and the counts stated (`stated`). What no
//! rule takes is pointed at (`unread`). Words of the house are told from outside (`house_words`). Vocabulary stands in tables (`words`).

mod actions;
mod cursor;
mod dialect;
mod document;
mod heading;
mod house_words;
mod lex;
mod marks;
mod phrase;
mod place;
mod preamble;
mod spelled;
mod stated;
mod stitch;
mod unread;
mod words;
mod yarn;

pub use document::read;
pub use house_words::{HouseWords, WordFault};

use crate::instructions::{Assumed, Terms};

/// How to read.
#[derive(Clone, Debug, Default)]
#[non_exhaustive]
pub struct ReadOptions {
    /// The dialect, where it is not to be taken from the words.
    pub terms: Option<Terms>,
    /// How doubts are settled, where they are not to be settled by the counts.
    pub assumed: Assumed,
    /// Remarks, aliases and special stitches of the house.
    pub house_words: HouseWords,
}

impl ReadOptions {
    /// Reads in a dialect whatever the words say.
    pub fn terms(mut self, terms: Terms) -> Self {
        self.terms = Some(terms);
        self
    }

    /// Settles doubts whatever the counts say.
    pub fn assumed(mut self, assumed: Assumed) -> Self {
        self.assumed = assumed;
        self
    }

    /// Knows the words of a house.
    pub fn house_words(mut self, words: HouseWords) -> Self {
        self.house_words = words;
        self
    }
}
