use super::{Aside, Pick};
use crate::fabric::{RowId, StitchId};
use crate::measure::{Curve, Outline};
use crate::symbol::Speak;

/// A yarn of the pattern.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Yarn {
    /// Its letter, as the stitches name it.
    pub letter: String,
    /// Its name or colour: `leaf green`.
    pub name: String,
}

/// What a chart says besides the stitches: words that the fabric does not hold.
#[derive(Clone, Debug, Default, PartialEq)]
#[non_exhaustive]
pub struct ChartInfo {
    /// Title; the fabric's own where empty.
    pub title: String,
    /// The words of each row, for the description read aloud.
    pub rows: Vec<(RowId, String)>,
    /// The yarns, in the order of the pattern.
    pub yarns: Vec<Yarn>,
    /// The dialect the pattern is written in.
    pub terms: Speak,
    /// Line of credit under the chart.
    pub credit: Option<String>,
    /// Width of a worked stitch in millimetres, where the chart has the proportions of the piece and its gauge is known.
    pub stitch_mm: Option<f64>,
    /// Stitches in doubt, marked in a draft.
    pub doubtful: Vec<StitchId>,
    /// Prefix of every id; none for one made from the words.
    pub prefix: Option<String>,
    /// The part that is drawn; none for all of it.
    pub pick: Option<Pick>,
    /// What stands beside the work.
    pub aside: Aside,
    /// The curve check, where it is to be shown.
    pub curve: Option<Curve>,
    /// The true outline of every piece, where it is to be shown.
    pub outlines: Vec<Outline>,
    /// The pattern's words about how its parts are put together.
    pub sewing: Vec<String>,
}

impl ChartInfo {
    /// No more than a title.
    pub fn titled(title: impl Into<String>) -> Self {
        Self { title: title.into(), ..Self::default() }
    }

    /// The same with the words of one more row.
    pub fn with_row(mut self, row: RowId, words: impl Into<String>) -> Self {
        self.rows.push((row, words.into()));
        self
    }

    /// The same with one more yarn.
    pub fn with_yarn(mut self, letter: impl Into<String>, name: impl Into<String>) -> Self {
        self.yarns.push(Yarn { letter: letter.into(), name: name.into() });
        self
    }

    /// The same in the dialect of the words.
    pub fn with_terms(mut self, terms: Speak) -> Self {
        self.terms = terms;
        self
    }

    /// The same with a line of credit.
    pub fn with_credit(mut self, credit: impl Into<String>) -> Self {
        self.credit = Some(credit.into());
        self
    }

    /// The same with the width of a worked stitch in millimetres, by which a scale bar is drawn. One that is no length is
    /// left out.
    pub fn with_stitch_mm(mut self, mm: Option<f64>) -> Self {
        self.stitch_mm = mm.filter(|mm| mm.is_finite() && *mm > 0.0);
        self
    }

    /// The same with stitches in doubt.
    pub fn with_doubtful(mut self, stitches: Vec<StitchId>) -> Self {
        self.doubtful = stitches;
        self
    }

    /// The same with a prefix for every id. What is no letter, digit or hyphen is left out.
    pub fn with_prefix(mut self, prefix: impl Into<String>) -> Self {
        self.prefix = Some(prefix.into());
        self
    }

    /// The same of a part only.
    pub fn with_pick(mut self, pick: Pick) -> Self {
        self.pick = Some(pick);
        self
    }

    /// The same with something beside the work.
    pub fn with_aside(mut self, aside: Aside) -> Self {
        self.aside = aside;
        self
    }
}
