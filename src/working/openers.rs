//! Chains that open a row, a round or a block and that the next row works into as a space: "sl st in ch-3 sp of next
//! block" where the chain stood beside the first dc, "3 sc in ch-3 sp" at the start of a heart.

use super::bench::Bench;
use super::edge::{Spot, What};
use super::row::RowWork;
use crate::craft::Stem;
use crate::fabric::{Place, Role, StitchId};
use crate::instructions::{Act, Class, Pick, Step, Target, Which};
use crate::source::Code;

/// A chain that opens something, and where on the edge its space would lie.
struct Opener {
    at: usize,
    /// True where it takes the place of the spot there.
    instead: bool,
    /// True for the tip of a block, which is nothing else.
    tip: bool,
    chain: Vec<StitchId>,
}

impl RowWork<'_> {
    /// Where steps go into spaces as long as a chain that opens the row below, that chain may be meant.
    pub(super) fn open_as_spaces(&mut self, steps: &[Step]) {
        let Some(step) = steps.iter().find(|s| length_named(s).is_some()) else { return };
        let Some(n) = length_named(step) else { return };
        let found: Vec<Opener> = self.openers().into_iter().filter(|opener| opener.chain.len() == n as usize).collect();
        // nor is a chain anything else where no other space can be meant
        let other = self.edge.spots.iter().any(|s| s.is(&Class::Space(Some(n)))) || found.iter().any(|o| o.tip);
        let sure = |opener: &Opener| opener.tip || !other && opener.instead;
        let meant = !found.iter().all(sure) && self.doubt(step.span, 2, Code::TurningChain) == 1;
        for opener in found.into_iter().filter(|opener| meant || sure(opener)).rev() {
            self.open(opener);
        }
    }

    /// Puts the space of a chain on the edge; its index there.
    fn open(&mut self, opener: Opener) -> usize {
        let length = u32::try_from(opener.chain.len()).unwrap_or(u32::MAX);
        let spot = self.bench.space(opener.chain, length, false);
        if opener.instead {
            self.edge.spots[opener.at] = spot;
        } else {
            self.edge.spots.insert(opener.at, spot);
        }
        opener.at
    }

    /// "Sc in turning ch-4 sp": the space beside the chain that opened the row below, or the chain itself as a space.
    pub(super) fn open_turning_space(&mut self, steps: &[Step]) {
        if !steps.iter().any(|s| goes_into(s, &opening)) || self.edge.spots.is_empty() {
            return;
        }
        let fabric = &self.bench.fabric;
        let turns = |id: &StitchId| fabric.stitch(*id).also.contains(&Role::Turning);
        let beside = |spot: &Spot| match spot.place {
            Place::Space { space } => fabric.spaces.get(space.index()).is_some_and(|s| s.ids.iter().any(turns)),
            _ => false,
        };
        if let Some(k) = self.edge.spots.iter().position(beside) {
            self.edge.spots[k].opening = true;
            // the chain's top beside it is no place of its own, unless it is named too
            let named = steps.iter().any(|s| goes_into(s, &|at| *at == Target::TurningTop));
            let top = |spot: &Spot| matches!(spot.what, What::Turning(_)) && !named;
            let mut near = [k.checked_sub(1), Some(k + 1)].into_iter().flatten();
            if let Some(top) = near.find(|&i| self.edge.spots.get(i).is_some_and(top)) {
                self.edge.spots.remove(top);
            }
            return;
        }
        // "ch 2, turn, sc in first ch-1 sp": too long for what follows, the chain is a space already
        let opens = |spot: &Spot| match spot.place {
            Place::Space { space } => fabric
                .spaces
                .get(space.index())
                .and_then(|s| s.ids.first())
                .is_some_and(|&id| fabric.row(fabric.stitch(id).row).order.first() == Some(&id)),
            _ => false,
        };
        if !self.edge.closed && self.edge.spots.last().is_some_and(opens) {
            if let Some(spot) = self.edge.spots.last_mut() {
                spot.opening = true;
            }
            return;
        }
        if let Some(opener) = self.openers().into_iter().rfind(|opener| !opener.tip && !opener.chain.is_empty()) {
            let k = self.open(opener);
            self.edge.spots[k].opening = true;
        }
    }

    /// Finds what the row's words mean by shapes without a name, and by the chain that opened the row below.
    pub(super) fn name_turning_chain(&mut self, steps: &mut [Step]) {
        super::like_named::meet_by_shape(steps, &self.edge, &self.bench.fabric);
        self.name_top_of_chain(steps);
        self.name_by_whole_chain(steps);
        self.part_turning_chain(steps);
    }

    /// "3 dc in ch-4 sp" where the row below began "ch 4 (counts as dc, ch 1)": the space beside its chain, by the
    /// length of the whole.
    fn name_by_whole_chain(&mut self, steps: &[Step]) {
        let mut named = Vec::new();
        lengths_named(steps, &mut named);
        for n in named {
            if self.edge.spots.iter().any(|s| s.is(&Class::Space(Some(n)))) {
                continue;
            }
            let whole = |spot: &Spot| self.beside_chain(spot).is_some_and(|chain| chain.len() == n as usize);
            if let Some(k) = self.edge.spots.iter().position(whole)
                && let What::Space(_, corner) = self.edge.spots[k].what
            {
                self.edge.spots[k].what = What::Space(n, corner);
            }
        }
    }

    /// The whole chain that opened the row below, where a place is the space beside its stitch.
    fn beside_chain(&self, spot: &Spot) -> Option<Vec<StitchId>> {
        let Place::Space { space } = spot.place else { return None };
        let last = *self.bench.fabric.spaces.get(space.index())?.ids.last()?;
        let chain = chain_below(self.bench, last);
        (!chain.is_empty()).then_some(chain)
    }

    /// "…, dc in 3rd ch of ch-5", "dc in top of ch-3" at the end of a row: the chain that opened the row below, by its
    /// length.
    fn name_top_of_chain(&self, steps: &mut [Step]) {
        let Some(Spot { what: What::Turning(_), place: Place::Top { top, .. }, .. }) = self.edge.spots.last() else {
            return;
        };
        let long = chain_below(self.bench, *top).len();
        // its space beside it belongs to the same chain
        let whole = self.edge.spots.iter().rev().nth(1).and_then(|s| self.beside_chain(s)).map_or(long, |c| c.len());
        let Some(last) = steps.iter_mut().rfind(|s| s.act.works()).filter(|_| !self.edge.closed) else { return };
        if let Act::Work { at, .. } | Act::Group { at, .. } = &mut last.act
            && let Target::Within { pick: Pick::Only | Pick::Nth(_), class, shape, which: Which::Next } = &*at
            && matches!((class, shape), (Class::Any | Class::Chain, Class::Space(Some(n))) if *n as usize == whole)
        {
            *at = Target::TurningTop;
        }
    }

    /// "3 dc in tch, ch 1, dc in 3rd ch of tch": named twice, the first is the space beside it.
    fn part_turning_chain(&self, steps: &mut [Step]) {
        let top = |s: &Step| {
            matches!(&s.act, Act::Work { at: Target::TurningTop, form, .. } if form.stem != Stem::SlipStitch)
                || matches!(&s.act, Act::Group { at: Target::TurningTop, .. })
        };
        let Some(last) = steps.iter().rposition(top) else { return };
        if !self.edge.spots.iter().any(|spot| self.beside_chain(spot).is_some()) {
            return;
        }
        for step in steps[..last].iter_mut().filter(|s| top(s)) {
            if let Act::Work { at, .. } | Act::Group { at, .. } = &mut step.act {
                *at = Target::Next { n: 1, class: Class::OpeningSpace };
            }
        }
    }

    /// True where a turning chain that counts is all there is of the row, and stands on its first place.
    pub(super) fn stands_on_first(&self, class: &Class) -> bool {
        let alone = self
            .made
            .split_first()
            .is_some_and(|(top, rest)| matches!(top.what, What::Turning(_)) && rest.iter().all(Spot::is_space));
        let first = self.edge.spots.first();
        alone && self.edge.cursor == 1 && first.is_some_and(|s| s.state == super::edge::State::Used && s.is(class))
    }

    /// The chains that open the row below and its blocks, in the order of the edge.
    fn openers(&self) -> Vec<Opener> {
        let mut found = Vec::new();
        if let Some(top) = self.bench.last_turning {
            let at = if self.edge.closed { 0 } else { self.edge.spots.len() };
            found.push(Opener { at, instead: false, tip: false, chain: chain_below(self.bench, top) });
        }
        for (at, spot) in self.edge.spots.iter().enumerate() {
            if let (What::Turning(_) | What::Tip, Some(top)) = (&spot.what, spot.place.stitch()) {
                let tip = spot.what == What::Tip;
                found.push(Opener { at, instead: true, tip, chain: chain_below(self.bench, top) });
            }
        }
        found.sort_by_key(|opener| opener.at);
        found
    }
}

