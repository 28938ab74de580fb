//! Some stitches of a fabric as a fabric of their own.

use crate::craft::{Extra, Meet, Stem};
use crate::fabric::{Fabric, Leg, PartId, Place, Ring, RingId, Role, Row, RowId, RowShape, Side, Space, SpaceId};
use crate::fabric::{Stitch, StitchId};
use crate::source::Span;

/// A fabric taken out of another, and where its stitches come from; none for chains that stand in for the row below.
pub(super) struct Extract {
    pub fabric: Fabric,
    pub from: Vec<Option<StitchId>>,
}

/// Stitches in yarn order as they are, with their rows and rings. What they are worked into has to be among them.
pub(super) fn as_it_is(fabric: &Fabric, keep: &[StitchId]) -> Extract {
    let mut taken = Taken::new(fabric, keep, Vec::new());
    taken.rows(|row| row.clone());
    taken.finish()
}

/// Stitches of rounds laid open: every round a row of its own, all worked the same way, the first on chains that stand in
/// for the stitches it is worked into. `base` are those, in their working order.
pub(super) fn laid_open(fabric: &Fabric, keep: &[StitchId], base: &[StitchId]) -> Extract {
    let mut taken = Taken::new(fabric, keep, base.to_vec());
    taken.rows(|row| Row { shape: RowShape::Row, joined: false, side: Side::Right, turned: false, ..row.clone() });
    taken.finish()
}

struct Taken<'a> {
    old: &'a Fabric,
    keep: &'a [StitchId],
    base: Vec<StitchId>,
    /// New ids of stitches, of rows, of rings and spaces.
    stitch: Vec<Option<StitchId>>,
    row: Vec<Option<RowId>>,
    fabric: Fabric,
}

impl<'a> Taken<'a> {
    fn new(old: &'a Fabric, keep: &'a [StitchId], base: Vec<StitchId>) -> Self {
        let mut stitch = vec![None; old.stitches.len()];
        for (k, id) in keep.iter().enumerate() {
            stitch[id.index()] = Some(StitchId::new(base.len() + k));
        }
        let fabric = Fabric { parts: old.parts.iter().take(1).cloned().collect(), ..Fabric::default() };
        Self { old, keep, base, stitch, row: vec![None; old.rows.len()], fabric }
    }

    fn rows(&mut self, change: impl Fn(&Row) -> Row) {
        if !self.base.is_empty() {
            let order = (0..self.base.len()).map(StitchId::new).collect();
            let (shape, index) = (RowShape::Foundation, RowId::new(0));
            self.fabric.rows.push(Row { index, shape, order, label: "Foundation".into(), ..Row::default() });
        }
        for row in &self.old.rows {
            let order: Vec<StitchId> = row.order.iter().filter_map(|id| self.stitch[id.index()]).collect();
            let made = |s: &Stitch| s.row == row.index;
            // a row in which only a ring is begun goes with what is worked into the ring
            let ring = self.base.is_empty() && !self.old.stitches.iter().any(made);
            if !ring && !self.keep.iter().any(|&id| made(self.old.stitch(id))) {
                continue;
            }
            let index = RowId::new(self.fabric.rows.len());
            self.row[row.index.index()] = Some(index);
            let strands = Vec::new();
            self.fabric.rows.push(Row { index, order, strands, part: PartId::new(0), ..change(row) });
        }
    }

