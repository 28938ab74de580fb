//! Rows worked again with one thing in the place of another.

use crate::instructions::{Act, Class, Step, Target};

/// The steps with every exchange among `own` made in them.
pub(super) fn exchange(steps: &mut [Step], own: &[Step]) {
    for step in own {
        if let Act::Instead { of, put } = &step.act {
            steps.iter_mut().for_each(|s| put_in(s, &of.act, &put.act));
        }
    }
}

fn put_in(step: &mut Step, of: &Act, put: &Act) {
    match &mut step.act {
        Act::Repeat { steps, .. } | Act::Group { steps, .. } => steps.iter_mut().for_each(|s| put_in(s, of, put)),
        Act::OfRow { row } => {
            if let (Act::OfRow { row: told }, Act::OfRow { row: other }) = (of, put)
                && row == told
            {
                *row = *other;
            }
        }
        Act::Chain { n } => {
            let Act::Chain { n: told } = of else { return };
            match put {
                Act::Chain { n: other } if n == told => *n = *other,
                Act::Work { .. } if n == told => step.act = placed(put),
                _ => {}
            }
        }
        Act::Work { each, form, at } => {
            let Act::Work { each: told, form: make, .. } = of else { return };
            let row = matches!(at, Target::Next { n, class: Class::Any } if *each == 1 && n == told);
            if form != make || !(*told == 0 || each == told || row) {
                return;
            }
            match put {
                Act::Work { each: other, form: make, .. } => {
                    *form = *make;
                    match at {
                        // "3 dc" with no place of its own stands in as many
                        Target::Next { n, .. } if row && *told > 1 => *n = (*other).max(1),
                        _ if *other > 0 => *each = *other,
                        _ => {}
                    }
                }
                Act::Chain { .. } => step.act = put.clone(),
                _ => {}
            }
        }
        _ => {}
    }
}

/// Work told with no place: so many in the next places.
fn placed(put: &Act) -> Act {
    match put {
        Act::Work { each, form, .. } => {
            Act::Work { each: 1, form: *form, at: Target::Next { n: (*each).max(1), class: Class::Any } }
        }
        other => other.clone(),
    }
}
