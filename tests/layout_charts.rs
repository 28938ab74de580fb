//! Layouts of small fabrics and of whole patterns, and what must hold of them.

#[path = "layout_charts/hand.rs"]
mod hand;
#[path = "layout_charts/patterns.rs"]
mod patterns;
#[path = "layout_charts/picture.rs"]
mod picture;
#[path = "layout_charts/shapes.rs"]
mod shapes;

use fanwise::fabric::Fabric;
use fanwise::layout::{DrawnSizes, Layout, LayoutOptions, lay_out};

fn laid(fabric: &Fabric) -> Layout {
    fabric.validate().expect("a sound fabric");
    lay_out(fabric, &DrawnSizes, &LayoutOptions::default())
}

fn all() -> Vec<(&'static str, Fabric)> {
    patterns::all().into_iter().chain(shapes::all()).collect()
}

#[test]
fn every_shape_is_drawn_for_looking_at() {
    let only = std::env::var("FANWISE_SHAPE").ok();
    for (name, fabric) in all() {
        if only.as_ref().is_some_and(|o| !name.starts_with(o.as_str())) {
            continue;
        }
        let layout = laid(&fabric);
        picture::draw(name, &fabric, &layout);
        let q = &layout.quality;
        println!(
            "{name:14} n {:5} cv {:.3} min {:.2} kink {:5.1} stretch {:.2} {:.2} {:.2} lean {:5.1} flips {} cross {} sym {:.4} {:.1e}",
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
    let (along, across) = (first.dot(last), first.cross(last));
    across.atan2(along).abs()
}

#[test]
fn three_in_one_chain_bend_the_chain_by_about_a_radian() {
    for rows in 1..=3 {
        let fabric = shapes::bend_rows(rows);
        let bend = bend_of(&fabric, &laid(&fabric));
        assert!((0.8..=1.2).contains(&bend), "{rows} rows bend the chain by {bend}");
    }
}

#[test]
fn plain_rows_over_a_bend_stay_as_even_as_it_lets_them() {
    let q = laid(&shapes::bend_rows(3)).quality;
    assert!(q.spacing_cv <= 0.102 && q.lean_p95_deg <= 16.5, "spacing {}, lean {}", q.spacing_cv, q.lean_p95_deg);
}

#[test]
#[ignore = "for looking at"]
fn worst() {
    let only = std::env::var("FANWISE_SHAPE").unwrap_or_default();
    for (name, f) in all() {
        if !name.starts_with(&only) {
            continue;
        }
        let l = laid(&f);
        println!("{name} {:?}", l.quality.rows);
        for row in &f.rows {
            for w in row.order.windows(2) {
                let e = (l.pose(w[0]).head - l.pose(w[1]).head).hypot();
                if f.space_of(w[0]).is_none() && f.space_of(w[1]).is_none() && !(0.9..1.15).contains(&e) {
                    println!(
                        "row {} {} {} {e:.2} {:?} {:?}",
                        row.index.index(),
                        w[0].index(),
                        w[1].index(),
                        f.stitch(w[0]).into,
                        f.stitch(w[1]).into
                    );
                }
            }
        }
    }
}
