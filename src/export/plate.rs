//! Several scenes on one plate to SVG: each a drawing within the drawing, with ids of its own.

use super::labels::written;
use super::svg::{document, marks, number, text_of, titled};
use crate::chart::Plate;
use ::svg::{Document, Node};

/// Writes a plate as an SVG file.
///
/// Units and rounding are those of [`super::svg::write`]. Byte for byte the same for the same plate.
pub fn write(plate: &Plate) -> String {
    let frame = plate.frame;
    let (width, height) = plate.size_mm();
    let id = |name: &str| format!("{}-{name}", plate.prefix);
    let mut root = Document::new()
        .set("version", "1.1")
        .set("xmlns:xlink", "http://www.w3.org/1999/xlink")
        .set("class", "fanwise-plate")
        .set("role", "group")
        .set("lang", plate.lang)
        .set("xml:lang", plate.lang)
        .set("aria-labelledby", format!("{} {}", id("title"), id("desc")))
        .set("viewBox", [frame.x0, frame.y0, frame.width(), frame.height()].map(number).join(" "))
        .set("width", format!("{}mm", number(width)))
        .set("height", format!("{}mm", number(height)));
    root.append(titled("title", id("title"), &plate.title));
    root.append(titled("desc", id("desc"), &plate.desc));
    for panel in &plate.panels {
        let own = panel.scene.frame;
        let mut drawing = document(&panel.scene)
            .set("x", number(panel.at.x))
            .set("y", number(panel.at.y))
            .set("width", number(own.width()))
            .set("height", number(own.height()));
        if let Some(attributes) = drawing.get_attributes_mut() {
            // the plate around it says them
            ["xmlns", "xmlns:xlink", "version"].iter().for_each(|name| drop(attributes.remove(*name)));
        }
        root.append(drawing);
    }
    if !plate.marks.is_empty() {
        root.append(marks("marks", &plate.marks));
    }
    if !plate.legend.is_empty() {
        root.append(marks("legend", &plate.legend));
    }
    if !plate.labels.is_empty() {
        let font = plate.panels.first().map(|p| p.scene.font.clone()).unwrap_or_default();
        let outlined = plate.panels.iter().any(|p| p.scene.outlined);
        root.append(written(&plate.labels, &font, outlined));
    }
    text_of(root)
}
