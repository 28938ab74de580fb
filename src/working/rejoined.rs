//! The second side of a neck or an opening: "leaving rem sts unworked", and rows later "skip next 8 sts, rejoin yarn to
//! next st". What is rejoined is the row whose stitches were left, though its number is not told.

use super::plan::Planned;
use crate::instructions::{Act, Class, Step, Target};

/// Says of every row that ties the yarn on beside a finished side which row it is worked on.
pub(super) fn onto_what_was_left(planned: &mut [Planned<'_>]) {
    let mut left: Option<u32> = None;
    for i in 1..planned.len() {
        let (before, row) = planned.split_at_mut(i);
        let (above, row) = (&before[i - 1], &mut row[0]);
        let cut = above.steps.iter().any(|s| matches!(s.act, Act::FastenOff { .. }));
        if let Some(number) = left.filter(|_| cut)
            && ties_on_beside(&row.steps)
        {
            let span = row.steps[0].span;
            row.steps.insert(0, Step { act: Act::OfRow { row: number }, span });
        } else if row.steps.iter().any(|s| matches!(s.act, Act::Leave { .. })) {
            left = above.number;
        }
    }
}

/// "Skip next 8 sts, join yarn in next st, …": what a row opens with that takes up stitches left below.
fn ties_on_beside(steps: &[Step]) -> bool {
    let said = |s: &&Step| !matches!(s.act, Act::With { .. } | Act::Counts { .. });
    let mut opening = steps.iter().filter(said);
    let stitches = |class: &Class| matches!(class, Class::Any | Class::Stitch | Class::Kind(_));
    let ties = |s: Option<&Step>| match s.map(|s| &s.act) {
        Some(Act::Attach { at: Some(Target::Next { n: 1, class }), .. }) => stitches(class),
        _ => false,
    };
    match opening.next() {
        Some(Step { act: Act::Skip { class, .. }, .. }) => stitches(class) && ties(opening.next()),
        first => ties(first),
    }
}
