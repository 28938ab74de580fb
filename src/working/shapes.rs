//! Places named by a shape of the row below: its parts, the gap between two, the place that ends a stretch.

use super::edge::{LiveEdge, Spot, What};
use super::row::{LastPlace, RowWork};
use crate::craft::StitchForm;
use crate::fabric::{Fabric, Place};
use crate::instructions::{Class, Pick, Target, Which};
use crate::source::Span;
use std::ops::Range;

/// Membership of a place in a group worked into one place.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Member {
    /// Tells one group from the next.
    pub serial: u32,
    /// The pattern's own name for it; empty where it has none.
    pub name: String,
    /// True for the one place of it that stands for the whole: its space, or its middle stitch.
    pub heart: bool,
}

/// A name without the words that say which of its kind it is: a beginning shell is a shell.
pub(super) fn base_name(name: &str) -> &str {
    const LEADS: &[&str] = &["beg ", "beginning ", "starting ", "first ", "joining ", "corner "];
    let name = LEADS.iter().find_map(|lead| name.strip_prefix(lead)).unwrap_or(name);
    // a shell over a shell is one
    name.split_once(" over ").filter(|(above, below)| above == below).map_or(name, |(above, _)| above)
}

/// Names that any group worked into one place answers to.
const ANY_GROUP: &[&str] = &["group", "set", "shell", "fan", "scallop", "petal", "block", "v-st", "cluster"];

/// Where on an edge the next shape is looked for.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct From {
    /// The next place nothing was done with.
    pub cursor: usize,
    /// The place last worked into.
    pub entered: Option<usize>,
    /// The last gap worked into: the index of the place behind it.
    pub gap: Option<usize>,
    /// True where a kind that has been used up is not any stitch.
    pub strict: bool,
}

/// A part of a shape found on the edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Found {
    /// A place of the edge.
    Spot(usize),
    /// A chain of the space at a place of the edge.
    ChainOf(usize, Place),
    /// The gap before a place of the edge.
    Gap(usize, Place),
}

impl LiveEdge {
    /// The shapes of a class along the edge, in order.
    pub(super) fn shapes(&self, class: &Class, fabric: &Fabric) -> Vec<Range<usize>> {
        match class {
            Class::Group(name) => {
                let named = self.named_groups(name);
                if !named.is_empty() {
                    return named;
                }
                if name.starts_with("half ") {
                    return self.at_the_ends(fabric);
                }
                if name == "pineapple" {
                    return self.pineapples(fabric);
                }
                let single = self.singles(class);
                if !single.is_empty() || !ANY_GROUP.contains(&base_name(name)) {
                    return single;
                }
                let groups = self.groups(fabric);
                if groups.is_empty() && matches!(name.as_str(), "group" | "set" | "block") {
                    return self.runs(0, None, fabric);
                }
                groups
            }
            Class::Run { n, kind } => self.runs(*n as usize, kind.as_deref(), fabric),
            Class::Stitch | Class::Any => {
                (0..self.spots.len()).filter(|&i| self.spots[i].is(class)).map(|i| i..i + 1).collect()
            }
            Class::Space(_) => {
                let spaces = self.singles(class);
                // "5th sc of next loop": a loop filled in the row below is its stitches
                if spaces.is_empty() && !self.spots.iter().any(Spot::is_space) { self.groups(fabric) } else { spaces }
            }
            _ => self.singles(&self.corner_there(class)),
        }
    }

    /// The corner of an edge that has no corner space is the middle stitch of a group in one stitch.
    fn corner_there(&self, class: &Class) -> Class {
        let there = |class: &Class| self.spots.iter().any(|s| s.is(class));
        match class {
            Class::Corner(_) if !there(class) && there(&Class::CornerStitch) => Class::CornerStitch,
            Class::Corner(_) if !there(class) && there(&Class::Space(None)) => self.searched_from(0, class),
            _ => class.clone(),
        }
    }

    fn singles(&self, class: &Class) -> Vec<Range<usize>> {
        (0..self.spots.len()).filter(|&i| self.spots[i].is(class)).map(|i| i..i + 1).collect()
    }

