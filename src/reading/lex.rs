//! Text to tokens: words, numbers, ordinals, marks. The only room that knows characters.

use crate::source::Span;
use winnow::combinator::{opt, peek};
use winnow::prelude::*;
use winnow::stream::{LocatingSlice, Location};
use winnow::token::{any, one_of, take_while};

/// One token of a row.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Token {
    pub kind: Kind,
    pub span: Span,
}

/// What a token is. Words are lower case.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Kind {
    Word(String),
    Number(u32),
    Ordinal(u32),
    Open(char),
    Close(char),
    /// One star, two, three.
    Star(usize),
    Comma,
    Stop,
    Semicolon,
    Colon,
    Dash,
    Equals,
    /// A multiplication sign.
    Times,
    /// Any other character.
    Other(char),
}

type Input<'a> = LocatingSlice<&'a str>;

/// Every token of `text`; `offset` is where it starts in the file. Nothing is dropped but white space.
pub(super) fn tokens(text: &str, offset: usize) -> Vec<Token> {
    let mut input = LocatingSlice::new(text);
    let mut found: Vec<Token> = Vec::new();
    loop {
        blank(&mut input);
        let start = input.current_token_start();
        let Ok(kind) = token(&mut input) else { break };
        let span = Span::new(offset + start, offset + input.previous_token_end());
        match found.last_mut() {
            // "\\*\\*" is one mark of two stars
            Some(Token { kind: Kind::Star(n), span: last })
                if kind == Kind::Star(1) && text.get(last.end - offset..start) == Some("\\") =>
            {
                *n += 1;
                *last = last.to(span);
            }
            _ => found.push(Token { kind, span }),
        }
    }
    pointed_brackets(&mut found);
    without_slanted(without_bold(super::stops::without_stops_of_names(found, text, offset)), text, offset)
}

/// "<16 dc, 8 ch-2 sps>": pointed brackets round a count are brackets. "between *'s" names the star alone.
fn pointed_brackets(found: &mut Vec<Token>) {
    for i in 0..found.len().saturating_sub(2) {
        if found[i].kind == Kind::Other('<') && matches!(found[i + 1].kind, Kind::Number(_)) {
            let reach = (i + LONGEST_SLANTED).min(found.len());
            if let Some(k) = (i + 2..reach).find(|&k| found[k].kind == Kind::Other('>')) {
                found[i].kind = Kind::Open('(');
                found[k].kind = Kind::Close(')');
            }
        }
    }
    let star_of = |a: &Token, b: &Token| {
        matches!(a.kind, Kind::Star(_)) && a.span.end == b.span.start && matches!(&b.kind, Kind::Word(w) if w == "'s")
    };
    if found.windows(2).any(|w| star_of(&w[0], &w[1])) {
        let before: Vec<bool> = found.windows(2).map(|w| star_of(&w[0], &w[1])).collect();
        let mut at = 0;
        found.retain(|_| {
            at += 1;
            at < 2 || !before[at - 2]
        });
    }
}

/// Takes out the single stars or the low lines that slant a count in Markdown: "*(12 sc)*", "_(12 sc)_".
fn without_slanted(mut found: Vec<Token>, text: &str, offset: usize) -> Vec<Token> {
    let mark = |t: &Token| matches!(t.kind, Kind::Star(1) | Kind::Other('_'));
    let joined = |a: &Token, b: &Token| a.span.end == b.span.start;
    let mut slanted = std::collections::BTreeSet::new();
    for i in 0..found.len().saturating_sub(3) {
        let counts = matches!((&found[i + 1].kind, &found[i + 2].kind), (Kind::Open(_), Kind::Number(_)));
        if !(counts && mark(&found[i]) && joined(&found[i], &found[i + 1])) {
            continue;
        }
        let reach = (i + LONGEST_SLANTED).min(found.len());
        let close = (i + 3..reach).find(|&k| matches!(found[k].kind, Kind::Close(_)));
        let end = close.map(|k| k + 1).filter(|&k| {
            let rest = |t: &Token| text[t.span.end - offset..].trim_start_matches([' ', '\t', '.', '\r']);
            found.get(k).is_some_and(|t| {
                t.kind == found[i].kind && joined(&found[k - 1], t) && (rest(t).is_empty() || rest(t).starts_with('\n'))
            })
        });
        if let Some(end) = end {
            slanted.extend([i, end]);
        }
    }
    if !slanted.is_empty() {
        let mut at = 0;
        found.retain(|_| {
            at += 1;
            !slanted.contains(&(at - 1))
        });
    }
    found
}

