//! Measures reading over a folder of pattern texts: rows found, rows read whole, counts that agree, words not understood.
//!
//! `cargo run --release --example survey -- FOLDER [--words N] [--files] [--seed-nonsense N]`
//!
//! `--seed-nonsense N` puts N nonsense words into rows that are read whole, one at a time, and tells how many of them
//! are pointed at, and which are not.
//!
//! A tab-separated `index.tsv` in the folder, where there is one, gives each file's group, kind, terms, number of row
//! lines and how it was chosen; figures are then given apart by each.

#[path = "../tests/nonsense/seeding.rs"]
mod seeding;

use fanwise::Pattern;
use fanwise::instructions::RowKind;
use fanwise::source::{Code, SourceText};
use std::collections::BTreeMap;
use std::path::Path;

#[derive(Clone, Copy, Default)]
struct Figures {
    files: usize,
    whole: usize,
    lines: usize,
    found: usize,
    read: usize,
    stated: usize,
    agree: usize,
    errors: usize,
}

impl Figures {
    fn add(&mut self, other: &Figures) {
        self.files += other.files;
        self.whole += other.whole;
        self.lines += other.lines;
        self.found += other.found;
        self.read += other.read;
        self.stated += other.stated;
        self.agree += other.agree;
        self.errors += other.errors;
    }

    fn line(&self, name: &str) -> String {
        let percent =
            |n: usize, of: usize| if of == 0 { "-".into() } else { format!("{:.1}%", 100.0 * n as f64 / of as f64) };
        format!(
            "{name:34} files {:4} whole {:>6}  lines {:5} found {:5} read {:>6}  stated {:4} agree {:>6}  count errors {}",
            self.files,
            percent(self.whole, self.files),
            self.lines,
            self.found,
            percent(self.read.min(self.lines), self.lines),
            self.stated,
            percent(self.agree, self.stated),
            self.errors
        )
    }
}

fn main() {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let Some(folder) = args.first().filter(|a| !a.starts_with("--")) else {
        eprintln!("usage: survey FOLDER [--words N] [--files] [--seed-nonsense N]");
        std::process::exit(2);
    };
    let most = args.iter().position(|a| a == "--words").and_then(|i| args.get(i + 1)?.parse().ok()).unwrap_or(20);
    let nonsense = args.iter().position(|a| a == "--seed-nonsense").and_then(|i| args.get(i + 1)?.parse().ok());
    let index = std::fs::read_to_string(Path::new(folder).join("index.tsv")).unwrap_or_default();
    let mut files: Vec<_> = std::fs::read_dir(folder).expect("a folder").filter_map(|e| Some(e.ok()?.path())).collect();
    files.retain(|p| p.extension().is_some_and(|e| e == "txt"));
    files.sort();
    if let Some(n) = nonsense {
        return seed_nonsense(&files, n);
    }
    let mut by: BTreeMap<String, Figures> = BTreeMap::new();
    let mut unread: BTreeMap<String, usize> = BTreeMap::new();
    for path in &files {
        let name = path.file_name().and_then(|n| n.to_str()).unwrap_or_default();
        let Ok(text) = std::fs::read_to_string(path) else { continue };
        let entry: Vec<&str> =
            index.lines().find(|l| l.starts_with(name)).map(|l| l.split('\t').collect()).unwrap_or_default();
        let pattern = Pattern::read(&text);
        let figures = measure(&pattern, entry.get(4).and_then(|n| n.parse().ok()));
        if args.iter().any(|a| a == "--files") {
            println!("{}", figures.line(name));
        }
        let source = SourceText::new(pattern.text());
        for problem in pattern.problems() {
            if matches!(
                problem.code,
                Code::UnreadWords | Code::UnknownStitch | Code::UndefinedStitch | Code::UnclosedMark
            ) {
                let words =
                    source.words(problem.span).split_whitespace().take(6).collect::<Vec<_>>().join(" ").to_lowercase();
                *unread.entry(format!("{}: {words}", problem.code.as_str())).or_default() += 1;
            }
        }
        by.entry("0 all".into()).or_default().add(&figures);
        for (k, label) in [(1, "1 group"), (2, "2 kind"), (3, "3 terms"), (7, "4 chosen")] {
            if let Some(value) = entry.get(k) {
                by.entry(format!("{label} {value}")).or_default().add(&figures);
                if k == 1 && entry.get(7) == Some(&"random") {
                    by.entry(format!("0 random, {value}")).or_default().add(&figures);
                }
            }
        }
    }
    for (name, figures) in &by {
        println!("{}", figures.line(name));
    }
    let mut words: Vec<_> = unread.into_iter().collect();
    words.sort_by(|a, b| b.1.cmp(&a.1).then(a.0.cmp(&b.0)));
    for (words, n) in words.iter().take(most) {
        println!("{n:5}  {words}");
    }
}

