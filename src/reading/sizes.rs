//! The sizes a pattern comes in: their names, and which of them is read.
//!
//! Sizes are settled here, before any rule sees a row: of every list of numbers only the one for the size that is
//! read is left (`lists`), and rows for other sizes are set aside (`branches`). Another size is another reading.

use super::SizeChoice;
use super::lex::{Kind, Token};
use super::size_names::{self, canonical};

/// Most sizes one pattern may come in.
pub(super) const MOST_SIZES: usize = 30;

/// The sizes of a pattern and the one in hand.
#[derive(Clone, Debug, Default)]
pub(super) struct Sizes {
    /// Names in the order of the lists; empty where the pattern comes in one size.
    pub names: Vec<String>,
    /// The size that is read.
    pub chosen: usize,
    /// The sizes that the words in hand are for; all where empty.
    pub active: Vec<usize>,
}

impl Sizes {
    /// Finds the sizes of a text, of which these are the tokens, and the one asked for.
    pub fn of(text: &str, all: &[Token], choice: &SizeChoice) -> Self {
        let names = size_names::told(all).or_else(|| size_names::table(text)).unwrap_or_else(|| {
            let n = super::lists::commonest_length(all, size_names::told_without_names(all));
            (1..=n).map(|k| k.to_string()).collect()
        });
        let chosen = match choice {
            SizeChoice::First | SizeChoice::All => 0,
            SizeChoice::Index(k) => (*k).min(names.len().saturating_sub(1)),
            SizeChoice::Named(name) => find(&names, name).unwrap_or(0),
        };
        Self { names, chosen, active: Vec::new() }
    }

    /// How many sizes there are; 1 where nothing is told.
    pub fn count(&self) -> usize {
        self.names.len().max(1)
    }

    /// Place of a size by its name.
    pub fn index_of(&self, name: &str) -> Option<usize> {
        let wanted = canonical(name);
        self.names.iter().position(|n| canonical(n) == wanted)
    }
}

/// A size by its name, else by its number counted from 1.
pub(crate) fn find(names: &[String], wanted: &str) -> Option<usize> {
    let name = canonical(wanted);
    names
        .iter()
        .position(|n| canonical(n) == name)
        .or_else(|| wanted.trim().parse::<usize>().ok().filter(|&n| n >= 1 && n <= names.len()).map(|n| n - 1))
}

/// Any lower-case word of a token.
pub(super) fn word(token: Option<&Token>) -> Option<&str> {
    match token.map(|t| &t.kind) {
        Some(Kind::Word(w)) => Some(w),
        _ => None,
    }
}
