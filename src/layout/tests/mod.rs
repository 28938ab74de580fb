//! Layouts of small fabrics made here stitch by stitch, and what must hold of them.

mod hand;
mod picture;
mod shapes;

use super::*;
use crate::fabric::Fabric;

fn laid(fabric: &Fabric) -> Layout {
    fabric.validate().expect("a sound fabric");
    lay_out(fabric, &DrawnSizes, &LayoutOptions::default())
}

#[test]
fn every_shape_is_drawn_for_looking_at() {
    let only = std::env::var("FANWISE_SHAPE").ok();
    for (name, fabric) in shapes::all() {
        if only.as_ref().is_some_and(|o| !name.starts_with(o.as_str())) {
            continue;
        }
        let layout = laid(&fabric);
        picture::draw(name, &fabric, &layout);
        let q = &layout.quality;
        println!(
            "{name:22} n {:5} cv {:.3} min {:.2} kink {:5.1} stretch {:.2} {:.2} {:.2} lean {:5.1} flips {} cross {} sym {:.4} {:.1e}",
            fabric.stitches.len(),
            q.spacing_cv,
            q.min_spacing,
            q.kink_p95_deg,
            q.stretch_p05,
            q.stretch_p95,
            q.stretch_max,
            q.lean_p95_deg,
            q.flips,
            q.crossings,
            q.residual_before,
            q.residual
        );
    }
}

/// How far a foundation turns from its first third to its last, radians.
fn bend_of(fabric: &Fabric, layout: &Layout) -> f64 {
    let chain = &fabric.rows[0].order;
    let third = chain.len() / 3;
    let at = |i: usize| layout.pose(chain[i]).head;
    let (first, last) = (at(third) - at(0), at(chain.len() - 1) - at(chain.len() - 1 - third));
    plane::wrap(plane::angle(last) - plane::angle(first)).abs()
}

#[test]
fn three_in_one_chain_bend_the_chain_by_about_a_radian() {
    for rows in 1..=3 {
        let fabric = shapes::bend_rows(rows);
        let bend = bend_of(&fabric, &laid(&fabric));
        println!("{rows} rows bend the chain by {bend:.2}");
        assert!((0.8..=1.2).contains(&bend), "{rows} rows bend the chain by {bend}");
    }
}
