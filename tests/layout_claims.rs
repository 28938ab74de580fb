//! What is claimed of every layout, over many shapes.

#[path = "layout_charts/hand.rs"]
mod hand;
#[path = "layout_charts/patterns.rs"]
mod patterns;
#[path = "layout_charts/shapes.rs"]
mod shapes;

use fanwise::craft::Stem;
use fanwise::fabric::{Fabric, Role, RowShape, SymmetryKind};
use fanwise::layout::{DrawnSizes, Layout, LayoutOptions, Lying, lay_out};
use kurbo::{Point, Vec2};

fn laid(fabric: &Fabric) -> Layout {
    lay_out(fabric, &DrawnSizes, &LayoutOptions::default())
}

fn all() -> Vec<(&'static str, Fabric)> {
    patterns::all().into_iter().chain(shapes::all()).collect()
}

fn pattern(name: &str) -> Fabric {
    patterns::all().into_iter().find(|p| p.0 == name).expect("one of the orchard").1
}

#[test]
fn every_stitch_has_a_finite_place_and_one_foot_a_leg() {
    for (name, fabric) in all() {
        let layout = laid(&fabric);
        assert_eq!(layout.poses.len(), fabric.stitches.len(), "{name}");
        for (stitch, pose) in fabric.stitches.iter().zip(&layout.poses) {
            let at = stitch.id.index();
            let points = pose.feet.iter().chain([&pose.head]).chain(pose.lying.as_ref().map(|l| &l.at));
            assert!(points.into_iter().all(|p| p.is_finite()), "{name}: stitch {at}");
            assert_eq!(stitch.is_chain(), pose.lying.is_some(), "{name}: chains lie, stitch {at}");
            if !stitch.is_chain() {
                assert_eq!(pose.feet.len(), stitch.legs.len(), "{name}: feet of stitch {at}");
            }
        }
    }
}

#[test]
fn no_row_crosses_another_and_no_stitch_stands_on_its_head() {
    // four in every stitch cannot lie flat, and no ball can
    for (name, fabric) in all().into_iter().filter(|(name, _)| !["quadruple", "ball"].contains(name)) {
        let q = laid(&fabric).quality;
        assert_eq!((q.crossings, q.flips), (0, 0), "{name}");
    }
}

#[test]
fn the_orchard_keeps_the_figures_of_a_good_chart() {
    for (name, fabric) in patterns::all() {
        let q = laid(&fabric).quality;
        assert!(q.spacing_cv <= 0.06, "{name}: spacing {}", q.spacing_cv);
        assert!(q.min_spacing >= 0.85, "{name}: nearest {}", q.min_spacing);
        assert!(q.stretch_p05 >= 0.93 && q.stretch_p95 <= 1.4, "{name}: {} to {}", q.stretch_p05, q.stretch_p95);
        assert!(q.lean_p95_deg <= 18.0 && q.kink_p95_deg <= 20.0, "{name}: {} {}", q.lean_p95_deg, q.kink_p95_deg);
    }
}

#[test]
fn swatches_and_mesh_come_out_exact() {
    for (name, fabric) in [("sc", shapes::swatch(Stem::Single, 12, 8)), ("mesh", shapes::mesh(8, 5))] {
        let q = laid(&fabric).quality;
        assert!(q.spacing_cv < 1e-3 && q.lean_p95_deg < 0.1 && (q.stretch_max - 1.0).abs() < 1e-3, "{name}");
    }
}

#[test]
fn lying_ovals_touch_end_to_end() {
    for (name, fabric) in all().into_iter().filter(|(name, _)| *name != "quadruple") {
        let layout = laid(&fabric);
        for row in fabric.rows.iter().filter(|r| r.shape == RowShape::Foundation) {
            let ovals: Vec<Lying> = row
                .order
                .iter()
                .filter(|id| fabric.stitch(**id).role != Role::Turning)
                .filter(|id| !fabric.rings.iter().any(|r| r.ids.contains(id)))
                .filter_map(|id| layout.pose(*id).lying)
                .collect();
            for w in ovals.windows(2) {
                let way = (w[1].at - w[0].at).normalize();
                let end = |l: &Lying, sign: f64| l.at + sign * 0.5 * l.length * Vec2::from_angle(l.angle_rad);
                let gap = (end(&w[1], -1.0) - end(&w[0], 1.0)).dot(way) / w[0].length;
                assert!((-0.02..=0.1).contains(&gap), "{name}: gap {gap}");
            }
        }
    }
}

