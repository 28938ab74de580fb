use super::supposed::{Supposed, suppose};
use super::{Chart, ChartOptions, Error, sizes};
use crate::check::check;
use crate::compare::{Change, Edition, compare};
use crate::instructions::{self, Terms};
use crate::mend::mend;
use crate::reading::{self, ReadOptions, SizeChoice};
use crate::source::{Code, Problem, Span};
use crate::symbol::Language;
use crate::working::{Worked, work};
use crate::write::{self, Written};

/// Longest text read, in bytes. A book of patterns has a few.
pub const MOST_BYTES: usize = 32 << 20;

/// A pattern: read, worked and checked.
#[derive(Clone, Debug)]
pub struct Pattern {
    pub(super) text: String,
    pub(super) tree: instructions::Pattern,
    pub(super) worked: Worked,
    pub(super) problems: Vec<Problem>,
    /// How it was read.
    options: ReadOptions,
    /// Problems taken out because an editor accepted them.
    pub(super) accepted: usize,
    /// The other sizes, worked beside it where all were asked for.
    others: Option<Vec<Sized>>,
}

/// One size of a pattern that comes in several, worked.
#[derive(Clone, Debug)]
pub(super) struct Sized {
    pub tree: instructions::Pattern,
    pub worked: Worked,
    pub problems: Vec<Problem>,
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
                options: options.clone(),
                accepted: 0,
                others: None,
            };
        }
        let first = read_unmended(text, options);
        let (options, mut first) = match suppose(text, options, &first) {
            Some(Supposed { options, one }) => (options, one),
            None => (options.clone(), first),
        };
        mend(text, &options, &first.tree, &first.worked, &mut first.problems);
        let tree = first.tree.clone();
        let others = (options.size == SizeChoice::All).then(|| {
            let size = |k| read_one(text, &options.clone().size(SizeChoice::Index(k)));
            let others: Vec<Sized> = (1..tree.sizes.len()).map(size).collect();
            if !others.is_empty() {
                first.problems = sizes::merged(&tree.sizes, &first, &others);
            }
            others
        });
        Self {
            text: text.to_owned(),
            tree,
            worked: first.worked,
            problems: first.problems,
            options,
            accepted: 0,
            others,
        }
    }

    /// Names of the sizes it comes in; empty where it comes in one.
    pub fn sizes(&self) -> &[String] {
        &self.tree.sizes
    }

    /// True where it comes in one size, or has one of this name or number.
    pub fn has_size(&self, wanted: &str) -> bool {
        self.tree.sizes.is_empty() || reading::find_size(&self.tree.sizes, wanted).is_some()
    }

    /// Every size as worked, in the order of [`Pattern::sizes`], where all were asked for; else the one that was read.
    pub fn by_size(&self) -> Vec<&Worked> {
        std::iter::once(&self.worked).chain(self.others.iter().flatten().map(|o| &o.worked)).collect()
    }

    /// True where all sizes were asked for.
    pub fn is_of_all_sizes(&self) -> bool {
        self.others.is_some()
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

    /// What is other than in an earlier edition, in the order of the text.
    pub fn against(&self, old: &Pattern) -> Vec<Change> {
        compare(&self.edition(), &old.edition())
    }

    /// The pattern written out again in the normal form, in US or UK terms; in those it was read in where none are
    /// asked for. Read in all sizes, it is written for all of them.
    ///
    /// ```
    /// let text = "Leaf\n\nCh 5.\nRow 1: Sc in 2nd ch from hook and in each ch across. (4 sts)\n";
    /// let written = fanwise::Pattern::read(text).write(Some(fanwise::instructions::Terms::Uk));
    /// assert!(fanwise::write::as_text(&written).contains("Row 1: Dc in 2nd ch from hook and in each ch across. (4 sts)"));
    /// ```
    pub fn write(&self, speak: Option<Terms>) -> Written {
        let speak = speak.unwrap_or(self.tree.terms);
        match self.in_sizes() {
            Some(sizes) => write::write_sizes(&sizes, &self.text, speak, &self.options),
            None => write::write(&self.tree, &self.worked, &self.text, speak, &self.options),
        }
    }

    /// Its readings, one for each size; none where it was read in one.
    fn in_sizes(&self) -> Option<Vec<(&instructions::Pattern, &Worked)>> {
        let others = self.others.as_deref().filter(|o| !o.is_empty())?;
        let first = (&self.tree, &self.worked);
        Some(std::iter::once(first).chain(others.iter().map(|o| (&o.tree, &o.worked))).collect())
    }

    /// The pattern written out in another language, in the abbreviations of its trade; none where there are none that
    /// are settled, as in Japanese. What has no words there stays in the pattern's own and is marked. Read in all sizes,
    /// it is written for all of them.
    pub fn write_in(&self, language: Language) -> Option<Written> {
        match self.in_sizes() {
            Some(sizes) => write::write_sizes_in(&sizes, &self.text, language, &self.options),
            None => write::write_in(&self.tree, &self.worked, &self.text, language, &self.options),
        }
    }

    fn edition(&self) -> Edition<'_> {
        Edition { text: &self.text, tree: &self.tree, worked: &self.worked }
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

/// Reads, works and checks a text in one size, and seeks mends for what is wrong.
fn read_one(text: &str, options: &ReadOptions) -> Sized {
    let mut one = read_unmended(text, options);
    mend(text, options, &one.tree, &one.worked, &mut one.problems);
    one
}

/// Reads, works and checks a text in one size.
pub(super) fn read_unmended(text: &str, options: &ReadOptions) -> Sized {
    let (tree, mut problems) = reading::read(text, options);
    let worked = work(&tree);
    problems.extend(worked.problems.iter().cloned());
    problems.extend(check(&tree, &worked));
    problems.sort_by_key(|a| (a.span, a.code));
    // rows worked again have the same words: a fault in them is told once, at its first row
    problems.dedup_by_key(|p| (p.span, p.code));
    Sized { tree, worked, problems }
}
