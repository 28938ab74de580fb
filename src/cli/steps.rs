//! `fanwise steps`.

use super::draw::{no_chart, opened};
use super::folder::{Named, write_into};
use super::look::{LookArgs, dots, width_mm};
use super::part::range;
use super::{ReadArgs, TROUBLE};
use clap::{Args, ValueEnum};
use fanwise::Steps;
use fanwise::face::PartChoice;
use std::ops::RangeInclusive;
use std::path::{Path, PathBuf};

#[derive(Args)]
#[command(
    after_help = "Writes NAME-01.svg, NAME-02.svg, … for a pattern NAME.txt, one for each row: the rows so far in grey, the new one in ink, its words below. All have one scale and one frame.\n\nExamples:\n  fanwise steps pear.txt --into pear-steps\n  fanwise steps pear.txt --into pear-steps --formats svg,png --dpi 300\n  fanwise steps pear.txt --into pear-steps --speak uk --strip --animated"
)]
pub(super) struct StepsArgs {
    /// Pattern file; - for standard input
    pub(super) file: PathBuf,
    /// Folder to write into; it is made if its parent is there
    #[arg(long, value_name = "DIR")]
    into: PathBuf,
    /// What figures and strip are written as; a .pdf holds all figures, a page for each
    #[arg(long, value_enum, value_delimiter = ',', default_value = "svg")]
    formats: Vec<Format>,
    /// Write one strip of all figures, NAME-strip, in place of a file for each
    #[arg(long)]
    strip: bool,
    /// Write one SVG in which the rows appear one after another, NAME-animated.svg, in place of a file for each
    #[arg(long)]
    animated: bool,
    /// Width of the whole chart in millimetres; the figures keep its scale
    #[arg(long, value_name = "MM", value_parser = width_mm)]
    width: Option<f64>,
    /// Dots per inch of a .png
    #[arg(long, value_name = "N", default_value_t = 150.0, value_parser = dots)]
    dpi: f64,
    /// Show one part of the pattern, by its name
    #[arg(long, value_name = "NAME")]
    part: Option<String>,
    /// Show some rows or rounds, by their numbers: 1-3 or 2,5-7; what they stand on is there in grey
    #[arg(long, value_name = "ROWS", value_delimiter = ',', value_parser = range)]
    rows: Vec<RangeInclusive<u32>>,
    /// Draw a pattern with errors too, as far as it could be worked
    #[arg(long)]
    draft: bool,
    #[command(flatten)]
    pub(super) look: LookArgs,
    #[command(flatten)]
    pub(super) read: ReadArgs,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    /// Lines, for pages and books
    Svg,
    /// Dots, at a true size
    Png,
    /// Lines, for print: one file, NAME-steps.pdf, a page for each figure
    #[cfg(feature = "pdf")]
    Pdf,
}

pub(super) fn run(args: &StepsArgs) -> u8 {
    let (pattern, code) = match opened(&args.file, &args.read, args.draft) {
        Ok(opened) => opened,
        Err(code) => return code,
    };
    let options = match args.look.options() {
        Ok(options) => options,
        Err(fault) => return fault.say(),
    };
    let part = PartChoice::default().with_part(args.part.clone()).with_rows(args.rows.clone());
    let options = options.with_width_mm(args.width).with_draft(args.draft).with_part(part);
    let steps = match pattern.chart(&options) {
        Ok(chart) => chart.steps(&pattern, &options.style),
        Err(error) => return no_chart(&error, code),
    };
    let written = files(args, &steps).map(|files| write_into(&args.into, &files));
    match written {
        Ok(Ok(())) => code,
        Ok(Err(fault)) => fault.say(),
        Err(error) => {
            eprintln!("error[limit]: {error}");
            TROUBLE
        }
    }
}

/// Everything that is to be written, with its name.
fn files(args: &StepsArgs, steps: &Steps) -> Result<Vec<Named>, fanwise::Error> {
    let name = name_of(&args.file);
    let mut drawings: Vec<(String, String)> = Vec::new();
    if args.strip {
        drawings.push((format!("{name}-strip"), steps.strip_svg()));
    }
    if !args.strip && !args.animated {
        let digits = steps.len().to_string().len().max(2);
        let figures = steps.to_svgs().into_iter().enumerate();
        drawings.extend(figures.map(|(k, svg)| (format!("{name}-{:0digits$}", k + 1), svg)));
    }
    let mut files: Vec<Named> = Vec::new();
    for (name, svg) in &drawings {
        if args.formats.contains(&Format::Png) {
            files.push((format!("{name}.png"), fanwise::face::figure_png(svg, args.dpi, steps.font())?));
        }
        if args.formats.contains(&Format::Svg) {
            files.push((format!("{name}.svg"), svg.clone().into_bytes()));
        }
    }
    #[cfg(feature = "pdf")]
    if args.formats.contains(&Format::Pdf) {
        files.push((format!("{name}-steps.pdf"), steps.to_pdf()?));
    }
    if args.animated {
        files.push((format!("{name}-animated.svg"), steps.moving_svg().into_bytes()));
    }
    Ok(files)
}

/// What the files of a pattern are called by: its own name without the ending.
fn name_of(file: &Path) -> String {
    match file.file_stem() {
        Some(stem) if file != Path::new("-") => stem.to_string_lossy().into_owned(),
        _ => "chart".to_owned(),
    }
}
