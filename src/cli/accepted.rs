//! The side file of accepted problems: `fanwise-accepted.toml` beside the patterns.

use super::files::{Fault, read_text, shown, write_whole};
use super::settings::folder_of;
use fanwise::Pattern;
use fanwise::series::Accepted;
use fanwise::source::{Code, SourceText};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// The file's name.
const NAME: &str = "fanwise-accepted.toml";

/// First lines of the file.
const HEAD: &str = "# Problems an editor has accepted; \"fanwise check --accept\" writes this file.\n\
                    # An entry holds as long as the words of its row stand. why = \"…\" is yours to add.\n";

/// One entry: of a file, with a reason where the editor gave one.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Entry {
    file: String,
    of: Accepted,
    why: Option<String>,
}

/// The side files of the folders looked at, by the folders as they are in truth: one may be named in two ways.
#[derive(Default)]
pub(super) struct Lists {
    known: BTreeMap<PathBuf, List>,
}

/// The list of a folder.
#[derive(Default)]
struct List {
    path: PathBuf,
    entries: Vec<Entry>,
}

fn key_of(pattern: &Path) -> PathBuf {
    let folder = folder_of(pattern);
    folder.canonicalize().unwrap_or(folder)
}

impl Lists {
    /// Reads the list beside a pattern, where there is one.
    pub fn open(&mut self, pattern: &Path) -> Result<(), Fault> {
        let key = key_of(pattern);
        if self.known.contains_key(&key) || pattern == Path::new("-") {
            return Ok(());
        }
        let folder = folder_of(pattern);
        let path = path_in(&folder);
        // a list that is wrong is told once
        let list = self.known.entry(key).or_insert(List { path: path.clone(), entries: Vec::new() });
        let mut found = if path.is_file() { read(&read_text(&path)?, &shown(&path))? } else { Vec::new() };
        found.retain(|entry| {
            let there = folder.join(&entry.file).is_file();
            if !there {
                eprintln!("note: {} accepts a problem of {}, which is not there", shown(&path), entry.file);
            }
            there
        });
        list.entries = found;
        Ok(())
    }

    /// Takes from a pattern the problems that are accepted in it.
    pub fn settle(&self, path: &Path, pattern: &mut Pattern) {
        let entries = self.of(path);
        if !entries.is_empty() {
            pattern.accept(&entries.iter().map(|e| e.of.clone()).collect::<Vec<_>>());
        }
    }

    fn of(&self, path: &Path) -> Vec<&Entry> {
        let name = name_of(path);
        self.known.get(&key_of(path)).iter().flat_map(|l| &l.entries).filter(|e| e.file == name).collect()
    }

    /// Takes every problem of a pattern, or those of some codes, into the list; entries that no longer hold are dropped.
    ///
    /// Notes on style are seen only in a `series`; of a pattern checked alone they stay as they are.
    pub fn accept(&mut self, path: &Path, pattern: &Pattern, codes: &[Code], series: bool) {
        let name = name_of(path);
        let old: Vec<Entry> = self.of(path).into_iter().cloned().collect();
        let mut now: Vec<Accepted> = Vec::new();
        for problem in pattern.problems() {
            let Some(of) = pattern.as_accepted(problem) else { continue };
            let wanted = codes.is_empty() || codes.contains(&problem.code) || old.iter().any(|e| e.of == of);
            if wanted && !now.contains(&of) {
                now.push(of);
            }
        }
        let style = old.iter().map(|e| &e.of).filter(|of| !series && of.code == Code::Style.as_str());
        let kept: Vec<Accepted> = style.filter(|of| !now.contains(of)).cloned().collect();
        now.extend(kept);
        let list = &mut self.known.entry(key_of(path)).or_default().entries;
        list.retain(|e| e.file != name);
        list.extend(now.into_iter().map(|of| {
            let why = old.iter().find(|e| e.of == of).and_then(|e| e.why.clone());
            Entry { file: name.clone(), of, why }
        }));
    }

    /// Writes every list whole: by file, and in each in the order of its text.
    pub fn write(&mut self) -> Result<(), Fault> {
        for List { path, entries } in self.known.values_mut() {
            entries.sort_by(|a, b| a.file.cmp(&b.file));
            let text = written(entries);
            let before = if path.is_file() { read_text(path)? } else { String::new() };
            if (!entries.is_empty() || !before.is_empty()) && text != before {
                write_whole(path, text.as_bytes())?;
            }
        }
        Ok(())
    }
}

