//! Where every stitch goes: fabric and sizes to positions. Knows no symbol and no page.

mod positions;

pub use positions::{Arc, Layout, Lying, Pose, Quality, RingPose, RowQuality};
