//! Names of sizes: the line that lists them, and sentences that tell them.

use super::lex::{Kind, Token};
use super::sizes::{MOST_SIZES, word};

/// Words a size may be called by, and the short form they are compared in.
const NAMES: &[(&str, &str)] = &[
    ("xxs", "xxs"),
    ("xs", "xs"),
    ("s", "s"),
    ("m", "m"),
    ("l", "l"),
    ("xl", "xl"),
    ("xxl", "2xl"),
    ("xxxl", "3xl"),
    ("sm", "s"),
    ("med", "m"),
    ("lg", "l"),
    ("lrg", "l"),
    ("small", "s"),
    ("smaller", "s"),
    ("medium", "m"),
    ("large", "l"),
    ("larger", "l"),
    ("petite", "petite"),
    ("preemie", "preemie"),
    ("newborn", "newborn"),
    ("nb", "newborn"),
    ("baby", "baby"),
    ("infant", "infant"),
    ("toddler", "toddler"),
    ("tot", "toddler"),
    ("child", "child"),
    ("kid", "child"),
    ("youth", "youth"),
    ("tween", "tween"),
    ("teen", "teen"),
    ("adult", "adult"),
    ("woman", "woman"),
    ("women", "woman"),
    ("man", "man"),
    ("men", "man"),
    ("plus", "plus"),
    ("mini", "mini"),
    ("twin", "twin"),
    ("queen", "queen"),
    ("king", "king"),
];

/// Words before a size's name that belong to it.
const BEFORE: &[&str] = &["extra", "x", "xx", "xxx"];

/// Units of ages, which say nothing between sizes.
const AGES: &[&str] = &["mos", "mo", "mths", "mth", "month", "months", "yrs", "yr", "year", "years", "y"];

/// Units of measure: a list of measures is no list of names.
const MEASURES: &[&str] = &["in", "ins", "inch", "inches", "cm", "mm", "yds", "yd", "m", "oz", "g"];

/// One way to write a name, so that "X-Large", "Extra large" and "XL" are the same size.
pub(super) fn canonical(name: &str) -> String {
    let lower = name.to_lowercase().replace(['’', '\''], "");
    let split: String = lower.chars().map(|c| if matches!(c, '-' | ' ' | '\n' | '\t') { ' ' } else { c }).collect();
    let mut out = String::new();
    for part in split.split_whitespace() {
        if AGES.contains(&part) || matches!(part, "size" | "sizes") {
            continue;
        }
        let short = match part {
            "extra" => "x",
            _ => NAMES.iter().find(|(w, _)| *w == part).map_or(part, |(_, s)| s),
        };
        // "2 x" and "2 xl" are one word
        let glued = short.starts_with('x') || out.ends_with('x') || out.is_empty();
        if !glued && !out.ends_with(|c: char| c.is_ascii_digit()) {
            out.push(' ');
        }
        out.push_str(short);
    }
    out
}

/// The names told by a size line ("To fit sizes XS (S, M, L)"), or by a sentence ("for size S; changes for M and L
/// are in brackets").
pub(super) fn told(all: &[Token]) -> Option<Vec<String>> {
    (0..all.len()).find_map(|i| line(all, i)).or_else(|| (0..all.len()).find_map(|i| sentence(all, i)))
}

/// A table of sizes, a line each: its name, then what it measures ("XS 71-76 cm").
pub(super) fn table(text: &str) -> Option<Vec<String>> {
    let mut lines = text.lines().skip_while(|l| {
        let lower = l.trim().to_lowercase();
        lower.len() > 40 || !lower.split(|c: char| !c.is_alphabetic()).any(|w| matches!(w, "size" | "sizes"))
    });
    lines.next()?;
    let mut names: Vec<String> = Vec::new();
    for line in lines.take(2 * MOST_SIZES).filter(|l| !l.trim().is_empty()) {
        let toks = super::lex::tokens(line.get(..line.floor_char_boundary(80))?, 0);
        let lettered = toks.first().is_some_and(|t| matches!(&t.kind, Kind::Word(_)))
            || matches!(toks.get(..2), Some([Token { kind: Kind::Number(_), .. }, Token { kind: Kind::Word(w), .. }]) if w.starts_with('x'));
        let row = name_at(&toks, 0, false, false).filter(|(_, end)| {
            lettered && matches!(toks.get(*end).map(|t| &t.kind), Some(Kind::Number(_) | Kind::Colon | Kind::Open(_)))
        });
        match row {
            Some((name, _)) => names.push(name),
            None if names.is_empty() && line.to_lowercase().contains("fit") => {}
            None => break,
        }
    }
    (names.len() > 1).then_some(names)
}

