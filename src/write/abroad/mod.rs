//! A written pattern in another language: the same rows, told in the abbreviations that the trade has there.
//!
//! What is told is what the English form tells, whose words have been read and worked again: the same steps, the same
//! folds. A phrase that the table (`table`) has no words for, and prose, stay in the pattern's own words and are marked
//! as such.

mod places;
mod prose;
mod says;
mod table;

use super::line::{Manner, Writer, leads};
use super::page::{Block, Line, Piece, Written};
use super::sizes::{InSizes, merged};
use super::{Abbreviation, fold};
use crate::craft::StitchForm;
use crate::instructions::{Act, CountOf, Row, Rows, Stated, Step, Terms};
use crate::source::Span;
use crate::symbol::{Language, Speak, SymbolSet, name_of};
use crate::working::Tally;
use says::Says;
use std::collections::{BTreeMap, BTreeSet};
use table::Words;

/// True where rows are written in abbreviations in a language.
pub fn is_written_in(language: Language) -> bool {
    Words::of(language).is_some()
}

/// Turns a written pattern into a language; none where its patterns have no settled abbreviations.
pub(super) fn turned(english: Written, sizes: &InSizes<'_>, language: Language) -> Option<Written> {
    let words = Words::of(language)?;
    let symbols = SymbolSet::house();
    let all: Vec<Abroad<'_>> =
        sizes.writers.iter().map(|writer| Abroad { writer, words, language, symbols: &symbols }).collect();
    let abroad = all.first()?;
    let mut blocks = Vec::new();
    let mut used = BTreeSet::new();
    abroad.opening(&mut blocks);
    for block in &english.blocks {
        match block {
            Block::Row(line) => {
                let lines = line.from.iter().flat_map(|&key| in_sizes(&all, sizes, line, key, &mut used));
                blocks.extend(lines.map(|line| Block::Row(Box::new(line))));
            }
            Block::Part { name, copies } if *copies > 1 => {
                let n = copies.to_string();
                let name = crate::symbol::filled("make copies", Speak::In(language), &[("name", name), ("n", &n)]);
                blocks.push(Block::Part { name, copies: 1 });
            }
            Block::Part { .. } | Block::Abbreviations => blocks.push(block.clone()),
            Block::Section(name) => blocks.push(Block::Section(abroad.section(name))),
            Block::Prose { words, begins, span } => {
                let told = abroad.prose(words, *span);
                blocks.extend(told.map(|words| Block::Prose { words, begins: *begins, span: *span }));
            }
        }
    }
    let abbreviations = abroad.list(&used);
    let numbered = |line: &Line| {
        let told = abroad.says(false).numbered(line.word == "Rnd", &line.numbers);
        format!("{}{}", super::line::upper_first(&told), abroad.gap())
    };
    let blocks = fold::folded(blocks, &english.apart, &numbered);
    let again = |line: &mut Line, rows: &[u32]| {
        let says = abroad.says(line.word == "Rnd");
        line.heading =
            format!("{}{}", super::line::upper_first(&says.numbered(says.round, &line.numbers)), abroad.gap());
        let words = says.again(rows).unwrap_or_default();
        line.pieces.iter_mut().for_each(|p| p.words = format!("{}.", super::line::upper_first(&words)));
    };
    let blocks = fold::alternating(blocks, &english.apart, &again);
    let list_heading = words.say("abbreviations", &[]);
    Some(Written { blocks, abbreviations, list_heading, language: Some(language), terms: Terms::Us, ..english })
}

