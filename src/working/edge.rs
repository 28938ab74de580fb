//! Live edges: ordered open places, and the cursor a row moves along them.

use super::shapes::{Member, base_name};
use super::tally::{clustered, is_cluster_over, is_kind};
use crate::fabric::{Fabric, Place};
use crate::instructions::Class;

/// One open place of an edge.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Spot {
    pub place: Place,
    pub what: What,
    pub state: State,
    /// The group worked into one place that it belongs to.
    pub group: Option<Member>,
    /// True for the middle stitch of a group worked into one stitch.
    pub corner: bool,
    /// True where a marker is on it.
    pub marked: bool,
    /// True for the space of the chain that opened the row below, where a row names it so.
    pub opening: bool,
}

/// What a place is to the words that name it.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum What {
    /// The top of a stitch, by its US name.
    Stitch(String),
    /// The top of a turning chain that counts, by what it stands for.
    Turning(String),
    /// A chain of a foundation or branch.
    Chain,
    /// A chain space of a length; true for one inside a group.
    Space(u32, bool),
    RowEnd,
    /// A picot: a place only to words that name it.
    Picot,
    /// The chain skipped at the tip of a branch: a place only to words that name it.
    Tip,
    /// The open end of a foundation chain between row ends: a place only to words that name it.
    ChainEnd,
}

impl What {
    /// True for a place that only words naming it work into.
    pub fn is_by_name(&self) -> bool {
        matches!(self, What::Tip | What::ChainEnd | What::Picot)
    }
}

/// What has become of a place in the row being worked.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum State {
    #[default]
    Open,
    /// Worked into, or skipped in words.
    Used,
    /// Crossed by words that name another class.
    Passed,
}

impl Spot {
    pub fn new(place: Place, what: What) -> Self {
        Self { place, what, state: State::Open, group: None, corner: false, marked: false, opening: false }
    }

    pub fn is_space(&self) -> bool {
        matches!(self.what, What::Space(..))
    }

    /// What the stitch stands in whose top this place is.
    pub fn foot(&self, fabric: &Fabric) -> Option<Place> {
        match self.place {
            Place::Top { top, .. } => fabric.stitch(top).into.first().copied(),
            _ => None,
        }
    }

    /// True where the class names this place.
    pub fn is(&self, class: &Class) -> bool {
        match (class, &self.what) {
            (Class::Any | Class::Stitch, what) => !matches!(what, What::Space(..)) && !what.is_by_name(),
            (Class::Tip, What::Tip) | (Class::ChainEnd, What::ChainEnd) | (Class::Picot, What::Picot) => true,
            (Class::Group(name), what) => {
                let heart = |g: &Member| g.heart && base_name(&g.name) == base_name(name);
                self.group.as_ref().is_some_and(heart)
                    || matches!(what, What::Stitch(have) if clustered(name).is_some_and(|ending| have.ends_with(ending) || ending == "cl" && is_cluster_over(have)))
            }
            (Class::Marked, _) => self.marked,
            (Class::OpeningSpace, What::Space(..)) => self.opening,
            (Class::CornerStitch, What::Stitch(_)) => self.corner,
            (Class::Kind(kind), What::Stitch(have) | What::Turning(have)) => is_kind(have, kind),
            (Class::Chain, What::Chain) => true,
            (Class::All | Class::AllChains, what) => !what.is_by_name(),
            (Class::Space(None), What::Space(..)) => true,
            (Class::Space(Some(n)), What::Space(have, _)) => n == have,
            (Class::Corner(None), What::Space(_, corner)) => *corner,
            (Class::Corner(Some(n)), What::Space(have, corner)) => *corner && n == have,
            (Class::RowEnd, What::RowEnd) => true,
            _ => false,
        }
    }
}

/// The edge a row is worked into.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct LiveEdge {
    pub spots: Vec<Spot>,
    /// The next place nothing was done with.
    pub cursor: usize,
    pub closed: bool,
    /// Index of the place nothing may go past for now.
    pub fence: Option<usize>,
    /// Places before the one the round begins in, which its end may run on into; and the first of them not yet used.
    pub spare: (usize, usize),
    /// True where the round being worked began in the gap before the first place.
    pub begun_in_gap: bool,
}

impl LiveEdge {
    pub fn new(spots: Vec<Spot>, closed: bool) -> Self {
        Self { spots, cursor: 0, closed, fence: None, spare: (0, 0), begun_in_gap: false }
    }

    /// The same edge for the next row: all open again; turned, it runs the other way, a closed one from the same first place.
    pub fn renewed(mut self, turned: bool) -> Self {
        self.cursor = 0;
        self.fence = None;
        self.spare = (0, 0);
        self.begun_in_gap = false;
        for spot in &mut self.spots {
            spot.state = State::Open;
        }
        if turned {
            self.spots.reverse();
            if self.closed && !self.spots.is_empty() {
                self.spots.rotate_right(1);
            }
        }
        self
    }

    /// True where the last place of a class is the top of a turning chain.
    pub fn ends_on_chain(&self, class: &Class) -> bool {
        self.spots.iter().rfind(|s| s.is(class)).is_some_and(|s| matches!(s.what, What::Turning(_)))
    }

