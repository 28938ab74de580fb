//! `fanwise draw`.

use super::accepted::Lists;
use super::files::{read_pattern, shown, write_whole};
use super::look::{LookArgs, dots, width_mm};
use super::part::PartArgs;
use super::show::ShowArgs;
use super::{FINE, ReadArgs, TROUBLE, code_of, print};
use clap::Args;
use fanwise::{Error, Pattern};
use std::path::{Path, PathBuf};

#[derive(Args)]
#[command(
    after_help = "Examples:\n  fanwise draw pear.txt -o pear.svg\n  fanwise draw pear.txt -o pear.png --dpi 300 --width 120\n  fanwise draw pear.txt -o pear.svg --sc cross --ink yarn\n  fanwise draw pear.txt -o pear.svg --show increases,counts\n  fanwise draw shawl.txt -o repeat.svg --one-repeat"
)]
pub(super) struct DrawArgs {
    /// Pattern file; - for standard input
    pub(super) file: PathBuf,
    /// File to write: .svg or .png
    #[arg(short, long, value_name = "OUT")]
    output: PathBuf,
    #[command(flatten)]
    pub(super) look: LookArgs,
    #[command(flatten)]
    show: ShowArgs,
    #[command(flatten)]
    part: PartArgs,
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
}

pub(super) fn run(args: &DrawArgs) -> u8 {
    let ending = args.output.extension().and_then(|e| e.to_str()).unwrap_or("").to_lowercase();
    if !matches!(ending.as_str(), "svg" | "png") {
        eprintln!("error: {} ends in neither .svg nor .png, so there is no telling what to write", shown(&args.output));
        return TROUBLE;
    }
    let (pattern, code) = match opened(&args.file, &args.read, args.draft) {
        Ok(opened) => opened,
        Err(code) => return code,
    };
    let mut options = args.look.options().with_width_mm(args.width).with_draft(args.draft);
    options = options.with_part(args.part.choice());
    options.style = args.show.apply(options.style);
    let chart = match pattern.chart(&options) {
        Ok(chart) => chart,
        Err(error) => return no_chart(&error, code),
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

/// The pattern of a file that is to be drawn, with the exit code it asks for.
///
/// # Errors
/// The exit code where nothing is to be drawn, which has then been told.
pub(super) fn opened(file: &Path, read: &ReadArgs, draft: bool) -> Result<(Pattern, u8), u8> {
    let read = read.one_size().map_err(|fault| fault.say())?;
    let mut pattern = read_pattern(file, &read).map_err(|fault| fault.say())?;
    // what an editor has accepted keeps no chart from being drawn
    let mut accepted = Lists::default();
    accepted.open(file).map_err(|fault| fault.say())?;
    accepted.settle(file, &mut pattern);
    let code = code_of(&pattern, false);
    if code != FINE && !(draft && code < TROUBLE) {
        print::problems(&shown(file), &pattern);
        let draft = if code < TROUBLE { "; --draft draws what could be worked" } else { "" };
        eprintln!("nothing is drawn of a pattern with errors{draft}");
        return Err(code);
    }
    Ok((pattern, code))
}

/// Tells why there is no chart; gives the exit code.
pub(super) fn no_chart(error: &Error, code: u8) -> u8 {
    eprintln!("error: {error}");
    if error.is_about_the_pattern() { code.max(super::PATTERN_ERRORS) } else { TROUBLE }
}
