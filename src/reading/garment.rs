//! Wordings of shaped pieces: "work in pat to last 3 sts", "inc cut short", "beg dc2tog".

use super::cursor::Cursor;
use super::lex::Kind;
use super::phrase::{RowReader, Run};
use super::stitch::Named;
use super::words;
use crate::instructions::{Act, Class, Target};

/// Words of a pattern stitch's name: "work in established leaf lace pat".
const LONGEST_NAME: usize = 5;

impl RowReader<'_> {
    /// "work in pat to last 3 sts", "pat across", "cont in established mesh pattern to end": one of the row's usual
    /// stitch in each, which is what a pattern that neither grows nor shrinks comes to.
    pub(super) fn pat_across(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let led = self.c.eat_any(&["work", "cont", "continue", "continuing", "working", "keep", "keeping"]);
        let _ = led && self.c.eat_any(&["even", "working"]);
        let _ = led && self.c.eat_any(&["in", "the"]);
        let _ = self.c.eat("the");
        let set = self.c.eat_any(&["established", "same"]);
        let from = self.c.at;
        // the pattern's own name of it
        while led && self.c.at < from + LONGEST_NAME && !self.c.word(0).is_some_and(|w| PAT.contains(&w)) {
            let named = match self.c.kind(0) {
                Some(Kind::Word(w)) => self.c.house.own_words.contains(w) || w.len() == 1,
                Some(Kind::Other('&')) => true,
                _ => false,
            };
            if !named {
                return false;
            }
            self.c.at += 1;
        }
        if !self.c.eat_any(PAT) {
            return false;
        }
        let _ = self.c.eat("as") && self.c.eat_any(&["established", "set", "before"]);
        let before = self.c.at;
        let less = self.c.read_to_last().map_or(0, |(less, _)| less);
        let bounded = self.c.at > before;
        if !(bounded || set && self.c.at_break()) || self.c.word(0) == Some("until") {
            return false;
        }
        let form = self.c.usual_form();
        self.push(run, start, Act::Work { each: 1, form, at: Target::Each { class: Class::Stitch, less, every: 1 } })
    }

    /// "(sc, in) 6", "in 6": an increase cut short to its first two letters, in notation that gives no places.
    pub(super) fn inc_cut_short(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let opens = start == 0
            || matches!(
                self.c.kind_at(start - 1),
                Some(Kind::Open(_) | Kind::Close(_) | Kind::Comma | Kind::Stop | Kind::Colon)
            );
        if !opens || !self.c.eat("in") {
            return false;
        }
        let n = self.c.number();
        let ended = self.c.at_break() || n.is_some() && matches!(self.c.kind(0), Some(Kind::Open(_)));
        if !ended || n.is_none() && !matches!(self.c.kind(0), Some(Kind::Close(_) | Kind::Comma)) {
            return false;
        }
        let form = self.c.usual_form();
        self.push(run, start, Act::Work { each: 2, form, at: Target::Next { n: n.unwrap_or(1), class: Class::Any } })
    }

    /// "beg dc2tog": the one that opens the row, made with its chain.
    pub(super) fn beg_stitch(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        if !self.c.eat_any(words::BEGINNING) {
            return false;
        }
        let here = self.c.at;
        match self.c.stitch() {
            Some(Named::Form(form)) if form.legs > 1 && !form.one_place => {}
            _ => return false,
        }
        self.c.at = here;
        self.work(run) && self.c.at > start
    }

    /// "(9 total)" behind stitches: what they come to so far.
    pub(super) fn so_far(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        if run.steps.is_empty() || !matches!(self.c.kind(0), Some(Kind::Open(_))) {
            return false;
        }
        self.c.at += 1;
        let n = self.c.number();
        let counted = n.is_some() && {
            let _ = self.c.eat_any(words::STITCH) || self.c.stitch().is_some();
            self.c.eat("total") || self.c.eat_all(&["in", "all"]) || self.c.eat_all(&["so", "far"])
        };
        if !counted || !matches!(self.c.kind(0), Some(Kind::Close(_))) || self.ends_row(self.c.at + 1) {
            return false;
        }
        self.c.at += 1;
        let span = self.c.since(start);
        self.notes.push(span);
        let last = run.steps.last_mut().map(|s| &mut s.act);
        if let (Some(Act::Work { at, .. } | Act::Group { at, .. }), Some(n)) = (last, n)
            && let Target::Each { class, less: 0, every: 1 } = at
        {
            // "dc in each dc (9 total)": each of so many, and others may lie behind them
            *at = Target::Next { n, class: class.clone() };
        }
        true
    }
}

