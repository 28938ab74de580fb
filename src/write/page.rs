//! A written pattern as blocks: what stands on the page, before anything is set as text.

use super::Abbreviation;
use crate::fabric::RowId;
use crate::instructions::{Note, Part, Pattern, Terms};
use crate::reading::{Section, in_other_terms, section_of, tells_terms};
use crate::source::Span;
use crate::symbol::Language;
use std::collections::BTreeSet;

/// A pattern written out.
#[derive(Clone, Debug, Default)]
pub struct Written {
    /// Title; empty where the pattern has none.
    pub title: String,
    /// US or UK, as spoken.
    pub terms: Terms,
    /// Everything below the title, in order.
    pub blocks: Vec<Block>,
    /// The abbreviations used, and no others.
    pub abbreviations: Vec<Abbreviation>,
    /// Labels of rows whose words do not read back to the same stitches; empty for nearly every pattern.
    pub unproven: Vec<String>,
    /// What the list of abbreviations is called.
    pub list_heading: String,
    /// The language it is in, where that is not English.
    pub language: Option<Language>,
    /// Rows of the tree, part and row, that are not told with others.
    pub(super) apart: BTreeSet<(usize, usize)>,
}

impl Written {
    /// The code of its language, as in HTML.
    pub fn language_code(&self) -> &'static str {
        self.language.map_or("en", Language::code)
    }
}

/// One block of the page.
#[derive(Clone, Debug)]
pub enum Block {
    /// The heading of a section: `Materials`.
    Section(String),
    /// A line of prose.
    Prose {
        /// The words, in the terms spoken.
        words: String,
        /// True where a paragraph begins.
        begins: bool,
        /// Its place in the pattern as read; empty where the writer adds it.
        span: Span,
    },
    /// The list of abbreviations stands here.
    Abbreviations,
    /// A part begins.
    Part {
        /// Its name.
        name: String,
        /// How often it is made.
        copies: u32,
    },
    /// A row, or several worked alike.
    Row(Box<Line>),
}

/// Words that stand together and say one thing.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Piece {
    /// The words, marks and all.
    pub words: String,
    /// The words of the pattern as read that ask for the same; none for marks between.
    pub spans: Vec<Span>,
}

/// A row written out.
#[derive(Clone, Debug, Default)]
pub struct Line {
    /// `Row 1 (RS)`, `Rnds 5-8`; empty where the line has none.
    pub heading: String,
    /// The work, in sentences.
    pub pieces: Vec<Piece>,
    /// `(31 sts)`; empty where nothing is stated.
    pub count: String,
    /// How the yarn is ended behind the row, on a line of its own: `Fasten off.`
    pub ending: Vec<Piece>,
    /// The rows of the fabric it tells, in working order.
    pub rows: Vec<RowId>,
    /// The line of the pattern as read; that of the first, where several are told in one.
    pub span: Span,
    /// Words of the row that were not understood and could not be written out.
    pub unread: Option<String>,
    /// Numbers in the heading.
    pub(super) numbers: Vec<u32>,
    /// `Row` or `Rnd`.
    pub(super) word: &'static str,
    /// The rows of the tree it says: part and row.
    pub(super) from: Vec<(usize, usize)>,
    /// How plainly it is said.
    pub(super) manner: super::line::Manner,
}

impl Line {
    /// The work in words, without heading and count.
    pub fn words(&self) -> String {
        self.pieces.iter().map(|p| p.words.as_str()).collect()
    }

    /// The whole line.
    pub fn text(&self) -> String {
        let mut text = if self.heading.is_empty() { String::new() } else { format!("{}: ", self.heading) };
        text.push_str(&self.words());
        if !self.count.is_empty() {
            text.push_str(if text.is_empty() { "" } else { " " });
            text.push_str(&self.count);
        }
        if !self.ending.is_empty() {
            text.push_str(if text.is_empty() { "" } else { "\n" });
            self.ending.iter().for_each(|p| text.push_str(&p.words));
        }
        text
    }
}

