//! What a line of the text opens with: work, rows worked again, a section, an item of a list.

use super::cursor::{Cursor, House};
use super::ended::{begins_again, goes_on, tells_work};
use super::foundation_line::{begins_chain, is_garbled_chain};
use super::lex::{Kind, Token};
use super::{preamble, words};

/// "Ears (make 2):": a part's name whatever stands above it.
pub(super) fn names_copies(toks: &[Token]) -> bool {
    toks.windows(2).any(|w| {
        matches!(w[0].kind, Kind::Open(_))
            && matches!(&w[1].kind, Kind::Word(w) if matches!(w.as_str(), "make" | "work"))
    })
}

/// "5. Place eyes between rows 5 and 6": an item of a numbered list that works nothing.
pub(super) fn is_listed_prose(toks: &[Token], house: &House) -> bool {
    let kind = |i: usize| toks.get(i).map(|t| &t.kind);
    // "Directions are for size S; changes for larger sizes are in parentheses."
    if matches!(kind(0), Some(Kind::Word(w)) if matches!(w.as_str(), "directions" | "instructions"))
        && matches!(kind(1), Some(Kind::Word(w)) if w == "are")
    {
        return true;
    }
    // "UK terms", "US terminology is used."
    if toks.len() <= 7
        && toks
            .iter()
            .take(3)
            .any(|t| matches!(&t.kind, Kind::Word(w) if matches!(w.as_str(), "terms" | "terminology")))
        && matches!(kind(0), Some(Kind::Word(w)) if matches!(w.as_str(), "us" | "uk" | "british" | "american" | "u"))
    {
        return true;
    }
    let numbered = matches!(kind(0), Some(Kind::Number(_))) && matches!(kind(1), Some(Kind::Stop | Kind::Close(_)));
    let layers = toks.iter().any(|t| matches!(&t.kind, Kind::Word(w) if w == "both"));
    numbered
        && matches!(kind(2), Some(Kind::Word(w)) if super::remarks::is_making_up(w))
        && !(layers && tells_work(toks, house))
}

/// "17. sc around" and then "18. 30 sc": the next item of a numbered list, whatever mark the line before lacks.
pub(super) fn follows_in_list(above: &[Token], toks: &[Token]) -> bool {
    // first and last number: "4.", "4-5:"
    let item = |toks: &[Token]| {
        let kind = |i: usize| toks.get(i).map(|t| &t.kind);
        let mark = |i: usize| matches!(kind(i), Some(Kind::Stop | Kind::Close(_) | Kind::Colon));
        match (kind(0), kind(1), kind(2)) {
            // "5) - 8)"
            (Some(Kind::Number(n)), Some(Kind::Close(_)), Some(Kind::Dash)) => match kind(3) {
                Some(Kind::Number(last)) if mark(4) => Some((*n, *last)),
                _ => Some((*n, *n)),
            },
            (Some(Kind::Number(n)), ..) if mark(1) => Some((*n, *n)),
            (Some(Kind::Number(n)), Some(Kind::Dash), Some(Kind::Number(last))) if mark(3) => Some((*n, *last)),
            _ => None,
        }
    };
    item(above).zip(item(toks)).is_some_and(|((_, a), (b, _))| a.checked_add(1) == Some(b))
}

pub(super) fn begins_with_number(toks: &[Token]) -> bool {
    matches!(toks.first().map(|t| &t.kind), Some(Kind::Number(_)))
}

/// A line of dashes, stars or the fence of a code block parts, and says nothing.
pub(super) fn is_rule(words: &str) -> bool {
    words.starts_with("```")
        || words.len() >= 3 && words.chars().all(|c| matches!(c, '-' | '*' | '=' | '_' | '~' | '|' | ':' | ' '))
}

/// "Materials", "Gauge: 16 sc = 4 in", "Note: …".
pub(super) fn is_section(words: &str, toks: &[Token]) -> bool {
    let Some(Kind::Word(first)) = toks.iter().find(|t| matches!(t.kind, Kind::Word(_))).map(|t| &t.kind) else {
        return false;
    };
    let bare = words.trim_matches(['#', '*', ' ']).trim_end_matches(':');
    let alone = bare.split_whitespace().count() <= 3 && !bare.ends_with('.');
    preamble::SECTIONS.contains(&first.as_str()) && (alone || words.contains(':') || words.starts_with("**"))
}

