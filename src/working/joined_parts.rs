//! A round worked on over several parts: "ch 3, join to first leg, 12 sc around first leg, 3 sc along ch, 12 sc around second
//! leg, 3 sc along other side of ch". The edges that the parts ended with, and both sides of the chain between them, are
//! one edge in the order in which the words come to them. Rounds over two tubes cannot lie on paper round both: a ring of
//! chains stands in for that edge, as for any that is picked up from elsewhere, and a note says so.

use super::bench::Bench;
use super::edge::{Spot, What};
use super::plan::Planned;
use crate::craft::Stem;
use crate::fabric::{Place, StitchId};
use crate::instructions::{Act, Class, Step, Target, Times, WhichPart};
use crate::source::{Code, Problem, Severity, Span};

/// Stands for the index of the part in hand.
const LIVE: usize = usize::MAX;

/// Stands for the index of the other copy of a part.
const COPY: usize = usize::MAX - 1;

/// Chains between two parts at the most.
const LONGEST_BRIDGE: usize = 1000;

/// The edge a part ended with.
#[derive(Clone, Debug)]
pub(super) struct Ended {
    /// Words of its name, lower case.
    pub name: Vec<String>,
    pub spots: Vec<Spot>,
}

impl Ended {
    /// Of the part in hand, where it left an edge open.
    pub(super) fn of(bench: &Bench) -> Option<Self> {
        let part = bench.fabric.parts.last()?;
        let name = words_of(&part.name);
        let spots = bench.edge.clone().renewed(false).spots;
        (bench.edge.closed && !spots.is_empty()).then_some(Self { name, spots })
    }

    fn is_called(&self, noun: &str) -> bool {
        called_in(&self.name, noun)
    }

    /// The number in its name: "leg 2", "second leg".
    fn number(&self) -> Option<u32> {
        self.name.iter().find_map(|w| match w.as_str() {
            "first" | "1st" | "one" | "a" => Some(1),
            "second" | "2nd" | "two" | "b" => Some(2),
            w => w.parse().ok(),
        })
    }
}

fn words_of(name: &str) -> Vec<String> {
    name.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty()).map(str::to_lowercase).collect()
}

fn called_in(name: &[String], noun: &str) -> bool {
    name.iter().any(|w| w == noun || w.strip_suffix('s') == Some(noun) || (w == "feet" && noun == "foot"))
}

/// A stretch of places that words take from, one after another.
#[derive(Clone, Debug, Default)]
struct Source {
    left: std::collections::VecDeque<Spot>,
    /// Index on the edge behind what was last taken.
    behind: usize,
    /// Which part it is; none for a side of the chain between.
    part: Option<usize>,
}

/// True where words of the row are worked on another part.
pub(super) fn names_parts(row: &Planned<'_>) -> bool {
    row.steps.iter().any(|s| matches!(s.act, Act::OnPart { .. }))
}

/// The row without the words that only tell where it is worked, with the edge they tell in hand.
pub(super) fn joined<'p>(bench: &mut Bench, row: &Planned<'p>) -> Planned<'p> {
    let mut plain = row.clone();
    plain.steps.retain(|s| !matches!(s.act, Act::OnPart { .. }));
    let mut sources =
        vec![Source { left: bench.edge.clone().renewed(false).spots.into(), behind: 0, part: Some(LIVE) }];
    let mut edge: Vec<(usize, Spot)> = Vec::new();
    let mut steps: Vec<Step> = Vec::new();
    let mut at = 0;
    if let Some((n, _)) = bench.carried.take() {
        bridge(n, &mut sources);
    }
    for (k, step) in row.steps.iter().enumerate() {
        let leads = matches!(row.steps.get(k + 1).map(|s| &s.act), Some(Act::OnPart { .. }));
        match &step.act {
            Act::Chain { n } if leads => bridge(*n, &mut sources),
            Act::OnPart { noun, which } => {
                let Some((part, copied)) = find(bench, noun, *which, step.span) else { return plain };
                at = sources.iter().position(|s| s.part == Some(part)).unwrap_or_else(|| {
                    let left = bench.ended[copied].spots.clone().into();
                    sources.push(Source { left, behind: 0, part: Some(part) });
                    sources.len() - 1
                });
            }
            Act::FarSide => at = side(&sources).unwrap_or(at),
            // the slip stitch that only joins the part
            Act::Work { form, .. } if form.stem == Stem::SlipStitch && k > 0 && names_part(&row.steps[k - 1]) => {}
            act => {
                let mut act = act.clone();
                let behind = side_behind(&row.steps[k..], &sources);
                let from = if behind || on_chain(&act) { side(&sources).unwrap_or(at) } else { at };
                let places = take(&mut act, &sources, from, behind);
                let from = go_on(&sources, from, places);
                if sources[from].part.is_some() {
                    at = from;
                }
                let n = places.min(sources[from].left.len());
                edge.extend(sources[from].left.drain(..n).map(|spot| (from, spot)));
                sources[from].behind = if n > 0 { edge.len() } else { sources[from].behind };
                steps.push(Step { act, span: step.span });
            }
        }
    }
    stand_on(bench, row, with_left(edge, sources));
    Planned { steps, ..plain }
}

