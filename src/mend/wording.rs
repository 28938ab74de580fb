//! A change of steps as edits of the row's own words.

use super::change::{Change, Path, bare_act, inside, level, step_at};
use super::numbers::{numbers, rewritten};
use super::phrases::{lower_first, printed, reworded, upper_first};
use crate::craft::Stem;
use crate::instructions::{Act, Class, Row, RowKind, Step, Target, Terms, Times};
use crate::reading::{Rereader, in_other_terms};
use crate::source::{Edit, Span};

/// A phrase of the pattern that may be said again elsewhere.
#[derive(Clone, Debug)]
pub(super) struct Donor {
    /// Its words.
    pub words: String,
    /// What they ask for, without places in the text.
    pub act: Act,
}

/// Writes changes of one row as edits.
pub(super) struct Writer<'w> {
    /// The whole text.
    pub text: &'w str,
    pub row: &'w Row,
    pub reader: &'w mut Rereader,
    /// Phrases whose manner may be taken up, nearest first.
    pub donors: &'w [Donor],
    pub usual: Option<Stem>,
}

impl Writer<'_> {
    /// Ways to write a change, the likeliest first. None is proven to read as it should.
    pub fn ways(&mut self, change: &Change) -> Vec<Vec<Edit>> {
        let steps = &self.row.steps;
        match change {
            Change::State { index, count } => {
                let Some(stated) = self.row.stated.get(*index) else { return Vec::new() };
                let words = self.words(stated.span);
                let fitting = numbers(words).into_iter().find(|n| n.value == stated.count);
                fitting.map(|n| self.replaced(stated.span, &rewritten(words, &n, *count))).into_iter().collect()
            }
            Change::Set { path, act } | Change::SetBoth { path, act } => match step_at(steps, path) {
                Some(step) => self.set(step, act),
                None => Vec::new(),
            },
            Change::Drop { path } => self.dropped(path),
            Change::Again { path } => match step_at(steps, path) {
                Some(step) => {
                    let again = lower_first(self.words(step.span));
                    let behind = path_after(path);
                    self.inserted(&behind, &again)
                }
                None => Vec::new(),
            },
            Change::Insert { path, act } => {
                let words = self.phrase(act);
                words.iter().flat_map(|w| self.inserted(path, w)).collect()
            }
        }
    }

    /// The row's words with edits made, as one line.
    pub fn row_with(&self, edits: &[Edit]) -> String {
        super::apply::edited(self.words(self.row.span), edits, self.row.span.start)
    }

    fn words(&self, span: Span) -> &str {
        self.text.get(span.start..span.end).unwrap_or("")
    }

    fn set(&self, step: &Step, act: &Act) -> Vec<Vec<Edit>> {
        let words = self.words(step.span);
        let children = inside(&step.act);
        if let (Some(first), Some(last)) = (children.first(), children.last()) {
            // only what stands outside the brackets speaks of the whole
            let inner = Span::new(first.span.start, last.span.end);
            let mut ways = Vec::new();
            for (head, span) in
                [(false, Span::new(inner.end, step.span.end)), (true, Span::new(step.span.start, inner.start))]
            {
                if head && span.is_empty() || span.start >= span.end {
                    continue;
                }
                ways.extend(
                    reworded(self.words(span), &step.act, act).into_iter().map(|new| self.replaced(span, &new)),
                );
            }
            return ways;
        }
        let capital = words.starts_with(|c: char| c.is_ascii_uppercase());
        let fitting = |w: String| if capital { upper_first(&w) } else { w };
        let as_elsewhere = self.donors.iter().filter(|d| d.act == *act).map(|d| d.words.clone()).take(1);
        let own = reworded(words, &step.act, act);
        // the phrase's own words with another number come before another phrase's
        let (first, rest): (Vec<_>, Vec<_>) = own.into_iter().partition(|w| keeps_most(words, w));
        first.into_iter().chain(as_elsewhere).chain(rest).map(|w| self.replaced(step.span, &fitting(w))).collect()
    }

    /// An edit that turns the words of a span into others, without what stays the same at either end.
    fn replaced(&self, span: Span, new: &str) -> Vec<Edit> {
        let old = self.words(span);
        let mut head = old.bytes().zip(new.bytes()).take_while(|(a, b)| a == b).count();
        while !(old.is_char_boundary(head) && new.is_char_boundary(head)) {
            head -= 1;
        }
        let most = old.len().min(new.len()) - head;
        let mut tail = old.bytes().rev().zip(new.bytes().rev()).take(most).take_while(|(a, b)| a == b).count();
        while !(old.is_char_boundary(old.len() - tail) && new.is_char_boundary(new.len() - tail)) {
            tail -= 1;
        }
        let span = Span::new(span.start + head, span.end - tail);
        vec![Edit { span, with: new[head..new.len() - tail].to_owned() }]
    }

    fn dropped(&self, path: &Path) -> Vec<Vec<Edit>> {
        let Some((&at, above)) = path.split_last() else { return Vec::new() };
        let here = level(&self.row.steps, above).unwrap_or_default();
        let Some(step) = here.get(at) else { return Vec::new() };
        let mut ways = Vec::new();
        let gone = |span| Edit { span, with: String::new() };
        if let Some(before) = at.checked_sub(1).and_then(|k| here.get(k))
            && before.span.end <= step.span.start
            && is_separator(self.words(Span::new(before.span.end, step.span.start)))
        {
            ways.push(vec![gone(Span::new(before.span.end, step.span.end))]);
        }
        if let Some(after) = here.get(at + 1)
            && step.span.end <= after.span.start
            && is_separator(self.words(Span::new(step.span.end, after.span.start)))
        {
            let mut edits = vec![gone(Span::new(step.span.start, after.span.start))];
            if self.words(step.span).starts_with(|c: char| c.is_ascii_uppercase()) {
                let next = self.words(after.span);
                edits.extend(self.replaced(after.span, &upper_first(next)).into_iter().filter(|e| !e.with.is_empty()));
            }
            ways.push(edits);
        }
        let behind = self.words(Span::new(step.span.end, self.row.span.end));
        let mark = behind.len() - behind.trim_start_matches([',', ';', ' ']).len();
        ways.push(vec![gone(Span::new(step.span.start, step.span.end + mark))]);
        ways
    }

    /// A phrase put before the step at a path, or behind the last of its level.
    fn inserted(&self, path: &Path, phrase: &str) -> Vec<Vec<Edit>> {
        let Some((&at, above)) = path.split_last() else { return Vec::new() };
        let here = level(&self.row.steps, above).unwrap_or_default();
        let put = |at: usize, with: String| Edit { span: Span::new(at, at), with };
        let mut ways = Vec::new();
        // behind a step whose words it can follow
        if let Some(before) = at.checked_sub(1).and_then(|k| here.get(k))
            && super::change::is_phrase(&before.act)
        {
            ways.push(vec![put(before.span.end, format!("{}{phrase}", self.mark_behind(before.span)))]);
        }
        if let Some(after) = here.get(at) {
            let words = self.words(after.span);
            let capital = words.starts_with(|c: char| c.is_ascii_uppercase());
            let mark = self.mark_behind(after.span);
            let with = format!("{}{mark}", if capital { upper_first(phrase) } else { phrase.to_owned() });
            let mut edits = vec![put(after.span.start, with)];
            if capital {
                let lower = lower_first(words);
                edits.extend(self.replaced(after.span, &lower).into_iter().filter(|e| !e.with.is_empty()));
            }
            ways.push(edits);
        }
        ways
    }

    /// The mark that parts phrases here.
    fn mark_behind(&self, span: Span) -> &'static str {
        let behind = self.words(Span::new(span.end, self.row.span.end));
        if behind.starts_with("; ") && !behind.starts_with("; rep") { "; " } else { ", " }
    }

    /// Words that ask for an act, each proven to read so when it stands alone.
    fn phrase(&mut self, act: &Act) -> Vec<String> {
        let act = bare_act(act);
        let mut found: Vec<String> = Vec::new();
        let donors = self.donors;
        let exact = donors.iter().filter(|d| d.act == act).map(|d| d.words.clone());
        let mut turned: Vec<&Donor> =
            donors.iter().filter(|d| d.act != act && same_but_for_numbers(&d.act, &act)).collect();
        // the phrase that needs the least of its words changed
        turned.sort_by_key(|d| numbers_apart(&d.act, &act));
        let turned = turned.into_iter().flat_map(|d| reworded(&d.words, &d.act, &act));
        let whole = if self.row.heading.kind == RowKind::Round { "around" } else { "across" };
        let terms = self.reader.terms();
        let printed = printed(&act, whole).into_iter().map(|words| in_other_terms(&words, Terms::Us, terms));
        let all: Vec<String> = exact.chain(turned).chain(printed).collect();
        for words in all {
            if found.len() < MOST_WORDINGS && !found.contains(&words) && self.reads_as(&words, &act) {
                found.push(words);
            }
        }
        found
    }

    fn reads_as(&mut self, words: &str, act: &Act) -> bool {
        let row = self.reader.row(words, false, self.usual);
        row.read && row.stated.is_empty() && matches!(row.steps.as_slice(), [step] if says(&bare_act(&step.act), act))
    }
}

