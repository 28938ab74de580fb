//! Size and yarn of a piece: measured where somebody did, else reckoned, else as the pattern says.

use super::page::SheetOptions;
use super::sections::Sections;
use crate::face::Pattern;
use crate::measure::INCH_MM;

/// Where a figure comes from. The first outranks the others.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum From {
    /// Measured on a finished piece.
    Measured,
    /// Reckoned from stitches and gauge.
    Reckoned,
    /// As the pattern says.
    Told,
}

/// Metres of one yarn.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct YarnOfPiece {
    /// Its letter.
    pub letter: String,
    /// Its colour in words; the letter where the pattern has none.
    pub colour: String,
    /// Metres, and the least and the most.
    pub metres: [f64; 3],
    /// Where they come from.
    pub from: From,
}

/// What a sheet says of size and yarn.
#[derive(Clone, Debug, Default)]
pub(super) struct Figured {
    pub size: Vec<String>,
    pub yarn: Vec<YarnOfPiece>,
}

impl Figured {
    pub fn of(pattern: &Pattern, sections: &Sections, options: &SheetOptions) -> Self {
        let reckoned = pattern.measure(&options.measure.clone().with_figures_only(true));
        let measured = |what: &str| -> Vec<(String, String)> {
            let of = |(name, much): &(String, String)| Some((name.strip_prefix(what)?.trim().to_owned(), much.clone()));
            options.measured.iter().filter_map(of).collect()
        };
        let mut size: Vec<String> = measured("size")
            .into_iter()
            .map(
                |(of, much)| {
                    if of.is_empty() { format!("{much} (measured)") } else { format!("{of}: {much} (measured)") }
                },
            )
            .collect();
        if size.is_empty() {
            size.clone_from(&sections.size);
            size.extend(reckoned.size.map(|s| {
                let unsure = ((s.high - s.low) * 50.0).round();
                format!(
                    "About {:.0} x {:.0} mm ({:.1} x {:.1} in){}, {unsure:.0} % either way, reckoned from the gauge",
                    s.width,
                    s.height,
                    s.width / INCH_MM,
                    s.height / INCH_MM,
                    if s.stands { " across and high, unstuffed" } else { "" }
                )
            }));
        }
        let tree = pattern.tree();
        let by_hand = measured("yarn");
        let letters = tree.yarns.iter().map(|y| y.letter.clone());
        let others = reckoned.yarn.colours.iter().map(|u| u.colour.clone());
        let mut all: Vec<String> = Vec::new();
        letters.chain(others).for_each(|l| {
            if !all.contains(&l) {
                all.push(l);
            }
        });
        let alone = all.len() == 1;
        let one = |letter: &String| {
            let line = tree.yarns.iter().find(|y| y.letter == *letter);
            let colour = line.map_or_else(|| letter.clone(), |y| y.colour.clone());
            let own = by_hand.iter().find(|(of, _)| of == letter || of.is_empty() && alone);
            let by_hand = own.and_then(|(_, much)| metres_in(much)).map(|m| ([m; 3], From::Measured));
            let use_of = reckoned.yarn.colours.iter().find(|u| u.colour == *letter && u.metres > 0.0);
            let reckoned = use_of.map(|u| ([u.metres, u.low, u.high], From::Reckoned));
            let told = line.and_then(|y| metres_in(pattern.text().get(y.span.start..y.span.end)?));
            let told = told.map(|m| ([m; 3], From::Told));
            let (metres, from) = by_hand.or(reckoned).or(told)?;
            Some(YarnOfPiece { letter: letter.clone(), colour, metres, from })
        };
        Figured { size, yarn: all.iter().filter_map(one).collect() }
    }

    /// What was measured or reckoned, in lines; what the pattern itself says stands there already.
    pub fn yarn_lines(&self) -> Vec<String> {
        let line = |y: &YarnOfPiece| {
            let [metres, low, high] = y.metres;
            match y.from {
                From::Measured => Some(format!("{}: {metres:.1} m (measured)", y.letter)),
                From::Reckoned => Some(format!("{}: about {metres:.1} m ({low:.1} to {high:.1}), reckoned", y.letter)),
                From::Told => None,
            }
        };
        self.yarn.iter().filter_map(line).collect()
    }
}

/// "about 8 m", "12.5 metres", "9 yd": in metres.
fn metres_in(words: &str) -> Option<f64> {
    let tokens: Vec<&str> = words
        .split(|c: char| c.is_whitespace() || matches!(c, ',' | '(' | ')' | ';'))
        .filter(|t| !t.is_empty())
        .collect();
    let per = |unit: &str| match unit.trim_end_matches('.').to_lowercase().as_str() {
        "m" | "metre" | "metres" | "meter" | "meters" => Some(1.0),
        "yd" | "yds" | "yard" | "yards" => Some(0.9144),
        _ => None,
    };
    tokens.windows(2).find_map(|w| Some(w[0].parse::<f64>().ok()? * per(w[1])?)).or_else(|| {
        tokens.iter().find_map(|t| {
            let at = t.find(|c: char| c.is_alphabetic())?;
            Some(t[..at].parse::<f64>().ok()? * per(&t[at..])?)
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn metres_are_read_from_yarn_lines() {
        assert_eq!(metres_in("Yarn A: apple red, medium (4), about 8 m"), Some(8.0));
        assert_eq!(metres_in("7.5m"), Some(7.5));
        assert_eq!(metres_in("10 yards"), Some(9.144));
        assert_eq!(metres_in("Hook: 3.75 mm"), None);
    }
}
