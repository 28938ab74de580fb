//! The figures of a chart, row by row.

#[cfg(any(feature = "png", feature = "pdf"))]
use super::Error;
use super::{Chart, Pattern};
use crate::chart::{self, ChartInfo, Font, Plate, Scene, Style};
use crate::craft::StitchForm;
use crate::export;
use crate::fabric::RowId;
use crate::instructions::Terms;
use crate::reading::stitches_named;
use crate::symbol::{Speak, SymbolSet, name_of};

/// A chart row by row: the rows so far in grey, the new one in ink, its words below.
#[derive(Clone, Debug)]
pub struct Steps {
    figures: Vec<Scene>,
    strip: Plate,
    whole: Scene,
}

impl Chart {
    /// The same chart row by row. The words under a figure are those of its pattern: as published, or with the names of
    /// stitches in the dialect that the style speaks, where that is another.
    pub fn steps(&self, pattern: &Pattern, style: &Style) -> Steps {
        let mut style = style.clone();
        style.mm_per_sc = self.scene().mm_per_sc;
        let info = spoken(&super::chart::info_of(pattern, false), pattern.tree().terms, style.speak);
        let figures = chart::steps(self.scene(), pattern.fabric(), &style, &info);
        let strip = chart::strip(self.scene(), &figures, &style);
        let whole = chart::with_words(self.scene(), pattern.fabric(), &style, &info);
        Steps { figures, strip, whole }
    }
}

impl Chart {
    /// The work alone as SVG, without title, numbers and legend, and its printed size in millimetres.
    pub fn bare_svg(&self) -> (String, (f64, f64)) {
        let bare = chart::bare(self.scene());
        (export::svg::write(&bare), bare.size_mm())
    }

    /// The figures row by row without words below them, each with the label of its row: for pages that say the words
    /// beside them.
    pub fn figures(&self, style: &Style) -> Vec<(String, String)> {
        let mut style = style.clone();
        style.mm_per_sc = self.scene().mm_per_sc;
        let info = ChartInfo::titled(self.scene().title.clone());
        let figures = chart::steps(self.scene(), self.fabric(), &style, &info);
        let label = |figure: &Scene| figure.rows.last().map(|g| g.label.clone()).unwrap_or_default();
        figures.iter().map(|figure| (label(figure), export::svg::write(figure))).collect()
    }
}

impl Steps {
    /// How many figures there are: one for each row in which something is made.
    pub fn len(&self) -> usize {
        self.figures.len()
    }

    /// True where nothing is made.
    pub fn is_empty(&self) -> bool {
        self.figures.is_empty()
    }

    /// The font of their words.
    pub fn font(&self) -> &Font {
        &self.whole.font
    }

    /// The figures in working order.
    pub fn figures(&self) -> &[Scene] {
        &self.figures
    }

    /// Every figure as an SVG of its own, in working order.
    pub fn to_svgs(&self) -> Vec<String> {
        self.figures.iter().map(export::svg::write).collect()
    }

    /// All figures in one PDF, each on a page of its own size.
    ///
    /// # Errors
    /// Where a page would be too large.
    #[cfg(feature = "pdf")]
    pub fn to_pdf(&self) -> Result<Vec<u8>, Error> {
        let pages: Vec<_> = self.figures.iter().map(chart::whole).collect();
        export::pdf::write(&self.whole, &pages).map_err(|e| Error::picture(e.to_string()))
    }

    /// All figures in one SVG, with title and legend.
    pub fn strip_svg(&self) -> String {
        export::plate::write(&self.strip)
    }

    /// The chart as one SVG in which the rows appear one after another, with title, words and legend. It stands still,
    /// whole, where the reader asks for less motion.
    pub fn moving_svg(&self) -> String {
        export::moving::write(&self.whole)
    }
}

/// An SVG of figures as PNG at a true size, its words in a font.
///
/// # Errors
/// Where the picture would be too large.
#[cfg(feature = "png")]
pub fn figure_png(svg: &str, dpi: f64, font: &Font) -> Result<Vec<u8>, Error> {
    export::png::write(svg, dpi, font).map_err(|e| Error::picture(e.to_string()))
}

/// The words of each row with the names of stitches in another dialect.
fn spoken(info: &ChartInfo, terms: Terms, speak: Option<Speak>) -> ChartInfo {
    let own = if terms == Terms::Uk { Speak::Uk } else { Speak::Us };
    let mut info = info.clone();
    let Some(speak) = speak.filter(|&s| s != own && !matches!(s, Speak::In(_))) else { return info };
    let symbols = SymbolSet::house();
    let said = |(row, words): (RowId, String)| (row, in_dialect(&words, terms, speak, &symbols));
    info.rows = info.rows.into_iter().map(said).collect();
    info
}

fn in_dialect(words: &str, terms: Terms, speak: Speak, symbols: &SymbolSet) -> String {
    let mut said = String::with_capacity(words.len());
    let mut at = 0;
    for named in stitches_named(words, terms) {
        let name = name_of(symbols, StitchForm::plain(named.stem), speak);
        let name = if named.in_full { name.long } else { name.short };
        let told = &words[named.span.start..named.span.end];
        let name = if told.starts_with(char::is_uppercase) { capital(&name) } else { name };
        said += &words[at..named.span.start];
        said += &name;
        at = named.span.end;
    }
    said + &words[at..]
}

fn capital(name: &str) -> String {
    let mut letters = name.chars();
    letters.next().map_or_else(String::new, |c| c.to_uppercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_said_in_the_dialect_asked_for_and_nothing_else_is_touched() {
        let symbols = SymbolSet::house();
        let words = "Row 1: Sc in next st, 2 dc in each of next 2 sts, fpdc, sc2tog, half double crochet. (7 sts)";
        assert_eq!(
            in_dialect(words, Terms::Us, Speak::Uk, &symbols),
            "Row 1: Dc in next st, 2 tr in each of next 2 sts, fptr, dc2tog, half treble crochet. (7 sts)"
        );
        assert_eq!(in_dialect(words, Terms::Us, Speak::Us, &symbols), words);
    }
}
