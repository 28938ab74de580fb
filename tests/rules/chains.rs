//! Chains: lying, turning, and the dots that join and travel.

use super::*;
use fanwise::fabric::{Place, Role, RowId, RowShape};

/// Rule 1: Ovals drawn are chains told, each once and none on another.
pub fn ovals(p: &Piece) -> Found {
    let mut found = Found::default();
    let chains: Vec<StitchId> = p.fabric.stitches.iter().filter(|s| s.is_chain()).map(|s| s.id).collect();
    let mut middles: Vec<(Point, StitchId)> = Vec::new();
    for &id in &chains {
        let drawn = parts(fig(p, id), PartKind::Body);
        found.hold(drawn.len() == 1, || format!("{}: {} ovals", label(p, id), drawn.len()));
        middles.extend(drawn.first().map(|s| (oval(s).0, id)));
    }
    middles.sort_by(|a, b| a.0.x.total_cmp(&b.0.x));
    for (k, (at, id)) in middles.iter().enumerate() {
        let on = middles[k + 1..].iter().take_while(|(q, _)| q.x - at.x < 0.2).find(|(q, _)| (*q - *at).hypot() < 0.2);
        found.hold(on.is_none(), || format!("{} lies on {}", label(p, *id), label(p, on.expect("found").1)));
    }
    found
}

/// Share of its length and angle to the line through its neighbours that part two ovals of a run.
fn end_to_end(p: &Piece, run: &[StitchId], found: &mut Found) {
    for w in run.windows(2) {
        let shapes = [w[0], w[1]].map(|id| &fig(p, id).shapes[0]);
        let between = gap(shapes[0], shapes[1]);
        let long = 2.0 * (oval(shapes[1]).1.hypot() + half(shapes[1]));
        found.at_least("gap of ovals", between, -0.005, || label(p, w[1]));
        found.at_most("gap over length of ovals", between / long, 0.1, || label(p, w[1]));
    }
    for w in run.windows(3) {
        let [(a, _), (_, axis), (c, _)] = [w[0], w[1], w[2]].map(|id| oval(&fig(p, id).shapes[0]));
        let line = c - a;
        let off = (axis.cross(line).abs() / (axis.hypot() * line.hypot())).asin().to_degrees();
        found.at_most("degrees off its line", off, 5.0, || label(p, w[1]));
    }
}

/// Rule 2: Lying ovals of a foundation touch end to end, along the chain's line.
pub fn lying(p: &Piece) -> Found {
    let mut found = Found::default();
    for row in p.fabric.rows.iter().filter(|r| r.shape == RowShape::Foundation) {
        let base = |id: &StitchId| p.fabric.stitch(*id).role == Role::Base && p.fabric.stitch(*id).is_chain();
        let ids: Vec<StitchId> = row.order.iter().copied().filter(base).collect();
        for run in ids.chunk_by(|a, b| a.index() + 1 == b.index()) {
            end_to_end(p, run, &mut found);
        }
    }
    found
}

/// The chains of the turning chain that ends with a stitch, the first first.
fn turning_chain(p: &Piece, last: &Stitch) -> Vec<StitchId> {
    let before = p.fabric.stitches[..=last.id.index()].iter().rev();
    let run = before.take_while(|s| s.role == Role::Turning && s.row == last.row && s.is_chain());
    let mut run: Vec<StitchId> = run.map(|s| s.id).collect();
    run.reverse();
    run
}

