//! Stitch names to makes: plain stitches, n together, posts, increases, the pattern's own.

use super::cursor::Cursor;
use super::lex::Kind;
use super::words;
use crate::craft::{LoopPart, Meet, PostSide, Stem, StitchForm};

/// How a stitch is worked, in words that change nothing of it.
const MANNERS: &[&str] = &["loosely", "tightly", "carefully", "gently", "firmly", "neatly"];

/// A stitch as named.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Named {
    /// One make.
    Form(StitchForm),
    /// Several in one place by the word alone ("inc").
    Increase(StitchForm),
    /// A special stitch of the pattern, by index.
    Special(usize),
    /// A picot not defined by the pattern: 3 chains.
    Picot(Option<u32>),
}

impl Cursor<'_> {
    /// A stitch name here, modifiers and all.
    pub fn stitch(&mut self) -> Option<Named> {
        let start = self.at;
        let found = self.stitch_here();
        if found.is_none() {
            self.at = start;
        } else if self.word(0).is_some_and(|w| MANNERS.contains(&w)) && self.place_or_end_at(1) {
            // "sl st loosely in each st around"
            self.at += 1;
        }
        found
    }

    /// True where a place is led to at a token, or the end of the round.
    fn place_or_end_at(&self, ahead: usize) -> bool {
        self.word(ahead).is_some_and(|w| {
            words::INTO.contains(&w) || words::TO_END.contains(&w) || matches!(w, "each" | "next" | "evenly")
        })
    }

    fn stitch_here(&mut self) -> Option<Named> {
        if let Some(k) = self.special() {
            return Some(Named::Special(k));
        }
        if let Some(form) = self.together_word() {
            return Some(Named::Form(form));
        }
        if let Some(named) = self.counted_cluster() {
            return Some(named);
        }
        if let Some(part) = self.loop_words() {
            // one loop word a stitch: a second one is no stitch
            if self.loop_words().is_some() {
                return None;
            }
            return match self.stitch_here()? {
                Named::Form(form) => Some(Named::Form(with_loop(form, part))),
                // "FLO inc around"
                Named::Increase(form) => Some(Named::Increase(with_loop(form, part))),
                _ => None,
            };
        }
        if self.word(0) == Some("slip") && self.word(1).is_some_and(|w| matches!(w, "to" | "into" | "across" | "along"))
        {
            // "slip to centre of next loop"
            self.at += 1;
            return Some(Named::Form(StitchForm::plain(Stem::SlipStitch)));
        }
        let mut form = StitchForm::plain(Stem::Single);
        if self.eat_any(&["rev", "reverse"]) {
            form.extra.reverse = true;
        } else if self.eat_any(&["ext", "extended"]) {
            form.extra.extended = true;
        } else if self.eat_all(&["front", "post"]) || self.eat("fp") {
            form.extra.post = Some(PostSide::Front);
        } else if self.eat_all(&["back", "post"]) || self.eat("bp") {
            form.extra.post = Some(PostSide::Back);
        } else if self.sees(&["crab", "st"]) || self.sees(&["crab", "stitch"]) {
            self.at += 2;
            form.extra.reverse = true;
            return Some(Named::Form(form));
        } else if let Some(form) = self.raised() {
            return Some(Named::Form(form));
        } else if let Some(form) = self.glued() {
            return Some(Named::Form(form));
        }
        if let Some(stem) = self.stem() {
            form.stem = stem;
            return Some(self.tail(form));
        }
        if form != StitchForm::plain(Stem::Single) {
            return None;
        }
        if self.eat_any(&["inc", "increase", "incs", "increases"]) {
            return Some(Named::Increase(self.usual_form()));
        }
        if self.eat_any(&["dec", "decrease", "invdec", "decs", "decreases"])
            || self.eat_all(&["inv", "dec"])
            || self.eat_all(&["invisible", "decrease"])
        {
            let _ = self.kind(0) == Some(&Kind::Number(1))
                && !self.is_followed_by_times()
                && self.eat_kind(&Kind::Number(1));
            return Some(Named::Form(StitchForm::together(self.usual_form().stem, 2)));
        }
        if self.eat_any(&["picot", "picots", "p"]) {
            return Some(Named::Picot(None));
        }
        None
    }

    fn is_followed_by_times(&self) -> bool {
        matches!(self.word(1), Some("times" | "time" | "more"))
    }

    /// What may stand behind a stem: "inc", "dec", "2 tog", "next 2 sts together" is the place's business.
    fn tail(&mut self, form: StitchForm) -> Named {
        if self.eat_any(&["inc", "increase"]) {
            return Named::Increase(form);
        }
        if self.eat_any(&["dec", "decrease"]) {
            return Named::Form(StitchForm { legs: 2, one_place: false, ..form });
        }
        if let (Some(Kind::Number(n)), Some("tog" | "together")) = (self.kind(0), self.word(1)) {
            let legs = u8::try_from(*n).unwrap_or(u8::MAX).max(1);
            self.at += 2;
            return Named::Form(StitchForm { legs, one_place: false, ..form });
        }
        if self.kind(0) == Some(&Kind::Number(2)) && self.word(1) == Some("inc") {
            // "dc2inc": two in one
            self.at += 2;
            return Named::Increase(form);
        }
        if self.eat_any(&["blo", "tbl"]) {
            return Named::Form(with_loop(form, LoopPart::Back));
        }
        if self.eat("flo") {
            return Named::Form(with_loop(form, LoopPart::Front));
        }
        Named::Form(form)
    }

    /// `sc2tog`, `tr3tog`.
    fn together_word(&mut self) -> Option<StitchForm> {
        let word = self.word(0)?.strip_suffix("tog")?;
        let digits = word.trim_start_matches(|c: char| !c.is_ascii_digit());
        let legs: u8 = digits.parse().ok().filter(|&n| n >= 1)?;
        let name = &word[..word.len() - digits.len()];
        let extended = stem_of_word(name, self).is_none();
        let stem = stem_of_word(name, self).or_else(|| stem_of_word(name.strip_prefix('e')?, self))?;
        self.at += 1;
        let mut form = StitchForm::together(stem, legs);
        form.extra.extended = extended;
        Some(form)
    }

    /// `fpdc`, `bpsc`, `dcfp`, `esc`, `edc`: one word for stem and modifier.
    fn glued(&mut self) -> Option<StitchForm> {
        let word = self.word(0)?;
        let mut form = StitchForm::plain(Stem::Single);
        let loops =
            [("blo", LoopPart::Back), ("bl", LoopPart::Back), ("flo", LoopPart::Front), ("fl", LoopPart::Front)];
        for (ending, part) in loops {
            // `scbl`, `hdcflo`
            if let Some(stem) = word.strip_suffix(ending).and_then(|w| stem_of_word(w, self)) {
                self.at += 1;
                return Some(with_loop(StitchForm::plain(stem), part));
            }
        }
        let rest = if let Some(rest) = word.strip_prefix("fp").or_else(|| word.strip_suffix("fp")) {
            form.extra.post = Some(PostSide::Front);
            rest
        } else if let Some(rest) = word.strip_prefix("bp").or_else(|| word.strip_suffix("bp")) {
            form.extra.post = Some(PostSide::Back);
            rest
        } else {
            form.extra.extended = true;
            word.strip_prefix('e')?
        };
        form.stem = stem_of_word(rest, self)?;
        self.at += 1;
        Some(form)
    }

    /// `RtrF`, `RFtr`, "raised treble front", "front raised tr", "tr/rb": post stitches as British patterns name them.
    fn raised(&mut self) -> Option<StitchForm> {
        const SIDES: [(&str, &str, PostSide); 2] = [("f", "front", PostSide::Front), ("b", "back", PostSide::Back)];
        let start = self.at;
        let word = self.word(0)?;
        for (letter, full, side) in SIDES {
            let post = |stem: Stem| {
                let mut form = StitchForm::plain(stem);
                form.extra.post = Some(side);
                form
            };
            let glued = word
                .strip_prefix('r')
                .and_then(|w| w.strip_suffix(letter).or_else(|| w.strip_prefix(letter)))
                .or_else(|| word.strip_prefix(letter)?.strip_prefix('r'));
            if let Some(stem) = glued.and_then(|w| stem_of_word(w, self)) {
                self.at += 1;
                return Some(post(stem));
            }
            let led = self.eat_all(&["raised", full]) || self.eat_all(&[full, "raised"]);
            if (led || self.eat("raised"))
                && let Some(stem) = self.stem()
                && (led || {
                    let _ = self.eat("at");
                    self.eat(full)
                })
            {
                return Some(post(stem));
            }
            self.at = start;
            // "tr/rf"
            if self.kind(1) == Some(&Kind::Other('/'))
                && self.word(2).is_some_and(|w| w.strip_prefix('r') == Some(letter))
                && let Some(stem) = stem_of_word(word, self)
            {
                self.at += 3;
                return Some(post(stem));
            }
        }
        None
    }

    /// "3-dc cluster", "5 dc popcorn", "3 hdc puff st", "4-tr bobble": the number and the stem make the definition.
    fn counted_cluster(&mut self) -> Option<Named> {
        let start = self.at;
        let legs = u8::try_from(self.number()?).ok().filter(|&n| n >= 2);
        let _ = self.eat_kind(&Kind::Dash);
        if self.word(0).is_some_and(|w| words::CHAIN.contains(&w)) && self.word(1) == Some("picot") {
            self.at += 2;
            return legs.map(|n| Named::Picot(Some(u32::from(n))));
        }
        let found = self.stem().and_then(|stem| Some((stem, self.cluster_word()?)));
        match (legs, found) {
            (Some(legs), Some((stem, meet))) => {
                let _ = self.eat_any(&["st", "stitch"]);
                Some(Named::Form(StitchForm::cluster(stem, legs, meet)))
            }
            _ => {
                self.at = start;
                None
            }
        }
    }

    fn cluster_word(&mut self) -> Option<Meet> {
        let meet = match self.word(0)? {
            "cluster" | "cl" | "clusters" => Meet::Head,
            "bobble" | "bo" | "puff" | "bobbles" => Meet::Both,
            "popcorn" | "pc" | "popcorns" => Meet::Closed,
            _ => return None,
        };
        self.at += 1;
        Some(meet)
    }
}

fn with_loop(mut form: StitchForm, part: LoopPart) -> StitchForm {
    form.extra.part = part;
    form
}

/// The stem of a one-word name.
fn stem_of_word(word: &str, cursor: &Cursor<'_>) -> Option<Stem> {
    words::STITCHES_BY_LETTER.begun_by(word).iter().find(|n| n.words == [word])?.stem(cursor.house.terms)
}
