//! `fanwise check`.

use super::files::{self, Fault, read_pattern, shown, to_stdout};
use super::settings::{Told, folder_of};
use super::{Command, FINE, ReadArgs, TROUBLE, batch, code_of, print};
use clap::{Args, ValueEnum};
use fanwise::compare::erratum;
use fanwise::source::{Severity, SourceText};
use fanwise::{Pattern, ReadOptions};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

#[derive(Args)]
#[command(
    after_help = "Examples:\n  fanwise check pear.txt\n  fanwise check patterns/ --format lines\n  fanwise check pear.txt --format json\n  fanwise check cap.txt --size all\n  fanwise check pear.txt --against first-edition/pear.txt"
)]
pub(super) struct CheckArgs {
    /// Pattern files or folders; - for standard input
    #[arg(required = true)]
    files: Vec<PathBuf>,
    /// How the report is written
    #[arg(long, value_enum, default_value_t = Format::Human)]
    format: Format,
    /// An earlier edition, a file or a folder of them, to compare with
    #[arg(long, value_name = "OLD")]
    against: Option<PathBuf>,
    /// Treat warnings as errors
    #[arg(long, num_args = 0..=1, require_equals = true, default_missing_value = "true", default_value_t = false)]
    #[arg(action = clap::ArgAction::Set, value_name = "true|false", hide_possible_values = true)]
    #[arg(hide_default_value = true)]
    strict: bool,
    #[command(flatten)]
    pub(super) read: ReadArgs,
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

pub(super) fn run(args: &CheckArgs, told: &Told) -> u8 {
    if let Some(fault) = unfit(args) {
        return Fault::usage(fault).say();
    }
    let mut worst = FINE;
    let mut unread = 0;
    let mut desks = Desks::new(told);
    let mut jobs: Vec<(PathBuf, ReadOptions, bool)> = Vec::new();
    let found = files::pattern_files(&args.files);
    let several = found.len() > 1;
    for file in found {
        let settled = file.and_then(|file| desks.beside(&file).map(|of| (file, of.read.options(), of.strict)));
        match settled {
            Ok(job) => jobs.push(job),
            Err(fault) => {
                unread += 1;
                worst = worst.max(if fault.message.is_empty() { TROUBLE } else { fault.say() });
            }
        }
    }
    let done = batch::each(&jobs, |(file, options, _)| read_pattern(file, options));
    let mut read: Vec<(String, Pattern)> = Vec::new();
    let mut paths = Vec::new();
    for ((file, _, strict), result) in jobs.iter().zip(done) {
        match result {
            Ok(pattern) => {
                worst = worst.max(code_of(&pattern, *strict));
                read.push((shown(file), pattern));
                paths.push(file.clone());
            }
            Err(fault) => {
                unread += 1;
                worst = worst.max(fault.say());
            }
        }
    }
    let earlier = match &args.against {
        Some(old) => earlier(args, old, &paths, &mut desks, &mut worst),
        None => Vec::new(),
    };
    match args.format {
        Format::Json => to_stdout(&fanwise::face::check_document_against(&read, &earlier)),
        Format::Lines => {
            for (file, pattern) in &read {
                let source = SourceText::new(pattern.text());
                pattern.problems().iter().for_each(|p| to_stdout(&print::line(file, p, &source)));
            }
        }
        Format::Human if several => batch_report(&read, &earlier, unread),
        Format::Human => {
            for (k, (file, pattern)) in read.iter().enumerate() {
                let all = pattern.is_of_all_sizes() && pattern.sizes().len() > 1;
                to_stdout(&if all { print::sizes(pattern) } else { print::rows(pattern) });
                if !pattern.problems().is_empty() {
                    to_stdout("\n");
                    print::problems(file, pattern);
                }
                to_stdout(&format!("\n{}", verdict(pattern)));
                changes(pattern, earlier.get(k));
            }
        }
    }
    worst
}

/// Options that do not go together.
fn unfit(args: &CheckArgs) -> Option<String> {
    let old = args.against.as_ref()?;
    if args.format == Format::Lines {
        return Some("--against is told for a person or as JSON, not in lines".into());
    }
    let many = args.files.len() > 1 || args.files.iter().any(|f| f.is_dir());
    (many && !old.is_dir()).then(|| {
        format!(
            "--against {} is one edition of one pattern; name one file, or a folder of earlier editions",
            shown(old)
        )
    })
}

/// The earlier edition of each file: the one file named, or the file of the same name in the folder named.
fn earlier(
    args: &CheckArgs,
    old: &Path,
    files: &[PathBuf],
    desks: &mut Desks<'_>,
    worst: &mut u8,
) -> Vec<Option<(String, Pattern)>> {
    let folder = old.is_dir();
    let mut found = Vec::new();
    for file in files {
        let path = if folder { old.join(within(&args.files, file)) } else { old.to_owned() };
        if folder && !path.is_file() {
            // new in this edition
            found.push(None);
            continue;
        }
        let options = desks.beside(&path).map(|of| of.read.options());
        match options.and_then(|options| read_pattern(&path, &options)) {
            Ok(pattern) => found.push(Some((shown(&path), pattern))),
            Err(fault) => {
                *worst = TROUBLE;
                if !fault.message.is_empty() {
                    fault.say();
                }
                found.push(None);
            }
        }
    }
    found
}

/// The path of a file within the folder it was found in.
fn within<'a>(given: &[PathBuf], file: &'a Path) -> &'a Path {
    let name = file.file_name().map_or(file, Path::new);
    given.iter().filter(|g| g.is_dir()).find_map(|g| file.strip_prefix(g).ok()).unwrap_or(name)
}

