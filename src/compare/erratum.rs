//! What is printed of a change: "Rnd 5: for 2 sc read 3 sc; count 36, was 34".

use super::rows::Line;
use super::{Change, CountChange, Difference, What};
use crate::instructions::ordinal;

/// A row of which more than so many places differ is printed whole.
const MOST_PLACES: usize = 4;

/// Letters of an erratum that is short enough however short the row is.
const SHORT: usize = 40;

/// The erratum of one change. `before` is the row before it in the new edition.
pub(super) fn of(change: &Change, new: Option<&Line>, old: Option<&Line>, before: Option<&Line>) -> String {
    match (change.change, new, old) {
        (What::Added, Some(new), _) => match before.filter(|_| new.work) {
            Some(before) => format!("after {} add \"{}\"", before.printed, new.whole),
            None => format!("add \"{}\"", new.whole),
        },
        (What::Removed, _, Some(old)) if old.work => format!("omit {}", old.printed),
        (What::Removed, _, Some(old)) => format!("omit \"{}\"", old.whole),
        (What::Renumbered, Some(new), Some(old)) => format!("{} is now {}", old.printed, new.printed),
        (What::Count, Some(new), _) => format!("{}: {}, the words stand", new.printed, made(change)),
        (_, Some(new), Some(old)) => changed(change, new, old),
        _ => String::new(),
    }
}

fn changed(change: &Change, new: &Line, old: &Line) -> String {
    let mut said: Vec<String> = change.differences.iter().map(difference).collect();
    said.extend(change.stated.iter().map(count));
    let long = said.join("; ").len() > 2 * new.body.len() + SHORT;
    if change.differences.len() > MOST_PLACES || long && !change.differences.is_empty() {
        // shorter than all that differs, and the counts stand in it
        said = vec![format!("read \"{}\"", new.body)];
    }
    if change.stated.is_empty() && change.made != change.made_was {
        said.push(made(change));
    }
    let said = said.join("; ");
    match (new.printed.is_empty(), new.work && new.printed != old.printed) {
        (true, _) => said,
        (_, true) => format!("{} (was {}): {said}", new.printed, old.printed),
        _ => format!("{}: {said}", new.printed),
    }
}

fn difference(d: &Difference) -> String {
    let which = d.nth.map_or_else(String::new, |n| format!("the {} ", ordinal(u32::try_from(n).unwrap_or(u32::MAX))));
    match (d.old.is_empty(), d.new.is_empty(), &d.after) {
        (true, _, Some(after)) if !after.is_empty() => format!("after {after} add {}", d.new),
        (true, ..) => format!("begin with {}", d.new),
        (_, true, _) => format!("omit {which}{}", d.old),
        _ => format!("for {which}{} read {}", d.old, d.new),
    }
}

fn count(c: &CountChange) -> String {
    let of = if c.of == "sts" { String::new() } else { format!(" {}", c.of) };
    match (c.count, c.was) {
        (Some(now), Some(was)) => format!("count {now}{of}, was {was}{of}"),
        (Some(now), None) => format!("count {now}{of} is new"),
        (None, was) => format!("count {}{of} is left out", was.unwrap_or(0)),
    }
}

fn made(change: &Change) -> String {
    match (change.made, change.made_was) {
        (Some(now), Some(was)) => format!("makes {now}, was {was}"),
        (Some(now), None) => format!("makes {now}"),
        _ => "makes another count".into(),
    }
}

/// The lines of an erratum: rows that are only renumbered in runs.
pub(super) fn lines(changes: &[Change]) -> Vec<String> {
    let mut lines = Vec::new();
    let mut k = 0;
    while k < changes.len() {
        let run = changes[k..].iter().take_while(|c| c.change == What::Renumbered && c.part == changes[k].part).count();
        let end = k + run.max(1);
        match (&changes[k], &changes[end - 1]) {
            (first, last) if run > 1 => {
                let part = first.erratum.strip_suffix(&format!("{} is now {}", was(first), now(first)));
                let part = part.filter(|p| p.ends_with(", ")).unwrap_or("");
                lines.push(format!("{part}{} to {} are now {} to {}", was(first), was(last), now(first), now(last)));
            }
            (one, _) => lines.push(one.erratum.clone()),
        }
        k = end;
    }
    lines
}

fn was(change: &Change) -> &str {
    change.was.as_deref().unwrap_or("")
}

fn now(change: &Change) -> &str {
    change.label.as_deref().unwrap_or("")
}
