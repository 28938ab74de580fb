//! Fabrics whose picture is known beforehand: crossed stitches, blocks from corner to corner, loops over a disc, long rows
//! round the end of a chain.

mod both_sides;

use both_sides::both_sides;
use fanwise::Pattern;
use fanwise::fabric::{Fabric, Middle, Role, StitchId, SymmetryKind};
use fanwise::layout::{DrawnSizes, Layout, LayoutOptions, Lying, lay_out};
use kurbo::{Point, Vec2};

fn laid(text: &str) -> (Fabric, Layout) {
    let pattern = Pattern::read(text);
    assert!(pattern.is_sound(), "{:?}", pattern.problems().first());
    let layout = lay_out(pattern.fabric(), &DrawnSizes, &LayoutOptions::default());
    (pattern.fabric().clone(), layout)
}

fn shape(name: &str) -> (Fabric, Layout) {
    let path = format!("{}/tests/shapes/{name}.txt", env!("CARGO_MANIFEST_DIR"));
    laid(&std::fs::read_to_string(path).expect("a shape"))
}

fn worked<'f>(fabric: &'f Fabric, row: usize, kind: &'f str) -> impl Iterator<Item = StitchId> + 'f {
    fabric.stitches.iter().filter(move |s| s.row.index() == row && s.kind == kind).map(|s| s.id)
}

#[test]
fn legs_of_crossed_stitches_cross_and_their_heads_stand_in_order() {
    let (fabric, layout) = shape("crossed-stitches");
    // row 2 on a foundation and row 1: seven pairs
    let pairs: Vec<StitchId> = worked(&fabric, 2, "dc").collect();
    assert_eq!(pairs.len(), 14);
    for pair in pairs.chunks(2) {
        let [a, b] = [layout.pose(pair[0]), layout.pose(pair[1])];
        let (heads, feet) = (b.head - a.head, b.feet[0] - a.feet[0]);
        assert!(heads.dot(feet) < 0.0, "the legs of {pair:?} cross");
        assert!((heads.hypot() - 1.0).abs() < 0.05, "their heads stand a stitch apart: {}", heads.hypot());
    }
    assert_eq!(layout.quality.crossings, 0);
}

#[test]
fn blocks_stand_crosswise_from_row_to_row_in_squares_of_one_size() {
    let (fabric, layout) = shape("blocks-from-corner-to-corner");
    let mut middles: Vec<Point> = Vec::new();
    for row in 1..=7 {
        let stitches: Vec<StitchId> = worked(&fabric, row, "dc").collect();
        for block in stitches.chunks(3) {
            let mut sum = Vec2::ZERO;
            for &id in block {
                let pose = layout.pose(id);
                let rise = pose.head - pose.feet[0];
                // rows worked on the right side stand upright, those on the wrong side lie
                let (along, across) = if row % 2 == 1 { (rise.y, rise.x) } else { (rise.x, rise.y) };
                assert!(across.abs() < 1e-6 && along.abs() > 1.0, "row {row}: {rise:?}");
                sum += 0.5 * (pose.head.to_vec2() + pose.feet[0].to_vec2());
            }
            middles.push((sum / block.len() as f64).to_point());
        }
    }
    assert_eq!(middles.len(), 16, "a square of four by four");
    let side = (0..middles.len())
        .flat_map(|i| (i + 1..middles.len()).map(move |j| (i, j)))
        .map(|(i, j)| (middles[j] - middles[i]).hypot())
        .fold(f64::INFINITY, f64::min);
    let box_of = |get: fn(&Point) -> f64| {
        let all = middles.iter().map(get);
        all.clone().fold(f64::NEG_INFINITY, f64::max) - all.fold(f64::INFINITY, f64::min)
    };
    for wide in [box_of(|p| p.x), box_of(|p| p.y)] {
        assert!(wide > 2.7 * side && wide < 3.8 * side, "four squares in a row: {wide} of {side}");
    }
}

#[test]
fn a_loop_shorter_than_its_way_goes_round_what_it_passes_over() {
    let (fabric, layout) = shape("loops-over-a-disc");
    let centre = layout.rings[0].centre;
    let far = |p: Point| (p - centre).hypot();
    let most = |row: usize, kind: &'static str| {
        worked(&fabric, row, kind).map(|id| far(layout.pose(id).head)).fold(0.0, f64::max)
    };
    // the chains of a round lie beyond the heads of the round below
    for (row, below) in [(2, most(1, "dc")), (3, most(2, "sc")), (4, most(3, "sc"))] {
        let space =
            fabric.spaces.iter().zip(&layout.spaces).filter(|(s, _)| fabric.stitch(s.ids[0]).row.index() == row);
        for (_, arc) in space {
            assert!(far(arc.apex) > below + 0.4, "row {row}: {} over {below}", far(arc.apex));
        }
    }
}

