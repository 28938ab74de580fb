//! Stitches spelled out by their loops: "(yo, draw up a loop in next st, yo and draw through 2 loops) 3 times, yo and
//! draw through all 4 loops on hook - 3-dc cluster made".

use super::lex::Kind;
use super::phrase::{RowReader, Run};
use super::place::Where;
use super::stitch::Named;
use super::words;
use crate::craft::{Meet, Stem, StitchForm};
use crate::instructions::{Act, Step, Target};

/// What the loops tell of a stitch, leg by leg.
#[derive(Default)]
struct Loops {
    /// Wraps before the loop of the last leg was drawn up.
    wraps: u8,
    /// Wraps since the last draw.
    pending: u8,
    legs: u32,
    /// Loops on the hook beside the first: at none of them the stitch is done.
    held: u32,
    /// Legs and loops where a star stands, for "rep from *".
    star: Option<(u32, u32)>,
    /// True once they were told again.
    again: bool,
    /// True from the hook going in to the loop drawn up.
    inserted: bool,
    /// Legs that stand in places of their own, as told at once: "in each of next 2 sts".
    places: u32,
    /// True once two loops were worked off: a dc or taller, not an hdc.
    twos: bool,
    at: Option<Where>,
    /// True where the place was told as the next one: each leg of a repeated bracket goes on to another.
    next: bool,
    further: Option<Where>,
    /// What is told of chains between the loops.
    told: Vec<Step>,
}

/// Brackets within brackets of loops: "[(yoh) twice and draw up a loop …] 3 times".
const DEEPEST_LOOPS: usize = 3;