    fn named_groups(&self, name: &str) -> Vec<Range<usize>> {
        let serial = |s: &Spot| s.group.as_ref().filter(|g| base_name(&g.name) == base_name(name)).map(|g| g.serial);
        self.not_begun_in(stretches(self.spots.len(), |i| serial(&self.spots[i])))
    }

    /// Groups worked into one place, named or not.
    fn groups(&self, fabric: &Fabric) -> Vec<Range<usize>> {
        let serial = |s: &Spot| s.group.as_ref().map(|g| g.serial);
        let by_serial = stretches(self.spots.len(), |i| serial(&self.spots[i]));
        self.with_opening_chains(self.not_begun_in(by_serial), fabric)
    }

    /// Groups at the ends of a row: the half shapes there, where none has that name.
    fn at_the_ends(&self, fabric: &Fabric) -> Vec<Range<usize>> {
        let ends = |r: &Range<usize>| !self.closed && (r.start == 0 || r.end == self.spots.len());
        self.groups(fabric).into_iter().filter(ends).collect()
    }

    /// Without the first half of a group that the round began in the middle of: it was worked into there.
    fn not_begun_in(&self, mut ranges: Vec<Range<usize>>) -> Vec<Range<usize>> {
        let serial = |i: usize| self.spots[i].group.as_ref().map(|g| g.serial);
        let halved = |r: &[Range<usize>]| serial(r[0].start) == serial(r[r.len() - 1].start);
        if self.closed && ranges.len() > 1 && halved(&ranges) {
            ranges.pop();
        }
        ranges
    }

    /// The counting chain that opens a row belongs to the group beside it that stands in the same place.
    fn with_opening_chains(&self, mut ranges: Vec<Range<usize>>, fabric: &Fabric) -> Vec<Range<usize>> {
        for range in &mut ranges {
            let own = self.spots[range.start].foot(fabric);
            let turning =
                |i: usize| matches!(self.spots[i].what, What::Turning(_)) && self.spots[i].foot(fabric) == own;
            if own.is_some() && range.start > 0 && turning(range.start - 1) {
                range.start -= 1;
            } else if own.is_some() && range.end < self.spots.len() && turning(range.end) {
                range.end += 1;
            }
        }
        ranges
    }

    /// Runs of stitches between spaces; of `n` stitches and of a kind, where told.
    fn runs(&self, n: usize, kind: Option<&str>, fabric: &Fabric) -> Vec<Range<usize>> {
        let class = kind.map_or(Class::Stitch, |k| Class::Kind(k.to_owned()));
        let whole = stretches(self.spots.len(), |i| self.spots[i].is(&class).then_some(0));
        let mut found = Vec::new();
        for run in whole {
            if run.len() == n {
                found.push(run);
                continue;
            }
            // stitches into one place stand together though nothing parts them from their neighbours
            let place = |i: usize| self.spots[i].foot(fabric).filter(|p| !matches!(p, Place::Ring { .. }));
            let inner = stretches(run.len(), |i| place(run.start + i));
            let inner: Vec<Range<usize>> =
                inner.into_iter().map(|r| r.start + run.start..r.end + run.start).filter(|r| r.len() > 1).collect();
            match n {
                0 if inner.len() > 1 => found.extend(inner),
                0 if run.len() > 1 => found.push(run),
                0 => {}
                _ => found.extend(inner.into_iter().filter(|r| r.len() == n)),
            }
        }
        found
    }

    /// "group of 2 sc 2 rows below": where so many that stand in one stitch were made that far down, with one stitch over
    /// each since.
    fn first_over_run(&self, from: usize, n: usize, rows: u32, fabric: &Fabric) -> Option<usize> {
        let under = |place: Place| fabric.stitch(place.stitch()?).into.first().copied();
        let foot = |i: usize| (1..rows).try_fold(self.spots[i].place, |place, _| under(place)).and_then(under);
        let together = stretches(self.spots.len(), foot);
        together.into_iter().filter(|r| r.len() == n).map(|r| r.start).find(|&i| i >= from)
    }

