//! Text to instructions. Never fails: returns what it read together with everything it has to report.
//!
//! The way through the room: [`read`] finds the sizes (`sizes`, `size_names`), cuts the text into lines (`document`),
//! leaves of every list the number for the size in hand (`lists`, `branches`), parts rows that share a line (`cut`),
//! takes the preamble
//! (`preamble`), and reads every row line: its heading (`heading`), its phrases (`phrase`, `marks`,
//! `actions`, `again`, `yarn`), their stitches (`stitch`), places (`place`) and the counts stated (`stated`). What no
//! rule takes is pointed at (`unread`). Words of the house are told from outside (`house_words`). A row
//! alone is read once more by `rereader`. Vocabulary stands in tables (`words`).

mod actions;
mod again;
mod all_in;
mod any_chain;
mod as_follows;
mod as_part;
mod bare_numbers;
mod beginning_chain;
mod beginnings;
mod behind_stitch;
mod below;
mod bracket_remarks;
mod branches;
mod bullets;
mod carried;
mod chaining;
mod change_told;
mod class;
mod coined;
mod colour_plan;
mod counted_chains;
mod counts_as;
mod cursor;
mod cut;
mod definition;
mod desired;
mod dialect;
mod document;
mod drawn_slip;
mod edging;
mod elsewhere;
mod end_as;
mod end_shaping;
mod ended;
mod entered;
mod far_side;
mod filet;
mod foundation_line;
mod foundation_stitches;
mod further_places;
mod garment;
mod gist;
mod glued;
mod heading;
mod held_loops;
mod hoops;
mod house_words;
mod instead;
mod last_pass;
mod lead;
mod lex;
mod lists;
mod loops;
mod loose_groups;
mod markers;
mod marks;
mod measure;
mod misspelt;
mod mixed;
mod named;
mod old;
mod omitted;
mod on_part;
mod opening;
mod opens;
mod ordinals;
mod over;
mod parts;
mod petals;
mod phrase;
mod picot_places;
mod place;
mod place_ends;
mod popcorns;
mod preamble;
mod remarks;
mod repeat_goal;
mod rereader;
mod respoken;
mod ring_closed;
mod rotated;
mod row_names;
mod row_parts;
mod seams;
mod separately;
mod shape;
mod shape_gaps;
mod shaping;
mod short_rows;
mod sides;
mod size_names;
mod sizes;
mod skip_to;
mod skipping;
mod specials;
mod spelled;
mod starred_rows;
mod stated;
mod stitch;
mod stitch_patterns;
mod stops;
mod swatch;
mod tapestry;
mod tied;
mod unread;
mod unstarred;
mod whereabouts;
mod whole_row;
mod words;
mod yarn;
mod yarn_names;
mod yarn_said;

pub use document::read;
pub use house_words::{HouseWords, WordFault};
pub use named::{Named, stitches_named};
pub use preamble::{GaugeTold, first_measure_mm, gauge_told};
pub use preamble::{Section, section_of, tells_terms};
pub use rereader::Rereader;
pub use respoken::in_other_terms;
pub use swatch::{SwatchTold, swatch_told};

pub(crate) use sizes::find as find_size;

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
    /// The size, where the pattern comes in several.
    pub size: SizeChoice,
}

/// Which size is read of a pattern that comes in several.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
#[non_exhaustive]
pub enum SizeChoice {
    /// The first one.
    #[default]
    First,
    /// By its name, or by its number counted from 1; the first where there is no such size.
    Named(String),
    /// By its place, counted from 0.
    Index(usize),
    /// The first, and the others beside it: every size is worked and checked.
    All,
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

    /// Reads a size.
    pub fn size(mut self, size: SizeChoice) -> Self {
        self.size = size;
        self
    }
}
