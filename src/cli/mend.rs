//! `fanwise mend`: a copy of a pattern with the chosen mends made.

use super::files::{Fault, read_text, shown, to_stdout, write_whole};
use super::{PATTERN_ERRORS, ReadArgs, TROUBLE, code_of, print};
use clap::Args;
use fanwise::mend::apply;
use fanwise::source::{Mend, Problem, SourceText, Span};
use fanwise::{Pattern, ReadOptions};
use std::path::{Path, PathBuf};

#[derive(Args)]
#[command(
    about = "Write a copy of a pattern with the mends that check shows",
    long_about = "Write a copy of a pattern with the mends that check shows.\n\nA mend is arithmetic only: it makes a row use what it is offered and make what it states. Whether the shape is the one you want, nobody but you can say.",
    after_help = "Examples:\n  fanwise mend pear.txt -o pear-mended.txt\n  fanwise mend pear.txt -o pear-mended.txt --row \"Row 5\" --choose 2\n  fanwise mend pear.txt --in-place\n\nThe copy is checked again. Exit code 0: nothing is left; 1: errors are left, or nothing could be mended and\nnothing is written; 2: wrong usage, or a file that cannot be read or written."
)]
pub(super) struct MendArgs {
    /// Pattern file; - for standard input
    pub(super) file: PathBuf,
    /// File to write; - for standard output
    #[arg(short, long, value_name = "OUT", required_unless_present = "in_place", conflicts_with = "in_place")]
    output: Option<PathBuf>,
    /// Write over the pattern itself
    #[arg(long)]
    in_place: bool,
    /// Which of the mends of a problem to take, as check numbers them
    #[arg(long, value_name = "N", default_value_t = 1)]
    choose: usize,
    /// Mend this row alone, by its label, such as "Row 5"
    #[arg(long, value_name = "LABEL")]
    row: Option<String>,
    #[command(flatten)]
    pub(super) read: ReadArgs,
}

pub(super) fn run(args: &MendArgs) -> u8 {
    match mended(args) {
        Ok(code) => code,
        Err(fault) => fault.say(),
    }
}

fn mended(args: &MendArgs) -> Result<u8, Fault> {
    let target = target(args)?;
    let options = args.read.options();
    let text = read_text(&args.file)?;
    let pattern = Pattern::read_with(&text, &options);
    if pattern.exceeds_limit() {
        print::problems(&shown(&args.file), &pattern);
        return Ok(TROUBLE);
    }
    let chosen = chosen(args, &pattern)?;
    let to_file = target != Path::new("-");
    let say = |words: &str| if to_file { to_stdout(words) } else { eprint!("{words}") };
    let (copy, made) = make(&pattern, &chosen, &options);
    if made.is_empty() && pattern.error_count() > 0 {
        if to_file {
            print::problems(&shown(&args.file), &pattern);
        }
        say(&format!("no mend was found for {}; nothing is written\n", plural(pattern.error_count(), "error")));
        return Ok(PATTERN_ERRORS);
    }
    if to_file {
        write_whole(&target, copy.text().as_bytes())?
    } else {
        to_stdout(copy.text())
    }
    made.iter().for_each(|(was, mend)| say(&format!("was  {was}\nnow  {}\n\n", mend.row)));
    let name = if to_file { shown(&target) } else { "the copy".to_owned() };
    let done = if made.is_empty() { "nothing to mend".into() } else { plural(made.len(), "mend") + " made" };
    let left = match copy.error_count() {
        0 => "no error is left".into(),
        n => format!("{} left", plural(n, "error")),
    };
    say(&format!("{name}: {done}, {left}\n"));
    if to_file && copy.error_count() > 0 {
        to_stdout("\n");
        print::problems(&name, &copy);
    }
    if !made.is_empty() {
        say("A mend is arithmetic only: see whether the shape is still yours.\n");
    }
    Ok(code_of(&copy, false))
}

