//! The languages a chart speaks, from one table.

use super::Speak;
use std::collections::BTreeMap;
use std::sync::OnceLock;

/// Words of every language: language, key, abbreviation, term, source.
const TABLE: &str = include_str!("../../symbols/words.tsv");

/// Languages other than English: code as in HTML, name in English.
const LANGUAGES: &[(&str, &str)] = &[
    ("de", "German"),
    ("fr", "French"),
    ("es-ES", "Spanish of Spain"),
    ("es-MX", "Spanish of Mexico"),
    ("es-AR", "Spanish of Argentina"),
    ("nl", "Dutch"),
    ("it", "Italian"),
    ("pt-PT", "Portuguese of Portugal"),
    ("pt-BR", "Portuguese of Brazil"),
    ("da", "Danish"),
    ("ja", "Japanese"),
];

/// A language other than English.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Language(usize);

impl Language {
    /// Its code, as in HTML: `de`, `es-AR`.
    pub fn code(self) -> &'static str {
        LANGUAGES[self.0].0
    }

    /// Its name in English.
    pub fn name(self) -> &'static str {
        LANGUAGES[self.0].1
    }

    /// True where charts show single crochet as a diagonal cross: Japanese ones do by the list of their standard.
    pub fn draws_sc_as_cross(self) -> bool {
        // which house uses which form is told from memory
        self.code() == "ja"
    }
}

impl Speak {
    /// The dialect or language of a code such as `en-GB`, `de`, `es-MX`; upper and lower case are one. `en` alone
    /// is US English, `es` that of Spain, `pt` that of Portugal.
    pub fn of_code(code: &str) -> Option<Speak> {
        match code.to_lowercase().replace('_', "-").as_str() {
            "en" | "en-us" | "en-ca" => return Some(Speak::Us),
            "en-gb" | "en-au" | "en-nz" | "en-ie" => return Some(Speak::Uk),
            _ => {}
        }
        let is = |known: &str| known.eq_ignore_ascii_case(&code.replace('_', "-"));
        let whole = LANGUAGES.iter().position(|(known, _)| is(known));
        // the first of a language with several lands is its own land's
        let first = || LANGUAGES.iter().position(|(known, _)| known.split('-').next().is_some_and(is));
        whole.or_else(first).map(|i| Speak::In(Language(i)))
    }

    /// The codes of every dialect and language there is.
    pub fn codes() -> Vec<&'static str> {
        ["en-US", "en-GB"].into_iter().chain(LANGUAGES.iter().map(|l| l.0)).collect()
    }

    /// The language as in HTML.
    pub fn code(self) -> &'static str {
        match self {
            Speak::Us | Speak::Both => "en-US",
            Speak::Uk => "en-GB",
            Speak::In(language) => language.code(),
        }
    }
}

/// An abbreviation and a term, each perhaps with places to fill: `{n}`, `{short}`, `{long}`.
#[derive(Clone, Copy, Debug)]
pub(super) struct Wording {
    pub short: &'static str,
    pub long: &'static str,
}

fn table() -> &'static BTreeMap<(&'static str, &'static str), Wording> {
    static READ: OnceLock<BTreeMap<(&'static str, &'static str), Wording>> = OnceLock::new();
    READ.get_or_init(|| {
        let row = |line: &'static str| {
            let mut cells = line.split('\t');
            let (lang, key) = (cells.next()?, cells.next()?);
            Some(((lang, key), Wording { short: cells.next()?, long: cells.next()? }))
        };
        TABLE.lines().skip(1).filter_map(row).collect()
    })
}

/// What a language has for a key; English where it has nothing.
pub(super) fn wording(key: &str, speak: Speak) -> Option<Wording> {
    let language = match speak {
        Speak::In(language) => language.code(),
        _ => "en",
    };
    let find = |language: &str| {
        let of_language = table().iter().filter(|((l, _), _)| *l == language);
        of_language.into_iter().find(|((_, k), _)| *k == key).map(|(_, w)| *w)
    };
    find(language).or_else(|| find("en"))
}

/// Words of the chart itself: `row label`, `chart of`. The key where the table has none.
pub fn word(key: &str, speak: Speak) -> String {
    wording(key, speak).map_or_else(|| key.to_owned(), |w| w.long.to_owned())
}

/// The same with its places filled: `{n}` by the value of `n`.
pub fn filled(key: &str, speak: Speak, values: &[(&str, &str)]) -> String {
    fill(&word(key, speak), values)
}

/// A wording with its places filled, each once and from left to right, so that no value is taken for a place.
pub fn fill(wording: &str, values: &[(&str, &str)]) -> String {
    let mut out = String::new();
    let mut rest = wording;
    while let Some((before, after)) = rest.split_once('{') {
        out.push_str(before);
        let value = after.split_once('}').and_then(|(name, left)| {
            let value = values.iter().find(|(n, _)| *n == name)?.1;
            Some((value, left))
        });
        match value {
            Some((value, left)) => {
                out.push_str(value);
                rest = left;
            }
            None => {
                out.push('{');
                rest = after;
            }
        }
    }
    out + rest
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    fn rows() -> Vec<Vec<&'static str>> {
        TABLE.lines().skip(1).map(|l| l.split('\t').collect()).collect()
    }

    #[test]
    fn every_language_has_every_word_and_every_row_its_source() {
        let keys = |lang: &str| -> BTreeSet<&str> { rows().iter().filter(|r| r[0] == lang).map(|r| r[1]).collect() };
        let german = keys("de");
        assert!(keys("en").is_subset(&german) && german.len() > 45);
        for (code, _) in LANGUAGES {
            assert_eq!(keys(code), german, "{code}");
        }
        for row in rows() {
            assert_eq!(row.len(), 5, "{row:?}");
            assert!(!row[3].is_empty() && !row[4].is_empty(), "{row:?}");
        }
        let told: BTreeSet<(&str, &str)> = rows().iter().map(|r| (r[0], r[1])).collect();
        assert_eq!(told.len(), rows().len(), "a word is told twice");
    }

    #[test]
    fn every_wording_has_the_places_of_the_english_one() {
        let places = |w: &str| -> BTreeSet<String> {
            w.split('{').skip(1).filter_map(|r| Some(r.split_once('}')?.0.to_owned())).collect()
        };
        for (code, _) in LANGUAGES {
            let language = Speak::of_code(code).unwrap();
            for row in rows().iter().filter(|r| r[0] == "en") {
                let (own, english) = (places(&word(row[1], language)), places(row[3]));
                let stands_for_short = |p: &String| english.contains(p) || (p == "long" && english.contains("short"));
                assert!(own.iter().all(stands_for_short), "{code} {}: {own:?}", row[1]);
                let numbered = ["n", "a", "b", "title", "letter"];
                assert!(numbered.iter().all(|p| english.contains(*p) == own.contains(*p)), "{code} {}", row[1]);
            }
        }
    }

    #[test]
    fn a_language_is_known_by_its_code() {
        let code = |told: &str| Speak::of_code(told).map(Speak::code);
        assert_eq!(
            ["de", "ES", "es-mx", "pt", "pt_BR", "en-gb", "en"].map(code).map(Option::unwrap),
            ["de", "es-ES", "es-MX", "pt-PT", "pt-BR", "en-GB", "en-US"]
        );
        assert_eq!(code("tlh"), None);
    }

    #[test]
    fn values_are_no_places() {
        assert_eq!(fill("{a} and {b}", &[("a", "{b}"), ("b", "c")]), "{b} and c");
        assert_eq!(fill("{x", &[]), "{x");
    }
}
