//! Slip stitches at the end of a round: the one that closes it, and those that run on past its start.

use super::edge::State;
use super::row::{RowWork, works};
use crate::craft::{Stem, StitchForm};
use crate::fabric::{Place, Role};
use crate::instructions::{Act, Class, Step, Target};
use crate::source::{Code, Span};

/// Stitches of the shortest row that can come back to its own first.
const LEAST_ROUND: usize = 4;

impl RowWork<'_> {
    /// A slip stitch into the first stitch, with nothing worked behind it, is the round's join; so is a taller one that
    /// makes the last space together with the chain before it.
    pub(super) fn closes_round(&self, each: u32, form: StitchForm, at: &Target, rest: &[Step]) -> bool {
        // "in top of beg popcorn": what the round began with
        let opening = |class: &Class| matches!(class, Class::Group(name) if super::shapes::base_name(name) != name);
        let first = match at {
            Target::First { .. } | Target::TurningTop => true,
            Target::Next { n: 1, class } | Target::Within { shape: class, .. } => opening(class),
            _ => false,
        };
        // an edging that comes back to its own first stitch is closed there, whatever its heading
        let round = self.round_heading || matches!(at, Target::First { .. }) && self.made.len() >= LEAST_ROUND;
        if !(first && round && each == 1 && form.places() == 1) || rest.iter().any(works) {
            return false;
        }
        // "ch 2, dc in first sc": the stitch is the rest of the last space
        let joins = |s: &Step| matches!(s.act, Act::Join { .. });
        let tall = form.stem > Stem::SlipStitch && !self.chains.is_empty() && self.edge.closed;
        form.stem == Stem::SlipStitch || tall && !rest.iter().any(joins)
    }

    /// What lies behind a repeat, but for a slip stitch into the next stitch at the end of a round: it goes past the
    /// round's start, and takes no place of the edge.
    pub(super) fn before_slip<'s>(&self, rest: &'s [Step]) -> &'s [Step] {
        let Some(last) = rest.iter().rposition(works) else { return rest };
        let slips = match &rest[last].act {
            Act::Work { each: 1, form, at: Target::Next { n: 1, class: Class::Any | Class::Stitch } } => {
                form.stem == Stem::SlipStitch
            }
            _ => false,
        };
        if slips && self.edge.closed && self.round_heading { &rest[..last] } else { rest }
    }

    /// "*(ch 2, 2 dc, ch 2, sl st) in same st, sl st in next st; rep from * around": every pass fills the place that the
    /// slip stitch before it reached, so the last place of the round has a pass too.
    pub(super) fn petals_in_same(&self, steps: &[Step]) -> bool {
        let same =
            |s: &Step| matches!(&s.act, Act::Group { at: Target::Same, .. } | Act::Work { at: Target::Same, .. });
        let slips = |s: &Step| matches!(&s.act, Act::Work { each: 1, form, at: Target::Next { n: 1, .. } } if form.stem == Stem::SlipStitch);
        // "*ch 5, sl st in 2nd ch from hook, sc in next 3 ch, sl st in same st, sl st in next st": a leaf on its own chain
        let on_chain = |s: &Step| match &s.act {
            Act::Chain { .. } => true,
            Act::Work { at, .. } => {
                matches!(at, Target::FromHook { .. } | Target::Next { class: Class::Chain, .. })
            }
            _ => false,
        };
        let first = steps.iter().find(|s| !on_chain(s));
        self.edge.closed && steps.len() > 1 && first.is_some_and(same) && steps.last().is_some_and(slips)
    }

    /// The first place of a class, where the round has used it already: at its end it can only be gone back to.
    pub(super) fn first_again(&self, class: &Class) -> Option<usize> {
        let k = self.edge.spots.iter().position(|s| s.is(class))?;
        (self.edge.closed && k < self.edge.cursor && self.edge.spots[k].state == State::Used).then_some(k)
    }

    /// "Slip to centre of first loop, *5 ch, 1 dc in next loop; repeat from * all round": the last pass ends in the loop the
    /// yarn was carried to, where no words tell another end, or where only that makes what is stated.
    pub(super) fn come_back_to_the_start(&mut self, steps: &[Step], span: Span, rest: &[Step]) {
        if !self.edge.closed || self.room().1 > 0 {
            return;
        }
        let Some(k) = self.edge.spots.iter().position(|s| s.state == State::Used) else { return };
        let place = self.edge.spots[k].place;
        let fabric = &self.bench.fabric;
        let mut here =
            fabric.row(self.row).order.iter().map(|&id| fabric.stitch(id)).filter(|s| s.into.contains(&place));
        let slipped = here.clone().next().is_some() && here.all(|s| s.is_slip_stitch());
        if self.edge.spots[k].is_space()
            && slipped
            && (rest.is_empty() || !self.tally.stated.is_empty() && self.doubt(span, 2, Code::RepeatRemainder) == 1)
        {
            self.edge.spots[k].state = State::Passed;
            self.run(steps);
        }
    }

    /// "Dc in each sc to center sc of next corner", where that corner is the one the round began in: what the start was
    /// carried past lies before it, and is worked like the rest.
    pub(super) fn on_to_the_start(&mut self, class: &Class, work: impl Fn(&mut Self, usize)) {
        if self.edge.cursor < self.edge.spots.len() {
            return;
        }
        while let Some(k) = self.edge.past_the_start(class) {
            self.edge.take(k);
            work(self, k);
        }
    }

    /// Slip stitches past the end of a round run on over its own first stitches: they carry the yarn and use nothing.
    pub(super) fn slip_past_the_start(&mut self, at: &Target, span: Span) {
        let n = match at {
            Target::Next { n, .. } => *n as usize,
            _ => 1,
        };
        let places: Vec<Place> = self.made.iter().take(n).map(|s| s.place).collect();
        for place in places {
            self.bench.make(self.row, StitchForm::plain(Stem::SlipStitch), &[place], Role::Travel, span);
        }
    }
}
