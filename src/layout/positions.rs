use super::energy::Energy;
use crate::fabric::{RowId, StitchId};
use kurbo::Point;
use serde::Serialize;

/// Every position of a chart, in sc widths, y down, seen from the right side, right hand.
#[derive(Clone, Debug, Default)]
pub struct Layout {
    /// One pose per stitch of the fabric, by id.
    pub poses: Vec<Pose>,
    /// One arc per space of the fabric, by id.
    pub spaces: Vec<Arc>,
    /// One pose per ring of the fabric, by id.
    pub rings: Vec<RingPose>,
    /// How good it is.
    pub quality: Quality,
    /// Its energy, where that was asked for.
    pub energy: Option<Energy>,
}

/// Where one stitch stands.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Pose {
    /// Foot of each leg, on the drawn arc for a space. Empty for chains that stand on nothing.
    pub feet: Vec<Point>,
    /// The head: where the next row stands. Of a lying chain, its centre.
    pub head: Point,
    /// For chains: how the oval lies.
    pub lying: Option<Lying>,
}

/// How the oval of a chain lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lying {
    /// Centre.
    pub at: Point,
    /// Direction of the long axis against +x, clockwise on the page (y down).
    pub angle_rad: f64,
    /// Length along the long axis: neighbours of one run touch end to end.
    pub length: f64,
}

/// The arc a chain space is drawn along: through its start, its apex, its end.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Arc {
    /// Head of the stitch before.
    pub start: Point,
    /// Highest point.
    pub apex: Point,
    /// Head of the stitch after.
    pub end: Point,
}

/// Where a ring lies.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct RingPose {
    /// Centre.
    pub centre: Point,
    /// Radius to the line the first round stands on.
    pub radius: f64,
}

/// How good a layout is: pooled figures are the worst row's.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Quality {
    /// Pairs of symbols that overlap; filled in by the chart, which knows the symbols.
    pub overlaps: usize,
    /// Area they share, in square sc widths; filled in by the chart.
    pub overlap_area: f64,
    /// Proper intersections of row lines.
    pub crossings: usize,
    /// Stitches that lean more than 90° from their row.
    pub flips: usize,
    /// Worst row's standard deviation of head distance over its mean.
    pub spacing_cv: f64,
    /// Least head distance over its width.
    pub min_spacing: f64,
    /// 95th percentile of the change of exterior angle, in degrees.
    pub kink_p95_deg: f64,
    /// 5th percentile of length over height.
    pub stretch_p05: f64,
    /// 95th percentile of length over height.
    pub stretch_p95: f64,
    /// Greatest length over height.
    pub stretch_max: f64,
    /// 95th percentile of lean, in degrees.
    pub lean_p95_deg: f64,
    /// Symmetry residual before averaging.
    pub residual_before: f64,
    /// Symmetry residual of what is drawn.
    pub residual: f64,
    /// Row by row.
    pub rows: Vec<RowQuality>,
}

/// The figures of one row.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct RowQuality {
    /// The row.
    pub row: RowId,
    /// Standard deviation of head distance over its mean.
    pub spacing_cv: f64,
    /// 95th percentile of the change of exterior angle, in degrees.
    pub kink_p95_deg: f64,
    /// 95th percentile of lean, in degrees.
    pub lean_p95_deg: f64,
}

impl Layout {
    /// The layout as in a mirror beside it: what a left hand works. Lengths, and so the figures of quality, stay.
    pub fn mirrored(mut self) -> Layout {
        let flip = |p: &mut Point| p.x = -p.x;
        for pose in &mut self.poses {
            pose.feet.iter_mut().for_each(flip);
            flip(&mut pose.head);
            if let Some(lying) = &mut pose.lying {
                flip(&mut lying.at);
                lying.angle_rad = -lying.angle_rad;
            }
        }
        for arc in &mut self.spaces {
            [&mut arc.start, &mut arc.apex, &mut arc.end].into_iter().for_each(flip);
        }
        self.rings.iter_mut().for_each(|ring| flip(&mut ring.centre));
        self
    }

    /// The pose of a stitch.
    ///
    /// # Panics
    /// Where the id is not of the fabric laid out.
    pub fn pose(&self, id: StitchId) -> &Pose {
        &self.poses[id.index()]
    }
}
