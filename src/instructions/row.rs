use super::Step;
use crate::source::Span;
use serde::Serialize;

/// Kinds of row by their heading.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum RowKind {
    /// A foundation chain or ring.
    Foundation,
    /// A row.
    #[default]
    Row,
    /// A round.
    Round,
    /// Work without a heading.
    Loose,
}

/// A row line.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Row {
    /// What its heading says.
    pub heading: Heading,
    /// The whole line, heading and all.
    pub span: Span,
    /// The words of the work alone.
    pub body: Span,
    /// What is worked.
    pub steps: Vec<Step>,
    /// Counts stated.
    pub stated: Vec<Stated>,
    /// True where the stated count holds for each row of a range.
    pub stated_each: bool,
    /// True where the counts stated are those of the rows of a range, one after another: "Rnds 2-4: … (13, 14, 15 sc)".
    pub stated_in_turn: bool,
    /// Commentary kept.
    pub notes: Vec<Span>,
    /// False where a word was not understood.
    pub read: bool,
    /// True where what was not understood holds a stitch or a number: there is work that is not in the steps.
    pub lost: bool,
}

/// A row's heading.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Heading {
    /// Row or round.
    pub kind: RowKind,
    /// Numbers it covers.
    pub rows: Rows,
    /// The heading as published, without its mark; empty where there is none.
    pub published: String,
    /// `RS` is true, `WS` false.
    pub right_side: Option<bool>,
    /// The name it gives its row: "Dec Row", "Row 3 (dec row)".
    pub called: Option<RowName>,
    /// Where it stands.
    pub span: Span,
}

/// Among the numbers of rows worked again, the first row name; the others follow by their index.
pub const AS_NAMED: u32 = u32::MAX - 4000;

/// Among the numbers of rows worked again, a plain row.
pub const AS_EVEN: u32 = u32::MAX - 2000;

/// What a row is called.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct RowName {
    /// Which of the pattern's row names it is.
    pub index: u32,
    /// Its words, lower case: "dec row".
    pub words: String,
}

/// Which rows a heading covers.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Rows {
    /// Numbered rows: one, a range or a list, written out.
    Numbered(Vec<u32>),
    /// "2nd and alt rows": every second row from the first on; to a last one, where told.
    Alternate {
        /// The first.
        first: u32,
        /// The last, where told.
        last: Option<u32>,
    },
    /// "Next row", "Next 3 rows".
    Next(u32),
    /// Nothing said.
    #[default]
    Unnumbered,
}

/// What a stated count counts.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum CountOf {
    /// All stitches.
    Sts,
    /// A kind of stitch by its US name.
    Kind(String),
    /// Chain spaces; of a length, where told.
    Spaces(Option<u32>),
    /// A group of the pattern's own: petals, shells.
    Group(String),
    /// Runs of so many stitches of a kind: "12 4-dc groups".
    Runs(u32, Option<String>),
}

impl CountOf {
    /// The word used in reports: `sts`, `dc`, `ch-2`, `petals`.
    pub fn name(&self) -> String {
        match self {
            CountOf::Sts => "sts".into(),
            CountOf::Kind(kind) => kind.clone(),
            CountOf::Spaces(Some(n)) => format!("ch-{n}"),
            CountOf::Spaces(None) => "spaces".into(),
            CountOf::Group(name) => name.clone(),
            CountOf::Runs(n, kind) => super::Class::Run { n: *n, kind: kind.clone() }.words(2),
        }
    }

    /// The word behind a number of them, for a person: `petals`, `V-st`, `ch-2 sps`.
    pub fn words(&self, n: usize) -> String {
        let one = n == 1;
        match self {
            CountOf::Sts => if one { "st" } else { "sts" }.into(),
            CountOf::Spaces(Some(length)) => format!("ch-{length} {}", if one { "sp" } else { "sps" }),
            CountOf::Spaces(None) => if one { "space" } else { "spaces" }.into(),
            CountOf::Group(name) if !one && !name.ends_with('s') => format!("{name}s"),
            CountOf::Runs(n, kind) => super::Class::Run { n: *n, kind: kind.clone() }.words(if one { 1 } else { 2 }),
            CountOf::Group(_) | CountOf::Kind(_) => self.name(),
        }
    }
}

/// One stated count.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Stated {
    /// How many.
    pub count: u32,
    /// Of what.
    pub of: CountOf,
    /// The words.
    pub span: Span,
}
