//! Nonsense words put into rows, inside of phrases that have a stitch word or a number: is each pointed at?

#[path = "../lots/mod.rs"]
pub mod lots;

use fanwise::Pattern;
use fanwise::source::Span;
use lots::Lots;

/// Words that mean stitches or their places, whole or as a part of a longer one.
const STITCH_WORDS: &[&str] = &[
    "sc", "hdc", "dc", "tr", "dtr", "htr", "st", "sts", "stitch", "stitches", "ch", "chs", "chain", "chains", "inc",
    "dec", "sp", "sps", "loop", "loops", "picot", "picots", "shell", "shells", "cluster", "clusters", "ring", "treble",
    "trebles", "double", "doubles", "crochet", "single", "skip", "miss", "turn", "join",
];

/// A place where a word may be put in: before byte `at` of the text.
pub struct Gap {
    pub at: usize,
}

/// Every gap of a pattern's rows that were read whole: before, between and behind the words of each phrase that has a
/// stitch word or a number.
pub fn gaps(pattern: &Pattern) -> Vec<Gap> {
    let mut found = Vec::new();
    for row in pattern.tree().parts.iter().flat_map(|p| &p.rows).filter(|r| r.read) {
        let body = &pattern.text()[row.body.start..row.body.end];
        let mut words: Vec<(usize, &str)> = Vec::new();
        let mut at = 0;
        let marks = |c: char| !(c.is_alphanumeric() || c == '-' || c == '\'' || c == '’' || c == ' ');
        for phrase in body.split_inclusive(marks) {
            words.clear();
            let mut from = at;
            for word in phrase.split_inclusive(' ') {
                let bare = word.trim_end_matches(|c: char| c == ' ' || marks(c));
                if !bare.is_empty() && bare.chars().any(char::is_alphanumeric) {
                    words.push((from, bare));
                }
                from += word.len();
            }
            at += phrase.len();
            let works = words.iter().any(|(_, w)| {
                let lower = w.to_lowercase();
                lower.chars().any(|c| c.is_ascii_digit()) || lower.split('-').any(|part| STITCH_WORDS.contains(&part))
            });
            if works {
                found.extend(words.iter().map(|&(from, _)| Gap { at: row.body.start + from }));
                found.extend(words.last().map(|&(from, w)| Gap { at: row.body.start + from + w.len() }));
            }
        }
    }
    found
}

/// A word of no language, that no text of these patterns and no table of ours has.
pub fn nonsense(lots: &mut Lots, known: &dyn Fn(&str) -> bool) -> String {
    const HEADS: &[&str] = &[
        "bl", "br", "dr", "fl", "fr", "g", "gl", "gr", "h", "j", "kl", "m", "n", "pl", "qu", "sn", "spl", "thr", "v",
        "w", "zw", "y",
    ];
    const VOWELS: &[&str] = &["a", "e", "i", "o", "u", "oo", "ou"];
    const TAILS: &[&str] = &["b", "ck", "dge", "ft", "g", "lp", "mb", "ng", "nk", "p", "rf", "sk", "x", "zz"];
    loop {
        let mut word = String::new();
        for _ in 0..1 + lots.below(2) {
            for part in [HEADS, VOWELS, TAILS] {
                word.push_str(part[lots.below(part.len())]);
            }
        }
        if !known(&word) {
            return word;
        }
    }
}

/// What became of a word.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fate {
    /// The row is not read whole, and a problem's span covers the word.
    PointedAt,
    /// The row says that it was read whole.
    Swallowed,
    /// The row is not read whole, but no problem covers the word.
    Missed,
    /// The word stands in no row any more.
    NoRow,
}

/// The text with the word put in at a gap, and where the word stands in it.
pub fn seeded(text: &str, gap: &Gap, word: &str) -> (String, Span) {
    let (before, behind) = text.split_at(gap.at);
    let spaced = |c: Option<char>| c.is_none_or(|c| !c.is_alphanumeric());
    let lead = if spaced(before.chars().next_back()) { "" } else { " " };
    let tail = if spaced(behind.chars().next()) { "" } else { " " };
    let start = before.len() + lead.len();
    (format!("{before}{lead}{word}{tail}{behind}"), Span::new(start, start + word.len()))
}

/// What a reading makes of a word in its text.
pub fn fate(pattern: &Pattern, word: Span) -> Fate {
    let rows = pattern.tree().parts.iter().flat_map(|p| &p.rows);
    let covered = pattern.problems().iter().any(|p| p.span.start <= word.start && word.end <= p.span.end);
    match rows.into_iter().find(|r| r.span.start <= word.start && word.end <= r.span.end) {
        Some(row) if row.read => Fate::Swallowed,
        Some(_) if covered => Fate::PointedAt,
        Some(_) => Fate::Missed,
        None => Fate::NoRow,
    }
}
