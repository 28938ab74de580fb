//! The curve check: what a flat fabric needs against what is worked, row by row and bend by bend.

use super::bends::{bends, missing};
use super::give;
use super::here;
use super::line::RowLine;
use super::off::{Astray, astray};
use super::spreads::published_as_flat;
use super::stacked::{Stacked, stacked};
use crate::craft::Stem;
use crate::fabric::{Fabric, LineNode, RowId, RowShape, StitchId};
use crate::source::Span;
use crate::working::Tally;
use serde::Serialize;
use std::f64::consts::TAU;

/// Below this share of the extra stitches a flat piece needs, it cups: a cone whose slope passes about 28°.
pub const CUPS_BELOW: f64 = 0.88;
/// Above this share it ruffles.
pub const RUFFLES_ABOVE: f64 = 1.15;
/// From [`CUPS_BELOW`] up to here it is nearly flat.
pub const NEARLY_BELOW: f64 = 0.95;

/// What a row, or a piece, does.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Verdict {
    /// It lies flat.
    #[default]
    Flat,
    /// Too few stitches: it draws up.
    Cups,
    /// Too many stitches: it waves.
    Ruffles,
}

/// Where a row bends, or where its increases are off the bend they serve.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CurvePlace {
    /// The words of what is worked there.
    pub span: Span,
    /// Turning of the row there, outward positive.
    pub turn_deg: f64,
    /// Extra stitches the turning asks for.
    pub needed: f64,
    /// Extra stitches worked.
    pub worked: f64,
    /// Whether that fits: a whole stitch too few, too many, or neither.
    pub verdict: Verdict,
    /// The stitches there, in working order.
    #[serde(skip)]
    pub stitches: Vec<StitchId>,
    /// True where a note speaks of it.
    #[serde(skip)]
    pub told: bool,
}

/// One row of the check.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CurveRow {
    /// `Row 2`.
    pub label: String,
    /// Extra stitches worked for each that is needed; 1 where none is needed and none worked.
    pub ratio: f64,
    /// Stitches that would lie flat: the places offered and the extra stitches the turning needs.
    pub needed: f64,
    /// Stitches made.
    pub made: usize,
    /// What the row does.
    pub verdict: Verdict,
    /// False where nothing is held against the row.
    pub judged: bool,
    /// Why nothing is held against it.
    #[serde(skip_serializing_if = "str::is_empty")]
    pub why: &'static str,
    /// Its bends.
    pub places: Vec<CurvePlace>,
    /// The row.
    #[serde(skip)]
    pub row: RowId,
    /// Extra stitches needed less those worked: above 0 too few, below 0 too many.
    #[serde(skip)]
    pub missing: f64,
    #[serde(skip)]
    extra: f64,
    /// Stitches missing about each stitch of the row, for the chart.
    #[serde(skip)]
    pub strain: Vec<(StitchId, f64)>,
}

impl CurveRow {
    /// Extra stitches its turning needs.
    pub fn extra_needed(&self) -> f64 {
        self.extra
    }

    /// Extra stitches worked.
    pub fn extra_worked(&self) -> f64 {
        self.extra - self.missing
    }
}

/// Something that a designer should know.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CurveNote {
    /// `off-bend`, `stacked`, `here`, `may`, `nearly-flat`, `cancels`, `fan`, `open-ring`.
    pub about: &'static str,
    /// In words.
    pub message: String,
    /// Where in the text.
    pub span: Span,
    /// Increases that should move, and where to: pairs of stitches.
    #[serde(skip)]
    pub moves: Vec<(StitchId, StitchId)>,
}

/// The check of a piece.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Curve {
    /// What the piece does.
    pub verdict: Verdict,
    /// Extra stitches worked for each that is needed, over all rows judged.
    pub ratio: f64,
    /// Its rows.
    pub rows: Vec<CurveRow>,
    /// Worth knowing.
    pub notes: Vec<CurveNote>,
}

