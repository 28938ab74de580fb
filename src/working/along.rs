//! Several classes of place worked in turn along an edge, each in its own way.

use super::row::RowWork;
use crate::instructions::{Act, Class, Step, Target};

impl RowWork<'_> {
    /// Works every place from here on by the step whose class names it most closely.
    pub(super) fn along_each(&mut self, steps: &[Step], rest: &[Step]) {
        for step in steps {
            if let Some(class) = class_of(step) {
                self.open_chains(&class);
            }
        }
        // a corner may be a space, or the middle stitch of three: what this edge has
        let classes: Vec<Option<Class>> =
            steps.iter().map(|s| class_of(s).map(|class| self.edge.searched(&class))).collect();
        let stays = self.reserve_all(rest);
        while !self.bench.limit_hit && !self.stopped {
            let ahead: Vec<usize> =
                (self.edge.cursor..self.edge.end()).filter(|&i| self.named_by(&classes, i)).collect();
            let (Some(&k), true) = (ahead.first(), ahead.len() > stays) else { return };
            let spot = &self.edge.spots[k];
            let best = steps
                .iter()
                .zip(&classes)
                .filter_map(|(s, c)| c.clone().map(|c| (s, c)))
                .filter(|(_, c)| spot.is(c))
                .max_by_key(|(_, c)| closeness(c));
            let Some((step, class)) = best else { return };
            let mut step = step.clone();
            let next = Target::Next { n: 1, class };
            match &mut step.act {
                Act::Work { at, .. } | Act::Group { at, .. } => *at = next,
                _ => return,
            }
            let before = self.edge.cursor;
            self.edge.pass_to(k);
            self.run(&[step]);
            if self.edge.cursor <= before {
                return;
            }
        }
    }

    fn named_by(&self, classes: &[Option<Class>], i: usize) -> bool {
        classes.iter().flatten().any(|c| self.edge.spots[i].is(c))
    }
}

fn class_of(step: &Step) -> Option<Class> {
    match &step.act {
        Act::Work { at: Target::Each { class, .. }, .. } | Act::Group { at: Target::Each { class, .. }, .. } => {
            Some(class.clone())
        }
        _ => None,
    }
}

/// How closely a class names a place.
fn closeness(class: &Class) -> u8 {
    match class {
        Class::Corner(_) | Class::CornerStitch | Class::Marked | Class::Picot | Class::Group(_) | Class::Run { .. } => {
            4
        }
        Class::Space(Some(_)) | Class::OpeningSpace | Class::Tip | Class::ChainEnd => 3,
        Class::Space(None) | Class::Kind(_) | Class::Chain | Class::RowEnd => 2,
        Class::Any | Class::Stitch => 1,
        Class::All | Class::AllChains => 0,
    }
}
