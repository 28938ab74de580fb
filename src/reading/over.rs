//! How a stitch, its count and its places go together: "3 sc" is one in each of three, "3 sc in next st" three in one;
//! "3-dc cluster over next 3 sts" has a leg in each, "3-dc cluster in next st" all of them in one.

use super::phrase::RowReader;
use super::place::Where;
use super::stitch::Named;
use crate::craft::StitchForm;
use crate::instructions::{Class, Target};

impl RowReader<'_> {
    /// Spreads the legs of a cluster over the places named behind "over" since the token `start`.
    pub(super) fn spread_over(&self, start: usize, named: &mut Named, place: &mut Option<Where>) {
        let form = match named {
            Named::Form(form) => Some(*form),
            Named::Special(k) => self.c.house.specials[*k].form,
            _ => None,
        };
        let Some(form) = form.filter(|f| f.one_place && f.legs > 1) else { return };
        let Some(Where { target: Target::Next { n, class }, .. }) = place else { return };
        let legs = u32::from(form.legs);
        let over = (start..self.c.at).any(|k| self.c.word_at(k).is_some_and(|w| matches!(w, "over" | "across")));
        if over && *n > 1 && n.is_multiple_of(legs) {
            *named = Named::Form(StitchForm { extra: form.extra, ..StitchForm::together(form.stem, form.legs) });
            let target = Target::Next { n: *n / legs, class: class.clone() };
            *place = Some(Where { target, ..place.clone().unwrap_or_else(|| Target::NEXT.into()) });
        }
    }

    /// "cluster over next 3 sts" where nothing says what a cluster is: so many stitches of the usual kind together.
    pub(super) fn together_over(&self, start: usize, name: &str, place: Option<&Where>) -> Option<StitchForm> {
        let Some(Where { target: Target::Next { n: n @ 2..=MOST_LEGS, .. }, .. }) = place else { return None };
        let over = (start..self.c.at).any(|k| self.c.word_at(k) == Some("over"));
        let cluster = super::words::CLUSTERS.iter().any(|c| super::words::is_or_plural(name, c));
        (over && cluster).then(|| StitchForm::together(crate::craft::Stem::Tall(1), u8::try_from(*n).unwrap_or(2)))
    }
}

/// Legs of the largest cluster.
const MOST_LEGS: u32 = 12;

/// Takes counts and place together: "3 sc" is one in each of three, "3 sc in next st" three in one.
pub(super) fn counts_and_target(before: Option<u32>, after: Option<u32>, place: Option<Target>) -> (u32, Target) {
    match (before, after, place) {
        (n, after, None) => {
            let n = after.or(n).unwrap_or(1);
            (1, Target::Next { n, class: Class::Any })
        }
        (Some(n), _, Some(Target::Evenly { n: None })) => (1, Target::Evenly { n: Some(n) }),
        (Some(n), _, Some(target)) => (n, target),
        (None, Some(n), Some(Target::Evenly { n: None })) => (1, Target::Evenly { n: Some(n) }),
        (None, Some(n), Some(target)) => (n, target),
        (None, None, Some(target)) => (1, target),
    }
}
