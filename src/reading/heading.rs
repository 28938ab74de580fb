//! Row headings: "Row 1 (RS):", "3rd rnd:", "Rows 5-8:", "Next row:", "Border row 1:".

use super::cursor::Cursor;
use super::lex::Kind;
use super::words;
use crate::instructions::{Act, Heading, RowKind, Rows, Step};
use crate::source::Span;

/// Words that make a heading of their own before "row", or alone before a colon.
const NAMED: &[&str] = &[
    "foundation",
    "border",
    "edging",
    "edge",
    "joining",
    "setup",
    "set",
    "pattern",
    "base",
    "picot",
    "final",
    "last",
    "buttonhole",
    "beginning",
    "starting",
    "trim",
];

/// A heading at the start of the tokens, and how many tokens it takes.
pub(super) fn heading(c: &mut Cursor<'_>, text: &str) -> Option<Heading> {
    let start = c.at;
    let found = heading_here(c, text);
    if found.is_none() {
        c.at = start;
    }
    found
}

fn heading_here(c: &mut Cursor<'_>, text: &str) -> Option<Heading> {
    // bold, or the mark that rows are repeated from
    let bold = match c.kind(0) {
        Some(&Kind::Star(stars)) if stars > 1 || c.touches(c.at) => Some(stars),
        _ => None,
    };
    let closes_bold = |c: &Cursor<'_>| match c.kind(0) {
        Some(&Kind::Star(stars)) => {
            bold.is_some_and(|opened| opened > 1 && stars > 1 || stars == 1 && !c.touches(c.at))
        }
        _ => false,
    };
    c.at += usize::from(bold.is_some());
    let start = c.at;
    let (kind, rows) = numbered(c)
        .or_else(|| listed(c))
        .or_else(|| ordinal_first(c))
        .or_else(|| next_rows(c))
        .or_else(|| named(c))
        .or_else(|| super::row_names::heading(c))
        .or_else(|| edging_named(c))?;
    let mut heading = Heading { kind, rows, ..Heading::default() };
    // "3rd to 6th rows incl:"
    let _ = c.eat_any(&["incl", "inclusive"]);
    let mut end = c.at;
    if let Some(side) = side_in_brackets(c) {
        heading.right_side = side;
    }
    // "Row 3, dec row:", "Row 3 - Increase row:"
    let before_name = c.at;
    let led = c.eat_kind(&Kind::Comma) || c.eat_kind(&Kind::Dash);
    if !(led && c.row_by_name().is_some() && c.kind(0) == Some(&Kind::Colon)) {
        c.at = before_name;
    }
    c.at += usize::from(closes_bold(c));
    // "3rd, 4th and 5th Rows are the same as 2nd row"
    let told_same =
        !matches!(heading.rows, Rows::Unnumbered) && c.eat_any(&["are", "is"]) && c.sees(&["the", "same", "as"]);
    let marked =
        told_same || c.eat_kind(&Kind::Colon) || c.eat_kind(&Kind::Stop) || c.eat_kind(&Kind::Dash) || closes(c);
    // "2nd round.--Ch 3"
    let _ = marked && !told_same && c.eat_kind(&Kind::Dash);
    if !marked && forms_pattern(c) {
        return None;
    }
    let unnumbered = matches!(heading.rows, Rows::Unnumbered);
    let spelled = text[c.tokens[start].span.start..].starts_with(|ch: char| ch.is_uppercase());
    // "Rnds 1-3 = 5 cm across" is a gauge
    let gauge = matches!(c.kind(0), Some(Kind::Equals));
    let spelled = spelled || told_same;
    if gauge || !marked && (unnumbered || !spelled) {
        return None;
    }
    c.at += usize::from(closes_bold(c));
    if heading.right_side.is_none()
        && let Some(side) = side_in_brackets(c)
    {
        heading.right_side = side;
        let _ = c.eat_kind(&Kind::Stop) || c.eat_kind(&Kind::Colon);
    }
    end = end.clamp(start + 1, c.tokens.len());
    heading.span = c.tokens[start].span.to(c.tokens[end - 1].span);
    heading.published = text[heading.span.start..heading.span.end].to_owned();
    Some(heading)
}

