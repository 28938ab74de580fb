use super::{EdgeEnd, Fabric, LineNode, Place, RingId, Row, RowId, RowShape, SpaceId, StitchId};
use crate::craft::Stem;
use std::collections::BTreeMap;

/// A symmetry that the graph of stitches itself has, whatever a layout makes of it.
///
/// Joins, travel and the form of turning chains are set aside: a ch 3 that counts is a dc.
#[derive(Clone, Debug, PartialEq)]
pub struct Symmetry {
    /// What it does.
    pub kind: SymmetryKind,
    /// The rows it holds for, in working order.
    pub rows: Vec<RowId>,
    /// Where each stitch goes.
    pub stitches: BTreeMap<StitchId, StitchId>,
    /// Where each chain space goes.
    pub spaces: BTreeMap<SpaceId, SpaceId>,
}

/// What rounds stand in, all of the first of them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Middle {
    /// A ring.
    Ring(RingId),
    /// One chain.
    Chain(StitchId),
}

/// What a symmetry does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SymmetryKind {
    /// Every round goes on by one part in so many, about the middle they stand in.
    Turn {
        /// The number of parts, at least 2.
        order: usize,
        /// The middle.
        about: Middle,
    },
    /// Every round runs backwards, about the middle they stand in.
    Reflection {
        /// The middle.
        about: Middle,
    },
    /// Every row runs backwards.
    Mirror,
}

impl Fabric {
    /// The symmetries of the fabric: of rounds about a ring or a chain the finest turn and a reflection of all that turn, of
    /// rows the mirror.
    ///
    /// Rounds are followed outward as far as they go about their middle; what hangs on the last of them, and what is
    /// worked round that, has no part in it.
    pub fn symmetries(&self) -> Vec<Symmetry> {
        let mut found: Vec<Symmetry> = Vec::new();
        let rings = (0..self.rings.len()).map(|k| Middle::Ring(RingId::new(k)));
        for middle in rings.chain(self.chains_in_the_middle().into_iter().map(Middle::Chain)) {
            let turn = self.turn_about(middle);
            let reflection = turn.as_ref().and_then(|turn| self.reflection_about(middle, turn));
            found.extend(turn.into_iter().chain(reflection));
        }
        for (i, row) in self.rows.iter().enumerate() {
            if row.shape == RowShape::Foundation && !row.order.is_empty() {
                found.extend(self.mirror_from(i));
            }
        }
        found
    }

    /// Lying chains that joined rounds begin in.
    fn chains_in_the_middle(&self) -> Vec<StitchId> {
        let first = |row: &Row| row.order.iter().find_map(|&id| self.stitch(id).into.first()?.stitch());
        let lies = |chain: &StitchId| {
            let row = self.row(self.stitch(*chain).row);
            self.stitch(*chain).is_chain() && row.shape == RowShape::Foundation
        };
        let mut chains: Vec<StitchId> = self.rows.iter().filter(|r| r.joined).filter_map(first).filter(lies).collect();
        chains.dedup();
        chains
    }

    /// True for a round of a spiral that neither goes on from another nor runs on into one.
    pub(crate) fn is_lone_round(&self, row: &Row) -> bool {
        let spiral = |at: Option<usize>| {
            at.and_then(|at| self.rows.get(at)).is_some_and(|r| r.shape == RowShape::Spiral && r.part == row.part)
        };
        let at = row.index.index();
        row.shape == RowShape::Spiral && !spiral(at.checked_sub(1)) && !spiral(Some(at + 1))
    }

