//! Numbers as they stand in words, and the same words with another number.

use std::ops::Range;

/// How a number is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Manner {
    Figures,
    Word,
    Ordinal,
    /// "twice"
    Times,
}

/// A number in a text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Written {
    pub range: Range<usize>,
    pub value: u32,
    pub manner: Manner,
}

const WORDS: [&str; 12] =
    ["one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"];
const TIMES: [&str; 3] = ["once", "twice", "thrice"];

/// One and many of the nouns that follow a number.
const NOUNS: [(&str, &str); 10] = [
    ("st", "sts"),
    ("stitch", "stitches"),
    ("sp", "sps"),
    ("space", "spaces"),
    ("loop", "loops"),
    ("lp", "lps"),
    ("time", "times"),
    ("chain", "chains"),
    ("row", "rows"),
    ("end", "ends"),
];

/// Every number of a text, but for those inside the name of a stitch (`sc2tog`).
pub(super) fn numbers(text: &str) -> Vec<Written> {
    let bytes = text.as_bytes();
    let mut found = Vec::new();
    let mut i = 0;
    while i < bytes.len() {
        let start = i;
        if bytes[i].is_ascii_digit() {
            while i < bytes.len() && bytes[i].is_ascii_digit() {
                i += 1;
            }
            let letters = bytes[i..].iter().take_while(|b| b.is_ascii_alphabetic()).count();
            let behind = text[i..i + letters].to_ascii_lowercase();
            let glued = start > 0 && bytes[start - 1].is_ascii_alphabetic();
            let manner = match behind.as_str() {
                "st" | "nd" | "rd" | "th" => Manner::Ordinal,
                _ => Manner::Figures,
            };
            if let Ok(value) = text[start..i].parse()
                && !(glued && letters > 0)
            {
                let end = if manner == Manner::Ordinal { i + letters } else { i };
                found.push(Written { range: start..end, value, manner });
            }
        } else if bytes[i].is_ascii_alphabetic() {
            while i < bytes.len() && bytes[i].is_ascii_alphabetic() {
                i += 1;
            }
            let word = text[start..i].to_ascii_lowercase();
            let at = |list: &[&str]| list.iter().position(|w| *w == word).map(|k| k as u32 + 1);
            let told = at(&WORDS).map(|n| (n, Manner::Word)).or_else(|| at(&TIMES).map(|n| (n, Manner::Times)));
            found.extend(told.map(|(value, manner)| Written { range: start..i, value, manner }));
        } else {
            i += 1;
        }
    }
    found
}

/// A number written in the manner of another.
fn write(n: u32, manner: Manner) -> String {
    let word = |list: &[&str]| list.get(n.wrapping_sub(1) as usize).map(|w| (*w).to_owned());
    match manner {
        Manner::Figures => n.to_string(),
        Manner::Word => word(&WORDS).unwrap_or_else(|| n.to_string()),
        Manner::Ordinal => crate::instructions::ordinal(n),
        Manner::Times => word(&TIMES[..2]).unwrap_or_else(|| format!("{n} times")),
    }
}

/// The text with one of its numbers changed, and the noun behind it made to agree.
pub(super) fn rewritten(text: &str, number: &Written, n: u32) -> String {
    let (before, after) = (&text[..number.range.start], &text[number.range.end..]);
    let after = if number.manner == Manner::Ordinal { after.to_owned() } else { agreeing(after, n) };
    format!("{before}{}{after}", write(n, number.manner))
}

/// The words behind a number, with the noun they begin with as one or as many.
pub(super) fn agreeing(after: &str, n: u32) -> String {
    let blank = after.len() - after.trim_start().len();
    let rest = &after[blank..];
    // "next 3 ch-2 sps": the noun stands behind the name
    let skipped = match rest.split_once(' ') {
        Some((first, _)) if first.contains('-') => first.len() + 1,
        _ => 0,
    };
    let noun_at = blank + skipped;
    let noun: String = after[noun_at..].chars().take_while(char::is_ascii_alphabetic).collect();
    let found = NOUNS.iter().find(|(one, many)| noun.eq_ignore_ascii_case(one) || noun.eq_ignore_ascii_case(many));
    match found {
        Some((one, many)) if blank > 0 => {
            let fitting = if n == 1 { one } else { many };
            format!("{}{fitting}{}", &after[..noun_at], &after[noun_at + noun.len()..])
        }
        _ => after.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_found_in_every_manner_but_not_in_names() {
        let values = |text| numbers(text).into_iter().map(|n| n.value).collect::<Vec<_>>();
        assert_eq!(values("sc2tog, 2 sc in each of next five sts"), [2, 5]);
        assert_eq!(values("dc in 4th ch from hook, 6sc, ch3, x6, twice"), [4, 6, 3, 6, 2]);
        assert_eq!(values("99999999999 sts"), [] as [u32; 0]);
    }

    #[test]
    fn a_changed_number_keeps_its_manner_and_its_noun_agrees() {
        let changed = |text: &str, n| rewritten(text, &numbers(text)[0], n);
        assert_eq!(changed("next 3 sts", 1), "next 1 st");
        assert_eq!(changed("next 1 st", 4), "next 4 sts");
        assert_eq!(changed("next three ch-2 sps", 1), "next one ch-2 sp");
        assert_eq!(changed("2nd ch from hook", 3), "3rd ch from hook");
        assert_eq!(changed("] twice", 3), "] 3 times");
        assert_eq!(changed("] 3 times", 1), "] 1 time");
        assert_eq!(changed("ch 3", 14), "ch 14");
    }
}
