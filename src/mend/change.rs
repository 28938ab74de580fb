//! One small change of a row's steps.

use crate::craft::Stem;
use crate::instructions::{Act, Stated, Step, Target, Times};
use crate::source::Span;

/// Indices of a step, from the row inward.
pub(super) type Path = Vec<usize>;

/// A change of one row.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Change {
    /// A step does something else: a number changed, plain to increase.
    Set {
        /// Which step.
        path: Path,
        /// What it does.
        act: Act,
    },
    /// A step does something else, and so does the next, which has its number from it: "5 sc in same loop and in each loop".
    SetBoth {
        /// The first of the two.
        path: Path,
        /// What it does.
        act: Act,
    },
    /// A step is left out.
    Drop {
        /// Which step.
        path: Path,
    },
    /// A step is done twice.
    Again {
        /// Which step.
        path: Path,
    },
    /// A step is put in.
    Insert {
        /// Before which step; one past the last of its level for the end.
        path: Path,
        /// What is put in.
        act: Act,
    },
    /// A count at the end reads otherwise.
    State {
        /// Which of the counts.
        index: usize,
        /// The new number.
        count: u32,
    },
}

impl Change {
    /// The row's steps after the change; none where the path leads nowhere, or a level would be left empty.
    pub fn applied(&self, steps: &[Step]) -> Option<Vec<Step>> {
        let mut steps = steps.to_vec();
        let path = match self {
            Change::State { .. } => return Some(steps),
            Change::Set { path, .. }
            | Change::SetBoth { path, .. }
            | Change::Drop { path }
            | Change::Again { path }
            | Change::Insert { path, .. } => path,
        };
        let (&at, level) = path.split_last()?;
        let here = level_mut(&mut steps, level)?;
        match self {
            Change::Set { act, .. } => here.get_mut(at)?.act = act.clone(),
            Change::SetBoth { act, .. } => {
                here.get_mut(at)?.act = act.clone();
                if let (Act::Work { each: number, .. }, Act::Work { each, .. }) = (act, &mut here.get_mut(at + 1)?.act)
                {
                    *each = *number;
                }
            }
            Change::Drop { .. } if here.len() > 1 && at < here.len() => drop(here.remove(at)),
            Change::Again { .. } => {
                let step = here.get(at)?.clone();
                here.insert(at, step);
            }
            Change::Insert { act, .. } if at <= here.len() => {
                let span = here.get(at.saturating_sub(1)).map_or(Span::default(), |s| s.span);
                here.insert(at, Step { act: act.clone(), span });
            }
            _ => return None,
        }
        Some(steps)
    }

    /// What is stated after the change.
    pub fn stated(&self, stated: &[Stated]) -> Vec<Stated> {
        let mut stated = stated.to_vec();
        if let Change::State { index, count } = self
            && let Some(s) = stated.get_mut(*index)
        {
            s.count = *count;
        }
        stated
    }
}

/// True where the second of two steps may have its number from the first: "5 sc in same loop and in each loop".
pub(super) fn shares_number(first: &Step, second: &Step) -> bool {
    // bytes of ", and "
    const MOST_BETWEEN: usize = 6;
    let (Act::Work { each: a, form, .. }, Act::Work { each: b, form: other, .. }) = (&first.act, &second.act) else {
        return false;
    };
    let between = second.span.start.checked_sub(first.span.end);
    a == b && form == other && between.is_some_and(|n| n <= MOST_BETWEEN)
}

/// The steps inside a step; none but for groups and repeats.
pub(super) fn inside(act: &Act) -> &[Step] {
    match act {
        Act::Group { steps, .. } | Act::Repeat { steps, .. } => steps,
        _ => &[],
    }
}

fn level_mut<'s>(steps: &'s mut Vec<Step>, level: &[usize]) -> Option<&'s mut Vec<Step>> {
    let mut here = steps;
    for &k in level {
        here = match &mut here.get_mut(k)?.act {
            Act::Group { steps, .. } | Act::Repeat { steps, .. } => steps,
            _ => return None,
        };
    }
    Some(here)
}

/// The steps of a level.
pub(super) fn level<'s>(steps: &'s [Step], path: &[usize]) -> Option<&'s [Step]> {
    path.iter().try_fold(steps, |here, &k| Some(inside(&here.get(k)?.act)))
}

/// The step at a path.
pub(super) fn step_at<'s>(steps: &'s [Step], path: &[usize]) -> Option<&'s Step> {
    let (&at, above) = path.split_last()?;
    level(steps, above)?.get(at)
}

/// Deepest level looked into: an oval in a book nests two deep.
const DEEPEST: usize = 4;

/// Every step of a row with its path, outer ones first.
pub(super) fn all_steps(steps: &[Step]) -> Vec<Path> {
    let mut found = Vec::new();
    gather(steps, &mut Vec::new(), &mut found);
    found
}

