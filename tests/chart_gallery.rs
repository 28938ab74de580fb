//! A gallery of small pieces, drawn whole. Set `FANWISE_LOOK` to a folder to get the pictures.

mod chart;

use chart::{gallery, look};
use fanwise::chart::{ScForm, Style, specimen};
use fanwise::symbol::SymbolSet;

#[test]
fn every_stitch_is_drawn_exactly_once() {
    for (name, piece) in gallery(&Style::default()) {
        look(&piece.scene, name);
        assert!(!piece.fabric.stitches.is_empty(), "{name} was not read");
        let mut ids: Vec<_> = piece.scene.figures().map(|f| f.stitch).collect();
        ids.sort();
        let all: Vec<_> = piece.fabric.stitches.iter().map(|s| s.id).collect();
        assert_eq!(ids, all, "{name}");
        assert!(piece.scene.figures().all(|f| !f.shapes.is_empty()), "{name}");
    }
}

#[test]
fn the_specimen_shows_every_symbol_of_the_house() {
    for (name, sc) in [("specimen-plus", ScForm::Plus), ("specimen-cross", ScForm::Cross)] {
        let scene = specimen(&SymbolSet::house(), &Style::default().with_sc(sc));
        look(&scene, name);
        assert!(scene.legend.iter().all(|m| !m.shapes.is_empty()));
    }
}
