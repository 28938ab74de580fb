use super::Span;
use serde::Serialize;

/// How much a problem matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Worth knowing; nothing to do.
    Note,
    /// Probably a slip; the pattern still works.
    Warning,
    /// The words do not work as they stand.
    Error,
}

impl Severity {
    /// The word printed for it.
    pub const fn as_str(self) -> &'static str {
        match self {
            Severity::Note => "note",
            Severity::Warning => "warning",
            Severity::Error => "error",
        }
    }
}

macro_rules! codes {
    ($($(#[$doc:meta])* $name:ident = $text:literal, $severity:ident;)*) => {
        /// What kind of problem it is.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
        #[non_exhaustive]
        pub enum Code { $($(#[$doc])* #[serde(rename = $text)] $name,)* }

        impl Code {
            /// Every code, in the order of the table.
            pub const ALL: &'static [Code] = &[$(Code::$name),*];

            /// The code as written on the command line and in JSON.
            pub const fn as_str(self) -> &'static str {
                match self { $(Code::$name => $text),* }
            }

            /// How much it matters unless the place says otherwise.
            pub const fn severity(self) -> Severity {
                match self { $(Code::$name => Severity::$severity),* }
            }
        }
    };
}

codes! {
    /// A word that stands where a stitch should, and is none.
    UnknownStitch = "unknown-stitch", Error;
    /// An everyday word written wrong, and taken as the one it is a slip of.
    MisspeltWord = "misspelt-word", Warning;
    /// Words of a row that were not understood.
    UnreadWords = "unread-words", Error;
    /// A special stitch that the pattern uses and never defines.
    UndefinedStitch = "undefined-stitch", Error;
    /// A bracket or star that is opened and not closed, or closed and not opened.
    UnclosedMark = "unclosed-mark", Error;
    /// A row leaves stitches of the row below unworked without a word.
    PlacesLeft = "places-left", Error;
    /// A row asks for more stitches than the row below has.
    PlacesShort = "places-short", Error;
    /// A row makes another count than it states.
    CountDiffers = "count-differs", Error;
    /// A repeat does not come out even.
    RepeatRemainder = "repeat-remainder", Error;
    /// The foundation is too long or too short for row 1.
    FoundationLength = "foundation-length", Error;
    /// A stitch, space or mark is named that is not there.
    NoSuchPlace = "no-such-place", Error;
    /// A yarn is named that the pattern does not list.
    NoSuchYarn = "no-such-yarn", Warning;
    /// The turning chain is lost, doubled or of an unusual height.
    TurningChain = "turning-chain", Error;
    /// The work has to be turned and no word says so.
    MissingTurn = "missing-turn", Warning;
    /// Sure signs of US and of UK terms in one pattern.
    TermsMixed = "terms-mixed", Warning;
    /// One edit away from being the same on both sides.
    Asymmetry = "asymmetry", Note;
    /// Rows told by a measure that no gauge turns into a number.
    Measure = "measure", Note;
    /// A size that does not fit its neighbours.
    Sizes = "sizes", Error;
    /// A join that closes the round in the wrong place.
    Join = "join", Warning;
    /// Right and wrong side marks that the turns contradict.
    Side = "side", Warning;
    /// A manner of writing that differs from the rest of the series.
    Style = "style", Note;
    /// An accepted problem that is no longer there, or whose row has other words by now.
    Accepted = "accepted", Note;
    /// There is nothing to read.
    Empty = "empty", Error;
    /// The file is not UTF-8 text.
    NotText = "not-text", Error;
    /// The file cannot be opened.
    Unreadable = "unreadable", Error;
    /// A pattern larger than the limits.
    Limit = "limit", Error;
}

/// A further place that explains a problem.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Label {
    /// The words pointed at.
    pub span: Span,
    /// What they have to do with it.
    pub message: String,
}

/// One replacement in the text.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Edit {
    /// What is replaced; empty for an insertion.
    pub span: Span,
    /// By what.
    pub with: String,
}

/// A row rewritten so that it works out, as plain data.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Mend {
    /// The whole row as it would read.
    pub row: String,
    /// The edits that make it so.
    pub edits: Vec<Edit>,
    /// Places it would use.
    pub used: usize,
    /// Stitches it would make.
    pub made: usize,
}

/// Something a person has to be told about the text, with its place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// What kind.
    pub code: Code,
    /// How much it matters.
    pub severity: Severity,
    /// The words at fault.
    pub span: Span,
    /// Lower case, no full stop, in the trade's words.
    pub message: String,
    /// Further places.
    pub labels: Vec<Label>,
    /// What would mend it, in words.
    pub hints: Vec<String>,
    /// What would mend it, as rewritten rows.
    pub mends: Vec<Mend>,
    /// How many mends fit as well as the first of them, it included, shown or not.
    pub equal_mends: u16,
}

impl Problem {
    /// A problem of the code's own severity.
    pub fn new(code: Code, span: Span, message: impl Into<String>) -> Self {
        Self {
            code,
            severity: code.severity(),
            span,
            message: message.into(),
            labels: Vec::new(),
            hints: Vec::new(),
            mends: Vec::new(),
            equal_mends: 0,
        }
    }

    /// The same with another severity.
    pub fn with_severity(mut self, severity: Severity) -> Self {
        self.severity = severity;
        self
    }

    /// The same with one more label.
    pub fn with_label(mut self, span: Span, message: impl Into<String>) -> Self {
        self.labels.push(Label { span, message: message.into() });
        self
    }

    /// The same with one more hint.
    pub fn with_hint(mut self, hint: impl Into<String>) -> Self {
        self.hints.push(hint.into());
        self
    }

    /// True for an error.
    pub fn is_error(&self) -> bool {
        self.severity == Severity::Error
    }
}