impl RowReader<'_> {
    /// A stitch spelled out, to the draw through all loops and the name behind it.
    pub(super) fn spelled(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let mut loops = Loops::default();
        let starred = self.c.kind(0) == Some(&Kind::Star(1));
        if !self.opens_spelled() || !self.read_loops(&mut loops, 0) || loops.legs == 0 || starred && !loops.again {
            self.c.at = start;
            return false;
        }
        let span = self.c.since(start);
        let (named, coined) = self.spelled_name();
        let apart = loops.places > 1 || loops.further.is_some();
        let stem = match (loops.wraps, loops.twos) {
            (0, _) => Stem::Single,
            (_, false) => Stem::HalfDouble,
            (wraps, true) => Stem::Tall(wraps),
        };
        let legs = u8::try_from(loops.legs.max(loops.places)).unwrap_or(u8::MAX);
        let form = match named {
            Some(Named::Form(form)) if !(apart && form.one_place && form.legs > 1) => form,
            _ if legs == 1 => StitchForm::plain(stem),
            _ if apart => StitchForm::together(stem, legs),
            _ => StitchForm::cluster(stem, legs, Meet::Head),
        };
        let at = match loops.at.map(|w| w.target) {
            Some(Target::Next { class, .. }) => Target::Next { n: 1, class },
            Some(target) => target,
            None => Target::NEXT,
        };
        run.steps.push(Step { act: Act::Work { each: 1, form, at }, span });
        run.steps.append(&mut loops.told);
        if let Some(name) = coined {
            self.coin_last(run, name);
        }
        true
    }

    /// True where a stitch begins to be spelled: a yarn over, a loop drawn up, or a bracket that begins so.
    fn opens_spelled(&self) -> bool {
        let mut c = self.c.clone();
        let _ = c.eat_kind(&Kind::Star(1));
        for _ in 0..DEEPEST_LOOPS {
            c.at += usize::from(matches!(c.kind(0), Some(Kind::Open(_))));
        }
        let _ = c.eat_kind(&Kind::Star(1));
        c.eat_any(YARN_OVER)
            || c.eat_all(&["draw", "up", "a", "long", "loop"])
            || c.eat_all(&["draw", "up", "a", "loop", "in"])
            || c.eat_all(&["insert", "hook", "in"])
            || c.eat_all(&["yarn", "over"])
            || c.eat_all(&["pull", "up", "a", "loop"])
            || c.eat_all(&["draw", "up", "loop"])
    }

    /// Reads loops until all are drawn through. False where something else comes first.
    fn read_loops(&mut self, loops: &mut Loops, depth: usize) -> bool {
        while !self.c.done() {
            let before = self.c.at;
            let c = &mut self.c;
            let _ = c.eat_kind(&Kind::Comma)
                || c.eat_kind(&Kind::Stop)
                || c.eat_kind(&Kind::Semicolon)
                || c.eat_any(&["and", "then", "again"]);
            if c.at > before {
                continue;
            }
            if matches!(c.kind(0), Some(Kind::Open(_))) && depth < DEEPEST_LOOPS {
                if self.loops_on_hook() || depth == 0 && self.counts_between(loops) {
                    continue;
                }
                if !self.bracketed_loops(loops, depth) {
                    return false;
                }
                if depth == 0 && loops.legs > 0 && loops.held == 0 && loops.pending == 0 {
                    return true;
                }
                continue;
            }
            if depth == 0 && self.repeated_loops(loops) {
                continue;
            }
            let c = &mut self.c;
            if matches!(c.kind(0), Some(Kind::Close(_))) {
                return depth > 0;
            }
            if c.eat_any(YARN_OVER) || c.eat_all(&["yarn", "over"]) {
                let _ = c.eat_any(&["hook"]);
                let n = c.times().map_or(1, |(n, _)| n);
                loops.pending = loops.pending.saturating_add(u8::try_from(n).unwrap_or(u8::MAX));
                continue;
            }
            if c.eat_any(words::CHAIN) {
                // "draw lp through, ch 3": chains within the stitch
                let _ = c.eat_kind(&Kind::Dash);
                if loops.held == 0 || c.number().is_none() {
                    return false;
                }
                continue;
            }
            match self.draw(loops) {
                Some(true) if depth == 0 && loops.held > 0 && self.draws_on() => {}
                Some(true) => return true,
                Some(false) => {}
                None => return false,
            }
        }
        false
    }

    /// "*" where loops begin that are told again, and "rep from * once more in same st".
    fn repeated_loops(&mut self, loops: &mut Loops) -> bool {
        let start = self.c.at;
        if loops.star.is_none() && self.c.eat_kind(&Kind::Star(1)) {
            loops.star = Some((loops.legs, loops.held));
            return true;
        }
        if let Some((legs, held)) = loops.star
            && self.c.eat_any(words::REPEAT)
            && self.c.eat("from")
            && self.c.eat_kind(&Kind::Star(1))
            && let Some((n, _)) = self.c.times()
        {
            loops.again = true;
            loops.legs = loops.legs.saturating_add((loops.legs - legs).saturating_mul(n));
            loops.held = loops.held.saturating_add(loops.held.saturating_sub(held).saturating_mul(n));
            let from = self.c.at;
            if self.c.place().is_none() {
                self.c.at = from;
            }
            return true;
        }
        self.c.at = start;
        false
    }

    /// ", yo and draw through 2 loops": the stitch is not done yet.
    fn draws_on(&self) -> bool {
        let mut c = self.c.clone();
        let _ = c.eat_kind(&Kind::Comma) || c.eat_kind(&Kind::Stop);
        let _ = c.eat_any(&["and", "then"]);
        c.eat_any(YARN_OVER) || c.eat_all(&["yarn", "over"])
    }

    /// "(2 loops on hook)", "(3 lps left)": what the hook holds now.
    fn loops_on_hook(&mut self) -> bool {
        let start = self.c.at;
        self.c.at += 1;
        let _ = self.c.eat("you") && self.c.eat("should") && self.c.eat("have");
        if self.c.number().is_some() && self.c.eat_any(&["loops", "lps", "loop", "lp"]) {
            let _ = self.c.eat_any(&["rem", "remain", "remaining", "left"]);
            let _ = self.c.eat("on") && {
                let _ = self.c.eat_any(&["the", "your"]);
                self.c.eat("hook")
            };
            if matches!(self.c.kind(0), Some(Kind::Close(_))) {
                self.c.at += 1;
                return true;
            }
        }
        self.c.at = start;
        false
    }

    /// "(missed ch-3 counts as 1 dc)" between the loops: told, and kept for behind the stitch.
    fn counts_between(&mut self, loops: &mut Loops) -> bool {
        let start = self.c.at;
        let close = self.partners.get(start).copied().flatten();
        self.c.at += 1;
        let mut told = Run::default();
        if self.counts(&mut told) && Some(self.c.at) == close {
            self.c.at += 1;
            loops.told.append(&mut told.steps);
            return true;
        }
        self.c.at = start;
        false
    }

    /// "(…) 3 times": as many legs.
    fn bracketed_loops(&mut self, loops: &mut Loops, depth: usize) -> bool {
        self.c.at += 1;
        let before = loops.legs;
        let (wraps, held) = (loops.pending, loops.held);
        let placed = loops.at.is_some();
        if !self.read_loops(loops, depth + 1) || !matches!(self.c.kind(0), Some(Kind::Close(_))) {
            return false;
        }
        self.c.at += 1;
        if let Some((n, _)) = self.c.times() {
            let legs = loops.legs - before;
            loops.legs = before.saturating_add(legs.saturating_mul(n));
            let more = i64::from(n.max(1) - 1) * (i64::from(loops.held) - i64::from(held));
            loops.held = u32::try_from((i64::from(loops.held) + more).max(0)).unwrap_or(u32::MAX);
            if legs == 0 && loops.pending > wraps {
                // "(yoh) twice"
                let n = u8::try_from(n).unwrap_or(u8::MAX);
                loops.pending = wraps.saturating_add((loops.pending - wraps).saturating_mul(n));
            }
            let inside = loops.at.as_ref().filter(|_| !placed && loops.next);
            if inside.is_some_and(|w| matches!(w.target, Target::Next { .. })) {
                // "(… in next st …) 3 times": every leg in a place of its own
                loops.places = loops.places.max(loops.legs);
            }
        }
        if let Some(place) = self.c.place() {
            if place.target == Target::Same {
                loops.places = loops.places.min(1);
            }
            loops.at.get_or_insert(place);
        }
        true
    }

    /// One draw: a loop up (false), two loops off (false), all loops off (true). None where it is none of them.
    fn draw(&mut self, loops: &mut Loops) -> Option<bool> {
        let c = &mut self.c;
        if c.eat_all(&["insert", "hook"]) {
            // what is wrapped from here on is the loop drawn up
            loops.wraps = loops.wraps.max(loops.pending);
            loops.held = loops.held.saturating_add(u32::from(std::mem::take(&mut loops.pending)));
            loops.inserted = true;
            return Some(self.leg(loops, false));
        }
        if !c.eat_any(&["draw", "pull"]) {
            return None;
        }
        if c.eat("up") {
            let _ = c.eat("a");
            let _ = c.eat_any(&["long", "tall", "loose"]);
            if !c.eat_any(&["loop", "lp"]) {
                return None;
            }
            return Some(self.leg(loops, true));
        }
        let a = c.eat("a");
        if c.eat_any(&["loop", "lp"]) {
            // "draw lp through", "draw a loop through st"
            if !c.eat_any(&["through", "thru"]) {
                return None;
            }
            let _ = c.eat("the");
            let _ = c.eat_any(words::STITCH) || c.eat("it");
            return Some(self.leg(loops, true));
        }
        let _ = c.eat("yarn");
        if a || !c.eat_any(&["through", "thru"]) {
            return None;
        }
        let all = c.eat("all") || c.sees(&["rem"]) || c.sees(&["remaining"]);
        let both = c.eat("both");
        let _ = c.eat_any(&["rem", "remaining", "first", "last"]);
        let n = c.number().or(both.then_some(2));
        let _ = c.eat_any(&["rem", "remaining"]);
        if !(c.eat_any(&["loops", "lps", "loop", "lp"]) || c.eat_all(&["st"])) {
            return None;
        }
        let _ = c.eat_all(&["on", "hook"]) || c.eat_all(&["on", "the", "hook"]);
        loops.pending = 0;
        loops.held = match n {
            _ if all => 0,
            Some(n) => loops.held.saturating_sub(n.max(1) - 1),
            None => loops.held,
        };
        loops.twos |= n == Some(2) && !(loops.wraps == 1 && all);
        Some(all || n.is_some_and(|n| n > 2) || loops.legs > 0 && loops.held == 0)
    }

    /// A loop drawn up is a leg; "insert hook in next st" names its place and the loop follows.
    fn leg(&mut self, loops: &mut Loops, up: bool) -> bool {
        let from = self.c.at;
        let place = self.c.place();
        loops.next |= (from..self.c.at).any(|k| matches!(self.c.word_at(k), Some("next" | "following" | "foll")));
        if let Some(place) = place {
            if let Target::Next { n, .. } = place.target {
                loops.places = loops.places.max(n);
            }
            if loops.at.is_none() {
                loops.at = Some(place);
            } else if place.target != Target::Same {
                loops.further = Some(place);
            }
        }
        if up {
            let mut legs = 1;
            if !std::mem::take(&mut loops.inserted) {
                loops.wraps = loops.wraps.max(loops.pending);
                loops.held = loops.held.saturating_add(u32::from(loops.pending));
                // "yo and pull up a loop 4 times": as many legs
                legs = self.c.times().map_or(1, |(n, _)| n);
            }
            // each further leg is wrapped as the first was
            let wraps = u32::from(loops.pending).saturating_mul(legs.saturating_sub(1));
            loops.held = loops.held.saturating_add(legs).saturating_add(wraps);
            loops.legs = loops.legs.saturating_add(legs);
            loops.pending = 0;
        }
        false
    }
}

/// Words for wrapping the yarn once.
pub(super) const YARN_OVER: &[&str] = &["yo", "yoh", "yrh"];
