//! Where a stitch goes: "in each of next 3 sts", "in 2nd ch from hook", "in same sp".

use super::class::is_shape;
use super::cursor::Cursor;
use super::lex::Kind;
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
            loop {
                let counted = matches!(self.kind(0), Some(Kind::Number(_)))
                    && matches!(self.word(1), Some("side" | "sides" | "edges" | "fingers"));
                let stops = |w: &str| {
                    matches!(w, "to" | "and" | "turn" | "having" | "working" | "work" | "with" | "placing" | "making")
                };
                let sides = self.sees(&["each", "of", "the"]) || self.sees(&["each", "side"]);
                if !(counted || sides || self.word(0).is_some_and(|w| super::remarks::is_plain_word(w) && !stops(w))) {
                    break;
                }
                self.at += 1;
            }
            if self.word(0) == Some("to") {
                // "across straight edge to opposite end"
                let before = self.at;
                self.at += 1;
                let _ = self.eat("the");
                let _ = self.eat_any(&["opposite", "other", "next"]);
                if !self.eat_any(&["end", "side", "edge", "corner", "point", "tip"]) {
                    self.at = before;
                }
            }
            let led = self
                .word(0)
                .is_some_and(|w| matches!(w, "having" | "working" | "work" | "with" | "placing" | "making"))
                || self.word(0) == Some("and") && matches!(self.word(1), Some("work" | "working" | "having"));
            let counted = matches!(self.kind(0), Some(Kind::Dash | Kind::Open(_)));
            if !self.at_break() && !counted && !led {
                self.at = here;
            }
            return Some(Target::Evenly { n: None }.into());
        }
        if self.word(0) == Some("at") {
            // "1 sc at end of each row"
            self.at += 1;
            if self.ends_of_each_row() {
                return Some(Target::Each { class: Class::RowEnd, less: 0, every: 1 }.into());
            }
            self.at = start;
        }
        if self.word(0) == Some("round")
            && matches!(self.word(1), Some("next" | "each" | "same" | "the" | "post" | "stem" | "following" | "foll"))
        {
            // "1 FPtr round next tr": the UK word
            self.at += 1;
            let found = self.place_here(true);
            self.at = if found.is_none() { start } else { self.at };
            return found;
        }
        if self.word(0) == Some("back") && matches!(self.word(1), Some("in" | "into" | "to")) {
            // "sl st back into 10th ch from hook"
            self.at += 1;
        }
        if self.eat("under") {
            let found = self.under_chain();
            self.at = if found.is_none() { start } else { self.at };
            return found.map(Where::from);
        }
        let _ = self.hook_from_behind();
        let round = matches!(self.word(0), Some("around" | "round"));
        let told = self.eat_any(words::INTO);
        // "in in each": a word printed twice
        let _ = told && (self.eat("to") || self.eat_any(&["in", "into"]));
        let mut found = self.place_here(told);
        if found.is_none() {
            self.at = start;
        }
        found = found.map(|f| Where { target: self.made_just_now(f.target, round), ..f });
        // "sl st around next sc of rnd 1": round a stitch is round its post
        let stitch = |target: &Target| {
            matches!(
                target,
                Target::Next { class: Class::Kind(_) | Class::Stitch, .. }
                    | Target::Each { class: Class::Kind(_) | Class::Stitch, .. }
                    | Target::First { class: Class::Kind(_) | Class::Stitch }
            )
        };
        if let Some(found) = found.as_mut().filter(|f| round && f.part.is_none() && stitch(&f.target)) {
            found.post = found.post.or(Some(PostSide::Front));
        }
        found
    }

    fn place_here(&mut self, told: bool) -> Option<Where> {
        if let Some(place) = self.each_loop().or_else(|| self.behind_a_petal().filter(|_| told)) {
            self.end_words();
            return Some(place);
        }
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
        let target = self.made_just_now(target, post.is_some());
        let part = part.or_else(|| self.loop_words());
        self.end_words();
        let part = part.or_else(|| self.in_loop_behind());
        let _ = told && self.eat_any(&["worked", "made"]);
        if told && self.word(0) == Some("at") && !self.sees(&["at", "end"]) && !self.sees(&["at", "beg"]) {
            // "in next st at tip of ear"
            let _ = self.whereabouts();
        }
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

    pub(super) fn target(&mut self, told: bool) -> Option<Target> {
        let _ = self.eat_any(&["the", "a", "an", "any"]);
        if let Some(shaped) = self.shaped() {
            return Some(shaped);
        }
        if self.side_of_stitch() {
            return Some(Target::Next { n: 1, class: Class::RowEnd });
        }
        if let Some(corner) = self.corner_by_compass() {
            return Some(corner);
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
            // "in same sl as last sl st"
            let _ = self.class().is_some() || self.eat_any(&["place", "sl"]);
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
            // "in joining"
            let alone = self.at_break();
            let _ = self.eat("sl");
            return if alone { Some(Target::Same) } else { self.class().map(|_| Target::Same) };
        }
        if self.ends_of_each_row() {
            return Some(Target::Each { class: Class::RowEnd, less: 0, every: 1 });
        }
        if self.eat_any(&["each", "ea", "every", "all"]) {
            return self.each();
        }
        if self.eat_any(&["next", "following", "foll"]) {
            if let Some(class) = self.space() {
                return Some(Target::Next { n: 1, class });
            }
            if let Some(target) = self.nth_place() {
                return Some(target);
            }
            let n = self.number();
            let class = self.class().unwrap_or_default();
            if n.is_none() && class == Class::Chain && self.of_turning_chain() {
                return Some(Target::TurningTop);
            }
            let class = self.either_class(class);
            let class = if n.is_none() { self.at_tip(class) } else { class };
            return Some(Target::Next { n: n.unwrap_or(1), class });
        }
        if self.eat("last") {
            let row = |w: &str| words::ROW.contains(&w) || words::ROUND.contains(&w);
            if !self.row_ends && self.word(0).is_some_and(row) {
                // "sc across last row": a row is no place in it
                return None;
            }
            if let Some(class) = self.space() {
                return Some(Target::Last { n: 1, class });
            }
            let n = self.number();
            let class = self.class().unwrap_or_default();
            return Some(Target::Last { n: n.unwrap_or(1), class });
        }
        if self.first_told() {
            if let Some(class) = self.space() {
                // "first 2ch space"
                return Some(Target::First { class });
            }
            if let Some(n) = self.number() {
                return Some(Target::Next { n, class: self.class().unwrap_or_default() });
            }
            let class = self.class().unwrap_or_default();
            let here = self.at;
            if class == Class::Chain && self.eat("of") && self.eat_any(words::CHAIN) {
                // "sl st in first ch of ch-12": the loop just chained is closed
                let _ = self.eat_kind(&Kind::Dash);
                if let Some(n) = self.number()
                    && self.at_break()
                {
                    return Some(Target::FromHook { n });
                }
            }
            self.at = here;
            return Some(Target::First { class });
        }
        if self.eat_any(&["center", "centre", "middle"]) {
            if !self.clone().corner_stitch_named() && self.eat_any(&["point", "corner", "peak"]) {
                // of a shawl: the space at the point
                let _ = self.eat_any(words::SPACE);
                return Some(Target::Next { n: 1, class: Class::Corner(None) });
            }
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
        if told && let Some(target) = self.nth_place() {
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
        if self.eat_any(&["end", "final"]) {
            // "4 sc in end ch"
            if let Some(class @ (Class::Chain | Class::Stitch | Class::Kind(_))) = self.class() {
                return Some(Target::Last { n: 1, class });
            }
            self.at -= 1;
        }
        let base = self.at;
        let _ = self.eat_any(words::STITCH);
        if self.eat_all(&["at", "the", "base"]) || self.eat_all(&["at", "base"]) {
            let of = self.eat("of");
            let _ = self.eat("the");
            let last = self.eat("last");
            let named = self.beginning_chain() || self.class().is_some();
            let _ = self.eat_kind(&Kind::Dash);
            let counted = self.number().is_some();
            // "at base of left strap" is no place on this row
            if !of || last || named || counted {
                return Some(Target::Same);
            }
        }
        self.at = base;
        if self.eat("base") || self.sees(&["st", "at", "base"]) || self.sees(&["stitch", "at", "base"]) {
            let _ = self.eat_any(words::STITCH) && self.eat("at") && self.eat("base");
            let _ = self.eat("of");
            let _ = self.eat("the");
            let first = self.eat_any(&["first", "beg", "beginning"]);
            let _ = first || self.eat_any(&["last", "next", "center", "centre", "same"]);
            let chain = self.word(0).is_some_and(|w| words::CHAIN.contains(&w));
            if first && chain && !self.house.first_row {
                // "in base of first ch-6": where the round began
                let _ = self.class();
                let _ = self.eat_kind(&Kind::Dash);
                let _ = self.number();
                return Some(Target::First { class: Class::Any });
            }
            let _ = self.beginning_chain()
                || self.class().is_some() && {
                    let _ = self.eat_kind(&Kind::Dash);
                    let _ = self.number();
                    true
                };
            return Some(Target::Same);
        }
        let tip = self.sees(&["tip", "of", "first"]) || self.sees(&["point", "of", "first"]);
        if (tip || self.sees(&["top", "of", "first"])) && !self.word(3).is_some_and(|w| words::CHAIN.contains(&w)) {
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
            // "point tr": the stitch that makes it
            let _ = self.class();
            if self.eat("of") {
                let _ = self.eat("the");
                let _ = self.eat_any(words::LIMBS)
                    || self.eat_any(words::CHAIN)
                    || self.eat_any(&["point", "spike", "ray"]);
            }
            return Some(Target::Next { n: 1, class: Class::Tip });
        }
        let named = self.at;
        if self.eat_any(&["magic", "adjustable", "sliding", "thread"]) && self.eat_any(&["ring", "circle", "loop"]) {
            return Some(Target::Ring);
        }
        self.at = named;
        // "make a magic ring and work 12 hdc into it"
        let it = told
            && self.word(0) == Some("it")
            && self.tokens[..self.at]
                .iter()
                .rev()
                .skip(1)
                .take(12)
                .any(|t| matches!(&t.kind, Kind::Word(w) if matches!(w.as_str(), "ring" | "circle")));
        if it && self.eat("it")
            || self.eat_any(&["ring", "circle"])
            || self.eat_all(&["this", "ring"])
            || self.eat_all(&["center", "of", "ring"])
            || self.eat_any(&["mr"])
            || self.ring_by_letters()
        {
            return Some(Target::Ring);
        }
        if told && self.formed_by_join() {
            return Some(Target::Same);
        }
        if told && self.opening_space() {
            return Some(Target::Next { n: 1, class: Class::OpeningSpace });
        }
        if self.beginning_chain() {
            return Some(Target::TurningTop);
        }
        if !told {
            return None;
        }
        let start = self.at;
        if self.eat_any(words::BEGINNING) {
            // "join in beg sc"
            if let Some(class @ Class::Kind(_)) = self.class() {
                return Some(Target::First { class });
            }
            self.at = start;
        }
        if let Some(class) = self.corner_of_chains().or_else(|| self.space()) {
            // "[3 dc, ch 1] in ch-1 sp to beg ch": in each
            return Some(match self.up_to() {
                Some(stop) => Target::UpTo { class, stop: Box::new(stop) },
                None if self.ends_at_beginning_chain() => Target::Each { class, less: 0, every: 1 },
                None => Target::Next { n: 1, class },
            });
        }
        if let Some(n) = self.number() {
            if let Some(class) = self.class() {
                return Some(Target::Next { n, class });
            }
            self.at = start;
        }
        let led = self.word(0).is_some_and(|w| matches!(w, "top" | "turning" | "skipped" | "end" | "unused"));
        let named = if led && self.word(1).is_some_and(|w| words::CHAIN.contains(&w)) { self.at + 1 } else { self.at };
        self.at = named;
        let class = self.class()?;
        let class = self.at_tip(class);
        if led && class != Class::Tip && named > start {
            self.at = start;
            return None;
        }
        Some(Target::Next { n: 1, class })
    }

    /// "of turning ch", "of the tch" behind "next ch".
    fn of_turning_chain(&mut self) -> bool {
        let start = self.at;
        if self.eat("of") {
            let _ = self.eat("the");
            if self.beginning_chain() {
                return true;
            }
        }
        self.at = start;
        false
    }

    /// "cluster", "shell" where the pattern has not defined it by name.
    fn cluster_named(&mut self) -> bool {
        self.eat_any(&["cluster", "cl", "popcorn", "puff", "bobble", "shell", "group"])
    }

    /// Behind "each": of next 3, of last 3, st around, every 3rd, row end.
    fn each(&mut self) -> Option<Target> {
        let _ = self.eat("of");
        let _ = self.eat("the");
        if self.word(0).is_some_and(|w| matches!(w, "foll" | "following")) && self.word(1).is_some() {
            // "each following tr": all that follow
            let here = self.at;
            self.at += 1;
            if self.clone().number().is_none()
                && let Some(class) = self.class()
                && self.at_break()
            {
                return Some(Target::Each { class, less: 0, every: 1 });
            }
            self.at = here;
        }
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
        let counted = self.at;
        // "each 2ch corner sp": the number is that of its chains
        let by_chains = self.corner_of_chains().is_some() || self.space().is_some();
        self.at = counted;
        if let Some(n) = if by_chains { None } else { self.number() } {
            let class = self.class().unwrap_or_default();
            if n > 1 || !(self.word(0).is_some_and(|w| words::TO_END.contains(&w)) || self.to_end_ahead()) {
                return Some(Target::Next { n, class });
            }
            // "each 1 sc around": each sc
            self.at = counted + 1;
        }
        let ends = self.at_break()
            || self.word(0).is_some_and(|w| words::TO_END.contains(&w))
            || matches!(self.kind(0), Some(Kind::Open(_) | Kind::Dash | Kind::Equals));
        let class = match self.class() {
            Some(class) => class,
            // "3 sc in each point": its tips are the corners of a leaf or star
            None if self.eat_any(&["point", "points", "tip", "tips"]) => Class::Corner(None),
            // "2 sc in each around", "sc in each": of the stitches
            None if ends => Class::Stitch,
            None => return None,
        };
        if every == 1 && self.and_row_ends(&class) {
            return Some(Target::Evenly { n: None });
        }
        let class = self.either_class(class);
        let class = self.and_class(class);
        let (less, of) = self.read_to_last().unwrap_or_default();
        if less > 0 && every == 1 && is_shape(&class) && matches!(of, Class::Stitch | Class::Kind(_)) {
            // "V-st in each V-st to last st": the stitch left is no V-st
            return Some(Target::UpTo { class, stop: Box::new(Target::Last { n: less, class: of }) });
        }
        if let (0, 1, Some(stop)) = (less, every, self.up_to()) {
            return Some(Target::UpTo { class, stop: Box::new(stop) });
        }
        Some(Target::Each { class, less, every })
    }

    fn ordinal_target(&mut self) -> Option<Target> {
        let start = self.at;
        let n = self.ordinal()?;
        let stitch = self.at;
        if self.eat_any(words::STITCH) && self.eat("of") {
            // "join in the 3rd st of ch 6", "to 3rd st of 6 ch"
            let _ = self.eat("the");
            let before = self.number().is_some();
            let chain = self.eat_any(words::BEGINNING) | self.eat_any(words::CHAIN);
            let _ = self.eat_any(words::CHAIN) || self.eat_kind(&Kind::Dash);
            let _ = before || self.number().is_some();
            if chain {
                return Some(Target::TurningTop);
            }
        }
        self.at = stitch;
        if self.eat("of") {
            // "into 3rd of 3 ch", "to 4th of beg ch-4"
            let _ = self.eat("the");
            let begun = self.eat_any(words::BEGINNING) | self.eat("first");
            let counted = self.number().is_some() && {
                let _ = self.eat_kind(&Kind::Dash);
                self.eat_any(words::CHAIN)
            };
            if counted {
                return Some(Target::TurningTop);
            }
            // "3rd of ch-4"
            if self.eat_any(words::CHAIN) {
                let _ = self.eat_kind(&Kind::Dash);
                let length = self.number();
                if !begun && length.is_none_or(|length| n > length) {
                    self.at = start;
                    return None;
                }
                return Some(Target::TurningTop);
            }
        }
        self.at = stitch;
        if self.eat_any(words::STITCH) && self.eat("from") {
            let _ = self.eat_any(&["the", "your"]);
            if self.eat_any(words::HOOK) {
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
                let _ = self.eat_any(&["the", "your"]);
                if self.eat_any(words::HOOK) {
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
}
