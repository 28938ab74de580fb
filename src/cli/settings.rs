//! The settings of a series: `fanwise.toml` beside its patterns.
//!
//! An option of the file stands where the command line does not give it. It is held against the very options that
//! the commands have, so a new one is known here as soon as it is shared.

use super::files::{Fault, read_text, shown};
use super::{Cli, Command};
use clap::error::{ContextKind, ContextValue};
use clap::parser::ValueSource;
use clap::{ArgAction, ArgMatches, CommandFactory, FromArgMatches};
use fanwise::chart::Ink;
use fanwise::reading::HouseWords;
use fanwise::source::SourceText;
use std::error::Error;
use std::ffi::OsString;
use std::ops::Range;
use std::path::{Path, PathBuf};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// The file's name.
const NAME: &str = "fanwise.toml";

/// Options that belong to a series; those of one run, such as where to write, do not.
const SHARED: &[&str] = &[
    "terms",
    "speak",
    "lang",
    "part",
    "size",
    "assume",
    "hand",
    "view",
    "page",
    "margin",
    "width",
    "dpi",
    "ink",
    "sc",
    "symbols",
    "style",
    "font",
    "show",
    "rows",
    "up",
    "face",
    "text",
    "large",
    "gauge",
    "swatch",
    "metres-per-100g",
    "strict",
];

/// Those of them that name a file or folder.
const PATHS: &[&str] = &["symbols", "style", "font"];

/// Keys that are no options.
const OWN: &[&str] = &["remarks", "yarns", "aliases", "stitches", "measured"];

/// What a settings file says.
#[derive(Clone, Debug, Default)]
pub(super) struct Settings {
    /// Long names of options, and their values as the command line has them.
    options: Vec<(String, String)>,
    /// Inks by the letters of yarns.
    pub yarns: Vec<(String, Ink)>,
    /// Remarks, aliases, special stitches.
    pub house: HouseWords,
    /// Figures measured on finished pieces: the pattern's file without its ending, what, how much.
    pub measured: Vec<(String, String, String)>,
}

/// The command line as given.
pub(super) struct Told {
    words: Vec<OsString>,
    matches: ArgMatches,
}

impl Told {
    pub fn new(words: Vec<OsString>, matches: ArgMatches) -> Self {
        Self { words, matches }
    }

    /// The command as it is for one file: with the settings beside it, where there are any.
    pub fn command_beside(&self, file: &Path) -> Result<Command, Fault> {
        let settings = Settings::beside(file)?;
        let wrong = |e: clap::Error| Fault::usage(e.render().to_string().trim_end().to_owned());
        let mut words = self.words.clone();
        let name = self.matches.subcommand_name().unwrap_or_default();
        if let Some(at) = words.iter().position(|w| w == name) {
            let given = settings.options.iter().filter(|(key, _)| self.leaves_open(name, key));
            let given = given.map(|(key, value)| OsString::from(format!("--{key}={value}")));
            words.splice(at + 1..at + 1, given.collect::<Vec<_>>());
        }
        let matches = Cli::command().try_get_matches_from(words).map_err(wrong)?;
        let mut command = Cli::from_arg_matches(&matches).map_err(wrong)?.command;
        command.take(&settings);
        Ok(command)
    }

    /// True where the command has the option and the command line does not give it.
    fn leaves_open(&self, name: &str, key: &str) -> bool {
        let cli = Cli::command();
        let arg = cli.find_subcommand(name).and_then(|c| c.get_arguments().find(|a| a.get_long() == Some(key)));
        let Some((arg, (_, given))) = arg.zip(self.matches.subcommand()) else { return false };
        given.value_source(arg.get_id().as_str()) != Some(ValueSource::CommandLine)
    }
}

/// The folder whose settings hold for a file; that of standard input is the one the program runs in.
pub(super) fn folder_of(file: &Path) -> PathBuf {
    match file.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder.to_owned(),
        _ => PathBuf::from("."),
    }
}

/// The settings file of a folder.
fn path_in(folder: &Path) -> PathBuf {
    if folder == Path::new(".") { PathBuf::from(NAME) } else { folder.join(NAME) }
}

/// True where a pattern has settings beside it.
pub(super) fn is_beside(file: &Path) -> bool {
    path_in(&folder_of(file)).is_file()
}

impl Settings {
    /// The settings beside a pattern; none of them where there is no such file.
    pub fn beside(file: &Path) -> Result<Self, Fault> {
        let path = path_in(&folder_of(file));
        if !path.is_file() {
            return Ok(Self::default());
        }
        let text = read_text(&path)?;
        Self::read(&text, &shown(&path))
    }