/// True where the first act says the second: the same, or once in brackets and so many times.
fn says(read: &Act, act: &Act) -> bool {
    use super::knobs::{Knob, with};
    match read {
        Act::Repeat { steps, times, stop } if matches!(act, Act::Repeat { .. }) => match act {
            Act::Repeat { steps: asked, times: often, stop: at } => {
                times == often
                    && stop == at
                    && steps.len() == asked.len()
                    && steps.iter().zip(asked).all(|(a, b)| same_work(&a.act, &b.act))
            }
            _ => false,
        },
        Act::Repeat { steps, times: Times::InAll(n), .. } => {
            matches!(steps.as_slice(), [step] if same_work(&with(&step.act, Knob::Count, *n), act))
        }
        _ => same_work(read, act),
    }
}

/// "sc in next 3" says "sc in next 3 sts".
fn same_work(a: &Act, b: &Act) -> bool {
    let loose = |act: &Act| match act {
        Act::Work { each, form, at: Target::Next { n, class: Class::Any } } => {
            Act::Work { each: *each, form: *form, at: Target::Next { n: *n, class: Class::Stitch } }
        }
        other => other.clone(),
    };
    loose(a) == loose(b)
}

/// Wordings of one phrase that are tried.
const MOST_WORDINGS: usize = 3;

