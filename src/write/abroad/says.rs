//! Steps in the words of another language.

use super::places::Way;
use super::table::Words;
use crate::craft::{Stem, StitchForm};
use crate::instructions::{AS_EVEN, AS_NAMED, Act, Class, JoinTo, Step, Target, Times};
use crate::source::Span;
use crate::symbol::{Language, Speak, SymbolSet, name_of};
use crate::write::page::Piece;
use crate::write::speech::is_anywhere;

/// Says the steps of a row.
pub(super) struct Says<'a> {
    pub words: Words,
    pub language: Language,
    pub symbols: &'a SymbolSet,
    /// The pattern's own text, for what the table has no words for.
    pub text: &'a str,
    /// True where a ring of thread is made by the first stitches into it.
    pub ring_to_come: bool,
    /// True in a round.
    pub round: bool,
}

impl Says<'_> {
    /// The abbreviation of a make of stitch.
    pub fn form(&self, form: StitchForm) -> String {
        name_of(self.symbols, form, Speak::In(self.language)).short
    }

    /// The abbreviation of a stem.
    pub fn stem(&self, stem: Stem) -> String {
        self.form(StitchForm::plain(stem))
    }

    /// "3 fM"; makes of several legs begin with a number of their own.
    pub fn counted(&self, n: u32, form: StitchForm) -> String {
        match (n, form.legs) {
            (1, 2..) => self.form(form),
            (n, 2..) => format!("{n} × {}", self.form(form)),
            (n, _) => format!("{n} {}", self.form(form)),
        }
    }

    /// Steps one after another, in pieces.
    pub fn steps(&self, steps: &[Step], depth: usize) -> Vec<Piece> {
        let mut found: Vec<Piece> = Vec::new();
        for (k, step) in steps.iter().enumerate() {
            if k > 0 {
                let joined = matches!(step.act, Act::Counts { .. }) || matches!(steps[k - 1].act, Act::Ending);
                found.push(Piece { words: if joined { " " } else { ", " }.into(), spans: Vec::new() });
            }
            found.extend(self.step(step, depth));
        }
        found
    }

    fn step(&self, step: &Step, depth: usize) -> Vec<Piece> {
        if let Act::Repeat { steps, times, stop } = &step.act
            && let Some(pieces) = self.repeat(steps, times, *stop, depth)
        {
            return pieces;
        }
        let words = self.anywhere(step).or_else(|| self.act(&step.act)).unwrap_or_else(|| self.own(step.span));
        vec![Piece { words, spans: vec![step.span] }]
    }

    /// Yarn that may be joined in any of its places.
    fn anywhere(&self, step: &Step) -> Option<String> {
        let Act::Attach { yarn, at: Some(Target::Next { n: 1, class }) } = &step.act else { return None };
        if !is_anywhere(self.text, step.span) {
            return None;
        }
        let yarn = yarn.clone().unwrap_or_else(|| self.words.say("the yarn", &[]));
        let noun = self.class(class)?;
        let slip = self.counted(1, StitchForm::plain(Stem::SlipStitch));
        let place = self.words.say_of("any", noun.gender, &[("w", &slip), ("c", &noun.one)]);
        Some(self.words.say("attach at", &[("yarn", &yarn), ("w", &place)]))
    }

    /// Words of the pattern itself, marked as such.
    pub fn own(&self, span: Span) -> String {
        let words = self.text.get(span.start..span.end).unwrap_or("");
        self.marked(&words.split_whitespace().collect::<Vec<_>>().join(" "))
    }

    /// Words marked as the pattern's own.
    pub fn marked(&self, words: &str) -> String {
        self.words.say("own words", &[("w", words)])
    }

    fn repeat(&self, steps: &[Step], times: &Times, stop: Option<usize>, depth: usize) -> Option<Vec<Piece>> {
        let stop = stop.filter(|&k| k > 0 && k < steps.len());
        let inner = match stop {
            None => self.steps(steps, depth + 1),
            Some(k) => {
                let mut inner = self.steps(&steps[..k], depth + 1);
                inner.push(Piece { words: "**, ".into(), spans: Vec::new() });
                inner.extend(self.steps(&steps[k..], depth + 1));
                inner
            }
        };
        let stars = depth == 0;
        let star = |key: &'static str, other: &'static str| if stars || stop.is_some() { key } else { other };
        let (key, n, class) = match times {
            Times::InAll(1) => ("bracket once", 1, None),
            Times::InAll(n) if stop.is_some() => ("star more", n.saturating_sub(1), None),
            Times::InAll(n) => ("bracket n", *n, None),
            Times::More(1) if stars || stop.is_some() => ("star once more", 1, None),
            Times::More(n) => (star("star more", "bracket n"), if stars || stop.is_some() { *n } else { n + 1 }, None),
            Times::ToEnd { less: 0, .. } => (star("star to end", "bracket to end"), 0, None),
            Times::ToEnd { less, class } => (star("star but n", "bracket but n"), *less, Some(class)),
            Times::Doubt(_) | Times::Along | Times::UpTo { .. } => return None,
        };
        let noun = self.class(class.unwrap_or(&Class::Stitch))?;
        let ending = stop.map_or_else(String::new, |_| self.words.say("stop here", &[]));
        let n_told = n.to_string();
        let values = [("w", "\u{0}"), ("n", n_told.as_str()), ("c", noun.of(n)), ("stop", &ending)];
        let said = self.words.say(key, &values);
        let (open, close) = said.split_once('\u{0}')?;
        let glue = |words: &str| Piece { words: words.to_owned(), spans: Vec::new() };
        let mut pieces = vec![glue(open)];
        pieces.extend(inner);
        pieces.push(glue(close));
        Some(pieces)
    }

    /// What a step that is no repeat says; none where the table has no words for it.
    fn act(&self, act: &Act) -> Option<String> {
        let words = &self.words;
        let chain = self.stem(Stem::Chain(1));
        let plain = |key: &str| Some(words.say(key, &[("ch", &chain), ("sl", &self.stem(Stem::SlipStitch))]));
        let number = |key: &str, n: u32| Some(words.say(key, &[("n", &n.to_string()), ("ch", &chain)]));
        let of_class = |key: &str, class: &Class, n: u32| {
            let noun = self.class(class)?;
            Some(words.say_of(key, noun.gender, &[("n", &n.to_string()), ("c", noun.of(n))]))
        };
        match act {
            Act::Chain { n } => number("chains", *n),
            Act::Ring { thread: true } => plain("make thread ring"),
            Act::Ring { thread: false } => plain("close ring"),
            Act::Work { each, form, at } => self.work(*each, *form, at),
            Act::Group { steps, at, name } => {
                let inner = match name {
                    Some(name) => format!("1 {name}"),
                    None => format!("({})", self.in_one_place(steps)?),
                };
                self.at(&inner, at, Way::Into)
            }
            Act::Skip { n, class } => of_class("skip", class, *n),
            Act::SkipFirst { class } => of_class("skip first", class, 1),
            Act::Leave { n: Some(n) } => of_class("leave", &Class::Stitch, *n),
            Act::Leave { n: None } => of_class("leave rest", &Class::Stitch, 2),
            Act::BothLayers { next: false, .. } => Some(self.words.say("both layers", &[])),
            Act::BothLayers { next: true, .. } => None,
            Act::Picot { n } => number("picot of n", *n),
            Act::Join { to, with } => {
                let (key, n) = match to {
                    JoinTo::Untold | JoinTo::First => ("join first", 0),
                    JoinTo::Chain(None) => ("join chain", 0),
                    JoinTo::Chain(Some(n)) => ("join nth chain", *n),
                    JoinTo::Space => ("join space", 0),
                };
                let with = self.counted(1, *with);
                Some(words.say(key, &[("w", &with), ("n", &n.to_string()), ("ch", &chain)]))
            }
            Act::DoNotJoin => plain("do not join"),
            Act::Ending => plain("ending"),
            Act::Turn => plain("turn"),
            Act::DoNotTurn => plain("do not turn"),
            Act::FarSide => plain("far side"),
            Act::RowEnds => plain("row ends"),
            Act::Attach { yarn, at } => {
                let yarn = yarn.clone().unwrap_or_else(|| words.say("the yarn", &[]));
                match at {
                    None => Some(words.say("attach yarn", &[("yarn", &yarn)])),
                    Some(at) => {
                        let place = self.at(&self.counted(1, StitchForm::plain(Stem::SlipStitch)), at, Way::Into)?;
                        Some(words.say("attach at", &[("yarn", &yarn), ("w", &place)]))
                    }
                }
            }
            Act::With { yarn } => Some(words.say("with yarn", &[("yarn", yarn)])),
            Act::Change { yarn } => Some(words.say("change yarn", &[("yarn", yarn)])),
            Act::FastenOff { yarn: Some(yarn) } => Some(words.say("fasten off yarn", &[("yarn", yarn)])),
            Act::FastenOff { yarn: None } => plain("fasten off"),
            Act::Counts { counts: false, .. } => plain("counts not"),
            Act::Counts { stem: None, .. } => plain("counts as st"),
            Act::Counts { stem: Some(stem), space, .. } => {
                let stitch = format!("1 {}", self.stem(*stem));
                let key = if *space == 0 { "counts as" } else { "counts as and" };
                Some(words.say(key, &[("w", &stitch), ("n", &space.to_string()), ("ch", &chain)]))
            }
            Act::Shape { by: 0, .. } => None,
            Act::Shape { by, more, .. } => number(if *more { "increase evenly" } else { "decrease evenly" }, *by),
            Act::AsRow { rows } => self.again(rows),
            Act::Mark { back: 0 } => plain("mark"),
            Act::Mark { .. }
            | Act::AnyChain
            | Act::Filet { .. }
            | Act::Instead { .. }
            | Act::Repeat { .. }
            | Act::NewEdge
            | Act::LoopsOf { .. }
            | Act::Opening { .. }
            | Act::OfRow { .. }
            | Act::AsPart { .. }
            | Act::OnPart { .. }
            | Act::Pattern { .. }
            | Act::RowsUntil { .. }
            | Act::Even { .. } => None,
        }
    }

    fn work(&self, each: u32, form: StitchForm, at: &Target) -> Option<String> {
        let way = if form.extra.post.is_some() { Way::Around } else { Way::Into };
        let over = form.places() as u32;
        if let Target::Evenly { n: Some(n) } = at {
            return self.at(&self.counted(*n, form), at, way);
        }
        let work = self.counted(each, form);
        if over < 2 {
            return self.at(&work, at, way);
        }
        let (key, class) = match at {
            Target::Next { n: 1, class } => ("over next n", class),
            Target::Each { class, less: 0, every: 1 } => ("over each n", class),
            _ => return None,
        };
        let noun = self.class(class)?;
        let values = [("w", work.as_str()), ("n", &over.to_string()), ("c", &noun.many)];
        Some(self.words.say_of(key, noun.gender, &values))
    }

    /// What goes into one place, its places left unsaid.
    fn in_one_place(&self, steps: &[Step]) -> Option<String> {
        let mut found: Vec<String> = Vec::new();
        for step in steps {
            let words = match &step.act {
                Act::Work { each, form, at: Target::Next { n, class: Class::Any | Class::Stitch } } => {
                    self.counted(each * n, *form)
                }
                Act::Repeat { steps, times: Times::InAll(n), stop: None } => {
                    let inner = self.in_one_place(steps)?;
                    self.words.say("bracket n", &[("w", &inner), ("n", &n.to_string())])
                }
                Act::Group { name: Some(name), .. } => format!("1 {name}"),
                Act::Counts { .. } => {
                    let words = self.act(&step.act)?;
                    if let Some(last) = found.last_mut() {
                        *last = format!("{last} {words}");
                        continue;
                    }
                    words
                }
                act => self.act(act)?,
            };
            found.push(words);
        }
        Some(found.join(", "))
    }

    /// Rows worked again.
    pub fn again(&self, rows: &[u32]) -> Option<String> {
        let back = |n: u32| u32::MAX - n;
        if rows.iter().any(|n| (AS_NAMED..=AS_EVEN).contains(n)) {
            return None;
        }
        if let Some((run, times)) = crate::write::speech::over_and_over(rows) {
            let one = self.again(run)?;
            return Some(self.words.say("so often", &[("w", &one), ("n", &times.to_string())]));
        }
        match rows {
            [one] if back(*one) < 1000 => {
                let noun = self.row_noun(self.round);
                Some(self.words.say_of("last row again", noun.gender, &[("row", &noun.one)]))
            }
            [first, ..] if back(*first) < 1000 => None,
            rows => Some(self.words.say("as row", &[("rows", &self.numbered(self.round, rows))])),
        }
    }

    /// What rows or rounds are called.
    pub fn row_noun(&self, round: bool) -> super::table::Noun {
        self.words.noun(if round { "round" } else { "row" }, &[])
    }

    /// "Reihe 5", "Reihen 5-8", "Reihen 3, 5 und 7".
    pub fn numbered(&self, round: bool, numbers: &[u32]) -> String {
        let noun = self.row_noun(round);
        let told: Vec<String> = numbers.iter().map(u32::to_string).collect();
        match told.split_last() {
            None => noun.one,
            Some((one, [])) => format!("{} {one}", noun.one),
            Some((last, [first, _, ..])) if numbers.windows(2).all(|w| w[1] == w[0].saturating_add(1)) => {
                format!("{} {first}-{last}", noun.many)
            }
            Some((last, rest)) => {
                let all = self.words.say("and", &[("a", &rest.join(", ")), ("b", last)]);
                format!("{} {all}", noun.many)
            }
        }
    }
}
