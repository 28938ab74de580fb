//! A border walked round a whole flat piece, side by side as its words come to them: the ends of its rows down, the
//! foundation, the ends up again, and the last row.

use super::edge::{Spot, State, What};
use super::row::{LastPlace, RowWork};
use super::row_ends::{open_rows, side_down, side_up};
use crate::craft::StitchForm;
use crate::fabric::{EdgeEnd, Place, RowShape, StitchId};
use crate::instructions::{Act, Class, CountOf, Step, Target};
use crate::source::Span;

/// A side of a flat piece that a border has not come to yet.
#[derive(Clone, Debug)]
pub(super) struct PieceSide {
    pub what: SideOf,
    spots: Vec<Spot>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum SideOf {
    Ends,
    Foundation,
    Top,
}

/// Sides of a flat piece worked in rows.
pub(super) const SIDES: usize = 4;

/// Stitches in one place of an edging that a count may ask for; what asks for more counts something else.
const MOST_IN_ONE: usize = 3;

impl RowWork<'_> {
    /// Sets out along the sides of a flat piece in rows on a chain: the first is its row ends, behind the last row where
    /// that has been worked along. False where the piece is none.
    pub(super) fn set_out_round(&mut self) -> bool {
        let Some(chain) = self.bottom() else { return false };
        // "3 sc in last sc" before the sides is a corner; the row itself is walked at the end
        let used = self.edge.spots.iter().filter(|s| s.state == State::Used).count();
        let walked = self.edge.cursor >= self.edge.spots.len() && used > 1;
        let back = walked && self.bench.fabric.row(self.row).turned;
        let from = if back { EdgeEnd::Start } else { EdgeEnd::End };
        let (down, end) = side_down(self.bench, from);
        if down.is_empty() {
            return false;
        }
        // row 1 begins at the hook's end of the chain
        let order: Vec<StitchId> = if end == EdgeEnd::End { chain } else { chain.into_iter().rev().collect() };
        let under = order.into_iter().map(|id| Spot::new(Place::underside(id), What::Chain)).collect();
        let up = side_up(self.bench, from);
        let mut sides =
            vec![PieceSide { what: SideOf::Foundation, spots: under }, PieceSide { what: SideOf::Ends, spots: up }];
        if walked {
            self.edge.spots.extend(down);
        } else {
            let mut top = std::mem::take(&mut self.edge.spots);
            top.retain(|s| s.state != State::Used);
            top.iter_mut().for_each(|s| s.state = State::Open);
            if self.bench.fabric.row(self.row).turned {
                top.reverse();
            }
            sides.push(PieceSide { what: SideOf::Top, spots: top });
            self.edge = super::edge::LiveEdge::new(down, false);
        }
        self.sides = sides;
        true
    }

    /// Chains of the foundation that row 1 stands on, from the tail; none where the piece has no bottom edge of its own.
    fn bottom(&self) -> Option<Vec<StitchId>> {
        let fabric = &self.bench.fabric;
        let foundation = self.bench.piece.first().map(|&r| fabric.row(r))?;
        let flat = open_rows(self.bench).all(|r| matches!(r.shape, RowShape::Row | RowShape::Border));
        let rows = self.bench.piece.len() >= 2;
        if foundation.shape != RowShape::Foundation || foundation.joined || self.bench.both_sides || !flat || !rows {
            return None;
        }
        let first = fabric.row(self.bench.piece[1]);
        let stands = |id: &StitchId| first.order.iter().any(|&s| fabric.stitch(s).into.contains(&Place::chain(*id)));
        let last = foundation.order.iter().rposition(stands)?;
        Some(foundation.order[..=last].to_vec())
    }

    /// "With RS of row 1 facing, working across opposite side of foundation ch": rows later, the row goes along the bottom
    /// edge alone, from the tail where it faces as row 1 does. False where the piece has none.
    pub(super) fn along_bottom(&mut self) -> bool {
        let Some(mut chain) = self.bottom() else { return false };
        let fabric = &self.bench.fabric;
        if fabric.row(self.row).side != fabric.row(self.bench.piece[1]).side {
            chain.reverse();
        }
        if self.made.is_empty() {
            self.edge = super::edge::LiveEdge::default();
            self.last = None;
        }
        self.edge.spots.extend(chain.into_iter().map(|id| Spot::new(Place::underside(id), What::Chain)));
        self.tally.on_chain = false;
        self.tally.leave_told = false;
        self.bench.fabric.rows[self.row.index()].shape = RowShape::Border;
        true
    }

