//! Problems to rewritten rows: what would mend a row that does not work out.
//!
//! The way through the room: [`mend`] finds the rows at fault and works the pattern once more
//! (`working::rehearse`); before each of those rows `search` tries small changes of its steps (`change`,
//! `knobs`, `donors`), each worked for real together with the next row (`trials`). What fits is put in order by how
//! little it changes and how natural the row looks after it (`rank`, `nature`), and the best are written
//! as edits of the row's own words (`wording`, `phrases`, `numbers`). A mend is taken only when its words,
//! read again and worked again, make the very stitches that were found to fit.
//!
//! A mend is arithmetic only. Shaping is the designer's.

mod apply;
mod change;
mod donors;
mod knobs;
mod nature;
mod numbers;
mod phrases;
mod rank;
mod search;
mod trials;
mod wording;

pub use apply::apply;

use crate::craft::Stem;
use crate::fabric::RowId;
use crate::instructions::{Act, Pattern, Row, RowKind, Step};
use crate::reading::{ReadOptions, Rereader};
use crate::source::{Code, Edit, Mend, Problem, Severity, Span};
use crate::working::{Rehearsal, Tally, Worked, rehearse};
use change::{all_steps, is_bare, step_at};
use donors::{Below, donors, families};
use rank::Around;
use search::{Fit, search};
use trials::Trials;
use wording::Writer;

/// Mends shown of one problem.
pub const MOST_MENDS: usize = 3;

/// Problems of one pattern that mends are sought for; one with more has another fault than its counts.
const MOST_PROBLEMS: usize = 24;

/// Stitches worked in all the trials of a pattern. A row of 60 takes some 200 trials, so this is enough for
/// the most problems; a pattern with longer rows gets mends for its first ones.
const MOST_WORKED: usize = 600_000;

/// Longest row mended, in places. A row this long is a blanket's, and plain.
const LONGEST_ROW: usize = 2_000;

/// Changes that fit and are put into words, of one row: the best ones, should a few not be sayable.
const MOST_WORDED: usize = 8;

/// Gives every problem of a row that does not work out, or makes another count than it states, its mends.
pub fn mend(text: &str, options: &ReadOptions, pattern: &Pattern, worked: &Worked, problems: &mut [Problem]) {
    if pattern.sizes.len() > 1 && !pattern.size_lists.is_empty() {
        // what mends one size may spoil another
        return;
    }
    let mut targets: Vec<Target<'_>> = Vec::new();
    for (k, problem) in problems.iter().enumerate().filter(|(_, p)| is_mendable(p)) {
        if targets.len() < MOST_PROBLEMS
            && let Some(target) = Target::of(k, problem, pattern, worked, problems)
        {
            targets.push(target);
        }
    }
    if targets.is_empty() {
        return;
    }
    let mut reader = Rereader::of_text(text, pattern, options);
    let mut left = MOST_WORKED;
    rehearse(pattern, worked, &mut |rehearsal| {
        for target in &mut targets {
            for pool in 0..target.lines.len() {
                // a line that is worked again until something comes about is seen more than once
                if target.lines[pool].row.span == rehearsal.line()
                    && !std::mem::replace(&mut target.lines[pool].sought, true)
                {
                    target.seek(pool, rehearsal, text, worked, &mut reader, &mut left);
                }
            }
        }
    });
    for target in targets {
        let at = target.problem;
        target.tell(&mut problems[at]);
    }
}

fn is_mendable(problem: &Problem) -> bool {
    // a doubt settled against what the trade does is a slip as often as not
    is_count(problem.code) && (problem.is_error() || problem.code == Code::TurningChain)
}

/// True for the codes of what is arithmetic.
fn is_count(code: Code) -> bool {
    matches!(
        code,
        Code::PlacesLeft
            | Code::PlacesShort
            | Code::RepeatRemainder
            | Code::CountDiffers
            | Code::FoundationLength
            | Code::TurningChain
            | Code::NoSuchPlace
    )
}

/// A problem and the lines whose words may be at fault.
struct Target<'p> {
    problem: usize,
    lines: Vec<Line<'p>>,
    /// True where the line after has no fault of its own, so that a mend has to leave it working.
    next_matters: bool,
    found: Vec<(i64, Mend)>,
    ranks: Vec<i64>,
}

/// A line that may be at fault.
struct Line<'p> {
    row: &'p Row,
    /// Lines from this to the one the fault shows in, both counted.
    lines: usize,
    around: Vec<&'p Row>,
    /// True where it is worked as another row: its count alone is its own.
    by_reference: bool,
    /// True once mends were sought in it.
    sought: bool,
}