/// True where a sentence says that numbers come in sizes and names none.
pub(super) fn told_without_names(all: &[Token]) -> bool {
    (1..all.len()).any(|i| {
        matches!(word(all.get(i)), Some("size" | "sizes"))
            && matches!(word(all.get(i - 1)), Some("smaller" | "smallest" | "larger" | "first"))
    })
}

/// "Sizes: S (M, L)", "To fit sizes 2 (4-6-8) yrs", at `i` the word "size".
fn line(all: &[Token], i: usize) -> Option<Vec<String>> {
    if !matches!(word(all.get(i)), Some("size" | "sizes")) {
        return None;
    }
    if matches!(word(i.checked_sub(1).and_then(|k| all.get(k))), Some("finished" | "hook" | "any" | "all" | "one")) {
        return None;
    }
    let mut at = i + 1;
    let marked = matches!(all.get(at).map(|t| &t.kind), Some(Kind::Colon));
    let fits = matches!(word(i.checked_sub(1).and_then(|k| all.get(k))), Some("fit" | "fits" | "in"));
    at += usize::from(marked);
    while matches!(word(all.get(at)), Some("to" | "fit" | "fits" | "are" | "come" | "comes")) {
        at += 1;
    }
    let (names, end) = names_at(all, at)?;
    let only = word(all.get(end)) == Some("only");
    ((marked || fits || matches!(word(all.get(i)), Some("sizes"))) && names.len() > 1 && !only).then_some(names)
}

/// "Directions are for size S; changes for sizes M and L are in parentheses", at `i` the word "changes".
fn sentence(all: &[Token], i: usize) -> Option<Vec<String>> {
    let mut at = i;
    if !matches!(word(all.get(at)), Some("changes" | "with")) {
        return None;
    }
    at += 1;
    while matches!(word(all.get(at)), Some("for" | "sizes" | "size" | "changes")) {
        at += 1;
    }
    let (rest, end) = names_at(all, at)?;
    let brackets = all[end..].iter().take(8).any(|t| {
        matches!(&t.kind, Kind::Open(_))
            || matches!(&t.kind, Kind::Word(w) if matches!(w.as_str(), "parentheses" | "brackets" | "parenthesis"))
    });
    let before = (i.saturating_sub(12)..i).rev().find(|&k| word(all.get(k)) == Some("for"))?;
    let from = before + 1 + usize::from(word(all.get(before + 1)) == Some("size"));
    let (first, _) = names_at(all, from)?;
    (brackets && first.len() == 1).then(|| first.into_iter().chain(rest).collect())
}

/// Names from a token on: parted by commas, brackets, "and", or by dashes inside a bracket. Gives the token behind.
pub(super) fn names_at(all: &[Token], at: usize) -> Option<(Vec<String>, usize)> {
    let dashes = parted_by_dashes(all, at);
    let slashes = parted_by_slashes(all, at);
    let mut names: Vec<String> = Vec::new();
    let mut i = at;
    let mut end = at;
    let mut open = 0usize;
    loop {
        while i < all.len() {
            match &all[i].kind {
                Kind::Open(_) => open += 1,
                Kind::Close(_) if open > 0 => open -= 1,
                Kind::Comma | Kind::Semicolon if i > at => {}
                Kind::Dash if dashes && i > at => {}
                Kind::Other('/') if slashes && i > at => {}
                Kind::Other('&') if i > at => {}
                Kind::Word(w) if i > at && matches!(w.as_str(), "and" | "or" | "sizes") => {}
                _ => break,
            }
            i += 1;
        }
        let Some((name, next)) = name_at(all, i, dashes, slashes) else { break };
        if names.len() >= MOST_SIZES {
            return None;
        }
        names.push(name);
        i = next;
        // an age behind a name, or behind the bracket, says no more
        if matches!(all.get(i).map(|t| &t.kind), Some(Kind::Close(_))) && open > 0 {
            end = i + 1;
        } else {
            end = i;
        }
        if word(all.get(i)).is_some_and(|w| MEASURES.contains(&w))
            || matches!(all.get(i).map(|t| &t.kind), Some(Kind::Other('"' | '”' | '″' | '½' | '¼' | '¾')))
        {
            return None;
        }
    }
    let behind = word(all.get(end));
    if behind.is_some_and(|w| MEASURES.contains(&w))
        || matches!(all.get(end).map(|t| &t.kind), Some(Kind::Other('"' | '”' | '″')))
    {
        return None;
    }
    let mut distinct = names.iter().map(|n| canonical(n)).collect::<Vec<_>>();
    distinct.sort();
    distinct.dedup();
    (!names.is_empty() && distinct.len() == names.len()).then_some((names, end))
}

