//! Turns that the other rows say and one does not.

use super::name;
use crate::instructions::{Act, Class, Pattern, Row, RowKind, Step, Target};
use crate::source::{Code, Problem};
use crate::working::Tally;

/// A row boundary without "turn" in a part whose other rows say it. The turn is understood and made.
pub(super) fn check(pattern: &Pattern, rows: &[Tally]) -> Vec<Problem> {
    let mut problems = Vec::new();
    if pattern.terms.is_old() {
        // old books say "turn" where they think of it
        return problems;
    }
    for part in &pattern.parts {
        // a chain that has a row's name is turned with the row on it
        let chain = |s: &Step| matches!(s.act, Act::Chain { .. } | Act::With { .. } | Act::Counts { .. });
        let is_row = |r: &&Row| r.heading.kind == RowKind::Row && !r.steps.iter().all(chain);
        let flat: Vec<&Row> = part.rows.iter().filter(is_row).collect();
        let silent: Vec<&[&Row]> = flat.windows(2).filter(|w| !says_turn(w[0], w[1])).collect();
        let said = flat.len().saturating_sub(1) - silent.len();
        if said == 0 || silent.len() > said {
            continue;
        }
        for pair in silent {
            let label = rows.iter().find(|t| t.span == pair[1].span).map_or_else(|| "this row".into(), name);
            problems.push(
                Problem::new(
                    Code::MissingTurn,
                    pair[1].heading.span,
                    format!("nothing says to turn before {label}; it is worked as if it did"),
                )
                .with_hint("write \"turn\" at the end of the row before, or \"do not turn\""),
            );
        }
    }
    problems
}

fn says_turn(before: &Row, after: &Row) -> bool {
    let turns = |row: &Row| {
        // rows worked again turn as those rows did
        row.steps.iter().any(|s| {
            matches!(
                s.act,
                Act::Turn
                    | Act::DoNotTurn
                    | Act::FastenOff { .. }
                    | Act::AsRow { .. }
                    | Act::RowsUntil { .. }
                    | Act::Even { .. }
                    | Act::Shape { own: true, .. }
            )
        })
    };
    // a row along the row ends runs on without a turn
    let border = after.steps.iter().any(|s| match &s.act {
        Act::RowEnds => true,
        Act::Work { at, .. } | Act::Attach { at: Some(at), .. } => along_ends(at),
        _ => false,
    });
    border || turns(before) || opens_with_turn(after)
}

/// True where a turn, or its denial, stands before the row's first stitch; one at its end is the next row's.
fn opens_with_turn(row: &Row) -> bool {
    row.steps
        .iter()
        .take_while(|s| {
            !matches!(
                s.act,
                Act::Work { .. } | Act::Group { .. } | Act::Repeat { .. } | Act::Skip { .. } | Act::SkipFirst { .. }
            )
        })
        .any(|s| matches!(s.act, Act::Turn | Act::DoNotTurn | Act::Attach { .. }))
        || row.steps.iter().any(|s| matches!(s.act, Act::AsRow { .. }))
}

fn along_ends(at: &Target) -> bool {
    matches!(
        at,
        Target::Evenly { .. }
            | Target::Each { class: Class::RowEnd, .. }
            | Target::Next { class: Class::RowEnd, .. }
            | Target::First { class: Class::RowEnd }
    )
}
