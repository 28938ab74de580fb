//! The honest end of reading: what no rule took is commentary by the table, or it is pointed at.

use super::lex::Kind;
use super::phrase::RowReader;
use super::words;
use crate::source::{Code, Problem, Severity};

impl RowReader<'_> {
    /// True where tokens `from..end` are commentary: no stitch word, no number, an opening of the table.
    pub(super) fn is_commentary(&self, from: usize, end: usize) -> bool {
        let tokens = &self.c.tokens[from..end];
        let works = tokens.iter().any(|t| match &t.kind {
            Kind::Number(_) | Kind::Ordinal(_) => true,
            Kind::Word(w) => self.means_work(w),
            _ => false,
        });
        if works {
            return false;
        }
        let words: Vec<&str> = tokens
            .iter()
            .filter_map(|t| match &t.kind {
                Kind::Word(w) => Some(w.as_str()),
                _ => None,
            })
            .collect();
        // "mark this stitch" names one without working it: then every word of it has to be known
        let names = words.iter().any(|w| words::STITCH.contains(w));
        words::COMMENTARY.iter().any(|opening| words.starts_with(opening))
            && (!names || words.iter().all(|w| self.is_plain(w)))
    }

    pub(super) fn means_work(&self, word: &str) -> bool {
        // "mark this stitch", "the last stitch" name a stitch without working one
        if matches!(word, "st" | "stitch" | "sts" | "stitches") {
            return false;
        }
        words::WORKING_WORDS.contains(&word) || word.ends_with("tog") || self.c.house.specials.is_name(word)
    }

    /// Reports a problem of the row, up to as many as a person would read.
    pub(super) fn report(&mut self, problem: Problem) {
        self.unread = true;
        if self.problems.len() < MOST_PROBLEMS {
            self.problems.push(problem);
        }
    }

    /// Takes everything to the next mark and says that it was not understood, unless it is commentary.
    pub(super) fn unread_phrase(&mut self) {
        if matches!(self.c.kind(0), Some(Kind::Close(_))) {
            self.stray_close();
            return;
        }
        let start = self.c.at;
        self.c.at += 1;
        while !self.c.at_break() && !matches!(self.c.kind(0), Some(Kind::Open(_))) {
            self.c.at += 1;
        }
        let span = self.span_of(start, self.c.at);
        if self.is_commentary(start, self.c.at) {
            self.notes.push(span);
            return;
        }
        self.unread = true;

        let words: Vec<String> = self.c.tokens[start..self.c.at]
            .iter()
            .filter_map(|t| match &t.kind {
                Kind::Word(w) => Some(w.clone()),
                _ => None,
            })
            .collect();
        let working = self.c.tokens[start..self.c.at].iter().any(|t| match &t.kind {
            Kind::Number(_) | Kind::Ordinal(_) => true,
            Kind::Word(w) => self.means_work(w) || words::STITCH.contains(&w.as_str()),
            _ => false,
        });
        let problem = match self.misspelt(start) {
            Some((at, word, near)) => {
                let span = self.c.tokens[at].span;
                let problem = Problem::new(Code::UnknownStitch, span, format!("there is no stitch \"{word}\""));
                match near {
                    Some(near) => problem.with_hint(format!("did you mean \"{near}\"?")),
                    None => problem.with_hint("if it is a stitch of your own, define it under \"Special stitches\""),
                }
            }
            None => self.unread_problem(span, &words, working),
        };
        self.report(problem);
    }

    fn unread_problem(&self, span: crate::source::Span, words: &[String], working: bool) -> Problem {
        let old = self.c.house.terms.is_old();
        // a purl of the old books is a picot
        let technique = OUT_OF_SCOPE
            .iter()
            .filter(|(word, _)| !(old && *word == "purl"))
            .find(|(word, _)| words.iter().any(|w| w.starts_with(word) && w != "beading"));
        if let Some((_, name)) = technique {
            return Problem::new(
                Code::UnreadWords,
                span,
                format!("{name} is not crocheted with this hook and cannot be worked here"),
            )
            .with_hint("only ordinary crochet is read; write such a row as a note, outside the rows");
        }
        for word in words {
            if let Some((name, hint)) = UNDEFINED.iter().find(|(name, _)| words::is_or_plural(word, name)) {
                return Problem::new(Code::UndefinedStitch, span, format!("\"{name}\" is not defined in this pattern"))
                    .with_hint(format!("say under \"Special stitches\" how it is made, such as \"{hint}\""));
            }
        }
        let problem = Problem::new(
            Code::UnreadWords,
            span,
            format!("\"{}\" was not understood", &self.text[span.start..span.end]),
        );
        let problem = match self.strange_word(span) {
            Some(word) => problem.with_hint(format!("\"{word}\" is no word that is known here")),
            None => problem,
        };
        if working {
            problem
        } else {
            problem
                .with_severity(Severity::Warning)
                .with_hint("if it is a remark, put it in a sentence of its own outside the row")
        }
    }

    /// The one word of a phrase that no table knows, where the phrase has others.
    fn strange_word(&self, span: crate::source::Span) -> Option<&str> {
        // tokens stand in the order of the text: no more of them is looked at than the phrase has
        let first = self.c.tokens.partition_point(|t| t.span.start < span.start);
        let here = self.c.tokens[first..].iter().take_while(|t| span.holds(t.span)).take(LONGEST_PHRASE + 1);
        let words: Vec<&str> = here
            .filter_map(|t| match &t.kind {
                Kind::Word(w) => Some(w.as_str()),
                _ => None,
            })
            .collect();
        let mut strange = words.iter().filter(|w| !self.is_plain(w));
        let first = strange.next().copied();
        first.filter(|_| words.len() > 1 && words.len() <= LONGEST_PHRASE && strange.next().is_none())
    }

    /// The word in the place of a stitch, where it is one letter or two from a stitch name.
    fn misspelt(&self, start: usize) -> Option<(usize, String, Option<&'static str>)> {
        let numbered = matches!(self.c.kind_at(start), Some(Kind::Number(_)));
        let at = if numbered { start + 1 } else { start };
        let Some(Kind::Word(word)) =
            self.c.kind_at(at).filter(|k| !matches!(k, Kind::Word(w) if w.len() > LONGEST_WORD))
        else {
            return None;
        };
        if UNDEFINED.iter().any(|(n, _)| words::is_or_plural(word, n))
            || OUT_OF_SCOPE.iter().any(|(n, _)| word.starts_with(n))
        {
            return None;
        }
        let before_place = matches!(self.c.kind_at(at + 1), Some(Kind::Word(w)) if words::INTO.contains(&w.as_str()))
            || matches!(self.c.kind_at(at + 1), Some(Kind::Word(w)) if w == "next" || w == "each");
        let near = words::NEAR
            .iter()
            .map(|name| (if name.len() > 4 { 2 } else { 1 }, *name))
            // two words are at least as far apart as their lengths
            .filter(|&(most, name)| name.len().abs_diff(word.chars().count()) <= most)
            .filter_map(|(most, name)| Some((strsim::osa_distance(word, name), name)).filter(|&(d, _)| d <= most))
            .min_by_key(|&(d, name)| (d, name.len().abs_diff(word.len())));
        let exact = near.is_some_and(|(d, _)| d == 0);
        // a word that has a sense of its own is none misspelt, unless it stands where a stitch does
        let verb = matches!(word.as_str(), "work" | "working");
        let sense =
            !(numbered && before_place) && (words::is_of_the_craft(word) || near.is_none() && self.is_plain(word));
        let known = exact || sense || verb || words::INTO.contains(&word.as_str());
        // "(sc 1, imc) x 6": a short word that nobody knows, where short notation has a stitch
        let alone = matches!(
            self.c.kind_at(at + 1),
            None | Some(Kind::Number(_) | Kind::Comma | Kind::Stop | Kind::Close(_) | Kind::Times)
        ) || matches!(self.c.kind_at(at + 1), Some(Kind::Word(w)) if words::TO_END.contains(&w.as_str()) || w == "x");
        let terse = alone && word.len() > 1 && !self.is_plain(word);
        if known || !(before_place || near.is_some() && (numbered || terse || word.len() > 3)) {
            return None;
        }
        Some((at, word.clone(), near.map(|(_, name)| name)))
    }
}

