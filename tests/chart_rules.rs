//! The rules of a good illustrator, measured on the scene.

mod chart;

use chart::{Piece, gallery, piece};
use fanwise::chart::{ChartInfo, Figure, LabelRole, MarkRole, Paint, ScForm, Scene, Shape, Style, compose};
use fanwise::fabric::{EventKind, Place, Role, RowShape, StitchId};
use fanwise::symbol::{PartKind, SymbolSet};
use kurbo::{ParamCurve, ParamCurveNearest, PathSeg, Point, Rect, Shape as _};

/// Ink of a stroke is this far from its middle line.
fn half(shape: &Shape) -> f64 {
    match shape.paint {
        Paint::Stroke(width) => width / 2.0,
        Paint::Fill => 0.0,
    }
}

fn distance(shape: &Shape, p: Point) -> f64 {
    let to = |s: PathSeg| s.nearest(p, 1e-6).distance_sq.sqrt();
    shape.path.segments().map(to).fold(f64::INFINITY, f64::min) - half(shape)
}

/// Distance between the inks of two shapes, by points along the first.
fn gap(a: &Shape, b: &Shape) -> f64 {
    let points = a.path.segments().flat_map(|s| (0..=20).map(move |k| s.eval(f64::from(k) / 20.0)));
    points.map(|p| distance(b, p)).fold(f64::INFINITY, f64::min) - half(a)
}

fn parts(figure: &Figure, kind: PartKind) -> Vec<&Shape> {
    figure.shapes.iter().filter(|s| s.kind == kind).collect()
}

fn ends(shape: &Shape) -> (Point, Point) {
    let last = shape.path.segments().last().expect("a line");
    (shape.path.segments().next().expect("a line").start(), last.end())
}

fn figure(scene: &Scene, id: StitchId) -> &Figure {
    scene.figure(id).expect("every stitch has a figure")
}

fn inks(scene: &Scene) -> impl Iterator<Item = &Shape> {
    scene.rows.iter().flat_map(|r| r.rings.iter().chain(r.figures.iter().flat_map(|f| &f.shapes)))
}

/// Rule 1.
#[test]
fn one_oval_is_drawn_for_every_chain() {
    for (name, piece) in gallery(&Style::default()) {
        for stitch in piece.fabric.stitches.iter().filter(|s| s.is_chain()) {
            assert_eq!(parts(figure(&piece.scene, stitch.id), PartKind::Body).len(), 1, "{name}");
        }
    }
}

/// Rule 2.
#[test]
fn ovals_of_a_foundation_touch_end_to_end_and_do_not_overlap() {
    for (name, piece) in gallery(&Style::default()) {
        for row in piece.fabric.rows.iter().filter(|r| r.shape == RowShape::Foundation) {
            let lying: Vec<_> = row.order.iter().filter(|&&id| piece.fabric.stitch(id).role == Role::Base).collect();
            for pair in lying.windows(2).filter(|p| p[0].index() + 1 == p[1].index()) {
                let [a, b] = [pair[0], pair[1]].map(|&id| &figure(&piece.scene, id).shapes[0]);
                let between = gap(a, b);
                assert!((0.0..=0.1).contains(&between), "{name}: gap {between}");
            }
        }
    }
}

/// Rule 2, of rings: whether its own chains or its first round make a ring as wide as it is.
#[test]
fn ovals_of_a_ring_are_alike_in_proportion_and_lie_evenly_end_to_end() {
    for (chains, stitches) in [(4, "8 dc"), (4, "16 sc"), (6, "6 sc"), (6, "24 dc"), (9, "30 sc"), (12, "40 dc")] {
        let text = format!(
            "Ring\n\nCh {chains}; join with sl st to form a ring.\nRnd 1: Ch 1, {stitches} in ring; join with sl st to first st.\n"
        );
        let piece = piece(&text, &Style::default());
        let ring: Vec<&Shape> = piece.fabric.rings[0]
            .ids
            .iter()
            .filter(|&&id| piece.fabric.stitch(id).is_chain())
            .map(|&id| &figure(&piece.scene, id).shapes[0])
            .collect();
        assert_eq!(ring.len(), chains, "{text}");
        for (a, b) in (0..chains).map(|i| (ring[i], ring[(i + 1) % chains])) {
            let placed = a.placed.expect("an oval is placed");
            let own =
                kurbo::Affine::rotate(-placed.angle_rad) * kurbo::Affine::translate(-placed.at.to_vec2()) * &a.path;
            let (long, broad) = (own.bounding_box().width(), own.bounding_box().height());
            assert!((0.33..0.45).contains(&(broad / long)), "{text}: {broad:.2} by {long:.2}");
            let free = gap(a, b);
            assert!((0.0..0.12 * long).contains(&free), "{text}: {free:.3} between ovals {long:.2} long");
        }
    }
}

