//! Where feet and heads stand.

use super::*;
use fanwise::craft::Stem;
use fanwise::fabric::{Place, Role, RowShape};

/// Stitches that are worked into one place, two or more.
pub fn groups(p: &Piece) -> Vec<(Place, Vec<StitchId>)> {
    let mut groups: Vec<(Place, Vec<StitchId>)> = Vec::new();
    for s in p.fabric.stitches.iter().filter(|s| standing(s) && s.legs.len() == 1 && s.extra.post.is_none()) {
        let Some(&place) = s.into.first() else { continue };
        match groups.iter_mut().find(|(q, _)| *q == place) {
            Some((_, ids)) => ids.push(s.id),
            None => groups.push((place, vec![s.id])),
        }
    }
    groups.retain(|(_, ids)| ids.len() > 1);
    groups
}

/// Rule 7: In one stitch, legs meet within a tenth of a point, in equal angles about the normal; in a space, feet stand a
/// quarter apart.
pub fn feet(p: &Piece) -> Found {
    let mut found = Found::default();
    for (place, ids) in groups(p) {
        let stems: Vec<&Shape> = ids.iter().flat_map(|&id| parts(fig(p, id), PartKind::Stem)).collect();
        match place {
            Place::Top { .. } | Place::Chain { .. } | Place::Underside { .. } => {
                let foot = p.layout.pose(ids[0]).feet[0];
                for stem in stems {
                    let (a, b) = ends(stem);
                    let off = ((foot - a).cross(b - a) / (b - a).hypot()).abs();
                    found.at_most("leg beside its place", off, 0.1, || label(p, ids[0]));
                }
                fan(p, &ids, &mut found);
                upright(p, place, &ids, &mut found);
            }
            Place::Space { .. } => {
                let feet: Vec<Point> = ids.iter().filter_map(|&id| p.layout.pose(id).feet.first().copied()).collect();
                for pair in feet.windows(2) {
                    let apart = (pair[1] - pair[0]).hypot();
                    found.at_least("feet apart", apart, 0.25, || of_many(p, &ids));
                }
            }
            _ => {}
        }
    }
    found
}

/// One of some in one place, and how many they are.
fn of_many(p: &Piece, ids: &[StitchId]) -> String {
    format!("{} of {}", label(p, ids[0]), ids.len())
}

/// A fan in one stitch: equal angles within 3 degrees, 120 at most. Round the end of a chain the row comes back along the
/// other side, half a circle, and the fan goes with it; a whole round in one chain goes all round it. Where chains lie
/// between two legs, they need more room than none.
fn fan(p: &Piece, ids: &[StitchId], found: &mut Found) {
    let up = |id: StitchId| p.layout.pose(id).head - p.layout.pose(id).feet[0];
    let turn = |w: &[StitchId]| up(w[0]).cross(up(w[1])).atan2(up(w[0]).dot(up(w[1]))).to_degrees();
    let whole: f64 = ids.windows(2).map(turn).sum();
    let row = p.fabric.row(p.fabric.stitch(ids[0]).row);
    let all = row.order.iter().map(|&id| p.fabric.stitch(id)).filter(|s| standing(s) && !s.into.is_empty());
    let round = matches!(row.shape, RowShape::Round | RowShape::Spiral) && all.count() == ids.len();
    let most = match ends_chain(p, p.fabric.stitch(ids[0]).into[0]) {
        true if round => 360.0,
        true => 180.0,
        false => 120.0,
    };
    found.at_most("degrees of a fan", whole.abs(), most, || of_many(p, ids));
    let (close, parted): (Vec<&[StitchId]>, Vec<&[StitchId]>) =
        ids.windows(2).partition(|w| w[0].index() + 1 == w[1].index());
    for pairs in [close, parted] {
        let turns: Vec<f64> = pairs.into_iter().map(turn).collect();
        let mean = turns.iter().sum::<f64>() / turns.len() as f64;
        let uneven = turns.iter().map(|t| (t - mean).abs()).fold(0.0, f64::max);
        found.at_most("degrees uneven", uneven, 3.0, || of_many(p, ids));
    }
}

/// True for the first and the last chain of a foundation or of a branch.
fn ends_chain(p: &Piece, place: Place) -> bool {
    let (Place::Chain { chain } | Place::Underside { underside: chain }) = place else { return false };
    let lies = |k: Option<usize>| {
        k.and_then(|k| p.fabric.stitches.get(k)).is_some_and(|s| s.is_chain() && s.role != Role::Turning)
    };
    !lies(chain.index().checked_sub(1)) || !lies(Some(chain.index() + 1))
}

