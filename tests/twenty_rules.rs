//! The rules of a good illustrator over the gallery, the orchard and a choice of shapes, each measured from what is
//! drawn; prints the table of rules, charts and breaches.

mod chart;

use chart::{Piece, gallery, piece};
use fanwise::chart::{Figure, LabelRole, Mark, MarkRole, Paint, ScForm, Scene, Shape, Style};
use fanwise::craft::Stem;
use fanwise::fabric::{EventKind, Place, Role, RowId, RowShape, Stitch, StitchId};
use fanwise::symbol::PartKind;
use kurbo::{ParamCurve, ParamCurveNearest, Point, Shape as _, Vec2};

/// What a rule found on one chart: how often it was held against something, and what broke it.
#[derive(Default)]
struct Found {
    held: usize,
    breaches: Vec<String>,
}

impl Found {
    fn hold(&mut self, fine: bool, told: impl FnOnce() -> String) {
        self.held += 1;
        if !fine {
            self.breaches.push(told());
        }
    }
}

type Rule = (&'static str, fn(&Piece) -> Found);

fn half(shape: &Shape) -> f64 {
    if let Paint::Stroke(width) = shape.paint { width / 2.0 } else { 0.0 }
}

/// Distance from a point to the ink of a shape.
fn to_ink(shape: &Shape, p: Point) -> f64 {
    shape.path.segments().map(|s| s.nearest(p, 1e-5).distance_sq.sqrt()).fold(f64::INFINITY, f64::min) - half(shape)
}

/// Gap between two inks, by points along the first.
fn gap(a: &Shape, b: &Shape) -> f64 {
    let apart = a.path.bounding_box().inflate(1.0, 1.0).intersect(b.path.bounding_box().inflate(1.0, 1.0));
    if apart.is_zero_area() {
        return 1.0;
    }
    let points = a.path.segments().flat_map(|s| (0..=12).map(move |k| s.eval(f64::from(k) / 12.0)));
    points.map(|p| to_ink(b, p)).fold(f64::INFINITY, f64::min) - half(a)
}

fn gap_of(a: &Figure, b: &Figure) -> f64 {
    let pairs = a.shapes.iter().flat_map(|s| b.shapes.iter().map(move |t| gap(s, t)));
    pairs.fold(f64::INFINITY, f64::min)
}

fn fig(p: &Piece, id: StitchId) -> &Figure {
    p.scene.figure(id).expect("every stitch is drawn")
}

fn parts(f: &Figure, kind: PartKind) -> Vec<&Shape> {
    f.shapes.iter().filter(|s| s.kind == kind).collect()
}

fn ends(shape: &Shape) -> (Point, Point) {
    (shape.path.segments().next().expect("a line").start(), shape.path.segments().last().expect("a line").end())
}

/// Middle of an oval, and its long axis.
fn oval(shape: &Shape) -> (Point, Vec2) {
    let points: Vec<Point> = shape.path.segments().map(|s| s.start()).collect();
    let middle = (points.iter().fold(Vec2::ZERO, |sum, p| sum + p.to_vec2()) / points.len() as f64).to_point();
    let far = points.iter().max_by(|a, b| (**a - middle).hypot().total_cmp(&(**b - middle).hypot())).expect("points");
    (middle, *far - middle)
}

fn standing(s: &Stitch) -> bool {
    !s.is_chain() && !s.is_slip_stitch()
}

fn label(p: &Piece, id: StitchId) -> String {
    format!("{} {}", p.fabric.stitch(id).kind, id.index())
}

/// 1. Ovals drawn are chains told.
fn ovals(p: &Piece) -> Found {
    let mut found = Found::default();
    let chains = p.fabric.stitches.iter().filter(|s| s.is_chain()).count();
    let drawn = p.scene.figures().filter(|f| p.fabric.stitch(f.stitch).is_chain());
    let drawn: usize = drawn.map(|f| parts(f, PartKind::Body).len()).sum();
    found.hold(chains == drawn, || format!("{chains} chains, {drawn} ovals"));
    found
}

/// 2. Lying ovals of a foundation touch end to end, along the chain's line.
fn lying(p: &Piece) -> Found {
    let mut found = Found::default();
    for row in p.fabric.rows.iter().filter(|r| r.shape == RowShape::Foundation) {
        let ids: Vec<StitchId> = row
            .order
            .iter()
            .copied()
            .filter(|&id| p.fabric.stitch(id).role == Role::Base && p.fabric.stitch(id).is_chain())
            .collect();
        for w in ids.windows(3).filter(|w| w[0].index() + 1 == w[1].index() && w[1].index() + 1 == w[2].index()) {
            let shapes = [w[0], w[1], w[2]].map(|id| &fig(p, id).shapes[0]);
            let between = gap(shapes[0], shapes[1]);
            let long = 2.0 * (oval(shapes[1]).1.hypot() + half(shapes[1]));
            let fine = (-0.005..=0.1 * long).contains(&between);
            found.hold(fine, || format!("{}: gap {between:.3} of {long:.2}", label(p, w[1])));
            let [(a, _), (_, axis), (c, _)] = shapes.map(oval);
            let line = c - a;
            let off = (axis.cross(line).abs() / (axis.hypot() * line.hypot())).asin().to_degrees();
            found.hold(off <= 5.0, || format!("{}: {off:.1} degrees off its line", label(p, w[1])));
        }
    }
    found
}

/// The chains of the turning chain that ends with a stitch.
fn turning_chain(p: &Piece, last: &Stitch) -> Vec<StitchId> {
    let before = p.fabric.stitches[..=last.id.index()].iter().rev();
    let run = before.take_while(|s| s.role == Role::Turning && s.row == last.row && s.is_chain());
    run.map(|s| s.id).collect()
}

/// 3. A turning chain that counts is as tall as the stitch it stands for.
fn counting(p: &Piece) -> Found {
    let mut found = Found::default();
    for last in p.fabric.stitches.iter().filter(|s| s.is_counting_turning_chain()) {
        let chains = turning_chain(p, last);
        let pose = p.layout.pose(last.id);
        let Some(&foot) = pose.feet.first() else { continue };
        let up = (pose.head - foot) / (pose.head - foot).hypot();
        let reach = chains.iter().flat_map(|&id| &fig(p, id).shapes[0].path).filter_map(|e| e.end_point());
        let (low, high) = reach.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), q| {
            let along = (q - foot).dot(up);
            (l.min(along), h.max(along))
        });
        // at the foot it keeps off what it stands on, as every foot does; at the head it is as tall as its row
        found.hold(low - 0.045 <= 0.32, || format!("{}: it begins {low:.2} above its place", label(p, last.id)));
        let of_foundation = p.fabric.row(last.row).shape == RowShape::Foundation;
        let row = last.row.index() + usize::from(of_foundation);
        let kind = last.stands_for.map(|stem| stem.to_string()).unwrap_or_default();
        let like = |s: &&Stitch| s.row.index() == row && s.kind == kind && s.extra.post.is_none();
        let Some(like) = p.fabric.stitches[last.id.index()..].iter().find(like) else { continue };
        let other = p.layout.pose(like.id);
        let tall = (high + 0.045) / (other.head - other.feet[0]).hypot();
        // one that opens a fan in a space, or has its like only at the far end of its row, may give more
        let beside = like.id.index() <= last.id.index() + 2 && !matches!(like.into[..], [Place::Space { .. }, ..]);
        let most = if beside { 0.05 } else { 0.12 };
        found.hold((tall - 1.0).abs() <= most, || {
            format!("{}: {tall:.2} as tall as {}", label(p, last.id), label(p, like.id))
        });
        for on_it in
            p.fabric.stitches.iter().filter(|s| standing(s) && s.into.iter().any(|q| q.stitch() == Some(last.id)))
        {
            let off = gap_of(fig(p, on_it.id), fig(p, last.id));
            found.hold(off <= 0.3, || format!("{}: {off:.2} from the chain it stands on", label(p, on_it.id)));
        }
    }
    found
}

