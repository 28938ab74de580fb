//! The bench: the fabric under work, the yarn in hand, and the edge that is live.

use super::edge::{LiveEdge, Spot, What};
use super::tally::Tally;
use crate::craft::{Meet, Stem, StitchForm};
use crate::fabric::*;
use crate::instructions::Assumed;
use crate::source::{Code, Problem, Span};

/// Most stitches one pattern may make. A blanket of 150 by 200 has 30,000.
pub const MOST_STITCHES: usize = 1_000_000;

/// Where a part's work stands between two rows.
#[derive(Clone, Debug, Default)]
pub(super) struct Bench {
    pub fabric: Fabric,
    pub tallies: Vec<Tally>,
    pub problems: Vec<Problem>,
    /// Letter of the yarn in hand.
    pub yarn: String,
    /// Yarns that were attached already.
    pub yarns_on: Vec<String>,
    pub part: PartId,
    /// The edge the next row takes, in the direction of the row that made it.
    pub edge: LiveEdge,
    /// Face of the last row.
    pub side: Side,
    /// True where "turn" was said since the last row.
    pub turn_said: bool,
    /// True where "do not turn" was said at the end of the last row.
    pub turn_denied: bool,
    /// True where the yarn was cut after the last row: the next may begin at either end.
    pub cut: bool,
    /// The last chain of the turning chain of the row below, where it does not count.
    pub last_turning: Option<StitchId>,
    /// True after a row that was not read, until a stated count sets things right.
    pub uncertain: bool,
    /// Chains of a foundation nothing was worked into yet.
    pub foundation: Option<Vec<StitchId>>,
    /// A ring waiting for its first round.
    pub ring: Option<RingId>,
    /// Chains that the end of the last row made for this one.
    pub carried: Option<(u32, Span)>,
    /// Rows of the piece in hand, foundation first: what its row ends belong to.
    pub piece: Vec<RowId>,
    /// Edges worked into by the last rows, the latest last: what lies further down.
    pub levels: Vec<std::rc::Rc<[Place]>>,
    /// True where row 1 went on round the far side.
    pub both_sides: bool,
    /// Closed edges that parts ended with.
    pub ended: Vec<std::rc::Rc<super::joined_parts::Ended>>,
    /// Passes of the repeats being worked, outermost first.
    pub pass: Vec<u32>,
    pub limit_hit: bool,
    /// How doubts are settled, where told.
    pub assumed: Assumed,
    /// Lengths of the growing lists when a snapshot was taken.
    pub lengths: [usize; 7],
    /// Chains of spaces with markers on them.
    pub marked_chains: Vec<StitchId>,
    /// Opening chains of which a row has shown whether they count: how long, before what stitch, and the answer.
    pub habits: Vec<(u32, Stem, usize)>,
    /// Opening chains told to stand for a stitch and a space: by their length, the stitch and the chains of the space.
    pub told_chains: std::collections::BTreeMap<u32, (Stem, u32)>,
    /// True where what is worked goes round a thing that is no crochet.
    pub on_cloth: bool,
    /// What the groups with names are made of.
    pub makes: super::like_named::Makes,
    /// What the row just worked left open.
    pub open: Option<std::rc::Rc<super::second_look::Open>>,
    /// Doubts that a count has settled: the same words are read alike from then on.
    pub settled: Vec<(Span, usize)>,
}

impl Bench {
    /// A chain like one that a row has shown to count or not is read alike, unless its own row shows otherwise.
    pub fn take_up_habit(&mut self, n: u32, before: Stem, words: Span) {
        if let (Some(answer), false) = (self.habit(n, before), self.settled.iter().any(|(span, _)| *span == words)) {
            self.settled.push((words, answer));
        }
    }

    /// How chains like it were read last, before such a stitch or else before any.
    fn habit(&self, n: u32, before: Stem) -> Option<usize> {
        let mut so_long = self.habits.iter().rev().filter(|(chains, ..)| *chains == n).peekable();
        let last = so_long.peek().map(|(.., answer)| *answer);
        so_long.find(|(_, stem, _)| *stem == before).map(|(.., answer)| *answer).or(last)
    }

    /// What a row's own words say of its chain holds for chains like it, until other words say otherwise.
    pub fn learn_told(&mut self, n: u32, before: Stem, counts: bool) {
        let answer = usize::from(!counts);
        if self.habit(n, before) != Some(answer) {
            self.habits.push((n, before, answer));
        }
    }

    /// The answer that words in doubt got where a count settled them; 0 where none has.
    pub fn settled_answer(&self, words: Span) -> usize {
        self.settled.iter().rev().find(|(span, _)| *span == words).map_or(0, |(_, answer)| *answer)
    }

