//! Points of a piece that are worked one after another: "now work each point separately" leaves the rest of the edge to
//! the other points.

use crate::instructions::{Act, Pattern, Row, Step};

/// Words that say so.
const SEPARATELY: &[&str] = &["separately", "individually", "one at a time", "in turn"];

/// Adds to the first row behind such words what they leave to be understood.
pub(super) fn leave_rest(pattern: &mut Pattern, text: &str) {
    let mut before: Option<(usize, bool)> = None;
    for row in pattern.parts.iter_mut().flat_map(|part| &mut part.rows) {
        let (end, told) = before.unwrap_or((0, true));
        let between = text.get(end..row.span.start).unwrap_or_default();
        let joins = row.steps.iter().any(|s| matches!(s.act, Act::Join { .. }));
        let said = row.steps.iter().any(|s| matches!(s.act, Act::Leave { .. }));
        let told = told || says_so(between) || heads_one_of_several(between);
        if before.is_some() && !said && told && !joins {
            row.steps.push(Step { act: Act::Leave { n: None }, span: row.body });
        }
        before = Some((row.span.end, leaves_behind_join(row) || notes_say_so(row, text)));
    }
}

/// "First Petal:", "2nd point" on the line above: one of several that are worked on the same edge.
fn heads_one_of_several(between: &str) -> bool {
    const WHICH: &[&str] =
        &["first", "1st", "second", "2nd", "third", "3rd", "fourth", "4th", "fifth", "5th", "next", "last"];
    const WHAT: &[&str] =
        &["petal", "point", "peak", "leaf", "section", "ray", "spike", "tooth", "scallop", "half", "wing"];
    let line = between.lines().rev().find(|l| !l.trim().is_empty()).unwrap_or_default().to_lowercase();
    let words: Vec<&str> = line.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty()).collect();
    matches!(words.as_slice(), [which, what, rest @ ..] if rest.len() <= 1 && WHICH.contains(which) && WHAT.contains(what))
}

fn notes_say_so(row: &Row, text: &str) -> bool {
    row.notes.iter().any(|span| text.get(span.start..span.end).is_some_and(says_so))
}

/// True for words such as "each pineapple is now worked separately".
fn says_so(words: &str) -> bool {
    let lower = words.to_lowercase();
    // "now work in rows, leaving last 8 sts unworked"
    let unworked = lower.contains("unworked") && (lower.contains("leaving") || lower.contains("leave"));
    unworked
        || SEPARATELY.iter().any(|said| lower.contains(said))
            && ["each", "point", "pineapple", "leaf", "leaves", "petal", "section", "peak", "side"]
                .iter()
                .any(|w| lower.contains(w))
}

/// "…, join. Now work in rows, leaving last 8 sts unworked": said behind the join of a round, it is of the next row. Taken
/// from this one.
fn leaves_behind_join(row: &mut Row) -> bool {
    let join = row.steps.iter().rposition(|s| matches!(s.act, Act::Join { .. }));
    let last = row.steps.last().is_some_and(|s| matches!(s.act, Act::Leave { .. }));
    let behind = last && join.is_some_and(|k| !row.steps[k..].iter().any(|s| s.act.works()));
    if behind {
        row.steps.pop();
    }
    behind
}