/// A row of the page in all sizes that work it: one line, or one for each where they differ in more than numbers.
fn in_sizes(
    all: &[Abroad<'_>],
    sizes: &InSizes<'_>,
    english: &Line,
    key: (usize, usize),
    used: &mut BTreeSet<StitchForm>,
) -> Vec<Line> {
    let own = |(k, abroad): (usize, &Abroad<'_>)| {
        let line = abroad.line(english, (sizes.key)(k, key)?, used);
        Some((k, Line { from: vec![key], ..line }))
    };
    let told: Vec<(usize, Line)> = all.iter().enumerate().filter_map(own).collect();
    let whole = merged(&told.iter().map(|(_, line)| line).collect::<Vec<_>>());
    let labelled = |of: &[usize], line: Line| {
        if of.len() == all.len() {
            return line;
        }
        let names: Vec<&str> = of.iter().filter_map(|&k| Some(all[0].writer.pattern.sizes.get(k)?.as_str())).collect();
        let label = all[0].words.say("only for size", &[("w", &names.join(", "))]);
        let heading =
            if line.heading.is_empty() { label } else { format!("{label}{}: {}", all[0].gap(), line.heading) };
        Line { heading, ..line }
    };
    match whole {
        Some(line) => vec![labelled(&told.iter().map(|(k, _)| *k).collect::<Vec<_>>(), line)],
        None => told.into_iter().map(|(k, line)| labelled(&[k], line)).collect(),
    }
}

struct Abroad<'a> {
    writer: &'a Writer<'a>,
    words: Words,
    language: Language,
    symbols: &'a SymbolSet,
}

