//! One file per command. The only place that knows a terminal, files and exit codes.

mod accepted;
mod batch;
mod check;
mod completions;
mod draw;
mod dump;
mod explain;
mod files;
mod folder;
mod look;
mod measure;
mod measured;
mod mend;
mod part;
mod print;
mod report;
mod settings;
mod sheet;
mod show;
mod steps;
mod style_file;
mod symbols;
mod write;

use clap::{Args, CommandFactory, FromArgMatches, Parser, Subcommand, ValueEnum};
use fanwise::instructions::{Assumed, Terms};
use fanwise::reading::HouseWords;
use fanwise::{ReadOptions, SizeChoice};
use settings::{Settings, Told};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// Fine; notes and warnings allowed.
const FINE: u8 = 0;
/// A pattern has errors.
const PATTERN_ERRORS: u8 = 1;
/// Wrong usage, unreadable or unwritable file, limit exceeded.
const TROUBLE: u8 = 2;

#[derive(Parser)]
#[command(
    name = "fanwise",
    version,
    about = "Proves a written crochet pattern and draws it as a symbol chart",
    after_help = "Examples:\n  fanwise check pear.txt\n  fanwise mend pear.txt -o pear-mended.txt\n  fanwise draw pear.txt -o pear.svg\n  fanwise draw pear.txt -o pear.png --dpi 300\n  fanwise steps pear.txt --into pear-steps\n  fanwise measure pear.txt\n  fanwise write pear.txt --speak uk\n  fanwise sheet pear.txt -o pear.html\n  fanwise explain places-left\n\nA file fanwise.toml beside the patterns holds options for all of them; the command line wins."
)]
struct Cli {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Read, work and check patterns; report every row and every problem
    Check(check::CheckArgs),
    /// Write a copy with the mends that check shows
    Mend(mend::MendArgs),
    /// Draw the chart; the ending of OUT (.svg, .png, .pdf) says what it is written as
    Draw(draw::DrawArgs),
    /// Tell size, yarn and curve: how large a piece comes out, what it takes, and whether it lies flat
    Measure(measure::MeasureArgs),
    /// Draw the chart row by row: one figure a row, or all on one strip, or one that moves
    Steps(steps::StepsArgs),
    /// Write the pattern out again in the normal form, in US or UK terms
    Write(write::WriteArgs),
    /// Make the whole pattern one printable page; of several, pages and an index
    Sheet(sheet::SheetArgs),
    /// Print a model of the pattern as JSON
    Dump(dump::DumpArgs),
    /// Explain a problem code
    Explain(explain::ExplainArgs),
    /// Print what a shell needs to complete commands and options
    Completions(completions::CompletionsArgs),
}

impl Command {
    /// The one file of a command that takes one. Those that take several look to the settings of each themselves.
    fn file(&self) -> Option<&Path> {
        match self {
            Command::Mend(args) => Some(&args.file),
            Command::Draw(args) => args.files.first().filter(|_| args.into.is_none()).map(PathBuf::as_path),
            Command::Steps(args) => Some(&args.file),
            Command::Write(args) => Some(&args.file),
            Command::Dump(args) => Some(&args.file),
            Command::Check(_)
            | Command::Measure(_)
            | Command::Sheet(_)
            | Command::Explain(_)
            | Command::Completions(_) => None,
        }
    }

    /// Takes from the settings what is no option.
    fn take(&mut self, settings: &Settings) {
        match self {
            Command::Check(args) => args.read.house = settings.house.clone(),
            Command::Draw(args) => {
                args.read.house = settings.house.clone();
                args.look.yarns = settings.yarns.clone();
            }
            Command::Steps(args) => {
                args.read.house = settings.house.clone();
                args.look.yarns = settings.yarns.clone();
            }
            Command::Mend(args) => args.read.house = settings.house.clone(),
            Command::Write(args) => args.read.house = settings.house.clone(),
            Command::Sheet(args) => {
                args.read.house = settings.house.clone();
                args.look.yarns = settings.yarns.clone();
                args.measured = settings.measured.clone();
            }
            Command::Dump(args) => args.read.house = settings.house.clone(),
            Command::Measure(args) => args.read.house = settings.house.clone(),
            Command::Explain(_) | Command::Completions(_) => {}
        }
    }
}

