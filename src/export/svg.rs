//! Scene to SVG: drawing features of SVG 1.1 only, no scripts, nothing from outside.

use super::labels::labels;
use super::theme;
use crate::chart::{Figure, Ink, Mark, MarkRole, Paint, RowGroup, Scene, Shape, Sheet};
use ::svg::node::Text;
use ::svg::node::element::Element;
use ::svg::{Document, Node};
use kurbo::{BezPath, PathEl, Point};
use std::fmt::Write;

/// Writes a scene as an SVG file.
///
/// Units: sc widths in the view box, millimetres on the page. Numbers are rounded to three decimals, which is the
/// only rounding on the way. Byte for byte the same for the same scene.
pub fn write(scene: &Scene) -> String {
    text_of(document(scene))
}

/// A document as the text of a file.
pub(super) fn text_of(root: Document) -> String {
    let mut text = root.to_string();
    text.push('\n');
    text
}

/// The scene as a tree of elements.
pub(super) fn document(scene: &Scene) -> Document {
    let frame = scene.frame;
    let (width, height) = scene.size_mm();
    let id = |name: &str| format!("{}-{name}", scene.prefix);
    let mut root = Document::new()
        .set("version", "1.1")
        .set("xmlns:xlink", "http://www.w3.org/1999/xlink")
        .set("class", "fanwise")
        .set("role", "img")
        .set("lang", scene.lang)
        .set("xml:lang", scene.lang)
        .set("aria-labelledby", format!("{} {}", id("title"), id("desc")))
        .set("id", scene.prefix.as_str())
        .set("viewBox", [frame.x0, frame.y0, frame.width(), frame.height()].map(number).join(" "))
        .set("width", format!("{}mm", number(width)))
        .set("height", format!("{}mm", number(height)));
    root.append(titled("title", id("title"), &scene.title));
    root.append(titled("desc", id("desc"), &scene.desc));
    let mut style = Element::new("style");
    style.append(Text::new(theme::rules(scene)));
    root.append(style);
    body(scene).into_iter().for_each(|part| root.append(part));
    root
}

/// Writes a printed page as an SVG of its size: what is shown of the chart, cut at the edges of its windows, and over
/// it the marks by which pages are joined.
///
/// Units: millimetres.
pub fn write_sheet(sheet: &Sheet) -> String {
    let mut root = Document::new()
        .set("xmlns:xlink", "http://www.w3.org/1999/xlink")
        .set("viewBox", [0.0, 0.0, sheet.width_mm, sheet.height_mm].map(number).join(" "))
        .set("width", format!("{}mm", number(sheet.width_mm)))
        .set("height", format!("{}mm", number(sheet.height_mm)));
    for view in &sheet.views {
        let (window, to) = (view.window, view.to_mm);
        let attributes = [
            ("x", number(to.x0)),
            ("y", number(to.y0)),
            ("width", number(to.width())),
            ("height", number(to.height())),
            ("viewBox", [window.x0, window.y0, window.width(), window.height()].map(number).join(" ")),
            // the three decimals of the sizes must not shift the drawing
            ("preserveAspectRatio", "none".to_owned()),
        ];
        let mut part = element("svg", attributes);
        body(&view.scene).into_iter().for_each(|p| part.append(p));
        root.append(part);
    }
    if !sheet.marks.is_empty() {
        let mark = |shape: &Shape| Mark {
            role: MarkRole::Register,
            ink: Ink::BLACK,
            tint: None,
            dashed: false,
            shapes: vec![shape.clone()],
            tip: None,
            stitch: None,
        };
        root.append(marks("register", &sheet.marks.iter().map(mark).collect::<Vec<_>>()));
    }
    if let Some(view) = sheet.views.first().filter(|_| !sheet.labels.is_empty()) {
        root.append(labels(&sheet.labels, &view.scene));
    }
    root.to_string()
}

/// Everything a chart consists of but its words for screen readers, in drawing order.
fn body(scene: &Scene) -> Vec<Element> {
    let id = |name: &str| format!("{}-{name}", scene.prefix);
    let mut parts = Vec::new();
    let uses = stamp_uses(scene);
    if uses.iter().any(|&n| n > 1) {
        let mut defs = Element::new("defs");
        for (stamp, _) in scene.stamps.iter().zip(&uses).filter(|(_, n)| **n > 1) {
            defs.append(element("path", [("id", id(&stamp.name)), ("d", path_data(&stamp.path))]));
        }
        parts.push(defs);
    }
    for (class, role) in [("bands", MarkRole::Band), ("doubts", MarkRole::Doubt)] {
        let tints: Vec<Mark> = scene.tints.iter().filter(|m| m.role == role).cloned().collect();
        if !tints.is_empty() {
            parts.push(marks(class, &tints));
        }
    }
    for layer in &scene.layers {
        let mut group = marks(&format!("overlay {}", layer.show.name()), &layer.marks);
        group.append(labels(&layer.labels, scene));
        parts.push(group);
    }
    let whole = common_width(scene.figures()).unwrap_or(STROKE);
    let work = [
        ("class", "work".to_owned()),
        ("fill", "none".to_owned()),
        ("stroke-linecap", "round".to_owned()),
        ("stroke-linejoin", "round".to_owned()),
        ("stroke-width", number(whole)),
    ];
    let mut work = element("g", work);
    for row in &scene.rows {
        let width = common_width(row.figures.iter()).unwrap_or(whole);
        let mut group = Stitches { scene, uses: &uses, width }.row(row);
        if width != whole {
            group.assign("stroke-width", number(width));
        }
        work.append(group);
    }
    parts.push(work);
    if !scene.marks.is_empty() {
        parts.push(marks("marks", &scene.marks));
    }
    if !scene.legend.is_empty() {
        parts.push(marks("legend", &scene.legend));
    }
    if !scene.labels.is_empty() {
        parts.push(labels(&scene.labels, scene));
    }
    parts
}

