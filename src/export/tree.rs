//! An SVG of ours read for painting, with the fonts it is set in.

use crate::chart::{FONT_FAMILY, Font, font_bytes};

/// What SVG holds an inch to be.
pub(super) const CSS_DPI: f32 = 96.0;

/// Reads an SVG with no font but the one given and the one carried along, which stands in where a letter is missing.
pub(super) fn of(svg: &str, font: &Font) -> Result<usvg::Tree, String> {
    let family = font.family().to_owned();
    let mut options = usvg::Options { dpi: CSS_DPI, font_family: family.clone(), ..usvg::Options::default() };
    let fonts = options.fontdb_mut();
    fonts.load_font_data(font_bytes().to_vec());
    if !font.is_house() {
        fonts.load_font_data(font.bytes().to_vec());
    }
    fonts.set_sans_serif_family(FONT_FAMILY);
    usvg::Tree::from_str(svg, &options).map_err(|e| e.to_string())
}