    /// The places of a part of a shape.
    fn part(&self, shape: &Range<usize>, pick: Pick, class: &Class, fabric: &Fabric) -> Vec<Found> {
        if matches!(pick, Pick::Before | Pick::After) {
            return self.beside(shape, pick, class, fabric).map(Found::Spot).into_iter().collect();
        }
        if let (Class::Chain, [spot]) = (class, &self.spots[shape.clone()])
            && let (Place::Space { space }, true) = (spot.place, spot.is_space())
        {
            let ids = &fabric.spaces[space.index()].ids;
            let chains: Vec<Found> = ids.iter().map(|&id| Found::ChainOf(shape.start, Place::chain(id))).collect();
            return picked(chains, pick);
        }
        if *class == Class::Any {
            let heart = shape.clone().find(|&i| self.spots[i].group.as_ref().is_some_and(|g| g.heart));
            let space = shape.clone().find(|&i| self.spots[i].is_space());
            let middle = shape.start + shape.len() / 2;
            return vec![Found::Spot(heart.or(space).unwrap_or(middle))];
        }
        let inside = |c: &Class| shape.clone().filter(|&i| self.spots[i].is(c)).map(Found::Spot).collect::<Vec<_>>();
        let mut places = inside(class);
        if places.is_empty() && matches!(class, Class::Kind(_)) {
            places = inside(&Class::Stitch);
        }
        picked(places, pick)
    }

    /// The place right before a shape, or right behind it; of a corner told by its middle stitch, beside the whole of it.
    fn beside(&self, shape: &Range<usize>, pick: Pick, class: &Class, fabric: &Fabric) -> Option<usize> {
        let n = self.spots.len();
        let alike = |a: usize, b: usize| {
            let place = self.spots[a].foot(fabric);
            place.is_some() && place == self.spots[b].foot(fabric) && !self.spots[b].is_space()
        };
        let (mut first, mut last) = (shape.start, shape.end.checked_sub(1)?);
        while first > 0 && alike(shape.start, first - 1) {
            first -= 1;
        }
        while last + 1 < n && alike(shape.start, last + 1) {
            last += 1;
        }
        let fits = |&i: &usize| self.spots[i].is(class);
        // round the start of a round that is closed
        let turns = if self.closed { n } else { 0 };
        match pick {
            Pick::Before => (0..first).rev().chain((n - turns.min(n)..n).rev()).find(fits),
            _ => (last + 1..n).chain(0..turns).find(fits),
        }
    }

    /// Meshes of a filet that are filled: stitches between two bars, as many as the open ones have chains. None where the
    /// open ones are unlike, or the stitches fill no whole number of them.
    pub(super) fn filled_meshes(&self, fabric: &Fabric) -> Option<usize> {
        let length = |spot: &Spot| match spot.place {
            Place::Space { space } if spot.is_space() => Some(fabric.spaces[space.index()].ids.len()),
            _ => None,
        };
        let chains = self.spots.iter().find_map(length)?;
        let alike = self.spots.iter().filter_map(length).all(|n| n == chains);
        let runs = stretches(self.spots.len(), |i| (!self.spots[i].is_space()).then_some(0));
        let whole = runs.iter().all(|run| (run.len() - 1) % (chains + 1) == 0);
        (alike && whole).then(|| runs.iter().map(|run| (run.len() - 1) / (chains + 1)).sum())
    }