/// How many chains of two or more open a row or its blocks.
pub(super) fn counted(bench: &Bench, made: &[Spot]) -> usize {
    let opens = |s: &&Spot| matches!(s.what, What::Turning(_) | What::Tip);
    let tops = made.iter().filter(opens).filter_map(|s| s.place.stitch());
    tops.filter(|&top| chain_below(bench, top).len() > 1).count()
}

/// The chains that end in a chain and turn with it, from the first.
pub(super) fn chain_below(bench: &Bench, top: StitchId) -> Vec<StitchId> {
    let turns = |id: &StitchId| {
        let stitch = bench.fabric.stitch(*id);
        stitch.is_chain() && (stitch.role == Role::Turning || stitch.also.contains(&Role::Turning))
    };
    let mut chain: Vec<StitchId> = (0..=top.index()).rev().map(StitchId::new).take_while(turns).take(MOST).collect();
    chain.reverse();
    chain
}

/// Chains of the longest opening looked at.
const MOST: usize = 12;

/// True where a step goes into a place of a sort.
fn goes_into(step: &Step, sort: &impl Fn(&Target) -> bool) -> bool {
    match &step.act {
        Act::Work { at, .. } => sort(at),
        Act::Group { at, steps, .. } => sort(at) || steps.iter().any(|s| goes_into(s, sort)),
        Act::Repeat { steps, .. } => steps.iter().any(|s| goes_into(s, sort)),
        _ => false,
    }
}

