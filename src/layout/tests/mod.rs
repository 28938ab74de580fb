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
            fabric.stitches.len(), q.spacing_cv, q.min_spacing, q.kink_p95_deg, q.stretch_p05, q.stretch_p95, q.stretch_max,
            q.lean_p95_deg, q.flips, q.crossings, q.residual_before, q.residual
        );
    }
}