struct Stitches<'a> {
    scene: &'a Scene,
    uses: &'a [usize],
    width: f64,
}

impl Stitches<'_> {
    fn row(&self, row: &RowGroup) -> Element {
        let name = format!("{}-r{}", self.scene.prefix, row.row.index());
        let index = row.row.index().to_string();
        let mut group =
            element("g", [("class", "row".into()), ("data-row", index), ("id", name), ("stroke", row.ink.to_string())]);
        for ring in &row.rings {
            let mut drawn = self.shape(ring, row.ink, row.ink);
            drawn.assign("class", "ring");
            group.append(drawn);
        }
        for figure in &row.figures {
            group.append(self.figure(figure, row));
        }
        group
    }

    /// One element for a stitch: the shape itself where there is one, else a group.
    fn figure(&self, figure: &Figure, row: &RowGroup) -> Element {
        let mut parts: Vec<Element> = Vec::new();
        let plain = |s: &&Shape| s.placed.is_none() && s.paint == Paint::Stroke(self.width);
        let mut lines = BezPath::new();
        figure.shapes.iter().filter(plain).for_each(|s| lines.extend(s.path.iter()));
        if !lines.elements().is_empty() {
            let mut path = element("path", [("d", path_data(&lines))]);
            if figure.ink != row.ink {
                path.assign("stroke", figure.ink.to_string());
            }
            parts.push(path);
        }
        parts.extend(figure.shapes.iter().filter(|s| !plain(s)).map(|s| self.shape(s, figure.ink, row.ink)));
        let mut whole = match parts.len() {
            1 => parts.remove(0),
            _ => {
                let mut group = Element::new("g");
                parts.into_iter().for_each(|p| group.append(p));
                group
            }
        };
        whole.assign("class", format!("stitch {}", figure.class));
        if !figure.into.is_empty() {
            whole.assign("data-into", figure.into.as_str());
        }
        whole.assign("data-stitch", figure.stitch.index());
        whole.assign("data-span", format!("{},{}", figure.span.start, figure.span.end));
        whole.assign("id", format!("{}-r{}-s{}", self.scene.prefix, row.row.index(), figure.position));
        whole
    }

    fn shape(&self, shape: &Shape, ink: Ink, row_ink: Ink) -> Element {
        let mut drawn = match shape.placed.filter(|p| self.uses[p.stamp] > 1) {
            Some(placed) => {
                let turn = placed.angle_rad.to_degrees().rem_euclid(360.0);
                let mut to = format!("translate({} {})", number(placed.at.x), number(placed.at.y));
                if number(turn) != "0" {
                    let _ = write!(to, "rotate({})", number(turn));
                }
                let link = format!("#{}-{}", self.scene.prefix, self.scene.stamps[placed.stamp].name);
                element("use", [("xlink:href", link), ("transform", to)])
            }
            None => element("path", [("d", path_data(&shape.path))]),
        };
        match shape.paint {
            Paint::Fill => {
                drawn.assign("fill", ink.to_string());
                drawn.assign("stroke", "none");
            }
            Paint::Stroke(width) => {
                if ink != row_ink {
                    drawn.assign("stroke", ink.to_string());
                }
                if width != self.width {
                    drawn.assign("stroke-width", number(width));
                }
            }
        }
        drawn
    }
}

/// Width of the lines of a chart that has none.
const STROKE: f64 = 0.09;

/// The stroke width of most of some stitches.
fn common_width<'a>(figures: impl Iterator<Item = &'a Figure>) -> Option<f64> {
    let mut widths: Vec<(f64, usize)> = Vec::new();
    for shape in figures.flat_map(|f| &f.shapes) {
        if let Paint::Stroke(width) = shape.paint {
            match widths.iter_mut().find(|(w, _)| *w == width) {
                Some((_, n)) => *n += 1,
                None => widths.push((width, 1)),
            }
        }
    }
    widths.into_iter().rev().max_by_key(|(_, n)| *n).map(|(w, _)| w)
}

fn stamp_uses(scene: &Scene) -> Vec<usize> {
    let mut uses = vec![0; scene.stamps.len()];
    let placed = scene.figures().flat_map(|f| &f.shapes).filter_map(|s| s.placed);
    placed.for_each(|p| uses[p.stamp] += 1);
    uses
}

