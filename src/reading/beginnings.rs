//! The beginning shape: a "beg shell" that no line defines is the shell, with a chain for its first stitch.

use super::cursor::House;
use crate::craft::{Stem, StitchForm};
use crate::instructions::{Act, Special, Step, Target};
use crate::source::Span;

/// Makes known how each special stitch opens a row, where the pattern does not tell it.
pub(super) fn derive_all(house: &mut House) {
    for k in 0..house.specials.len() {
        derive(house, k);
    }
}

/// The same for the one of this number.
pub(super) fn derive(house: &mut House, k: usize) {
    let Some(special) = house.specials.get(k).and_then(beginning) else { return };
    // none of the names that a line tells is taken over
    let names: Vec<String> = special.names.iter().filter(|n| !house.specials.is_name(n)).cloned().collect();
    if names.len() == special.names.len() {
        house.specials.push(Special { names, ..special });
    }
}

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
    let height = match form.stem {
        Stem::HalfDouble => 2,
        Stem::Tall(n) => u32::from(n) + 2,
        _ => return None,
    };
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

fn special(of: &[String], steps: Vec<Step>) -> Special {
    let names = of.iter().flat_map(|name| LEADS.iter().map(move |lead| format!("{lead}{name}"))).collect();
    Special { names, form: None, steps, placed: false, span: Span::default() }
}

/// Words that make a shape the one a row begins with.
const LEADS: &[&str] = &["beg ", "beginning ", "begin ", "starting "];
