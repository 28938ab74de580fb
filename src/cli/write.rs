//! `fanwise write`: the pattern written out again.

use super::files::{Fault, read_pattern, shown, to_stdout, write_whole};
use super::{FINE, PATTERN_ERRORS, ReadArgs, TROUBLE, code_of, print};
use clap::{Args, ValueEnum};
use fanwise::export::{html, markdown};
use fanwise::instructions::Terms;
use fanwise::write::as_text;
use std::path::{Path, PathBuf};

#[derive(Args)]
#[command(
    about = "Write the pattern out again in the normal form, in US or UK terms",
    long_about = "Write the pattern out again in the normal form, in US or UK terms.\n\nRows worked alike are told in one line, repeats are found and starred, counts are stated, and the abbreviations used\nare listed. What is written is read and worked again before it is given out: it makes the same fabric, stitch for\nstitch.",
    after_help = "Examples:\n  fanwise write pear.txt\n  fanwise write pear.txt --speak uk -o pear-uk.txt\n  fanwise write pear.txt -o pear.html\n  fanwise write - --format markdown < pear.txt\n\nExit code 0: written; 1: the pattern has errors and is written as it stands; 2: wrong usage, or a file that cannot be\nread or written."
)]
pub(super) struct WriteArgs {
    /// Pattern file; - for standard input
    pub(super) file: PathBuf,
    /// File to write; standard output where none is named
    #[arg(short, long, value_name = "OUT")]
    output: Option<PathBuf>,
    /// Terms to write in; default: as read
    #[arg(long, value_enum)]
    speak: Option<SpeakArg>,
    /// Format; default: by the ending of OUT (.md, .html), else text
    #[arg(long, value_enum)]
    format: Option<FormatArg>,
    #[command(flatten)]
    pub(super) read: ReadArgs,
}

#[derive(Clone, Copy, ValueEnum)]
enum SpeakArg {
    /// US terms
    Us,
    /// UK terms
    Uk,
}

#[derive(Clone, Copy, ValueEnum)]
enum FormatArg {
    /// Plain text
    Text,
    /// Markdown
    Markdown,
    /// A page of HTML
    Html,
}

pub(super) fn run(args: &WriteArgs) -> u8 {
    match written(args) {
        Ok(code) => code,
        Err(fault) => fault.say(),
    }
}

fn written(args: &WriteArgs) -> Result<u8, Fault> {
    let pattern = read_pattern(&args.file, &args.read.one_size()?)?;
    let code = code_of(&pattern, false);
    if code == TROUBLE {
        print::problems(&shown(&args.file), &pattern);
        return Ok(TROUBLE);
    }
    let speak = args.speak.map(|speak| match speak {
        SpeakArg::Us => Terms::Us,
        SpeakArg::Uk => Terms::Uk,
    });
    let written = pattern.write(speak);
    let text = match args.format.unwrap_or_else(|| by_ending(args.output.as_deref())) {
        FormatArg::Text => as_text(&written),
        FormatArg::Markdown => markdown::write(&written),
        FormatArg::Html => html::write(&written),
    };
    match args.output.as_deref().filter(|out| *out != Path::new("-")) {
        Some(out) => write_whole(out, text.as_bytes())?,
        None => to_stdout(&text),
    }
    if code != FINE {
        eprintln!(
            "written as it stands: the pattern has {}; \"fanwise check\" tells them",
            errors(pattern.error_count())
        );
    }
    for label in &written.unproven {
        eprintln!("error: {label} could not be written so that it reads back to the same stitches");
    }
    Ok(if written.unproven.is_empty() { code } else { code.max(PATTERN_ERRORS) })
}

fn errors(n: usize) -> String {
    if n == 1 { "1 error".into() } else { format!("{n} errors") }
}

fn by_ending(out: Option<&Path>) -> FormatArg {
    match out.and_then(Path::extension).and_then(|e| e.to_str()).map(str::to_lowercase).as_deref() {
        Some("md" | "markdown") => FormatArg::Markdown,
        Some("html" | "htm") => FormatArg::Html,
        _ => FormatArg::Text,
    }
}
