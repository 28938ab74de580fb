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
