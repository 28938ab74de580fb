//! Fabric and layout as JSON documents.

use crate::fabric::{Event, Fabric, Part, Ring, Row, Space, Stitch};
use crate::layout::{Energy, Layout, Quality};
use crate::source::{Problem, Severity, SourceText, Span};
use kurbo::Point;
use serde::Serialize;
use serde_json::ser::Formatter;
use std::io;

/// Version of the documents' shape: grows when something changes, stays when something is added.
pub const SCHEMA: u32 = 1;

#[derive(Serialize)]
struct Document<T> {
    fanwise: &'static str,
    schema: u32,
    #[serde(flatten)]
    body: T,
}

fn headed<T: Serialize>(body: T) -> Document<T> {
    Document { fanwise: env!("CARGO_PKG_VERSION"), schema: SCHEMA, body }
}

/// A problem with its place in the file.
#[derive(Serialize)]
pub struct ProblemEntry<'a> {
    code: &'static str,
    severity: Severity,
    line: usize,
    column: usize,
    span: Span,
    message: &'a str,
    labels: &'a [crate::source::Label],
    hints: &'a [String],
    mends: &'a [crate::source::Mend],
}

impl<'a> ProblemEntry<'a> {
    /// The problem as it is written in every document.
    pub fn new(problem: &'a Problem, source: &SourceText) -> Self {
        let at = source.position(problem.span.start);
        ProblemEntry {
            code: problem.code.as_str(),
            severity: problem.severity,
            line: at.line,
            column: at.column,
            span: problem.span,
            message: &problem.message,
            labels: &problem.labels,
            hints: &problem.hints,
            mends: &problem.mends,
        }
    }
}

/// The fabric as a document: what was worked, whether that is everything, and what is wrong.
pub fn fabric_document(fabric: &Fabric, complete: bool, problems: &[Problem], source: &SourceText) -> String {
    #[derive(Serialize)]
    struct Body<'a> {
        title: &'a str,
        complete: bool,
        problems: Vec<ProblemEntry<'a>>,
        #[serde(flatten)]
        fabric: FabricBody<'a>,
        stitches: &'a [Stitch],
        edges: &'a [crate::fabric::Edge],
    }
    let body = Body {
        title: &fabric.title,
        complete,
        problems: problems.iter().map(|p| ProblemEntry::new(p, source)).collect(),
        fabric: FabricBody {
            parts: &fabric.parts,
            rows: &fabric.rows,
            rings: &fabric.rings,
            spaces: &fabric.spaces,
            events: &fabric.events,
        },
        stitches: &fabric.stitches,
        edges: &fabric.edges,
    };
    written(&headed(body))
}

#[derive(Serialize)]
struct FabricBody<'a> {
    parts: &'a [Part],
    rows: &'a [Row],
    rings: &'a [Ring],
    spaces: &'a [Space],
    events: &'a [Event],
}

/// The layout as a document: the fabric's objects with their positions, and the quality figures.
///
/// Units: sc widths, y down, chart view, right hand. Nine decimals.
///
/// # Panics
/// Where the layout is not one of this fabric.
pub fn layout_document(fabric: &Fabric, layout: &Layout) -> String {
    #[derive(Serialize)]
    struct Body<'a> {
        title: &'a str,
        parts: &'a [Part],
        rows: Vec<RowEntry<'a>>,
        rings: Vec<RingEntry<'a>>,
        spaces: Vec<SpaceEntry<'a>>,
        events: &'a [Event],
        stitches: Vec<StitchEntry<'a>>,
        quality: &'a Quality,
        #[serde(skip_serializing_if = "Option::is_none")]
        energy: Option<&'a Energy>,
    }
    assert_eq!(fabric.stitches.len(), layout.poses.len(), "a layout has one pose for each stitch");
    let spaces = fabric.spaces.iter().enumerate().map(|(k, space)| {
        let arc = layout.spaces.get(k).copied().unwrap_or_default();
        SpaceEntry { space, start: pair(arc.start), apex: pair(arc.apex), end: pair(arc.end) }
    });
    let rings = fabric.rings.iter().enumerate().map(|(k, ring)| {
        let pose = layout.rings.get(k).copied().unwrap_or_default();
        RingEntry { ring, centre: pair(pose.centre), radius: pose.radius }
    });
    let body = Body {
        title: &fabric.title,
        parts: &fabric.parts,
        rows: fabric.rows.iter().map(|row| RowEntry { row, closed: row.joined }).collect(),
        rings: rings.collect(),
        spaces: spaces.collect(),
        events: &fabric.events,
        stitches: fabric.stitches.iter().map(|s| stitch_entry(s, layout)).collect(),
        quality: &layout.quality,
        energy: layout.energy.as_ref(),
    };
    written(&headed(body))
}