impl RowReader<'_> {
    /// What a row of a shaped piece says besides its work.
    pub(super) fn shaped_remark(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let remarks: [fn(&mut Self, &mut Run) -> bool; 3] =
            [Self::pat_below, Self::changed_so, Self::piece_in_brackets];
        remarks.iter().any(|remark| {
            self.c.at = start;
            remark(self, run)
        })
    }

    /// "Proceed in Leaf Lace Pat as follows:": names the pattern of the rows below and works nothing.
    fn pat_below(&mut self, _run: &mut Run) -> bool {
        let start = self.c.at;
        let Some(end) = self.pat_below_end(start) else { return false };
        self.c.at = end;
        let span = self.c.since(start);
        self.notes.push(span);
        true
    }

    /// Where such words end, if they stand at a token.
    pub(super) fn pat_below_end(&self, at: usize) -> Option<usize> {
        let mut c = self.c.clone();
        c.at = at;
        if !(c.eat_any(&["proceed", "work", "continue", "cont"]) && c.eat("in")) {
            return None;
        }
        let from = c.at;
        while c.at < from + LONGEST_NAME && !c.word(0).is_some_and(|w| PAT.contains(&w)) {
            c.word(0)?;
            let span = c.tokens[c.at].span;
            if !self.text[span.start..].starts_with(char::is_uppercase) {
                return None;
            }
            c.at += 1;
        }
        let named = c.at > from && c.eat_any(PAT) && c.eat("as");
        if !(named && (c.eat("follows") || c.eat_all(&["given", "below"]))) {
            return None;
        }
        let _ = c.eat_kind(&Kind::Colon);
        Some(c.at)
    }

    /// "(1 mesh decreased at beginning of row)", "(2 sts increased)": a bracket that says what was just done to the row.
    fn changed_so(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        if run.steps.is_empty() || !matches!(self.c.kind(0), Some(Kind::Open(_))) {
            return false;
        }
        self.c.at += 1;
        if self.c.number().is_none() {
            return false;
        }
        let _ = self.c.eat("mesh");
        let named = self.c.class().is_some() || self.c.at > start + 2;
        if !named || !self.c.eat_any(&["decreased", "increased", "dec'd", "inc'd", "added"]) {
            return false;
        }
        let place = self.c.at;
        let _ = self.c.at_end_of_row();
        if self.c.at == place && self.c.eat_any(&["at", "on"]) {
            let _ = self.c.eat_any(&["the", "each"]);
            let _ = self.c.eat_any(&["beginning", "beg", "end", "side", "edge"]);
            let _ = self.c.eat("of") && (self.c.eat_any(words::ROW) || self.c.eat_any(words::ROUND));
        }
        if !matches!(self.c.kind(0), Some(Kind::Close(_))) {
            return false;
        }
        self.c.at += 1;
        let span = self.c.since(start);
        self.notes.push(span);
        true
    }

    /// "(Back)", "(Left Front)": which piece of the whole the stitches just worked belong to.
    fn piece_in_brackets(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let close = self.partners.get(start).copied().flatten();
        let (Some(close), false) = (close, run.steps.is_empty()) else { return false };
        let words: Vec<&str> = (start + 1..close).filter_map(|k| self.c.word_at(k)).collect();
        let names = words.last().is_some_and(|w| PIECES.contains(w)) && words.len() == close - start - 1;
        let first = self.c.tokens[start + 1].span.start;
        let named = names && words.len() <= 3 && self.text[first..].starts_with(char::is_uppercase);
        if !named || !words.iter().all(|w| PIECES.contains(w) || matches!(*w, "left" | "right" | "first" | "second")) {
            return false;
        }
        self.c.at = close + 1;
        let span = self.c.since(start);
        self.notes.push(span);
        true
    }
}

/// Pieces of a garment.
const PIECES: &[&str] = &["back", "front", "sleeve", "yoke", "body", "hood", "collar", "neck"];

/// Words for the pattern stitch.
const PAT: &[&str] = &["pat", "patt", "pattern"];

/// "anywhere in edge", "at back seam", "at side of opening": where a yarn is joined, told of the piece alone.
pub(super) fn on_the_piece(c: &mut Cursor<'_>) -> bool {
    let start = c.at;
    let any = c.eat("anywhere");
    let led = any && (c.at_break() || c.eat_any(&["in", "on", "along", "at"])) || c.eat_any(&["at", "near"]);
    if led {
        let from = c.at;
        while c.word(0).is_some_and(|w| {
            (super::remarks::is_plain_word(w) || c.house.own_words.contains(w)) && !words::WORKING_WORDS.contains(&w)
        }) {
            c.at += 1;
        }
        if c.at_break() && (any || c.at > from) {
            return true;
        }
    }
    c.at = start;
    false
}
