//! The inks of a chart as CSS variables, light and dark.
//!
//! Every colour stands in the drawing as a plain attribute; the rules only stand above it where a reader knows
//! variables. So what knows no CSS, or only some, draws the plain colours.

use crate::chart::{Ink, Paint, Scene};
use std::fmt::Write;

/// The rules of a chart, bound to its own id: `--fanwise-ink`, `--fanwise-row-1`, `--fanwise-row-2`, `--fanwise-ground`
/// of a page stand above them.
pub(super) fn rules(scene: &Scene) -> String {
    let colours = colours(scene);
    let root = format!("#{}", scene.prefix);
    let mut light = format!("--g:{}", Ink::PAPER);
    let mut dark = format!("--g:{}", Ink::NIGHT);
    let mut rules = String::new();
    for (k, (ink, public)) in colours.iter().enumerate() {
        let _ = write!(light, ";--c{k}:{ink}");
        let _ = write!(dark, ";--c{k}:{}", ink.at_night());
        let value = match public {
            Some(name) => format!("var(--fanwise-{name},var(--c{k}))"),
            None => format!("var(--c{k})"),
        };
        for property in ["fill", "stroke"] {
            let _ = write!(rules, "{root} [{property}=\"{ink}\"]{{{property}:{value}}}");
        }
    }
    format!(
        "@supports (color:var(--a)){{{root}{{{light};background:var(--fanwise-ground,var(--g))}}@media (prefers-color-scheme:dark){{{root}{{{dark}}}}}@media print{{{root}{{{light}}}}}{rules}}}"
    )
}

/// Every colour of the drawing, each once, with the name a page knows it by.
fn colours(scene: &Scene) -> Vec<(Ink, Option<&'static str>)> {
    let mut all: Vec<Ink> = Vec::new();
    let mut add = |ink: Ink| {
        if !all.contains(&ink) {
            all.push(ink);
        }
    };
    for group in &scene.rows {
        add(group.ink);
        group.figures.iter().for_each(|f| add(f.ink));
    }
    let layers = scene.layers.iter().flat_map(|l| &l.marks);
    for mark in scene.tints.iter().chain(&scene.marks).chain(&scene.legend).chain(layers) {
        if mark.shapes.iter().any(|s| matches!(s.paint, Paint::Stroke(_) | Paint::Fill)) {
            add(mark.ink);
            mark.tint.into_iter().for_each(&mut add);
        }
    }
    scene.labels.iter().chain(scene.layers.iter().flat_map(|l| &l.labels)).for_each(|l| add(l.ink));
    let name = |ink: &Ink| match *ink {
        Ink::BLACK | Ink::SOLID => Some("ink"),
        Ink::BLUE => Some("row-1"),
        Ink::RUST => Some("row-2"),
        _ => None,
    };
    all.into_iter().map(|ink| (ink, name(&ink))).collect()
}
