//! The whole text: title, preamble, parts, row lines. Decides which words are work.

use super::branches::{Branch, Later, label};
use super::cursor::{Cursor, House, RowsLeft};
use super::cut::{cuts, takes_yarn, takes_yarn_for_rows};
use super::ended::{
    begins_again, begins_with_capital, goes_on, goes_on_or_ties_on, goes_to_where_it_is_tied_on, is_counted, is_over,
    stands_alone, tells_work, works_whole,
};
use super::foundation_line::{begins_chain, is_garbled_chain, loose_kind};
use super::heading::{heading, side_in_words};
use super::lex::{Kind, Token};
use super::lists::resolve;
use super::opens::{
    begins_with_number, begins_work, follows_in_list, is_listed_prose, is_rule, is_section, names_copies,
};
use super::parts::{Around, is_heading, labelled_round, leads_to_row, named_heading, part_heading, skips_to_join};
use super::preamble::{self, Line};
use super::sizes::Sizes;
use super::starred_rows::repeats_rows_above;
use super::{ReadOptions, coined, definition, dialect, old};
use crate::instructions::{Act, Class, Heading, Note, Part, Pattern, Row, RowKind, Rows, Step, Target};
use crate::source::{Code, Problem, Span};
use std::collections::{BTreeMap, BTreeSet};

/// One logical line: lines of the file joined where a row wraps.
pub(super) struct Block {
    pub span: Span,
    pub what: What,
    /// Sizes its words are for; all where empty.
    pub active: Vec<usize>,
}

/// What a logical line is.
pub(super) enum What {
    Title,
    /// A named part with its copies.
    Part(String, u32),
    /// Materials, notes, prose.
    Prose,
    /// A row line; the heading is read again when the words are.
    Row,
    /// Work without a heading.
    Work,
}

/// What is known of a text before the first of its rows is read.
pub(super) struct Prepared {
    pub house: House,
    pattern: Pattern,
    blocks: Vec<Block>,
    problems: Vec<Problem>,
}

/// Reads all of a text but its rows.
pub(super) fn prepare(text: &str, options: &ReadOptions) -> Prepared {
    let mut pattern = Pattern::default();
    let mut problems = Vec::new();
    let toks = super::lex::tokens(text, 0);
    let sizes = Sizes::of(text, &toks, &options.size);
    let mut house = House { words: options.house_words.clone(), sizes, ..House::default() };
    house.terms = dialect::decide(text, &toks, options.terms, &mut problems);
    house.row_names = super::row_names::collect(text, &toks);
    drop(toks);
    let old_book = house.terms.is_old();
    house.rows_left = RowsLeft::NONE;
    let blocks = if old_book { old::blocks(text, house.terms) } else { blocks(text, &house) };
    if !blocks.iter().any(|b| matches!(b.what, What::Row | What::Work)) {
        problems.push(nothing_to_work(text, &blocks));
    }
    house.specials = house.words.specials(house.terms);
    pattern.terms = house.terms;
    pattern.assumed = options.assumed;
    (pattern.sizes, pattern.size) = (house.sizes.names.clone(), house.sizes.chosen);
    for block in &blocks {
        let words = &text[block.span.start..block.span.end];
        match &block.what {
            What::Title => pattern.title = clean_title(words),
            What::Prose => {
                let line = Line { text: words, span: block.span };
                preamble::read_line(&line, &mut pattern, &mut house);
                for special in definition::specials(&line, text, &house) {
                    house.specials.take(special);
                }
                pattern.notes.push(Note { text: words.trim().to_owned(), span: block.span });
            }
            _ => {}
        }
    }
    house.own_words = own_words(text, &blocks);
    house.part_names = super::as_part::names(&blocks);
    house.part_name_set = house.part_names.iter().cloned().collect();
    house.part_nouns = house.part_names.iter().flatten().map(|word| super::on_part::singular(word)).collect();
    house.copies = super::as_part::copies(&blocks);
    house.stitch_patterns = super::stitch_patterns::names(&blocks);
    if !old_book {
        learn_yarns(text, &blocks, &mut house);
    }
    house.defined = house.specials.len();
    super::beginnings::derive_all(&mut house);
    house.rows_left = RowsLeft::default();
    Prepared { house, pattern, blocks, problems }
}

