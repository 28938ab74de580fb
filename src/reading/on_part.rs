//! Stitches on another part that ended with its edge open: "sc in next 12 sts of first leg", "12 sc around leg 2",
//! "join to the other leg with a sl st".

use super::lex::Kind;
use super::phrase::{RowReader, Run};
use super::stitch::Named;
use super::words;
use crate::craft::{Stem, StitchForm};
use crate::instructions::{Act, Class, Step, Target, WhichPart};

/// Words that lead a part.
const ON: &[&str] = &["of", "on", "from", "around", "round", "along", "across", "over", "in", "into", "to", "onto"];

/// Those of them that lead one place of it.
const AT: &[&str] = &["in", "into", "to", "onto"];

/// Where on a part it is tied on.
const SPOTS: &[&str] = &[
    "tip", "top", "point", "base", "bottom", "center", "centre", "middle", "corner", "edge", "side", "end", "stem",
    "back", "front", "loop",
];

/// Words between such a place and the part.
const LEADS: &[&str] =
    &["the", "a", "an", "one", "each", "another", "every", "first", "second", "third", "next", "last", "other", "any"];

/// Those of them that say it is one of several.
const ONE: &[&str] = &["one", "each", "another", "every", "next"];

/// Of a noun, "leaf" of "leaves".
pub(super) fn singular(word: &str) -> String {
    match word {
        "feet" => "foot".to_owned(),
        "teeth" => "tooth".to_owned(),
        "leaves" => "leaf".to_owned(),
        _ => word
            .strip_suffix("ies")
            .map(|stem| format!("{stem}y"))
            .or_else(|| word.strip_suffix('s').filter(|s| s.len() > 2).map(str::to_owned))
            .unwrap_or_else(|| word.to_owned()),
    }
}

/// Steps looked back over for the part that is in hand; a row of joined parts has not many more.
const MOST_STEPS: usize = 40;

/// A part that words name, and whether they name one place of it.
pub(super) struct PartTold {
    /// None where they say "the leg" of the one named before.
    act: Option<Act>,
    one_place: bool,
}

impl PartTold {
    /// The place where nothing else tells it.
    pub fn place(&self, count: Option<u32>) -> Option<Target> {
        match (count, self.one_place) {
            (Some(_), _) => None,
            (None, true) => Some(Target::NEXT),
            (None, false) => Some(Target::Each { class: Class::Stitch, less: 0, every: 1 }),
        }
    }
}

