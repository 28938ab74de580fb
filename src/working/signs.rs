//! What the steps of a row say of it before it is worked: which way it runs, whether it turns, whether it is in a ring.

use super::bench::Bench;
use super::plan::Planned;
use crate::instructions::{Act, Class, RowKind, Step, Target};

/// True where the row's first stitch is worked backwards.
pub(super) fn runs_back(steps: &[&Step]) -> bool {
    steps
        .iter()
        .find_map(|s| match &s.act {
            Act::Work { form, .. } => Some(form.extra.reverse),
            Act::Group { .. } | Act::Repeat { .. } => Some(false),
            _ => None,
        })
        .unwrap_or(false)
}

/// True where the steps work into a ring.
pub(super) fn rings(steps: &[&Step]) -> bool {
    steps.iter().any(|s| {
        matches!(&s.act, Act::Ring { .. } | Act::Work { at: Target::Ring, .. } | Act::Group { at: Target::Ring, .. })
    })
}

/// "6 sc in 2nd ch from hook" and no more: a round that begins at one chain, where nothing turns.
pub(super) fn begins_at_one_chain(steps: &[&Step]) -> bool {
    let mut work = steps.iter().filter(|s| {
        !matches!(s.act, Act::Chain { .. } | Act::Join { .. } | Act::DoNotJoin | Act::With { .. } | Act::Counts { .. })
    });
    let hub = matches!(work.next().map(|s| &s.act), Some(Act::Work { each: HUB.., at: Target::FromHook { .. }, .. }));
    hub && work.next().is_none()
}

/// Stitches in one chain that a round begins with at the least; fewer are a fan. Common practice, no source.
const HUB: u32 = 5;

pub(super) fn ends_with_turn(steps: &[&Step]) -> bool {
    steps
        .iter()
        .rev()
        .take_while(|s| {
            matches!(
                s.act,
                Act::Turn
                    | Act::FastenOff { .. }
                    | Act::Counts { .. }
                    | Act::Change { .. }
                    | Act::DoNotTurn
                    | Act::Join { .. }
            )
        })
        .any(|s| matches!(s.act, Act::Turn))
}

/// True for a row numbered 1 that sets out with a chain and works into it from the hook: "Rnd 1: Ch 2, 6 sc in
/// 2nd ch from hook". Where it is joined to something first, the chain grows from that. The first row of a part after
/// the yarn was `cut` needs no number.
pub(super) fn begins_on_own_chain(row: &super::plan::Planned<'_>, cut: bool) -> bool {
    let mut steps = row.steps.iter().filter(|s| !matches!(s.act, Act::With { .. } | Act::Counts { .. }));
    let chain = matches!(steps.next().map(|s| &s.act), Some(Act::Chain { .. }));
    let from_hook = |act: &Act| match act {
        Act::Work { at, .. } | Act::Group { at, .. } => matches!(at, Target::FromHook { .. }),
        // "Ch 6, starting in 2nd ch from hook: …"
        Act::Skip { class: Class::Chain, .. } => true,
        _ => false,
    };
    let own = (row.number == Some(1) || cut && row.number.is_none())
        && chain
        && steps.next().is_some_and(|s| from_hook(&s.act));
    // a row that goes on over stitches hangs the chain on them
    own && (row.kind == RowKind::Round || !row.steps.iter().any(|s| names_stitches(&s.act)) || goes_along_it(row))
}

/// "Ch 21, sc in 2nd ch from hook and in each across. (20)": its count says that the chain is all there is.
fn goes_along_it(row: &super::plan::Planned<'_>) -> bool {
    let chain = row.steps.iter().find_map(|s| match s.act {
        Act::Chain { n } => Some(n),
        _ => None,
    });
    let mut work = row.steps.iter().filter(|s| s.act.works()).map(|s| &s.act);
    let skipped = match work.next() {
        Some(Act::Work { each: 1, at: Target::FromHook { n }, .. }) => n.saturating_sub(1),
        _ => return false,
    };
    let along = matches!(
        work.next(),
        Some(Act::Work { each: 1, at: Target::Each { class: Class::Stitch, less: 0, every: 1 }, .. })
    );
    let own = chain.map(|n| n.saturating_sub(skipped));
    along && work.next().is_none() && row.stated.first().is_some_and(|s| Some(s.count) == own)
}

/// True where the words name stitches, not chains.
fn names_stitches(act: &Act) -> bool {
    let stitches = |class: &Class| matches!(class, Class::Stitch | Class::Kind(_) | Class::Space(_));
    match act {
        Act::Work { at, .. } | Act::Group { at, .. } => match at {
            Target::Next { class, .. } | Target::Each { class, .. } | Target::Last { class, .. } => stitches(class),
            _ => false,
        },
        Act::Repeat { steps, .. } => steps.iter().any(|s| names_stitches(&s.act)),
        _ => false,
    }
}

/// True where the first stitch goes into a ring.
pub(super) fn first_into_ring(steps: &[Step]) -> bool {
    let first = steps.iter().find(|s| !matches!(s.act, Act::Counts { .. } | Act::Turn));
    match first.map(|s| &s.act) {
        Some(Act::Work { at, .. } | Act::Group { at, .. }) => *at == Target::Ring,
        Some(Act::Repeat { steps, .. }) => first_into_ring(steps),
        _ => false,
    }
}

/// True where a part begins "With green, ch 7" and the yarn in hand is another: nothing is said of where it would be tied on.
pub(super) fn chains_in_another_yarn(bench: &Bench, row: &Planned<'_>) -> bool {
    let begins = bench.tallies.last().is_none_or(|t| t.part != bench.part.index());
    let other = |yarn: &str| !yarn.eq_ignore_ascii_case(&bench.yarn);
    begins
        && matches!(row.steps.as_slice(), [Step { act: Act::With { yarn }, .. }, Step { act: Act::Chain { n: 3.. }, .. }, ..] if other(yarn))
}
