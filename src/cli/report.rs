//! What `check` says to a person: rows, verdicts, one line a file, and errata.

use super::files::to_stdout;
use super::print;
use fanwise::Pattern;
use fanwise::compare::erratum;
use fanwise::source::Severity;

/// An earlier edition of a pattern, with the name of its file.
pub(super) type Earlier = Option<(String, Pattern)>;

/// One pattern: every row, every problem.
pub(super) fn single(file: &str, pattern: &Pattern, earlier: Option<&Earlier>) {
    let all = pattern.is_of_all_sizes() && pattern.sizes().len() > 1;
    to_stdout(&if all { print::sizes(pattern) } else { print::rows(pattern) });
    if !pattern.problems().is_empty() {
        to_stdout("\n");
        print::problems(file, pattern);
    }
    to_stdout(&format!("\n{}", verdict(pattern)));
    to_stdout(print::about_mends(std::iter::once(pattern)));
    changes(pattern, earlier);
}

/// One line a file, what is wrong with it below, and the sum of them all.
pub(super) fn batch(read: &[(String, Pattern)], earlier: &[Earlier], unread: usize) {
    for (k, (file, pattern)) in read.iter().enumerate() {
        to_stdout(&summary(file, pattern));
        if !pattern.problems().is_empty() {
            to_stdout("\n");
            print::problems(file, pattern);
        }
        changes(pattern, earlier.get(k));
    }
    let about = print::about_mends(read.iter().map(|(_, p)| p));
    if !about.is_empty() {
        to_stdout(&format!("\n{about}"));
    }
    let rows: usize = read.iter().map(|(_, p)| p.worked().tallies.len()).sum();
    let sum = read.iter().map(|(_, p)| Counts::of(p)).fold(Counts::default(), Counts::and);
    let unread = if unread > 0 { format!("; not read: {}", plural(unread, "file")) } else { String::new() };
    to_stdout(&format!(
        "\n{}, {}: {}{unread}\n",
        plural(read.len(), "pattern"),
        plural(rows, "row"),
        sum.state("fine")
    ));
}

/// What is other than in the earlier edition, as an erratum.
fn changes(pattern: &Pattern, earlier: Option<&Earlier>) {
    let Some(earlier) = earlier else { return };
    let Some((file, old)) = earlier else { return to_stdout("\nNew in this edition\n") };
    let lines = erratum(&pattern.against(old));
    // the words of one size are compared: a list may differ in a number of another
    let size = match pattern.sizes() {
        sizes @ [_, _, ..] => sizes.get(pattern.tree().size).map(|s| format!(" in size {s}")).unwrap_or_default(),
        _ => String::new(),
    };
    if lines.is_empty() {
        to_stdout(&format!("\nNothing changed{size} against {file}\n"));
    } else {
        to_stdout(&format!("\nErratum{size} against {file}\n  {}\n", lines.join("\n  ")));
    }
}

#[derive(Clone, Copy, Default)]
struct Counts {
    errors: usize,
    warnings: usize,
    notes: usize,
    accepted: usize,
}

impl Counts {
    fn of(pattern: &Pattern) -> Self {
        let n = |severity| pattern.problems().iter().filter(|p| p.severity == severity).count();
        Counts {
            errors: n(Severity::Error),
            warnings: n(Severity::Warning),
            notes: n(Severity::Note),
            accepted: pattern.accepted_count(),
        }
    }

    fn and(self, other: Counts) -> Counts {
        Counts {
            errors: self.errors + other.errors,
            warnings: self.warnings + other.warnings,
            notes: self.notes + other.notes,
            accepted: self.accepted + other.accepted,
        }
    }

    /// In words; `fine` where nothing is left.
    fn state(self, fine: &str) -> String {
        let found = match (self.errors, self.warnings, self.notes) {
            (0, 0, 0) => fine.to_owned(),
            (errors, warnings, notes) => {
                format!("{}, {}, {}", plural(errors, "error"), plural(warnings, "warning"), plural(notes, "note"))
            }
        };
        if self.accepted > 0 { format!("{found}, {} accepted", self.accepted) } else { found }
    }
}

fn verdict(pattern: &Pattern) -> String {
    let rows = plural(fanwise::face::rows_of_sizes(pattern).len(), "row");
    let sizes = pattern.by_size().len();
    let rows = if sizes > 1 { format!("{rows} in {sizes} sizes") } else { rows };
    let counts = Counts::of(pattern);
    match (counts.errors + counts.warnings + counts.notes, counts.accepted) {
        (0, 0) => format!("{rows} checked, every count agrees\n"),
        _ => format!("{rows} checked: {}\n", counts.state("fine")),
    }
}

/// One line a file.
fn summary(file: &str, pattern: &Pattern) -> String {
    let rows = plural(pattern.worked().tallies.len(), "row");
    format!("{file}: {}, {rows}: {}\n", pattern.tree().title, Counts::of(pattern).state("fine"))
}

fn plural(n: usize, word: &str) -> String {
    if n == 1 { format!("1 {word}") } else { format!("{n} {word}s") }
}
