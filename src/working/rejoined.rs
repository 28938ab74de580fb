//! The second side of a neck or an opening: "leaving rem sts unworked", and rows later "skip next 8 sts, rejoin yarn to
//! next st". What is rejoined is the row whose stitches were left, though its number is not told.

use super::plan::Planned;
use crate::instructions::{Act, Class, RowKind, Step, Target};

/// In the place of a row's number: the row whose stitches were left, however many rows there have been.
pub(super) const LEFT: u32 = u32::MAX;

/// Whether a row's stitches were left, from part to part: "First earflap", "Second earflap".
#[derive(Debug, Default)]
pub(super) struct LeftBelow {
    left: bool,
    cut: bool,
}

impl LeftBelow {
    /// Says of every row that ties the yarn on beside a finished side which row it is worked on.
    pub fn point_to(&mut self, planned: &mut [Planned<'_>]) {
        for row in planned {
            if row.kind == RowKind::Foundation {
                *self = Self::default();
            } else if self.left && self.cut && ties_on_beside(&row.steps) {
                let span = row.steps[0].span;
                row.steps.insert(0, Step { act: Act::OfRow { row: LEFT }, span });
            }
            self.left |= row.steps.iter().any(|s| matches!(s.act, Act::Leave { .. }));
            self.cut = row.steps.iter().any(|s| matches!(s.act, Act::FastenOff { .. }));
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
