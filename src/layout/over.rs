//! What the arch of a chain space passes over, and how high it must rise to keep clear of that.
//!
//! A loop shorter than the work it spans would cut through it: in a chart it is drawn round, its ovals further apart.

use super::net::{Facing, LineKind, Net, Node};
use super::plane::{length, normalised, r90};
use super::{View, wants};

// Chains from which a space may pass over something, and the places looked at at most.
const LEAST_CHAINS: f64 = 3.0;
const MOST_PLACES: usize = 12;
// From a head to the line of an arch over it: nearer and its ovals lie on the bar.
const CLEAR: f64 = 0.6;
// Of what lies near either end of an arch, its own stitches keep clear.
const MIDDLE: f64 = 0.24;
// Rise over chord at most: beyond that it is no arch over what lies below.
const STEEPEST: f64 = 0.5;

/// Of every space, the points of the row below that its arch passes over.
pub(super) fn beneath(net: &Net) -> Vec<Vec<usize>> {
    (0..net.fabric.spaces.len()).map(|space| beneath_space(net, space).unwrap_or_default()).collect()
}

fn beneath_space(net: &Net, space: usize) -> Option<Vec<usize>> {
    let apex = net.apex_of[space].filter(|&apex| net.space_length(apex) >= LEAST_CHAINS)?;
    let (line, at) = net.seat[apex].filter(|_| net.view == View::Chart)?;
    let (previous, next) = net.lines[line].neighbours(at);
    let stands = |node: usize, last: bool| {
        let feet = &net.posts[net.post_of[node]?].feet;
        match if last { feet.last() } else { feet.first() }?.facing {
            Facing::Line { line, at, .. } => Some((line, at)),
            _ => None,
        }
    };
    let ((below, from), (other, to)) = (stands(previous, true)?, stands(next, false)?);
    let base = &net.lines[below];
    if below != other || below == line || base.kind != LineKind::Row || from == to {
        return None;
    }
    let n = base.nodes.len();
    let (up, down) = ((to + n - from) % n, (from + n - to) % n);
    let (first, count) = match base.closed {
        true if up <= down => (from, up),
        true => (to, down),
        false => (from.min(to), from.abs_diff(to)),
    };
    let between: Vec<usize> = (1..count).map(|k| base.nodes[(first + k) % n]).collect();
    (between.len() <= MOST_PLACES).then_some(between)
}

/// Rise over chord that takes an arch clear over what lies below it; 0 where nothing does.
pub(super) fn rise_over(net: &Net, apex: usize) -> f64 {
    let Node::Apex(space) = net.nodes[apex] else { return 0.0 };
    let beneath = net.beneath.get(space).map_or(&[][..], Vec::as_slice);
    let Some((line, at)) = net.seat[apex].filter(|_| !beneath.is_empty()) else { return 0.0 };
    let l = &net.lines[line];
    let (previous, next) = l.neighbours(at);
    let chord = net.heads[next] - net.heads[previous];
    let wide = length(chord).max(wants::LEAST_CHORD);
    let along = normalised(chord);
    let up = l.sign * r90(along);
    let rise = beneath.iter().map(|&node| {
        let from = net.heads[node] - net.heads[previous];
        let share = from.dot(along) / wide;
        if (share - 0.5).abs() > MIDDLE {
            return 0.0;
        }
        (from.dot(up) + CLEAR) / (4.0 * share * (1.0 - share)) / wide
    });
    let rise = rise.fold(0.0, f64::max);
    if rise > STEEPEST { 0.0 } else { rise }
}
