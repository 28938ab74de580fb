//! The far side of a foundation chain told by its loops: "sc in each free loop along opposite side of foundation ch", "sc in
//! bottom of each ch", and behind words that lead there, "sc in each loop".

use super::lex::Kind;
use super::phrase::{RowReader, Run};
use super::stitch::Named;
use super::words;
use crate::instructions::{Act, Class, Step, Target};

const LOOPS: &[&str] = &["loop", "loops", "lp", "lps"];
const UNDERSIDES: &[&str] = &["bottom", "underside", "base", "bottoms"];
const LEFT: &[&str] = &["free", "unused", "unworked", "remaining", "rem"];

impl RowReader<'_> {
    /// Stitches into the loops of the foundation chain that are left, or into its underside.
    pub(super) fn along_far_side(&mut self, run: &mut Run) -> bool {
        const SOON: usize = 12;
        let start = self.c.at;
        let tells = |w: &str| LOOPS.contains(&w) || UNDERSIDES.contains(&w) || w == "side";
        // most phrases begin with a stitch and hold no such word
        if !(0..SOON).any(|k| self.c.word(k).is_some_and(tells)) {
            return false;
        }
        let _ = self.c.eat_any(&["and", "then"]);
        let _ = self.c.eat_any(&["work", "working"]);
        let number = self.c.number();
        let Some(Named::Form(form)) = self.c.stitch() else { return false };
        if matches!(self.c.word(0), Some("along" | "on" | "down" | "up")) && self.far_side_of_chain() {
            // "sc along other side of chain in next ch"
            let Some(place) = self.c.place().filter(|_| on_chain(run)) else { return false };
            let span = self.c.since(start);
            if !on_far_side(run) {
                run.steps.push(Step { act: Act::FarSide, span });
            }
            run.steps.push(Step { act: Act::Work { each: number.unwrap_or(1), form, at: place.target }, span });
            return true;
        }
        if !self.c.eat_any(&["in", "into"]) {
            return false;
        }
        let under = self.underside_of_each();
        let each = if under.is_some() { Some(under == Some(None)) } else { self.free_loops(run) };
        let number = if let (Some(n), None) = (under.flatten(), number) { Some(n) } else { number };
        if each.is_none() || !(self.c.at_break() || self.c.word(0) == Some("and")) {
            return false;
        }
        self.c.row_ends = false;
        let span = self.c.since(start);
        if !on_far_side(run) {
            run.steps.push(Step { act: Act::FarSide, span });
        }
        let (each, at) = match (each, number) {
            // "7 sc in the free loops": one in each of so many
            (Some(false), Some(n)) => (1, Target::Next { n, class: Class::Chain }),
            _ => (number.unwrap_or(1), Target::Each { class: Class::Chain, less: 0, every: 1 }),
        };
        run.steps.push(Step { act: Act::Work { each, form, at }, span });
        true
    }

    /// "bottom of each ch", "the underside of each chain across", "other side of next 3 ch": how many, where not each.
    fn underside_of_each(&mut self) -> Option<Option<u32>> {
        let start = self.c.at;
        let _ = self.c.eat("the");
        let side = self.c.eat_any(&["other", "opposite", "far"]) && self.c.eat("side");
        let under = (side || self.c.eat_any(UNDERSIDES)) && {
            let _ = self.c.eat_any(LOOPS);
            self.c.eat("of")
        };
        let _ = self.c.eat_any(&["the", "those", "these"]);
        let each = under && self.c.eat_any(&["each", "every", "all"]);
        let _ = each && self.c.eat("of");
        let next = self.c.eat("the") | self.c.eat_any(&["next", "same"]);
        // "in base of 3 ch" is where that chain stands
        let n = if under && (side || next) { self.c.number() } else { None };
        let chain = (each || n.is_some()) && {
            let _ = self.c.eat_any(&["foundation", "starting", "beginning", "beg"]);
            self.c.eat_any(words::CHAIN)
        };
        if chain {
            self.c.end_words();
            return Some(n);
        }
        self.c.at = start;
        None
    }

    /// "each free loop along opposite side of foundation ch"; the chain need not be named where the work is along it already.
    /// True where it is each of them.
    fn free_loops(&mut self, run: &Run) -> Option<bool> {
        let start = self.c.at;
        let _ = self.c.eat("the");
        let each = self.c.eat_any(&["each", "every", "all"]);
        let _ = self.c.eat("of") && self.c.eat("the");
        let _ = each && self.c.eat("the");
        let _ = each && self.c.number().is_some();
        let one = self.c.eat_any(LEFT) && self.c.word(0).is_some_and(|w| matches!(w, "loops" | "lps") || each);
        if one && self.c.eat_any(LOOPS) {
            let named = self.far_side_of_chain();
            self.c.end_words();
            if named || on_far_side(run) {
                return Some(each);
            }
        }
        self.c.at = start;
        None
    }

    /// "along opposite side of foundation ch", "of the foundation chain", "on other side".
    fn far_side_of_chain(&mut self) -> bool {
        let start = self.c.at;
        let _ = self.c.eat_any(&["along", "on", "across", "at", "down"]);
        let _ = self.c.eat("the");
        let side =
            self.c.eat_any(&["opposite", "other", "far", "second", "bottom"]) && self.c.eat_any(&["side", "edge"]);
        let of = self.c.at;
        self.end_of_chain_words();
        if side || self.c.at > of {
            return true;
        }
        self.c.at = start;
        false
    }

    /// "of foundation ch", "of the beg ch", "of ch" behind "opposite side".
    pub(super) fn end_of_chain_words(&mut self) {
        let start = self.c.at;
        if !self.c.eat_any(&["of", "in", "on", "along"]) {
            return;
        }
        let _ = self.c.eat_any(&["the", "these", "those", "same"]);
        // "in other side of the 3 ch"
        let _ = self.c.number();
        // "along foundation"
        let alone = self.c.eat("foundation") && self.c.at_break();
        let _ = self.c.eat_any(&["beg", "beginning", "starting", "original", "first"]);
        let _ = self.c.eat_kind(&Kind::Dash);
        if alone {
            return;
        }
        if !self.c.eat_any(words::CHAIN) {
            self.c.at = start;
            return;
        }
        // "of ch-8", "of ch-8 sp": told by its length
        let named = self.c.at;
        if self.c.eat_kind(&Kind::Dash) && self.c.number().is_some() {
            let _ = self.c.eat_any(words::SPACE);
        } else {
            self.c.at = named;
        }
    }

    /// "turn the piece so you are working along the bottom of the chain", "rotate so that the bottom loops face up": a clause
    /// that holds the piece the other way up.
    pub(super) fn held_bottom_up(&mut self, run: &mut Run) -> bool {
        const MOST_WORDS: usize = 24;
        const SIDES: &[&str] =
            &["upside", "bottom", "underside", "opposite", "other", "unused", "free", "unworked", "remaining", "rem"];
        let start = self.c.at;
        if !self.c.eat_any(&["turn", "rotate", "flip", "pivot", "spin"]) || on_far_side(run) || !on_chain(run) {
            self.c.at = start;
            return false;
        }
        let (mut side, mut chain) = (false, false);
        while self.c.at - start < MOST_WORDS
            && let Some(word) = self.c.word(0)
        {
            let (of_side, of_chain) = (SIDES.contains(&word), words::CHAIN.contains(&word) || LOOPS.contains(&word));
            if !(of_side || of_chain || super::remarks::is_plain_word(word)) {
                break;
            }
            side |= of_side;
            chain |= of_chain || word == "upside";
            self.c.at += 1;
        }
        if side && chain && self.c.at_break() {
            self.c.row_ends = false;
            return self.push(run, start, Act::FarSide);
        }
        self.c.at = start;
        false
    }

    /// "(other side)", "(along opposite side of ch)": a label within the row.
    pub(super) fn far_side_in_brackets(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        if !matches!(self.c.kind(0), Some(Kind::Open(_))) {
            return false;
        }
        self.c.at += 1;
        let _ = self.c.eat_any(&["working", "work", "now"]);
        let told = self.far_side_of_chain() && matches!(self.c.kind(0), Some(Kind::Close(_)));
        if told && on_chain(run) && !on_far_side(run) {
            self.c.at += 1;
            let _ = self.c.eat_kind(&Kind::Colon);
            return self.push(run, start, Act::FarSide);
        }
        self.c.at = start;
        false
    }

    /// "sc in 7 ch along the other side": the side is told behind the stitches.
    pub(super) fn side_told_behind(&mut self, run: &mut Run, before: usize) {
        let start = self.c.at;
        let word = |k: usize| self.c.word_at(k).unwrap_or_default();
        let taken = (start.saturating_sub(MOST_WORDS)..start)
            .any(|k| matches!(word(k), "other" | "opposite") && matches!(word(k + 1), "side" | "edge"));
        if !(taken || matches!(self.c.word(0), Some("along" | "on" | "down"))) {
            return;
        }
        let chain = |act: &Act| {
            matches!(act, Act::Work { at: Target::Next { class: Class::Chain | Class::Any | Class::Stitch, .. }, .. })
        };
        let told = chain(&run.steps[before].act)
            && !on_far_side(run)
            && on_chain(run)
            && (taken || self.far_side_of_chain())
            && self.c.at_break();
        if told {
            let span = self.c.since(start.min(self.c.at - 1));
            run.steps.insert(before, Step { act: Act::FarSide, span });
        } else {
            self.c.at = start;
        }
    }

    /// Behind words that lead to the far side, a loop is that of a chain.
    pub(super) fn loops_of_chain(&self, worked: &[Step], step: &mut Step) {
        let (Act::Work { at, .. } | Act::Group { at, .. }) = &mut step.act else { return };
        let led = |to: &str| (self.c.at.saturating_sub(MOST_WORDS)..self.c.at).any(|k| self.c.word_at(k) == Some(to));
        if *at == (Target::First { class: Class::Chain }) && led("to") && far_side_among(worked) {
            // "sc across to first ch": the one the round began in is left
            *at = Target::Each { class: Class::Chain, less: 1, every: 1 };
            return;
        }
        let (Target::Each { class, .. } | Target::Next { class, .. } | Target::Last { class, .. }) = at else { return };
        let named = (self.c.at.saturating_sub(MOST_WORDS)..self.c.at)
            .any(|k| self.c.word_at(k).is_some_and(|w| LOOPS.contains(&w)));
        if *class == Class::Space(None) && named && far_side_among(worked) {
            *class = Class::Chain;
        }
    }
}

/// Words from a loop to the end of its phrase.
const MOST_WORDS: usize = 4;

/// Steps behind those that lead to the far side which may still speak of it.
const MOST_STEPS: usize = 200;

fn on_far_side(run: &Run) -> bool {
    far_side_among(&run.steps)
}

pub(super) fn far_side_among(steps: &[Step]) -> bool {
    steps.iter().rev().take(MOST_STEPS).any(|s| s.act == Act::FarSide)
}

/// True where the row began on a foundation chain.
fn on_chain(run: &Run) -> bool {
    let begun = |s: &Step| {
        matches!(
            s.act,
            Act::Work { at: Target::FromHook { .. }, .. }
                | Act::Group { at: Target::FromHook { .. }, .. }
                | Act::Skip { class: Class::Chain, .. }
        )
    };
    run.steps.iter().rev().take(MOST_STEPS).any(begun)
}
