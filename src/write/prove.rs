//! Writing, and the proof of it: what is written is read and worked again.

use super::fold::{alternating, folded};
use super::line::{self, Manner, Writer, numbered};
use super::page::{Block, Entry, Written, entries, title_in};
use super::plain::as_text;
use super::sizes::InSizes;
use super::tongue::Tongue;
use super::{abbreviations, page::Line};
use crate::fabric::{Fabric, RowId, Stitch};
use crate::instructions::{Act, Class, JoinTo, Pattern, Step, Target, Terms, Times};
use crate::reading::{ReadOptions, Rereader, in_other_terms, read};
use crate::source::Span;
use crate::symbol::Language;
use crate::working::{Worked, work};
use std::collections::{BTreeMap, BTreeSet};

/// Times that a pattern is written plainer in single rows before all of them are.
const MOST_TRIES: usize = 80;

/// Writes a pattern out in the terms asked for.
///
/// `options` are those the pattern was read with: words of the house stay words of the house. Rows whose words could
/// not be made to read back are named in [`Written::unproven`].
pub fn write(pattern: &Pattern, worked: &Worked, text: &str, speak: Terms, options: &ReadOptions) -> Written {
    let tongue = Tongue::new(speak);
    let spoken = Pattern { terms: tongue.terms, specials: specials_in(pattern, tongue.terms), ..pattern.clone() };
    let reader = Rereader::of(&spoken, options);
    let writer = Writer { pattern, text, worked, tongue: &tongue, reader: &reader, lists: Vec::new() };
    let mut trial = Trial { lines: BTreeMap::new(), manners: BTreeMap::new(), apart: BTreeSet::new() };
    let again = ReadOptions::default().house_words(options.house_words.clone());
    for tries in 0.. {
        let written = trial.page(&writer);
        let read_again = read(&as_text(&written), &again).0;
        let other = work(&read_again);
        let Some(row) = first_difference(&worked.fabric, &other.fabric) else { return written };
        let stuck = tries >= MOST_TRIES || !trial.plainer(&written, row, pattern.terms.is_old());
        if stuck && (pattern.terms.is_old() || !trial.plainest(pattern)) {
            let label = |row: RowId| worked.tallies.iter().find(|t| t.row == row).map(|t| t.label.clone());
            let unproven = label(row).into_iter().collect();
            return Written { unproven, ..written };
        }
    }
    Written::default()
}

/// Writes a pattern out in another language; none where its patterns are not written in abbreviations.
///
/// The rows are those of the English form, which is proven; what has no settled words there stays in the pattern's own,
/// and is marked.
pub fn write_in(
    pattern: &Pattern,
    worked: &Worked,
    text: &str,
    language: Language,
    options: &ReadOptions,
) -> Option<Written> {
    if !super::abroad::is_written_in(language) {
        return None;
    }
    let english = write(pattern, worked, text, pattern.terms, options);
    let tongue = Tongue::new(pattern.terms);
    let reader = Rereader::of(pattern, options);
    let writer = Writer { pattern, text, worked, tongue: &tongue, reader: &reader, lists: Vec::new() };
    super::abroad::turned(english, &InSizes { writers: &[writer], key: &|_, key| Some(key) }, language)
}

/// The blocks as one page, rows that say the same folded, with the abbreviations used.
pub(super) fn page_of(blocks: Vec<Block>, writer: &Writer<'_>, apart: &BTreeSet<(usize, usize)>) -> Written {
    let blocks = folded(blocks, apart, &|line| numbered(line.word, &line.numbers));
    let blocks = alternating(blocks, apart, &line::again);
    let abbreviations = abbreviations::used(&blocks, writer.pattern, writer.tongue);
    Written {
        title: title_in(&writer.pattern.title, writer.tongue.terms),
        terms: writer.tongue.terms,
        blocks,
        abbreviations,
        unproven: Vec::new(),
        list_heading: "Abbreviations".into(),
        language: None,
        apart: apart.clone(),
    }
}

/// How every row is said in one trial.
struct Trial {
    /// Rows said so far, by the manner they were said in.
    lines: BTreeMap<(usize, usize, Manner), Line>,
    manners: BTreeMap<(usize, usize), Manner>,
    /// Rows that are not folded with others.
    apart: BTreeSet<(usize, usize)>,
}

impl Trial {
    fn page(&mut self, writer: &Writer<'_>) -> Written {
        let mut blocks = Vec::new();
        for entry in entries(writer.pattern, writer.text, writer.tongue.terms, false) {
            blocks.push(match entry {
                Entry::Block(block) => block,
                Entry::Row { part, row } => {
                    let manner = self.manners.get(&(part, row)).copied().unwrap_or_default();
                    let line = self.lines.entry((part, row, manner));
                    Block::Row(Box::new(line.or_insert_with(|| writer.line((part, row), manner)).clone()))
                }
            });
        }
        page_of(blocks, writer, &self.apart)
    }