/// Rule 3: the ovals fill the height of the stitch they stand for.
#[test]
fn a_turning_chain_that_counts_is_as_tall_as_its_stitch() {
    let piece = gallery(&Style::default()).swap_remove(0).1;
    // row 1 stands on a chain, whose oval takes part of the height
    let upper = |s: &&fanwise::fabric::Stitch| s.is_counting_turning_chain() && s.row.index() > 1;
    for last in piece.fabric.stitches.iter().filter(upper) {
        let chains: Vec<_> = piece
            .fabric
            .stitches
            .iter()
            .filter(|s| s.row == last.row && s.role == Role::Turning && s.id <= last.id)
            .collect();
        let boxes =
            chains.iter().map(|s| figure(&piece.scene, s.id).shapes[0].path.bounding_box().inflate(0.045, 0.045));
        let tall = boxes.reduce(|a, b| a.union(b)).unwrap().height();
        let pose = piece.layout.pose(last.id);
        let whole = (pose.head - pose.feet[0]).hypot();
        assert!((tall / whole - 1.0).abs() < 0.05, "{tall} against {whole}");
    }
}

/// Rule 7: the legs of one stitch below meet in one point, and their inks do not run together.
#[test]
fn legs_of_one_place_meet_within_a_tenth_and_make_no_blob() {
    for (name, piece) in gallery(&Style::default()) {
        for group in fans(&piece) {
            let stems: Vec<&Shape> =
                group.iter().flat_map(|&id| parts(figure(&piece.scene, id), PartKind::Stem)).collect();
            for pair in stems.windows(2) {
                assert!(gap(pair[0], pair[1]) > 0.02, "{name}: {}", gap(pair[0], pair[1]));
            }
            let foot = piece.layout.pose(group[0]).feet[0];
            for stem in stems {
                let (a, b) = ends(stem);
                let along = (b - a) / (b - a).hypot();
                let off = (foot - a).cross(along).abs();
                assert!(off <= 0.1, "{name}: a leg passes its place by {off}");
            }
        }
    }
}

/// Stitches worked into one top or chain, two or more, one leg each.
fn fans(piece: &Piece) -> Vec<Vec<StitchId>> {
    let mut groups: Vec<(Place, Vec<StitchId>)> = Vec::new();
    for stitch in piece.fabric.stitches.iter().filter(|s| !s.is_chain() && !s.is_slip_stitch() && s.legs.len() == 1) {
        let Some(&place @ (Place::Top { .. } | Place::Chain { .. } | Place::Underside { .. })) = stitch.into.first()
        else {
            continue;
        };
        match groups.iter_mut().find(|(p, _)| *p == place) {
            Some((_, ids)) => ids.push(stitch.id),
            None => groups.push((place, vec![stitch.id])),
        }
    }
    groups.into_iter().map(|(_, ids)| ids).filter(|ids| ids.len() > 1).collect()
}

/// Rule 8.
#[test]
fn legs_of_a_decrease_meet_in_one_point_under_one_bar_each_with_its_strokes() {
    let pieces = gallery(&Style::default());
    let piece = &pieces.iter().find(|p| p.0 == "pear-decreases").unwrap().1;
    let mut seen = 0;
    for stitch in piece.fabric.stitches.iter().filter(|s| s.legs.len() > 1) {
        let figure = figure(&piece.scene, stitch.id);
        let (stems, strokes) = (parts(figure, PartKind::Stem), parts(figure, PartKind::Stroke));
        assert_eq!(stems.len(), stitch.legs.len(), "{}", stitch.kind);
        assert_eq!(strokes.len(), stitch.legs.len(), "{}", stitch.kind);
        let head = piece.layout.pose(stitch.id).head;
        assert!(stems.iter().all(|s| (ends(s).1 - head).hypot() < 0.1), "{}", stitch.kind);
        let bars = parts(figure, PartKind::Head);
        assert_eq!(bars.len(), usize::from(stitch.kind.starts_with("dc")), "{}", stitch.kind);
        seen += 1;
    }
    assert!(seen >= 4);
}

/// Rule 9.
#[test]
fn neighbouring_bars_keep_their_distance() {
    for (name, piece) in gallery(&Style::default()) {
        for row in &piece.fabric.rows {
            for pair in row.order.windows(2) {
                let [a, b] = [pair[0], pair[1]].map(|id| parts(figure(&piece.scene, id), PartKind::Head));
                for (a, b) in a.iter().flat_map(|a| b.iter().map(move |b| (a, b))) {
                    assert!(gap(a, b) >= 0.15, "{name}: {}", gap(a, b));
                }
            }
        }
    }
}

