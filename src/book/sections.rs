//! The prose of a pattern, sorted into the sections readers expect.

use crate::face::Pattern;
use crate::reading::{Section, section_of, tells_terms};
use crate::write::{Block, Line, Written};

/// Everything a sheet says, in the order it says it.
#[derive(Clone, Debug, Default)]
pub(super) struct Sections {
    /// What is said before anything else: where it comes from, skill level.
    pub intro: Vec<String>,
    pub materials: Vec<String>,
    pub size: Vec<String>,
    pub yarn: Vec<String>,
    pub gauge: Vec<String>,
    pub notes: Vec<String>,
    pub specials: Vec<String>,
    pub caution: Vec<String>,
    pub version: Vec<String>,
    pub parts: Vec<PartWords>,
    /// Sections behind the rows: heading and lines.
    pub behind: Vec<(String, Vec<String>)>,
}

/// A part in words.
#[derive(Clone, Debug, Default)]
pub(super) struct PartWords {
    /// Its heading; empty for a pattern of one part.
    pub heading: String,
    pub items: Vec<Item>,
}

/// A row, or a line between rows.
#[derive(Clone, Debug)]
pub(super) enum Item {
    Row(Box<Line>),
    Between(String),
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Shelf {
    Intro,
    Materials,
    Size,
    Yarn,
    Gauge,
    Notes,
    Specials,
    Caution,
    Version,
}

/// The section a heading opens, by its words.
fn shelf_of(heading: &str) -> Option<Shelf> {
    let lower = heading.to_lowercase();
    let first = lower.split(|c: char| !c.is_alphabetic()).find(|w| !w.is_empty())?;
    Some(match first {
        "materials" | "material" | "supplies" | "notions" | "you" | "hook" | "hooks" => Shelf::Materials,
        "yarn" | "yarns" => Shelf::Yarn,
        "size" | "sizes" | "finished" | "measurements" => Shelf::Size,
        "gauge" | "tension" => Shelf::Gauge,
        "special" | "stitches" => Shelf::Specials,
        "notes" | "note" | "terms" | "terminology" | "pattern" | "instructions" => Shelf::Notes,
        "caution" | "safety" => Shelf::Caution,
        "version" => Shelf::Version,
        _ => return None,
    })
}

/// True for words about what can be swallowed or wound round a neck.
pub(super) fn is_caution(words: &str) -> bool {
    let lower = words.to_lowercase();
    ["swallow", "chok", "small parts", "strangl", "not a toy", "under 3 years", "under three years"]
        .iter()
        .any(|w| lower.contains(w))
}

/// Sorts the blocks of a written pattern.
pub(super) fn sorted(written: &Written, pattern: &Pattern) -> Sections {
    let mut found = Sections::default();
    let last_row = written.blocks.iter().rposition(|b| matches!(b, Block::Row(_))).unwrap_or(0);
    let first_work = written.blocks.iter().position(|b| matches!(b, Block::Row(_) | Block::Part { .. }));
    let mut shelf = Shelf::Intro;
    for (k, block) in written.blocks.iter().enumerate() {
        let before = first_work.is_none_or(|first| k < first);
        match block {
            Block::Abbreviations => {}
            Block::Section(name) if k > last_row && !before => found.behind.push((name.clone(), Vec::new())),
            Block::Section(name) => shelf = shelf_of(name).unwrap_or(Shelf::Intro),
            Block::Part { name, copies } => {
                let heading = if *copies > 1 { format!("{name} (make {copies})") } else { name.clone() };
                found.parts.push(PartWords { heading, items: Vec::new() });
            }
            Block::Row(line) => {
                if found.parts.is_empty() {
                    found.parts.push(PartWords::default());
                }
                if let Some(part) = found.parts.last_mut() {
                    part.items.push(Item::Row(line.clone()));
                }
            }
            Block::Prose { words, begins, span } => {
                if is_caution(words) {
                    found.caution.push(words.clone());
                } else if k > last_row && !before {
                    found.tail(words);
                } else if !before {
                    if let Some(part) = found.parts.last_mut() {
                        part.items.push(Item::Between(words.clone()));
                    }
                } else {
                    if *begins && shelf != Shelf::Specials {
                        shelf = Shelf::Intro;
                    }
                    let told = section_of(words) == Section::Told;
                    let named = if told { shelf_of(words) } else { None };
                    let is_yarn = pattern.tree().yarns.iter().any(|y| y.span == *span && !span.is_empty());
                    let is_special = pattern.tree().specials.iter().any(|s| s.span == *span && !span.is_empty());
                    let is_convention = pattern.tree().conventions.iter().any(|c| c.span == *span && !span.is_empty());
                    let own = match named.unwrap_or(shelf) {
                        _ if is_yarn => Shelf::Yarn,
                        _ if is_special => Shelf::Specials,
                        Shelf::Intro if is_convention || tells_terms(words) => Shelf::Notes,
                        own => own,
                    };
                    // under its heading the gauge need not be called one again
                    let bare = match words.split_once(": ") {
                        Some((named, rest)) if own == Shelf::Gauge && shelf_of(named) == Some(own) => rest,
                        _ => words,
                    };
                    found.shelf(own).push(bare.to_owned());
                }
            }
        }
    }
    found
}

impl Sections {
    fn shelf(&mut self, shelf: Shelf) -> &mut Vec<String> {
        match shelf {
            Shelf::Intro => &mut self.intro,
            Shelf::Materials => &mut self.materials,
            Shelf::Size => &mut self.size,
            Shelf::Yarn => &mut self.yarn,
            Shelf::Gauge => &mut self.gauge,
            Shelf::Notes => &mut self.notes,
            Shelf::Specials => &mut self.specials,
            Shelf::Caution => &mut self.caution,
            Shelf::Version => &mut self.version,
        }
    }

    /// A line behind the rows.
    fn tail(&mut self, words: &str) {
        if words.to_lowercase().starts_with("version") {
            self.version.push(words.to_owned());
            return;
        }
        match self.behind.last_mut() {
            Some((_, lines)) => lines.push(words.to_owned()),
            None => self.behind.push(("Finishing".into(), vec![words.to_owned()])),
        }
    }
}
