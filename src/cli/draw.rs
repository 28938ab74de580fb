//! `fanwise draw`.

use super::accepted::Lists;
use super::files::{read_pattern, shown, write_whole};
use super::look::LookArgs;
use super::{FINE, ReadArgs, TROUBLE, code_of, print};
use clap::Args;
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
    #[command(flatten)]
    pub(super) look: LookArgs,
    #[command(flatten)]
    pub(super) read: ReadArgs,
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
    if code != FINE && !(args.look.draft && code < TROUBLE) {
        print::problems(&shown(&args.file), &pattern);
        let draft = if code < TROUBLE { "; --draft draws what could be worked" } else { "" };
        eprintln!("nothing is drawn of a pattern with errors{draft}");
        return code;
    }
    let chart = match pattern.chart(&args.look.options()) {
        Ok(chart) => chart,
        Err(error) => {
            eprintln!("error: {error}");
            return if error.is_about_the_pattern() { code.max(super::PATTERN_ERRORS) } else { TROUBLE };
        }
    };
    let bytes = match ending.as_str() {
        "png" => match chart.to_png(args.look.dpi) {
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