/// The middle post of a fan stands on the normal of the line its foot lies in.
fn upright(p: &Piece, place: Place, ids: &[StitchId], found: &mut Found) {
    let Place::Top { top, .. } = place else { return };
    if ids.len().is_multiple_of(2) || !standing(p.fabric.stitch(top)) {
        return;
    }
    let order = &p.fabric.row(p.fabric.stitch(top).row).order;
    let Some(at) = order.iter().position(|&o| o == top) else { return };
    let round = p.fabric.row(p.fabric.stitch(top).row).shape == RowShape::Round;
    let n = order.len();
    let (before, after) = if round { ((at + n - 1) % n, (at + 1) % n) } else { (at.wrapping_sub(1), at + 1) };
    let (Some(&a), Some(&b)) = (order.get(before), order.get(after)) else { return };
    let line = p.layout.pose(b).head - p.layout.pose(a).head;
    let middle = ids[ids.len() / 2];
    let middle = p.layout.pose(middle).head - p.layout.pose(middle).feet[0];
    let off = 90.0 - (middle.cross(line).abs() / (middle.hypot() * line.hypot())).min(1.0).asin().to_degrees();
    found.at_most("degrees off the normal", off, 3.0, || of_many(p, ids));
}

/// Rule 8: Legs of a decrease meet in one point under one bar, each with its own strokes; a cluster closes at both ends.
pub fn decreases(p: &Piece) -> Found {
    let mut found = Found::default();
    for s in p.fabric.stitches.iter().filter(|s| s.legs.len() > 1 && standing(s)) {
        let f = fig(p, s.id);
        let stems = parts(f, PartKind::Stem);
        if s.form().one_place {
            closed(p, s, &stems, &mut found);
            continue;
        }
        found.hold(stems.len() == s.legs.len(), || format!("{}: {} stems", label(p, s.id), stems.len()));
        let head = p.layout.pose(s.id).head;
        let off = stems.iter().map(|t| (ends(t).1 - head).hypot()).fold(0.0, f64::max);
        found.at_most("legs from the head", off, 0.1, || label(p, s.id));
        found.at_most("head beside its feet", beside_its_feet(p, s), 0.1, || label(p, s.id));
        let tall = |stem: Stem| !matches!(stem, Stem::Single | Stem::SlipStitch | Stem::Chain(_));
        let bars = parts(f, PartKind::Head).len();
        let wanted = usize::from(s.legs.iter().any(|l| tall(l.stem)));
        found.hold(bars == wanted, || format!("{}: {bars} bars", label(p, s.id)));
        let strokes: usize = s
            .legs
            .iter()
            .map(|l| if let Stem::Tall(n) = l.stem { usize::from(n) } else { usize::from(l.stem == Stem::Single) })
            .sum();
        let drawn = parts(f, PartKind::Stroke).len();
        found.hold(drawn == strokes, || format!("{}: {drawn} strokes of {strokes}", label(p, s.id)));
    }
    found
}

/// The outer legs of a cluster start together and end together; those between leave its ends free.
fn closed(p: &Piece, s: &Stitch, stems: &[&Shape], found: &mut Found) {
    for (k, end) in ["foot", "head"].iter().enumerate() {
        let outer = [stems[0], stems[stems.len() - 1]];
        let at: Vec<Point> = outer.iter().map(|t| if k == 0 { ends(t).0 } else { ends(t).1 }).collect();
        let wide = at.iter().flat_map(|a| at.iter().map(move |b| (*a - *b).hypot())).fold(0.0, f64::max);
        found.at_most("legs open", wide, 0.1, || format!("{} at its {end}", label(p, s.id)));
    }
}

/// How far the head of a decrease stands beside the mean of its feet, along its own row there.
fn beside_its_feet(p: &Piece, s: &Stitch) -> f64 {
    let (head, feet) = (p.layout.pose(s.id).head, &p.layout.pose(s.id).feet);
    let mean = feet.iter().fold(Vec2::ZERO, |sum, q| sum + q.to_vec2()) / feet.len() as f64;
    let row = p.fabric.row(s.row);
    let n = row.order.len();
    let at = row.order.iter().position(|&o| o == s.id).expect("it stands in its row");
    // an arch beside it is one thing, whose middle tells how the row runs
    let here = |k: usize| {
        let id = row.order[k];
        p.fabric.space_of(id).map_or(p.layout.pose(id).head, |space| p.layout.spaces[space.index()].apex)
    };
    let (before, after) =
        if row.joined { ((at + n - 1) % n, (at + 1) % n) } else { (at.saturating_sub(1), (at + 1).min(n - 1)) };
    let along = here(after) - here(before);
    (head.to_vec2() - mean).dot(along / along.hypot()).abs()
}

/// Rule 16: No foot stands within 0.3 of a head that is skipped.
pub fn skipped(p: &Piece) -> Found {
    let mut found = Found::default();
    let used: Vec<StitchId> = p.fabric.stitches.iter().flat_map(|s| s.into.iter().filter_map(|q| q.stitch())).collect();
    for row in p.fabric.rows.iter().filter(|r| r.shape != RowShape::Foundation) {
        for &id in row.order.iter().filter(|&&id| standing(p.fabric.stitch(id)) && !used.contains(&id)) {
            let head = p.layout.pose(id).head;
            // a foot in a space beside it stands in that space; one of another part is no neighbour
            let feet = p
                .fabric
                .stitches
                .iter()
                .filter(|s| standing(s) && s.row > row.index && s.into.iter().all(|q| q.stitch().is_some()));
            let near =
                feet.flat_map(|s| &p.layout.pose(s.id).feet).map(|f| (*f - head).hypot()).fold(f64::INFINITY, f64::min);
            found.at_least("foot from a skipped head", near, 0.3, || label(p, id));
        }
    }
    found
}
