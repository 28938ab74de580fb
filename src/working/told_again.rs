//! The steps of a row that is worked again: with an ending or a yarn that is told for this time.

use crate::craft::{Stem, StitchForm};
use crate::instructions::{Act, Step, Target, Times};
use crate::source::Span;

/// A row's steps with what is told of it this time: "ending with 2 sc in last st" takes the place of the last stitches,
/// anything else is done besides.
pub(super) fn with_ending(steps: &[Step], own: &[Step]) -> Vec<Step> {
    let works_one = |s: &Step| works(&[s]);
    let mut all = steps.to_vec();
    // "repeat rnd 4; do not turn": the turn at its end is not made this time
    let stays = own.iter().any(|s| matches!(s.act, Act::DoNotTurn));
    if stays && let Some(last) = all.iter().rposition(works_one) {
        let behind = all.split_off(last + 1);
        all.extend(behind.into_iter().filter(|s| !matches!(s.act, Act::Turn)));
    }
    let Some(first) = own.iter().position(works_one) else {
        all.extend(own.iter().cloned());
        return all;
    };
    let tail = all.iter().rposition(works_one).map_or(0, |k| k + 1);
    let closing = all.split_off(tail);
    // what goes to the end by itself makes room for the ending; else the last stitch gives way to it
    let open = all.iter().rposition(|s| match &s.act {
        Act::Work { at, .. } | Act::Group { at, .. } => matches!(at, Target::Each { .. }),
        Act::Repeat { times, .. } => matches!(times, Times::ToEnd { .. }),
        _ => false,
    });
    all.truncate(open.map_or(tail.saturating_sub(1), |k| k + 1));
    if let Some(Act::Repeat { times: Times::ToEnd { less: 0, .. }, .. }) = all.last().map(|s| &s.act) {
        // the last pass gives way to it
        all.push(Step { act: Act::Ending, span: own[first].span });
    }
    all.extend(own[..first].iter().cloned());
    let ends = own[first..].iter().any(|s| !works_one(s));
    all.extend(own[first..].iter().cloned());
    if !ends {
        all.extend(closing);
    }
    all
}

/// "With B, rep row 2", "as row 2 with B": the yarn that is taken up before rows are worked again, as words at `again` say,
/// and what is told beside.
pub(super) fn yarn_apart(own: Vec<Step>, again: Span) -> (Vec<Step>, Vec<Step>) {
    let own_work = own.iter().any(|s| works(&[s]));
    own.into_iter().partition(|s| match s.act {
        Act::With { .. } => s.span.start < again.start || !own_work,
        Act::Attach { yarn: Some(_), .. } => s.span.start < again.start,
        _ => false,
    })
}

/// The yarn told for rows worked again, in the place of the one they were begun with; a row that took none up goes on
/// with the yarn of the row before it.
pub(super) fn take_up(steps: &mut Vec<Step>, lead: &[Step], first: bool) {
    let Some(told) = lead.last() else { return };
    let (Act::With { yarn } | Act::Attach { yarn: Some(yarn), .. }) = &told.act else { return };
    let opening = steps.iter().position(|s| works(&[s])).unwrap_or(steps.len());
    let mut taken = false;
    for step in &mut steps[..opening] {
        match &mut step.act {
            Act::With { yarn: before } | Act::Attach { yarn: Some(before), .. } => before.clone_from(yarn),
            Act::Attach { yarn: before, .. } => *before = Some(yarn.clone()),
            _ => continue,
        }
        if let (Act::Attach { at: told @ Some(_), .. }, Act::Attach { at, .. }) = (&told.act, &mut step.act) {
            at.clone_from(told);
        }
        taken = true;
    }
    if first && !taken {
        steps.splice(..0, lead.iter().cloned());
    }
}

/// True where a stitch is worked anywhere in the steps.
pub(super) fn works(steps: &[&Step]) -> bool {
    let slip = StitchForm::plain(Stem::SlipStitch);
    steps.iter().any(|s| match &s.act {
        Act::Work { form, at, .. } => *form != slip || !matches!(at, Target::Same),
        Act::Group { .. } | Act::Repeat { .. } | Act::Shape { .. } => true,
        _ => false,
    })
}
