//! Work into a row further down that words name by its number: "skip next sc of row 10, 1 sc in next sc of row 10",
//! "sl st in next sc of rnd 2" behind the petals of round 3.

use super::chains::first_form;
use super::edge::{LiveEdge, Spot, State, What};
use super::plan::Planned;
use super::row::{LastPlace, RowWork};
use crate::fabric::{Place, RowId, RowShape};
use crate::instructions::{Act, Pattern, Row, Rows, Step};
use crate::source::Span;
use std::cell::OnceCell;
use std::collections::{BTreeMap, BTreeSet};

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
            Act::OfRow { row } | Act::LoopsOf { part: None, row: Some(row) } | Act::Opening { row: Some(row) } => {
                Some(row)
            }
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

/// Edges that a row works into beside the one it began on, by their place among the levels below; none for the row below.
#[derive(Default)]
pub(super) struct Away {
    /// The numbers of the rows that may be named, and where each is, the latest first.
    rows: OnceCell<BTreeMap<u32, Vec<Option<usize>>>>,
    /// Which edge is in hand.
    in_hand: Option<usize>,
    /// Those set aside, as far as they have been worked.
    parked: BTreeMap<Option<usize>, LiveEdge>,
    /// Levels that left nothing open.
    done_with: BTreeSet<usize>,
    /// Places used further down, once the row is at its end.
    pub used: usize,
}

/// Places that steps pass in words before they work, and the one they work.
fn passed_first(steps: &[Step]) -> usize {
    let skips = steps.iter().map_while(|s| match s.act {
        Act::Skip { n, .. } => Some(n as usize),
        Act::SkipFirst { .. } => Some(1),
        Act::With { .. } => Some(0),
        _ => None,
    });
    skips.sum::<usize>() + 1
}

