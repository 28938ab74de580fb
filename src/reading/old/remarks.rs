//! What old books say while they work: how the needle goes, what is formed, what the picture shows. A sentence that
//! tells of something is kept as a note; one that asks for stitches is work.

use super::super::lex::Kind;
use super::super::phrase::{RowReader, Run};
use super::super::words;
use super::quantity::{PICOT, WORK};
use crate::instructions::{Act, CountOf, Stated};

/// Words that open a sentence that tells.
const SUBJECTS: &[&str] = &[
    "this", "these", "those", "it", "they", "the", "each", "every", "all", "here", "one", "which", "when", "if", "any",
    "both", "such", "every", "in", "our", "you", "for", "other", "a", "an", "care", "we", "thus", "as", "with",
];
/// Verbs that tell.
const TELLS: &[&str] = &[
    "is",
    "are",
    "was",
    "were",
    "be",
    "will",
    "can",
    "may",
    "must",
    "should",
    "forms",
    "form",
    "completes",
    "complete",
    "completed",
    "begins",
    "gives",
    "give",
    "makes",
    "has",
    "have",
    "had",
    "looks",
    "look",
    "requires",
    "require",
    "required",
    "comes",
    "come",
    "serve",
    "serves",
    "finishes",
    "produces",
    "appears",
    "wanted",
    "consists",
    "contains",
];
/// Openings of remarks inside a sentence, taken to the next mark.
const MANNERS: &[&[&str]] = &[
    &["inserting", "the"],
    &["insert", "the", "needle"],
    &["insert", "the", "hook"],
    &["put", "the", "needle"],
    &["putting", "the"],
    &["taking", "up"],
    &["taking", "the"],
    &["taking", "both"],
    &["take", "up"],
    &["take", "care"],
    &["taking", "care"],
    &["keeping", "the"],
    &["keep", "the"],
    &["keeping"],
    &["drawing", "the"],
    &["draw", "the"],
    &["draw", "through"],
    &["draw", "up"],
    &["drawing", "through"],
    &["draw", "out"],
    &["drop", "the"],
    &["passing", "the"],
    &["pass", "the"],
    &["bring", "the"],
    &["bringing", "the"],
    &["without", "cutting"],
    &["without", "breaking"],
    &["without", "turning"],
    &["so", "as", "to"],
    &["to", "form"],
    &["to", "make"],
    &["to", "fasten"],
    &["to", "complete"],
    &["to", "keep"],
    &["to", "make", "it"],
    &["which", "forms"],
    &["which", "form"],
    &["which", "makes"],
    &["which", "completes"],
    &["thus", "forming"],
    &["thus", "making"],
    &["forming"],
    &["as", "before"],
    &["as", "usual"],
    &["as", "seen"],
    &["as", "shown"],
    &["as", "indicated"],
    &["as", "described"],
    &["as", "follows"],
    &["as", "in", "illustration"],
    &["as", "in", "the", "engraving"],
    &["like", "the", "engraving"],
    &["see", "illustration"],
    &["see", "engraving"],
    &["see", "fig"],
    &["in", "the", "following", "manner"],
    &["in", "this", "manner"],
    &["in", "this", "way"],
    &["in", "the", "same", "manner"],
    &["in", "the", "same", "way"],
    &["in", "the", "usual", "way"],
    &["at", "the", "end", "of", "the"],
    &["at", "the", "end", "of", "each"],
    &["at", "the", "end", "of", "this"],
    &["at", "the", "beginning", "of"],
    &["for", "the", "centre"],
    &["for", "the", "center"],
    &["for", "the", "border"],
    &["for", "the", "edge"],
    &["for", "the", "leaves"],
    &["for", "the", "petals"],
    &["for", "the", "leaf"],
    &["for", "the", "petal"],
    &["for", "the"],
    &["in", "successive", "loops"],
    &["rather", "loosely"],
    &["rather", "tightly"],
    &["loosely"],
    &["tightly"],
    &["thus"],
    &["viz"],
    &["finish", "off"],
    &["and", "finish", "off"],
    &["worked", "as", "usual"],
    &["that", "is"],
    &["the", "wrong", "side"],
    &["on", "the", "wrong", "side"],
    &["on", "the", "right", "side"],
    &["working", "on"],
    &["work", "over"],
    &["working", "over"],
    &["going", "round"],
    &["close", "together"],
    &["sew"],
    &["wind"],
    &["press"],
    &["line"],
    &["make", "up"],
    &["add", "a", "fringe"],
    &["with", "the"],
    &["with", "white"],
    &["with", "pink"],
    &["with", "scarlet"],
    &["with", "red"],
    &["with", "blue"],
    &["with", "green"],
    &["with", "black"],
    &["with", "grey"],
    &["with", "gold"],
    &["with", "silver"],
    &["with", "coloured"],
    &["with", "colored"],
];

