//! A pattern in several sizes, written in one text: numbers that differ as lists, "4 (5, 6)", rows that only some sizes
//! work with a label before them.

use super::line::{Manner, Writer};
use super::page::{Block, Entry, Line, Piece, Written, entries};
use super::plain::as_text;
use super::prove::{first_difference, page_of, specials_in};
use super::tongue::Tongue;
use crate::fabric::RowId;
use crate::instructions::{Pattern, Terms};
use crate::reading::{ReadOptions, Rereader, SizeChoice, read};
use crate::source::Span;
use crate::symbol::Language;
use crate::working::{Worked, work};
use std::collections::{BTreeMap, BTreeSet};

/// Times that a pattern is written plainer in single rows before it is given up.
const MOST_TRIES: usize = 400;

/// Writes a pattern out for all its sizes at once. `sizes` are its readings, one for each.
///
/// What is written is read again in every size and makes the same fabric in each.
pub fn write_sizes(sizes: &[(&Pattern, &Worked)], text: &str, speak: Terms, options: &ReadOptions) -> Written {
    in_all(sizes, text, speak, options, |written, _| written)
}

/// Writes a pattern out in another language for all its sizes at once; none where its patterns are not written in
/// abbreviations.
///
/// The rows are those of the English form, which is proven; a row that differs in more than numbers from size to size
/// is told for each size by itself.
pub fn write_sizes_in(
    sizes: &[(&Pattern, &Worked)],
    text: &str,
    language: Language,
    options: &ReadOptions,
) -> Option<Written> {
    if !super::abroad::is_written_in(language) {
        return None;
    }
    let speak = sizes.first()?.0.terms;
    in_all(sizes, text, speak, options, |written, page| {
        let key = |size: usize, (_, at): (usize, usize)| page.slots.get(at)?.keys[size];
        super::abroad::turned(written, &InSizes { writers: &page.writers, key: &key }, language)
    })
}

/// The rows of a page in every size: a writer for each, and which row of it a row of the page is.
pub(super) struct InSizes<'a> {
    pub writers: &'a [Writer<'a>],
    pub key: &'a dyn Fn(usize, (usize, usize)) -> Option<(usize, usize)>,
}

fn in_all<T>(
    sizes: &[(&Pattern, &Worked)],
    text: &str,
    speak: Terms,
    options: &ReadOptions,
    then: impl FnOnce(Written, &Page<'_>) -> T,
) -> T {
    let tongue = Tongue::new(speak);
    let readers: Vec<Rereader> = sizes.iter().map(|(pattern, _)| reader(pattern, &tongue, options)).collect();
    let writers: Vec<Writer<'_>> = sizes
        .iter()
        .zip(&readers)
        .map(|(&(pattern, worked), reader)| Writer {
            pattern,
            text,
            worked,
            tongue: &tongue,
            reader,
            lists: varied(pattern),
        })
        .collect();
    let mut page =
        Page { slots: slots(sizes), lines: BTreeMap::new(), manners: BTreeMap::new(), apart: BTreeSet::new(), writers };
    let again = ReadOptions::default().house_words(options.house_words.clone());
    for tries in 0.. {
        let written = page.written();
        let Some((size, row)) = differs(sizes, &as_text(&written), &again) else { return then(written, &page) };
        if tries >= MOST_TRIES || !page.plainer(size, row) {
            let label = sizes[size].1.tallies.iter().find(|t| t.row == row).map(|t| t.label.clone());
            return then(Written { unproven: label.into_iter().collect(), ..written }, &page);
        }
    }
    then(Written::default(), &page)
}

fn reader(pattern: &Pattern, tongue: &Tongue, options: &ReadOptions) -> Rereader {
    let specials = specials_in(pattern, tongue.terms);
    Rereader::of(&Pattern { terms: tongue.terms, specials, ..pattern.clone() }, options)
}

/// Where the numbers differ from size to size.
fn varied(pattern: &Pattern) -> Vec<Span> {
    let differ = |numbers: &[u32]| numbers.windows(2).any(|w| w[0] != w[1]);
    pattern.size_lists.iter().filter(|l| differ(&l.numbers)).map(|l| l.span).collect()
}

/// The first size, and the first row of it, in which a text makes other stitches.
fn differs(sizes: &[(&Pattern, &Worked)], text: &str, options: &ReadOptions) -> Option<(usize, RowId)> {
    sizes.iter().enumerate().find_map(|(k, (pattern, worked))| {
        let (tree, _) = read(text, &options.clone().size(SizeChoice::Index(k)));
        if tree.sizes.len() != pattern.sizes.len() {
            return Some((k, RowId::new(0)));
        }
        first_difference(&worked.fabric, &work(&tree).fabric).map(|row| (k, row))
    })
}

/// A row of the text in every size: part and row of the tree; none in those that do not work it.
#[derive(Clone, Debug, Default, PartialEq)]
struct Slot {
    keys: Vec<Option<(usize, usize)>>,
}

/// The rows of all sizes in the order of the text.
fn slots(sizes: &[(&Pattern, &Worked)]) -> Vec<Slot> {
    let span = |k: usize, (p, r): (usize, usize)| sizes[k].0.parts[p].rows[r].span;
    let mut found: Vec<Slot> = Vec::new();
    for (k, (pattern, _)) in sizes.iter().enumerate() {
        let mut at = 0;
        for (p, part) in pattern.parts.iter().enumerate() {
            for (r, row) in part.rows.iter().enumerate() {
                let same = |slot: &Slot| {
                    let of = slot.keys.iter().enumerate().find_map(|(j, key)| Some(span(j, (*key)?)));
                    slot.keys[k].is_none() && of == Some(row.span)
                };
                match found[at..].iter().position(same).map(|i| at + i) {
                    Some(i) => {
                        found[i].keys[k] = Some((p, r));
                        at = i + 1;
                    }
                    None => {
                        let mut slot = Slot { keys: vec![None; sizes.len()] };
                        slot.keys[k] = Some((p, r));
                        found.insert(at, slot);
                        at += 1;
                    }
                }
            }
        }
    }
    found
}

struct Page<'a> {
    writers: Vec<Writer<'a>>,
    slots: Vec<Slot>,
    lines: BTreeMap<(usize, Manner), Line>,
    manners: BTreeMap<usize, Manner>,
    apart: BTreeSet<(usize, usize)>,
}

