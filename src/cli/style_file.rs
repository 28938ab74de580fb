//! A style file: how charts look, in a few lines.

use super::files::{Fault, read_text, shown};
use fanwise::chart::{Furniture, Ink, ScForm, Style, TypeSizes};
use fanwise::source::SourceText;
use std::ops::Range;
use std::path::Path;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// What a style file tells.
#[derive(Default)]
pub(super) struct Told {
    /// The form of single crochet, where it is told.
    pub sc: Option<ScForm>,
    /// For readers who see little, where it is told.
    pub large: Option<bool>,
    /// All the rest.
    pub style: Style,
}

/// Reads a style file.
pub(super) fn read(path: &Path) -> Result<Told, Fault> {
    told(&read_text(path)?, &shown(path))
}

const TOP: &[&str] = &["sc", "large", "weight", "inks", "type", "furniture"];
const INKS: &[&str] = &["rows", "plain"];
const TYPE: &[&str] = &["title", "numbers", "letters", "legend", "credit", "least"];
const FURNITURE: &[&str] = &["title", "numbers", "arrow", "triangles", "repeat", "legend", "key", "credit"];

type Wrong = (Range<usize>, String);

fn told(text: &str, name: &str) -> Result<Told, Fault> {
    let source = SourceText::new(text);
    let fault =
        |(span, message): Wrong| Fault::usage(format!("{name}:{}: {message}", source.position(span.start).line));
    let table = DeTable::parse(text).map_err(|e| {
        let why = format!("this is no TOML: {}", e.message().replace('\n', "; "));
        fault((e.span().unwrap_or(0..0), why))
    })?;
    let mut told = Told::default();
    for (key, value) in entries(table.get_ref()) {
        let word: &str = key.get_ref();
        known(key, TOP, "").map_err(fault)?;
        match word {
            "sc" => told.sc = Some(form(value).map_err(fault)?),
            "large" => {
                let large = value.get_ref().as_bool();
                told.large = Some(large.ok_or_else(|| fault((value.span(), "large is true or false".into())))?);
            }
            "weight" => {
                let weight = number(value, 0.5, 3.0).map_err(fault)?;
                told.style = told.style.with_weight(weight);
            }
            "inks" => {
                for (key, value) in section(value).map_err(fault)? {
                    known(key, INKS, "inks").map_err(fault)?;
                    match key.get_ref().as_ref() {
                        "rows" => told.style = told.style.with_row_inks(two_inks(value).map_err(fault)?),
                        _ => told.style.plain_ink = ink(value).map_err(fault)?,
                    }
                }
            }
            "type" => told.style = told.style.with_sizes(sizes(value).map_err(fault)?),
            _ => told.style = told.style.with_furniture(furniture(value).map_err(fault)?),
        }
    }
    Ok(told)
}

type Key<'a> = Spanned<std::borrow::Cow<'a, str>>;
type Entry<'t, 'a> = (&'t Key<'a>, &'t Spanned<DeValue<'a>>);

/// The entries of a table in the order of the file.
fn entries<'t, 'a>(table: &'t DeTable<'a>) -> Vec<Entry<'t, 'a>> {
    let mut entries: Vec<_> = table.iter().collect();
    entries.sort_by_key(|(key, _)| key.span().start);
    entries
}

fn section<'t, 'a>(value: &'t Spanned<DeValue<'a>>) -> Result<Vec<Entry<'t, 'a>>, Wrong> {
    let table = value.get_ref().as_table();
    table
        .map(entries)
        .ok_or_else(|| (value.span(), "this is a section: its name in brackets, and lines below it".into()))
}

/// Refuses what is no key, with the nearest that is.
fn known(key: &Key<'_>, keys: &[&str], section: &str) -> Result<(), Wrong> {
    let word: &str = key.get_ref();
    if keys.contains(&word) {
        return Ok(());
    }
    let of = if section.is_empty() { String::new() } else { format!(" in [{section}]") };
    let near = keys.iter().map(|k| (strsim::osa_distance(word, k), k)).min().filter(|&(d, k)| d <= 1 + k.len() / 3);
    let hint = match near {
        Some((_, near)) => format!("did you mean \"{near}\"?"),
        None => format!("there are {}", keys.join(", ")),
    };
    Err((key.span(), format!("there is no \"{word}\"{of}; {hint}")))
}

fn form(value: &Spanned<DeValue<'_>>) -> Result<ScForm, Wrong> {
    match value.get_ref().as_str() {
        Some("plus") => Ok(ScForm::Plus),
        Some("cross") => Ok(ScForm::Cross),
        _ => Err((value.span(), "sc is \"plus\" or \"cross\"".into())),
    }
}

