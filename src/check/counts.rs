//! A row makes what it states.

use super::name;
use crate::instructions::CountOf;
use crate::source::{Code, Problem, Severity};
use crate::working::Tally;

/// The first stated count that differs from what was made. `next` is the row worked into this one.
pub(super) fn check(tally: &Tally, next: Option<&Tally>) -> Option<Problem> {
    let Some(wrong) = tally.wrong_count() else { return odd(tally) };
    let made = tally.count_of(&wrong.of);
    let row = name(tally);
    let what = match &wrong.of {
        CountOf::Sts => String::new(),
        of => format!(" {}", of.words(made)),
    };
    // a row that works out only into what is stated takes its side
    let needs = |n: &&Tally| {
        n.read && n.balances() && n.offered == Some(wrong.count as usize) && tally.made != wrong.count as usize
    };
    if let (CountOf::Sts, Some(next)) = (&wrong.of, next.filter(needs)) {
        let message = format!(
            "{row} makes {made}; the count at the end says {}, and that is what {} works into",
            wrong.count,
            name(next)
        );
        return Some(
            Problem::new(Code::CountDiffers, wrong.span, message).with_hint("the count fits, the words do not"),
        );
    }
    if made == 0 && tally.made == 0 && tally.used.unwrap_or(0) == 0 && tally.slip_stitches == 0 {
        let message = format!("{row} works nothing; the count at the end says {}", wrong.count);
        return Some(
            Problem::new(Code::CountDiffers, wrong.span, message).with_hint("what it works may have fallen out"),
        );
    }
    let message = match (tally.offered, tally.used) {
        (Some(offered), Some(used)) => format!(
            "{row} works out ({used} used of {offered}, {made}{what} made); only the count at the end is off: it says {}",
            wrong.count
        ),
        _ => format!("{row} makes {made}{what}; the count at the end says {}", wrong.count),
    };
    Some(
        Problem::new(Code::CountDiffers, wrong.span, message)
            .with_hint(format!("if the words are right, the count is {made}{what}")),
    )
}

/// Petals, points or motifs that nothing in the row is called: where neither its groups nor its repeats come to so many.
fn odd(tally: &Tally) -> Option<Problem> {
    let stated = tally.stated.iter().find(|s| !tally.agrees_with(s))?;
    let like = if tally.groups_worked > 0 { tally.groups_worked } else { *tally.passes.first()? };
    let message = format!(
        "the count at the end says {} {}; what {} works alike comes to {like}",
        stated.count,
        stated.of.words(stated.count as usize),
        name(tally)
    );
    Some(Problem::new(Code::CountDiffers, stated.span, message).with_severity(Severity::Note))
}