/// Rule 3: A turning chain that counts: ovals end to end, as tall as the stitch it stands for, over the first stitch below,
/// a full pitch from the second; what the next row works into it stands on its top.
pub fn counting(p: &Piece) -> Found {
    let mut found = Found::default();
    for last in p.fabric.stitches.iter().filter(|s| s.is_counting_turning_chain()) {
        let chains = turning_chain(p, last);
        end_to_end(p, &chains, &mut found);
        let pose = p.layout.pose(last.id);
        let Some(&foot) = pose.feet.first() else { continue };
        let up = (pose.head - foot) / (pose.head - foot).hypot();
        let reach: Vec<Point> =
            chains.iter().flat_map(|&id| &fig(p, id).shapes[0].path).filter_map(|e| e.end_point()).collect();
        let (low, high) = reach.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), q| {
            let along = (*q - foot).dot(up);
            (l.min(along), h.max(along))
        });
        // at the foot it keeps off what it stands on, as every foot does; at the head it is as tall as its row
        found.at_most("start over its place", low - 0.045, 0.32, || label(p, last.id));
        over_the_first(p, last, &reach, &mut found);
        let of_foundation = p.fabric.row(last.row).shape == RowShape::Foundation;
        let row = last.row.index() + usize::from(of_foundation);
        if let Some(like) = like_start(p, last, RowId::new(row)) {
            let other = p.layout.pose(like);
            let tall = (high + 0.045) / (other.head - other.feet[0]).hypot();
            found.at_most("height off its like", (tall - 1.0).abs(), 0.05, || {
                format!("{}, {tall:.2} as tall as {}", label(p, last.id), label(p, like))
            });
        }
        pitch_of_start(p, last.id, RowId::new(row), &mut found);
        for on_it in
            p.fabric.stitches.iter().filter(|s| standing(s) && s.into.iter().any(|q| q.stitch() == Some(last.id)))
        {
            let off = gap_of(fig(p, on_it.id), fig(p, last.id));
            // beside a chain that starts in the same place a leg is shortened, until it is clear of the lowest oval
            let shares = p.fabric.stitches.iter().any(|s| s.is_counting_turning_chain() && s.into == on_it.into);
            found.at_most("off the chain it stands on", off, if shares { 0.7 } else { 0.3 }, || label(p, on_it.id));
            let others = chains[..chains.len() - 1].iter().map(|&id| gap_of(fig(p, on_it.id), fig(p, id)));
            let nearer = others.fold(f64::INFINITY, f64::min);
            found.hold(off < nearer, || format!("{}: nearer to a lower oval ({nearer:.2})", label(p, on_it.id)));
        }
    }
    found
}

/// The stitch of its row that stands as the chain that starts it does: with the same stitches beside it, seen the one way
/// or the other. Where none does, the first of its kind.
fn like_start(p: &Piece, last: &Stitch, row: RowId) -> Option<StitchId> {
    // stitches to either side that tell how one stands
    const BESIDE: isize = 3;
    let row = p.fabric.row(row);
    let kind = last.stands_for.map(|stem| stem.to_string()).unwrap_or_default();
    let n = row.order.len() as isize;
    let at = |k: isize| {
        let k = if row.joined { k.rem_euclid(n) } else { k };
        usize::try_from(k).ok().and_then(|k| row.order.get(k)).map(|&id| p.fabric.stitch(id))
    };
    let name = |s: &Stitch| s.stands_for.map_or(s.kind.to_string(), |stem| stem.to_string());
    let seen = |from: isize, way: isize| -> Vec<Option<(String, bool)>> {
        let one = |k: isize| {
            let (s, next) = (at(from + way * k)?, at(from + way * (k + 1)));
            Some((name(s), k < BESIDE && next.is_some_and(|o| !s.into.is_empty() && o.into.first() == s.into.first())))
        };
        (-BESIDE..=BESIDE).map(one).collect()
    };
    // in a round, what stands on no stitch of its own is one of a fan that no word tells
    let told = !(row.joined && last.into.is_empty());
    let start = row.order.iter().position(|&id| told && id == last.id).map(|k| k as isize);
    let likes: Vec<isize> =
        (0..n).filter(|&k| at(k).is_some_and(|s| s.id > last.id && s.kind == kind && s.extra.post.is_none())).collect();
    let same = start.map(|start| seen(start, 1));
    let stands = |k: &isize| same.as_ref().is_some_and(|same| seen(*k, 1) == *same || seen(*k, -1) == *same);
    likes.iter().copied().find(stands).or_else(|| likes.first().copied()).and_then(at).map(|s| s.id)
}