    /// True where the next place is a post stitch of the kind named: "FPdc around next dc", and there is an FPdc.
    pub fn stands_at_post_of(&self, class: &Class) -> bool {
        let (Class::Kind(kind), Some(What::Stitch(have))) = (class, self.spots.get(self.cursor).map(|s| &s.what))
        else {
            return false;
        };
        have.strip_prefix("fp").or_else(|| have.strip_prefix("bp")) == Some(kind.as_str())
    }

    /// The class to search by: an edge without the kind named gives any stitch of it, since patterns often
    /// name a place loosely ("dc in next dc" over hdc); a space or row end is never made up.
    pub fn searched(&self, class: &Class) -> Class {
        self.searched_from(self.cursor, class)
    }

    /// The class to search by from a place on.
    pub fn searched_from(&self, cursor: usize, class: &Class) -> Class {
        let there = |c: &Class| self.spots[cursor.min(self.spots.len())..].iter().any(|s| s.is(c));
        match class {
            Class::Kind(_) | Class::Chain if !there(class) => Class::Stitch,
            // a round with no space that stands out: the corner is the next space
            Class::Corner(Some(n)) if !there(class) && there(&Class::Space(Some(*n))) => Class::Space(Some(*n)),
            Class::Corner(_) if !there(class) && there(&Class::Corner(None)) => Class::Corner(None),
            Class::Corner(_) if !there(class) && there(&Class::Space(None)) => Class::Space(self.widest_of_few()),
            Class::Corner(None) if !there(class) && there(&Class::CornerStitch) => Class::CornerStitch,
            // the corner of a plain edge is a stitch of it
            Class::Corner(None) if !self.spots.iter().any(|s| s.is_space() || s.corner) && there(&Class::Stitch) => {
                Class::Stitch
            }
            Class::Any | Class::Stitch if !there(class) => match self.spots.get(cursor) {
                Some(spot) if spot.is_space() => Class::Space(None),
                _ => class.clone(),
            },
            _ => class.clone(),
        }
    }

    /// Spaces of two sizes, and three to eight of the wider: those are the corners of a round that has no others. The
    /// length of their chains.
    pub fn widest_of_few(&self) -> Option<u32> {
        let lengths = || {
            self.spots.iter().filter_map(|s| match s.what {
                What::Space(n, _) => Some(n),
                _ => None,
            })
        };
        let (widest, least) = (lengths().max()?, lengths().min()?);
        let corners = lengths().filter(|n| *n == widest).count();
        (widest > least && self.closed && (3..=8).contains(&corners)).then_some(widest)
    }

    /// Behind the last place of a round, the next one of those its start was carried past.
    pub fn run_on(&mut self, class: &Class) -> Option<usize> {
        let (end, from) = self.spare;
        let free = |i: &usize| self.spots[*i].is(class) && self.spots[*i].state != State::Used;
        let k = (from..end.min(self.spots.len())).find(free)?;
        self.spare.1 = k + 1;
        self.spots[k].state = State::Used;
        Some(k)
    }

    /// Index of the next place of a class, without moving.
    pub fn next_of(&self, class: &Class) -> Option<usize> {
        self.next_from(self.cursor, class)
    }

    /// Index of the first place of a class from a place on.
    pub fn next_from(&self, cursor: usize, class: &Class) -> Option<usize> {
        (cursor..self.end()).find(|&i| self.spots[i].is(class))
    }

    /// A round that comes to its end may go on into what it passed over at its start: the first such place of a class.
    pub fn past_the_start(&self, class: &Class) -> Option<usize> {
        let used = self.spots.iter().position(|s| s.state == State::Used)?;
        let first = if self.spare.0 > 0 { self.spare.0.min(self.spots.len()) } else { used };
        let ended = self.closed && self.fence.is_none();
        (0..first).find(|&i| ended && self.spots[i].state == State::Passed && self.spots[i].is(class))
    }

    /// Where what may be worked into ends.
    pub fn end(&self) -> usize {
        self.fence.unwrap_or(self.spots.len()).min(self.spots.len())
    }

    /// Moves to a gap before a place, passing what lies before it.
    pub fn pass_to(&mut self, index: usize) {
        let from = self.cursor.min(index);
        for spot in &mut self.spots[from..index] {
            if spot.state == State::Open {
                spot.state = State::Passed;
            }
        }
        self.cursor = self.cursor.max(index);
    }

    /// Moves to a place, passing what lies before it. A place already behind the cursor is used again, and nothing
    /// moves; one that is not there (of an edge that is done with) is nothing.
    pub fn take(&mut self, index: usize) {
        if index >= self.spots.len() {
            return;
        }
        if index < self.cursor {
            // gone back to: nothing is passed
            self.spots[index].state = State::Used;
            return;
        }
        for spot in &mut self.spots[self.cursor..index] {
            if spot.state == State::Open {
                spot.state = State::Passed;
            }
        }
        self.spots[index].state = State::Used;
        self.cursor = self.cursor.max(index + 1);
    }

    /// How many places of a class lie ahead.
    pub fn ahead(&self, class: &Class) -> usize {
        self.spots[self.cursor.min(self.end())..self.end()].iter().filter(|s| s.is(class)).count()
    }
}
