//! The chart in words: what a screen reader speaks.

use super::ChartInfo;
use crate::craft::StitchForm;
use crate::fabric::{Fabric, Role, Row, RowShape};
use crate::symbol::{Speak, SymbolSet, filled, name_of, word};
use std::fmt::Write;

/// The description, row by row: the words given, else what the row is made of.
pub(super) fn describe(fabric: &Fabric, info: &ChartInfo, symbols: &SymbolSet, speak: Speak) -> String {
    let title = if info.title.is_empty() { &fabric.title } else { &info.title };
    let shown = |r: &&Row| info.pick.as_ref().is_none_or(|p| p.has_row(fabric, r.index));
    let worked = fabric.rows.iter().filter(shown).filter(|r| r.shape != RowShape::Foundation);
    let (mut rows, mut rounds) = (0, 0);
    for row in worked {
        match row.shape {
            RowShape::Round | RowShape::Spiral => rounds += 1,
            _ => rows += 1,
        }
    }
    let count = |n: usize, one: &str, more: &str| match n {
        0 => None,
        1 => Some(word(one, speak)),
        _ => Some(filled(more, speak, &[("n", &n.to_string())])),
    };
    let mut text = match title.as_str() {
        "" => word("chart", speak),
        title => filled("chart of", speak, &[("title", title)]),
    };
    let counts = match (count(rows, "1 row", "n rows"), count(rounds, "1 round", "n rounds")) {
        (Some(rows), Some(rounds)) => Some(filled("and", speak, &[("a", &rows), ("b", &rounds)])),
        (rows, rounds) => rows.or(rounds),
    };
    if let Some(counts) = counts {
        let _ = write!(text, ", {counts}");
    }
    text.push('.');
    // the words of the pattern are read to those who read its language
    let own_words = !matches!(speak, Speak::In(_));
    for row in fabric.rows.iter().filter(shown) {
        let words = info.rows.iter().find(|(id, _)| *id == row.index).map(|(_, words)| words.trim().to_owned());
        let words = words.filter(|w| own_words && !w.is_empty());
        let words = words.unwrap_or_else(|| contents(fabric, row, symbols, speak));
        let end = if words.ends_with(['.', '!', '?']) { "" } else { "." };
        if is_headed(&words, &row.label) {
            let _ = write!(text, "\n{words}{end}");
        } else {
            let _ = write!(text, "\n{}: {words}{end}", label_in(&row.label, speak));
        }
    }
    text
}

/// The published label of a row in the language of the chart: `Border row 1`, `Round 3`.
pub(super) fn label_in(label: &str, speak: Speak) -> String {
    if !matches!(speak, Speak::In(_)) {
        return label.to_owned();
    }
    let words: Vec<String> = label.split_whitespace().map(str::to_lowercase).collect();
    let number = words.iter().find(|w| w.starts_with(|c: char| c.is_ascii_digit()));
    let key = words.iter().find_map(|w| match w.as_str() {
        "row" | "rows" => Some("row label"),
        "round" | "rounds" | "rnd" | "rnds" => Some("round label"),
        _ => None,
    });
    let part = words.iter().find_map(|w| match w.as_str() {
        "border" | "edging" => Some("border"),
        "foundation" => Some("foundation"),
        _ => None,
    });
    let part = part.map(|key| word(key, speak));
    let row = key.zip(number).map(|(key, n)| filled(key, speak, &[("n", n)]));
    match (part, row) {
        (Some(part), Some(row)) => format!("{part} {row}"),
        (part, row) => part.or(row).unwrap_or_else(|| label.to_owned()),
    }
}

/// A number of stitches in words: `31 sts`.
pub(super) fn stitches(n: usize, speak: Speak) -> String {
    if n == 1 { word("1 st", speak) } else { filled("n sts", speak, &[("n", &n.to_string())]) }
}

