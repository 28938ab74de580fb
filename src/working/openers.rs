//! Chains that open a row, a round or a block and that the next row works into as a space: "sl st in ch-3 sp of next
//! block" where the chain stood beside the first dc, "3 sc in ch-3 sp" at the start of a heart.

use super::bench::Bench;
use super::edge::{Spot, What};
use super::row::RowWork;
use crate::fabric::{Place, Role, StitchId};
use crate::instructions::{Act, Class, Step, Target};
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
        if let Some(opener) = self.openers().into_iter().rfind(|opener| !opener.tip && !opener.chain.is_empty()) {
            let k = self.open(opener);
            self.edge.spots[k].opening = true;
        }
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