/// A ring of chains in the place of these spots.
fn stand_on(bench: &mut Bench, row: &Planned<'_>, spots: Vec<Spot>) {
    let n = spots.len();
    let span = row.body;
    let chain = Step { act: Act::Chain { n: u32::try_from(n).unwrap_or(u32::MAX) }, span };
    let ring = Step { act: Act::Ring { thread: false }, span };
    super::begin_piece(bench);
    super::foundation::work_foundation(bench, row, &[&chain, &ring]);
    (bench.foundation, bench.ring) = (None, None);
    if let Some(tally) = bench.tallies.last_mut() {
        tally.label = "Joined parts".into();
    }
    for (spot, meant) in bench.edge.spots.iter_mut().zip(spots) {
        *spot = Spot { place: spot.place, ..meant };
    }
    let told = row.steps.iter().find(|s| names_part(s)).map_or(span, |s| s.span);
    let message = format!("this goes on over parts made before; in the chart a ring of {n} ch stands for their edges");
    bench.problems.push(Problem::new(Code::NoSuchPlace, told, message).with_severity(Severity::Note));
}

fn names_part(step: &Step) -> bool {
    matches!(step.act, Act::OnPart { .. })
}

/// What words left of a part lies behind what they took of it; a chain that was not come to again is no edge.
fn with_left(edge: Vec<(usize, Spot)>, sources: Vec<Source>) -> Vec<Spot> {
    let mut left: Vec<(usize, Vec<Spot>)> = sources
        .into_iter()
        .filter(|s| s.part.is_some() || s.behind > 0)
        .map(|s| (if s.behind > 0 { s.behind } else { edge.len() }, s.left.into()))
        .collect();
    left.sort_by_key(|(behind, _)| *behind);
    let mut left = left.into_iter().peekable();
    let mut whole = Vec::new();
    for (i, (_, spot)) in edge.into_iter().enumerate() {
        while let Some((_, spots)) = left.next_if(|(behind, _)| *behind <= i) {
            whole.extend(spots);
        }
        whole.push(spot);
    }
    whole.extend(left.flat_map(|(_, spots)| spots));
    whole
}

/// The chain between two parts, worked along both sides.
fn bridge(n: u32, sources: &mut Vec<Source>) {
    let chain = Spot::new(Place::chain(StitchId::new(0)), What::Chain);
    for _side in 0..2 {
        let left = vec![chain.clone(); (n as usize).min(LONGEST_BRIDGE)].into();
        sources.push(Source { left, behind: 0, part: None });
    }
}

/// The side of a chain between that is to be worked next.
fn side(sources: &[Source]) -> Option<usize> {
    sources.iter().position(|s| s.part.is_none() && !s.left.is_empty())
}

/// "sc in other side of the 3 ch", where the side is told behind the stitch: not "sc in 12 sts; along other side, sc in 3 ch".
fn side_behind(steps: &[Step], sources: &[Source]) -> bool {
    let [Step { act: Act::Work { at, .. }, .. }, Step { act: Act::FarSide, .. }, next @ ..] = steps else {
        return false;
    };
    let left = side(sources).map_or(0, |k| sources[k].left.len());
    let fits = matches!(at, Target::Next { n, .. } if *n == 1 || *n as usize == left) || on_chain(&steps[0].act);
    fits && !next.first().is_some_and(|s| on_chain(&s.act))
}

