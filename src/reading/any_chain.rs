//! A foundation as long as wanted: "make foundation ch with an odd number of sts", "ch any even number".

use super::cursor::Cursor;
use super::lex::Kind;
use super::phrase::{RowReader, Run};
use super::words;
use crate::instructions::Act;

/// "[foundation] ch with an odd number of stitches", "ch to desired length": behind "make a".
pub(super) fn any_length(c: &mut Cursor<'_>) -> bool {
    let _ = c.eat_any(&["foundation", "beginning", "starting", "beg"]);
    if !c.eat_any(words::CHAIN) {
        return false;
    }
    let _ = c.eat_any(&["with", "of", "to", "in"]);
    let _ = c.eat_any(&["a", "an", "any", "your", "the"]);
    if c.eat_any(&["multiple", "multiples"]) {
        // "ch a multiple of 6 plus 2"
        let told = c.eat("of") && c.number().is_some();
        let _ = c.eat_any(words::STITCH) || c.eat_any(words::CHAIN);
        if c.eat_any(&["plus", "and"]) || c.eat_kind(&Kind::Other('+')) {
            let _ = c.number();
            let _ = c.eat_any(&["more", "extra"]);
            let _ = c.eat_any(words::STITCH) || c.eat_any(words::CHAIN);
        }
        return told && (c.at_break() || c.kind(0) == Some(&Kind::Colon));
    }
    if c.eat_any(&["odd", "even", "uneven"]) {
        let _ = c.eat("number") && c.eat("of") && (c.eat_any(words::STITCH) || c.eat_any(words::CHAIN));
        return c.at_break();
    }
    if c.number().is_some() {
        return measured(c);
    }
    let _ = c.eat_any(&["desired", "required", "wanted"]);
    if !c.eat("length") {
        return false;
    }
    let _ = c.eat_any(&["desired", "required", "wanted"]) || c.eat_all(&["you", "want"]);
    c.at_break()
}

/// True where a length by measure stands, its number eaten: "" [152.5 cm] long".
pub(super) fn is_measure(c: &Cursor<'_>) -> bool {
    measured(&mut c.clone())
}

/// "60" [152.5 cm] long", "36 ins long": a length by measure, behind its number.
fn measured(c: &mut Cursor<'_>) -> bool {
    let unit = |c: &mut Cursor<'_>| {
        matches!(c.kind(0), Some(Kind::Other('"' | '”' | '″'))) && {
            c.at += 1;
            true
        } || c.eat_any(&["in", "ins", "inch", "inches", "cm", "mm", "m", "yds", "yards", "feet"])
    };
    while matches!(c.kind(0), Some(Kind::Other('½' | '¼' | '¾')) | Some(Kind::Number(_))) {
        c.at += 1;
    }
    if !unit(c) {
        return false;
    }
    let _ = c.eat_kind(&Kind::Stop);
    if matches!(c.kind(0), Some(Kind::Open(_))) {
        while !c.done() && !matches!(c.kind(0), Some(Kind::Close(_))) {
            c.at += 1;
        }
        c.at += 1;
    }
    c.eat("long") && (c.at_break() || matches!(c.kind(0), Some(Kind::Open(_))))
}

impl RowReader<'_> {
    /// A foundation chain whose length is left to the worker.
    pub(super) fn any_chain(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let _ = self.c.eat_any(&["make", "work", "start", "begin"]);
        let _ = self.c.eat("with");
        let _ = self.c.eat_any(&["a", "the"]);
        if !any_length(&mut self.c) {
            return false;
        }
        let chain = |w: &Kind| matches!(w, Kind::Word(w) if words::CHAIN.contains(&w.as_str()));
        let number = |k: &Kind| matches!(k, Kind::Number(_));
        let rest = &self.c.tokens[self.c.at..];
        if rest.windows(2).any(|w| chain(&w[0].kind) && number(&w[1].kind)) {
            // "… a multiple of 6 plus 2. For sample: ch 26": the length comes behind
            let span = self.c.since(start);
            self.notes.push(span);
            return true;
        }
        self.push(run, start, Act::AnyChain)
    }
}