/// 4. One that does not count lies at most half an sc outside, and nothing stands on it.
fn not_counting(p: &Piece) -> Found {
    let mut found = Found::default();
    for chain in p.fabric.stitches.iter().filter(|s| s.role == Role::Turning && s.is_chain()) {
        let run = p.fabric.stitches[chain.id.index()..].iter();
        let counts = run.take_while(|s| s.role == Role::Turning && s.row == chain.row).any(|s| s.stands_for.is_some());
        if counts {
            continue;
        }
        let on_it = p.fabric.stitches.iter().any(|s| s.into.iter().any(|q| q.stitch() == Some(chain.id)));
        found.hold(!on_it, || format!("{}: something stands on it", label(p, chain.id)));
        let next = p.fabric.stitches[chain.id.index()..].iter().find(|s| !s.is_chain());
        if let Some(next) = next.filter(|n| n.id.index() <= chain.id.index() + 2) {
            let off = gap_of(fig(p, chain.id), fig(p, next.id));
            found.hold(off <= 0.5, || format!("{}: {off:.2} from its row", label(p, chain.id)));
        }
    }
    found
}

/// 5 and 6. The joining dot touches what it enters; travelling dots lie on the heads they enter.
fn dots(p: &Piece, role: Role) -> Found {
    let mut found = Found::default();
    for dot in p.fabric.stitches.iter().filter(|s| s.role == role && s.is_slip_stitch()) {
        let Some(entered) = dot.into.first().and_then(|q| q.stitch()) else { continue };
        let off = gap_of(fig(p, dot.id), fig(p, entered))
            .min((p.layout.pose(dot.id).head - p.layout.pose(entered).head).hypot() - 0.12);
        found.hold(off <= 0.02, || format!("{}: {off:.2} from what it enters", label(p, dot.id)));
    }
    found
}