/// "With RS facing, join B in first sc": the side that faces where the yarn is tied on, as if the heading told it.
pub(super) fn side_in_words(text: &str, notes: &[Span], steps: &[Step]) -> Option<bool> {
    let tied_on = steps.iter().take(2).any(|s| matches!(s.act, Act::Attach { .. }));
    let note = notes.first().filter(|_| tied_on)?;
    let words = text[note.start..note.end].to_lowercase();
    if note.start > steps[0].span.start || !words.starts_with("with") || !words.contains("facing") {
        return None;
    }
    let said = |names: [&str; 2]| words.split_whitespace().any(|w| w == names[0]) || words.contains(names[1]);
    match (said(["rs", "right side"]), said(["ws", "wrong side"])) {
        (right, wrong) if right != wrong => Some(right),
        _ => None,
    }
}

/// "Rows 2 and 3 form the pattern": no heading, but what they are.
pub(super) fn forms_pattern(c: &Cursor<'_>) -> bool {
    let mut c = c.clone();
    if !c.eat_any(&["form", "forms", "set", "sets", "establish", "make", "create", "are", "now", "comprise"]) {
        return false;
    }
    let _ = c.eat_any(&["the", "your", "one"]);
    (0..3).any(|k| c.word(k).is_some_and(|w| matches!(w, "pat" | "patt" | "pattern" | "repeat" | "rep" | "stripe")))
}

fn is_row_word(kind: &Kind) -> bool {
    matches!(kind, Kind::Word(w) if words::ROW.contains(&w.as_str()) || words::ROUND.contains(&w.as_str()))
}

fn closes(c: &mut Cursor<'_>) -> bool {
    let found = matches!(c.kind(0), Some(Kind::Close(_)));
    c.at += usize::from(found);
    found
}

/// "Row 1", "Rnds 5-8", "Rounds 3 and 5", "R4".
fn numbered(c: &mut Cursor<'_>) -> Option<(RowKind, Rows)> {
    let start = c.at;
    let kind = row_word(c)?;
    let _ = c.eat_kind(&Kind::Stop);
    let Some(first) = c.number() else {
        c.at = start;
        return None;
    };
    if alternate(c) {
        return Some((kind, Rows::Alternate { first, last: up_to(c) }));
    }
    Some((kind, Rows::Numbered(list_of(c, first))))
}

/// "and alt", "and every following alternate", "and all odd" behind the first number.
fn alternate(c: &mut Cursor<'_>) -> bool {
    let start = c.at;
    let _ = c.eat_kind(&Kind::Comma);
    let joined = c.eat_any(&["and", "then"]) || c.eat_kind(&Kind::Other('&'));
    let _ = joined && c.eat_any(&["every", "each", "all"]);
    let _ = c.eat_any(&["foll", "following"]);
    if joined && c.eat_any(&["alt", "alternate", "other", "even", "odd"]) {
        let _ = c.eat_any(&["foll", "following"]);
        let _ =
            c.eat_kind(&Kind::Stop) && c.word(0).is_some_and(|w| words::ROW.contains(&w) || words::ROUND.contains(&w));
        return true;
    }
    c.at = start;
    false
}

/// "to 6th", "to row 6", "up to and including 6th row".
fn up_to(c: &mut Cursor<'_>) -> Option<u32> {
    let start = c.at;
    let _ = row_word(c);
    let _ = c.eat("up");
    if c.eat_any(&["to", "through", "thru", "until"]) {
        let _ = c.eat_all(&["and", "including"]);
        let named = row_word(c).is_some();
        if let Some(n) = c.ordinal().or_else(|| c.number()) {
            let _ = named || row_word(c).is_some();
            return Some(n);
        }
    }
    c.at = start;
    // the word behind "alt" has been said already
    let _ = row_word(c);
    None
}