/// The name here of a stitch that every pattern defines for itself, how one is defined, and its tokens.
pub(super) fn undefined_name(c: &super::cursor::Cursor<'_>) -> Option<(&'static str, &'static str, usize)> {
    let spaced = |k: usize| matches!(c.kind(k), Some(Kind::Word(w)) if words::STITCH.contains(&w.as_str()));
    if c.word(0) == Some("v") && (spaced(1) || c.kind(1) == Some(&Kind::Dash) && spaced(2)) {
        let (name, example) = UNDEFINED.iter().find(|(name, _)| *name == "v-st")?;
        return Some((name, example, if spaced(1) { 2 } else { 3 }));
    }
    if matches!(c.word(0), Some("loop" | "lp" | "loopy")) && spaced(1) {
        let (name, example) = UNDEFINED.iter().find(|(name, _)| *name == "loop st")?;
        return Some((name, example, 2));
    }
    let word = match c.word(0)? {
        "sh" | "shs" => "shell",
        word => word,
    };
    // "small fan", "sm shell", "SmFan"
    for (lead, size) in SIZES {
        let shape = if word == *lead { c.word(1) } else { word.strip_prefix(lead) };
        let Some(shape) = shape else { continue };
        let found = UNDEFINED.iter().find(|(name, _)| {
            name.strip_prefix(size).and_then(|n| n.strip_prefix(' ')).is_some_and(|n| words::is_or_plural(shape, n))
        });
        if let Some((name, example)) = found {
            return Some((name, example, 1 + usize::from(word == *lead)));
        }
    }
    let (name, example) = UNDEFINED.iter().find(|(name, _)| words::is_or_plural(word, name))?;
    Some((name, example, 1 + usize::from(spaced(1))))
}

