//! A foundation as long as wanted: "make foundation ch with an odd number of sts", "ch any even number".

use super::cursor::Cursor;
use super::lex::Kind;
use super::phrase::{RowReader, Run};
use super::words;
use crate::instructions::Act;

/// "[foundation] ch with an odd number of stitches", "ch to desired length": behind "make a".
pub(super) fn any_length(c: &mut Cursor<'_>) -> bool {
    if c.eat_any(&["odd", "even", "uneven"]) {
        // "make an even number of ch"
        return c.eat_all(&["number", "of"]) && c.eat_any(words::CHAIN) && is_left_open(c);
    }
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
        return told && is_left_open(c);
    }
    if c.eat_any(&["odd", "even", "uneven"]) {
        let _ = c.eat("number") && c.eat("of") && (c.eat_any(words::STITCH) || c.eat_any(words::CHAIN));
        return is_left_open(c);
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

/// "Sample worked over 30 ch", "Swatch shown: ch 30": a foundation told by that of the sample.
pub(super) fn sample_length(c: &mut Cursor<'_>) -> Option<u32> {
    let start = c.at;
    let led = c.eat("the") & c.eat_any(&["sample", "swatch"]) || c.eat_any(&["sample", "swatch"]);
    let found = led.then(|| {
        let _ = c.eat_any(&["is", "was"]);
        let _ = c.eat_any(&["worked", "made", "shown", "uses", "begins", "begun"]);
        let _ = c.eat_any(&["over", "on", "with", "from"]) || c.eat_kind(&Kind::Colon);
        let before = c.number();
        let chain = c.eat_any(words::CHAIN);
        let behind = if chain && before.is_none() { c.number() } else { None };
        before.or(behind).filter(|_| chain && c.at_break())
    });
    if found.flatten().is_none() {
        c.at = start;
    }
    found.flatten()
}

/// True where nothing but a length for example follows.
fn is_left_open(c: &Cursor<'_>) -> bool {
    c.at_break()
        || matches!(c.kind(0), Some(Kind::Colon | Kind::Open(_) | Kind::Dash))
        || matches!(c.word(0), Some("such" | "for" | "eg" | "e" | "like"))
}

/// Words that lead a length given for example.
const EXAMPLES: &[&str] = &[
    "sample", "example", "eg", "e", "such", "shown", "for", "i", "used", "worked", "chained", "swatch", "mine",
    "pictured", "model", "original", "here", "shows", "started", "like",
];

/// Tokens of the longest such clause.
const LONGEST: usize = 16;

/// "(sample: ch 30)", ", such as 30", ". Sample worked over 30 ch", "; for a 20 cm square chain 30": the length that was
/// worked where a pattern leaves it open.
pub(super) fn example_length(c: &mut Cursor<'_>) -> Option<u32> {
    let start = c.at;
    let mut led = false;
    while c.at - start < LONGEST {
        let close = |c: &mut Cursor<'_>| {
            if matches!(c.kind(0), Some(Kind::Stop)) && matches!(c.kind(1), Some(Kind::Close(_))) {
                c.at += 1;
            }
            c.at += usize::from(matches!(c.kind(0), Some(Kind::Close(_))));
        };
        match c.kind(0) {
            Some(Kind::Word(w)) if led && words::CHAIN.contains(&w.as_str()) => {
                c.at += 1;
                let _ = c.eat_kind(&Kind::Dash) || c.eat("of");
                let Some(n) = c.number() else { break };
                close(c);
                return Some(n);
            }
            Some(Kind::Word(w)) => {
                led |= EXAMPLES.contains(&w.as_str());
                if !(EXAMPLES.contains(&w.as_str()) || super::remarks::is_plain_word(w) || w == "g" || w == "over") {
                    break;
                }
                c.at += 1;
            }
            Some(Kind::Number(_)) if led => {
                let n = c.number()?;
                let chains = c.eat_any(words::CHAIN) || c.eat_any(words::STITCH);
                if chains || c.at_break() {
                    close(c);
                    return Some(n);
                }
                // "for a 20 cm square"
                if !c.eat_any(&["cm", "in", "inch", "inches", "mm"]) {
                    break;
                }
            }
            Some(Kind::Open(_) | Kind::Comma | Kind::Semicolon | Kind::Stop | Kind::Colon | Kind::Dash) => c.at += 1,
            _ => break,
        }
    }
    c.at = start;
    None
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
        if sample_length(&mut self.c).is_some_and(|n| self.push(run, start, Act::Chain { n })) {
            return true;
        }
        let _ = self.c.eat_any(&["make", "work", "start", "begin", "commence"]);
        let _ = self.c.eat("with");
        let _ = self.c.eat_any(&["a", "an", "any", "the"]);
        if !any_length(&mut self.c) {
            return false;
        }
        if let Some(n) = example_length(&mut self.c) {
            return self.push(run, start, Act::Chain { n });
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
