use crate::source::Span;
use serde::Serialize;

/// When rows that are worked again come to their end. One of the first four is told.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Until {
    /// The number of the last row.
    pub row: Option<u32>,
    /// So many rows from here on.
    pub rows: Option<u32>,
    /// So many stitches are there.
    pub sts: Option<u32>,
    /// A measure is reached.
    pub measure: Option<Measure>,
    /// Which row is the last.
    pub end: Option<EndWith>,
}

/// A length to be reached.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Measure {
    /// In millimetres; none for "desired length".
    pub mm: Option<f64>,
    /// True where it is the length of the whole piece, false from here on.
    pub whole: bool,
    /// The words.
    pub span: Span,
}

/// The row that rows worked by measure end with.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum EndWith {
    /// A row with this side facing.
    Side {
        /// True for the right side.
        right: bool,
    },
    /// The row worked like this one.
    Row(u32),
}

impl Until {
    /// So many rows from here on.
    pub fn rows(n: u32) -> Self {
        Until { rows: Some(n), ..Until::default() }
    }

    /// A length.
    pub fn measure(mm: Option<f64>, whole: bool, span: Span) -> Self {
        Until { measure: Some(Measure { mm, whole, span }), ..Until::default() }
    }
}
