//! How the piece is held for what comes next: "rotate work 90 degrees", "turn to work down the side of the piece". It is no
//! turn of the fabric.

use super::lex::Kind;
use super::phrase::{RowReader, Run};
use crate::instructions::{Act, Class, Target};

impl RowReader<'_> {
    /// "rotate piece 90 degrees", "rotate work clockwise", "turn to work along the side edge".
    pub(super) fn rotated(&mut self) -> bool {
        let start = self.c.at;
        let rotates = self.c.eat_any(&["rotate", "rotating", "pivot", "pivoting"]);
        if rotates || self.c.eat("turn") {
            let _ = self.c.eat_any(&["the", "your"]);
            let piece = self.c.eat_any(&["piece", "work", "square", "fabric", "it"]);
            let quarter = self.c.eat_any(&["a", "one"]) && self.c.eat("quarter") && self.c.eat("turn");
            let degrees = self.c.number().is_some() && {
                self.c.eat_any(&["degrees", "degree", "deg"]) || self.c.eat_kind(&Kind::Other('°'))
            };
            let way = self.c.eat_any(&["clockwise", "counterclockwise", "anticlockwise", "sideways"]);
            let side = self.goes_to_a_side();
            let held = rotates || side || piece && (quarter || degrees || way);
            if held && (self.c.at_break() || self.c.word(0) == Some("and")) {
                return true;
            }
        }
        self.c.at = start;
        false
    }

    /// "turn to other side of chain", "flip the work to the bottom of the foundation chain": on into the far side.
    pub(super) fn goes_to_far_side(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        if self.c.eat_any(&["turn", "rotate", "flip", "move", "go"]) {
            let _ = self.c.eat_any(&["the", "your"]);
            let _ = self.c.eat_any(&["piece", "work", "it"]);
            let led = self.c.eat_any(&["to", "onto", "and"]);
            let _ = self.c.eat_any(&["work", "working", "crochet"]);
            if led && self.c.eat("back") && self.works_back(run, start) {
                return true;
            }
            let _ = self.c.eat_any(&["along", "on", "in", "into", "down", "across"]);
            let _ = self.c.eat("the");
            let far = self.c.eat_any(&["other", "opposite", "far", "second", "bottom"]);
            let _ = far && self.c.eat_any(&["side", "edge"]);
            let of = self.c.at;
            self.end_of_chain_words();
            let colon = self.c.kind(0) == Some(&Kind::Colon);
            if led && far && self.c.at > of && (self.c.at_break() || colon || self.c.word(0) == Some("and")) {
                self.c.row_ends = false;
                return self.push(run, start, Act::FarSide);
            }
        }
        self.c.at = start;
        false
    }

    /// "to work back across in the front loops to the beg ch": one in each chain of the far side, as on the near one.
    fn works_back(&mut self, run: &mut Run, start: usize) -> bool {
        let here = self.c.at;
        let on_chain = run.steps.iter().any(|s| matches!(s.act, Act::Work { at: Target::FromHook { .. }, .. }));
        let form = run.steps.iter().rev().find_map(|s| match &s.act {
            Act::Work { form, .. } => Some(crate::craft::StitchForm::plain(form.stem)),
            _ => None,
        });
        let across = self.c.eat_any(&["across", "along", "down"]);
        let loops = self.c.at;
        if !(self.c.eat("in") && {
            let _ = self.c.eat("the");
            self.c.loop_words().is_some()
        }) {
            self.c.at = loops;
        }
        let _ = self.c.ends_at_beginning_chain();
        let (Some(form), true) = (form, on_chain && across && self.c.at_break()) else {
            self.c.at = here;
            return false;
        };
        self.push(run, start, Act::FarSide);
        let at = Target::Each { class: Class::Chain, less: 0, every: 1 };
        self.push(run, start, Act::Work { each: 1, form, at })
    }

    /// "to begin working down the side edge", "to work along the ends of the rows": the side that comes next.
    fn goes_to_a_side(&mut self) -> bool {
        let start = self.c.at;
        if self.c.eat_any(&["to", "and"]) {
            let _ = self.c.eat_any(&["begin", "start"]);
            let _ = self.c.eat_any(&["work", "working", "crochet"]);
            let led = self.c.eat_any(&["along", "down", "across", "up", "on", "in"]);
            let _ = self.c.eat("the");
            let _ = self.c.eat_any(&["next", "final", "last", "other", "first", "long", "short", "left", "right"]);
            let side = self.c.eat_any(&["side", "sides", "edge", "edges", "ends"]);
            let _ = side && self.c.eat_any(&["edge", "edges"]);
            let _ = side && self.c.eat("of") && {
                let _ = self.c.eat_any(&["the", "your"]);
                let _ = self.c.eat_any(&["piece", "work", "square", "fabric", "rows", "swatch", "rectangle"]);
                true
            };
            if led && side && self.c.at_break() {
                return true;
            }
        }
        self.c.at = start;
        false
    }
}
