//! What comes of the end of a repeat: "ending with 2 sc in last sc", "except in last st, hdc only once"; and rows told by
//! their number of stitches alone.

use super::lex::Kind;
use super::phrase::{RowReader, Run};
use super::stitch::Named;
use super::words;
use crate::instructions::{Act, Class, Stated, Step, Target, Times};

impl RowReader<'_> {
    /// "ending with 2 sc in last sc": what follows a repeat; its own words are read next.
    pub(super) fn ending(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        if matches!(self.c.word(0), Some("ending" | "end")) && self.last_loop_in(run) {
            return true;
        }
        self.c.at = start;
        if self.row_part(run) || self.ends_as_row(run) || self.ending_last_repeat(run) || self.ending_in_bar(run) {
            return true;
        }
        // "V-st in each V-st across, ending with dc in top of tch"
        let after_repeat = match run.steps.last().map(|s| &s.act) {
            Some(Act::Repeat { .. } | Act::AsRow { .. }) => true,
            Some(Act::Work { at, .. } | Act::Group { at, .. }) => at.goes_to_end(),
            _ => false,
        };
        let off = self.c.word(1) == Some("off");
        if after_repeat && !off && self.c.eat_any(&["ending", "end", "finishing"]) {
            let _ = self.c.eat_any(&["with", "rep", "repeat", "last"]);
            let _ = self.c.eat_any(&["with", "rep", "repeat"]);
            let _ = self.c.eat("with");
            // "ending with last sc in top of tch"
            let mut ahead = self.c.clone();
            let last = ahead.eat("last") && ahead.stitch().is_some() && matches!(ahead.word(0), Some("in" | "into"));
            self.c.at += usize::from(last);
            if self.c.at_break() {
                return false;
            }
            if matches!(run.steps.last().map(|s| &s.act), Some(Act::Repeat { times: Times::ToEnd { .. }, .. })) {
                let span = self.c.since(start);
                run.steps.push(Step { act: Act::Ending, span });
            }
            return true;
        }
        if self.c.eat_any(&["finish", "finishing", "end", "ending"]) && self.c.eat("with") {
            // "finish with ch 30"
            let mut ahead = self.c.clone();
            let _ = ahead.eat_any(&["a", "another"]);
            let before = ahead.number().is_some();
            if ahead.eat_any(super::words::CHAIN) && (before || ahead.number().is_some()) {
                let _ = self.c.eat_any(&["a", "another"]);
                return true;
            }
        }
        self.c.at = start;
        false
    }

    /// "rep from * across, ending last rep with sc in top of tch": in place of the last stitch of the last pass.
    fn ending_last_repeat(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let led = self.c.eat_any(&["ending", "end", "finishing", "finish"]) && {
            let _ = self.c.eat("the");
            self.c.eat_any(&["last", "final"]) && self.c.eat_any(words::REPEAT) && self.c.eat_any(&["with", "in"])
        };
        let one = self.c.clone().number().is_none_or(|n| n == 1);
        let _ = self.c.number();
        let own = match run.steps.last().map(|s| &s.act) {
            Some(Act::Repeat { steps, .. }) => steps.last().map(|s| &s.act),
            _ => None,
        };
        let in_space = |at: &Target| {
            matches!(at, Target::Next { class: Class::Space(_), .. } | Target::Last { class: Class::Space(_), .. })
        };
        let own_space = matches!(own, Some(Act::Work { at, .. }) if in_space(at));
        if led
            && one
            && let Some(named) = self.c.stitch()
            && let Some(at) = self.c.place().map(|w| w.target)
            && (at == Target::TurningTop || own_space == in_space(&at))
            && self.c.at_break()
            && let Some(act) = at_the_end(run, &named, at)
        {
            return self.push(run, start, act);
        }
        self.c.at = start;
        false
    }

    /// "1 bl, 3 sps, ending with dc in 3rd ch of turning ch": where the bar of the last mesh stands.
    fn ending_in_bar(&mut self, run: &Run) -> bool {
        let start = self.c.at;
        let filet = matches!(run.steps.last().map(|s| &s.act), Some(Act::Filet { .. }));
        if filet && self.c.eat_any(&["ending", "end", "finishing", "working"]) {
            let _ = self.c.eat("with");
            let _ = self.c.eat("the");
            let _ = self.c.eat_any(&["last", "a"]) || self.c.number() == Some(1);
            let bar = matches!(self.c.stitch(), Some(Named::Form(form)) if form == crate::craft::StitchForm::plain(crate::craft::Stem::Tall(1)));
            if bar && self.c.place().is_some_and(|w| comes_round(&w.target)) && self.c.at_break() {
                let span = self.c.since(start);
                self.notes.push(span);
                return true;
            }
        }
        self.c.at = start;
        false
    }

    /// "working last sc in same sp as first sc", "placing last dc in top of tch": where a repeat comes round to.
    pub(super) fn working_last(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let led = self.c.eat_any(&["working", "placing", "making", "work", "with", "place"]);
        let _ = led && self.c.eat("the");
        if led
            && self.c.eat_any(&["last", "final"])
            && let Some(named) = self.c.stitch()
            && let Some(at) = self.c.place().map(|w| w.target).filter(comes_round)
        {
            if let Some(act) = at_the_end(run, &named, at) {
                return self.push(run, start, act);
            }
            let span = self.c.since(start);
            self.notes.push(span);
            return true;
        }
        self.c.at = start;
        false
    }

    /// "except in last ch, hdc only once", "except for last st, work 1 dc": what the last pass of a repeat ends with.
    pub(super) fn except_in_last(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        if !matches!(self.c.word(0), Some("except" | "but")) {
            return false;
        }
        if self.each_but_the_last(run) {
            return true;
        }
        self.c.at = start;
        let to_end = matches!(run.steps.last().map(|s| &s.act), Some(Act::Repeat { times: Times::ToEnd { .. }, .. }));
        if !to_end || !self.c.eat_any(&["except", "but"]) {
            return false;
        }
        let _ = self.c.eat_any(&["for", "in", "into", "on"]);
        let _ = self.c.eat("the");
        let last = self.c.eat_any(&["last", "final"]);
        let Some(class) = last.then(|| self.c.class()).flatten() else {
            self.c.at = start;
            return false;
        };
        if matches!(self.c.kind(0), Some(Kind::Open(_))) {
            // "(top of ch-2)": what that is
            let Some(close) = self.matching() else { return false };
            let span = self.c.tokens[self.c.at].span.to(self.c.tokens[close].span);
            self.c.at += 1;
            let _ = self.c.eat_all(&["top", "of"]);
            let _ = self.c.eat_any(&["the", "turning", "beg", "beginning"]);
            let known = self.c.class().is_some() && self.c.at == close;
            if !known {
                self.c.at = start;
                return false;
            }
            self.notes.push(span);
            self.c.at = close + 1;
        }
        let _ = self.c.eat_kind(&Kind::Comma) || self.c.eat_kind(&Kind::Colon);
        let _ = self.c.eat_any(&["work", "make"]);
        let _ = self.c.eat("only");
        let n = self.leading_count();
        let Some(Named::Form(form)) = self.c.stitch() else {
            self.c.at = start;
            return false;
        };
        let _ = self.c.eat("only");
        let n = n.or_else(|| self.c.eat("once").then_some(1)).unwrap_or(1);
        let _ = self.c.eat("once");
        if !self.c.at_break() {
            self.c.at = start;
            return false;
        }
        let span = self.c.since(start);
        run.steps.push(Step { act: Act::Ending, span });
        self.push(run, start, Act::Work { each: n, form, at: Target::Last { n: 1, class } })
    }

    /// "2 sc in each sc around except 1 sc in last sc", "sc across, except the last, sl st in last st": each but the last,
    /// and something else there.
    fn each_but_the_last(&mut self, run: &mut Run) -> bool {
        let each = |act: &Act| matches!(act, Act::Work { at: Target::Each { less: 0, every: 1, .. }, .. });
        if !run.steps.last().is_some_and(|s| each(&s.act)) || !self.c.eat_any(&["except", "but"]) {
            return false;
        }
        let _ = self.c.eat("for");
        let alone = self.c.clone();
        let _ = self.c.eat("the");
        let bare = self.c.eat_any(&["last", "final"]) && {
            let _ = self.c.class();
            self.c.at_break()
        };
        let mut inner = Run::default();
        if !bare {
            self.c = alone;
            let _ = self.c.eat_any(&["work", "make"]);
            let problems = self.problems.len();
            let read = self.work(&mut inner);
            let fits =
                matches!(inner.steps.as_slice(), [Step { act: Act::Work { at: Target::Last { n: 1, .. }, .. }, .. }]);
            if !(read && fits) || self.problems.len() > problems {
                self.problems.truncate(problems);
                return false;
            }
        }
        if let Some(Step { act: Act::Work { at: Target::Each { less, .. }, .. }, .. }) = run.steps.last_mut() {
            *less = 1;
        }
        run.steps.extend(inner.steps);
        true
    }

    /// "Rnd 2: 9 sts." and no more: the row's usual stitch, so often.
    pub(super) fn row_of_sts(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        if !run.steps.is_empty() || self.depth > 0 {
            return false;
        }
        let Some(n) = self.c.number() else { return false };
        if !(self.c.eat_any(words::STITCH) && self.ends_row(self.c.at)) {
            return false;
        }
        let span = self.c.since(start);
        let form = self.c.usual_form();
        let at = Target::Next { n, class: Class::Any };
        run.steps.push(Step { act: Act::Work { each: 1, form, at }, span });
        self.stated.push(Stated { count: n, of: crate::instructions::CountOf::Sts, span });
        true
    }
}