impl Page<'_> {
    fn written(&mut self) -> Written {
        let (pattern, terms) = (self.writers[0].pattern, self.writers[0].tongue.terms);
        let mut blocks = Vec::new();
        let mut next = 0;
        for entry in entries(pattern, self.writers[0].text, terms, true) {
            match entry {
                Entry::Block(block) => blocks.push(block),
                Entry::Row { part, row } => {
                    let Some(at) = self.slots.iter().position(|s| s.keys[0] == Some((part, row))) else { continue };
                    // rows before it that the first size does not work
                    while next <= at {
                        blocks.push(Block::Row(Box::new(self.line(next))));
                        next += 1;
                    }
                }
            }
        }
        // those behind its last row stand behind that row
        let behind = blocks.iter().rposition(|b| matches!(b, Block::Row(_))).map_or(blocks.len(), |k| k + 1);
        for (k, at) in (next..self.slots.len()).enumerate() {
            blocks.insert(behind + k, Block::Row(Box::new(self.line(at))));
        }
        page_of(blocks, &self.writers[0], &self.apart)
    }

    /// A row in all sizes that work it, in the manner in hand or a plainer one.
    fn line(&mut self, at: usize) -> Line {
        loop {
            let manner = self.manners.get(&at).copied().unwrap_or_default();
            if let Some(line) = self.lines.get(&(at, manner)) {
                return line.clone();
            }
            let slot = self.slots[at].clone();
            let told: Vec<(usize, Line)> = slot
                .keys
                .iter()
                .enumerate()
                .filter_map(|(k, key)| Some((k, self.writers[k].line((*key)?, manner))))
                .collect();
            let lines: Vec<&Line> = told.iter().map(|(_, line)| line).collect();
            let merged = merged(&lines);
            let plainer = manner.plainer().filter(|_| merged.is_none());
            let Some(mut line) = merged.or_else(|| plainer.is_none().then(|| lines[0].clone())) else {
                self.manners.insert(at, plainer.unwrap_or_default());
                continue;
            };
            let alike = lines.windows(2).all(|w| w[0].numbers == w[1].numbers && w[0].text() == w[1].text());
            line.from = vec![(0, at)];
            if !alike || told.len() < self.writers.len() {
                self.apart.insert((0, at));
            }
            if told.len() < self.writers.len() {
                let names: Vec<&str> =
                    told.iter().filter_map(|(k, _)| Some(self.writers[0].pattern.sizes.get(*k)?.as_str())).collect();
                let label = label(&names);
                line.heading = if line.heading.is_empty() { label } else { format!("{label}: {}", line.heading) };
            }
            self.lines.insert((at, manner), line.clone());
            return line;
        }
    }

    /// Says the line of a row of a size plainer; false where it cannot be.
    fn plainer(&mut self, size: usize, row: RowId) -> bool {
        let first = |k: usize| {
            let (p, r) = self.slots[k].keys[size]?;
            let span = self.writers[size].pattern.parts[p].rows[r].span;
            self.writers[size].worked.tallies.iter().find(|t| t.span == span).map(|t| t.row)
        };
        let own = (0..self.slots.len()).rev().find(|&k| first(k).is_some_and(|first| first <= row));
        let Some(at) = own else { return self.plainest() };
        if self.apart.insert((0, at)) {
            return true;
        }
        let manner = self.manners.entry(at).or_default();
        match manner.plainer() {
            Some(next) => {
                *manner = next;
                true
            }
            None => self.plainest(),
        }
    }

    /// Says every line in the pattern's own words; false where that is so already.
    fn plainest(&mut self) -> bool {
        let all = 0..self.slots.len();
        self.apart.extend(all.clone().map(|at| (0, at)));
        all.fold(false, |any, at| any | (self.manners.insert(at, Manner::OwnWords) != Some(Manner::OwnWords)))
    }
}

