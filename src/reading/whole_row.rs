//! What only the whole row tells: what goes into a ring, a chain closed into one, a corner the yarn was carried to, a chain
//! passed by.

use super::phrase::{RowReader, Run};
use crate::craft::{Stem, StitchForm};
use crate::instructions::{Act, Class, Step, Target, Times};

impl RowReader<'_> {
    /// What only the whole row tells.
    pub(super) fn settle_row(&mut self, run: &mut Run) {
        if self.depth > 0 {
            return;
        }
        into_ring(&mut run.steps);
        same_corner(&mut run.steps, self.text);
        past_own_chain(&mut run.steps);
        closed_chain(&mut run.steps);
        slip_into_first(&mut run.steps);
        super::counts_as::chain_is_leg(&mut run.steps);
        joined_at_cluster(&mut run.steps, self.text);
    }
}

/// "Magic ring, 6 sc": what follows a ring of thread with no place of its own goes into it.
fn into_ring(steps: &mut [Step]) {
    let Some(ring) = steps.iter().position(|s| s.act == Act::Ring { thread: true }) else { return };
    let _ = all_into_ring(&mut steps[ring + 1..]);
}

/// False once a step has a place of its own.
fn all_into_ring(steps: &mut [Step]) -> bool {
    for step in steps {
        match &mut step.act {
            Act::Chain { .. } | Act::Counts { .. } => {}
            // "in magic ring, beg pc, ch 3, (pc, ch 3) 5 times"
            Act::Group { at: at @ (Target::NEXT | Target::Same), .. } => *at = Target::Ring,
            Act::Repeat { steps, times: Times::InAll(_), .. } => {
                if !all_into_ring(steps) {
                    return false;
                }
            }
            Act::Work { each, form, at } if form.places() == 1 && form.stem != Stem::SlipStitch => match at {
                Target::Next { n, class: Class::Any } if *each == 1 => (*each, *at) = (*n, Target::Ring),
                _ => return false,
            },
            _ => return false,
        }
    }
    true
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

/// "(Sl st, ch 3, 3 dc, ch 2, 4 dc) in first loop, (4 dc, ch 2, 4 dc) in each loop around": the slip stitch carries the
/// yarn there, and the chain opens the round. Where others begin with a slip stitch as well, it is part of their shape.
fn slip_into_first(steps: &mut Vec<Step>) {
    let slip =
        |s: &Step| matches!(&s.act, Act::Work { each: 1, form, at: Target::NEXT } if form.stem == Stem::SlipStitch);
    let begins = |s: &Step| matches!(&s.act, Act::Group { steps, .. } if steps.first().is_some_and(slip));
    let Some(k) = steps.iter().position(|s| s.act.works()) else { return };
    let Act::Group { steps: inner, at, .. } = &mut steps[k].act else { return };
    let [first, Step { act: Act::Chain { .. }, .. }, .., last] = inner.as_slice() else { return };
    if !slip(first) || slip(last) || *at == Target::Same {
        return;
    }
    let carried = Step {
        act: Act::Work { each: 1, form: StitchForm::plain(Stem::SlipStitch), at: at.clone() },
        span: first.span,
    };
    let alike = |s: &Step| begins(s) || matches!(&s.act, Act::Repeat { steps, .. } if steps.iter().any(begins));
    if steps[k + 1..].iter().any(alike) {
        return;
    }
    if let Act::Group { steps: inner, at, .. } = &mut steps[k].act {
        inner.remove(0);
        *at = Target::Same;
    }
    steps.insert(k, carried);
}

/// "Ch 2, (puff in ring, ch 2) 8 times; join in top of first puff": the round begins with that puff, and its chain is no
/// stitch.
fn joined_at_cluster(steps: &mut Vec<Step>, text: &str) {
    let slips = |s: &Step| matches!(&s.act, Act::Work { form, .. } if form.stem == Stem::SlipStitch);
    let Some(chain) = steps.iter().position(|s| !slips(s)) else { return };
    let Act::Chain { n: 2.. } = steps[chain].act else { return };
    let first = steps.get(chain + 1..).unwrap_or_default().iter().find_map(|s| first_work(s));
    let clustered = matches!(first, Some((form, at)) if form.legs > 1 && *at != Target::Same);
    let told = matches!(steps.get(chain + 1).map(|s| &s.act), Some(Act::Counts { .. }));
    let Some(last) = steps.iter().rev().find(|s| slips(s) || matches!(s.act, Act::Join { .. })) else { return };
    let words = text.get(last.span.start..last.span.end).unwrap_or_default().to_lowercase();
    let words: Vec<&str> = words.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty()).collect();
    let named = words.windows(2).any(|w| {
        matches!(w[0], "first" | "1st") && super::words::CLUSTERS.iter().any(|c| super::words::is_or_plural(w[1], c))
    });
    if clustered && !told && named {
        let span = steps[chain].span;
        steps.insert(chain + 1, Step { act: Act::Counts { stem: None, space: 0, counts: false }, span });
    }
}

/// The first work of a step, inside its repeat or group.
fn first_work(step: &Step) -> Option<(&StitchForm, &Target)> {
    match &step.act {
        Act::Work { form, at, .. } => Some((form, at)),
        Act::Repeat { steps, .. } | Act::Group { steps, .. } => steps.first().and_then(first_work),
        _ => None,
    }
}

/// What a chain closed on itself is called.
pub(super) const RINGS: &[&str] = &["ring", "circle", "loop"];

/// "Ch 6, sl st in first ch, 8 sc in loop": a chain closed where nothing is below is a ring.
fn closed_chain(steps: &mut [Step]) {
    let taken = steps.iter().take_while(|s| matches!(s.act, Act::With { .. } | Act::Attach { .. })).count();
    let closes = |s: &Step| {
        matches!(&s.act, Act::Work { each: 1, form, at: Target::First { class: Class::Chain } | Target::FromHook { .. } | Target::Ring }
            if form.stem == Stem::SlipStitch)
    };
    let into_loop = |s: &Step| {
        matches!(&s.act, Act::Work { at, .. } | Act::Group { at, .. }
            if matches!(at, Target::Ring | Target::Next { n: 1, class: Class::Space(None) }))
    };
    let chained = matches!(steps.get(taken).map(|s| &s.act), Some(Act::Chain { n: 3.. }));
    let behind = steps.iter().skip(taken + 2).find(|s| !matches!(s.act, Act::Chain { .. } | Act::Counts { .. }));
    // "ch 4, sl st into ring" alone says what is made
    let named = matches!(steps.get(taken + 1).map(|s| &s.act), Some(Act::Work { at: Target::Ring, .. }));
    let into = behind.map_or(named, into_loop);
    if chained && steps.get(taken + 1).is_some_and(closes) && into {
        steps[taken + 1].act = Act::Ring { thread: false };
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
