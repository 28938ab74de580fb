//! Places as old books name them: "into the 7 chain", "in the 3rd of the 6", "into successive loops".
//!
//! A loop is a stitch of the row below, but for a loop of chain.

use super::super::cursor::Cursor;
use super::super::lex::Kind;
use super::super::words;
use super::quantity::PICOT;
use crate::instructions::{Class, Pick, Target, Which};

/// A place, and the stitches passed on the way to it where its ordinal counts them.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Spot {
    pub target: Target,
    pub skip: u32,
    /// True where it was called a loop: a stitch, or where many stitches go into it a loop of chain.
    pub looped: bool,
    /// "into successive loops": each stitch in the next place.
    pub successive: bool,
}

impl Spot {
    /// The place for `n` stitches at once.
    pub fn holding(self, n: u32) -> Spot {
        let room = |class: Class| if class == Class::Stitch { Class::Space(None) } else { class };
        if !self.looped || n < MANY {
            return self;
        }
        let target = match self.target {
            Target::Next { n: 1, class } => Target::Next { n: 1, class: room(class) },
            Target::Each { class, less, every } => Target::Each { class: room(class), less, every },
            target => target,
        };
        Spot { target, ..self }
    }
}

/// So many stitches in one go into a loop of chain, not into a stitch; common practice, no source.
const MANY: u32 = 4;

impl From<Target> for Spot {
    fn from(target: Target) -> Self {
        Spot { target, skip: 0, looped: false, successive: false }
    }
}

/// Words before a place.
const INTO: &[&str] =
    &["in", "into", "on", "upon", "over", "under", "underneath", "through", "round", "around", "at", "to", "inside"];
/// Words before a place that say the chain is worked round and not pierced.
const ROUND_IT: &[&str] = &["over", "under", "underneath", "round", "around", "through"];
/// Openings of the row below.
const HOLES: &[&str] = &[
    "hole", "holes", "space", "spaces", "arch", "arches", "bar", "bars", "scallop", "scallops", "opening", "openings",
    "lp", "lps",
];
/// A stitch of any kind; "loop" is the part of a stitch that the hook takes up.
const LOOPS: &[&str] = &["loop", "loops", "stitch", "stitches", "st", "sts"];
/// Ends of a shape that are one stitch.
const POINTS: &[&str] = &["point", "tip", "end", "bottom", "top", "corner"];
/// Figures of the row below.
pub(super) const SHAPES: &[&str] = &[
    "trefoil", "trefoils", "petal", "petals", "leaf", "leaves", "shell", "shells", "group", "groups", "fan", "fans",
    "vandyke", "vandykes", "figure", "star", "rosette", "flower", "tuft", "tufts", "cluster", "clusters", "square",
];
/// What closed chains are called.
const RINGS: &[&str] = &["ring", "circle", "round"];

/// What a place's noun names.
#[derive(Clone, Debug, PartialEq)]
enum Noun {
    /// "the 7 chain", "the chain".
    Chain,
    /// A loop of chain, a hole.
    Hole,
    Stitch,
    /// A stitch, but for a place that many stitches go into.
    Loop,
    Kind(String),
    Picot,
    Ring,
    /// A figure of the row below by its name: it is entered at its middle.
    Shape,
    /// Nothing: "the next".
    Untold,
}

