//! The paragraphs of an old book to blocks: prose, parts, foundations and rows, several of them in one paragraph.

use super::super::cursor::{Cursor, House};
use super::super::document::{Block, What, trimmed};
use super::super::lex::{Kind, Token, tokens};
use super::super::opens::{is_rule, is_section};
use super::super::parts::{Around, part_heading};
use super::super::words;
use super::heads::heads;
use crate::instructions::Terms;
use crate::source::Span;

/// Cuts a text in an old dialect into blocks.
pub(in crate::reading) fn blocks(text: &str, terms: Terms) -> Vec<Block> {
    let house = House { terms, ..House::default() };
    let mut found: Vec<Block> = Vec::new();
    for span in paragraphs(text) {
        let lines: Vec<Span> = lines(text, span);
        let mut from = 0;
        if found.is_empty() && heads(&tokens(&text[lines[0].start..lines[0].end], lines[0].start), text).is_empty() {
            found.push(block(lines[0], What::Title));
            from = 1;
        }
        // lines of the preamble stand each for themselves
        while from < lines.len() && is_preamble(text, lines[from]) {
            found.push(block(lines[from], What::Prose));
            from += 1;
        }
        let Some((first, last)) = lines.get(from).zip(lines.last()) else { continue };
        let body = Span::new(first.start, last.end);
        if let (true, Some((name, copies))) = (
            from + 1 == lines.len(),
            part_heading(&text[body.start..body.end], &tokens(&text[body.start..body.end], body.start), Around::ALONE),
        ) {
            found.push(block(body, What::Part(name, copies)));
            continue;
        }
        paragraph(text, body, &house, &mut found);
    }
    found
}

fn block(span: Span, what: What) -> Block {
    Block { span, what, active: Vec::new() }
}

/// Stretches of the text between blank lines.
fn paragraphs(text: &str) -> Vec<Span> {
    let mut found: Vec<Span> = Vec::new();
    let mut offset = 0;
    let mut open = false;
    for line in text.split_inclusive('\n') {
        let span = trimmed(line, offset);
        offset += line.len();
        if span.is_empty() || is_rule(&text[span.start..span.end]) {
            open = false;
            continue;
        }
        match found.last_mut().filter(|_| open) {
            Some(last) => last.end = span.end,
            None => found.push(span),
        }
        open = true;
    }
    found
}

fn lines(text: &str, span: Span) -> Vec<Span> {
    let mut found = Vec::new();
    let mut offset = span.start;
    for line in text[span.start..span.end].split_inclusive('\n') {
        let inner = trimmed(line, offset);
        offset += line.len();
        if !inner.is_empty() {
            found.push(inner);
        }
    }
    found
}

fn is_preamble(text: &str, span: Span) -> bool {
    let words = &text[span.start..span.end];
    let toks = tokens(words, span.start);
    let terms = toks.iter().any(|t| matches!(&t.kind, Kind::Word(w) if w == "terms" || w == "terminology"));
    terms || is_section(words, &toks)
}

/// One paragraph: what stands before its first head, then a row for each head.
fn paragraph(text: &str, span: Span, house: &House, found: &mut Vec<Block>) {
    let toks = tokens(&text[span.start..span.end], span.start);
    let heads = heads(&toks, text);
    let starts: Vec<usize> = heads.iter().map(|h| h.lead).collect();
    let first = starts.first().copied().unwrap_or(toks.len());
    let bare = found.last().is_some_and(|b| matches!(b.what, What::Row) && is_bare(text, b.span));
    match found.last_mut().filter(|_| bare && first > 0) {
        // a head at the end of a page: its words stand in the next paragraph
        Some(row) => row.span.end = toks[first - 1].span.end,
        None => lead(text, &toks[..first], house, found),
    }
    for (i, head) in heads.iter().enumerate() {
        let end = starts.get(i + 1).copied().unwrap_or(toks.len());
        let (Some(a), Some(b)) = (toks.get(head.lead), toks.get(end.max(head.from + 1) - 1)) else { continue };
        found.push(block(a.span.to(b.span), What::Row));
    }
}

/// True for a row line that is a head and nothing more.
fn is_bare(text: &str, span: Span) -> bool {
    let toks = tokens(&text[span.start..span.end], span.start);
    heads(&toks, text).first().is_some_and(|h| h.to >= toks.len())
}