/// Where the copy goes: never over the pattern unless that is asked for.
fn target(args: &MendArgs) -> Result<PathBuf, Fault> {
    let Some(out) = &args.output else {
        if args.file == Path::new("-") {
            return Err(Fault::usage("standard input cannot be written over; name a file with -o".into()));
        }
        // through a link to the file it stands for
        return Ok(std::fs::canonicalize(&args.file).unwrap_or_else(|_| args.file.clone()));
    };
    if is_same(&args.file, out) {
        return Err(Fault::usage(format!("{} is the pattern itself; --in-place writes over it", shown(out))));
    }
    Ok(out.clone())
}

/// True where two paths lead to one file.
fn is_same(a: &Path, b: &Path) -> bool {
    if a == Path::new("-") || b == Path::new("-") {
        return false;
    }
    match (std::fs::canonicalize(a), std::fs::canonicalize(b)) {
        (Ok(one), Ok(other)) => one == other || is_linked(&one, &other),
        _ => false,
    }
}

/// True where two names were given to one file.
#[cfg(unix)]
fn is_linked(a: &Path, b: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    match (std::fs::metadata(a), std::fs::metadata(b)) {
        (Ok(a), Ok(b)) => (a.dev(), a.ino()) == (b.dev(), b.ino()),
        _ => false,
    }
}

#[cfg(not(unix))]
fn is_linked(_: &Path, _: &Path) -> bool {
    false
}

/// The mend chosen of every problem that has any.
fn chosen<'p>(args: &MendArgs, pattern: &'p Pattern) -> Result<Vec<(&'p Problem, &'p Mend)>, Fault> {
    let source = SourceText::new(pattern.text());
    let spans: Option<Vec<Span>> = args.row.as_ref().map(|label| {
        let named = |have: &str| have.eq_ignore_ascii_case(label.trim());
        pattern.worked().tallies.iter().filter(|t| named(&t.label)).map(|t| t.span).collect()
    });
    if let (Some(label), Some([])) = (&args.row, spans.as_deref()) {
        return Err(Fault::usage(format!("there is no row \"{label}\"; rows are named as check names them")));
    }
    let asked = |p: &Problem| spans.as_ref().is_none_or(|s| s.iter().any(|s| s.holds(p.span)));
    let mut found = Vec::new();
    for problem in pattern.problems().iter().filter(|p| !p.mends.is_empty() && asked(p)) {
        let n = problem.mends.len();
        let mend = args.choose.checked_sub(1).and_then(|k| problem.mends.get(k));
        let line = source.position(problem.span.start).line;
        match mend {
            Some(mend) => found.push((problem, mend)),
            None => {
                return Err(Fault::usage(format!(
                    "--choose {}: the problem in line {line} has {}; --row names the row to choose for",
                    args.choose,
                    plural(n, "mend")
                )));
            }
        }
    }
    Ok(found)
}

/// Makes mends one after another; one that does not leave fewer errors than before is left out.
fn make<'p>(
    pattern: &Pattern,
    chosen: &[(&'p Problem, &'p Mend)],
    options: &ReadOptions,
) -> (Pattern, Vec<(String, &'p Mend)>) {
    let mut copy = pattern.clone();
    let mut edits = Vec::new();
    let mut made = Vec::new();
    for (_, mend) in chosen {
        let mut more = edits.clone();
        more.extend(mend.edits.iter().cloned());
        let tried = Pattern::read_with(&apply(pattern.text(), &more), options);
        if tried.error_count() < copy.error_count() {
            copy = tried;
            edits = more;
            made.push((row_of(pattern, mend), *mend));
        }
    }
    (copy, made)
}

/// The row that a mend rewrites, as it was.
fn row_of(pattern: &Pattern, mend: &Mend) -> String {
    let at = mend.edits.first().map_or(Span::default(), |e| e.span);
    let span = pattern.worked().tallies.iter().map(|t| t.span).find(|s| s.holds(at)).unwrap_or(at);
    let words = SourceText::new(pattern.text()).words(span).to_owned();
    words.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn plural(n: usize, word: &str) -> String {
    if n == 1 { format!("1 {word}") } else { format!("{n} {word}s") }
}
