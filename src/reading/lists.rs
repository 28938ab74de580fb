//! Lists of numbers, one for each size: "5 (7, 9, 9)", "36 (40)", "7 (8-9-10)", "(5, 6, 6, 7)", "3/4/5".

use super::lex::{Kind, Token};
use super::sizes::{Sizes, word};
use super::words;
use crate::instructions::SizeList;
use crate::source::{Code, Problem, Span};

/// What the lists of some words were.
#[derive(Debug, Default)]
pub(super) struct Resolved {
    pub tokens: Vec<Token>,
    pub told: Vec<SizeList>,
    pub problems: Vec<Problem>,
}

/// Leaves of every list the number for the size in hand; its span is that of the whole list.
pub(super) fn resolve(tokens: Vec<Token>, sizes: &Sizes) -> Resolved {
    if sizes.count() < 2 {
        return Resolved { tokens, ..Resolved::default() };
    }
    let mut out = Resolved { tokens: Vec::with_capacity(tokens.len()), ..Resolved::default() };
    let mut i = 0;
    while i < tokens.len() {
        let Some(list) = list_at(&tokens, i) else {
            out.tokens.push(tokens[i].clone());
            i += 1;
            continue;
        };
        let span = tokens[i].span.to(tokens[list.end - 1].span);
        match list.choose(sizes, &tokens) {
            Choice::Item(k) => {
                push_item(&mut out.tokens, &tokens, &list.items[k], span);
                if let (true, Some(numbers)) = (list.items.len() == sizes.count(), list.numbers(&tokens)) {
                    out.told.push(SizeList { span, numbers });
                }
            }
            Choice::TooFew => {
                out.problems.push(wrong_length(span, list.items.len(), sizes));
                let k = sizes.chosen.min(list.items.len() - 1);
                push_item(&mut out.tokens, &tokens, &list.items[k], span);
            }
            Choice::NoList => {
                out.tokens.push(tokens[i].clone());
                i += 1;
                continue;
            }
        }
        i = list.end;
    }
    out
}

/// Puts the tokens of one item in place of the list.
fn push_item(out: &mut Vec<Token>, tokens: &[Token], item: &Item, span: Span) {
    let from = out.len();
    match item.tokens.clone() {
        range if range.is_empty() => out.push(Token { kind: Kind::Number(0), span }),
        range => out.extend(tokens[range].iter().cloned()),
    }
    if let Some(first) = out.get_mut(from) {
        first.span.start = span.start;
    }
    if let Some(last) = out.last_mut() {
        last.span.end = span.end;
    }
}

fn wrong_length(span: Span, n: usize, sizes: &Sizes) -> Problem {
    let message =
        format!("this list has {n} numbers and there are {} sizes: {}", sizes.count(), sizes.names.join(", "));
    Problem::new(Code::Sizes, span, message)
        .with_hint("give one number for each size, in the order in which the sizes are listed")
}

/// The number of sizes that most lists of a text have; 0 where there are none. Lists of two are taken for sizes only
/// where the text says that there are some: "6 (12)" may be a count as well.
pub(super) fn commonest_length(tokens: &[Token], pairs: bool) -> usize {
    let mut counts: Vec<(usize, usize)> = Vec::new();
    let mut i = 0;
    while i < tokens.len() {
        let Some(list) = list_at(tokens, i) else {
            i += 1;
            continue;
        };
        let n = list.items.len();
        let least = if pairs { 2 } else { 3 };
        let goods = word(tokens.get(list.end)).is_some_and(|w| GOODS.contains(&w));
        if n >= least && n <= super::sizes::MOST_SIZES && list.head && list.measures == 0 && !goods {
            match counts.iter_mut().find(|(k, _)| *k == n) {
                Some((_, c)) => *c += 1,
                None => counts.push((n, 1)),
            }
        }
        i = list.end;
    }
    counts.iter().max_by_key(|&&(n, c)| (c, n)).map_or(0, |&(n, _)| n)
}

/// Words behind a list of hooks, balls or measures, which says nothing of how many sizes there are.
const GOODS: &[&str] =
    &["in", "ins", "inch", "inches", "cm", "mm", "m", "yd", "yds", "g", "oz", "ball", "balls", "skein", "skeins"];

/// One number of a list.
#[derive(Clone, Debug)]
struct Item {
    /// Its tokens; none where a dash stands for "not in this size".
    tokens: std::ops::Range<usize>,
}

#[derive(Debug)]
struct List {
    items: Vec<Item>,
    /// Its first token.
    start: usize,
    /// True where the first number stands before the bracket.
    head: bool,
    /// Items that carry a unit.
    measures: usize,
    /// The token behind the list.
    end: usize,
}

enum Choice {
    Item(usize),
    TooFew,
    NoList,
}

impl List {
    fn choose(&self, sizes: &Sizes, tokens: &[Token]) -> Choice {
        let n = self.items.len();
        if n == sizes.count() {
            return Choice::Item(sizes.chosen);
        }
        if n == sizes.active.len()
            && let Some(k) = sizes.active.iter().position(|&k| k == sizes.chosen)
            && (n > 1 || self.says_more(tokens))
        {
            return Choice::Item(k);
        }
        // "sc 6 (18)" ends with a count; two numbers are a list only where something stands behind that they count
        let told = self.says_more(tokens) || self.is_led(tokens);
        // a bracket alone may be for sizes that a label names in words of its own: it stays as it is
        let list = self.head && (n > 2 || n == 2 && told);
        if list { Choice::TooFew } else { Choice::NoList }
    }

