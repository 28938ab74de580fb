//! Row heads of the old books, at the start of a line or inside a paragraph: "1st round:", "First row.—",
//! "and work the 1st row:", "2nd and 3rd Rows.", "No. 2.—".

use super::super::cursor::{Cursor, House, RowsLeft};
use super::super::lex::{Kind, Token};
use super::super::words;
use crate::instructions::{Heading, RowKind, Rows};

/// A head found among the tokens of a paragraph.
#[derive(Clone, Debug)]
pub(super) struct Head {
    /// Token at which the words that lead to it begin ("and work the").
    pub lead: usize,
    /// Its first token.
    pub from: usize,
    /// The first token behind its mark.
    pub to: usize,
    pub kind: RowKind,
    pub rows: Vec<u32>,
}

pub(super) fn is_row_word(token: &Token) -> bool {
    matches!(&token.kind, Kind::Word(w) if words::ROW.contains(&w.as_str()) || words::ROUND.contains(&w.as_str()))
}

/// Every head of a paragraph, in order.
pub(super) fn heads(tokens: &[Token], text: &str) -> Vec<Head> {
    let house = House { rows_left: RowsLeft::NONE, ..House::default() };
    let mut found: Vec<Head> = Vec::new();
    let mut at = 0;
    while at < tokens.len() {
        match head_at(tokens, at, text, &house) {
            Some(head) => {
                at = head.to.max(at + 1);
                found.push(head);
            }
            None => at += 1,
        }
    }
    found
}

/// The heading at the start of a row's tokens.
pub(super) fn heading(c: &mut Cursor<'_>, text: &str) -> Option<Heading> {
    let head = head_at(c.tokens, 0, text, c.house)?;
    let span = c.tokens[head.from].span.to(c.tokens[last_named(c.tokens, &head)].span);
    c.at = head.to;
    Some(Heading {
        called: None,
        kind: head.kind,
        rows: Rows::Numbered(head.rows),
        published: text[span.start..span.end].to_owned(),
        right_side: None,
        span,
    })
}

/// The last token of a head without its mark.
fn last_named(tokens: &[Token], head: &Head) -> usize {
    (head.from..head.to)
        .rev()
        .find(|&i| matches!(tokens[i].kind, Kind::Word(_) | Kind::Number(_) | Kind::Ordinal(_)))
        .unwrap_or(head.from)
}

fn head_at(tokens: &[Token], at: usize, text: &str, house: &House) -> Option<Head> {
    let mut c = Cursor::new(tokens, house);
    c.at = at;
    let opens = opens_phrase(tokens, at);
    let led = opens && led_to(&mut c);
    if !(opens || led) {
        return None;
    }
    let from = c.at;
    let (kind, rows) = numbered(&mut c)?;
    let of = c.at;
    if c.eat("of") {
        // "1st round of the 2nd leaf"
        let _ = c.eat("the");
        let _ = c.ordinal();
        let thing = c.word(0).is_some_and(|w| words::LIMBS.contains(&w) || matches!(w, "border" | "edging" | "star"));
        if !thing {
            c.at = of;
        } else {
            c.at += 1;
        }
    }
    if matches!(c.kind(0), Some(Kind::Open(_))) {
        let close = (c.at + 1..(c.at + 6).min(tokens.len())).find(|&i| matches!(tokens[i].kind, Kind::Close(_)));
        let side = matches!(c.word(1), Some("right" | "wrong" | "rs" | "ws"));
        if let Some(close) = close.filter(|_| side) {
            c.at = close + 1;
        }
    }
    let starts = at == 0 || matches!(tokens[at - 1].kind, Kind::Stop | Kind::Colon | Kind::Dash);
    let upper = text[tokens[from].span.start..].starts_with(char::is_uppercase);
    let stop = c.eat_kind(&Kind::Stop);
    let dashed =
        c.eat_kind(&Kind::Dash) || c.eat_kind(&Kind::Colon) || (at == 0 || starts) && c.eat_kind(&Kind::Semicolon);
    let _ = dashed && c.eat_kind(&Kind::Dash);
    // "1st Round. 3 long": a full stop ends a head only where a sentence could begin
    let marked = dashed || stop && starts && !c.done() && (upper || works(&c));
    let spoken = led
        && !marked
        && (c.sees(&["entirely"]) || c.sees(&["thus"]) || c.sees(&["as", "follows"]) || c.word(0) == Some("in"));
    let comma = !marked && !spoken && (starts && at == 0 || led) && c.eat_kind(&Kind::Comma) && works(&c);
    if !(marked || spoken || comma) {
        return None;
    }
    Some(Head { lead: at, from, to: c.at, kind, rows })
}

