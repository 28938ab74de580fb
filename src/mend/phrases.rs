//! A phrase in other words: the texts that may say what a changed act does, in the manner of the phrase it was.
//!
//! Nothing here is trusted: whoever uses a text reads it again and works it.

use super::knobs::knobs;
use super::numbers::{Manner, agreeing, numbers, rewritten};
use crate::instructions::{Act, Class, Step, Target, Times};
use crate::source::Span;

/// Texts that may say `new`, made from the words of a phrase that says `old`, the likeliest first.
pub(super) fn reworded(words: &str, old: &Act, new: &Act) -> Vec<String> {
    let mut found = Vec::new();
    for ((knob, from), (_, to)) in knobs(old).into_iter().zip(knobs(new)).filter(|(a, b)| a != b) {
        use super::knobs::Knob;
        match (knob, from, to) {
            (Knob::Each, 1, n) => found.extend(with_each(words, n)),
            (Knob::Each, _, 1) => found.extend(without_each(words)),
            (Knob::Count, 1, n) => found.extend(with_count(words, n)),
            (Knob::Count, _, 1) => found.extend(without_count(words)),
            _ => {}
        }
        found.extend(numbers(words).iter().filter(|w| w.value == from).map(|w| rewritten(words, w, to)));
    }
    found.extend(printed(new, ""));
    found
}

/// The act in the plain words of the row printer, or better ones; `whole` says how a row is gone along to its end.
pub(super) fn printed(act: &Act, whole: &str) -> Vec<String> {
    let plain = Step { act: act.clone(), span: Span::default() }.to_string();
    match act {
        // "[sc in next 2 sts, 2 sc in next st] 6 times": what a round of even shaping is made of
        Act::Repeat { steps, times: Times::InAll(n), stop: None } if steps.iter().all(in_next) => {
            let inner: Vec<String> = steps.iter().map(in_short).collect();
            let often = if *n == 2 { "twice".to_owned() } else { format!("{n} times") };
            vec![format!("[{}] {often}", inner.join(", "))]
        }
        Act::Repeat { .. } => Vec::new(),
        Act::Skip { n: 1, .. } => vec![plain.replacen("next 1 ", "next ", 1), plain],
        Act::Work { each: 1, form, at: Target::Next { n, .. } } if !form.one_place => match n {
            1 => vec![form.to_string(), plain],
            2 => vec![format!("[{form}] twice"), plain],
            n => vec![format!("[{form}] {n} times"), plain],
        },
        Act::Work { at: Target::Each { less: 0, .. }, .. } if !whole.is_empty() => {
            vec![plain.replace("to end", whole), plain]
        }
        _ => vec![plain],
    }
}

/// True for stitches in the places that come next.
fn in_next(step: &Step) -> bool {
    matches!(&step.act, Act::Work { at: Target::Next { class: Class::Any | Class::Stitch, .. }, .. })
}

/// "sc in next 2 sts", "2 sc in next st", "sc2tog".
fn in_short(step: &Step) -> String {
    match &step.act {
        Act::Work { each: 1, form, at: Target::Next { n: 1, .. } } if !form.one_place => form.to_string(),
        Act::Work { each: 1, .. } => step.to_string().replace(" in each of next ", " in next "),
        _ => step.to_string(),
    }
}

/// "sc in next 3 sts" to "2 sc in each of next 3 sts".
fn with_each(words: &str, n: u32) -> Vec<String> {
    let words = lower_first(words);
    let each = match position(&words, "in next ") {
        Some(at) if follows_number(&words[at + 8..]) => format!("{}in each of next {}", &words[..at], &words[at + 8..]),
        _ => words.clone(),
    };
    vec![format!("{n} {each}"), format!("{n} {words}"), "inc".into(), format!("{n} {words} in next st")]
}

/// "2 sc in next st" to "sc in next st".
fn without_each(words: &str) -> Vec<String> {
    let first = numbers(words).into_iter().next().filter(|w| w.range.start == 0 && w.manner != Manner::Ordinal);
    let bare = first.map(|w| words[w.range.end..].trim_start().to_owned());
    // "inc in next 3 sts": the stitch it increases is known to whoever reads the row
    let inc = position(words, "inc").filter(|&at| at == 0).map(|_| format!("sc{}", &words[3..]));
    bare.into_iter().chain(inc).collect()
}

