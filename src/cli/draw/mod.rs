//! `fanwise draw`.

mod look;
mod paper;

use super::accepted::Lists;
use super::files::{Fault, read_pattern, shown, write_whole};
use super::{FINE, PATTERN_ERRORS, ReadArgs, TROUBLE, code_of, print};
use clap::Args;
use fanwise::chart::Ink;
use look::LookArgs;
use paper::{Format, PaperArgs};
use std::path::PathBuf;

#[derive(Args)]
#[command(
    after_help = "Examples:\n  fanwise draw pear.txt -o pear.svg\n  fanwise draw pear.txt -o pear.png --dpi 300 --width 120\n  fanwise draw pear.txt -o pear.pdf --page a4\n  fanwise draw pear.txt -o pear.svg --sc cross --ink yarn"
)]
pub(super) struct DrawArgs {
    /// Pattern file; - for standard input
    pub(super) file: PathBuf,
    /// File to write: .svg, .png or .pdf
    #[arg(short, long, value_name = "OUT")]
    output: PathBuf,
    #[command(flatten)]
    look: LookArgs,
    #[command(flatten)]
    paper: PaperArgs,
    /// Draw a pattern with errors too, and mark the doubtful places
    #[arg(long)]
    draft: bool,
    #[command(flatten)]
    pub(super) read: ReadArgs,
    /// Inks by the letters of yarns, from the settings
    #[arg(skip)]
    pub(super) yarns: Vec<(String, Ink)>,
}

pub(super) fn run(args: &DrawArgs) -> u8 {
    match drawn(args) {
        Ok(code) => code,
        Err(fault) => fault.say(),
    }
}

/// Draws one pattern into one file; gives the exit code.
fn drawn(args: &DrawArgs) -> Result<u8, Fault> {
    let format = Format::of(&args.output)?;
    let read = args.read.one_size()?;
    let options = args.paper.told(args.look.options(&args.yarns))?.with_draft(args.draft);
    let mut pattern = read_pattern(&args.file, &read)?;
    // what an editor has accepted keeps no chart from being drawn
    let mut accepted = Lists::default();
    accepted.open(&args.file)?;
    accepted.settle(&args.file, &mut pattern);
    let code = code_of(&pattern, false);
    if code != FINE && !(args.draft && code < TROUBLE) {
        print::problems(&shown(&args.file), &pattern);
        let draft = if code < TROUBLE { "; --draft draws what could be worked" } else { "" };
        eprintln!("nothing is drawn of a pattern with errors{draft}");
        return Ok(code);
    }
    let chart = match pattern.chart(&args.paper.on(format, options)) {
        Ok(chart) => chart,
        Err(error) => {
            eprintln!("error: {error}");
            return Ok(if error.is_about_the_pattern() { code.max(PATTERN_ERRORS) } else { TROUBLE });
        }
    };
    let bytes = args.paper.written(&chart, format)?;
    write_whole(&args.output, &bytes)?;
    args.paper.remarks(&chart, format, &args.output).iter().for_each(|remark| eprintln!("note: {remark}"));
    Ok(code)
}
