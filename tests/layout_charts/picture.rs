//! Rough pictures of layouts, to look at.

use fanwise::fabric::Fabric;
use fanwise::layout::Layout;
use kurbo::{Point, Vec2};
use std::fmt::Write as _;

/// Writes an SVG where `FANWISE_PICTURES` says, if it says so.
pub(super) fn draw(name: &str, fabric: &Fabric, layout: &Layout) {
    let Ok(folder) = std::env::var("FANWISE_PICTURES") else { return };
    let mut body = String::new();
    for row in &fabric.rows {
        let points: Vec<String> = fabric
            .line(row.index)
            .iter()
            .map(|n| match n {
                fanwise::fabric::LineNode::Stitch(id) => layout.poses[id.index()].head,
                fanwise::fabric::LineNode::Space(k) => layout.spaces[k.index()].apex,
            })
            .map(|p| format!("{:.3},{:.3}", p.x, p.y))
            .collect();
        let shape = if row.joined { "polygon" } else { "polyline" };
        let _ = writeln!(body, "<{shape} points='{}' fill='none' stroke='#ccc' stroke-width='.04'/>", points.join(" "));
    }
    for stitch in &fabric.stitches {
        let colour =
            ["#111", "#1b4fa8", "#c02030"][if stitch.row.index() == 0 { 0 } else { 1 + stitch.row.index() % 2 }];
        let pose = &layout.poses[stitch.id.index()];
        assert!(pose.head.x.is_finite() && pose.head.y.is_finite(), "{name}: {} has no place", stitch.id.index());
        if let Some(lying) = pose.lying {
            let _ = writeln!(
                body,
                "<ellipse cx='{:.3}' cy='{:.3}' rx='{:.3}' ry='.17' transform='rotate({:.2} {:.3} {:.3})' fill='none' stroke='{colour}' stroke-width='.07'/>",
                lying.at.x,
                lying.at.y,
                0.5 * lying.length - 0.035,
                lying.angle_rad.to_degrees(),
                lying.at.x,
                lying.at.y
            );
        } else if stitch.is_slip_stitch() {
            let _ = writeln!(body, "<circle cx='{:.3}' cy='{:.3}' r='.13' fill='{colour}'/>", pose.head.x, pose.head.y);
        } else {
            for &foot in &pose.feet {
                stem(&mut body, foot, pose.head, stitch.stem(), colour);
            }
        }
    }
    let (mut low, mut high) = (Point::new(1e9, 1e9), Point::new(-1e9, -1e9));
    for p in layout.poses.iter().map(|p| p.head) {
        low = Point::new(low.x.min(p.x), low.y.min(p.y));
        high = Point::new(high.x.max(p.x), high.y.max(p.y));
    }
    let (w, h) = (high.x - low.x + 2.0, high.y - low.y + 2.0);
    let svg = format!(
        "<svg xmlns='http://www.w3.org/2000/svg' viewBox='{:.2} {:.2} {w:.2} {h:.2}' width='{:.0}' height='{:.0}'><rect x='-999' y='-999' width='9999' height='9999' fill='white'/>{body}</svg>",
        low.x - 1.0,
        low.y - 1.0,
        w * 40.0,
        h * 40.0
    );
    std::fs::write(format!("{folder}/{name}.svg"), svg).expect("a folder for pictures");
}

fn stem(body: &mut String, foot: Point, head: Point, stem: fanwise::craft::Stem, colour: &str) {
    let rise: Vec2 = head - foot;
    let whole = rise.hypot().max(1e-6);
    let up = rise / whole;
    let across = Vec2::new(-up.y, up.x);
    let from = foot + up * 0.1;
    let mut line = |a: Point, b: Point| {
        let _ = writeln!(
            body,
            "<line x1='{:.3}' y1='{:.3}' x2='{:.3}' y2='{:.3}' stroke='{colour}' stroke-width='.08' stroke-linecap='round'/>",
            a.x, a.y, b.x, b.y
        );
    };
    let top = head - up * 0.08;
    line(from, top);
    if stem == fanwise::craft::Stem::Single {
        let middle = foot + up * (0.55 * whole);
        line(middle - across * 0.28, middle + across * 0.28);
        return;
    }
    line(top - across * 0.3, top + across * 0.3);
    for k in 0..stem.strokes() {
        let middle = top - up * (0.45 + 0.3 * f64::from(k));
        line(middle - across * 0.2 - up * 0.1, middle + across * 0.2 + up * 0.1);
    }
}