/// One name: "XS", "Extra-Small", "2XL", "6 mos", "7/8", "0-3 months".
fn name_at(all: &[Token], at: usize, dashes: bool, slashes: bool) -> Option<(String, usize)> {
    let mut i = at;
    let mut text = String::new();
    let mut found = false;
    loop {
        match all.get(i).map(|t| &t.kind) {
            Some(Kind::Number(n)) if *n < 1000 && !text.ends_with(|c: char| c.is_ascii_digit()) => {
                text.push_str(&n.to_string());
                found = true;
            }
            Some(Kind::Word(w)) if BEFORE.contains(&w.as_str()) => {
                let digit = text.ends_with(|c: char| c.is_ascii_digit());
                text.push_str(&if digit { w.to_uppercase() } else { capital(w) });
                found |= digit;
            }
            Some(Kind::Word(w)) if NAMES.iter().any(|(n, _)| n == w) => {
                if text.ends_with(char::is_alphabetic) {
                    text.push(' ');
                }
                text.push_str(&capital(w));
                found = true;
            }
            Some(Kind::Word(w)) if AGES.contains(&w.as_str()) && found => {
                i += 1;
                break;
            }
            Some(Kind::Dash) if !dashes && goes_on(all, i + 1) && !text.is_empty() => text.push('-'),
            Some(Kind::Other('/')) if !slashes && goes_on(all, i + 1) && !text.is_empty() => text.push('/'),
            Some(Kind::Dash) if text.eq_ignore_ascii_case("x") || text.eq_ignore_ascii_case("extra") => text.push('-'),
            _ => break,
        }
        i += 1;
    }
    found.then_some((text, i))
}

fn goes_on(all: &[Token], at: usize) -> bool {
    match all.get(at).map(|t| &t.kind) {
        Some(Kind::Number(_)) => true,
        Some(Kind::Word(w)) => NAMES.iter().any(|(n, _)| n == w) || BEFORE.contains(&w.as_str()),
        _ => false,
    }
}

/// "s" is "S", "small" is "Small".
fn capital(word: &str) -> String {
    if word.len() <= 3 && NAMES.iter().any(|(n, s)| *n == word && (n == s || s.ends_with("xl"))) {
        return word.to_uppercase();
    }
    let mut letters = word.chars();
    letters.next().map_or_else(String::new, |c| c.to_uppercase().chain(letters).collect())
}

/// "7 (8-9-10)", "S (M-L)": in a bracket without commas a dash parts sizes.
fn parted_by_dashes(all: &[Token], at: usize) -> bool {
    let open = (at..(at + 6).min(all.len())).find(|&k| matches!(all[k].kind, Kind::Open(_)));
    let Some(open) = open else { return false };
    let inner = all[open + 1..].iter().take(4 * MOST_SIZES).take_while(|t| !matches!(t.kind, Kind::Close(_)));
    let (mut dash, mut comma) = (0, 0);
    inner.for_each(|t| match t.kind {
        Kind::Dash => dash += 1,
        Kind::Comma => comma += 1,
        _ => {}
    });
    dash > 0 && comma == 0
}

/// "S/M/L": two slashes or more and nothing else part sizes.
fn parted_by_slashes(all: &[Token], at: usize) -> bool {
    let run = all[at.min(all.len())..].iter().take(4 * MOST_SIZES).take_while(|t| match &t.kind {
        Kind::Other('/') | Kind::Number(_) => true,
        Kind::Word(w) => NAMES.iter().any(|(n, _)| n == w),
        _ => false,
    });
    let slashes = run.clone().filter(|t| t.kind == Kind::Other('/')).count();
    let next = all.get(at.min(all.len()) + run.count()).map(|t| &t.kind);
    slashes >= 2 && !matches!(next, Some(Kind::Comma | Kind::Open(_)))
}
