//! Groups worked into one place.

use super::edge::{Spot, What};
use super::row::{LastPlace, RowWork};
use super::shapes::Member;
use crate::craft::{Stem, StitchForm};
use crate::instructions::{Act, Class, Step, Target};
use crate::source::Span;

impl RowWork<'_> {
    pub(super) fn group(&mut self, steps: &[Step], at: &Target, name: Option<&str>, span: Span, rest: &[Step]) {
        self.end_branch();
        self.chains_to_space(false);
        if let Some(name) = name {
            *self.tally.groups.entry(name.to_owned()).or_default() += 0;
        }
        let places: Vec<LastPlace> = match at {
            Target::Same => self.same_place(span),
            Target::Next { n, class: Class::Any } if self.group_place.is_some() => {
                self.group_place.iter().copied().cycle().take(*n as usize).collect()
            }
            Target::Within { .. } | Target::Between { .. } => {
                return self.group_in_shape(steps, at, name, span);
            }
            Target::UpTo { class, stop } => {
                let at = Target::Each { class: class.clone(), less: 0, every: 1 };
                return self.up_to(stop, span, |work| work.group(steps, &at, name, span, &[]));
            }
            at if *at == Target::Ring || self.means_ring(at) => match self.ring_place(span) {
                Some(place) => vec![LastPlace::Off(place)],
                None => return,
            },
            Target::FromHook { n } => match self.hook_place(*n, StitchForm::plain(first_stem(steps)), span, rest) {
                Some(k) => vec![LastPlace::OnEdge(k)],
                None => return,
            },
            at if let Some(place) = self.corner_place(at, rest) => vec![place],
            Target::First { class } if self.stands_on_first(class) => vec![LastPlace::OnEdge(0)],
            _ => {
                if matches!(steps.first().map(|s| &s.act), Some(Act::Work { form, .. }) if form.stem == Stem::SlipStitch)
                    && super::travel::opens_with_chain(steps)
                {
                    self.past_the_place_reached();
                }
                let Some((class, wanted)) = self.reach(at, 1, (1, StitchForm::plain(first_stem(steps))), span, rest)
                else {
                    return;
                };
                let mut places = Vec::new();
                for _ in 0..wanted {
                    let next = self.edge.next_of(&class).or_else(|| self.edge.past_the_start(&class));
                    next.into_iter().for_each(|k| self.edge.take(k));
                    let Some(k) = next.or_else(|| self.edge.run_on(&class)) else {
                        self.run_out(span, 1);
                        break;
                    };
                    places.push(LastPlace::OnEdge(k));
                }
                places
            }
        };
        self.group_in(steps, places, name);
    }

    /// A group into a part of a shape, or of every one to the end.
    fn group_in_shape(&mut self, steps: &[Step], at: &Target, name: Option<&str>, span: Span) {
        let all = super::shapes::repeats(at);
        let mut any = false;
        while let Some(places) = self.take_shape(at) {
            any = true;
            self.shaped(at, |work| work.group_in(steps, places, name));
            if !all || self.bench.limit_hit {
                break;
            }
        }
        if !any {
            self.no_shape(at, span);
        }
    }

    fn group_in(&mut self, steps: &[Step], places: Vec<LastPlace>, name: Option<&str>) {
        for place in places {
            if !self.is_there(place) {
                return;
            }
            let outer = self.group_place.replace(place);
            self.last = Some(place);
            let from = self.made.len();
            self.opening = self.fresh && super::travel::opens_with_chain(steps);
            self.run(steps);
            self.opening = false;
            // a chain behind the last stitch of the place turns no corner
            self.chains_to_space(false);
            // the edge may have been left within
            self.group_place = outer.filter(|p| self.is_there(*p));
            self.tally.groups_worked += 1;
            self.name_group(from, name.unwrap_or_default());
            if let Some(name) = name {
                *self.tally.groups.entry(name.to_owned()).or_default() += 1;
                for spot in self.made.get(from..).unwrap_or_default() {
                    if let What::Stitch(kind) | What::Turning(kind) = &spot.what {
                        *self.tally.in_groups.entry(kind.clone()).or_default() += 1;
                    }
                }
            }
        }
    }

    /// A named group is worked into at its space, or at its middle stitch.
    pub(super) fn name_group(&mut self, from: usize, name: &str) {
        let serial = u32::try_from(self.bench.fabric.stitches.len()).unwrap_or(u32::MAX);
        let Some(made) = self.made.get_mut(from..) else { return };
        let at = heart_of(made);
        let middle = made.len() / 2;
        for (i, spot) in made.iter_mut().enumerate() {
            if spot.group.as_ref().is_none_or(|g| g.name.is_empty()) {
                spot.group = Some(Member { serial, name: name.to_owned(), heart: i == at });
            }
        }
        // an edging turns a corner by three in one stitch
        if made.len() >= 3 && !made.iter().any(Spot::is_space) {
            made[middle].corner = true;
        }
    }
}

/// Where a group is worked into: its middle space, else its middle stitch.
pub(super) fn heart_of(made: &[Spot]) -> usize {
    let spaces: Vec<usize> = (0..made.len()).filter(|&i| made[i].is_space()).collect();
    spaces.get(spaces.len() / 2).copied().unwrap_or(made.len() / 2)
}

fn first_stem(steps: &[Step]) -> Stem {
    steps
        .iter()
        .find_map(|s| match &s.act {
            Act::Work { form, .. } => Some(form.stem),
            _ => None,
        })
        .unwrap_or(Stem::Single)
}