    /// True where what is counted stands behind the list.
    fn says_more(&self, tokens: &[Token]) -> bool {
        word(tokens.get(self.end)).is_some_and(|w| {
            words::STITCH.contains(&w)
                || words::CHAIN.contains(&w)
                || words::ROW.contains(&w)
                || words::ROUND.contains(&w)
                || words::STITCHES.iter().any(|s| words::is_or_plural(w, s.words[0]))
                || matches!(w, "times" | "time" | "more")
        })
    }

    /// True where a word stands before the list that asks for a number.
    fn is_led(&self, tokens: &[Token]) -> bool {
        word(self.start.checked_sub(1).and_then(|k| tokens.get(k)))
            .is_some_and(|w| words::CHAIN.contains(&w) || matches!(w, "next" | "first" | "last"))
    }

    /// The plain numbers of the list.
    fn numbers(&self, tokens: &[Token]) -> Option<Vec<u32>> {
        self.items
            .iter()
            .map(|item| match tokens.get(item.tokens.clone())? {
                [Token { kind: Kind::Number(n), .. }] => Some(*n),
                _ => None,
            })
            .collect()
    }
}

/// A list at a token: a number and a bracket of numbers, a bracket of numbers, numbers parted by slashes.
fn list_at(tokens: &[Token], at: usize) -> Option<List> {
    if matches!(tokens[at].kind, Kind::Open(_)) {
        let (items, measures, end) = bracket_of_numbers(tokens, at)?;
        return Some(List { items, start: at, head: false, measures, end });
    }
    let (first, unit, mut i) = number_at(tokens, at)?;
    // a number that another one runs on into ("4 1/2") is read from its beginning
    if matches!(tokens.get(i).map(|t| &t.kind), Some(Kind::Open(_))) {
        let (rest, measures, end) = bracket_of_numbers(tokens, i)?;
        let items = std::iter::once(first).chain(rest).collect();
        return Some(List { items, start: at, head: true, measures: measures + usize::from(unit), end });
    }
    let mut items = vec![first];
    while tokens.get(i).map(|t| &t.kind) == Some(&Kind::Other('/')) {
        let (item, _, next) = number_at(tokens, i + 1)?;
        items.push(item);
        i = next;
    }
    (items.len() > 2).then_some(List { items, start: at, head: false, measures: 0, end: i })
}

/// "(7, 9, 9)", "(8-9-10)", "(-, 2, 4)": nothing but numbers and what parts them.
fn bracket_of_numbers(tokens: &[Token], open: usize) -> Option<(Vec<Item>, usize, usize)> {
    let mut items = Vec::new();
    let mut measures = 0;
    let mut i = open + 1;
    loop {
        match tokens.get(i).map(|t| &t.kind)? {
            Kind::Dash if matches!(tokens.get(i + 1).map(|t| &t.kind), Some(Kind::Comma | Kind::Close(_))) => {
                items.push(Item { tokens: i..i });
                i += 1;
            }
            _ => {
                let (item, unit, next) = number_at(tokens, i)?;
                measures += usize::from(unit);
                items.push(item);
                i = next;
            }
        }
        if items.len() > super::sizes::MOST_SIZES {
            return None;
        }
        match tokens.get(i).map(|t| &t.kind)? {
            Kind::Close(_) => return Some((items, measures, i + 1)),
            Kind::Comma | Kind::Dash | Kind::Semicolon | Kind::Other('/') => i += 1,
            _ => return None,
        }
    }
}

/// A number with its fraction and unit: "8", "6½", "4 1/2", "5.5", "8 in", "20\"". True where a unit stands behind it.
fn number_at(tokens: &[Token], at: usize) -> Option<(Item, bool, usize)> {
    let mut i = match tokens.get(at).map(|t| &t.kind)? {
        Kind::Number(_) | Kind::Ordinal(_) => at + 1,
        Kind::Other('½' | '¼' | '¾' | '⅓' | '⅔' | '⅛') => at + 1,
        _ => return None,
    };
    let kind = |k: usize| tokens.get(k).map(|t| &t.kind);
    let touches = |k: usize| k > 0 && tokens.get(k).is_some_and(|t| tokens[k - 1].span.end == t.span.start);
    if matches!(kind(i), Some(Kind::Other('½' | '¼' | '¾' | '⅓' | '⅔' | '⅛'))) {
        i += 1;
    } else if kind(i) == Some(&Kind::Stop)
        && touches(i)
        && touches(i + 1)
        && matches!(kind(i + 1), Some(Kind::Number(_)))
    {
        i += 2;
    } else if matches!(kind(i), Some(Kind::Number(_)))
        && kind(i + 1) == Some(&Kind::Other('/'))
        && matches!(kind(i + 2), Some(Kind::Number(2..=8)))
    {
        i += 3;
    }
    let unit = matches!(kind(i), Some(Kind::Other('"' | '”' | '″')))
        || word(tokens.get(i)).is_some_and(|w| matches!(w, "in" | "ins" | "inch" | "inches" | "cm" | "mm"));
    // "8 in (9 in, 10 in)": a unit belongs to its number only where a list goes on behind it
    let goes_on = |k: usize| matches!(kind(k), Some(Kind::Open(_) | Kind::Close(_) | Kind::Comma | Kind::Dash));
    let unit = unit && goes_on(i + 1);
    i += usize::from(unit);
    Some((Item { tokens: at..i }, unit, i))
}
