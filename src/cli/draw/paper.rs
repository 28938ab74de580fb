//! What a chart is drawn on: its size, its paper, its file.

use super::super::files::{Fault, shown};
use super::super::look::{dots, number, width_mm};
use clap::{Args, ValueEnum};
use fanwise::chart::{LEAST_MM, Paper};
use fanwise::{ChartOptions, Drawing};
use std::path::Path;

#[derive(Args, Clone)]
pub(super) struct PaperArgs {
    /// Width of the drawing in millimetres
    #[arg(long, value_name = "MM", value_parser = width_mm)]
    width: Option<f64>,
    /// Paper of a .pdf: a4, letter, a5, or WIDTHxHEIGHT in millimetres, such as 170x240. Default: the chart's own size
    #[arg(long, value_name = "SIZE", value_parser = paper)]
    page: Option<Paper>,
    /// White at each edge of the paper, in millimetres
    #[arg(long, value_name = "MM", value_parser = margin_mm)]
    margin: Option<f64>,
    /// Dots per inch of a .png
    #[arg(long, value_name = "N", default_value_t = 150.0, value_parser = dots)]
    dpi: f64,
}

fn margin_mm(told: &str) -> Result<f64, String> {
    number(told, 5.0, 100.0, " mm")
}

/// A size of paper by its name or in millimetres.
fn paper(told: &str) -> Result<Paper, String> {
    match told.to_lowercase().as_str() {
        "a4" => Ok(Paper::A4),
        "a5" => Ok(Paper::A5),
        "letter" => Ok(Paper::LETTER),
        other => {
            let (width, height) = other
                .split_once(['x', '×'])
                .ok_or("it is one of a4, letter, a5, or a width and height in millimetres such as 170x240")?;
            let side = |told: &str| number(told.trim(), 50.0, 5000.0, " mm");
            Ok(Paper::own(side(width)?, side(height)?))
        }
    }
}

/// Formats of many charts at once.
#[derive(Clone, Copy, ValueEnum)]
pub(super) enum FormatArg {
    /// Lines, for pages and books
    Svg,
    /// Dots, at a true size
    Png,
    /// Lines, on paper
    #[cfg(feature = "pdf")]
    Pdf,
}

impl FormatArg {
    /// What is told.
    pub fn format(self) -> Format {
        match self {
            FormatArg::Svg => Format::Svg,
            FormatArg::Png => Format::Png,
            #[cfg(feature = "pdf")]
            FormatArg::Pdf => Format::Pdf,
        }
    }
}

/// What a chart is written as.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Format {
    Svg,
    Png,
    Pdf,
}

impl Format {
    /// The ending of a file's name.
    pub fn ending(self) -> &'static str {
        match self {
            Format::Svg => "svg",
            Format::Png => "png",
            Format::Pdf => "pdf",
        }
    }

    /// The format that the ending of a file's name asks for.
    pub fn of(path: &Path) -> Result<Format, Fault> {
        match path.extension().and_then(|e| e.to_str()).unwrap_or("").to_lowercase().as_str() {
            "svg" => Ok(Format::Svg),
            "png" => Ok(Format::Png),
            #[cfg(feature = "pdf")]
            "pdf" => Ok(Format::Pdf),
            _ => {
                let endings = if cfg!(feature = "pdf") { ".svg, .png or .pdf" } else { ".svg or .png" };
                let message =
                    format!("{} does not end in {endings}, so there is no telling what to write", shown(path));
                Err(Fault::usage(message))
            }
        }
    }
}

impl PaperArgs {
    /// The options with the size and paper told.
    pub fn told(&self, options: ChartOptions) -> Result<ChartOptions, Fault> {
        let page = self.page.map(|page| self.margin.map_or(page, |margin| page.with_margin_mm(margin)));
        if let Some(page) = page.filter(|p| !p.has_room()) {
            let message = format!(
                "a page of {} x {} mm with margins of {} mm leaves less than 30 mm to draw on; take a smaller --margin",
                page.width_mm, page.height_mm, page.margin_mm
            );
            return Err(Fault::usage(message));
        }
        Ok(options.with_width_mm(self.width).with_paper(page))
    }

    /// The same as it is for a format: paper is for what is printed.
    pub fn on(&self, format: Format, options: ChartOptions) -> ChartOptions {
        if format == Format::Pdf { options } else { options.with_paper(None) }
    }

    /// The file of a chart, and what there is to say about its size.
    pub fn written(&self, chart: &Drawing, format: Format) -> Result<Vec<u8>, Fault> {
        let limit = |e: fanwise::Error| Fault::limit(e.to_string());
        match format {
            Format::Svg => Ok(chart.to_svg().into_bytes()),
            Format::Png => chart.to_png(self.dpi).map_err(limit),
            #[cfg(feature = "pdf")]
            Format::Pdf => chart.to_pdf().map_err(limit),
            #[cfg(not(feature = "pdf"))]
            Format::Pdf => Err(Fault::usage("this build writes no PDF".into())),
        }
    }

    /// What a reader of the file should know about its size; nothing where there is nothing to say.
    pub fn remarks(&self, chart: &Drawing, format: Format, path: &Path) -> Vec<String> {
        let scene = chart.scene();
        let mut remarks = Vec::new();
        if scene.mm_per_sc < LEAST_MM - 1e-6 {
            let (width, wanted) = (scene.size_mm().0, scene.size_mm().0 * LEAST_MM / scene.mm_per_sc);
            remarks.push(format!(
                "{}: at {width:.0} mm wide, one sc is {:.1} mm; under {LEAST_MM} mm symbols are hard to tell apart, --width {} keeps them apart",
                shown(path),
                scene.mm_per_sc,
                wanted.ceil()
            ));
        }
        if let Some(letter) = chart.missing_letter().filter(|_| format != Format::Svg) {
            remarks.push(format!(
                "{}: the font has no letter {letter}, so it is missing; name a font that has it with --font FILE",
                shown(path)
            ));
        }
        if format == Format::Pdf && self.page.is_some() {
            let sheets = chart.sheets().len();
            if sheets > 1 {
                remarks.push(format!(
                    "{}: one sc is {:.1} mm; the chart takes {} pages that overlap, and a first page shows which goes where",
                    shown(path),
                    scene.mm_per_sc,
                    sheets - 1
                ));
            } else if scene.mm_per_sc < 5.999 && self.width.is_none() {
                remarks.push(format!(
                    "{}: drawn smaller to fit one page, one sc is {:.1} mm",
                    shown(path),
                    scene.mm_per_sc
                ));
            }
        }
        remarks
    }
}
