//! A row that ends as another did: "rep from * around, end as for rnd 2", "join as before".

use super::cursor::House;
use super::phrase::{RowReader, Run};
use super::words;
use crate::instructions::{Act, Heading, Rows, Step, Times};

/// How a row ends: its numbers, its last repeat, and what stands behind that.
#[derive(Clone, Debug)]
pub(super) struct EndOfRow {
    numbers: Vec<u32>,
    repeat: Vec<Step>,
    steps: Vec<Step>,
}

/// Steps of the longest ending kept.
const LONGEST: usize = 24;

/// Keeps how a row ended, for rows that end like it.
pub(super) fn keep(house: &mut House, head: &Heading, steps: &[Step]) {
    let to_end = |s: &Step| match &s.act {
        Act::Repeat { times, .. } => !matches!(times, Times::InAll(_)),
        Act::Work { at, .. } | Act::Group { at, .. } => at.goes_to_end(),
        _ => false,
    };
    let numbers = match &head.rows {
        Rows::Numbered(numbers) => numbers.clone(),
        _ => Vec::new(),
    };
    let Some(last) = steps.iter().rposition(to_end) else {
        // with nothing that goes to the end, the row ends with what closes it
        let works = steps.iter().rposition(|s| s.act.works()).map_or(0, |k| k + 1);
        let closing = steps[works..].iter().filter(|s| matches!(s.act, Act::Join { .. } | Act::Turn));
        house.endings.push(EndOfRow { numbers, repeat: Vec::new(), steps: closing.cloned().collect() });
        return;
    };
    let behind = steps[last + 1..].iter().filter(|s| s.act != Act::Ending).take(LONGEST).cloned().collect();
    let repeat = match &steps[last].act {
        Act::Repeat { steps, .. } => steps.iter().take(LONGEST).cloned().collect(),
        _ => Vec::new(),
    };
    house.endings.push(EndOfRow { numbers, repeat, steps: behind });
}

impl RowReader<'_> {
    /// "end as for rnd 2", "ending as before", "finish as on last row": what that row ended with.
    pub(super) fn ends_as_row(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let led = self.c.eat_any(&["end", "ending", "finish", "finishing"]);
        let _ = led
            && (self.c.eat_any(words::ROW)
                || self.c.eat_any(words::ROUND)
                || self.c.eat_all(&["in", "the", "same", "way"]));
        let Some(row) = led.then(|| self.as_another()).flatten() else {
            self.c.at = start;
            return false;
        };
        let endings = &self.c.house.endings;
        let found = match row {
            Some(n) => endings.iter().rev().find(|e| e.numbers.contains(&n)),
            None => endings.last(),
        };
        let Some(end) = found.filter(|e| !e.steps.is_empty()) else {
            self.c.at = start;
            return false;
        };
        let span = self.c.since(start);
        let repeated = matches!(run.steps.last().map(|s| &s.act), Some(Act::Repeat { times: Times::ToEnd { .. }, .. }));
        if repeated && end.steps.iter().any(|s| s.act.works()) {
            run.steps.push(Step { act: Act::Ending, span });
        }
        let own = match run.steps.iter().rev().find(|s| s.act != Act::Ending).map(|s| &s.act) {
            Some(Act::Repeat { steps, .. }) => steps.as_slice(),
            _ => &[],
        };
        // what the other ended with as its repeat began, this one ends with as its own began
        let begun = end.steps.iter().zip(&end.repeat).zip(own).take_while(|((s, r), _)| s.act == r.act).count();
        let steps: Vec<Step> =
            own[..begun].iter().chain(&end.steps[begun..]).map(|s| s.clone().moved_to(span)).collect();
        run.steps.extend(steps);
        true
    }

    /// "as before", "in same manner", "as for 2nd rnd", "as in row 4", "as usual": the number of the row where one is told.
    pub(super) fn as_another(&mut self) -> Option<Option<u32>> {
        let start = self.c.at;
        let found = self.as_another_here();
        if found.is_none() {
            self.c.at = start;
        }
        found
    }

    fn as_another_here(&mut self) -> Option<Option<u32>> {
        if self.c.eat("in") {
            let _ = self.c.eat("the");
            let manner = self.c.eat("same") && self.c.eat_any(&["way", "manner"]);
            let _ = manner && self.c.eat_all(&["as", "before"]);
            return (manner && self.c.at_break()).then_some(None);
        }
        if !self.c.eat_any(&["as", "like"]) {
            return None;
        }
        if self.c.eat_any(&["before", "usual", "established", "previously"]) {
            return self.c.at_break().then_some(None);
        }
        let _ = self.c.eat_any(&["for", "in", "on", "at"]) && {
            let _ = self.c.eat_all(&["end", "of"]);
            true
        };
        let _ = self.c.eat("the");
        let row = |c: &mut super::cursor::Cursor<'_>| c.eat_any(words::ROW) || c.eat_any(words::ROUND);
        if self.c.eat_any(&["last", "previous", "prev", "preceding"]) {
            return (row(&mut self.c) && self.c.at_break()).then_some(None);
        }
        let ordinal = if self.c.eat("first") { Some(1) } else { self.c.ordinal() };
        let number = match ordinal {
            Some(n) => row(&mut self.c).then_some(n),
            None => row(&mut self.c).then(|| self.c.number()).flatten(),
        }?;
        self.c.at_break().then_some(Some(number))
    }
}
