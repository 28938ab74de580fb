//! Places inside a figure of the row below: "the last treble of the same group", "1st treble of the next shell".

use super::super::cursor::Cursor;
use super::super::lex::Kind;
use super::places::SHAPES;
use crate::instructions::{Class, Pick, Target, Which};

impl Cursor<'_> {
    /// The stitch of a figure that words name by its place there.
    pub(super) fn part_of_figure(&mut self) -> Option<Target> {
        let start = self.at;
        let found = self.part_of_figure_here();
        if found.is_none() {
            self.at = start;
        }
        found
    }

    fn part_of_figure_here(&mut self) -> Option<Target> {
        let pick = if self.eat_any(&["last", "end"]) {
            Pick::Last(1)
        } else if self.eat_any(&["centre", "center", "middle"]) {
            Pick::Centre
        } else if self.eat("first") || self.eat_kind(&Kind::Ordinal(1)) {
            Pick::Nth(1)
        } else {
            Pick::Nth(self.ordinal()?)
        };
        let class = match self.old_stem() {
            Some(stem) => Class::Kind(stem.to_string()),
            None => self.eat_any(&["stitch", "st"]).then_some(Class::Stitch)?,
        };
        if !self.eat_any(&["of", "in", "on"]) {
            return None;
        }
        let _ = self.eat_any(&["the", "this", "that"]);
        let which = if self.eat_any(&["same", "said"]) {
            Which::Same
        } else if self.eat("last") {
            Which::Last
        } else if self.eat_any(&["each", "every"]) {
            Which::Each
        } else {
            let _ = self.eat_any(&["next", "following", "succeeding"]);
            Which::Next
        };
        let figure = self.word(0).and_then(|w| SHAPES.iter().find(|s| **s == w))?;
        self.at += 1;
        let name = figure.strip_suffix('s').unwrap_or(figure).to_owned();
        Some(Target::Within { pick, class, shape: Class::Group(name), which })
    }
}
