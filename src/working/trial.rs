//! Trying a row: what stood before it, and the edge a faulty row leaves.

use super::MOST_STITCHES;
use super::bench::Bench;
use super::edge::{LiveEdge, Spot, What};
use super::plan::Planned;
use super::tally::is_kind;
use crate::fabric::{Place, Ring, RingId, RowShape};
use crate::instructions::{Act, Class, CountOf};
use crate::source::{Code, Problem, Severity, Span};

/// After a row with words not understood: the next row goes by the count it states.
pub(super) fn settle_unread(bench: &mut Bench, lost: bool) {
    let Some(tally) = bench.tallies.last() else { return };
    // what was understood uses the row below up and ends on the count stated: the rest was a remark
    let sure = !lost && !tally.uncertain && tally.stated.iter().any(|s| tally.can_check(&s.of)) && tally.comes_out();
    bench.uncertain = !sure;
    if sure {
        return;
    }
    let stated = tally.stated.iter().find(|s| s.of == CountOf::Sts || matches!(s.of, CountOf::Kind(_)));
    let Some(count) = stated.map(|s| s.count as usize) else { return };
    let row = tally.row;
    if bench.edge.spots.is_empty() && matches!(bench.fabric.row(row).shape, RowShape::Round | RowShape::Spiral) {
        // nothing of a first round could be read: its stitches stand in a ring, as many as it states
        let ring = RingId::new(bench.fabric.rings.len());
        bench.fabric.rings.push(Ring { row, ids: Vec::new() });
        let spot = Spot::new(Place::ring(ring), What::Stitch("sc".to_owned()));
        bench.edge = LiveEdge::new(vec![spot; count.min(MOST_STITCHES)], true);
        bench.ring = None;
        return;
    }
    bench.edge.spots = resized(&bench.edge, count);
}

/// An edge with as many stitches as stated: the last place again, or the last ones left out.
pub(super) fn resized(edge: &LiveEdge, count: usize) -> Vec<Spot> {
    let mut spots = edge.spots.clone();
    let have = spots.iter().filter(|s| s.is(&Class::Any)).count();
    if have > count {
        let mut drop = have - count;
        while drop > 0 {
            match spots.pop() {
                Some(spot) if spot.is(&Class::Any) => drop -= 1,
                Some(_) => {}
                None => break,
            }
        }
    } else if let Some(last) = spots.last().cloned() {
        let more = (count - have).min(MOST_STITCHES);
        spots.extend(std::iter::repeat_n(last, more));
    }
    spots
}

/// What a row can change, as it stood before.
#[derive(Debug)]
pub(super) struct Snapshot {
    bench: Bench,
}

impl Snapshot {
    pub(super) fn of(bench: &mut Bench) -> Self {
        // the fabric only grows: its lengths are enough, and the last stitch for a change of yarn
        let fabric = std::mem::take(&mut bench.fabric);
        let tallies = std::mem::take(&mut bench.tallies);
        let problems = std::mem::take(&mut bench.problems);
        let mut kept = bench.clone();
        kept.fabric.stitches = fabric.stitches.last().cloned().into_iter().collect();
        kept.fabric.rows = Vec::new();
        kept.lengths = [
            fabric.stitches.len(),
            fabric.rows.len(),
            fabric.rings.len(),
            fabric.spaces.len(),
            fabric.events.len(),
            tallies.len(),
            problems.len(),
        ];
        kept.tallies = tallies.last().cloned().into_iter().collect();
        bench.fabric = fabric;
        bench.tallies = tallies;
        bench.problems = problems;
        Snapshot { bench: kept }
    }

    /// The numbers of tallies and problems there were.
    pub(super) fn lengths(&self) -> (usize, usize) {
        let [.., tallies, problems] = self.bench.lengths;
        (tallies, problems)
    }

    pub(super) fn restore(&self, bench: &mut Bench) {
        let [stitches, rows, rings, spaces, events, tallies, problems] = self.bench.lengths;
        let mut fabric = std::mem::take(&mut bench.fabric);
        let mut kept_tallies = std::mem::take(&mut bench.tallies);
        let mut kept_problems = std::mem::take(&mut bench.problems);
        fabric.stitches.truncate(stitches);
        if let (Some(last), Some(was)) = (fabric.stitches.last_mut(), self.bench.fabric.stitches.first()) {
            *last = was.clone();
        }
        // chains of the foundation may have been given a role by the row that was tried
        if let Some(chain) = &self.bench.foundation {
            for id in chain {
                let stitch = &mut fabric.stitches[id.index()];
                if self.bench.piece.len() == 1 {
                    stitch.role = crate::fabric::Role::Base;
                    stitch.counts = false;
                    stitch.stands_for = None;
                }
            }
        }
        fabric.rows.truncate(rows);
        fabric.rings.truncate(rings);
        fabric.spaces.truncate(spaces);
        fabric.events.truncate(events);
        kept_tallies.truncate(tallies);
        kept_problems.truncate(problems);
        *bench = self.bench.clone();
        bench.fabric = fabric;
        bench.tallies = kept_tallies;
        bench.problems = kept_problems;
    }

    /// The edge by the count the row before states, where it made another.
    pub(super) fn patched_edge(&self) -> Option<LiveEdge> {
        let before = self.bench.tallies.first()?;
        // "12 dc" counts all of a row that has nothing else
        let all = |of: &CountOf| {
            *of == CountOf::Sts || matches!(of, CountOf::Kind(k) if before.kinds.keys().all(|have| is_kind(have, k)))
        };
        let stated = before.stated.iter().find(|s| all(&s.of))?;
        if before.made == stated.count as usize {
            return None;
        }
        let mut edge = self.bench.edge.clone();
        edge.spots = resized(&edge, stated.count as usize);
        Some(edge)
    }
}

/// A chain that a row has shown to count or not does so in the rows after it, unless they show otherwise.
pub(super) fn learn_habit(bench: &mut Bench, row: &Planned<'_>, words: Span, answer: usize) {
    let chain = row.steps.iter().find_map(|s| match s.act {
        Act::Chain { n } if s.span == words => Some(n),
        _ => None,
    });
    if let (Some(n), Some(stem)) = (chain, bench.tallies.last().and_then(|t| t.turning_stem)) {
        bench.habits.push((n, stem, answer));
    }
}

pub(super) fn say_reading(bench: &mut Bench, row: &Planned<'_>, span: Span, code: Code) {
    let count = row.stated.first().map(|s| s.count);
    let why = match count {
        Some(n) => format!("only that gives the {n} stated"),
        None => "only that works out".into(),
    };
    bench.problems.push(
        Problem::new(code, span, format!("these words can be read in two ways; {why}"))
            .with_severity(Severity::Note)
            .with_hint(match code {
                Code::NoSuchPlace => "write \"in ring\" behind the first stitches, and no doubt is left",
                Code::PlacesLeft => "write \"in each st\", and no doubt is left",
                Code::PlacesShort => "say whether the end chain is worked on both its sides, and no doubt is left",
                _ => "say \"more times\" or \"times in all\", or what the chain counts as, and no doubt is left",
            }),
    );
}
