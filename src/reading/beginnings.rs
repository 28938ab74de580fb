//! The beginning shape: a "beg shell" that no line defines is the shell, with a chain for its first stitch.

use super::cursor::House;
use crate::craft::{Stem, StitchForm};
use crate::instructions::{Act, Class, Special, Step, Target};
use crate::source::Span;

/// Makes known how each special stitch opens a row, where the pattern does not tell it.
pub(super) fn derive_all(house: &mut House) {
    for k in 0..house.specials.len() {
        derive(house, k);
    }
}

/// The same for the one of this number, and how it stands over one of its own.
pub(super) fn derive(house: &mut House, k: usize) {
    let over = house.specials.get(k).and_then(|s| over_itself(s, house));
    if let Some(over) = over {
        house.specials.push(over);
    }
    let Some(special) = house.specials.get(k).and_then(beginning) else { return };
    // none of the names that a line tells is taken over
    let names: Vec<String> = special.names.iter().filter(|n| !house.specials.is_name(n)).cloned().collect();
    if names.len() == special.names.len() {
        house.specials.push(Special { names, ..special });
    }
}

/// "SOS" is a shell over the next shell, where no line tells another sense.
fn over_itself(of: &Special, house: &House) -> Option<Special> {
    let shell = of.names.iter().any(|n| n == "shell") && of.form.is_none() && !of.placed;
    if !shell || house.specials.is_name(OVER) {
        return None;
    }
    let steps = match of.steps.as_slice() {
        [Step { act: Act::Group { steps, .. }, .. }] => steps.clone(),
        steps => steps.to_vec(),
    };
    let span = steps.first()?.span;
    let name = of.names.first()?.clone();
    let at = Target::Next { n: 1, class: Class::Group(name.clone()) };
    let names = vec![format!("{name} over {name}"), OVER.to_owned()];
    let steps = vec![Step { act: Act::Group { steps, at, name: Some(name) }, span }];
    Some(Special { names, form: None, steps, placed: true, span: Span::default() })
}

/// Short for "shell over shell".
const OVER: &str = "sos";

fn beginning(of: &Special) -> Option<Special> {
    let names = of.names.as_slice();
    if names.iter().any(|n| LEADS.iter().any(|lead| n.starts_with(lead))) {
        return None;
    }
    let steps = match of.steps.as_slice() {
        [Step { act: Act::Group { steps, .. }, .. }] => steps.as_slice(),
        steps => steps,
    };
    let (first, rest) = steps.split_first()?;
    let span = first.span;
    let Act::Work { each, form, at } = &first.act else { return None };
    let (one, n) = match at {
        Target::Next { n, .. } => (*each, *n),
        Target::Same => (*each, 1),
        _ => return None,
    };
    let height = height(form.stem)?;
    let step = |act: Act| Step { act, span };
    let same = |each: u32, form: StitchForm| step(Act::Work { each, form, at: Target::Same });
    if form.legs > 1 {
        // the chain is a leg of the cluster and no stitch of its own
        let legs = form.legs - 1;
        let left = if legs > 1 { StitchForm { legs, ..*form } } else { StitchForm::plain(form.stem) };
        let counts = Act::Counts { stem: None, space: 0, counts: false };
        let alone = form.one_place && one == 1 && n == 1 && rest.is_empty();
        let steps = vec![step(Act::Chain { n: height }), step(counts), same(1, left)];
        return alone.then(|| special(names, steps));
    }
    let mut group: Vec<Step> = Vec::new();
    match one.checked_mul(n)?.checked_sub(1)? {
        0 => {}
        left => group.push(step(Act::Work { each: left, form: *form, at: Target::NEXT })),
    }
    group.extend(rest.iter().cloned());
    let space = match (group.first().map(|s| &s.act), group.len()) {
        (Some(Act::Chain { n }), 2..) => *n,
        (Some(Act::Chain { .. }), _) | (None, _) => return None,
        _ => 0,
    };
    let group: Vec<Step> = group.into_iter().skip(usize::from(space > 0)).collect();
    let counts = Act::Counts { stem: Some(form.stem), space, counts: true };
    let group = step(Act::Group { steps: group, at: Target::Same, name: None });
    Some(special(names, vec![step(Act::Chain { n: height + space }), step(counts), group]))
}

