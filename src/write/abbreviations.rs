//! The abbreviations a written pattern uses, and no others.

use super::page::Block;
use super::tongue::Tongue;
use crate::craft::{PostSide, Stem, StitchForm};
use crate::instructions::{Act, Pattern, Step};
use std::collections::BTreeMap;

/// An abbreviation and what it stands for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Abbreviation {
    /// As written in the rows.
    pub short: String,
    /// In full.
    pub long: String,
}

/// Words that rows cut short, beside the names of stitches. They are the same in US and UK terms.
///
/// Source: Craft Yarn Council, crochet abbreviations master list.
const WORDS: &[(&[&str], &str, &str)] = &[
    (&["beg"], "beg", "beginning"),
    (&["BLO"], "BLO", "back loop only"),
    (&["ch"], "ch", "chain"),
    (&["dec"], "dec", "decrease"),
    (&["FLO"], "FLO", "front loop only"),
    (&["inc"], "inc", "increase"),
    (&["pat"], "pat", "pattern"),
    (&["rep", "Rep"], "rep", "repeat"),
    (&["Rnd", "Rnds", "rnd", "rnds"], "rnd(s)", "round(s)"),
    (&["RS"], "RS", "right side"),
    (&["sp", "sps"], "sp(s)", "space(s)"),
    (&["st", "sts"], "st(s)", "stitch(es)"),
    (&["WS"], "WS", "wrong side"),
];

/// The abbreviations that stand in the rows, by the alphabet.
pub(super) fn used(blocks: &[Block], pattern: &Pattern, tongue: &Tongue) -> Vec<Abbreviation> {
    let lines = blocks.iter().filter_map(|b| match b {
        Block::Row(line) => Some(line.text()),
        _ => None,
    });
    let text = lines.collect::<Vec<_>>().join("\n");
    let words: Vec<&str> = text.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty()).collect();
    let has = |word: &str| words.iter().any(|w| w.eq_ignore_ascii_case(word));
    let mut found: BTreeMap<String, Abbreviation> = BTreeMap::new();
    let mut add = |short: &str, long: &str| {
        let entry = Abbreviation { short: short.to_owned(), long: long.to_owned() };
        found.insert(short.to_lowercase(), entry);
    };
    for (forms, short, long) in WORDS {
        if forms.iter().any(|f| words.contains(f) || words.contains(&capital(f).as_str())) {
            add(short, long);
        }
    }
    let slip = tongue.stem(Stem::SlipStitch);
    let squeezed = text.to_lowercase();
    if squeezed.split(|c: char| !c.is_alphanumeric() && c != ' ').any(|p| in_words(p, &slip)) {
        add(&slip, "slip stitch");
    }
    let stems = [Stem::Single, Stem::HalfDouble, Stem::Tall(1), Stem::Tall(2), Stem::Tall(3), Stem::Tall(4)];
    for stem in stems {
        let name = tongue.stem(stem);
        if has(&name) {
            add(&name, &tongue.long(StitchForm::plain(stem)));
        }
    }
    for form in forms(pattern) {
        let name = tongue.form(form);
        let special = form.legs > 1 && !form.one_place || form.extra.post.is_some() || form.extra.extended;
        if special && has(&name) {
            add(&name, &in_full(tongue, form));
        }
    }
    found.into_values().collect()
}

/// "single crochet 2 together", "front post double crochet".
fn in_full(tongue: &Tongue, form: StitchForm) -> String {
    let plain = tongue.long(StitchForm::plain(form.stem));
    let together = if form.legs > 1 { format!(" {} together", form.legs) } else { String::new() };
    let before = match (form.extra.post, form.extra.extended) {
        (Some(PostSide::Front), _) => "front post ",
        (Some(PostSide::Back), _) => "back post ",
        (None, true) => "extended ",
        (None, false) => "",
    };
    format!("{before}{plain}{together}")
}

fn capital(word: &str) -> String {
    super::line::upper_first(word)
}

/// True where the words stand in the phrase as words of their own.
fn in_words(phrase: &str, words: &str) -> bool {
    format!(" {} ", phrase.trim()).contains(&format!(" {words} "))
}

/// Every make of stitch the pattern asks for.
fn forms(pattern: &Pattern) -> Vec<StitchForm> {
    let mut found = Vec::new();
    for row in pattern.parts.iter().flat_map(|p| &p.rows) {
        gather(&row.steps, &mut found);
    }
    found.sort();
    found.dedup();
    found
}

fn gather(steps: &[Step], found: &mut Vec<StitchForm>) {
    for step in steps {
        match &step.act {
            Act::Work { form, .. } => found.push(*form),
            Act::Join { with, .. } => found.push(*with),
            Act::Group { steps, .. } | Act::Repeat { steps, .. } => gather(steps, found),
            _ => {}
        }
    }
}
