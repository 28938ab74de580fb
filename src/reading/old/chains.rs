//! Chains, rings and picots of the old books: "make a chain of 20", "unite it", "which forms a purl".

use super::super::lex::Kind;
use super::super::phrase::{RowReader, Run};
use super::super::words;
use super::between::MISS;
use super::quantity::{PICOT, Stitch, WORK};
use crate::craft::{Stem, StitchForm};
use crate::instructions::{Act, Class, JoinTo, Step, Target};

impl RowReader<'_> {
    /// "make a chain of 20 stitches", "cast on 10 chain", "begin with a foundation chain of 9", "5 chain".
    pub(super) fn old_chain(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        if self.any_length() {
            return self.push(run, start, Act::AnyChain);
        }
        self.c.at = start;
        let Some(n) = self.chain_length() else { return false };
        let span = self.c.since(start);
        let _ = self.c.eat("loosely");
        if let Some((lead, purl)) = self.closed_into_purl(n) {
            if lead > 0 {
                run.steps.push(Step { act: Act::Chain { n: lead }, span });
            }
            let span = self.c.since(start);
            run.steps.push(Step { act: Act::Picot { n: purl }, span });
            return true;
        }
        run.steps.push(Step { act: Act::Chain { n }, span });
        self.back_along(run, n);
        true
    }

    /// "make a sufficiently long foundation chain", "a chain of the length required", "a chain as long as you wish".
    fn any_length(&mut self) -> bool {
        let c = &mut self.c;
        let _ = c.eat_any(WORK) || c.eat_any(&["begin", "commence", "start"]) && c.eat("with");
        if !c.eat_any(&["a", "the"]) {
            return false;
        }
        let before = c.eat_any(&["sufficiently", "sufficient"]) && {
            let _ = c.eat("long");
            true
        };
        let _ = c.eat_any(&["foundation"]);
        if !c.eat_any(words::CHAIN) {
            return false;
        }
        let here = c.at;
        let told = c.eat_any(&["of", "to"]) && {
            let _ = c.eat_any(&["the", "any", "a"]);
            let _ = c.eat_any(&["required", "desired", "necessary", "requisite", "needed", "sufficient"]);
            c.eat_any(&["length", "size"])
        } || c.eat_all(&["the", "length"])
            || c.eat_all(&["the", "required", "length"])
            || c.eat_any(&["long", "as"]) && {
                let _ = c.eat("enough") || c.eat("long");
                true
            };
        if !told {
            c.at = here;
            return before && self.c.at_break();
        }
        while !matches!(self.c.kind(0), None | Some(Kind::Comma | Kind::Stop | Kind::Semicolon | Kind::Colon)) {
            if self.c.counts_stitches() {
                return false;
            }
            self.c.at += 1;
        }
        true
    }

    fn chain_length(&mut self) -> Option<u32> {
        let opens = self.opens_sentence();
        let c = &mut self.c;
        let lead = c.at;
        if opens {
            // "each star is begun in the centre by a chain of 8"
            let begun = (c.at..c.at + LONGEST_SUBJECT).find(|&i| {
                matches!(c.kind_at(i), Some(Kind::Word(w)) if matches!(w.as_str(), "begun" | "begins" | "commenced" | "commences"))
            });
            let plain = |i: usize| matches!(c.kind_at(i), Some(Kind::Word(_)));
            if let Some(at) = begun.filter(|&at| (c.at..at).all(plain)) {
                c.at = at;
            }
        }
        let begun = c.eat_any(&["begin", "commence", "start", "begins", "commences", "commenced", "begun"]) && {
            // "begin the star in the centre with a chain of 8"
            let from = c.at;
            while !c.done() && c.at < from + 14 && !c.sees(&["with"]) && !c.sees(&["by"]) && !stops(c.kind(0)) {
                c.at += 1;
            }
            let _ = c.eat_kind(&Kind::Comma);
            c.eat_any(&["with", "by"])
        };
        if !begun {
            c.at = lead;
        }
        let _ = c.eat_any(WORK) || c.eat_all(&["cast", "on"]);
        let here = c.at;
        let _ = c.eat_any(&["a", "the", "one", "another"]) || c.eat_kind(&Kind::Number(1));
        let _ = c.eat_any(&["foundation", "separate"]);
        if c.eat_any(words::CHAIN) || c.tokens.get(c.at.wrapping_sub(1)).is_some_and(is_foundation) {
            let _ = c.eat_any(words::STITCH) || c.eat_any(&["row"]);
            if c.eat("of") {
                if let Some(n) = c.number() {
                    let _ = c.eat_any(words::CHAIN);
                    let _ = c.eat_any(words::STITCH);
                    return Some(n);
                }
            } else if let Some(n) = c.number() {
                let _ = c.eat_any(words::STITCH);
                return Some(n);
            }
        }
        c.at = here;
        let n = c.old_count()?;
        let _ = c.eat_kind(&Kind::Dash);
        let _ = c.eat("foundation");
        if !c.eat_any(words::CHAIN) {
            return None;
        }
        let dash = c.at;
        if c.eat_kind(&Kind::Dash) && !c.word(0).is_some_and(|w| words::STITCH.contains(&w)) {
            c.at = dash;
        }
        let _ = c.eat_any(words::STITCH);
        let _ = c.eat_all(&["for", "a", "foundation"]) || c.eat_all(&["for", "the", "foundation"]);
        Some(n)
    }

    /// ", 1 slip stitch in the 4th, which forms a purl": the chains before the loop, and those of the loop.
    fn closed_into_purl(&mut self, n: u32) -> Option<(u32, u32)> {
        let start = self.c.at;
        let found = self.purl_close(n);
        if found.is_none() {
            self.c.at = start;
        }
        found
    }

    fn purl_close(&mut self, n: u32) -> Option<(u32, u32)> {
        let _ = self.c.eat_kind(&Kind::Comma) || self.c.eat_kind(&Kind::Stop);
        let _ = self.c.eat_any(&["and", "then"]);
        let _ = self.c.eat_any(WORK);
        let form = if self.c.eat_any(&["fasten", "catch", "join"]) {
            let _ = self.c.eat("back");
            StitchForm::plain(Stem::SlipStitch)
        } else {
            let quantity = self.c.quantity()?;
            let Stitch::Form(form) = quantity.what else { return None };
            if quantity.n.unwrap_or(1) != 1 {
                return None;
            }
            form
        };
        let _ = self.c.eat_kind(&Kind::Comma);
        if !self.c.eat_any(&["in", "into", "on", "through", "to"]) {
            return None;
        }
        let _ = self.c.eat_any(&["the", "this"]);
        let here = self.c.at;
        let stitch = (self.c.eat("last") | (self.c.number().is_some() || self.c.eat("preceding")))
            && self.c.old_stem().is_some()
            || self.c.eat_all(&["same", "stitch"]);
        if stitch && self.forms_purl() {
            // into the stitch the chain sprang from
            return Some((0, n));
        }
        self.c.at = here;
        let k = self.c.eat("first").then_some(1).or_else(|| self.c.ordinal())?;
        let _ = self.c.eat_any(words::CHAIN);
        let _ = self.c.eat_any(words::STITCH);
        let mut of = None;
        if self.c.eat("of") {
            let _ = self.c.eat_any(&["the", "these", "this", "those"]);
            if self.c.eat("same") {
                of = Some(n);
            } else {
                of = self.c.number();
                let made = self.c.eat_any(words::CHAIN) | self.c.eat_any(words::STITCH);
                of = of.or(made.then_some(n));
                of?;
            }
        } else if self.c.eat("made") {
            of = Some(n);
        }
        let formed = self.forms_purl();
        let alone = self.c.at_break() || self.c.word(0) == Some("and");
        let small = matches!(form.stem, Stem::SlipStitch | Stem::Single);
        let own = of.is_none_or(|of| of == n) && k >= 1 && k < n;
        let sure = formed || of == Some(n) || small && k == 1 && of.is_none() && alone;
        (own && sure && (small || formed)).then(|| (k - 1, n - k + 1))
    }

    /// ", which forms a purl", "; this forms 1 purl", "to form a loop", ", so as to form a purl with the last 5".
    fn forms_purl(&mut self) -> bool {
        let start = self.c.at;
        let _ = self.c.eat_kind(&Kind::Comma) || self.c.eat_kind(&Kind::Semicolon);
        let _ = self.c.eat_any(&["and", "which", "this", "thus"]);
        let _ = self.c.eat_all(&["so", "as"]);
        let _ = self.c.eat("to");
        if self.c.eat_any(&["forms", "form", "forming", "makes", "make", "making", "completes"]) {
            let _ = self.c.eat_any(&["a", "the", "one", "1st"]) || self.c.number().is_some();
            if self.c.eat_any(PICOT) || self.c.eat_any(&["loop", "pearl"]) {
                let here = self.c.at;
                if self.c.eat_all(&["with", "the", "last"]) && self.c.number().is_some() {
                    let _ = self.c.eat_any(words::CHAIN);
                } else {
                    self.c.at = here;
                }
                return true;
            }
        }
        self.c.at = start;
        false
    }

    /// "8 chain, miss the 1st, and work into successive loops 2 double": back along the chain just made.
    fn back_along(&mut self, run: &mut Run, chained: u32) {
        let start = self.c.at;
        let _ = self.c.eat_kind(&Kind::Comma) || self.c.eat_kind(&Kind::Semicolon);
        let _ = self.c.eat("and");
        let turned = self.c.eat("turn") || self.c.eat("returning") || self.c.eat_all(&["turn", "back"]);
        let _ = turned && self.c.eat_kind(&Kind::Comma);
        let missed = self.c.eat_any(MISS) && {
            let the = self.c.eat("the");
            let first = self.c.eat("first") | self.c.eat_kind(&Kind::Ordinal(1)) | self.c.eat("last");
            let counted = match first {
                true => the || turned,
                false => turned && self.c.old_count() == Some(1),
            };
            let _ = self.c.eat_any(words::CHAIN);
            let _ = self.c.eat_any(words::STITCH);
            counted
        };
        if !missed || chained < 2 {
            self.c.at = start;
            return;
        }
        let _ = self.c.eat_kind(&Kind::Comma) || self.c.eat_kind(&Kind::Equals) || self.c.eat_kind(&Kind::Semicolon);
        let _ = self.c.eat_any(&["and", "then"]);
        if self.c.eat_any(&["on", "along", "into"]) && self.c.eat_any(&["the"]) {
            // "on the 12 chain:" says again where it goes
            if self.c.old_count().is_some() && self.c.eat_any(words::CHAIN) {
                let _ = self.c.eat_kind(&Kind::Colon);
            }
        }
        let _ = self.c.eat_any(WORK);
        let _ = self.c.eat_all(&["into", "successive", "loops"]) || self.c.eat_all(&["in", "successive", "loops"]);
        let _ = self.c.eat_kind(&Kind::Comma);
        let from = self.c.at;
        let Some(quantity) = self.c.quantity() else {
            self.c.at = start;
            return;
        };
        let Stitch::Form(form) = quantity.what else {
            self.c.at = start;
            return;
        };
        let count = match (quantity.n, self.c.old_place()) {
            (Some(1), Some(spot)) if !spot.successive => match spot.target {
                Target::Next { n, .. } => n,
                _ => 1,
            },
            (n, _) => n.unwrap_or(chained.saturating_sub(1)).max(1),
        };
        let span = self.c.since(from);
        run.steps.push(Step { act: Act::Work { each: 1, form, at: Target::FromHook { n: 2 } }, span });
        if count > 1 {
            let at = Target::Next { n: count - 1, class: Class::Any };
            run.steps.push(Step { act: Act::Work { each: 1, form, at }, span });
        }
    }

    /// "unite it", "join it into a circle", "close the ring", "join the round with a slip stitch".
    pub(super) fn old_ring(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        if self.joins_ends() {
            let with = StitchForm::plain(Stem::SlipStitch);
            return self.push(run, start, Act::Join { to: JoinTo::First, with });
        }
        self.c.at = start;
        let c = &mut self.c;
        let verb = c.eat_any(&["unite", "join", "close", "form", "fasten", "joined", "united"]);
        if !verb {
            return false;
        }
        let first = c.word(0);
        let _ = c.eat_any(&["it", "them", "the", "these", "both", "this"]);
        let _ = c.eat_any(&["ends", "chain", "two", "work"]) && {
            let _ = c.eat("ends");
            true
        };
        let _ = c.eat_any(&["together"]);
        let _ = c.eat_any(&["in", "into", "to", "so"]) && {
            let _ = c.eat_all(&["as", "to"]);
            true
        };
        let _ = c.eat_any(&["form", "make"]);
        let _ = c.eat_any(&["a", "the"]);
        let ring = c.eat_any(&["circle", "ring", "round"]);
        let _ = c.eat_any(&["by", "with"]) && {
            let _ = c.eat_any(&["making", "working"]);
            c.quantity().is_some()
        };
        let chained = !run.steps.is_empty()
            && run.steps.iter().all(|s| matches!(s.act, Act::Chain { .. } | Act::With { .. } | Act::Attach { .. }));
        let plain = self.c.at_break() || matches!(self.c.word(0), Some("and" | "then"));
        let whole = ring || chained || matches!(first, None | Some("it" | "them" | "the" | "ends"));
        if !plain || !whole {
            return false;
        }
        if matches!(first, Some("off" | "on")) {
            return false;
        }
        let span = self.c.since(start);
        let slip = StitchForm::plain(Stem::SlipStitch);
        let act = if chained { Act::Ring { thread: false } } else { Act::Join { to: JoinTo::Untold, with: slip } };
        run.steps.push(Step { act, span });
        true
    }

    /// "joining the last to the first by a single stitch", "join the last stitch to the first".
    fn joins_ends(&mut self) -> bool {
        let c = &mut self.c;
        if !(c.eat_any(&["join", "joining", "unite", "uniting", "fasten", "fastening"])
            && c.eat("the")
            && c.eat("last"))
        {
            return false;
        }
        let _ = c.old_stitch();
        let _ = c.eat_any(words::STITCH);
        let first = c.eat("to") && {
            let _ = c.eat("the");
            c.eat("first") || c.eat_kind(&Kind::Ordinal(1))
        };
        let _ = first && (c.old_stitch().is_some() || c.eat_any(words::STITCH));
        let _ = first && c.eat_any(&["by", "with"]) && c.quantity().is_some();
        first && c.at_break()
    }

    /// "1 purl (4 chain, 1 slip stitch in the 1st)", "1 picot made of 4 chain", "3 purl": picots, and how they are made.
    pub(super) fn old_purl(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let _ = self.c.eat_any(WORK);
        let n = self.c.old_count().unwrap_or(1);
        if !self.c.eat_any(PICOT) {
            return false;
        }
        let mut length = self.c.house.picot.or(self.picot_told).unwrap_or(3);
        let here = self.c.at;
        let of = if self.c.eat("of") { self.c.number().filter(|_| self.c.eat_any(words::CHAIN)) } else { None };
        if of.is_none() {
            self.c.at = here;
        }
        if let Some(told) = of.or_else(|| self.purl_defined()) {
            length = told;
            self.picot_told = Some(told);
        }
        let _ = self.c.eat_any(&["above", "under", "below"]) && {
            // "1 purl under the chain": on which side it lies
            let _ = self.c.eat("the") && self.c.eat_any(words::CHAIN);
            true
        };
        let span = self.c.since(start);
        if let Some(divided) = self.divided() {
            let quantity = super::quantity::Quantity { n: Some(n), what: Stitch::Picot(length) };
            self.push_divided(run, start, &quantity, &divided, None);
            return true;
        }
        run.steps.push(Stitch::Picot(length).step(n, span));
        true
    }

    /// "(each consisting of 5 chain, 1 double in the 1st of the same)", "made of 4 chain, 1 plain in the 1st".
    fn purl_defined(&mut self) -> Option<u32> {
        let start = self.c.at;
        let open = matches!(self.c.kind(0), Some(Kind::Open(_)));
        self.c.at += usize::from(open);
        let _ = self.c.eat_any(&["each", "thus", "viz"]);
        let _ = self.c.eat_kind(&Kind::Colon) || self.c.eat_kind(&Kind::Stop);
        let made = self.c.eat_any(&["consisting", "made", "formed"]) && self.c.eat_any(&["of", "by", "with"]);
        if (open || made)
            && let Some(n) = self.chain_length()
            && self.closing_stitch()
        {
            let closed = !open || matches!(self.c.kind(0), Some(Kind::Close(_)));
            if closed {
                self.c.at += usize::from(open);
                return Some(n);
            }
        }
        self.c.at = start;
        None
    }

    /// ", 1 slip stitch in the 1st of the four", ", 1 double in the last double stitch".
    fn closing_stitch(&mut self) -> bool {
        let _ = self.c.eat_kind(&Kind::Comma);
        let _ = self.c.eat("and");
        let _ = self.c.eat_any(WORK);
        if self.c.quantity().is_none() {
            return false;
        }
        let _ = self.c.eat_kind(&Kind::Comma);
        if !self.c.eat_any(&["in", "into", "on"]) {
            return false;
        }
        while !matches!(self.c.kind(0), None | Some(Kind::Close(_) | Kind::Stop | Kind::Semicolon | Kind::Comma)) {
            self.c.at += 1;
        }
        true
    }

    /// "miss 2", "missing 1 stitch under it", "pass over the next 3 loops", "miss under these the next chain scallop".
    pub(super) fn old_skip(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        if !self.c.eat_any(MISS) {
            return false;
        }
        let _ = self.c.eat("over");
        self.under_these();
        let _ = self.c.eat_any(&["the", "next", "following"]) && self.c.eat_any(&["next", "following"]);
        let n = self.c.old_count();
        let ordinal = n.is_none() && (self.c.eat("first") || self.c.ordinal().is_some());
        let _ = self.c.eat_any(&["next", "following"]);
        let here = self.c.at;
        let class = if self.c.eat_any(words::STITCH) || self.c.eat_any(&["loop", "loops"]) {
            Some(Class::Stitch)
        } else if self.c.eat_any(words::CHAIN) {
            let _ = self.c.eat_any(words::STITCH);
            let hole = self.c.eat_any(&["scallop", "scallops", "loop", "loops", "space", "hole", "arch"]);
            Some(if hole { Class::Space(None) } else { Class::Chain })
        } else if self.c.eat_any(&["scallop", "scallops", "hole", "holes", "space", "spaces", "arch", "bar", "bars"]) {
            Some(Class::Space(None))
        } else {
            match self.c.old_stem() {
                Some(stem) => Some(Class::Kind(StitchForm::plain(stem).to_string())),
                None => {
                    self.c.at = here;
                    None
                }
            }
        };
        if n.is_none() && class.is_none() && !ordinal {
            return false;
        }
        let _ = self.c.eat_all(&["of", "the"]) && self.row_named();
        let _ = self.c.eat_all(&["in", "the"]) && self.row_named();
        self.under_or_between();
        let act = Act::Skip { n: n.unwrap_or(1), class: class.unwrap_or(Class::Stitch) };
        self.push(run, start, act)
    }

    fn under_these(&mut self) {
        let start = self.c.at;
        let led = self.c.eat_any(&["under", "underneath", "below"]);
        if !(led && self.c.eat_any(&["these", "them", "it", "this"])) {
            self.c.at = start;
        }
    }

    fn row_named(&mut self) -> bool {
        let _ = self.c.eat_any(&["last", "preceding", "previous", "lower", "first"]) || self.c.ordinal().is_some();
        self.c.eat_any(words::ROW) || self.c.eat_any(words::ROUND)
    }
}

/// Words of the longest subject of "… is begun by a chain".
const LONGEST_SUBJECT: usize = 8;

fn stops(kind: Option<&Kind>) -> bool {
    matches!(kind, Some(Kind::Stop | Kind::Semicolon | Kind::Colon))
}

fn is_foundation(token: &super::super::lex::Token) -> bool {
    matches!(&token.kind, Kind::Word(w) if w == "foundation")
}
