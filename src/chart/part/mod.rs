//! Part of a chart: which stitches are drawn, and which only in grey, so that it can be seen what the part stands on and
//! how it goes on.

mod bounds;
mod multiple;
mod passes;
mod repeat;
mod sector;

pub(super) use bounds::{Bounds, sample as sample_of_repeat};
pub(super) use multiple::multiples;
pub(super) use passes::of_row as passes_of_row;
pub use repeat::one_repeat;

use super::Ink;
use super::scene::RowGroup;
use crate::fabric::{EventKind, Fabric, PartId, Place, Role, RowId, Stitch, StitchId};

/// How much of a stitch is drawn.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Shown {
    /// Nothing.
    #[default]
    Hidden,
    /// Its symbol, in grey.
    Faded,
    /// All of it, with its number and marks.
    Full,
}

/// Which part of a fabric a chart shows.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Pick {
    shown: Vec<Shown>,
    /// The repeat it is, where it is one.
    pub(super) repeat: Option<Repeat>,
}

/// A repeat as it is marked in a chart.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Repeat {
    /// Where it begins and ends, row by row.
    pub bounds: Vec<Bound>,
    /// How wide it is, or how often it is worked.
    pub says: Says,
}

/// How often a repeat is worked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Says {
    /// So many stitches wide.
    Stitches(usize),
    /// So many times about the middle.
    Times(usize),
}

/// A bound of a repeat in one row: it runs between two stitches that follow each other in the row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Bound {
    pub before: StitchId,
    pub after: StitchId,
    /// True where the repeat begins.
    pub opens: bool,
}

impl Pick {
    /// Nothing yet of a fabric.
    fn none(fabric: &Fabric) -> Pick {
        Pick { shown: vec![Shown::Hidden; fabric.stitches.len()], ..Pick::default() }
    }

    /// Some rows in full, and in grey what they stand on.
    pub fn rows(fabric: &Fabric, rows: &[RowId]) -> Pick {
        let mut pick = Pick::none(fabric);
        for stitch in fabric.stitches.iter().filter(|s| rows.contains(&super::compose::seen_row(fabric, s))) {
            pick.show(stitch.id, Shown::Full);
        }
        pick.fade_what_bears(fabric);
        pick
    }

    /// The rows of some parts in full, and in grey what they stand on.
    pub fn parts(fabric: &Fabric, parts: &[PartId]) -> Pick {
        let rows: Vec<RowId> = fabric.rows.iter().filter(|r| parts.contains(&r.part)).map(|r| r.index).collect();
        Pick::rows(fabric, &rows)
    }

    /// How much of a stitch is drawn.
    pub fn of(&self, id: StitchId) -> Shown {
        self.shown.get(id.index()).copied().unwrap_or_default()
    }

    /// True where nothing is drawn in full.
    pub fn is_empty(&self) -> bool {
        !self.shown.contains(&Shown::Full)
    }

    /// Draws a stitch at least so much.
    fn show(&mut self, id: StitchId, how: Shown) {
        self.shown[id.index()] = self.shown[id.index()].max(how);
    }

    /// Draws in grey what the stitches drawn in full stand on, with a neighbour or two.
    fn fade_what_bears(&mut self, fabric: &Fabric) {
        let full: Vec<&Stitch> = fabric.stitches.iter().filter(|s| self.of(s.id) == Shown::Full).collect();
        for place in full.iter().flat_map(|s| &s.into) {
            for id in bearing(fabric, place) {
                let order = &fabric.row(fabric.stitch(id).row).order;
                match order.iter().position(|&o| o == id) {
                    Some(at) => {
                        let near = at.saturating_sub(1)..(at + 2).min(order.len());
                        order[near].iter().for_each(|&id| self.show(id, Shown::Faded));
                    }
                    None => self.show(id, Shown::Faded),
                }
            }
        }
        self.with_hangers_on(fabric);
    }