    fn finish(mut self) -> Extract {
        let mut rings: Vec<Option<RingId>> = vec![None; self.old.rings.len()];
        for (k, ring) in self.old.rings.iter().enumerate() {
            let ids: Option<Vec<StitchId>> = ring.ids.iter().map(|id| self.stitch[id.index()]).collect();
            let entered = |p: &Place| matches!(*p, Place::Ring { ring } if ring.index() == k);
            if !self.keep.iter().any(|&id| self.old.stitch(id).into.iter().any(entered)) {
                continue;
            }
            if let (Some(ids), Some(row)) = (ids, self.row[ring.row.index()]) {
                rings[k] = Some(RingId::new(self.fabric.rings.len()));
                self.fabric.rings.push(Ring { row, ids });
            }
        }
        let mut spaces: Vec<Option<SpaceId>> = vec![None; self.old.spaces.len()];
        for (k, space) in self.old.spaces.iter().enumerate() {
            let ids: Option<Vec<StitchId>> = space.ids.iter().map(|id| self.stitch[id.index()]).collect();
            if let Some(ids) = ids.filter(|ids| !ids.is_empty()) {
                spaces[k] = Some(SpaceId::new(self.fabric.spaces.len()));
                self.fabric.spaces.push(Space { ids, length: space.length });
            }
        }
        self.fabric.stitches = (0..self.base.len()).map(chain).collect();
        for &id in self.keep {
            let old = self.old.stitch(id);
            let moved = |p: &Place| self.moved(p, &rings, &spaces);
            let legs = old.legs.iter().map(|l| Leg { stem: l.stem, into: l.into.iter().filter_map(moved).collect() });
            self.fabric.stitches.push(Stitch {
                // OK: a stitch that is kept has an id and its row one as well
                id: self.stitch[id.index()].unwrap_or_default(),
                row: self.row[old.row.index()].unwrap_or_default(),
                side: self.fabric.rows[self.row[old.row.index()].unwrap_or_default().index()].side,
                legs: legs.collect(),
                into: old.into.iter().filter_map(moved).collect(),
                covers: Vec::new(),
                ..old.clone()
            });
        }
        let from = self.base.iter().map(|_| None).chain(self.keep.iter().copied().map(Some)).collect();
        Extract { fabric: self.fabric, from }
    }

    fn moved(&self, place: &Place, rings: &[Option<RingId>], spaces: &[Option<SpaceId>]) -> Option<Place> {
        let to = |id: StitchId| self.stitch[id.index()];
        // the row is worked back along the chain
        let below = |id: StitchId| {
            let at = self.base.iter().position(|&b| b == id)?;
            Some(Place::chain(StitchId::new(self.base.len() - 1 - at)))
        };
        match *place {
            Place::Top { top, part } => to(top).map(|top| Place::Top { top, part }).or_else(|| below(top)),
            Place::Chain { chain } => to(chain).map(Place::chain),
            Place::Underside { underside } => to(underside).map(Place::underside),
            Place::Bump { bump } => to(bump).map(|bump| Place::Bump { bump }),
            Place::Post { post, from } => to(post).map(|post| Place::Post { post, from }).or_else(|| below(post)),
            Place::Side { side, at } => to(side).map(|side| Place::Side { side, at }),
            Place::Ring { ring } => rings[ring.index()].map(Place::ring),
            Place::Space { space } => spaces[space.index()].map(Place::space),
            Place::Between { between: [a, b] } => to(a).zip(to(b)).map(|(a, b)| Place::Between { between: [a, b] }),
            Place::Face { face: [a, b] } => to(a).zip(to(b)).map(|(a, b)| Place::Face { face: [a, b] }),
            Place::RowEnd { .. } => None,
        }
    }
}

/// A chain that stands in for a stitch of the row below.
fn chain(k: usize) -> Stitch {
    Stitch {
        id: StitchId::new(k),
        kind: "ch".into(),
        row: RowId::new(0),
        side: Side::Right,
        colour: String::new(),
        colour_end: None,
        carried: Vec::new(),
        counts: false,
        stands_for: None,
        role: Role::Base,
        also: Vec::new(),
        legs: vec![Leg { stem: Stem::Chain(1), into: Vec::new() }],
        meet: Meet::Head,
        extra: Extra::default(),
        into: Vec::new(),
        covers: Vec::new(),
        layer: 0,
        span: Span::new(0, 0),
        pass: Vec::new(),
    }
}
