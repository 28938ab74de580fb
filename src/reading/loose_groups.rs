//! Groups with no brackets around them: "in next st dc, ch 2, dc", "2 dc, ch 2, 2 dc in next ch-2 sp". And a stitch told
//! in both dialects on one line: "2 dc (UK)/2 sc (USA)".

use super::lex::Kind;
use super::phrase::{RowReader, Run, apply_loop};
use super::place::Where;
use super::stitch::Named;
use super::words;
use crate::craft::{Meet, StitchForm};
use crate::instructions::{Act, Class, Step, Target, Which};

/// Gathers what the step just read shows to go into one place with those before it.
pub(super) fn gather_all(run: &mut Run, text: &str) {
    gather(run);
    gather_unparted(run, text);
    gather_at_hook(run);
    gather_petal(run, text);
    chains_of_space(run, text);
}

/// Makes a group of "2 dc, ch 2, 2 dc in next ch-2 sp": as many of the same stitch before the chain as behind it, the
/// first without a place of their own.
fn gather(run: &mut Run) {
    let [.., first, chain, last] = run.steps.as_slice() else { return };
    let (
        Act::Work { each: 1, form, at: Target::Next { n, class: Class::Any } },
        Act::Chain { .. } | Act::Picot { .. },
        Act::Work { each, form: again, at },
    ) = (&first.act, &chain.act, &last.act)
    else {
        return;
    };
    if *at == Target::Same && form == again && begins_in_place(run) {
        // "ch 3, 2 dc, ch 3, 3 dc in that same space": all of it there
        let k = run.steps.len() - 3;
        if let Act::Work { each, at, .. } = &mut run.steps[k].act {
            if let Target::Next { n, .. } = at {
                *each = *n;
            }
            *at = Target::Same;
        }
        return;
    }
    let spaced = matches!(
        at,
        Target::Next { n: 1, class: Class::Space(_) | Class::Corner(_) | Class::Any | Class::Stitch | Class::Kind(_) }
    );
    let spaced =
        spaced || matches!(at, Target::Within { which: Which::Next, .. } | Target::Between { each: false, .. });
    let open = run.stars.last().is_none_or(|s| s.0 + 3 <= run.steps.len());
    if !(spaced && open && form == again && n == each && *n >= 2) {
        return;
    }
    let at = at.clone();
    let span = first.span.to(last.span);
    let from = run.steps.len() - 3;
    let mut steps: Vec<Step> = run.steps.drain(from..).collect();
    if let Some(Step { act: Act::Work { each, at, .. }, .. }) = steps.last_mut() {
        *at = Target::Next { n: *each, class: Class::Any };
        *each = 1;
    }
    run.steps.push(Step { act: Act::Group { steps, at, name: None }, span });
}

/// Makes a group of "1tr 2ch 2tr into same sp": no mark parts what goes into one place.
fn gather_unparted(run: &mut Run, text: &str) {
    let Some((last, before)) = run.steps.split_last() else { return };
    let Act::Work { at, .. } = &last.act else { return };
    let one = matches!(
        at,
        Target::Same
            | Target::Next {
                n: 1,
                class: Class::Space(_) | Class::Corner(_) | Class::Stitch | Class::Kind(_) | Class::Group(_)
            }
            | Target::First { .. }
            | Target::Within { which: Which::Next | Which::Same | Which::First | Which::Last, .. }
            | Target::Between { each: false, .. }
    );
    let floor = run.stars.last().map_or(0, |s| s.0).min(before.len());
    let mut from = before.len();
    while one && from > floor {
        let step = &before[from - 1];
        let bare = matches!(
            &step.act,
            Act::Chain { .. } | Act::Work { each: 1, at: Target::Next { class: Class::Any, .. }, .. }
        );
        let next = before.get(from).unwrap_or(last);
        let blank = |s: &str| s.chars().all(char::is_whitespace);
        if !bare || !text.get(step.span.end..next.span.start).is_some_and(blank) {
            break;
        }
        from -= 1;
    }
    let chained = before[from..].iter().any(|s| matches!(s.act, Act::Chain { .. }));
    let worked = before.get(from).is_some_and(|s| matches!(s.act, Act::Work { .. }));
    if !(chained && worked) {
        return;
    }
    let (at, span) = (at.clone(), before[from].span.to(last.span));
    let mut steps: Vec<Step> = run.steps.drain(from..).collect();
    if let Some(Step { act: Act::Work { each, at, .. }, .. }) = steps.last_mut() {
        *at = Target::Next { n: *each, class: Class::Any };
        *each = 1;
    }
    run.steps.push(Step { act: Act::Group { steps, at, name: None }, span });
}