/// What stands between two rows of the tree, or before the first.
pub(super) enum Entry {
    Block(Block),
    /// Row `row` of part `part`.
    Row {
        part: usize,
        row: usize,
    },
}

/// The blocks of a pattern, its rows yet to be said; for all sizes at once, or for the one in hand.
pub(super) fn entries(pattern: &Pattern, text: &str, terms: Terms, all_sizes: bool) -> Vec<Entry> {
    let mut found = Vec::new();
    let mut prose =
        Prose { pattern, text, terms, terms_told: false, size_told: all_sizes, listing: false, last_end: 0 };
    let mut notes = pattern.notes.iter().peekable();
    for (p, part) in pattern.parts.iter().enumerate() {
        let first = part.rows.first().map_or(part.span, |r| r.span);
        // the first part of a pattern is called as the pattern is
        let headed = part.span != first && !(p == 0 && part.copies < 2 && part.name == pattern.title);
        let begins = part.span.start.min(first.start);
        while let Some(note) = notes.next_if(|n| n.span.start < begins) {
            found.extend(prose.note(note));
        }
        if p == 0 {
            prose.close_preamble(&mut found);
        }
        if headed {
            let block = match own_heading(part, text) {
                Some(name) => Block::Part { name: in_other_terms(&name, pattern.terms, terms), copies: 1 },
                None => Block::Part { name: part.name.clone(), copies: part.copies },
            };
            found.push(Entry::Block(block));
        }
        let own = part.rows.iter().map(|r| r.span.start).max().unwrap_or(0);
        for (r, row) in part.rows.iter().enumerate() {
            // rows taken over from another part stand elsewhere in the text: they draw no notes along
            while let Some(note) = notes.next_if(|n| n.span.start < row.span.start && row.span.start <= own) {
                found.extend(prose.note(note));
            }
            found.push(Entry::Row { part: p, row: r });
        }
    }
    for note in notes {
        found.extend(prose.note(note));
    }
    if pattern.parts.is_empty() {
        prose.close_preamble(&mut found);
    }
    if pattern.title.is_empty() {
        // a first line that is no row would be the title
        let (before, rest): (Vec<Entry>, Vec<Entry>) =
            found.into_iter().partition(|e| !matches!(e, Entry::Row { .. } | Entry::Block(Block::Part { .. })));
        found = rest;
        found.extend(before);
    }
    found
}

/// The heading of a part as published, where it says more than its name and how often it is made: "Ears (make 2 in white
/// and 2 in patina)".
fn own_heading(part: &Part, text: &str) -> Option<String> {
    let own = text.get(part.span.start..part.span.end)?;
    let own =
        own.trim().trim_matches(['#', '*', ' ']).trim_end_matches(':').split_whitespace().collect::<Vec<_>>().join(" ");
    let rest = own.strip_prefix(part.name.as_str())?;
    let more = rest.split(|c: char| !c.is_alphabetic()).filter(|w| !w.is_empty());
    let more =
        more.filter(|w| !matches!(w.to_lowercase().as_str(), "make" | "of" | "x" | "each" | "copies" | "pieces"));
    // "BEAK - in orange"
    let yarn = rest.trim_start().starts_with(['-', '–', '—', ',']);
    ((part.copies > 1 || yarn) && more.count() > 1 && !own.contains('\n')).then_some(own)
}

/// Opening of the line that says for which of several sizes a pattern is written out.
pub(super) const SIZE_WRITTEN: &str = "The numbers here are those of size ";

/// A title that tells the terms, in the terms spoken.
pub(super) fn title_in(title: &str, terms: Terms) -> String {
    if !tells_terms(title) {
        return title.to_owned();
    }
    let to = if terms == Terms::Uk { ["UK", "British"] } else { ["US", "American"] };
    let word = |w: &str| match w.trim_matches(|c: char| !c.is_alphanumeric()) {
        bare @ ("US" | "UK" | "USA") => w.replacen(bare, to[0], 1),
        bare @ ("British" | "American") => w.replacen(bare, to[1], 1),
        _ => w.to_owned(),
    };
    title.split(' ').map(word).collect::<Vec<_>>().join(" ")
}

