//! Places that only what stands before them tells. A space that a slip stitch has gone into, named again with no "next":
//! "sl st in first ch-3 sp, *(ch 2, 3 dc, ch 2, sl st) in ch-3 sp, sl st in next ch-3 sp; rep from *" works each petal
//! where the hook already is.

use super::cursor::Cursor;
use super::far_side::far_side_among;
use super::lex::Kind;
use super::phrase::{RowReader, Run};
use super::words;
use crate::craft::Stem;
use crate::instructions::{Act, Class, Pick, Step, Target, Which};

/// Words of a slip stitch and the space it goes into.
const MOST_OF_SLIP: usize = 9;

/// Words of a repeat, of which the last lead back to its first.
const MOST_OF_REPEAT: usize = 60;

impl RowReader<'_> {
    /// Looks back from the one step just read, which began at the token `start`: its place may be another than its words
    /// say alone. `before` is how many steps there were.
    pub(super) fn look_back(&mut self, run: &mut Run, before: usize, start: usize) {
        if let Some((worked, [step])) = run.steps.split_at_mut_checked(before) {
            self.in_space_entered(step, start);
            self.under_the_first(worked, step, start);
            if run.stars.is_empty() {
                self.where_the_row_began(worked, step, start);
            }
            self.loops_of_chain(worked, step);
            self.chain_of_the_start(worked, step);
            self.side_told_behind(run, before);
        }
    }

    /// The space that the slip stitch before it went into.
    fn in_space_entered(&self, step: &mut Step, start: usize) {
        let Act::Group { at: at @ Target::Next { n: 1, class: Class::Space(_) | Class::Corner(_) }, .. } =
            &mut step.act
        else {
            return;
        };
        if self.c.named_bare(start) && self.c.slipped_before(start) {
            *at = Target::Same;
        }
    }

    /// "2 sc in same ch as first sc" at the end of the far side: the loop of that chain that is left.
    fn under_the_first(&self, worked: &[Step], step: &mut Step, start: usize) {
        let (Act::Work { at: at @ Target::Same, .. } | Act::Group { at: at @ Target::Same, .. }) = &mut step.act else {
            return;
        };
        if self.as_first(start).is_some() && far_side_among(worked) {
            *at = Target::Next { n: 1, class: Class::Chain };
        }
    }

    /// "…, 2 dc in same sp as beginning", "sc in same st as first sc" behind other work: the place the row began in.
    fn where_the_row_began(&self, worked: &[Step], step: &mut Step, start: usize) {
        let (Act::Work { at: at @ Target::Same, .. } | Act::Group { at: at @ Target::Same, .. }) = &mut step.act else {
            return;
        };
        let Some(k) = self.as_first(start) else { return };
        // "as beg of ch-5": where that chain began
        let of_chain = (k + 1..self.c.at).any(|k| self.c.word_at(k) == Some("of"));
        if of_chain || self.depth > 0 {
            return;
        }
        let slips = |s: &&Step| matches!(&s.act, Act::Work { form, .. } if form.stem == Stem::SlipStitch);
        let gone_on = worked.iter().rev().find(|s| s.act.works() && !slips(s)).is_some_and(|s| match &s.act {
            Act::Work { at, .. } | Act::Group { at, .. } => !matches!(at, Target::Same | Target::First { .. }),
            act => matches!(act, Act::Repeat { .. }),
        });
        let noun = self.c.word_at(k - 1);
        let class = match noun {
            Some(w) if words::SPACE.contains(&w) => Class::Space(None),
            Some(w) if words::STITCH.contains(&w) => Class::Stitch,
            _ => return,
        };
        if gone_on && !far_side_among(worked) {
            *at = Target::Within { pick: Pick::Only, class: Class::Any, shape: class, which: Which::First };
        }
    }

    /// The token of "as" in "as first sc", "as the beginning", among those since `start`.
    fn as_first(&self, start: usize) -> Option<usize> {
        (start.max(1)..self.c.at).find(|&k| {
            let the = usize::from(self.c.word_at(k + 1) == Some("the"));
            let first = self.c.word_at(k + 1 + the).is_some_and(|w| matches!(w, "first" | "1st" | "beg" | "beginning"))
                || matches!(self.c.kind_at(k + 1 + the), Some(Kind::Ordinal(1)));
            // "as beg of ch-5" is where that chain began
            let other = self.c.word_at(k + 2 + the) == Some("of");
            self.c.word_at(k) == Some("as") && first && !other
        })
    }

    /// "…; rep from * around, sl st to 3rd ch": with no chain just made, it is one of the chain that opened the round.
    fn chain_of_the_start(&self, worked: &[Step], step: &mut Step) {
        let Act::Work { each: 1, form, at: at @ Target::FromHook { n: 2.. } } = &mut step.act else { return };
        let hook = (self.c.at.saturating_sub(MOST_OF_SLIP)..self.c.at)
            .any(|k| matches!(self.c.word_at(k), Some("hook" | "hk")));
        let chained = matches!(worked.last().map(|s| &s.act), Some(Act::Chain { .. }));
        if form.stem == Stem::SlipStitch && !hook && !chained && worked.last().is_some_and(|s| s.act.works()) {
            *at = Target::TurningTop;
        }
    }
}

