//! Words set in lines under a drawing.

use super::metrics::Metrics;
use super::scene::{Anchor, Label, LabelRole};
use super::{Ink, Style};
use kurbo::Point;

/// Size of running words in sc widths, and the least in print.
const SIZE: f64 = 0.6;
const LEAST_POINTS: f64 = 7.0;
/// From one line to the next, in sizes.
const LEADING: f64 = 1.3;
/// Narrowest column that words are set in, in sizes: less, and every line holds two words.
const NARROWEST: f64 = 22.0;
/// Share of the column that lines fill in the font carried along: the font of a reader who lacks it may be so much wider.
const FILLED: f64 = 0.82;

/// A column that words are set in.
pub(super) struct Column<'a> {
    metrics: &'a Metrics<'a>,
    size: f64,
    /// Its width, in sc widths.
    pub width: f64,
    /// How much of it a line may take in the font carried along.
    room: f64,
}

impl<'a> Column<'a> {
    /// A column at least `width` wide.
    pub fn new(metrics: &'a Metrics<'a>, style: &Style, width: f64) -> Column<'a> {
        let size = style.text_size(SIZE, LEAST_POINTS);
        let width = width.max(NARROWEST * size);
        Column { metrics, size, width, room: FILLED * width }
    }

    /// From the top of one line to the top of the next.
    pub fn pitch(&self) -> f64 {
        LEADING * self.size
    }

    /// The words in lines that fit. A word longer than a line stands on one of its own, cut to fit.
    pub fn lines(&self, words: &str) -> Vec<String> {
        let mut lines: Vec<String> = Vec::new();
        let mut line = String::new();
        for word in words.split_whitespace().flat_map(|w| self.cut(w)) {
            let longer = if line.is_empty() { word.clone() } else { format!("{line} {word}") };
            if self.metrics.width(&longer, self.size) <= self.room || line.is_empty() {
                line = longer;
            } else {
                lines.push(std::mem::replace(&mut line, word));
            }
        }
        if !line.is_empty() {
            lines.push(line);
        }
        lines
    }

    fn cut(&self, word: &str) -> Vec<String> {
        let mut parts = vec![String::new()];
        for c in word.chars() {
            let longer = format!("{}{c}", parts[parts.len() - 1]);
            if self.metrics.width(&longer, self.size) > self.room {
                parts.push(c.to_string());
            } else {
                // OK: there is always one part
                *parts.last_mut().expect("never empty") = longer;
            }
        }
        parts
    }

    /// Lines as labels below `top`, from `left`.
    pub fn set(&self, lines: &[String], left: f64, top: f64, ink: Ink) -> Vec<Label> {
        let label = |(i, line): (usize, &String)| {
            let at = Point::new(left, top + i as f64 * self.pitch() + self.size);
            self.metrics.label(LabelRole::Words, line, at, Anchor::Start, self.size, ink)
        };
        lines.iter().enumerate().map(label).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_line_is_wider_than_its_column_and_no_word_is_lost() {
        let style = Style::default();
        let metrics = Metrics::new(&style.font);
        let column = Column::new(&metrics, &style, 0.0);
        let long = "x".repeat(90);
        let words = format!("Row 1: sc in 2nd ch from hook and in each ch across {long} turn");
        let lines = column.lines(&words);
        assert!(lines.iter().all(|l| metrics.width(l, column.size) <= column.width), "{lines:?}");
        let bare = |text: &str| text.chars().filter(|c| !c.is_whitespace()).collect::<String>();
        assert_eq!(bare(&lines.concat()), bare(&words));
        assert!(column.lines(" \n ").is_empty());
    }
}
