//! What stands before the rows: yarns, hook, gauge, terms, notes, special stitches.

use super::cursor::{Cursor, House};
use super::lex::{Kind, Token};
use super::words;
use crate::craft::Stem;
use crate::instructions::{Gauge, Pattern, RoundGauge, Terms, Yarn};
use crate::source::Span;

/// A line of the preamble.
pub(super) struct Line<'a> {
    pub text: &'a str,
    pub span: Span,
}

/// Section names: what follows is no row.
pub(super) const SECTIONS: &[&str] = &[
    "materials",
    "material",
    "yarn",
    "yarns",
    "hook",
    "hooks",
    "gauge",
    "tension",
    "notes",
    "note",
    "abbreviations",
    "special",
    "stitches",
    "terms",
    "size",
    "sizes",
    "finished",
    "finishing",
    "notions",
    "supplies",
    "you",
    "skill",
    "level",
    "measurements",
    "pattern",
    "instructions",
    "difficulty",
    "caution",
    "safety",
    "terminology",
    "version",
];

/// Yarns that one line lists at most: one for each letter.
const MOST_YARNS: usize = 26;

/// Takes from a line whatever it tells of materials, gauge, terms and conventions.
pub(super) fn read_line(line: &Line<'_>, pattern: &mut Pattern, house: &mut House) {
    let words = house.words.tokens(line.text, line.span.start);
    if let Some(hook) = hook_mm(line.text) {
        pattern.hook_mm = pattern.hook_mm.or(Some(hook));
    }
    if let Some(gauge) = round_gauge(&words, line.span, house) {
        pattern.gauge_of_rounds = pattern.gauge_of_rounds.take().or(Some(gauge));
    } else if let Some(gauge) = gauge(&words, line.span, house) {
        pattern.gauge = pattern.gauge.take().or(Some(gauge));
    }
    let mut from = 0;
    // each looks on to the end of its line for what tells its weight, so they are not without number
    for _ in 0..MOST_YARNS {
        let Some(yarn) = words.get(from..).and_then(|rest| yarn(line, rest)) else { break };
        let name = yarn.letter.to_lowercase();
        if !house.yarns.contains(&name) {
            house.yarns.push(name);
        }
        pattern.yarns.push(yarn);
        // "Colour A: rust. Colour B: cream."
        let ends = |t: &Token| matches!(t.kind, Kind::Stop | Kind::Semicolon | Kind::Comma);
        match words[from..].iter().position(ends) {
            Some(k) => from += k + 1,
            None => break,
        }
    }
    house.spaces_count |= super::counted_chains::spaces_count(&words, house);
    pattern.conventions.extend(super::counted_chains::conventions(&words, line.span, house));
}

/// "US terms", "written in UK terms", "Terms: UK", "old British terms", "Terms: UK, old style".
pub(super) fn told_terms(words: &[Token]) -> Option<Terms> {
    let word = |i: usize| match words.get(i).map(|t| &t.kind) {
        Some(Kind::Word(w)) => w.as_str(),
        _ => "",
    };
    let mark = |i: usize| matches!(words.get(i).map(|t| &t.kind), Some(Kind::Dash | Kind::Comma | Kind::Other('/')));
    let is_old = |i: usize| matches!(word(i), "old" | "victorian");
    let named = |at: usize, old: bool| match (word(at), old) {
        ("us" | "american" | "usa", false) => Some(Terms::Us),
        ("us" | "american" | "usa", true) => Some(Terms::OldUs),
        ("uk" | "british", false) => Some(Terms::Uk),
        ("uk" | "british" | "english", true) | ("victorian", _) => Some(Terms::OldUk),
        _ => None,
    };
    (0..words.len()).find_map(|i| {
        if !matches!(word(i), "terms" | "terminology") {
            return None;
        }
        let at = i.checked_sub(1 + usize::from(i > 0 && word(i - 1) == "crochet"));
        let before = at.and_then(|at| {
            let ahead = at.checked_sub(1).and_then(|k| k.checked_sub(usize::from(mark(k))));
            named(at, ahead.is_some_and(is_old))
        });
        let colon = matches!(words.get(i + 1).map(|t| &t.kind), Some(Kind::Colon));
        before.or_else(|| {
            let led = colon && is_old(i + 2);
            let at = i + 2 + usize::from(led && word(i + 2) == "old");
            let behind = is_old(at + 1 + usize::from(mark(at + 1)));
            named(at, led || behind).filter(|_| colon)
        })
    })
}

