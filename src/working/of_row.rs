//! Work into a row further down that words name by its number: "skip next sc of row 10, 1 sc in next sc of row 10",
//! "sl st in next sc of rnd 2" behind the petals of round 3.

use super::edge::{LiveEdge, Spot, State, What};
use super::plan::Planned;
use super::row::{LastPlace, RowWork};
use crate::fabric::{Place, Role, RowId, RowShape, SpaceId, StitchId};
use crate::instructions::{Act, Pattern, Row, Rows, Step};
use crate::source::Span;
use std::collections::BTreeSet;

/// Steps that all go into one row further down, without the words that say so.
pub(super) fn all_of_one(steps: &[Step]) -> Option<(u32, Vec<Step>)> {
    let works =
        |s: &&Step| matches!(s.act, Act::Work { .. } | Act::Group { .. } | Act::Skip { .. } | Act::OfRow { .. });
    let Act::OfRow { row } = steps.iter().find(works)?.act else { return None };
    let (told, plain): (Vec<&Step>, Vec<&Step>) = steps.iter().partition(|s| matches!(s.act, Act::OfRow { .. }));
    let one = told.iter().all(|s| s.act == Act::OfRow { row });
    one.then(|| (row, plain.into_iter().cloned().collect()))
}

/// Lines that leave places for a later row which goes back to them by the number of the row they are on.
pub(super) fn left_for_later(pattern: &Pattern) -> BTreeSet<Span> {
    let rows: Vec<&Row> = pattern.parts.iter().flat_map(|p| &p.rows).collect();
    let goes_to = |row: &Row| {
        row.steps.iter().find_map(|s| match s.act {
            Act::OfRow { row } | Act::LoopsOf { part: None, row: Some(row) } => Some(row),
            _ => None,
        })
    };
    let ends_on = |row: &Row, n: u32| matches!(&row.heading.rows, Rows::Numbered(all) if all.last() == Some(&n));
    let mut left = BTreeSet::new();
    for (i, row) in rows.iter().enumerate() {
        let Some(n) = goes_to(row) else { continue };
        let near = i.saturating_sub(MOST_LINES)..i;
        if let Some(k) = near.rev().find(|&k| ends_on(rows[k], n)).filter(|k| k + 1 < i) {
            left.insert(rows[k + 1].span);
        }
    }
    left
}

/// Lines between a row and the one that comes back to it.
const MOST_LINES: usize = 40;