/// A head opens a sentence or a phrase.
fn opens_phrase(tokens: &[Token], at: usize) -> bool {
    match at.checked_sub(1).map(|i| &tokens[i].kind) {
        None | Some(Kind::Stop | Kind::Colon | Kind::Dash | Kind::Semicolon | Kind::Comma | Kind::Close(_)) => true,
        Some(Kind::Word(w)) => matches!(w.as_str(), "and" | "then"),
        Some(Kind::Star(_) | Kind::Equals) => true,
        _ => false,
    }
}

/// "and work the", "For the", "now begin the".
fn led_to(c: &mut Cursor<'_>) -> bool {
    let start = c.at;
    let _ = c.eat_any(&["and", "then", "now"]);
    let verb = c.eat_any(&["work", "begin", "commence", "crochet", "for"]);
    if verb {
        let _ = c.eat("with");
        let _ = c.eat("the");
        return true;
    }
    c.at = start;
    false
}

/// "1st round", "2nd and 3rd rows", "6th to 12th round", "Round 5", "Row the first", "Fourth row", "2d row".
fn numbered(c: &mut Cursor<'_>) -> Option<(RowKind, Vec<u32>)> {
    let start = c.at;
    if let Some(kind) = row_word(c) {
        let _ = c.eat_kind(&Kind::Stop);
        let n = c.number().or_else(|| {
            let _ = c.eat("the");
            nth(c)
        });
        if let Some(n) = n {
            return Some((kind, list(c, n, true)));
        }
        c.at = start;
        return None;
    }
    let _ = c.eat("the");
    if let Some(n) = nth(c) {
        let rows = list(c, n, false);
        if let Some(kind) = row_word(c) {
            return Some((kind, rows));
        }
        // "7th.—3 double": row or round as those before it
        let dashed = c.kind(0) == Some(&Kind::Stop) && c.kind(1) == Some(&Kind::Dash) || c.kind(0) == Some(&Kind::Dash);
        if start == 0 && dashed && matches!(c.tokens[0].kind, Kind::Ordinal(_)) {
            return Some((RowKind::Loose, rows));
        }
    }
    c.at = start;
    None
}

fn row_word(c: &mut Cursor<'_>) -> Option<RowKind> {
    if c.eat_any(words::ROW) {
        return Some(RowKind::Row);
    }
    c.eat_any(words::ROUND).then_some(RowKind::Round)
}

/// "1st", "first", "2d".
fn nth(c: &mut Cursor<'_>) -> Option<u32> {
    if c.eat("first") {
        return Some(1);
    }
    if let (Some(Kind::Number(n @ (2 | 3))), Some("d")) = (c.kind(0), c.word(1)) {
        c.at += 2;
        return Some(*n);
    }
    c.ordinal()
}

/// The rest of "2nd, 3rd, and 5th", "6th to 12th".
fn list(c: &mut Cursor<'_>, first: u32, plain: bool) -> Vec<u32> {
    let mut rows = vec![first];
    loop {
        let start = c.at;
        let range = c.eat_any(&["to", "till"]) || !plain && c.eat_kind(&Kind::Dash);
        let listed = !range && (c.eat_kind(&Kind::Comma) | c.eat_any(&["and"]) | c.eat_kind(&Kind::Other('&')));
        let next = match plain {
            true => c.number(),
            false => nth(c),
        };
        match next {
            Some(n) if range => {
                let more = c.house.rows_left.of(first.saturating_add(1)..=n, rows.len());
                rows.extend(more);
            }
            Some(n) if listed => rows.push(n),
            _ => {
                c.at = start;
                return rows;
            }
        }
    }
}

/// True where work stands here.
fn works(c: &Cursor<'_>) -> bool {
    let mut ahead = c.clone();
    if matches!(ahead.kind(0), Some(Kind::Star(_) | Kind::Open(_))) {
        return true;
    }
    let _ = ahead.number().is_some() || ahead.eat_any(&["a", "an", "one"]);
    ahead.word(0).is_some_and(|w| {
        words::CHAIN.contains(&w)
            || words::SKIP.contains(&w)
            || matches!(
                w,
                "work" | "make" | "like" | "the" | "same" | "as" | "repeat" | "turn" | "begin" | "in" | "into" | "on"
            )
    }) || ahead.old_stem().is_some()
}