/// True where a paragraph opens with work: a chain, a ring, a yarn taken up, a stitch, an ending.
pub(super) fn begins_work(toks: &[Token], text: &str, house: &House) -> bool {
    let mut c = Cursor::new(toks, house);
    if c.number().is_some() && c.eat_any(super::words::CHAIN) && c.eat_any(&["at", "counts", "count", "does", "do"]) {
        // "3 ch at the start of a round counts as 1 tr."
        return false;
    }
    c.at = 0;
    if begins_chain(toks, house)
        || super::as_part::begins(toks)
        || c.shapes_ends()
        || super::cut::takes_yarn_for_rows(toks)
    {
        return true;
    }
    if c.eat("with") && c.eat_any(&["rs", "ws", "right", "wrong"]) {
        // "With RS facing, join A to any corner", "With right side of work facing and using B, join yarn …"
        let _ = c.eat_any(&["side", "sides"]);
        let _ = c.eat_all(&["of", "work"]);
        let told = c.eat("facing") && {
            let _ = c.eat_kind(&Kind::Comma) | c.eat("and");
            takes_yarn_up(&mut c);
            true
        };
        let work = c.eat_any(&["join", "attach", "rejoin", "work", "make"])
            || c.word(0).is_some_and(|w| words::SKIP.contains(&w) || words::CHAIN.contains(&w))
            || c.number().is_some() && c.stitch().is_some();
        return told && work;
    }
    c.at = 0;
    if c.eat_any(&["with", "using"]) {
        // "With A, ch 10": a yarn and then work
        let _ = c.eat_any(&["yarn", "color", "colour", "main"]);
        c.at += usize::from(c.word(0).is_some());
        let _ = c.eat_any(&["yarn", "color", "colour"]);
        if c.done() {
            // "With A" on a line of its own
            return true;
        }
        if !c.eat_kind(&Kind::Comma) {
            return false;
        }
    }
    if begins_chain(&toks[c.at..], house) || is_garbled_chain(toks, house) {
        return true;
    }
    if c.number().is_some() {
        return c.stitch().is_some() || c.word(0).is_some_and(|w| words::CHAIN.contains(&w));
    }
    if c.eat_all(&["fasten", "off"])
        || c.eat_any(&["turn", "attach"])
        || begins_again(&toks[c.at.min(toks.len())..], text, house)
    {
        return true;
    }
    if c.eat_any(words::SKIP) {
        // "Skip next 14 sts of last rnd, join yarn in next st."
        let joins = |t: &Token| matches!(&t.kind, Kind::Word(w) if matches!(w.as_str(), "join" | "rejoin" | "attach"));
        return toks.iter().take(16).any(joins);
    }
    if c.eat_any(&["join", "rejoin"]) {
        // "Join green with sl st in any sc", "Join Leaf in first ch"
        let coloured =
            |k: usize| c.word(k).is_some_and(|w| words::COLOURS.contains(&w) || house.yarns.iter().any(|y| y == w));
        let named = (0..3).take_while(|&k| coloured(k)).count();
        let placed = named > 0 && matches!(c.word(named), Some("with" | "in" | "to" | "at" | "into" | "yarn"));
        return placed || c.word(0).is_some_and(|w| w.len() == 1 || matches!(w, "yarn" | "mc" | "cc" | "with"));
    }
    if matches!(toks.first().map(|t| &t.kind), Some(Kind::Word(w)) if matches!(w.as_str(), "cont" | "continue" | "keep"))
    {
        // "Cont as established, inc 8 sc every rnd until there are 32 sc."
        return goes_on(toks, text, house);
    }
    c.stitch().is_some() && c.place().is_some()
}

/// "using White,", "with B": a yarn between the side that faces and the work.
fn takes_yarn_up(c: &mut Cursor<'_>) {
    const MOST_WORDS: usize = 4;
    let start = c.at;
    if c.eat_any(&["with", "using"]) {
        for _ in 0..MOST_WORDS {
            if c.eat_kind(&Kind::Comma) {
                return;
            }
            c.at += usize::from(c.word(0).is_some());
        }
    }
    c.at = start;
}
