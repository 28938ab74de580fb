//! Arches and picots.

use super::*;
use fanwise::fabric::{Fabric, Place, Role, RowShape};

/// What bounds a space: the stitches of its row before its first chain and after its last.
fn bounds(fabric: &Fabric, ids: &[StitchId]) -> Option<[StitchId; 2]> {
    let row = fabric.row(fabric.stitch(*ids.first()?).row);
    let order = &row.order;
    let at = |id: &StitchId| order.iter().position(|o| o == id);
    let (first, last) = (at(ids.first()?)?, at(ids.last()?)?);
    let n = order.len();
    let round = row.shape == RowShape::Round;
    let before = if first > 0 {
        first - 1
    } else if round {
        n - 1
    } else {
        return None;
    };
    let after = if last + 1 < n {
        last + 1
    } else if round {
        0
    } else {
        return None;
    };
    Some([order[before], order[after]])
}

/// Rule 11: An arch is tangent to its line, bowed outward, springs from the heads that bound it, keeps off what lies below.
pub fn arches(p: &Piece) -> Found {
    let mut found = Found::default();
    for space in p.fabric.spaces.iter().filter(|s| s.ids.len() >= 3) {
        let chains: Vec<StitchId> = space.ids.iter().copied().filter(|&id| p.fabric.stitch(id).is_chain()).collect();
        let row = p.fabric.stitch(space.ids[0]).row;
        for &id in &chains {
            let shape = &fig(p, id).shapes[0];
            let below = p.fabric.stitches.iter().filter(|s| s.row < row && standing(s));
            let off = below.map(|s| fig(p, s.id).shapes.iter().map(|t| gap(shape, t)).fold(f64::INFINITY, f64::min));
            let off = off.fold(f64::INFINITY, f64::min);
            found.at_least("arch off the row below", off, 0.3, || label(p, id));
        }
        let ovals: Vec<(Point, Vec2)> = chains.iter().map(|&id| oval(&fig(p, id).shapes[0])).collect();
        for (w, id) in ovals.windows(3).zip(&chains[1..]) {
            let line = w[2].0 - w[0].0;
            let off = (w[1].1.cross(line).abs() / (w[1].1.hypot() * line.hypot())).asin().to_degrees();
            found.at_most("degrees off its arch", off, 5.0, || label(p, *id));
        }
        let (Some([before, after]), true) = (bounds(&p.fabric, &space.ids), chains.len() == space.ids.len()) else {
            continue;
        };
        let heads = [before, after].map(|id| p.layout.pose(id).head);
        let tips = |k: usize| {
            let (at, half) = ovals[k];
            [at + half, at - half]
        };
        for (head, k, id) in [(heads[0], 0, chains[0]), (heads[1], ovals.len() - 1, chains[chains.len() - 1])] {
            let off = tips(k).iter().map(|q| (*q - head).hypot()).fold(f64::INFINITY, f64::min);
            // 0.5 by itself; two that leave one head keep apart, farther where a turning chain stands between them
            let most = if turns_beside(p, before) || turns_beside(p, after) { 0.9 } else { 0.7 };
            found.at_most("spring from the head", off, most, || label(p, id));
        }
        let up = |id: StitchId| p.layout.pose(id).feet.first().map_or(Vec2::ZERO, |f| p.layout.pose(id).head - *f);
        let middle = ovals[ovals.len() / 2].0;
        let out = (middle - heads[0].midpoint(heads[1])).dot(up(before) + up(after));
        found.hold(out >= 0.0, || format!("{}: its arch bows inward", label(p, chains[0])));
    }
    found
}

/// True for the first stitch of a round that a chain turned which is no stitch.
fn turns_beside(p: &Piece, id: StitchId) -> bool {
    let before = id.index().checked_sub(1).map(|k| &p.fabric.stitches[k]);
    before.is_some_and(|s| s.role == Role::Turning && s.is_chain() && s.stands_for.is_none())
}