    /// Draws with a stitch what hangs on it and stands in no row: picots behind it, the turning chain before it, the join
    /// it is closed by.
    fn with_hangers_on(&mut self, fabric: &Fabric) {
        let in_line: Vec<bool> = {
            let mut seen = vec![false; fabric.stitches.len()];
            fabric.rows.iter().flat_map(|r| &r.order).for_each(|id| seen[id.index()] = true);
            seen
        };
        let mut behind: Option<(RowId, Shown)> = None;
        for stitch in &fabric.stitches {
            let k = stitch.id.index();
            if in_line[k] {
                behind = Some((stitch.row, self.shown[k]));
            } else if let Some((_, how)) = behind.filter(|b| b.0 == stitch.row && stitch.role != Role::Turning) {
                self.show(stitch.id, how);
            }
        }
        let mut ahead: Option<Shown> = None;
        for stitch in fabric.stitches.iter().rev() {
            let k = stitch.id.index();
            if in_line[k] && stitch.role != Role::Turning {
                ahead = Some(self.shown[k]);
            } else if stitch.role == Role::Turning {
                // it stands at the edge of the row it leads into
                self.show(stitch.id, ahead.unwrap_or_default());
            }
        }
    }

    /// Takes out of the groups what is not drawn, and turns grey what is there only to be found again.
    pub(super) fn apply(&self, groups: &mut Vec<RowGroup>) {
        for group in groups.iter_mut() {
            group.figures.retain(|f| self.of(f.stitch) != Shown::Hidden);
            let full = group.figures.iter().any(|f| self.of(f.stitch) == Shown::Full);
            if group.figures.is_empty() {
                group.rings.clear();
            } else if !full {
                group.ink = Ink::PAST;
            }
            group.figures.iter_mut().filter(|f| self.of(f.stitch) == Shown::Faded).for_each(|f| f.ink = Ink::PAST);
        }
        groups.retain(|g| !g.figures.is_empty());
    }

    /// The fabric as whatever stands beside the work sees it: rows begin where they are drawn, and what is not drawn has
    /// neither symbol nor mark. Ids stay.
    pub(super) fn seen(&self, fabric: &Fabric) -> Fabric {
        let mut seen = fabric.clone();
        for row in &mut seen.rows {
            // beside its grey neighbours, where it has any of its own to stand beside
            let any = row.order.iter().any(|&id| self.of(id) == Shown::Full);
            row.order.retain(|&id| any && self.of(id) != Shown::Hidden);
        }
        seen.events.retain(|event| {
            let own = match event.kind {
                EventKind::Attach => Some(StitchId::new(event.after.map_or(0, |id| id.index() + 1))),
                _ => event.after,
            };
            own.is_some_and(|id| self.of(id) == Shown::Full)
        });
        // a ring that is not drawn holds nothing that is: its index has to stay
        if let Some(hidden) = (0..fabric.stitches.len()).map(StitchId::new).find(|&id| self.of(id) == Shown::Hidden) {
            for (k, ring) in seen.rings.iter_mut().enumerate() {
                let entered = |p: &Place| matches!(*p, Place::Ring { ring } if ring.index() == k);
                let drawn = |s: &&Stitch| self.of(s.id) != Shown::Hidden && s.into.iter().any(entered);
                if !fabric.stitches.iter().any(|s| drawn(&s)) {
                    ring.ids = vec![hidden];
                }
            }
        }
        for stitch in seen.stitches.iter_mut().filter(|s| self.of(s.id) == Shown::Hidden) {
            // a picot without legs: nothing that is drawn, named or numbered
            (stitch.role, stitch.legs, stitch.counts) = (Role::Picot, Vec::new(), false);
            stitch.colour.clear();
        }
        seen
    }

    /// True for a row of which something is drawn in full.
    pub(super) fn has_row(&self, fabric: &Fabric, row: RowId) -> bool {
        fabric.stitches.iter().any(|s| s.row == row && self.of(s.id) == Shown::Full)
    }
}

/// The stitches a place belongs to.
fn bearing(fabric: &Fabric, place: &Place) -> Vec<StitchId> {
    match *place {
        Place::Space { space } => fabric.spaces[space.index()].ids.clone(),
        Place::Ring { ring } => fabric.rings[ring.index()].ids.clone(),
        Place::Between { between } => between.to_vec(),
        Place::Face { face } => face.to_vec(),
        Place::RowEnd { row_end } => fabric.stitches.iter().filter(|s| s.row == row_end.row).map(|s| s.id).collect(),
        _ => place.stitch().into_iter().collect(),
    }
}
