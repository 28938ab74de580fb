//! Petals and leaves worked on both sides of a chain: "work the other side to correspond", places told first.

use super::super::lex::Kind;
use super::super::phrase::{RowReader, Run};
use super::between::MISS;
use super::quantity::WORK;
use crate::instructions::{Act, Class, Step, Target};

/// Words that lead to the other side.
const OTHER: &[&str] = &["other", "opposite", "second", "2nd"];
/// What has two sides.
const SIDED: &[&str] =
    &["chain", "foundation", "leaf", "petal", "branch", "point", "stem", "vein", "loop", "work", "piece", "bar"];

impl RowReader<'_> {
    /// "work down the other side to correspond", "the other half the same as the first": the stitches of the first
    /// side, from its end back.
    pub(super) fn corresponding(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let _ = self.c.eat_any(&["then", "and", "now"]);
        let _ = self.c.eat_any(WORK);
        let _ = self.c.eat_any(&["down", "up", "back", "along", "on"]);
        let _ = self.c.eat("the");
        let other = self.c.eat_any(OTHER) || self.c.eat_kind(&Kind::Ordinal(2));
        if !(other && self.c.eat_any(&["side", "half"])) {
            return false;
        }
        self.of_sided();
        let _ = self.c.eat_kind(&Kind::Comma);
        let alike = self.c.eat_all(&["the", "same", "stitches", "in", "reversed", "order"])
            || self.c.eat_all(&["the", "same", "stitches", "reversed"])
            || self.c.eat_all(&["the", "same", "in", "reversed", "order"])
            || self.c.eat_all(&["to", "correspond"])
            || self.c.eat_all(&["to", "match"])
            || (self.c.eat_all(&["in", "the", "same", "way"]) || self.c.eat_all(&["in", "the", "same", "manner"]))
            || (self.c.eat("the") | self.c.eat("exactly")) && self.c.eat("same") && {
                let _ = self.c.eat_any(&["as", "like"]) && {
                    let _ = self.c.eat("the");
                    let _ = self.c.eat("first") || self.c.eat_kind(&Kind::Ordinal(1));
                    let _ = self.c.eat_any(&["side", "half", "one"]);
                    true
                };
                true
            }
            || self.c.eat("like") && {
                let _ = self.c.eat("the");
                (self.c.eat("first") || self.c.eat_kind(&Kind::Ordinal(1))) && {
                    let _ = self.c.eat_any(&["side", "half", "one"]);
                    true
                }
            };
        if !alike {
            return false;
        }
        let _ = self.c.eat_all(&["with", "the", "first"]);
        let from =
            run.steps.iter().rposition(|s| matches!(s.act, Act::Chain { .. } | Act::Ring { .. })).map_or(0, |i| i + 1);
        let side = &run.steps[from.min(run.steps.len())..];
        let side = match side.split_last() {
            // what is worked at the point is worked once
            Some((last, side)) if self.at_point(last) && !side.is_empty() => side,
            _ => side,
        };
        let opens = usize::from(matches!(side.first().map(|s| &s.act), Some(Act::Skip { .. })));
        let mut mirrored: Vec<Step> = side[opens..].iter().rev().cloned().collect();
        for step in &mut mirrored {
            if let Act::Work { at, .. } = &mut step.act
                && matches!(at, Target::FromHook { .. })
            {
                *at = Target::NEXT;
            }
        }
        if mirrored.is_empty() {
            return false;
        }
        let span = self.c.since(start);
        run.steps.push(Step { act: Act::FarSide, span });
        run.steps.extend(mirrored);
        true
    }

    /// True for a step whose words say "at the point", "in the last chain", "at the tip".
    fn at_point(&self, step: &Step) -> bool {
        let points = |w: &str| matches!(w, "point" | "tip" | "end" | "top" | "last");
        self.c.tokens.iter().any(|t| {
            t.span.start >= step.span.start
                && t.span.end <= step.span.end
                && matches!(&t.kind, Kind::Word(w) if points(w))
        })
    }

    /// "on the other side of the branch, 2 double, …", "repeat on the other side of the chain".
    pub(super) fn other_side(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let _ = self.c.eat_any(&["then", "and", "now"]);
        let again = self.c.eat("repeat");
        let _ = self.c.eat_any(WORK);
        if !self.c.eat_any(&["on", "along", "down", "up", "round", "over"]) {
            return false;
        }
        let _ = self.c.eat("the");
        if !(self.c.eat_any(OTHER) && self.c.eat("side")) {
            return false;
        }
        self.of_sided();
        let span = self.c.since(start);
        let steps: Vec<Step> = match again {
            true => {
                run.steps.iter().filter(|s| !matches!(s.act, Act::Chain { .. } | Act::Ring { .. })).cloned().collect()
            }
            false => Vec::new(),
        };
        run.steps.push(Step { act: Act::FarSide, span });
        run.steps.extend(steps);
        true
    }

    fn of_sided(&mut self) {
        let here = self.c.at;
        if self.c.eat("of") {
            let _ = self.c.eat_any(&["the", "this"]);
            let _ = self.c.eat("foundation");
            if self.c.eat_any(SIDED) {
                return;
            }
            self.c.at = here;
        }
    }

    /// "Into the 7 chain 11 stitches of double crochet", "In each 1 chain, 4 treble", "on the other stitches: 6 plain":
    /// the place first, and everything up to a miss, a repeat or the end of the sentence goes into it.
    pub(super) fn place_leads(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let _ = self.c.eat_any(WORK);
        let _ = self.c.eat_any(&["close", "inserting"]);
        let Some(spot) = self.c.old_place() else { return false };
        if spot.successive || !leads(&spot.target) {
            return false;
        }
        let _ = self.c.eat_kind(&Kind::Comma)
            || self.c.eat_kind(&Kind::Colon)
            || self.c.eat_kind(&Kind::Semicolon)
            || self.c.eat_kind(&Kind::Dash);
        let _ = self.c.eat_any(WORK);
        let mut inner = Vec::new();
        let mut end = self.c.at;
        let mut behind: Option<Step> = None;
        loop {
            let from = self.c.at;
            let _ = self.c.eat_any(WORK);
            if self.c.word(0).is_some_and(|w| MISS.contains(&w)) {
                break;
            }
            if matches!(self.c.kind(0), Some(Kind::Star(_))) {
                break;
            }
            let Some(quantity) = self.c.quantity() else { break };
            let mut run = Run::default();
            if let Some(divided) = self.divided() {
                if let (true, Some(n)) = (divided.between_places, quantity.n) {
                    // "7 long, with 1 double between each group": behind each place, all round
                    inner.push(quantity.what.step(n, self.c.since(from)));
                    behind = Some(divided.what.clone());
                    end = self.c.at;
                    break;
                }
                self.push_divided(&mut run, from, &quantity, &divided, None);
            } else {
                let Some(n) = quantity.n else { break };
                if matches!(self.c.word(0), Some("between" | "after")) {
                    break;
                }
                let back = self.c.at;
                match self.c.old_place() {
                    Some(spot) if spot.successive || spot.target == Target::Same => {}
                    // a place of its own: no longer in this one
                    Some(_) => break,
                    None => self.c.at = back,
                }
                run.steps.push(quantity.what.step(n, self.c.since(from)));
            }
            inner.append(&mut run.steps);
            end = self.c.at;
            let sep = self.c.eat_kind(&Kind::Comma) | self.c.eat_any(&["and", "then"]);
            let _ = self.c.eat("then");
            let _ = self.c.eat("and");
            if !sep {
                break;
            }
        }
        self.c.at = end;
        // chains behind the last stitch lead on to the next place
        let mut tail = Vec::new();
        while matches!(inner.last().map(|s: &Step| &s.act), Some(Act::Chain { .. })) {
            tail.splice(0..0, inner.pop());
        }
        if inner.is_empty() {
            return false;
        }
        let span = self.c.since(start);
        if spot.skip > 0 {
            run.steps.push(Step { act: Act::Skip { n: spot.skip, class: Class::Stitch }, span });
        }
        let spot = spot.holding(total(&inner));
        let at = spot.target.clone();
        let every = match &spot.target {
            Target::Each { class, .. } if !tail.is_empty() => Some(Target::Next { n: 1, class: class.clone() }),
            _ => None,
        };
        let all_round = every.is_some();
        let step = placed(inner, every.unwrap_or(at), span);
        if all_round {
            let mut steps = vec![step];
            steps.extend(tail);
            run.steps.push(Step { act: Act::Repeat { steps, times: super::between::to_end(), stop: None }, span });
        } else {
            run.steps.push(step);
            run.steps.extend(tail);
            let _ = behind.is_some_and(|step| self.add_to_each(run, step));
        }
        true
    }
}