impl<'p> Target<'p> {
    fn of(problem: usize, told: &Problem, pattern: &'p Pattern, worked: &Worked, all: &[Problem]) -> Option<Self> {
        let tallies = &worked.tallies;
        let mut at = tallies.iter().rposition(|t| t.span.holds(told.span))?;
        if told.code == Code::FoundationLength && tallies[at].chains.is_some() {
            at += 1;
        }
        let tally = tallies.get(at)?;
        let most = tally.offered.max(tally.used).unwrap_or(0).max(tally.made).max(tally.passed).max(tally.left);
        if !tally.read || tally.uncertain || most > LONGEST_ROW {
            return None;
        }
        let mut lines: Vec<Line<'p>> = line(pattern, tally, 1).into_iter().collect();
        let below = tallies[..at].iter().rfind(|t| t.span != tally.span).filter(|t| t.part == tally.part);
        let settled =
            |t: &Tally| all.iter().any(|p| p.severity == Severity::Note && is_count(p.code) && t.span.holds(p.span));
        let silent = |t: &Tally| t.stated.iter().all(|s| !t.can_check(&s.of));
        let unproven = |t: &&Tally| t.read && t.made <= LONGEST_ROW && (silent(t) || settled(t));
        lines.extend(below.filter(unproven).and_then(|t| line(pattern, t, 2)));
        if !told.is_error() {
            // the row works out as it is read; what it is read from may be the slip
            lines.retain(|l| l.row.heading.kind == RowKind::Foundation);
        }
        let next = tallies[at..].iter().find(|t| t.span != tally.span).filter(|t| t.part == tally.part);
        let next_matters =
            next.is_some_and(|n| n.read && !n.uncertain && !all.iter().any(|p| p.is_error() && n.span.holds(p.span)));
        (!lines.is_empty()).then_some(Self { problem, lines, next_matters, found: Vec::new(), ranks: Vec::new() })
    }

    /// Seeks mends in one of the lines, which is about to be worked.
    fn seek(
        &mut self,
        pool: usize,
        rehearsal: &mut Rehearsal<'_>,
        text: &str,
        worked: &Worked,
        reader: &mut Rereader,
        left: &mut usize,
    ) {
        let Line { row, lines, ref around, by_reference, .. } = self.lines[pool];
        let referred = match (by_reference, rehearsal.steps()) {
            (false, _) => None,
            (true, Some(steps)) => Some(Row { steps: steps.to_vec(), ..row.clone() }),
            (true, None) => return,
        };
        let donors = donors(text, row, around);
        let foundation = row.heading.kind == RowKind::Foundation;
        let below = Below::of(worked, row.span);
        let acts = if foundation || by_reference { Vec::new() } else { families(&donors, row, &below) };
        let known: Vec<Act> = donors.iter().map(|d| d.act.clone()).collect();
        let mut trials = Trials { rehearsal, row: referred.as_ref().unwrap_or(row), lines, left };
        let mut fits = search(&mut trials, &acts, &known, by_reference);
        if self.next_matters {
            fits.retain(|f| f.made.next);
        }
        let around = Around {
            base: ops_of(worked, row.span),
            seams: rank::seams(&row.steps),
            opening: rank::opening(&row.steps),
            skips: std::iter::once(row).chain(around.iter().copied()).any(|r| rank::skips(&r.steps)),
            bare: is_bare(&row.steps),
            usual_hub: rank::usual_hub(&row.steps),
            one_repeat: rank::one_repeat(&row.steps),
            stitches_below: below.has_stitches,
            spaces_left: below.spaces_left,
            lopsided: rank::lopsided(&row.steps),
            neighbours: around
                .iter()
                .map(|r| (ops_of(worked, r.span), turned_between(worked, row.span, r.span)))
                .filter(|(ops, _)| ops.len() > 1)
                .collect(),
        };
        let mut ranked: Vec<(i64, Fit)> = fits.into_iter().map(|f| (around.rank(&f), f)).collect();
        // a stable sort: of equal ranks the change nearer the row's start comes first
        ranked.sort_by_key(|(rank, _)| *rank);
        self.ranks.extend(ranked.iter().map(|(rank, _)| *rank));
        let mut writer = Writer { text, row, reader, donors: &donors, usual: usual(row) };
        let mut taken = 0;
        for (rank, fit) in ranked.into_iter().take(MOST_WORDED) {
            if taken < MOST_MENDS
                && let Some(edits) = proven(&mut writer, &mut trials, &fit)
            {
                taken += 1;
                let mend =
                    Mend { row: one_line(&writer.row_with(&edits)), edits, used: fit.made.used, made: fit.made.made };
                self.found.push((rank, mend));
            }
        }
    }

