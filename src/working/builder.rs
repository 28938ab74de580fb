//! A fabric without text: the bench's own words as methods.

use super::{Worked, work};
use crate::craft::StitchForm;
use crate::fabric::Fabric;
use crate::instructions::{Act, Class, Heading, JoinTo, Part, Pattern, Row, RowKind, Rows, Step, Target, Times};
use crate::source::{Problem, Span};
use std::fmt;

/// Where a stitch of the builder goes.
pub type Into = Target;

/// Why a fabric could not be built.
#[derive(Clone, Debug)]
pub struct BuildError(Vec<Problem>);

impl BuildError {
    /// Everything that was wrong.
    pub fn problems(&self) -> &[Problem] {
        &self.0
    }
}

impl fmt::Display for BuildError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0.first() {
            Some(problem) => f.write_str(&problem.message),
            None => f.write_str("nothing was worked"),
        }
    }
}

impl std::error::Error for BuildError {}

/// Builds a fabric with the words of the trade.
///
/// ```
/// use fanwise::craft::{Stem, StitchForm};
/// use fanwise::working::{Builder, Into};
///
/// let sc = StitchForm::plain(Stem::Single);
/// let fabric = Builder::new("Swatch")
///     .chain(6)
///     .row()
///     .work(sc, Into::FromHook { n: 2 })
///     .work_next(sc, 4)
///     .row()
///     .turn()
///     .chain(1)
///     .work_next(sc, 5)
///     .finish()
///     .unwrap();
/// assert_eq!(fabric.rows[2].order.len(), 5);
/// ```
#[derive(Clone, Debug)]
pub struct Builder {
    pattern: Pattern,
    open: Vec<Vec<Step>>,
}

impl Builder {
    /// An empty piece of one part.
    pub fn new(title: &str) -> Self {
        let part = Part { name: title.to_owned(), copies: 1, ..Part::default() };
        let pattern = Pattern { title: title.to_owned(), parts: vec![part], ..Pattern::default() };
        Self { pattern, open: Vec::new() }.begin(RowKind::Foundation)
    }

    fn rows(&mut self) -> &mut Vec<Row> {
        // OK: `new` makes the one part, and nothing takes it away
        &mut self.pattern.parts[0].rows
    }

    fn begin(mut self, kind: RowKind) -> Self {
        let n = self.rows().iter().filter(|r| r.heading.kind == kind).count() as u32 + 1;
        let rows = if kind == RowKind::Foundation { Rows::Unnumbered } else { Rows::Numbered(vec![n]) };
        let heading = Heading { kind, rows, ..Heading::default() };
        self.rows().push(Row { heading, read: true, ..Row::default() });
        self
    }

    fn step(mut self, act: Act) -> Self {
        let step = Step { act, span: Span::default() };
        match self.open.last_mut() {
            Some(steps) => steps.push(step),
            None => {
                if let Some(row) = self.rows().last_mut() {
                    row.steps.push(step);
                }
            }
        }
        self
    }

    /// Begins a row.
    pub fn row(self) -> Self {
        self.begin(RowKind::Row)
    }

    /// Begins a round.
    pub fn round(self) -> Self {
        self.begin(RowKind::Round)
    }

    /// Makes `n` chains.
    pub fn chain(self, n: u32) -> Self {
        self.step(Act::Chain { n })
    }

    /// A ring of thread.
    pub fn ring(self) -> Self {
        self.step(Act::Ring { thread: true })
    }

    /// Closes the chain just made into a ring.
    pub fn close_ring(self) -> Self {
        self.step(Act::Ring { thread: false })
    }

    /// One stitch into every place of a target.
    pub fn work(self, form: StitchForm, at: Into) -> Self {
        self.work_each(1, form, at)
    }

    /// `each` stitches into every place of a target.
    pub fn work_each(self, each: u32, form: StitchForm, at: Into) -> Self {
        self.step(Act::Work { each, form, at })
    }

    /// One stitch in each of the next `n` places.
    pub fn work_next(self, form: StitchForm, n: u32) -> Self {
        self.work(form, Target::Next { n, class: Class::Any })
    }

    /// `k` stitches in the next place.
    pub fn increase(self, form: StitchForm, k: u32) -> Self {
        self.work_each(k, form, Target::NEXT)
    }

    /// Opens a group or repeat; closed by [`Builder::into_place`] or [`Builder::times`].
    pub fn open(mut self) -> Self {
        self.open.push(Vec::new());
        self
    }

    /// Closes what was opened: all of it into each place of the target.
    pub fn into_place(mut self, at: Into) -> Self {
        let steps = self.open.pop().unwrap_or_default();
        self.step(Act::Group { steps, at, name: None })
    }

    /// Closes what was opened: `n` times in all.
    pub fn times(mut self, n: u32) -> Self {
        let steps = self.open.pop().unwrap_or_default();
        self.step(Act::Repeat { steps, times: Times::InAll(n), stop: None })
    }

    /// Skips `n` places.
    pub fn skip(self, n: u32) -> Self {
        self.step(Act::Skip { n, class: Class::Any })
    }

    /// A picot of `n` chains.
    pub fn picot(self, n: u32) -> Self {
        self.step(Act::Picot { n })
    }

    /// Says that the chain just made counts as a stitch.
    pub fn counts(self) -> Self {
        self.step(Act::Counts { stem: None, space: 0, counts: true })
    }

    /// Turns the work.
    pub fn turn(self) -> Self {
        self.step(Act::Turn)
    }

    /// Closes the round with a slip stitch.
    pub fn join(self) -> Self {
        self.step(Act::Join { to: JoinTo::Untold, with: StitchForm::plain(crate::craft::Stem::SlipStitch) })
    }

    /// Goes on along the far side of the foundation chain.
    pub fn far_side(self) -> Self {
        self.step(Act::FarSide)
    }

    /// Goes on along the row ends.
    pub fn row_ends(self) -> Self {
        self.step(Act::RowEnds)
    }

    /// Leaves what is left of the row below.
    pub fn leave_rest(self) -> Self {
        self.step(Act::Leave { n: None })
    }

    /// The fabric.
    ///
    /// # Errors
    /// Where a place that is asked for is not there.
    pub fn finish(self) -> Result<Fabric, BuildError> {
        let Worked { fabric, problems, tallies, .. } = work(&self.pattern);
        if problems.iter().any(Problem::is_error) || tallies.iter().any(|t| t.ran_out.is_some()) {
            return Err(BuildError(problems));
        }
        Ok(fabric)
    }
}