/// Checks the rows of one piece.
///
/// `scale_is_published`: heights are those of the circle rule, not of a gauge, so that makers' spreads hold.
pub(super) fn check(fabric: &Fabric, lines: &[RowLine], tallies: &[Tally], scale_is_published: bool) -> Curve {
    let mut rows: Vec<CurveRow> = lines.iter().map(|line| row(fabric, line, tallies)).collect();
    let sums: Vec<(f64, f64)> = lines.iter().map(totals).collect();
    let over: Vec<Option<(f64, f64)>> = lines.iter().map(|l| give::of_open_ring(fabric, l)).collect();
    for i in 0..rows.len() {
        rows[i].verdict =
            if rows[i].judged { verdict_of_row(&rows, &sums, &over, &lines[i], i) } else { Verdict::Flat };
    }
    let judged = || rows.iter().zip(&sums).filter(|(r, _)| r.judged);
    let (mut needed, mut worked) = judged().fold((0.0, 0.0), |s, (_, t)| (s.0 + t.0, s.1 + t.1));
    let alone = judged().count() == 0;
    if alone {
        // nothing but rows that give: they are all there is to go by, and hold nothing against the piece
        (needed, worked) = sums.iter().fold((0.0, 0.0), |s, t| (s.0 + t.0, s.1 + t.1));
    }
    let ratio = if alone && lines.iter().all(|l| l.loose) { 1.0 } else { ratio_of(needed, worked) };
    let shown = judged().any(|(r, _)| r.verdict != Verdict::Flat);
    // what no row shows by itself has to come to half a stitch a row
    let enough = shown || (needed - worked).abs() >= 0.5 * judged().count() as f64;
    let made_up = needed > worked && over.iter().any(|&over| give::makes_up(over, needed, worked));
    let verdict = if alone || !enough || made_up { Verdict::Flat } else { verdict_of(needed, worked, 0.9) };
    let mut curve = Curve { verdict, ratio, rows, notes: Vec::new() };
    if made_up {
        let message =
            "the ring lies open: what its first round has over makes up for what the rounds above it lack".into();
        curve.notes.push(CurveNote { about: "open-ring", message, span: Span::default(), moves: Vec::new() });
    }
    if scale_is_published {
        forgive_published(fabric, lines, &mut curve);
    }
    if !give::spread_fans(fabric, lines, &mut curve) {
        note_places(lines, &mut curve);
    }
    note_stacked(fabric, lines, &mut curve);
    if curve.verdict == Verdict::Flat && (CUPS_BELOW..NEARLY_BELOW).contains(&ratio) && needed >= 1.0 {
        let message =
            format!("nearly flat: {worked:.0} extra stitches worked where {needed:.1} are needed; it may cup a little");
        curve.notes.push(CurveNote { about: "nearly-flat", message, span: Span::default(), moves: Vec::new() });
    }
    curve
}

/// Extra stitches needed and worked, without what says nothing of the fabric: the ends of open rows, which shape the
/// edge, and what stands near a seam or branch.
fn totals(line: &RowLine) -> (f64, f64) {
    let (needed, worked) = totals_as_worked(line);
    (needed, give::with_corner_chains(needed, worked, f64::from(line.corner_chains)))
}

fn totals_as_worked(line: &RowLine) -> (f64, f64) {
    if line.closed && line.stops.iter().all(|s| !s.seam) {
        return (line.needed(), line.worked());
    }
    let told = line.stops.iter().zip(missing(line)).filter(|(_, d)| d.is_some());
    told.fold((0.0, 0.0), |sum, (s, _)| (sum.0 + s.needed, sum.1 + s.worked))
}

fn ratio_of(needed: f64, worked: f64) -> f64 {
    if needed.abs() >= 1.0 {
        worked / needed
    } else if (needed - worked).abs() < 1.0 {
        1.0
    } else {
        // of a straight row every extra stitch is one too many
        1.0 + worked - needed
    }
}