/// What is other than in the earlier edition, as an erratum.
fn changes(pattern: &Pattern, earlier: Option<&Option<(String, Pattern)>>) {
    let Some(earlier) = earlier else { return };
    let Some((file, old)) = earlier else { return to_stdout("\nNew in this edition\n") };
    let lines = erratum(&pattern.against(old));
    if lines.is_empty() {
        to_stdout(&format!("\nNothing changed against {file}\n"));
    } else {
        to_stdout(&format!("\nErratum against {file}\n  {}\n", lines.join("\n  ")));
    }
}

/// The command as the settings of each folder have it.
struct Desks<'a> {
    told: &'a Told,
    known: BTreeMap<PathBuf, Option<CheckArgs>>,
}

impl<'a> Desks<'a> {
    fn new(told: &'a Told) -> Self {
        Self { told, known: BTreeMap::new() }
    }

    /// What holds for a file. A fault in the settings is told once; after that its message is empty.
    fn beside(&mut self, file: &Path) -> Result<&CheckArgs, Fault> {
        let folder = folder_of(file);
        if !self.known.contains_key(&folder) {
            match self.told.command_beside(file) {
                Ok(Command::Check(args)) => {
                    self.known.insert(folder.clone(), Some(args));
                }
                // OK: the same words give the same command
                Ok(_) => {}
                Err(fault) => {
                    self.known.insert(folder, None);
                    return Err(fault);
                }
            }
        }
        self.known.get(&folder).and_then(Option::as_ref).ok_or_else(|| Fault::usage(String::new()))
    }
}

/// One line a file, what is wrong with it below, and the sum of them all.
fn batch_report(read: &[(String, Pattern)], earlier: &[Option<(String, Pattern)>], unread: usize) {
    for (k, (file, pattern)) in read.iter().enumerate() {
        to_stdout(&summary(file, pattern));
        if !pattern.problems().is_empty() {
            to_stdout("\n");
            print::problems(file, pattern);
        }
        changes(pattern, earlier.get(k));
    }
    let rows: usize = read.iter().map(|(_, p)| p.worked().tallies.len()).sum();
    let sum = read.iter().map(|(_, p)| counts(p)).fold((0, 0, 0), |a, b| (a.0 + b.0, a.1 + b.1, a.2 + b.2));
    let unread = if unread > 0 { format!("; not read: {}", plural(unread, "file")) } else { String::new() };
    to_stdout(&format!("\n{}, {}: {}{unread}\n", plural(read.len(), "pattern"), plural(rows, "row"), state(sum)));
}

fn counts(pattern: &Pattern) -> (usize, usize, usize) {
    let n = |severity| pattern.problems().iter().filter(|p| p.severity == severity).count();
    (n(Severity::Error), n(Severity::Warning), n(Severity::Note))
}

fn plural(n: usize, word: &str) -> String {
    if n == 1 { format!("1 {word}") } else { format!("{n} {word}s") }
}

fn state(counts: (usize, usize, usize)) -> String {
    match counts {
        (0, 0, 0) => "fine".to_owned(),
        (errors, warnings, notes) => {
            format!("{}, {}, {}", plural(errors, "error"), plural(warnings, "warning"), plural(notes, "note"))
        }
    }
}

fn verdict(pattern: &Pattern) -> String {
    let rows = plural(fanwise::face::rows_of_sizes(pattern).len(), "row");
    let sizes = pattern.by_size().len();
    let rows = if sizes > 1 { format!("{rows} in {sizes} sizes") } else { rows };
    match counts(pattern) {
        (0, 0, 0) => format!("{rows} checked, every count agrees\n"),
        counts => format!("{rows} checked: {}\n", state(counts)),
    }
}

/// One line a file.
fn summary(file: &str, pattern: &Pattern) -> String {
    let rows = plural(pattern.worked().tallies.len(), "row");
    format!("{file}: {}, {rows}: {}\n", pattern.tree().title, state(counts(pattern)))
}