#[test]
fn long_rows_round_the_end_of_a_chain_stay_even() {
    let quality = laid(&both_sides(30)).1.quality;
    assert_eq!((quality.crossings, quality.flips), (0, 0));
    assert!(quality.spacing_cv <= 0.06, "{}", quality.spacing_cv);
    assert!(quality.min_spacing >= 0.85 && quality.stretch_p95 <= 1.4);
}

#[test]
fn a_round_of_a_tall_spiral_begins_upright() {
    let (fabric, layout) = shape("dc-spiral");
    let centre = layout.rings[0].centre;
    for id in (1..fabric.rows.len()).flat_map(|row| worked(&fabric, row, "dc")) {
        let pose = layout.pose(id);
        let (rise, out) = (pose.head - pose.feet[0], pose.feet[0] - centre);
        let lean = out.cross(rise).atan2(out.dot(rise)).abs().to_degrees();
        assert!(lean < 35.0, "{id:?} leans {lean:.0} degrees");
    }
}

#[test]
fn loops_worked_into_a_ring_leave_it_as_wide_as_its_chains() {
    let text = "Petals\n\nCh 5; join with sl st to form a ring.\nRnd 1: Ch 1, [sc in ring, ch 6] 5 times; join with sl st to first sc.\n";
    let (fabric, layout) = laid(text);
    assert_eq!(fabric.spaces.len(), 5);
    // five ovals of one sc lie on the sides of a pentagon, whose corners are 0.85 from its middle
    assert!(layout.rings[0].radius < 1.2, "{}", layout.rings[0].radius);
}

/// The way from the first foundation to the middle of all other heads, as the page has it.
fn growth(fabric: &Fabric, layout: &Layout) -> Vec2 {
    let head = |id: StitchId| layout.pose(id).head.to_vec2();
    let others: Vec<Vec2> = fabric.rows.iter().skip(1).flat_map(|r| &r.order).map(|&id| head(id)).collect();
    let from = fabric.rings.first().map_or_else(|| head(fabric.rows[0].order[0]), |_| layout.rings[0].centre.to_vec2());
    others.iter().fold(Vec2::ZERO, |sum, v| sum + *v) / others.len() as f64 - from
}

#[test]
fn a_round_in_one_chain_goes_round_it_and_begins_above_it() {
    for (name, stitches, parts) in
        [("disc-in-one-chain", 12, 12), ("granny-in-one-chain", 12, 4), ("hat-in-one-chain", 8, 8)]
    {
        let (fabric, layout) = shape(name);
        let about = Middle::Chain(fabric.rows[0].order[0]);
        let turn = SymmetryKind::Turn { order: parts, about };
        assert!(fabric.symmetries().iter().any(|s| s.kind == turn && s.rows.len() > 1), "{name}: it turns");
        let chain = layout.pose(fabric.rows[0].order[0]);
        let heads: Vec<Vec2> = fabric.rows[1]
            .order
            .iter()
            .map(|&id| fabric.stitch(id))
            .filter(|s| s.counts && !s.is_slip_stitch() && (!s.is_chain() || s.stands_for.is_some()))
            .map(|s| layout.pose(s.id).head - chain.head)
            .collect();
        assert_eq!(heads.len(), stitches, "{name}");
        let far: Vec<f64> = heads.iter().map(|v| v.hypot()).collect();
        let (near, most) = (far.iter().copied().fold(f64::INFINITY, f64::min), far.iter().copied().fold(0.0, f64::max));
        assert!(most < 1.15 * near, "{name}: heads {near} to {most} from the chain they stand in");
        assert!(heads[0].y < 0.0 && heads[0].y.abs() > heads[0].x.abs(), "{name}: it begins at {}", heads[0]);
        let lying = chain.lying.expect("a chain lies");
        assert!(lying.angle_rad.sin().abs() < 1e-6, "{name}: its chain lies level");
    }
}

