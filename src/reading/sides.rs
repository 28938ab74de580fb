//! An edging told side by side at once: "5 sc along each of the four sides and 3 sc in each corner", "sc evenly around,
//! placing 3 sc in each corner and 5 sc on each side".

use super::lex::Kind;
use super::phrase::{RowReader, Run};
use super::stitch::Named;
use super::words;
use crate::craft::StitchForm;
use crate::instructions::{Act, Class, Step, Target, Times};

/// Words that lead to the sides.
const ALONG: &[&str] = &["along", "on", "across", "down", "over", "per", "to", "in"];

/// Words within which the sides are named.
const SOON: usize = 16;

/// So many stitches, and on what.
enum Share {
    Side(u32, StitchForm, Option<u32>),
    Corner(u32, StitchForm),
}

impl RowReader<'_> {
    /// So many along each side and so many in each corner, in either order: a side and its corner, all round.
    pub(super) fn sides_and_corners(&mut self, run: &mut Run) -> bool {
        let side = |k| matches!(self.c.word(k), Some("side" | "sides" | "edge" | "edges"));
        if self.depth > 0 || !(0..SOON).any(side) {
            return false;
        }
        let start = self.c.at;
        let loose = run.steps.last().is_some_and(|s| goes_around(&s.act));
        let led = self.c.eat_any(words::HAVING);
        if led && !loose {
            return false;
        }
        let _ = !led && self.c.eat_any(&["work", "make", "crochet"]);
        let Some(first) = self.share() else { return false };
        let _ = self.c.eat_kind(&Kind::Comma);
        let joined = self.c.eat_any(&["and", "with", "plus", "working", "placing"]);
        let second = if joined { self.share() } else { None };
        let (steps, sides) = match (first, second) {
            (Share::Side(n, side, sides), Some(Share::Corner(m, corner))) => {
                (vec![along(n, side), turning(m, corner)], sides)
            }
            (Share::Corner(m, corner), Some(Share::Side(n, side, sides))) => {
                (vec![turning(m, corner), along(n, side)], sides)
            }
            _ => return false,
        };
        if led {
            run.steps.pop();
        }
        let span = self.c.since(start);
        let steps = steps.into_iter().map(|act| Step { act, span }).collect();
        let times = sides.map_or(Times::ToEnd { less: 0, class: Class::Any }, Times::InAll);
        self.push(run, start, Act::Repeat { steps, times, stop: None })
    }

    /// "5 sc evenly along each side", "3 sc in each corner".
    fn share(&mut self) -> Option<Share> {
        let start = self.c.at;
        if let Some((n, Named::Form(form))) = self.corner_stitches() {
            return Some(Share::Corner(n, form));
        }
        self.c.at = start;
        let n = self.c.number()?;
        let Named::Form(form) = self.c.stitch()? else { return None };
        let _ = self.c.eat("evenly") && self.c.eat("spaced");
        let sides = if self.c.eat_any(ALONG) { self.each_side() } else { None };
        sides.map(|sides| Share::Side(n, form, sides))
    }

    /// "each side", "each of the four sides", "all 4 edges": how many there are, where it is told.
    fn each_side(&mut self) -> Option<Option<u32>> {
        let all = self.c.eat_any(&["each", "every", "all"]);
        let _ = all && self.c.eat("of");
        let _ = all && self.c.eat("the");
        let sides = self.c.number();
        let _ = self.c.eat_any(&["straight", "raw", "remaining"]);
        (all && self.c.eat_any(&["side", "sides", "edge", "edges"])).then_some(sides)
    }
}

fn goes_around(act: &Act) -> bool {
    match act {
        Act::Work { at: Target::Evenly { n: None }, .. } => true,
        Act::Work { at: Target::Each { class, less: 0, every: 1 }, .. } => {
            matches!(class, Class::Stitch | Class::Any | Class::RowEnd)
        }
        _ => false,
    }
}

fn along(n: u32, form: StitchForm) -> Act {
    Act::Work { each: 1, form, at: Target::Evenly { n: Some(n) } }
}

fn turning(n: u32, form: StitchForm) -> Act {
    Act::Work { each: n, form, at: Target::Next { n: 1, class: Class::Corner(None) } }
}
