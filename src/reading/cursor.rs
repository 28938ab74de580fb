//! A place in a run of tokens, and what can be asked of it.

use super::house_words::HouseWords;
use super::lex::{Kind, Token};
use super::sizes::Sizes;
use super::specials::Specials;
use super::words;
use crate::craft::{Stem, StitchForm};
use crate::instructions::{SizeList, Terms};
use crate::source::Span;
use std::collections::BTreeSet;

/// What is known of the pattern while its rows are read.
#[derive(Clone, Debug, Default)]
pub(super) struct House {
    pub terms: Terms,
    /// Letters and colours of the yarns, lower case.
    pub yarns: Vec<String>,
    pub specials: Specials,
    /// Words told from outside the pattern.
    pub words: HouseWords,
    /// True where the pattern says that its chain spaces count as stitches.
    pub spaces_count: bool,
    /// How many of them the pattern defines ahead of its rows; the others its rows coin.
    pub defined: usize,
    /// The stitch that a bare "inc" or "dec" means in the row being read.
    pub usual: Option<Stem>,
    /// How many rows the heading of the row being read names.
    pub rows: usize,
    /// Rows that headings may still name, or nearly: beyond what a pattern may have, a range is not written out.
    pub rows_left: RowsLeft,
    /// Words of the pattern's own title, notes and part names: known where they stand in a remark.
    pub own_words: BTreeSet<String>,
    /// Names of the pattern's parts, word by word, lower case, longest first.
    pub part_names: Vec<Vec<String>>,
    /// The same to look a name up in.
    pub part_name_set: BTreeSet<Vec<String>>,
    /// The words of those names, each in the singular.
    pub part_nouns: BTreeSet<String>,
    /// Names of the parts that only write a stitch pattern out, word by word, lower case.
    pub stitch_patterns: Vec<Vec<String>>,
    /// Numbers of the rows that the part in hand last worked again: its pattern.
    pub pattern_rows: Vec<u32>,
    /// True once the part in hand has worked one of them.
    pub pattern_used: bool,
    /// Names that rows are called by, in order.
    pub row_names: Vec<String>,
    /// Parts made more than once: the last word of the name, and how many there are of it.
    pub copies: Vec<(String, u32)>,
    /// The sizes the pattern comes in.
    pub sizes: Sizes,
    /// Lists of numbers met in the rows, one for each size.
    pub told: Vec<SizeList>,
    /// The rows so far behind marks of stars, which lines may repeat.
    pub starred: super::starred_rows::StarredRows,
    /// How the rows so far ended.
    pub endings: Vec<super::end_as::EndOfRow>,
    /// True while the row being read is the first of a piece by its number.
    pub first_row: bool,
    /// Number of the row being read, in an old book.
    pub row: Option<u32>,
    /// Chains of a picot, where an old book has told them.
    pub picot: Option<u32>,
    /// Chains of the ring that the next row is the first on, in an old book.
    pub ring: Option<u32>,
    /// True while the next row is the first on a foundation chain of an old book.
    pub fresh_chain: bool,
}

/// How many rows the headings to come may name.
#[derive(Clone, Copy, Debug)]
pub(super) struct RowsLeft(usize);

impl Default for RowsLeft {
    /// More than a pattern may have, so that the limit is met when they are worked.
    fn default() -> Self {
        Self(25_000)
    }
}

impl RowsLeft {
    /// None to speak of: for whoever only asks whether a heading stands somewhere.
    pub const NONE: Self = Self(0);

    /// What is left when a heading has named so many.
    pub fn less(self, n: usize) -> Self {
        Self(self.0.saturating_sub(n))
    }

    /// The numbers of a range, as far as there is room for them behind `before` others.
    pub fn of(self, range: std::ops::RangeInclusive<u32>, before: usize) -> impl Iterator<Item = u32> {
        range.take(self.less(before).0.max(1))
    }
}

/// A place in a run of tokens.
#[derive(Clone, Debug)]
pub(super) struct Cursor<'a> {
    pub tokens: &'a [Token],
    pub at: usize,
    pub house: &'a House,
    /// True once the work runs along the ends of rows: a row named as a place is its end.
    pub row_ends: bool,
    /// The row that the words read last say a place is of, by its number.
    pub of_row: Option<u32>,
    /// The ordinal that the place read last is told by.
    pub nth: Option<super::ordinals::Nth>,
    /// True once a place told in words was on another piece.
    pub elsewhere: bool,
}

