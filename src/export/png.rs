//! SVG to PNG at a true physical size.

use super::tree::{self, CSS_DPI};
use crate::chart::Font;
use resvg::tiny_skia;
use std::fmt;

/// Most pixels of a picture: an A0 sheet at 200 dpi; more is a slip in the size.
const MOST_PIXELS: f64 = 100e6;

/// Why a picture cannot be made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PngError {
    /// The picture would have more pixels than the limit, or none.
    Size {
        /// Pixels wanted.
        wanted: u64,
        /// The limit.
        limit: u64,
    },
    /// The SVG cannot be read.
    Svg(String),
    /// The picture cannot be written.
    Write(String),
}

impl fmt::Display for PngError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PngError::Size { wanted, limit } => write!(f, "a picture of {wanted} pixels; the limit is 1 to {limit}"),
            PngError::Svg(why) => write!(f, "the drawing cannot be read: {why}"),
            PngError::Write(why) => write!(f, "the picture cannot be written: {why}"),
        }
    }
}

impl std::error::Error for PngError {}

/// Draws an SVG of ours on white paper, with no font but the one given and the one carried along, and writes its true size into the file.
///
/// Units: `dpi` in dots per inch; the size in millimetres is that of the SVG.
///
/// # Errors
/// Where the size is out of bounds or the SVG cannot be read.
pub fn write(svg: &str, dpi: f64, font: &Font) -> Result<Vec<u8>, PngError> {
    let tree = tree::of(svg, font).map_err(PngError::Svg)?;
    let scale = dpi / f64::from(CSS_DPI);
    let pixels = |length: f32| (f64::from(length) * scale).round();
    let (width, height) = (pixels(tree.size().width()), pixels(tree.size().height()));
    let wanted = width * height;
    if !(1.0..=MOST_PIXELS).contains(&wanted) {
        return Err(PngError::Size { wanted: wanted as u64, limit: MOST_PIXELS as u64 });
    }
    let too_large = || PngError::Size { wanted: wanted as u64, limit: MOST_PIXELS as u64 };
    let mut picture = tiny_skia::Pixmap::new(width as u32, height as u32).ok_or_else(too_large)?;
    picture.fill(tiny_skia::Color::WHITE);
    // true to size both ways: what the whole pixels of the picture leave over or lack lies in its margin
    let to = tiny_skia::Transform::from_scale(scale as f32, scale as f32);
    resvg::render(&tree, to, &mut picture.as_mut());
    encode(&picture, dpi)
}

fn encode(picture: &tiny_skia::Pixmap, dpi: f64) -> Result<Vec<u8>, PngError> {
    let failed = |e: ::png::EncodingError| PngError::Write(e.to_string());
    let mut bytes = Vec::new();
    let mut encoder = ::png::Encoder::new(&mut bytes, picture.width(), picture.height());
    encoder.set_color(::png::ColorType::Rgb);
    encoder.set_depth(::png::BitDepth::Eight);
    let per_metre = (dpi / 0.0254).round() as u32;
    encoder.set_pixel_dims(Some(::png::PixelDimensions { xppu: per_metre, yppu: per_metre, unit: ::png::Unit::Meter }));
    let mut writer = encoder.write_header().map_err(failed)?;
    // the paper is white and opaque, so that premultiplied colours are plain ones
    let rgb: Vec<u8> = picture.pixels().iter().flat_map(|p| [p.red(), p.green(), p.blue()]).collect();
    writer.write_image_data(&rgb).map_err(failed)?;
    writer.finish().map_err(failed)?;
    Ok(bytes)
}

#[cfg(test)]
mod tests {
    use super::*;

    const SMALL: &str = r#"<svg xmlns="http://www.w3.org/2000/svg" width="25.4mm" height="12.7mm" viewBox="0 0 2 1"><path d="M0 0H2V1H0Z"/></svg>"#;

    #[test]
    fn a_picture_says_its_true_size() {
        let bytes = write(SMALL, 300.0, &Font::default()).unwrap();
        let reader = ::png::Decoder::new(std::io::Cursor::new(&bytes)).read_info().unwrap();
        let info = reader.info();
        assert_eq!((info.width, info.height), (300, 150));
        assert_eq!(info.pixel_dims.unwrap().xppu, 11811);
    }

    #[test]
    fn a_size_out_of_bounds_is_an_error_and_no_panic() {
        for dpi in [0.0, -3.0, 1e6, f64::NAN, f64::INFINITY] {
            assert!(matches!(write(SMALL, dpi, &Font::default()), Err(PngError::Size { .. })), "{dpi}");
        }
        assert!(matches!(write("<svg", 96.0, &Font::default()), Err(PngError::Svg(_))));
    }
}
