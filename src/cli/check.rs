//! `fanwise check`.

use super::files::{self, pattern_files, read_pattern, shown, to_stdout};
use super::{FINE, ReadArgs, TROUBLE, code_of, print};
use clap::{Args, ValueEnum};
use fanwise::Pattern;
use fanwise::source::{Severity, SourceText};
use std::path::PathBuf;

#[derive(Args)]
#[command(
    after_help = "Examples:\n  fanwise check pear.txt\n  fanwise check patterns/ --format lines\n  fanwise check pear.txt --format json"
)]
pub(super) struct CheckArgs {
    /// Pattern files or folders; - for standard input
    #[arg(required = true)]
    files: Vec<PathBuf>,
    /// How the report is written
    #[arg(long, value_enum, default_value_t = Format::Human)]
    format: Format,
    /// Treat warnings as errors
    #[arg(long)]
    strict: bool,
    #[command(flatten)]
    read: ReadArgs,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    /// For a person
    Human,
    /// One JSON document
    Json,
    /// One line a problem
    Lines,
}

pub(super) fn run(args: &CheckArgs) -> u8 {
    let files = match pattern_files(&args.files) {
        Ok(files) => files,
        Err(fault) => return say(&fault),
    };
    let options = args.read.options();
    let mut worst = FINE;
    let mut read: Vec<(String, Pattern)> = Vec::new();
    for path in &files {
        match read_pattern(path, &options) {
            Ok(pattern) => {
                worst = worst.max(code_of(&pattern, args.strict));
                read.push((shown(path), pattern));
            }
            Err(fault) => worst = worst.max(say(&fault)),
        }
    }
    match args.format {
        Format::Json => to_stdout(&fanwise::face::check_document(&read)),
        Format::Lines => {
            for (file, pattern) in &read {
                let source = SourceText::new(pattern.text());
                pattern.problems().iter().for_each(|p| to_stdout(&print::line(file, p, &source)));
            }
        }
        Format::Human if files.len() > 1 => read.iter().for_each(|(file, pattern)| to_stdout(&summary(file, pattern))),
        Format::Human => {
            for (file, pattern) in &read {
                to_stdout(&print::rows(pattern));
                if !pattern.problems().is_empty() {
                    to_stdout("\n");
                    print::problems(file, pattern);
                }
                to_stdout(&verdict(pattern));
            }
        }
    }
    worst
}

fn say(fault: &files::Fault) -> u8 {
    eprintln!("error[{}]: {}", fault.code, fault.message);
    TROUBLE
}

fn counts(pattern: &Pattern) -> (usize, usize, usize) {
    let n = |severity| pattern.problems().iter().filter(|p| p.severity == severity).count();
    (n(Severity::Error), n(Severity::Warning), n(Severity::Note))
}

fn plural(n: usize, word: &str) -> String {
    if n == 1 { format!("1 {word}") } else { format!("{n} {word}s") }
}

fn verdict(pattern: &Pattern) -> String {
    let rows = pattern.worked().tallies.len();
    match counts(pattern) {
        (0, 0, 0) => format!("\n{} checked, every count agrees\n", plural(rows, "row")),
        (errors, warnings, notes) => {
            format!(
                "\n{} checked: {}, {}, {}\n",
                plural(rows, "row"),
                plural(errors, "error"),
                plural(warnings, "warning"),
                plural(notes, "note")
            )
        }
    }
}

/// One line a file.
fn summary(file: &str, pattern: &Pattern) -> String {
    let (errors, warnings, notes) = counts(pattern);
    let rows = plural(pattern.worked().tallies.len(), "row");
    let state = match (errors, warnings, notes) {
        (0, 0, 0) => "fine".to_owned(),
        _ => format!("{}, {}, {}", plural(errors, "error"), plural(warnings, "warning"), plural(notes, "note")),
    };
    format!("{file}: {}, {rows}: {state}\n", pattern.tree().title)
}
