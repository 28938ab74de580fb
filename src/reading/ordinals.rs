//! Places told by an ordinal alone: "sc in 2nd sc", "dc in 5th st", "tr in next 3rd dc". Told at the start of a row it
//! counts from the row's first stitch, anywhere else from the place come to.

use super::cursor::Cursor;
use super::lex::Kind;
use super::phrase::Run;
use crate::instructions::{Act, Class, Step, Target};

/// A place told by its ordinal.
#[derive(Clone, Debug)]
pub(super) struct Nth {
    n: u32,
    class: Class,
}

impl Cursor<'_> {
    /// "first", "1st", and "1first", a slip for either.
    pub(super) fn first_told(&mut self) -> bool {
        let doubled = self.kind(0) == Some(&Kind::Number(1)) && self.word(1) == Some("first") && self.touches(self.at);
        self.at += usize::from(doubled);
        self.eat_any(&["first", "1st"]) || self.eat_kind(&Kind::Ordinal(1))
    }

    /// "2nd sc", "4th st", "3rd ch-3 sp" behind "in": the next place once those before it are passed.
    pub(super) fn nth_place(&mut self) -> Option<Target> {
        let start = self.at;
        let found = self.ordinal().filter(|n| (2..MOST).contains(n)).and_then(|n| {
            let class = self.space().or_else(|| self.class())?;
            let counted = matches!(class, Class::Kind(_) | Class::Stitch | Class::Space(_) | Class::Group(_));
            counted.then_some((n, class))
        });
        let Some((n, class)) = found else {
            self.at = start;
            return None;
        };
        self.nth = Some(Nth { n, class: class.clone() });
        Some(Target::Next { n: 1, class })
    }
}

/// Past this an ordinal is a number of something else.
const MOST: u32 = 1000;

/// Passes what lies before the place, unless words before it did so already. `at` is the index of the step that works
/// there; `opens` says that nothing of the row stands before it.
pub(super) fn pass_to(nth: Nth, run: &mut Run, at: usize, opens: bool) {
    let Some(step) = run.steps.get(at) else { return };
    if !matches!(step.act, Act::Work { .. } | Act::Group { .. } | Act::Attach { .. } | Act::Skip { .. }) {
        return;
    }
    let span = step.span;
    let passed = match at.checked_sub(1).and_then(|k| run.steps.get(k)).map(|s| &s.act) {
        Some(Act::Skip { n, .. }) => *n,
        Some(Act::SkipFirst { .. }) => 1,
        _ => 0,
    };
    let begins = |s: &Step| {
        matches!(s.act, Act::Chain { .. } | Act::Turn | Act::DoNotTurn | Act::With { .. } | Act::OfRow { .. })
    };
    let Nth { n, class } = nth;
    if passed == n - 1 {
        return;
    }
    let skip = |n: u32| Step { act: Act::Skip { n, class: class.clone() }, span };
    let first = Step { act: Act::SkipFirst { class: class.clone() }, span };
    let steps = match opens && run.steps[..at].iter().all(begins) {
        true if n == 2 => vec![first],
        true => vec![first, skip(n - 2)],
        false => vec![skip(n - 1)],
    };
    run.steps.splice(at..at, steps);
}