/// "3 tr, 3 dc, tr in 4th ch from hook": what stands before the chain that the first stitch goes into, and has no place
/// of its own, goes into it too.
fn gather_at_hook(run: &mut Run) {
    let Some((Step { act: Act::Work { at: Target::FromHook { n: hook }, .. }, .. }, before)) = run.steps.split_last()
    else {
        return;
    };
    let hook = *hook;
    let bare = |s: &Step| match &s.act {
        Act::Work { each: 1, at: Target::Next { class: Class::Any, .. }, form } => form.one_place,
        Act::Chain { .. } => true,
        _ => false,
    };
    let taken = before.iter().rev().take_while(|s| bare(s)).count();
    let from = before.len() - taken;
    let led = before[from..].iter().take_while(|s| matches!(s.act, Act::Chain { .. })).count();
    let worked = before[from + led..].iter().any(|s| matches!(s.act, Act::Work { .. }));
    // stitches of this row before it have their chain already, and one star's work is not another's
    let opens =
        !before[..from].iter().any(|s| matches!(s.act, Act::Work { .. } | Act::Group { .. } | Act::Repeat { .. }));
    if !(worked && opens && run.stars.is_empty() && led == 0) {
        return;
    }
    let span = before[from].span.to(run.steps[run.steps.len() - 1].span);
    let mut steps: Vec<Step> = run.steps.drain(from..).collect();
    if let Some(Step { act: Act::Work { each, at, .. }, .. }) = steps.last_mut() {
        *at = Target::Next { n: *each, class: Class::Any };
        *each = 1;
    }
    run.steps.push(Step { act: Act::Group { steps, at: Target::FromHook { n: hook }, name: None }, span });
}

/// "1 dc, 1 htr, 3 tr, 1 htr and 1 dc in each 3-ch sp": stitches that rise and fall alike, none but the last with a
/// place, are a petal in that place.
fn gather_petal(run: &mut Run, text: &str) {
    let Some((last, before)) = run.steps.split_last() else { return };
    let Act::Work { each, form, at } = &last.act else { return };
    let space = |class: &Class| matches!(class, Class::Space(_) | Class::Group(_));
    let one = match at {
        Target::Each { class, less: 0, every: 1 } | Target::Next { n: 1, class } => space(class),
        Target::Within { which: Which::Next | Which::Each, .. } => true,
        _ => false,
    };
    let bare = |s: &Step| match &s.act {
        Act::Work { each: 1, form, at: Target::Next { n, class: Class::Any } } => {
            let words = text.get(s.span.start..s.span.end).unwrap_or_default();
            let placed = words.split_whitespace().any(|w| matches!(w, "in" | "into" | "next" | "each" | "on"));
            (!placed).then_some((*form, *n))
        }
        _ => None,
    };
    let floor = run.stars.last().map_or(0, |s| s.0).min(before.len());
    let mut petal: Vec<(StitchForm, u32)> = before[floor..].iter().rev().map_while(bare).take(MOST_IN_PETAL).collect();
    petal.reverse();
    petal.push((*form, *each));
    // it is all there is to this place: nothing worked stands before it
    let from = before.len() + 1 - petal.len();
    let opens = before[floor..from].iter().all(|s| !s.act.works());
    let alike = petal.iter().eq(petal.iter().rev()) && petal.iter().any(|(f, _)| f != form);
    if !(one && opens && alike && petal.len() > 2) {
        return;
    }
    let (at, span) = (at.clone(), run.steps[from].span.to(last.span));
    let mut steps: Vec<Step> = run.steps.drain(from..).collect();
    if let Some(Step { act: Act::Work { each, at, .. }, .. }) = steps.last_mut() {
        *at = Target::Next { n: *each, class: Class::Any };
        *each = 1;
    }
    run.steps.push(Step { act: Act::Group { steps, at, name: None }, span });
}

