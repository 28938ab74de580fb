//! Brackets and stars: groups in one place, repeats in every form.

use super::lex::Kind;
use super::phrase::{DEEPEST, RowReader, Run};
use super::words;
use crate::instructions::{Act, Class, Step, Times};
use crate::source::{Code, Problem};

impl RowReader<'_> {
    /// A star opens a repeat; a double star marks where its last pass stops.
    pub(super) fn star(&mut self, run: &mut Run) -> bool {
        let n = match self.c.kind(0) {
            Some(Kind::Star(n)) => n,
            // "# … # 3 times" is a star of another shape
            Some(Kind::Other('#')) => &1,
            _ => return false,
        };
        let span = self.c.tokens[self.c.at].span;
        self.c.at += 1;
        if *n > 1 && run.stars.last().is_some_and(|s| !s.3) && self.c.sees(&["repeat"]) {
            // "**sc 2, inc** repeat 3 times": a doubled mark closed
            let from = run.stars.last().map_or(0, |s| s.0).min(run.steps.len());
            let start = self.c.at;
            self.c.at += 1;
            if let Some((n, more)) = self.c.times() {
                run.stars.pop();
                let steps: Vec<Step> = run.steps.drain(from..).collect();
                let times = if more { Times::More(n) } else { Times::Doubt(n) };
                let span = span.to(self.c.since(start));
                run.steps.push(Step { act: Act::Repeat { steps, times, stop: None }, span });
                return true;
            }
            self.c.at = start;
        }
        if *n > MOST_STARS {
            self.report(Problem::new(
                Code::UnclosedMark,
                span,
                format!("{n} stars in a row mark nothing that could be found again"),
            ));
            return true;
        }
        if *n == 1 && !run.stars.is_empty() && self.closes_star() {
            return self.closed_star(run);
        }
        if *n == 2
            && run.stars.is_empty()
            && let Some((from, opened)) = run.inner.take()
            && from < run.steps.len()
        {
            // "* ch 1, 3 dc in next sp; rep from * to next corner; ch 1 **, …; rep from * around, ending at **"
            run.stars.push((from, opened, Some(run.steps.len()), true));
        } else if *n == 1 || run.stars.is_empty() {
            // "**" with nothing open marks a block that other rows refer to; nothing has to close it
            run.stars.push((run.steps.len(), span, None, *n == 1));
        } else if let Some(star) = run.stars.last_mut() {
            star.2 = Some(run.steps.len());
        }
        true
    }

    /// True where a second star ends what the first began: a mark, "rep", or how often stands behind it.
    fn closes_star(&self) -> bool {
        // "… to next corner,* 3 dc": it hangs on the words before it
        if let [.., before, star] = &self.c.tokens[..self.c.at]
            && before.span.end == star.span.start
            && self.c.tokens.get(self.c.at).is_some_and(|behind| star.span.end < behind.span.start)
        {
            return true;
        }
        match self.c.kind(0) {
            None | Some(Kind::Semicolon | Kind::Comma | Kind::Stop | Kind::Dash) => true,
            Some(Kind::Word(w)) => {
                words::REPEAT.contains(&w.as_str()) || matches!(w.as_str(), "x" | "twice" | "around" | "across")
            }
            Some(Kind::Number(_)) => self.c.clone().times().is_some(),
            _ => false,
        }
    }

    /// "*…* 5 times", "*…* x 5", "*…* around"; with nothing behind it, "rep from * to *" follows.
    fn closed_star(&mut self, run: &mut Run) -> bool {
        let start = self.c.at - 1;
        let times = match self.c.times() {
            Some((n, _)) => Some(Times::InAll(n)),
            None => self.read_to_end(),
        };
        if times.is_none()
            && let Some(star) = run.stars.last_mut()
        {
            star.2 = Some(run.steps.len());
            run.closed = star.2;
        }
        if let (Some(times), Some((from, span, ..))) = (times, run.stars.last().copied()) {
            run.stars.pop();
            let steps: Vec<Step> = run.steps.drain(from.min(run.steps.len())..).collect();
            let span = span.to(self.c.since(start));
            run.steps.push(Step { act: Act::Repeat { steps, times, stop: None }, span });
        }
        true
    }

    /// "rep from * around", "repeat from * 5 times more", "rep from * to last 3 sts".
    pub(super) fn repeat(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        // "sc 1, inc 1 - repeat around"
        let _ = !run.steps.is_empty()
            && self.c.word(1).is_some_and(|w| words::REPEAT.contains(&w))
            && self.c.eat_kind(&Kind::Dash);
        if !self.c.eat_any(words::REPEAT) {
            self.c.at = start;
            return false;
        }
        if run.stars.is_empty() && self.repeats_all(run, start) {
            return true;
        }
        if self.between_brackets(run, start) {
            return true;
        }
        let told = self.c.eat("from") || self.c.eat_any(&["between", "bet"]);
        // "repeat *-*", "repeat 3 times", "repeat all around" behind an open star
        let starred = matches!(self.c.kind(0), Some(Kind::Star(_)));
        let unnamed = !told && !starred && !run.stars.is_empty() && {
            let mut ahead = self.c.clone();
            ahead.times().is_some()
                || ahead.eat_all(&["all", "around"])
                || ahead.eat_all(&["all", "the", "way"])
                || ahead.eat_all(&["until", "the", "end"])
                || ahead.eat_all(&["until", "end"])
                || ahead.eat_all(&["till", "the", "end"])
                || ahead.eat_any(&["around", "across"])
                || ahead.eat_all(&["to", "end"])
                || ahead.eat_all(&["to", "the", "end"])
                || ahead.for_each_shape()
                || ahead.read_to_last().is_some()
        };
        // "rep from around" has lost its star in print
        let lost = told && !starred && !run.stars.is_empty() && matches!(self.c.word(0), Some("around" | "across"));
        if !(unnamed || starred || lost) {
            return false;
        }
        self.c.at += usize::from(starred);
        let joined = matches!(self.c.word(0), Some("to" | "and")) || self.c.kind(0) == Some(&Kind::Dash);
        let to_star = starred && joined && self.c.kind(1) == Some(&Kind::Star(1));
        let to_mark = starred && joined && matches!(self.c.kind(1), Some(Kind::Star(2..)));
        if starred && joined && matches!(self.c.kind(1), Some(Kind::Star(_))) {
            self.c.at += 2;
        } else if starred && matches!(self.c.word(0), Some("s" | "'s")) {
            // "between *s"
            self.c.at += 1;
        } else if starred && matches!(self.c.kind(0), Some(Kind::Star(_))) {
            // "between * * 4 more times"
            self.c.at += 1;
        }
        if to_mark && self.stretch_again(run, start) {
            return true;
        }
        let mut times = self.repeat_times();
        super::last_pass::blocks_by_space(&mut times, &run.steps);
        let stop_told = self.ending_at_mark();
        let span = self.c.since(start);
        if to_star
            && let Some(&(from, _, Some(closed), _)) = run.stars.last()
            && closed < run.steps.len()
        {
            // "*…* 3 dc in corner; rep from * to * once": what stands behind the second star is no part of it
            run.last_repeat = Some((run.steps[from.min(closed)..closed].to_vec(), None));
            run.stars.pop();
        }
        if run.stars.is_empty()
            && let Some((steps, _)) = run.last_repeat.clone()
        {
            // "rep from * to * twice more" a second time: the same stretch again
            let times = match times {
                Times::InAll(n) | Times::More(n) | Times::Doubt(n) => Times::InAll(n),
                Times::Along => Times::InAll(1),
                to_end => to_end,
            };
            run.steps.push(Step { act: Act::Repeat { steps, times, stop: None }, span });
            return true;
        }
        let Some((from, opened, stop, _)) = run.stars.pop() else {
            self.report(
                Problem::new(Code::UnclosedMark, span, "these words repeat from a * that is not there")
                    .with_hint("put a * before the first stitch of what is repeated"),
            );
            self.unread = true;
            return true;
        };
        let from = from.min(run.steps.len());
        let mut steps: Vec<Step> = run.steps.drain(from..).collect();
        if steps.is_empty() && self.notes.last().is_some_and(|n| n.start >= opened.start) {
            // what is repeated lies on the face of the fabric and is no part of the row
            self.notes.push(span);
            return true;
        }
        let omitted = if stop.is_none() { self.omitted(&mut steps) } else { None };
        let whole = steps.first().map_or(span, |s| s.span.to(span));
        let marked = stop.map(|s| s.saturating_sub(from));
        let stop = marked.filter(|_| stop_told).or(omitted);
        run.last_repeat = Some((steps.clone(), marked));
        run.inner = matches!(times, Times::UpTo { .. }).then_some((from, opened));
        run.steps.push(Step { act: Act::Repeat { steps, times, stop }, span: whole });
        true
    }

    /// "*A** B, rep from * to **": what stands before the second mark once more, or as often as is told.
    fn stretch_again(&mut self, run: &mut Run, start: usize) -> bool {
        let Some(&(from, _, Some(mark), _)) = run.stars.last() else { return false };
        if !(from..run.steps.len()).contains(&mark) {
            return false;
        }
        let here = self.c.at;
        let n = self.c.times().map(|(n, _)| n);
        if n.is_none() && !self.c.at_break() {
            self.c.at = here;
            return false;
        }
        run.stars.pop();
        let (all, again) = (run.steps[from..].to_vec(), run.steps[from..mark].to_vec());
        run.last_repeat = Some((all, Some(mark - from)));
        self.push(run, start, Act::Repeat { steps: again, times: Times::InAll(n.unwrap_or(1)), stop: None })
    }

    /// "then from * to ** once": the repeat's first part again.
    pub(super) fn marked_part(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let _ = self.c.eat("work") || self.c.eat_any(words::REPEAT);
        if !(self.c.eat("from") && self.c.eat_kind(&Kind::Star(1)) && self.c.eat_any(&["to", "until"])) {
            return false;
        }
        if !matches!(self.c.kind(0), Some(Kind::Star(2..))) {
            return false;
        }
        self.c.at += 1;
        let n = self.c.times().map_or(1, |(n, _)| n);
        let Some((steps, Some(mark))) = run.last_repeat.clone() else { return false };
        let steps = steps[..mark.min(steps.len())].to_vec();
        let span = self.c.since(start);
        run.steps.push(Step { act: Act::Repeat { steps, times: Times::InAll(n), stop: None }, span });
        true
    }

    fn repeat_times(&mut self) -> Times {
        if let Some(n) = self.c.in_all_told() {
            return Times::InAll(n);
        }
        if let Some((n, more)) = self.c.times() {
            self.c.end_words();
            let _ = self.c.in_all_told();
            // "4 times for remaining points"
            let _ = self.c.for_each_shape();
            return if more { Times::More(n) } else { Times::Doubt(n) };
        }
        if self.c.for_each_shape() {
            return Times::ToEnd { less: 0, class: Class::Any };
        }
        let to_end = self.read_to_end();
        let start = self.c.at;
        let _ = self.c.eat_kind(&Kind::Comma);
        // "rep from * around, 4 times": the number is what the round takes
        match self.c.times() {
            Some((n, more)) if matches!(to_end, Some(Times::ToEnd { less: 0, .. })) => {
                if more {
                    Times::More(n)
                } else {
                    Times::InAll(n)
                }
            }
            _ => {
                self.c.at = start;
                to_end.unwrap_or(Times::ToEnd { less: 0, class: Class::Any })
            }
        }
    }

    /// "around", "across to last 2 sts", "to end".
    fn read_to_end(&mut self) -> Option<Times> {
        let start = self.c.at;
        let left = self.c.read_to_last();
        let ended = self.c.at;
        if left.is_none() {
            self.c.at = start;
            if let Some(stop) = self.c.up_to() {
                return Some(Times::UpTo { stop: Box::new(stop) });
            }
            self.c.at = ended;
        }
        if self.c.at == start {
            return None;
        }
        self.c.whole_piece();
        let (less, class) = left.unwrap_or((0, Class::Any));
        Some(Times::ToEnd { less, class })
    }

    /// "ending last repeat at **", "end at **".
    fn ending_at_mark(&mut self) -> bool {
        let start = self.c.at;
        let _ = self.c.eat_kind(&Kind::Comma) || self.c.eat_kind(&Kind::Semicolon);
        if self.c.eat_any(&["ending", "end", "finishing"]) {
            let _ = self.c.eat("the");
            let _ = self.c.eat("last") && self.c.eat_any(&["rep", "repeat"]);
            if self.c.eat("at") && matches!(self.c.kind(0), Some(Kind::Star(2..))) {
                self.c.at += 1;
                return true;
            }
        }
        self.c.at = start;
        false
    }

    /// Stars still open at the end of a row or bracket.
    pub(super) fn close_stars(&mut self, run: &mut Run) {
        let stars = std::mem::take(&mut run.stars);
        let alone = stars.len() == 1;
        for (from, span, stop, single) in stars {
            if !single {
                continue;
            }
            let closed = |k: usize| run.closed == Some(k) && k > from && k <= run.steps.len();
            if let Some(stop) = stop.filter(|&k| alone && closed(k))
                && !run.steps[stop..].iter().any(|s| s.act.works())
            {
                // "*sc, 2 sc in next* (24 sts)": to the end, as every round is
                let behind = run.steps.split_off(stop);
                let steps = run.steps.split_off(from);
                let span = steps.iter().fold(span, |span, s| span.to(s.span));
                let times = Times::ToEnd { less: 0, class: Class::Any };
                run.steps.push(Step { act: Act::Repeat { steps, times, stop: None }, span });
                run.steps.extend(behind);
                continue;
            }
            self.unread = true;
            self.report(
                Problem::new(Code::UnclosedMark, span, "this * opens a repeat that nothing repeats")
                    .with_hint("write \"rep from * around\", or how many times, where the repeat ends"),
            );
        }
    }

    /// What stands in brackets: a count, a remark, a group in one place, a repeat.
    pub(super) fn bracket(&mut self, run: &mut Run) -> bool {
        let Some(&Kind::Open(open)) = self.c.kind(0) else { return false };
        let start = self.c.at;
        let Some(close) = self.matching() else {
            return self.unclosed(run, open);
        };
        if self.remark(start, close, run) {
            return true;
        }
        self.c.at = start + 1;
        if let Some(name) = self.coined_name()
            && self.c.at == close
        {
            // "(shell made)"
            self.c.at = close + 1;
            let span = self.c.since(start);
            self.notes.push(span);
            if let Some(name) = name {
                self.coin(run, name);
            }
            return true;
        }
        self.c.at = start;
        if self.depth >= DEEPEST {
            let span = self.c.since(start);
            self.report(Problem::new(Code::Limit, span, format!("brackets nest more than {DEEPEST} deep")));
            self.unread = true;
            self.c.at = self.c.tokens.len();
            return true;
        }
        self.c.at = start + 1;
        let outer_name = self.pending_name.take();
        self.depth += 1;
        let steps = self.steps();
        self.depth -= 1;
        self.c.at = close + 1;
        let coined = std::mem::replace(&mut self.pending_name, outer_name);
        if let (Some(name), true) = (&coined, steps.is_empty()) {
            // "(shell made)": what stands before the bracket
            self.coin(run, name.clone());
            return true;
        }
        let act = self.bracket_use(steps);
        let span = self.c.since(start);
        match act {
            BracketUse::Act(Act::Group { steps, at, .. }) if coined.is_some() => {
                let name = coined.unwrap_or_default();
                self.remember(name.clone(), steps.clone());
                run.steps.push(Step { act: Act::Group { steps, at, name: Some(name) }, span });
            }
            BracketUse::Act(act) => {
                let group = match &act {
                    Act::Group { steps, name, .. } => Some((steps.clone(), name.clone())),
                    _ => None,
                };
                run.steps.push(Step { act, span });
                if let Some((steps, name)) = group {
                    self.group_again(run, &steps, name.as_deref());
                }
            }
            BracketUse::Plain(steps) => {
                run.steps.extend(steps);
                // "(ch 3, dc in first sc) to join"
                self.read_to_join(run);
            }
        }
        true
    }

    /// "(…) in same sp and in each sp around": the group again, in further places.
    fn group_again(&mut self, run: &mut Run, steps: &[Step], name: Option<&str>) {
        loop {
            let start = self.c.at;
            let _ = self.c.eat_kind(&Kind::Comma);
            let led = self.c.eat("and") && matches!(self.c.word(0), Some("in" | "into" | "each"));
            let from = self.c.at;
            let place = if led { self.c.place() } else { None };
            match place {
                Some(place) if self.c.at_break() => {
                    let span = self.c.since(from);
                    let name = name.map(str::to_owned);
                    run.steps.push(Step { act: Act::Group { steps: steps.to_vec(), at: place.target, name }, span });
                }
                _ => {
                    self.c.at = start;
                    return;
                }
            }
        }
    }

    /// What the words behind a bracket make of it.
    fn bracket_use(&mut self, mut steps: Vec<Step>) -> BracketUse {
        let after = self.c.at;
        let _ = self.c.eat_kind(&Kind::Comma);
        // "(sc, inc) repeat 6 times"
        let repeated = self.c.at;
        let repeats = self.c.eat_any(words::REPEAT) && self.c.clone().times().is_some();
        if !repeats {
            self.c.at = repeated;
        }
        if let Some((n, more)) = self.c.times() {
            // "(3 dc, ch 2) 4 times in ring": all of it in one place
            let told = self.c.at;
            if matches!(self.c.word(0), Some("in" | "into")) || self.c.sees(&["all", "in"]) {
                if let Some(place) = self.c.place() {
                    let span = self.c.since(after);
                    let act = Act::Repeat { steps, times: Times::InAll(n), stop: None };
                    return BracketUse::Act(Act::Group {
                        steps: vec![Step { act, span }],
                        at: place.target,
                        name: None,
                    });
                }
                self.c.at = told;
            }
            self.c.end_words();
            let stop = self.omitted(&mut steps);
            // "[…] repeat 4 more times": worked once before they begin
            let times = if more && repeats { Times::More(n) } else { Times::InAll(n) };
            return BracketUse::Act(Act::Repeat { steps, times, stop });
        }
        self.c.at = after;
        if self.c.eat_kind(&Kind::Star(1)) {
            if let Some(n) = self.c.number() {
                return BracketUse::Act(Act::Repeat { steps, times: Times::InAll(n), stop: None });
            }
            self.c.at = after;
        }
        if let Some(times) = self.read_to_end() {
            let stop = self.omitted(&mut steps);
            return BracketUse::Act(Act::Repeat { steps, times, stop });
        }
        if let Some(place) = self.c.place() {
            let _ = self.on_piece_in_hand(true);
            return BracketUse::Act(Act::Group { steps, at: place.target, name: None });
        }
        if let Some(&Kind::Number(n)) = self.c.kind(0) {
            // "(sc, inc) 6": how often, with nothing else it could count
            self.c.at += 1;
            if self.c.at_break() || matches!(self.c.kind(0), Some(Kind::Open(_))) {
                return BracketUse::Act(Act::Repeat { steps, times: Times::InAll(n), stop: None });
            }
            self.c.at -= 1;
        }
        BracketUse::Plain(steps)
    }

    /// Index of the bracket that closes the one here.
    pub(super) fn matching(&self) -> Option<usize> {
        self.partners.get(self.c.at).copied().flatten()
    }

    fn unclosed(&mut self, run: &mut Run, open: char) -> bool {
        let span = self.c.tokens[self.c.at].span;
        let close = match open {
            '(' => ')',
            '[' => ']',
            _ => '}',
        };
        self.report(
            Problem::new(Code::UnclosedMark, span, format!("this \"{open}\" is never closed"))
                .with_hint(format!("put the \"{close}\" behind the last stitch that belongs to it")),
        );
        self.unread = true;
        self.c.at += 1;
        // what follows is still read, so that one missing bracket hides no other fault
        if self.depth < DEEPEST {
            self.depth += 1;
            let steps = self.steps();
            self.depth -= 1;
            run.steps.extend(steps);
        }
        true
    }

    /// A bracket that closes nothing.
    pub(super) fn stray_close(&mut self) {
        let span = self.c.tokens[self.c.at].span;
        self.c.at += 1;
        self.unread = true;
        self.report(Problem::new(Code::UnclosedMark, span, "this bracket closes nothing that was opened"));
    }
}

enum BracketUse {
    Act(Act),
    Plain(Vec<Step>),
}

/// For each opening bracket the index of the one that closes it.
pub(super) fn partners(tokens: &[super::lex::Token]) -> Vec<Option<usize>> {
    let mut found = vec![None; tokens.len()];
    let mut open = Vec::new();
    for (i, token) in tokens.iter().enumerate() {
        match token.kind {
            Kind::Open(_) => open.push(i),
            Kind::Close(_) => {
                if let Some(k) = open.pop() {
                    found[k] = Some(i);
                }
            }
            _ => {}
        }
    }
    found
}

/// Stars of the longest mark: "****" stands inside "***" in some books.
const MOST_STARS: usize = 4;
