//! Where a stitch goes: "in each of next 3 sts", "in 2nd ch from hook", "in same sp".

use super::cursor::Cursor;
use super::lex::Kind;
use super::stitch::Named;
use super::words;
use crate::craft::{LoopPart, PostSide};
use crate::instructions::{Class, Target};

/// A place as named, with the loop or post it speaks of.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Where {
    pub target: Target,
    pub part: Option<LoopPart>,
    pub post: Option<PostSide>,
}

impl From<Target> for Where {
    fn from(target: Target) -> Self {
        Where { target, part: None, post: None }
    }
}

impl Cursor<'_> {
    /// "in …": the preposition may be left out before `next`, `each`, `last`, `first`, `same` and ordinals.
    pub fn place(&mut self) -> Option<Where> {
        let start = self.at;
        let _ = self.eat("all") || self.eat("both");
        if self.eat("evenly") {
            let _ = self.eat_any(&["spaced", "spread"]);
            let _ = self.eat_any(words::INTO) || self.eat("up") || self.eat("down");
            let _ = self.eat("the");
            let _ = self.row_end_words() || self.eat_any(&["edge", "side", "sides"]);
            self.end_words();
            // "across bottom edge of Cuff", "around entire piece": where, in words
            let here = self.at;
            while self.word(0).is_some_and(|w| super::remarks::is_plain_word(w) && !matches!(w, "to" | "and" | "turn"))
            {
                self.at += 1;
            }
            if !self.at_break() && self.kind(0) != Some(&Kind::Dash) {
                self.at = here;
            }
            return Some(Target::Evenly { n: None }.into());
        }
        let told = self.eat_any(words::INTO);
        // "in in each": a word printed twice
        let _ = told && (self.eat("to") || self.eat_any(&["in", "into"]));
        let found = self.place_here(told);
        if found.is_none() {
            self.at = start;
        }
        found
    }

    fn place_here(&mut self, told: bool) -> Option<Where> {
        let (part, post) = (self.loop_words(), self.post_words());
        let loops = part.is_some() || post.is_some();
        let _ = loops && (self.eat("of") || self.eat_any(&["in", "into"]));
        let target = match self.target(told || loops) {
            Some(target) => target,
            None if loops && self.word(0).is_some_and(|w| words::TO_END.contains(&w) || w == "to") => {
                // "hdc in back loops to end"
                Target::Each { class: Class::Stitch, less: 0, every: 1 }
            }
            None if loops => Target::NEXT,
            None => return None,
        };
        let part = part.or_else(|| self.loop_words());
        self.end_words();
        let _ = told && self.eat_any(&["worked", "made"]);
        let target = match target {
            Target::Next { n, class } => match self.rows_below() {
                Some(rows) => Target::Below { n, class, rows },
                None => Target::Next { n, class },
            },
            Target::Same => match self.rows_below() {
                Some(rows) => Target::Below { n: 1, class: Class::Any, rows },
                None => Target::Same,
            },
            target => target,
        };
        if matches!(target, Target::Next { n: 2.., .. }) {
            self.arrives_at();
        }
        Some(Where { target, part, post })
    }

    fn target(&mut self, told: bool) -> Option<Target> {
        let _ = self.eat_any(&["the", "a", "an", "any"]);
        if let Some(shaped) = self.shaped() {
            return Some(shaped);
        }
        if let Some(target) = self.skipped_place() {
            return Some(target);
        }
        if self.eat_any(&["corresponding", "corresp"]) {
            return self.class().map(|class| Target::Next { n: 1, class });
        }
        if let Some(target) = self.indicated() {
            return Some(target);
        }
        if self.eat("same") || told && self.eat("that") {
            let _ = self.eat("same");
            let _ = self.eat_any(&["first", "last", "next"]);
            let _ = self.class();
            let _ = self.eat_any(&["place"]);
            if self.eat_all(&["at", "base", "of"]) || self.eat_all(&["at", "the", "base", "of"]) {
                let _ = self.eat_any(&["the", "last", "same"]) && self.eat("last");
                let _ = self.beginning_chain() || self.class().is_some();
                let _ = self.eat_kind(&Kind::Dash);
                let _ = self.number();
            }
            self.eat_as_clause();
            return Some(Target::Same);
        }
        if self.eat_any(&["joining", "joined"]) {
            let _ = self.eat("sl");
            return self.class().map(|_| Target::Same);
        }
        if self.eat_any(&["each", "ea", "every", "all"]) {
            return self.each();
        }
        if self.eat_any(&["next", "following", "foll"]) {
            if let Some(class) = self.space() {
                return Some(Target::Next { n: 1, class });
            }
            let n = self.number();
            let class = self.class().unwrap_or_default();
            let class = self.either_class(class);
            return Some(Target::Next { n: n.unwrap_or(1), class });
        }
        if self.eat("last") {
            if let Some(class) = self.space() {
                return Some(Target::Last { n: 1, class });
            }
            let n = self.number();
            let class = self.class().unwrap_or_default();
            return Some(Target::Last { n: n.unwrap_or(1), class });
        }
        if self.eat_any(&["first", "1st"]) || self.eat_kind(&Kind::Ordinal(1)) {
            if let Some(class) = self.space() {
                // "first 2ch space"
                return Some(Target::First { class });
            }
            if let Some(n) = self.number() {
                return Some(Target::Next { n, class: self.class().unwrap_or_default() });
            }
            let class = self.class().unwrap_or_default();
            return Some(Target::First { class });
        }
        if self.eat_any(&["center", "centre", "middle"]) {
            let class = self.class();
            if self.eat("of") {
                let _ = self.eat_any(&["next", "the", "each", "first", "last"]);
                if let (None, Some(class)) = (&class, self.space()) {
                    // the middle of an arch is the arch
                    return Some(Target::Next { n: 1, class });
                }
                let _ = self.number().map(|_| self.eat_kind(&Kind::Dash));
                let _ = self.class();
                let _ = self.eat_any(&["group", "corner"]);
            }
            return Some(Target::Centre { class: class.unwrap_or_default() });
        }
        if let Some(target) = self.ordinal_target() {
            return Some(target);
        }
        if self.sees(&["end", "of"])
            && matches!(self.word(2), Some("foundation" | "beg" | "beginning" | "starting" | "chain" | "ch"))
        {
            self.at += 2;
            let _ = self.eat_any(&["foundation", "beg", "beginning", "starting"]);
            if self.eat_any(words::CHAIN) {
                return Some(Target::Next { n: 1, class: Class::ChainEnd });
            }
        }
        let base = self.at;
        let _ = self.eat_any(words::STITCH);
        if self.eat_all(&["at", "the", "base"]) || self.eat_all(&["at", "base"]) {
            let _ = self.eat("of");
            let _ = self.eat("the");
            let _ = self.eat("last");
            let _ = self.beginning_chain() || self.class().is_some();
            let _ = self.eat_kind(&Kind::Dash);
            let _ = self.number();
            return Some(Target::Same);
        }
        self.at = base;
        if self.eat("base") || self.sees(&["st", "at", "base"]) || self.sees(&["stitch", "at", "base"]) {
            let _ = self.eat_any(words::STITCH) && self.eat("at") && self.eat("base");
            let _ = self.eat("of");
            let _ = self.eat("the");
            let _ = self.beginning_chain()
                || self.class().is_some() && {
                    let _ = self.eat_kind(&Kind::Dash);
                    let _ = self.number();
                    true
                };
            return Some(Target::Same);
        }
        if self.sees(&["top", "of", "first"]) && !self.word(3).is_some_and(|w| words::CHAIN.contains(&w)) {
            // "ss into top of first cluster"
            let here = self.at;
            self.at += 3;
            if self.class().is_some() || self.cluster_named() {
                return Some(Target::First { class: Class::Stitch });
            }
            self.at = here;
        }
        if self.eat("top") {
            let _ = self.eat("of");
            let _ = self.eat("the");
            if self.beginning_chain() {
                return Some(Target::TurningTop);
            }
            // "top of beg sc": the first stitch of the round
            let _ = self.eat_any(words::BEGINNING) || self.eat("first");
            return match self.class()? {
                class @ Class::Kind(_) => Some(Target::First { class }),
                _ => None,
            };
        }
        if self.eat_any(&["rem", "remaining"]) {
            let class = self.class().unwrap_or_default();
            return Some(Target::Each { class, less: 0, every: 1 });
        }
        if self.eat_any(&["tip", "point"]) {
            if self.eat("of") {
                let _ = self.eat("the");
                let _ = self.eat_any(words::LIMBS) || self.eat_any(words::CHAIN);
            }
            return Some(Target::Next { n: 1, class: Class::Tip });
        }
        if self.eat_any(&["ring", "circle"])
            || self.eat_all(&["magic", "ring"])
            || self.eat_all(&["magic", "circle"])
            || self.eat_all(&["magic", "loop"])
            || self.eat_all(&["center", "of", "ring"])
            || self.eat_any(&["mr"])
        {
            return Some(Target::Ring);
        }
        if self.beginning_chain() {
            return Some(Target::TurningTop);
        }
        if !told {
            return None;
        }
        let start = self.at;
        if let Some(n) = self.number() {
            if let Some(class) = self.class() {
                return Some(Target::Next { n, class });
            }
            self.at = start;
        }
        let class = self.class()?;
        Some(Target::Next { n: 1, class })
    }

    /// "cluster", "shell" where the pattern has not defined it by name.
    fn cluster_named(&mut self) -> bool {
        self.eat_any(&["cluster", "cl", "popcorn", "puff", "bobble", "shell", "group"])
    }

    /// Behind "each": of next 3, of last 3, st around, every 3rd, row end.
    fn each(&mut self) -> Option<Target> {
        let _ = self.eat("of");
        let _ = self.eat("the");
        if self.eat_any(&["next", "foll", "following", "first"]) {
            let n = self.number().unwrap_or(1);
            let class = self.class().unwrap_or_default();
            let class = self.either_class(class);
            return Some(Target::Next { n, class });
        }
        if self.eat("last") {
            let n = self.number().unwrap_or(1);
            let class = self.class().unwrap_or_default();
            return Some(Target::Last { n, class });
        }
        let _ = self.eat_any(&["rem", "remaining"]);
        let every = if self.eat("other") { 2 } else { self.ordinal().unwrap_or(1) };
        if let Some(n) = self.number() {
            let class = self.class().unwrap_or_default();
            return Some(Target::Next { n, class });
        }
        let class = self.class()?;
        let class = self.and_class(class);
        let less = self.read_to_last().map_or(0, |(n, _)| n);
        if let (0, 1, Some(stop)) = (less, every, self.up_to()) {
            return Some(Target::UpTo { class, stop: Box::new(stop) });
        }
        Some(Target::Each { class, less, every })
    }

    /// "next 3 sts (ch-1 sp or hdc)": what is meant by the stitches, told in a bracket.
    fn either_class(&mut self, class: Class) -> Class {
        let start = self.at;
        if class == Class::Stitch && matches!(self.kind(0), Some(Kind::Open(_))) {
            self.at += 1;
            let first = self.class();
            let joined = self.eat_any(&["or", "and"]);
            let second = self.class();
            let spaces = |c: &Option<Class>| matches!(c, Some(Class::Space(_)));
            if joined
                && first.is_some()
                && second.is_some()
                && (spaces(&first) || spaces(&second))
                && matches!(self.kind(0), Some(Kind::Close(_)))
            {
                self.at += 1;
                return Class::All;
            }
        }
        self.at = start;
        class
    }

    /// "each dc and ch-1 sp": stitches and spaces alike; "each ch and sc": chains one by one.
    fn and_class(&mut self, class: Class) -> Class {
        let start = self.at;
        if self.eat_any(&["and", "or"]) {
            let _ = self.eat_any(&["each", "in"]);
            let _ = self.eat("each");
            let kind = |c: &Class| matches!(c, Class::Stitch | Class::Kind(_));
            match self.class() {
                Some(Class::Space(_)) if kind(&class) => return Class::All,
                Some(other) if matches!(class, Class::Space(_)) && kind(&other) => return Class::All,
                Some(Class::Chain) if kind(&class) => return Class::AllChains,
                Some(other) if class == Class::Chain && kind(&other) => return Class::AllChains,
                Some(other) if kind(&class) && kind(&other) => return Class::Stitch,
                _ => {}
            }
        }
        self.at = start;
        class
    }

    /// "around", "across", "to end of row", then "to last 3 sts": how many are left, of what.
    pub fn read_to_last(&mut self) -> Option<(u32, Class)> {
        self.end_words();
        let start = self.at;
        let _ = self.eat_any(&["up", "until", "til", "till", "to", "within"]);
        let _ = self.eat("to");
        let _ = self.eat("the");
        if self.at > start && self.eat("last") {
            let n = self.number().unwrap_or(1);
            return Some((n, self.class().unwrap_or_default()));
        }
        if self.at > start && self.beginning_chain() {
            // "across to turning ch": all but the stitch it counts for
            return Some((1, Class::Any));
        }
        self.at = start;
        None
    }

    fn ordinal_target(&mut self) -> Option<Target> {
        let start = self.at;
        let n = self.ordinal()?;
        let stitch = self.at;
        if self.eat_any(words::STITCH) && self.eat("of") {
            // "join in the 3rd st of ch 6"
            let _ = self.eat("the");
            let chain = self.eat_any(words::BEGINNING) | self.eat_any(words::CHAIN);
            let _ = self.eat_any(words::CHAIN) || self.eat_kind(&Kind::Dash);
            let _ = self.number();
            if chain {
                return Some(Target::TurningTop);
            }
        }
        self.at = stitch;
        if self.eat_any(words::STITCH) && self.eat("from") {
            let _ = self.eat("the");
            if self.eat_any(&["hook", "hk"]) {
                return Some(Target::FromHook { n });
            }
        }
        self.at = stitch;
        if self.eat_any(words::CHAIN) {
            let _ = self.eat("st") || self.eat("stitch");
            if self.at_break() || self.sees(&["and"]) {
                // "ch 5, sc in 2nd ch": from the hook is understood
                return Some(Target::FromHook { n });
            }
            if self.eat("from") {
                let _ = self.eat("the");
                if self.eat_any(&["hook", "hk"]) {
                    return Some(Target::FromHook { n });
                }
            } else if self.eat("of") {
                let _ = self.eat("the");
                if self.beginning_chain() {
                    return Some(Target::TurningTop);
                }
            }
        }
        self.at = start;
        None
    }

    /// "beg ch-3", "turning ch", "tch", "beginning chain 3", "ch-3" behind "top of".
    pub fn beginning_chain(&mut self) -> bool {
        let start = self.at;
        if self.eat_any(&["tch", "bch"]) || self.eat_all(&["t", "ch"]) {
            return true;
        }
        let _ = self.at > 0 && self.tokens[..self.at].last().is_some_and(is_top_of) && self.eat("first");
        let named =
            self.eat_any(words::BEGINNING) || (self.at > 0 && self.tokens[..self.at].last().is_some_and(is_top_of));
        let _ = named && self.eat_kind(&Kind::Dash);
        // "top of 3 ch": the UK order
        let before = self.at;
        let counted = named && self.number().is_some() && {
            let _ = self.eat_kind(&Kind::Dash);
            self.eat_any(words::CHAIN)
        };
        if counted {
            return true;
        }
        self.at = before;
        if named && self.eat_any(words::CHAIN) {
            let after = self.at;
            let _ = self.eat_kind(&Kind::Dash);
            if self.number().is_none() {
                self.at = after;
            }
            return true;
        }
        self.at = start;
        false
    }

    /// What kind of place: "sts", "ch-2 sp", "dc", "row ends", "corner sp".
    pub fn class(&mut self) -> Option<Class> {
        let start = self.at;
        if self.eat("corner") {
            return Some(match self.class() {
                Some(shape @ (Class::Group(_) | Class::Run { .. })) => shape,
                Some(Class::Kind(_) | Class::Stitch) => Class::CornerStitch,
                _ => Class::Corner,
            });
        }
        if self.eat_all(&["row", "end"]) || self.eat_all(&["row", "ends"]) || self.eat_all(&["end", "of", "row"]) {
            return Some(Class::RowEnd);
        }
        if self.eat_any(words::STITCH) {
            return Some(if self.house.spaces_count || self.stitch_or_space() { Class::All } else { Class::Stitch });
        }
        if let Some(space) = self.space().or_else(|| self.run_of_stitches()) {
            return Some(space);
        }
        if self.eat_any(words::CHAIN) {
            let _ = self.eat_any(words::STITCH);
            return Some(Class::Chain);
        }
        if self.eat_any(words::SPACE) {
            return Some(Class::Space(None));
        }
        match self.stitch() {
            Some(Named::Form(form)) => Some(Class::Kind(form.to_string())),
            Some(Named::Special(k)) => Some(self.special_class(k)),
            _ => {
                self.at = start;
                self.shape_word()
            }
        }
    }

    /// "ch-2 sp", "ch 2 space", "2-ch sp", "ch sp".
    pub fn space(&mut self) -> Option<Class> {
        let start = self.at;
        let before = self.number();
        if before.is_some() {
            let _ = self.eat_kind(&Kind::Dash);
        }
        if self.eat_any(words::CHAIN) {
            let _ = self.eat_kind(&Kind::Dash);
            let after = if before.is_none() { self.number() } else { None };
            let _ = self.eat_kind(&Kind::Dash);
            if self.word(0) == Some("corner") && self.word(1).is_some_and(|w| words::SPACE.contains(&w)) {
                self.at += 1;
            }
            if self.eat_any(words::SPACE) {
                return Some(Class::Space(before.or(after)));
            }
        }
        self.at = start;
        None
    }

    /// "as joining", "as last sl st", "as ch-3": what "same" is the same as.
    fn eat_as_clause(&mut self) {
        let start = self.at;
        if !self.eat_any(&["as", "where"]) {
            return;
        }
        let _ = self.eat_any(&["the", "last", "first", "your"]);
        let _ = self.eat_any(&["last", "first"]);
        let named = self.eat_any(&["joining", "join", "joined", "before"]) | self.class().is_some();
        if named {
            let _ = self.eat_kind(&Kind::Dash);
            let _ = self.number();
            let _ = self.eat_any(&["worked", "made", "join"]);
        } else {
            self.at = start;
        }
    }
}

fn is_top_of(token: &super::lex::Token) -> bool {
    matches!(&token.kind, Kind::Word(w) if matches!(w.as_str(), "of" | "the" | "first"))
}
