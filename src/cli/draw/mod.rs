//! `fanwise draw`.

mod paper;

use super::accepted::Lists;
use super::files::{Fault, read_pattern, shown, write_whole};
use super::look::LookArgs;
use super::show::ShowArgs;
use super::{FINE, PATTERN_ERRORS, ReadArgs, TROUBLE, code_of, print};
use clap::Args;
use fanwise::{Drawing, Error, Pattern};
use paper::{Format, PaperArgs};
use std::path::{Path, PathBuf};

#[derive(Args)]
#[command(
    after_help = "Examples:\n  fanwise draw pear.txt -o pear.svg\n  fanwise draw pear.txt -o pear.png --dpi 300 --width 120\n  fanwise draw pear.txt -o pear.pdf --page a4\n  fanwise draw pear.txt -o pear.svg --lang de\n  fanwise draw --specimen -o symbols.pdf\n  fanwise draw pear.txt -o pear.svg --sc cross --ink yarn\n  fanwise draw pear.txt -o pear.svg --show increases,counts"
)]
pub(super) struct DrawArgs {
    /// Pattern file; - for standard input
    #[arg(required_unless_present = "specimen")]
    pub(super) file: Option<PathBuf>,
    /// Draw the symbol set on one sheet instead of a pattern
    #[arg(long, conflicts_with = "file")]
    specimen: bool,
    /// File to write: .svg, .png or .pdf
    #[arg(short, long, value_name = "OUT")]
    output: PathBuf,
    #[command(flatten)]
    pub(super) look: LookArgs,
    #[command(flatten)]
    show: ShowArgs,
    #[command(flatten)]
    paper: PaperArgs,
    /// Draw a pattern with errors too, and mark the doubtful places
    #[arg(long)]
    draft: bool,
    #[command(flatten)]
    pub(super) read: ReadArgs,
}

pub(super) fn run(args: &DrawArgs) -> u8 {
    match drawn(args) {
        Ok(code) => code,
        Err(fault) => fault.say(),
    }
}

/// Draws one pattern, or the specimen, into one file; gives the exit code.
fn drawn(args: &DrawArgs) -> Result<u8, Fault> {
    let format = Format::of(&args.output)?;
    let mut options = args.paper.told(args.look.options()?)?.with_draft(args.draft);
    options.style = args.show.apply(options.style);
    let options = args.paper.on(format, options);
    let Some(file) = args.file.as_deref() else {
        return match Drawing::specimen(&options) {
            Ok(sheet) => written(args, &sheet, format).map(|()| FINE),
            Err(error) => Ok(no_chart(&error, FINE)),
        };
    };
    let (pattern, code) = match opened(file, &args.read, args.draft) {
        Ok(opened) => opened,
        Err(code) => return Ok(code),
    };
    match pattern.chart(&options) {
        Ok(chart) => written(args, chart.drawing(), format).map(|()| code),
        Err(error) => Ok(no_chart(&error, code)),
    }
}

fn written(args: &DrawArgs, drawing: &Drawing, format: Format) -> Result<(), Fault> {
    write_whole(&args.output, &args.paper.written(drawing, format)?)?;
    args.paper.remarks(drawing, format, &args.output).iter().for_each(|remark| eprintln!("note: {remark}"));
    Ok(())
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
    if error.is_about_letters() {
        eprintln!("error: {error}; name a font that has its letters with --font FILE");
        return TROUBLE;
    }
    eprintln!("error: {error}");
    if error.is_about_the_pattern() { code.max(PATTERN_ERRORS) } else { TROUBLE }
}