/// How words are read, for every command that reads.
#[derive(Args, Clone)]
struct ReadArgs {
    /// Terms the words are read in
    #[arg(long, value_enum, default_value_t = TermsArg::Auto)]
    terms: TermsArg,
    /// Settle doubts: turning-chain=counts or not, repeat=more or total
    #[arg(long, value_name = "WHAT=HOW", value_delimiter = ',', value_parser = assumption)]
    assume: Vec<Assumption>,
    /// Size to work of a pattern that comes in several, by name or by number; "all" checks every size. Default: the first
    #[arg(long, value_name = "N")]
    size: Option<String>,
    /// Words of the house, from the settings
    #[arg(skip)]
    house: HouseWords,
}

/// A doubt, and how it is settled.
#[derive(Clone, Copy)]
enum Assumption {
    TurningChainCounts(bool),
    RepeatMore(bool),
}

fn assumption(told: &str) -> Result<Assumption, String> {
    match told.trim() {
        "turning-chain=counts" => Ok(Assumption::TurningChainCounts(true)),
        "turning-chain=not" => Ok(Assumption::TurningChainCounts(false)),
        "repeat=more" => Ok(Assumption::RepeatMore(true)),
        "repeat=total" => Ok(Assumption::RepeatMore(false)),
        _ => Err("it is one of turning-chain=counts, turning-chain=not, repeat=more, repeat=total".into()),
    }
}

#[derive(Clone, Copy, ValueEnum)]
enum TermsArg {
    /// US terms
    Us,
    /// UK terms
    Uk,
    /// American books up to about 1918: double is sc
    OldUs,
    /// Victorian books: plain is sc, long dc
    OldUk,
    /// By the pattern's own signs
    Auto,
}

impl ReadArgs {
    fn options(&self) -> ReadOptions {
        let mut assumed = Assumed::default();
        for told in &self.assume {
            assumed = match *told {
                Assumption::TurningChainCounts(counts) => assumed.with_turning_chain_counts(counts),
                Assumption::RepeatMore(more) => assumed.with_repeat_more(more),
            };
        }
        let options = ReadOptions::default().assumed(assumed).house_words(self.house.clone());
        let options = match self.terms {
            TermsArg::Us => options.terms(Terms::Us),
            TermsArg::Uk => options.terms(Terms::Uk),
            TermsArg::OldUs => options.terms(Terms::OldUs),
            TermsArg::OldUk => options.terms(Terms::OldUk),
            TermsArg::Auto => options,
        };
        match &self.size {
            None => options,
            Some(all) if all.eq_ignore_ascii_case("all") => options.size(SizeChoice::All),
            Some(name) => options.size(SizeChoice::Named(name.clone())),
        }
    }

    /// The options of a command that works one size.
    fn one_size(&self) -> Result<ReadOptions, files::Fault> {
        let options = self.options();
        if options.size == SizeChoice::All {
            let fault = "--size all is for check and write; here one size is worked, by its name or number";
            return Err(files::Fault::usage(fault.into()));
        }
        Ok(options)
    }
}

/// Runs the program.
pub fn run() -> ExitCode {
    let words: Vec<_> = std::env::args_os().collect();
    let parsed = Cli::command().try_get_matches_from(&words);
    let (matches, cli) = match parsed.and_then(|m| Cli::from_arg_matches(&m).map(|cli| (m, cli))) {
        Ok(parsed) => parsed,
        Err(error) => {
            let _ = error.print();
            return ExitCode::from(if error.use_stderr() { TROUBLE } else { FINE });
        }
    };
    let told = Told::new(words, matches);
    let command = match cli.command.file().map(|file| told.command_beside(file)) {
        None => cli.command,
        Some(Ok(command)) => command,
        Some(Err(fault)) => return ExitCode::from(fault.say()),
    };
    let code = match command {
        Command::Check(args) => check::run(&args, &told),
        Command::Mend(args) => mend::run(&args),
        Command::Draw(args) => draw::run(&args, &told),
        Command::Steps(args) => steps::run(&args),
        Command::Write(args) => write::run(&args),
        Command::Sheet(args) => sheet::run(&args, &told),
        Command::Dump(args) => dump::run(&args),
        Command::Measure(args) => measure::run(&args, &told),
        Command::Explain(args) => explain::run(&args),
        Command::Completions(args) => completions::run(&args),
    };
    ExitCode::from(code)
}

/// The exit code a pattern asks for.
fn code_of(pattern: &fanwise::Pattern, strict: bool) -> u8 {
    use fanwise::source::Severity;
    if pattern.exceeds_limit() {
        return TROUBLE;
    }
    let worst = if strict { Severity::Warning } else { Severity::Error };
    if pattern.problems().iter().any(|p| p.severity >= worst) { PATTERN_ERRORS } else { FINE }
}
