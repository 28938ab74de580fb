//! A pattern text through reading, working and checking, as the numbers of its rows.

use fanwise::Pattern;
use fanwise::source::{Problem, Severity};
use fanwise::working::Tally;

/// A pattern, worked.
pub struct Reckoned {
    pattern: Pattern,
}

/// Reads, works and checks.
pub fn reckon(text: &str) -> Reckoned {
    Reckoned { pattern: Pattern::read(text) }
}

impl Reckoned {
    /// The row of this label; the last, where parts share one.
    pub fn row(&self, label: &str) -> &Tally {
        let found = self.pattern.worked().tallies.iter().rev().find(|t| t.label == label);
        found.unwrap_or_else(|| panic!("there is no {label} in\n{}", self.pattern.text()))
    }

    /// What each row but foundations makes.
    pub fn made(&self) -> Vec<usize> {
        self.pattern.worked().tallies.iter().filter(|t| t.chains.is_none()).map(|t| t.made).collect()
    }

    /// Every row read, every place used, no error and no warning.
    pub fn sound(self) -> Self {
        let bad: Vec<_> = self.pattern.problems().iter().filter(|p| p.severity > Severity::Note).collect();
        assert!(bad.is_empty(), "{bad:#?}\n{}", self.pattern.text());
        for row in &self.pattern.worked().tallies {
            assert!(row.read, "{} is not read\n{}", row.label, self.pattern.text());
            assert_eq!(row.used, row.offered, "{}\n{}", row.label, self.pattern.text());
        }
        self
    }

    /// The only error, with the words it points at.
    pub fn error(&self) -> (&Problem, &str) {
        let errors: Vec<_> = self.pattern.problems().iter().filter(|p| p.is_error()).collect();
        let [error] = errors.as_slice() else { panic!("not one error: {errors:#?}\n{}", self.pattern.text()) };
        (error, &self.pattern.text()[error.span.start..error.span.end])
    }
}
