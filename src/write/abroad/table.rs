//! The words that rows are told in, language by language, from one table.

use crate::symbol::Language;
use std::collections::BTreeMap;
use std::sync::OnceLock;

/// Wordings by key and language; cells hold places to fill, `{w}`, `{n}`, and wordings by gender parted by `|`:
/// masculine, feminine, neuter. Nouns are `gender;one;several`.
const TABLE: &str = include_str!("../../../symbols/rows.tsv");

/// Gender of a noun; the common one of Dutch and Danish stands as masculine.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Gender {
    #[default]
    Masculine,
    Feminine,
    Neuter,
}

/// What something is called, one and several.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Noun {
    pub gender: Gender,
    pub one: String,
    pub many: String,
}

impl Noun {
    /// The form for so many.
    pub fn of(&self, n: u32) -> &str {
        if n == 1 { &self.one } else { &self.many }
    }
}

/// The words of one language.
#[derive(Clone, Copy, Debug)]
pub(super) struct Words {
    language: Language,
    column: &'static str,
}

type Cells = BTreeMap<(&'static str, &'static str), &'static str>;

fn table() -> &'static Cells {
    static READ: OnceLock<Cells> = OnceLock::new();
    READ.get_or_init(|| {
        let mut lines = TABLE.lines();
        let head: Vec<&str> = lines.next().unwrap_or("").split('\t').collect();
        let mut found = Cells::new();
        for line in lines {
            let mut cells = line.split('\t');
            let Some(key) = cells.next() else { continue };
            found.extend(
                head.iter().skip(1).zip(cells).filter(|(_, c)| !c.is_empty()).map(|(lang, cell)| ((key, *lang), cell)),
            );
        }
        found
    })
}

impl Words {
    /// None where patterns of a language are not written in abbreviations.
    pub fn of(language: Language) -> Option<Words> {
        let column = language.code().split('-').next()?;
        table().contains_key(&("stitch", column)).then_some(Words { language, column })
    }

    /// The cell of a key, that of the land first.
    fn cell(&self, key: &str) -> Option<&'static str> {
        let of_land = format!("{key}@{}", self.language.code());
        let find = |key: &str| table().get(&(key, self.column)).copied();
        find(&of_land).or_else(|| find(key))
    }

    /// A wording with its places filled.
    pub fn say(&self, key: &str, values: &[(&str, &str)]) -> String {
        self.say_of(key, Gender::Masculine, values)
    }

    /// The same in the form that goes with a noun.
    pub fn say_of(&self, key: &str, gender: Gender, values: &[(&str, &str)]) -> String {
        let forms: Vec<&str> = self.cell(key).unwrap_or(key).split('|').collect();
        let at = match (gender, forms.len()) {
            (Gender::Feminine, 2..) => 1,
            (Gender::Neuter, 3..) => 2,
            _ => 0,
        };
        crate::symbol::fill(forms[at], values)
    }

    /// A noun with its places filled.
    pub fn noun(&self, key: &str, values: &[(&str, &str)]) -> Noun {
        let mut cells = self.cell(key).unwrap_or("").split(';');
        let gender = gender(cells.next().unwrap_or(""));
        let mut form = || cells.next().map(|c| crate::symbol::fill(c, values));
        let one = form().unwrap_or_else(|| key.to_owned());
        let many = form().unwrap_or_else(|| one.clone());
        Noun { gender, one, many }
    }

    /// The gender that a key of the table tells.
    pub fn gender(&self, key: &str) -> Gender {
        gender(self.cell(key).unwrap_or(""))
    }

    /// A number as the land writes it.
    pub fn number(&self, n: f64) -> String {
        let told = format!("{}", (n * 100.0).round() / 100.0);
        if self.language.code() == "es-MX" { told } else { told.replace('.', ",") }
    }
}

fn gender(letter: &str) -> Gender {
    match letter {
        "f" => Gender::Feminine,
        "n" => Gender::Neuter,
        _ => Gender::Masculine,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    fn places(cell: &str) -> BTreeSet<&str> {
        cell.split('{').skip(1).filter_map(|r| Some(r.split_once('}')?.0)).collect()
    }

    #[test]
    fn every_row_has_every_language_and_its_source_and_fills_the_same_places() {
        let rows: Vec<Vec<&str>> = TABLE.lines().map(|l| l.split('\t').collect()).collect();
        let keys: BTreeSet<&str> = rows.iter().map(|r| r[0]).collect();
        assert_eq!(keys.len(), rows.len(), "a key is told twice");
        for row in &rows[1..] {
            assert_eq!(row.len(), rows[0].len(), "{row:?}");
            assert!(!row.last().unwrap().is_empty(), "{row:?} has no source");
            if let Some((key, _)) = row[0].split_once('@') {
                assert!(keys.contains(key), "{key}");
                continue;
            }
            let noun = row[1].as_bytes().get(1) == Some(&b';');
            for (cell, lang) in row[1..row.len() - 1].iter().zip(&rows[0][1..]) {
                assert!(!cell.is_empty(), "{} in {lang}", row[0]);
                // what chains or rows are called may stand in a noun of one language and not of another
                let own = |c: &'static str| -> BTreeSet<&str> {
                    places(c).into_iter().filter(|p| !["c", "cc", "r", "ch", "row"].contains(p)).collect()
                };
                for form in cell.split('|') {
                    assert_eq!(own(row[1].split('|').next().unwrap()), own(form), "{} in {lang}", row[0]);
                }
                assert!(!noun || cell.split(';').count() == 3, "{} in {lang}", row[0]);
            }
        }
    }

    #[test]
    fn a_place_agrees_with_what_it_is_and_a_land_has_words_of_its_own() {
        let words = |code| {
            Words::of(match crate::symbol::Speak::of_code(code) {
                Some(crate::symbol::Speak::In(language)) => language,
                _ => unreachable!(),
            })
        };
        let de = words("de").unwrap();
        let place = |gender| de.say_of("next", gender, &[("w", "1 fM"), ("c", "X")]);
        assert_eq!(place(Gender::Feminine), "1 fM in die nächste X");
        assert_eq!(place(Gender::Neuter), "1 fM in das nächste X");
        assert_eq!(words("es-AR").unwrap().noun("row", &[]).one, "hilera");
        assert_eq!(words("es").unwrap().noun("row", &[]).one, "fila");
        assert!(words("ja").is_none());
        assert_eq!(de.number(3.5), "3,5");
    }
}
