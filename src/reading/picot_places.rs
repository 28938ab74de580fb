//! Places told by the picots of a loop: "sc between picots of next loop", "sc in loop before picot", "in next picot loop".

use super::cursor::Cursor;
use super::lex::Kind;
use super::words;
use crate::instructions::{Class, Target};

const PICOTS: &[&str] = &["picot", "picots", "p", "ps", "p's"];

impl Cursor<'_> {
    /// "before picot", "after the picot", "between 2 picots" behind a loop: where in the loop, which no place tells apart.
    pub(super) fn beside_picot(&mut self) -> bool {
        let loops = |w: &str| words::SPACE.contains(&w) || words::CHAIN.contains(&w);
        let behind_loop = self.at > 0
            && match self.tokens.get(self.at - 1).map(|t| &t.kind) {
                Some(Kind::Word(w)) => loops(w),
                Some(Kind::Number(_)) => {
                    matches!(self.tokens.get(self.at.wrapping_sub(2)).map(|t| &t.kind), Some(Kind::Dash))
                }
                _ => false,
            };
        let start = self.at;
        if behind_loop && self.eat_any(&["before", "after", "past", "between", "behind"]) {
            let _ = self.eat_any(&["the", "its", "next", "first"]) && self.eat_any(&["next", "first", "last"]);
            let _ = self.number();
            if self.eat_any(PICOTS) && self.at_break() {
                return true;
            }
        }
        self.at = start;
        false
    }

    /// "picots of next loop", "2 picots of next p-loop" behind "between": that loop.
    pub(super) fn loop_of_picots(&mut self) -> Option<Target> {
        let start = self.at;
        let _ = self.eat_any(&["the", "next", "foll", "following"]);
        let two = self.number().is_none_or(|n| n == 2);
        if two && self.eat_any(PICOTS) {
            let of = self.at;
            if self.eat_any(&["of", "in", "on"]) {
                let _ = self.eat_any(&["the", "each"]);
                let _ = self.eat_any(&["next", "foll", "following"]);
                if let Some(class @ (Class::Space(_) | Class::Group(_))) = self.class() {
                    let class = if matches!(class, Class::Group(_)) { Class::Space(None) } else { class };
                    return Some(Target::Next { n: 1, class });
                }
                self.at = of;
            }
            if self.at_break() {
                return Some(Target::Next { n: 1, class: Class::Space(None) });
            }
        }
        self.at = start;
        None
    }

    /// "picot loop", "p-lp": a loop that has picots.
    pub(super) fn picot_loop(&mut self) -> Option<Class> {
        let start = self.at;
        if self.eat_any(&["picot", "picots", "p"]) {
            let _ = self.eat_kind(&Kind::Dash);
            if self.eat_any(words::SPACE) {
                return Some(Class::Space(None));
            }
        }
        self.at = start;
        None
    }
}
