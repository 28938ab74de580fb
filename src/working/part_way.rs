//! Repeats that stop in the middle of a pass.

use super::row::RowWork;
use crate::instructions::{Act, Class, Step, Target};

impl RowWork<'_> {
    /// "Rep from * to last 4 sts" may rightly stop in the middle of the repeat: its steps as far as there is room.
    pub(super) fn part_of_pass(&mut self, steps: &[Step], stitches_kept: usize, spaces_kept: usize) {
        // what the repeat never works into is no room for it
        let all = self.need(steps);
        for (k, step) in steps.iter().enumerate() {
            let room = self.room();
            let stitches = if all.stitches > 0 || all.open_ended { room.0.saturating_sub(stitches_kept) } else { 0 };
            let spaces = if all.spaces > 0 || all.open_ended { room.1.saturating_sub(spaces_kept) } else { 0 };
            let left = (stitches, spaces);
            let need = self.need(std::slice::from_ref(step));
            // a chain leads to what stands behind it
            let led = steps[k + 1..]
                .iter()
                .find(|s| !matches!(s.act, Act::Chain { .. }))
                .map(|s| self.need(std::slice::from_ref(s)));
            let leads_on = !matches!(step.act, Act::Chain { .. }) || led.is_none_or(|n| n.spaces <= left.1);
            if left == (0, 0) || need.open_ended || !leads_on {
                return;
            }
            // "to last dc" of a kind that the step names: that one stays
            let stays = match &step.act {
                Act::Work { at: Target::Next { class: class @ Class::Kind(_), .. }, .. }
                | Act::Group { at: Target::Next { class: class @ Class::Kind(_), .. }, .. } => {
                    self.edge.ahead(&self.edge.searched(class)) <= stitches_kept
                }
                _ => false,
            };
            if stays && stitches_kept > 0 {
                return;
            }
            if need.stitches <= left.0 && need.spaces <= left.1 {
                self.run(std::slice::from_ref(step));
                continue;
            }
            if let Act::Work { each, form, at: Target::Next { class, .. } } = &step.act
                && form.places() == 1
                && need.spaces == 0
            {
                let n = u32::try_from(left.0).unwrap_or(u32::MAX);
                let at = Target::Next { n, class: class.clone() };
                self.run(&[Step { act: Act::Work { each: *each, form: *form, at }, span: step.span }]);
            }
            return;
        }
    }
}
