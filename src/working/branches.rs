//! Branches: a chain worked back along, beside the row or widening it.

use super::chains::ordinal;
use super::edge::{Spot, What};
use super::row::{Branch, LastPlace, RowWork};
use crate::craft::{Stem, StitchForm};
use crate::fabric::*;
use crate::instructions::{Act, Class, Step, Target};
use crate::source::{Code, Problem, Severity, Span};

impl RowWork<'_> {
    pub(super) fn start_branch(&mut self, each: u32, n: u32, form: StitchForm, span: Span, rest: &[Step]) {
        let chain = std::mem::take(&mut self.chains);
        let n = n as usize;
        if n == 0 || n > chain.len() {
            let message = format!("the branch has {} ch, so there is no {} ch from hook", chain.len(), ordinal(n));
            self.bench.problems.push(Problem::new(Code::NoSuchPlace, span, message));
            self.stopped = true;
            return;
        }
        let root = self.branch_root();
        let widens = self.widens(rest, chain.len() - n, span);
        if self.fresh
            && !widens
            && self.bench.fabric.rows[self.row.index()].order.is_empty()
            && self.edge.cursor < self.edge.spots.len()
        {
            // the yarn hangs in this place already: the branch springs from it, and "next st" is the one after
            let k = self.edge.cursor;
            self.edge.take(k);
            self.edge.spots[k].state = super::edge::State::Passed;
        }
        let outer = self.branch.is_some();
        for (i, id) in chain.iter().enumerate() {
            let stitch = &mut self.bench.fabric.stitches[id.index()];
            stitch.role = Role::Branch;
            if i + n > chain.len() {
                stitch.also.push(Role::Turning);
            }
            // the first chain springs from its root
            if i == 0
                && !outer
                && let Some(root) = root
            {
                stitch.into = vec![Place::top(root)];
                stitch.legs[0].into = vec![Place::top(root)];
            }
        }
        let left: Vec<StitchId> = chain[..=chain.len() - n].iter().rev().copied().collect();
        self.branch = Some(Branch { root, chain, left, worked: Vec::new(), order: Vec::new(), widens });
        self.fresh = false;
        self.work_branch(each, form, 1, span);
    }

    /// "Row 5: ch 13, hdc in 3rd ch from hook and in next 10 ch, hdc in each hdc across": the chain widens the row,
    /// which goes on with the first stitch, and the next row comes back over it. The underside is an edge of the piece.
    pub(super) fn widens(&mut self, rest: &[Step], left: usize, span: Span) -> bool {
        let opens = self.fresh && self.bench.fabric.rows[self.row.index()].order.is_empty();
        if !opens || self.edge.closed || self.round_heading || self.edge.spots.is_empty() {
            return false;
        }
        let along = rest.iter().find_map(|s| match &s.act {
            Act::Work { at, .. } if !matches!(at, Target::Next { class: Class::Chain | Class::Any, .. }) => Some(at),
            _ => None,
        });
        let on_chain = |s: &Step| match &s.act {
            Act::Work { at, .. } => {
                matches!(at, Target::Next { class: Class::Chain, .. } | Target::Each { class: Class::Chain, .. })
            }
            Act::Leave { .. } | Act::Turn | Act::FastenOff { .. } => true,
            _ => false,
        };
        let leaves = rest.iter().any(|s| matches!(s.act, Act::Leave { .. }));
        match along {
            // "ch 5, turn, sc in 2nd ch from hook and in next 3 ch, leave rem sts unworked": the row is the chain alone
            _ if leaves && rest.iter().all(on_chain) => true,
            _ if self.takes_all(rest, left) => true,
            Some(Target::Each { class: Class::Chain, .. }) | None => false,
            Some(Target::Each { .. }) => true,
            // "next st" is the first, or the one behind that the chain springs from
            Some(_) => self.doubt(span, 2, Code::CountDiffers) == 1,
        }
    }

    /// True where the words behind the `left` chains of a branch go into every place of the row below, the first as well.
    pub(super) fn takes_all(&self, rest: &[Step], mut left: usize) -> bool {
        let behind = rest.iter().position(|step| match &step.act {
            Act::Work { each: 1, form, at: Target::Next { n, class: Class::Chain | Class::Any } } if left > 0 => {
                let places = *n as usize * form.places();
                let over = places > left;
                left = left.saturating_sub(places);
                over
            }
            Act::Work { at: Target::Each { class: Class::Chain, .. }, .. } if left > 0 => {
                left = 0;
                false
            }
            _ => true,
        });
        let behind = behind.map_or(&[][..], |k| &rest[k..rest.len().min(k + super::row::MOST_BEHIND)]);
        let all = self.edge.spots.len();
        match behind.first().map(|s| &s.act) {
            Some(Act::Work { form, at: Target::Last { n, .. }, .. }) => *n as usize * form.places() == all,
            Some(Act::Work { at: Target::Next { .. }, .. } | Act::Skip { .. }) => {
                self.walked(behind, self.search()).is_some_and(|from| from.cursor == all)
            }
            _ => false,
        }
    }

    /// The stitch a branch grows out of: the last head of the row, or of the row below where it opens a row.
    pub(super) fn branch_root(&self) -> Option<StitchId> {
        let own = self.bench.fabric.rows[self.row.index()].order.last().copied();
        own.or_else(|| self.edge.spots.get(self.edge.cursor).or(self.edge.spots.last()).and_then(|s| s.place.stitch()))
    }

    /// Works `n` places of the branch's chain, from the tip down.
    pub(super) fn work_branch(&mut self, each: u32, form: StitchForm, n: usize, span: Span) {
        let per = form.places();
        for _ in 0..n {
            let mut places = Vec::new();
            for _ in 0..per {
                let Some(branch) = self.branch.as_mut() else { return };
                if branch.left.is_empty() {
                    break;
                }
                let chain = branch.left.remove(0);
                branch.worked.push(chain);
                places.push(Place::chain(chain));
            }
            if places.is_empty() {
                return;
            }
            for _ in 0..each {
                let id = self.bench.make(self.row, form, &places, Role::Branch, span);
                if form.stem != Stem::SlipStitch {
                    self.count(form.to_string());
                } else {
                    self.tally.slip_stitches += 1;
                }
                if let Some(branch) = self.branch.as_mut() {
                    branch.order.push(id);
                }
                self.last = places.last().map(|p| LastPlace::Off(*p));
            }
        }
    }

    /// True where these words go on along the branch.
    pub(super) fn branch_takes(&mut self, form: StitchForm, at: &Target, span: Span) -> bool {
        let Some(branch) = &self.branch else { return false };
        let left = branch.left.len();
        let (n, each) = match at {
            Target::Next { n, class: Class::Chain } => (*n as usize, 1),
            Target::Next { n, class: Class::Any } if *n as usize * form.places() <= left => (*n as usize, 1),
            Target::Each { class: Class::Chain, less, .. } => (left.saturating_sub(*less as usize) / form.places(), 1),
            Target::Last { n, class: Class::Chain } => (*n as usize, 1),
            Target::Same => {
                let Some(&chain) = branch.worked.last() else { return false };
                let places = [Place::chain(chain)];
                let id = self.bench.make(self.row, form, &places, Role::Branch, span);
                self.count(form.to_string());
                if let Some(branch) = self.branch.as_mut() {
                    branch.order.push(id);
                }
                return true;
            }
            _ => {
                self.end_branch();
                return false;
            }
        };
        if n * form.places() > left {
            if left == 0 {
                self.end_branch();
                return false;
            }
            let message = format!("these words need {} ch of the branch, and {left} are left", n * form.places());
            self.bench.problems.push(Problem::new(Code::PlacesShort, span, message));
        }
        self.work_branch(each, form, n.min(left), span);
        true
    }

    /// Closes a branch: its undersides, then its tops, join the edge.
    pub(super) fn end_branch(&mut self) {
        let Some(branch) = self.branch.take() else { return };
        if !branch.left.is_empty() && branch.worked.len() > 1 && !self.tally.leave_told {
            let message = format!("{} ch of this branch of {} stay unworked", branch.left.len(), branch.chain.len());
            self.bench.problems.push(
                Problem::new(Code::PlacesLeft, self.chains_span, message)
                    .with_severity(Severity::Note)
                    .with_hint("if they are its stem, no change is needed"),
            );
        }
        let undersides: Vec<StitchId> = branch.worked.iter().rev().copied().collect();
        for id in undersides.into_iter().filter(|_| !branch.widens) {
            self.made.push(Spot::new(Place::underside(id), What::Chain));
        }
        let tip =
            branch.chain.iter().rev().find(|id| !branch.worked.contains(id) && !branch.left.contains(id)).copied();
        // the one chain that turns a widened row is no place of it; three of them are a loop
        let skipped = branch.chain.len() - branch.worked.len() - branch.left.len();
        if let Some(tip) = tip.filter(|_| !branch.widens || skipped > 1) {
            self.made.push(Spot::new(Place::chain(tip), What::Tip));
        }
        for &id in &branch.order {
            let spot = self.bench.spot_of(id);
            self.made.push(spot);
        }
        if let Some(root) = branch.root {
            let strand = Strand { root, chain: branch.chain, order: branch.order };
            self.bench.fabric.rows[self.row.index()].strands.push(strand);
        }
        self.last = None;
    }

    /// A picot on the stitch just made: chains and the slip stitch that closes them. Counts for nothing.
    pub(super) fn picot(&mut self, n: u32, span: Span) {
        let root = match &self.branch {
            Some(branch) => branch.order.last().copied(),
            None => self.bench.fabric.rows[self.row.index()].order.last().copied(),
        };
        let ids = self.bench.chains(self.row, n, Role::Picot, span);
        let base = root.or(ids.first().copied());
        if let (Some(root), Some(&first)) = (root, ids.first()) {
            let stitch = &mut self.bench.fabric.stitches[first.index()];
            stitch.into = vec![Place::top(root)];
            stitch.legs[0].into = vec![Place::top(root)];
        }
        if let Some(base) = base {
            self.bench.make(self.row, StitchForm::plain(Stem::SlipStitch), &[Place::top(base)], Role::Picot, span);
        }
        *self.tally.groups.entry("picot".into()).or_default() += 1;
        if let (Some(&middle), None) = (ids.get(ids.len() / 2), &self.branch) {
            self.made.push(Spot::new(Place::chain(middle), What::Picot));
        }
    }
}
