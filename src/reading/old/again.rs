//! Repeats of the old books, which often have no mark: ", repeat.", "and repeat 5 times more", "the same all round",
//! "like the 1st row".

use super::super::lex::Kind;
use super::super::phrase::{RowReader, Run};
use super::super::words;
use super::between::{passes, to_end};
use crate::instructions::{Act, Step, Times};

/// Words that say a thing is done again.
const AGAIN: &[&str] = &["repeat", "repeating", "repeated", "rep", "continue", "continuing"];

impl RowReader<'_> {
    /// "repeat", "repeat 5 times more", "repeat 13 times from *", "and repeat from the beginning of the round": from
    /// the star where there is one, else all of the row so far.
    pub(super) fn repeat_unmarked(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let verb = self.c.word(0);
        if !self.c.eat_any(AGAIN) {
            return false;
        }
        let goes_on = matches!(verb, Some("continue" | "continuing"));
        let _ = self.c.eat("this") || self.c.eat("these") || self.c.eat_all(&["the", "same"]) || self.c.eat("these");
        let _ = self.c.eat_any(&["pattern", "alternately"]);
        let manner = self.same_manner();
        if goes_on && !manner {
            return false;
        }
        let mut times = self.old_times();
        let mut from_star = false;
        let mut from_start = false;
        if self.c.eat("from") {
            let _ = self.c.eat("the");
            if matches!(self.c.kind(0), Some(Kind::Star(_))) {
                self.c.at += 1;
                from_star = true;
            } else if self.c.eat_any(&["beginning", "commencement", "start"]) {
                let _ = self.c.eat("of") && {
                    let _ = self.c.eat_any(&["the", "this"]);
                    self.c.eat_any(words::ROW) || self.c.eat_any(words::ROUND)
                };
                from_start = true;
            } else {
                return false;
            }
        }
        let mut end = false;
        if times.is_none() {
            end = self.end_told();
            // "repeat, all round"
            let all = self.c.kind(0) == Some(&Kind::Comma) && self.c.word(1) == Some("all");
            self.c.at += usize::from(all);
            let _ = all && self.end_told();
            times = self.old_times();
        }
        let _ = self.c.eat("alternately");
        // "repeat the 2nd row", "repeat on the other side" are other ideas
        let ends = self.c.at_break() || matches!(self.c.word(0), Some("and" | "then" | "but"));
        if !(ends || manner || from_star || end || times.is_some()) {
            return false;
        }
        let from = match run.stars.last().copied() {
            Some((from, ..)) if !from_start => {
                run.stars.pop();
                from
            }
            _ if from_star => return false,
            _ => {
                run.stars.clear();
                self.row_start(run)
            }
        };
        let from = from.min(run.steps.len());
        let steps: Vec<Step> = run.steps.drain(from..).collect();
        if steps.is_empty() {
            return false;
        }
        let span = steps[0].span.to(self.c.since(start));
        let steps = if times.is_none() { passes(steps) } else { steps };
        run.last_repeat = Some((steps.clone(), None));
        run.steps.push(Step { act: Act::Repeat { steps, times: times.unwrap_or_else(to_end), stop: None }, span });
        true
    }

    /// Where what a row repeats begins: behind the ring or foundation it was set on, and behind a repeat that is whole.
    fn row_start(&self, run: &Run) -> usize {
        let opening = |s: &Step| matches!(s.act, Act::Ring { .. } | Act::With { .. } | Act::Attach { .. } | Act::Turn);
        let ringed = run.steps.iter().rposition(|s| matches!(s.act, Act::Ring { .. })).map_or(0, |i| i + 1);
        ringed + run.steps[ringed..].iter().take_while(|s| opening(s)).count()
    }

    /// "5 times", "5 times more", "twice more", "once more".
    fn old_times(&mut self) -> Option<Times> {
        let here = self.c.at;
        let _ = self.c.eat_kind(&Kind::Comma);
        match self.c.times() {
            Some((n, true)) => Some(Times::More(n)),
            Some((n, false)) => Some(Times::Doubt(n)),
            None => {
                self.c.at = here;
                None
            }
        }
    }

    /// "in the same way", "in the same manner", "as before", "thus": as told.
    fn same_manner(&mut self) -> bool {
        let start = self.c.at;
        let _ = self.c.eat_any(&["work", "working"]);
        if self.c.eat_all(&["as", "before"]) || self.c.eat("thus") || self.c.eat_all(&["in", "like", "manner"]) {
            return true;
        }
        if self.c.eat("in") && self.c.eat_any(&["the", "this"]) {
            let _ = self.c.eat("same");
            if self.c.eat_any(&["way", "manner"]) {
                return true;
            }
        }
        self.c.at = start;
        false
    }

    /// "to the end", "all round", "till the end of the row", "throughout", "alternately": to the end of the row.
    fn end_told(&mut self) -> bool {
        let start = self.c.at;
        let _ = self.c.eat_any(&["to", "till", "until"]);
        let _ = self.c.eat("the");
        if self.c.eat_any(&["end", "ending"]) {
            let _ = self.c.eat("of") && {
                let _ = self.c.eat_any(&["the", "this"]);
                self.c.eat_any(words::ROW) || self.c.eat_any(words::ROUND)
            };
            return true;
        }
        self.c.at = start;
        if self.c.eat("all") {
            let _ = self.c.eat("the");
            let _ = self.c.eat("way");
            if self.c.eat_any(&["round", "around", "across", "along"]) {
                self.of_the_thing();
                return true;
            }
        }
        self.c.at = start;
        if self.c.eat_any(&["round", "around", "throughout", "across"]) {
            self.of_the_thing();
            return true;
        }
        false
    }

    /// "all round the circle": what it goes round.
    fn of_the_thing(&mut self) {
        let here = self.c.at;
        let led = self.c.eat_any(&["the", "this"]);
        if !(led && (self.c.word(0).is_some() && !self.c.at_break() && self.c.old_count().is_none())) {
            self.c.at = here;
            return;
        }
        self.c.at += 1;
        if !self.c.at_break() {
            self.c.at = here;
        }
    }

    /// "The same all round", "work in the same way all round", "and so on", "so continue to the end".
    pub(super) fn same_all_round(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let _ = self.c.eat_any(&["work", "continue", "proceed", "go", "and"]);
        let _ = self.c.eat("on");
        let so_on = self.c.eat_all(&["so", "on"]) || self.c.eat_all(&["so", "continue"]);
        let same = !so_on && (self.c.eat_all(&["the", "same"]) || self.c.eat("same") || self.same_manner());
        if !(so_on || same) {
            return false;
        }
        let end = self.end_told();
        if !(end || so_on) || !self.c.at_break() {
            return false;
        }
        let from = match run.stars.pop() {
            Some((from, ..)) => from,
            None => self.row_start(run),
        };
        let from = from.min(run.steps.len());
        let steps: Vec<Step> = run.steps.drain(from..).collect();
        let span = self.c.since(start);
        match steps.as_slice() {
            [] => return false,
            // what goes to the end already says it again
            [Step { act: Act::Repeat { times: Times::ToEnd { .. }, .. }, .. }] => run.steps.extend(steps),
            _ => {
                let steps = passes(steps);
                let span = steps[0].span.to(span);
                run.steps.push(Step { act: Act::Repeat { steps, times: to_end(), stop: None }, span });
            }
        }
        true
    }

    /// "The same as the 5th", "Like the 1st row", "repeat the 2nd row", "the last row repeated", "as in the 3rd round".
    pub(super) fn like_row(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        if let Some(n) = self.these_rows() {
            self.push(run, start, Act::AsRow { rows: (0..n).rev().map(|k| u32::MAX - k).collect() });
            self.till_enough();
            return true;
        }
        self.c.at = start;
        let c = &mut self.c;
        let _ = c.eat_any(&["work", "worked"]);
        let again = c.eat_any(AGAIN);
        let _ = c.eat("as") && c.eat("in");
        let behind = c.tokens.get(c.at.wrapping_sub(1)).map(|t| &t.kind);
        let mut led = again || matches!(behind, Some(Kind::Word(w)) if w == "as" || w == "in") && c.at > start;
        let _ = c.eat("exactly");
        let the = c.eat("the");
        let same = c.eat("same");
        let _ = same && (c.eat_any(&["as", "like"]));
        let like = !same && (c.eat_any(&["like", "as"]));
        led |= same || like;
        let _ = c.eat("in");
        let _ = c.eat_any(&["the", "for"]);
        let _ = again && c.eat("from") && c.eat("the");
        let Some(rows) = self.old_row_numbers() else { return false };
        // "the last row repeated"
        let passive = the && self.c.eat("repeated");
        if !(led || passive) {
            return false;
        }
        let _ = self.c.eat("alternately");
        let mut rows = rows;
        if let Some((n, more)) = self.c.times() {
            let once = rows.clone();
            for _ in u32::from(!more)..n.min(1000) {
                rows.extend(&once);
            }
        }
        self.push(run, start, Act::AsRow { rows });
        self.till_enough();
        self.description();
        true
    }

    /// "continue these two rows", "repeat these 2 rows alternately", "repeat the last 3 rows".
    fn these_rows(&mut self) -> Option<u32> {
        let c = &mut self.c;
        if !c.eat_any(AGAIN) {
            return None;
        }
        let _ = c.eat_all(&["to", "work"]);
        if !c.eat_any(&["these", "those"]) {
            return None;
        }
        let _ = c.eat("last");
        let n = c.number()?;
        let row = c.eat_any(words::ROW) || c.eat_any(words::ROUND);
        let _ = c.eat("alternately");
        row.then_some(n.min(100))
    }

    /// ", all round" behind a list with no star: all of it so far, to the end.
    pub(super) fn all_round(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        if !self.end_told() || !self.c.at_break() || run.steps.is_empty() {
            return false;
        }
        let from = match run.stars.pop() {
            Some((from, ..)) => from,
            None => self.row_start(run),
        };
        let steps: Vec<Step> = run.steps.drain(from.min(run.steps.len())..).collect();
        match steps.as_slice() {
            [] => return false,
            // what goes to the end already says it again
            [Step { act: Act::Work { at: crate::instructions::Target::Each { .. }, .. }, .. }]
            | [Step { act: Act::Repeat { times: Times::ToEnd { .. }, .. }, .. }] => run.steps.extend(steps),
            _ => {
                let span = steps[0].span.to(self.c.since(start));
                run.steps.push(Step { act: Act::Repeat { steps: passes(steps), times: to_end(), stop: None }, span });
            }
        }
        true
    }

    /// "till the border is wide enough": how often is for the worker to say.
    fn till_enough(&mut self) {
        let start = self.c.at;
        if !self.c.eat_any(&["till", "until", "for", "as"]) {
            return;
        }
        while !matches!(self.c.kind(0), None | Some(Kind::Stop | Kind::Semicolon | Kind::Comma | Kind::Number(_))) {
            self.c.at += 1;
        }
        if matches!(self.c.kind(0), Some(Kind::Number(_))) {
            self.c.at = start;
            return;
        }
        let span = self.c.since(start);
        self.notes.push(span);
    }

    /// Behind "the same as the 5th", words with no number say again what that row does.
    fn description(&mut self) {
        let start = self.c.at;
        let dash = matches!(self.c.kind(0), Some(Kind::Comma | Kind::Dash | Kind::Semicolon | Kind::Stop));
        let stop = self.c.kind(0) == Some(&Kind::Stop);
        if !dash {
            return;
        }
        self.c.at += 1;
        let from = self.c.at;
        while !matches!(self.c.kind(0), None | Some(Kind::Stop)) && self.c.word(0) != Some("which") {
            self.c.at += 1;
        }
        let words = &self.c.tokens[from..self.c.at];
        let numbered = words.iter().any(|t| matches!(t.kind, Kind::Number(_) | Kind::Star(_)));
        let always = words.iter().any(|t| matches!(&t.kind, Kind::Word(w) if w == "always"));
        if from == self.c.at || (numbered || stop) && !always {
            self.c.at = start;
            return;
        }
        let span = self.c.since(from);
        self.notes.push(span);
    }

    /// "5th", "1st row", "4th and 5th rows", "preceding", "last round": rows by number; the last by counting back.
    fn old_row_numbers(&mut self) -> Option<Vec<u32>> {
        let start = self.c.at;
        let found = self.old_rows_here();
        if found.is_none() {
            self.c.at = start;
        }
        found
    }

    fn old_rows_here(&mut self) -> Option<Vec<u32>> {
        let c = &mut self.c;
        if c.eat_any(&["last", "preceding", "previous", "former"]) {
            let n = c.number().unwrap_or(1);
            let row = c.eat_any(words::ROW) || c.eat_any(words::ROUND);
            let ends = c.at_break() || c.kind(0) == Some(&Kind::Dash) || c.word(0) == Some("repeated");
            return (row || ends).then(|| (0..n.min(100)).rev().map(|k| u32::MAX - k).collect());
        }
        let _ = c.eat_any(words::ROW) || c.eat_any(words::ROUND);
        let mut rows = Vec::new();
        loop {
            let n = c.eat("first").then_some(1).or_else(|| c.ordinal()).or_else(|| {
                let led = c.at > 0 && c.tokens.get(c.at - 1).is_some_and(super::heads::is_row_word);
                if led { c.number() } else { None }
            })?;
            rows.push(n);
            let here = c.at;
            if c.eat_any(&["to", "till"]) || c.eat_kind(&Kind::Dash) {
                let _ = c.eat("the");
                match c.ordinal() {
                    Some(last) => rows.extend((n.saturating_add(1)..=last).take(10_000)),
                    None => c.at = here,
                }
            }
            let here = c.at;
            let more = c.eat_kind(&Kind::Comma) | c.eat("and");
            let _ = c.eat("the");
            if !(more && matches!(c.kind(0), Some(Kind::Ordinal(_)))) {
                c.at = here;
                break;
            }
        }
        let row = c.eat_any(words::ROW) || c.eat_any(words::ROUND);
        let ends = matches!(c.kind(0), None | Some(Kind::Stop | Kind::Comma | Kind::Dash | Kind::Semicolon));
        (row || ends || c.word(0) == Some("repeated")).then_some(rows)
    }

    /// ", 8 times": behind a list with no star, all of it so many times.
    pub(super) fn bare_times(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let _ = self.c.eat_any(&["altogether", "this"]);
        let Some((n, more)) = self.c.times() else { return false };
        let _ = self.c.eat_all(&["in", "all"]) || self.c.eat_any(&["altogether", "round"]);
        if !self.c.at_break() || run.steps.is_empty() {
            return false;
        }
        let from = match run.stars.pop() {
            Some((from, ..)) => from,
            None => self.row_start(run),
        };
        let steps: Vec<Step> = run.steps.drain(from.min(run.steps.len())..).collect();
        if steps.is_empty() {
            return false;
        }
        let span = steps[0].span.to(self.c.since(start));
        let times = if more { Times::More(n) } else { Times::InAll(n) };
        run.steps.push(Step { act: Act::Repeat { steps, times, stop: None }, span });
        true
    }
}