/// Its foot stands over the first stitch below: nearer to that head than to any other of that row.
fn over_the_first(p: &Piece, last: &Stitch, reach: &[Point], found: &mut Found) {
    let Some(first) = last.into.first().and_then(|q| q.stitch()).filter(|&id| standing(p.fabric.stitch(id))) else {
        return;
    };
    let to = |id: StitchId| {
        let head = p.layout.pose(id).head;
        reach.iter().map(|q| (*q - head).hypot()).fold(f64::INFINITY, f64::min)
    };
    let own = to(first);
    let row = p.fabric.row(p.fabric.stitch(first).row);
    let nearer =
        row.order.iter().copied().filter(|&o| o != first && standing(p.fabric.stitch(o))).find(|&o| to(o) < own);
    found.hold(nearer.is_none(), || format!("{}: its foot is nearer to another stitch", label(p, last.id)));
}

/// Distances between neighbouring heads of a row, those of a space between them left out.
fn pitches(p: &Piece, row: RowId) -> Vec<(StitchId, StitchId, f64)> {
    let order = &p.fabric.row(row).order;
    let head = |id: StitchId| p.layout.pose(id).head;
    let solid = |id: StitchId| standing(p.fabric.stitch(id)) || p.fabric.stitch(id).is_counting_turning_chain();
    let pairs = order.windows(2).filter(|w| solid(w[0]) && solid(w[1]));
    pairs.map(|w| (w[0], w[1], (head(w[1]) - head(w[0])).hypot())).collect()
}

/// Middle of some figures.
fn median(mut all: Vec<f64>) -> Option<f64> {
    all.sort_by(f64::total_cmp);
    all.get(all.len() / 2).copied()
}

/// From the chain that starts a row to the next post is a pitch as any other.
fn pitch_of_start(p: &Piece, last: StitchId, row: RowId, found: &mut Found) {
    let all = pitches(p, row);
    let Some(&(_, next, own)) = all.iter().find(|(a, _, _)| *a == last) else { return };
    let Some(usual) = median(all.iter().filter(|(a, _, _)| *a != last).map(|q| q.2).collect()) else { return };
    found.at_least("pitch of the start", own / usual, 0.85, || format!("{} to {}", label(p, last), label(p, next)));
}

/// Rule 4: One that does not count lies at most half an sc outside, and nothing stands on it.
pub fn not_counting(p: &Piece) -> Found {
    let mut found = Found::default();
    for chain in p.fabric.stitches.iter().filter(|s| s.role == Role::Turning && s.is_chain()) {
        let run = p.fabric.stitches[chain.id.index()..].iter();
        let counts = run.take_while(|s| s.role == Role::Turning && s.row == chain.row).any(|s| s.stands_for.is_some());
        // those of "ch 6 counts as tr and ch 2" that make the space are no turning chain
        if counts || p.fabric.space_of(chain.id).is_some() {
            continue;
        }
        let on_it = p.fabric.stitches.iter().any(|s| s.into.iter().any(|q| q.stitch() == Some(chain.id)));
        found.hold(!on_it, || format!("{}: something stands on it", label(p, chain.id)));
        let next = p.fabric.stitches[chain.id.index()..].iter().find(|s| !s.is_chain());
        if let Some(next) = next.filter(|n| n.id.index() <= chain.id.index() + 2) {
            let off = gap_of(fig(p, chain.id), fig(p, next.id));
            found.at_most("off its row", off, 0.5, || label(p, chain.id));
        }
    }
    found
}

/// Dots lie on what they enter.
fn dots(p: &Piece, role: Role) -> Found {
    let mut found = Found::default();
    for dot in p.fabric.stitches.iter().filter(|s| s.role == role && s.is_slip_stitch()) {
        let Some(entered) = dot.into.first().and_then(|q| q.stitch()) else { continue };
        let off = gap_of(fig(p, dot.id), fig(p, entered))
            .min((p.layout.pose(dot.id).head - p.layout.pose(entered).head).hypot() - 0.12);
        found.at_most("dot off what it enters", off, 0.02, || label(p, dot.id));
    }
    found
}

