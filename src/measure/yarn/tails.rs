//! Tails: what is left at each end of a yarn to weave in, or to sew with.

use crate::fabric::{Fabric, StitchId};
use crate::reading::first_measure_mm;
use crate::working::Tally;

/// A tail to weave in, 6 in: common practice, no source.
pub const TAIL_M: f64 = 0.15;
/// A tail to sew with, 12 in: common practice, no source.
pub const SEWING_TAIL_M: f64 = 0.30;

/// The tail left where a yarn is cut: longer where the words of the row keep it for sewing, as long as they say where they
/// tell a measure.
pub(super) fn at_cut(fabric: &Fabric, text: &str, tallies: &[Tally], cut: StitchId) -> f64 {
    let row = fabric.stitch(cut).row;
    let Some(k) = tallies.iter().position(|t| t.row == row) else { return TAIL_M };
    let from = tallies[k].span.start;
    let until = tallies[k + 1..].iter().map(|t| t.span.start).find(|&s| s > from).unwrap_or(text.len());
    let words = text.get(from..until.max(tallies[k].span.end)).unwrap_or("").to_lowercase();
    // the words of the last cut of the row
    let Some(at) = words.rfind("tail").or_else(|| words.rfind("long end")) else { return TAIL_M };
    let sentence = sentence_at(&words, at);
    if let Some(mm) = first_measure_mm(sentence).filter(|mm| (10.0..=5000.0).contains(mm)) {
        return mm / 1000.0;
    }
    let kept = ["sew", "long", "seam", "attach"].iter().any(|w| sentence.contains(w));
    if kept { SEWING_TAIL_M } else { TAIL_M }
}

/// The sentence a place stands in.
fn sentence_at(words: &str, at: usize) -> &str {
    let start = words[..at].rfind(['.', '\n', ';']).map_or(0, |i| i + 1);
    let end = words[at..].find(['\n', ';']).map_or(words.len(), |i| at + i);
    let stop = words[at..end].find(". ").map_or(end, |i| at + i);
    &words[start..stop]
}