/// Reads a text. Never fails: what could not be read is among the problems.
pub fn read(text: &str, options: &ReadOptions) -> (Pattern, Vec<Problem>) {
    let Prepared { mut house, mut pattern, blocks, mut problems } = prepare(text, options);
    let old_book = house.terms.is_old();
    for block in &blocks {
        match &block.what {
            What::Part(name, copies) => {
                house.pattern_used = false;
                house.pattern_rows.clear();
                house.starred.begin(&text[block.span.start..block.span.end]);
                pattern.parts.push(Part { name: name.clone(), copies: *copies, span: block.span, rows: Vec::new() })
            }
            What::Row | What::Work => {
                if pattern.parts.is_empty() {
                    pattern.parts.push(Part {
                        name: pattern.title.clone(),
                        copies: 1,
                        span: block.span,
                        rows: Vec::new(),
                    });
                }
                let headed = matches!(block.what, What::Row);
                let words = &text[block.span.start..block.span.end];
                house.starred.begin(words);
                house.sizes.active = block.active.clone();
                let rows = match old_book {
                    true => old::read_rows(text, block.span, headed, &mut house, &mut problems),
                    false => vec![read_row(text, block.span, headed, &mut house, &mut problems)],
                };
                let named = |row: &Row| row.steps.iter().any(|s| matches!(s.act, Act::AsPart { .. }));
                house.pattern_used |= rows.iter().any(named);
                for row in &rows {
                    house.starred.add(row, words);
                    super::stitch_patterns::remember(&row.steps, &mut house.pattern_rows);
                }
                if let Some(part) = pattern.parts.last_mut() {
                    rows.into_iter().for_each(|row| add_row(part, row));
                }
            }
            _ => {}
        }
    }
    super::as_part::resolve(&mut pattern, text, &mut problems);
    super::separately::leave_rest(&mut pattern, text);
    pattern.parts.retain(|p| !p.rows.is_empty());
    pattern.size_lists = house.told;
    pattern.specials = house.specials.into_named();
    (pattern, problems)
}

/// Yarns that the rows name again and again, though nothing lists them.
fn learn_yarns(text: &str, blocks: &[Block], house: &mut House) {
    let mut found = BTreeMap::new();
    for block in blocks.iter().filter(|b| matches!(b.what, What::Row | What::Work)) {
        let toks = house.words.tokens(&text[block.span.start..block.span.end], block.span.start);
        super::yarn_names::count_in(&toks, &mut found);
    }
    let names = found.into_iter().filter(|(name, n)| *n > 1 && !house.yarns.contains(name));
    let names: Vec<String> = names.map(|(name, _)| name).collect();
    house.yarns.extend(names);
}

/// The words of everything that is no row.
fn own_words(text: &str, blocks: &[Block]) -> BTreeSet<String> {
    let prose = blocks.iter().filter(|b| !matches!(b.what, What::Row | What::Work));
    let words = prose.flat_map(|b| text[b.span.start..b.span.end].split(|c: char| !c.is_alphanumeric()));
    words.filter(|w| !w.is_empty()).map(str::to_lowercase).collect()
}

fn nothing_to_work(text: &str, blocks: &[Block]) -> Problem {
    let span = Span::new(0, blocks.first().map_or(text.len().min(1), |b| b.span.end));
    let message = if text.trim_matches(|c: char| c.is_whitespace() || c == '\u{feff}').is_empty() {
        "the file is empty"
    } else {
        "there is no row, round or chain to work in this text"
    };
    Problem::new(Code::Empty, span, message)
        .with_hint("a pattern begins with a title and a line such as \"Ch 14.\" or \"Rnd 1: 6 sc in magic ring.\"")
}

