//! Groups with no brackets round them, closed by words or opened by their place: "hdc, dc and hdc all in next st",
//! "in next ch-2 sp work (2 dc, ch 2, 2 dc)".

use super::lex::Kind;
use super::phrase::{DEEPEST, RowReader, Run};
use super::stitch::Named;
use super::words;
use crate::instructions::{Act, Class, Step, Target, Times};

/// Longest group of this kind, in items: what is longer has brackets.
const MOST: usize = 16;

impl RowReader<'_> {
    /// "2 dc, ch 1, 2 dc all in next st": stitches and chains without a place, to the words that give them theirs.
    pub(super) fn all_in(&mut self, run: &mut Run) -> bool {
        if !self.closes_all_in {
            return false;
        }
        let start = self.c.at;
        let _ = self.c.eat_any(&["work", "make"]);
        let mut steps = Vec::new();
        let mut works = 0;
        while steps.len() < MOST {
            let from = self.c.at;
            let Some(act) = self.bare_item() else { break };
            works += usize::from(matches!(act, Act::Work { .. }));
            steps.push(Step { act, span: self.c.since(from) });
            let parted = self.c.eat_kind(&Kind::Comma) | self.c.eat("and");
            if self.c.word(0) == Some("all") && matches!(self.c.word(1), Some("in" | "into")) {
                if works >= 2
                    && let Some(place) = self.c.place()
                {
                    let span = self.c.since(start);
                    run.steps.push(Step { act: Act::Group { steps, at: place.target, name: None }, span });
                    self.times_behind(run, start);
                    return true;
                }
                break;
            }
            if !parted {
                break;
            }
        }
        self.c.at = start;
        false
    }

    /// "2 dc", "dc 2", "ch 2", "2 ch": an item of such a group, with no place of its own.
    pub(super) fn bare_item(&mut self) -> Option<Act> {
        let before = self.leading_count();
        match self.c.stitch() {
            Some(Named::Form(form)) => {
                let n = before.or_else(|| self.trailing_count()).unwrap_or(1);
                Some(Act::Work { each: 1, form, at: Target::Next { n, class: Class::Any } })
            }
            _ if self.c.eat_any(words::CHAIN) => {
                let _ = self.c.eat_kind(&Kind::Dash);
                before.or_else(|| self.c.number()).map(|n| Act::Chain { n })
            }
            _ => None,
        }
    }

    /// "(2 dc, ch 2, 2 dc)" behind the place it goes into; none where the bracket has a place of its own.
    pub(super) fn bracket_here(&mut self) -> Option<Vec<Step>> {
        let start = self.c.at;
        let close = self.partners.get(start).copied().flatten()?;
        if !matches!(self.c.kind(0), Some(Kind::Open(_))) || self.depth >= DEEPEST {
            return None;
        }
        let (problems, stated) = (self.problems.len(), self.stated.len());
        self.c.at += 1;
        self.depth += 1;
        let mut steps = self.steps();
        self.depth -= 1;
        let whole = self.c.at == close && self.problems.len() == problems && self.stated.len() == stated;
        self.c.at = close + 1;
        if let Some((n, _)) = self.c.times() {
            let span = self.c.since(start);
            steps = vec![Step { act: Act::Repeat { steps, times: Times::InAll(n), stop: None }, span }];
        }
        let placed = matches!(self.c.word(0), Some("in" | "into" | "all"));
        let worked = steps.iter().any(|s| matches!(s.act, Act::Work { .. } | Act::Repeat { .. } | Act::Group { .. }));
        if whole && worked && !placed {
            return Some(steps);
        }
        self.problems.truncate(problems);
        self.stated.truncate(stated);
        self.c.at = start;
        None
    }
}
