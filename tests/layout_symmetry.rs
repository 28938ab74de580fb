//! What the graph of stitches repeats, the chart repeats: reckoned again from the coordinates.

use fanwise::fabric::{Fabric, Middle, Role, StitchId, Symmetry, SymmetryKind};
use fanwise::layout::Layout;
use fanwise::{ChartOptions, Pattern};
use kurbo::Vec2;

/// Where every stitch and space of a symmetry is, and where its image is.
///
/// Chains that only turn the work are set aside, as the symmetry itself sets them aside.
fn pairs(fabric: &Fabric, layout: &Layout, symmetry: &Symmetry) -> Vec<(Vec2, Vec2)> {
    let turns = |id: StitchId| {
        let stitch = fabric.stitch(id);
        stitch.role == Role::Turning && stitch.stands_for.is_none()
    };
    let stitches = symmetry.stitches.iter().filter(|(a, b)| !turns(**a) && !turns(**b));
    let stitches = stitches.map(|(a, b)| (layout.pose(*a).head, layout.pose(*b).head));
    let apex = |k: fanwise::fabric::SpaceId| layout.spaces[k.index()].apex;
    let spaces = symmetry.spaces.iter().map(|(a, b)| (apex(*a), apex(*b)));
    stitches.chain(spaces).map(|(a, b)| (a.to_vec2(), b.to_vec2())).collect()
}

fn root_mean_square(distances: impl Iterator<Item = f64>) -> f64 {
    let (sum, n) = distances.fold((0.0, 0.0), |(sum, n), d| (sum + d * d, n + 1.0));
    (sum / f64::max(n, 1.0)).sqrt()
}

fn centre_of(layout: &Layout, about: Middle) -> Vec2 {
    match about {
        Middle::Ring(ring) => layout.rings[ring.index()].centre.to_vec2(),
        Middle::Chain(chain) => layout.pose(chain).head.to_vec2(),
    }
}

/// How far the images lie from where the motion takes their stitches.
fn residual(fabric: &Fabric, layout: &Layout, symmetry: &Symmetry) -> f64 {
    let pairs = pairs(fabric, layout, symmetry);
    match symmetry.kind {
        SymmetryKind::Turn { order, about } => {
            let centre = centre_of(layout, about);
            let by = |angle: f64| {
                let (sin, cos) = angle.sin_cos();
                let turned = |v: Vec2| Vec2::new(cos * v.x - sin * v.y, sin * v.x + cos * v.y);
                root_mean_square(pairs.iter().map(|(a, b)| (turned(*a - centre) - (*b - centre)).hypot()))
            };
            let step = std::f64::consts::TAU / order as f64;
            by(step).min(by(-step))
        }
        SymmetryKind::Mirror | SymmetryKind::Reflection { .. } => {
            let middle = pairs.iter().fold(Vec2::ZERO, |sum, (a, _)| sum + *a) / pairs.len() as f64;
            let centre = match symmetry.kind {
                SymmetryKind::Reflection { about } => centre_of(layout, about),
                _ => middle,
            };
            // the axis halves the angle from each point to its image
            let twice = pairs.iter().fold(Vec2::ZERO, |sum, (a, b)| {
                let (u, v) = (*a - centre, *b - centre);
                sum + Vec2::new(u.x * v.x - u.y * v.y, u.x * v.y + u.y * v.x)
            });
            let (sin, cos) = twice.atan2().sin_cos();
            let mirrored = |v: Vec2| Vec2::new(cos * v.x + sin * v.y, sin * v.x - cos * v.y);
            root_mean_square(pairs.iter().map(|(a, b)| (mirrored(*a - centre) - (*b - centre)).hypot()))
        }
    }
}

#[test]
fn every_shape_keeps_the_symmetries_of_its_stitches() {
    let folders = ["tests/shapes", "examples/orchard"];
    let mut paths: Vec<_> = folders
        .iter()
        .flat_map(|f| std::fs::read_dir(std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(f)).expect("a folder"))
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.extension().is_some_and(|e| e == "txt"))
        .collect();
    paths.sort();
    let (mut turns, mut reflections, mut mirrors, mut faults) = (0, 0, 0, Vec::new());
    for path in paths {
        let pattern = Pattern::read(&std::fs::read_to_string(&path).expect("a text"));
        let symmetries = pattern.fabric().symmetries();
        if symmetries.is_empty() {
            continue;
        }
        let chart = pattern.chart(&ChartOptions::default()).expect("a chart");
        let q = &chart.layout().quality;
        for symmetry in &symmetries {
            match symmetry.kind {
                SymmetryKind::Turn { .. } => turns += 1,
                SymmetryKind::Reflection { .. } => reflections += 1,
                SymmetryKind::Mirror => mirrors += 1,
            }
            let residual = residual(pattern.fabric(), chart.layout(), symmetry);
            // positions are written down to 2^-20 of a stitch
            if residual > 1e-6 || q.residual > 1e-6 || q.residual_before > 0.01 {
                let name = path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
                faults.push(format!(
                    "{name}: {:?} off by {residual:.2e}, told {:.2e}, before {:.4}",
                    symmetry.kind, q.residual, q.residual_before
                ));
            }
        }
    }
    let enough = turns >= 20 && reflections >= 10 && mirrors >= 10;
    assert!(enough, "{turns} turns, {reflections} reflections, {mirrors} mirrors");
    assert!(faults.is_empty(), "{} faults:\n{}", faults.len(), faults.join("\n"));
}
