use super::{Font, Ink, Layer};
use crate::fabric::{RowId, StitchId};
use crate::source::Span;
use crate::symbol::PartKind;
use kurbo::{Affine, BezPath, Point, Rect};

/// A chart with everything placed: what exporters write and tests measure.
///
/// Units: sc widths, y down.
#[derive(Clone, Debug, Default)]
pub struct Scene {
    /// The page: everything lies in it.
    pub frame: Rect,
    /// Printed width of one sc.
    pub mm_per_sc: f64,
    /// The font of the labels.
    pub font: Font,
    /// Title in words.
    pub title: String,
    /// The chart read aloud, row by row.
    pub desc: String,
    /// Language of the words, as in HTML.
    pub lang: &'static str,
    /// Prefix of every id.
    pub prefix: String,
    /// Shapes that many stitches share.
    pub stamps: Vec<Stamp>,
    /// Tints that lie under the stitches.
    pub tints: Vec<Mark>,
    /// What was asked to be shown, layer by layer; it lies under the stitches.
    pub layers: Vec<Layer>,
    /// The rows, lowest layer first.
    pub rows: Vec<RowGroup>,
    /// Arrow, triangles.
    pub marks: Vec<Mark>,
    /// Symbols and swatches of the legend.
    pub legend: Vec<Mark>,
    /// True where words are to be written as outlines.
    pub outlined: bool,
    /// True where words are to keep the width they were placed with, whatever font a reader has. Painters that know
    /// nothing of it leave them as the font has them.
    pub fitted: bool,
    /// Every piece of text.
    pub labels: Vec<Label>,
}

/// A shape that many stitches share, about the origin.
#[derive(Clone, Debug)]
pub struct Stamp {
    /// Part of its id: `ch`, `ch2`.
    pub name: String,
    /// Its line or outline.
    pub path: BezPath,
}

/// The stitches of one row.
#[derive(Clone, Debug)]
pub struct RowGroup {
    /// The row.
    pub row: RowId,
    /// Its label as published.
    pub label: String,
    /// The ink of most of it.
    pub ink: Ink,
    /// The ring it is worked into, where it is the first.
    pub rings: Vec<Shape>,
    /// Its stitches, in yarn order.
    pub figures: Vec<Figure>,
}

/// One stitch as drawn.
#[derive(Clone, Debug)]
pub struct Figure {
    /// The stitch.
    pub stitch: StitchId,
    /// Its kind as a class name: `sl-st`, `sc2tog`.
    pub class: String,
    /// What it is worked into, in short: `12 c3 s40-42`; nothing where it is into nothing.
    pub into: String,
    /// Its place in its row, in yarn order from 1.
    pub position: usize,
    /// The words it was made by.
    pub span: Span,
    /// Its ink.
    pub ink: Ink,
    /// Its layer.
    pub layer: i32,
    /// Its parts; never none.
    pub shapes: Vec<Shape>,
}

/// How a shape is painted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Paint {
    /// A line of this width, round caps and joins.
    Stroke(f64),
    /// Filled.
    Fill,
}

/// One line or outline.
#[derive(Clone, Debug)]
pub struct Shape {
    /// What part of its symbol it is.
    pub kind: PartKind,
    /// Where it is.
    pub path: BezPath,
    /// How it is painted.
    pub paint: Paint,
    /// The same as a shared shape moved to its place, where it is one.
    pub placed: Option<Placed>,
}

/// Where a shared shape is put.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placed {
    /// Index of the stamp.
    pub stamp: usize,
    /// Where its origin goes.
    pub at: Point,
    /// Turned by, clockwise on the page.
    pub angle_rad: f64,
}

impl Placed {
    /// The move as a transform.
    pub fn affine(&self) -> Affine {
        let (sin, cos) = libm::sincos(self.angle_rad);
        Affine::new([cos, sin, -sin, cos, self.at.x, self.at.y])
    }
}