/// Rule 9: one slant on all stems, whichever side the row was worked on.
#[test]
fn strokes_slant_alike_on_every_stem() {
    let piece = gallery(&Style::default()).swap_remove(0).1;
    let slants = piece.fabric.stitches.iter().filter(|s| s.kind == "dc").map(|s| {
        let figure = figure(&piece.scene, s.id);
        let (foot, head) = ends(parts(figure, PartKind::Stem)[0]);
        let (a, b) = ends(parts(figure, PartKind::Stroke)[0]);
        (b - a).dot(head - foot) / (b - a).cross(head - foot)
    });
    let slants: Vec<f64> = slants.collect();
    assert!(slants.len() > 30);
    assert!(slants.iter().all(|s| (s - slants[0]).abs() < 1e-6));
}

/// Rule 10.
#[test]
fn a_single_crochet_is_never_square() {
    for sc in [ScForm::Plus, ScForm::Cross] {
        let piece = piece(
            "Pear\n\nCh 9.\n\nRow 1 (RS): Sc in 2nd ch from hook and in each ch across. (8 sc)\n",
            &Style::default().with_sc(sc),
        );
        let stitch = &piece.fabric.stitches[12];
        let ink = figure(&piece.scene, stitch.id).shapes.iter().map(|s| s.path.bounding_box().inflate(0.045, 0.045));
        let ink = ink.reduce(|a, b| a.union(b)).unwrap();
        assert!(ink.height() / ink.width() > 1.2, "{sc:?}: {} by {}", ink.height(), ink.width());
    }
}

/// Rule 13.
#[test]
fn a_picot_is_a_closed_drop_with_its_dot_at_the_base() {
    let pieces = gallery(&Style::default());
    let piece = &pieces.iter().find(|p| p.0 == "acorn-colours").unwrap().1;
    let picot: Vec<_> = piece.fabric.stitches.iter().filter(|s| s.role == Role::Picot).collect();
    assert_eq!(picot.len(), 4);
    let shapes: Vec<&Shape> = picot.iter().map(|s| &figure(&piece.scene, s.id).shapes[0]).collect();
    for k in 0..4 {
        let between = gap(shapes[k], shapes[(k + 1) % 4]);
        assert!(between < 0.12, "the drop is open by {between}");
    }
    assert_eq!(shapes[3].paint, Paint::Fill);
}

#[test]
fn strokes_of_crossed_stitches_touch_no_other_stitch() {
    let piece = piece(include_str!("shapes/crossed-stitches.txt"), &Style::default());
    let row = piece.fabric.rows.iter().find(|r| r.label == "Row 4").expect("four that cross by twos");
    let mut held = 0;
    for &id in &row.order {
        for stroke in parts(figure(&piece.scene, id), PartKind::Stroke) {
            for &other in row.order.iter().filter(|&&o| o != id && o.index().abs_diff(id.index()) < 4) {
                let free =
                    figure(&piece.scene, other).shapes.iter().map(|s| gap(stroke, s)).fold(f64::INFINITY, f64::min);
                assert!(free > 0.02, "{id:?} and {other:?}: {free:.3}");
                held += 1;
            }
        }
    }
    assert!(held > 20, "{held}");
}

/// Rule 15.
#[test]
fn what_a_long_stitch_crosses_is_cut_by_a_gap() {
    let text = "Pear\n\nCh 7.\n\nRow 1 (RS): Sc in 2nd ch from hook and in each ch across. Turn. (6 sc)\n\nRow 2 (WS): Ch 1, sc in each st across. (6 sc)\n";
    let mut piece = piece(text, &Style::default());
    // the third stitch of row 2 reaches down into the chain, in front of the stitch below it
    let long = piece.fabric.stitches.iter().filter(|s| s.row.index() == 2 && s.kind == "sc").nth(2).unwrap().id;
    let below = piece.fabric.stitch(long).into[0].stitch().unwrap();
    let chain = piece.fabric.stitch(below).into[0];
    let stitch = &mut piece.fabric.stitches[long.index()];
    stitch.covers = vec![Place::top(below)];
    stitch.into = vec![chain];
    stitch.legs[0].into = vec![chain];
    piece.layout.poses[long.index()].feet = vec![piece.layout.pose(below).feet[0]];
    let scene = compose(&piece.fabric, &piece.layout, &SymbolSet::house(), &Style::default(), &ChartInfo::default());
    let stem = parts(figure(&scene, long), PartKind::Stem)[0];
    for bar in parts(figure(&scene, below), PartKind::Stroke) {
        assert!(gap(stem, bar) >= 0.05, "the bar below comes within {}", gap(stem, bar));
    }
}