impl RowReader<'_> {
    /// A sentence that tells of something and asks for nothing.
    pub(super) fn declared(&mut self, _run: &mut Run) -> bool {
        let start = self.c.at;
        if !self.opens_sentence() {
            return false;
        }
        let led = match self.c.kind(0) {
            Some(Kind::Word(w)) => {
                SUBJECTS.contains(&w.as_str())
                    || words::number_word(w).is_some()
                    || w.len() > 3 && self.c.word(1).is_some_and(|v| TELLS.contains(&v))
            }
            Some(Kind::Number(_)) => !self.c.counts_stitches(),
            Some(Kind::Open(_)) => matches!(self.c.word(1), Some("this" | "these" | "see" | "the")),
            _ => false,
        };
        if !led {
            return false;
        }
        let mut tells = false;
        let mut asks = false;
        while !matches!(self.c.kind(0), None | Some(Kind::Stop)) {
            match self.c.kind(0) {
                Some(Kind::Word(w)) if TELLS.contains(&w.as_str()) => tells = true,
                Some(Kind::Star(_)) => asks = true,
                Some(Kind::Word(w)) if matches!(w.as_str(), "repeat" | "miss" | "turn") => asks = true,
                _ => asks |= self.counts_here(),
            }
            self.c.at += 1;
        }
        if !tells || asks {
            return false;
        }
        let span = self.c.since(start);
        self.notes.push(span);
        true
    }

    /// True where a number stands here and a stitch or chain behind it.
    fn counts_here(&self) -> bool {
        let mut ahead = self.c.clone();
        matches!(ahead.kind(0), Some(Kind::Number(_)))
            && ahead.number().is_some()
            && (ahead.old_stem().is_some()
                || ahead.word(0).is_some_and(|w| words::CHAIN.contains(&w) || PICOT.contains(&w)))
    }

    /// True at the start of the row's words, and behind a full stop, a colon, a semicolon or a dash.
    fn opens_sentence(&self) -> bool {
        match self.c.at.checked_sub(1).and_then(|i| self.c.kind_at(i)) {
            None | Some(Kind::Stop | Kind::Colon | Kind::Semicolon | Kind::Dash) => true,
            Some(Kind::Open(_)) => true,
            Some(Kind::Close(_)) => true,
            _ => false,
        }
    }

    /// How the needle goes, what is formed, what it looks like: to the next mark.
    pub(super) fn old_remark(&mut self, _run: &mut Run) -> bool {
        let start = self.c.at;
        let open = matches!(self.c.kind(0), Some(Kind::Open(_)));
        self.c.at += usize::from(open);
        if !MANNERS.iter().any(|m| self.c.sees(m)) {
            return false;
        }
        let close = if open { self.partners.get(start).copied().flatten() } else { None };
        if open && close.is_none() {
            return false;
        }
        // a remark says nothing of what is counted, but for what is formed
        let forms = matches!(self.c.word(0), Some("so" | "to" | "which" | "thus" | "forming"));
        let from = self.c.at;
        while match close {
            Some(close) => self.c.at < close,
            None => {
                !self.c.at_break()
                    && !matches!(self.c.kind(0), Some(Kind::Colon | Kind::Dash | Kind::Equals | Kind::Open(_)))
            }
        } {
            if !forms && self.c.at > from && self.counts_here() {
                return false;
            }
            if self.c.at > from && self.c.word(0).is_some_and(|w| matches!(w, "make" | "work" | "and")) && {
                let mut ahead = self.c.clone();
                ahead.at += 1;
                let _ = ahead.eat_any(WORK);
                ahead.quantity().is_some()
            } {
                break;
            }
            self.c.at += 1;
        }
        self.c.at += usize::from(close.is_some());
        let span = self.c.since(start);
        self.notes.push(span);
        true
    }

    /// "There will be 18 loops of 5 chain", "this will give you 19 picots in all", "18 petals in all": a count told.
    pub(super) fn told_loops(&mut self, _run: &mut Run) -> bool {
        let start = self.c.at;
        let c = &mut self.c;
        let led = c.eat("there") && {
            let _ = c.eat_any(&["will", "should", "must"]);
            c.eat_any(&["be", "are"])
        } || c.eat("this")
            && {
                let _ = c.eat("will");
                c.eat_any(&["give", "gives", "make", "makes"])
            }
            && {
                let _ = c.eat("you");
                true
            }
            || c.eat("you") && {
                let _ = c.eat_any(&["will", "should", "must", "now"]);
                let _ = c.eat("now");
                c.eat("have")
            };
        let _ = led && (c.eat("now") || c.eat_all(&["thus", "formed"]));
        if !led {
            return false;
        }
        let from = self.c.at;
        let Some(count) = self.c.number() else { return false };
        let of = if self.c.eat_any(&["loops", "holes", "spaces", "scallops", "arches"]) {
            let n = self.c.eat("of").then(|| self.c.number()).flatten();
            let _ = n.is_some() && self.c.eat_any(words::CHAIN);
            CountOf::Spaces(n)
        } else if let Some(stem) = self.c.old_stem() {
            CountOf::Kind(crate::craft::StitchForm::plain(stem).to_string())
        } else if self.c.eat_any(words::STITCH) {
            CountOf::Sts
        } else if let Some(word) = self.c.word(0).filter(|w| w.ends_with('s')) {
            self.c.at += 1;
            CountOf::Group(word.to_owned())
        } else {
            return false;
        };
        let span = self.c.since(from);
        self.stated.push(Stated { count, of, span });
        // the rest of the sentence tells where they are
        while !matches!(self.c.kind(0), None | Some(Kind::Stop | Kind::Semicolon | Kind::Close(_))) {
            if self.counts_here() {
                self.stated.pop();
                self.c.at = start;
                return false;
            }
            self.c.at += 1;
        }
        true
    }

    /// "(the 3 first chain are reckoned as 1 treble)", "3 chain (to be reckoned as 1 long)".
    pub(super) fn old_counts(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let open = matches!(self.c.kind(0), Some(Kind::Open(_)));
        self.c.at += usize::from(open);
        let close = if open { self.partners.get(start).copied().flatten() } else { None };
        let _ = self.c.eat_any(&["the", "these", "this", "which"]);
        let mut n = self.c.number();
        let _ = self.c.eat("first");
        n = n.or_else(|| self.c.number());
        let _ = self.c.eat_any(words::CHAIN);
        let _ = self.c.eat_any(&["is", "are", "being", "to", "will"]);
        let _ = self.c.eat("be");
        if !self.c.eat_any(&["reckoned", "counted", "counts", "count", "counting", "stand", "stands", "taken", "take"])
        {
            return false;
        }
        let _ = self.c.eat_any(&["as", "for"]);
        let _ = self.c.eat_all(&["the", "place", "of"]);
        let _ = self.c.eat("the");
        let _ = self.c.old_count();
        let _ = self.c.eat("first") || self.c.eat_kind(&Kind::Ordinal(1));
        let Some(stem) = self.c.old_stem() else { return false };
        if let Some(close) = close {
            if self.c.at != close {
                return false;
            }
            self.c.at = close + 1;
        } else if open {
            return false;
        }
        let chains = run.steps.iter().rev().find_map(|s| match s.act {
            Act::Chain { n } => Some(n),
            _ => None,
        });
        let space = match (chains, n) {
            (Some(all), Some(n)) if all > n => all - n,
            _ => 0,
        };
        // told behind a picot that ends the chain, it speaks of the chain before the picot
        let at = run.steps.iter().rposition(|s| matches!(s.act, Act::Chain { .. })).map_or(run.steps.len(), |i| i + 1);
        let span = self.c.since(start);
        run.steps
            .insert(at, crate::instructions::Step { act: Act::Counts { stem: Some(stem), space, counts: true }, span });
        true
    }

    /// "turn the work", "turn back": the work is turned.
    pub(super) fn old_turn(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        if !self.c.eat("turn") {
            return false;
        }
        let _ = self.c.eat("back")
            || self.c.eat_all(&["the", "work"])
            || self.c.eat_all(&["the", "chain"])
            || self.c.eat_all(&["on", "the", "wrong", "side"]);
        self.c.at_break_or_mark() && self.push(run, start, Act::Turn)
    }

    /// "fasten off", "cut the thread", "finish with a slip stitch", "finish the row with 1 single".
    pub(super) fn old_ending(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let c = &mut self.c;
        if c.eat_any(&["fasten", "cut", "break", "end"]) {
            let off = c.eat("off") || {
                let _ = c.eat_any(&["the", "your"]);
                c.eat_any(&["thread", "cotton", "wool", "silk", "yarn"]) && {
                    let _ = c.eat("off");
                    true
                }
            };
            let _ = c.eat("securely") || c.eat_any(&["neatly", "firmly"]);
            return off && self.c.at_break_or_mark() && self.push(run, start, Act::FastenOff { yarn: None });
        }
        if c.eat_any(&["finish", "finishing", "ending", "close"]) {
            let _ = c.eat("the") && (c.eat_any(words::ROW) || c.eat_any(words::ROUND));
            // its own words are read next
            return c.eat("with") || c.eat("by");
        }
        false
    }
}

impl super::super::cursor::Cursor<'_> {
    /// True at a break, a dash or an equals sign, and before "and".
    fn at_break_or_mark(&self) -> bool {
        self.at_break()
            || matches!(self.kind(0), Some(Kind::Dash | Kind::Equals | Kind::Colon))
            || matches!(self.word(0), Some("and" | "then"))
    }
}
