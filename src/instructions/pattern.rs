use super::{Row, Step};
use crate::craft::{Stem, StitchForm};
use crate::source::Span;
use serde::{Deserialize, Serialize};
use std::fmt;

/// The dialect the words are in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Terms {
    /// US terms.
    #[default]
    Us,
    /// UK terms.
    Uk,
    /// American books up to about 1918: "double" is sc.
    OldUs,
    /// Victorian books: "plain" is sc, "long" dc.
    OldUk,
}

impl Terms {
    /// True for the dialects of old books.
    pub fn is_old(self) -> bool {
        matches!(self, Terms::OldUs | Terms::OldUk)
    }
}

impl fmt::Display for Terms {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Terms::Us => "us",
            Terms::Uk => "uk",
            Terms::OldUs => "old-us",
            Terms::OldUk => "old-uk",
        })
    }
}

/// A pattern as read.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Pattern {
    /// First line.
    pub title: String,
    /// Dialect.
    pub terms: Terms,
    /// Yarns in the order listed.
    pub yarns: Vec<Yarn>,
    /// Hook in millimetres.
    pub hook_mm: Option<f64>,
    /// Stitch and row gauge.
    pub gauge: Option<Gauge>,
    /// Gauge told as the measure of the first rounds.
    pub gauge_of_rounds: Option<RoundGauge>,
    /// Which starting chains count, as told by notes.
    pub conventions: Vec<Convention>,
    /// How doubts are settled, where the reader was told.
    pub assumed: Assumed,
    /// Special stitches the pattern defines.
    pub specials: Vec<Special>,
    /// Lines that are no work: materials, notes, prose.
    pub notes: Vec<Note>,
    /// Parts with their rows.
    pub parts: Vec<Part>,
    /// Names of the sizes it comes in, in the order of its lists; empty where it comes in one.
    pub sizes: Vec<String>,
    /// The size read, by its place in `sizes`.
    pub size: usize,
    /// Lists of numbers in the rows, one number for each size.
    pub size_lists: Vec<SizeList>,
}

/// "28 (32, 36)": a number for each size.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct SizeList {
    /// The whole list.
    pub span: Span,
    /// The numbers, in the order of the sizes.
    pub numbers: Vec<u32>,
}

/// A named part.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Part {
    /// Name as published, without "make 2".
    pub name: String,
    /// Copies made.
    pub copies: u32,
    /// Its heading, or its first row.
    pub span: Span,
    /// Rows in order.
    pub rows: Vec<Row>,
}

/// A yarn line.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Yarn {
    /// `A`, `MC`, or the colour where no letter is given.
    pub letter: String,
    /// Colour words as published.
    pub colour: String,
    /// Weight number of the yarn standard, where given.
    pub weight: Option<u8>,
    /// The line.
    pub span: Span,
}

/// Stitches and rows over a measure.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Gauge {
    /// Stitches.
    pub sts: f64,
    /// Rows, where given.
    pub rows: Option<f64>,
    /// Over how many millimetres.
    pub over_mm: f64,
    /// Of which stitch.
    pub stem: Stem,
    /// The words.
    pub span: Span,
}

/// "Rnds 1-3 = 5 cm across".
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RoundGauge {
    /// First and last round.
    pub rows: [u32; 2],
    /// Measure across, in millimetres.
    pub across_mm: f64,
    /// The words.
    pub span: Span,
}

/// A note that tells whether starting chains count.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Convention {
    /// Length of the chain it speaks of; all where none.
    pub chains: Option<u32>,
    /// What it stands for, where told.
    pub stem: Option<Stem>,
    /// Whether it counts.
    pub counts: bool,
    /// The words.
    pub span: Span,
}

/// How doubts that the words leave open are settled; where nothing is told, by the counts.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct Assumed {
    /// Whether a turning chain tall enough to count does so.
    pub turning_chain_counts: Option<bool>,
    /// Whether "rep from * n times" is once and n times more; else it is n in all.
    pub repeat_more: Option<bool>,
    /// True where even "n times more" is n in all, as whoever works the pattern has found.
    #[serde(skip)]
    pub more_in_all: bool,
}

impl Assumed {
    /// The same with turning chains that count, or do not.
    pub fn with_turning_chain_counts(mut self, counts: bool) -> Self {
        self.turning_chain_counts = Some(counts);
        self
    }

    /// The same with repeats that are n times more, or n in all.
    pub fn with_repeat_more(mut self, more: bool) -> Self {
        self.repeat_more = Some(more);
        self
    }
}

/// A special stitch of the pattern.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Special {
    /// Its names, lower case: the one before the colon and what stands in brackets behind it.
    pub names: Vec<String>,
    /// One stitch, where the definition comes down to one.
    #[serde(skip)]
    pub form: Option<StitchForm>,
    /// Else what is worked, all in one place unless the steps say otherwise.
    pub steps: Vec<Step>,
    /// True where the definition's steps carry a place of their own ("in next st").
    pub placed: bool,
    /// The line; empty where the stitch is the house's and no line of the pattern defines it.
    pub span: Span,
}

/// Words that are no work and are kept.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Note {
    /// The words.
    pub text: String,
    /// Where.
    pub span: Span,
}
