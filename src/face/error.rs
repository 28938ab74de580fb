use std::fmt;

/// What went wrong that is not the pattern's fault, or that keeps a pattern from being drawn.
#[derive(Debug)]
pub struct Error(Why);

#[derive(Debug)]
enum Why {
    Empty,
    Errors(usize),
    NotAFabric(String),
    NoSuch(String),
    Letters {
        font: String,
        language: &'static str,
        letter: char,
    },
    #[cfg(any(feature = "png", feature = "pdf"))]
    Picture(String),
}

impl Error {
    pub(super) fn empty() -> Self {
        Error(Why::Empty)
    }

    pub(super) fn errors(n: usize) -> Self {
        Error(Why::Errors(n))
    }

    pub(super) fn not_a_fabric(why: String) -> Self {
        Error(Why::NotAFabric(why))
    }

    pub(super) fn no_such(why: String) -> Self {
        Error(Why::NoSuch(why))
    }

    #[cfg(any(feature = "png", feature = "pdf"))]
    pub(super) fn picture(why: String) -> Self {
        Error(Why::Picture(why))
    }

    pub(super) fn letters(font: &str, language: &'static str, letter: char) -> Self {
        Error(Why::Letters { font: font.to_owned(), language, letter })
    }

    /// True where the font lacks letters of the chart's language.
    pub fn is_about_letters(&self) -> bool {
        matches!(self.0, Why::Letters { .. })
    }

    /// True where the pattern's own errors are the reason.
    pub fn is_about_the_pattern(&self) -> bool {
        matches!(self.0, Why::Errors(_) | Why::Empty)
    }
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.0 {
            Why::Empty => f.write_str("there is no stitch to draw"),
            Why::Errors(1) => f.write_str("the pattern has 1 error; a draft can still be drawn"),
            Why::Errors(n) => write!(f, "the pattern has {n} errors; a draft can still be drawn"),
            Why::Letters { font, language, letter } => {
                write!(f, "the font {font} has no letter {letter}, which {language} needs")
            }
            Why::NotAFabric(why) => write!(f, "this is no fabric: {why}"),
            Why::NoSuch(why) => f.write_str(why),
            #[cfg(any(feature = "png", feature = "pdf"))]
            Why::Picture(why) => f.write_str(why),
        }
    }
}

impl std::error::Error for Error {}
