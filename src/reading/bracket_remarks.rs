//! Brackets that hold no work: counts, "counts as dc", "RS", remarks; and what may follow a row's count.

use super::lex::{Kind, Token};
use super::phrase::{RowReader, Run};
use super::stitch::Named;
use super::words;
use crate::instructions::{Act, Class, Step, Target};
use crate::source::Span;

/// Tokens of the longest words that say how long a tail is left.
const LONGEST_TAIL: usize = 12;

/// "8 rows", "19 rows in total", "total 6 rnds": how many rows there are by now.
fn counts_rows(inner: &[Token]) -> bool {
    let mut row = false;
    let mut number = false;
    inner.len() <= LONGEST_ROWS
        && inner.iter().all(|t| match &t.kind {
            Kind::Number(_) => !std::mem::replace(&mut number, true),
            Kind::Word(w) if words::ROW.contains(&w.as_str()) || words::ROUND.contains(&w.as_str()) => {
                row = true;
                true
            }
            Kind::Word(w) => {
                matches!(w.as_str(), "total" | "in" | "all" | "altogether" | "worked" | "completed" | "of")
            }
            _ => false,
        })
        && row
        && number
}

/// "scallop made": a name to be used again, plain as its words are.
fn names_shape(inner: &[Token]) -> bool {
    let word = |t: &Token, list: &[&str]| matches!(&t.kind, Kind::Word(w) if list.contains(&w.as_str()));
    inner.last().is_some_and(|t| word(t, &["made", "completed"])) && inner.iter().any(|t| word(t, words::SHAPES))
}

/// Tokens of the longest count of rows.
const LONGEST_ROWS: usize = 6;

