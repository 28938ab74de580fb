//! `fanwise draw`.

use super::files::{read_pattern, shown, write_whole};
use super::{FINE, ReadArgs, TROUBLE, code_of, print};
use clap::{Args, ValueEnum};
use fanwise::ChartOptions;
use fanwise::chart::{InkBy, ScForm, Style};
use fanwise::symbol::Speak;
use std::path::PathBuf;

#[derive(Args)]
#[command(
    after_help = "Examples:\n  fanwise draw pear.txt -o pear.svg\n  fanwise draw pear.txt -o pear.png --dpi 300 --width 120\n  fanwise draw pear.txt -o pear.svg --sc cross --ink yarn"
)]
pub(super) struct DrawArgs {
    /// Pattern file; - for standard input
    file: PathBuf,
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
    /// Turn the piece by so many degrees, clockwise
    #[arg(long, value_name = "DEG", allow_negative_numbers = true)]
    up: Option<f64>,
    /// Width of the drawing in millimetres
    #[arg(long, value_name = "MM")]
    width: Option<f64>,
    /// Dots per inch of a .png
    #[arg(long, value_name = "N", default_value_t = 150.0)]
    dpi: f64,
    /// Draw a pattern with errors too, and mark the doubtful places
    #[arg(long)]
    draft: bool,
    #[command(flatten)]
    read: ReadArgs,
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
    if let Some(fault) = out_of_range(args) {
        eprintln!("error: {fault}");
        return TROUBLE;
    }
    let pattern = match read_pattern(&args.file, &args.read.options()) {
        Ok(pattern) => pattern,
        Err(fault) => {
            eprintln!("error[{}]: {}", fault.code, fault.message);
            return TROUBLE;
        }
    };
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
        Err(fault) => {
            eprintln!("error: {}", fault.message);
            TROUBLE
        }
    }
}

fn out_of_range(args: &DrawArgs) -> Option<String> {
    if !(10.0..=2400.0).contains(&args.dpi) {
        return Some(format!("--dpi {} is out of range: 10 to 2400", args.dpi));
    }
    if let Some(width) = args.width
        && !(10.0..=5000.0).contains(&width)
    {
        return Some(format!("--width {width} is out of range: 10 to 5000 mm"));
    }
    args.up.filter(|up| !up.is_finite()).map(|up| format!("--up {up} is no angle"))
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
    let mut style = Style::default().with_sc(sc).with_ink(ink);
    style = match args.speak {
        Some(SpeakArg::Us) => style.with_speak(Speak::Us),
        Some(SpeakArg::Uk) => style.with_speak(Speak::Uk),
        Some(SpeakArg::Both) => style.with_speak(Speak::Both),
        None => style,
    };
    ChartOptions::default().with_style(style).with_up_deg(args.up).with_width_mm(args.width).with_draft(args.draft)
}