    /// True while a border goes round a flat piece.
    pub(super) fn goes_round_piece(&self) -> bool {
        !self.sides.is_empty()
    }

    /// True where each pass of a repeat goes along a side of a flat piece, so many stitches spaced over it.
    pub(super) fn goes_side_by_side(&self, steps: &[Step]) -> bool {
        let spaced = |s: &Step| matches!(&s.act, Act::Work { at: Target::Evenly { n: Some(_) }, .. });
        steps.iter().any(spaced) && (self.goes_round_piece() || self.bottom().is_some())
    }

    /// Comes to the next side, or to the next of a kind; false where there is none left.
    pub(super) fn next_side(&mut self, what: Option<SideOf>) -> Option<SideOf> {
        let k = match what {
            Some(what) => self.sides.iter().position(|s| s.what == what)?,
            None => 0,
        };
        if k >= self.sides.len() {
            return None;
        }
        let side = self.sides.drain(..=k).next_back()?;
        self.edge.spots.extend(side.spots);
        self.tally.remainder = None;
        Some(side.what)
    }

    /// Where a side is done and the words go on, the side they mean; a corner is the first place of the next side, where
    /// that is a chain or a stitch, else the last place again. True where the stitches have been worked.
    pub(super) fn turn_the_corner(
        &mut self,
        at: &Target,
        (each, form): (u32, StitchForm),
        span: Span,
        rest: &[Step],
    ) -> bool {
        let place = self.corner_place(at, rest);
        if let Some(place) = place {
            self.stitches_in(each, form, &[place], span);
        }
        place.is_some()
    }

    /// The place of the corner told next; the edge goes on to the side that other words mean.
    pub(super) fn corner_place(&mut self, at: &Target, rest: &[Step]) -> Option<LastPlace> {
        let corner = |class: &Class| matches!(class, Class::Corner(_) | Class::CornerStitch);
        let border = self.bench.fabric.row(self.row).shape == RowShape::Border;
        let named = matches!(at, Target::Next { n: 1, class } | Target::Last { n: 1, class } if corner(class));
        if let Some(k) = named.then(|| self.corner_at_the_yarn(rest)).flatten() {
            self.corner_told = true;
            return Some(LastPlace::OnEdge(k));
        }
        self.corner_told |= named;
        if let (Target::Next { n: 1, class } | Target::Last { n: 1, class }, true) = (at, border)
            && corner(class)
            && self.edge.ahead(&Class::Any) == 1
            && let Some(k) = self.edge.next_of(&Class::Any)
            && self.edge.spots[k].what != What::RowEnd
        {
            // the place that "each" left for it
            self.edge.take(k);
            return Some(LastPlace::OnEdge(k));
        }
        if !self.goes_round_piece() || self.edge.ahead(&Class::Any) > 0 {
            return None;
        }
        match at {
            Target::Next { n: 1, class } | Target::Last { n: 1, class } if corner(class) => {
                if self.sides.first().is_some_and(|s| s.what != SideOf::Ends) {
                    self.next_side(None);
                    let k = self.edge.cursor;
                    self.edge.take(k);
                    return Some(LastPlace::OnEdge(k));
                }
                return self.last;
            }
            Target::Next { class, .. }
            | Target::Each { class, .. }
            | Target::First { class }
            | Target::Last { class, .. } => {
                let kind = match class {
                    Class::Chain => Some(SideOf::Foundation),
                    Class::RowEnd => Some(SideOf::Ends),
                    Class::Any | Class::Stitch => None,
                    Class::Kind(_) => Some(SideOf::Top),
                    _ => return None,
                };
                self.next_side(kind);
            }
            Target::Evenly { .. } => {
                self.next_side(None);
            }
            _ => {}
        }
        None
    }

