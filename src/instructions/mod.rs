//! The instruction tree: what the words ask for, before anything is worked.
//!
//! Pattern, parts, rows, steps; every node carries the span of the words it came from.

mod pattern;
mod print;
pub(crate) use print::ordinal;
mod row;
mod shape;
mod step;
mod until;

pub use pattern::{Assumed, Convention, Gauge, Note, Part, Pattern, RoundGauge, SizeList, Special, Terms, Yarn};
pub use row::{AS_EVEN, AS_NAMED, CountOf, Heading, Row, RowKind, RowName, Rows, Stated};
pub use shape::{Pick, Which};
pub use step::{Act, Class, JoinTo, PartRows, Step, Target, Times, WhichPart};
pub use until::{EndWith, Measure, Until};