/// What stands before the first head, or a paragraph without one: a name, prose, and work.
fn lead(text: &str, toks: &[Token], house: &House, found: &mut Vec<Block>) {
    let mut rest = toks;
    if let Some((name, taken)) = named(text, rest) {
        let span = rest[0].span.to(rest[taken - 1].span);
        found.push(block(span, What::Part(name, 1)));
        rest = &rest[taken..];
    }
    let Some(last) = rest.last() else { return };
    let mut at = 0;
    let mut prose: Option<Span> = None;
    while at < rest.len() {
        let end = sentence_end(rest, at);
        let sentence = &rest[at..end];
        if begins_work(sentence, house) {
            break;
        }
        let span = sentence[0].span.to(sentence[sentence.len() - 1].span);
        prose = Some(prose.map_or(span, |p| p.to(span)));
        at = end;
    }
    found.extend(prose.map(|span| block(span, What::Prose)));
    if at < rest.len() {
        found.push(block(rest[at].span.to(last.span), What::Work));
    }
}

/// Index behind the full stop that ends the sentence at `at`.
fn sentence_end(toks: &[Token], at: usize) -> usize {
    (at..toks.len()).find(|&i| toks[i].kind == Kind::Stop).map_or(toks.len(), |i| i + 1)
}

/// True for a sentence that asks for stitches: a number and a stitch or chain, or a chain as long as wanted.
fn begins_work(sentence: &[Token], house: &House) -> bool {
    let mut c = Cursor::new(sentence, house);
    let mut counted = false;
    while !c.done() {
        let start = c.at;
        if c.counts_stitches() {
            counted = true;
        }
        if c.eat_any(words::CHAIN) {
            // "a chain of 9", "chain 9"
            let _ = c.eat("of") || c.eat_kind(&Kind::Dash);
            counted |= c.number().is_some();
            let _ = c.eat_any(&["the", "any", "a"]);
            counted |= matches!(c.word(0), Some("length" | "required" | "sufficient")) || c.sees(&["as", "long"]);
        }
        counted |= c.at == start && c.word(0) == Some("sufficiently");
        if c.sees(&["foundation", "chain"]) && c.at > 0 {
            counted = true;
        }
        c.at = start + 1;
    }
    if counted {
        return true;
    }
    let mut c = Cursor::new(sentence, house);
    c.eat_any(&["repeat", "turn", "fasten", "join", "unite"]) && !c.done()
}

/// "For the leaves:", "No. 2.—", "Pattern No. 1.--", "2nd branch.—", "LACE EDGING (fig. 4).—": a part's name.
fn named(text: &str, toks: &[Token]) -> Option<(String, usize)> {
    let upper =
        text[toks.first()?.span.start..].starts_with(char::is_uppercase) || matches!(toks[0].kind, Kind::Ordinal(_));
    let reach = toks.len().min(LONGEST_NAME);
    let is = |i: usize, kinds: &[Kind]| toks.get(i).is_some_and(|t| kinds.contains(&t.kind));
    // "Leaf. Make 16 chain"
    let opens = |w: &str| matches!(w, "make" | "begin" | "commence" | "chain" | "with" | "work" | "cast");
    let short = (1..reach.min(4)).find(|&i| is(i, &[Kind::Stop])).filter(|&i| {
        let plain = |t: &Token| matches!(&t.kind, Kind::Word(w) if !words::WORKING_WORDS.contains(&w.as_str()));
        toks[..i].iter().all(plain) && toks.get(i + 1).is_some_and(|t| matches!(&t.kind, Kind::Word(w) if opens(w)))
    });
    if let Some(stop) = short.filter(|_| upper) {
        let name = text[toks[0].span.start..toks[stop - 1].span.end].split_whitespace().collect::<Vec<_>>().join(" ");
        return Some((name, stop + 1));
    }
    let close = (1..reach).find(|&i| {
        is(i, &[Kind::Colon])
            || is(i, &[Kind::Dash]) && (is(i - 1, &[Kind::Stop]) || matches!(toks[i - 1].kind, Kind::Close(_)))
    })?;
    let mut end = close;
    while end > 0 && matches!(toks[end - 1].kind, Kind::Stop | Kind::Dash | Kind::Colon) {
        end -= 1;
    }
    let work = toks[..end].iter().any(|t| match &t.kind {
        Kind::Word(w) => {
            words::CHAIN.contains(&w.as_str()) || matches!(w.as_str(), "work" | "make" | "repeat" | "as" | "follows")
        }
        Kind::Comma | Kind::Star(_) => true,
        _ => false,
    });
    if !upper || work || end == 0 {
        return None;
    }
    let skip = usize::from(matches!(&toks[0].kind, Kind::Word(w) if w == "for"));
    let skip = skip + usize::from(matches!(toks.get(skip).map(|t| &t.kind), Some(Kind::Word(w)) if w == "the"));
    let from = skip.min(end - 1);
    let name = text[toks[from].span.start..toks[end - 1].span.end].split_whitespace().collect::<Vec<_>>().join(" ");
    Some((name, close + 1))
}

/// Tokens of the longest name of a part.
const LONGEST_NAME: usize = 12;
