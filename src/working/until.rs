//! When rows worked again come to their end: by a measure, which is planned, or by the stitches, which is seen.

use super::bench::Bench;
use super::plan::{MOST_ROWS, Planned};
use crate::instructions::{EndWith, Gauge, RowKind, Until};
use crate::source::{Code, Problem, Span};

/// Where a piece stands when rows are to be worked again.
pub(super) struct Length<'a> {
    /// Rows since the foundation.
    pub so_far: usize,
    /// Number of the last row.
    pub last_number: usize,
    pub gauge: Option<&'a Gauge>,
    /// True where the last row has its right side facing; none in rounds.
    pub right: Option<bool>,
    /// Rows worked again.
    pub repeat: usize,
    /// Which of them is to be the last.
    pub last_of_repeat: Option<usize>,
}

impl Length<'_> {
    /// Rows still to be worked; where nothing tells, each is worked once, and a note says so.
    pub fn rows(&self, until: &Until, span: Span, problems: &mut Vec<Problem>) -> usize {
        let exact = until.rows.map(|n| n as usize).or(until.row.map(|n| (n as usize).saturating_sub(self.last_number)));
        if let Some(n) = exact {
            return n;
        }
        let by_gauge = until.measure.and_then(|m| {
            let gauge = self.gauge?;
            let per_mm = gauge.rows? / gauge.over_mm;
            let wanted = (m.mm? * per_mm).round();
            // OK: a measure beyond all bounds is cut here, and refused by the limit on rows
            let wanted = if wanted.is_finite() { wanted.clamp(0.0, 1e6) as usize } else { 0 };
            Some(if m.whole { wanted.saturating_sub(self.so_far) } else { wanted })
        });
        let Some(n) = by_gauge else {
            let rows =
                if self.repeat == 1 { "1 row is worked".into() } else { format!("{} rows are worked", self.repeat) };
            problems.push(
                Problem::new(Code::Measure, span, format!("how many rows that is, no gauge says: {rows}"))
                    .with_hint("give a gauge with rows, such as \"16 sts and 18 rows = 10 cm\""),
            );
            return self.ending(self.repeat, until);
        };
        // whole repeats, unless the words say where they end
        let n = if until.end.is_some() { n.max(1) } else { n.div_ceil(self.repeat).max(1) * self.repeat };
        self.ending(n, until)
    }

    /// So many rows, or the few more that make the last one what the words ask.
    fn ending(&self, n: usize, until: &Until) -> usize {
        match (until.end, self.last_of_repeat, self.right) {
            (Some(EndWith::Row(_)), Some(last), _) => {
                (n..n + self.repeat).find(|k| (k - 1) % self.repeat == last).unwrap_or(n)
            }
            (Some(EndWith::Side { right }), _, Some(now)) => n + usize::from((n % 2 == 1) == (now == right)),
            _ => n,
        }
    }
}

/// Whether the last row planned has its right side facing: by the last side told, and a turn for every row since.
pub(super) fn last_is_right(planned: &[Planned<'_>]) -> Option<bool> {
    let rows: Vec<&Planned<'_>> = planned.iter().rev().take_while(|p| p.kind != RowKind::Foundation).collect();
    if rows.iter().any(|p| p.kind == RowKind::Round) {
        return None;
    }
    let told = rows.iter().enumerate().find_map(|(k, p)| Some((k, p.heading.right_side?)));
    // row 1 shows the right side where nothing is told
    let (since, right) = told.unwrap_or((rows.len().saturating_sub(1), true));
    Some(right == since.is_multiple_of(2))
}

/// Behind rows worked to a measure that grow or shrink, nobody can tell how many stitches there are until a row says.
pub(super) fn doubt_measured(row: &Planned<'_>, bench: &mut Bench) {
    let Some(repeat) = row.measured else { return };
    if let [.., before, last] = bench.tallies.as_slice() {
        let earlier = bench.tallies.len().checked_sub(repeat + 1).map_or(before, |k| &bench.tallies[k]);
        bench.uncertain |= last.made != earlier.made || !last.balances();
    }
}

/// Rows that are worked again until there are so many stitches.
#[derive(Debug, Default)]
pub(super) struct Again {
    /// Rows worked beyond those planned.
    more: u32,
    /// Stitches after the pass before.
    before: Option<usize>,
}

impl Again {
    /// The row by the number it has come to.
    pub fn renumbered<'p>(&self, row: &Planned<'p>) -> Option<Planned<'p>> {
        (self.more > 0 && row.follows).then(|| row.moved(self.more))
    }

    /// The row to work next: the next one, or the first of those that are worked again.
    pub fn next(&mut self, at: usize, row: &Planned<'_>, bench: &mut Bench) -> usize {
        let Some(until) = row.until else { return at + 1 };
        let Some(tally) = bench.tallies.last() else { return at + 1 };
        let (made, certain) = (tally.made, tally.read && !tally.uncertain);
        let sound = certain && tally.balances();
        if made == until.sts || !sound {
            self.before = None;
            return at + 1;
        }
        let nearer = self.before.is_none_or(|b| made.abs_diff(until.sts) < b.abs_diff(until.sts));
        let passed = self.before.is_some_and(|b| (b < until.sts) != (made < until.sts));
        if !nearer || passed || self.more as usize + bench.tallies.len() > MOST_ROWS {
            self.before = None;
            let message = format!("these rows worked again never come to {} sts: they come to {made}", until.sts);
            bench.problems.push(Problem::new(Code::RepeatRemainder, row.body, message));
            return at + 1;
        }
        // the count told is that of the last of them
        if let Some(tally) = bench.tallies.last_mut().filter(|t| !t.agrees()) {
            tally.stated.clear();
        }
        self.before = Some(made);
        self.more = self.more.saturating_add(until.rows as u32);
        (at + 1).saturating_sub(until.rows)
    }
}