/// Rule 12: A stitch into an arch ends a stroke short of it, between its end ovals, and crosses none.
pub fn into_arches(p: &Piece) -> Found {
    let mut found = Found::default();
    for s in p.fabric.stitches.iter().filter(|s| standing(s)) {
        for place in &s.into {
            let Place::Space { space } = *place else { continue };
            let ids = &p.fabric.spaces[space.index()].ids;
            let chains: Vec<StitchId> = ids.iter().copied().filter(|&id| p.fabric.stitch(id).is_chain()).collect();
            let off = chains.iter().map(|&id| gap_of(fig(p, s.id), fig(p, id))).fold(f64::INFINITY, f64::min);
            let foot = p.layout.pose(s.id).feet[0];
            found.at_least("off its chains", off, 0.09, || label(p, s.id));
            let (Some(&first), Some(&last)) = (chains.first(), chains.last()) else { continue };
            let ends = [first, last].map(|id| oval(&fig(p, id).shapes[0]));
            // a tall stitch that closes the space is part of it
            let closing = ids.iter().copied().find(|&id| !p.fabric.stitch(id).is_chain());
            let end = closing.map_or(ends[1].0, |id| p.layout.pose(id).feet[0]);
            let line = end - ends[0].0;
            if line.hypot() < 0.1 {
                continue;
            }
            let along = (foot - ends[0].0).dot(line) / line.hypot();
            let (low, high) = (-ends[0].1.hypot() - 0.05, line.hypot() + ends[1].1.hypot() + 0.05);
            found.hold((low..=high).contains(&along), || {
                format!("{}: beside the ovals of its space: {along:.2} of {low:.2} to {high:.2}", label(p, s.id))
            });
        }
    }
    found
}

/// Rule 13: A picot is a closed drop with its dot at its foot, outside its row, touches nothing, and moves no neighbour.
pub fn picots(p: &Piece) -> Found {
    let mut found = Found::default();
    let picots: Vec<&Stitch> = p.fabric.stitches.iter().filter(|s| s.role == Role::Picot).collect();
    for run in picots.chunk_by(|a, b| a.id.index() + 1 == b.id.index() && !a.is_slip_stitch()) {
        if run.len() < 3 {
            continue;
        }
        for k in 0..run.len() {
            let between = gap_of(fig(p, run[k].id), fig(p, run[(k + 1) % run.len()].id));
            found.at_most("drop open by", between, 0.15, || label(p, run[k].id));
        }
        found.hold(run.last().is_some_and(|s| s.is_slip_stitch()), || format!("{}: no dot", label(p, run[0].id)));
        by_itself(p, run, &mut found);
        stands_out(p, run, &mut found);
    }
    found
}

/// It touches nothing besides the stitch it stands on and the chains next to it.
fn by_itself(p: &Piece, run: &[&Stitch], found: &mut Found) {
    let (first, last) = (run[0].id.index(), run[run.len() - 1].id.index());
    let stands_on: Vec<usize> =
        run.iter().flat_map(|s| &s.into).filter_map(|q| q.stitch()).map(|id| id.index()).collect();
    for s in run {
        let others = p.scene.figures().filter(|f| {
            let i = f.stitch.index();
            !(first..=last).contains(&i) && !stands_on.contains(&i)
        });
        let near = others.map(|f| (gap_of(fig(p, s.id), f), f.stitch)).min_by(|a, b| a.0.total_cmp(&b.0));
        let Some((off, other)) = near else { continue };
        found.hold(off > 0.0, || format!("{}: it touches {} by {off:.2}", label(p, s.id), label(p, other)));
    }
}

/// It stands on the outer side of its row, and the stitches beside it keep the pitch of their row within 15 %.
fn stands_out(p: &Piece, run: &[&Stitch], found: &mut Found) {
    let row = p.fabric.row(run[0].row);
    let Some(base) = run.iter().flat_map(|s| &s.into).find_map(|q| q.stitch()) else { return };
    let pose = p.layout.pose(base);
    let Some(foot) = pose.feet.first() else { return };
    let middle =
        run.iter().map(|s| oval(&fig(p, s.id).shapes[0]).0.to_vec2()).fold(Vec2::ZERO, |a, b| a + b) / run.len() as f64;
    let out = (middle.to_point() - pose.head).dot(pose.head - *foot);
    found.hold(out > 0.0, || format!("{}: it lies within its row", label(p, run[0].id)));
    let head = |id: StitchId| p.layout.pose(id).head;
    let worked = |id: &StitchId| standing(p.fabric.stitch(*id));
    let pairs: Vec<(StitchId, f64)> = row
        .order
        .windows(2)
        .filter(|w| w.iter().all(worked))
        .map(|w| (w[0], (head(w[1]) - head(w[0])).hypot()))
        .collect();
    let mut others: Vec<f64> = pairs.iter().filter(|q| !bears_picot(p, q.0)).map(|q| q.1).collect();
    others.sort_by(f64::total_cmp);
    let (Some((_, own)), Some(usual)) = (pairs.iter().find(|q| q.0 == base), others.get(others.len() / 2)) else {
        return;
    };
    found.at_most("pitch beside a picot off", (own / usual - 1.0).abs(), 0.15, || label(p, run[0].id));
}

fn bears_picot(p: &Piece, id: StitchId) -> bool {
    p.fabric.stitches.iter().any(|s| s.role == Role::Picot && s.into.iter().any(|q| q.stitch() == Some(id)))
}