#[test]
fn rows_out_of_one_point_stand_on_it() {
    for name in ["semicircle", "shawl-from-a-ring", "triangle-in-rows"] {
        let (fabric, layout) = shape(name);
        let up = growth(&fabric, &layout);
        assert!(up.y < 0.0 && up.x.abs() < 0.25 * up.y.abs(), "{name} grows along {up}");
    }
    // a horseshoe most of the way round opens upward
    let (fabric, layout) = laid(
        "Horseshoe\n\nUS terms.\n\nCh 4, join with sl st to form a ring.\n\
         Row 1: Ch 3 (counts as dc), 15 dc in ring. Turn. (16 dc)\n\
         Row 2: Ch 3 (counts as dc), dc in same st, 2 dc in next 15 sts. Turn. (32 dc)\n",
    );
    let down = growth(&fabric, &layout);
    assert!(down.y > 0.0, "a horseshoe opens along {}", -down);
}

#[test]
fn a_lone_round_of_a_spiral_closes_its_ring() {
    for first in ["6 sc in magic ring", "Ch 2, 6 sc in 2nd ch from hook"] {
        let (fabric, layout) = laid(&format!("Cheek\n\nUS terms.\n\nRnd 1: {first}. (6 sc)\n"));
        let heads: Vec<Point> = worked(&fabric, fabric.rows.len() - 1, "sc").map(|id| layout.pose(id).head).collect();
        assert_eq!(heads.len(), 6, "{first}");
        let gaps: Vec<f64> = (0..6).map(|i| (heads[(i + 1) % 6] - heads[i]).hypot()).collect();
        let (least, most) =
            (gaps.iter().copied().fold(f64::INFINITY, f64::min), gaps.iter().copied().fold(0.0, f64::max));
        assert!(most < 1.1 * least, "{first}: from {least} to {most} apart");
    }
}

#[test]
fn a_shape_with_corners_lies_on_a_side() {
    // corners of chains, of three in a space, of three in one, and a plain round about them
    let square = "Square\n\nUS terms.\n\n\
        Rnd 1: Ch 1, [2 sc, ch 2] 4 times in magic ring, join with sl st in first sc. (8 sc)\n\
        Rnd 2: Ch 1, sc in each sc and 3 sc in each ch-2 sp around, join. (20 sc)\n";
    let third = "Rnd 3: Ch 1, sc in each sc around, working 3 sc in each corner sc, join. (28 sc)\n";
    let plain = "Rnd 4: Ch 1, sc in each sc around, join. (28 sc)\n";
    for (text, row) in
        [(square.to_owned(), "2"), (format!("{square}{third}"), "3"), (format!("{square}{third}{plain}"), "3")]
    {
        let (fabric, layout) = laid(&text);
        let label = |r: &usize| fabric.rows[*r].label.ends_with(row);
        let row = (0..fabric.rows.len()).find(label).expect("a round of that number");
        let round: Vec<StitchId> = worked(&fabric, row, "sc").collect();
        let place = |id: StitchId| fabric.stitch(id).into[0];
        let threes = round.windows(3).filter(|w| place(w[0]) == place(w[1]) && place(w[1]) == place(w[2]));
        let mut low: Vec<Point> = threes.map(|w| layout.pose(w[1]).head).collect();
        assert_eq!(low.len(), 4, "row {row}");
        low.sort_by(|a, b| b.y.total_cmp(&a.y));
        let along = low[0] - low[1];
        assert!(along.y.abs() < 0.1 * along.x.abs(), "row {row}: its side lies along {along}");
    }
}

#[test]
fn slip_stitches_between_petals_stay_in_their_places() {
    for name in ["petals-in-a-ring", "petals-in-single-stitches", "petals-in-arches"] {
        let (fabric, layout) = shape(name);
        let last = fabric.rows.len() - 1;
        let dots: Vec<StitchId> =
            worked(&fabric, last, "sl st").filter(|&id| !fabric.stitch(id).has_role(Role::Join)).collect();
        assert!(dots.len() >= 5, "{name}: {} dots", dots.len());
        for id in dots {
            let pose = layout.pose(id);
            let off = (pose.head - pose.feet[0]).hypot();
            assert!(off < 0.45, "{name}: a dot {off} from what it stands in");
        }
        // no chain of a side lies on one of the next
        let ovals: Vec<Lying> = worked(&fabric, last, "ch").filter_map(|id| layout.pose(id).lying).collect();
        for (i, a) in ovals.iter().enumerate() {
            let near = ovals[i + 1..].iter().map(|b| (b.at - a.at).hypot()).fold(f64::INFINITY, f64::min);
            assert!(near > 0.25, "{name}: two chains {near} apart");
        }
    }
}