    fn turn_about(&self, about: Middle) -> Option<Symmetry> {
        let rounds = self.rounds_about(about);
        let lines: Vec<Vec<LineNode>> = rounds.iter().map(|&r| self.line(r)).collect();
        let first = lines.first()?.len();
        // the finest turn of all rounds, else of all but the last, and so on: one round alone says nothing
        let mut best: Option<(usize, usize, Images)> = None;
        for order in (2..=first).rev().filter(|k| first.is_multiple_of(*k)) {
            let mut images = Images::about(about);
            let mut taken = 0;
            for line in lines.iter().take_while(|line| line.len().is_multiple_of(order)) {
                images.add(line, |i| (i + line.len() / order) % line.len());
                if !line.iter().all(|&node| self.agrees(node, &images)) {
                    images.take_back(line);
                    break;
                }
                taken += 1;
            }
            let counts = taken > 1 || (taken == 1 && rounds.len() == 1);
            if counts && best.as_ref().is_none_or(|b| taken > b.0) {
                best = Some((taken, order, images));
            }
        }
        let (taken, order, images) = best?;
        Some(images.into_symmetry(SymmetryKind::Turn { order, about }, rounds[..taken].to_vec()))
    }

    /// The reflection of all rounds that turn, if they run the same both ways.
    fn reflection_about(&self, about: Middle, turn: &Symmetry) -> Option<Symmetry> {
        let SymmetryKind::Turn { order, .. } = turn.kind else { return None };
        let lines: Vec<Vec<LineNode>> = turn.rows.iter().map(|&r| self.line(r)).collect();
        let (first, rest) = lines.split_first()?;
        // a reflection and a turn make another: one part of the first round has all there are
        let images = (0..first.len() / order).find_map(|shift| {
            let mut images = Images::about(about);
            let begun = self.reflect(first, shift, &mut images);
            (begun && rest.iter().all(|line| self.reflect_onto(line, &mut images))).then_some(images)
        })?;
        Some(images.into_symmetry(SymmetryKind::Reflection { about }, turn.rows.clone()))
    }

    /// Reflects a round so that its first node goes to the one of this number; true where that agrees.
    fn reflect(&self, line: &[LineNode], shift: usize, images: &mut Images) -> bool {
        images.add(line, |i| (shift + line.len() - i) % line.len());
        let agrees = line.iter().all(|&node| self.agrees(node, images));
        if !agrees {
            images.take_back(line);
        }
        agrees
    }

    /// Reflects a round in some way that agrees with the rounds below; true where there is one.
    fn reflect_onto(&self, line: &[LineNode], images: &mut Images) -> bool {
        let places = |node: LineNode, image: bool| -> Option<Vec<PlaceKey>> {
            let LineNode::Stitch(id) = node else { return None };
            let mut keys =
                self.stands_in(id, images).iter().map(|p| images.key(p, image)).collect::<Option<Vec<_>>>()?;
            keys.sort_unstable();
            (!keys.is_empty()).then_some(keys)
        };
        // where the first that stands somewhere goes tells how all others go
        let told = line.iter().enumerate().find_map(|(i, &node)| Some((i, places(node, true)?)));
        let Some((at, image)) = told else { return false };
        let there: Vec<usize> =
            (0..line.len()).filter(|&j| places(line[j], false).is_some_and(|keys| keys == image)).collect();
        there.into_iter().any(|j| self.reflect(line, (at + j) % line.len(), images))
    }

    /// Joined rounds from the one that stands in the middle outward, each on the one before.
    fn rounds_about(&self, about: Middle) -> Vec<RowId> {
        let mut rounds: Vec<RowId> = Vec::new();
        let mut inside = vec![false; self.stitches.len()];
        for row in &self.rows {
            let mut stitches = row.order.iter().filter(|id| !self.stitch(**id).into.is_empty()).peekable();
            let good = (row.joined || self.is_lone_round(row))
                && stitches.peek().is_some()
                && stitches.all(|id| {
                    self.stitch(*id).into.iter().all(|place| match *place {
                        Place::Ring { ring } => Middle::Ring(ring) == about && rounds.is_empty(),
                        Place::Space { space } => {
                            !rounds.is_empty() && self.spaces[space.index()].ids.iter().all(|c| inside[c.index()])
                        }
                        Place::RowEnd { .. } => false,
                        _ if rounds.is_empty() => place.stitch().is_some_and(|s| Middle::Chain(s) == about),
                        _ => place.stitch().is_some_and(|s| inside[s.index()]),
                    })
                });
            if good {
                rounds.push(row.index);
                for id in &row.order {
                    inside[id.index()] = true;
                }
            }
        }
        rounds
    }

