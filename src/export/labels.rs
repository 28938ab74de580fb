//! Words of a scene, as text or as outlines.

use super::svg::{element, number, path_data, printable};
use crate::chart::{Anchor, Font, Label, LabelRole, Scene, text_outline};
use ::svg::Node;
use ::svg::node::Text;
use ::svg::node::element::Element;
use kurbo::Point;

/// Shorter words hardly differ from font to font.
const MEASURED: usize = 4;

/// Labels in the manner of a scene.
pub(super) fn labels(labels: &[Label], scene: &Scene) -> Element {
    set(labels, &scene.font, scene.outlined, scene.fitted)
}

/// Labels in a font, as text or as outlines.
pub(super) fn written(labels: &[Label], font: &Font, outlined: bool) -> Element {
    set(labels, font, outlined, false)
}

fn set(labels: &[Label], font: &Font, outlined: bool, fitted: bool) -> Element {
    let mut group = element("g", [("class", "labels".to_owned())]);
    if !outlined {
        let family = font.family().replace(['\'', '\\'], "");
        group.assign("font-family", format!("'{family}',sans-serif"));
    }
    for label in labels {
        let class = class_of(label.role).to_owned();
        let ink = ("fill", label.ink.to_string());
        if outlined {
            let x = match label.anchor {
                Anchor::Start => label.at.x,
                Anchor::Middle => label.bounds.center().x - label.bounds.width() / 2.0,
            };
            let path = text_outline(font, &label.text, label.size, Point::new(x, label.at.y));
            group.append(element("path", [("class", class), ("d", path_data(&path)), ink]));
            continue;
        }
        let start = [
            ("class", class),
            ("x", number(label.at.x)),
            ("y", number(label.at.y)),
            ("font-size", number(label.size)),
            ink,
        ];
        let mut text = element("text", start);
        if label.anchor == Anchor::Middle {
            text.assign("text-anchor", "middle");
        }
        if fitted && label.text.chars().count() >= MEASURED {
            text.assign("textLength", number(label.bounds.width()));
            text.assign("lengthAdjust", "spacingAndGlyphs");
        }
        text.append(Text::new(printable(&label.text)));
        group.append(text);
    }
    group
}

fn class_of(role: LabelRole) -> &'static str {
    match role {
        LabelRole::Title => "title",
        LabelRole::RowNumber => "row-number",
        LabelRole::YarnLetter => "yarn-letter",
        LabelRole::RingNumber => "ring-number",
        LabelRole::Legend => "legend-words",
        LabelRole::Key => "key-words",
        LabelRole::Scale => "scale",
        LabelRole::Credit => "credit",
        LabelRole::Page => "page",
        LabelRole::Words => "words",
        LabelRole::Note => "note",
        LabelRole::Table => "table",
    }
}
