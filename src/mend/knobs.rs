//! The numbers of an act, and the act with another number.

use crate::instructions::{Act, Class, Target, Times};

/// Which number of an act.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Knob {
    /// Stitches in each place.
    Each,
    /// Places, skips, chains.
    Count,
    /// Places left at the end.
    Less,
    /// Every so many.
    Every,
    /// Passes of a repeat.
    Times,
    /// Chains of the space named, or of a picot.
    Length,
    /// Chains from the hook.
    Hook,
}

/// Every number of an act with its value.
pub(super) fn knobs(act: &Act) -> Vec<(Knob, u32)> {
    let mut found = Vec::new();
    match act {
        Act::Chain { n } => found.push((Knob::Count, *n)),
        Act::Picot { n } => found.push((Knob::Length, *n)),
        Act::Skip { n, class } => {
            found.push((Knob::Count, *n));
            found.extend(length(class).map(|n| (Knob::Length, n)));
        }
        Act::Work { each, at, .. } => {
            found.push((Knob::Each, *each));
            of_target(at, &mut found);
        }
        Act::Group { at, .. } => of_target(at, &mut found),
        Act::Repeat { times, .. } => match times {
            Times::InAll(n) | Times::More(n) | Times::Doubt(n) => found.push((Knob::Times, *n)),
            Times::ToEnd { less, .. } if *less > 0 => found.push((Knob::Less, *less)),
            Times::ToEnd { .. } | Times::UpTo { .. } | Times::Along => {}
        },
        _ => {}
    }
    found
}

fn of_target(at: &Target, found: &mut Vec<(Knob, u32)>) {
    match at {
        Target::Next { n, class } | Target::Last { n, class } => {
            found.push((Knob::Count, *n));
            found.extend(length(class).map(|n| (Knob::Length, n)));
        }
        Target::Each { class, less, every } => {
            if *less > 0 {
                found.push((Knob::Less, *less));
            }
            if *every > 1 {
                found.push((Knob::Every, *every));
            }
            found.extend(length(class).map(|n| (Knob::Length, n)));
        }
        Target::FromHook { n } => found.push((Knob::Hook, *n)),
        Target::Evenly { n: Some(n) } => found.push((Knob::Count, *n)),
        Target::First { class } | Target::Centre { class } => found.extend(length(class).map(|n| (Knob::Length, n))),
        _ => {}
    }
}

fn length(class: &Class) -> Option<u32> {
    match class {
        Class::Space(n) => *n,
        _ => None,
    }
}

/// The act with one of its numbers changed.
pub(super) fn with(act: &Act, knob: Knob, value: u32) -> Act {
    let mut act = act.clone();
    match (&mut act, knob) {
        (Act::Chain { n }, Knob::Count) | (Act::Picot { n }, Knob::Length) | (Act::Skip { n, .. }, Knob::Count) => {
            *n = value;
        }
        (Act::Skip { class, .. }, Knob::Length) => *class = Class::Space(Some(value)),
        (Act::Work { each, .. }, Knob::Each) => *each = value,
        (Act::Work { at, .. } | Act::Group { at, .. }, _) => set_target(at, knob, value),
        (Act::Repeat { times, .. }, _) => match times {
            Times::InAll(n) | Times::More(n) | Times::Doubt(n) => *n = value,
            Times::ToEnd { less, .. } => *less = value,
            Times::UpTo { .. } | Times::Along => {}
        },
        _ => {}
    }
    act
}

fn set_target(at: &mut Target, knob: Knob, value: u32) {
    match (at, knob) {
        (Target::Next { n, .. } | Target::Last { n, .. } | Target::Evenly { n: Some(n) }, Knob::Count)
        | (Target::FromHook { n }, Knob::Hook)
        | (Target::Each { less: n, .. }, Knob::Less)
        | (Target::Each { every: n, .. }, Knob::Every) => *n = value,
        (
            Target::Next { class, .. }
            | Target::Last { class, .. }
            | Target::Each { class, .. }
            | Target::First { class }
            | Target::Centre { class },
            Knob::Length,
        ) => *class = Class::Space(Some(value)),
        _ => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::craft::{Stem, StitchForm};

    #[test]
    fn every_number_of_an_act_can_be_turned() {
        let sc = StitchForm::plain(Stem::Single);
        let work = Act::Work { each: 2, form: sc, at: Target::Next { n: 5, class: Class::Space(Some(3)) } };
        let skip = Act::Skip { n: 4, class: Class::Stitch };
        let again = Act::Repeat { steps: Vec::new(), times: Times::More(6), stop: None };
        for act in [work, skip, again, Act::Chain { n: 7 }, Act::Picot { n: 3 }] {
            for (knob, value) in knobs(&act) {
                let turned = with(&act, knob, value + 1);
                assert_ne!(turned, act, "{knob:?}");
                assert!(knobs(&turned).contains(&(knob, value + 1)));
                assert_eq!(with(&turned, knob, value), act);
            }
        }
    }
}