impl RowReader<'_> {
    /// "7 sc evenly down left side (7 sc), …": what has just been worked, counted again.
    fn counts_work_before(&self, start: usize, close: usize, run: &Run) -> bool {
        let Some(Act::Work { each, form, at }) = run.steps.last().map(|s| &s.act) else { return false };
        let mut c = self.c.clone();
        c.at = start + 1;
        let Some(n) = c.number() else { return false };
        let same = match c.stitch() {
            Some(Named::Form(named)) => named == *form,
            _ => c.eat_any(words::STITCH),
        };
        let told = match at {
            Target::Next { n, .. } | Target::Last { n, .. } => Some(each.saturating_mul(*n)),
            Target::Evenly { n } => *n,
            _ => None,
        };
        let fits = same && c.at == close && told.is_some_and(|told| told == n);
        c.at = close + 1;
        fits && matches!(c.kind(0), Some(Kind::Comma | Kind::Semicolon))
    }

    /// Counts, "counts as dc", "RS" and commentary in brackets.
    pub(super) fn remark(&mut self, start: usize, close: usize, run: &mut Run) -> bool {
        let tokens = self.c.tokens;
        let inner = &tokens[start + 1..close];
        if self.yarn_in_brackets(start, close, run) {
            return true;
        }
        if counts_rows(inner)
            && self.c.house.rows > 1
            && let [Step { act: Act::Work { each: 1, at: at @ Target::NEXT, .. }, .. }] = run.steps.as_mut_slice()
        {
            // "Rnds 5-7: Sc (3 rnds)": a stitch that is all there is goes into each
            *at = Target::Each { class: Class::Stitch, less: 0, every: 1 };
        }
        if counts_rows(inner) || self.counts_work_before(start, close, run) {
            // "(8 rows)" counts the rows told, not their stitches
            self.notes.push(Span::new(tokens[start].span.start, tokens[close].span.end));
            self.c.at = close + 1;
            return true;
        }
        if matches!(run.steps.last().map(|s| &s.act), Some(Act::Join { .. } | Act::Work { .. }))
            && self.skips_beginning(start + 1, close)
        {
            // "join with sl st in first tr (skip ch-4)"
            self.notes.push(Span::new(tokens[start].span.start, tokens[close].span.end));
            self.c.at = close + 1;
            return true;
        }
        if matches!(run.steps.last().map(|s| &s.act), Some(Act::Work { .. })) && self.says_place_again(start + 1, close)
        {
            // "sc in next sc (center sc of 3-sc group)"
            self.notes.push(Span::new(tokens[start].span.start, tokens[close].span.end));
            self.c.at = close + 1;
            return true;
        }
        if self.ring_in_brackets(start, close, run) {
            return true;
        }
        if self.counts_a_side(start, close) || self.same_place_told(start, close) {
            self.notes.push(Span::new(tokens[start].span.start, tokens[close].span.end));
            self.c.at = close + 1;
            return true;
        }
        let last = self.ends_row(self.behind_rows_remark(close + 1))
            || self.chains_to_turn(close + 1)
            || self.ends_sentence(close + 1)
            || self.between_sentences(start, close)
            || self.holds_only_sts(start + 1, close);
        if last && self.stated_in(start + 1, close, true) {
            self.c.at = close + 1;
            return true;
        }
        self.c.at = start + 1;
        let before = run.steps.len();
        if self.counts(run) {
            if self.c.at == close {
                self.c.at = close + 1;
                return true;
            }
            // words are left over behind it: it is not what it seemed
            run.steps.truncate(before);
        }
        self.c.at = start;
        if let [t] = inner
            && matches!(&t.kind, Kind::Word(w) if w == "rs" || w == "ws")
        {
            self.c.at = close + 1;
            return true;
        }
        let span = Span::new(tokens[start].span.start, tokens[close].span.end);
        // "(color B rnd)": which colour the row spoken of has
        let coloured = matches!(inner.first().map(|t| &t.kind), Some(Kind::Word(w)) if matches!(w.as_str(), "color" | "colour" | "yarn"))
            && inner.iter().skip(2).all(|t| match &t.kind {
                Kind::Word(w) => words::ROW.contains(&w.as_str()) || words::ROUND.contains(&w.as_str()),
                kind => *kind == Kind::Dash,
            });
        let remark = self.is_commentary(start + 1, close)
            || !names_shape(inner) && self.says_nothing(start + 1, close)
            || self.labels(start + 1, close);
        if coloured || !inner.is_empty() && remark {
            self.notes.push(span);
            self.c.at = close + 1;
            return true;
        }
        self.c.at = start;
        false
    }

    /// "Sc in each sc around. (5 sc) Sl st in next sc.": a count with a sentence before it and one behind.
    fn between_sentences(&self, start: usize, close: usize) -> bool {
        let stop = start > 0
            && match &self.c.tokens[start - 1].kind {
                Kind::Word(w) => words::TO_END.contains(&w.as_str()) || w == "end",
                kind => *kind == Kind::Stop,
            };
        let behind = self.c.tokens.get(close + 1);
        stop && self.depth == 0
            && behind.is_some_and(|t| {
                matches!(t.kind, Kind::Word(_)) && self.text[t.span.start..].starts_with(char::is_uppercase)
            })
    }

    /// "skip ch-4", "skipping beg ch 2" behind a join: the chain that is passed over.
    fn skips_beginning(&self, from: usize, close: usize) -> bool {
        let mut c = self.c.clone();
        c.at = from;
        if !(c.eat_any(words::SKIP) || c.eat_any(&["skipping", "missing"])) {
            return false;
        }
        let _ = c.eat("the");
        let _ = c.eat_any(words::BEGINNING);
        if !c.eat_any(words::CHAIN) {
            return false;
        }
        let _ = c.eat_kind(&Kind::Dash);
        let _ = c.number();
        c.at == close
    }

    /// "6 sc (magic circle)": what the stitches before it go into.
    fn ring_in_brackets(&mut self, start: usize, close: usize, run: &mut Run) -> bool {
        let mut c = self.c.clone();
        c.at = start + 1;
        let _ = c.eat_any(&["in", "into"]);
        let _ = c.eat_any(&["a", "the"]);
        let ring =
            c.eat("mr") || c.eat_any(&["magic", "adjustable", "thread"]) && c.eat_any(&["ring", "circle", "loop"]);
        let [Step { act: Act::Work { each, at, .. }, .. }] = run.steps.as_mut_slice() else { return false };
        let (true, true, Target::Next { n, class: Class::Any }) = (ring, c.at == close, &*at) else { return false };
        *each = *n;
        *at = Target::Ring;
        self.c.at = close + 1;
        true
    }

    /// "(point)", "(hanging loop)", "(top of wing)": what was just made, by its name.
    fn labels(&self, from: usize, close: usize) -> bool {
        let words = &self.c.tokens[from..close];
        let mut behind = self.c.clone();
        behind.at = close + 1;
        let mut inside = self.c.clone();
        inside.at = from;
        // "(shell made)" gives a name to be used again
        let coins = matches!(words.last().map(|t| &t.kind), Some(Kind::Word(w)) if w == "made" || w == "completed");
        if coins || inside.stitch().is_some() || behind.times().is_some() || behind.place().is_some() {
            return false;
        }
        let mut names = words.iter().map(|t| match &t.kind {
            Kind::Word(w) => {
                w.len() > 2
                    && (self.is_plain(w) || words::SPACE.contains(&w.as_str()))
                    && !words::STITCHES.iter().any(|n| n.words == [w.as_str()])
                    && !words::CHAIN.contains(&w.as_str())
                    && words::number_word(w).is_none()
                    && !words::TIMES.iter().any(|(t, _)| t == w)
                    && !words::TO_END.contains(&w.as_str())
                    && !matches!(w.as_str(), "inc" | "dec" | "increase" | "decrease" | "turn" | "repeat" | "skip")
            }
            _ => false,
        });
        !words.is_empty() && words.len() < 4 && names.all(|known| known)
    }

    /// "(9 sc for each side)", "(9 sts per side)": the row's count told side by side.
    pub(super) fn counts_a_side(&self, start: usize, close: usize) -> bool {
        let mut c = self.c.clone();
        c.at = start + 1;
        let counted = c.number().is_some() && c.class().is_some();
        let led = counted && (c.eat("per") || c.eat_any(&["for", "on", "along", "in", "at"]) && c.eat("each"));
        led && c.eat_any(&["side", "edge", "petal", "point", "section", "leg", "corner"]) && c.at == close
    }

    /// The token behind "(4 rounds)", where that stands here.
    pub(super) fn behind_rows_remark(&self, at: usize) -> usize {
        let rows = matches!(self.c.kind_at(at + 2), Some(Kind::Word(w)) if words::ROW.contains(&w.as_str()) || words::ROUND.contains(&w.as_str()));
        let bracket = matches!(self.c.kind_at(at), Some(Kind::Open(_)))
            && matches!(self.c.kind_at(at + 1), Some(Kind::Number(_)))
            && matches!(self.c.kind_at(at + 3), Some(Kind::Close(_)));
        if rows && bracket { at + 4 } else { at }
    }

    /// "[9 sts]" can be nothing but a count, unless it is told where or how often.
    pub(super) fn holds_only_sts(&self, from: usize, close: usize) -> bool {
        let sts = matches!(self.c.kind_at(from + 1), Some(Kind::Word(w)) if words::STITCH.contains(&w.as_str()));
        let alone = close == from + 1
            && matches!(self.c.kind_at(close + 1), Some(Kind::Word(w)) if !words::INTO.contains(&w.as_str()) && !matches!(w.as_str(), "times" | "twice" | "x" | "each" | "next"));
        close == from + 2 && sts || alone
    }

    /// True where a full stop follows, or the words that end a row: no place, no "times".
    pub(super) fn ends_sentence(&self, from: usize) -> bool {
        match self.c.kind_at(from) {
            None | Some(Kind::Stop | Kind::Semicolon | Kind::Star(2..)) => true,
            Some(Kind::Word(w)) => {
                matches!(w.as_str(), "fasten" | "turn" | "join" | "cut" | "break" | "do" | "change" | "fo")
                    || self.begins_line(from)
                    || super::remarks::is_making_up(w)
                        && self.text[self.c.tokens[from].span.start..].starts_with(char::is_uppercase)
            }
            _ => false,
        }
    }

    /// True where nothing but marks, turns and joins follows.
    pub(super) fn ends_row(&self, from: usize) -> bool {
        self.only_ends(from) || self.ends_and_remarks(from) || self.tells_rounds(from) || self.size_in_brackets(from)
    }

    /// ". (Base measures approx 2¾ ins [7 cm])" behind a count: how large the piece is by now.
    fn size_in_brackets(&self, from: usize) -> bool {
        let open = from + usize::from(self.c.kind_at(from) == Some(&Kind::Stop));
        let Some(close) = self.partners.get(open).copied().flatten().filter(|&close| close > open) else {
            return false;
        };
        let measures =
            (open + 1..close).any(|k| matches!(self.c.word_at(k), Some("measures" | "measure" | "diameter")));
        let behind = close + 1 + usize::from(self.c.kind_at(close + 1) == Some(&Kind::Stop));
        measures && behind >= self.c.tokens.len()
    }

    /// "4 rounds" behind the count of a range: how many rows that is, said again.
    fn tells_rounds(&self, from: usize) -> bool {
        let rows = matches!(self.c.kind_at(from), Some(Kind::Number(n)) if *n as usize == self.c.house.rows);
        let named = self.c.word_at(from + 1).is_some_and(|w| words::ROUND.contains(&w) || words::ROW.contains(&w));
        rows && named && (from + 2 == self.c.tokens.len() || self.c.kind_at(from + 2) == Some(&Kind::Stop))
    }

    /// True where sentences of making up follow, and no work.
    pub(super) fn ends_and_remarks(&self, from: usize) -> bool {
        let tokens = self.c.tokens;
        let mut at = from;
        if tokens.len().saturating_sub(from) > LONGEST_END {
            return false;
        }
        while at < tokens.len() {
            let open = self.c.kind_at(at);
            let behind_mark =
                at == from || matches!(self.c.kind_at(at - 1), Some(Kind::Stop | Kind::Semicolon | Kind::Comma));
            at = match open {
                Some(Kind::Comma | Kind::Stop | Kind::Semicolon) => at + 1,
                Some(Kind::Word(_)) if behind_mark || self.begins_line(at) => match self.making_up_at(at) {
                    Some(end) => end,
                    None if self.ending_words(at) > 0 => self.tail_left(at + self.ending_words(at)),
                    None => return false,
                },
                _ => return false,
            };
        }
        at > from
    }

    /// Behind "fasten off leaving a long end", "join B in any tr": the tail that is left or the place, to the next mark.
    fn tail_left(&self, at: usize) -> usize {
        let word = |k: usize| self.c.word_at(k).unwrap_or_default();
        let tied = word(at - 1) == "join" && word(at).len() == 1 && matches!(word(at + 1), "in" | "to" | "into");
        if word(at) != "leaving" && !tied {
            return at;
        }
        let ends = |k: &usize| matches!(self.c.kind_at(*k), None | Some(Kind::Stop | Kind::Semicolon | Kind::Comma));
        (at..at + LONGEST_TAIL).find(ends).unwrap_or(at)
    }

    /// "(same ch as first 3 hdc)" behind a stitch: its place told once more.
    fn same_place_told(&self, start: usize, close: usize) -> bool {
        let mut c = self.c.clone();
        c.at = start + 1;
        let _ = c.eat_any(words::INTO);
        let _ = c.eat("the");
        c.word(0) == Some("same") && c.target(true) == Some(Target::Same) && c.at == close
    }

    /// Tokens of "fasten off", "break yarn", "turn", "join" at a token.
    pub(super) fn ending_words(&self, at: usize) -> usize {
        let word = |k: usize| match self.c.kind_at(at + k) {
            Some(Kind::Word(w)) => w.as_str(),
            _ => "",
        };
        match (word(0), word(1)) {
            ("fasten" | "end" | "finish", "off") => 2,
            ("cut" | "break", "yarn") => 2,
            ("cut" | "break", one) if one.len() == 1 => 2,
            ("turn" | "join" | "fo", _) => 1,
            _ => 0,
        }
    }

    /// "center sc of 3-sc group", "the top of shell": a place, and no more, up to a token.
    fn says_place_again(&self, from: usize, close: usize) -> bool {
        let mut c = self.c.clone();
        c.at = from;
        let _ = c.eat_any(&["this", "is"]) && c.eat_any(&["is", "the"]);
        let _ = c.eat("the");
        let above = c.eat_any(&["above", "over", "behind", "beneath"]) || c.eat_all(&["on", "top", "of"]);
        if above {
            // "sc in next sc (above cl)"
            let _ = c.eat_any(&["the", "a", "each"]) | c.eat_any(&["next", "last", "first"]);
            return (c.shape_word().is_some() || c.class().is_some()) && c.at == close;
        }
        let leads = c.word(0).is_some_and(|w| words::CENTRE.contains(&w) || matches!(w, "top" | "first" | "last"))
            || matches!(c.kind(0), Some(Kind::Ordinal(_)));
        leads && c.target(true).is_some() && c.at == close
    }

    /// "Ch 3, turn." behind a count: the chain of the next row.
    fn chains_to_turn(&self, from: usize) -> bool {
        let mut c = self.c.clone();
        c.at = from;
        let _ = c.eat_kind(&Kind::Comma) || c.eat_kind(&Kind::Stop);
        let turned = c.eat("turn") && {
            let _ = c.eat_kind(&Kind::Comma) || c.eat_kind(&Kind::Stop);
            true
        };
        let chained = c.eat_any(words::CHAIN) && c.number().is_some();
        let _ = c.eat_kind(&Kind::Comma) | c.eat("and");
        chained && (turned || c.eat("turn")) && self.only_ends(c.at)
    }

    pub(super) fn only_ends(&self, from: usize) -> bool {
        self.c.tokens[from.min(self.c.tokens.len())..].iter().all(|t| match &t.kind {
            Kind::Comma | Kind::Stop | Kind::Semicolon | Kind::Star(2..) => true,
            Kind::Word(w) => matches!(
                w.as_str(),
                "turn"
                    | "join"
                    | "fasten"
                    | "off"
                    | "with"
                    | "do"
                    | "not"
                    | "and"
                    | "cut"
                    | "yarn"
                    | "a"
                    | "b"
                    | "c"
                    | "d"
            ),
            _ => false,
        })
    }
}

/// Tokens of the longest end of a row that is looked through for work.
const LONGEST_END: usize = 300;
