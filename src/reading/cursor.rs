//! A place in a run of tokens, and what can be asked of it.

use super::house_words::HouseWords;
use super::lex::{Kind, Token};
use super::sizes::Sizes;
use super::words;
use crate::craft::{Stem, StitchForm};
use crate::instructions::{SizeList, Special, Terms};
use crate::source::Span;
use std::collections::BTreeSet;

/// What is known of the pattern while its rows are read.
#[derive(Clone, Debug, Default)]
pub(super) struct House {
    pub terms: Terms,
    /// Letters and colours of the yarns, lower case.
    pub yarns: Vec<String>,
    pub specials: Vec<Special>,
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
    /// Words of the pattern's own title, notes and part names: known where they stand in a remark.
    pub own_words: BTreeSet<String>,
    /// Names of the pattern's parts, word by word, lower case, longest first.
    pub part_names: Vec<Vec<String>>,
    /// The sizes the pattern comes in.
    pub sizes: Sizes,
    /// Lists of numbers met in the rows, one for each size.
    pub told: Vec<SizeList>,
    /// Number of the row being read, in an old book.
    pub row: Option<u32>,
    /// Chains of a picot, where an old book has told them.
    pub picot: Option<u32>,
    /// Chains of the ring that the next row is the first on, in an old book.
    pub ring: Option<u32>,
    /// True while the next row is the first on a foundation chain of an old book.
    pub fresh_chain: bool,
}

/// A place in a run of tokens.
#[derive(Clone, Debug)]
pub(super) struct Cursor<'a> {
    pub tokens: &'a [Token],
    pub at: usize,
    pub house: &'a House,
    /// True once the work runs along the ends of rows: a row named as a place is its end.
    pub row_ends: bool,
    /// True once a place told in words was on another piece.
    pub elsewhere: bool,
}

impl<'a> Cursor<'a> {
    pub fn new(tokens: &'a [Token], house: &'a House) -> Self {
        Self { tokens, at: 0, house, row_ends: false, elsewhere: false }
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

    /// "4 times", "twice", "x 4", "× 4", "4 more times", "four times more": how often, and whether "more" is said.
    pub fn times(&mut self) -> Option<(u32, bool)> {
        let start = self.at;
        if let Some(&(_, n)) = self.word(0).and_then(|w| words::TIMES.iter().find(|(t, _)| *t == w)) {
            self.at += 1;
            return Some((n, self.eat("more")));
        }
        if self.eat("x") || self.eat_kind(&Kind::Times) {
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
        let found = words::STITCHES.iter().find(|name| {
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
        if self.word(0) == Some("sl")
            && matches!(self.kind(1), Some(Kind::Dash | Kind::Stop))
            && self.word(2).is_some_and(|w| matches!(w, "st" | "sts" | "stitch"))
        {
            self.at += 3;
            return Some(Stem::SlipStitch);
        }
        None
    }

    /// A special stitch of the pattern, by its index: the longest name that stands here.
    pub fn special(&mut self) -> Option<usize> {
        let mut best: Option<(usize, usize)> = None;
        for (k, special) in self.house.specials.iter().enumerate() {
            for name in &special.names {
                let len = self.name_length(name);
                if len > best.map_or(0, |(l, _)| l) {
                    best = Some((len, k));
                }
            }
        }
        let (len, k) = best?;
        self.at += len;
        Some(k)
    }

    /// Tokens a name takes here; 0 where it does not stand here. Dashes are as good as spaces.
    fn name_length(&self, name: &str) -> usize {
        let mut ahead = 0;
        let parts: Vec<&str> = name.split(|c: char| c.is_whitespace() || c == '-').filter(|p| !p.is_empty()).collect();
        for (i, part) in parts.iter().enumerate() {
            if i > 0 && self.kind(ahead) == Some(&Kind::Dash) {
                ahead += 1;
            }
            let fits = match self.kind(ahead) {
                Some(Kind::Word(w)) => {
                    let stitch = words::STITCH.contains(part) && words::STITCH.contains(&w.as_str());
                    w == part || stitch || (i + 1 == parts.len() && words::is_or_plural(w, part))
                }
                Some(Kind::Number(n)) => n.to_string() == *part,
                _ => false,
            };
            if !fits {
                return 0;
            }
            ahead += 1;
        }
        ahead
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