impl Abroad<'_> {
    fn says(&self, round: bool) -> Says<'_> {
        Says {
            words: self.words,
            language: self.language,
            symbols: self.symbols,
            text: self.writer.text,
            ring_to_come: false,
            round,
        }
    }

    /// A row of the pattern; `english` is the line it stands in.
    fn line(&self, english: &Line, (p, at): (usize, usize), used: &mut BTreeSet<StitchForm>) -> Line {
        let part = &self.writer.pattern.parts[p];
        let row = &part.rows[at];
        let tallies: Vec<&Tally> = self.writer.worked.tallies.iter().filter(|t| t.span == row.span).collect();
        let label = tallies.first().map_or("", |t| t.label.as_str());
        let mut says = self.says(english.word == "Rnd" || label.starts_with("Round "));
        let mut line = Line {
            heading: self.heading(&says, row, english.word),
            rows: tallies.iter().map(|t| t.row).collect(),
            span: row.span,
            word: english.word,
            from: vec![(p, at)],
            ..Line::default()
        };
        if let Rows::Numbered(numbers) = &row.heading.rows {
            line.numbers.clone_from(numbers);
        }
        let own = english.manner == Manner::OwnWords || !row.read;
        if own {
            line.pieces = vec![Piece { words: says.own(row.body), spans: vec![row.body] }];
            return line;
        }
        let mut alike = BTreeMap::new();
        // notes that tell which chains count stay in English: the rows tell it themselves
        let counting = tallies.first().is_some_and(|t| t.turning_counts == Some(true));
        let manner = if counting && english.manner < Manner::TurningTold { Manner::Full } else { english.manner };
        let mut steps = self.writer.steps(row, &tallies, manner, &mut alike);
        if counting {
            super::line::tell_turning(&mut steps, tallies.first().copied());
            self.tell_what_counts(&mut steps);
        }
        gather(&steps, used);
        says.ring_to_come = self.writer.ring_to_come(at, &steps);
        let remarks = self.writer.remarks(row);
        let worked = steps.iter().rposition(|s| !matches!(s.act, Act::FastenOff { .. })).map_or(0, |k| k + 1);
        let cut = if worked == 0 { steps.len() } else { worked };
        let behind = steps.get(cut).map_or(usize::MAX, |s| s.span.start);
        let (here, after): (Vec<_>, Vec<_>) = remarks.into_iter().partition(|(s, _)| s.start < behind);
        line.pieces = sentences(&says, &steps[..cut], &here);
        line.ending = sentences(&says, &steps[cut..], &after);
        line.count = self.count(&says, row, &tallies, english);
        if let Some(CountOf::Kind(_)) = row.stated.first().map(|s| &s.of) {
            used.extend(row.stated.iter().filter_map(|s| match &s.of {
                CountOf::Kind(kind) => kind.parse::<StitchForm>().ok(),
                _ => None,
            }));
        }
        for piece in line.pieces.iter_mut().chain(&mut line.ending) {
            let more: Vec<Span> =
                piece.spans.iter().flat_map(|s| alike.get(s).into_iter().flatten()).copied().collect();
            piece.spans.extend(more);
        }
        line
    }

    /// Says of a starting chain what it counts as, where a note of the pattern tells it.
    fn tell_what_counts(&self, steps: &mut [Step]) {
        let Some(at) = steps.iter().position(|s| matches!(s.act, Act::Counts { stem: None, counts: true, .. })) else {
            return;
        };
        let n = match steps[at.saturating_sub(1)].act {
            Act::Chain { n } => n,
            _ => return,
        };
        let told = self.writer.pattern.conventions.iter().find(|c| c.counts && c.chains.is_none_or(|k| k == n));
        if let (Some(stem), Act::Counts { stem: untold, .. }) = (told.and_then(|c| c.stem), &mut steps[at].act) {
            *untold = Some(stem);
        }
    }

    fn heading(&self, says: &Says<'_>, row: &Row, word: &str) -> String {
        let round = says.round;
        let noun = says.row_noun(round);
        let told = match &row.heading.rows {
            Rows::Numbered(numbers) if !word.is_empty() => says.numbered(round, numbers),
            Rows::Next(1) if !word.is_empty() => self.words.say_of("next row", noun.gender, &[("row", &noun.one)]),
            Rows::Next(n) if !word.is_empty() => {
                self.words.say_of("next n rows", noun.gender, &[("row", &noun.many), ("n", &n.to_string())])
            }
            _ if row.heading.published.is_empty() => return String::new(),
            _ if border_number(&row.heading.published).is_some() => {
                let (round, n) = border_number(&row.heading.published).unwrap_or_default();
                let border = crate::symbol::word("border", Speak::In(self.language));
                let row = says.numbered(round, &[n]);
                self.words.say("border row", &[("border", &border), ("row", &row)])
            }
            _ => says.marked(&row.heading.published.split_whitespace().collect::<Vec<_>>().join(" ")),
        };
        let side = match row.heading.right_side {
            Some(true) => format!(" ({})", self.words.say("right side", &[])),
            Some(false) => format!(" ({})", self.words.say("wrong side", &[])),
            None => String::new(),
        };
        format!("{}{side}{}", super::line::upper_first(&told), self.gap())
    }

    /// What stands before a colon: French sets a space there.
    fn gap(&self) -> &'static str {
        if self.language.code() == "fr" { "\u{a0}" } else { "" }
    }

    /// The counts that an English line would tell.
    fn count(&self, says: &Says<'_>, row: &Row, tallies: &[&Tally], english: &Line) -> String {
        if self.writer.count(row, tallies, english.manner, english.word).is_empty() {
            return String::new();
        }
        let told = match row.stated.as_slice() {
            [] => self.writer.made(row),
            stated => stated.to_vec(),
        };
        let told: Vec<String> = told.iter().map(|s| self.stated(says, s)).collect();
        let told = told.join(", ");
        let told = if row.stated_each { self.words.say("each time", &[("n", &told)]) } else { told };
        format!("({told})")
    }

    fn stated(&self, says: &Says<'_>, stated: &Stated) -> String {
        use crate::instructions::Class;
        let class = match &stated.of {
            CountOf::Sts => Class::Stitch,
            CountOf::Kind(kind) => Class::Kind(kind.clone()),
            CountOf::Spaces(len) => Class::Space(*len),
            CountOf::Group(name) => return format!("{} {}", stated.count, says.marked(name)),
            CountOf::Runs(n, kind) => Class::Run { n: *n, kind: kind.clone() },
        };
        match says.class(&class) {
            Some(noun) => format!("{} {}", stated.count, noun.of(stated.count)),
            None => stated.count.to_string(),
        }
    }

    /// The abbreviations of the stitches used, in the order of their heights.
    fn list(&self, used: &BTreeSet<StitchForm>) -> Vec<Abbreviation> {
        let mut plain: BTreeSet<StitchForm> = used.iter().map(|f| StitchForm::plain(f.stem)).collect();
        plain.extend(used);
        let speak = Speak::In(self.language);
        let named = plain.into_iter().map(|form| name_of(self.symbols, form, speak));
        let mut found: Vec<Abbreviation> =
            named.map(|n| Abbreviation { short: n.short, long: n.long }).filter(|a| !a.short.is_empty()).collect();
        // "M: Masche": where the word for any stitch is cut short
        let stitch = self.words.noun("stitch", &[]).one;
        let term = self.words.say("stitch term", &[]);
        if stitch != term {
            found.push(Abbreviation { short: stitch, long: term });
        }
        let mut seen = BTreeSet::new();
        found.retain(|a| seen.insert(a.short.clone()));
        found
    }
}