#[test]
fn several_in_one_place_share_a_foot_and_in_a_space_stand_apart() {
    let fabric = pattern("p-pear");
    let layout = laid(&fabric);
    for a in fabric.stitches.iter().filter(|s| !s.is_chain()) {
        for b in fabric.stitches[..a.id.index()].iter().filter(|s| !s.is_chain()) {
            if a.legs.len() == 1 && b.legs.len() == 1 && a.into == b.into {
                let apart = layout.pose(a.id).feet[0].distance(layout.pose(b.id).feet[0]);
                assert!(apart <= 0.1, "{} and {}: {apart}", a.id.index(), b.id.index());
            }
        }
    }
    let fabric = pattern("p-coaster");
    let layout = laid(&fabric);
    let mut tried = 0;
    for w in fabric.stitches.windows(2) {
        let space = w[0].into.first().is_some_and(|p| matches!(p, fanwise::fabric::Place::Space { .. }));
        if space && w[0].stem() == Stem::DC && w[1].stem() == Stem::DC && w[0].into == w[1].into {
            tried += 1;
            let apart = layout.pose(w[0].id).feet[0].distance(layout.pose(w[1].id).feet[0]);
            assert!(apart >= 0.1, "{}: {apart}", w[0].id.index());
        }
    }
    assert!(tried > 0);
}

#[test]
fn the_pear_stands_stem_up_whichever_way_its_chain_ran() {
    for fabric in [
        pattern("p-pear"),
        shapes::pear(true, fanwise::fabric::Side::Right),
        shapes::pear(true, fanwise::fabric::Side::Wrong),
    ] {
        let layout = laid(&fabric);
        let border = fabric.rows.last().expect("a border");
        let mean = |ids: &[fanwise::fabric::StitchId]| {
            ids.iter().map(|i| layout.pose(*i).head.y).sum::<f64>() / ids.len() as f64
        };
        let top = layout.poses.iter().map(|p| p.head.y).fold(f64::INFINITY, f64::min);
        let bottom = layout.poses.iter().map(|p| p.head.y).fold(f64::NEG_INFINITY, f64::max);
        assert!(mean(&border.order) < top + 0.2 * (bottom - top));
    }
}

#[test]
fn rows_seen_from_the_right_side_run_as_a_right_hand_makes_them() {
    let fabric = shapes::swatch(Stem::Single, 12, 4);
    let layout = laid(&fabric);
    for row in &fabric.rows[1..] {
        let x = |i: usize| layout.pose(row.order[i]).head.x;
        let leftward = x(0) > x(11);
        assert_eq!(leftward, row.side == fanwise::fabric::Side::Right);
    }
    let fabric = shapes::disc(Stem::Single, 6, 3);
    let layout = laid(&fabric);
    let centre = layout.rings[0].centre;
    for row in fabric.rows.iter().filter(|r| r.joined) {
        let spoke = |i: usize| layout.pose(row.order[i]).head - centre;
        // anticlockwise on the page, where y runs down
        assert!(spoke(0).cross(spoke(1)) < 0.0);
    }
}

#[test]
fn an_up_direction_turns_the_whole_chart() {
    let fabric = shapes::swatch(Stem::Single, 6, 3);
    let plain = laid(&fabric);
    let turned = lay_out(&fabric, &DrawnSizes, &LayoutOptions::default().with_up_deg(90.0));
    let way = |l: &Layout| l.pose(fabric.rows[1].order[0]).head - l.pose(fabric.rows[1].order[5]).head;
    let (a, b) = (way(&plain), way(&turned));
    assert!((Vec2::new(-a.y, a.x) - b).hypot() < 1e-5, "{a:?} {b:?}");
}

#[test]
fn the_fabric_finds_its_own_symmetries_and_the_layout_keeps_them() {
    let turn = |fabric: &Fabric| {
        fabric.symmetries().iter().find_map(|s| match s.kind {
            SymmetryKind::Turn { order, .. } => Some(order),
            _ => None,
        })
    };
    let reflection =
        |fabric: &Fabric| fabric.symmetries().iter().any(|s| matches!(s.kind, SymmetryKind::Reflection { .. }));
    let mirror = |fabric: &Fabric| fabric.symmetries().iter().any(|s| s.kind == SymmetryKind::Mirror);
    assert_eq!(turn(&pattern("p-apple")), Some(6));
    assert_eq!(turn(&pattern("p-coaster")), Some(4));
    assert_eq!(turn(&shapes::hexagon(4)), Some(6));
    // each round of the hexagon increases at its corners; the disc increases behind each plain run, which tells the ways apart
    assert!(reflection(&pattern("p-coaster")) && reflection(&shapes::hexagon(4)));
    assert!(!reflection(&pattern("p-apple")));
    assert!(mirror(&pattern("p-leaf")));
    assert!(!mirror(&pattern("p-pear")));
    for name in ["p-apple", "p-coaster", "p-leaf"] {
        let q = laid(&pattern(name)).quality;
        assert!(q.residual_before <= 0.01 && q.residual <= 1e-6, "{name}: {} {}", q.residual_before, q.residual);
    }
}