    fn read(text: &str, name: &str) -> Result<Self, Fault> {
        let source = SourceText::new(text);
        let at = |span: Range<usize>| source.position(span.start).line;
        let fault = |span: Range<usize>, message: String| Fault::usage(format!("{name}:{}: {message}", at(span)));
        let table = DeTable::parse(text).map_err(|e| {
            let why = e.message().replace('\n', "; ");
            fault(e.span().unwrap_or(0..0), format!("this is no TOML: {why}"))
        })?;
        let mut settings = Settings::default();
        let mut entries: Vec<_> = table.get_ref().iter().collect();
        // aliases may be used in the definitions of stitches, whatever comes first in the file
        entries.sort_by_key(|(key, _)| (key.get_ref().as_ref() == "stitches", key.span().start));
        for (key, value) in entries {
            let word = key.get_ref().as_ref();
            match word {
                "remarks" => {
                    for remark in list(value).ok_or_else(|| {
                        fault(value.span(), "remarks is a list of words in quotes, such as [\"see the photo\"]".into())
                    })? {
                        let added = settings.house.add_remark(remark.get_ref());
                        added.map_err(|e| fault(remark.span(), e.to_string()))?;
                    }
                }
                "yarns" | "aliases" | "stitches" => {
                    for (name, told, span) in table_of(value).ok_or_else(|| {
                        fault(value.span(), format!("{word} is a table: a line [{word}], and below it NAME = \"…\""))
                    })? {
                        let added = settings.add(word, &name, &told);
                        added.map_err(|message| fault(span, message))?;
                    }
                }
                "measured" => {
                    settings.measured = measured(value).ok_or_else(|| {
                        let how = "write [measured.pear] for pear.txt, and below it size = \"9 x 6 cm\" or \"yarn A\" = \"7.5 m\"";
                        fault(value.span(), format!("measured holds a table for each pattern: {how}"))
                    })?;
                }
                _ => {
                    let told = option(word, value.get_ref()).map_err(|message| {
                        let span = if SHARED.contains(&word) { value.span() } else { key.span() };
                        fault(span, message)
                    })?;
                    // a file is named from where the settings are
                    let beside = |value: String| match PATHS.contains(&word) {
                        true => Path::new(name).with_file_name(&value).to_string_lossy().into_owned(),
                        false => value,
                    };
                    settings.options.extend(told.map(|value| (word.to_owned(), beside(value))));
                }
            }
        }
        Ok(settings)
    }

    fn add(&mut self, table: &str, name: &str, told: &str) -> Result<(), String> {
        match table {
            "yarns" => {
                let ink = Ink::told(told).ok_or_else(|| {
                    format!("yarn {name} = \"{told}\" is no colour: write #rrggbb, or a word such as \"leaf green\"")
                })?;
                self.yarns.push((name.to_owned(), ink));
                Ok(())
            }
            "aliases" => self.house.add_alias(name, told).map_err(|e| e.to_string()),
            _ => self.house.add_stitch(name, told).map_err(|e| e.to_string()),
        }
    }
}

/// A list of words in quotes, with their places.
fn list(value: &Spanned<DeValue<'_>>) -> Option<Vec<Spanned<String>>> {
    let one = |v: &Spanned<DeValue<'_>>| Some(Spanned::new(v.span(), v.get_ref().as_str()?.to_owned()));
    value.get_ref().as_array()?.iter().map(one).collect()
}

/// The entries of a table of words in quotes, in the order of the file.
fn table_of(value: &Spanned<DeValue<'_>>) -> Option<Vec<(String, String, Range<usize>)>> {
    let table = value.get_ref().as_table()?;
    let mut entries: Vec<_> = table.iter().collect();
    entries.sort_by_key(|(key, _)| key.span().start);
    let one = |(key, value): (&Spanned<_>, &Spanned<DeValue<'_>>)| {
        let name: &std::borrow::Cow<'_, str> = key.get_ref();
        Some((name.to_string(), value.get_ref().as_str()?.to_owned(), key.span()))
    };
    entries.into_iter().map(one).collect()
}

/// Tables of words in quotes by the names of patterns; only sizes, yarns and the time taken can be measured.
fn measured(value: &Spanned<DeValue<'_>>) -> Option<Vec<(String, String, String)>> {
    let mut found = Vec::new();
    for (pattern, table) in value.get_ref().as_table()? {
        for (what, much, _) in table_of(table)? {
            if !["size", "yarn", "time"].iter().any(|w| what.starts_with(w)) {
                return None;
            }
            found.push((pattern.get_ref().to_string(), what, much));
        }
    }
    Some(found)
}