/// "Ch 3, dc, ch 2, 2 dc in same sp (first fan made)": a fan is all of it, its chain a dc. Gathers what goes into the place
/// and gives what any other of the name is made of; none where no chain opens the row so.
pub(super) fn with_chain(steps: &mut Vec<Step>, name: &str) -> Option<Vec<Step>> {
    if LEADS.iter().any(|lead| name.starts_with(lead)) {
        return None;
    }
    let same = |s: &Step| match &s.act {
        Act::Work { form, at: Target::Same, .. } => *form == StitchForm::plain(form.stem),
        Act::Group { steps, at: Target::Same, name: None } => {
            steps.iter().all(|s| matches!(s.act, Act::Work { .. } | Act::Chain { .. }))
        }
        _ => false,
    };
    let inner = |s: &Step| same(s) || matches!(s.act, Act::Chain { .. } | Act::Counts { counts: true, .. });
    let behind = steps.iter().rev().take_while(|s| inner(s)).take(MOST_IN_SHAPE).count();
    let from = steps.len() - behind;
    // what is worked before it shows that the chain opens nothing
    let opens = steps[..from].iter().all(|s| match &s.act {
        Act::Work { form, .. } => form.stem == Stem::SlipStitch,
        act => !act.works(),
    });
    let Act::Chain { n } = steps.get(from)?.act else { return None };
    let told = usize::from(matches!(steps.get(from + 1)?.act, Act::Counts { .. }));
    let first = from + 1 + told;
    if !opens
        || !steps.last().is_some_and(same)
        || steps.get(first..)?.iter().any(|s| matches!(s.act, Act::Counts { .. }))
    {
        return None;
    }
    let mut parts: Vec<Step> = Vec::new();
    for step in &steps[first..] {
        match &step.act {
            Act::Work { each, form, .. } => {
                let at = Target::Next { n: *each, class: Class::Any };
                parts.push(Step { act: Act::Work { each: 1, form: *form, at }, span: step.span });
            }
            Act::Group { steps, .. } => parts.extend(steps.iter().cloned()),
            _ => parts.push(step.clone()),
        }
    }
    let stem = parts.iter().find_map(|s| match &s.act {
        Act::Work { form, .. } => Some(form.stem),
        _ => None,
    })?;
    if told == 0 && height(stem) != Some(n) {
        return None;
    }
    let mut whole = parts.clone();
    match &mut whole.first_mut()?.act {
        Act::Work { at: Target::Next { n, .. }, .. } => *n += 1,
        _ => whole.insert(
            0,
            Step {
                act: Act::Work { each: 1, form: StitchForm::plain(stem), at: Target::NEXT },
                span: steps[from].span,
            },
        ),
    }
    let span = steps[first].span.to(steps.last()?.span);
    steps.truncate(first);
    steps.push(Step { act: Act::Group { steps: parts, at: Target::Same, name: Some(format!("beg {name}")) }, span });
    Some(whole)
}

/// Steps of one shape; a fan of dc and chains has two dozen.
const MOST_IN_SHAPE: usize = 48;

/// Chains that stand for a stitch.
fn height(stem: Stem) -> Option<u32> {
    match stem {
        Stem::HalfDouble => Some(2),
        Stem::Tall(n) => Some(u32::from(n) + 2),
        _ => None,
    }
}

fn special(of: &[String], steps: Vec<Step>) -> Special {
    let names = of.iter().flat_map(|name| LEADS.iter().map(move |lead| format!("{lead}{name}"))).collect();
    Special { names, form: None, steps, placed: false, span: Span::default() }
}

/// Words that make a shape the one a row begins with.
const LEADS: &[&str] = &["beg ", "beginning ", "begin ", "starting "];
