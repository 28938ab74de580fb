//! Sentences that close a piece: "sl st the first and last rows together", "join the short ends with sl st", "sl st through
//! the foundation ch and last row to make a tube". A seam joins what is there and makes no row.

use super::lex::Kind;
use super::phrase::{RowReader, Run};
use super::remarks::is_plain_word;
use super::stitch::Named;
use super::words;
use crate::craft::{Stem, StitchForm};
use crate::instructions::Terms;

/// What a seam runs along.
const ALONG: &[&str] = &[
    "ends",
    "edges",
    "sides",
    "seam",
    "seams",
    "rows",
    "row",
    "foundation",
    "side",
    "openings",
    "opening",
    "edge",
    "top",
];
/// What it does.
const CLOSES: &[&str] =
    &["together", "tog", "tube", "ring", "seam", "seams", "join", "with", "closed", "matching", "layers"];
/// Words of the longest name of what is joined, the verb among them.
const MOST_NAMED: usize = 5;
/// Words of the longest such sentence.
const MOST_WORDS: usize = 30;

impl RowReader<'_> {
    /// A seam worked with slip stitches or a needle; none where it holds a number, or is worked in taller stitches.
    pub(super) fn seam(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        if self.depth == 0 && (self.seam_of_so_many() || self.seam_by_stitch() || self.left_open_in_seam()) {
            let span = self.c.since(start);
            self.notes.push(span);
            return true;
        }
        self.c.at = start;
        let marked = matches!(
            start.checked_sub(1).and_then(|k| self.c.kind_at(k)),
            None | Some(Kind::Stop | Kind::Comma | Kind::Semicolon | Kind::Colon | Kind::Close(_))
        );
        // "fold in half and sl st the back seam together"
        let behind_fold = start > 0
            && matches!(self.c.word_at(start - 1), Some("and" | "then"))
            && self.notes.last().is_some_and(|n| n.end <= self.c.tokens[start - 1].span.start);
        let marked = marked || behind_fold;
        if self.depth > 0 || !run.stars.is_empty() || !(marked || start > 0 && self.begins_line(start)) {
            return false;
        }
        if !self.seaming_verb() {
            self.c.at = start;
            return false;
        }
        let (mut along, mut closes) = (false, false);
        while self.c.at - start < MOST_WORDS && !self.c.at_break() {
            let slips =
                matches!(self.c.clone().stitch(), Some(Named::Form(f)) if f == StitchForm::plain(Stem::SlipStitch));
            if self.row_by_number() {
                along = true;
                closes |= self.c.word(0) == Some("to");
                continue;
            }
            if slips {
                let _ = self.c.stitch();
                continue;
            }
            let Some(word) = self.c.word(0) else { break };
            let edge = ALONG.contains(&word) || words::CHAIN.contains(&word);
            let sides = matches!(word, "first" | "last" | "both" | "back" | "front" | "through" | "thru");
            let known = is_plain_word(word) || self.c.house.own_words.contains(word) || words::STITCH.contains(&word);
            if !(edge || sides || CLOSES.contains(&word) || known) {
                break;
            }
            along |= edge;
            // "sl st last row to opposite side of bag"
            closes |= CLOSES.contains(&word) || along && word == "to";
            self.c.at += 1;
        }
        if along && closes {
            self.layers_of_seam();
        }
        if along && closes && self.stitches_of_seam() {
            let span = self.c.since(start);
            self.notes.push(span);
            return true;
        }
        self.c.at = start;
        false
    }

    /// ", working through both layers" behind "sc the opening closed".
    fn layers_of_seam(&mut self) {
        let start = self.c.at;
        let _ = self.c.eat_kind(&Kind::Comma);
        let _ = self.c.eat_any(&["working", "work", "going"]);
        let through = self.c.eat_any(&["through", "thru"]) && self.c.eat("both");
        if !(through && self.c.eat_any(&["layers", "thicknesses", "sides", "edges"])) {
            self.c.at = start;
        }
    }

    /// "sl st through both layers for 8 sts", "slip stitch through all layers for the remaining sts": a stretch of a seam.
    fn seam_of_so_many(&mut self) -> bool {
        let slips = |w: &str| w.starts_with("sl") || w.starts_with("ss");
        if !self.c.word(0).is_some_and(slips) {
            return false;
        }
        let slip = matches!(self.c.stitch(), Some(Named::Form(f)) if f == StitchForm::plain(Stem::SlipStitch));
        let layers = slip
            && self.c.eat_any(&["through", "thru"])
            && self.c.eat_any(&["both", "all", "two"])
            && self.c.eat_any(&["layers", "thicknesses", "edges", "pieces", "sides"]);
        let led = layers && self.c.eat_any(&["for", "in", "of"]);
        let _ = led && self.c.eat("the");
        let counted =
            led && (self.c.eat_any(&["remaining", "rem", "last", "next", "first"]) | self.c.number().is_some());
        counted && self.c.class().is_some() && self.c.at_break()
    }

    /// "join strap by working 1 sl st through each st of both edges": a seam told stitch by stitch.
    fn seam_by_stitch(&mut self) -> bool {
        let start = self.c.at;
        if !self.c.eat_any(&["join", "close", "seam"]) {
            return false;
        }
        let known = |c: &Self, w: &str| is_plain_word(w) || c.c.house.own_words.contains(w);
        while self.c.at - start < MOST_NAMED && self.c.word(0).is_some_and(|w| w != "by" && known(self, w)) {
            self.c.at += 1;
        }
        let told = self.c.eat("by") && self.c.eat_any(&["working", "making"]) && {
            let _ = self.c.eat_any(&["a", "an"]) || self.c.number().is_some();
            matches!(self.c.stitch(), Some(Named::Form(f)) if f == StitchForm::plain(Stem::SlipStitch))
        };
        let led = told && self.c.eat_any(&["through", "thru", "into", "in"]);
        while led && self.c.at - start < MOST_WORDS && !self.c.at_break() {
            let edge = |w: &str| ALONG.contains(&w) || words::CHAIN.contains(&w) || words::STITCH.contains(&w);
            if self.c.word(0).is_some_and(|w| edge(w) || known(self, w) || w == "corresponding") {
                self.c.at += 1;
            } else if self.c.stitch().is_none() {
                return false;
            }
        }
        led && self.c.at_break()
    }

    /// ", skip 5 sts for thumb", ", leave 6 sts open" behind a stretch of a seam.
    fn left_open_in_seam(&mut self) -> bool {
        let before = self.c.at.checked_sub(1).map(|k| self.c.tokens[k].span.end);
        let behind = self.notes.last().zip(before).is_some_and(|(note, end)| {
            end.saturating_sub(note.end) < 8 && self.text[note.start..note.end].contains("through ")
        });
        if !behind {
            return false;
        }
        let _ = self.c.eat("then");
        let skips = self.c.eat_any(words::SKIP) || self.c.eat("leave") || self.c.eat("leaving");
        let _ = self.c.eat("next");
        let counted = skips && self.c.number().is_some() && self.c.class().is_some();
        let _ = self.c.eat_any(&["open", "unworked", "free"]);
        let named = self.c.eat("for") && {
            let _ = self.c.eat_any(&["the", "a"]);
            self.c.word(0).is_some_and(is_plain_word)
        };
        self.c.at += usize::from(named);
        let _ = named && self.c.word(0).is_some_and(is_plain_word) && {
            self.c.at += 1;
            true
        };
        counted && self.c.at_break()
    }

    /// ", 20 sl sts", "(20)" behind a seam: how many that takes; true where the sentence ends there.
    fn stitches_of_seam(&mut self) -> bool {
        let start = self.c.at;
        // "Sl st the short ends together. (20 sl sts)"
        let stopped = self.c.kind(0) == Some(&Kind::Stop) && matches!(self.c.kind(1), Some(Kind::Open(_)));
        self.c.at += usize::from(stopped);
        let open = matches!(self.c.kind(0), Some(Kind::Open(_)));
        self.c.at += usize::from(open || self.c.kind(0) == Some(&Kind::Comma));
        if self.c.at > start && self.c.number().is_some() {
            let slips = matches!(self.c.stitch(), Some(Named::Form(f)) if f == StitchForm::plain(Stem::SlipStitch));
            let _ = slips && self.c.eat_any(words::STITCH);
            let closed = open && matches!(self.c.kind(0), Some(Kind::Close(_)));
            self.c.at += usize::from(closed);
            if (slips || closed && !stopped) && (self.c.at_break() || self.begins_line(self.c.at)) {
                return true;
            }
        }
        self.c.at = start;
        self.c.at_break()
    }

    /// "sl st", "whip stitch", "seam", "join": but no "join with sl st", which closes a round.
    fn seaming_verb(&mut self) -> bool {
        if self.c.eat_any(&["whip", "mattress", "blanket", "running"]) {
            return self.c.eat_any(words::STITCH);
        }
        if self.c.eat_any(&["whipstitch", "seam", "sew", "seaming", "sewing"]) {
            return true;
        }
        if self.c.eat("join") {
            return self.c.eat("the") && !matches!(self.c.word(0), Some("round" | "rnd" | "row" | "first" | "last"));
        }
        // the stitches that most phrases begin with need not be read; elsewhere a slip stitch has other names
        let slips = |w: &str| w.starts_with("sl") || w.starts_with("ss");
        if self.c.word(1) == Some("the") && matches!(self.c.word(0), Some("sc")) {
            // "sc the seam closed"
            self.c.at += 2;
            return true;
        }
        if self.c.house.terms == Terms::Us && !self.c.word(0).is_some_and(slips) {
            return false;
        }
        let slip = matches!(self.c.stitch(), Some(Named::Form(f)) if f == StitchForm::plain(Stem::SlipStitch));
        let _ = slip && self.c.eat_any(&["across", "along"]);
        let ends = |w: &str| matches!(w, "ends" | "edges" | "sides" | "short" | "open");
        slip && (self.c.eat("the")
            || self.c.word(0).is_some_and(ends)
            || self.c.word(0).is_some_and(|w| matches!(w, "through" | "thru"))
            || self.c.word(0) == Some("last") && self.c.word(1).is_some_and(|w| words::ROW.contains(&w))
            || self.c.word(0) == Some("r") && matches!(self.c.kind(1), Some(Kind::Number(_)))
            || self.c.word(0).is_some_and(|w| words::ROW.contains(&w))
                && matches!(self.c.kind(1), Some(Kind::Number(_))))
    }

    /// "Row 20", "R20" in a seam.
    fn row_by_number(&mut self) -> bool {
        let row = self.c.word(0).is_some_and(|w| words::ROW.contains(&w) || w == "r");
        let numbered = row && matches!(self.c.kind(1), Some(Kind::Number(_)));
        self.c.at += if numbered { 2 } else { 0 };
        numbered
    }
}