fn row(fabric: &Fabric, line: &RowLine, tallies: &[Tally]) -> CurveRow {
    let own = &fabric.rows[line.row];
    let tally = tallies.iter().find(|t| t.row == own.index);
    let (needed, worked) = totals(line);
    let made = tally.map_or(line.stops.len(), |t| t.made);
    // of a row that leaves places in words, those it takes
    let offered = match tally {
        Some(t) if t.leave_told => (made as f64 - line.worked()).max(0.0),
        Some(t) => t.offered.unwrap_or(0) as f64,
        None if line.on_ring => 0.0,
        None => made as f64 - worked,
    };
    let why = why_not(line, own.shape, needed, totals_as_worked(line).1);
    let judged = why.is_empty();
    let mut places: Vec<CurvePlace> = Vec::new();
    for bend in bends(line) {
        let mut place = place(line, bend.first, bend.last);
        let seam = (bend.first..=bend.last).any(|i| line.stops[i % line.stops.len()].seam);
        if !judged || seam || line.space_chains > 0 {
            place.verdict = Verdict::Flat;
        }
        places.push(place);
    }
    let strain = line.stops.iter().zip(missing(line));
    let strain = strain.filter_map(|(s, d)| Some((stitch(s.node)?, d?))).collect();
    CurveRow {
        label: own.label.clone(),
        ratio: ratio_of(needed, worked),
        needed: offered + needed,
        made,
        verdict: Verdict::Flat,
        judged,
        why,
        places,
        row: own.index,
        missing: needed - worked,
        extra: needed,
        strain,
    }
}

/// Why nothing is held against a row; empty where something is.
fn why_not(line: &RowLine, shape: RowShape, needed: f64, worked: f64) -> &'static str {
    let seams = line.gaps.iter().filter(|g| g.is_none()).count();
    if line.on_chain {
        "a chain gives"
    } else if line.loose {
        "loops and shells take up what is over"
    } else if line.on_loops {
        "the loops it stands on give"
    } else if line.on_ring && worked > needed * 1.01 {
        "a ring may lie open"
    } else if shape == RowShape::Border || seams * 4 > line.gaps.len() {
        "it stands along an edge"
    } else {
        ""
    }
}

fn stitch(node: LineNode) -> Option<StitchId> {
    if let LineNode::Stitch(id) = node { Some(id) } else { None }
}

/// A run of stops as a place in the text: the words of the increases there, else of the stitch in the middle.
pub(super) fn place(line: &RowLine, first: usize, last: usize) -> CurvePlace {
    let n = line.stops.len();
    let stops: Vec<_> = (first..=last).map(|i| &line.stops[i % n]).collect();
    let (needed, worked) = stops.iter().fold((0.0, 0.0), |s, t| (s.0 + t.needed, s.1 + t.worked));
    let shaped: Vec<Span> = stops.iter().filter(|s| s.worked.abs() > 0.4).map(|s| s.span).collect();
    let middle = stops.get(stops.len() / 2).map(|s| vec![s.span]).unwrap_or_default();
    let spans = if shaped.is_empty() { middle } else { shaped };
    CurvePlace {
        span: joined(&spans),
        turn_deg: stops.iter().map(|s| s.turn).sum::<f64>().to_degrees(),
        needed,
        worked,
        verdict: by_whole_stitches(needed - worked),
        stitches: stops.iter().filter_map(|s| stitch(s.node)).collect(),
        told: false,
    }
}

pub(super) fn joined(spans: &[Span]) -> Span {
    let start = spans.iter().map(|s| s.start).min().unwrap_or(0);
    Span::new(start, spans.iter().map(|s| s.end).max().unwrap_or(start))
}

fn by_whole_stitches(missing: f64) -> Verdict {
    match missing {
        m if m >= 1.0 => Verdict::Cups,
        m if m <= -1.0 => Verdict::Ruffles,
        _ => Verdict::Flat,
    }
}

