//! The report of `measure` as plain data.

use super::Pattern;
use crate::export::json::document;
use crate::measure::{
    CurveNote, CurveRow, GaugeUsed, MeasureOptions, Measured, PieceSize, RoundGaugeUsed, Size, SizeInYarn, Verdict,
    YarnNote, YarnUse, measure, totals,
};
use serde::Serialize;

#[derive(Serialize)]
struct Body<'a> {
    patterns: Vec<Entry<'a>>,
    totals: Totals,
}

#[derive(Serialize)]
struct Totals {
    yarn: Vec<YarnUse>,
}

#[derive(Serialize)]
struct Entry<'a> {
    file: &'a str,
    title: &'a str,
    gauge: Option<&'a GaugeUsed>,
    gauge_of_rounds: Option<&'a RoundGaugeUsed>,
    size_mm: Option<Size>,
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    pieces: &'a [PieceSize],
    in_yarns: &'a [SizeInYarn],
    yarn: &'a [YarnUse],
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    yarn_notes: &'a [YarnNote],
    curve: CurveEntry<'a>,
}

#[derive(Serialize)]
struct CurveEntry<'a> {
    verdict: Verdict,
    ratio: f64,
    rows: &'a [CurveRow],
    notes: &'a [CurveNote],
}

impl Pattern {
    /// Measures what was worked: size, yarn, curve.
    pub fn measure(&self, options: &MeasureOptions) -> Measured {
        measure(&self.text, &self.tree, &self.worked, options)
    }
}

/// The report of `measure --format json` over patterns, each with the name of its file.
pub fn measure_document(patterns: &[(String, Pattern, Measured)]) -> String {
    let entries = patterns.iter().map(|(file, pattern, measured)| Entry {
        file,
        title: &pattern.tree.title,
        gauge: measured.gauge.as_ref(),
        gauge_of_rounds: measured.gauge_of_rounds.as_ref(),
        size_mm: measured.size,
        pieces: &measured.pieces,
        in_yarns: &measured.in_yarns,
        yarn: &measured.yarn.colours,
        yarn_notes: &measured.yarn.notes,
        curve: CurveEntry {
            verdict: measured.curve.verdict,
            ratio: measured.curve.ratio,
            rows: &measured.curve.rows,
            notes: &measured.curve.notes,
        },
    });
    let totals = Totals { yarn: totals(patterns.iter().map(|(.., m)| &m.yarn)) };
    document(Body { patterns: entries.collect(), totals })
}
