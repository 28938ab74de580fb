//! A scene to an SVG that shows its rows one after another: CSS alone, nothing that runs.
//!
//! Without CSS, or for a reader who asks for less motion, it is the whole chart with the words of all rows.

use super::svg::{document, number, text_of};
use crate::chart::{Ink, Scene};
use ::svg::Node;
use ::svg::node::element::Element;
use ::svg::node::{Text, Value};
use std::fmt::Write;

/// How long each row stands alone, and how many times as long the whole chart stands at the end.
const SECONDS_A_ROW: f64 = 2.5;
const HOLD: usize = 2;

/// Writes a scene that holds the words of its rows, as [`crate::chart::with_words`] makes it, so that its rows appear
/// in working order: the new row in ink with its words, the rows before it in grey, at the end the whole chart.
///
/// It begins again and again, and stands still under the pointer. The rules are bound to ids and classes of this one
/// file, so that several can stand in one page. Byte for byte the same for the same scene.
pub fn write(scene: &Scene) -> String {
    let mut root = document(scene);
    let mut rows: Vec<usize> = scene.rows.iter().filter(|g| !g.figures.is_empty()).map(|g| g.row.index()).collect();
    rows.sort_unstable();
    let first = rows.first().copied();
    let prefix = &scene.prefix;
    // what belongs to a row gets a class by which it appears with it
    let labels = scene.labels.iter().map(|l| l.row.map(|r| r.index())).collect::<Vec<_>>();
    let marks = scene.marks.iter().filter(|m| !m.shapes.is_empty());
    let row_of = |id| scene.rows.iter().find(|g| g.figures.iter().any(|f| f.stitch == id)).map(|g| g.row.index());
    let marks = marks.map(|m| m.stitch.map_or(first, row_of)).collect::<Vec<_>>();
    // a ring begun in a row of its own appears with what is worked into it
    let alone: Vec<Option<usize>> =
        scene.rows.iter().map(|g| (g.figures.is_empty() && !g.rings.is_empty()).then(|| g.row.index() + 1)).collect();
    for child in root.get_children_mut().into_iter().flatten() {
        let class = child.get_attributes().and_then(|a| a.get("class")).map(ToString::to_string);
        let of = match class.as_deref() {
            Some("labels") => &labels,
            Some("marks") => &marks,
            Some("work") => &alone,
            _ => continue,
        };
        for (node, row) in child.get_children_mut().into_iter().flatten().zip(of) {
            let Some((attributes, row)) = node.get_attributes_mut().zip(*row) else { continue };
            let told = attributes.get("class").map(ToString::to_string).unwrap_or_default();
            attributes.insert("class".into(), Value::from(format!("{told} {prefix}-of{row}")));
        }
    }
    let mut style = Element::new("style");
    style.append(Text::new(rules(prefix, &rows)));
    // behind title and description, which come first
    if let Some(children) = root.get_children_mut() {
        children.insert(2.min(children.len()), Box::new(style));
    }
    text_of(root)
}

/// The rules by which each row comes at its time, turns grey, and has its own ink again at the end.
fn rules(prefix: &str, rows: &[usize]) -> String {
    let beats = rows.len() + HOLD;
    let seconds = number(beats as f64 * SECONDS_A_ROW);
    let at = |beat: usize| number(100.0 * beat as f64 / beats as f64);
    let past = |line: Ink, words: Ink| format!("#{prefix}{{--past:{line};--past-words:{words}}}");
    let (line, words) = (Ink::PAST, Ink::PAST_WORDS);
    let (light, dark) = (past(line, words), past(line.at_night(), words.at_night()));
    let mut css = format!(
        "@media (prefers-reduced-motion:no-preference){{{light}@media (prefers-color-scheme:dark){{{dark}}}@media print{{{light}}}"
    );
    for (k, row) in rows.iter().enumerate() {
        let (come, go, end) = (at(k), at(k + 1), at(rows.len()));
        // the last row has nothing after it that it could be grey beside
        let past = k + 1 < rows.len();
        let hidden = if k > 0 { "0%{visibility:hidden}" } else { "" };
        let name = format!("{prefix}-k{row}");
        let _ = write!(css, "@keyframes {name}{{{hidden}{come}%,100%{{visibility:visible}}}}");
        if past {
            let turned = |what: &str| {
                format!(
                    "@keyframes {name}{what}{{0%{{{what}:revert-layer}}{go}%{{{what}:var(--past)}}{end}%,100%{{{what}:revert-layer}}}}"
                )
            };
            css += &turned("stroke");
            css += &turned("fill");
            let _ = write!(
                css,
                "@keyframes {name}words{{0%{{fill:revert-layer}}{go}%{{fill:var(--past-words)}}{end}%,100%{{fill:revert-layer}}}}"
            );
        }
        let run = |names: &[&str]| {
            let each = |n: &&str| format!("{name}{n} {seconds}s step-end infinite");
            names.iter().map(each).collect::<Vec<_>>().join(",")
        };
        let (group, of) = (format!("#{prefix}-r{row}"), format!(".{prefix}-of{row}"));
        let _ = write!(css, "{group},{of}{{animation:{}}}", run(&[""]));
        if past {
            let _ = write!(css, "{group}{{animation:{}}}", run(&["", "stroke"]));
            let _ = write!(css, "{group} [stroke]:not([stroke=none]),{of} [stroke]{{animation:{}}}", run(&["stroke"]));
            let _ = write!(css, "{group} [fill]:not([fill=none]),{of} [fill]{{animation:{}}}", run(&["fill"]));
            let _ = write!(css, "text{of}{{animation:{}}}", run(&["", "words"]));
            let _ = write!(css, "g.row{of}{{animation:{}}}", run(&["", "stroke"]));
        }
    }
    let _ = write!(css, "#{prefix}:hover *{{animation-play-state:paused}}}}");
    css
}
