use super::scale::settled;
use super::{ChartOptions, Error};
use crate::chart::{LabelRole, Paper, Scene, Sheet, sheets, specimen, whole};
use crate::export;
use crate::symbol::{Speak, SymbolSet};

/// What can be written into a file: a scene, and the paper it is printed on.
#[derive(Clone, Debug)]
pub struct Drawing {
    pub(super) scene: Scene,
    pub(super) paper: Option<Paper>,
}

impl Drawing {
    /// The symbol set on one sheet: straight, stretched and tilted, small, and in fans of two to nine.
    ///
    /// # Errors
    /// Where the font lacks letters of the language.
    pub fn specimen(options: &ChartOptions) -> Result<Drawing, Error> {
        let house = SymbolSet::house();
        let symbols = options.symbols.as_ref().unwrap_or(&house);
        let scene = settled(options, |style| specimen(symbols, style));
        Drawing { scene, paper: options.paper }.lettered(options)
    }

    /// The same where its font has the letters of its language.
    pub(super) fn lettered(self, options: &ChartOptions) -> Result<Drawing, Error> {
        let Some(Speak::In(language)) = options.style.speak else { return Ok(self) };
        let words = self.scene.labels.iter().filter(|l| l.role == LabelRole::Legend);
        match words.into_iter().find_map(|l| self.scene.font.lacks(&l.text)) {
            Some(letter) => Err(Error::letters(self.scene.font.family(), language.name(), letter)),
            None => Ok(self),
        }
    }

    /// Everything drawn.
    pub fn scene(&self) -> &Scene {
        &self.scene
    }

    /// The first letter of its labels that its font lacks.
    pub fn missing_letter(&self) -> Option<char> {
        self.scene.labels.iter().find_map(|l| self.scene.font.lacks(&l.text))
    }

    /// The printed pages: one of the drawing's own size, or as many of the paper as it takes.
    pub fn sheets(&self) -> Vec<Sheet> {
        self.paper.map_or_else(|| vec![whole(&self.scene)], |paper| sheets(&self.scene, &paper))
    }

    /// The drawing as SVG.
    pub fn to_svg(&self) -> String {
        export::svg::write(&self.scene)
    }

    /// The drawing as PDF, as vectors.
    ///
    /// # Errors
    /// Where a page would be too large.
    #[cfg(feature = "pdf")]
    pub fn to_pdf(&self) -> Result<Vec<u8>, Error> {
        export::pdf::write(&self.scene, &self.sheets()).map_err(|e| Error::picture(e.to_string()))
    }

    /// The drawing as PNG at a true size.
    ///
    /// Units: `dpi` in dots per inch.
    ///
    /// # Errors
    /// Where the picture would be too large.
    #[cfg(feature = "png")]
    pub fn to_png(&self, dpi: f64) -> Result<Vec<u8>, Error> {
        export::png::write(&self.to_svg(), dpi, &self.scene.font).map_err(|e| Error::picture(e.to_string()))
    }
}