fn clean_title(words: &str) -> String {
    words.trim_start_matches('\u{feff}').trim().trim_matches(['#', '*', ' ']).trim_end_matches(':').to_owned()
}

/// A lone "Fasten off" or "Turn" belongs to the row before it; anything else is a row of its own.
pub(super) fn add_row(part: &mut Part, row: Row) {
    let only_ends = !row.steps.is_empty()
        && row.heading.kind == RowKind::Loose
        && row.heading.published.is_empty()
        && row.steps.iter().all(|s| matches!(s.act, Act::FastenOff { .. } | Act::Turn | Act::DoNotTurn));
    let mut row = row;
    if let Some(yarns) = part.rows.pop_if(|last| takes_yarn_only(last)) {
        // "Using green yarn, rnd 1: …": the yarn is the row's
        row.steps.splice(..0, yarns.steps);
    }
    if let Some(tied) = part.rows.pop_if(|last| ties_on_ahead(last)) {
        let works = row.steps.iter().any(|s| s.act.works());
        let headless = row.heading.kind == RowKind::Loose && row.heading.published.is_empty() && works;
        if matches!(row.heading.rows, Rows::Unnumbered) && !headless {
            part.rows.push(tied);
        } else {
            row.read &= tied.read;
            row.steps.splice(..0, tied.steps);
        }
    }
    match part.rows.last_mut() {
        Some(last) if only_ends => {
            last.steps.extend(row.steps);
            last.notes.extend(row.notes);
        }
        _ => part.rows.push(row),
    }
}

/// True where a line without a heading takes up a yarn and does no more.
fn takes_yarn_only(row: &Row) -> bool {
    row.heading.published.is_empty()
        && row.stated.is_empty()
        && row.read
        && !row.steps.is_empty()
        && row.steps.iter().all(|s| matches!(s.act, Act::With { .. }))
}

/// "Skip next 14 sts of last rnd, join yarn in next st." on a line of its own above a row, which begins there.
fn ties_on_ahead(row: &Row) -> bool {
    row.heading.published.is_empty() && row.stated.is_empty() && goes_to_where_it_is_tied_on(&row.steps)
}

/// A line that is not blank, and what can be said of it alone.
struct Read {
    span: Span,
    toks: Vec<Token>,
    after_blank: bool,
    heading: bool,
    /// "With A, ch 10."
    foundation: bool,
    /// Sizes it is for; all where empty.
    active: Vec<usize>,
}