impl<'a> Cursor<'a> {
    pub fn new(tokens: &'a [Token], house: &'a House) -> Self {
        Self { tokens, at: 0, house, row_ends: false, of_row: None, nth: None, elsewhere: false }
    }

    pub fn done(&self) -> bool {
        self.at >= self.tokens.len()
    }

    pub fn kind(&self, ahead: usize) -> Option<&'a Kind> {
        self.tokens.get(self.at + ahead).map(|t| &t.kind)
    }

    pub fn kind_at(&self, at: usize) -> Option<&'a Kind> {
        self.tokens.get(at).map(|t| &t.kind)
    }

    /// The word `ahead` tokens on; a single letter that is a yarn's name is a word too.
    pub fn word(&self, ahead: usize) -> Option<&'a str> {
        match self.kind(ahead) {
            Some(Kind::Word(w)) => Some(w),
            _ => None,
        }
    }

    /// The word at a token's index.
    pub fn word_at(&self, at: usize) -> Option<&'a str> {
        match self.kind_at(at) {
            Some(Kind::Word(w)) => Some(w),
            _ => None,
        }
    }

    /// Span from a token index to the last token eaten.
    pub fn since(&self, start: usize) -> Span {
        let last = self.at.clamp(start + 1, self.tokens.len().max(start + 1)) - 1;
        match (self.tokens.get(start), self.tokens.get(last)) {
            (Some(a), Some(b)) => a.span.to(b.span),
            _ => Span::default(),
        }
    }

    pub fn eat_kind(&mut self, kind: &Kind) -> bool {
        let found = self.kind(0) == Some(kind);
        self.at += usize::from(found);
        found
    }

    /// Eats one word out of a list.
    pub fn eat_any(&mut self, list: &[&str]) -> bool {
        let found = self.word(0).is_some_and(|w| list.contains(&w));
        self.at += usize::from(found);
        found
    }

    pub fn eat(&mut self, word: &str) -> bool {
        self.eat_any(&[word])
    }

    /// Eats all words of a phrase, or nothing.
    pub fn eat_all(&mut self, phrase: &[&str]) -> bool {
        let found = phrase.iter().enumerate().all(|(i, w)| self.word(i) == Some(w));
        if found {
            self.at += phrase.len();
        }
        found
    }

    /// True where the words of a phrase stand here.
    pub fn sees(&self, phrase: &[&str]) -> bool {
        phrase.iter().enumerate().all(|(i, w)| self.word(i) == Some(w))
    }

    /// A number in figures or in words.
    pub fn number(&mut self) -> Option<u32> {
        let n = match self.kind(0)? {
            Kind::Number(n) => *n,
            Kind::Word(w) => words::number_word(w)?,
            _ => return None,
        };
        self.at += 1;
        if matches!(n, 20 | 30 | 40 | 50 | 60 | 70 | 80 | 90)
            && matches!(self.kind_at(self.at - 1), Some(Kind::Word(_)))
        {
            // "twenty-one"
            let unit = |k: usize| self.word(k).and_then(words::number_word).filter(|n| *n < 10);
            let dash = usize::from(self.kind(0) == Some(&Kind::Dash));
            if let Some(unit) = unit(dash) {
                self.at += dash + 1;
                return Some(n + unit);
            }
        }
        Some(n)
    }

    /// An ordinal in figures or in words, `first` left out.
    pub fn ordinal(&mut self) -> Option<u32> {
        if let (Some(Kind::Number(n @ (2 | 3))), Some("d"), true) =
            (self.kind(0), self.word(1), self.house.terms.is_old())
        {
            // "2d", "3d"
            self.at += 2;
            return Some(*n);
        }
        let n = match self.kind(0)? {
            Kind::Ordinal(n) => *n,
            Kind::Word(w) => words::ordinal_word(w)?,
            _ => return None,
        };
        self.at += 1;
        Some(n)
    }

    /// True where no space parts a token from the one behind it.
    pub fn touches(&self, at: usize) -> bool {
        matches!(self.tokens.get(at..), Some([here, behind, ..]) if here.span.end == behind.span.start)
    }

    /// "4 times", "twice", "x 4", "× 4", "4 more times", "four times more": how often, and whether "more" is said.
    pub fn times(&mut self) -> Option<(u32, bool)> {
        let start = self.at;
        if let Some(&(_, n)) = self.word(0).and_then(|w| words::TIMES.iter().find(|(t, _)| *t == w)) {
            self.at += 1;
            return Some((n, self.eat("more")));
        }
        // "inc*6": a star that touches a word and a number
        let starred = self.kind(0) == Some(&Kind::Star(1))
            && matches!(self.kind(1), Some(Kind::Number(_)))
            && self.at.checked_sub(1).is_some_and(|before| self.touches(before))
            && self.touches(self.at);
        if self.eat("x") || self.eat_kind(&Kind::Times) || starred && self.eat_kind(&Kind::Star(1)) {
            if let Some(n) = self.number() {
                return Some((n, false));
            }
            self.at = start;
            return None;
        }
        let _ = self.eat("for");
        let total = self.eat_all(&["a", "total", "of"]);
        let Some(n) = self.number() else {
            self.at = start;
            return None;
        };
        let more = self.eat("more");
        let behind = self.at;
        if !more && !total && behind == start + 1 && self.eat("x") && !matches!(self.kind(0), Some(Kind::Number(_))) {
            // "[sc, inc] 6x"
            return Some((n, false));
        }
        self.at = behind;
        if self.eat_any(&["times", "time"]) || total && self.eat_any(&["x's", "xs", "x"]) {
            let more = self.eat("more") || more;
            let _ = self.eat_all(&["in", "all"]) || self.eat_all(&["in", "total"]) || self.eat("total");
            return Some((n, more));
        }
        self.at = start;
        None
    }

    /// True where a number stands here and a stitch or chain behind it.
    pub fn counts_stitches(&self) -> bool {
        let mut ahead = self.clone();
        ahead.number().is_some()
            && (ahead.word(0).is_some_and(|w| words::CHAIN.contains(&w)) || ahead.stitch().is_some())
    }

    /// A stitch name: its stem in the dialect. Plurals of the last word are taken too.
    pub fn stem(&mut self) -> Option<Stem> {
        if self.house.terms.is_old() {
            return self.old_stem();
        }
        let names = words::STITCHES_BY_LETTER.begun_by(self.word(0)?);
        let found = names.iter().find(|name| {
            let last = name.words.len() - 1;
            name.words.iter().enumerate().all(|(i, w)| {
                self.word(i).is_some_and(|have| if i == last { words::is_or_plural(have, w) } else { have == *w })
            })
        });
        if let Some(name) = found {
            let stem = name.stem(self.house.terms)?;
            self.at += name.words.len();
            return Some(stem);
        }
        // `sl-st` and `sl. st.`
        if matches!(self.word(0), Some("sl" | "slip"))
            && matches!(self.kind(1), Some(Kind::Dash | Kind::Stop))
            && self.word(2).is_some_and(|w| words::STITCH.contains(&w))
        {
            self.at += 3;
            return Some(Stem::SlipStitch);
        }
        None
    }

    /// True at the one-word name of a stitch that is no label.
    pub fn names_a_stem(&self) -> bool {
        self.kind(1) != Some(&Kind::Colon)
            && self.word(0).is_some_and(|w| words::STITCHES_BY_LETTER.begun_by(w).iter().any(|n| n.words == [w]))
    }

    /// A special stitch of the pattern, by its index: the longest name that stands here.
    pub fn special(&mut self) -> Option<usize> {
        let (len, k) = self.house.specials.at_start(self.tokens.get(self.at..)?)?;
        self.at += len;
        Some(k)
    }

    /// True at the end of a phrase: nothing left, or a mark that parts phrases.
    pub fn at_break(&self) -> bool {
        matches!(self.kind(0), None | Some(Kind::Comma | Kind::Stop | Kind::Semicolon | Kind::Close(_) | Kind::Star(_)))
    }

    /// The stitch a bare "inc" or "dec" means.
    pub fn usual_form(&self) -> StitchForm {
        StitchForm::plain(self.house.usual.unwrap_or(Stem::Single))
    }
}