    /// The mirror of everything worked on one foundation, if all its rows run the same both ways.
    fn mirror_from(&self, foundation: usize) -> Option<Symmetry> {
        let part = self.rows[foundation].part;
        let next = (foundation + 1..self.rows.len())
            .find(|&r| self.rows[r].shape == RowShape::Foundation || self.rows[r].part != part)
            .unwrap_or(self.rows.len());
        let rows: Vec<RowId> = (foundation..next).map(RowId::new).collect();
        if rows.len() < 2 || rows.iter().any(|&r| self.row(r).joined || !self.row(r).strands.is_empty()) {
            return None;
        }
        let mut images = Images::default();
        for &row in &rows[1..] {
            if self.row(row).shape == RowShape::Spiral {
                return None;
            }
            let line = self.line(row);
            images.add(&line, |i| line.len() - 1 - i);
        }
        self.mirror_foundation(&self.row(rows[0]).order, &mut images)?;
        let lines: Vec<LineNode> = rows[1..].iter().flat_map(|&r| self.line(r)).collect();
        lines.iter().all(|&node| self.agrees(node, &images)).then(|| images.into_symmetry(SymmetryKind::Mirror, rows))
    }

    /// The foundation stays, its sides changing places, or runs backwards: the rows on it tell which.
    fn mirror_foundation(&self, chains: &[StitchId], images: &mut Images) -> Option<()> {
        let places: BTreeMap<StitchId, usize> = chains.iter().enumerate().map(|(i, &c)| (c, i)).collect();
        let at = |id: StitchId| places.get(&id).copied();
        let mut sum: Option<usize> = None;
        let mut stays: Option<bool> = None;
        for (&a, &b) in &images.stitches {
            let (here, there) = (self.stitch(a).into.first()?.stitch(), self.stitch(b).into.first()?.stitch());
            let (Some(Some(i)), Some(Some(j))) = (here.map(at), there.map(at)) else { continue };
            // only one that is not in the middle tells
            match stays {
                None => {
                    stays = if i == j && 2 * i + 1 != chains.len() {
                        Some(true)
                    } else if i != j {
                        Some(false)
                    } else {
                        None
                    }
                }
                Some(true) if i != j => return None,
                Some(_) => {}
            }
            if stays == Some(false) && *sum.get_or_insert(i + j) != i + j {
                return None;
            }
        }
        for (i, &chain) in chains.iter().enumerate() {
            let image = if stays == Some(true) {
                Some(i)
            } else {
                sum.and_then(|s| s.checked_sub(i)).filter(|&j| j < chains.len())
            };
            if let Some(j) = image {
                images.stitches.insert(chain, chains[j]);
            }
        }
        images.ends = if stays == Some(true) {
            chains.first().copied().into_iter().chain(chains.last().copied()).collect()
        } else {
            Vec::new()
        };
        images.sides_change = stays == Some(true);
        Some(())
    }

    /// The places of a stitch. The chains skipped at the start of a round in one chain stand in it with the others.
    fn stands_in(&self, id: StitchId, images: &Images) -> Vec<Place> {
        let stitch = self.stitch(id);
        match images.middle {
            Some(chain) if stitch.into.is_empty() && stitch.is_counting_turning_chain() => vec![Place::chain(chain)],
            _ => stitch.into.clone(),
        }
    }

