//! Notation that leaves out the plain stitch: "(1, inc) x 6", "4, dec, 4, dec".

use super::cursor::Cursor;
use super::lex::Kind;
use super::phrase::{RowReader, Run};
use crate::craft::{Stem, StitchForm};
use crate::instructions::{Act, Class, Target};

impl RowReader<'_> {
    /// A number beside an increase or a decrease, with nothing else to count: so many plain stitches, which are sc where
    /// the row names none.
    pub(super) fn plain_by_number(&mut self, run: &mut Run) -> bool {
        if self.so_many_in_yarn(run) {
            return true;
        }
        let start = self.c.at;
        let Some(n) = self.c.number().filter(|&n| n > 0) else { return false };
        let ends = |kind: Option<&Kind>| match kind {
            None | Some(Kind::Comma | Kind::Open(_) | Kind::Close(_) | Kind::Star(_)) => true,
            Some(Kind::Word(w)) => w == "and",
            _ => false,
        };
        let opens = start == 0
            || run.steps.is_empty()
            || ends(self.c.kind_at(start - 1))
            || self.c.kind_at(start - 1) == Some(&Kind::Colon);
        if !(opens && ends(self.c.kind(0)) && (self.shapes_at(self.c.at + 1) || self.shapes_before(start))) {
            return false;
        }
        let form = StitchForm::plain(self.c.house.usual.unwrap_or(Stem::Single));
        self.push(run, start, Act::Work { each: 1, form, at: Target::Next { n, class: Class::Any } })
    }

    /// "inc", "2 inc", "dec" at a token.
    fn shapes_at(&self, at: usize) -> bool {
        let at = at + usize::from(matches!(self.c.kind_at(at), Some(Kind::Number(_))));
        self.c.word_at(at).is_some_and(is_shaping)
    }

    /// "inc," before a token.
    fn shapes_before(&self, at: usize) -> bool {
        at > 1 && self.c.kind_at(at - 1) == Some(&Kind::Comma) && self.c.word_at(at - 2).is_some_and(is_shaping)
    }
}

impl Cursor<'_> {
    /// "4, dec, 4, dec": a number and, next to it, an increase or a decrease.
    pub(super) fn plain_beside_shaping(&self) -> bool {
        matches!(self.kind(0), Some(Kind::Number(_)))
            && self.kind(1) == Some(&Kind::Comma)
            && self.word(2).is_some_and(is_shaping)
    }
}

fn is_shaping(word: &str) -> bool {
    matches!(word, "inc" | "dec" | "invdec" | "increase" | "decrease" | "incs" | "decs")
}