/// The value of an option as the command line would have it; none where it says no to a flag.
fn option(key: &str, value: &DeValue<'_>) -> Result<Option<String>, String> {
    let cli = Cli::command();
    let mut all = cli.get_subcommands().flat_map(|c| c.get_arguments());
    let known = || {
        let longs = cli.get_subcommands().flat_map(|c| c.get_arguments()).filter_map(|a| a.get_long());
        longs.filter(|l| SHARED.contains(l)).chain(OWN.iter().copied())
    };
    let Some(arg) = all.find(|a| a.get_long() == Some(key) && SHARED.contains(&key)) else {
        let near = known().map(|k| (strsim::osa_distance(key, k), k)).min();
        let near = near.filter(|&(d, k)| d <= 1 + k.len() / 3).map(|(_, k)| format!("; did you mean \"{k}\"?"));
        let mut keys: Vec<&str> = known().collect();
        keys.sort_unstable();
        keys.dedup();
        return Err(match near {
            Some(near) => format!("there is no setting \"{key}\"{near}"),
            None => format!("there is no setting \"{key}\"; there are {}", keys.join(", ")),
        });
    };
    let flag = matches!(arg.get_action(), ArgAction::SetTrue);
    let told = match value {
        DeValue::Boolean(no) if flag => return Ok(no.then(|| "true".to_owned())),
        DeValue::Boolean(b) => b.to_string(),
        DeValue::String(words) => words.to_string(),
        DeValue::Integer(n) => n.as_str().replace('_', ""),
        DeValue::Float(n) => n.as_str().replace('_', ""),
        DeValue::Array(items) => {
            let words: Option<Vec<&str>> = items.iter().map(|v| v.get_ref().as_str()).collect();
            words.ok_or_else(|| format!("{key} is a list of words in quotes"))?.join(",")
        }
        _ => return Err(format!("{key} has a value that is no word and no number")),
    };
    // the option by itself, so that nothing that goes with it is asked for
    let mut lone = clap::Arg::new("value")
        .long("value")
        .action(arg.get_action().clone())
        .value_parser(arg.get_value_parser().clone())
        .allow_hyphen_values(true);
    if let Some(mark) = arg.get_value_delimiter() {
        lone = lone.value_delimiter(mark);
    }
    let held = clap::Command::new(NAME).no_binary_name(true).arg(lone);
    match held.try_get_matches_from([format!("--value={told}")]) {
        Ok(_) => Ok(Some(told)),
        Err(error) => Err(format!("{key} = \"{told}\" cannot be: {}", why(&error))),
    }
}

/// The reason of the command line's own refusal.
fn why(error: &clap::Error) -> String {
    match error.get(ContextKind::ValidValue) {
        Some(ContextValue::Strings(values)) if !values.is_empty() => format!("it is one of {}", values.join(", ")),
        _ => error.source().map_or_else(|| "it is no value of this option".to_owned(), ToString::to_string),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fault(text: &str) -> String {
        Settings::read(text, NAME).map(|_| ()).expect_err("it should be refused").message
    }

    #[test]
    fn every_shared_option_that_exists_is_a_setting() {
        let text = "terms = \"uk\"\nink = \"yarn\"\nwidth = 120\nup = -90.5\nstrict = true\nremarks = [\"admire it\"]\n\
                    [yarns]\nA = \"#a02020\"\n[aliases]\nhd = \"hdc\"\n[stitches]\n\"bud (bd)\" = \"3 hd in same st\"\n";
        let settings = Settings::read(text, NAME).map_err(|f| f.message).expect("it is fine");
        let told: Vec<_> = settings.options.iter().map(|(k, v)| (k.as_str(), v.as_str())).collect();
        assert_eq!(told, [("terms", "uk"), ("ink", "yarn"), ("width", "120"), ("up", "-90.5"), ("strict", "true")]);
        assert_eq!(settings.yarns, [("A".to_owned(), Ink([0xa0, 0x20, 0x20]))]);
    }

    #[test]
    fn what_is_wrong_is_told_with_its_line_and_the_nearest_key() {
        assert_eq!(fault("\nterm = \"uk\"\n"), "fanwise.toml:2: there is no setting \"term\"; did you mean \"terms\"?");
        assert_eq!(
            fault("terms = \"ux\""),
            "fanwise.toml:1: terms = \"ux\" cannot be: it is one of us, uk, old-us, old-uk, auto"
        );
        assert!(fault("output = \"pear.svg\"").contains("there is no setting \"output\""));
        assert!(fault("strict = \"perhaps\"").starts_with("fanwise.toml:1: strict = \"perhaps\" cannot be: "));
        assert!(fault("[yarns]\nA = \"wobbly\"\n").starts_with("fanwise.toml:2: yarn A = \"wobbly\" is no colour"));
        assert!(fault("[aliases]\nhd = \"hcd\"\n").contains("fanwise.toml:2: there is no stitch \"hcd\""));
        assert!(fault("[stitches]\n\nbud = \"3 wob in same st\"\n").starts_with("fanwise.toml:3: "));
        assert!(fault("remarks = \"see\"").contains("remarks is a list"));
        assert!(fault("[measured]\nsize = \"9 cm\"\n").contains("[measured.pear]"));
        assert!(fault("[measured.pear]\nweight = \"9 g\"\n").contains("[measured.pear]"));
        assert!(fault("terms = \n").starts_with("fanwise.toml:1: this is no TOML: "));
        assert!(fault("yarns = 3").contains("yarns is a table"));
    }
}
