//! Pieces for the tests of charts: from words to a scene.
#![allow(dead_code)]

mod gallery;

pub use gallery::GALLERY;

use fanwise::chart::{ChartInfo, Scene, Style, compose};
use fanwise::fabric::Fabric;
use fanwise::layout::{DrawnSizes, Layout, LayoutOptions, lay_out};
use fanwise::reading::{ReadOptions, read};
use fanwise::symbol::{Speak, SymbolSet};
use fanwise::working::work;

/// A pattern worked, laid out and drawn.
pub struct Piece {
    pub fabric: Fabric,
    pub layout: Layout,
    pub scene: Scene,
}

/// Reads, works, lays out and draws a pattern.
pub fn piece(text: &str, style: &Style) -> Piece {
    let (pattern, _) = read(text, &ReadOptions::default());
    let worked = work(&pattern);
    drawn(worked.fabric, style, info_of(&pattern))
}

/// Every piece of the gallery, by name.
pub fn gallery(style: &Style) -> Vec<(&'static str, Piece)> {
    GALLERY.iter().map(|(name, text)| (*name, piece(text, style))).collect()
}

/// What the pattern says besides its stitches.
fn info_of(pattern: &fanwise::instructions::Pattern) -> ChartInfo {
    let mut info = ChartInfo::titled(pattern.title.clone());
    if matches!(pattern.terms, fanwise::instructions::Terms::Uk) {
        info = info.with_terms(Speak::Uk);
    }
    for yarn in &pattern.yarns {
        info = info.with_yarn(yarn.letter.clone(), yarn.colour.clone());
    }
    info
}

/// Lays out and draws a fabric.
pub fn drawn(fabric: Fabric, style: &Style, info: ChartInfo) -> Piece {
    fabric.validate().expect("a sound fabric");
    let layout = lay_out(&fabric, &DrawnSizes, &LayoutOptions::default());
    let scene = compose(&fabric, &layout, &SymbolSet::house(), style, &info);
    Piece { fabric, layout, scene }
}

/// Writes the picture of a scene into the folder named by `FANWISE_LOOK`, for eyes; does nothing where it is not set.
pub fn look(scene: &Scene, name: &str) {
    let Ok(folder) = std::env::var("FANWISE_LOOK") else { return };
    let dpi = std::env::var("FANWISE_DPI").ok().and_then(|d| d.parse().ok()).unwrap_or(150.0);
    let svg = fanwise::export::svg::write(scene);
    std::fs::write(format!("{folder}/{name}.svg"), &svg).expect("the folder is there");
    #[cfg(feature = "png")]
    {
        let picture = fanwise::export::png::write(&svg, dpi, &scene.font).expect("a picture");
        std::fs::write(format!("{folder}/{name}.png"), picture).expect("the folder is there");
    }
}
