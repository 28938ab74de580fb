//! A swatch in words: "20x20 sc 9.4 m".

use super::cursor::{Cursor, House};
use crate::craft::Stem;
use crate::instructions::Terms;

/// A swatch that was worked and unravelled, or weighed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SwatchTold {
    /// Stitches in a row.
    pub sts: u32,
    /// Rows.
    pub rows: u32,
    /// What it is made of.
    pub stem: Stem,
    /// The yarn it took, in metres.
    pub metres: f64,
}

/// Largest swatch either way: it bounds numbers, not swatches.
const MOST: u32 = 10_000;

/// Reads "20x20 sc 9.4 m"; none where it is no swatch.
pub fn swatch_told(text: &str, terms: Terms) -> Option<SwatchTold> {
    let lower = text.trim().to_lowercase().replace('×', "x");
    let (sts, rest) = lower.split_once('x')?;
    let sts = sts.trim().parse().ok().filter(|n| (1..=MOST).contains(n))?;
    let rest = rest.trim_start();
    let digits = rest.find(|c: char| !c.is_ascii_digit()).unwrap_or(rest.len());
    let rows = rest[..digits].parse().ok().filter(|n| (1..=MOST).contains(n))?;
    let rest = rest[digits..].trim();
    // the measure stands last: its number is the last one
    let unit_at = rest.rfind(|c: char| c.is_ascii_digit())? + 1;
    let number_at = rest[..unit_at].rfind(|c: char| !(c.is_ascii_digit() || c == '.')).map_or(0, |i| i + 1);
    let number: f64 = rest[number_at..unit_at].parse().ok()?;
    let metres = number
        * match rest[unit_at..].trim() {
            "m" | "metres" | "meters" | "metre" | "meter" => 1.0,
            "cm" => 0.01,
            "in" | "inch" | "inches" => 0.0254,
            "yd" | "yds" | "yard" | "yards" => 0.9144,
            _ => return None,
        };
    let house = House { terms, ..House::default() };
    let words = house.words.tokens(&rest[..number_at], 0);
    let mut cursor = Cursor::new(&words, &house);
    let stem = cursor.stem()?;
    (cursor.done() && metres > 0.0 && metres.is_finite()).then_some(SwatchTold { sts, rows, stem, metres })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn swatches_are_read_in_metres_and_yards_and_in_either_dialect() {
        let sc = SwatchTold { sts: 20, rows: 20, stem: Stem::Single, metres: 9.4 };
        assert_eq!(swatch_told("20x20 sc 9.4 m", Terms::Us), Some(sc));
        assert_eq!(swatch_told("20 × 20 dc 9.4m", Terms::Uk), Some(sc));
        let yards = swatch_told("16x1 hdc 2 yd", Terms::Us).expect("a swatch");
        assert_eq!((yards.stem, yards.rows), (Stem::HalfDouble, 1));
        assert!((yards.metres - 1.8288).abs() < 1e-9);
        for no in [
            "20 sc 9 m",
            "20x20 9.4 m",
            "20x20 sc",
            "0x20 sc 9 m",
            "20x20 sc 0 m",
            "20x20 wob 9 m",
            "",
            "x",
            "20x20 sc 9 kg",
        ] {
            assert_eq!(swatch_told(no, Terms::Us), None, "{no}");
        }
    }
}
