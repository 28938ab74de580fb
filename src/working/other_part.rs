//! Rows of another part worked again: "rep rnds 1-3 of Motif 1".

use super::plan::{Plan, Source, with_ending};
use crate::instructions::{Act, Part, Row, Rows, Step};
use crate::source::{Code, Problem};

/// References followed from row to row: "as row 2 of front", which is worked as row 1.
const DEEPEST: usize = 8;

impl Plan<'_> {
    /// The rows of a part told by its name; where no part has that name, of the part nearest above that has them.
    pub(super) fn rows_of_part(
        &self,
        name: &str,
        rows: &[u32],
        own: &[Step],
        step: &Step,
        problems: &mut Vec<Problem>,
    ) -> Option<Vec<Source>> {
        let mut sources = Vec::new();
        for &n in rows {
            let Some((steps, read)) = self.named(name, n).or_else(|| self.above(n)) else {
                let message = format!("there is no row {n} of \"{name}\" to work again");
                problems.push(Problem::new(Code::NoSuchPlace, step.span, message));
                return None;
            };
            sources.push(Source {
                steps: with_ending(&steps, own),
                stated: Vec::new(),
                read,
                again: true,
                until: None,
                measured: None,
            });
        }
        Some(sources)
    }

    fn named(&self, name: &str, n: u32) -> Option<(Vec<Step>, bool)> {
        let same = |p: &&Part| p.name.to_lowercase() == name;
        let loosely = |p: &&Part| p.name.to_lowercase().starts_with(name) || name.starts_with(&p.name.to_lowercase());
        let part = self.parts.iter().find(same).or_else(|| self.parts.iter().find(loosely))?;
        row_of(part, n, 0)
    }

    fn above(&self, n: u32) -> Option<(Vec<Step>, bool)> {
        let at = self.parts.iter().position(|p| std::ptr::eq(p, self.part))?;
        self.parts[..at].iter().rev().find_map(|p| row_of(p, n, 0))
    }
}

/// A row of a part by its number, as its own words or the row they refer to say.
fn row_of(part: &Part, n: u32, depth: usize) -> Option<(Vec<Step>, bool)> {
    let has = |row: &&Row| matches!(&row.heading.rows, Rows::Numbered(numbers) if numbers.contains(&n));
    let row = part.rows.iter().rev().find(has)?;
    let again = row.steps.iter().find_map(|s| match &s.act {
        Act::AsRow { rows, of: None } => Some(rows),
        _ => None,
    });
    match again {
        None => Some((row.steps.clone(), row.read)),
        Some(rows) if depth < DEEPEST && !rows.is_empty() => {
            let Rows::Numbered(numbers) = &row.heading.rows else { return None };
            let k = numbers.iter().position(|&m| m == n)?;
            let (steps, read) = row_of(part, rows[k % rows.len()], depth + 1)?;
            Some((steps, read && row.read))
        }
        Some(_) => None,
    }
}