/// Techniques outside this craft's charts, by the beginning of their word.
const OUT_OF_SCOPE: &[(&str, &str)] = &[
    ("tunisian", "tunisian crochet"),
    ("afghan", "tunisian crochet"),
    ("tss", "tunisian crochet"),
    ("hairpin", "hairpin lace"),
    ("broomstick", "broomstick lace"),
    ("bead", "bead work"),
    ("knit", "knitting"),
    ("purl", "knitting"),
];

/// Stitches that every pattern has to define for itself, with an example.
const UNDEFINED: &[(&str, &str)] = &[
    ("shell", "Shell: 5 dc in same st"),
    ("fan", "Fan: 7 dc in same st"),
    ("small shell", "Small shell: 3 dc in same st"),
    ("large shell", "Large shell: 7 dc in same st"),
    ("small fan", "Small fan: 3 dc in same st"),
    ("large fan", "Large fan: 7 dc in same st"),
    ("v-st", "V-st: (dc, ch 1, dc) in same st"),
    ("cluster", "Cluster: dc3tog in same st"),
    ("cl", "Cluster (CL): 3-dc cluster in same st"),
    ("popcorn", "Popcorn: 5-dc popcorn in same st"),
    ("pc", "Popcorn (pc): 5-dc popcorn in same st"),
    ("bobble", "Bobble: 5-dc bobble in same st"),
    ("puff", "Puff: 3-hdc puff in same st"),
    ("loop st", "Loop st: sc in next st with a long loop behind it"),
];

/// Words for the size of a shape, as they stand before its name, and what they are short for.
const SIZES: &[(&str, &str)] =
    &[("small", "small"), ("sm", "small"), ("large", "large"), ("lg", "large"), ("lrg", "large")];

/// Problems of one row pointed at one by one; a line with more is no row.
const MOST_PROBLEMS: usize = 20;

/// Words of the longest phrase searched for the one that is strange.
const LONGEST_PHRASE: usize = 40;

/// Letters of the longest word held against the stitch names.
const LONGEST_WORD: usize = 24;