impl RowReader<'_> {
    /// "around first leg", "of the other leg", "in leg 2".
    pub(super) fn part_told(&mut self, run: &Run) -> Option<PartTold> {
        if self.c.house.part_names.is_empty() {
            return None;
        }
        let start = self.c.at;
        let before = |at: usize| match at.checked_sub(1).and_then(|k| self.c.kind_at(k)) {
            Some(Kind::Word(w)) => ON.contains(&w.as_str()),
            _ => false,
        };
        let one_place = self.c.word(0).is_some_and(|w| AT.contains(&w));
        if self.c.word(0).is_some_and(|w| ON.contains(&w)) {
            self.c.at += 1;
        } else if !before(start) {
            return None;
        }
        if let Some(act) = self.part_ref() {
            return Some(PartTold { act: Some(act), one_place });
        }
        let told = run.steps.iter().rev().take(MOST_STEPS).any(|s| matches!(s.act, Act::OnPart { .. }));
        let _ = self.c.eat_any(&["the", "this", "that", "same"]);
        if told && !one_place && self.noun().is_some() && self.ends_part() {
            return Some(PartTold { act: None, one_place });
        }
        self.c.at = start;
        None
    }

    /// Puts the part before what is worked on it.
    pub(super) fn on_part(&mut self, run: &mut Run, told: Option<PartTold>, start: usize) {
        if let Some(act) = told.and_then(|t| t.act) {
            let span = self.c.since(start);
            run.steps.push(Step { act, span });
        }
    }

    /// "first leg", "leg 2", "the other leg".
    fn part_ref(&mut self) -> Option<Act> {
        let start = self.c.at;
        let _ = self.c.eat_any(&["the", "your", "that"]);
        let other = self.c.eat_any(&["other", "opposite"]);
        let nth = if other { None } else { self.ordinal_word() };
        if let Some(noun) = self.noun() {
            let which = if other {
                Some(WhichPart::Other)
            } else {
                nth.or_else(|| self.c.number().or_else(|| self.letter())).map(WhichPart::Numbered)
            };
            if let Some(which) = which
                && self.ends_part()
            {
                return Some(Act::OnPart { noun, which });
            }
        }
        self.c.at = start;
        None
    }

    fn ordinal_word(&mut self) -> Option<u32> {
        if self.c.eat("first") {
            return Some(1);
        }
        if self.c.eat("second") {
            return Some(2);
        }
        self.c.ordinal()
    }

    /// "leg A" is the first.
    fn letter(&mut self) -> Option<u32> {
        let w = self.c.word(0)?;
        let nth = ["a", "b"].iter().position(|l| *l == w)?;
        self.c.at += 1;
        u32::try_from(nth + 1).ok()
    }

    /// A noun that a part of the pattern is called by, in the singular.
    fn noun(&mut self) -> Option<String> {
        let w = self.c.word(0)?;
        let noun = singular(w);
        let known = words::is_of_the_craft(w) && !words::LIMBS.contains(&noun.as_str()) || noun.len() < 3;
        if known || !self.c.house.part_nouns.contains(&noun) {
            return None;
        }
        self.c.at += 1;
        Some(noun)
    }

    /// "in tip of next leaf", "to base of the first star", "into one flag": a slip stitch that ties another part on.
    pub(super) fn ties_to_part(&mut self) -> bool {
        if self.c.house.part_names.is_empty() {
            return false;
        }
        let start = self.c.at;
        if self.c.eat_any(&["in", "into", "to", "through", "at", "on", "along", "across"]) {
            let _ = self.c.eat_any(&["the", "a", "any"]);
            let spot = self.c.eat_any(SPOTS) && {
                let _ = self.c.eat_any(&["edge", "corner", "loop"]) || self.c.eat_any(words::STITCH);
                self.c.eat_any(&["of", "on"])
            };
            let mut one = false;
            while let Some(w) = self.c.word(0).filter(|w| LEADS.contains(w)) {
                one |= ONE.contains(&w);
                self.c.at += 1;
            }
            if (spot || one) && self.noun().is_some() {
                let _ = self.c.number();
                if self.c.at_break() || self.c.word(0) == Some("and") {
                    return true;
                }
            }
        }
        self.c.at = start;
        false
    }

    /// "next leaf with sl st in tip" behind "join": the part hangs there, and no row goes on over it.
    fn hangs_part(&mut self) -> bool {
        let start = self.c.at;
        while self.c.eat_any(LEADS) {}
        let slip = StitchForm::plain(Stem::SlipStitch);
        if self.noun().is_some() && self.with_stitch().is_some_and(|form| form == slip) {
            let _ = self.c.eat_any(&["in", "into", "at", "through"]) && {
                let _ = self.c.eat_any(&["the", "its"]);
                self.c.eat_any(SPOTS)
            };
            if self.c.at_break() {
                return true;
            }
        }
        self.c.at = start;
        false
    }

    /// "ch 5 between leaves": behind a chain, what hangs on both its ends.
    pub(super) fn between_parts(&mut self) {
        let start = self.c.at;
        let _ = self.c.eat("between");
        let _ = self.c.eat_any(&["the", "each", "every", "all"]);
        if self.c.at == start || self.noun().is_none() || !self.c.at_break() {
            self.c.at = start;
        }
    }

    fn ends_part(&self) -> bool {
        self.c.at_break()
            || matches!(self.c.kind(0), Some(Kind::Open(_) | Kind::Dash | Kind::Colon))
            || self.c.word(0).is_some_and(|w| matches!(w, "and" | "then" | "with" | "using" | "in" | "by"))
            || self.c.counts_stitches()
    }

    /// "join to leg 1 with a sc", "join the first leg", "working around leg 2", "from leg 2".
    pub(super) fn joins_part(&mut self, run: &mut Run) -> bool {
        if self.depth > 0 || self.c.house.part_names.is_empty() {
            return false;
        }
        let start = self.c.at;
        if self.c.eat_any(&["work", "working", "continue", "from", "starting", "beginning"]) {
            let _ = self.c.eat_any(&["working", "from"]);
            let led = self.c.at == start + 1 && self.c.word_at(start) == Some("from") || self.c.eat_any(ON);
            if led && let Some(act) = self.part_ref() {
                return self.push(run, start, act);
            }
            self.c.at = start;
            return false;
        }
        if !self.c.eat_any(&["join", "joining", "attach", "connect"]) {
            return false;
        }
        if self.hangs_part() {
            let span = self.c.since(start);
            self.notes.push(span);
            return true;
        }
        let _ = self.c.eat_any(&["it", "yarn"]);
        let mut form = self.with_stitch();
        let _ = self.c.eat_any(ON) || self.c.eat("with");
        self.place_of();
        let Some(act) = self.part_ref() else {
            self.c.at = start;
            return false;
        };
        form = form.or_else(|| self.with_stitch());
        let here = self.c.at;
        if self.c.eat_any(words::INTO) && !(self.c.eat_any(&["any", "first", "last", "a"]) && self.c.class().is_some())
        {
            self.c.at = here;
        }
        form = form.or_else(|| self.with_stitch());
        self.push(run, start, act);
        if let Some(form) = form.filter(|f| f.stem != Stem::SlipStitch) {
            let at = Target::Next { n: 1, class: Class::Stitch };
            self.push(run, start, Act::Work { each: 1, form, at });
        }
        true
    }

    /// "fasten off the first leg", "fasten off after each ear": which piece, and no more.
    pub(super) fn piece_named(&mut self) {
        let start = self.c.at;
        let _ = self.c.eat_any(&["after", "on", "for"]);
        let _ = self.c.eat_any(&["the", "each", "this", "your", "every"]);
        let _ = self.ordinal_word();
        if !(self.noun().is_some() || self.part_name().is_some()) || !self.ends_part() {
            self.c.at = start;
        }
    }

    /// "continue with the body", "go on to Head": what the next part is.
    pub(super) fn goes_to_part(&mut self, _run: &mut Run) -> bool {
        let start = self.c.at;
        let _ = self.c.eat("now");
        let goes =
            self.c.eat_any(&["continue", "cont", "proceed", "carry", "move", "go", "continuing", "moving", "begin"]);
        let _ = goes && self.c.eat("on");
        let _ = goes && self.c.eat_any(&["with", "to", "onto", "working", "making"]);
        let _ = goes && self.c.eat_any(&["the", "your"]);
        if goes && (self.part_name().is_some() || self.noun().is_some()) && self.c.at_break() {
            let span = self.c.since(start);
            self.notes.push(span);
            return true;
        }
        self.c.at = start;
        false
    }

    /// "with a sc", "by slip stitching" is left to others.
    fn with_stitch(&mut self) -> Option<StitchForm> {
        let start = self.c.at;
        if self.c.eat_any(&["with", "by", "using"]) {
            let _ = self.c.eat_any(&["a", "an", "one"]);
            if let Some(Named::Form(form)) = self.c.stitch() {
                return Some(form);
            }
        }
        self.c.at = start;
        None
    }

    /// "any st of", "the last st of".
    fn place_of(&mut self) {
        let start = self.c.at;
        let _ = self.c.eat("the");
        let led = self.c.eat_any(&["any", "first", "last", "next", "a"]) || self.c.eat_kind(&Kind::Ordinal(1));
        if !(led && self.c.class().is_some() && self.c.eat_any(&["of", "on", "from"])) {
            self.c.at = start;
        }
    }
}