fn on_chain(act: &Act) -> bool {
    let Act::Work { at, .. } = act else { return false };
    matches!(
        at,
        Target::Next { class: Class::Chain | Class::Space(_), .. }
            | Target::Each { class: Class::Chain, .. }
            | Target::Evenly { .. }
            | Target::TurningTop
    )
}

/// How many places a step takes, and the step in words that name only their number.
fn take(act: &mut Act, sources: &[Source], from: usize, far: bool) -> usize {
    let left = sources[from].left.len();
    let chain = sources[from].part.is_none();
    match act {
        Act::Work { each, form, at } => {
            let per = form.places();
            let n = match at {
                Target::Each { less, every: 1, .. } => (left.saturating_sub(*less as usize)) / per,
                Target::Evenly { n: None } | Target::TurningTop if *each == 1 => left / per,
                Target::Evenly { n: Some(n) } => *n as usize,
                // "3 sc along ch" of three chains
                Target::Next { n: 1, .. } | Target::TurningTop if chain && *each as usize == left && per == 1 => {
                    *each = 1;
                    left
                }
                // "sc in other side of the 3 chs"
                Target::Next { n: 1, .. } if far && chain => left / per,
                Target::Next { n, .. } => *n as usize,
                Target::First { .. } | Target::Last { .. } => 1,
                _ => return 0,
            };
            *at = Target::Next { n: u32::try_from(n).unwrap_or(u32::MAX), class: Class::Any };
            n * per
        }
        Act::Skip { n, .. } => *n as usize,
        Act::Repeat { steps, times, .. } => {
            let pass: usize = steps.iter_mut().map(|s| take(&mut s.act, sources, from, false)).sum();
            match times {
                Times::InAll(n) | Times::Doubt(n) => pass * *n as usize,
                Times::More(n) => pass * (*n as usize + 1),
                _ if pass > 0 => {
                    *times = Times::InAll(u32::try_from(left / pass).unwrap_or(u32::MAX));
                    left / pass * pass
                }
                _ => 0,
            }
        }
        _ => 0,
    }
}

/// Where one part has been worked round, words that name no other go on along the chain or the next part.
fn go_on(sources: &[Source], from: usize, places: usize) -> usize {
    if places == 0 || !sources[from].left.is_empty() {
        return from;
    }
    let chain = side(sources).filter(|&k| sources[k].left.len() == places);
    let part = || sources.iter().position(|s| s.part.is_some() && !s.left.is_empty());
    chain.or_else(part).unwrap_or(from)
}

/// Which of the parts ended is meant, and the index of the one whose edge it has: a part made twice stands for both.
fn find(bench: &mut Bench, noun: &str, which: WhichPart, span: Span) -> Option<(usize, usize)> {
    let called: Vec<usize> = (0..bench.ended.len()).filter(|&k| bench.ended[k].is_called(noun)).collect();
    // the last part ended is the one in hand, unless something was begun since
    let same = |k: usize| bench.ended[k].spots == bench.edge.spots;
    let numbered = |n: u32| called.iter().copied().find(|&k| bench.ended[k].number() == Some(n));
    let found = match which {
        WhichPart::Numbered(n) => {
            numbered(n).or_else(|| (called.len() > 1).then(|| called.get(n as usize - 1).copied()).flatten())
        }
        WhichPart::Other => called.iter().copied().find(|&k| !same(k)),
    };
    if let Some(k) = found {
        return Some((if same(k) { LIVE } else { k }, k));
    }
    let in_hand = bench.fabric.parts.last().is_some_and(|p| called_in(&words_of(&p.name), noun));
    match (which, called.first()) {
        (WhichPart::Numbered(2..), _) if in_hand || !called.is_empty() => Some((LIVE, 0)),
        (_, Some(&copied)) => Some((COPY, copied)),
        _ => {
            let message = format!("there is no such {noun} that ended with its edge open");
            bench.problems.push(Problem::new(Code::NoSuchPlace, span, message));
            None
        }
    }
}