    /// The best mends, and how many others are as good.
    fn tell(mut self, problem: &mut Problem) {
        self.found.sort_by_key(|(rank, _)| *rank);
        self.found.truncate(MOST_MENDS);
        let Some(&(best, _)) = self.found.first() else { return };
        let equal = self.ranks.iter().filter(|&&r| r <= best).count();
        problem.equal_mends = u16::try_from(equal).unwrap_or(u16::MAX);
        if equal > 1 {
            let shown =
                if equal > self.found.len() { format!("; {} are shown", self.found.len()) } else { String::new() };
            problem
                .hints
                .push(format!("{equal} mends fit equally well{shown}: the shape you want decides between them"));
        }
        problem.mends = self.found.into_iter().map(|(_, mend)| mend).collect();
    }
}

/// The line of a tally; of a row worked as another, the words are mended there, and the count here.
fn line<'p>(pattern: &'p Pattern, tally: &Tally, lines: usize) -> Option<Line<'p>> {
    let rows = &pattern.parts.get(tally.part)?.rows;
    let at = rows.iter().position(|r| r.span == tally.span)?;
    let own = |r: &&Row| {
        r.read && !r.steps.iter().any(|s| matches!(s.act, Act::AsRow { .. } | Act::RowsUntil { .. } | Act::Even { .. }))
    };
    let until = |r: &Row| r.steps.iter().any(|s| matches!(s.act, Act::RowsUntil { .. } | Act::Even { .. }));
    let row = rows.get(at).filter(|r| r.read && !r.stated_in_turn && !until(r))?;
    let by_reference = !own(&row);
    let near = [at.checked_sub(1), at.checked_add(1), at.checked_sub(2), at.checked_add(2)];
    let around = near.into_iter().flatten().filter_map(|k| rows.get(k)).filter(own).collect();
    Some(Line { row, lines, around, by_reference, sought: false })
}

/// The stitch a bare "inc" of the row means.
fn usual(row: &Row) -> Option<Stem> {
    all_steps(&row.steps).iter().find_map(|p| match &step_at(&row.steps, p)?.act {
        Act::Work { form, .. } if form.stem != Stem::SlipStitch => Some(form.stem),
        _ => None,
    })
}

/// True where the work was turned an odd number of times between two lines.
fn turned_between(worked: &Worked, a: Span, b: Span) -> bool {
    let at = |span: Span| worked.tallies.iter().find(|t| t.span == span).map(|t| t.row.index());
    let (Some(a), Some(b)) = (at(a), at(b)) else { return false };
    let rows = worked.fabric.rows.get(a.min(b) + 1..=a.max(b)).unwrap_or_default();
    rows.iter().filter(|r| r.turned).count() % 2 == 1
}

fn ops_of(worked: &Worked, span: Span) -> Vec<nature::Op> {
    let rows: Vec<RowId> =
        worked.tallies.iter().filter(|t| t.span == span && t.chains.is_none()).map(|t| t.row).collect();
    nature::ops(&worked.fabric, &rows)
}

/// The edits that make a change, proven: read again and worked again they make the same stitches.
fn proven(writer: &mut Writer<'_>, trials: &mut Trials<'_, '_>, fit: &Fit) -> Option<Vec<Edit>> {
    let row = writer.row;
    let ways = writer.ways(&fit.change);
    ways.into_iter().take(MOST_WAYS).find(|edits| {
        let words = writer.row_with(edits);
        let mut again = writer.reader.row(&words, !row.heading.span.is_empty(), writer.usual);
        // "Fasten off" on a line of its own belongs to the row and stands outside its words
        again.steps.extend(row.steps.iter().filter(|s| !row.span.holds(s.span)).cloned());
        let same_counts = again.stated.len() == fit.stated.len()
            && again.stated.iter().zip(&fit.stated).all(|(a, b)| a.count == b.count && a.of == b.of);
        let refers = trials.row.steps != row.steps;
        let acts = |steps: &[Step]| steps.iter().map(|s| s.act.clone()).collect::<Vec<_>>();
        again.read
            && again.heading.rows == row.heading.rows
            && same_counts
            && if refers {
                acts(&again.steps) == acts(&row.steps)
            } else {
                trials
                    .measure(&again.steps, &again.stated)
                    .and_then(|m| m.fit)
                    .is_some_and(|made| made.stitches == fit.made.stitches)
            }
    })
}

/// Wordings of one change that are read again.
const MOST_WAYS: usize = 6;

fn one_line(words: &str) -> String {
    words.split_whitespace().collect::<Vec<_>>().join(" ")
}