/// "3 dc in 2 ch" behind other work: the space of so many chains, since no word says "next" or "each".
fn chains_of_space(run: &mut Run, text: &str) {
    let behind = run.steps.len() > 1 && run.steps[..run.steps.len() - 1].iter().any(|s| s.act.works());
    let Some(last) = run.steps.last_mut().filter(|_| behind) else { return };
    let words = text.get(last.span.start..last.span.end).unwrap_or_default().to_lowercase();
    let told = words.split(|c: char| !c.is_alphanumeric()).any(|w| {
        matches!(
            w,
            "next"
                | "each"
                | "ea"
                | "first"
                | "last"
                | "following"
                | "foll"
                | "every"
                | "both"
                | "remaining"
                | "rem"
                | "other"
        )
    });
    if let Act::Work { each: 2.., at: at @ Target::Next { n: 2.., class: Class::Chain }, .. } = &mut last.act
        && !told
        && let Target::Next { n, .. } = at
    {
        *at = Target::Next { n: 1, class: Class::Space(Some(*n)) };
    }
}

/// Steps of one petal; those of published roses have nine.
const MOST_IN_PETAL: usize = 16;

/// True where the stitches before the last three steps are no more than the chain that opens a row, behind a yarn
/// attached or slip stitches to a space.
fn begins_in_place(run: &Run) -> bool {
    let k = run.steps.len().saturating_sub(3);
    let mut before = run.steps[..k].iter().rev();
    let mut chained = false;
    for step in &mut before {
        match &step.act {
            Act::Chain { .. } if !chained => chained = true,
            Act::Counts { .. } => {}
            _ => break,
        }
    }
    let reaches = |a: &Act| match a {
        Act::Attach { at, .. } => at.is_some(),
        Act::Work { at: Target::Next { class, .. } | Target::First { class }, .. } => {
            matches!(class, Class::Space(_) | Class::Corner(_) | Class::Group(_))
        }
        Act::Work { at: Target::Within { .. }, .. } => true,
        _ => false,
    };
    let last = run.steps[..k].iter().rev().find(|s| !matches!(s.act, Act::Chain { .. } | Act::Counts { .. }));
    chained && last.is_some_and(|s| reaches(&s.act))
}