/// True where a step goes into the space of the chain that opened the row below.
pub(super) fn any_into_opening(steps: &[Step]) -> bool {
    steps.iter().any(|s| goes_into(s, &opening))
}

/// The lengths of three chains or more of the spaces that steps name.
fn lengths_named(steps: &[Step], found: &mut Vec<u32>) {
    for step in steps {
        if let Some(n) = length_named(step)
            && n > 2
            && !found.contains(&n)
        {
            found.push(n);
        }
        if let Act::Repeat { steps, .. } = &step.act {
            lengths_named(steps, found);
        }
    }
}

fn opening(at: &Target) -> bool {
    matches!(at, Target::Next { class, .. } | Target::Last { class, .. } if *class == Class::OpeningSpace)
}

/// The length of the space that a step names first.
fn length_named(step: &Step) -> Option<u32> {
    let named = |at: &Target| match at {
        Target::Next { class: Class::Space(Some(n)), .. }
        | Target::First { class: Class::Space(Some(n)) }
        | Target::Last { class: Class::Space(Some(n)), .. }
        | Target::Each { class: Class::Space(Some(n)), .. } => Some(*n),
        _ => None,
    };
    match &step.act {
        Act::Work { at, .. } | Act::Group { at, .. } => named(at),
        Act::Repeat { steps, .. } => steps.iter().find_map(length_named),
        _ => None,
    }
}