pub(super) fn marks(class: &str, marks: &[Mark]) -> Element {
    let start = [
        ("class", class.to_owned()),
        ("fill", "none".to_owned()),
        ("stroke-linecap", "round".to_owned()),
        ("stroke-linejoin", "round".to_owned()),
    ];
    let mut group = element("g", start);
    for mark in marks.iter().filter(|m| !m.shapes.is_empty()) {
        let mut one = element("g", [("class", mark_class(mark.role).to_owned())]);
        let filled = mark.shapes.iter().any(|s| s.paint == Paint::Fill);
        for shape in &mark.shapes {
            let mut path = element("path", [("d", path_data(&shape.path))]);
            match shape.paint {
                Paint::Fill => path.assign("fill", mark.tint.unwrap_or(mark.ink).to_string()),
                Paint::Stroke(width) => {
                    path.assign("stroke", mark.ink.to_string());
                    path.assign("stroke-width", number(width));
                    if mark.dashed {
                        path.assign("stroke-dasharray", format!("{} {}", number(3.0 * width), number(3.0 * width)));
                    }
                    // a tint with an outline of its own has it filled there
                    if let Some(tint) = mark.tint.filter(|_| !filled) {
                        path.assign("fill", tint.to_string());
                    }
                }
            }
            one.append(path);
        }
        group.append(one);
    }
    group
}

fn mark_class(role: MarkRole) -> &'static str {
    match role {
        MarkRole::Band => "band",
        MarkRole::Doubt => "doubt",
        MarkRole::Scale => "scale",
        MarkRole::Arrow => "arrow",
        MarkRole::Turn => "turn",
        MarkRole::Attach => "attach",
        MarkRole::Cut => "cut",
        MarkRole::Symbol => "symbol",
        MarkRole::Swatch => "swatch",
        MarkRole::Register => "register",
        MarkRole::Increase => "increase",
        MarkRole::Decrease => "decrease",
        MarkRole::Way => "way",
        MarkRole::OpenLoop => "open-loop",
        MarkRole::HalfLoop => "half-loop",
        MarkRole::Fair => "fair",
        MarkRole::Poor => "poor",
        MarkRole::BendFits => "bend-fits",
        MarkRole::BendFew => "bend-few",
        MarkRole::BendMany => "bend-many",
        MarkRole::Move => "move",
        MarkRole::Edge => "edge",
        MarkRole::Bound => "bound",
        MarkRole::Base => "base",
        MarkRole::Outline => "outline",
        MarkRole::Seam => "seam",
        MarkRole::Block => "cell filled",
        MarkRole::Open => "cell open",
    }
}

pub(super) fn titled(name: &str, id: String, words: &str) -> Element {
    let mut element = element(name, [("id", id)]);
    element.append(Text::new(printable(words)));
    element
}

pub(super) fn element<const N: usize>(name: &str, attributes: [(&str, String); N]) -> Element {
    let mut element = Element::new(name);
    attributes.into_iter().for_each(|(name, value)| element.assign(name, value));
    element
}

/// The words without the characters that XML cannot hold.
pub(super) fn printable(text: &str) -> String {
    let bad = |c: char| (c < ' ' && !matches!(c, '\t' | '\n' | '\r')) || matches!(c, '\u{fffe}' | '\u{ffff}');
    text.chars().filter(|&c| !bad(c)).collect()
}

/// Three decimals, no trailing zeros, no minus before a zero, no zero before a point.
pub(super) fn number(value: f64) -> String {
    let mut text = format!("{value:.3}");
    if text.contains('.') {
        text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
    }
    if text == "-0" {
        return "0".to_owned();
    }
    match text.strip_prefix("-0.") {
        Some(rest) => format!("-.{rest}"),
        None => text.strip_prefix("0.").map(|rest| format!(".{rest}")).unwrap_or(text),
    }
}

pub(super) fn path_data(path: &BezPath) -> String {
    let mut data = String::new();
    let mut points = |command: char, points: &[Point]| {
        data.push(command);
        for (i, p) in points.iter().enumerate() {
            let _ = write!(data, "{}{} {}", if i > 0 { " " } else { "" }, number(p.x), number(p.y));
        }
    };
    for element in path.elements() {
        match *element {
            PathEl::MoveTo(p) => points('M', &[p]),
            PathEl::LineTo(p) => points('L', &[p]),
            PathEl::QuadTo(a, p) => points('Q', &[a, p]),
            PathEl::CurveTo(a, b, p) => points('C', &[a, b, p]),
            PathEl::ClosePath => points('Z', &[]),
        }
    }
    data
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_short_and_never_minus_zero() {
        let written = [0.0, -0.0001, 0.25, -0.5, 12.0, 100.0, 1.23456].map(number);
        assert_eq!(written, ["0", "0", ".25", "-.5", "12", "100", "1.235"]);
    }

    #[test]
    fn words_that_xml_cannot_hold_are_left_out() {
        assert_eq!(printable("pear\u{0}\u{b} <leaf>"), "pear <leaf>");
    }
}
