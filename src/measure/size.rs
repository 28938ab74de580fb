//! How large a piece comes out: the extent of its true outline, and a gauge told as the measure of rounds.

use super::gauge::RoundGaugeUsed;
use crate::fabric::{Fabric, RowShape};
use crate::layout::Layout;
use kurbo::{Point, Rect, Vec2};
use serde::Serialize;

/// The size of a piece as it lies, seen the way it is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Size {
    /// Width in millimetres.
    pub width: f64,
    /// Height in millimetres.
    pub height: f64,
    /// The least it may be, as a share of what is told.
    pub low: f64,
    /// The most, likewise.
    pub high: f64,
    /// True where the piece stands up and does not lie: width across and height as it stands, unstuffed.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub stands: bool,
}

/// Millimetres in an inch.
pub const INCH_MM: f64 = 25.4;

/// The size of one piece of several.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PieceSize {
    /// Its part.
    pub name: String,
    /// How often it is made.
    pub copies: u32,
    /// Width in millimetres.
    pub width: f64,
    /// Height in millimetres.
    pub height: f64,
    /// True where it stands up, as in [`Size::stands`].
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub stands: bool,
}

/// The size in another yarn, by the published table.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SizeInYarn {
    /// The yarn's weight, by number.
    pub weight: u8,
    /// Its name.
    pub name: &'static str,
    /// A hook of the middle of the range published for it, in millimetres.
    pub hook_mm: f64,
    /// Width in millimetres.
    pub width: f64,
    /// Height in millimetres.
    pub height: f64,
    /// The least it may be, as a share of what is told.
    pub low: f64,
    /// The most, likewise.
    pub high: f64,
    /// True where it stands up, as in [`Size::stands`].
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub stands: bool,
}

/// The rectangle round some rows of a true layout, in stitch widths.
pub(super) fn extent(fabric: &Fabric, layout: &Layout, rows: &[usize]) -> Option<Rect> {
    let points = outline_points(fabric, layout, rows);
    let first = *points.first()?;
    Some(points.iter().fold(Rect::from_points(first, first), |r, &p| r.union_pt(p)))
}

/// Points on the rim and within: heads, feet, spaces, and half a stitch beyond the ends of rows and chains.
pub(super) fn outline_points(fabric: &Fabric, layout: &Layout, rows: &[usize]) -> Vec<Point> {
    let mut points = Vec::new();
    let mut own_row = vec![false; fabric.rows.len()];
    rows.iter().for_each(|&r| own_row[r] = true);
    for stitch in fabric.stitches.iter().filter(|s| own_row[s.row.index()]) {
        let pose = layout.pose(stitch.id);
        if let Some(lying) = pose.lying {
            let along = 0.5 * lying.length * Vec2::new(libm::cos(lying.angle_rad), libm::sin(lying.angle_rad));
            points.extend([lying.at - along, lying.at + along]);
        } else {
            points.push(pose.head);
            points.extend(pose.feet.iter().copied());
        }
    }
    for (k, space) in fabric.spaces.iter().enumerate() {
        let own = space.ids.first().is_some_and(|&id| own_row[fabric.stitch(id).row.index()]);
        points.extend(layout.spaces.get(k).filter(|_| own).map(|arc| arc.apex));
    }
    for row in rows.iter().map(|&r| &fabric.rows[r]) {
        if row.joined || matches!(row.shape, RowShape::Foundation | RowShape::Spiral) || row.order.len() < 2 {
            continue;
        }
        let n = row.order.len();
        for (end, inner) in [(0, 1), (n - 1, n - 2)] {
            let (end, inner) = (layout.pose(row.order[end]), layout.pose(row.order[inner]));
            let out = end.head - inner.head;
            let length = out.hypot2().sqrt();
            if length > 1e-9 {
                let beyond = 0.5 / length * out;
                points.push(end.head + beyond);
                points.extend(end.feet.first().map(|&f| f + beyond));
            }
        }
    }
    points
}

/// How wide rounds lie across, in stitch widths: between two straight edges laid against them, as a ruler is.
pub(super) fn across(fabric: &Fabric, layout: &Layout, gauge: &RoundGaugeUsed) -> Option<f64> {
    let number = |label: &str| label.rsplit(' ').next().and_then(|n| n.parse::<u32>().ok());
    let within =
        |row: &crate::fabric::Row| number(&row.label).is_some_and(|n| (gauge.rows[0]..=gauge.rows[1]).contains(&n));
    let part = fabric.rows.iter().find(|r| within(r))?.part;
    let rows: Vec<usize> =
        fabric.rows.iter().filter(|r| r.part == part && within(r)).map(|r| r.index.index()).collect();
    let points = outline_points(fabric, layout, &rows);
    // a quarter turn in one degree steps, and the same across: half a turn
    let width = |deg: usize| {
        let a = (deg as f64).to_radians();
        let way = Vec2::new(libm::cos(a), libm::sin(a));
        let along = points.iter().map(|p| p.to_vec2().dot(way));
        let (low, high) = along.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), x| (l.min(x), h.max(x)));
        high - low
    };
    let least = (0..180).map(width).fold(f64::INFINITY, f64::min);
    (least.is_finite() && least > 0.1).then_some(least)
}