/// `least`: stitches missing or over that are no matter.
fn verdict_of(needed: f64, worked: f64, least: f64) -> Verdict {
    let ratio = ratio_of(needed, worked);
    match needed - worked {
        m if m > least && ratio < CUPS_BELOW => Verdict::Cups,
        m if m < -least && ratio > RUFFLES_ABOVE => Verdict::Ruffles,
        _ => Verdict::Flat,
    }
}

/// A row cups or ruffles where it does so by itself and with its neighbours: many increases in one round and none in the
/// next lie flat together.
fn verdict_of_row(
    rows: &[CurveRow],
    sums: &[(f64, f64)],
    over: &[Option<(f64, f64)>],
    line: &RowLine,
    i: usize,
) -> Verdict {
    // rows to either side that share out what a row has too many or too few
    const NEIGHBOURS: usize = 2;
    // a round turns as a round does; an open row as it is drawn, to a quarter of a stitch; and chain spaces give
    let least = if line.closed { 0.9 } else { 1.2 } + 0.15 * f64::from(line.space_chains);
    let own = verdict_of(sums[i].0, sums[i].1, least);
    let near = i.saturating_sub(NEIGHBOURS)..(i + NEIGHBOURS + 1).min(rows.len());
    // what a ring below has over makes up for what rounds near it lack
    let ring = near.clone().find_map(|k| over[k]);
    let within = near.filter(|&k| rows[k].judged).map(|k| sums[k]);
    let (needed, worked) = within.fold((0.0, 0.0), |s, t| (s.0 + t.0, s.1 + t.1));
    let ratio = ratio_of(needed, worked);
    match own {
        Verdict::Cups if ratio < CUPS_BELOW && !give::makes_up(ring, needed, worked) => own,
        Verdict::Ruffles if ratio > RUFFLES_ABOVE => own,
        _ => Verdict::Flat,
    }
}

/// Rounds within what makers publish as flat are flat, and may not be.
fn forgive_published(fabric: &Fabric, lines: &[RowLine], curve: &mut Curve) {
    // a row round the end of a chain is half a round
    let share = |i: usize| match lines[i].closed {
        true => 1.0,
        false => lines[i].stops.iter().map(|s| s.turn).sum::<f64>() / TAU,
    };
    let turns = |i: usize| lines[i].closed || share(i) > 0.4 && share(i) < 0.6;
    let rounds: Vec<usize> = (0..lines.len()).filter(|&i| turns(i) && curve.rows[i].judged).collect();
    if rounds.is_empty() || rounds.len() != curve.rows.iter().filter(|r| r.judged).count() {
        return;
    }
    let stems: Vec<Stem> = rounds
        .iter()
        .flat_map(|&i| lines[i].stops.iter().filter_map(|s| stitch(s.node)))
        .map(|id| fabric.stitch(id).stem())
        .collect();
    let Some(&stem) = stems.first().filter(|first| stems.iter().all(|s| s == *first)) else { return };
    let Some((least, most)) = published_as_flat(stem) else { return };
    let within = |worked: f64| worked > least - 0.3 && worked < most + 0.3;
    for &i in &rounds {
        if within(lines[i].worked() / share(i)) {
            curve.rows[i].verdict = Verdict::Flat;
        }
    }
    let all: f64 = rounds.iter().map(|&i| share(i)).sum();
    let each = rounds.iter().map(|&i| lines[i].worked()).sum::<f64>() / all;
    let by_scale = rounds.iter().map(|&i| lines[i].needed()).sum::<f64>() / all;
    if (CUPS_BELOW..=RUFFLES_ABOVE).contains(&(each / by_scale)) || !within(each) {
        return;
    }
    curve.verdict = Verdict::Flat;
    let what = if each < by_scale { "cup" } else { "ruffle" };
    let message = format!(
        "it may {what}: {each:.0} stitches more a round, where makers publish {least:.0} to {most:.0} as flat and the usual \
         proportions want {by_scale:.0}"
    );
    curve.notes.push(CurveNote { about: "may", message, span: Span::default(), moves: Vec::new() });
}

