//! The least difference between the words of two rows: phrase by phrase, then word by word.

use super::align::{SAME, align, likeness};
use crate::source::Span;
use serde::Serialize;

/// A word, number or bracket of a row.
#[derive(Clone, Debug)]
pub(super) struct Word {
    /// Lower case, for comparing.
    pub text: String,
    /// As printed.
    printed: String,
    span: Span,
    /// True where white space stands before it.
    apart: bool,
    /// True where a comma or stop stands behind it.
    ends: bool,
}

/// The words of a row.
pub(super) type Words = Vec<Word>;

/// Words to be read in the place of others.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Difference {
    /// The words before; empty where words are added.
    #[serde(rename = "for")]
    pub old: String,
    /// The words now; empty where words are left out.
    #[serde(rename = "read")]
    pub new: String,
    /// Words before them, where they are added.
    pub after: Option<String>,
    /// Which of several like words of the row it is, from 1; none where there are no others.
    pub nth: Option<usize>,
    /// Where the words stood in the old edition.
    pub span_was: Span,
    /// Where they stand in the new one.
    pub span: Span,
}

/// Cuts the words out of a span of the text; `without` are the counts stated.
pub(super) fn words(text: &str, span: Span, without: &[Span]) -> Words {
    let mut found: Words = Vec::new();
    let mut apart = false;
    let mut counts = without.iter().filter(|s| span.holds(**s)).peekable();
    let Some(inner) = text.get(span.start..span.end) else { return found };
    let mut chars = inner.char_indices().map(|(k, c)| (span.start + k, c)).peekable();
    while let Some((at, c)) = chars.next() {
        if let Some(count) = counts.peek().copied().filter(|count| at >= count.start) {
            // the count stated is told apart, and so are the marks around it
            while chars.next_if(|&(k, _)| k < count.end).is_some() {}
            while found.last().is_some_and(|w| matches!(w.text.as_str(), "(" | "[" | "{" | "=" | "-" | "–" | "—")) {
                found.pop();
            }
            while chars.next_if(|&(_, c)| matches!(c, ')' | ']' | '}' | ',')).is_some() {}
            if let Some(last) = found.last_mut() {
                last.ends = true;
            }
            counts.next();
            continue;
        }
        let joins = |c: char| c.is_alphanumeric() || matches!(c, '\'' | '’' | '-');
        if c.is_whitespace() {
            apart = true;
        } else if matches!(c, '.' | ',' | ';' | ':') {
            if let Some(last) = found.last_mut() {
                last.ends = true;
            }
        } else {
            let mut end = at + c.len_utf8();
            if c.is_alphanumeric() {
                let decimal = |k: usize, c: char| {
                    let digit = |b: Option<&u8>| b.is_some_and(u8::is_ascii_digit);
                    c == '.' && digit(text.as_bytes()[..k].last()) && digit(text.as_bytes().get(k + 1))
                };
                while let Some((k, c)) = chars.next_if(|&(k, c)| (joins(c) || decimal(k, c)) && !starts(&mut counts, k))
                {
                    end = k + c.len_utf8();
                }
            }
            let printed = text[at..end].to_owned();
            found.push(Word { text: printed.to_lowercase(), printed, span: Span::new(at, end), apart, ends: false });
            apart = false;
        }
    }
    found
}

/// True where the next count begins at a place.
fn starts<'a>(counts: &mut std::iter::Peekable<impl Iterator<Item = &'a Span>>, at: usize) -> bool {
    counts.peek().is_some_and(|count| count.start == at)
}

/// What is to be read in the place of what; in the order of the row.
pub(super) fn differences(old: &[Word], new: &[Word]) -> Vec<Difference> {
    let (old_phrases, new_phrases) = (phrases(old), phrases(new));
    let bags = |phrases: &[(usize, usize)], words: &[Word]| -> Vec<Vec<String>> {
        let bag = |&(a, b): &(usize, usize)| {
            let mut bag: Vec<String> = words[a..b].iter().map(|w| w.text.clone()).collect();
            bag.sort_unstable();
            bag
        };
        phrases.iter().map(bag).collect()
    };
    let (old_bags, new_bags) = (bags(&old_phrases, old), bags(&new_phrases, new));
    let alike = |i: usize, j: usize| {
        let ((a, b), (c, d)) = (old_phrases[i], new_phrases[j]);
        let same = b - a == d - c && old[a..b].iter().zip(&new[c..d]).all(|(x, y)| x.text == y.text);
        let share = likeness(&old_bags[i], &new_bags[j]);
        if same { SAME } else { share / 10 }
    };
    let mut found = Vec::new();
    // where the next words of either row stand
    let (mut o, mut n) = (0, 0);
    for (i, j) in align(old_phrases.len(), new_phrases.len(), alike) {
        let (a, b) = i.map_or((o, o), |i| old_phrases[i]);
        let (c, d) = j.map_or((n, n), |j| new_phrases[j]);
        (o, n) = (b, d);
        match (i, j) {
            (Some(_), Some(_)) => found.extend(within((a, b), (c, d), old, new)),
            _ => found.push(Hunk { old: (a, b), new: (c, d) }),
        }
    }
    joined(found).into_iter().map(|hunk| hunk.told(old, new)).collect()
}