fn path_in(folder: &Path) -> PathBuf {
    if folder == Path::new(".") { PathBuf::from(NAME) } else { folder.join(NAME) }
}

fn name_of(path: &Path) -> String {
    path.file_name().unwrap_or_default().to_string_lossy().into_owned()
}

fn written(list: &[Entry]) -> String {
    let mut text = HEAD.to_owned();
    for entry in list {
        text.push_str("\n[[accepted]]\n");
        let mut line = |key: &str, value: &str| text.push_str(&format!("{key} = {}\n", quoted(value)));
        line("file", &entry.file);
        line("code", &entry.of.code);
        line("row", &entry.of.row);
        line("words", &entry.of.words);
        entry.why.iter().for_each(|why| line("why", why));
    }
    text
}

/// A TOML string on one line.
fn quoted(value: &str) -> String {
    let mut text = String::from("\"");
    for c in value.chars() {
        match c {
            '"' | '\\' => text.extend(['\\', c]),
            c if c.is_control() => text.push_str(&format!("\\u{:04X}", u32::from(c))),
            c => text.push(c),
        }
    }
    text.push('"');
    text
}

fn read(text: &str, name: &str) -> Result<Vec<Entry>, Fault> {
    let source = SourceText::new(text);
    let fault = |at: usize, message: String| Fault::usage(format!("{name}:{}: {message}", source.position(at).line));
    let table = DeTable::parse(text)
        .map_err(|e| fault(e.span().map_or(0, |s| s.start), format!("this is no TOML: {}", e.message())))?;
    let mut entries = Vec::new();
    for (key, value) in table.get_ref() {
        let list = value.get_ref().as_array().filter(|_| key.get_ref() == "accepted");
        let Some(list) = list else {
            return Err(fault(
                key.span().start,
                format!("there is no key \"{}\" here, only [[accepted]]", key.get_ref()),
            ));
        };
        for one in list {
            entries.push(entry(one, &fault)?);
        }
    }
    Ok(entries)
}

fn entry(value: &Spanned<DeValue<'_>>, fault: &impl Fn(usize, String) -> Fault) -> Result<Entry, Fault> {
    const KEYS: [&str; 5] = ["file", "code", "row", "words", "why"];
    let Some(table) = value.get_ref().as_table() else {
        return Err(fault(value.span().start, "an entry is a table [[accepted]]".into()));
    };
    let mut told: [Option<String>; 5] = Default::default();
    for (key, value) in table {
        let Some(at) = KEYS.iter().position(|k| k == key.get_ref()) else {
            let message = format!("there is no key \"{}\" in an entry; there are {}", key.get_ref(), KEYS.join(", "));
            return Err(fault(key.span().start, message));
        };
        let words = value.get_ref().as_str();
        let words = words.ok_or_else(|| fault(value.span().start, format!("{} is words in quotes", KEYS[at])))?;
        if KEYS[at] == "code" && !Code::ALL.iter().any(|c| c.as_str() == words) {
            return Err(fault(value.span().start, format!("there is no problem code \"{words}\"")));
        }
        told[at] = Some(words.to_owned());
    }
    let [file, code, row, words, why] = told;
    match (file, code, words) {
        (Some(file), Some(code), Some(words)) => {
            Ok(Entry { file, of: Accepted { code, row: row.unwrap_or_default(), words }, why })
        }
        _ => Err(fault(value.span().start, "an entry has a file, a code and words".into())),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_written_reads_back_and_what_is_wrong_is_told_with_its_line() {
        let of = Accepted { code: "count-differs".into(), row: "Row \"3\" \\".into(), words: "00ff".into() };
        let list = [Entry { file: "a\tb.txt".into(), of, why: Some("as printed".into()) }];
        let text = written(&list);
        assert_eq!(read(&text, NAME).map_err(|f| f.message).expect("it is fine"), list);
        let wrong = |text: &str| read(text, NAME).map(|_| ()).expect_err("it is refused").message;
        assert!(wrong("[[accepted]]\nfile = \"a\"\n").contains(":1: an entry has a file"));
        assert!(wrong("\n[[accepted]]\nfil = \"a\"\n").contains(":3: there is no key \"fil\""));
        assert!(wrong("[[accepted]]\ncode = \"wobble\"\n").contains(":2: there is no problem code \"wobble\""));
        assert!(wrong("other = 1").contains(":1: there is no key \"other\""));
    }
}