/// Takes out the double stars that make words bold in Markdown: each touches the words it stands around.
fn without_bold(mut found: Vec<Token>) -> Vec<Token> {
    let mut bold: Vec<usize> = Vec::new();
    let mut i = 0;
    while i < found.len() {
        if found[i].kind == Kind::Star(2) && touches(&found, i) {
            let reach = (i + LONGEST_BOLD).min(found.len());
            let close = (i + 2..reach)
                .find(|&k| found[k].kind == Kind::Star(2) && found[k].span.start == found[k - 1].span.end);
            if let Some(close) = close {
                bold.extend([i, close]);
                i = close;
            }
        }
        i += 1;
    }
    if !bold.is_empty() {
        let mut at = 0;
        let mut stars = bold.into_iter().peekable();
        found.retain(|_| {
            at += 1;
            stars.next_if(|&k| k + 1 == at).is_none()
        });
    }
    found
}

fn touches(found: &[Token], i: usize) -> bool {
    let next = found.get(i + 1).is_some_and(|t| t.span.start == found[i].span.end && matches!(t.kind, Kind::Word(_)));
    let apart = i == 0 || found[i - 1].span.end < found[i].span.start;
    next && apart
}

/// Tokens of the longest count that is slanted.
const LONGEST_SLANTED: usize = 16;

/// Tokens of the longest bold run: a heading with its range and side.
const LONGEST_BOLD: usize = 9;

fn blank(input: &mut Input<'_>) {
    let space = take_while::<_, _, winnow::error::ContextError>(0.., |c: char| c.is_whitespace() || c == '\u{feff}');
    let _ = space.void().parse_next(input);
    if !input.as_ref().starts_with('\\') {
        return;
    }
    // "\*": Markdown's way to write a star that is no emphasis
    let escaped = |c: char| matches!(c, '*' | '_' | '#' | '<' | '>' | '|' | '~' | '`' | '[' | ']' | '(' | ')');
    let mut escape = ('\\', peek(one_of::<_, _, winnow::error::ContextError>(escaped)));
    let _ = opt(escape.by_ref()).parse_next(input);
}

fn token(input: &mut Input<'_>) -> ModalResult<Kind> {
    match peek(any).parse_next(input)? {
        '0'..='9' => number(input),
        c if is_letter(c) => word(input),
        _ => mark(input),
    }
}

fn is_letter(c: char) -> bool {
    c.is_ascii_alphabetic() || c == '\'' || !c.is_ascii() && (c.is_alphabetic() || c == '’')
}

/// A number, or an ordinal: `3`, `3rd`. Beyond 9 digits it is the greatest number there is: no pattern means it.
fn number(input: &mut Input<'_>) -> ModalResult<Kind> {
    let digits: &str = take_while(1.., |c: char| c.is_ascii_digit()).parse_next(input)?;
    let n = digits.parse().unwrap_or(u32::MAX);
    let before = input.checkpoint();
    let ending: Option<&str> = opt(take_while(2..=2, |c: char| c.is_ascii_alphabetic())).parse_next(input)?;
    let ends = ending.is_some_and(|e| matches!(e.to_ascii_lowercase().as_str(), "st" | "nd" | "rd" | "th"));
    let more = opt(peek(one_of(|c: char| c.is_alphanumeric()))).parse_next(input)?.is_some();
    if ends && !more {
        return Ok(Kind::Ordinal(n));
    }
    input.reset(&before);
    if matches!(n % 10, 2 | 3) && short_ordinal(input.as_ref()) {
        let _ = any.parse_next(input)?;
        return Ok(Kind::Ordinal(n));
    }
    Ok(Kind::Number(n))
}

/// "2d", "3d" as old leaflets write; not the "3d" of "3d c" or "3d.c.", which is three stitches.
fn short_ordinal(rest: &str) -> bool {
    let Some(behind) = rest.strip_prefix(['d', 'D']) else { return false };
    let next = behind.trim_start_matches(['.', ' ', '-']).to_ascii_lowercase();
    let word: &str = next.split(|c: char| !c.is_ascii_alphanumeric()).next().unwrap_or_default();
    !behind.starts_with(|c: char| c.is_alphanumeric())
        && !matches!(word, "c" | "cr" | "crochet" | "tr" | "trc" | "tc" | "t")
}