struct Prose<'a> {
    pattern: &'a Pattern,
    text: &'a str,
    terms: Terms,
    /// True once a line says which terms these are.
    terms_told: bool,
    /// True once a line says for which size the numbers are.
    size_told: bool,
    /// True inside a list of abbreviations, which is made anew.
    listing: bool,
    last_end: usize,
}

impl Prose<'_> {
    fn note(&mut self, note: &Note) -> Option<Entry> {
        let between = self.text.get(self.last_end..note.span.start).unwrap_or("");
        let begins = between.matches('\n').count() > 1;
        self.last_end = note.span.end;
        let words = note.text.split_whitespace().collect::<Vec<_>>().join(" ");
        let bare = words.trim_matches(['#', '*', ' ']).to_owned();
        let kept = self.pattern.specials.iter().any(|s| note.span.holds(s.span) && !s.span.is_empty())
            || self.pattern.conventions.iter().any(|c| note.span.holds(c.span));
        match section_of(&bare) {
            // "Yarn needle" in a list is no heading
            Section::Heading if !begins && !bare.ends_with(':') && !bare.to_lowercase().ends_with("abbreviations") => {}
            Section::Heading => {
                let name = bare.trim_end_matches(':').to_owned();
                self.listing = name.to_lowercase().ends_with("abbreviations");
                return (!self.listing).then_some(Entry::Block(Block::Section(name)));
            }
            Section::Told if bare.to_lowercase().starts_with("abbreviations") && !kept => return None,
            Section::Told => self.listing = false,
            Section::None if self.listing && begins && !kept => self.listing = false,
            Section::None => {}
        }
        if self.listing && !kept {
            return None;
        }
        self.size_told |= words.starts_with(SIZE_WRITTEN);
        let words = in_other_terms(&words, self.pattern.terms, self.terms);
        let words = self.terms_in(&words);
        Some(Entry::Block(Block::Prose { words, begins, span: note.span }))
    }

    /// "Written in US terms." in the terms spoken.
    fn terms_in(&mut self, words: &str) -> String {
        if !tells_terms(words) {
            return words.to_owned();
        }
        let name = if self.terms == Terms::Uk { "UK" } else { "US" };
        let sentences: Vec<String> = words
            .split_inclusive(". ")
            .map(|sentence| {
                if !tells_terms(sentence) {
                    return sentence.to_owned();
                }
                self.terms_told = true;
                let end = if sentence.ends_with(". ") { ". " } else { "." };
                let lead = sentence
                    .split_once(':')
                    .filter(|(l, _)| section_of(l) == Section::Heading && !l.to_lowercase().starts_with("term"));
                match lead {
                    Some((lead, _)) => format!("{lead}: Written in {name} terms{end}"),
                    None => format!("Written in {name} terms{end}"),
                }
            })
            .collect();
        sentences.concat()
    }

    /// What a written pattern always says before its first row.
    fn close_preamble(&mut self, found: &mut Vec<Entry>) {
        if !self.terms_told {
            let name = if self.terms == Terms::Uk { "UK" } else { "US" };
            let words = format!("Written in {name} terms.");
            found.push(Entry::Block(Block::Prose { words, begins: true, span: Span::default() }));
            self.terms_told = true;
        }
        if let (Some(size), false) = (self.pattern.sizes.get(self.pattern.size), self.size_told) {
            let words = format!("{SIZE_WRITTEN}{size}.");
            found.push(Entry::Block(Block::Prose { words, begins: true, span: Span::default() }));
        }
        found.push(Entry::Block(Block::Abbreviations));
        self.listing = false;
    }
}