/// Phrases as ranges of words: they end at commas and stops.
fn phrases(words: &[Word]) -> Vec<(usize, usize)> {
    let mut found = Vec::new();
    let mut start = 0;
    for (k, word) in words.iter().enumerate() {
        if word.ends || k + 1 == words.len() {
            found.push((start, k + 1));
            start = k + 1;
        }
    }
    found
}

/// Words that differ: a range of the old row, and one of the new.
#[derive(Clone, Copy, Debug)]
struct Hunk {
    old: (usize, usize),
    new: (usize, usize),
}

/// Words between two differences of a phrase, up to which both are told as one.
const NEAR: usize = 2;

/// The differences within a phrase.
fn within((a, b): (usize, usize), (c, d): (usize, usize), old: &[Word], new: &[Word]) -> Vec<Hunk> {
    let same = |i: usize, j: usize| if old[a + i].text == new[c + j].text { SAME } else { 0 };
    let mut hunks: Vec<Hunk> = Vec::new();
    let (mut o, mut n) = (a, c);
    for (i, j) in align(b - a, d - c, same) {
        let (oi, nj) = (i.map_or(o, |i| a + i), j.map_or(n, |j| c + j));
        (o, n) = (oi + usize::from(i.is_some()), nj + usize::from(j.is_some()));
        if i.is_some() && j.is_some() {
            continue;
        }
        match hunks.last_mut() {
            Some(last) if oi - last.old.1 <= NEAR && nj - last.new.1 <= NEAR => {
                (last.old.1, last.new.1) = (o, n);
            }
            _ => hunks.push(Hunk { old: (oi, o), new: (nj, n) }),
        }
    }
    hunks.into_iter().map(|hunk| hunk.readable((a, b), (c, d), old, new)).collect()
}

/// Phrases added or left out one behind another are told as one.
fn joined(hunks: Vec<Hunk>) -> Vec<Hunk> {
    let mut told: Vec<Hunk> = Vec::new();
    for hunk in hunks {
        match told.last_mut() {
            Some(last) if last.old.1 == hunk.old.0 && last.new.1 == hunk.new.0 => {
                (last.old.1, last.new.1) = (hunk.old.1, hunk.new.1);
            }
            _ => told.push(hunk),
        }
    }
    told
}

fn is_number(word: Option<&Word>) -> bool {
    word.is_some_and(|w| w.text.bytes().all(|b| b.is_ascii_digit()))
}

impl Hunk {
    /// Widens the difference until it can be found in the old row: a number takes the word it counts, and words that
    /// stand there more than once take their neighbours, up to the phrase.
    fn readable(mut self, phrase: (usize, usize), other: (usize, usize), old: &[Word], new: &[Word]) -> Hunk {
        // only over words that stand in both
        let right = |h: &Hunk| h.old.1 < phrase.1 && h.new.1 < other.1 && old[h.old.1].text == new[h.new.1].text;
        let left = |h: &Hunk| h.old.0 > phrase.0 && h.new.0 > other.0 && old[h.old.0 - 1].text == new[h.new.0 - 1].text;
        let nothing = |h: &Hunk| h.old.0 == h.old.1 || h.new.0 == h.new.1;
        if left(&self) && is_number(old.get(self.old.0 - 1)) && !is_number(old.get(self.old.0)) {
            self = self.wider(1, 0);
        }
        let counts = |h: &Hunk| is_number(old[..h.old.1].last()) || is_number(new[..h.new.1].last());
        if right(&self) && (counts(&self) || nothing(&self)) {
            self = self.wider(0, 1);
        }
        // "ch 7": the number stands behind
        let lone = is_number(old.get(self.old.0)) && self.old.1 == self.old.0 + 1;
        if left(&self) && (nothing(&self) || lone) {
            self = self.wider(1, 0);
        }
        while self.nth(old).is_some() {
            if right(&self) {
                self = self.wider(0, 1);
            } else if left(&self) {
                self = self.wider(1, 0);
            } else {
                break;
            }
        }
        self
    }

    fn wider(self, left: usize, right: usize) -> Hunk {
        Hunk { old: (self.old.0 - left, self.old.1 + right), new: (self.new.0 - left, self.new.1 + right) }
    }

    /// Which of several like runs of words of the old row it is; none where it is the only one.
    fn nth(&self, old: &[Word]) -> Option<usize> {
        let run = &old[self.old.0..self.old.1];
        if run.is_empty() {
            return None;
        }
        let like = |at: &usize| old[*at..].iter().zip(run).all(|(a, b)| a.text == b.text);
        let all: Vec<usize> = (0..=old.len() - run.len()).filter(like).collect();
        let mine = all.iter().position(|&at| at == self.old.0)?;
        (all.len() > 1).then_some(mine + 1)
    }

