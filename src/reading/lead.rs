//! Words ahead of the first chain: "Beginning at back, with A ch 38", and a chain at the end of a note.

use super::cursor::Cursor;
use super::lex::{Kind, Token};
use super::phrase::{RowReader, Run};
use super::words;
use crate::instructions::{Act, Class, Target};

/// Words a hook is told by.
const HOOKS: &[&str] =
    &["a", "the", "your", "mm", "size", "us", "uk", "larger", "smaller", "large", "small", "steel", "same", "crochet"];

/// Tokens of the longest lead.
const LONGEST_LEAD: usize = 10;

/// "Beg at back,", "Starting from the neck edge,": where the work begins on the piece. Plain words up to a comma.
pub(super) fn lead(c: &mut Cursor<'_>) -> bool {
    let start = c.at;
    if c.eat_any(&["beg", "begin", "beginning", "start", "starting"]) && c.eat_any(&["at", "from"]) {
        while c.at < start + LONGEST_LEAD
            && c.word(0).is_some_and(|w| {
                (super::remarks::is_plain_word(w) || c.house.own_words.contains(w))
                    && !words::WORKING_WORDS.contains(&w)
                    && w != "with"
            })
        {
            c.at += 1;
        }
        if c.eat_kind(&Kind::Comma) {
            return true;
        }
    }
    c.at = start;
    false
}

/// True where a chain with its number stands here.
pub(super) fn chain_of(c: &Cursor<'_>) -> bool {
    c.word(0).is_some_and(|w| words::CHAIN.contains(&w)) && matches!(c.kind(1), Some(Kind::Number(_)))
}

/// Index of the token at which a chain stands as the last sentence of a note: "Ch 3 counts as a st. Ch 74."
pub(super) fn chain_behind_note(toks: &[Token]) -> Option<usize> {
    let end = toks.iter().rposition(|t| t.kind != Kind::Stop)? + 1;
    let last = toks[..end].iter().rposition(|t| t.kind == Kind::Stop)? + 1;
    let chain = matches!(&toks.get(last)?.kind, Kind::Word(w) if words::CHAIN.contains(&w.as_str()))
        && matches!(toks.get(last + 1)?.kind, Kind::Number(_));
    (chain && last + 2 == end).then_some(last)
}

impl RowReader<'_> {
    /// "With 4 mm hook", "using a G-6 hook", "change to larger hook": the tool, which changes no stitch.
    pub(super) fn hook_told(&mut self, _run: &mut Run) -> bool {
        let start = self.c.at;
        let led = self.c.eat_any(&["with", "using"]) || self.c.eat_any(&["change", "changing"]) && self.c.eat("to");
        if !led {
            return false;
        }
        let told = (self.c.at..self.c.tokens.len().min(start + LONGEST_LEAD))
            .take_while(|&k| match self.c.kind_at(k) {
                Some(Kind::Word(w)) => !words::WORKING_WORDS.contains(&w.as_str()) && w != "hook",
                Some(Kind::Number(_) | Kind::Dash | Kind::Stop | Kind::Other(_)) => true,
                _ => false,
            })
            .last();
        let at = told.map_or(self.c.at, |k| k + 1);
        let sized = (self.c.at..at).all(|k| match self.c.kind_at(k) {
            Some(Kind::Word(w)) => HOOKS.contains(&w.as_str()) || w.len() == 1,
            _ => true,
        });
        if !sized || self.c.word_at(at) != Some("hook") {
            self.c.at = start;
            return false;
        }
        self.c.at = at + 1;
        let alone = match self.c.word(0) {
            Some(w) => matches!(w, "make" | "work") || words::CHAIN.contains(&w),
            None => self.c.at_break(),
        };
        if !alone {
            // "with larger hook and B": the yarn is told with it
            self.c.at = start;
            return false;
        }
        let span = self.c.since(start);
        self.notes.push(span);
        true
    }

    /// "start in second ch from hook, sc in this st", "beginning in 2nd ch from hook, sl st 4": where the first stitch goes.
    pub(super) fn starts_at_hook(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        if !self.c.eat_any(&["start", "starting", "begin", "beginning", "beg"]) {
            return false;
        }
        let _ = self.c.eat_any(&["with", "work", "working"]);
        let _ = self.c.eat_any(&["in", "into", "at", "with", "from"]);
        let _ = self.c.eat("the");
        let nth = self.c.ordinal().filter(|&n| n > 1);
        let chain = self.c.eat_any(words::CHAIN)
            || self.c.eat_any(&["loop", "lp", "st", "stitch"])
                && matches!(run.steps.last().map(|s| &s.act), Some(Act::Chain { .. }));
        let hook = chain && self.c.eat("from") && {
            let _ = self.c.eat_any(&["the", "your"]);
            self.c.eat_any(words::HOOK)
        };
        // "ch 6, starting from 2nd ch: sl st 5"
        let chained = matches!(run.steps.last().map(|s| &s.act), Some(Act::Chain { .. }));
        let hook = hook || chain && chained;
        let colon = self.c.kind(0) == Some(&Kind::Colon);
        let (Some(n), true, true) = (nth, hook, self.c.at_break() || colon) else {
            self.c.at = start;
            return false;
        };
        self.push(run, start, Act::Skip { n: n - 1, class: Class::Chain });
        let marked = start
            .checked_sub(1)
            .and_then(|k| self.c.kind_at(k))
            .is_none_or(|k| !matches!(k, Kind::Word(_) | Kind::Number(_)));
        let at = run.steps.len() - 1;
        if !marked && at > 0 && matches!(run.steps[at - 1].act, Act::Work { at: Target::Next { .. }, .. }) {
            // "sc 8 starting from 2nd ch from hook": said behind them
            run.steps.swap(at - 1, at);
        }
        let here = self.c.at;
        let _ = self.c.eat_kind(&Kind::Comma) || self.c.eat_kind(&Kind::Stop);
        let from = self.c.at;
        let _ = self.c.number();
        if let Some(super::stitch::Named::Form(form)) = self.c.stitch()
            && self.c.eat_any(&["in", "into"])
            && self.c.eat_any(&["this", "that", "same"])
            && self.c.class().is_some()
        {
            // "sc in this st"
            let each = match self.c.kind_at(from) {
                Some(Kind::Number(n)) => *n,
                _ => 1,
            };
            return self.push(run, from, Act::Work { each, form, at: Target::NEXT });
        }
        self.c.at = here;
        true
    }

    /// The lead of the first row or chain is kept as a note.
    pub(super) fn begins_at(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        if !run.steps.is_empty() || self.depth > 0 || !lead(&mut self.c) {
            return false;
        }
        let span = self.c.since(start);
        self.notes.push(span);
        true
    }
}