fn joining(p: &Piece) -> Found {
    dots(p, Role::Join)
}

fn travelling(p: &Piece) -> Found {
    dots(p, Role::Travel)
}

/// Stitches that are worked into one place, two or more.
fn groups(p: &Piece) -> Vec<(Place, Vec<StitchId>)> {
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

/// 7. In one stitch, legs meet within a tenth of a point; in a space, feet stand a quarter apart.
fn feet(p: &Piece) -> Found {
    let mut found = Found::default();
    for (place, ids) in groups(p) {
        let stems: Vec<&Shape> = ids.iter().flat_map(|&id| parts(fig(p, id), PartKind::Stem)).collect();
        match place {
            Place::Top { .. } | Place::Chain { .. } | Place::Underside { .. } => {
                let foot = p.layout.pose(ids[0]).feet[0];
                for stem in stems {
                    let (a, b) = ends(stem);
                    let off = ((foot - a).cross(b - a) / (b - a).hypot()).abs();
                    found.hold(off <= 0.1, || format!("{}: a leg passes its place by {off:.2}", label(p, ids[0])));
                }
                fan(p, &ids, &mut found);
            }
            Place::Space { .. } => {
                let feet: Vec<Point> = ids.iter().filter_map(|&id| p.layout.pose(id).feet.first().copied()).collect();
                for pair in feet.windows(2) {
                    let apart = (pair[1] - pair[0]).hypot();
                    // six in a corner of two chains: farther apart, the outer feet stand nearer to the heads beside
                    // the corner than to its chains, and a reader cannot tell what they are worked into
                    let Place::Space { space } = place else { continue };
                    let least = if ids.len() > 4 && p.fabric.spaces[space.index()].ids.len() < 3 { 0.19 } else { 0.25 };
                    found.hold(apart >= least, || format!("{}: feet {apart:.2} apart", label(p, ids[0])));
                }
            }
            _ => {}
        }
    }
    found
}

/// A fan in one stitch: equal angles within 3 degrees, 120 at most, its middle on the normal of what it stands on.
fn fan(p: &Piece, ids: &[StitchId], found: &mut Found) {
    let up = |id: StitchId| p.layout.pose(id).head - p.layout.pose(id).feet[0];
    let turns: Vec<f64> =
        ids.windows(2).map(|w| up(w[0]).cross(up(w[1])).atan2(up(w[0]).dot(up(w[1]))).to_degrees()).collect();
    let whole: f64 = turns.iter().sum();
    // round the end of a chain the row comes back along its other side: half a circle, and a fan of it
    let ends_chain = matches!(p.fabric.stitch(ids[0]).into[0], Place::Chain { .. } | Place::Underside { .. });
    let most = if ends_chain && ids.len() > 2 { 180.0 } else { 120.0 };
    found.hold(whole.abs() <= most, || format!("{}: a fan of {whole:.0} degrees", label(p, ids[0])));
    let mean = whole / turns.len() as f64;
    let uneven = turns.iter().map(|t| (t - mean).abs()).fold(0.0, f64::max);
    // seven and more, and those round the end of a chain, keep the pitch of their heads beside other stitches
    let most = if ids.len() < 7 && !ends_chain { 3.0 } else { 5.0 };
    found.hold(uneven <= most, || {
        format!("{} of {}: angles differ by {uneven:.1} degrees", label(p, ids[0]), ids.len())
    });
}

/// 8. Legs of a decrease meet in one point under one bar, each with its own strokes.
fn decreases(p: &Piece) -> Found {
    let mut found = Found::default();
    for s in p.fabric.stitches.iter().filter(|s| s.legs.len() > 1 && standing(s) && !s.form().one_place) {
        let f = fig(p, s.id);
        let stems = parts(f, PartKind::Stem);
        found.hold(stems.len() == s.legs.len(), || format!("{}: {} stems", label(p, s.id), stems.len()));
        let head = p.layout.pose(s.id).head;
        let off = stems.iter().map(|t| (ends(t).1 - head).hypot()).fold(0.0, f64::max);
        found.hold(off <= 0.1, || format!("{}: its legs end {off:.2} from its head", label(p, s.id)));
        let feet = &p.layout.pose(s.id).feet;
        let mean = feet.iter().fold(Vec2::ZERO, |sum, q| sum + q.to_vec2()) / feet.len() as f64;
        // over: across the line of its own row there
        let order = &p.fabric.row(s.row).order;
        let at = order.iter().position(|&o| o == s.id).expect("it stands in its row");
        let beside = [at.saturating_sub(1), (at + 1).min(order.len() - 1)].map(|k| p.layout.pose(order[k]).head);
        let along = (beside[1] - beside[0]) / (beside[1] - beside[0]).hypot();
        let side = (head.to_vec2() - mean).dot(along);
        // where a row loses stitches its heads keep their even pitch, and give way that far
        found.hold(side.abs() <= 0.3, || {
            format!("{}: its head is {side:.2} beside the middle of its feet", label(p, s.id))
        });
        let bars = parts(f, PartKind::Head).len();
        let wanted =
            usize::from(s.legs.iter().any(|l| !matches!(l.stem, Stem::Single | Stem::SlipStitch | Stem::Chain(_))));
        found.hold(bars == wanted, || format!("{}: {bars} bars", label(p, s.id)));
    }
    found
}

/// 9. Neighbouring bars stand at least 0.15 apart, and strokes slant one way.
fn bars(p: &Piece) -> Found {
    let mut found = Found::default();
    for row in &p.fabric.rows {
        for pair in row.order.windows(2) {
            let [a, b] = [pair[0], pair[1]].map(|id| parts(fig(p, id), PartKind::Head));
            for between in a.iter().flat_map(|a| b.iter().map(move |b| gap(a, b))) {
                found.hold(between >= 0.15 - 1e-3, || format!("{}: bars {between:.2} apart", label(p, pair[0])));
            }
        }
    }
    let slanted = p
        .fabric
        .stitches
        .iter()
        .filter(|s| matches!(s.legs.as_slice(), [l] if matches!(l.stem, Stem::Tall(_))) && s.extra.post.is_none());
    for s in slanted {
        let f = fig(p, s.id);
        let (Some(stem), Some(stroke)) =
            (parts(f, PartKind::Stem).first().copied(), parts(f, PartKind::Stroke).first().copied())
        else {
            continue;
        };
        let ((foot, head), (a, b)) = (ends(stem), ends(stroke));
        let slant = (b - a).dot(head - foot) / (b - a).cross(head - foot);
        found.hold((slant - -0.5676).abs() < 0.05 || (slant - 0.5676).abs() < 0.05, || {
            format!("{}: slant {slant:.2}", label(p, s.id))
        });
    }
    found
}

/// 10. One form of sc a chart, not square.
fn crosses(p: &Piece) -> Found {
    let mut found = Found::default();
    let forms: Vec<usize> = p
        .fabric
        .stitches
        .iter()
        .filter(|s| s.kind == "sc")
        .map(|s| fig(p, s.id).shapes.iter().filter(|t| matches!(t.kind, PartKind::Stem | PartKind::Stroke)).count())
        .collect();
    found.hold(forms.windows(2).all(|w| w[0] == w[1]), || "two forms of sc".to_owned());
    found
}

/// 11. An arch has its ovals and keeps off what lies below.
fn arches(p: &Piece) -> Found {
    let mut found = Found::default();
    for space in p.fabric.spaces.iter().filter(|s| s.ids.len() >= 3) {
        let chains: Vec<StitchId> = space.ids.iter().copied().filter(|&id| p.fabric.stitch(id).is_chain()).collect();
        let row = p.fabric.stitch(space.ids[0]).row;
        // those at the ends spring from the heads that bound the arch
        let (Some(first), Some(last)) = (chains.first(), chains.last()) else { continue };
        for &id in chains.iter().filter(|&c| c != first && c != last) {
            let shape = &fig(p, id).shapes[0];
            let below = p.fabric.stitches.iter().filter(|s| s.row < row && standing(s));
            let off = below.map(|s| fig(p, s.id).shapes.iter().map(|t| gap(shape, t)).fold(f64::INFINITY, f64::min));
            let off = off.fold(f64::INFINITY, f64::min);
            found.hold(off >= 0.3, || format!("{}: {off:.2} from the row below", label(p, id)));
        }
    }
    found
}

/// 12. A stitch into an arch ends short of its chains and crosses none.
fn into_arches(p: &Piece) -> Found {
    let mut found = Found::default();
    for s in p.fabric.stitches.iter().filter(|s| standing(s)) {
        for place in &s.into {
            let Place::Space { space } = *place else { continue };
            for &id in p.fabric.spaces[space.index()].ids.iter().filter(|&&id| p.fabric.stitch(id).is_chain()) {
                let off = gap_of(fig(p, s.id), fig(p, id));
                found.hold(off >= 0.03, || format!("{}: {off:.2} from a chain of its space", label(p, s.id)));
            }
        }
    }
    found
}

/// 13. A picot is a closed drop with its dot.
fn picots(p: &Piece) -> Found {
    let mut found = Found::default();
    let picots: Vec<&Stitch> = p.fabric.stitches.iter().filter(|s| s.role == Role::Picot).collect();
    for run in picots.chunk_by(|a, b| a.id.index() + 1 == b.id.index() && !a.is_slip_stitch()) {
        if run.len() < 3 {
            continue;
        }
        for k in 0..run.len() {
            let between = gap_of(fig(p, run[k].id), fig(p, run[(k + 1) % run.len()].id));
            found.hold(between <= 0.15, || format!("{}: the drop is open by {between:.2}", label(p, run[k].id)));
        }
        found.hold(run.last().is_some_and(|s| s.is_slip_stitch()), || format!("{}: no dot", label(p, run[0].id)));
    }
    found
}

/// 14. A hook goes round its post between a quarter and three fifths of its height.
fn posts(p: &Piece) -> Found {
    let mut found = Found::default();
    for s in &p.fabric.stitches {
        let Some(Place::Post { post, .. }) = s.into.iter().find(|q| matches!(q, Place::Post { .. })) else { continue };
        let target = p.layout.pose(*post);
        let Some(foot) = target.feet.first().copied().filter(|_| !p.fabric.stitch(*post).is_chain()) else { continue };
        let hooks = parts(fig(p, s.id), PartKind::Foot);
        found.hold(!hooks.is_empty(), || format!("{}: no hook", label(p, s.id)));
        for hook in hooks {
            let at = hook.path.bounding_box().center();
            let share = (at - foot).dot(target.head - foot) / (target.head - foot).hypot2();
            found.hold((0.33..=0.5).contains(&share), || format!("{}: its hook is at {share:.2}", label(p, s.id)));
        }
    }
    found
}

/// 15. What a long or crossing stitch passes over is cut.
fn passing(p: &Piece) -> Found {
    let mut found = Found::default();
    for s in p.fabric.stitches.iter().filter(|s| !s.covers.is_empty()) {
        let Some(stem) = parts(fig(p, s.id), PartKind::Stem).first().copied() else { continue };
        for below in s.covers.iter().filter_map(|q| q.stitch()) {
            for stroke in parts(fig(p, below), PartKind::Stroke) {
                let off = gap(stem, stroke);
                found.hold(off >= 0.04, || format!("{}: {off:.2} from what it passes", label(p, s.id)));
            }
        }
    }
    found
}

/// 16. No foot stands within 0.3 of a head that is skipped.
fn skipped(p: &Piece) -> Found {
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
            found.hold(near >= 0.3, || format!("{}: a foot {near:.2} from its head, which is skipped", label(p, id)));
        }
    }
    found
}