/// Rule 17.
#[test]
fn every_row_has_its_number_beside_its_start() {
    for (name, piece) in gallery(&Style::default()) {
        let numbers: Vec<_> = piece.scene.labels.iter().filter(|l| l.role == LabelRole::RowNumber).collect();
        let rows = piece.fabric.rows.iter().filter(|r| r.shape != RowShape::Foundation && !r.order.is_empty());
        assert_eq!(numbers.len(), rows.count(), "{name}");
        for label in numbers {
            let row = label.row.unwrap();
            assert!(label.size * piece.scene.mm_per_sc / 25.4 * 72.0 >= 6.0 - 1e-6, "{name}: too small");
            let centre = label.bounds.center();
            let leads = |s: &&fanwise::fabric::Stitch| {
                s.row == row || (s.row.index() + 1 == row.index() && s.role == Role::Turning)
            };
            let start = piece.fabric.stitches.iter().filter(leads).take(4);
            let near = start.flat_map(|s| &figure(&piece.scene, s.id).shapes).map(|s| distance(s, centre));
            let near = near.fold(f64::INFINITY, f64::min);
            assert!(near <= 1.5, "{name}: number {} is {near} from its row", label.text);
        }
    }
}

/// Rules 17, 18 and the furniture in general.
#[test]
fn no_label_lies_on_a_line_or_another_label() {
    for style in [Style::default(), Style::default().with_mm_per_sc(3.0), Style::default().with_sc(ScForm::Cross)] {
        for (name, piece) in gallery(&style) {
            let scene = &piece.scene;
            for (i, label) in scene.labels.iter().enumerate() {
                let others = scene.labels[i + 1..].iter().map(|l| l.bounds);
                for other in others {
                    assert!(label.bounds.intersect(other).is_zero_area(), "{name}: \"{}\" lies on a label", label.text);
                }
                let marks = scene.marks.iter().flat_map(|m| &m.shapes);
                for shape in inks(scene).chain(marks) {
                    assert!(!meets(shape, label.bounds), "{name}: \"{}\" lies on a line", label.text);
                }
            }
        }
    }
}

fn meets(shape: &Shape, rect: Rect) -> bool {
    let room = rect.inflate(half(shape), half(shape));
    let points = shape.path.segments().flat_map(|s| (0..=16).map(move |k| s.eval(f64::from(k) / 16.0)));
    points.into_iter().any(|p| room.contains(p))
}

/// Rule 18.
#[test]
fn triangles_point_at_their_place() {
    let pieces = gallery(&Style::default());
    let piece = &pieces.iter().find(|p| p.0 == "acorn-colours").unwrap().1;
    let told =
        piece.fabric.events.iter().filter(|e| e.told && matches!(e.kind, EventKind::Attach | EventKind::Cut)).count();
    let triangles: Vec<_> =
        piece.scene.marks.iter().filter(|m| matches!(m.role, MarkRole::Attach | MarkRole::Cut)).collect();
    assert_eq!(triangles.len(), told);
    for mark in triangles {
        let stitch = mark.stitch.unwrap();
        let pose = |id| piece.layout.pose(id);
        let near = if mark.role == MarkRole::Cut {
            (pose(stitch).head - mark.tip.unwrap()).hypot()
        } else {
            let entered = piece.fabric.stitches[stitch.index()..].iter().find_map(|s| pose(s.id).feet.first().copied());
            (entered.unwrap() - mark.tip.unwrap()).hypot()
        };
        assert!((0.1..=0.3).contains(&near), "{:?}: {near}", mark.role);
    }
    let letters = piece.scene.labels.iter().filter(|l| l.role == LabelRole::YarnLetter).count();
    assert_eq!(letters, told);
}

/// The legend has exactly the symbols used, shortest first.
#[test]
fn the_legend_has_exactly_the_symbols_used() {
    let pieces = gallery(&Style::default());
    let words = |name: &str| -> Vec<String> {
        let piece = &pieces.iter().find(|p| p.0 == name).unwrap().1;
        piece.scene.labels.iter().filter(|l| l.role == LabelRole::Legend).map(|l| l.text.clone()).collect()
    };
    let swatch = ["ch – chain", "sc – single crochet", "dc – double crochet", "direction of work"];
    assert_eq!(words("leaf-swatch"), swatch);
    assert!(words("acorn-colours").contains(&"picot".to_owned()));
    assert!(!words("acorn-colours").iter().any(|w| w.starts_with("sl st")), "the dot of a picot is part of the picot");
}

/// Everything lies on the page.
#[test]
fn everything_lies_within_the_frame() {
    for (name, piece) in gallery(&Style::default()) {
        let scene = &piece.scene;
        let inside = |r: Rect| scene.frame.union(r) == scene.frame;
        assert!(inks(scene).all(|s| inside(s.path.bounding_box())), "{name}");
        assert!(scene.labels.iter().all(|l| inside(l.bounds)), "{name}");
    }
}