fn note_places(lines: &[RowLine], curve: &mut Curve) {
    // a row that has too few or too many in all has no bend to spare
    let fits = |i: usize| curve.rows[i].judged && curve.rows[i].verdict == Verdict::Flat;
    let found: Vec<(usize, Astray)> =
        lines.iter().enumerate().filter(|&(i, _)| fits(i)).filter_map(|(i, l)| Some((i, astray(l)?))).collect();
    let mut named = vec![false; lines.len()];
    for (i, off) in &found {
        named[*i] = true;
        let (line, label) = (&lines[*i], curve.rows[*i].label.to_lowercase());
        let spans: Vec<Span> = off.moves.iter().map(|&(from, _)| line.stops[from].span).collect();
        let n = off.moves.len();
        let (s, sit, them) = if n == 1 { ("", "sits", "it") } else { ("s", "sit", "them") };
        let way = if off.later { "later" } else { "earlier" };
        let message = format!(
            "{label}: {n} increase{s} {sit} off the bend {them_serve}: the bend needs {:.1} and gets {:.1}; move {them} about \
             {} sts {way} in the row",
            off.needed,
            off.worked,
            off.apart,
            them_serve = if n == 1 { "it serves" } else { "they serve" },
        );
        let ids = |k: usize| stitch(line.stops[k].node);
        let moves = off.moves.iter().filter_map(|&(from, to)| Some((ids(from)?, ids(to)?))).collect();
        curve.notes.push(CurveNote { about: "off-bend", message, span: joined(&spans), moves });
        curve.rows[*i].places.push(place(line, off.surplus[0], off.surplus[1]));
        // over the row they cancel, and still the bend draws up
        curve.rows[*i].verdict = Verdict::Cups;
        if curve.verdict == Verdict::Flat {
            curve.verdict = Verdict::Cups;
        }
    }
    here::note(lines, curve, &named);
    if curve.verdict == Verdict::Flat && found.is_empty() {
        note_cancelling(lines, curve);
    }
}

/// Rows too full and rows too empty that cancel bend the piece instead of cupping it.
fn note_cancelling(lines: &[RowLine], curve: &mut Curve) {
    let judged: Vec<&CurveRow> = curve.rows.iter().filter(|r| r.judged).collect();
    let too_few = judged.iter().filter(|r| r.verdict == Verdict::Cups).count();
    let too_many = judged.iter().filter(|r| r.verdict == Verdict::Ruffles).count();
    if too_few == 0 || too_many == 0 || lines.is_empty() {
        return;
    }
    let message = format!(
        "{too_few} row{} with too few increases and {too_many} with too many cancel over the piece: they bend it instead of \
         cupping it",
        if too_few == 1 { "" } else { "s" }
    );
    curve.notes.push(CurveNote { about: "cancels", message, span: Span::default(), moves: Vec::new() });
}

fn note_stacked(fabric: &Fabric, lines: &[RowLine], curve: &mut Curve) {
    for run in stacked(fabric, lines) {
        let Stacked { first, last, corners, .. } = run;
        let (from, to) = (curve.rows[first].label.clone(), curve.rows[last].label.clone());
        let shape = match corners {
            3 => "triangle",
            4 => "square",
            5 => "pentagon",
            6 => "hexagon",
            7 => "heptagon",
            8 => "octagon",
            _ => "polygon",
        };
        let message = format!(
            "{} to {}: the {corners} increases of each round stand on those of the round below, so the circle becomes a \
             {shape}; set them elsewhere in every other round to keep it round",
            from.to_lowercase(),
            to.to_lowercase().trim_start_matches("round ").trim_start_matches("rnd "),
        );
        curve.notes.push(CurveNote { about: "stacked", message, span: run.span, moves: Vec::new() });
    }
}