/// 17. A number beside the start of each row, of six points at least, nearer its own row than any other.
fn numbers(p: &Piece) -> Found {
    let mut found = Found::default();
    let labels: Vec<_> = p.scene.labels.iter().filter(|l| l.role == LabelRole::RowNumber).collect();
    let rows = p.fabric.rows.iter().filter(|r| r.shape != RowShape::Foundation && !r.order.is_empty()).count();
    found.hold(labels.len() == rows, || format!("{} numbers, {rows} rows", labels.len()));
    for l in labels {
        let row = l.row.expect("a row");
        let leads = |s: &&Stitch| s.row == row || (s.row.index() + 1 == row.index() && s.role == Role::Turning);
        let start = p.fabric.stitches.iter().filter(leads).take(5).flat_map(|s| &fig(p, s.id).shapes);
        let near = start.map(|s| to_ink(s, l.bounds.center())).fold(f64::INFINITY, f64::min);
        found.hold(near <= 1.5, || format!("number {} is {near:.2} from its row", l.text));
        // nearer its own row than any other
        let seen = |s: &Stitch| {
            let leads = p.fabric.row(s.row).shape == RowShape::Foundation && s.role == Role::Turning;
            s.row.index() + usize::from(leads)
        };
        let to = |own: bool| {
            let of = p.fabric.stitches.iter().filter(|s| (seen(s) == row.index()) == own);
            let ink = of.flat_map(|s| &fig(p, s.id).shapes).map(|s| to_ink(s, l.bounds.center()));
            ink.fold(f64::INFINITY, f64::min)
        };
        let (own, other) = (to(true), to(false));
        found.hold(own < other, || format!("number {} is {own:.2} from its row, {other:.2} from another", l.text));
        found.hold(l.size * p.scene.mm_per_sc / 25.4 * 72.0 >= 6.0 - 1e-6, || format!("number {} is small", l.text));
    }
    found
}

