//! Single rows read once more, in other words: what a trial of a row needs, without reading the whole text.

use super::ReadOptions;
use super::cursor::{House, RowsLeft};
use super::document::read_row;
use crate::craft::Stem;
use crate::instructions::{Pattern, Row, Terms};
use crate::source::Span;

/// Reads single rows as a pattern's own rows were read: in its dialect, with its yarns and special stitches.
#[derive(Clone, Debug)]
pub struct Rereader {
    house: House,
}

impl Rereader {
    /// A reader for further rows of a pattern that was read as `options` say.
    pub fn of(pattern: &Pattern, options: &ReadOptions) -> Self {
        let yarns = pattern.yarns.iter().map(|y| y.letter.to_lowercase()).collect();
        let (specials, words) = (pattern.specials.clone().into(), options.house_words.clone());
        Self { house: House { terms: pattern.terms, yarns, specials, words, ..House::default() } }
    }

    /// The same with all that the pattern's text tells of its names: yarns that only the rows name, parts, stitches.
    pub fn of_text(text: &str, pattern: &Pattern, options: &ReadOptions) -> Self {
        let mut house = super::document::prepare(text, options).house;
        let yarns: Vec<String> = pattern.yarns.iter().map(|y| y.letter.to_lowercase()).collect();
        house.yarns.extend(yarns);
        house.specials = pattern.specials.clone().into();
        house.sizes = Default::default();
        Self { house }
    }

    /// The terms the pattern is read in.
    pub fn terms(&self) -> Terms {
        self.house.terms
    }

    /// Reads a row line; its spans count from the start of `words`.
    ///
    /// `headed` says that the words begin with a heading, `usual` what a bare "inc" increases where
    /// the words name no other stitch.
    pub fn row(&mut self, words: &str, headed: bool, usual: Option<Stem>) -> Row {
        self.house.usual = usual;
        self.house.rows_left = RowsLeft::default();
        read_row(words, Span::new(0, words.len()), headed, &mut self.house, &mut Vec::new())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reading::read;

    #[test]
    fn a_row_reads_alone_as_it_reads_in_its_pattern() {
        let line = "Row 1: Pc in 2nd ch from hook, with B sc in next 3 ch, inc. (6 sts)";
        let text = format!("Bud\n\nYarn A: red\nYarn B: green\n\nPc: 4 dc in same st.\n\nCh 6.\n{line}\n");
        let (pattern, _) = read(&text, &ReadOptions::default());
        let there = pattern.parts[0].rows.last().expect("row 1 was read");
        let alone = Rereader::of(&pattern, &ReadOptions::default()).row(line, true, None);
        assert_eq!(alone.to_string(), there.to_string());
        assert_eq!(alone.stated.len(), 1);
        assert_eq!(alone.heading.rows, there.heading.rows);
    }
}