    /// Where a row not turned begins with a corner and goes on along row ends: at the stitch the yarn hangs from.
    fn corner_at_the_yarn(&mut self, rest: &[Step]) -> Option<usize> {
        let begins = self.made.is_empty() && !self.goes_round_piece() && !self.edge.closed;
        let plain = self.edge.spots.iter().all(|s| matches!(s.what, What::Stitch(_) | What::Turning(_)));
        let along_ends = match rest.first().map(|s| &s.act) {
            Some(Act::RowEnds) => true,
            Some(Act::Work { at, .. } | Act::Group { at, .. }) => {
                matches!(at, Target::Evenly { .. } | Target::Each { class: Class::RowEnd, .. })
            }
            _ => false,
        };
        if !(begins && plain && along_ends) || self.bench.fabric.row(self.row).turned || self.bottom().is_none() {
            return None;
        }
        let k = self.edge.spots.len().checked_sub(1)?;
        self.edge.spots[k].state = State::Used;
        Some(k)
    }

    /// One where the side a border has come to ends in a corner of its own that is told next; none along row ends.
    pub(super) fn left_for_corner(&self) -> usize {
        let ends_next = self.sides.first().is_none_or(|s| s.what == SideOf::Ends);
        let on_stitches = self.edge.spots.last().is_some_and(|s| s.what != What::RowEnd);
        let kept = self.corner_told && on_stitches && ends_next && self.edge.ahead(&Class::Any) > 1;
        usize::from(kept && !self.sides.is_empty())
    }

    /// How many places "each" leaves at the end of a side: one for the corner told next, where that is of this side.
    pub(super) fn kept_for_corner(&self, rest: &[Step]) -> usize {
        let last = match rest.first().map(|s| &s.act) {
            Some(Act::Work { at, .. } | Act::Group { at, .. }) => {
                let corner = matches!(at, Target::Next { class: Class::Corner(_), .. });
                // on the last row still: its ends are the next side
                let top = self.sides.is_empty()
                    && self.bench.fabric.row(self.row).shape == RowShape::Border
                    && !self.edge.spots.iter().any(|s| s.what == What::RowEnd);
                let ends = top || self.sides.first().is_some_and(|s| s.what == SideOf::Ends);
                let chains = self.edge.spots.last().is_some_and(|s| s.what != What::RowEnd);
                (!top && matches!(at, Target::Last { .. })) || corner && ends && chains
            }
            _ => false,
        };
        usize::from(last)
    }

    /// As many stitches as the row states, spread over all sides; false where it states none.
    pub(super) fn spread_all_round(&mut self, each: u32, form: StitchForm, span: Span) -> bool {
        let told = self.tally.stated.iter().find(|s| matches!(s.of, CountOf::Sts | CountOf::Kind(_)));
        let Some(n) = told.map(|s| s.count as usize).filter(|&n| n > 0 && each == 1) else { return false };
        let places: Vec<usize> = (0..self.edge.spots.len()).filter(|&k| self.edge.spots[k].is(&Class::Any)).collect();
        if places.is_empty() || n > MOST_IN_ONE * places.len() {
            return false;
        }
        for i in 0..n {
            if self.bench.limit_hit {
                return true;
            }
            let k = places[i.saturating_mul(places.len()) / n];
            self.stitches_in(each, form, &[LastPlace::OnEdge(k)], span);
        }
        for &k in &places {
            self.edge.take(k);
            self.edge.spots[k].state = State::Used;
        }
        true
    }

    /// "sc evenly around entire piece": every side at once, where nothing is told of the sides one by one.
    pub(super) fn evenly_all_round(&mut self, rest: &[Step]) -> bool {
        let alone = !rest.iter().any(|s| {
            matches!(s.act, Act::Work { .. } | Act::Group { .. } | Act::Repeat { .. } | Act::FarSide | Act::RowEnds)
        });
        let joins = rest.iter().any(|s| matches!(s.act, Act::Join { .. }));
        if !(alone && joins && self.made.is_empty() && self.goes_round_piece()) {
            return false;
        }
        while self.next_side(None).is_some() {}
        true
    }
}
