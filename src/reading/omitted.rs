//! What the last pass of a repeat leaves out: "omitting last 3 dc on last rep", "omitting last shell and ch 3".

use super::lex::Kind;
use super::phrase::RowReader;
use super::words;
use crate::instructions::{Act, Step, Target};

impl RowReader<'_> {
    /// Index of the step before which the last pass stops; none where nothing is left out.
    pub(super) fn omitted(&mut self, steps: &mut Vec<Step>) -> Option<usize> {
        self.omitting_several(steps).or_else(|| self.omitting(steps)).or_else(|| self.omitting_group(steps))
    }

    /// "omitting 2 tr, 2 ch, 2 tr at end of last rep", "omitting shell on last rep": the group that ends the repeat, told by
    /// its stitches or by any name.
    fn omitting_group(&mut self, steps: &[Step]) -> Option<usize> {
        let start = self.c.at;
        let _ = self.c.eat_kind(&Kind::Comma) || self.c.eat_kind(&Kind::Semicolon);
        let group = matches!(steps.last().map(|s| &s.act), Some(Act::Group { .. }));
        if group && self.c.eat_any(&["omitting", "omit"]) {
            let _ = self.c.eat("the");
            let _ = self.c.eat_any(&["last", "final"]);
            let from = self.c.at;
            while self.c.at - from < LONGEST_GROUP && !self.on_last_repeat() {
                let known = match self.c.kind(0) {
                    Some(Kind::Word(w)) => {
                        words::is_of_the_craft(w) || words::SHAPES.contains(&w.as_str()) || w == "and"
                    }
                    Some(Kind::Number(_) | Kind::Comma | Kind::Dash | Kind::Open(_) | Kind::Close(_)) => true,
                    _ => false,
                };
                if !known {
                    break;
                }
                self.c.at += 1;
            }
            if self.c.at > from && self.on_last_repeat() {
                self.eat_last_repeat();
                return Some(steps.len() - 1);
            }
        }
        self.c.at = start;
        None
    }

    fn on_last_repeat(&self) -> bool {
        let mut ahead = self.c.clone();
        last_repeat(&mut ahead)
    }

    fn eat_last_repeat(&mut self) {
        last_repeat(&mut self.c);
    }

    /// "omitting last shell and ch 3": so many steps at the end, each named.
    fn omitting_several(&mut self, steps: &[Step]) -> Option<usize> {
        let start = self.c.at;
        let led = self.leaves_out();
        let mut chains: Vec<Option<u32>> = Vec::new();
        while led && chains.len() < steps.len() {
            let here = self.c.at;
            let chain = if self.c.eat_any(words::CHAIN) {
                let _ = self.c.eat_kind(&Kind::Dash);
                self.c.number().filter(|_| !self.c.word(0).is_some_and(|w| words::SPACE.contains(&w)))
            } else {
                None
            };
            if chain.is_none() {
                self.c.at = here;
                if self.c.shape().is_none() && self.c.class().is_none() && self.c.stitch().is_none() {
                    break;
                }
            }
            chains.push(chain);
            if !(self.c.eat("and") || self.c.eat_kind(&Kind::Other('+'))) {
                break;
            }
            let _ = self.c.eat("last");
        }
        let from = steps.len() - chains.len();
        let fits = steps[from..].iter().zip(&chains).all(|(step, chain)| match (&step.act, chain) {
            (Act::Chain { n }, Some(told)) => n == told,
            (act, None) => act.works(),
            _ => false,
        });
        if chains.len() > 1 && fits && self.c.at_break() {
            return Some(from);
        }
        self.c.at = start;
        None
    }

    /// ", omitting last", "but omit the final", ", ending last repeat without last", "leaving off the last".
    fn leaves_out(&mut self) -> bool {
        let _ = self.c.eat_kind(&Kind::Comma) || self.c.eat_kind(&Kind::Semicolon);
        let _ = self.c.eat("but");
        let ends = self.c.eat_any(&["ending", "end"]) && {
            let _ = self.c.eat("the");
            self.c.eat_any(&["last", "final"]) && self.c.eat_any(&["rep", "repeat", "pass"])
        };
        let omits = if ends {
            self.c.eat("without")
        } else {
            self.c.eat_any(&["omitting", "omit", "leaving", "leave", "without"])
        };
        let _ = omits && self.c.eat_any(&["out", "off"]);
        let _ = omits && self.c.eat("the");
        omits && self.c.eat_any(&["last", "final"])
    }

    /// "(cl, ch 3, cl)" behind "omitting last": the group that ends the repeat.
    fn bracket_of_work(&mut self) -> bool {
        let Some(close) = self.matching() else { return false };
        self.c.at = close + 1;
        true
    }

    /// "of next 7-dc group", "of same shell" behind what is skipped: it is the next to come.
    pub(super) fn of_shape(&mut self) -> bool {
        let start = self.c.at;
        if self.c.eat_any(&["of", "in"]) && self.c.which_shape().is_some() {
            return true;
        }
        self.c.at = start;
        false
    }

    /// ", omitting last 3 dc on last rep": the last pass stops before them.
    fn omitting(&mut self, steps: &mut Vec<Step>) -> Option<usize> {
        let start = self.c.at;
        let last_said = self.leaves_out();
        let omits = last_said || {
            // "omitting 1 dc at end of last rep"
            self.c.at = start;
            let _ = self.c.eat_kind(&Kind::Comma) || self.c.eat_kind(&Kind::Semicolon);
            self.c.eat_any(&["omitting", "omit"]) && matches!(self.c.kind(0), Some(Kind::Number(_)))
        };
        let n = if omits { self.c.number().unwrap_or(1) } else { 0 };
        let bracket = if omits { self.bracket_of_work() } else { false };
        let named =
            bracket || omits && (self.c.shape().is_some() || self.c.class().is_some() || self.c.eat_any(words::CHAIN));
        if bracket && self.c.eat_any(&["in", "into"]) {
            let _ = self.c.eat_any(&["next", "last", "same", "the"]);
            let _ = self.c.class();
        }
        let last = named && last_repeat(&mut self.c);
        let last = last || named && last_said && self.c.at_break();
        let Some(step) = steps.last().cloned().filter(|_| last && n > 0) else {
            self.c.at = start;
            return None;
        };
        match step.act {
            Act::Work { each: 1, form, at: Target::Next { n: all, class } } if all > n => {
                let part = |n: u32| {
                    let at = Target::Next { n, class: class.clone() };
                    Step { act: Act::Work { each: 1, form, at }, span: step.span }
                };
                steps.pop();
                steps.extend([part(all - n), part(n)]);
                Some(steps.len() - 1)
            }
            Act::Work { each, at: Target::Next { n: all, .. }, .. } if each * all == n => Some(steps.len() - 1),
            Act::Chain { n: all } if all == n => Some(steps.len() - 1),
            Act::Group { .. } if n == 1 => Some(steps.len() - 1),
            _ => {
                self.c.at = start;
                None
            }
        }
    }
}

/// Tokens of the longest group told by its stitches.
const LONGEST_GROUP: usize = 24;

/// "at end of last rep", "on last repeat", "in final pass".
fn last_repeat(c: &mut super::cursor::Cursor<'_>) -> bool {
    c.eat_any(&["on", "of", "in", "at", "from"])
        && {
            let _ = c.eat("the");
            let _ = c.eat("end") && c.eat("of");
            let _ = c.eat("the");
            c.eat_any(&["last", "final"])
        }
        && c.eat_any(&["rep", "repeat", "pass"])
}