/// A word of letters; an n-together such as `sc2tog` is one word, as is `don't`.
fn word(input: &mut Input<'_>) -> ModalResult<Kind> {
    let letters: &str = take_while(1.., is_letter).parse_next(input)?;
    let mut word = spell(letters);
    if word == "w" && input.as_ref().starts_with('/') {
        // "join w/ sl st", "w/o turning"
        let _: char = any.parse_next(input)?;
        let without: Option<char> = opt(one_of(['o', 'O'])).parse_next(input)?;
        return Ok(Kind::Word(if without.is_some() { "without" } else { "with" }.into()));
    }
    let before = input.checkpoint();
    let tail: Option<(&str, &str)> =
        opt((take_while(1..=2, |c: char| c.is_ascii_digit()), take_while(1.., |c: char| c.is_ascii_alphabetic())))
            .parse_next(input)?;
    match tail {
        Some((n, ending)) if ending.eq_ignore_ascii_case("tog") => {
            word.push_str(n);
            word.push_str("tog");
        }
        _ => input.reset(&before),
    }
    Ok(Kind::Word(word))
}

/// Lower case, ligatures and the dotless i undone, curly apostrophes made straight.
fn spell(letters: &str) -> String {
    if letters.is_ascii() {
        // an abbreviation of every leaflet's own
        return if letters.eq_ignore_ascii_case("nxt") { "next".into() } else { letters.to_ascii_lowercase() };
    }
    let mut word = String::with_capacity(letters.len());
    for c in letters.chars() {
        match c {
            'ﬀ' => word.push_str("ff"),
            'ﬁ' => word.push_str("fi"),
            'ﬂ' => word.push_str("fl"),
            'ı' => word.push('i'),
            '’' => word.push('\''),
            _ => word.extend(c.to_lowercase()),
        }
    }
    word
}

fn mark(input: &mut Input<'_>) -> ModalResult<Kind> {
    let c = any.parse_next(input)?;
    Ok(match c {
        '(' | '[' | '{' => Kind::Open(c),
        ')' | ']' | '}' => Kind::Close(c),
        '*' => {
            let more: &str = take_while(0.., '*').parse_next(input)?;
            Kind::Star(1 + more.len())
        }
        ',' => Kind::Comma,
        '.' => Kind::Stop,
        ';' => Kind::Semicolon,
        ':' => Kind::Colon,
        '-' | '–' | '—' | '−' | '‑' => {
            let _: &str = take_while(0.., ['-', '–', '—', '−', '‑']).parse_next(input)?;
            Kind::Dash
        }
        '=' => Kind::Equals,
        '×' => Kind::Times,
        // cells of a table
        '|' => Kind::Stop,
        other => Kind::Other(other),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kinds(text: &str) -> Vec<Kind> {
        tokens(text, 0).into_iter().map(|t| t.kind).collect()
    }

    #[test]
    fn an_n_together_is_one_word_and_a_glued_count_is_two() {
        assert_eq!(kinds("sc2tog"), [Kind::Word("sc2tog".into())]);
        assert_eq!(kinds("2dc"), [Kind::Number(2), Kind::Word("dc".into())]);
        assert_eq!(kinds("ch3"), [Kind::Word("ch".into()), Kind::Number(3)]);
    }

    #[test]
    fn ordinals_and_numbers_are_told_apart() {
        assert_eq!(kinds("2nd ch"), [Kind::Ordinal(2), Kind::Word("ch".into())]);
        assert_eq!(kinds("3sts"), [Kind::Number(3), Kind::Word("sts".into())]);
        assert_eq!(kinds("99999999999"), [Kind::Number(u32::MAX)]);
    }

    #[test]
    fn every_character_but_white_space_is_in_a_token() {
        let text = "Row 1 (RS): ½ “sc” — *2 dc** × ﬀ\u{feff}";
        let held: usize = tokens(text, 0).iter().map(|t| text[t.span.start..t.span.end].chars().count()).sum();
        assert_eq!(held, text.chars().filter(|c| !c.is_whitespace() && *c != '\u{feff}').count());
    }
}
