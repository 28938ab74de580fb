//! A hand that crochets fabrics for these tests: no words, no checks.

use fanwise::craft::{Extra, Meet, Stem};
use fanwise::fabric::*;
use fanwise::source::Span;

pub(super) struct Hand {
    pub(super) fabric: Fabric,
}

impl Hand {
    pub(super) fn new() -> Hand {
        let part = Part { copies: 1, ..Part::default() };
        Hand { fabric: Fabric { parts: vec![part], ..Fabric::default() } }
    }

    pub(super) fn row(&mut self, shape: RowShape, side: Side) -> usize {
        let index = self.fabric.rows.len();
        self.fabric.rows.push(Row {
            index: RowId::new(index),
            label: format!("row {index}"),
            shape,
            side,
            joined: shape == RowShape::Round,
            ..Row::default()
        });
        index
    }

    pub(super) fn make(&mut self, kind: &str, role: Role, legs: Vec<Leg>) -> StitchId {
        let id = StitchId::new(self.fabric.stitches.len());
        let row = RowId::new(self.fabric.rows.len() - 1);
        let into = legs.iter().flat_map(|l| l.into.clone()).collect();
        self.fabric.stitches.push(Stitch {
            id,
            kind: kind.into(),
            row,
            side: self.fabric.rows[row.index()].side,
            colour: "A".into(),
            colour_end: None,
            carried: vec![],
            counts: role == Role::Base,
            stands_for: None,
            role,
            also: vec![],
            legs,
            meet: Meet::Head,
            extra: Extra::default(),
            into,
            covers: vec![],
            layer: 0,
            span: Span::default(),
            pass: vec![],
        });
        id
    }

    pub(super) fn in_order(&mut self, id: StitchId) -> StitchId {
        self.fabric.rows.last_mut().expect("a row").order.push(id);
        id
    }

    /// One stitch in one place.
    pub(super) fn st(&mut self, stem: Stem, place: Place) -> StitchId {
        let id = self.make(&stem.to_string(), Role::Base, vec![Leg { stem, into: vec![place] }]);
        self.in_order(id)
    }

    pub(super) fn together(&mut self, stem: Stem, places: &[Place]) -> StitchId {
        let legs = places.iter().map(|p| Leg { stem, into: vec![*p] }).collect();
        let id = self.make(&format!("{stem}{}tog", places.len()), Role::Base, legs);
        self.in_order(id)
    }

    pub(super) fn chain(&mut self, role: Role) -> StitchId {
        self.make("ch", role, vec![Leg { stem: Stem::Chain(1), into: vec![] }])
    }

    /// A foundation of `n` lying chains, then `turn` that stand.
    pub(super) fn foundation(&mut self, n: usize, side: Side, turn: usize) -> Vec<StitchId> {
        self.row(RowShape::Foundation, side);
        let ids: Vec<StitchId> = (0..n)
            .map(|_| {
                let id = self.chain(Role::Base);
                self.in_order(id)
            })
            .collect();
        self.turn(turn);
        ids
    }

    pub(super) fn turn(&mut self, n: usize) {
        for _ in 0..n {
            self.chain(Role::Turning);
        }
    }

    /// A turning chain that counts: in the order by its last chain.
    pub(super) fn counting(&mut self, n: usize, stem: Stem, into: Option<Place>) -> StitchId {
        self.turn(n - 1);
        let id = self.chain(Role::Turning);
        let s = self.fabric.stitches.last_mut().expect("a stitch");
        s.stands_for = Some(stem);
        s.into = into.into_iter().collect();
        s.counts = true;
        self.in_order(id)
    }

    pub(super) fn space(&mut self, n: usize) -> SpaceId {
        let ids: Vec<StitchId> = (0..n)
            .map(|_| {
                let id = self.chain(Role::Space);
                self.in_order(id)
            })
            .collect();
        self.fabric.spaces.push(Space { ids, length: n as u32 });
        SpaceId::new(self.fabric.spaces.len() - 1)
    }

    pub(super) fn ring(&mut self, chains: usize) -> RingId {
        self.row(RowShape::Foundation, Side::Right);
        let ids = (0..chains).map(|_| self.chain(Role::Base)).collect();
        self.fabric.rings.push(Ring { row: RowId::new(self.fabric.rows.len()), ids });
        RingId::new(self.fabric.rings.len() - 1)
    }

    pub(super) fn join(&mut self, into: StitchId) {
        self.make("sl st", Role::Join, vec![Leg { stem: Stem::SlipStitch, into: vec![Place::top(into)] }]);
    }

    pub(super) fn picot(&mut self, n: usize) {
        let under = StitchId::new(self.fabric.stitches.len() - 1);
        for _ in 0..n {
            self.chain(Role::Picot);
        }
        self.make("sl st", Role::Picot, vec![Leg { stem: Stem::SlipStitch, into: vec![Place::top(under)] }]);
    }

    pub(super) fn order(&self) -> Vec<StitchId> {
        self.fabric.rows.last().expect("a row").order.clone()
    }
}
