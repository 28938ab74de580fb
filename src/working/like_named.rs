//! Groups spelled out that are made as a named one is: "ch 3, (dc, ch 2, 2 dc) in same sp" at the start of a row of
//! shells is a shell to the next row.

use super::bench::Bench;
use super::edge::{LiveEdge, Spot, What};
use super::groups::heart_of;
use super::shapes::Member;
use crate::fabric::{Fabric, Place};
use crate::instructions::{Act, Class, Pick, Special, Step, Target, Which};
use std::collections::BTreeMap;
use std::ops::Range;

/// What each named group consists of, by its name.
pub(super) type Makes = BTreeMap<String, Vec<String>>;

/// What the special stitches of a pattern consist of, those that are plain stitches and chains in one place.
pub(super) fn makes(specials: &[Special]) -> Makes {
    let parts = |special: &Special| {
        let mut parts: Vec<String> = Vec::new();
        let steps = match special.steps.as_slice() {
            [Step { act: Act::Group { steps, .. }, .. }] => steps,
            steps => steps,
        };
        for step in steps {
            match &step.act {
                Act::Chain { n } if *n <= MOST_ALIKE => parts.push(format!("ch-{n}")),
                Act::Work { each: n, form, at: Target::Same | Target::Next { n: 1, .. } }
                | Act::Work { each: 1, form, at: Target::Next { n, .. } }
                    if *n <= MOST_ALIKE =>
                {
                    parts.extend(std::iter::repeat_n(form.to_string(), *n as usize));
                }
                _ => return None,
            }
        }
        // one alone, or one that a chain opens, is no shape to know it by
        let stitch = |part: Option<&String>| part.is_some_and(|p| !p.starts_with("ch-"));
        (parts.len() > 1 && stitch(parts.first()) && stitch(parts.last())).then_some(parts)
    };
    let of_pattern = specials.iter().filter(|s| !s.span.is_empty());
    of_pattern.filter_map(|s| Some((s.names.first()?.clone(), parts(s)?))).collect()
}

/// Stitches of a kind in one special stitch; a fan has a dozen.
const MOST_ALIKE: u32 = 40;

/// A group that was spelled out, and what it consists of.
pub(super) type Alike = (String, Vec<String>);

/// Gives groups without a name the name of the group made alike, where a row has made such a one. Tells which.
pub(super) fn name_alike(made: &mut [Spot], bench: &mut Bench) -> Vec<Alike> {
    let mut at = 0;
    let (mut named, mut unnamed) = (Vec::new(), Vec::new());
    while at < made.len() {
        let serial = made[at].group.as_ref().map(|g| g.serial);
        let end = (at..made.len()).find(|&i| made[i].group.as_ref().map(|g| g.serial) != serial).unwrap_or(made.len());
        match made[at].group.as_ref().map(|g| g.name.clone()) {
            Some(name) if name.is_empty() => unnamed.push(at..end),
            Some(name) => named.push((name, at..end)),
            None => {}
        }
        at = end;
    }
    for (name, range) in named {
        // "2 dc in 4th ch (half shell made)" is a half shell with the chain before it, where another is made of as many
        let whole = with_opening_chain(made, range.clone(), &bench.fabric);
        let all: Vec<String> = made[whole.clone()].iter().map(part).collect();
        let known = bench.makes.get(&name);
        let fellow = |range: &Range<usize>| made[range.clone()].iter().map(part).eq(all.iter().cloned());
        if whole != range && known.map_or_else(|| unnamed.iter().any(fellow), |make| *make == all) {
            bench.makes.entry(name.clone()).or_insert(all);
            enter(made, whole, &name);
        } else {
            bench.makes.entry(name).or_insert_with(|| made[range].iter().map(part).collect());
        }
    }
    let mut alike = Vec::new();
    if let Some(range) = opening(made, &bench.fabric) {
        let parts: Vec<String> = made[range.clone()].iter().map(part).collect();
        if let Some((name, _)) = bench.makes.iter().find(|(_, make)| **make == parts) {
            let serial = u32::try_from(bench.fabric.stitches.len()).unwrap_or(u32::MAX);
            let heart = heart_of(&made[range.clone()]);
            for (i, spot) in made[range].iter_mut().enumerate() {
                spot.group = Some(Member { serial, name: name.clone(), heart: i == heart });
            }
        }
    }
    for range in unnamed {
        for range in [with_opening_chain(made, range.clone(), &bench.fabric), range] {
            let parts: Vec<String> = made[range.clone()].iter().map(part).collect();
            if let Some((name, _)) = bench.makes.iter().find(|(_, make)| **make == parts) {
                enter(made, range, name);
                alike.push((name.clone(), parts));
                break;
            }
        }
    }
    alike
}

