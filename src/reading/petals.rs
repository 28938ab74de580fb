//! Places behind petals: "in base of center dc" of one held forward, "in back of next sc of rnd 1", "from the back between
//! next 2 petals".

use super::cursor::Cursor;
use super::lex::Kind;
use super::place::Where;
use super::words;
use crate::craft::PostSide;
use crate::instructions::{Class, Target, Which};

/// Words between the petal that is held forward and the last place at the base of it.
const MOST_BEHIND: usize = 40;

const PETALS: &[&str] = &["petal", "petals"];
/// What a place may lie between that the words name to show it.
const NEIGHBOURS: &[&str] =
    &["petals", "points", "leaves", "spikes", "rays", "scallops", "fans", "pineapples", "shells", "arms"];

impl Cursor<'_> {
    /// What is worked at the base of a petal's stitch, or at the back of a stitch of an earlier round, takes that stitch
    /// by its post from behind.
    pub(super) fn behind_a_petal(&mut self) -> Option<Where> {
        let start = self.at;
        let _ = self.eat("the");
        let back = self.eat_all(&["back", "of"]);
        let _ = back && self.eat("the");
        let base = (self.eat("base") || self.eat("bottom")) && self.eat("of");
        let _ = base && self.eat("the");
        if back && let Some(target) = self.between_at_back() {
            return Some(Where { target, part: None, post: None });
        }
        let target = match (base, back) {
            (true, _) => self.at_base_of_petal(),
            (false, true) => self.at_back_of_stitch(),
            _ => None,
        };
        if target.is_none() {
            self.at = start;
        }
        Some(Where { target: target?, part: None, post: Some(PostSide::Back) })
    }

    /// "st between petals", "next dc between petals" behind "back of": between the petals, from behind.
    fn between_at_back(&mut self) -> Option<Target> {
        let start = self.at;
        let _ = self.eat_any(&["next", "foll", "following"]);
        if self.class().is_some() && self.eat("between") {
            let _ = self.eat("the") || self.eat("next");
            let _ = self.eat("two") || self.eat_kind(&Kind::Number(2));
            if self.eat_any(PETALS) && self.at_break() {
                return Some(Target::Between { class: Class::Group("petal".into()), each: false });
            }
        }
        self.at = start;
        None
    }

    /// "center dc of next petal"; the petal is the one held forward where it has no name here, and of two such places both
    /// are at the same one.
    fn at_base_of_petal(&mut self) -> Option<Target> {
        let (pick, class) = self.part()?;
        if !matches!(class, Class::Kind(_) | Class::Stitch) {
            return None;
        }
        if self.eat_any(&["of", "in", "on"]) {
            let (which, shape) = self.which_shape()?;
            return matches!(shape, Class::Group(_)).then_some(Target::Within { pick, class, shape, which });
        }
        let which = if self.bases_since_petal()? > 1 { Which::Same } else { Which::Next };
        Some(Target::Within { pick, class, shape: Class::Group("petal".into()), which })
    }

    /// How many bases the words name since they spoke of a petal, none where they did not lately.
    pub(super) fn bases_since_petal(&self) -> Option<usize> {
        let mut bases = 0;
        for token in self.tokens[..self.at].iter().rev().take(MOST_BEHIND) {
            match &token.kind {
                Kind::Word(w) if PETALS.contains(&w.as_str()) => return Some(bases),
                Kind::Word(w) if matches!(w.as_str(), "base" | "bottom") => bases += 1,
                _ => {}
            }
        }
        None
    }

    /// "next sc of rnd 1", "first dc from round 2": a stitch of a round that is named.
    fn at_back_of_stitch(&mut self) -> Option<Target> {
        let target = self.target(true)?;
        let stitch = matches!(
            &target,
            Target::Next { class: Class::Kind(_) | Class::Stitch, .. }
                | Target::Each { class: Class::Kind(_) | Class::Stitch, .. }
                | Target::First { class: Class::Kind(_) | Class::Stitch }
        );
        let of = self.at;
        let named =
            self.eat_any(&["of", "in", "from", "on"]) && (self.eat_any(words::ROUND) || self.eat_any(words::ROW));
        self.at = of;
        (stitch && named).then_some(target)
    }

    /// "from the back between next 2 petals", "from behind": which side the hook comes from.
    pub(super) fn hook_from_behind(&mut self) -> bool {
        let start = self.at;
        if self.eat("from") {
            let _ = self.eat("the");
            if self.eat_any(&["back", "behind", "rear"]) || self.eat_all(&["wrong", "side"]) || self.eat("ws") {
                return true;
            }
        }
        self.at = start;
        false
    }

    /// "between petals" behind a place: where it shows, which says nothing more.
    pub(super) fn between_petals(&mut self) -> bool {
        let start = self.at;
        if self.eat_any(&["between", "behind"]) {
            let _ = self.eat("the");
            let _ = self.eat("two");
            if (self.eat_any(PETALS) || self.eat_any(NEIGHBOURS)) && self.at_break() {
                return true;
            }
        }
        self.at = start;
        false
    }
}
