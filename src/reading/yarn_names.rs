//! Yarns that only the rows name: "Join moss in any st", "With moss, sc in next 4". A word in the place of a yarn that
//! comes back there is one; a word met once may be a slip, and is pointed at.

use super::lex::{Kind, Token};
use super::remarks::is_plain_word;
use super::words;
use std::collections::BTreeMap;

/// Words that a yarn's name stands behind.
const LEADS: &[&str] = &["with", "in", "using", "join", "attach", "to", "and", "drop", "break", "cut"];

/// Counts the words of a row that stand where a yarn is named.
pub(super) fn count_in(toks: &[Token], found: &mut BTreeMap<String, usize>) {
    for i in 1..toks.len() {
        let (Kind::Word(lead), Kind::Word(name)) = (&toks[i - 1].kind, &toks[i].kind) else { continue };
        if !LEADS.contains(&lead.as_str()) || !may_be_yarn(name) {
            continue;
        }
        // "with moss and sand", "change to sand": "to" and "and" lead only behind such words
        let behind = i.checked_sub(2).and_then(|k| match &toks[k].kind {
            Kind::Word(w) => Some(w.as_str()),
            _ => None,
        });
        let leads = match lead.as_str() {
            "to" => matches!(behind, Some("change" | "changing" | "switch" | "yarn" | "color" | "colour")),
            "and" => behind.is_some_and(|w| found.contains_key(w)),
            "in" => i == 1 || matches!(toks[i - 2].kind, Kind::Stop | Kind::Colon | Kind::Comma | Kind::Open(_)),
            _ => true,
        };
        let ends = match toks.get(i + 1).map(|t| &t.kind) {
            None | Some(Kind::Comma | Kind::Stop | Kind::Semicolon | Kind::Open(_) | Kind::Number(_)) => true,
            Some(Kind::Word(w)) => {
                words::INTO.contains(&w.as_str()) || matches!(w.as_str(), "and" | "with" | "yarn" | "working")
            }
            _ => false,
        };
        if leads && ends {
            *found.entry(name.clone()).or_default() += 1;
        }
    }
}

/// A word of letters that has no other meaning in a row.
pub(super) fn may_be_yarn(word: &str) -> bool {
    word.len() > 2
        && word.chars().all(char::is_alphabetic)
        && !words::is_of_the_craft(word)
        && !words::WORKING_WORDS.contains(&word)
        && (!is_plain_word(word) || words::COLOURS.contains(&word))
}
