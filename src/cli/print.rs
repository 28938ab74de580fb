//! Problems and rows for a person at a terminal.

use codespan_reporting::diagnostic::{Diagnostic, Label};
use codespan_reporting::files::SimpleFile;
use codespan_reporting::term::{self, termcolor};
use fanwise::Pattern;
use fanwise::face::rows_of_sizes;
use fanwise::source::{Problem, Severity, SourceText, Span};
use fanwise::working::Tally;
use std::io::IsTerminal;
use std::io::Write;

/// Every problem with its place underlined.
pub(super) fn problems(file: &str, pattern: &Pattern) {
    // no colour where NO_COLOR holds any value but an empty one
    let plain = std::env::var_os("NO_COLOR").is_some_and(|v| !v.is_empty());
    let choice = if std::io::stdout().is_terminal() && !plain {
        termcolor::ColorChoice::Auto
    } else {
        termcolor::ColorChoice::Never
    };
    let mut out = termcolor::StandardStream::stdout(choice);
    let source = SimpleFile::new(file, pattern.text());
    let config = term::Config { chars: term::Chars::ascii(), ..term::Config::default() };
    for problem in pattern.problems() {
        let _ = term::emit_to_write_style(&mut out, &config, &source, &diagnostic(problem, pattern.text()));
    }
    let _ = out.flush();
}

fn diagnostic(problem: &Problem, text: &str) -> Diagnostic<()> {
    let start = match problem.severity {
        Severity::Error => Diagnostic::error(),
        Severity::Warning => Diagnostic::warning(),
        Severity::Note => Diagnostic::note(),
    };
    let range = |span: Span| {
        let end = span.end.min(text.len());
        span.start.min(end)..end
    };
    let mut labels = vec![Label::primary((), range(problem.span))];
    labels.extend(problem.labels.iter().map(|l| Label::secondary((), range(l.span)).with_message(&l.message)));
    start.with_code(problem.code.as_str()).with_message(&problem.message).with_labels(labels).with_notes(notes(problem))
}

/// Hints, then the row as each mend would have it.
fn notes(problem: &Problem) -> Vec<String> {
    let hints = problem.hints.iter().map(|h| format!("mend: {h}"));
    let mends = problem.mends.iter().enumerate().map(|(k, m)| format!("mend {}: {}", k + 1, m.row));
    hints.chain(mends).collect()
}

/// What to do with mends, where there are any: said once, below everything.
pub(super) fn about_mends<'p>(patterns: impl Iterator<Item = &'p Pattern>) -> &'static str {
    let mut problems = patterns.flat_map(Pattern::problems);
    match problems.any(|p| !p.mends.is_empty()) {
        true => {
            "\"fanwise mend\" writes a copy with mends made; they are arithmetic only, the shape is yours to judge\n"
        }
        false => "",
    }
}

/// `file:line:column: severity[code]: message`.
pub(super) fn line(file: &str, problem: &Problem, source: &SourceText<'_>) -> String {
    let at = source.position(problem.span.start);
    format!(
        "{file}:{}:{}: {}[{}]: {}\n",
        at.line,
        at.column,
        problem.severity.as_str(),
        problem.code.as_str(),
        problem.message
    )
}

/// The rows of a pattern as a table.
pub(super) fn rows(pattern: &Pattern) -> String {
    let tree = pattern.tree();
    let mut out = String::new();
    let title = if tree.title.is_empty() { "(no title)" } else { &tree.title };
    let size = match tree.sizes.get(tree.size) {
        Some(name) => format!(", size {name} of {}", tree.sizes.join(", ")),
        None => String::new(),
    };
    out.push_str(&format!("{title} ({} terms{size})\n", tree.terms));
    let many = tree.parts.len() > 1;
    let width = pattern.worked().tallies.iter().map(|t| t.label.chars().count()).max().unwrap_or(0);
    let mut part = usize::MAX;
    for tally in &pattern.worked().tallies {
        if many && tally.part != part {
            part = tally.part;
            let copies = tree.parts[part].copies;
            let make = if copies > 1 { format!(" (make {copies})") } else { String::new() };
            out.push_str(&format!(" {}{make}\n", tree.parts[part].name));
        }
        let side = tally.side.map_or("  ", |s| s.as_str());
        let numbers = match (tally.chains, tally.offered, tally.used) {
            (Some(chains), ..) => format!("{chains} ch"),
            (_, Some(offered), Some(used)) => format!("{used} of {offered} used, {} made", tally.made),
            _ => format!("{} made", tally.made),
        };
        let stated: Vec<String> = tally
            .stated
            .iter()
            .map(|s| {
                let agrees = tally.agrees_with(s);
                format!("{} {} {}", s.count, s.of.words(s.count as usize), if agrees { "agrees" } else { "DIFFERS" })
            })
            .collect();
        let read = if tally.read { "" } else { "  NOT READ" };
        let stated = if stated.is_empty() { String::new() } else { format!("  stated {}", stated.join(", ")) };
        out.push_str(&format!("  {:width$}  {side}  {numbers}{stated}{read}\n", tally.label));
    }
    out
}

/// The rows of a pattern in all its sizes as one table.
pub(super) fn sizes(pattern: &Pattern) -> String {
    let tree = pattern.tree();
    let rows = rows_of_sizes(pattern);
    let title = if tree.title.is_empty() { "(no title)" } else { &tree.title };
    let mut out = format!("{title} ({} terms), {} sizes\n", tree.terms, tree.sizes.len());
    let many = tree.parts.len() > 1;
    let cells: Vec<Vec<String>> = rows.iter().map(|r| r.tallies.iter().map(|t| cell(*t)).collect()).collect();
    let label = rows.iter().map(|r| r.first().label.chars().count()).max().unwrap_or(0);
    let width = |k: usize| {
        let cells = cells.iter().map(|c| c[k].chars().count());
        cells.chain([tree.sizes[k].chars().count()]).max().unwrap_or(0)
    };
    let widths: Vec<usize> = (0..tree.sizes.len()).map(width).collect();
    let line = |out: &mut String, name: &str, cells: &[String]| {
        let mut text = format!("  {name:label$}");
        for (cell, &width) in cells.iter().zip(&widths) {
            text.push_str(&format!("  {cell:width$}"));
        }
        out.push_str(text.trim_end());
        out.push('\n');
    };
    line(&mut out, "", &tree.sizes);
    let mut part = usize::MAX;
    for (row, cells) in rows.iter().zip(&cells) {
        if many && row.first().part != part {
            part = row.first().part;
            if let Some(part) = tree.parts.get(part) {
                out.push_str(&format!(" {}\n", part.name));
            }
        }
        line(&mut out, &row.first().label, cells);
    }
    out
}

/// A row in one size: "10 of 10, 12 made"; a stated count that differs behind it.
fn cell(tally: Option<&Tally>) -> String {
    let Some(tally) = tally else { return "-".into() };
    let numbers = match (tally.chains, tally.offered, tally.used) {
        (Some(chains), ..) => format!("{chains} ch"),
        (_, Some(offered), Some(used)) => format!("{used} of {offered}, {} made", tally.made),
        _ => format!("{} made", tally.made),
    };
    let stated = match tally.wrong_count() {
        Some(s) => format!(", {} {} DIFFERS", s.count, s.of.words(s.count as usize)),
        None => String::new(),
    };
    let read = if tally.read { "" } else { ", NOT READ" };
    format!("{numbers}{stated}{read}")
}
