//! Where each yarn begins and ends, and where it lies unused behind the work.

use crate::fabric::{EventKind, Fabric, StitchId};
use crate::source::Span;

/// A yarn that lies along the back from one of its stitches to the next.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Float {
    /// Stitches of other yarns it passes.
    pub stitches: usize,
    /// The stitch where it is taken up again.
    pub at: StitchId,
    /// Its length in widths.
    pub widths: f64,
    /// True along a row; false up the side of the work, from row to row.
    pub along: bool,
}

/// Stitches from which on a float catches fingers and wants to be caught in: common practice, no source.
pub(super) const LONG_FLOAT: usize = 5;

/// How one yarn runs through one part.
#[derive(Clone, Debug, Default)]
pub(super) struct Strand {
    /// Times it is attached.
    pub attached: usize,
    /// Where it is cut: the last stitch before.
    pub cut: Vec<StitchId>,
    /// Its floats.
    pub floats: Vec<Float>,
}

/// The run of a yarn through a part.
pub(super) fn strand(fabric: &Fabric, part: usize, colour: &str) -> Strand {
    let own = |id: StitchId| fabric.row(fabric.stitch(id).row).part.index() == part;
    let mut strand = Strand::default();
    for event in fabric.events.iter().filter(|e| e.colour.as_deref() == Some(colour)) {
        let first = event.after.map_or(0, |id| id.index() + 1).min(fabric.stitches.len().saturating_sub(1));
        match event.kind {
            EventKind::Attach if own(StitchId::new(first)) => strand.attached += 1,
            EventKind::Cut => strand.cut.extend(event.after.filter(|&id| own(id))),
            _ => {}
        }
    }
    strand.floats = floats(fabric, part, colour);
    // what the words leave out is attached and cut once all the same
    strand.attached = strand.attached.max(1).max(strand.cut.len());
    strand
}

fn floats(fabric: &Fabric, part: usize, colour: &str) -> Vec<Float> {
    let mut found = Vec::new();
    let mut last: Option<usize> = None;
    let held = |from: usize, to: usize| {
        fabric.events.iter().all(|e| {
            let parted = matches!(e.kind, EventKind::Attach | EventKind::Cut) && e.colour.as_deref() == Some(colour);
            let at = e.after.map_or(0, StitchId::index);
            !parted || at < from || at >= to
        })
    };
    for (k, stitch) in fabric.stitches.iter().enumerate() {
        if stitch.colour != colour || fabric.row(stitch.row).part.index() != part {
            continue;
        }
        if let Some(from) = last.filter(|&from| from + 1 < k && held(from, k)) {
            let between = &fabric.stitches[from + 1..k];
            let carried = between.iter().all(|s| s.carried.iter().any(|c| c == colour));
            let along = fabric.stitches[from].row == stitch.row;
            let passed = between.iter().filter(|s| !s.has_role(crate::fabric::Role::Turning)).count();
            let rows = stitch.row.index() - fabric.stitches[from].row.index();
            let widths = if along { passed as f64 } else { rows as f64 };
            let stitches = if along && !carried { passed } else { 0 };
            found.push(Float { stitches, at: stitch.id, widths, along });
        }
        last = Some(k);
    }
    found
}

/// The words by which a yarn is taken up again.
pub(super) fn words(fabric: &Fabric, float: &Float) -> Span {
    fabric.stitch(float.at).span
}