impl RowWork<'_> {
    /// Goes to what a row left open, or back to the row below where that is the one named. A row that left nothing open
    /// is named by mistake or for company, and the work goes on where it is.
    pub(super) fn of_row(&mut self, number: u32, rest: &[Step]) {
        let levels = match number {
            super::rejoined::LEFT => (0..self.bench.levels.len()).map(Some).collect(),
            _ => self.rows_by_number().get(&number).cloned().unwrap_or_default(),
        };
        let Some(&level) = levels.first() else { return };
        // "skip next 8 sts of rnd 5" beside an ear flap that has a row 5 of its own, with fewer sts than that
        let wanted = passed_first(rest);
        let reaches = |level: &Option<usize>| match level {
            None => self.edge.spots.len() >= wanted,
            Some(k) => self.edge_of(*k, false).is_some_and(|edge| edge.spots.len() >= wanted),
        };
        let level = match (wanted > 1 || number == super::rejoined::LEFT) && self.made.is_empty() && levels.len() > 1 {
            true => levels.iter().copied().find(reaches).unwrap_or(level),
            false => level,
        };
        if level == self.away.in_hand {
            return;
        }
        // the stitch worked there, or the first of those to come where the yarn is tied on there
        let worked = matches!(rest.first().map(|s| &s.act), Some(Act::Work { .. } | Act::Attach { .. }));
        let posts = worked && first_form(rest).is_some_and(|form| form.extra.post.is_some());
        let mut found = self.away.parked.remove(&level).or_else(|| self.edge_of(level?, posts));
        let mut level = level;
        // "next sc of rnd 1" behind a petal's own row 1, which left nothing: an earlier row of that number
        for &further in levels.iter().skip(1).filter(|_| worked && !posts) {
            if found.is_none() {
                found = self.away.parked.remove(&further).or_else(|| self.edge_of(further?, posts));
                level = if found.is_some() { further } else { level };
            }
        }
        match (found, level) {
            (Some(edge), _) => self.go_to(level, edge),
            // "sc in each of 8 skipped sc of rnd 4": those it passed by, and the chain over them
            (None, Some(_))
                if !posts
                    && number != super::rejoined::LEFT
                    && self.made.is_empty()
                    && self.takes_opening(Some(number)) => {}
            (None, Some(level)) if !posts => _ = self.away.done_with.insert(level),
            (None, _) => {}
        }
    }

    /// Where the rows are that words may name by number. The row below and what lies further down do not change while a
    /// row is worked.
    fn rows_by_number(&self) -> &BTreeMap<u32, Vec<Option<usize>>> {
        self.away.rows.get_or_init(|| {
            let mut found: BTreeMap<u32, Vec<Option<usize>>> = BTreeMap::new();
            let mut take = |level: Option<usize>, places: &mut dyn Iterator<Item = Place>| {
                let rows: BTreeSet<RowId> = places.filter_map(|p| self.row_of(p)).collect();
                for number in rows.into_iter().filter_map(|row| self.number_of(row)) {
                    let levels = found.entry(number).or_default();
                    if !levels.contains(&level) {
                        levels.push(level);
                    }
                }
            };
            take(None, &mut self.edge.spots.iter().map(|s| s.place));
            for (k, level) in self.bench.levels.iter().rev().enumerate() {
                take(Some(k), &mut level.iter().copied());
            }
            found
        })
    }

    /// The edge of a level, counted from the row below down, in the direction of this row: what of it is open, from where
    /// the rows since have left it.
    fn edge_of(&self, level: usize, posts: bool) -> Option<LiveEdge> {
        if !posts && self.away.done_with.contains(&level) {
            return None;
        }
        let by = *self.bench.piece.iter().rev().nth(level)?;
        let mut places: Vec<Place> = self.bench.levels.iter().rev().nth(level)?.to_vec();
        let used = self.used_since(by);
        let row = self.bench.fabric.row(by);
        let closed = self.edge.closed || matches!(row.shape, RowShape::Round | RowShape::Spiral);
        if row.side != self.bench.fabric.row(self.row).side {
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
        (!spots.is_empty()).then(|| LiveEdge::new(spots, closed))
    }

    /// Takes another edge in hand; where the last stitch stands is kept as a place off it.
    fn go_to(&mut self, level: Option<usize>, edge: LiveEdge) {
        self.chains_to_space(false);
        self.last = self.last.map(|last| LastPlace::Off(self.place_of(last)));
        (self.entered, self.last_gap) = (None, None);
        (self.skipped, self.skipped_used) = (Vec::new(), 0);
        let left = std::mem::replace(&mut self.edge, edge);
        let from = std::mem::replace(&mut self.away.in_hand, level);
        self.away.parked.insert(from, left);
    }

    /// Back to the row below at the end of the row. Where the row has taken nothing of it, nothing of it is missed.
    pub(super) fn come_home(&mut self) {
        if let Some(home) = self.away.parked.remove(&None) {
            self.go_to(None, home);
        }
        if self.away.parked.is_empty() {
            return;
        }
        let used = |edge: &LiveEdge| edge.spots.iter().filter(|s| s.state == State::Used).count();
        self.away.used = self.away.parked.values().map(used).sum();
        *self.tally.used.get_or_insert(0) += self.away.used;
        if used(&self.edge) == 0 {
            self.tally.leave_told = true;
            self.edge.spots.iter_mut().for_each(|s| s.state = State::Passed);
        }
    }

    /// The number that a row is called by.
    pub(super) fn number_of(&self, row: RowId) -> Option<u32> {
        self.bench.fabric.row(row).label.rsplit(' ').next()?.parse().ok()
    }

    /// True where the edge in hand was made by the row of this number.
    pub(super) fn edge_is_of(&self, number: u32) -> bool {
        self.rows_by_number().get(&number).and_then(|levels| levels.first()) == Some(&self.away.in_hand)
    }

    /// "skip next 2 sc of rnd 2" where round 2 is the row below, and no other row is named: what it goes on into anyway.
    pub(super) fn drop_row_below(&self, steps: &mut Vec<Step>) {
        let mut all_below = true;
        for_each(steps, &mut |row| all_below &= self.edge_is_of(row));
        // "skip next 8 sts of rnd 3" beside a flap with a row 3 of its own
        let from = steps.iter().position(|s| matches!(s.act, Act::OfRow { .. })).map_or(0, |k| k + 1);
        let reaches = passed_first(&steps[from..]) <= self.edge.spots.len().max(1);
        if all_below && reaches {
            without_rows(steps);
        }
    }

    fn row_of(&self, place: Place) -> Option<RowId> {
        let id = match place {
            Place::Space { space } => *self.bench.fabric.spaces.get(space.index())?.ids.first()?,
            _ => place.stitch()?,
        };
        Some(self.bench.fabric.stitch(id).row)
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
}

/// Calls for every row that steps go on into.
fn for_each(steps: &[Step], with: &mut impl FnMut(u32)) {
    for step in steps {
        match &step.act {
            Act::OfRow { row } => with(*row),
            Act::Repeat { steps, .. } | Act::Group { steps, .. } => for_each(steps, with),
            _ => {}
        }
    }
}

/// Takes those steps out. A repeat that stops within is one step shorter for each before its end.
fn without_rows(steps: &mut Vec<Step>) {
    steps.retain(|s| !matches!(s.act, Act::OfRow { .. }));
    for step in steps {
        match &mut step.act {
            Act::Repeat { steps, stop, .. } => {
                let gone = |k: usize| steps.iter().take(k).filter(|s| matches!(s.act, Act::OfRow { .. })).count();
                *stop = stop.map(|k| k - gone(k));
                without_rows(steps);
            }
            Act::Group { steps, .. } => without_rows(steps),
            _ => {}
        }
    }
}
