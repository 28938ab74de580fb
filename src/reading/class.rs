//! What kind of place words name: "sts", "ch-2 sp", "dc", "row ends", "each dc and ch-1 sp".

use super::cursor::Cursor;
use super::lex::Kind;
use super::stitch::Named;
use super::words;
use crate::instructions::Class;

/// Parts of a body that the stitches in hand may be called by.
const MEMBERS: &[&str] = &["leg", "arm", "head", "body", "ear", "tail", "foot", "neck", "wing", "thumb", "heel", "toe"];

impl Cursor<'_> {
    /// What kind of place: "sts", "ch-2 sp", "dc", "row ends", "corner sp".
    pub fn class(&mut self) -> Option<Class> {
        let start = self.at;
        if let Some(marked) = self.marked() {
            return Some(marked);
        }
        if self.word(0).is_some_and(|w| MEMBERS.contains(&w))
            && self.word(1).is_some_and(|w| words::STITCH.contains(&w))
        {
            // "each of the 8 leg sts"
            self.at += 2;
            return Some(Class::Stitch);
        }
        if self.eat("corner") {
            let here = self.at;
            if self.eat_any(words::CHAIN)
                && self.eat_kind(&Kind::Dash)
                && let Some(n) = self.number()
            {
                // "corner ch-3": its space
                let _ = self.eat_kind(&Kind::Dash);
                let _ = self.eat_any(words::SPACE);
                return Some(Class::Corner(Some(n)));
            }
            self.at = here;
            return Some(match self.class() {
                Some(shape @ (Class::Group(_) | Class::Run { .. })) => shape,
                Some(Class::Kind(_) | Class::Stitch) => Class::CornerStitch,
                Some(Class::Space(n)) => Class::Corner(n),
                _ => Class::Corner(None),
            });
        }
        if self.opening_space() {
            return Some(Class::OpeningSpace);
        }
        if self.eat_any(&["mesh", "meshes"]) {
            // of filet: its space
            let _ = self.eat_any(words::SPACE);
            return Some(Class::Space(None));
        }
        if self.eat_all(&["row", "end"]) || self.eat_all(&["row", "ends"]) || self.eat_all(&["end", "of", "row"]) {
            return Some(Class::RowEnd);
        }
        let dashed = self.word(0) == Some("row") && self.kind(1) == Some(&Kind::Dash);
        if dashed && matches!(self.word(2), Some("end" | "ends")) {
            self.at += 3;
            return Some(Class::RowEnd);
        }
        if self.row_ends && self.eat_any(words::ROW) {
            return Some(Class::RowEnd);
        }
        if self.eat_any(words::STITCH) {
            if self.house.spaces_count {
                // "each st and ch sp", where spaces count as stitches anyway
                let here = self.at;
                if !(self.eat("and") && self.space().is_some()) {
                    self.at = here;
                }
                return Some(Class::All);
            }
            return Some(if self.stitch_or_space() { Class::All } else { Class::Stitch });
        }
        if let Some(corner) = self.corner_of_chains().or_else(|| self.picot_loop()) {
            return Some(corner);
        }
        if let Some(space) = self.space().or_else(|| self.run_of_stitches()) {
            return Some(space);
        }
        if self.word(1).is_some_and(|w| words::CHAIN.contains(&w)) {
            // "first foundation ch"
            let _ = self.eat_any(&["foundation", "base", "original"]);
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
            Some(Named::Special(k)) => {
                let class = self.special_class(k);
                Some(self.space_of(class))
            }
            _ => {
                self.at = start;
                let class = self.shape_word()?;
                Some(self.space_of(class))
            }
        }
        .inspect(|class| self.space_of_shape(class))
    }

    /// "shell sp", "next V-st space": the one space of a shape is what goes into it goes into.
    pub(super) fn space_of_shape(&mut self, class: &Class) {
        let _ = matches!(class, Class::Group(_)) && self.eat_any(&["sp", "sps", "space", "spaces"]);
    }

    /// "V-st sp", "shell ch-2 sp": a shape that has a space is worked into there.
    fn space_of(&mut self, class: Class) -> Class {
        if matches!(class, Class::Group(_)) {
            let _ = self.eat_any(words::SPACE) || self.word(0).is_some_and(|w| w == "ch") && self.space().is_some();
        }
        class
    }

    /// "turning ch-4 sp", "ch-4 turning sp", "t-ch sp", "sp of turning ch", "sp formed by tch".
    pub(super) fn opening_space(&mut self) -> bool {
        let start = self.at;
        if self.eat_any(words::SPACE) {
            let _ = self.eat_any(&["formed", "made"]);
            let led = self.eat_any(&["by", "of", "under"]);
            let _ = self.eat("the");
            if led && self.word(0).is_some_and(|w| matches!(w, "turning" | "t" | "tch")) && self.beginning_chain() {
                return true;
            }
            self.at = start;
            return false;
        }
        if self.eat_any(words::CHAIN) {
            let _ = self.eat_kind(&Kind::Dash);
            let _ = self.number();
        }
        if self.eat_any(&["tch", "turning", "t"]) {
            let _ = self.eat_kind(&Kind::Dash);
            let _ = self.eat_any(words::CHAIN) && self.eat_kind(&Kind::Dash) && self.number().is_some();
            let _ = self.eat_kind(&Kind::Dash);
            if self.eat_any(words::SPACE) {
                return true;
            }
        }
        self.at = start;
        false
    }

    /// "ch-2 corner", "2-ch corner sp": the space at a corner, by its length.
    pub(super) fn corner_of_chains(&mut self) -> Option<Class> {
        let start = self.at;
        let before = self.number();
        let _ = before.is_some() && self.eat_kind(&Kind::Dash);
        if self.eat_any(words::CHAIN) {
            let _ = self.eat_kind(&Kind::Dash);
            let n = before.or_else(|| self.number());
            if n.is_some() && self.eat_any(&["corner", "corners"]) {
                let _ = self.eat_any(words::SPACE);
                return Some(Class::Corner(n));
            }
        }
        self.at = start;
        None
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

    /// "next 3 sts (ch-1 sp or hdc)": what is meant by the stitches, told in a bracket.
    pub(super) fn either_class(&mut self, class: Class) -> Class {
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
            let chains = |c: &Option<Class>| *c == Some(Class::Chain);
            if joined && (chains(&first) || chains(&second)) && matches!(self.kind(0), Some(Kind::Close(_))) {
                // "each st (hdc and ch)"
                self.at += 1;
                return Class::AllChains;
            }
            if !joined && first.is_some() && matches!(self.kind(0), Some(Kind::Close(_))) {
                // "next 3 sts (dc)": which they are
                self.at += 1;
                return first.unwrap_or_default();
            }
        }
        self.at = start;
        class
    }

    /// "each dc and ch-1 sp": stitches and spaces alike; "each ch and sc": chains one by one.
    pub(super) fn and_class(&mut self, class: Class) -> Class {
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
}

impl Cursor<'_> {
    /// "and row end around", "and in each row end" behind "in each st": all round the piece.
    pub(super) fn and_row_ends(&mut self, class: &Class) -> bool {
        let start = self.at;
        if matches!(class, Class::Stitch | Class::Kind(_)) && self.eat_any(&["and", "or"]) {
            let _ = self.eat_any(&["in", "into"]);
            let _ = self.eat_any(&["each", "every"]);
            let ends = self.class() == Some(Class::RowEnd) || {
                self.at = start + 1;
                let _ = self.eat_any(&["in", "into", "each", "every"]);
                self.eat_any(words::ROW) && self.eat_any(&["end", "ends"])
            };
            if ends {
                self.end_words();
                // "around the base"
                let here = self.at;
                let named = self.eat("the") && self.word(0).is_some_and(super::remarks::is_plain_word);
                self.at += usize::from(named);
                if !(named && self.at_break()) {
                    self.at = here;
                }
                return true;
            }
        }
        self.at = start;
        false
    }
}

/// True for what is told apart from single stitches.
pub(super) fn is_shape(class: &Class) -> bool {
    matches!(class, Class::Group(_) | Class::Run { .. } | Class::Space(_) | Class::Corner(_))
}
