//! The foundation fits row 1.

use super::name;
use crate::instructions::CountOf;
use crate::source::{Code, Problem};
use crate::working::Tally;

/// A foundation too long or too short for the row worked on it, where the row's own words are in order.
pub(super) fn check(tally: &Tally, below: Option<&Tally>) -> Option<Problem> {
    let below = below.filter(|b| b.chains.is_some())?;
    let chains = below.chains?;
    if !tally.on_chain || tally.far_side || tally.leave_told {
        return None;
    }
    let stated = tally.stated.iter().find(|s| s.of == CountOf::Sts || matches!(s.of, CountOf::Kind(_)));
    let used = tally.used?;
    let row = name(tally);
    if tally.left > 0 && stated.is_none_or(|s| tally.count_of(&s.of) == s.count as usize) && tally.remainder.is_none() {
        let left = tally.left;
        return Some(
            Problem::new(
                Code::FoundationLength,
                below.last_words,
                format!(
                    "the foundation is {left} ch too long: {row} works into {used} of its chains and leaves {left}"
                ),
            )
            .with_label(tally.last_words, "the row ends here")
            .with_hint(format!("make it ch {}", chains - left)),
        );
    }
    if tally.ran_out.is_some() {
        let short = used.saturating_sub(tally.offered?);
        return Some(
            Problem::new(
                Code::FoundationLength,
                below.last_words,
                format!("the foundation is {short} ch too short: {row} needs {used} chains from the first one worked and there are {}", tally.offered?),
            )
            .with_label(tally.ran_out?, "the chain runs out here")
            .with_hint(format!("make it ch {}", chains.saturating_add(short))),
        );
    }
    let stated = stated?;
    let made = tally.count_of(&stated.of);
    let count = stated.count as usize;
    if !tally.balances() || made == count {
        return None;
    }
    let (more, how) = if made > count { (made - count, "long") } else { (count - made, "short") };
    let length = if made > count { chains.checked_sub(more)? } else { chains + more };
    // only a row of one stitch in each chain says what the chain ought to be
    let plain = tally.made == used + usize::from(tally.turning_counts == Some(true) && tally.skipped_at_hook > 0);
    if !plain {
        return None;
    }
    Some(
        Problem::new(
            Code::FoundationLength,
            below.last_words,
            format!("the foundation is {more} ch too {how}: ch {chains} gives {made} here, {row} says {count}"),
        )
        .with_label(stated.span, format!("the words make {made}"))
        .with_hint(format!("make it ch {length}, or the count {made}")),
    )
}