/// "Size M only", "Sizes M and L only".
fn label(names: &[&str]) -> String {
    match names {
        [one] => format!("Size {one} only"),
        [start @ .., last] => format!("Sizes {} and {last} only", start.join(", ")),
        [] => String::new(),
    }
}

/// One line for several sizes; none where they differ in more than numbers.
pub(super) fn merged(lines: &[&Line]) -> Option<Line> {
    let first = *lines.first()?;
    let heading: Vec<&str> = lines.iter().map(|l| l.heading.as_str()).collect();
    let count: Vec<&str> = lines.iter().map(|l| l.count.as_str()).collect();
    let pieces = |of: fn(&Line) -> &Vec<Piece>| -> Option<Vec<Piece>> {
        let n = of(first).len();
        lines.iter().all(|l| of(l).len() == n).then_some(())?;
        (0..n)
            .map(|i| {
                let words: Vec<&str> = lines.iter().map(|l| of(l)[i].words.as_str()).collect();
                Some(Piece { words: as_list(&words)?, spans: of(first)[i].spans.clone() })
            })
            .collect()
    };
    let count = as_list(&count)?;
    // a list has brackets of its own
    let bare = count.strip_prefix('(').and_then(|c| c.strip_suffix(')')).filter(|c| c.contains('('));
    let count = bare.map_or_else(|| count.clone(), |bare| format!("{bare}."));
    Some(Line {
        heading: as_list(&heading)?,
        count,
        pieces: pieces(|l| &l.pieces)?,
        ending: pieces(|l| &l.ending)?,
        ..first.clone()
    })
}

/// The same words with numbers that differ as a list: "sc in next 4 (5, 6) sts"; none where more differs.
fn as_list(all: &[&str]) -> Option<String> {
    let parts: Vec<Vec<&str>> = all.iter().map(|words| parted(words)).collect();
    let first = parts.first()?;
    if parts.iter().any(|p| p.len() != first.len()) {
        return None;
    }
    let mut out = String::new();
    for (i, part) in first.iter().enumerate() {
        let same: Vec<&str> = parts.iter().map(|p| p[i]).collect();
        if same.iter().all(|p| p == part) {
            out.push_str(part);
        } else if same.iter().all(|p| p.starts_with(|c: char| c.is_ascii_digit())) {
            out.push_str(&format!("{part} ({})", same[1..].join(", ")));
        } else {
            return None;
        }
    }
    Some(out)
}

/// Words cut before and behind every number.
fn parted(words: &str) -> Vec<&str> {
    let mut found = Vec::new();
    let mut rest = words;
    while !rest.is_empty() {
        let digits = rest.starts_with(|c: char| c.is_ascii_digit());
        let end = rest.find(|c: char| c.is_ascii_digit() != digits).unwrap_or(rest.len());
        let (part, after) = rest.split_at(end);
        found.push(part);
        rest = after;
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_that_differ_become_a_list() {
        assert_eq!(as_list(&["ch 7", "ch 9", "ch 11"]).as_deref(), Some("ch 7 (9, 11)"));
        assert_eq!(as_list(&["sc2tog", "sc2tog"]).as_deref(), Some("sc2tog"));
        assert_eq!(as_list(&["sc in next st", "sc in next 2 sts"]), None);
    }
}