#[derive(Serialize)]
struct RowEntry<'a> {
    #[serde(flatten)]
    row: &'a Row,
    closed: bool,
}

#[derive(Serialize)]
struct RingEntry<'a> {
    #[serde(flatten)]
    ring: &'a Ring,
    centre: [f64; 2],
    radius: f64,
}

#[derive(Serialize)]
struct SpaceEntry<'a> {
    #[serde(flatten)]
    space: &'a Space,
    start: [f64; 2],
    apex: [f64; 2],
    end: [f64; 2],
}

#[derive(Serialize)]
struct StitchEntry<'a> {
    #[serde(flatten)]
    stitch: &'a Stitch,
    feet: Vec<[f64; 2]>,
    head: [f64; 2],
    #[serde(skip_serializing_if = "Option::is_none")]
    at: Option<[f64; 2]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    angle_rad: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    length: Option<f64>,
}

fn stitch_entry<'a>(stitch: &'a Stitch, layout: &Layout) -> StitchEntry<'a> {
    let pose = layout.pose(stitch.id);
    StitchEntry {
        stitch,
        feet: pose.feet.iter().copied().map(pair).collect(),
        head: pair(pose.head),
        at: pose.lying.map(|l| pair(l.at)),
        angle_rad: pose.lying.map(|l| l.angle_rad),
        length: pose.lying.map(|l| l.length),
    }
}

fn pair(p: Point) -> [f64; 2] {
    [p.x, p.y]
}

/// Writes a document of ours, version and schema first.
pub fn document<T: Serialize>(body: T) -> String {
    written(&headed(body))
}

/// Writes any document of ours: numbers with at most nine decimals, fields in their order.
pub fn written<T: Serialize>(document: &T) -> String {
    let mut bytes = Vec::new();
    let mut writer = serde_json::Serializer::with_formatter(&mut bytes, NineDecimals);
    // OK because a document is plain data with string keys, and a Vec takes every byte
    document.serialize(&mut writer).expect("documents can be written");
    bytes.push(b'\n');
    String::from_utf8(bytes).expect("JSON is UTF-8")
}

/// Compact JSON in which no number has more than nine decimals: enough for any use, and the same on every machine.
struct NineDecimals;

impl Formatter for NineDecimals {
    fn write_f64<W: ?Sized + io::Write>(&mut self, writer: &mut W, value: f64) -> io::Result<()> {
        let mut text = format!("{value:.9}");
        let trimmed = text.trim_end_matches('0').len();
        text.truncate(trimmed);
        if text.ends_with('.') {
            text.push('0');
        }
        let text = if text == "-0.0" { "0.0" } else { &text };
        writer.write_all(text.as_bytes())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn documents_start_with_their_version_and_schema() {
        let text = fabric_document(&Fabric::default(), true, &[], &SourceText::new(""));
        assert!(
            text.starts_with(concat!("{\"fanwise\":\"", env!("CARGO_PKG_VERSION"), "\",\"schema\":1,\"title\":")),
            "{text}"
        );
    }

    #[test]
    fn numbers_have_at_most_nine_decimals_and_no_minus_zero() {
        let text = written(&[0.1 + 0.2, -0.0, 1e-9, 2.0, -1e-12]);
        assert_eq!(text.trim(), "[0.3,0.0,0.000000001,2.0,0.0]");
    }
}
