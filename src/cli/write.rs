//! `fanwise write`: the pattern written out again.

use super::files::{Fault, read_pattern, shown, to_stdout, write_whole};
use super::{FINE, PATTERN_ERRORS, ReadArgs, TROUBLE, code_of, print};
use clap::{Args, ValueEnum};
use fanwise::Pattern;
use fanwise::export::{html, markdown};
use fanwise::instructions::Terms;
use fanwise::reading::ReadOptions;
use fanwise::symbol::Speak;
use fanwise::write::{Written, as_text, same_work};
use std::path::{Path, PathBuf};

#[derive(Args)]
#[command(
    about = "Write the pattern out again in the normal form, in US or UK terms or in another language",
    long_about = "Write the pattern out again in the normal form, in US or UK terms or in another language.\n\nRows worked alike are told in one line, repeats are found and starred, counts are stated, and the abbreviations used\nare listed. What is written is read and worked again before it is given out: it makes the same fabric, stitch for\nstitch. In another language the same rows are told; what has no settled words there stays in the pattern's own, and\nis marked.",
    after_help = "Examples:\n  fanwise write pear.txt\n  fanwise write pear.txt --speak uk -o pear-uk.txt\n  fanwise write pear.txt --lang de -o pear-de.txt\n  fanwise write pear.txt -o pear.html\n  fanwise write - --format markdown < pear.txt\n\nExit code 0: written; 1: the pattern has errors and is written as it stands; 2: wrong usage, or a file that cannot be\nread or written."
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
    /// Language to write in: en-US, en-GB, de, fr, es-ES, es-MX, es-AR, nl, it, pt-PT, pt-BR, da
    #[arg(long, value_name = "CODE", value_parser = super::look::language)]
    lang: Option<Speak>,
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
    let pattern = read_pattern(&args.file, &args.read.options())?;
    let code = code_of(&pattern, false);
    if code == TROUBLE {
        print::problems(&shown(&args.file), &pattern);
        return Ok(TROUBLE);
    }
    let written = args.say(&pattern)?;
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

impl WriteArgs {
    /// The pattern in the terms or the language asked for; a language other than English has terms of its own.
    fn say(&self, pattern: &Pattern) -> Result<Written, Fault> {
        if let Some(Speak::In(language)) = self.lang {
            return pattern.write_in(language).ok_or_else(|| {
                let (name, code) = (language.name(), language.code());
                Fault::usage(format!(
                    "rows are not written out in {name}: its patterns are charts, and the trade there has no settled abbreviations for rows in words; \"fanwise draw --lang {code}\" draws the chart, --lang en-US writes English"
                ))
            });
        }
        let speak = match (self.speak, self.lang) {
            (Some(SpeakArg::Us), _) | (None, Some(Speak::Us)) => Some(Terms::Us),
            (Some(SpeakArg::Uk), _) | (None, Some(Speak::Uk)) => Some(Terms::Uk),
            _ => None,
        };
        let written = pattern.write(speak);
        Ok(if pattern.is_sound() || pattern.is_of_all_sizes() { written } else { self.settled(pattern, written) })
    }

    /// Of a pattern with errors, what stays as it is when it is written out once more: words that were doubtful, and are
    /// clear in the normal form, may be told more plainly the second time.
    fn settled(&self, pattern: &Pattern, mut written: Written) -> Written {
        const MOST: usize = 4;
        let options = ReadOptions::default().house_words(self.read.house.clone());
        let mut text = as_text(&written);
        for _ in 0..MOST {
            let again = Pattern::read_with(&text, &options);
            let next = again.write(Some(written.terms));
            let told = as_text(&next);
            if told == text || !same_work(pattern.fabric(), again.fabric()) || !next.unproven.is_empty() {
                break;
            }
            (written, text) = (next, told);
        }
        written
    }
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