fn number(value: &Spanned<DeValue<'_>>, least: f64, most: f64) -> Result<f64, Wrong> {
    let told = match value.get_ref() {
        DeValue::Integer(n) => n.as_str().replace('_', "").parse().ok(),
        DeValue::Float(n) => n.as_str().replace('_', "").parse().ok(),
        _ => None,
    };
    let told = told.filter(|n: &f64| (least..=most).contains(n));
    told.ok_or_else(|| (value.span(), format!("this is a number from {least} to {most}")))
}

fn ink(value: &Spanned<DeValue<'_>>) -> Result<Ink, Wrong> {
    let told = value.get_ref().as_str().and_then(Ink::told);
    told.ok_or_else(|| (value.span(), "this is no colour: write \"#rrggbb\", or a word such as \"leaf green\"".into()))
}

fn two_inks(value: &Spanned<DeValue<'_>>) -> Result<[Ink; 2], Wrong> {
    match value.get_ref().as_array().map(|a| a.iter().collect::<Vec<_>>()).as_deref() {
        Some([first, second]) => Ok([ink(first)?, ink(second)?]),
        _ => Err((value.span(), "rows are two inks that alternate, such as [\"#12387c\", \"#c0500f\"]".into())),
    }
}

fn sizes(value: &Spanned<DeValue<'_>>) -> Result<TypeSizes, Wrong> {
    let mut sizes = TypeSizes::default();
    for (key, value) in section(value)? {
        known(key, TYPE, "type")?;
        // nothing under 6 points can be read in print
        let points = number(value, 6.0, 144.0)?;
        match key.get_ref().as_ref() {
            "title" => sizes.title = Some(points),
            "numbers" => sizes.numbers = Some(points),
            "letters" => sizes.letters = Some(points),
            "legend" => sizes.legend = Some(points),
            "credit" => sizes.credit = Some(points),
            _ => sizes.least = points,
        }
    }
    Ok(sizes)
}

fn furniture(value: &Spanned<DeValue<'_>>) -> Result<Furniture, Wrong> {
    let mut furniture = Furniture::default();
    for (key, value) in section(value)? {
        known(key, FURNITURE, "furniture")?;
        let shown = value.get_ref().as_bool().ok_or_else(|| (value.span(), "this is true or false".to_owned()))?;
        match key.get_ref().as_ref() {
            "title" => furniture.title = shown,
            "numbers" => furniture.numbers = shown,
            "arrow" => furniture.arrow = shown,
            "triangles" => furniture.triangles = shown,
            "repeat" => furniture.repeat = shown,
            "legend" => furniture.legend = shown,
            "key" => furniture.key = shown,
            _ => furniture.credit = shown,
        }
    }
    Ok(furniture)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn everything_a_style_file_may_tell_is_taken() {
        let text = "sc = \"cross\"\nlarge = true\nweight = 1.5\n[inks]\nrows = [\"#204080\", \"leaf green\"]\nplain = \"#000000\"\n\
                    [type]\ntitle = 20\nleast = 7.5\n[furniture]\narrow = false\nkey = false\n";
        let told = told(text, "house.toml").map_err(|f| f.message).expect("it is fine");
        assert_eq!((told.sc, told.large), (Some(ScForm::Cross), Some(true)));
        assert_eq!((told.style.weight, told.style.plain_ink), (1.5, Ink([0, 0, 0])));
        assert_eq!(told.style.row_inks[0], Ink([0x20, 0x40, 0x80]));
        assert_eq!((told.style.sizes.title, told.style.sizes.least), (Some(20.0), 7.5));
        assert!(!told.style.furniture.arrow && told.style.furniture.legend);
    }

    #[test]
    fn what_is_wrong_is_told_with_its_line() {
        let fault = |text: &str| told(text, "house.toml").map(|_| ()).expect_err("it is refused").message;
        assert_eq!(fault("\nwieght = 2"), "house.toml:2: there is no \"wieght\"; did you mean \"weight\"?");
        assert_eq!(fault("weight = 9"), "house.toml:1: this is a number from 0.5 to 3");
        assert!(fault("[type]\ntitle = 3").starts_with("house.toml:2: this is a number from 6"));
        assert!(fault("[inks]\nrows = [\"#204080\"]").contains("two inks"));
        assert!(fault("[furniture]\nframe = true").contains("there is no \"frame\" in [furniture]; there are title"));
        assert!(fault("inks = 3").contains("this is a section"));
        assert!(fault("sc = \n").contains("this is no TOML"));
    }
}
