//! Gaps between clumps of stitches that words call spaces: "3 dc in next sp" over rows of groups with no chain between.

use super::edge::{LiveEdge, What};
use crate::fabric::{Fabric, Place};
use crate::instructions::{Act, Class, Step, Target, Times};
use std::ops::Range;

impl LiveEdge {
    /// Stitches that stand in one place, and those that stand alone, in order.
    pub(super) fn clumps(&self, fabric: &Fabric) -> Vec<Range<usize>> {
        let mut found: Vec<Range<usize>> = Vec::new();
        let mut last: Option<Place> = None;
        for i in 0..self.spots.len() {
            let here = self.spots[i].foot(fabric);
            match found.last_mut() {
                Some(clump) if here.is_some() && here == last => clump.end = i + 1,
                _ => found.push(i..i + 1),
            }
            last = here;
        }
        found
    }

    /// True where the spaces that words name can only be the gaps of this edge: it has no chain space, and clumps.
    fn has_gaps_for_spaces(&self, fabric: &Fabric) -> bool {
        let stitches = self.spots.iter().all(|s| matches!(s.what, What::Stitch(_) | What::Turning(_)));
        stitches && self.clumps(fabric).iter().filter(|c| c.len() > 1).count() > 1
    }
}

/// Puts gaps in the place of the spaces that steps name, where the edge has no others.
pub(super) fn for_spaces(steps: &mut Vec<Step>, edge: &LiveEdge, fabric: &Fabric) {
    if closes_own_loop(steps) {
        return;
    }
    let named = gap_named(steps);
    let none = !edge.spots.iter().any(crate::working::edge::Spot::is_space);
    let as_named = |at: &Target, class: &Class| {
        gaps_of(at).map(|(gap, n)| match gap {
            Target::Between { each, .. } => (Target::Between { class: class.clone(), each }, n),
            gap => (gap, n),
        })
    };
    let gap: &dyn Fn(&Target) -> Option<(Target, u32)> =
        if steps.iter().any(names_space) && edge.has_gaps_for_spaces(fabric) {
            &gaps_of
        } else if let Some(class) = &named {
            // "*3 dc in next space between groups, …; rep from * around, 3 dc in last space": a gap like the others, as all are
            // where the edge has no space
            &|at| match at {
                at if none => as_named(at, class),
                Target::Last { n, class: Class::Space(None) } => {
                    Some((Target::Between { class: class.clone(), each: false }, *n))
                }
                _ => None,
            }
        } else {
            return;
        };
    *steps = std::mem::take(steps).into_iter().map(|s| in_gaps(s, gap)).collect();
}

/// "Ch 10, sl st in same st, 15 sc in loop": the space named is the row's own.
fn closes_own_loop(steps: &[Step]) -> bool {
    const LEAST: u32 = 3;
    let slips = |s: &Step| {
        matches!(&s.act, Act::Work { each: 1, form, .. } if form.stem == crate::craft::Stem::SlipStitch)
            || matches!(s.act, Act::Join { .. })
    };
    steps.windows(3).any(|w| {
        matches!(w[0].act, Act::Chain { n } if n >= LEAST)
            && slips(&w[1])
            && matches!(&w[2].act, Act::Work { at: Target::Next { n: 1, class: Class::Space(_) }, .. })
    })
}

/// What the gaps lie between that the words of a row name.
fn gap_named(steps: &[Step]) -> Option<Class> {
    steps.iter().find_map(|step| match &step.act {
        Act::Work { at: Target::Between { class, .. }, .. }
        | Act::Group { at: Target::Between { class, .. }, .. }
        | Act::Attach { at: Some(Target::Between { class, .. }), .. } => Some(class.clone()),
        Act::Repeat { steps, .. } => gap_named(steps),
        _ => None,
    })
}

fn names_space(step: &Step) -> bool {
    match &step.act {
        Act::Work { at, .. } | Act::Group { at, .. } => gaps_of(at).is_some(),
        Act::Repeat { steps, .. } => steps.iter().any(names_space),
        _ => false,
    }
}

/// The gaps in the place of a space, and how many of them one by one.
fn gaps_of(at: &Target) -> Option<(Target, u32)> {
    let gap = |each: bool| Target::Between { class: Class::Space(None), each };
    match at {
        Target::Next { n, class: Class::Space(None) } | Target::Last { n, class: Class::Space(None) } => {
            Some((gap(false), *n))
        }
        Target::First { class: Class::Space(None) } => Some((gap(false), 1)),
        Target::Each { class: Class::Space(None), less: 0, every: 1 } => Some((gap(true), 1)),
        _ => None,
    }
}

fn in_gaps(mut step: Step, gaps_of: &dyn Fn(&Target) -> Option<(Target, u32)>) -> Step {
    let times = match &mut step.act {
        Act::Repeat { steps, .. } => {
            *steps = std::mem::take(steps).into_iter().map(|s| in_gaps(s, gaps_of)).collect();
            1
        }
        Act::Work { at, .. } | Act::Group { at, .. } => match gaps_of(at) {
            Some((gap, n)) => {
                *at = gap;
                n
            }
            None => 1,
        },
        _ => 1,
    };
    if times == 1 {
        return step;
    }
    let span = step.span;
    Step { act: Act::Repeat { steps: vec![step], times: Times::InAll(times), stop: None }, span }
}
