//! Rows in full words, as they are read aloud.

use crate::write::{Abbreviation, Line};
use std::collections::BTreeMap;

/// Short words of rows and what is said for them. Source: Craft Yarn Council, crochet abbreviations master list.
const WORDS: &[(&str, &str)] = &[
    ("st", "stitch"),
    ("sts", "stitches"),
    ("ch", "chain"),
    ("chs", "chains"),
    ("sp", "space"),
    ("sps", "spaces"),
    ("rnd", "round"),
    ("rnds", "rounds"),
    ("rep", "repeat"),
    ("beg", "beginning"),
    ("rs", "right side"),
    ("ws", "wrong side"),
    ("blo", "back loop only"),
    ("flo", "front loop only"),
    ("inc", "increase"),
    ("dec", "decrease"),
    ("pat", "pattern"),
];

/// Says rows in full words.
pub(super) struct Ear {
    short: BTreeMap<String, String>,
    /// Abbreviations of two words, with their first and second word.
    pairs: Vec<(String, String, String)>,
}

impl Ear {
    /// Knows the abbreviations of a pattern.
    pub fn of(abbreviations: &[Abbreviation]) -> Self {
        let mut short: BTreeMap<String, String> =
            WORDS.iter().map(|(s, l)| ((*s).to_owned(), (*l).to_owned())).collect();
        let mut pairs = Vec::new();
        for a in abbreviations.iter().filter(|a| !a.short.contains('(')) {
            match a.short.split_once(' ') {
                Some((one, two)) => pairs.push((one.to_lowercase(), two.to_lowercase(), a.long.clone())),
                None => {
                    short.insert(a.short.to_lowercase(), a.long.clone());
                }
            }
        }
        Ear { short, pairs }
    }

    /// A row from its heading to the end of the yarn.
    pub fn row(&self, line: &Line) -> String {
        self.words(&line.text())
    }

    /// Any words: abbreviations in full, marks of repeats by their names.
    pub fn words(&self, text: &str) -> String {
        let tokens = cut(text);
        let mut out = String::with_capacity(text.len() * 2);
        let mut at = 0;
        while at < tokens.len() {
            let token = tokens[at];
            let lower = token.to_lowercase();
            let pair = self.pairs.iter().find(|(one, two, _)| {
                *one == lower
                    && tokens.get(at + 1) == Some(&" ")
                    && tokens.get(at + 2).is_some_and(|t| t.to_lowercase() == *two)
            });
            let (words, n) = match (pair, self.short.get(&lower)) {
                (Some((_, _, long)), _) => (long.clone(), 3),
                (None, Some(long)) => (long.clone(), 1),
                (None, None) => (mark(token).unwrap_or(token).to_owned(), 1),
            };
            let capital = token.starts_with(char::is_uppercase) && (out.is_empty() || out.ends_with([' ', '\n']));
            out.push_str(&if capital { upper_first(&words) } else { words });
            at += n;
        }
        out.split_whitespace().collect::<Vec<_>>().join(" ")
    }
}

/// Marks that a voice leaves out, in words.
fn mark(token: &str) -> Option<&'static str> {
    Some(match token {
        "**" => " double star ",
        "*" => " star ",
        "[" => " bracket, ",
        "]" => ", end of bracket, ",
        "(" => " (",
        "\n" => " ",
        _ => return None,
    })
}

/// Words, stars and everything between them.
fn cut(text: &str) -> Vec<&str> {
    let mut found = Vec::new();
    let mut rest = text;
    while let Some(first) = rest.chars().next() {
        let end = if first.is_alphanumeric() {
            rest.find(|c: char| !c.is_alphanumeric()).unwrap_or(rest.len())
        } else if first == '*' {
            rest.find(|c| c != '*').unwrap_or(rest.len())
        } else {
            first.len_utf8()
        };
        found.push(&rest[..end]);
        rest = &rest[end..];
    }
    found
}

fn upper_first(words: &str) -> String {
    let mut chars = words.chars();
    chars.next().map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_are_said_in_full() {
        let list = [("sc", "single crochet"), ("sl st", "slip stitch"), ("sc2tog", "single crochet 2 together")];
        let list: Vec<_> = list.iter().map(|(s, l)| Abbreviation { short: (*s).into(), long: (*l).into() }).collect();
        let said = Ear::of(&list)
            .words("Rnd 2 (RS): *Sc in next 2 sts, sc2tog; rep from * around. Join with sl st to first sc. (18 sts)");
        assert_eq!(
            said,
            "Round 2 (right side): star Single crochet in next 2 stitches, single crochet 2 together; repeat from star around. Join with slip stitch to first single crochet. (18 stitches)"
        );
    }
}