fn measure(pattern: &Pattern, lines: Option<usize>) -> Figures {
    let rows = pattern
        .tree()
        .parts
        .iter()
        .flat_map(|p| &p.rows)
        .filter(|r| matches!(r.heading.kind, RowKind::Row | RowKind::Round) || !r.heading.published.is_empty());
    // rows that another part works again are lines of the text once
    let mut by_line: BTreeMap<usize, bool> = BTreeMap::new();
    for row in rows {
        *by_line.entry(row.span.start).or_insert(true) &= row.read;
    }
    let found = by_line.len();
    let read = by_line.values().filter(|read| **read).count();
    let lines = lines.unwrap_or(found);
    let stated: Vec<_> = pattern.worked().tallies.iter().filter(|t| !t.stated.is_empty()).collect();
    let agree = stated.iter().filter(|t| t.read && t.agrees()).count();
    let errors = pattern
        .problems()
        .iter()
        .filter(|p| {
            p.is_error()
                && matches!(
                    p.code,
                    Code::CountDiffers
                        | Code::PlacesLeft
                        | Code::PlacesShort
                        | Code::RepeatRemainder
                        | Code::FoundationLength
                        | Code::TurningChain
                )
        })
        .count();
    Figures {
        files: 1,
        whole: usize::from(read >= lines && found == read),
        lines,
        found,
        read,
        stated: stated.len(),
        agree,
        errors,
    }
}

/// Puts nonsense words into rows of the files, and tells what becomes of them.
fn seed_nonsense(files: &[std::path::PathBuf], words: usize) {
    use seeding::lots::Lots;
    use seeding::{Fate, fate, gaps, nonsense, seeded};
    const PLAIN: &str = include_str!("../src/reading/remark_words.txt");
    let texts = files.iter().filter_map(|f| std::fs::read_to_string(f).ok());
    let patterns: Vec<Pattern> = texts.map(|t| Pattern::read(&t)).collect();
    let gaps: Vec<_> = patterns.iter().flat_map(|p| gaps(p).into_iter().map(move |g| (p, g))).collect();
    let mut lots = Lots(31);
    let mut fates: BTreeMap<String, usize> = BTreeMap::new();
    for _ in 0..words.min(gaps.len() * 10) {
        let (pattern, gap) = &gaps[lots.below(gaps.len())];
        let known = |w: &str| pattern.text().to_lowercase().contains(w) || PLAIN.split_whitespace().any(|p| p == w);
        let word = nonsense(&mut lots, &known);
        let (text, span) = seeded(pattern.text(), gap, &word);
        let fate = fate(&Pattern::read(&text), span);
        if fate != Fate::PointedAt {
            let from = text[..span.start].char_indices().rev().nth(50).map_or(0, |(k, _)| k);
            let to = text[span.end..].char_indices().nth(30).map_or(text.len(), |(k, _)| span.end + k);
            println!("{fate:?} \"{word}\": {}", text[from..to].replace('\n', " / "));
        }
        *fates.entry(format!("{fate:?}")).or_default() += 1;
    }
    let all: usize = fates.values().sum();
    for (fate, n) in fates {
        println!("{fate:12} {n:6} {:6.2}%", 100.0 * n as f64 / all.max(1) as f64);
    }
}