/// The lines of the text that the size in hand works, labels of sizes taken off.
fn lines(text: &str, house: &House) -> Vec<Read> {
    let mut found = Vec::new();
    let mut offset = 0;
    let mut after_blank = true;
    let mut branch = Branch::default();
    let mut later = Later::default();
    let mut listed = false;
    for line in text.split_inclusive('\n') {
        let span = trimmed(line, offset);
        offset += line.len();
        if span.is_empty() || is_rule(&text[span.start..span.end]) {
            after_blank = true;
            continue;
        }
        let mut span = span;
        let mut toks = house.words.tokens(&text[span.start..span.end], span.start);
        let marks = super::bullets::bullet(&toks, text);
        let work = |toks: &[Token]| is_heading(toks, text, house) || begins_chain(toks, house);
        // a list of rows goes on with lines that are none
        listed = marks > 0 && marks < toks.len() && (listed && !after_blank || work(&toks[marks..]));
        if listed {
            toks.drain(..marks);
            span.start = toks[0].span.start;
        }
        if let Some(label) = label(&toks, &house.sizes) {
            let alone = label.end >= toks.len();
            branch.begin(&label, &house.sizes, alone, later.all_sizes(text, offset, &house.sizes));
            after_blank = true;
            toks.drain(..label.end);
            let Some(first) = toks.first().filter(|_| !branch.leads_on(&toks, &text[offset..], &house.sizes)) else {
                continue;
            };
            span.start = first.span.start;
        } else if after_blank || is_heading(&toks, text, house) {
            branch.next_row();
            if after_blank && part_heading(&text[span.start..span.end], &toks, Around::ALONE).is_some() {
                branch.next_part();
            }
        }
        if !branch.holds(&house.sizes) || branch.left_out(&toks) {
            after_blank = true;
            continue;
        }
        let active = branch.active();
        let mut sizes = house.sizes.clone();
        sizes.active.clone_from(&active);
        let toks = resolve(toks, &sizes).tokens;
        let mut starts = cuts(&toks, text, house);
        if named_heading(&toks, text, house).is_some() {
            // "Strap: Ch 6. 1st row: …": the row behind the chain is a line of its own
            let chain = named_heading(&toks, text, house)
                .filter(|&k| begins_chain(&toks[k..], house) || skips_to_join(&toks[k..]));
            starts.retain(|&k| k == 0 || chain.is_some_and(|chain| k > chain));
        }
        for (k, &from) in starts.iter().enumerate() {
            let end = starts.get(k + 1).copied().unwrap_or(toks.len());
            let Some(piece) = toks.get(from..end).filter(|p| !p.is_empty()) else { continue };
            let last = if end == toks.len() { span.end } else { piece[piece.len() - 1].span.end };
            let span = Span::new(if from == 0 { span.start } else { piece[0].span.start }, last);
            let heading = is_heading(piece, text, house);
            let before_heading = end < toks.len() && takes_yarn(piece);
            let foundation =
                !heading && (before_heading || begins_chain(piece, house) || is_garbled_chain(piece, house));
            found.push(Read { span, toks: piece.to_vec(), after_blank, heading, foundation, active: active.clone() });
            after_blank = false;
        }
    }
    found
}