/// The number of `Border row 2`, and whether it is a round.
fn border_number(published: &str) -> Option<(bool, u32)> {
    let lower = published.to_lowercase();
    let (word, n) = lower.strip_prefix("border ")?.split_once(' ')?;
    let round = matches!(word, "rnd" | "round");
    (round || word == "row").then_some((round, n.parse().ok()?))
}

/// Every make of stitch that steps name, chains as chains of one.
fn gather(steps: &[Step], found: &mut BTreeSet<StitchForm>) {
    use crate::craft::{LoopPart, Stem};
    for step in steps {
        match &step.act {
            Act::Work { form, .. } => {
                let mut form = *form;
                form.extra.part = LoopPart::Both;
                found.insert(form);
            }
            Act::Join { with, .. } => {
                found.insert(*with);
            }
            Act::Chain { .. } | Act::Picot { .. } => {
                found.insert(StitchForm::plain(Stem::Chain(1)));
            }
            Act::Ring { thread: false } | Act::Attach { at: Some(_), .. } => {
                found.insert(StitchForm::plain(Stem::SlipStitch));
            }
            Act::Group { steps, .. } | Act::Repeat { steps, .. } => gather(steps, found),
            _ => {}
        }
    }
}

/// The steps as sentences, with the remarks of the row in the pattern's own words where they stand.
fn sentences(says: &Says<'_>, steps: &[Step], remarks: &[(Span, String)]) -> Vec<Piece> {
    let alone = |s: &Step| {
        matches!(
            s.act,
            Act::Join { .. } | Act::DoNotJoin | Act::Turn | Act::DoNotTurn | Act::FastenOff { .. } | Act::Leave { .. }
        )
    };
    let glue = |words: &str| Piece { words: words.to_owned(), spans: Vec::new() };
    let mut found: Vec<Piece> = Vec::new();
    let mut remarks = remarks.iter().peekable();
    let mut at = 0;
    while at < steps.len() {
        let mut end = at + 1;
        while end < steps.len() && !alone(&steps[at]) && !alone(&steps[end]) {
            let next = steps[end].span.start;
            if remarks.peek().is_some_and(|(s, _)| s.start >= steps[at].span.end && s.start < next) {
                break;
            }
            end += 1;
        }
        // "for the stalk, ch 6, ...": stands before what it speaks of
        let mut sentence = Vec::new();
        while let Some((_, words)) = remarks.next_if(|(s, w)| s.start < steps[at].span.start && leads(w)) {
            sentence.push(glue(&format!("{} ", says.marked(words))));
        }
        sentence.extend(says.steps(&steps[at..end], 0));
        let upto = steps.get(end).map_or(usize::MAX, |s| s.span.start);
        let last = end == steps.len();
        while let Some((_, words)) = remarks.next_if(|(s, w)| s.start < upto && (last || !leads(w))) {
            sentence.push(glue(" "));
            sentence.push(glue(&says.marked(words)));
        }
        if let Some(first) = sentence.first_mut() {
            let mark = first.words.trim_start_matches(['*', '[', '(']).len();
            let (before, rest) = first.words.split_at(first.words.len() - mark);
            // a phrase in brackets or after a star is opened by its own first word
            first.words = if before.is_empty() { super::line::upper_first(rest) } else { first.words.clone() };
        }
        sentence.push(glue("."));
        if !found.is_empty() {
            found.push(glue(" "));
        }
        found.extend(sentence);
        at = end;
    }
    found
}