#[test]
fn the_discs_sixth_is_a_sixth_of_a_turn() {
    let fabric = pattern("p-apple");
    let layout = laid(&fabric);
    let centre = layout.rings[0].centre;
    for row in fabric.rows.iter().filter(|r| r.joined && r.order.len() >= 6 && r.shape != RowShape::Foundation) {
        let n = row.order.len();
        for i in 0..n {
            let (a, b) =
                (layout.pose(row.order[i]).head - centre, layout.pose(row.order[(i + n / 6) % n]).head - centre);
            let sixth = Vec2::new(0.5 * a.x + 0.75_f64.sqrt() * a.y, -(0.75_f64.sqrt()) * a.x + 0.5 * a.y);
            assert!((sixth - b).hypot() < 1e-6, "{} {i}", row.label);
        }
    }
}

#[test]
fn ovals_of_a_space_lie_on_its_arc_and_bow_outward() {
    let fabric = shapes::lace();
    let layout = laid(&fabric);
    let centre = layout.rings[0].centre;
    for (space, arc) in fabric.spaces.iter().zip(&layout.spaces) {
        let chord = arc.start.midpoint(arc.end);
        if space.length >= 3 {
            assert!(centre.distance(arc.apex) > centre.distance(chord), "bows outward");
        }
        let near: Vec<Point> = space.ids.iter().filter_map(|c| layout.pose(*c).lying).map(|l| l.at).collect();
        assert_eq!(near.len(), space.ids.len());
        let pitches: Vec<f64> = near.windows(2).map(|w| w[0].distance(w[1])).collect();
        assert!(pitches.iter().all(|p| (p - pitches[0]).abs() < 1e-6), "evenly");
    }
}

#[test]
fn joining_dots_touch_what_they_enter() {
    for name in ["p-apple", "p-coaster"] {
        let fabric = pattern(name);
        let layout = laid(&fabric);
        for stitch in fabric.stitches.iter().filter(|s| s.role == Role::Join) {
            let Some(fanwise::fabric::Place::Top { top, .. }) = stitch.into.first().copied() else { continue };
            let apart = layout.pose(stitch.id).head.distance(layout.pose(top).head);
            assert!(apart <= 0.3, "{name}: {apart}");
        }
    }
}

#[test]
fn the_same_words_give_the_same_bytes() {
    for name in ["p-acorn", "p-apple"] {
        let bits = |l: &Layout| -> Vec<u64> {
            l.poses.iter().flat_map(|p| [p.head.x.to_bits(), p.head.y.to_bits()]).collect()
        };
        let fabric = pattern(name);
        assert_eq!(bits(&laid(&fabric)), bits(&laid(&fabric)), "{name}");
    }
}

#[test]
fn odd_fabrics_are_laid_out_without_harm() {
    let mut odd: Vec<Fabric> = vec![
        Fabric::default(),
        shapes::swatch(Stem::Single, 1, 1),
        shapes::swatch(Stem::Single, 1, 9),
        shapes::swatch(Stem::DC, 2, 3),
        shapes::disc(Stem::Single, 1, 1),
        shapes::disc(Stem::Single, 2, 2),
        shapes::disc(Stem::DC, 60, 1),
        shapes::disc(Stem::Single, 60, 3),
        shapes::spiral(1, 3),
        shapes::quadruple(),
        shapes::mesh(1, 2),
        shapes::granny(1),
    ];
    // a chain alone, and a row whose flags say the wrong face
    let mut chain = hand::Hand::new();
    chain.foundation(5, fanwise::fabric::Side::Right, 2);
    odd.push(chain.fabric);
    let mut wrong = shapes::swatch(Stem::Single, 5, 3);
    wrong.rows[2].side = fanwise::fabric::Side::Right;
    odd.push(wrong);
    for fabric in odd {
        let layout = laid(&fabric);
        assert!(layout.poses.iter().all(|p| p.head.is_finite()));
        let q = &layout.quality;
        assert!([q.spacing_cv, q.min_spacing, q.stretch_max, q.lean_p95_deg, q.residual].iter().all(|f| f.is_finite()));
    }
}