/// 18. Tips of triangles 0.1 to 0.3 from their place, hollow where yarn is joined, filled where it is cut.
fn triangles(p: &Piece) -> Found {
    let mut found = Found::default();
    let told =
        p.fabric.events.iter().filter(|e| e.told && matches!(e.kind, EventKind::Attach | EventKind::Cut)).count();
    let marks: Vec<_> = p.scene.marks.iter().filter(|m| matches!(m.role, MarkRole::Attach | MarkRole::Cut)).collect();
    found.hold(marks.len() == told, || format!("{} triangles, {told} told", marks.len()));
    for m in marks {
        let filled = m.shapes.iter().all(|s| s.paint == Paint::Fill);
        found.hold(filled == (m.role == MarkRole::Cut), || "hollow and filled are confounded".to_owned());
        let Some((tip, stitch)) = m.tip.zip(m.stitch) else { continue };
        let ink = fig(p, stitch).shapes.iter().map(|s| to_ink(s, tip)).fold(f64::INFINITY, f64::min);
        let pose = p.layout.pose(stitch);
        let entered = p.fabric.stitches[stitch.index()..].iter().take(8).find_map(|s| p.layout.pose(s.id).feet.first());
        let near = pose.feet.iter().chain(entered).map(|f| (*f - tip).hypot());
        // of a chain the place is its end, which its ink tells
        let near = near.fold((pose.head - tip).hypot(), f64::min).min(ink + 0.1);
        found.hold((0.1..=0.3 + 1e-6).contains(&near), || format!("a tip is {near:.2} from its stitch"));
    }
    // and a mark at every turn between rounds
    let turned = p.fabric.events.iter().filter(|e| e.kind == EventKind::Turn).filter_map(|e| e.after).filter(|id| {
        let row = p.fabric.row(p.fabric.stitch(*id).row);
        let more = p.fabric.stitches.get(id.index() + 1).is_some_and(|s| p.fabric.row(s.row).part == row.part);
        matches!(row.shape, RowShape::Round | RowShape::Spiral) && more
    });
    let (turned, shown) = (turned.count(), p.scene.marks.iter().filter(|m| m.role == MarkRole::Turn).count());
    found.hold(turned == shown, || format!("{turned} turns between rounds, {shown} marks"));
    found
}