    /// The part of a shape asked for, and where the search goes on from.
    pub(super) fn find_shape(&self, from: &From, at: &Target, fabric: &Fabric) -> Option<Vec<Found>> {
        match at {
            Target::Within { pick, class, shape, which } => {
                let shapes = self.shapes(shape, fabric);
                let entered = |r: &Range<usize>| from.entered.is_some_and(|k| r.contains(&k));
                let ahead = |r: &Range<usize>| {
                    let part = self.part(r, *pick, class, fabric);
                    (!part.is_empty() && part.iter().all(|f| f.index() >= from.cursor)).then_some(part)
                };
                match which {
                    Which::Same => match shapes.iter().rev().find(|r| entered(r)) {
                        Some(r) => Some(self.part(r, *pick, class, fabric)),
                        None => shapes.iter().find_map(ahead),
                    },
                    Which::First => shapes.first().map(|r| self.part(r, *pick, class, fabric)),
                    Which::Last => shapes.last().and_then(ahead),
                    Which::Next | Which::Each => shapes.iter().filter(|r| !entered(r)).find_map(ahead),
                }
                .filter(|part| !part.is_empty())
            }
            Target::Between { class, .. } => {
                let shapes = match class {
                    Class::Space(None) if !self.spots.iter().any(Spot::is_space) => self.clumps(fabric),
                    _ => self.shapes(class, fabric),
                };
                // petals that are chains and stitches are parted by the slip stitches that end them
                let slip = Class::Kind("sl st".to_owned());
                if shapes.is_empty() && matches!(class, Class::Group(name) if base_name(name) == "petal") {
                    return self.next_from(from.cursor, &slip).map(|k| vec![Found::Spot(k)]);
                }
                // "in sp between 2 sc at base" along the far side: the stitches stand on its chains
                let behind = shapes.iter().all(|r| r.start < from.cursor);
                let from_below = behind && self.spots[from.cursor..].iter().any(|s| s.is(&Class::Chain));
                let shapes = if from_below { self.shapes(&Class::Chain, fabric) } else { shapes };
                let least = from.gap.map_or(from.cursor, |g| from.cursor.max(g + 1));
                // a space between the two that has been passed is no gap to come
                let passed =
                    |w: &[Range<usize>]| (w[0].end..w[1].start).any(|i| i < from.cursor && self.spots[i].is_space());
                let found =
                    shapes.windows(2).find(|w| w[1].start >= least.max(1) && w[1].start > w[0].start && !passed(w));
                let (before, behind) = match (found, shapes.first(), shapes.last()) {
                    (Some(pair), ..) => (pair[0].end - 1, pair[1].start),
                    (None, Some(first), Some(last))
                        if self.closed && !self.begun_in_gap && shapes.len() > 1 && last.end >= from.cursor =>
                    {
                        return self.gap_at_the_start(from, first.start, last.end - 1);
                    }
                    _ => return None,
                };
                let space = (before + 1..behind).find(|&i| self.spots[i].is_space());
                if let Some(k) = space.filter(|&k| k >= from.cursor) {
                    return Some(vec![Found::Spot(k)]);
                }
                let between = [self.spots[before].place.stitch()?, self.spots[behind].place.stitch()?];
                let between = if between[0] <= between[1] { between } else { [between[1], between[0]] };
                Some(vec![Found::Gap(behind, Place::Between { between })])
            }
            Target::Next { class, .. } => self.next_from(from.cursor, class).map(|k| vec![Found::Spot(k)]),
            _ => None,
        }
    }

    /// The gap between the last shape of a round and its first.
    fn gap_at_the_start(&self, from: &From, first: usize, last: usize) -> Option<Vec<Found>> {
        let n = self.spots.len();
        if from.gap == Some(n) {
            return None;
        }
        if let Some(k) = (last + 1..n).find(|&i| self.spots[i].is_space()) {
            return (k >= from.cursor).then(|| vec![Found::Spot(k)]);
        }
        let (a, b) = (self.spots[first].place.stitch()?, self.spots[last].place.stitch()?);
        Some(vec![Found::Gap(n, Place::Between { between: [a.min(b), a.max(b)] })])
    }

