//! Feet in a chain space: side by side along the middle of its arc.

use super::net::{LineKind, Net};
use crate::fabric::{Place, StitchId};
use std::collections::BTreeMap;

// Part of the arc that feet take: less and they look worked into one chain, more and they touch the end ovals.
const MIDDLE: f64 = 0.575;

/// How far along the arc of its space each leg stands, by stitch and leg; and how many of one row stand in each space.
pub(super) fn along_spaces(net: &Net) -> (BTreeMap<(StitchId, usize), f64>, Vec<usize>) {
    let mut legs_in: BTreeMap<(usize, usize), Vec<(StitchId, usize)>> = BTreeMap::new();
    for line in &net.lines {
        if line.kind == LineKind::Chain {
            continue;
        }
        for &node in &line.nodes {
            let Some(id) = net.stitch_of(node) else { continue };
            let stitch = net.fabric.stitch(id);
            let own = stitch.legs.iter().enumerate().flat_map(|(leg, made)| made.into.iter().map(move |p| (leg, p)));
            // a turning chain that counts may tell its place without a leg
            let legless = stitch.legs.iter().all(|l| l.into.is_empty());
            let told = stitch.into.iter().take(usize::from(legless)).map(|p| (0, p));
            for (leg, place) in own.chain(told) {
                if let Place::Space { space } = *place {
                    legs_in.entry((space.index(), line.row)).or_default().push((id, leg));
                }
            }
        }
    }
    let (mut along, mut feet_in) = (BTreeMap::new(), vec![0; net.fabric.spaces.len()]);
    for ((space, row), mut legs) in legs_in {
        rejoin_split_group(&mut legs);
        feet_in[space] = legs.len().max(feet_in[space]);
        let of_space = net.apex_of[space].and_then(|n| net.seat[n]).map(|(line, _)| &net.lines[line]);
        let forward = of_space.is_none_or(|l| l.sign == super::build::told_sign(&net.fabric.rows[row]));
        let n = legs.len() as f64;
        for (i, &leg) in legs.iter().enumerate() {
            let share = if legs.len() == 1 { 0.0 } else { i as f64 / (n - 1.0) - 0.5 };
            // two or three need no more than a pitch between them, many take the whole middle
            let width = MIDDLE * ((n - 1.0) / n).max(0.7);
            let t = share * width;
            along.insert(leg, 0.5 + if forward { t } else { -t });
        }
    }
    (along, feet_in)
}

/// A round that starts in the middle of a space ends in it too: those made last come first along it.
fn rejoin_split_group(legs: &mut [(StitchId, usize)]) {
    let gap = |w: &[(StitchId, usize)]| w[1].0.index().saturating_sub(w[0].0.index());
    let widest = legs.windows(2).enumerate().max_by_key(|(i, w)| (gap(w), usize::MAX - i));
    if let Some((at, w)) = widest {
        // a corner's own chains lie between its groups; a whole round lies between the ends of a round
        if gap(w) > 12 {
            legs.rotate_left(at + 1);
        }
    }
}