/// Rule 5: The joining dot touches what it enters and takes no pitch; the next start rises from it; starts lie on a line.
pub fn joining(p: &Piece) -> Found {
    let mut found = dots(p, Role::Join);
    for row in p.fabric.rows.iter().filter(|r| r.joined && r.shape == RowShape::Round) {
        no_pitch(p, row.index, &mut found);
    }
    let joins: Vec<&Stitch> = p.fabric.stitches.iter().filter(|s| s.role == Role::Join && s.is_slip_stitch()).collect();
    for dot in joins.iter().filter(|dot| !starts_in_a_space(p, dot)) {
        let chains =
            p.fabric.stitches[dot.id.index() + 1..].iter().take_while(|s| s.is_chain() && s.role == Role::Turning);
        let off = chains.map(|c| gap_of(fig(p, c.id), fig(p, dot.id))).fold(f64::INFINITY, f64::min);
        if off.is_finite() {
            // a chain that counts as no stitch stands in the gap between last and first, which round a small ring opens
            // farther out than the dot
            let counts = p.fabric.stitches[dot.id.index() + 1..]
                .iter()
                .take_while(|s| s.is_chain() && s.role == Role::Turning)
                .any(|s| s.stands_for.is_some());
            let most = if counts { 0.3 } else { 0.75 };
            found.at_most("dot to the next start", off, most, || label(p, dot.id));
        }
    }
    starts(p, &joins, &mut found);
    found
}

/// True where the words begin the next round in a space beside the place that the dot enters: where it is says nothing of
/// the start then.
fn starts_in_a_space(p: &Piece, dot: &Stitch) -> bool {
    let after = &p.fabric.stitches[dot.id.index() + 1..];
    let next = after.iter().find(|s| !s.is_chain() || s.stands_for.is_some());
    next.is_some_and(|s| !s.is_slip_stitch() && matches!(s.into[..], [Place::Space { .. }, ..]))
}

/// From the last head to the first is as far as elsewhere within 15 %.
fn no_pitch(p: &Piece, row: RowId, found: &mut Found) {
    let order = &p.fabric.row(row).order;
    let (Some(&first), Some(&last)) = (order.first(), order.last()) else { return };
    let solid = |id: StitchId| standing(p.fabric.stitch(id)) || p.fabric.stitch(id).is_counting_turning_chain();
    let all = pitches(p, row);
    if order.len() < 4 || !solid(first) || !solid(last) || all.len() + 1 < order.len() {
        return;
    }
    let own = (p.layout.pose(last).head - p.layout.pose(first).head).hypot();
    let (least, most) = all.iter().fold((f64::INFINITY, 0.0f64), |(l, m), q| (l.min(q.2), m.max(q.2)));
    let fine = (0.85 * least..=1.15 * most).contains(&own);
    found.hold(fine, || format!("{}: {own:.2} from last to first, elsewhere {least:.2} to {most:.2}", label(p, first)));
}

/// The places where rounds are joined lie on one line, straight or gently bent.
fn starts(p: &Piece, joins: &[&Stitch], found: &mut Found) {
    // where the work is turned, each round starts on the other side of the line
    let on =
        |a: &&Stitch, b: &&Stitch| a.row.index() + 1 == b.row.index() && a.side == b.side && !starts_in_a_space(p, a);
    let of_round = |s: &&&Stitch| p.fabric.row(s.row).shape == RowShape::Round;
    let joins: Vec<&Stitch> = joins.iter().filter(of_round).copied().collect();
    for run in joins.chunk_by(on) {
        let at: Vec<Point> = run.iter().map(|s| p.layout.pose(s.id).head).collect();
        for (w, dot) in at.windows(3).zip(run) {
            let (a, b) = (w[1] - w[0], w[2] - w[1]);
            let turn = a.cross(b).atan2(a.dot(b)).to_degrees();
            found.at_most("degrees the line of starts bends", turn.abs(), 22.0, || label(p, dot.id));
        }
    }
}

/// Rule 6: Travelling dots lie on the heads they enter and make no line of their own.
pub fn travelling(p: &Piece) -> Found {
    let mut found = dots(p, Role::Travel);
    for dot in p.fabric.stitches.iter().filter(|s| s.role == Role::Travel && s.is_slip_stitch()) {
        let in_line = p.fabric.row(dot.row).order.contains(&dot.id);
        found.hold(!in_line, || format!("{}: it makes a row line", label(p, dot.id)));
    }
    found
}
