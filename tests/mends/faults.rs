//! Faults put into sound patterns, as a tired hand makes them.

#[path = "../lots/mod.rs"]
pub mod lots;

use fanwise::Pattern;
use fanwise::instructions::{Act, Row, Step, Times};
use lots::Lots;
use std::ops::Range;

/// What is done to a row.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    Number,
    Dropped,
    Doubled,
    Plain,
    Times,
}

impl Kind {
    pub const ALL: [Kind; 5] = [Kind::Number, Kind::Dropped, Kind::Doubled, Kind::Plain, Kind::Times];

    pub fn name(self) -> &'static str {
        match self {
            Kind::Number => "number",
            Kind::Dropped => "dropped",
            Kind::Doubled => "doubled",
            Kind::Plain => "plain",
            Kind::Times => "times",
        }
    }
}

/// The seed, the seed held out, how many faults, and the weights of their kinds.
pub struct Plan {
    pub seed: u64,
    pub held_out: u64,
    pub faults: usize,
    pub weights: [u64; 5],
}

impl Plan {
    pub fn read(text: &str) -> Plan {
        let value = |name: &str| -> u64 {
            let line = text.lines().find_map(|l| l.strip_prefix(name)?.strip_prefix(' '));
            line.and_then(|v| v.trim().parse().ok()).unwrap_or_else(|| panic!("faults.txt says no {name}"))
        };
        Plan {
            seed: value("seed"),
            held_out: value("held-out"),
            faults: value("faults") as usize,
            weights: Kind::ALL.map(|k| value(k.name())),
        }
    }
}

impl Lots {
    fn of<'a, T>(&mut self, all: &'a [T]) -> Option<&'a T> {
        (!all.is_empty()).then(|| &all[self.below(all.len())])
    }

    fn kind(&mut self, weights: &[u64; 5]) -> Kind {
        let mut at = self.draw() % weights.iter().sum::<u64>();
        for (kind, weight) in Kind::ALL.into_iter().zip(weights) {
            if at < *weight {
                return kind;
            }
            at -= weight;
        }
        Kind::Number
    }
}

/// A pattern with one fault in it.
pub struct Fault {
    pub kind: Kind,
    pub text: String,
    /// Index of the row line among all lines of the pattern.
    pub row: usize,
}

/// Draws a fault of a row; none where it has no place for the kind drawn.
pub fn draw(sound: &Pattern, row: usize, lots: &mut Lots, weights: &[u64; 5]) -> Option<Fault> {
    let rows: Vec<&Row> = sound.tree().parts.iter().flat_map(|p| &p.rows).collect();
    let kind = lots.kind(weights);
    let (range, with) = change(sound.text(), rows[row], kind, lots)?;
    let mut text = sound.text().to_owned();
    text.replace_range(range, &with);
    Some(Fault { kind, text, row })
}

fn change(text: &str, row: &Row, kind: Kind, lots: &mut Lots) -> Option<(Range<usize>, String)> {
    let steps = all(&row.steps);
    let phrases: Vec<&(&[Step], usize)> = steps
        .iter()
        .filter(|(level, k)| {
            matches!(level[*k].act, Act::Work { .. } | Act::Group { .. } | Act::Repeat { .. } | Act::Skip { .. })
        })
        .filter(|(level, k)| row.span.holds(level[*k].span))
        .collect();
    match kind {
        Kind::Number => {
            let body = row.body.start..row.body.end;
            let numbers = numbers(text, body);
            let (range, value) = lots.of(&numbers)?.clone();
            let slip = match lots.below(10) {
                0..=3 => value + 1,
                4..=6 => value.saturating_sub(1),
                7 => value + 2,
                8 => value.saturating_sub(2),
                _ => value / 10,
            };
            (slip > 0 && slip != value).then(|| (range, slip.to_string()))
        }
        Kind::Dropped => {
            let (level, k) = lots.of(&phrases)?;
            let span = level[*k].span;
            // with the mark behind it, or, of the last phrase, the mark before it
            let gap = |a: usize, b: usize| text.get(a..b).is_some_and(|g| !g.contains(|c: char| c.is_alphanumeric()));
            match (level.get(k + 1), k.checked_sub(1).map(|b| &level[b])) {
                (Some(next), _) if gap(span.end, next.span.start) => Some((span.start..next.span.start, String::new())),
                (_, Some(before)) if gap(before.span.end, span.start) => {
                    Some((before.span.end..span.end, String::new()))
                }
                _ => None,
            }
        }
        Kind::Doubled => {
            let (level, k) = lots.of(&phrases)?;
            let span = level[*k].span;
            let words = text.get(span.start..span.end)?;
            Some((span.end..span.end, format!(", {}{}", words[..1].to_lowercase(), &words[1..])))
        }
        Kind::Plain => {
            let increases: Vec<_> =
                phrases.into_iter().filter(|(level, k)| matches!(level[*k].act, Act::Work { each: 2.., .. })).collect();
            let (level, k) = lots.of(&increases)?;
            let span = level[*k].span;
            let words = text.get(span.start..span.end)?;
            let plain = match (words.split_once(' '), words.strip_prefix("inc")) {
                (Some((n, rest)), None) if n.parse::<u32>().is_ok() => rest.to_owned(),
                (_, Some(rest)) => format!("sc{rest}"),
                _ => return None,
            };
            Some((span.start..span.end, plain))
        }
        Kind::Times => {
            let repeats: Vec<_> = phrases
                .into_iter()
                .filter(|(level, k)| {
                    matches!(&level[*k].act, Act::Repeat { times: Times::InAll(_) | Times::More(_) | Times::Doubt(_), steps, .. } if !steps.is_empty())
                })
                .collect();
            let (level, k) = lots.of(&repeats)?;
            let step = &level[*k];
            let Act::Repeat { steps, .. } = &step.act else { return None };
            let tail = steps.last()?.span.end..step.span.end;
            let more = lots.below(2) == 0;
            if let Some((range, value)) = numbers(text, tail.clone()).pop() {
                let n = if more { value + 1 } else { value - 1 };
                return (n > 0).then(|| (range, n.to_string()));
            }
            let at = text.get(tail.clone())?.find("twice")? + tail.start;
            Some((at..at + 5, if more { "3 times".into() } else { "once".into() }))
        }
    }
}

/// Every step with the level it stands on.
fn all(steps: &[Step]) -> Vec<(&[Step], usize)> {
    let mut found = Vec::new();
    for (k, step) in steps.iter().enumerate() {
        found.push((steps, k));
        if let Act::Group { steps, .. } | Act::Repeat { steps, .. } = &step.act {
            found.extend(all(steps));
        }
    }
    found
}

/// Numbers in figures that are no part of a name.
fn numbers(text: &str, within: Range<usize>) -> Vec<(Range<usize>, u32)> {
    let bytes = text.as_bytes();
    let mut found = Vec::new();
    let mut i = within.start;
    while i < within.end {
        if !bytes[i].is_ascii_digit() {
            i += 1;
            continue;
        }
        let start = i;
        while i < within.end && bytes[i].is_ascii_digit() {
            i += 1;
        }
        let letter = |k: Option<usize>| k.and_then(|k| bytes.get(k)).is_some_and(u8::is_ascii_alphabetic);
        let dash = start > 0 && bytes[start - 1] == b'-';
        if let (false, false, false, Ok(n)) =
            (letter(start.checked_sub(1)), letter(Some(i)), dash, text[start..i].parse())
        {
            found.push((start..i, n));
        }
    }
    found
}