    /// Says the line of a row plainer; false where it cannot be.
    fn plainer(&mut self, written: &Written, row: RowId, old: bool) -> bool {
        let mut lines = written.blocks.iter().filter_map(|b| match b {
            Block::Row(line) => Some(line),
            _ => None,
        });
        let Some(line) = lines.rfind(|l| l.rows.first().is_some_and(|&first| first <= row)) else {
            return false;
        };
        if line.from.len() > 1 {
            self.apart.extend(&line.from);
            return true;
        }
        line.from.iter().fold(false, |any, key| {
            let manner = self.manners.entry(*key).or_default();
            // words of old books cannot be turned into those of today
            let next = manner.plainer().filter(|m| !(old && *m == Manner::OwnWords));
            *manner = next.unwrap_or(*manner);
            any | next.is_some()
        })
    }

    /// Says every line in the pattern's own words; false where that is so already.
    fn plainest(&mut self, pattern: &Pattern) -> bool {
        let keys = pattern.parts.iter().enumerate().flat_map(|(p, part)| (0..part.rows.len()).map(move |r| (p, r)));
        let mut any = false;
        for key in keys {
            any |= self.manners.insert(key, Manner::OwnWords) != Some(Manner::OwnWords);
            self.apart.insert(key);
        }
        any
    }
}

/// The special stitches with names in the terms spoken.
pub(super) fn specials_in(pattern: &Pattern, terms: Terms) -> Vec<crate::instructions::Special> {
    let mut specials = pattern.specials.clone();
    for special in &mut specials {
        special.names.iter_mut().for_each(|n| *n = in_other_terms(n, pattern.terms, terms));
    }
    specials
}

/// The first row in which two fabrics differ, places in the text and passes of repeats aside.
pub(super) fn first_difference(a: &Fabric, b: &Fabric) -> Option<RowId> {
    if same_work(a, b) {
        return None;
    }
    let bare = |s: &Stitch| Stitch { span: Span::default(), pass: Vec::new(), ..s.clone() };
    let stitch = a.stitches.iter().zip(&b.stitches).find(|(x, y)| bare(x) != bare(y)).map(|(x, _)| x.row);
    let longer = if a.stitches.len() < b.stitches.len() { a.stitches.last() } else { a.stitches.get(b.stitches.len()) };
    let row = a.rows.iter().zip(&b.rows).find(|(x, y)| x != y).map(|(x, _)| x.index);
    let event = a.events.iter().zip(&b.events).find(|(x, y)| x != y).and_then(|(x, _)| x.after);
    let event = event.map(|id| a.stitch(id).row);
    let ends = || a.rows.last().map(|r| r.index);
    [stitch, row, event].into_iter().flatten().min().or(longer.map(|s| s.row)).or_else(ends).or(Some(RowId::new(0)))
}

/// True where two fabrics are the same stitch for stitch: spans in the text and passes of repeats aside, which are the
/// words' and not the work's.
pub fn same_work(a: &Fabric, b: &Fabric) -> bool {
    let bare = |f: &Fabric| {
        let mut f = f.clone();
        // a title that says "UK terms" says so of the words
        f.title = title_in(&f.title, Terms::Us);
        f.parts.iter_mut().for_each(|p| p.name = title_in(&p.name, Terms::Us));
        for stitch in &mut f.stitches {
            (stitch.span, stitch.pass) = (Span::default(), Vec::new());
        }
        f
    };
    bare(a) == bare(b)
}

/// True where two runs of steps ask for the same, whatever their words.
pub(super) fn same_steps(a: &[Step], b: &[Step]) -> bool {
    plain(a, false) == plain(b, false)
}

/// Steps without places in the text, in the one form that says what they say.
fn plain(steps: &[Step], in_group: bool) -> Vec<Act> {
    steps
        .iter()
        .map(|step| match step.act.clone() {
            Act::Repeat { steps, times, stop } => {
                let times = match times {
                    Times::More(n) => Times::InAll(n.saturating_add(1)),
                    Times::UpTo { stop } => Times::UpTo { stop: Box::new(one_name(*stop)) },
                    other => other,
                };
                Act::Repeat { steps: bare(&steps, in_group), times, stop }
            }
            Act::Group { steps, at, name } => Act::Group { steps: bare(&steps, true), at: one_name(at), name },
            Act::Work { each, form, at: Target::Next { n, class: Class::Any | Class::Stitch } } if in_group => {
                Act::Work { each: each * n, form, at: Target::NEXT }
            }
            Act::Work { each, form, at } => Act::Work { each, form, at: one_name(at) },
            Act::Skip { n, class: Class::Any } => Act::Skip { n, class: Class::Stitch },
            Act::Join { to: JoinTo::Untold, with } => Act::Join { to: JoinTo::First, with },
            Act::RowsUntil { rows, mut until, own } => {
                if let Some(measure) = &mut until.measure {
                    measure.span = Span::default();
                }
                Act::RowsUntil { rows, until, own }
            }
            other => other,
        })
        .collect()
}

fn bare(steps: &[Step], in_group: bool) -> Vec<Step> {
    plain(steps, in_group).into_iter().map(|act| Step { act, span: Span::default() }).collect()
}

/// "Next" and "next st" are the same place.
fn one_name(at: Target) -> Target {
    let class = |class: Class| if class == Class::Any { Class::Stitch } else { class };
    match at {
        Target::Next { n, class: c } => Target::Next { n, class: class(c) },
        Target::Last { n, class: c } => Target::Last { n, class: class(c) },
        Target::First { class: c } => Target::First { class: class(c) },
        Target::Each { class: c, less, every } => Target::Each { class: class(c), less, every },
        other => other,
    }
}
