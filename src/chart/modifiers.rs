//! Marks that change a stitch: loop only, extended, reverse.

use super::figure::shape;
use super::legs;
use super::scene::Shape;
use super::style::Face;
use crate::craft::LoopPart;
use crate::fabric::{Place, Side, Stitch};
use crate::layout::Pose;
use crate::symbol::{Stand, SymbolSet};

/// The side by which loops and posts are turned over: that of the row, or none where they are shown as worked.
pub(super) fn turned_side(stitch: &Stitch, face: Face) -> Side {
    if face == Face::Worked { Side::Right } else { stitch.side }
}

/// The loop a stitch is worked through, as seen from the right side.
pub(super) fn seen_loop(stitch: &Stitch, face: Face) -> LoopPart {
    let of_place = stitch.into.iter().find_map(|p| match *p {
        Place::Top { part, .. } if part != LoopPart::Both => Some(part),
        _ => None,
    });
    let part = if stitch.extra.part == LoopPart::Both { of_place.unwrap_or_default() } else { stitch.extra.part };
    match (part, turned_side(stitch, face)) {
        (LoopPart::Front, Side::Wrong) => LoopPart::Back,
        (LoopPart::Back, Side::Wrong) => LoopPart::Front,
        (part, _) => part,
    }
}

/// Marks between a foot and its stem: key of the symbol and the height it takes.
pub(super) fn foot_marks(stitch: &Stitch, face: Face) -> Vec<(&'static str, f64)> {
    let mut marks = Vec::new();
    match seen_loop(stitch, face) {
        LoopPart::Front => marks.push(("loop front", 0.2)),
        LoopPart::Back | LoopPart::Third => marks.push(("loop back", 0.2)),
        LoopPart::Both => {}
    }
    if stitch.extra.extended {
        marks.push(("extended", 0.42));
    }
    marks
}

/// The marks of a stitch as they stand.
pub(super) fn of_stitch(symbols: &SymbolSet, stitch: &Stitch, pose: &Pose, face: Face) -> Vec<Shape> {
    if stitch.is_chain() || stitch.is_slip_stitch() {
        return Vec::new();
    }
    let mut shapes = Vec::new();
    for &foot in &pose.feet {
        let stand = Stand::new(foot, pose.head);
        let mut from = 0.0;
        for (key, height) in foot_marks(stitch, face) {
            let Some(symbol) = symbols.get(key) else { continue };
            let lifted = Stand::new(stand.at(from, 0.0), pose.head);
            shapes.extend(lifted.pieces(symbol).into_iter().map(shape));
            from += height;
        }
    }
    if stitch.extra.reverse
        && let (Some(symbol), Some(foot)) = (symbols.get("reverse"), legs::mean(&pose.feet))
    {
        shapes.extend(Stand::new(foot, pose.head).pieces(symbol).into_iter().map(shape));
    }
    shapes
}