/// What a mark is there for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MarkRole {
    /// Pale band under a row.
    Band,
    /// Pale tint under stitches in doubt.
    Doubt,
    /// Length of the worked piece.
    Scale,
    /// Direction of the work, at its start.
    Arrow,
    /// The work is turned between rounds.
    Turn,
    /// Yarn attached.
    Attach,
    /// Yarn cut.
    Cut,
    /// A symbol of the legend.
    Symbol,
    /// A swatch of the colour key.
    Swatch,
    /// Where pages are joined.
    Register,
    /// Stitches gained.
    Increase,
    /// Stitches lost.
    Decrease,
    /// The way of the work.
    Way,
    /// A loop or space that nothing is worked into.
    OpenLoop,
    /// A stitch with one of its two loops left.
    HalfLoop,
    /// The worst of a layout that reads well.
    Fair,
    /// A place that reads badly.
    Poor,
    /// A bend that gets the stitches a flat piece needs.
    BendFits,
    /// A bend with too few.
    BendFew,
    /// A place with too many.
    BendMany,
    /// From increases to the bend they should serve.
    Move,
    /// The edge of the piece in its true proportions.
    Edge,
    /// Where a repeat begins or ends.
    Bound,
    /// What a row stands on that is drawn elsewhere.
    Base,
    /// A part as a plain shape.
    Outline,
    /// Where a part is worked on another.
    Seam,
    /// A filled square.
    Block,
    /// An open square.
    Open,
}

/// Something drawn that is no stitch.
#[derive(Clone, Debug)]
pub struct Mark {
    /// What it is there for.
    pub role: MarkRole,
    /// Its ink.
    pub ink: Ink,
    /// Filled with this under its line, where it is: within its filled shapes, where it has any, else within its lines.
    pub tint: Option<Ink>,
    /// True for a dashed line.
    pub dashed: bool,
    /// What it is made of.
    pub shapes: Vec<Shape>,
    /// The point it points at: the tip of a triangle or arrow.
    pub tip: Option<Point>,
    /// The stitch it belongs to.
    pub stitch: Option<StitchId>,
}

/// What a piece of text is there for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LabelRole {
    /// The title.
    Title,
    /// Number of a row or round.
    RowNumber,
    /// Letter of a yarn at its triangle.
    YarnLetter,
    /// Number of chains in a ring.
    RingNumber,
    /// Words of the legend.
    Legend,
    /// Words of the colour key.
    Key,
    /// Length that a scale bar stands for.
    Scale,
    /// Line of credit.
    Credit,
    /// Name of a page that is to be joined to others.
    Page,
    /// Words of a row under its figure.
    Words,
    /// A word or figure of a layer.
    Note,
    /// A cell of a table.
    Table,
}

/// Which point of the text is given.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// Its start.
    Start,
    /// Its middle.
    Middle,
}

/// A piece of text on one line, upright.
#[derive(Clone, Debug)]
pub struct Label {
    /// What it is there for.
    pub role: LabelRole,
    /// The words.
    pub text: String,
    /// The point of the baseline given by `anchor`.
    pub at: Point,
    /// Which point of the text that is.
    pub anchor: Anchor,
    /// Size of the letters, as a font counts it.
    pub size: f64,
    /// Its ink.
    pub ink: Ink,
    /// The row it belongs to.
    pub row: Option<RowId>,
    /// The box of its ink, from the metrics of the font carried along.
    pub bounds: Rect,
}

impl Scene {
    /// The figure of a stitch.
    pub fn figure(&self, id: StitchId) -> Option<&Figure> {
        self.rows.iter().flat_map(|r| &r.figures).find(|f| f.stitch == id)
    }

    /// The ink most of a row is drawn in.
    pub fn row_ink(&self, row: RowId) -> Ink {
        self.rows.iter().find(|g| g.row == row).map_or(Ink::BLACK, |g| g.ink)
    }

    /// Every figure, in drawing order.
    pub fn figures(&self) -> impl Iterator<Item = &Figure> {
        self.rows.iter().flat_map(|r| &r.figures)
    }

    /// Printed width and height.
    pub fn size_mm(&self) -> (f64, f64) {
        (self.frame.width() * self.mm_per_sc, self.frame.height() * self.mm_per_sc)
    }
}
