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

/// The orchard and the shapes that charts are measured on, by name.
const MEASURED: &[(&str, &str)] = &[
    ("pear", include_str!("../../examples/orchard/pear.txt")),
    ("acorn", include_str!("../../examples/orchard/acorn.txt")),
    ("apple", include_str!("../../examples/orchard/apple.txt")),
    ("coaster", include_str!("../../examples/orchard/coaster.txt")),
    ("leaf", include_str!("../../examples/orchard/leaf.txt")),
    ("crab-edge", include_str!("../shapes/crab-edge.txt")),
    ("dc-row-ends", include_str!("../shapes/dc-row-ends.txt")),
    ("fans-with-chains", include_str!("../shapes/fans-with-chains.txt")),
    ("filet", include_str!("../shapes/filet.txt")),
    ("granny-square", include_str!("../shapes/granny-square.txt")),
    ("long-skips", include_str!("../shapes/long-skips.txt")),
    ("mesh", include_str!("../shapes/mesh.txt")),
    ("n-together", include_str!("../shapes/n-together.txt")),
    ("picot-edge", include_str!("../shapes/picot-edge.txt")),
    ("pineapple-motif", include_str!("../shapes/pineapple-motif.txt")),
    ("puffs-bobbles-popcorns", include_str!("../shapes/puffs-bobbles-popcorns.txt")),
    ("sc-ripple", include_str!("../shapes/sc-ripple.txt")),
    ("shells", include_str!("../shapes/shells.txt")),
    ("spikes-and-posts", include_str!("../shapes/spikes-and-posts.txt")),
    ("v-stitches", include_str!("../shapes/v-stitches.txt")),
];

/// The orchard.
pub const ORCHARD: &[&str] = &["pear", "acorn", "apple", "coaster", "leaf"];

/// The gallery, the orchard and some shapes, by name.
pub fn pieces(style: &Style, shapes: &[&str]) -> Vec<(String, Piece)> {
    let mut all: Vec<(String, Piece)> = gallery(style).into_iter().map(|(name, p)| (name.to_owned(), p)).collect();
    for name in ORCHARD.iter().chain(shapes) {
        let text = MEASURED.iter().find(|(n, _)| n == name).unwrap_or_else(|| panic!("{name} is not in the list")).1;
        all.push(((*name).to_owned(), piece(text, style)));
    }
    all
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
