//! Places where rows one upon the other miss stitches, or have some over, though each has enough in all.

use super::bends::{WINDOW, missing};
use super::curve::{Curve, CurveNote, Verdict, place};
use super::line::RowLine;

/// A window misses a whole stitch from here on: a chart's line tells bends to about a quarter of a stitch.
const WHOLE: f64 = 1.25;

/// Rows that go on missing, or having over, a whole stitch at the same place.
struct Run {
    first: usize,
    last: usize,
    /// The window of the last row.
    stops: [usize; 2],
    missing: f64,
}

/// Speaks of a place where two neighbouring rows or more miss a whole stitch there, or have one over.
pub(super) fn note(lines: &[RowLine], curve: &mut Curve, named: &[bool]) {
    let windows: Vec<Vec<Option<f64>>> = lines.iter().map(missing).collect();
    let fits = |curve: &Curve, i: usize| curve.rows[i].judged && curve.rows[i].verdict == Verdict::Flat && !named[i];
    for sign in [1.0, -1.0] {
        let mut runs: Vec<Run> = Vec::new();
        for i in 1..lines.len() {
            if !(fits(curve, i) && fits(curve, i - 1)) {
                continue;
            }
            let Some((k, d)) = worst(&windows[i], sign) else { continue };
            if !also_below(lines, &windows, i, k, sign) {
                continue;
            }
            let stops = window(&lines[i], k);
            match runs.last_mut().filter(|run| run.last + 1 == i) {
                Some(run) => (run.last, run.stops, run.missing) = (i, stops, run.missing.max(d)),
                None => runs.push(Run { first: i - 1, last: i, stops, missing: d }),
            }
        }
        for run in runs {
            tell(lines, curve, &run, sign);
        }
    }
    // a row is told flat until every place is known
    for i in 0..curve.rows.len() {
        let worst = curve.rows[i].places.iter().find(|p| p.verdict != Verdict::Flat).map(|p| p.verdict);
        if let Some(verdict) = worst.filter(|_| fits(curve, i) && curve.rows[i].places.iter().any(|p| p.told)) {
            curve.rows[i].verdict = verdict;
        }
    }
}

fn worst(windows: &[Option<f64>], sign: f64) -> Option<(usize, f64)> {
    let here = windows.iter().enumerate().filter_map(|(k, d)| Some((k, sign * (*d)?)));
    here.filter(|&(_, d)| d >= WHOLE).max_by(|a, b| a.1.total_cmp(&b.1))
}

/// True where the row below misses a stitch at the same place: nearest in the plane.
fn also_below(lines: &[RowLine], windows: &[Vec<Option<f64>>], i: usize, k: usize, sign: f64) -> bool {
    let at = lines[i].stops[k].at;
    let below = lines[i - 1].stops.iter().enumerate();
    let near = below.min_by(|a, b| (a.1.at - at).hypot2().total_cmp(&(b.1.at - at).hypot2()));
    near.is_some_and(|(m, _)| windows[i - 1][m].is_some_and(|d| sign * d >= WHOLE))
}

/// First and last stop of the window about one.
fn window(line: &RowLine, k: usize) -> [usize; 2] {
    let (n, reach) = (line.stops.len(), WINDOW / 2);
    if line.closed && n > WINDOW {
        let first = (k + n - reach) % n;
        [first, first + 2 * reach]
    } else {
        [k.saturating_sub(reach), (k + reach).min(n - 1)]
    }
}

fn tell(lines: &[RowLine], curve: &mut Curve, run: &Run, sign: f64) {
    let mut here = place(&lines[run.last], run.stops[0], run.stops[1]);
    let whole = libm::round(run.missing);
    let (verdict, what, how) =
        if sign > 0.0 { (Verdict::Cups, "cup", "few") } else { (Verdict::Ruffles, "ruffle", "many") };
    let (from, to) = (curve.rows[run.first].label.to_lowercase(), curve.rows[run.last].label.to_lowercase());
    let joiner = if run.last == run.first + 1 { "and" } else { "to" };
    let message = format!(
        "{from} {joiner} {to} {what} at one place: {whole:.0} st{} too {how} in each there, where the row turns {:.0}°",
        if whole == 1.0 { "" } else { "s" },
        here.turn_deg.abs(),
    );
    curve.notes.push(CurveNote { about: "here", message, span: here.span, moves: Vec::new() });
    (here.verdict, here.told) = (verdict, true);
    curve.rows[run.last].places.push(here);
    if curve.verdict == Verdict::Flat {
        curve.verdict = verdict;
    }
}