    /// Index of the place that ends a stretch, where it lies ahead.
    pub(super) fn stop_of(&self, from: &From, stop: &Target, fabric: &Fabric) -> Option<usize> {
        match stop {
            Target::Next { class: class @ (Class::Group(_) | Class::Run { .. }), .. } => {
                let shapes = self.shapes(class, fabric);
                shapes.iter().map(|r| r.start).find(|&i| i >= from.cursor)
            }
            Target::Last { n, class: class @ (Class::Group(_) | Class::Run { .. }) } => {
                let ahead: Vec<usize> =
                    self.shapes(class, fabric).iter().map(|r| r.start).filter(|&i| i >= from.cursor).collect();
                ahead.len().checked_sub(*n as usize).and_then(|k| ahead.get(k)).copied()
            }
            Target::Last { n, class } => {
                let ahead = (from.cursor..self.spots.len()).rev().filter(|&i| self.spots[i].is(class));
                ahead.take(*n as usize).last()
            }
            Target::Next { class, .. } | Target::First { class } => {
                let class = self.corner_there(class);
                (from.cursor..self.spots.len()).find(|&i| self.spots[i].is(&class))
            }
            Target::Below { class: Class::Run { n, .. }, rows, .. } => {
                self.first_over_run(from.cursor, *n as usize, *rows, fabric)
            }
            // "to 2 sts before next corner"
            Target::Short { n, of } => {
                let stop = self.stop_of(from, of, fabric)?;
                let before = (from.cursor..stop).rev().filter(|&i| self.spots[i].is(&Class::Stitch));
                before.take(*n as usize).last()
            }
            // "to center st": the next that turns a corner, else the middle one of all
            Target::Centre { class } => {
                let corner = (from.cursor..self.spots.len()).find(|&i| self.spots[i].is(&Class::CornerStitch));
                let all: Vec<usize> = (0..self.spots.len()).filter(|&i| self.spots[i].is(class)).collect();
                let middle = all.get(all.len() / 2).copied().filter(|&i| all.len() % 2 == 1 && i >= from.cursor);
                corner.or(middle)
            }
            _ => self.find_shape(from, stop, fabric)?.first().map(|f| f.index()).filter(|&i| i >= from.cursor),
        }
    }
}

impl Found {
    pub(super) fn index(self) -> usize {
        match self {
            Found::Spot(k) | Found::ChainOf(k, _) | Found::Gap(k, _) => k,
        }
    }
}

impl From {
    /// Goes on behind a part found.
    pub(super) fn pass(&mut self, found: Found) {
        match found {
            Found::Spot(k) | Found::ChainOf(k, _) => {
                self.cursor = self.cursor.max(k + 1);
                self.entered = Some(k);
            }
            Found::Gap(k, _) => {
                self.cursor = self.cursor.max(k);
                self.gap = Some(k);
            }
        }
    }
}

/// Stretches of indices with one and the same key, none left out.
fn stretches<K: PartialEq>(len: usize, key: impl Fn(usize) -> Option<K>) -> Vec<Range<usize>> {
    let mut found: Vec<Range<usize>> = Vec::new();
    let mut open: Option<(usize, K)> = None;
    for i in 0..len {
        let here = key(i);
        if let (Some((from, k)), h) = (&open, &here)
            && h.as_ref() != Some(k)
        {
            found.push(*from..i);
            open = None;
        }
        if let (None, Some(k)) = (&open, here) {
            open = Some((i, k));
        }
    }
    if let Some((from, _)) = open {
        found.push(from..len);
    }
    found
}

fn picked(places: Vec<Found>, pick: Pick) -> Vec<Found> {
    let n = places.len();
    let nth = |k: usize| places.get(k).copied().into_iter().collect();
    match pick {
        Pick::Only if n == 0 => Vec::new(),
        Pick::Only | Pick::Centre => nth(n / 2 - usize::from(n > 0 && n.is_multiple_of(2))),
        Pick::Nth(k) => (k as usize).checked_sub(1).map_or_else(Vec::new, nth),
        Pick::First(k) => places.iter().copied().take(k as usize).collect(),
        Pick::Last(k) => places[n.saturating_sub(k as usize)..].to_vec(),
        Pick::Each | Pick::Before | Pick::After => places,
    }
}