/// "1. 6 sc in magic ring", "2) inc around", "4-8. …": a number and its mark, with work behind it.
fn listed(c: &mut Cursor<'_>) -> Option<(RowKind, Rows)> {
    let start = c.at;
    if start == 0
        && let Some(first) = c.number()
    {
        let closed = c.at;
        let rows = if c.eat_kind(&Kind::Close(')')) && c.eat_kind(&Kind::Dash) {
            // "5) - 8) sc around"
            let last = c.number().filter(|&last| last > first && last - first < MOST_LISTED);
            last.map(|last| (first..=last).collect())
        } else {
            None
        };
        let rows = rows.unwrap_or_else(|| {
            c.at = closed;
            list_of(c, first)
        });
        let marked = matches!(c.kind(0), Some(Kind::Stop | Kind::Close(_) | Kind::Colon));
        let mut ahead = c.clone();
        ahead.at += 1;
        let work = matches!(ahead.kind(0), Some(Kind::Open(_) | Kind::Star(_)))
            || ahead.counts_stitches()
            || ahead.word(0).is_some_and(|w| {
                words::CHAIN.contains(&w)
                    || words::REPEAT.contains(&w)
                    || words::SKIP.contains(&w)
                    || matches!(w, "with" | "join" | "work" | "make" | "in" | "turn" | "mr" | "magic" | "slk")
            })
            || ahead.loop_words().is_some()
            || marked && super::foundation_line::begins_chain(&c.tokens[c.at + 1..], c.house)
            || closes_flat(&ahead)
            || ahead.plain_beside_shaping()
            || ahead.stitch().is_some();
        if marked && work {
            return Some((RowKind::Loose, Rows::Numbered(rows)));
        }
    }
    c.at = start;
    None
}

/// "fold flat and sc through both sides" behind the number of a list.
fn closes_flat(c: &Cursor<'_>) -> bool {
    const SOON: usize = 12;
    matches!(c.word(0), Some("fold" | "flatten" | "press" | "pinch" | "squash"))
        && (1..SOON).any(|k| c.word(k) == Some("both"))
}

fn row_word(c: &mut Cursor<'_>) -> Option<RowKind> {
    if c.eat_any(words::ROW) || c.eat_any(&["rw", "rws"]) {
        return Some(RowKind::Row);
    }
    if c.eat_any(words::ROUND) {
        return Some(RowKind::Round);
    }
    // "MRR1: 6 sc": the ring, and round 1 in it
    if c.word(0) == Some("mrr") && matches!(c.kind(1), Some(Kind::Number(_))) {
        c.at += 1;
        return Some(RowKind::Round);
    }
    if c.sees(&["mr", "r"]) && matches!(c.kind(2), Some(Kind::Number(_))) {
        c.at += 2;
        return Some(RowKind::Round);
    }
    if c.word(0) == Some("step") && matches!(c.kind(1), Some(Kind::Number(_))) {
        c.at += 1;
        return Some(RowKind::Loose);
    }
    // "R3:" may be either: a round where the part began with a ring; decided when it is worked
    if c.word(0) == Some("r") && matches!(c.kind(1), Some(Kind::Number(_))) {
        c.at += 1;
        return Some(RowKind::Loose);
    }
    None
}

/// Rows of the longest range of a numbered list.
const MOST_LISTED: u32 = 200;

