//! Chains told to count with the stitches behind them: "ch 2, dc in next dc (counts as dc2tog)".

use super::phrase::{RowReader, Run};
use super::stitch::Named;
use super::words;
use crate::instructions::{Act, Class, Step, Target};

/// Steps between the chain and the words that tell what it counts as.
const MOST_BEHIND: usize = 3;

impl RowReader<'_> {
    /// "first cluster", "dc3tog" behind "counts as": the chain is a leg of the stitches behind it, and no stitch of its own.
    /// Where those go into the next places, it stands on the first.
    pub(super) fn is_leg_of_cluster(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let _ = self.c.eat_any(&["a", "an", "the", "one"]);
        let _ = self.c.eat_any(&["first", "beg", "beginning", "1st", "starting"]);
        let joined = match self.c.stitch() {
            Some(Named::Form(form)) => form.legs > 1,
            Some(Named::Special(k)) => self.c.house.specials[k].form.is_some_and(|f| f.legs > 1),
            _ => {
                let _ = self.c.number();
                let _ = self.c.eat_kind(&super::lex::Kind::Dash);
                let _ = self.c.stem();
                self.c.word(0).is_some_and(|w| words::CLUSTERS.iter().any(|c| words::is_or_plural(w, c))) && {
                    self.c.at += 1;
                    true
                }
            }
        };
        let _ = joined && self.c.eat("made");
        let behind = run.steps.iter().rev().take(MOST_BEHIND).position(|s| matches!(s.act, Act::Chain { .. }));
        let (Some(behind), true, true) = (behind.filter(|&k| k > 0), joined, self.c.at_break()) else {
            self.c.at = start;
            return false;
        };
        let at = run.steps.len() - behind;
        let span = run.steps[at - 1].span;
        let next = match &run.steps[at].act {
            Act::Work { at: Target::Next { class, .. }, .. } => {
                matches!(class, Class::Any | Class::Stitch | Class::Kind(_))
            }
            _ => false,
        };
        if next {
            let act = Act::Skip { n: 1, class: Class::Stitch };
            run.steps.insert(at, Step { act, span });
        }
        let act = Act::Counts { stem: None, space: 0, counts: false };
        run.steps.insert(at, Step { act, span });
        true
    }
}

/// "Ch 2, dc3tog over next 3 sts, *ch 3, dc4tog over next 4 sts; rep from *": the chain that opens the row is the leg that
/// the first has less than its fellows.
pub(super) fn chain_is_leg(steps: &mut Vec<Step>) {
    let slips = |s: &Step| matches!(&s.act, Act::Work { form, .. } if form.stem == crate::craft::Stem::SlipStitch);
    let Some(at) = steps.iter().position(|s| !slips(s) && !matches!(s.act, Act::Turn | Act::With { .. })) else {
        return;
    };
    let [
        Step { act: Act::Chain { n: 2..=4 }, span },
        Step { act: Act::Work { form, at: Target::Next { n: 1, .. }, .. }, .. },
        rest @ ..,
    ] = &steps[at..]
    else {
        return;
    };
    let fellow = crate::craft::StitchForm { legs: form.legs.saturating_add(1), ..*form };
    if form.places() < 2 || !rest.iter().any(|s| matches!(s.act, Act::Repeat { .. }) && works_form(s, fellow)) {
        return;
    }
    let span = *span;
    let acts = [Act::Counts { stem: None, space: 0, counts: false }, Act::Skip { n: 1, class: Class::Stitch }];
    steps.splice(at + 1..at + 1, acts.map(|act| Step { act, span }));
}

fn works_form(step: &Step, wanted: crate::craft::StitchForm) -> bool {
    match &step.act {
        Act::Work { form, .. } => *form == wanted,
        Act::Repeat { steps, .. } => steps.iter().any(|s| works_form(s, wanted)),
        _ => false,
    }
}
