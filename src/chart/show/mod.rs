//! What the designer wants to see: layers laid under the stitches, each apart, with labels placed by search.

mod counts;
mod curve;
mod hull;
mod increases;
mod loops;
mod order;
mod outline;
mod quality;

use super::columns::Entry;
use super::ground::Ground;
use super::metrics::Metrics;
use super::scene::{Figure, Label, LabelRole, Mark, MarkRole, Paint, Shape};
use super::trace::traced;
use super::{Ink, Style};
use crate::fabric::{Fabric, RowId, StitchId};
use crate::layout::Layout;
use crate::measure::{Curve, Outline};
use crate::symbol::{PartKind, Speak, word};
use kurbo::{BezPath, Point};

/// A layer that can be shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Show {
    /// Where stitches are gained and lost.
    Increases,
    /// How many stitches a row has, at its end.
    Counts,
    /// The way the work goes, and every fifth stitch of a row by its number.
    Order,
    /// Loops and spaces that nothing is worked into.
    Loops,
    /// The worst places of the layout.
    Quality,
    /// The curve check: what each bend needs and gets, and where increases should move.
    Curve,
    /// The outline of the piece in its true proportions, with its size where the gauge is known.
    Outline,
}

impl Show {
    /// Every layer, in the order they are drawn.
    pub const ALL: [Show; 7] =
        [Show::Curve, Show::Outline, Show::Order, Show::Increases, Show::Loops, Show::Quality, Show::Counts];

    /// Its name, which is the class of its group.
    pub const fn name(self) -> &'static str {
        match self {
            Show::Increases => "increases",
            Show::Counts => "counts",
            Show::Order => "order",
            Show::Loops => "loops",
            Show::Quality => "quality",
            Show::Curve => "curve",
            Show::Outline => "outline",
        }
    }
}

/// One layer as drawn.
#[derive(Clone, Debug)]
pub struct Layer {
    /// What it shows.
    pub show: Show,
    /// Its tints and lines.
    pub marks: Vec<Mark>,
    /// Its words.
    pub labels: Vec<Label>,
}

/// What layers are made of.
pub(super) struct Work<'a> {
    pub fabric: &'a Fabric,
    pub layout: &'a Layout,
    pub style: &'a Style,
    pub speak: Speak,
    pub metrics: &'a Metrics<'a>,
    /// Everything drawn so far, by stitch.
    pub figures: Vec<Option<&'a Figure>>,
    /// The curve check, where it is shown.
    pub curve: Option<&'a Curve>,
    /// The true outlines, where they are shown.
    pub outlines: &'a [Outline],
}

impl Work<'_> {
    /// True where a stitch is drawn.
    fn is_drawn(&self, id: StitchId) -> bool {
        self.figures[id.index()].is_some()
    }

    /// A short label, not yet in its place.
    fn note(&self, text: &str, ink: Ink) -> Label {
        let size = self.style.text_size(0.44, 6.0);
        self.metrics.centred(LabelRole::Note, text, Point::ORIGIN, size, ink)
    }

    /// The stitches of a row that have a place in its line and are drawn.
    fn line(&self, row: RowId) -> Vec<StitchId> {
        self.fabric.row(row).order.iter().copied().filter(|&id| self.is_drawn(id)).collect()
    }
}

/// Makes the layers asked for and puts what they draw on the ground. Lines and rings go first, then labels, the ones
/// that say most before the ones that can be done without.
pub(super) fn place(work: &Work, ground: &mut Ground) -> Vec<Layer> {
    let mut layers: Vec<Layer> =
        Show::ALL.into_iter().filter(|s| work.style.show.contains(s)).map(|show| lines(show, work, ground)).collect();
    for mark in layers.iter().flat_map(|l| &l.marks).filter(|m| fill(m.role).0.is_some()) {
        mark.shapes.iter().filter(|s| s.paint != Paint::Fill).flat_map(traced).for_each(|s| ground.add(s, None));
    }
    for show in [Show::Outline, Show::Curve, Show::Increases, Show::Quality, Show::Counts, Show::Order] {
        if let Some(layer) = layers.iter_mut().find(|l| l.show == show) {
            layer.labels = words(show, work, ground);
        }
    }
    layers
}

/// What a layer draws. Bands and rings are put on the ground, so that they keep off each other; tints may meet.
fn lines(show: Show, work: &Work, ground: &mut Ground) -> Layer {
    let marks = match show {
        Show::Order => order::way(work, ground),
        Show::Loops => loops::rings(work, ground),
        Show::Increases => increases::tints(work, ground),
        Show::Quality => quality::tints(work, ground),
        Show::Curve => curve::bands(work, ground),
        Show::Outline => outline::lines(work, ground),
        Show::Counts => Vec::new(),
    };
    Layer { show, marks, labels: Vec::new() }
}

/// What a layer says.
fn words(show: Show, work: &Work, ground: &mut Ground) -> Vec<Label> {
    match show {
        Show::Order => order::numbers(work, ground),
        Show::Increases => increases::signs(work, ground),
        Show::Quality => quality::figures(work, ground),
        Show::Curve => curve::figures(work, ground),
        Show::Outline => outline::sizes(work, ground),
        Show::Counts => counts::at_row_ends(work, ground),
        // a ring says all
        Show::Loops => Vec::new(),
    }
}

/// What the legend says of the layers: only what they show.
pub(super) fn entries(layers: &[Layer], speak: Speak) -> Vec<Entry> {
    let mut entries = Vec::new();
    for layer in layers {
        entries.extend(match layer.show {
            Show::Increases => increases::entries(&layer.marks, speak),
            Show::Loops => loops::entries(&layer.marks, speak),
            Show::Order => order::entries(speak),
            Show::Quality => quality::entries(&layer.marks, speak),
            Show::Curve => curve::entries(&layer.marks, speak),
            Show::Outline => outline::entries(&layer.marks, speak),
            // a number with its unit needs no explaining
            Show::Counts => Vec::new(),
        });
    }
    entries
}

/// What a mark of a layer is filled with under its line, and whether that is dashed; the legend shows it alike.
pub(super) const fn fill(role: MarkRole) -> (Option<Ink>, bool) {
    match role {
        MarkRole::Increase => (Some(increases::MORE_TINT), false),
        MarkRole::Decrease => (Some(increases::LESS_TINT), true),
        MarkRole::Edge => (None, true),
        MarkRole::Fair => (Some(quality::FAIR_TINT), false),
        MarkRole::Poor => (Some(quality::POOR_TINT), false),
        _ => (None, false),
    }
}

/// A line of a layer as a mark.
fn mark(role: MarkRole, ink: Ink, path: BezPath, width: f64) -> Mark {
    let shape = Shape { kind: PartKind::Body, path, paint: Paint::Stroke(width), placed: None };
    let (tint, dashed) = fill(role);
    Mark { role, ink, tint, dashed, shapes: vec![shape], tip: None, stitch: None }
}

/// A line of the legend about a layer.
fn entry(sample: Mark, key: &str, speak: Speak) -> Entry {
    Entry {
        shapes: sample.shapes,
        role: sample.role,
        ink: sample.ink,
        text: word(key, speak),
        label: LabelRole::Legend,
    }
}