/// The rest of "1-3", "1 to 3", "1, 2 and 5".
fn list_of(c: &mut Cursor<'_>, first: u32) -> Vec<u32> {
    let mut rows = vec![first];
    if open_ended(c) {
        return rows;
    }
    loop {
        let start = c.at;
        let range = c.eat_kind(&Kind::Dash) || c.eat_any(&["to", "through", "thru"]);
        let list = !range
            && (c.eat_kind(&Kind::Comma)
                | c.eat_any(&["and", "&"])
                | c.eat_kind(&Kind::Other('+'))
                | c.eat_kind(&Kind::Other('&')));
        // "Rnds 6 12:" has lost its dash in print
        let lost = !range
            && !list
            && matches!(c.kind(0), Some(Kind::Number(n)) if *n > first)
            && matches!(c.kind(1), Some(Kind::Colon));
        let range = range || lost;
        if range && c.eat_any(&["end", "last", "finish"]) {
            // "Rows 3-end: rep row 2 until …": how many, the words behind it say
            return rows;
        }
        let again = row_word(c).is_some();
        // "Rnd 1 - 6 sc in ring": the number behind the dash counts stitches
        // but "R6-7 sc in each st" is two rounds
        let close = range
            && c.at == start + 1
            && c.tokens.get(c.at).is_some_and(|t| {
                let dash = c.tokens[start].span;
                t.span.start == dash.end
                    && start > 0
                    && c.tokens[start - 1].span.end == dash.start
                    && matches!(t.kind, Kind::Number(n) if n > first)
            });
        let counts = range && !close && c.counts_stitches();
        let next = if counts { None } else { c.number().or_else(|| c.ordinal()) };
        match (range, list, next) {
            (true, _, Some(n)) => {
                let from = rows.last().map_or(n, |&l| l.saturating_add(1));
                // OK: what is over the limit on rows is refused when worked
                let more = c.house.rows_left.of(from..=n, rows.len());
                rows.extend(more);
            }
            (_, true, Some(n)) => rows.push(n),
            _ => {
                let _ = again;
                c.at = start;
                return rows;
            }
        }
    }
}

/// "Row 4 onwards", "Rnds 6 and up", "Row 3+": how many, the words behind the heading say.
fn open_ended(c: &mut Cursor<'_>) -> bool {
    let start = c.at;
    let _ = c.eat("and");
    let ends = |c: &Cursor<'_>| matches!(c.kind(0), Some(Kind::Colon | Kind::Stop | Kind::Dash | Kind::Open(_)));
    let on = c.eat_any(&["onwards", "onward", "on", "up", "beyond"]) || c.at == start && c.eat_kind(&Kind::Other('+'));
    if on && ends(c) {
        return true;
    }
    c.at = start;
    false
}

/// "1st row", "2nd and 4th rnds", "3rd to 6th rows".
fn ordinal_first(c: &mut Cursor<'_>) -> Option<(RowKind, Rows)> {
    let start = c.at;
    let found = c.eat_any(&["first"]).then_some(1).or_else(|| c.ordinal());
    // "1 row:", "3-5 row:" with the ending left out
    let bare = found.is_none() && start == 0;
    let found = found.or_else(|| if bare { c.number() } else { None });
    if let Some(first) = found {
        let back = c.at;
        let early = row_word(c);
        if alternate(c) {
            let late = c.clone();
            let kind = early.or_else(|| row_word(&mut late.clone()));
            if let Some(kind) = kind {
                return Some((kind, Rows::Alternate { first, last: up_to(c) }));
            }
        }
        c.at = back;
        let rows = list_of(c, first);
        let kind = row_word(c).filter(|_| !bare || c.kind(0) == Some(&Kind::Colon));
        if let Some(kind) = kind {
            return Some((kind, Rows::Numbered(rows)));
        }
        // "13th and 14th: with B ...": the word round is left out
        if matches!(c.kind(0), Some(Kind::Colon)) {
            return Some((RowKind::Loose, Rows::Numbered(rows)));
        }
    }
    c.at = start;
    None
}

/// "Next row", "Next 3 rnds".
fn next_rows(c: &mut Cursor<'_>) -> Option<(RowKind, Rows)> {
    let start = c.at;
    if c.eat("next") {
        let n = c.number().unwrap_or(1);
        if let Some(kind) = row_word(c) {
            return Some((kind, Rows::Next(n)));
        }
    }
    c.at = start;
    None
}