/// "rep from * to end, working last dc in last dc": the last stitch of the last pass has a place of its own.
fn at_the_end(run: &mut Run, named: &Named, at: Target) -> Option<Act> {
    let Named::Form(form) = named else { return None };
    let Some(Act::Repeat { steps, times: Times::ToEnd { .. }, stop: stop @ None }) =
        run.steps.last_mut().map(|s| &mut s.act)
    else {
        return None;
    };
    let one = |act: &Act| matches!(act, Act::Work { each: 1, form: own, at: Target::Next { n: 1, .. } | Target::Centre { .. } | Target::Within { .. } } if own == form);
    if !matches!(at, Target::Last { .. } | Target::TurningTop)
        || steps.len() < 2
        || !steps.last().is_some_and(|s| one(&s.act))
    {
        return None;
    }
    *stop = Some(steps.len() - 1);
    Some(Act::Work { each: 1, form: *form, at })
}

/// True for a place that the last stitch of a repeat comes to by itself.
fn comes_round(at: &Target) -> bool {
    let gap = |at: &Target| matches!(at, Target::Between { .. } | Target::Within { .. });
    matches!(at, Target::Same | Target::TurningTop | Target::First { .. } | Target::Last { n: 1, .. }) || gap(at)
}

/// "*sl st in ch-3 sp of next block, …; rep from * to last block": blocks are met at their spaces.
pub(super) fn blocks_by_space(times: &mut Times, steps: &[Step]) {
    let Times::ToEnd { class, less: 1.. } = times else { return };
    if !matches!(class, Class::Group(name) if words::BLOCKS.contains(&name.as_str())) {
        return;
    }
    let space = steps.iter().rev().take(MOST_OF_BLOCK).find_map(|s| match &s.act {
        Act::Work { at: Target::Next { n: 1, class: class @ Class::Space(_) }, .. } => Some(class.clone()),
        _ => None,
    });
    if let Some(space) = space {
        *class = space;
    }
}

/// Steps of a block.
const MOST_OF_BLOCK: usize = 8;
