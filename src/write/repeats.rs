//! Work written out again and again, found and said once.

use super::prove::same_steps;
use crate::instructions::{Act, Class, Step, Target, Times};
use crate::source::Span;
use std::collections::BTreeMap;

/// Longest run of steps that is looked for.
const LONGEST: usize = 12;

/// The steps with runs that follow upon themselves put into a repeat, and stitches one after another told together.
///
/// `alike` takes, for the words of every step that is said for others, the words of those others.
pub(super) fn found(steps: &[Step], alike: &mut BTreeMap<Span, Vec<Span>>) -> Vec<Step> {
    let steps = told_together(steps, alike);
    let mut out: Vec<Step> = Vec::new();
    let mut at = 0;
    while at < steps.len() {
        match longest(&steps[at..]) {
            Some((len, times)) => {
                let run = &steps[at..at + len];
                for pass in 1..times {
                    for (k, step) in run.iter().enumerate() {
                        alike.entry(step.span).or_default().push(steps[at + pass * len + k].span);
                    }
                }
                let span = run[0].span.to(steps[at + len * times - 1].span);
                let more = u32::try_from(times - 1).unwrap_or(u32::MAX);
                let act = Act::Repeat { steps: run.to_vec(), times: Times::More(more), stop: None };
                out.push(Step { act, span });
                at += len * times;
            }
            None => {
                out.push(steps[at].clone());
                at += 1;
            }
        }
    }
    out
}

/// The run of steps at the start that follows upon itself and covers most: its length, and how often it is there.
fn longest(steps: &[Step]) -> Option<(usize, usize)> {
    let mut best: Option<(usize, usize)> = None;
    for len in 2..=LONGEST.min(steps.len() / 2) {
        let run = &steps[..len];
        if !run.iter().all(|s| works(&s.act)) {
            break;
        }
        let times = 1 + steps[len..].chunks_exact(len).take_while(|next| same_steps(run, next)).count();
        let covered = |&(len, times): &(usize, usize)| len * times;
        if times > 1 && best.as_ref().is_none_or(|b| covered(b) < len * times) {
            best = Some((len, times));
        }
    }
    best
}

/// "2 sc in next st, 2 sc in next st" as "2 sc in each of next 2 sts".
fn told_together(steps: &[Step], alike: &mut BTreeMap<Span, Vec<Span>>) -> Vec<Step> {
    let mut out: Vec<Step> = Vec::new();
    for step in steps {
        if let (Some(last), Act::Work { each, form, at: Target::Next { n, class } }) = (out.last_mut(), &step.act)
            && form.places() == 1
            && form.extra.post.is_none()
            && *class != Class::Tip
            && let Act::Work { each: before, form: same, at: Target::Next { n: sum, class: of } } = &mut last.act
            && (*before, &*same, &*of) == (*each, form, class)
        {
            *sum += n;
            alike.entry(last.span).or_default().push(step.span);
        } else {
            out.push(step.clone());
        }
    }
    out
}

/// True for steps that may stand in a repeat.
fn works(act: &Act) -> bool {
    match act {
        Act::Work { at, .. } => matches!(at, Target::Next { .. } | Target::Same),
        Act::Group { at, .. } => matches!(at, Target::Next { .. } | Target::Same),
        Act::Repeat { times, .. } => matches!(times, Times::InAll(_) | Times::More(_)),
        Act::Chain { .. } | Act::Skip { .. } | Act::Picot { .. } => true,
        _ => false,
    }
}