/// "Foundation:", "Foundation row:", "Border row 1:", "Edging:".
fn named(c: &mut Cursor<'_>) -> Option<(RowKind, Rows)> {
    let start = c.at;
    let word = c.word(0)?;
    if !NAMED.contains(&word) {
        return None;
    }
    c.at += 1;
    let _ = word == "set" && c.eat_kind(&Kind::Dash);
    if word == "set" && !c.eat("up") {
        c.at = start;
        return None;
    }
    let beginning = matches!(word, "beginning" | "starting") && c.word(0).is_some_and(|w| words::CHAIN.contains(&w));
    if matches!(word, "beginning" | "starting")
        && !(beginning && matches!(c.kind(1), Some(Kind::Colon | Kind::Star(_))))
    {
        c.at = start;
        return None;
    }
    let foundation = word == "foundation" || beginning;
    if foundation && c.eat_any(words::CHAIN) {
        return Some((RowKind::Foundation, Rows::Unnumbered));
    }
    let kind = row_word(c);
    let numbers = c.number().map(|n| list_of(c, n));
    let dashed = kind.is_some() && matches!(c.kind(0), Some(Kind::Dash));
    let marked = dashed || matches!(c.kind(0), Some(Kind::Colon | Kind::Open(_) | Kind::Stop | Kind::Star(_)));
    if !marked || word == "picot" && kind.is_none() {
        c.at = start;
        return None;
    }
    let kind = match kind {
        None if foundation => RowKind::Foundation,
        None => RowKind::Loose,
        Some(kind) => kind,
    };
    // the border's own numbers do not continue the rows'
    let _ = numbers;
    Some((kind, Rows::Unnumbered))
}

/// "Picot edging:", "Reverse sc border:": an edging by the stitch it is of.
fn edging_named(c: &mut Cursor<'_>) -> Option<(RowKind, Rows)> {
    const EDGINGS: &[&str] = &["edging", "border", "trim", "edge"];
    const MOST_WORDS: usize = 4;
    let start = c.at;
    for _ in 0..MOST_WORDS {
        let word = c.word(0)?;
        c.at += 1;
        if EDGINGS.contains(&word) && c.at > start + 1 && matches!(c.kind(0), Some(Kind::Colon)) {
            return Some((RowKind::Loose, Rows::Unnumbered));
        }
    }
    None
}

/// "(RS)", "(wrong side)", "(RS facing)", or any other label in brackets, which is kept and says nothing.
fn side_in_brackets(c: &mut Cursor<'_>) -> Option<Option<bool>> {
    let start = c.at;
    if !matches!(c.kind(0), Some(Kind::Open(_))) {
        return None;
    }
    c.at += 1;
    let side = if c.eat("rs") || c.eat_all(&["right", "side"]) {
        Some(true)
    } else if c.eat("ws") || c.eat_all(&["wrong", "side"]) {
        Some(false)
    } else {
        None
    };
    let _ = c.eat("facing");
    if side.is_some() && closes(c) {
        return Some(side);
    }
    // "(RS, dec row)"
    if side.is_some() && c.eat_kind(&Kind::Comma) {
        while matches!(c.kind(0), Some(Kind::Word(_))) && c.at < start + 8 {
            c.at += 1;
        }
        if c.tokens.get(c.at - 1).is_some_and(|t| is_row_word(&t.kind)) && closes(c) {
            return Some(side);
        }
    }
    c.at = start + 1;
    // "(increase rnd)": a label, which says nothing more
    while matches!(c.kind(0), Some(Kind::Word(_))) && c.at < start + 6 {
        c.at += 1;
    }
    let named = c.at > start + 1
        && (c.tokens.get(c.at - 1).is_some_and(|t| is_row_word(&t.kind))
            || c.at == start + 2 && c.word_at(start + 1) == Some("optional"));
    // "(decrease row 1)"
    let _ = named && c.number().is_some();
    // "(dec row, RS)"
    let side = if named && c.eat_kind(&Kind::Comma) {
        if c.eat("rs") { Some(true) } else { c.eat("ws").then_some(false) }
    } else {
        None
    };
    if named && closes(c) {
        return Some(side);
    }
    c.at = start;
    None
}