    /// Makes a stitch and gives its id. Past the limit nothing is made and the last id is given again.
    pub fn make(&mut self, row: RowId, form: StitchForm, places: &[Place], role: Role, span: Span) -> StitchId {
        if self.fabric.stitches.len() >= MOST_STITCHES {
            self.hit_limit(span);
            return StitchId::new(self.fabric.stitches.len() - 1);
        }
        let id = StitchId::new(self.fabric.stitches.len());
        let legs: Vec<Leg> = (0..usize::from(form.legs.max(1)))
            .map(|k| {
                let place = if form.one_place { places.first() } else { places.get(k).or(places.last()) };
                Leg { stem: form.stem, into: place.map(|p| placed(*p, &form)).into_iter().collect() }
            })
            .collect();
        let into = legs.iter().flat_map(|l| l.into.iter().copied()).collect();
        let slip_role = role != Role::Base;
        self.fabric.stitches.push(Stitch {
            id,
            kind: form.to_string(),
            row,
            side: self.side,
            colour: self.yarn.clone(),
            colour_end: None,
            carried: Vec::new(),
            counts: !slip_role && form.stem != Stem::SlipStitch && !form.stem.is_chain()
                || role == Role::Branch && form.stem != Stem::SlipStitch && !form.stem.is_chain(),
            stands_for: None,
            role,
            also: Vec::new(),
            legs,
            meet: if form.legs > 1 { form.meet } else { Meet::Head },
            extra: form.extra,
            into,
            covers: Vec::new(),
            layer: 0,
            span,
            pass: self.pass.clone(),
        });
        id
    }

    /// Makes `n` chains.
    pub fn chains(&mut self, row: RowId, n: u32, role: Role, span: Span) -> Vec<StitchId> {
        let room = MOST_STITCHES - self.fabric.stitches.len().min(MOST_STITCHES);
        if n as usize > room {
            self.hit_limit(span);
        }
        (0..(n as usize).min(room))
            .map(|_| self.make(row, StitchForm::plain(Stem::Chain(1)), &[], role, span))
            .collect()
    }

    pub fn hit_limit(&mut self, span: Span) {
        if !self.limit_hit {
            self.limit_hit = true;
            self.problems.push(
                Problem::new(
                    Code::Limit,
                    span,
                    format!("these words make more than {MOST_STITCHES} stitches, the most one pattern may have"),
                )
                .with_hint("look for a number with a digit too many"),
            );
        }
    }

    pub fn event(&mut self, kind: EventKind, colour: Option<String>, told: bool) {
        let after = self.fabric.stitches.last().map(|s| s.id);
        self.fabric.events.push(Event { after, kind, colour, told });
    }

    /// Takes up a yarn; the first time, it is attached.
    pub fn take_yarn(&mut self, yarn: &str, told: bool) {
        if !self.yarns_on.iter().any(|y| y == yarn) {
            self.yarns_on.push(yarn.to_owned());
            self.event(EventKind::Attach, Some(yarn.to_owned()), told);
        }
        self.yarn = yarn.to_owned();
    }

    pub fn cut_yarn(&mut self, yarn: Option<&str>) {
        let yarn = yarn.unwrap_or(&self.yarn).to_owned();
        self.event(EventKind::Cut, Some(yarn.clone()), true);
        self.cut = true;
        self.yarns_on.retain(|y| *y != yarn);
    }

    /// The open place a stitch gives to the next row.
    pub fn spot_of(&self, id: StitchId) -> Spot {
        let stitch = self.fabric.stitch(id);
        let what = match stitch.stands_for {
            Some(stem) => What::Turning(stem.to_string()),
            None => What::Stitch(stitch.kind.clone()),
        };
        Spot::new(Place::top(id), what)
    }

    /// Makes chains into a space and gives its open place. Spaces are numbered in yarn order of their first chain.
    pub fn space(&mut self, ids: Vec<StitchId>, length: u32, corner: bool) -> Spot {
        let k = SpaceId::new(self.fabric.spaces.len());
        self.fabric.spaces.push(Space { ids, length });
        Spot::new(Place::space(k), What::Space(length, corner))
    }

    /// Begins a row.
    pub fn begin_row(&mut self, label: String, shape: RowShape, side: Side, turned: bool) -> RowId {
        let index = RowId::new(self.fabric.rows.len());
        self.fabric.rows.push(Row { index, part: self.part, label, shape, side, turned, ..Row::default() });
        self.side = side;
        index
    }
}

/// The place with the loop or post the form asks for.
fn placed(place: Place, form: &StitchForm) -> Place {
    match (place, form.extra.post) {
        (Place::Top { top, .. }, Some(from)) => Place::Post { post: top, from },
        (Place::Top { top, .. }, None) => Place::Top { top, part: form.extra.part },
        _ => place,
    }
}
