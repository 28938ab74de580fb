//! Bars, strokes, hooks, and what is passed over.

use super::*;
use fanwise::craft::Stem;
use fanwise::fabric::Place;

/// Rule 9: Neighbouring bars stand at least 0.15 apart, and strokes slant one way.
pub fn bars(p: &Piece) -> Found {
    let mut found = Found::default();
    for row in &p.fabric.rows {
        for pair in row.order.windows(2) {
            let [a, b] = [pair[0], pair[1]].map(|id| parts(fig(p, id), PartKind::Head));
            for between in a.iter().flat_map(|a| b.iter().map(move |b| gap(a, b))) {
                found.at_least("bars apart", between, 0.15 - 1e-3, || label(p, pair[0]));
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
        found.at_most("slant off", (slant - SLANT).abs(), 0.05, || label(p, s.id));
        let strokes = parts(f, PartKind::Stroke);
        for pair in strokes.windows(2) {
            let [q, r] = [pair[0], pair[1]].map(|t| ends(t).0.midpoint(ends(t).1));
            let apart = (r - q).hypot();
            found.at_most("strokes off their spacing", (apart - SPACING).abs(), 0.01, || label(p, s.id));
        }
    }
    found
}

/// Of every stroke against its stem, and how far the strokes of one stem are apart, however long it is.
const SLANT: f64 = -0.5676;
const SPACING: f64 = 0.27;

/// Rule 10: One form of sc a chart, not square.
pub fn crosses(p: &Piece) -> Found {
    let mut found = Found::default();
    let forms: Vec<usize> = p
        .fabric
        .stitches
        .iter()
        .filter(|s| s.kind == "sc" && !is_covered(p, s))
        .map(|s| fig(p, s.id).shapes.iter().filter(|t| matches!(t.kind, PartKind::Stem | PartKind::Stroke)).count())
        .collect();
    found.hold(forms.windows(2).all(|w| w[0] == w[1]), || "two forms of sc".to_owned());
    let apart = |s: &&Stitch| s.kind == "sc" && s.extra.post.is_none() && !worked_together(p, s) && !is_covered(p, s);
    for s in p.fabric.stitches.iter().filter(apart) {
        let lines: Vec<(Point, Point)> = parts(fig(p, s.id), PartKind::Stroke).into_iter().map(ends).collect();
        let pose = p.layout.pose(s.id);
        let Some(&foot) = pose.feet.first() else { continue };
        let up = (pose.head - foot) / (pose.head - foot).hypot();
        let stem = parts(fig(p, s.id), PartKind::Stem).first().map(|t| ends(t));
        let all: Vec<Point> = lines.iter().chain(stem.iter()).flat_map(|(a, b)| [*a, *b]).collect();
        let extent = |of: &dyn Fn(Point) -> f64| {
            let (l, h) =
                all.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), q| (l.min(of(*q)), h.max(of(*q))));
            h - l
        };
        let (tall, wide) = (extent(&|q| (q - foot).dot(up)), extent(&|q| (q - foot).cross(up)));
        found.at_least("height over width of sc", tall / wide, 1.1, || label(p, s.id));
    }
    found
}

/// True where a long stitch passes in front of it.
fn is_covered(p: &Piece, s: &Stitch) -> bool {
    p.fabric.stitches.iter().any(|o| o.covers.iter().any(|q| q.stitch() == Some(s.id)))
}

fn worked_together(p: &Piece, s: &Stitch) -> bool {
    p.fabric.stitches.iter().any(|o| o.id != s.id && standing(o) && o.into.first() == s.into.first())
}

/// Rule 14: A hook goes round its post between a third and a half of its height, clear of its bar; one of the two lines is
/// broken.
pub fn posts(p: &Piece) -> Found {
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
            found.at_least("hook at", share, 1.0 / 3.0, || label(p, s.id));
            found.at_most("hook at", share, 0.5, || label(p, s.id));
            let bars = parts(fig(p, *post), PartKind::Head);
            let off = bars.iter().map(|b| gap(hook, b)).fold(f64::INFINITY, f64::min);
            found.at_least("hook from the bar", off, 0.05, || label(p, s.id));
        }
        let pieces = |id: StitchId, kind: PartKind| parts(fig(p, id), kind).iter().map(|t| lines_of(t)).sum::<usize>();
        let post_broken = pieces(*post, PartKind::Stem) > 1;
        let own_broken = pieces(s.id, PartKind::Foot) + pieces(s.id, PartKind::Stem) > 2;
        found
            .hold(post_broken || own_broken, || format!("{}: neither its hook nor its post is broken", label(p, s.id)));
    }
    found
}

/// Unbroken lines of a shape.
fn lines_of(shape: &Shape) -> usize {
    shape.path.iter().filter(|e| matches!(e, kurbo::PathEl::MoveTo(_))).count()
}

/// Rule 15: What a long or crossing stitch passes over is cut.
pub fn passing(p: &Piece) -> Found {
    let mut found = Found::default();
    for s in p.fabric.stitches.iter().filter(|s| !s.covers.is_empty()) {
        let Some(stem) = parts(fig(p, s.id), PartKind::Stem).first().copied() else { continue };
        found.hold(lines_of(stem) == 1, || format!("{}: its stem is in pieces", label(p, s.id)));
        for below in s.covers.iter().filter_map(|q| q.stitch()) {
            for (k, part) in fig(p, below).shapes.iter().enumerate() {
                let off = gap(stem, part);
                found.at_least("off what it passes", off, 0.09 - 0.005, || format!("{}, part {k}", label(p, s.id)));
            }
            let over = p.layout.pose(below).head;
            let bare =
                p.fabric.stitches.iter().any(|o| standing(o) && o.into.iter().any(|q| q.stitch() == Some(below)));
            found.hold(!bare, || format!("{}: something stands on what lies under it at {over:?}", label(p, s.id)));
        }
    }
    found
}