fn gather(steps: &[Step], here: &mut Path, found: &mut Vec<Path>) {
    for (k, step) in steps.iter().enumerate() {
        here.push(k);
        found.push(here.clone());
        if here.len() < DEEPEST {
            gather(inside(&step.act), here, found);
        }
        here.pop();
    }
}

/// Every level of a row: the row itself, and what stands inside its groups and repeats.
pub(super) fn all_levels(steps: &[Step]) -> Vec<Path> {
    let inner = all_steps(steps).into_iter().filter(|p| step_at(steps, p).is_some_and(|s| !inside(&s.act).is_empty()));
    std::iter::once(Vec::new()).chain(inner).collect()
}

/// True where a step lies inside a repeat that goes on to the end.
pub(super) fn in_open_repeat(steps: &[Step], path: &[usize]) -> bool {
    (1..path.len()).any(|k| {
        step_at(steps, &path[..k]).is_some_and(|s| {
            matches!(s.act, Act::Repeat { times: Times::ToEnd { .. } | Times::UpTo { .. } | Times::Along, .. })
        })
    })
}

/// True for a step that takes places or makes stitches: what a phrase is to someone who lost one.
pub(super) fn is_phrase(act: &Act) -> bool {
    matches!(
        act,
        Act::Work { .. }
            | Act::Group { .. }
            | Act::Repeat { .. }
            | Act::Skip { .. }
            | Act::Chain { .. }
            | Act::Picot { .. }
    )
}

/// True where steps hold no phrase but chains: all the work of the row fell out.
pub(super) fn is_bare(steps: &[Step]) -> bool {
    !steps.iter().any(|s| is_phrase(&s.act) && !matches!(s.act, Act::Chain { .. }))
}

/// The stem of the first stitch that an act makes; a slip stitch is none.
pub(super) fn first_stem(act: &Act) -> Option<Stem> {
    match act {
        Act::Work { form, .. } if form.stem != Stem::SlipStitch => Some(form.stem),
        _ => inside(act).iter().find_map(|s| first_stem(&s.act)),
    }
}

/// True for a step behind which nothing can follow along the edge.
pub(super) fn ends_edge(act: &Act) -> bool {
    match act {
        Act::Work { at, .. } | Act::Group { at, .. } => {
            matches!(
                at,
                Target::Last { .. } | Target::Each { less: 0, .. } | Target::TurningTop | Target::Evenly { .. }
            )
        }
        Act::Repeat { times: Times::ToEnd { less: 0, .. } | Times::Along, .. } | Act::Leave { .. } => true,
        _ => false,
    }
}

/// True for a step before which nothing can stand along the edge.
pub(super) fn starts_edge(act: &Act) -> bool {
    matches!(
        act,
        Act::Work { at: Target::First { .. } | Target::FromHook { .. } | Target::Ring, .. }
            | Act::Group { at: Target::First { .. } | Target::FromHook { .. } | Target::Ring, .. }
    )
}

/// The same steps without their places in the text.
pub(super) fn bare(steps: &[Step]) -> Vec<Step> {
    steps.iter().map(|s| Step { act: bare_act(&s.act), span: Span::default() }).collect()
}

/// The same act without places in the text.
pub(super) fn bare_act(act: &Act) -> Act {
    let mut act = act.clone();
    if let Act::Group { steps, .. } | Act::Repeat { steps, .. } = &mut act {
        *steps = bare(steps);
    }
    act
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reading::{ReadOptions, read};

    fn changed(change: &Change) -> Option<String> {
        let (pattern, _) =
            read("Bud\n\nRnd 1: Sc in next 4 sts, [2 sc in next st, sc in next st] twice.\n", &ReadOptions::default());
        let mut row = pattern.parts[0].rows[0].clone();
        row.steps = change.applied(&row.steps)?;
        Some(row.to_string())
    }

    #[test]
    fn a_change_reaches_into_brackets() {
        let chain = Act::Chain { n: 3 };
        let whole = "sc in each of next 4 sts, [2 sc in next st, sc in next st] 2 times";
        assert_eq!(changed(&Change::State { index: 0, count: 1 }).as_deref(), Some(whole));
        assert_eq!(
            changed(&Change::Drop { path: vec![1, 1] }).as_deref(),
            Some("sc in each of next 4 sts, [2 sc in next st] 2 times")
        );
        assert_eq!(
            changed(&Change::Again { path: vec![1, 0] }).as_deref(),
            Some("sc in each of next 4 sts, [2 sc in next st, 2 sc in next st, sc in next st] 2 times")
        );
        assert_eq!(
            changed(&Change::Insert { path: vec![1, 2], act: chain.clone() }).as_deref(),
            Some("sc in each of next 4 sts, [2 sc in next st, sc in next st, ch 3] 2 times")
        );
        assert_eq!(
            changed(&Change::Set { path: vec![0], act: chain }).as_deref(),
            Some("ch 3, [2 sc in next st, sc in next st] 2 times")
        );
        assert_eq!(changed(&Change::Drop { path: vec![7] }), None);
    }
}
