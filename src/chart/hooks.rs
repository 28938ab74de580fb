//! What the drawing of a stitch says to scripts: its kind, and what it is worked into.

use crate::craft::{LoopPart, PostSide};
use crate::fabric::{EdgeEnd, Fabric, Place, Stitch, StitchId};

/// The kind as a class name.
pub(super) fn class_of(stitch: &Stitch) -> String {
    let text = if stitch.kind.is_empty() { stitch.form().to_string() } else { stitch.kind.clone() };
    text.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).collect()
}

/// The places of a stitch in short, leg by leg: `12` the top of stitch 12 (`12f`, `12b`, `12t` one loop of it), `c3` a
/// chain, `u3` its far side, `b3` its bump, `s40-42` the space of these chains, `r` a ring of thread, `r0-5` one of
/// chains, `p7f` and `p7b` round a post from front or back, `e2s.5` the start of row 2 at half its height (`e2e` the
/// end), `d7@.5` a side, `n7-8` between two stitches, `f7-8` the face between them.
pub(super) fn into_of(fabric: &Fabric, stitch: &Stitch) -> String {
    let place = |p: &Place| place_of(fabric, p);
    let legs = stitch.legs.iter().map(|leg| leg.into.iter().map(place).collect::<Vec<_>>().join("+"));
    let legs: Vec<String> = legs.filter(|leg| !leg.is_empty()).collect();
    if legs.is_empty() { stitch.into.iter().map(place).collect::<Vec<_>>().join(" ") } else { legs.join(" ") }
}

fn place_of(fabric: &Fabric, place: &Place) -> String {
    let run = |ids: &[StitchId]| match ids {
        [] => String::new(),
        [one] => one.index().to_string(),
        [first, .., last] => format!("{}-{}", first.index(), last.index()),
    };
    let share = |at: f64| {
        let text = format!("{at:.3}");
        text.trim_end_matches('0').trim_end_matches('.').trim_start_matches('0').to_owned()
    };
    match *place {
        Place::Top { top, part } => {
            let one = match part {
                LoopPart::Both => "",
                LoopPart::Front => "f",
                LoopPart::Back => "b",
                LoopPart::Third => "t",
            };
            format!("{}{one}", top.index())
        }
        Place::Chain { chain } => format!("c{}", chain.index()),
        Place::Underside { underside } => format!("u{}", underside.index()),
        Place::Bump { bump } => format!("b{}", bump.index()),
        Place::Space { space } => format!("s{}", run(&fabric.spaces[space.index()].ids)),
        Place::Ring { ring } => format!("r{}", run(&fabric.rings[ring.index()].ids)),
        Place::RowEnd { row_end } => {
            let edge = if row_end.edge == EdgeEnd::Start { "s" } else { "e" };
            format!("e{}{edge}{}", row_end.row.index(), share(row_end.at))
        }
        Place::Post { post, from } => {
            format!("p{}{}", post.index(), if from == PostSide::Front { "f" } else { "b" })
        }
        Place::Side { side, at } => format!("d{}@{}", side.index(), share(at)),
        Place::Between { between: [a, b] } => format!("n{}-{}", a.index(), b.index()),
        Place::Face { face: [a, b] } => format!("f{}-{}", a.index(), b.index()),
    }
}
