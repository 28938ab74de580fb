//! What may be put into a row: its own phrases, those of the rows around it, and the plain ones of the trade.

use super::change::{all_steps, bare_act, first_stem, is_bare, is_phrase, starts_edge, step_at};
use super::knobs::{Knob, knobs, with};
use super::phrases::lower_first;
use super::wording::{Donor, same_but_for_numbers};
use crate::craft::{Stem, StitchForm, turning_chains};
use crate::instructions::{Act, Class, CountOf, Row, RowKind, Target};
use crate::source::Span;
use crate::working::Worked;

/// Phrases whose manner may be taken up: the row's own, then those of the rows around it.
pub(super) fn donors(text: &str, row: &Row, around: &[&Row]) -> Vec<Donor> {
    let mut found: Vec<Donor> = Vec::new();
    for near in std::iter::once(row).chain(around.iter().copied()) {
        for path in all_steps(&near.steps) {
            let Some(step) = step_at(&near.steps, &path).filter(|s| is_phrase(&s.act)) else { continue };
            let Some(words) = text.get(step.span.start..step.span.end) else { continue };
            let act = bare_act(&step.act);
            if found.len() < MOST_DONORS && !found.iter().any(|d| d.act == act) {
                found.push(Donor { words: lower_first(words), act });
            }
        }
    }
    found
}

/// Phrases of a row and its neighbours that are looked at.
const MOST_DONORS: usize = 48;
/// Kinds of phrase that are tried as what fell out of a row.
const MOST_FAMILIES: usize = 28;

/// One act of each family that differs in its numbers alone, with the plain ones that every row may hold.
pub(super) fn families(donors: &[Donor], row: &Row, below: &Below) -> Vec<Act> {
    let own: Vec<&Act> = all_steps(&row.steps).iter().filter_map(|p| Some(&step_at(&row.steps, p)?.act)).collect();
    let starts = |act: &Act| starts_edge(act) && !own.iter().any(|a| starts_edge(a));
    let fitting = |act: &&Act| !starts(act) && (below.is_chain || !names_chain(act));
    let all: Vec<&Act> = donors.iter().map(|d| &d.act).collect();
    let phrases: Vec<&Act> = all.iter().copied().filter(fitting).collect();
    let mut found: Vec<Act> = Vec::new();
    for act in phrases.iter().copied().cloned().chain(plain_donors(&all, below.is_chain, &below.spaces)) {
        for act in below.with_its_spaces(act) {
            if found.len() < MOST_FAMILIES && !found.iter().any(|f| same_family(f, &act)) {
                found.push(act);
            }
        }
    }
    if is_bare(&row.steps) && !below.has_stitches {
        // a round that begins with chains begins in one of them, unless they are closed into a ring
        let chains = row.steps.iter().find_map(|s| match s.act {
            Act::Chain { n } => Some(n),
            _ => None,
        });
        let rings = row.steps.iter().any(|s| matches!(s.act, Act::Ring { .. }));
        let start = chains.or(below.chains).filter(|n| !rings && !below.in_ring && (2..=LONGEST_START).contains(n));
        let ring = (row.heading.kind == RowKind::Round).then_some(Target::Ring);
        // the chain may stand for the first stitch of those in a ring
        let at = start.map(|n| Target::FromHook { n }).into_iter().chain(ring);
        let stem = told_stem(row).or_else(|| all.iter().find_map(|act| first_stem(act)));
        // common practice, no source: a ring of which nothing more is told is filled with sc
        if let Some(stem) = stem.or(rings.then_some(Stem::Single)) {
            found.extend(at.map(|at| Act::Work { each: 1, form: StitchForm::plain(stem), at }));
        }
    }
    // rows of one kind grow by a stitch or two from one to the next: a repeat of a neighbour's, with other numbers
    if !own.iter().any(|a| matches!(a, Act::Repeat { .. })) {
        let repeats: Vec<&Act> = phrases.into_iter().filter(|a| matches!(a, Act::Repeat { .. })).take(2).collect();
        found.extend(repeats.into_iter().flat_map(grown));
    }
    found
}

/// The stitch of a row that has lost its own: the one it counts, else the one as high as the chain it opens with.
///
/// Source: Craft Yarn Council, turning chains.
fn told_stem(row: &Row) -> Option<Stem> {
    let stems = [Stem::Single, Stem::HalfDouble, Stem::Tall(1), Stem::Tall(2), Stem::Tall(3)];
    let counted = row.stated.iter().find_map(|s| match &s.of {
        CountOf::Kind(kind) => stems.into_iter().find(|stem| stem.to_string() == *kind),
        _ => None,
    });
    let chain = row.steps.iter().find_map(|s| match s.act {
        Act::Chain { n } => Some(n),
        _ => None,
    });
    counted.or_else(|| stems.into_iter().find(|&stem| chain == Some(u32::from(turning_chains(stem)))))
}

/// What a row is worked into.
pub(super) struct Below {
    is_chain: bool,
    /// True where it has stitches.
    pub has_stitches: bool,
    /// Lengths of its chain spaces.
    spaces: Vec<u32>,
    /// True where the row leaves some of them unnamed.
    pub spaces_left: bool,
    /// Chains of the foundation, where it is one.
    chains: Option<u32>,
    /// True where the foundation is closed into a ring.
    in_ring: bool,
}