/// The chain that opens the row belongs to the group beside it: it stands in the same place, or skipped at the hook.
fn with_opening_chain(made: &[Spot], mut range: Range<usize>, fabric: &Fabric) -> Range<usize> {
    let feet = |i: usize| match made[i].place {
        Place::Top { top, .. } => Some(&fabric.stitch(top).into),
        _ => None,
    };
    if range.start > 0
        && matches!(made[range.start - 1].what, What::Turning(_))
        && let (Some(chain), Some(beside)) = (feet(range.start - 1), feet(range.start))
        && chain.first().is_none_or(|foot| beside.first() == Some(foot))
    {
        range.start -= 1;
    }
    range
}

/// The stitches that a round opens with in one place, told one by one: "ch 4, dc in same st".
fn opening(made: &[Spot], fabric: &Fabric) -> Option<Range<usize>> {
    let first = made.first().filter(|s| matches!(s.what, What::Turning(_)) && s.group.is_none())?;
    let stands = first.foot(fabric)?;
    let beside = |s: &&Spot| s.group.is_none() && (s.is_space() || s.foot(fabric) == Some(stands));
    let mut end = made.iter().take_while(beside).count();
    // a space belongs to what stands on both its sides
    while end > 0 && made[end - 1].is_space() {
        end -= 1;
    }
    (end > 1).then_some(0..end)
}

/// Makes places one group of a name.
fn enter(made: &mut [Spot], range: Range<usize>, name: &str) {
    let Some(serial) = made[range.clone()].iter().find_map(|s| s.group.as_ref().map(|g| g.serial)) else { return };
    for spot in &mut made[range] {
        let heart = spot.group.as_ref().is_some_and(|g| g.heart);
        spot.group = Some(Member { serial, name: name.to_owned(), heart });
    }
}

/// "(sc, ch 3, sc) in next shell" over groups that have no name: each is met at its space, or its middle stitch.
pub(super) fn meet_by_shape(steps: &mut [Step], edge: &LiveEdge, fabric: &Fabric) {
    for step in steps {
        match &mut step.act {
            Act::Work { at, .. } | Act::Group { at, .. } => {
                let shape = match &*at {
                    Target::Next { n: 1, class: class @ Class::Group(_) } => Some((class.clone(), Which::Next)),
                    Target::Each { class: class @ Class::Group(_), less: 0, every: 1 } => {
                        Some((class.clone(), Which::Each))
                    }
                    _ => None,
                };
                if let Some((shape, which)) = shape
                    && !edge.spots.iter().any(|s| s.is(&shape))
                    && !edge.shapes(&shape, fabric).is_empty()
                {
                    *at = Target::Within { pick: Pick::Only, class: Class::Any, shape, which };
                }
            }
            Act::Repeat { steps, .. } => meet_by_shape(steps, edge, fabric),
            _ => {}
        }
    }
}

/// A part of a group by its kind, the chain that counts as a stitch like that stitch.
fn part(spot: &Spot) -> String {
    match &spot.what {
        What::Stitch(kind) | What::Turning(kind) => kind.clone(),
        What::Space(n, _) => format!("ch-{n}"),
        _ => String::new(),
    }
}
