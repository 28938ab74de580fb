//! A row uses exactly what the row below offers.

use super::{name, sts};
use crate::instructions::CountOf;
use crate::source::{Code, Problem, Severity};
use crate::working::Tally;

/// A row that is turned and leaves more than so many times what it uses is worked on a part of the edge (common practice,
/// no source).
const STRAP: usize = 2;

/// Places left over, or asked for and not there.
pub(super) fn check(tally: &Tally, below: Option<&Tally>) -> Option<Problem> {
    let (Some(offered), Some(used)) = (tally.offered, tally.used) else { return None };
    let row = name(tally);
    let from = below.map_or_else(|| "the row below".into(), name);
    if let Some(span) = tally.ran_out {
        return Some(
            Problem::new(
                Code::PlacesShort,
                span,
                format!("{row} runs out here: {from} has {}, these words need {used}", sts(offered)),
            )
            .with_label(tally.body, format!("{used} asked for, {offered} there"))
            .with_hint("take the difference out of a plain stretch, or add it to the row below"),
        );
    }
    if tally.leave_told || tally.left == 0 {
        return None;
    }
    if let Some((span, per)) = tally.remainder {
        let over = tally.left;
        let times = (offered - over).checked_div(per).unwrap_or(0);
        return Some(Problem::new(
            Code::RepeatRemainder,
            span,
            format!(
                "the repeat does not fit {row}: it takes {} and {from} has {offered}: {times} repeats and {} over",
                sts(per),
                sts(over)
            ),
        ));
    }
    if tally.left_turning {
        let stem = tally.turning_stem.map_or_else(|| "st".into(), |s| s.to_string());
        return Some(
            Problem::new(
                Code::TurningChain,
                tally.last_words,
                format!("{row} is one {stem} short, {used} of {offered}: nothing is worked in the top of {from}'s turning ch, which counts"),
            )
            .with_hint(format!("end the row with \"{stem} in top of turning ch\", or say that the ch does not count as a st")),
        );
    }
    let left = tally.left;
    let states = tally.wrong_count();
    let differs = states.map_or_else(String::new, |s| {
        let of = if s.of == CountOf::Sts { String::new() } else { format!(" {}", s.of.words(tally.count_of(&s.of))) };
        format!("; {}{of} made, the count at the end says {}", tally.count_of(&s.of), s.count)
    });
    let message =
        format!("{row} leaves {} of {from} unworked: {offered} to work into, {used} used{differs}", sts(left));
    let problem = Problem::new(Code::PlacesLeft, tally.last_words, message)
        .with_hint(format!("if you mean it, write \"leave last {} unworked\"", sts(left)));
    // "Handle: sc in next 6 sc, turn": a strap on a wide edge
    let strap = tally.turns && used > 0 && left > STRAP * used;
    if (left == tally.stops_before || strap) && tally.agrees() {
        // told after a fashion, but it may be that words are lost
        return Some(problem.with_severity(Severity::Warning));
    }
    // the far side of a chain may rightly stop short of the open end, if that is what its count says
    Some(if tally.far_side && tally.agrees() { problem.with_severity(Severity::Note) } else { problem })
}