/// Says of the first row of such a line what its words leave to be understood.
pub(super) fn leave_for_later(rows: &mut [Planned<'_>], left: &BTreeSet<Span>) {
    if left.is_empty() {
        return;
    }
    let mut last = None;
    for row in rows {
        if left.contains(&row.span) && last != Some(row.span) {
            row.steps.push(Step { act: Act::Leave { n: None }, span: row.body });
        }
        last = Some(row.span);
    }
}

impl RowWork<'_> {
    /// Goes to what a row left open, or back to the row below where that is the one named. A row that left nothing open
    /// is named by mistake or for company, and the work goes on where it is.
    pub(super) fn of_row(&mut self, number: u32, rest: &[Step]) {
        let below = self.home.as_ref().map_or(&self.edge, |home| home);
        let named = |row: RowId| self.is_numbered(row, number);
        if below.spots.iter().filter_map(|s| self.row_of(s.place)).any(named) {
            if let Some(home) = self.home.take() {
                let away = self.go_to(home);
                self.away_used += away.spots.iter().filter(|s| s.state == State::Used).count();
            }
            return;
        }
        if self.home.is_some() && self.edge.spots.iter().filter_map(|s| self.row_of(s.place)).any(named) {
            return;
        }
        let posts = matches!(rest.first().map(|s| &s.act), Some(Act::Work { form, .. }) if form.extra.post.is_some());
        let Some(away) = self.edge_of(named, posts) else { return };
        let left = self.go_to(away);
        match self.home {
            Some(_) => self.away_used += left.spots.iter().filter(|s| s.state == State::Used).count(),
            None => self.home = Some(left),
        }
    }

    /// The edge that a row made, in the direction of this one: what of it is open, from where the rows since have left it.
    fn edge_of(&self, named: impl Fn(RowId) -> bool, posts: bool) -> Option<LiveEdge> {
        let used = self.places_used();
        let side = self.bench.fabric.row(self.row).side;
        for (level, &by) in self.bench.levels.iter().rev().zip(self.bench.piece.iter().rev()) {
            if !level.iter().filter_map(|p| self.row_of(*p)).any(&named) {
                continue;
            }
            let by = self.bench.fabric.row(by);
            let closed = self.edge.closed || matches!(by.shape, RowShape::Round | RowShape::Spiral);
            let mut places: Vec<Place> = level.to_vec();
            if by.side != side {
                places.reverse();
            }
            let open = |p: &Place| posts || !used.holds(p);
            if !closed && let Some(last) = places.iter().rposition(|p| !open(p)) {
                let behind = places.split_off(last + 1);
                if !behind.is_empty() {
                    places = behind;
                }
            }
            let spots: Vec<Spot> = places.into_iter().filter(open).filter_map(|p| self.spot_at(p)).collect();
            return (!spots.is_empty()).then(|| LiveEdge::new(spots, closed));
        }
        None
    }

    /// Takes another edge in hand and gives the one left; where the last stitch stands is kept as a place off it.
    fn go_to(&mut self, edge: LiveEdge) -> LiveEdge {
        self.chains_to_space(false);
        self.last = self.last.map(|last| LastPlace::Off(self.place_of(last)));
        (self.entered, self.last_gap) = (None, None);
        (self.skipped, self.skipped_used) = (Vec::new(), 0);
        std::mem::replace(&mut self.edge, edge)
    }

    /// Back to the row below at the end of the row. Where the row has taken nothing of it, nothing of it is missed.
    pub(super) fn come_home(&mut self) {
        if let Some(home) = self.home.take() {
            let away = self.go_to(home);
            self.away_used += away.spots.iter().filter(|s| s.state == State::Used).count();
        } else if self.away_used == 0 {
            return;
        }
        *self.tally.used.get_or_insert(0) += self.away_used;
        if !self.edge.spots.iter().any(|s| s.state == State::Used) {
            self.tally.leave_told = true;
            self.edge.spots.iter_mut().for_each(|s| s.state = State::Passed);
        }
    }

    /// True for the row that is called by this number.
    pub(super) fn is_numbered(&self, row: RowId, number: u32) -> bool {
        self.bench.fabric.row(row).label.rsplit(' ').next().is_some_and(|last| last.parse() == Ok(number))
    }

    /// True where the edge in hand was made by the row of this number.
    pub(super) fn edge_is_of(&self, number: u32) -> bool {
        let named = |row: RowId| self.is_numbered(row, number);
        self.edge.spots.iter().filter_map(|s| self.row_of(s.place)).any(named)
    }

    fn row_of(&self, place: Place) -> Option<RowId> {
        match place {
            Place::Space { space } => {
                let id = self.bench.fabric.spaces.get(space.index())?.ids.first()?;
                Some(self.bench.fabric.stitch(*id).row)
            }
            _ => place.stitch().map(|id| self.bench.fabric.stitch(id).row),
        }
    }

    fn spot_at(&self, place: Place) -> Option<Spot> {
        match place {
            Place::Top { top, .. } => Some(self.bench.spot_of(top)),
            Place::Space { space } => {
                let length = self.bench.fabric.spaces.get(space.index())?.length;
                Some(Spot::new(place, What::Space(length, false)))
            }
            _ => None,
        }
    }

    /// Every top and space that some stitch stands in. What joins a round or carries the yarn takes none.
    fn places_used(&self) -> Used {
        let ties = |role: Role| matches!(role, Role::Join | Role::Travel);
        let mut used = Used::default();
        for place in self.bench.fabric.stitches.iter().filter(|s| !ties(s.role)).flat_map(|s| &s.into) {
            match *place {
                Place::Top { top, .. } => _ = used.tops.insert(top),
                Place::Space { space } => _ = used.spaces.insert(space),
                _ => {}
            }
        }
        used
    }
}

/// Tops and spaces that stitches stand in.
#[derive(Default)]
struct Used {
    tops: BTreeSet<StitchId>,
    spaces: BTreeSet<SpaceId>,
}

impl Used {
    fn holds(&self, place: &Place) -> bool {
        match place {
            Place::Top { top, .. } => self.tops.contains(top),
            Place::Space { space } => self.spaces.contains(space),
            _ => false,
        }
    }
}
