//! How a stitch, its count and its places go together: "3 sc" is one in each of three, "3 sc in next st" three in one;
//! "3-dc cluster over next 3 sts" has a leg in each, "3-dc cluster in next st" all of them in one.

use super::lex::Kind;
use super::phrase::{RowReader, Run};
use super::place::Where;
use super::stitch::Named;
use crate::craft::{Meet, Stem, StitchForm};
use crate::instructions::{Act, Class, Step, Target};

impl RowReader<'_> {
    /// Spreads the legs of a cluster over the places named behind "over" since the token `start`.
    pub(super) fn spread_over(&self, start: usize, named: &mut Named, place: &mut Option<Where>) {
        let form = match named {
            Named::Form(form) => Some(*form),
            Named::Special(k) => self.c.house.specials[*k].form,
            _ => None,
        };
        if let (Named::Form(form), Some(place)) = (&mut *named, &place)
            && form.legs > 1
            && !form.one_place
            && form.meet == Meet::Head
            && matches!(form.stem, Stem::HalfDouble | Stem::Tall(_))
            && is_one_space(&place.target)
        {
            // "dc3tog in next ch-2 sp": all of it there
            *form = StitchForm { extra: form.extra, ..StitchForm::cluster(form.stem, form.legs, Meet::Head) };
            return;
        }
        // one that its definition spreads over stitches as well
        let own = matches!(named, Named::Special(_));
        let Some(form) = form.filter(|f| (f.one_place || own) && f.legs > 1) else { return };
        let Some(Where { target: Target::Next { n, .. }, .. }) = place else { return };
        let legs = u32::from(form.legs);
        let over = (start..self.c.at).any(|k| self.c.word_at(k).is_some_and(|w| matches!(w, "over" | "across")));
        if over && *n > 1 && n.is_multiple_of(legs) {
            *named = Named::Form(StitchForm { extra: form.extra, ..StitchForm::together(form.stem, form.legs) });
            let target = Target::Next { n: *n / legs, class: Class::Any };
            *place = Some(Where { target, ..place.clone().unwrap_or_else(|| Target::NEXT.into()) });
        }
    }

    /// "sc2tog over first st and next ch-1 sp", "dc3tog over next (dc, hdc, dc)", and what all the words behind a group
    /// put in one place.
    pub(super) fn in_several(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let each = self.leading_count();
        if let Some(Named::Form(form)) = self.c.stitch()
            && form.places() > 1
            && let Some(legs) = self.legs_over(form.places())
        {
            let span = self.c.since(start);
            let act = Act::Work { each: each.unwrap_or(1), form, at: Target::Over { legs } };
            run.steps.push(Step { act, span });
            return true;
        }
        self.c.at = start;
        self.all_in(run)
    }

    /// "over next dc, ch-1 sp and last dc", "over next 2 ch-2 sps": what each leg goes into; none where it is stitches alone.
    fn legs_over(&mut self, places: usize) -> Option<Vec<Class>> {
        let _ = self.c.eat_any(&["working", "worked"]);
        if !self.c.eat_any(&["over", "across", "in", "into", "using"]) {
            return None;
        }
        let mut legs: Vec<Class> = Vec::new();
        let mut kinds = 0;
        let close = self.next_in_brackets();
        loop {
            let _ = self.c.eat("each") && self.c.eat("of");
            while self.c.eat_any(&["the", "next", "first", "last", "foll", "following", "same"]) {}
            let by_length = self.c.space();
            let n = if by_length.is_some() { 1 } else { self.c.number().unwrap_or(1) };
            let class = by_length.or_else(|| self.c.class())?;
            kinds += 1;
            legs.extend(std::iter::repeat_n(class, n.min(MOST_LEGS) as usize));
            if legs.len() >= places {
                break;
            }
            let more =
                self.c.eat_kind(&Kind::Comma) | self.c.eat_any(&["and", "plus"]) | self.c.eat_kind(&Kind::Other('&'));
            if !more {
                break;
            }
        }
        if let Some(close) = close {
            if self.c.at != close {
                return None;
            }
            self.c.at = close + 1;
        }
        let space = legs.iter().any(|c| matches!(c, Class::Space(_) | Class::Corner(_)));
        let ends = self.c.at_break()
            || matches!(self.c.kind(0), Some(Kind::Open(_) | Kind::Dash))
            || self.c.word(0) == Some("and");
        (ends && legs.len() == places && (space || kinds > 1)).then_some(legs)
    }

    /// Goes into "next (dc, hdc, dc)"; the index of its closing bracket.
    fn next_in_brackets(&mut self) -> Option<usize> {
        let start = self.c.at;
        let _ = self.c.eat_any(&["next", "first", "last"]);
        if let Some(close) = self.matching() {
            self.c.at += 1;
            return Some(close);
        }
        self.c.at = start;
        None
    }

    /// "cluster over next 3 sts" where nothing says what a cluster is: so many stitches of the usual kind together.
    pub(super) fn together_over(&self, start: usize, name: &str, place: Option<&Where>) -> Option<StitchForm> {
        let Some(Where { target: Target::Next { n: n @ 2..=MOST_LEGS, class }, .. }) = place else { return None };
        // of what it stands over, where that is told
        let kind = match class {
            Class::Kind(kind) => kind.parse().ok().map(|form: StitchForm| form.stem),
            _ => None,
        };
        let stem = kind.filter(|stem| matches!(stem, Stem::Tall(_))).unwrap_or(Stem::Tall(1));
        let over = (start..self.c.at).any(|k| self.c.word_at(k) == Some("over"));
        let cluster = super::words::CLUSTERS.iter().any(|c| super::words::is_or_plural(name, c));
        (over && cluster).then(|| StitchForm::together(stem, u8::try_from(*n).unwrap_or(2)))
    }
}

/// True for a place that has room for a whole cluster.
fn is_one_space(at: &Target) -> bool {
    let space = |class: &Class| matches!(class, Class::Space(_) | Class::Corner(_) | Class::OpeningSpace);
    match at {
        Target::Same | Target::Ring => true,
        Target::Next { n: 1, class } | Target::Last { n: 1, class } | Target::First { class } => space(class),
        Target::Each { class, .. } => space(class),
        _ => false,
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
        // "1 sc evenly around" is one in each place
        (Some(1), None, Some(at @ Target::Evenly { n: None })) => (1, at),
        (Some(n), _, Some(Target::Evenly { n: None })) => (1, Target::Evenly { n: Some(n) }),
        (Some(n), _, Some(target)) => (n, target),
        (None, Some(n), Some(Target::Evenly { n: None })) => (1, Target::Evenly { n: Some(n) }),
        (None, Some(n), Some(target)) => (n, target),
        (None, None, Some(target)) => (1, target),
    }
}