/// "3.75 mm".
fn hook_mm(text: &str) -> Option<f64> {
    let lower = text.to_lowercase();
    if !lower.contains("hook") {
        return None;
    }
    let at = lower.find("mm")?;
    let number = lower[..at].trim_end();
    let start = number.rfind(|c: char| !(c.is_ascii_digit() || c == '.')).map_or(0, |i| i + 1);
    number.get(start..)?.parse().ok().filter(|mm: &f64| (0.5..=50.0).contains(mm))
}

/// A measure in millimetres: "4 in", "10 cm", "4\"".
fn measure_mm(words: &[Token], at: usize) -> Option<f64> {
    let whole = match words.get(at)?.kind {
        Kind::Number(n) => f64::from(n),
        _ => return None,
    };
    let (n, unit) = match (words.get(at + 1).map(|t| &t.kind), words.get(at + 2).map(|t| &t.kind)) {
        (Some(Kind::Stop), Some(Kind::Number(tenths))) => {
            let digits = tenths.to_string().len() as i32;
            (whole + f64::from(*tenths) / 10f64.powi(digits), at + 3)
        }
        _ => (whole, at + 1),
    };
    match words.get(unit).map(|t| &t.kind) {
        Some(Kind::Word(w)) => match w.as_str() {
            "cm" | "cms" => Some(n * 10.0),
            "mm" => Some(n),
            "in" | "ins" | "inch" | "inches" => Some(n * 25.4),
            _ => None,
        },
        Some(Kind::Other('"' | '”' | '″')) => Some(n * 25.4),
        _ => None,
    }
}

/// Words of a gauge that stand outside a pattern.
#[derive(Clone, Debug, PartialEq)]
pub enum GaugeTold {
    /// Stitches, and rows where they are told, over a measure.
    Stitches(Gauge),
    /// The measure of the first rounds.
    Rounds(RoundGauge),
}

/// Reads "16 sts 18 rows 10 cm", or "rnds 1-3 = 5 cm across"; none where it is neither.
///
/// A stitch that is not named is the single crochet.
pub fn gauge_told(text: &str, terms: Terms) -> Option<GaugeTold> {
    let house = House { terms, ..House::default() };
    let span = Span::new(0, text.len());
    let words = house.words.tokens(text, 0);
    let rounds = round_gauge(&words, span, &house).map(GaugeTold::Rounds);
    rounds.or_else(|| gauge(&words, span, &house).map(GaugeTold::Stitches))
}

/// The first measure in some words, in millimetres.
pub fn first_measure_mm(text: &str) -> Option<f64> {
    let house = House::default();
    let words = house.words.tokens(text, 0);
    (0..words.len()).find_map(|at| measure_mm(&words, at))
}

/// "16 sc and 18 rows = 4 in [10 cm]".
fn gauge(words: &[Token], span: Span, house: &House) -> Option<Gauge> {
    let mut c = Cursor::new(words, house);
    let (mut sts, mut rows, mut stem) = (None, None, Stem::Single);
    let mut measure = None;
    while !c.done() {
        if let Some(mm) = measure_mm(words, c.at) {
            // metric is the rounder figure where both are given
            measure = Some(measure.filter(|&m: &f64| (m / 10.0).fract() == 0.0).unwrap_or(mm));
            c.at += 2;
            continue;
        }
        let start = c.at;
        if let Some(n) = c.number() {
            if let Some(found) = c.stem() {
                (sts, stem) = (sts.or(Some(n)), found);
                continue;
            }
            if c.eat_any(words::STITCH) {
                sts = sts.or(Some(n));
                if c.eat("in")
                    && let Some(found) = c.stem()
                {
                    stem = found;
                }
                continue;
            }
            if c.eat_any(words::ROW) || c.eat_any(words::ROUND) {
                rows = rows.or(Some(n));
                continue;
            }
        }
        c.at = start + 1;
    }
    let over_mm = measure.filter(|&mm| mm > 1.0)?;
    let sts = sts.filter(|&n| n > 0)?;
    Some(Gauge { sts: f64::from(sts), rows: rows.map(f64::from), over_mm, stem, span })
}

/// Tokens between the rounds of a gauge and what they measure.
const LONGEST_GAUGE: usize = 40;

/// "Rnds 1-3 = 5 cm across".
fn round_gauge(words: &[Token], span: Span, house: &House) -> Option<RoundGauge> {
    let mut c = Cursor::new(words, house);
    while !c.done() {
        let start = c.at;
        if let Some([first, last]) = rounds_told(&mut c) {
            let near = c.at..words.len().min(c.at + LONGEST_GAUGE);
            let across = near.clone().find_map(|i| measure_mm(words, i));
            let told = c.tokens[near].iter().any(|t| {
                matches!(&t.kind, Kind::Equals) || matches!(&t.kind, Kind::Word(w) if w == "measure" || w == "across")
            });
            if let (Some(across_mm), true) = (across, told) {
                return Some(RoundGauge { rows: [first, last], across_mm, span });
            }
        }
        c.at = start + 1;
    }
    None
}

