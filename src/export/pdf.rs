//! Printed pages to PDF: vectors, with the fonts they are set in.

use super::{svg, tree};
use crate::chart::{Scene, Sheet};
use krilla::geom::Size;
use krilla::metadata::Metadata;
use krilla::page::PageSettings;
use krilla::tagging::{ContentTag, Tag, TagGroup, TagTree};
use krilla::{Document, SerializeSettings};
use krilla_svg::{SurfaceExt, SvgSettings};
use std::fmt;

/// Longest side of a page that every reader can show: 200 inches.
///
/// Source: the limits of PDF 1.7, ISO 32000-1 annex C.
const LONGEST_MM: f64 = 5080.0;
/// Points of a millimetre.
const POINTS: f64 = 72.0 / 25.4;

/// Why a PDF cannot be made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PdfError {
    /// A page would be longer than the limit, in millimetres, or have no size.
    Size {
        /// Length wanted.
        wanted_mm: u64,
        /// The limit.
        limit_mm: u64,
    },
    /// The drawing cannot be read.
    Svg(String),
    /// The document cannot be written.
    Write(String),
}

impl fmt::Display for PdfError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PdfError::Size { wanted_mm, limit_mm } => {
                write!(f, "a page of {wanted_mm} mm; the limit of a PDF is 1 to {limit_mm} mm")
            }
            PdfError::Svg(why) => write!(f, "the drawing cannot be read: {why}"),
            PdfError::Write(why) => write!(f, "the document cannot be written: {why}"),
        }
    }
}

impl std::error::Error for PdfError {}

/// Writes pages of a chart as one PDF. No dates: byte for byte the same for the same pages.
///
/// Text stays text, in the font of the scene, of which what is used is put into the file. Each page is tagged as a figure
/// whose other text is what its drawing says to those who do not see it.
///
/// # Errors
/// Where a page is too large for a PDF.
pub fn write(scene: &Scene, sheets: &[Sheet]) -> Result<Vec<u8>, PdfError> {
    let settings = SerializeSettings { ascii_compatible: false, xmp_metadata: true, ..SerializeSettings::default() };
    let mut document = Document::new_with(settings);
    document.set_metadata(
        Metadata::new()
            .title(scene.title.clone())
            .description(scene.desc.clone())
            .language(scene.lang.to_owned())
            .creator("fanwise".to_owned())
            .document_id(scene.prefix.clone()),
    );
    let mut tags = TagTree::new().with_lang(Some(scene.lang.to_owned()));
    for sheet in sheets {
        let too_large = || PdfError::Size {
            wanted_mm: sheet.width_mm.max(sheet.height_mm).round() as u64,
            limit_mm: LONGEST_MM as u64,
        };
        if sheet.width_mm.max(sheet.height_mm) > LONGEST_MM {
            return Err(too_large());
        }
        let points = |mm: f64| (mm * POINTS) as f32;
        let page = PageSettings::from_wh(points(sheet.width_mm), points(sheet.height_mm)).ok_or_else(too_large)?;
        let size = Size::from_wh(points(sheet.width_mm), points(sheet.height_mm)).ok_or_else(too_large)?;
        let drawing = tree::of(&svg::write_sheet(sheet), &scene.font).map_err(PdfError::Svg)?;
        let mut page = document.start_page_with(page);
        let mut surface = page.surface();
        let shown = surface.start_tagged(ContentTag::Other);
        surface.draw_svg(&drawing, size, SvgSettings::default());
        surface.end_tagged();
        surface.finish();
        let told = sheet.views.first().map_or(&scene.desc, |v| &v.scene.desc);
        let words = [sheet.name.as_str(), told].join(" ");
        let mut figure = TagGroup::new(Tag::Figure(Some(words.trim().to_owned())));
        figure.push(shown);
        tags.push(figure);
        page.finish();
    }
    document.set_tag_tree(tags);
    document.finish().map_err(|e| PdfError::Write(format!("{e:?}")))
}