/// Cuts the text into logical lines.
fn blocks(text: &str, house: &House) -> Vec<Block> {
    let mut lines = lines(text, house);
    let mut found: Vec<Block> = Vec::new();
    let mut section = false;
    // what was said behind a yarn that has been cut worked nothing
    let mut trailing = false;
    let mut rows_above = false;
    for i in 0..lines.len() {
        let above = i.checked_sub(1).map_or("", |k| &text[lines[k].span.start..lines[k].span.end]);
        let ended = lines[i].after_blank || above.ends_with(['.', ':', ')', ']', '!', '*', ';']);
        // "INSTRUCTIONS", "Body" above it: a line of its own, whatever mark it lacks
        let titled = !ended && i > 0 && {
            let toks = &lines[i - 1].toks;
            lines[i - 1].after_blank && (is_section(above, toks) || part_heading(above, toks, Around::ALONE).is_some())
        };
        if !(ended || titled) {
            // "... (1 sc. Ch" and then "6. 1 sc)": a line wrapped before a number, or before a chain, begins nothing
            // a short line between, "stuff", lacks its stop as those around it do
            let short =
                (1..=2).take_while(|k| lines.get(i.wrapping_sub(*k)).is_some_and(|l| l.toks.len() <= SHORT)).count();
            let before = i.saturating_sub(short + 1)..i;
            let follows = lines[before].iter().any(|l| follows_in_list(&l.toks, &lines[i].toks))
                || lines.get(i + 1).is_some_and(|next| follows_in_list(&lines[i].toks, &next.toks));
            lines[i].heading &= follows || !begins_with_number(&lines[i].toks);
            // "Hook: 4 mm", "Ch 20.", "Row 1: …": right before the first row a chain is the foundation all the same
            let first = lines.get(i + 1).is_some_and(|n| n.heading) && !lines[..i].iter().any(|l| l.heading);
            let own = text[lines[i].span.start..].starts_with(char::is_uppercase);
            lines[i].foundation &= first && own && i > 0;
        }
    }
    for (i, line) in lines.iter().enumerate() {
        let words = &text[line.span.start..line.span.end];
        let in_work = found.last().is_some_and(|b| matches!(b.what, What::Row | What::Work)) && !line.after_blank;
        let next = lines.get(i + 1);
        let takes_yarn = |n: &Read| leads_into_heading(&text[n.span.start..n.span.end], lines.get(i + 2));
        let before_work =
            next.is_some_and(|n| n.heading || n.foundation || begins_work(&n.toks, text, house) || takes_yarn(n));
        let above = i.checked_sub(1).map_or("", |k| &text[lines[k].span.start..lines[k].span.end]);
        let ended = line.after_blank || above.ends_with(['.', ':', ')', ']', '!', '*']);
        // "Wave Stitch", "Multiple of 4 + 1.", "Row 1: …"
        let multiple =
            |n: &Read| matches!(&n.toks[0].kind, Kind::Word(w) if matches!(w.as_str(), "multiple" | "worked"));
        let before_work =
            before_work || next.is_some_and(multiple) && lines.get(i + 2).is_some_and(|behind| behind.heading);
        let before_first =
            next.is_some_and(|n| n.heading && matches!(n.toks.get(1).map(|t| &t.kind), Some(Kind::Number(1))));
        let around = Around { ended, after_blank: line.after_blank, before_work, before_first };
        let over = in_work && i > 0 && (is_over(&lines[i - 1].toks) || trailing);
        trailing = false;
        // a chain right before row 1 is a foundation, whatever stands above it
        let later = |n: &Read| {
            n.heading
                && match (&n.toks[0].kind, n.toks.get(1).map(|t| &t.kind)) {
                    (Kind::Ordinal(n), _) | (_, Some(Kind::Number(n))) => *n > 1,
                    _ => false,
                }
        };
        // "… Cluster made." and then "Ch 1. Cluster in last sp." above row 3: the rest of row 2, wrapped
        let wrapped = in_work && line.toks.len() > LONGEST_CHAIN && next.is_some_and(later);
        let foundation = line.foundation && !wrapped && (line.after_blank || next.is_some_and(|n| n.heading));
        let worked = found.last().is_some_and(|b| matches!(b.what, What::Row | What::Work));
        let labelled = || if worked && !section { labelled_round(&line.toks, text, house) } else { None };
        if let Some(at) = named_heading(&line.toks, text, house).or_else(labelled)
            && (!section
                || line.after_blank
                || next.is_some_and(|n| n.heading)
                || names_copies(&line.toks[..at])
                || is_heading(&line.toks[at..], text, house))
        {
            // "BODY: Row 1: …": a part's name and its first row on one line
            let name = text[line.span.start..line.toks[at - 1].span.start].trim();
            let (name, copies) =
                part_heading(name, &line.toks[..at - 1], Around::ALONE).unwrap_or_else(|| (name.to_owned(), 1));
            let span = Span::new(line.span.start, line.toks[at].span.start);
            let what = if leads_to_row(&line.toks[..at]) { What::Prose } else { What::Part(name, copies) };
            found.push(Block { span, what, active: Vec::new() });
            let what = if is_heading(&line.toks[at..], text, house) { What::Row } else { What::Work };
            section = false;
            rows_above |= matches!(what, What::Row);
            let span = Span::new(line.toks[at].span.start, line.span.end);
            found.push(Block { span, what, active: line.active.clone() });
            continue;
        }
        let what = if found.is_empty() && !line.heading {
            What::Title
        } else if line.heading {
            section = false;
            What::Row
        } else if let Some((name, copies)) = part_heading(words, &line.toks, around) {
            section = false;
            What::Part(name, copies)
        } else if foundation {
            section = false;
            What::Work
        } else if is_section(words, &line.toks) {
            section = true;
            What::Prose
        } else if is_listed_prose(&line.toks, house)
            || !rows_above && super::colour_plan::is_stripe(&line.toks)
            || super::as_follows::is_lead(&line.toks)
            || leads_into_heading(words, next)
        {
            What::Prose
        } else if in_work
            && (begins_again(&line.toks, text, house)
                || repeats_rows_above(&line.toks, found.last().map_or("", |b| &text[b.span.start..b.span.end]))
                || takes_yarn_for_rows(&line.toks)
                || i > 0 && begins_until(&lines[i - 1], line, text)
                || i > 0 && is_counted(&lines[i - 1].toks) && goes_on(&line.toks, text, house))
            || over && begins_work(&line.toks, text, house) && goes_on_or_ties_on(&line.toks, text, house)
        {
            What::Work
        } else if over && stands_alone(&line.toks, text, house) {
            if tells_work(&line.toks, house) { What::Work } else { What::Prose }
        } else if in_work || !line.after_blank && continues_definition(found.last(), words, text) {
            if let Some(last) = found.last_mut() {
                last.span.end = line.span.end;
            }
            trailing = over;
            continue;
        } else if section && !line.after_blank
            || !(begins_work(&line.toks, text, house)
                || takes_yarn_for_rows(&line.toks)
                || rows_above && works_whole(&line.toks, text, house))
        {
            What::Prose
        } else {
            section = false;
            What::Work
        };
        rows_above |= matches!(what, What::Row);
        found.push(Block { span: line.span, what, active: line.active.clone() });
    }
    found
}

