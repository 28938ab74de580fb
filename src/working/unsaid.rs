//! A repeat that nothing says: "R3: sc, inc (18)" over twelve stitches is worked six times, since only that uses them all
//! and makes the count.

use super::plan::Planned;
use super::tally::Tally;
use crate::instructions::{Act, Class, CountOf, Step, Times};

/// The row with its stitches repeated to the end, where one pass of them leaves the rest and so many passes make exactly
/// what is stated.
pub(super) fn repeated<'p>(row: &Planned<'p>, tally: &Tally) -> Option<Planned<'p>> {
    let (offered, used) = (tally.offered?, tally.used?);
    let stated = row.stated.iter().find(|s| matches!(s.of, CountOf::Sts | CountOf::Kind(_)))?;
    if !tally.read || tally.uncertain || used == 0 || !offered.is_multiple_of(used) || offered / used < 2 {
        return None;
    }
    let passes = offered / used;
    let goes_on = |s: &Step| match &s.act {
        Act::Repeat { .. } | Act::RowEnds | Act::FarSide | Act::Leave { .. } | Act::Attach { .. } => true,
        Act::Work { at, .. } | Act::Group { at, .. } => at.goes_to_end(),
        _ => false,
    };
    if tally.count_of(&stated.of) * passes != stated.count as usize || row.steps.iter().any(goes_on) {
        return None;
    }
    let works = |s: &Step| matches!(s.act, Act::Work { .. } | Act::Group { .. } | Act::Skip { .. });
    let first = row.steps.iter().position(works)?;
    let last = row.steps.iter().rposition(works)?;
    // one stitch alone is no pass
    if first == last {
        return None;
    }
    let mut whole = row.clone();
    let steps: Vec<Step> = whole.steps.drain(first..=last).collect();
    let span = steps[0].span.to(steps[steps.len() - 1].span);
    let times = Times::ToEnd { less: 0, class: Class::Any };
    whole.steps.insert(first, Step { act: Act::Repeat { steps, times, stop: None }, span });
    Some(whole)
}
