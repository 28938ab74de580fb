use std::fmt;
use std::sync::Arc;
use ttf_parser::Face;

/// Family name of the font carried along.
pub const FONT_FAMILY: &str = "Source Sans 3";

/// The font carried along, under the SIL Open Font License (see `symbols/font/OFL.txt`).
pub fn font_bytes() -> &'static [u8] {
    include_bytes!("../../symbols/font/SourceSans3-Regular.ttf")
}

/// The font the words of a chart are set in.
///
/// Labels are measured with it, and PNG and PDF are painted with it.
#[derive(Clone, PartialEq, Eq)]
pub struct Font {
    family: String,
    /// None for the font carried along.
    own: Option<Arc<[u8]>>,
}

/// Why a font cannot be used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FontFault(String);

impl fmt::Display for FontFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for FontFault {}

impl fmt::Debug for Font {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Font({})", self.family)
    }
}

impl Default for Font {
    fn default() -> Self {
        Font { family: FONT_FAMILY.to_owned(), own: None }
    }
}

impl Font {
    /// A font from the bytes of its file: TrueType or OpenType, or the first of a collection.
    ///
    /// # Errors
    /// Where it is no font, or has no name.
    pub fn read(bytes: Vec<u8>) -> Result<Font, FontFault> {
        let fault = |why: &str| FontFault(format!("{why}; a TrueType or OpenType file (.ttf, .otf, .ttc) is wanted"));
        let face = Face::parse(&bytes, 0).map_err(|_| fault("this is no font"))?;
        let named = |id: u16| {
            let names = face.names().into_iter().filter(move |n| n.name_id == id && n.is_unicode());
            names.filter_map(|n| n.to_string()).find(|n| !n.trim().is_empty())
        };
        // the typographic family where there is one, as those who match fonts by name do
        let family = named(16).or_else(|| named(1)).ok_or_else(|| fault("this font has no name"))?;
        if face.units_per_em() == 0 {
            return Err(fault("this font has no size"));
        }
        Ok(Font { family, own: Some(bytes.into()) })
    }

    /// Name of its family.
    pub fn family(&self) -> &str {
        &self.family
    }

    /// True for the font carried along.
    pub fn is_house(&self) -> bool {
        self.own.is_none()
    }

    /// The bytes of its file.
    pub fn bytes(&self) -> &[u8] {
        self.own.as_deref().unwrap_or_else(|| font_bytes())
    }

    /// The first letter of a text that the font has no shape for.
    pub fn lacks(&self, text: &str) -> Option<char> {
        let face = self.face();
        text.chars().find(|&c| !c.is_whitespace() && !c.is_control() && face.glyph_index(c).is_none())
    }

    pub(super) fn face(&self) -> Face<'_> {
        Face::parse(self.bytes(), 0).expect("the font was read before, and the tests read the one carried along")
    }
}
