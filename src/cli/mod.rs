//! One file per command. The only place that knows a terminal, files and exit codes.

mod check;
mod draw;
mod dump;
mod explain;
mod files;
mod print;

use clap::{Args, Parser, Subcommand, ValueEnum};
use fanwise::ReadOptions;
use fanwise::instructions::Terms;
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
    after_help = "Examples:\n  fanwise check pear.txt\n  fanwise draw pear.txt -o pear.svg\n  fanwise draw pear.txt -o pear.png --dpi 300\n  fanwise explain places-left"
)]
struct Cli {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Read, work and check patterns; report every row and every problem
    Check(check::CheckArgs),
    /// Draw the chart; the ending of OUT (.svg, .png) says what it is written as
    Draw(draw::DrawArgs),
    /// Print a model of the pattern as JSON
    Dump(dump::DumpArgs),
    /// Explain a problem code
    Explain(explain::ExplainArgs),
}

/// How words are read, for every command that reads.
#[derive(Args, Clone)]
struct ReadArgs {
    /// Terms the words are read in
    #[arg(long, value_enum, default_value_t = TermsArg::Auto)]
    terms: TermsArg,
}

#[derive(Clone, Copy, ValueEnum)]
enum TermsArg {
    /// US terms
    Us,
    /// UK terms
    Uk,
    /// By the pattern's own signs
    Auto,
}

impl ReadArgs {
    fn options(&self) -> ReadOptions {
        match self.terms {
            TermsArg::Us => ReadOptions::default().terms(Terms::Us),
            TermsArg::Uk => ReadOptions::default().terms(Terms::Uk),
            TermsArg::Auto => ReadOptions::default(),
        }
    }
}

/// Runs the program.
pub fn run() -> ExitCode {
    let cli = match Cli::try_parse() {
        Ok(cli) => cli,
        Err(error) => {
            let _ = error.print();
            return ExitCode::from(if error.use_stderr() { TROUBLE } else { FINE });
        }
    };
    let code = match cli.command {
        Command::Check(args) => check::run(&args),
        Command::Draw(args) => draw::run(&args),
        Command::Dump(args) => dump::run(&args),
        Command::Explain(args) => explain::run(&args),
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