/// True for the bracket beneath a repeat: a bound is one straight line.
fn is_bracket(mark: &Mark) -> bool {
    mark.shapes[0].path.segments().count() > 1
}

/// 19. Bounds of a repeat run between stitches, where the words begin and end a pass, with the multiple beneath.
fn repeats(p: &Piece) -> Found {
    let mut found = Found::default();
    let pass = |id: StitchId| p.fabric.stitch(id).pass.first().copied();
    let middle = |id: StitchId| {
        let pose = p.layout.pose(id);
        let n = pose.feet.len().max(1) as f64;
        let foot = pose.feet.iter().fold(Vec2::ZERO, |sum, f| sum + f.to_vec2()) / n;
        pose.lying.map_or(pose.head.midpoint(if pose.feet.is_empty() { pose.head } else { foot.to_point() }), |l| l.at)
    };
    let bounds: Vec<_> = p.scene.marks.iter().filter(|m| m.role == MarkRole::Bound).collect();
    let (brackets, lines): (Vec<_>, Vec<_>) = bounds.into_iter().partition(|m| is_bracket(m));
    for mark in lines {
        let id = mark.stitch.expect("a bound belongs to a stitch");
        let order = &p.fabric.row(p.fabric.stitch(id).row).order;
        let at = order.iter().position(|&o| o == id).expect("a bound stands at a stitch of a row");
        let (foot, head) = ends(&mark.shapes[0]);
        let beside = [at.checked_sub(1), Some(at + 1)].into_iter().flatten().filter_map(|k| order.get(k));
        // the line parts the stitch from one of its neighbours: they lie on two sides of it
        let side = |q: Point| (head - foot).cross(q - foot);
        let parted = beside.copied().find(|&o| side(middle(o)) * side(middle(id)) < 0.0);
        found.hold(parted.is_some(), || format!("a bound at {} parts it from nothing", label(p, id)));
        let repeats = order.iter().filter_map(|&o| pass(o)).any(|n| n > 1);
        let fine = parted.is_none_or(|o| !repeats || pass(o) != pass(id));
        found.hold(fine, || format!("a bound at {} runs within a pass", label(p, id)));
        let near = p.scene.figures().flat_map(|f| &f.shapes).map(|s| gap(&mark.shapes[0], s));
        let near = near.fold(f64::INFINITY, f64::min);
        found.hold(near > 0.0, || format!("a bound at {} touches a symbol by {near:.2}", label(p, id)));
    }
    for bracket in brackets {
        let room = bracket.shapes[0].path.bounding_box();
        let beneath = |l: &&fanwise::chart::Label| {
            l.role == LabelRole::Note && l.bounds.y0 > room.y1 && l.bounds.x0 > room.x0 && l.bounds.x1 < room.x1
        };
        let told = p.scene.labels.iter().find(beneath).map(|l| l.text.clone());
        // what one pass of the first repeating row takes of the row below
        let entered = |row: RowId, n: u32| {
            let one = |o: StitchId| p.fabric.stitch(o).into.windows(2).all(|w| w[0] == w[1]);
            let tells = |o: &&StitchId| pass(**o) == Some(n) && one(**o) && !p.fabric.stitch(**o).into.is_empty();
            let of = p.fabric.row(row).order.iter().find(tells)?;
            let below = p.fabric.stitch(*of).into[0].stitch()?;
            let row = p.fabric.row(p.fabric.stitch(below).row);
            row.order.iter().position(|&o| o == below)
        };
        let wide = p.fabric.rows.iter().find_map(|r| Some(entered(r.index, 2)?.abs_diff(entered(r.index, 1)?)));
        let wanted = wide.map(|n| format!("{n} sts"));
        found.hold(told == wanted, || format!("beneath the bracket stands {told:?}, not {wanted:?}"));
        let low = p.scene.figures().map(|f| f.shapes.iter().map(|s| s.path.bounding_box().y1).fold(f64::MIN, f64::max));
        found.hold(low.fold(f64::MIN, f64::max) < room.y1, || "the bracket is not beneath the work".to_owned());
    }
    found
}

