//! Several classes of place worked along an edge in turn: "sc in each dc and 2 sc in each ch-2 sp around", "sc in each
//! st around, working 3 sc in each corner".

use super::lex::Kind;
use super::phrase::{RowReader, Run};
use super::stitch::Named;
use super::words;
use crate::instructions::{Act, Class, Step, Target, Times};

impl RowReader<'_> {
    /// Work in each place of a further class, behind work in each place of another.
    pub(super) fn along_clause(&mut self, run: &mut Run) -> bool {
        let Some(before) = run.steps.last().filter(|s| goes_along(s)) else { return false };
        let told = classes(before);
        let start = self.c.at;
        let _ = self.c.eat_any(&["and", "then"]);
        let joined = self.c.at > start;
        let led = self.c.eat_any(words::HAVING) || self.c.eat("except");
        let _ = led && self.c.eat_any(&["work", "for"]);
        let problems = self.problems.len();
        let mut inner = Run::default();
        let read = match self.c.kind(0) {
            Some(Kind::Open(_)) => self.bracket_has_place() && self.bracket(&mut inner),
            // ", 3 sc in corner": the corner come to, no clause of them all
            _ if !led && !joined && self.one_corner() => false,
            _ => self.at_corners(&mut inner) || self.work(&mut inner),
        };
        let fits = match inner.steps.as_slice() {
            [step] => goes_along(step) && classes(step).iter().all(|c| !told.contains(c)),
            _ => false,
        };
        if !(read && fits) || self.problems.len() > problems {
            self.problems.truncate(problems);
            self.c.at = start;
            return false;
        }
        let Some(before) = run.steps.pop() else { return false };
        let span = before.span.to(self.c.since(start));
        let mut steps = match before.act {
            Act::Repeat { steps, times: Times::Along, .. } => steps,
            _ => vec![before],
        };
        steps.extend(inner.steps);
        run.steps.push(Step { act: Act::Repeat { steps, times: Times::Along, stop: None }, span });
        true
    }
}

impl RowReader<'_> {
    /// "3 sc in corner sts", "3 sc in center st of each corner".
    fn at_corners(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        // "each corner sp" is read as it stands
        let plain = matches!(self.c.word(3), Some("each" | "every" | "next" | "first" | "last"));
        match self.corner_stitches() {
            Some((each, Named::Form(form))) if !plain || self.c.tokens[start..self.c.at].iter().any(is_centre) => {
                let at = Target::Each { class: Class::CornerStitch, less: 0, every: 1 };
                let span = self.c.since(start);
                run.steps.push(Step { act: Act::Work { each, form, at }, span });
                true
            }
            _ => {
                self.c.at = start;
                false
            }
        }
    }

    /// True at "3 sc in corner", "3 sc in next corner": stitches in one corner.
    fn one_corner(&self) -> bool {
        let mut c = self.c.clone();
        let stitch = c.number().is_some() && c.stitch().is_some() && c.eat_any(&["in", "into", "at"]);
        let _ = c.eat("the");
        let _ = c.eat_any(&["next", "first", "last"]);
        stitch && c.eat("corner") && c.at_break()
    }

    /// True where a place stands behind the bracket here.
    fn bracket_has_place(&self) -> bool {
        let close = self.partners.get(self.c.at).copied().flatten();
        close.is_some_and(|k| matches!(self.c.kind_at(k + 1), Some(Kind::Word(w)) if w == "in" || w == "into"))
    }
}

/// True for work in each place of a class to the end.
fn goes_along(step: &Step) -> bool {
    match &step.act {
        Act::Work { at: Target::Each { class, less: 0, every: 1 }, form, .. } => {
            *class != Class::RowEnd && form.places() == 1
        }
        Act::Group { at: Target::Each { class, less: 0, every: 1 }, .. } => *class != Class::RowEnd,
        Act::Repeat { times: Times::Along, .. } => true,
        _ => false,
    }
}

fn is_centre(token: &super::lex::Token) -> bool {
    matches!(&token.kind, Kind::Word(w) if words::CENTRE.contains(&w.as_str()))
}

fn classes(step: &Step) -> Vec<Class> {
    match &step.act {
        Act::Work { at: Target::Each { class, .. }, .. } | Act::Group { at: Target::Each { class, .. }, .. } => {
            vec![class.clone()]
        }
        Act::Repeat { steps, .. } => steps.iter().flat_map(classes).collect(),
        _ => Vec::new(),
    }
}
