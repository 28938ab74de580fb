//! `fanwise draw`.

use super::accepted::Lists;
use super::files::{read_pattern, shown, write_whole};
use super::{FINE, ReadArgs, TROUBLE, code_of, print};
use clap::{Args, ValueEnum};
use fanwise::ChartOptions;
use fanwise::chart::{Ink, InkBy, ScForm, Style};
use fanwise::layout::View;
use fanwise::symbol::Speak;
use std::path::PathBuf;

#[derive(Args)]
#[command(
    after_help = "Examples:\n  fanwise draw pear.txt -o pear.svg\n  fanwise draw pear.txt -o pear.png --dpi 300 --width 120\n  fanwise draw pear.txt -o pear.svg --sc cross --ink yarn"
)]
pub(super) struct DrawArgs {
    /// Pattern file; - for standard input
    pub(super) file: PathBuf,
    /// File to write: .svg or .png
    #[arg(short, long, value_name = "OUT")]
    output: PathBuf,
    /// Form of single crochet
    #[arg(long, value_enum, default_value_t = ScArg::Plus)]
    sc: ScArg,
    /// What the inks tell
    #[arg(long, value_enum, default_value_t = InkArg::Row)]
    ink: InkArg,
    /// Terms of the legend; default: as read
    #[arg(long, value_enum)]
    speak: Option<SpeakArg>,
    /// What the positions tell
    #[arg(long, value_enum, default_value_t = ViewArg::Chart)]
    view: ViewArg,
    /// Turn the piece by so many degrees, clockwise
    #[arg(long, value_name = "DEG", allow_negative_numbers = true, value_parser = degrees)]
    up: Option<f64>,
    /// Width of the drawing in millimetres
    #[arg(long, value_name = "MM", value_parser = width_mm)]
    width: Option<f64>,
    /// Dots per inch of a .png
    #[arg(long, value_name = "N", default_value_t = 150.0, value_parser = dots)]
    dpi: f64,
    /// Draw a pattern with errors too, and mark the doubtful places
    #[arg(long)]
    draft: bool,
    #[command(flatten)]
    pub(super) read: ReadArgs,
    /// Inks by the letters of yarns, from the settings
    #[arg(skip)]
    pub(super) yarns: Vec<(String, Ink)>,
}

#[derive(Clone, Copy, ValueEnum)]
enum ScArg {
    /// Upright
    Plus,
    /// Diagonal
    Cross,
}

#[derive(Clone, Copy, ValueEnum)]
enum InkArg {
    /// Rows alternate
    Row,
    /// Each yarn its own
    Yarn,
}

#[derive(Clone, Copy, ValueEnum)]
enum ViewArg {
    /// How the stitches join, as evenly as a chart can
    Chart,
    /// The proportions of the piece, by its gauge
    True,
}

#[derive(Clone, Copy, ValueEnum)]
enum SpeakArg {
    /// US terms
    Us,
    /// UK terms
    Uk,
    /// Both, side by side
    Both,
}

pub(super) fn run(args: &DrawArgs) -> u8 {
    let ending = args.output.extension().and_then(|e| e.to_str()).unwrap_or("").to_lowercase();
    if !matches!(ending.as_str(), "svg" | "png") {
        eprintln!("error: {} ends in neither .svg nor .png, so there is no telling what to write", shown(&args.output));
        return TROUBLE;
    }
    let read = match args.read.one_size() {
        Ok(options) => options,
        Err(fault) => return fault.say(),
    };
    let mut pattern = match read_pattern(&args.file, &read) {
        Ok(pattern) => pattern,
        Err(fault) => return fault.say(),
    };
    // what an editor has accepted keeps no chart from being drawn
    let mut accepted = Lists::default();
    if let Err(fault) = accepted.open(&args.file) {
        return fault.say();
    }
    accepted.settle(&args.file, &mut pattern);
    let code = code_of(&pattern, false);
    if code != FINE && !(args.draft && code < TROUBLE) {
        print::problems(&shown(&args.file), &pattern);
        let draft = if code < TROUBLE { "; --draft draws what could be worked" } else { "" };
        eprintln!("nothing is drawn of a pattern with errors{draft}");
        return code;
    }
    let chart = match pattern.chart(&options(args)) {
        Ok(chart) => chart,
        Err(error) => {
            eprintln!("error: {error}");
            return if error.is_about_the_pattern() { code.max(super::PATTERN_ERRORS) } else { TROUBLE };
        }
    };
    let bytes = match ending.as_str() {
        "png" => match chart.to_png(args.dpi) {
            Ok(bytes) => bytes,
            Err(error) => {
                eprintln!("error[limit]: {error}");
                return TROUBLE;
            }
        },
        _ => chart.to_svg().into_bytes(),
    };
    match write_whole(&args.output, &bytes) {
        Ok(()) => code,
        Err(fault) => fault.say(),
    }
}

fn number(told: &str, least: f64, most: f64, of: &str) -> Result<f64, String> {
    let number: f64 = told.parse().map_err(|_| "it is no number".to_owned())?;
    if !(least..=most).contains(&number) {
        return Err(format!("{told} is out of range: {least} to {most}{of}"));
    }
    Ok(number)
}

fn dots(told: &str) -> Result<f64, String> {
    number(told, 10.0, 2400.0, "")
}

fn width_mm(told: &str) -> Result<f64, String> {
    number(told, 10.0, 5000.0, " mm")
}

fn degrees(told: &str) -> Result<f64, String> {
    told.parse().ok().filter(|up: &f64| up.is_finite()).ok_or_else(|| "it is no angle".to_owned())
}

fn options(args: &DrawArgs) -> ChartOptions {
    let sc = match args.sc {
        ScArg::Plus => ScForm::Plus,
        ScArg::Cross => ScForm::Cross,
    };
    let ink = match args.ink {
        InkArg::Row => InkBy::Row,
        InkArg::Yarn => InkBy::Yarn,
    };
    let mut style = Style::default().with_sc(sc).with_ink(ink).with_yarn_inks(args.yarns.clone());
    style = match args.speak {
        Some(SpeakArg::Us) => style.with_speak(Speak::Us),
        Some(SpeakArg::Uk) => style.with_speak(Speak::Uk),
        Some(SpeakArg::Both) => style.with_speak(Speak::Both),
        None => style,
    };
    let view = match args.view {
        ViewArg::Chart => View::Chart,
        ViewArg::True => View::True,
    };
    ChartOptions::default()
        .with_style(style)
        .with_view(view)
        .with_up_deg(args.up)
        .with_width_mm(args.width)
        .with_draft(args.draft)
}