/// 20. A stitch has the ink of its row; later rows lie over earlier ones.
fn layers(p: &Piece) -> Found {
    let mut found = Found::default();
    for group in &p.scene.rows {
        let own = group.figures.iter().filter(|f| p.fabric.stitch(f.stitch).role != Role::Turning);
        for f in own {
            found.hold(f.ink == group.ink, || format!("{} has another ink than its row", label(p, f.stitch)));
        }
    }
    let order = |s: &Scene| s.rows.iter().map(|g| (p.fabric.row(g.row).layer, g.row)).collect::<Vec<_>>();
    found.hold(order(&p.scene).windows(2).all(|w| w[0] < w[1]), || "an earlier row lies over a later".to_owned());
    found
}

const RULES: &[Rule] = &[
    ("1 ovals are chains", ovals),
    ("2 lying ovals touch", lying),
    ("3 counting chains", counting),
    ("4 other chains", not_counting),
    ("5 joining dots", joining),
    ("6 travelling dots", travelling),
    ("7 feet", feet),
    ("8 decreases", decreases),
    ("9 bars and strokes", bars),
    ("10 one form of sc", crosses),
    ("11 arches", arches),
    ("12 into arches", into_arches),
    ("13 picots", picots),
    ("14 posts", posts),
    ("15 passing over", passing),
    ("16 skipped heads", skipped),
    ("17 numbers", numbers),
    ("18 triangles", triangles),
    ("19 repeats", repeats),
    ("20 inks and layers", layers),
];

