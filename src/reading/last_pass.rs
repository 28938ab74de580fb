//! What comes of the end of a repeat: "ending with 2 sc in last sc", "except in last st, hdc only once"; and rows told by
//! their number of stitches alone.

use super::lex::Kind;
use super::phrase::{RowReader, Run};
use super::stitch::Named;
use super::words;
use crate::craft::Stem;
use crate::instructions::{Act, Class, Stated, Step, Target, Times};

/// "Magic ring, 6 sc": what follows a ring of thread with no place of its own goes into it.
fn into_ring(steps: &mut [Step]) {
    let Some(ring) = steps.iter().position(|s| s.act == Act::Ring { thread: true }) else { return };
    for step in &mut steps[ring + 1..] {
        match &mut step.act {
            Act::Chain { .. } | Act::Counts { .. } => {}
            Act::Work { each, form, at } if form.places() == 1 && form.stem != Stem::SlipStitch => match at {
                Target::Next { n, class: Class::Any } if *each == 1 => (*each, *at) = (*n, Target::Ring),
                _ => return,
            },
            _ => return,
        }
    }
}

/// "Sl st into corner sp, ch 4, (2 tr, ch 3, 3 tr) in corner": the corner the yarn was carried to, where the words do not
/// say "next".
fn same_corner(steps: &mut [Step], text: &str) {
    let slips = |s: &Step| matches!(&s.act, Act::Work { form, .. } if form.stem == Stem::SlipStitch);
    let Some(first) = steps.iter().position(|s| s.act.works() && !slips(s)) else { return };
    let carried = steps[..first].iter().rposition(slips);
    let into_corner = |s: &Step| {
        matches!(&s.act, Act::Work { at: Target::Next { n: 1, class: Class::Corner(_) | Class::Space(_) }, .. })
    };
    let Some(carried) = carried.filter(|&k| into_corner(&steps[k])) else { return };
    if !steps[carried + 1..first].iter().any(|s| matches!(s.act, Act::Chain { .. })) {
        return;
    }
    let step = &mut steps[first];
    let next = text.get(step.span.start..step.span.end).is_none_or(|words| words.to_lowercase().contains("next"));
    if let Act::Work { at, .. } | Act::Group { at, .. } = &mut step.act
        && matches!(at, Target::Next { n: 1, class: Class::Corner(_) })
        && !next
    {
        *at = Target::Same;
    }
}

impl RowReader<'_> {
    /// What only the whole row tells: work that follows a ring.
    pub(super) fn settle_row(&mut self, run: &mut Run) {
        if self.depth > 0 {
            return;
        }
        into_ring(&mut run.steps);
        same_corner(&mut run.steps, self.text);
        past_own_chain(&mut run.steps);
    }

    /// "ending with 2 sc in last sc": what follows a repeat; its own words are read next.
    pub(super) fn ending(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let after_repeat = matches!(run.steps.last().map(|s| &s.act), Some(Act::Repeat { .. } | Act::AsRow { .. }));
        if after_repeat && self.c.eat_any(&["ending", "end", "finishing"]) {
            let _ = self.c.eat_any(&["with", "rep", "repeat", "last"]);
            let _ = self.c.eat_any(&["with", "rep", "repeat"]);
            let _ = self.c.eat("with");
            // "ending with last sc in top of tch"
            let mut ahead = self.c.clone();
            let last = ahead.eat("last") && ahead.stitch().is_some() && matches!(ahead.word(0), Some("in" | "into"));
            self.c.at += usize::from(last);
            if self.c.at_break() {
                return false;
            }
            if matches!(run.steps.last().map(|s| &s.act), Some(Act::Repeat { times: Times::ToEnd { .. }, .. })) {
                let span = self.c.since(start);
                run.steps.push(Step { act: Act::Ending, span });
            }
            return true;
        }
        false
    }

    /// "except in last ch, hdc only once", "except for last st, work 1 dc": what the last pass of a repeat ends with.
    pub(super) fn except_in_last(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let to_end = matches!(run.steps.last().map(|s| &s.act), Some(Act::Repeat { times: Times::ToEnd { .. }, .. }));
        if !to_end || !self.c.eat_any(&["except", "but"]) {
            return false;
        }
        let _ = self.c.eat_any(&["for", "in", "into", "on"]);
        let _ = self.c.eat("the");
        let last = self.c.eat_any(&["last", "final"]);
        let Some(class) = last.then(|| self.c.class()).flatten() else {
            self.c.at = start;
            return false;
        };
        if matches!(self.c.kind(0), Some(Kind::Open(_))) {
            // "(top of ch-2)": what that is
            let Some(close) = self.matching() else { return false };
            let span = self.c.tokens[self.c.at].span.to(self.c.tokens[close].span);
            self.c.at += 1;
            let _ = self.c.eat_all(&["top", "of"]);
            let _ = self.c.eat_any(&["the", "turning", "beg", "beginning"]);
            let known = self.c.class().is_some() && self.c.at == close;
            if !known {
                self.c.at = start;
                return false;
            }
            self.notes.push(span);
            self.c.at = close + 1;
        }
        let _ = self.c.eat_kind(&Kind::Comma) || self.c.eat_kind(&Kind::Colon);
        let _ = self.c.eat_any(&["work", "make"]);
        let _ = self.c.eat("only");
        let n = self.leading_count();
        let Some(Named::Form(form)) = self.c.stitch() else {
            self.c.at = start;
            return false;
        };
        let _ = self.c.eat("only");
        let n = n.or_else(|| self.c.eat("once").then_some(1)).unwrap_or(1);
        let _ = self.c.eat("once");
        if !self.c.at_break() {
            self.c.at = start;
            return false;
        }
        let span = self.c.since(start);
        run.steps.push(Step { act: Act::Ending, span });
        self.push(run, start, Act::Work { each: n, form, at: Target::Last { n: 1, class } })
    }

    /// "Rnd 2: 9 sts." and no more: the row's usual stitch, so often.
    pub(super) fn row_of_sts(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        if !run.steps.is_empty() || self.depth > 0 {
            return false;
        }
        let Some(n) = self.c.number() else { return false };
        if !(self.c.eat_any(words::STITCH) && self.ends_row(self.c.at)) {
            return false;
        }
        let span = self.c.since(start);
        let form = self.c.usual_form();
        let at = Target::Next { n, class: Class::Any };
        run.steps.push(Step { act: Act::Work { each: 1, form, at }, span });
        self.stated.push(Stated { count: n, of: crate::instructions::CountOf::Sts, span });
        true
    }
}

/// "Ch 2, *sl st in next sc, ch 3; rep from * around, skip ch-2, join": the chain that opened the round is passed by on the
/// way to its first stitch, and no place below is: it counts as nothing.
fn past_own_chain(steps: &mut Vec<Step>) {
    let Some(Act::Chain { n: own }) = steps.first().map(|s| &s.act) else { return };
    let passed = |act: &Act| match act {
        Act::Skip { n: 1, class: Class::Space(Some(n)) } => n == own,
        Act::Skip { n, class: Class::Chain } => n == own,
        _ => false,
    };
    let at = steps.windows(2).position(|w| passed(&w[0].act) && matches!(w[1].act, Act::Join { .. }));
    if let Some(k) = at {
        steps.remove(k);
        if k > 0 && steps[k - 1].act == Act::Ending {
            steps.remove(k - 1);
        }
        let told = steps.iter().any(|s| matches!(s.act, Act::Counts { .. }));
        if !told {
            let span = steps[0].span;
            steps.insert(1, Step { act: Act::Counts { stem: None, space: 0, counts: false }, span });
        }
    }
}
