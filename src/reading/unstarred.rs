//! Repeats with no star: "repeat around", "repeat from beginning", "repeat between [ ] twice".

use super::lex::Kind;
use super::phrase::{RowReader, Run};
use super::words;
use crate::instructions::{Act, Class, Step, Target, Times};

impl RowReader<'_> {
    /// "repeat between [ ] twice", "repeat instructions in ( ) 3 times": what the last brackets held, again.
    pub(super) fn between_brackets(&mut self, run: &mut Run, start: usize) -> bool {
        let here = self.c.at;
        let _ = self.c.eat_any(&["instructions", "directions"]);
        let led = self.c.eat_any(&["between", "bet", "within", "inside", "in"]);
        let _ = led && self.c.eat("the");
        let marked = matches!((self.c.kind(0), self.c.kind(1)), (Some(Kind::Open(_)), Some(Kind::Close(_))));
        let named = led && !marked && self.c.eat_any(&["brackets", "parentheses", "parenthesis"]);
        let last = run.steps.iter().rev().find_map(|s| match &s.act {
            Act::Repeat { steps, .. } => Some(steps.clone()),
            _ => None,
        });
        if let (true, Some(steps)) = (led && (marked || named), last) {
            self.c.at += if marked { 2 } else { 0 };
            if let Some((n, _)) = self.c.times() {
                let span = self.c.since(start);
                run.steps.push(Step { act: Act::Repeat { steps, times: Times::InAll(n), stop: None }, span });
                return true;
            }
        }
        self.c.at = here;
        false
    }

    /// "1 sc, 1 inc, repeat until end of round", "repeat around": with no star, all of the row's work again.
    pub(super) fn repeats_all(&mut self, run: &mut Run, start: usize) -> bool {
        let from_here = self.c.at;
        self.row_from_its_beginning();
        let _ = self.c.eat_any(&["until", "to", "till"]);
        let _ = self.c.eat("the");
        let end = self.c.eat("end") && {
            let _ = self.c.eat("of");
            let _ = self.c.eat("the");
            let _ = self.c.eat_any(words::ROUND) || self.c.eat_any(words::ROW);
            true
        };
        let around = !end && {
            self.c.at = from_here;
            self.row_from_its_beginning();
            let _ = self.c.eat("all");
            self.c.eat_any(&["around", "across"])
        };
        let times = if end || around { None } else { self.c.times() };
        // "3 sc, sc2tog, repeat (12)": no more is said
        let alone = !(end || around || times.is_some()) && {
            self.c.at = from_here;
            self.row_from_its_beginning();
            self.c.at_break() || matches!(self.c.kind(0), Some(Kind::Open(_) | Kind::Dash))
        };
        if !(end || around || alone || times.is_some()) || self.depth > 0 {
            self.c.at = from_here;
            return false;
        }
        let opening = |s: &Step| {
            matches!(s.act, Act::Chain { .. } | Act::Counts { .. } | Act::Turn | Act::With { .. } | Act::Attach { .. })
        };
        let mut from = run.steps.iter().position(|s| !opening(s)).unwrap_or(run.steps.len());
        // "1 dc in same place as ss, 1 dc in each tr to corner, 3 dc in corner sp; rep all around": once, where it was joined
        let joined = |s: &Step| matches!(&s.act, Act::Work { each: 1, at: Target::Same, .. });
        from += usize::from(around && run.steps.get(from).is_some_and(joined) && run.steps.len() > from + 1);
        let steps: Vec<Step> = run.steps.drain(from..).collect();
        if steps.is_empty() {
            self.c.at = from_here;
            return false;
        }
        let span = steps[0].span.to(self.c.since(start));
        let times = match times {
            Some((n, true)) => Times::More(n),
            Some((n, false)) => Times::Doubt(n),
            None => Times::ToEnd { less: 0, class: Class::Any },
        };
        run.steps.push(Step { act: Act::Repeat { steps, times, stop: None }, span });
        true
    }

    /// "from beg", "from the beginning of rnd": where a repeat with no star begins.
    pub(super) fn row_from_its_beginning(&mut self) {
        let start = self.c.at;
        let _ = self.c.eat("from") && self.c.eat("the");
        if !self.c.eat_any(&["beg", "beginning", "start"]) {
            self.c.at = start;
            return;
        }
        let of = self.c.at;
        let _ = self.c.eat("of") && self.c.eat_any(&["the", "this"]);
        if !(self.c.eat_any(words::ROUND) || self.c.eat_any(words::ROW)) {
            self.c.at = of;
        }
    }
}
