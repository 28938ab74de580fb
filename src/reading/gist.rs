//! What a definition in prose comes to: the sentences that say how the stitch is made, without those that praise it or
//! say what it is for.

use super::lex::{Kind, Token};
use super::words;

/// Most sentences tried at either end: a definition is short.
const MOST: usize = 6;

/// The runs of sentences of a definition that may be read for the whole of it, longest first. What is left out holds no
/// work; a clause such as "to make the puff stitch," before the work counts as a sentence.
pub(super) fn parts(words: &[Token]) -> Vec<Vec<Token>> {
    let mut starts = vec![0];
    let mut ends = vec![words.len()];
    for (i, token) in words.iter().enumerate() {
        match token.kind {
            Kind::Stop | Kind::Colon => {
                starts.push(i + 1);
                ends.push(i + 1);
            }
            Kind::Comma | Kind::Semicolon => starts.push(i + 1),
            _ => {}
        }
    }
    starts.truncate(MOST);
    let skip = ends.len().saturating_sub(MOST);
    let mut runs = Vec::new();
    for &from in starts.iter().take_while(|&&from| idle(&words[..from])) {
        for &to in ends.iter().skip(skip).filter(|&&to| to > from && idle_behind(&words[to..])) {
            runs.push((from, to));
        }
    }
    runs.sort_by_key(|&(from, to)| std::cmp::Reverse(to - from));
    runs.into_iter().map(|(from, to)| words[from..to].to_vec()).collect()
}

/// True where words hold no work: no number, no yarn over, nothing done with the hook.
fn idle(words: &[Token]) -> bool {
    words.iter().all(|t| match &t.kind {
        Kind::Word(w) => !MOTIONS.contains(&w.as_str()) && !words::CHAIN.contains(&w.as_str()),
        Kind::Number(_) | Kind::Open(_) | Kind::Close(_) | Kind::Star(_) => false,
        _ => true,
    })
}

/// True where what follows is idle, or tells of another way: "for a flatter puff, yo and …".
fn idle_behind(words: &[Token]) -> bool {
    let other = |t: &Token| matches!(&t.kind, Kind::Word(w) if OTHERWISE.contains(&w.as_str()));
    words.first().is_some_and(other) && words.iter().any(|t| matches!(t.kind, Kind::Comma)) || idle(words)
}

/// Words of work at the hook.
const MOTIONS: &[&str] =
    &["yo", "yoh", "yrh", "yarn", "hook", "insert", "draw", "pull", "drop", "remove", "loop", "loops", "lp", "lps"];

/// Words that open a sentence about another way to make it.
const OTHERWISE: &[&str] = &["to", "for", "if", "note", "tip", "alternatively"];