/// Chains of the longest start of a round worked into one of them.
const LONGEST_START: u32 = 5;

impl Below {
    pub fn of(worked: &Worked, row: Span) -> Self {
        let at = worked.tallies.iter().position(|t| t.span == row);
        let is_chain = at.is_some_and(|k| worked.tallies[k].on_chain);
        let below = at.and_then(|k| k.checked_sub(1)).map(|k| &worked.tallies[k]);
        let spaces =
            below.into_iter().flat_map(|t| t.spaces.keys()).filter_map(|k| k.strip_prefix("ch-")?.parse().ok());
        let has_stitches = below.is_some_and(|t| t.made > 0 && at.is_some_and(|k| t.part == worked.tallies[k].part));
        let chains = below.and_then(|t| t.chains).and_then(|n| u32::try_from(n).ok());
        let in_ring = below.is_some_and(|t| worked.fabric.row(t.row).joined);
        let spaces: Vec<u32> = spaces.collect();
        let spaces_left = !spaces.is_empty() && at.is_some_and(|k| worked.tallies[k].passed > 0);
        Self { is_chain, has_stitches, spaces, spaces_left, chains, in_ring }
    }

    /// The act, its space as long as those there are.
    fn with_its_spaces(&self, act: Act) -> Vec<Act> {
        match knobs(&act).into_iter().find(|(k, _)| *k == Knob::Length) {
            Some((knob, n)) if !matches!(act, Act::Picot { .. }) && !self.spaces.contains(&n) => {
                self.spaces.iter().map(|&n| with(&act, knob, n)).collect()
            }
            _ => vec![act],
        }
    }
}

/// True for an act that names chains to work into.
fn names_chain(act: &Act) -> bool {
    let at = match act {
        Act::Work { at, .. } | Act::Group { at, .. } => at,
        _ => return false,
    };
    matches!(
        at,
        Target::Next { class: Class::Chain, .. }
            | Target::Each { class: Class::Chain, .. }
            | Target::Last { class: Class::Chain, .. }
            | Target::FromHook { .. }
    )
}

/// A repeat with each of its counts a little larger or smaller.
fn grown(repeat: &Act) -> Vec<Act> {
    let mut found = Vec::new();
    let Act::Repeat { steps, times, stop } = repeat else { return found };
    for (k, step) in steps.iter().enumerate() {
        for (knob, n) in knobs(&step.act).into_iter().filter(|(k, _)| *k == Knob::Count) {
            for other in [n + 1, n.saturating_sub(1), n + 2, n.saturating_sub(2)].into_iter().filter(|&o| o > 0) {
                let mut steps = steps.clone();
                steps[k].act = with(&step.act, knob, other);
                found.push(Act::Repeat { steps, times: times.clone(), stop: *stop });
            }
        }
    }
    found
}

/// Alike but for the number of places: "2 sc in next st" and "2 sc in each of next 3 sts", but not "sc in next st".
fn same_family(a: &Act, b: &Act) -> bool {
    let each = |act: &Act| match act {
        Act::Work { each, .. } => *each,
        _ => 0,
    };
    each(a) == each(b) && (same_but_for_numbers(a, b) || same_but_for_class(a, b))
}

/// "sc in next 3 sts" and "sc in next 3" ask for the same.
fn same_but_for_class(a: &Act, b: &Act) -> bool {
    let loose = |act: &Act| match act {
        Act::Work { each, form, at: Target::Next { class: Class::Any | Class::Stitch, .. } } => Some((*each, *form)),
        _ => None,
    };
    loose(a).is_some() && loose(a) == loose(b)
}

/// What may be put in beside the pattern's own phrases: plain, increase and decrease of the stems at hand, a skip,
/// one stitch in each, some into the spaces there are, and, of a row on a chain, its first stitch.
fn plain_donors(phrases: &[&Act], on_chain: bool, spaces: &[u32]) -> Vec<Act> {
    let mut stems: Vec<Stem> = Vec::new();
    for act in phrases {
        if let Act::Work { form, .. } = act
            && !stems.contains(&form.stem)
            && !matches!(form.stem, Stem::SlipStitch)
        {
            stems.push(form.stem);
        }
    }
    let next = |each, form| Act::Work { each, form, at: Target::Next { n: 1, class: Class::Stitch } };
    let all = |each, form| Act::Work { each, form, at: Target::Each { class: Class::Stitch, less: 0, every: 1 } };
    let hook = |n, form| Act::Work { each: 1, form, at: Target::FromHook { n } };
    let mut found = Vec::new();
    for stem in stems.into_iter().take(MOST_STEMS) {
        let plain = StitchForm::plain(stem);
        found.extend([next(1, plain), next(2, plain), next(1, StitchForm::together(stem, 2))]);
        found.extend([all(1, plain), all(2, plain)]);
        for length in spaces.iter().take(2) {
            let at = Target::Next { n: 1, class: Class::Space(Some(*length)) };
            found.extend([1, 2, 3].map(|each| Act::Work { each, form: plain, at: at.clone() }));
        }
        if on_chain {
            found.push(hook(u32::from(turning_chains(stem)) + 1, plain));
        }
    }
    found.push(Act::Skip { n: 1, class: Class::Stitch });
    found
}

/// Stems of a row that are tried as what fell out of it.
const MOST_STEMS: usize = 3;
