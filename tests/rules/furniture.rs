//! Numbers, triangles, bounds of repeats, inks and layers.

use super::*;
use fanwise::chart::{LabelRole, Mark, MarkRole, Paint, Scene};
use fanwise::fabric::{EventKind, Role, RowId, RowShape};

/// Rule 17: A number beside the start of each row, of six points at least, nearer its own row than any other.
pub fn numbers(p: &Piece) -> Found {
    let mut found = Found::default();
    let labels: Vec<_> = p.scene.labels.iter().filter(|l| l.role == LabelRole::RowNumber).collect();
    let rows = p.fabric.rows.iter().filter(|r| r.shape != RowShape::Foundation && !r.order.is_empty()).count();
    found.hold(labels.len() == rows, || format!("{} numbers, {rows} rows", labels.len()));
    for l in labels {
        let row = l.row.expect("a row");
        let leads = |s: &&Stitch| s.row == row || (s.row.index() + 1 == row.index() && s.role == Role::Turning);
        let start = p.fabric.stitches.iter().filter(leads).take(5).flat_map(|s| &fig(p, s.id).shapes);
        let near = start.map(|s| to_ink(s, l.bounds.center())).fold(f64::INFINITY, f64::min);
        found.at_most("number off its row", near, 1.5, || l.text.clone());
        // at the height of its row, not of the one below or above
        let first = p.fabric.row(row).order.first().map(|&id| (p.fabric.stitch(id), p.layout.pose(id)));
        let first = first.filter(|(s, pose)| !s.is_chain() && !s.is_slip_stitch() && !pose.feet.is_empty());
        if let Some((_, pose)) = first.filter(|_| p.fabric.row(row).shape == RowShape::Row) {
            let rise = pose.head - pose.feet[0];
            let off = (l.bounds.center() - pose.feet[0].midpoint(pose.head)).dot(rise / rise.hypot()).abs();
            found.at_most("number off the height of its row", off / rise.hypot().max(1.0), 0.5, || l.text.clone());
        }
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
    // the arrow lies at a start: nothing else of the work is nearer to it
    for arrow in p.scene.marks.iter().filter(|m| m.role == MarkRole::Arrow) {
        let bounds = arrow.shapes.iter().map(|s| s.path.bounding_box()).reduce(|a, b| a.union(b)).expect("an arrow");
        let near = |ids: &[StitchId]| {
            let ink = ids.iter().flat_map(|&id| &fig(p, id).shapes).map(|s| to_ink(s, bounds.center()));
            ink.fold(f64::INFINITY, f64::min)
        };
        let starts = p.fabric.rows.iter().flat_map(|row| {
            let leads =
                |s: &&Stitch| s.row == row.index || (s.row.index() + 1 == row.index.index() && s.role == Role::Turning);
            p.fabric
                .stitches
                .iter()
                .filter(leads)
                .filter(|s| s.role != Role::Travel)
                .take(6)
                .map(|s| s.id)
                .collect::<Vec<_>>()
        });
        let to_start = near(&starts.collect::<Vec<_>>());
        let to_all = near(&p.fabric.stitches.iter().map(|s| s.id).collect::<Vec<_>>());
        found.at_most("arrow off every start", to_start, to_all.max(2.0), || "the arrow".to_owned());
    }
    found
}

/// Rule 18: Tips of triangles 0.1 to 0.3 from their place, hollow where yarn is joined, filled where it is cut.
pub fn triangles(p: &Piece) -> Found {
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
        found.at_least("tip off its stitch", near, 0.1, || label(p, stitch));
        found.at_most("tip off its stitch", near, 0.3, || label(p, stitch));
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
pub fn is_bracket(mark: &Mark) -> bool {
    mark.shapes[0].path.segments().count() > 1
}

/// Rule 19: Bounds of a repeat run between stitches, where the words begin and end a pass, with the multiple beneath.
pub fn repeats(p: &Piece) -> Found {
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

/// Rule 20: A stitch has the ink of its row; later rows lie over earlier ones.
pub fn layers(p: &Piece) -> Found {
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
