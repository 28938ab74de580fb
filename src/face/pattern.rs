use super::{Chart, ChartOptions, Error};
use crate::check::check;
use crate::instructions;
use crate::reading::{self, ReadOptions};
use crate::source::{Code, Problem, Span};
use crate::working::{Worked, work};

/// Longest text read, in bytes. A book of patterns has a few.
pub const MOST_BYTES: usize = 32 << 20;

/// A pattern: read, worked and checked.
#[derive(Clone, Debug)]
pub struct Pattern {
    text: String,
    tree: instructions::Pattern,
    worked: Worked,
    problems: Vec<Problem>,
}

impl Pattern {
    /// Reads, works and checks a text. Never fails: what is wrong is among [`Pattern::problems`].
    pub fn read(text: &str) -> Self {
        Self::read_with(text, &ReadOptions::default())
    }

    /// The same, read as told.
    pub fn read_with(text: &str, options: &ReadOptions) -> Self {
        if text.len() > MOST_BYTES {
            let message = format!("the text has {} bytes, the most one pattern may have is {MOST_BYTES}", text.len());
            let problem = Problem::new(Code::Limit, Span::new(0, 1), message);
            return Self {
                text: String::new(),
                tree: instructions::Pattern::default(),
                worked: Worked::default(),
                problems: vec![problem],
            };
        }
        let (tree, mut problems) = reading::read(text, options);
        let worked = work(&tree);
        problems.extend(worked.problems.iter().cloned());
        problems.extend(check(&tree, &worked));
        problems.sort_by_key(|a| (a.span, a.code));
        problems.dedup();
        Self { text: text.to_owned(), tree, worked, problems }
    }

    /// The text as read.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The instruction tree.
    pub fn tree(&self) -> &instructions::Pattern {
        &self.tree
    }

    /// The rows as worked, with their counts.
    pub fn worked(&self) -> &Worked {
        &self.worked
    }

    /// The fabric, as far as it could be worked.
    pub fn fabric(&self) -> &crate::Fabric {
        &self.worked.fabric
    }

    /// Everything there is to report, in the order of the text.
    pub fn problems(&self) -> &[Problem] {
        &self.problems
    }

    /// Number of errors.
    pub fn error_count(&self) -> usize {
        self.problems.iter().filter(|p| p.is_error()).count()
    }

    /// True where a limit was exceeded.
    pub fn exceeds_limit(&self) -> bool {
        self.problems.iter().any(|p| p.code == Code::Limit)
    }

    /// True where every row was read and nothing is wrong.
    pub fn is_sound(&self) -> bool {
        self.error_count() == 0 && self.worked.tallies.iter().all(|t| t.read)
    }

    /// Lays the fabric out and composes its chart.
    ///
    /// # Errors
    /// Where the pattern has errors and no draft is asked for, or nothing was worked.
    pub fn chart(&self, options: &ChartOptions) -> Result<Chart, Error> {
        let errors = self.error_count();
        if errors > 0 && !options.draft {
            return Err(Error::errors(errors));
        }
        Chart::of_pattern(self, options)
    }
}
