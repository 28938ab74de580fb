//! `fanwise draw`.

mod batch;
mod paper;

use super::accepted::Lists;
use super::files::{Fault, read_pattern, shown, write_whole};
use super::look::LookArgs;
use super::part::PartArgs;
use super::settings::Told;
use super::show::ShowArgs;
use super::{FINE, PATTERN_ERRORS, ReadArgs, TROUBLE, code_of, print};
use clap::Args;
use fanwise::{Chart, Drawing, Error, Pattern};
use paper::{Format, FormatArg, PaperArgs};
use std::path::{Path, PathBuf};

#[derive(Args, Clone)]
#[command(
    after_help = "Examples:\n  fanwise draw pear.txt -o pear.svg\n  fanwise draw pear.txt -o pear.png --dpi 300 --width 120\n  fanwise draw pear.txt -o pear.pdf --page a4\n  fanwise draw pear.txt -o pear.svg --lang de\n  fanwise draw --specimen -o symbols.pdf\n  fanwise draw pear.txt -o pear.svg --sc cross --ink yarn\n  fanwise draw pear.txt -o pear.svg --show increases,counts\n  fanwise draw patterns --into charts --formats svg,pdf --page a5\n  fanwise draw shawl.txt -o repeat.svg --one-repeat"
)]
pub(super) struct DrawArgs {
    /// Pattern files; - for standard input. With --into, folders too
    #[arg(value_name = "FILE", required_unless_present = "specimen")]
    pub(super) files: Vec<PathBuf>,
    /// Draw the symbol set on one sheet instead of a pattern
    #[arg(long, conflicts_with = "files")]
    specimen: bool,
    /// File to write: .svg, .png or .pdf
    #[arg(short, long, value_name = "OUT", required_unless_present = "into")]
    output: Option<PathBuf>,
    /// Folder to write a chart of every pattern into, all at one scale; it is made if its parent is there
    #[arg(long, value_name = "DIR", conflicts_with_all = ["output", "specimen"])]
    pub(super) into: Option<PathBuf>,
    /// What the charts of --into are written as
    #[arg(long, value_enum, value_delimiter = ',', default_value = "svg", requires = "into")]
    formats: Vec<FormatArg>,
    /// Let each chart of --into have its own scale
    #[arg(long, requires = "into")]
    own_scale: bool,
    #[command(flatten)]
    pub(super) look: LookArgs,
    #[command(flatten)]
    show: ShowArgs,
    #[command(flatten)]
    part: PartArgs,
    #[command(flatten)]
    paper: PaperArgs,
    /// Draw a pattern with errors too, and mark the doubtful places
    #[arg(long)]
    draft: bool,
    #[command(flatten)]
    pub(super) read: ReadArgs,
}

pub(super) fn run(args: &DrawArgs, told: &Told) -> u8 {
    if let Some(into) = &args.into {
        return batch::run(args, told, into);
    }
    match drawn(args) {
        Ok(code) => code,
        Err(fault) => fault.say(),
    }
}

/// Draws one pattern, or the specimen, into one file; gives the exit code.
fn drawn(args: &DrawArgs) -> Result<u8, Fault> {
    // OK: either this or a folder has to be named
    let output = args.output.as_deref().unwrap_or(Path::new(""));
    let format = Format::of(output)?;
    if let [_, second, ..] = args.files.as_slice() {
        let message = format!("{} is a second pattern; --into DIR draws several, one file for each", shown(second));
        return Err(Fault::usage(message));
    }
    let mut options = args.paper.told(args.look.options()?)?.with_draft(args.draft).with_part(args.part.choice());
    options.style = args.show.apply(options.style);
    let options = args.paper.on(format, options);
    let Some(file) = args.files.first() else {
        return match Drawing::specimen(&options) {
            Ok(sheet) => written(args, &sheet, format, output).map(|()| FINE),
            Err(error) => Ok(no_chart(&error, FINE)),
        };
    };
    let (pattern, code) = match opened(file, &args.read, args.draft) {
        Ok(opened) => opened,
        Err(code) => return Ok(code),
    };
    match pattern.chart(&options) {
        Ok(chart) => {
            written(args, chart.drawing(), format, output)?;
            remark_on(&chart, output);
            Ok(code)
        }
        Err(error) => Ok(no_chart(&error, code)),
    }
}

/// Tells what would make a chart read better.
pub(super) fn remark_on(chart: &Chart, output: &Path) {
    if chart.overlies() {
        eprintln!(
            "note: {}: rows are worked behind others and lie among them here; --layers draws each layer apart",
            shown(output)
        );
    }
}

fn written(args: &DrawArgs, drawing: &Drawing, format: Format, output: &Path) -> Result<(), Fault> {
    write_whole(output, &args.paper.written(drawing, format)?)?;
    args.paper.remarks(drawing, format, output).iter().for_each(|remark| eprintln!("note: {remark}"));
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
