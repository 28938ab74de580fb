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
/// Remarks that are these words and no more.
const ASIDES: &[&[&str]] = &[
    &["as", "before"],
    &["as", "usual"],
    &["as", "follows"],
    &["as", "described"],
    &["worked", "as", "usual"],
    &["in", "the", "following", "manner"],
    &["in", "this", "manner"],
    &["in", "this", "way"],
    &["in", "the", "usual", "way"],
    &["in", "successive", "loops"],
    &["at", "the", "end", "of", "the", "round"],
    &["at", "the", "end", "of", "the", "row"],
    &["at", "the", "end", "of", "each", "round"],
    &["at", "the", "end", "of", "each", "row"],
    &["at", "the", "end", "of", "this", "round"],
    &["at", "the", "end", "of", "this", "row"],
    &["at", "the", "beginning", "of", "the", "round"],
    &["at", "the", "beginning", "of", "the", "row"],
    &["at", "the", "beginning", "of", "each", "row"],
    &["rather", "loosely"],
    &["rather", "tightly"],
    &["very", "loosely"],
    &["loosely"],
    &["tightly"],
    &["thus"],
    &["viz"],
    &["that", "is"],
    &["without", "turning"],
    &["close", "together"],
];
/// Openings of remarks on how the needle goes, taken to the next mark; they hold no stitches to be made.
const MANNERS: &[&[&str]] = &[
    &["inserting", "the"],
    &["inserting", "it"],
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
    &["keeping"],
    &["keep", "the"],
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
    &["as", "seen"],
    &["as", "shown"],
    &["as", "indicated"],
    &["as", "in", "illustration"],
    &["as", "in", "the", "engraving"],
    &["as", "in", "the", "illustration"],
    &["like", "the", "engraving"],
    &["see", "illustration"],
    &["see", "engraving"],
    &["see", "fig"],
    &["for"],
    &["on", "the", "wrong", "side"],
    &["on", "the", "right", "side"],
    &["working", "over"],
    &["work", "over"],
    &["going", "round"],
    &["all", "round", "the"],
    &["leave", "an", "end"],
    &["leave", "a", "long"],
    &["leaving", "an", "end"],
    &["leaving", "a"],
    &["sew"],
    &["wind"],
    &["press"],
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
/// Openings that say what comes of the work; what is formed may be counted.
const FORMS: &[&[&str]] = &[
    &["so", "as", "to", "form"],
    &["so", "as", "to", "make"],
    &["so", "as", "to", "leave"],
    &["so", "as", "to"],
    &["to", "form"],
    &["to", "make"],
    &["to", "fasten"],
    &["to", "complete"],
    &["to", "keep"],
    &["which", "forms"],
    &["which", "form"],
    &["which", "makes"],
    &["which", "completes"],
    &["which", "thus", "form"],
    &["thus", "forming"],
    &["thus", "making"],
    &["thus", "completing"],
    &["forming"],
    &["this", "forms"],
    &["this", "makes"],
];

impl RowReader<'_> {
    /// A sentence, or its last part, that tells of something and asks for nothing.
    pub(super) fn declared(&mut self, _run: &mut Run) -> bool {
        let start = self.c.at;
        let whole = self.opens_sentence();
        let behind = start.checked_sub(1).and_then(|i| self.c.kind_at(i));
        let part = matches!(behind, Some(Kind::Comma)) || matches!(behind, Some(Kind::Word(w)) if w == "and");
        if !(whole || part) {
            return false;
        }
        let led = match self.c.kind(0) {
            Some(Kind::Word(w)) if part && !whole => matches!(w.as_str(), "the" | "this" | "it" | "these" | "which"),
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
        while !matches!(self.c.kind(0), None | Some(Kind::Stop | Kind::Semicolon)) {
            let ends = matches!(self.c.kind(0), Some(Kind::Comma));
            if ends && !whole {
                break;
            }
            let asks = match self.c.kind(0) {
                Some(Kind::Star(_)) => true,
                Some(Kind::Word(w)) if TELLS.contains(&w.as_str()) => {
                    tells = true;
                    false
                }
                Some(Kind::Word(w)) => matches!(w.as_str(), "repeat" | "miss" | "turn"),
                _ => false,
            };
            if asks || self.counts_here() {
                return false;
            }
            self.c.at += 1;
        }
        if !tells {
            return false;
        }
        let span = self.c.since(start);
        self.notes.push(span);
        true
    }

    /// True where so many stitches or chains stand here.
    fn counts_here(&self) -> bool {
        let mut ahead = self.c.clone();
        if ahead.eat_any(words::CHAIN) {
            return ahead.eat("of") && ahead.number().is_some();
        }
        ahead.number().is_some()
            && (ahead.old_stem().is_some()
                || ahead.word(0).is_some_and(|w| words::CHAIN.contains(&w) || PICOT.contains(&w))
                || ahead.eat_any(words::STITCH) && matches!(ahead.word(0), Some("in" | "into" | "of" | "on")))
    }

    /// True at the start of the row's words, and behind a full stop, a colon, a semicolon or a dash.
    pub(super) fn opens_sentence(&self) -> bool {
        matches!(
            self.c.at.checked_sub(1).and_then(|i| self.c.kind_at(i)),
            None | Some(Kind::Stop | Kind::Colon | Kind::Semicolon | Kind::Dash | Kind::Open(_) | Kind::Close(_))
        )
    }

    /// How the needle goes, what is formed, what it looks like.
    pub(super) fn old_remark(&mut self, _run: &mut Run) -> bool {
        let start = self.c.at;
        if let Some(aside) = ASIDES.iter().find(|m| self.c.sees(m)) {
            self.c.at += aside.len();
            let span = self.c.since(start);
            self.notes.push(span);
            return true;
        }
        let open = matches!(self.c.kind(0), Some(Kind::Open(_)));
        let close = if open { self.partners.get(start).copied().flatten() } else { None };
        if open && close.is_none() {
            return false;
        }
        self.c.at += usize::from(open);
        let forms = FORMS.iter().any(|m| self.c.sees(m));
        let told = |list: &[&[&str]]| list.iter().any(|m| self.c.sees(m));
        if !(forms || told(MANNERS) || open && told(ASIDES)) {
            return false;
        }
        let end = close.unwrap_or(usize::MAX);
        let from = self.c.at;
        while self.c.at < end && (close.is_some() || !self.ends_remark()) {
            if (!forms || close.is_some()) && self.counts_here() && self.c.at > from {
                return false;
            }
            if self.c.at > from && self.leads_work() {
                break;
            }
            self.c.at += 1;
        }
        if close.is_some_and(|close| self.c.at != close) {
            return false;
        }
        self.c.at += usize::from(close.is_some());
        let span = self.c.since(start);
        self.notes.push(span);
        true
    }

    /// True at a mark that ends a remark; a hyphen does not.
    fn ends_remark(&self) -> bool {
        if matches!(self.c.kind(0), Some(Kind::Dash)) {
            let touches = |a: usize, b: usize| match (self.c.tokens.get(a), self.c.tokens.get(b)) {
                (Some(a), Some(b)) => a.span.end == b.span.start,
                _ => false,
            };
            let at = self.c.at;
            let hyphen = at > 0
                && self.c.tokens[at].span.end - self.c.tokens[at].span.start == 1
                && touches(at - 1, at)
                && touches(at, at + 1)
                && self.c.word(1).is_some();
            return !hyphen;
        }
        self.c.at_break() || matches!(self.c.kind(0), Some(Kind::Colon | Kind::Equals | Kind::Open(_)))
    }

    /// "… make a chain of 20", "… and work 3 long": work begins here.
    fn leads_work(&self) -> bool {
        let mut ahead = self.c.clone();
        let joined = ahead.eat("and");
        let verb = ahead.eat_any(WORK) || ahead.eat("cast");
        verb && (ahead.quantity().is_some() || ahead.eat("on")) || joined && ahead.counts_stitches()
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
            && !(open && (self.c.sees(&["for"]) || self.c.sees(&["in", "place"]) || self.c.sees(&["instead"])))
        {
            return false;
        }
        let _ = self.c.eat_all(&["in", "place", "of"]) || self.c.eat_all(&["instead", "of"]);
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
        // "turn with 5 chain"
        let with = self.c.at;
        if self.c.eat("with") && self.c.counts_stitches() {
            return self.push(run, start, Act::Turn);
        }
        self.c.at = with;
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