/// Rounds that are turned.
const TURNED: &str = "Turned\n\nMake a magic ring.\n\nRound 1: Ch 1, 8 sc in ring, join with sl st to first sc. Turn. (8 sts)\n\nRound 2: Ch 1, 2 sc in each st around, join with sl st to first sc. Turn. (16 sts)\n\nRound 3: Ch 1, sc in each st around, join with sl st to first sc. (16 sts)\n";

/// A stitch that reaches down over the row between.
const SPIKE: &str = "Spike\n\nCh 8.\nRow 1: Sc in 2nd ch from hook and in each ch across. Turn. (7 sts)\nRow 2: Ch 1, sc in each st across. Turn. (7 sts)\nRow 3: Ch 1, sc in next 3 sts, sc in next st 2 rows below, sc in next 3 sts. (7 sts)\n";

/// Shapes that show each rule, beside gallery and orchard.
const SHAPES: &[&str] = &[
    "granny-square",
    "pineapple-motif",
    "picot-edge",
    "spikes-and-posts",
    "puffs-bobbles-popcorns",
    "n-together",
    "v-stitches",
    "long-skips",
    "filet",
    "shells",
    "sc-ripple",
    "fans-with-chains",
    "mesh",
];

fn pieces() -> Vec<(String, Piece)> {
    let style = Style::default();
    let mut all = chart::pieces(&style, SHAPES);
    all.extend(
        [("spike", SPIKE), ("turned-rounds", TURNED)].map(|(name, text)| (name.to_owned(), piece(text, &style))),
    );
    all
}

#[test]
fn the_rules_of_a_good_illustrator_hold_over_the_gallery() {
    let pieces = pieces();
    let mut all = Vec::new();
    println!("{:22} {:>6} {:>7} {:>8}", "rule", "charts", "held", "breaches");
    for (name, rule) in RULES {
        let found: Vec<(&str, Found)> = pieces.iter().map(|(n, p)| (n.as_str(), rule(p))).collect();
        let charts = found.iter().filter(|(_, f)| f.held > 0).count();
        let held: usize = found.iter().map(|(_, f)| f.held).sum();
        let broken: usize = found.iter().map(|(_, f)| f.breaches.len()).sum();
        println!("{name:22} {charts:6} {held:7} {broken:8}");
        if charts == 0 {
            all.push(format!("{name} is held against nothing"));
        }
        for (chart, f) in found {
            all.extend(f.breaches.into_iter().map(|b| format!("{name}: {chart}: {b}")));
        }
    }
    assert!(all.is_empty(), "{} breaches:\n{}", all.len(), all.join("\n"));
}

/// A repeat is marked where a flat piece has one, and nowhere else; a style may leave it out.
#[test]
fn only_flat_pieces_over_a_multiple_have_a_repeat_marked() {
    let of = |text: &str, style: &Style| {
        let scene = piece(text, style).scene;
        let brackets = scene.marks.iter().filter(|m| m.role == MarkRole::Bound && is_bracket(m)).count();
        (brackets, scene.labels.iter().any(|l| l.text.contains("repeat from line to line")))
    };
    let style = Style::default();
    assert_eq!(of(include_str!("shapes/shells.txt"), &style), (1, true));
    assert_eq!(of(include_str!("shapes/v-stitches.txt"), &style), (1, true));
    for text in [
        include_str!("../examples/orchard/pear.txt"),
        include_str!("../examples/orchard/coaster.txt"),
        include_str!("shapes/triangle-in-rows.txt"),
        include_str!("shapes/increase-and-decrease.txt"),
        include_str!("shapes/sc-swatch.txt"),
    ] {
        assert_eq!(of(text, &style), (0, false), "{}", text.lines().next().unwrap_or(""));
    }
    let mut furniture = fanwise::chart::Furniture::default();
    furniture.repeat = false;
    assert_eq!(of(include_str!("shapes/shells.txt"), &style.with_furniture(furniture)), (0, false));
}

/// The two forms of sc are the same to the rules that hold of both.
#[test]
fn the_rules_of_feet_and_layers_hold_with_crosses_too() {
    for (name, p) in gallery(&Style::default().with_sc(ScForm::Cross)) {
        for (rule, check) in
            RULES.iter().filter(|(r, _)| r.starts_with("1 ") || r.starts_with("20") || r.starts_with("17"))
        {
            let found = check(&p);
            assert!(found.breaches.is_empty(), "{rule}: {name}: {}", found.breaches.join("; "));
        }
    }
}