    fn told(self, old: &[Word], new: &[Word]) -> Difference {
        let after = (self.old.0 == self.old.1).then(|| {
            let from = phrases(&old[..self.old.0]).last().map_or(0, |p| p.0);
            printed(&old[from..self.old.0])
        });
        let at = |words: &[Word], (a, b): (usize, usize)| match words.get(a..b) {
            Some([first, .., last]) => first.span.to(last.span),
            Some([one]) => one.span,
            _ => words[..a].last().map_or_else(Span::default, |w| Span::new(w.span.end, w.span.end)),
        };
        Difference {
            old: printed(&old[self.old.0..self.old.1]),
            new: printed(&new[self.new.0..self.new.1]),
            after,
            nth: self.nth(old),
            span_was: at(old, self.old),
            span: at(new, self.new),
        }
    }
}

/// The words as they stand, commas between phrases.
pub(super) fn printed(words: &[Word]) -> String {
    let mut out = String::new();
    for (k, word) in words.iter().enumerate() {
        if k > 0 && word.apart {
            out.push(' ');
        }
        out.push_str(&word.printed);
        if word.ends && k + 1 < words.len() {
            out.push(',');
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(old: &str, new: &str) -> Vec<(String, String)> {
        let all = |text: &str| words(text, Span::new(0, text.len()), &[]);
        differences(&all(old), &all(new)).into_iter().map(|d| (d.old, d.new)).collect()
    }

    fn one(old: &str, new: &str) -> (String, String) {
        let mut all = told(old, new);
        assert_eq!(all.len(), 1, "{all:?}");
        all.remove(0)
    }

    fn pair(old: &str, new: &str) -> (String, String) {
        (old.into(), new.into())
    }

    #[test]
    fn the_least_words_that_can_be_found_are_told() {
        let row = "[sc in next 4 sts, 2 sc in next st] 6 times";
        assert_eq!(one(row, "[sc in next 4 sts, 3 sc in next st] 6 times"), pair("2 sc", "3 sc"));
        assert_eq!(one(row, "[sc in next 4 sts, 2 sc in next st] 7 times"), pair("6 times", "7 times"));
        assert_eq!(one(row, "[sc in next 4 sts, 2 dc in next st] 6 times"), pair("2 sc", "2 dc"));
        assert_eq!(one(row, "[sc in next 5 sts, 2 sc in next st] 6 times"), pair("4 sts", "5 sts"));
        assert_eq!(one("Sc in next st, hdc in next st", "Sc in next st, 2 hdc in next st"), pair("hdc", "2 hdc"));
        assert_eq!(one("Join C, ch 7, turn", "Join C, ch 8, turn"), pair("ch 7", "ch 8"));
        assert_eq!(one("3.75 mm", "4 mm"), pair("3.75 mm", "4 mm"));
        assert_eq!(told(row, "[SC in next 4 sts; 2 sc in next st] 6 times."), [], "capitals and stops are no change");
    }

    #[test]
    fn words_that_stand_there_twice_take_their_neighbours_or_their_number() {
        let row = "2 sc in next st, sc in next 3 sts, 2 sc in last st";
        assert_eq!(
            one(row, "2 sc in next st, sc in next 3 sts, 3 sc in last st"),
            pair("2 sc in last", "3 sc in last")
        );
        let all = |text: &str| words(text, Span::new(0, text.len()), &[]);
        let twice = differences(&all("dc2tog, sc in next st, dc2tog"), &all("dc2tog, sc in next st, dc3tog"));
        assert_eq!((twice[0].old.as_str(), twice[0].nth), ("dc2tog", Some(2)));
    }

    #[test]
    fn phrases_are_added_and_left_out_whole() {
        let (short, long) =
            ("Ch 1, sc in next 3 sts, turn", "Ch 1, sc in next 3 sts, 2 sc in next st, sc in next st, turn");
        assert_eq!(one(short, long), pair("", "2 sc in next st, sc in next st"));
        assert_eq!(one(long, short), pair("2 sc in next st, sc in next st", ""));
        let all = |text: &str| words(text, Span::new(0, text.len()), &[]);
        assert_eq!(differences(&all(short), &all(long))[0].after.as_deref(), Some("sc in next 3 sts"));
    }

    #[test]
    fn the_count_stated_is_no_part_of_the_words() {
        let text = "Sc in next 3 sts. Turn. (3 sc, 1 ch-2 sp)";
        let counts = [Span::new(25, 29), Span::new(31, 40)];
        let all = words(text, Span::new(0, text.len()), &counts);
        assert_eq!(printed(&all), "Sc in next 3 sts, Turn");
    }
}
