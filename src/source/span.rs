use serde::{Deserialize, Serialize};

/// A run of bytes in the text as it was read: `start` inclusive, `end` exclusive.
///
/// Written in JSON as the pair `[start, end]`.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(from = "[usize; 2]", into = "[usize; 2]")]
pub struct Span {
    /// First byte.
    pub start: usize,
    /// One past the last byte.
    pub end: usize,
}

impl Span {
    /// The run from `start` up to, not including, `end`.
    pub const fn new(start: usize, end: usize) -> Self {
        Self { start, end }
    }

    /// The smallest span that holds both.
    pub fn to(self, other: Span) -> Span {
        Span::new(self.start.min(other.start), self.end.max(other.end))
    }

    /// True where nothing is spanned.
    pub const fn is_empty(self) -> bool {
        self.start >= self.end
    }

    /// True where every byte of `other` lies in this span.
    pub const fn holds(self, other: Span) -> bool {
        self.start <= other.start && other.end <= self.end
    }
}

impl From<[usize; 2]> for Span {
    fn from([start, end]: [usize; 2]) -> Self {
        Self { start, end }
    }
}

impl From<Span> for [usize; 2] {
    fn from(span: Span) -> Self {
        [span.start, span.end]
    }
}