fn path_after(path: &Path) -> Path {
    let mut path = path.clone();
    if let Some(at) = path.last_mut() {
        *at += 1;
    }
    path
}

/// True where the new words are the old ones with a number changed, or nearly.
fn keeps_most(old: &str, new: &str) -> bool {
    let words = |text: &str| text.to_ascii_lowercase().split_whitespace().map(str::to_owned).collect::<Vec<_>>();
    let (old, new) = (words(old), words(new));
    let kept = old.iter().filter(|w| new.contains(w)).count();
    old.len() > 1 && kept + 2 >= old.len()
}

/// True where two acts differ in their numbers alone.
pub(super) fn same_but_for_numbers(a: &Act, b: &Act) -> bool {
    use super::knobs::{knobs, with};
    let (mine, theirs) = (knobs(a), knobs(b));
    mine.len() == theirs.len() && theirs.iter().fold(a.clone(), |act, (knob, value)| with(&act, *knob, *value)) == *b
}

/// How many numbers two acts of one family differ in.
fn numbers_apart(a: &Act, b: &Act) -> usize {
    use super::knobs::knobs;
    knobs(a).iter().zip(knobs(b)).filter(|(x, y)| **x != *y).count()
}

/// True for words between phrases that only part them.
fn is_separator(words: &str) -> bool {
    words
        .split(|c: char| c.is_whitespace() || matches!(c, ',' | ';' | '.'))
        .all(|w| w.is_empty() || matches!(w.to_ascii_lowercase().as_str(), "and" | "then"))
}