    /// The image of a node is made as it is, and stands on the images of its places.
    fn agrees(&self, node: LineNode, images: &Images) -> bool {
        match node {
            LineNode::Space(k) => {
                images.spaces.get(&k).is_some_and(|i| self.spaces[i.index()].length == self.spaces[k.index()].length)
            }
            LineNode::Stitch(id) => {
                let Some(&image) = images.stitches.get(&id) else { return false };
                let (a, b) = (self.stitch(id), self.stitch(image));
                let make =
                    |s: &super::Stitch| -> (Stem, usize, crate::craft::Meet) { (s.stem(), s.legs.len(), s.meet) };
                let places_of = |id, image| self.stands_in(id, images).iter().map(|p| images.key(p, image)).collect();
                let mut places: Vec<Option<PlaceKey>> = places_of(id, true);
                let mut there: Vec<Option<PlaceKey>> = places_of(image, false);
                places.sort_unstable();
                there.sort_unstable();
                make(a) == make(b) && places == there && places.iter().all(Option::is_some)
            }
        }
    }
}

/// A place in a form that compares: what, its index, which side.
type PlaceKey = (u8, usize, u8, u64);

#[derive(Default)]
struct Images {
    stitches: BTreeMap<StitchId, StitchId>,
    spaces: BTreeMap<SpaceId, SpaceId>,
    /// Chains at which the two sides meet: a stitch there is on neither.
    ends: Vec<StitchId>,
    sides_change: bool,
    /// The chain that all goes about.
    middle: Option<StitchId>,
}

impl Images {
    /// Nothing but what stays where it is.
    fn about(about: Middle) -> Images {
        let middle = if let Middle::Chain(chain) = about { Some(chain) } else { None };
        Images { stitches: middle.into_iter().map(|chain| (chain, chain)).collect(), middle, ..Images::default() }
    }

    fn add(&mut self, line: &[LineNode], image: impl Fn(usize) -> usize) {
        for (i, node) in line.iter().enumerate() {
            match (*node, line[image(i)]) {
                (LineNode::Stitch(a), LineNode::Stitch(b)) => {
                    self.stitches.insert(a, b);
                }
                (LineNode::Space(a), LineNode::Space(b)) => {
                    self.spaces.insert(a, b);
                }
                // unlike nodes have no image: what asks for it will not agree
                _ => {}
            }
        }
    }

    /// Forgets a line again.
    fn take_back(&mut self, line: &[LineNode]) {
        for node in line {
            match node {
                LineNode::Stitch(id) => drop(self.stitches.remove(id)),
                LineNode::Space(k) => drop(self.spaces.remove(k)),
            }
        }
    }

    /// The place, or its image.
    fn key(&self, place: &Place, image: bool) -> Option<PlaceKey> {
        let moved = |id: StitchId| if image { self.stitches.get(&id).copied() } else { Some(id) };
        let side = |id: StitchId, upper: bool| {
            if self.ends.contains(&id) { 2 } else { u8::from(upper != (image && self.sides_change)) }
        };
        Some(match *place {
            Place::Top { top, part } => (0, moved(top)?.index(), part as u8, 0),
            Place::Chain { chain } | Place::Bump { bump: chain } => (1, moved(chain)?.index(), side(chain, true), 0),
            Place::Underside { underside } => (1, moved(underside)?.index(), side(underside, false), 0),
            Place::Space { space } => {
                let space = if image { *self.spaces.get(&space)? } else { space };
                (2, space.index(), 0, 0)
            }
            Place::Ring { ring } => (3, ring.index(), 0, 0),
            Place::RowEnd { row_end } => {
                let start = (row_end.edge == EdgeEnd::Start) != image;
                (4, row_end.row.index(), u8::from(start), row_end.at.to_bits())
            }
            Place::Post { post, from } => (5, moved(post)?.index(), from as u8, 0),
            Place::Side { side, at } => (6, moved(side)?.index(), 0, at.to_bits()),
            Place::Between { between: [a, b] } | Place::Face { face: [a, b] } => {
                let (a, b) = (moved(a)?, moved(b)?);
                (7, a.min(b).index(), 0, a.max(b).index() as u64)
            }
        })
    }

    fn into_symmetry(mut self, kind: SymmetryKind, rows: Vec<RowId>) -> Symmetry {
        if let Some(middle) = self.middle {
            self.stitches.remove(&middle);
        }
        Symmetry { kind, rows, stitches: self.stitches, spaces: self.spaces }
    }
}
