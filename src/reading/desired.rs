//! Lengths that are the maker's to choose: "until desired length", "until band fits around head".

use super::again::LONGEST_SUBJECT;
use super::lex::Kind;
use super::phrase::RowReader;
use super::words;
use crate::instructions::Until;

impl RowReader<'_> {
    /// "desired length", "length desired", "the required size".
    pub(super) fn desired(&mut self, from: usize) -> Option<Until> {
        let start = self.c.at;
        let _ = self.c.eat_any(&["your", "the"]);
        let subject = (1..4).find(|&k| matches!(self.c.word(k), Some("fits" | "fit")));
        match subject.filter(|&k| (0..k).all(|k| self.c.word(k).is_some_and(|w| self.is_plain(w)))) {
            Some(k) => self.c.at += k,
            None => {
                let here = self.c.at;
                if !(self.c.eat_any(words::PIECES) && self.c.eat_any(&["is", "measures", "reaches"])) {
                    self.c.at = here;
                }
            }
        }
        let _ = self.c.eat_any(&["the", "your", "a"]);
        let sizes = ["long", "wide", "large", "big", "tall", "high"];
        let as_long = self.c.eat("as") && self.c.eat_any(&sizes) && self.c.eat("as");
        let enough = as_long || self.c.eat_any(&sizes) && self.c.eat("enough");
        // "until band fits snugly around head when slightly stretched"
        let fits = self.c.eat_any(&["fits", "fit"]);
        if enough || fits || self.c.eat("square") && (self.c.at_break() || self.c.word(0) == Some("ending")) {
            for _ in 0..LONGEST_SUBJECT {
                if self.c.at_break() || !self.c.word(0).is_some_and(|w| w != "ending" && self.is_plain(w)) {
                    break;
                }
                self.c.at += 1;
            }
            return Some(Until::measure(None, true, self.c.since(from)));
        }
        let told = self.c.eat_any(&["desired", "required"]) && self.c.eat_any(&["length", "size", "width"])
            || self.c.eat_any(&["length", "size", "width"]) && self.c.eat_any(&["desired", "required"]);
        if told {
            let _ = self.c.eat("is") && self.c.eat_any(&["reached", "obtained"]);
            return Some(Until::measure(None, true, self.c.since(from)));
        }
        self.c.at = start;
        None
    }

    /// ", or desired length", "or 2 in less than desired length".
    pub(super) fn or_less_than_desired(&mut self) -> bool {
        let start = self.c.at;
        let _ = self.c.eat_kind(&Kind::Comma);
        if self.c.eat("or") {
            let _ = self.c.eat_any(&["until", "to"]);
            let less = self.c.measure_mm().is_some() && self.c.eat_all(&["less", "than"]);
            let _ = less;
            if self.desired(start).is_some() {
                return true;
            }
        }
        self.c.at = start;
        false
    }
}
