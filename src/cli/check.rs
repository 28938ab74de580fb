//! `fanwise check`.

use super::accepted::Lists;
use super::files::{self, Fault, read_pattern, shown, to_stdout};
use super::report::{self, Earlier};
use super::settings::{self, Told, folder_of};
use super::{Command, FINE, ReadArgs, TROUBLE, batch, code_of, print};
use clap::{Args, ValueEnum};
use fanwise::face::note_style;
use fanwise::source::{Code, SourceText};
use fanwise::{Pattern, ReadOptions};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

#[derive(Args)]
#[command(
    after_help = "Examples:\n  fanwise check pear.txt\n  fanwise check patterns/ --format lines\n  fanwise check pear.txt --format json\n  fanwise check cap.txt --size all\n  fanwise check pear.txt --against first-edition/pear.txt\n  fanwise check patterns/ --accept=count-differs"
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
    /// Accept the problems there are, or those of some codes: they are listed in fanwise-accepted.toml beside the patterns
    #[arg(long, value_name = "CODE", num_args = 0.., require_equals = true, value_delimiter = ',', value_parser = code)]
    accept: Option<Vec<Code>>,
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
    let mut of: Vec<(&PathBuf, bool)> = Vec::new();
    for ((file, _, strict), result) in jobs.iter().zip(done) {
        match result {
            Ok(pattern) => {
                read.push((shown(file), pattern));
                of.push((file, *strict));
            }
            Err(fault) => {
                unread += 1;
                worst = worst.max(fault.say());
            }
        }
    }
    for members in all_series(&of) {
        note_style(&mut read, &members);
    }
    worst = worst.max(settle(args, &of, &mut read));
    for ((_, pattern), (_, strict)) in read.iter().zip(&of) {
        worst = worst.max(code_of(pattern, *strict));
    }
    let paths: Vec<PathBuf> = of.iter().map(|(path, _)| (*path).clone()).collect();
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
        Format::Human if several => report::batch(&read, &earlier, unread),
        Format::Human => read.iter().enumerate().for_each(|(k, (f, p))| report::single(f, p, earlier.get(k))),
    }
    worst
}

/// The files that make a series: those of a folder with settings, and all others together.
fn all_series(files: &[(&PathBuf, bool)]) -> Vec<Vec<usize>> {
    let mut series: BTreeMap<Option<PathBuf>, Vec<usize>> = BTreeMap::new();
    for (k, (file, _)) in files.iter().enumerate() {
        let own = settings::is_beside(file).then(|| folder_of(file));
        series.entry(own).or_default().push(k);
    }
    series.into_values().collect()
}

/// Takes out what is accepted; with `--accept`, whatever there is now, and writes the lists. Gives the exit code.
fn settle(args: &CheckArgs, files: &[(&PathBuf, bool)], read: &mut [(String, Pattern)]) -> u8 {
    let mut lists = Lists::default();
    let mut worst = FINE;
    for ((path, _), (_, pattern)) in files.iter().zip(read) {
        if let Err(fault) = lists.open(path) {
            worst = fault.say();
            continue;
        }
        if let Some(codes) = &args.accept {
            lists.accept(path, pattern, codes, files.len() > 1);
        }
        lists.settle(path, pattern);
    }
    if args.accept.is_none() || worst > FINE {
        return worst;
    }
    lists.write().err().map_or(FINE, |fault| fault.say())
}

fn code(told: &str) -> Result<Code, String> {
    Code::ALL.iter().copied().find(|c| c.as_str() == told).ok_or_else(|| {
        let near = Code::ALL.iter().map(|c| (strsim::osa_distance(c.as_str(), told), c.as_str())).min();
        format!("there is no such problem code; did you mean \"{}\"?", near.map_or("", |(_, c)| c))
    })
}

/// Options that do not go together.
fn unfit(args: &CheckArgs) -> Option<String> {
    if args.accept.is_some() && args.files.iter().any(|f| f == Path::new("-")) {
        return Some("--accept needs files: standard input has no place for a list beside it".into());
    }
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
fn earlier(args: &CheckArgs, old: &Path, files: &[PathBuf], desks: &mut Desks<'_>, worst: &mut u8) -> Vec<Earlier> {
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