/// Tokens of a remark between two rows of a list, at the most.
const SHORT: usize = 8;

/// "With peach yarn," on a line of its own above a row.
fn leads_into_heading(words: &str, next: Option<&Read>) -> bool {
    let lower = words.to_lowercase();
    words.ends_with(',')
        && (lower.starts_with("with ") || lower.starts_with("using "))
        && next.is_some_and(|n| n.heading)
}

/// True where a line goes on with the definition of a special stitch that the line before began.
fn continues_definition(last: Option<&Block>, words: &str, text: &str) -> bool {
    let Some(Block { span, what: What::Prose, .. }) = last else { return false };
    let before = &text[span.start..text.floor_char_boundary(span.end.min(span.start + LONGEST_OPENING))];
    let bullet = words.starts_with(['•', '-', '*']);
    // "Written in US terms." tells of the whole pattern
    let terms = words.trim_end_matches('.').to_lowercase().ends_with(" terms");
    !bullet && !terms && definition::begins_definition(before) && !definition::begins_definition(words)
}

/// Tokens of a foundation chain that stands alone on its line: "With A, ch 12."
const LONGEST_CHAIN: usize = 6;

/// Bytes within which a line shows that it defines a stitch.
const LONGEST_OPENING: usize = 400;

/// "Sc in each st around until piece measures 8 in." behind a row that has come to its end: a row of its own.
fn begins_until(before: &Read, line: &Read, text: &str) -> bool {
    let ended = before.toks.last().is_some_and(|t| matches!(t.kind, Kind::Stop | Kind::Close(_)));
    let capital = begins_with_capital(&line.toks, text);
    let until = line.toks.iter().position(|t| matches!(&t.kind, Kind::Word(w) if w == "until"));
    let measures = |t: &Token| matches!(&t.kind, Kind::Word(w) if matches!(w.as_str(), "measures" | "is" | "desired"));
    ended && capital && until.is_some_and(|k| line.toks[k..].iter().take(12).any(measures))
}

pub(super) fn trimmed(line: &str, offset: usize) -> Span {
    let left = line.len() - line.trim_start_matches(|c: char| c.is_whitespace() || c == '\u{feff}').len();
    let inner = line.trim_matches(|c: char| c.is_whitespace() || c == '\u{feff}');
    Span::new(offset + left, offset + left + inner.len())
}