impl RowWork<'_> {
    /// Where shapes are looked for from here.
    pub(super) fn search(&self) -> From {
        From { cursor: self.edge.cursor, entered: self.entered, gap: self.last_gap, strict: false }
    }

    /// True where the last place worked into is a space of the edge.
    pub(super) fn is_on_space(&self) -> bool {
        matches!(self.last, Some(LastPlace::OnEdge(k)) if self.edge.spots.get(k).is_some_and(Spot::is_space))
    }

    /// True where the last place was named by its shape and no further such shape lies ahead.
    pub(super) fn shapes_done(&self) -> bool {
        let ahead = |at: &Target| self.edge.find_shape(&self.search(), at, &self.bench.fabric).is_some();
        self.by_shape.as_ref().is_some_and(|at| !ahead(at))
    }

    /// Where the group ends that was last worked into by a place inside it; 0 where it was no group, or its last place.
    pub(super) fn end_of_group(&self) -> usize {
        let Some(k) = self.entered else { return 0 };
        let Some(spot) = self.edge.spots.get(k) else { return 0 };
        let whole = self.by_shape.is_some() || spot.is_space();
        let serial = |i: usize| self.edge.spots[i].group.as_ref().map(|g| g.serial);
        match serial(k) {
            Some(own) if whole => {
                (k..self.edge.spots.len()).take_while(|&i| serial(i) == Some(own)).last().map_or(0, |i| i + 1)
            }
            _ => 0,
        }
    }

    /// The places of a part of a shape, taken. Each call takes one shape; none where there is none ahead.
    pub(super) fn take_shape(&mut self, at: &Target) -> Option<Vec<LastPlace>> {
        let found = self.edge.find_shape(&self.search(), at, &self.bench.fabric)?;
        let mut places = Vec::new();
        for part in found {
            match part {
                Found::Spot(k) => {
                    if k >= self.edge.cursor {
                        self.edge.take(k);
                    }
                    places.push(LastPlace::OnEdge(k));
                }
                Found::ChainOf(k, place) => {
                    if k >= self.edge.cursor {
                        self.edge.take(k);
                    }
                    places.push(LastPlace::Off(place));
                }
                Found::Gap(k, place) => {
                    self.edge.pass_to(k);
                    places.push(LastPlace::Off(place));
                }
            }
            let mut from = self.search();
            from.pass(part);
            (self.entered, self.last_gap) = (from.entered, from.gap);
        }
        Some(places)
    }

    /// Stitches into a part of a shape, or of every one to the end.
    pub(super) fn in_shape(&mut self, each: u32, form: StitchForm, at: &Target, span: Span) {
        let all = repeats(at);
        let mut any = false;
        while let Some(places) = self.take_shape(at) {
            any = true;
            self.shaped(at, |work| {
                for chunk in places.chunks(form.places().max(1)) {
                    work.stitches_in(each, form, chunk, span);
                }
            });
            if !all || self.bench.limit_hit {
                break;
            }
        }
        if !any {
            self.no_shape(at, span);
        }
    }

    /// Works something whose place was found by shape: it names no class that has to be used up.
    pub(super) fn shaped(&mut self, at: &Target, work: impl FnOnce(&mut Self)) {
        let named = (self.named_stitches, self.named_spaces);
        let (entered, gap) = (self.entered, self.last_gap);
        work(self);
        (self.named_stitches, self.named_spaces) = named;
        (self.entered, self.last_gap) = (entered, gap);
        self.by_shape = Some(at.clone());
        self.shapes_named = true;
    }

    /// Says that the shape is not there, or that the words run out of it.
    pub(super) fn no_shape(&mut self, at: &Target, span: Span) {
        let class = match at {
            Target::Within { shape, .. } => shape,
            Target::Between { class, .. } => class,
            _ => return,
        };
        if self.edge.shapes(class, &self.bench.fabric).is_empty() {
            let message = format!("there is no {} in {} to work into", class.words(1), self.below());
            self.no_place(span, &message);
        } else {
            self.run_out(span, 1);
        }
    }

    /// Every place of a class before another place.
    pub(super) fn up_to(&mut self, stop: &Target, span: Span, work: impl FnOnce(&mut Self)) {
        let from = self.search();
        let outer = self.edge.fence;
        match self.edge.stop_of(&from, stop, &self.bench.fabric) {
            Some(k) => self.edge.fence = Some(outer.map_or(k, |f| f.min(k))),
            // round a closed edge the place may be the one the round began with
            None if self.edge.closed => {}
            None => return self.no_place(span, &format!("there is no {} ahead to stop at", stop_words(stop))),
        }
        work(self);
        self.edge.fence = outer;
    }
}

fn stop_words(stop: &Target) -> String {
    let words = stop.to_string();
    words.strip_prefix("in ").map_or_else(|| words.clone(), str::to_owned)
}

/// True for "each".
pub(super) fn repeats(at: &Target) -> bool {
    matches!(at, Target::Within { which: Which::Each, .. } | Target::Between { each: true, .. })
}
