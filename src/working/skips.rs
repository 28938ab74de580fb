//! Places passed by in words: skips, and the last one that no words name.

use super::edge::{Spot, State};
use super::row::{MOST_BEHIND, RowWork};
use super::shapes::From;
use crate::instructions::{Act, Class, Step, Target, Times};
use crate::source::Span;
use std::ops::Range;

impl RowWork<'_> {
    /// "ch 3, skip first dc": the chain that counts stands on that one, and nothing more is skipped.
    pub(super) fn skip_first(&mut self, class: &Class, span: Span) {
        let stands = matches!(self.made.as_slice(), [spot] if matches!(spot.what, super::edge::What::Turning(_)));
        if stands && self.last.is_some() {
            return;
        }
        let passed = self.edge.spots.get(..self.edge.cursor).unwrap_or_default();
        if self.branch.is_some() && !passed.is_empty() && passed.iter().all(|s| s.state == State::Passed) {
            // "ch 11, sl st in 2nd ch from hook and each ch, skip first st": the fringe springs from that one
            return self.end_branch();
        }
        self.skip(1, class, span);
    }

    /// "…, skip next ch-1 sp, sc in next ch-1 sp, ch 4, sc in top of turning ch": the last chain spans what the chains
    /// before it span, and no words skip it.
    pub(super) fn close_last_skip(&mut self, end: usize) {
        let between = self.edge.spots.get(self.edge.cursor..end).unwrap_or_default();
        let spaces = between.iter().filter(|s| s.is_space()).count();
        let stitches = if self.named_stitches { between.len() - spaces } else { 0 };
        let spans = self.made.last().is_some_and(|s| s.is_space());
        if spans && self.last_skip > 0 && spaces.max(stitches) == self.last_skip {
            self.edge.pass_to(end);
        }
    }

    pub(super) fn skip(&mut self, n: usize, class: &Class, span: Span) {
        self.end_branch();
        // chains lying before a skip become a space when the next stitch comes
        let named_chain = *class == Class::Chain;
        if named_chain && self.longer_space_next(n) {
            // "skip next 3 ch" at a ch-7 sp: each of its chains is a place of its own
            self.open_next_chains(class, n);
        }
        let class = self.edge.searched(class);
        let there = |class: &Class| self.edge.next_of(class).is_some();
        let class = match &class {
            Class::Kind(_) | Class::Stitch | Class::Chain if !there(&class) && there(&Class::Space(None)) => {
                Class::Space(None)
            }
            _ => class,
        };
        if named_chain && self.tally.on_chain && self.made.is_empty() && self.edge.cursor == 0 {
            // "skip 1 ch, sc in next 8 ch": no one works into it from below either
            self.tally.skipped_at_hook = n;
        }
        self.last_skip = n;
        self.skip_of_spaces = matches!(class, Class::Space(_) | Class::Corner(_));
        let from = self.edge.cursor;
        if self.edge.spots.is_empty() && self.foundation.is_some() {
            return;
        }
        // "skip next 2 ch" over a ch-2 sp passes the space
        if let (Class::Chain | Class::Stitch, Some(k)) = (&class, named_chain.then(|| self.space_ahead(n)).flatten()) {
            self.edge.take(k);
            return;
        }
        if matches!(class, Class::Any | Class::Stitch) && n >= 2 && self.bridge_next(n) {
            // "ch 3, skip 2 sts" over the chains that bridge two stitches: they are the stitches
            self.edge.take(self.edge.cursor);
            return;
        }
        if self.edge.next_of(&class).is_none()
            && let Some(over) = self.shapes_over(n, &class, &self.search())
        {
            // "skip next 3-dc group": all of it
            for shape in over {
                shape.for_each(|k| self.edge.take(k));
            }
            return self.note_skipped(from);
        }
        for i in 0..n {
            match self.edge.next_of(&class) {
                Some(k) => self.edge.take(k),
                None if self.edge.run_on(&class).is_some() => {}
                None => {
                    self.run_out(span, n - i);
                    return;
                }
            }
        }
        self.note_skipped(from);
    }

    /// The next shapes that no one place stands for: runs of stitches, groups without a name. None where there are not
    /// so many.
    pub(super) fn shapes_over(&self, n: usize, class: &Class, from: &From) -> Option<Vec<Range<usize>>> {
        if !matches!(class, Class::Run { .. } | Class::Group(_)) {
            return None;
        }
        let ahead = |r: &Range<usize>| r.start >= from.cursor && from.entered.is_none_or(|k| !r.contains(&k));
        let shapes = self.edge.shapes(class, &self.bench.fabric).into_iter().filter(ahead);
        let next: Vec<Range<usize>> = shapes.take(n).collect();
        (next.len() == n).then_some(next)
    }

    /// "Shell in next shell, ch 3, dc in next dc, (ch 1, dc in next dc) 6 times": the shell gone into is done with, where
    /// the words take just as many stitches as the group behind it has.
    pub(super) fn past_the_rest_of_a_shape(&mut self, at: &Target, rest: &[Step]) {
        let Target::Next { n, class: class @ (Class::Kind(_) | Class::Any | Class::Stitch) } = at else { return };
        let chained = self.made.last().is_some_and(|s| s.is_space());
        let on_space = self.entered.and_then(|k| self.edge.spots.get(k)).is_some_and(|s| s.is_space());
        if !(chained && on_space) {
            return;
        }
        let end = self.end_of_group();
        let left = (self.edge.cursor..end).filter(|&k| self.edge.spots[k].is(class)).count();
        let behind = self.edge.spots.get(end..self.edge.end()).unwrap_or_default();
        let Some(first) = behind.iter().position(|s| s.is(class)).filter(|_| left > 0) else { return };
        let own = |s: &Spot| s.group.as_ref().map(|g| g.serial);
        let group = own(&behind[first]);
        let stretch = behind[first..].iter().take_while(|s| !s.is_space() && own(s) == group).count();
        let asked = (*n as usize).saturating_add(taken(rest, class));
        if asked == stretch && asked > left {
            self.edge.pass_to(end + first);
        }
    }

    /// The next place, where it is a space of `n` chains.
    fn space_ahead(&self, n: usize) -> Option<usize> {
        let k = self.edge.next_of(&Class::Space(None))?;
        let next = self.edge.next_of(&Class::Any).unwrap_or(usize::MAX);
        (k < next && matches!(self.edge.spots[k].what, super::edge::What::Space(length, _) if length as usize == n))
            .then_some(k)
    }

    /// True where the very next place is a space as long as `n` stitches, or the one chain longer that lets it lie slack.
    fn bridge_next(&self, n: usize) -> bool {
        self.next_space().is_some_and(|(length, in_group)| !in_group && (n..=n + 1).contains(&length))
    }

    /// True where the very next place is a space of more than `n` chains.
    fn longer_space_next(&self, n: usize) -> bool {
        self.next_space().is_some_and(|(length, _)| length > n)
    }

    /// Length of the space that is the very next place, and whether it lies inside a group.
    fn next_space(&self) -> Option<(usize, bool)> {
        match self.edge.spots.get(self.edge.cursor)?.what {
            super::edge::What::Space(length, in_group) => Some((length as usize, in_group)),
            _ => None,
        }
    }
}

/// Stitches of a class that steps take one by one, with chains between, before they name another place.
fn taken(steps: &[Step], class: &Class) -> usize {
    let mut all = 0usize;
    for step in steps.iter().take(MOST_BEHIND) {
        match &step.act {
            Act::Chain { .. } => {}
            Act::Work { at: Target::Next { n, class: own }, .. } if own == class => {
                all = all.saturating_add(*n as usize)
            }
            Act::Repeat { steps, times: Times::InAll(n), .. } => {
                let one =
                    |s: &Step| matches!(&s.act, Act::Work { at: Target::Next { class: own, .. }, .. } if own == class);
                if !steps.iter().all(|s| one(s) || matches!(s.act, Act::Chain { .. })) {
                    return usize::MAX;
                }
                all = all.saturating_add(taken(steps, class).saturating_mul(*n as usize));
            }
            _ => break,
        }
    }
    all
}
