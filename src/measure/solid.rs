//! How large a piece is that stands up: rounds as the circles of a body that is turned about an axis.

use super::line::is_round;
use crate::fabric::{Fabric, LineNode, Place, RowShape};
use crate::layout::Sizes;
use std::f64::consts::PI;

/// From this share of its width on a piece stands rather than lies: a shallow bowl is measured as it lies.
const STANDS: f64 = 0.45;

/// Width across and height of a piece worked in rounds about a ring, in stitch widths, as it stands unstuffed; none where
/// it lies, or where rounds are no circles.
///
/// A round of n stitches is n wide about; from one to the next the fabric goes as far out or in as the rounds differ, and
/// for the rest of the height of its stitches up.
pub(super) fn solid(fabric: &Fabric, sizes: &dyn Sizes, rows: &[usize]) -> Option<(f64, f64)> {
    let rounds: Vec<_> = rows.iter().map(|&r| &fabric.rows[r]).filter(|r| r.shape != RowShape::Foundation).collect();
    let into_ring = rounds.first()?.order.iter().any(|&id| {
        let into = &fabric.stitch(id).into;
        into.iter().any(|place| matches!(place, Place::Ring { .. }))
    });
    if !into_ring || rounds.iter().any(|r| !is_round(r) || !r.strands.is_empty()) {
        return None;
    }
    let (mut last, mut widest, mut high) = (None::<f64>, 0.0_f64, 0.0);
    for round in rounds {
        let mut heights = 0.0;
        let nodes = fabric.line(round.index);
        for node in &nodes {
            let LineNode::Stitch(id) = *node else { return None };
            heights += sizes.height(fabric.stitch(id).stem());
        }
        let radius = nodes.len() as f64 / (2.0 * PI);
        let height = heights / nodes.len().max(1) as f64;
        // the first round closes the ring
        let out = (radius - last.unwrap_or(radius - height)).abs();
        high += (height * height - out * out).max(0.0).sqrt();
        widest = widest.max(2.0 * radius);
        last = Some(radius);
    }
    (high > STANDS * widest).then_some((widest, high))
}