/// "sc in next st" to "sc in next 4 sts"; "sc" to "4 sc".
fn with_count(words: &str, n: u32) -> Vec<String> {
    let mut found = Vec::new();
    if let Some(at) = position(words, "next") {
        let (before, after) = (&words[..at], agreeing(&words[at + 4..], n));
        let leads = before.trim_end().to_ascii_lowercase();
        let counted = numbers(before).iter().any(|w| w.range.start == 0) || words.starts_with(['(', '[', '{']);
        let plain = format!("{before}next {n}{after}");
        let each = format!("{before}each of next {n}{after}");
        let told = leads.ends_with("of") || !(leads.ends_with("in") || leads.ends_with("into"));
        found.extend(if counted && !told { [each, plain] } else { [plain, each] });
    }
    let words = lower_first(words);
    found.extend([
        format!("{n} {words}"),
        format!("{words} {n} times"),
        format!("{words} in next {n} sts"),
        format!("{words} {n}"),
    ]);
    found
}

/// "2 sc in each of next 3 sts" to "2 sc in next st"; "3 sc" to "sc".
fn without_count(words: &str) -> Vec<String> {
    let mut found = Vec::new();
    for w in numbers(words).iter().rev() {
        let before = words[..w.range.start].trim_end();
        let after = agreeing(&words[w.range.end..], 1);
        let before = ["each of next", "each of the next"]
            .iter()
            .find_map(|each| {
                let at = before.len().checked_sub(each.len())?;
                before.get(at..)?.eq_ignore_ascii_case(each).then(|| format!("{}next", &before[..at]))
            })
            .unwrap_or_else(|| before.to_owned());
        found.push(format!("{before}{after}").trim().to_owned());
    }
    found
}

/// Where words stand in a text, whatever their case, not inside a longer word.
fn position(text: &str, words: &str) -> Option<usize> {
    let lower = text.to_ascii_lowercase();
    let inside = |at: usize| at > 0 && lower.as_bytes()[at - 1].is_ascii_alphabetic();
    lower.match_indices(words).map(|(at, _)| at).find(|&at| !inside(at))
}

fn follows_number(text: &str) -> bool {
    numbers(text).first().is_some_and(|w| w.range.start == 0)
}

/// The text with a small first letter, as it stands within a sentence.
pub(super) fn lower_first(text: &str) -> String {
    cased(text, |c| c.to_ascii_lowercase())
}

/// The text with a capital, as it begins a sentence.
pub(super) fn upper_first(text: &str) -> String {
    cased(text, |c| c.to_ascii_uppercase())
}

/// Words written in capitals throughout ("SC in next") stay as they are.
fn cased(text: &str, to: impl Fn(char) -> char) -> String {
    let mut letters = text.chars();
    let (first, second) = (letters.next(), letters.next());
    match first {
        Some(c) if c.is_ascii_alphabetic() && !second.is_some_and(|c| c.is_ascii_uppercase()) => {
            format!("{}{}", to(c), &text[1..])
        }
        _ => text.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_count_is_put_in_and_taken_out() {
        assert_eq!(with_count("Sc in next st", 4)[0], "Sc in next 4 sts");
        assert_eq!(with_count("2 sc in next st", 3)[0], "2 sc in each of next 3 sts");
        assert_eq!(
            with_count("(2 dc, ch 2, 2 dc) in next ch-2 sp", 3)[0],
            "(2 dc, ch 2, 2 dc) in each of next 3 ch-2 sps"
        );
        assert_eq!(with_count("sc", 5)[0], "5 sc");
        assert_eq!(without_count("2 sc in each of next 3 sts")[0], "2 sc in next st");
        assert_eq!(without_count("sc in next 3 sts")[0], "sc in next st");
        assert_eq!(without_count("3 sc")[0], "sc");
    }

    #[test]
    fn plain_becomes_an_increase_and_back() {
        assert_eq!(with_each("Sc in next st", 2)[0], "2 sc in next st");
        assert_eq!(with_each("sc in next 3 sts", 2)[0], "2 sc in each of next 3 sts");
        assert_eq!(without_each("2 sc in each of next 3 sts")[0], "sc in each of next 3 sts");
        assert_eq!(without_each("inc in next 3 sts")[0], "sc in next 3 sts");
    }

    #[test]
    fn capitals_follow_the_place_in_the_sentence() {
        assert_eq!(lower_first("Sc in next st"), "sc in next st");
        assert_eq!(lower_first("SC in next st"), "SC in next st");
        assert_eq!(upper_first("sc in next st"), "Sc in next st");
    }
}