/// The name of a row within a sentence.
pub(super) fn label_within(label: &str, speak: Speak) -> String {
    let label = label_in(label, speak);
    // other languages keep their own capitals
    if matches!(speak, Speak::In(_)) { label } else { label.to_lowercase() }
}

/// True where the words begin with the heading of the row, so that it need not be said twice.
pub(super) fn is_headed(words: &str, label: &str) -> bool {
    /// Longer than any heading.
    const LONGEST: usize = 40;
    let Some((heading, _)) = words.split_once(':').filter(|(h, _)| h.len() <= LONGEST) else { return false };
    let tokens = |text: &str| -> Vec<String> {
        text.split(|c: char| !c.is_alphanumeric()).filter(|t| !t.is_empty()).map(str::to_lowercase).collect()
    };
    let (heading, label) = (tokens(heading), tokens(label));
    // "Rnd 3 (RS)" is "Round 3": the number, or the name where there is none, tells
    label.last().is_some_and(|last| heading.contains(last))
}

/// What a row is made of: `1 chain, 12 single crochet`.
fn contents(fabric: &Fabric, row: &Row, symbols: &SymbolSet, speak: Speak) -> String {
    let mut counts: Vec<(StitchForm, usize)> = Vec::new();
    for stitch in fabric.stitches.iter().filter(|s| s.row == row.index && !matches!(s.role, Role::Join | Role::Travel))
    {
        let form = stitch.form();
        match counts.iter_mut().find(|(f, _)| *f == form) {
            Some((_, n)) => *n += 1,
            None => counts.push((form, 1)),
        }
    }
    let one = |(form, n): &(StitchForm, usize)| {
        let name = name_of(symbols, *form, speak);
        filled("counted", speak, &[("n", &n.to_string()), ("long", &name.long)])
    };
    let words: Vec<String> = counts.iter().map(one).collect();
    if words.is_empty() { word("no stitches", speak) } else { words.join(", ") }
}

/// The prefix of every id: the one wished for, made safe, else a hash of the words.
pub(super) fn prefix(fabric: &Fabric, info: &ChartInfo, desc: &str) -> String {
    let wished: String =
        info.prefix.as_deref().unwrap_or("").chars().filter(|c| c.is_ascii_alphanumeric() || *c == '-').collect();
    if wished.starts_with(|c: char| c.is_ascii_alphabetic()) {
        return wished;
    }
    if !wished.is_empty() {
        return format!("f{wished}");
    }
    let title = if info.title.is_empty() { &fabric.title } else { &info.title };
    format!("f{:08x}", fnv(title.as_bytes().iter().chain(desc.as_bytes())))
}

/// FNV-1a, 32 bits: short, the same everywhere, and no secret to keep.
fn fnv<'a>(bytes: impl Iterator<Item = &'a u8>) -> u32 {
    bytes.fold(0x811c_9dc5, |hash, &b| (hash ^ u32::from(b)).wrapping_mul(0x0100_0193))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: the published test values of FNV-1a.
    #[test]
    fn the_hash_is_the_published_one() {
        assert_eq!(fnv("".as_bytes().iter()), 0x811c_9dc5);
        assert_eq!(fnv("foobar".as_bytes().iter()), 0xbf9c_f968);
    }

    #[test]
    fn a_heading_is_said_once() {
        assert!(is_headed("Rnd 3 (RS): sc around", "Round 3"));
        assert!(!is_headed("sc in next 3 sts: turn", "Row 2"));
        assert!(!is_headed("With A, ch 14", "Foundation"));
    }

    #[test]
    fn a_prefix_is_always_a_valid_id() {
        let fabric = Fabric::default();
        let of = |wish: &str| prefix(&fabric, &ChartInfo::titled("Pear").with_prefix(wish), "");
        assert_eq!([of("pear-1"), of("1 pear\"<")], ["pear-1", "f1pear"]);
        assert_eq!(of("é"), of(""), "nothing is left of it");
    }
}