/// "rnds 1-3", "first 3 rounds": the rows a gauge of rounds speaks of.
fn rounds_told(c: &mut Cursor<'_>) -> Option<[u32; 2]> {
    let round = |c: &mut Cursor<'_>| c.eat_any(words::ROUND) || c.eat_any(words::ROW);
    if c.eat("first") {
        let n = c.number().filter(|&n| n > 0)?;
        return round(c).then_some([1, n]);
    }
    if !round(c) {
        return None;
    }
    let first = c.number()?;
    Some([first, if c.eat_kind(&Kind::Dash) || c.eat("to") { c.number().unwrap_or(first) } else { first }])
}

/// "Yarn A: pear green, medium (4)", "A: red", "MC - cream", "Color B (red)".
fn yarn(line: &Line<'_>, words: &[Token]) -> Option<Yarn> {
    let word = |i: usize| match words.get(i).map(|t| &t.kind) {
        Some(Kind::Word(w)) => Some(w.as_str()),
        _ => None,
    };
    if let Some(yarn) = yarn_by_colour(line, words) {
        return Some(yarn);
    }
    let mut at = 0;
    while matches!(words.get(at).map(|t| &t.kind), Some(Kind::Dash | Kind::Other('•') | Kind::Star(1))) {
        at += 1;
    }
    let named = word(at).is_some_and(|w| matches!(w, "yarn" | "color" | "colour" | "shade"));
    at += usize::from(named);
    let letter = word(at).filter(|w| w.len() == 1 || matches!(*w, "mc" | "cc"))?;
    let mark = words.get(at + 1).map(|t| &t.kind);
    if !matches!(mark, Some(Kind::Colon | Kind::Dash | Kind::Equals | Kind::Open(_))) {
        return None;
    }
    let from = words.get(at + 2)?.span.start;
    // "V-stitch (V-st): ...": one word, and no yarn V
    if matches!(mark, Some(Kind::Dash)) && from == words[at].span.end + 1 {
        return None;
    }
    let rest = &line.text[from - line.span.start..];
    let colour = rest.split([',', '(', ')', ';', '.']).next().unwrap_or("").trim().to_owned();
    if colour.is_empty() || colour.len() > 60 {
        return None;
    }
    let weight = words.windows(3).find_map(|w| match (&w[0].kind, &w[1].kind, &w[2].kind) {
        (Kind::Open(_), Kind::Number(n @ 0..=7), Kind::Close(_)) => u8::try_from(*n).ok(),
        _ => None,
    });
    Some(Yarn { letter: letter.to_uppercase(), colour, weight, span: line.span })
}

/// "Yellow yarn", "Dark green yarn": a line of its own, the colour for a name.
fn yarn_by_colour(line: &Line<'_>, words: &[Token]) -> Option<Yarn> {
    // an item of a list
    let from = words.iter().take_while(|t| matches!(t.kind, Kind::Dash | Kind::Other('•') | Kind::Star(1))).count();
    let (last, colour) = words[from..].split_last()?;
    let is_yarn = matches!(&last.kind, Kind::Word(w) if w == "yarn");
    let all = colour.iter().all(|t| matches!(&t.kind, Kind::Word(w) if super::words::COLOURS.contains(&w.as_str())));
    let name = line.text.get(words[from].span.start - line.span.start..)?.trim().to_lowercase();
    let name = name.strip_suffix("yarn")?.trim().to_owned();
    (is_yarn && all && !colour.is_empty() && colour.len() <= 3).then(|| Yarn {
        letter: name.clone(),
        colour: name,
        weight: None,
        span: line.span,
    })
}

/// What a line of prose is, as far as sections go.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Section {
    /// The heading of a section, alone on its line: `Materials`.
    Heading,
    /// A section told on one line: `Hook: 3.75 mm`.
    Told,
    /// None of these.
    None,
}

/// Whether a line of prose begins a section.
pub fn section_of(line: &str) -> Section {
    let toks = super::lex::tokens(line, 0);
    if !super::opens::is_section(line, &toks) {
        return Section::None;
    }
    let told = line.trim_end().trim_end_matches(':').contains(':') || line.contains(|c: char| c.is_ascii_digit());
    if told || tells_terms(line) { Section::Told } else { Section::Heading }
}

/// True where a line says which terms a pattern is written in.
pub fn tells_terms(line: &str) -> bool {
    told_terms(&super::lex::tokens(line, 0)).is_some()
}
