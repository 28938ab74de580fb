//! Words right behind a stitch's name: its short name in brackets, and how far it is worked.

use super::lex::Kind;
use super::phrase::{RowReader, Run};
use super::stitch::Named;
use super::words;
use crate::instructions::{Act, Class, Step, Target};

impl RowReader<'_> {
    /// "6 double crochet (dc)": its short name behind the stitch says nothing more.
    pub(super) fn short_name(&mut self, named: &Named) {
        let start = self.c.at;
        if matches!(self.c.kind(0), Some(Kind::Open(_))) {
            self.c.at += 1;
            if self.c.stitch().as_ref() == Some(named) && matches!(self.c.kind(0), Some(Kind::Close(_))) {
                self.c.at += 1;
                return;
            }
        }
        self.c.at = start;
    }

    /// "skip st behind", "skip the sc behind the dc just made": words behind the place that is passed by.
    pub(super) fn passed_words(&mut self) {
        self.c.end_words();
        let start = self.c.at;
        let hidden = self.c.eat("hidden");
        if !(self.c.eat_any(&["behind", "beneath", "underneath"]) || hidden && self.c.eat("by")) {
            self.c.at = start;
            return;
        }
        let _ = self.c.eat_any(&["the", "this", "that", "each", "these", "those"]);
        let _ = self.c.eat("new") || self.c.number().is_some();
        let named = self.c.eat_any(&["it", "them"]) || self.c.class().is_some() || self.c.stitch().is_some();
        let _ = named && self.c.eat("just");
        let _ = named && self.c.eat_any(&["made", "worked", "completed"]);
        if !self.c.at_break() {
            self.c.at = start;
        }
    }

    /// "dc to tr", "sc to next ch-2 sp", "sc evenly across to corner": in each stitch as far as that.
    pub(super) fn as_far_as_stitch(&mut self) -> Option<Target> {
        let start = self.c.at;
        let _ = self.c.eat("evenly");
        let _ = self.c.eat_any(&["across", "along", "over", "up"]);
        if self.c.eat("to") && !matches!(self.c.word(0), Some("end" | "last" | "join" | "form" | "close")) {
            let _ = self.c.eat("the");
            let _ = self.c.eat_any(&["next", "center", "centre"]);
            let class = self.c.class();
            let marks = matches!(
                class,
                Some(Class::Kind(_) | Class::Space(_) | Class::Corner(_) | Class::CornerStitch | Class::Group(_))
            );
            if marks && self.c.at_break() {
                let stop = Box::new(Target::Next { n: 1, class: class.unwrap_or_default() });
                return Some(Target::UpTo { class: Class::Stitch, stop });
            }
        }
        self.c.at = start;
        // "sc to 1 st before center st", "sc until next marker"
        if let Some(stop) = self.c.up_to()
            && matches!(stop, Target::Short { .. } | Target::Centre { .. } | Target::Next { class: Class::Marked, .. })
            && self.c.at_break()
        {
            return Some(Target::UpTo { class: Class::Stitch, stop: Box::new(stop) });
        }
        self.c.at = start;
        None
    }

    /// "sc2tog, working into last dc and first skipped dc of rnd": its legs go where the next places are, which is said
    /// for the round's end, where they lie on both sides of its start.
    pub(super) fn legs_placed(&mut self, run: &mut Run) -> bool {
        let together = |s: &Step| matches!(&s.act, Act::Work { form, .. } if form.places() > 1);
        if !run.steps.last().is_some_and(together) || !self.c.eat_any(&["working", "worked", "using"]) {
            return false;
        }
        let _ = self.c.eat_any(&["in", "into", "over", "across"]);
        for leg in 1.. {
            let _ = self.c.eat("the");
            let mut told = false;
            while self.c.eat_any(&["last", "first", "next", "skipped", "unused", "remaining", "rem"]) {
                told = true;
            }
            if !told || self.c.class().is_none() {
                return false;
            }
            if self.c.eat("of") {
                let _ = self.c.eat("the");
                if !(self.c.eat_any(words::ROUND) || self.c.eat_any(words::ROW)) {
                    return false;
                }
            }
            if leg > 1 && self.c.at_break() {
                return true;
            }
            if !self.c.eat("and") {
                return false;
            }
        }
        false
    }
}