impl Cursor<'_> {
    /// A place with the word before it.
    pub(super) fn old_place(&mut self) -> Option<Spot> {
        let start = self.at;
        let found = self.old_place_here();
        if found.is_none() {
            self.at = start;
        }
        found
    }

    fn old_place_here(&mut self) -> Option<Spot> {
        if self.eat_all(&["close", "together"]) {
            let _ = self.eat_kind(&Kind::Comma);
        }
        let back = self.at;
        let _ = self.eat_kind(&Kind::Comma);
        if !self.word(0).is_some_and(|w| INTO.contains(&w)) {
            self.at = back;
        }
        let start = self.at;
        let round_it = self.word(0).is_some_and(|w| ROUND_IT.contains(&w));
        if !self.eat_any(INTO) {
            return self.eat_any(&["between"]).then(|| self.between_two()).flatten();
        }
        // "to the end" is no place
        if self.tokens[start].kind == Kind::Word("to".into()) && !matches!(self.word(0), Some("the" | "each" | "same"))
        {
            return None;
        }
        if self.eat("successive") {
            let named = self.eat_any(LOOPS) || self.eat_any(words::CHAIN);
            return named.then_some(Spot { target: Target::NEXT, skip: 0, looped: false, successive: true });
        }
        let to_end = self.sees(&["the", "end"])
            && !self.word(2).is_some_and(|w| LOOPS.contains(&w) || words::CHAIN.contains(&w));
        if to_end || self.sees(&["the", "row"]) || self.sees(&["all"]) {
            return None;
        }
        self.eat_determiner();
        let spot = self.named_place(round_it)?;
        self.of_which_row().then_some(spot)
    }

    fn eat_determiner(&mut self) {
        let _ = self.eat_any(&["the", "this", "that", "these", "those", "a", "an", "any", "its"]);
    }

    /// "the next 2 loops", "each 3 chain", "the 4th of the 8 chain", "the centre of each loop of chain".
    fn named_place(&mut self, round_it: bool) -> Option<Spot> {
        if self.eat_any(&["same", "said"]) {
            let _ = self.ordinal();
            let _ = self.eat_any(&["place", "stitch", "loop", "hole", "space", "chain"]) || self.class().is_some();
            return Some(Target::Same.into());
        }
        if let Some(part) = self.part_of_figure() {
            return Some(part.into());
        }
        if self.eat_any(&["centre", "center", "middle"]) {
            return self.middle();
        }
        if self.eat("end") && !matches!(self.word(0), None | Some("of")) {
            let noun = self.noun();
            return (noun != Noun::Untold).then(|| Target::Last { n: 1, class: class_of(&noun, None) }.into());
        }
        if self.top_of_chain() {
            return Some(Target::TurningTop.into());
        }
        if self.eat_all(&["top", "of"]) || self.eat_all(&["head", "of"]) || self.eat_all(&["tops", "of"]) {
            self.eat_determiner();
        }
        let each = self.eat_any(&["each", "every", "all"]);
        if each {
            let _ = self.eat("of");
            self.eat_determiner();
        }
        let mut every = 1;
        if each && self.eat_any(&["other", "alternate", "second"]) {
            every = 2;
        } else if each && (matches!(self.kind(0), Some(Kind::Ordinal(_))) || self.word(0) == Some("third")) {
            every = self.ordinal().unwrap_or(1);
        }
        let ahead = self.eat_any(AHEAD);
        let last = !ahead && self.eat_any(&["last", "remaining"]);
        let nth = if last { None } else { self.old_ordinal().filter(|&k| !ahead || k > 1) };
        let _ = self.eat_any(&["bottom", "upper", "top", "lower", "small", "large", "long", "outer", "inner"]);
        let mut n = self.number();
        let first = n.is_some() && self.eat_any(&["first", "1st"]) || n.is_some() && self.eat_kind(&Kind::Ordinal(1));
        let _ = n.is_some() && (self.eat_any(AHEAD) || self.eat("last"));
        if n.is_none() && nth == Some(1) {
            n = self.number();
        }
        let ahead = ahead || first || nth == Some(1) && n.is_some() || self.eat_any(AHEAD);
        let noun = self.noun();
        if let Some(k) = nth.filter(|_| n.is_none()) {
            return self.ordinal_place(k, &noun);
        }
        if last {
            if self.eat("of") {
                self.eat_determiner();
                let _ = self.eat_any(&["last", "first"]);
                let many = self.number();
                let of = self.noun();
                if many.is_none() && (of != Noun::Untold || self.eat_any(words::LIMBS)) {
                    return Some(Target::Last { n: n.unwrap_or(1), class: class_of(&noun, None) }.into());
                }
                let kind = if let Noun::Kind(kind) = &of { Some(kind.clone()) } else { None };
                return many.map(|many| match of {
                    Noun::Chain => part_of(Pick::Last(n.unwrap_or(1)), Class::Chain, Class::Space(Some(many))),
                    _ => part_of(Pick::Last(n.unwrap_or(1)), Class::Stitch, Class::Run { n: many, kind }),
                });
            }
            return Some(Target::Last { n: n.unwrap_or(1), class: class_of(&noun, None) }.into());
        }
        if noun == Noun::Untold && !(ahead || each) {
            // "into the 1 in last round", "on the first 5 of the 2nd row"
            let told = n.is_some() && matches!(self.word(0), Some("in" | "of"));
            let here = self.at;
            let below = told && self.of_which_row();
            return (below && self.at > here).then(|| Target::Next { n: n.unwrap_or(1), class: Class::Stitch }.into());
        }
        if noun == Noun::Ring && n.is_none() {
            let _ = self.eat("of") && self.noun() != Noun::Untold;
            return Some(Target::Ring.into());
        }
        if let (Noun::Chain, Some(n), false) = (&noun, n, each && ahead) {
            return Some(self.chains_named(n, ahead, each, round_it));
        }
        let looped = noun == Noun::Loop;
        if let (true, false, Some(n)) = (each, ahead || noun == Noun::Chain, n) {
            // "on each of 4 treble"
            return Some(Target::Next { n, class: class_of(&noun, None) }.into());
        }
        if each && !ahead {
            let class = class_of(&noun, n);
            return Some(Spot { target: Target::Each { class, less: 0, every }, skip: 0, looped, successive: false });
        }
        let class = if round_it && noun == Noun::Chain { Class::Space(None) } else { class_of(&noun, None) };
        Some(Spot { target: Target::Next { n: n.unwrap_or(1), class }, skip: 0, looped, successive: false })
    }

    /// "top of the 3 chain", "top chain of the first treble": the chain that stands for a stitch.
    fn top_of_chain(&mut self) -> bool {
        let start = self.at;
        if self.eat("top") && self.eat("of") {
            self.eat_determiner();
            let _ = self.eat_any(&["first", "beginning", "turning", "starting"]);
            let counted = self.number().is_some();
            let chain = self.eat_any(words::CHAIN);
            if chain && (counted || self.at_break()) {
                return true;
            }
        }
        self.at = start;
        false
    }

    /// "the 7 chain", "the next 4 chain": a space of so many, or so many chains where each is pierced.
    fn chains_named(&mut self, n: u32, ahead: bool, each: bool, round_it: bool) -> Spot {
        if self.house.ring == Some(n) {
            return Target::Ring.into();
        }
        let counted = self.at >= 1 && ahead && !round_it && n > 1;
        let space = Class::Space(Some(n));
        if each {
            Target::Each { class: space, less: 0, every: 1 }.into()
        } else if counted {
            Target::Next { n, class: Class::Chain }.into()
        } else {
            Target::Next { n: 1, class: space }.into()
        }
    }

    /// "3rd stitch", "1st of the 11", "5th of these chain".
    fn ordinal_place(&mut self, k: u32, noun: &Noun) -> Option<Spot> {
        let start = self.at;
        if self.eat_any(&["of", "from"]) {
            self.eat_determiner();
            if self.eat_any(&["hook", "needle"]) {
                return Some(Target::FromHook { n: k }.into());
            }
            let _ = self.eat_any(&["first", "last", "next", "same", "following"]);
            let many = self.number();
            let of = self.noun();
            if let Some(many) = many {
                let shape = match &of {
                    // "4th of the 8 chain": a chain of a space of so many
                    Noun::Chain => Class::Space(Some(many)),
                    Noun::Kind(kind) => Class::Run { n: many, kind: Some(kind.clone()) },
                    _ => Class::Run { n: many, kind: None },
                };
                let class = if of == Noun::Chain { Class::Chain } else { Class::Stitch };
                return Some(part_of(Pick::Nth(k), class, shape));
            }
            if of != Noun::Untold {
                return Some(Spot { target: Target::NEXT, skip: 0, looped: false, successive: false });
            }
            self.at = start;
        }
        if k > 1 && *noun == Noun::Chain && self.house.fresh_chain {
            return Some(Target::FromHook { n: k }.into());
        }
        let class = class_of(noun, None);
        // "miss 3, 1 in the 4th": counted from where the yarn is
        Some(Spot { target: Target::Next { n: 1, class }, skip: k.saturating_sub(1), looped: false, successive: false })
    }

    /// Behind "centre": "of each loop", "stitch of the 7 chain", "of the 5 treble".
    fn middle(&mut self) -> Option<Spot> {
        let _ = self.eat_any(LOOPS) || self.eat_any(words::CHAIN) || self.eat("one");
        if !self.eat("of") {
            let class = self.stitch_class();
            return Some(Target::Centre { class: class.unwrap_or_default() }.into());
        }
        self.eat_determiner();
        let each = self.eat_any(&["each", "every"]);
        let _ = self.eat_any(AHEAD) || self.old_ordinal().is_some() || self.eat_any(&["last", "small"]);
        let n = self.number();
        let _ = self.eat_any(AHEAD) || self.eat("small");
        let class = match self.noun() {
            Noun::Chain => Class::Space(n),
            Noun::Hole | Noun::Stitch | Noun::Loop => Class::Space(None),
            Noun::Kind(kind) => return Some(Target::Centre { class: Class::Kind(kind) }.into()),
            Noun::Picot | Noun::Ring | Noun::Shape => Class::Any,
            Noun::Untold => return None,
        };
        Some(match each {
            true => Target::Each { class, less: 0, every: 1 }.into(),
            false => Target::Next { n: 1, class }.into(),
        })
    }

    fn stitch_class(&mut self) -> Option<Class> {
        match self.noun() {
            Noun::Untold => None,
            noun => Some(class_of(&noun, None)),
        }
    }

    /// "between 2 treble", "between the two groups": the gap, which is a space where chains lie in it.
    fn between_two(&mut self) -> Option<Spot> {
        self.eat_determiner();
        let each = self.eat_any(&["each", "every"]) && {
            let _ = self.eat("of");
            self.eat_determiner();
            true
        };
        let _ = self.eat_any(AHEAD);
        let n = self.number();
        let noun = self.noun();
        if noun == Noun::Untold || n.is_none() && !each {
            return None;
        }
        let class = Class::Space(None);
        Some(match each {
            true => Target::Each { class, less: 0, every: 1 }.into(),
            false => Target::Next { n: 1, class }.into(),
        })
    }

    /// "1st", "first", "second": an ordinal in any spelling.
    fn old_ordinal(&mut self) -> Option<u32> {
        if self.eat("first") {
            return Some(1);
        }
        self.ordinal()
    }

    fn noun(&mut self) -> Noun {
        let found = self.noun_here();
        if matches!(found, Noun::Hole | Noun::Stitch | Noun::Loop) && self.formed_of() {
            return Noun::Hole;
        }
        found
    }

    /// "formed by 7 chain", "made with the 5 chain": what a loop is made of.
    fn formed_of(&mut self) -> bool {
        let start = self.at;
        let made = self.eat_any(&["formed", "made"]) && self.eat_any(&["by", "with", "of"]);
        let _ = made && self.eat("the");
        if made && self.number().is_some() && self.eat_any(words::CHAIN) {
            return true;
        }
        self.at = start;
        false
    }

    fn noun_here(&mut self) -> Noun {
        let _ = self.word(0) == Some("foundation") && self.word(1).is_some_and(|w| words::CHAIN.contains(&w)) && {
            self.at += 1;
            true
        };
        if self.eat_any(words::CHAIN) {
            let _ = self.eat_kind(&Kind::Dash);
            let stitch = self.eat_any(words::STITCH);
            let hole = !stitch && (self.eat_any(&["loop", "loops", "scallop", "scallops", "hole", "holes"]));
            return if hole { Noun::Hole } else { Noun::Chain };
        }
        if self.eat_any(PICOT) {
            return Noun::Picot;
        }
        let looped = matches!(self.word(0), Some("loop" | "loops"));
        if self.eat_any(LOOPS) {
            let of = self.at;
            if self.eat("of") {
                self.eat_determiner();
                let _ = self.number();
                if self.eat_any(words::CHAIN) {
                    return if looped { Noun::Hole } else { Noun::Chain };
                }
            }
            self.at = of;
            // to American books a loop is of chain, to British ones it is the stitch the hook takes up
            let american = self.house.terms == crate::instructions::Terms::OldUs;
            return match looped {
                true if american => Noun::Hole,
                true => Noun::Loop,
                false => Noun::Stitch,
            };
        }
        if self.eat_any(HOLES) {
            let of = self.at;
            if !(self.eat("of") && {
                let _ = self.number();
                self.eat_any(words::CHAIN)
            }) {
                self.at = of;
            }
            return Noun::Hole;
        }
        if self.eat_any(RINGS) {
            return Noun::Ring;
        }
        if self.eat_any(POINTS) {
            let of = self.at;
            if self.eat("of") {
                self.eat_determiner();
                let _ = self.eat_any(AHEAD);
                if self.eat_any(words::LIMBS) || self.eat_any(POINTS) || self.eat_any(HOLES) {
                    return Noun::Stitch;
                }
                self.at = of;
            }
            return Noun::Stitch;
        }
        if self.eat_any(SHAPES) {
            let _ = self.eat_any(words::LIMBS);
            return Noun::Shape;
        }
        if self.eat_any(&["foundation", "braid", "material", "edge", "hem"]) {
            return Noun::Stitch;
        }
        match self.old_stem() {
            Some(stem) => {
                let _ = self.eat_any(words::STITCH);
                Noun::Kind(crate::craft::StitchForm::plain(stem).to_string())
            }
            None => Noun::Untold,
        }
    }

    /// "of last round", "in the preceding row", "below", "just made": which row is meant, where it is the one below.
    fn of_which_row(&mut self) -> bool {
        loop {
            let start = self.at;
            if self.eat_any(&["below", "beneath", "underneath"])
                || self.eat_all(&["just", "made"])
                || self.eat_all(&["last", "made"])
                || self.eat_all(&["placed", "together"])
            {
                continue;
            }
            if self.eat_all(&["at", "the"]) && self.eat_any(&["beginning", "end", "commencement"]) {
                let here = self.at;
                let row = self.eat("of") && {
                    let _ = self.eat_any(&["the", "this"]);
                    self.eat_any(words::ROW) || self.eat_any(words::ROUND)
                };
                if !row {
                    self.at = here;
                }
                continue;
            }
            self.at = start;
            let here = self.at;
            if self.eat_any(&["of", "in", "on"]) {
                self.eat_determiner();
                let _ = self.eat_any(AHEAD) || self.old_ordinal().is_some() || self.eat_any(&["large", "small"]);
                if self.eat_any(words::LIMBS) || self.eat_any(SHAPES) || self.eat_any(&["circle", "ring"]) {
                    continue;
                }
            }
            self.at = here;
            let named = self.eat_any(&["of", "in", "on"]) && {
                self.eat_determiner();
                if !self.eat_any(&["last", "preceding", "previous", "former", "foundation", "lower"])
                    && let Some(k) = self.old_ordinal()
                    && self.house.row.is_some_and(|row| k.saturating_add(1) != row)
                {
                    // an earlier row than the one below: its stitches are no places of this row
                    self.at = start;
                    return false;
                }
                self.eat_any(words::ROW) || self.eat_any(words::ROUND) || self.eat_any(&["foundation"]) || {
                    let behind = self.tokens.get(self.at.wrapping_sub(1)).map(|t| &t.kind);
                    matches!(behind, Some(Kind::Word(w)) if w == "foundation") && {
                        let _ = self.eat_any(words::CHAIN) && self.eat_any(words::STITCH);
                        true
                    }
                }
            };
            if !named {
                self.at = start;
                return true;
            }
        }
    }
}

/// Words for what comes next along the row.
const AHEAD: &[&str] = &["next", "following", "nearest", "succeeding"];

/// A part of the next shape of the row below.
fn part_of(pick: Pick, class: Class, shape: Class) -> Spot {
    Target::Within { pick, class, shape, which: Which::Next }.into()
}

fn class_of(noun: &Noun, n: Option<u32>) -> Class {
    match noun {
        Noun::Chain if n.is_some() => Class::Space(n),
        Noun::Chain => Class::Chain,
        Noun::Hole => Class::Space(None),
        Noun::Stitch | Noun::Loop => Class::Stitch,
        Noun::Kind(kind) => Class::Kind(kind.clone()),
        Noun::Picot | Noun::Ring | Noun::Shape | Noun::Untold => Class::Any,
    }
}