impl RowReader<'_> {
    /// "in next st, work": a place told before the stitches that go into it.
    fn place_before_work(&mut self) -> Option<Where> {
        let start = self.c.at;
        // "working into magic ring, 6 dc"
        let working = self.c.eat_any(&["working", "work"]);
        if !matches!(self.c.word(0), Some("in" | "into")) {
            self.c.at = start;
            return None;
        }
        let place = self.c.place().filter(|p| !working || p.target == Target::Ring);
        let Some(place) = place else {
            self.c.at = start;
            return None;
        };
        let _ = self.c.eat_kind(&Kind::Comma);
        let _ = self.c.eat_any(&["work", "make", "put", "crochet"]);
        let _ = self.c.eat_kind(&Kind::Colon);
        Some(place)
    }

    /// "in next st work 3 sc", "in next st dc, ch 2, dc": the place first; all that follows with no place of its own
    /// goes into it, where chains lie between.
    pub(super) fn place_leads_group(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let Some(place) = self.place_before_work() else { return false };
        let before = self.leading_count();
        let from = self.c.at;
        let Some(mut named) = self.c.stitch() else { return false };
        apply_loop(&mut named, place.part, place.post);
        if let Named::Form(form) = named {
            let at = Target::Next { n: before.unwrap_or(1), class: Class::Any };
            let first = Step { act: Act::Work { each: 1, form, at }, span: self.c.since(from) };
            if let Some(steps) = self.rest_of_group(first) {
                let span = self.c.since(start);
                run.steps.push(Step { act: Act::Group { steps, at: place.target, name: None }, span });
                return true;
            }
        }
        false
    }

    /// "in next st work 3 sc", "in ring, work 6 sc": the place first.
    pub(super) fn placed_first(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let Some(place) = self.place_before_work() else { return false };
        if let Some(steps) = self.bracket_here().or_else(|| self.several_here()) {
            let span = self.c.since(start);
            run.steps.push(Step { act: Act::Group { steps, at: place.target, name: None }, span });
            return true;
        }
        let before = self.leading_count();
        let Some(mut named) = self.c.stitch() else { return false };
        apply_loop(&mut named, place.part, place.post);
        let after = if before.is_none() { self.trailing_count() } else { None };
        let span = self.c.since(start);
        self.push_named(run, named, before.or(after).unwrap_or(1), place.target, true, span);
        true
    }

    /// "shell of 3 dc, ch 3, 3 dc in next sp", "make a fan of 7 dc in next st": a group and its name at once.
    pub(super) fn shape_of(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let _ = self.c.eat_any(&["make", "work", "making", "working"]);
        let _ = self.c.eat_any(&["a", "an", "one"]) || self.c.eat_kind(&Kind::Number(1));
        let shape = |w: &&str| words::SHAPES.contains(w) || words::GROUP.contains(w);
        let clustered = self.c.word(0).is_some_and(|w| words::CLUSTERS.contains(&w)) && self.c.word(1) == Some("of");
        if clustered {
            return self.cluster_of(run, start);
        }
        let Some(name) = self.c.word(0).filter(shape).map(str::to_owned) else { return false };
        self.c.at += 1;
        if !self.c.eat("of") {
            return false;
        }
        let mut steps = self.bracket_here().unwrap_or_default();
        while steps.is_empty() || self.c.clone().place().is_none() {
            let from = self.c.at;
            let _ = self.c.eat_kind(&Kind::Comma);
            let _ = self.c.eat("and");
            let before = self.leading_count();
            let act = match self.c.stitch() {
                Some(Named::Form(form)) => {
                    let at = Target::Next { n: before.unwrap_or(1), class: Class::Any };
                    Act::Work { each: 1, form, at }
                }
                _ => match self.bare_item() {
                    Some(act @ Act::Chain { .. }) => act,
                    _ => {
                        self.c.at = from;
                        break;
                    }
                },
            };
            steps.push(Step { act, span: self.c.since(from) });
        }
        let place = if steps.is_empty() { None } else { self.c.place() };
        let Some(place) = place else { return false };
        let span = self.c.since(start);
        run.steps.push(Step { act: Act::Group { steps, at: place.target, name: Some(name.clone()) }, span });
        self.coin_last(run, name);
        true
    }

    /// "cluster of 3 tr in next sp": so many legs in one place.
    fn cluster_of(&mut self, run: &mut Run, start: usize) -> bool {
        self.c.at += 2;
        let legs = self.c.number().and_then(|n| u8::try_from(n).ok()).filter(|n| *n > 1);
        let stem = self.c.stem();
        let (Some(legs), Some(stem), Some(place)) = (legs, stem, self.c.place()) else { return false };
        let form = StitchForm::cluster(stem, legs, Meet::Head);
        self.push(run, start, Act::Work { each: 1, form, at: place.target })
    }

    /// "dc 1, tr 1, dc 2" to the end of the sentence, none with a place of its own: all in the place told before.
    fn several_here(&mut self) -> Option<Vec<Step>> {
        let start = self.c.at;
        let mut steps = Vec::new();
        loop {
            let from = self.c.at;
            let Some(act) = self.bare_item() else { break };
            steps.push(Step { act, span: self.c.since(from) });
            let more = self.c.eat_kind(&Kind::Comma) | self.c.eat("and");
            if !more {
                break;
            }
        }
        let ends = matches!(self.c.kind(0), None | Some(Kind::Stop | Kind::Semicolon | Kind::Close(_) | Kind::Open(_)));
        if steps.len() > 1 && ends {
            return Some(steps);
        }
        self.c.at = start;
        None
    }

    /// ", ch 2, dc" behind the first stitch: chains, and stitches with no place of their own.
    fn rest_of_group(&mut self, first: Step) -> Option<Vec<Step>> {
        let mut steps = vec![first];
        let mut end = self.c.at;
        let mut whole = 1;
        loop {
            let from = self.c.at;
            if !(self.c.eat_kind(&Kind::Comma) | self.c.eat("and")) {
                break;
            }
            let here = self.c.at;
            if self.c.eat_any(words::CHAIN) {
                let _ = self.c.eat_kind(&Kind::Dash);
                let Some(n) = self.c.number() else { break };
                steps.push(Step { act: Act::Chain { n }, span: self.c.since(here) });
                end = self.c.at;
                continue;
            }
            if let Some(n) = self.c.number() {
                // "3 ch"
                if self.c.eat_any(words::CHAIN) {
                    steps.push(Step { act: Act::Chain { n }, span: self.c.since(here) });
                    end = self.c.at;
                    continue;
                }
                self.c.at = here;
            }
            let n = self.leading_count().unwrap_or(1);
            let Some(Named::Form(form)) = self.c.stitch() else { break };
            let behind = self.c.at;
            let again = self.c.word(0) == Some("all")
                && self.c.place().is_some_and(|p| matches!(p.target, Target::Same | Target::Next { n: 1, .. }));
            if !again {
                self.c.at = behind;
            }
            // "in next st work dc, ch 1, dc all in one st": the place told twice
            let alone = again || self.c.at_break() || self.c.word(0) == Some("and");
            if !alone || self.c.clone().place().is_some() {
                self.c.at = from;
                break;
            }
            let at = Target::Next { n, class: Class::Any };
            steps.push(Step { act: Act::Work { each: 1, form, at }, span: self.c.since(here) });
            end = self.c.at;
            whole = steps.len();
        }
        let chained = steps[..whole].iter().any(|s| matches!(s.act, Act::Chain { .. }));
        if !chained || whole < steps.len() {
            // chains at the end lead on, and are read next
            self.c.at = steps.first().map_or(end, |_| self.index_behind(&steps[..whole], end));
        } else {
            self.c.at = end;
        }
        if !chained {
            return None;
        }
        steps.truncate(whole);
        Some(steps)
    }

    /// Index of the token behind the last of these steps.
    fn index_behind(&self, steps: &[Step], end: usize) -> usize {
        let at = steps.last().map_or(0, |s| s.span.end);
        (0..end).rev().find(|&i| self.c.tokens[i].span.end <= at).map_or(end, |i| i + 1)
    }

    /// "(UK)/2 sc (USA)" behind a stitch: the same told again in the other dialect.
    pub(super) fn other_dialect(&mut self) {
        let start = self.c.at;
        if self.country() && self.c.eat_kind(&Kind::Other('/')) {
            let _ = self.c.number();
            if self.c.stitch().is_some() && self.country() {
                let span = self.c.since(start);
                self.notes.push(span);
                return;
            }
        }
        self.c.at = start;
    }

    fn country(&mut self) -> bool {
        let named = matches!(self.c.kind(0), Some(Kind::Open(_)))
            && matches!(self.c.word(1), Some("uk" | "us" | "usa"))
            && matches!(self.c.kind(2), Some(Kind::Close(_)));
        self.c.at += if named { 3 } else { 0 };
        named
    }
}