/// Reads one row line.
pub(super) fn read_row(text: &str, span: Span, headed: bool, house: &mut House, problems: &mut Vec<Problem>) -> Row {
    let resolved = resolve(house.words.tokens(&text[span.start..span.end], span.start), &house.sizes);
    problems.extend(resolved.problems);
    house.told.extend(resolved.told);
    let mut toks = super::glued::parted(super::bullets::without_bullets(resolved.tokens, text));
    let mut c = Cursor::new(&toks, house);
    let head = if headed { heading(&mut c, text).unwrap_or_default() } else { Heading::default() };
    // where a piece begins, what another was worked in says nothing of it
    let begins = matches!(&head.rows, Rows::Numbered(rows) if rows.first() == Some(&1));
    let body_start = c.at;
    super::short_rows::spelled(&mut toks, body_start);
    let usual = usual_stitch(&toks, house).or(house.usual.filter(|_| !begins));
    let called = if headed { super::row_names::of_heading(text, &toks[..body_start], house) } else { None };
    house.usual = usual;
    house.first_row = begins;
    house.rows = match &head.rows {
        Rows::Numbered(numbers) => numbers.len(),
        Rows::Next(n) => *n as usize,
        Rows::Unnumbered | Rows::Alternate { .. } => 1,
    };
    if matches!(head.rows, Rows::Numbered(_)) {
        house.rows_left = house.rows_left.less(house.rows);
    }
    let mut words = coined::read_words(&toks, body_start, text, house);
    let body = toks.get(body_start).map_or(Span::new(span.end, span.end), |t| Span::new(t.span.start, span.end));
    let mut head = head;
    head.called = called;
    if head.published.to_lowercase().starts_with("mr") {
        // "MRR1: 6 sc": its stitches go into the ring
        for step in &mut words.steps {
            if let Act::Work { each: each @ 1, at, .. } = &mut step.act
                && let Target::Next { n, class: Class::Any } = at
            {
                *each = *n;
                *at = Target::Ring;
            }
        }
        words.steps.insert(0, Step { act: Act::Ring { thread: true }, span: head.span });
    }
    if headed && super::stitch_patterns::only_takes_yarn(&words.steps) && words.stated.is_empty() {
        // "Rows 5 and 6: Using B.": as the rows before them
        let rows = if house.pattern_rows.is_empty() { vec![u32::MAX] } else { house.pattern_rows.clone() };
        if matches!(head.rows, Rows::Numbered(_) | Rows::Next(_)) {
            words.steps.push(Step { act: Act::AsRow { rows }, span: body });
        }
    }
    if head.kind == RowKind::Foundation && words.steps.iter().any(|s| matches!(s.act, Act::Work { .. })) {
        // "Foundation: 40 fsc, turn": a row of stitches, by its name
        head.kind = RowKind::Row;
    }
    if !headed {
        head.kind = loose_kind(&words.steps);
        head.rows = Rows::Unnumbered;
    }
    head.right_side = head.right_side.or_else(|| side_in_words(text, &words.notes, &words.steps));
    problems.extend(words.problems);
    super::end_as::keep(house, &head, &words.steps);
    Row {
        heading: head,
        span,
        body,
        steps: words.steps,
        stated: words.stated,
        stated_each: words.stated_each,
        stated_in_turn: words.stated_in_turn,
        notes: words.notes,
        read: words.read,
        lost: words.lost,
    }
}

/// The stitch a bare "inc" means: the commonest one of the row.
fn usual_stitch(toks: &[Token], house: &House) -> Option<crate::craft::Stem> {
    let mut counts: Vec<(crate::craft::Stem, usize)> = Vec::new();
    let mut c = Cursor::new(toks, house);
    while !c.done() {
        match c.stem() {
            Some(crate::craft::Stem::SlipStitch) => {}
            Some(stem) => match counts.iter_mut().find(|(s, _)| *s == stem) {
                Some((_, n)) => *n += 1,
                None => counts.push((stem, 1)),
            },
            None => c.at += 1,
        }
    }
    // the first of equals: `max_by_key` would take the last
    counts.iter().rev().max_by_key(|(_, n)| *n).map(|&(s, _)| s)
}