impl Cursor<'_> {
    /// True where the place of the phrase that began at `start` is named without saying which: "in ch-3 sp".
    fn named_bare(&self, start: usize) -> bool {
        let into = (start..self.at)
            .rev()
            .take(MOST_OF_SLIP)
            .find(|&k| self.word_at(k).is_some_and(|w| words::INTO.contains(&w)));
        into.is_some_and(|k| {
            let behind = if self.word_at(k + 1) == Some("the") { k + 2 } else { k + 1 };
            let length = matches!(self.kind_at(behind), Some(Kind::Number(_)));
            let space = |w: &str| words::CHAIN.contains(&w) || words::SPACE.contains(&w) || w == "corner";
            length || self.word_at(behind).is_some_and(space)
        })
    }

    /// True where the words before a phrase are a slip stitch into a space, and those at the end of the repeat as well
    /// where the phrase begins one.
    fn slipped_before(&self, start: usize) -> bool {
        let mut end = start;
        let mut opened = None;
        while end > 0 {
            match self.kind_at(end - 1) {
                Some(Kind::Comma | Kind::Stop | Kind::Semicolon) => {}
                Some(Kind::Word(w)) if w == "and" || w == "then" => {}
                Some(mark @ (Kind::Star(1) | Kind::Open(_))) if opened.is_none() => opened = Some(mark),
                _ => break,
            }
            end -= 1;
        }
        let end_of_repeat = |mark: &Kind| {
            let mut depth = 0usize;
            (self.at..self.at + MOST_OF_REPEAT).find(|&k| match (mark, self.kind_at(k)) {
                (Kind::Open(_), Some(Kind::Open(_))) => {
                    depth += 1;
                    false
                }
                (Kind::Open(_), Some(Kind::Close(_))) if depth == 0 => true,
                (Kind::Open(_), Some(Kind::Close(_))) => {
                    depth -= 1;
                    false
                }
                (Kind::Star(_), Some(Kind::Word(w))) => words::REPEAT.contains(&w.as_str()),
                _ => false,
            })
        };
        // where the phrase is worked once, the hook is in the space whatever it was called
        self.slipped_to_space(end, opened.is_none())
            && opened.is_none_or(|mark| end_of_repeat(mark).is_some_and(|k| self.slipped_to_space(k, false)))
    }

    /// True where the tokens before `end` are "sl st in next ch-3 sp", marks aside; in any space where told so.
    fn slipped_to_space(&self, end: usize, any: bool) -> bool {
        let marks = |k: &usize| matches!(self.kind_at(*k), Some(Kind::Comma | Kind::Stop | Kind::Semicolon));
        let mut behind = (0..end).rev().skip_while(marks);
        let space =
            behind.next().and_then(|k| self.word_at(k)).is_some_and(|w| words::SPACE.contains(&w) || w == "corner");
        let mut which = any;
        space
            && behind.take(MOST_OF_SLIP).take_while(|k| !marks(k)).any(|k| {
                which |= self.word_at(k).is_some_and(|w| matches!(w, "next" | "first" | "1st"))
                    || matches!(self.kind_at(k), Some(Kind::Ordinal(1)));
                which && self.word_at(k).is_some_and(|w| matches!(w, "sl" | "ss" | "slst" | "slip"))
            })
    }
}
