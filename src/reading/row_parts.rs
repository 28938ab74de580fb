//! Beginnings and ends of rows that have a name: "ch 3, dc in first sp – begin round made", then "begin round, …, end round".

use super::lex::Kind;
use super::phrase::{RowReader, Run};
use super::words;
use crate::instructions::Act;

const BEGIN: &str = "begin round";
const END: &str = "end round";

impl RowReader<'_> {
    /// "begin round", "end row": what a row before gave the name to.
    pub(super) fn row_part(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let name = self.row_part_name().filter(|_| self.c.at_break() || matches!(self.c.kind(0), Some(Kind::Dash)));
        let known = name.and_then(|name| self.c.house.specials.told(name));
        let Some(k) = known else {
            self.c.at = start;
            return false;
        };
        let span = self.c.since(start);
        let steps = self.c.house.specials[k].steps.iter();
        run.steps.extend(steps.map(|s| s.clone().moved_to(span)));
        true
    }

    /// "– begin round made", "(end row completed)": the name goes to the steps it speaks of.
    pub(super) fn row_part_made(&mut self, run: &Run) -> bool {
        let start = self.c.at;
        let _ = self.c.eat_kind(&Kind::Dash);
        let name = self.row_part_name();
        let made = name.is_some() && self.c.eat_any(&["made", "completed", "complete"]) && self.c.at_break();
        let Some(name) = name.filter(|_| made && self.depth == 0) else {
            self.c.at = start;
            return false;
        };
        let repeats = run.steps.iter().rposition(|s| matches!(s.act, Act::Repeat { .. }));
        let steps = match (name, repeats) {
            (BEGIN, _) => run.steps.clone(),
            // the chain right behind the repeat is of its spaces
            (_, Some(k)) => {
                let behind = &run.steps[k + 1..];
                behind.iter().skip_while(|s| matches!(s.act, Act::Chain { .. })).cloned().collect()
            }
            _ => Vec::new(),
        };
        let span = self.c.since(start);
        self.notes.push(span);
        if steps.iter().any(|s| s.act.works()) {
            self.remember(name.to_owned(), steps);
        }
        true
    }

    fn row_part_name(&mut self) -> Option<&'static str> {
        let begins = self.c.eat_any(&["begin", "beg", "beginning"]);
        let ends = !begins && self.c.eat_any(&["end", "ending"]);
        let row = (begins || ends) && (self.c.eat_any(words::ROUND) || self.c.eat_any(words::ROW));
        row.then_some(if begins { BEGIN } else { END })
    }
}