/// True for a place that everything behind it can go into.
fn leads(at: &Target) -> bool {
    !matches!(at, Target::FromHook { .. } | Target::TurningTop | Target::Evenly { .. })
}

fn placed(mut inner: Vec<Step>, at: Target, span: crate::source::Span) -> Step {
    if let [Step { act: Act::Work { form, at: Target::Next { n, class: Class::Any }, each: 1 }, .. }] = inner.as_slice()
    {
        let each = match &at {
            Target::Next { n: k, .. } if *k > 1 && *n > 1 && n.is_multiple_of(*k) => n / k,
            _ => *n,
        };
        return Step { act: Act::Work { each, form: *form, at }, span };
    }
    if let Target::Next { n, class: Class::Chain | Class::Stitch | Class::Any } = &at
        && *n > 1
        && total(&inner) == *n
    {
        // as many stitches as places: one in each
        let steps = std::mem::take(&mut inner);
        return Step { act: Act::Repeat { steps, times: crate::instructions::Times::InAll(1), stop: None }, span };
    }
    Step { act: Act::Group { steps: inner, at, name: None }, span }
}

fn total(steps: &[Step]) -> u32 {
    steps
        .iter()
        .map(|s| match &s.act {
            Act::Work { each, at: Target::Next { n, .. }, .. } => each.saturating_mul(*n),
            _ => 0,
        })
        .sum()
}
