//! Rows repeated from a star that stands before one of them, or before the name they have: "*Row 2: …", "Row 3: …",
//! "Repeat from * twice more."

use super::lex::{Kind, Token};
use super::phrase::{RowReader, Run};
use super::words;
use crate::instructions::{Act, Row, Rows};
use std::collections::BTreeMap;

/// Most rows such a line comes to: beyond what a pattern may have, so that the limit is met when they are worked.
const MOST: usize = 25_000;

/// Longest row that is looked through for a star, in bytes.
const LONGEST_ROW: usize = 20_000;

/// The rows read so far behind each mark, by its number of stars.
#[derive(Clone, Debug, Default)]
pub(super) struct StarredRows(BTreeMap<usize, Marked>);

#[derive(Clone, Debug, Default)]
struct Marked {
    rows: Vec<u32>,
    /// How many of them stand before each mark that ends a row since.
    ends: BTreeMap<usize, usize>,
}

impl StarredRows {
    /// Takes note of the mark that the words of a row or of a part begin with.
    pub fn begin(&mut self, words: &str) {
        if let Some(stars) = opening(words) {
            self.0.insert(stars, Marked::default());
        }
    }

    /// Takes note of a row that has been read, and of the mark that its words end with.
    pub fn add(&mut self, row: &Row, words: &str) {
        let Rows::Numbered(numbers) = &row.heading.rows else { return };
        let words = words.trim_end();
        let stars = words.len() - words.trim_end_matches('*').len();
        for marked in self.0.values_mut().filter(|m| m.rows.len() + numbers.len() <= MOST) {
            marked.rows.extend(numbers);
            if stars > 0 {
                marked.ends.entry(stars).or_insert(marked.rows.len());
            }
        }
    }

    /// The rows from one mark to the other, or to the last read.
    fn between(&self, from: usize, to: Option<usize>) -> Option<&[u32]> {
        let marked = self.0.get(&from)?;
        let end = match to {
            Some(to) => *marked.ends.get(&to)?,
            None => marked.rows.len(),
        };
        marked.rows.get(..end).filter(|rows| !rows.is_empty())
    }
}

/// Stars that touch the first word of a line, where they do not only set its heading in bold.
fn opening(words: &str) -> Option<usize> {
    let words = words.trim_start();
    let rest = words.trim_start_matches('*');
    let stars = words.len() - rest.len();
    if stars == 0 || rest.starts_with(char::is_whitespace) {
        return None;
    }
    let mark = &words[..stars];
    // "**Rnd 1:** 6 sc", "**Rnd 1**: 6 sc"
    let bold = rest.find(mark).is_some_and(|at| {
        let (name, behind) = (&rest[..at], rest[at..].trim_start_matches('*'));
        name.trim_end().ends_with(':') || behind.starts_with(':') || !name.contains(':') && behind.trim().is_empty()
    });
    (!bold).then_some(stars)
}

/// The stars that a line begins to repeat from.
fn repeats_from(toks: &[Token]) -> Option<usize> {
    match (&toks.first()?.kind, &toks.get(1)?.kind, &toks.get(2)?.kind) {
        (Kind::Word(verb), Kind::Word(from), Kind::Star(stars))
            if words::REPEAT.contains(&verb.as_str()) && from == "from" =>
        {
            Some(*stars)
        }
        _ => None,
    }
}

/// True for "Repeat from * twice more." below a row with no such star of its own: the star stands before a row above.
pub(super) fn repeats_rows_above(toks: &[Token], row: &str) -> bool {
    repeats_from(toks).is_some_and(|stars| !holds_mark(row, stars))
}

/// True where the words of a row hold a mark of so many stars, other than in front.
fn holds_mark(words: &str, stars: usize) -> bool {
    // a row longer than that holds stars of its own
    if words.len() > LONGEST_ROW {
        return true;
    }
    let body = words.trim_start().trim_start_matches('*');
    let body = body.trim_end().trim_end_matches('*');
    body.split(|c| c != '*').any(|run| run.len() == stars)
}

impl RowReader<'_> {
    /// "Repeat from * twice more", "rep from ** to ** once", "repeat from * to make 4 teeth" behind rows that are marked
    /// so.
    pub(super) fn starred_rows(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let Some(from) = repeats_from(&self.c.tokens[start..]) else { return false };
        if !run.steps.is_empty() {
            return false;
        }
        self.c.at += 3;
        let here = self.c.at;
        let to = match (self.c.eat("to"), self.c.kind(0)) {
            (true, Some(&Kind::Star(to))) => {
                self.c.at += 1;
                Some(to)
            }
            _ => {
                self.c.at = here;
                None
            }
        };
        let own = || self.c.tokens[..start].iter().any(|t| t.kind == Kind::Star(from));
        let Some(once) = self.c.house.starred.between(from, to).filter(|_| !own()) else {
            self.c.at = start;
            return false;
        };
        let _ = self.c.eat_kind(&Kind::Comma);
        let times = match self.c.in_all_told() {
            Some(all) => all.saturating_sub(1),
            None => self.c.times().map_or(1, |(n, _)| n),
        };
        let times = (times as usize).min(MOST / once.len());
        let rows = once.repeat(times);
        self.push(run, start, Act::AsRow { rows })
    }
}
