//! Special stitches as a pattern defines them: "Shell: 5 dc in same st", "V-st = (dc, ch 1, dc) in next st".

use super::cursor::{Cursor, House};
use super::gist;
use super::house_words::Undefined;
use super::lex::{Kind, Token, tokens};
use super::phrase::RowReader;
use super::preamble::{Line, SECTIONS};
use super::stitch::Named;
use super::words;
use crate::craft::{Meet, Stem, StitchForm};
use crate::instructions::{Act, Class, Special, Step, Target};
use crate::source::Span;

/// The definitions of a line, or of lines it is wrapped over: one, or several parted by semicolons.
pub(super) fn specials(line: &Line<'_>, whole: &str, house: &House) -> Vec<Special> {
    let from = label_end(line.text);
    let rest = &line.text[from..];
    let one = |text: &str, at: usize| {
        let split = name_end(text)?;
        let names = special_names(&text[..split.0])?;
        // "sl st: slip stitch" gives the name "sl" as well
        if names.iter().all(|name| is_standard(name, house) || is_standard(&format!("{name} st"), house)) {
            return None;
        }
        let (words, from) = (&text[split.1..], line.span.start + at + split.1);
        // "V-st: (dc, ch 1, dc) in same st. Ch 3 counts as a dc.": the first sentence alone, where all of it is none
        let sentence = || words.find(". ").map(|k| &words[..k]);
        let special = define(names.clone(), words, from, whole, house)
            .or_else(|problem| sentence().map_or(Err(problem), |words| define(names, words, from, whole, house)))
            .ok()?;
        Some(Special { span: line.span, ..special })
    };
    if let Some(sentences) = several(rest) {
        let mut at = from;
        let mut found = Vec::new();
        for sentence in sentences {
            found.extend(one(sentence, at));
            at += sentence.len();
        }
        return found;
    }
    let parts: Vec<&str> = rest.split(';').collect();
    if parts.len() < 2 || !parts.iter().all(|p| p.trim().is_empty() || p.contains('=')) {
        return one(rest, from).into_iter().collect();
    }
    let mut at = from;
    let mut found = Vec::new();
    for part in parts {
        found.extend(one(part, at));
        at += part.len() + 1;
    }
    found
}

/// "Shell: 5 dc in same st. Half shell: 3 dc in same st.": the sentences that begin a definition each, with what follows
/// them; none where there is but one.
fn several(text: &str) -> Option<Vec<&str>> {
    let begins = |k: usize| {
        let rest = &text[k..];
        let name = rest.find([':', '=']).map(|end| &rest[..end]);
        let short = |n: &str| n.split_whitespace().count() <= MOST_NAME_WORDS && !n.contains(['.', ',', ';', '*']);
        rest.starts_with(char::is_uppercase) && name.is_some_and(short) && begins_definition(rest)
    };
    let starts: Vec<usize> =
        text.match_indices(". ").take(MOST_SENTENCES).map(|(k, _)| k + 2).filter(|&k| begins(k)).collect();
    if starts.is_empty() {
        return None;
    }
    let ends = starts.iter().copied().chain([text.len()]);
    Some(std::iter::once(0).chain(starts.iter().copied()).zip(ends).map(|(a, b)| &text[a..b]).collect())
}

/// Words of the longest name before its mark, and sentences looked at in one line.
const MOST_NAME_WORDS: usize = 5;
const MOST_SENTENCES: usize = 64;

/// Where the words behind "Special stitch:" begin; 0 where the line has no such label.
fn label_end(text: &str) -> usize {
    // "Special stitch - Puff: …"
    let dash = [" - ", " – ", " — "].iter().filter_map(|d| text.find(d).map(|i| (i, i + d.len()))).min();
    if let Some((label, rest)) = dash
        && LABELS.contains(&text[..label].trim_matches(['*', '-', '#', '•', ' ']).to_lowercase().as_str())
        && name_end(&text[rest..]).is_some()
    {
        return rest;
    }
    let Some(colon) = text.find(':').filter(|&k| !text[k + 1..].trim().is_empty()) else { return 0 };
    let label = text[..colon].trim_matches(['*', '-', '#', '•', ' ']).to_lowercase();
    let known = LABELS.contains(&label.as_str());
    // what follows has a mark of its own, or the label is the name of what it defines
    if known && name_end(&text[colon + 1..]).is_some() { colon + 1 } else { 0 }
}

/// Labels that stand before a definition on its line.
const LABELS: &[&str] = &[
    "special stitch",
    "special stitches",
    "special stitch used",
    "special stitches used",
    "special abbreviation",
    "special abbreviations",
    "special terms",
    "special instructions",
    "abbreviation",
    "abbreviations",
    "stitch guide",
    "stitch key",
    "stitches used",
    "pattern stitch",
    "pattern stitches",
    "note",
    "notes",
];

/// Where the name ends and the making begins: at a colon, an equals sign, a dash with spaces round it, or "is".
fn name_end(text: &str) -> Option<(usize, usize)> {
    let mark = |c: char| text.find(c).map(|i| (i, i + c.len_utf8()));
    let colon = [mark(':'), mark('=')].into_iter().flatten().min();
    let dash = [" - ", " – ", " — "].iter().filter_map(|d| text.find(d).map(|i| (i, i + d.len()))).min();
    colon.into_iter().chain(dash).min()
}

/// True for a name the trade gives a meaning of its own, such as `sc2tog` or `inc`: its definition only explains it.
fn is_standard(name: &str, house: &House) -> bool {
    let toks = tokens(name, 0);
    let mut c = Cursor::new(&toks, house);
    matches!(c.stitch(), Some(Named::Form(_) | Named::Increase(_))) && c.done()
}

/// True where a line begins a definition, told by its mark and a short name before it.
pub(super) fn begins_definition(text: &str) -> bool {
    let text = &text[label_end(text)..];
    name_end(text).is_some_and(|(end, from)| {
        let works = |t: &Token| match &t.kind {
            Kind::Word(w) => words::WORKING_WORDS.contains(&w.as_str()) || matches!(w.as_str(), "yo" | "yoh" | "hook"),
            _ => false,
        };
        special_names(&text[..end]).is_some() && tokens(&text[from..], 0).iter().any(works)
    })
}

/// A name and how it is worked; what stands in the way where it is not read to its last word, or makes nothing.
pub(super) fn define(
    names: Vec<String>,
    definition: &str,
    offset: usize,
    whole: &str,
    house: &House,
) -> Result<Special, Undefined> {
    let words = without_remarks(&house.words.tokens(definition, offset));
    if let Some(form) = popcorn(&words, house) {
        return Ok(Special { names, form: Some(form), steps: Vec::new(), placed: false, span: Span::default() });
    }
    let read = |words: &[Token]| {
        let mut reader = RowReader::new(Cursor::new(words, house), whole);
        let steps = reader.steps();
        if reader.unread || !reader.problems.is_empty() || !reader.c.done() {
            return Err(reader.problems.into_iter().next().map(Box::new));
        }
        special_of(names.clone(), steps, Span::default()).ok_or(None)
    };
    let found = read(&words);
    if found.is_ok() {
        return found;
    }
    if let Some(inside) = in_brackets(&words)
        && let Ok(special) = read(inside)
    {
        return Ok(special);
    }
    gist::parts(&words).iter().find_map(|part| read(part).ok()).map_or(found, Ok)
}

/// The words in brackets of "cluster (dc3tog in one sp)", where the name in full stands before them.
fn in_brackets(words: &[Token]) -> Option<&[Token]> {
    let open = words.iter().position(|t| matches!(t.kind, Kind::Open(_))).filter(|k| (1..4).contains(k))?;
    let end = words.iter().rposition(|t| t.kind != Kind::Stop)?;
    let named = words[..open].iter().all(|t| match &t.kind {
        Kind::Word(w) => {
            let shape = |s: &&str| words::is_or_plural(w, s);
            words::SHAPES.iter().chain(words::CLUSTERS).any(shape) || words::STITCH.contains(&w.as_str()) || w == "v"
        }
        kind => *kind == Kind::Dash,
    });
    let closed = matches!(words[end].kind, Kind::Close(_)) && end > open;
    (named && closed).then(|| &words[open + 1..end])
}

/// What steps make of a name: one stitch where they come down to one, else a group.
pub(super) fn special_of(names: Vec<String>, mut steps: Vec<Step>, span: Span) -> Option<Special> {
    let works =
        |s: &Step| matches!(s.act, Act::Work { .. } | Act::Group { .. } | Act::Picot { .. } | Act::Repeat { .. });
    if !steps.iter().any(works) {
        return None;
    }
    // "CL: dc3tog in same sp": the legs share their place, and the chain of a "beg CL" is one of them
    for step in &mut steps {
        if let Act::Work { form, at: Target::Same, .. } = &mut step.act
            && form.legs > 1
            && !form.one_place
        {
            *form = StitchForm { extra: form.extra, ..StitchForm::cluster(form.stem, form.legs, Meet::Head) };
        }
    }
    if let [Step { act: Act::Chain { .. }, span }, Step { act: Act::Work { form, at, .. }, .. }] = steps.as_mut_slice()
        && form.legs > 1
        && names.iter().any(|name| name.starts_with("beg "))
    {
        // "insert hook in sp": the place its chain stands in, whatever the row names
        if form.one_place && matches!(at, Target::Next { n: 1, .. }) {
            *at = Target::Same;
        }
        let counts = Act::Counts { stem: None, space: 0, counts: false };
        let span = *span;
        steps.insert(1, Step { act: counts, span });
    }
    // the chain that closes a cluster is neither stitch nor space
    if let [.., Step { act: Act::Work { form, .. }, .. }, Step { act: Act::Chain { n: 1 }, .. }] = steps.as_slice()
        && form.legs > 1
    {
        steps.pop();
    }
    let form = match steps.as_slice() {
        [step] => match &step.act {
            Act::Work { each: 1, form, at: Target::Next { n: 1, .. } | Target::Same }
                if form.legs > 1 || names[0] != form.to_string() =>
            {
                Some(*form)
            }
            _ => None,
        },
        _ => None,
    };
    // a puff's legs are drawn up loops, whatever the words that spell it come to
    let puffed = |form: StitchForm| match form.stem {
        Stem::HalfDouble if form.legs > 1 && form.one_place && names[0].contains("puff") => {
            StitchForm { meet: Meet::Both, ..form }
        }
        _ => form,
    };
    let form = form.map(puffed);
    for step in &mut steps {
        if let Act::Work { form, .. } = &mut step.act {
            *form = puffed(*form);
        }
    }
    let placed = steps.iter().any(|s| match &s.act {
        Act::Work { at, .. } | Act::Group { at, .. } => match at {
            Target::Next { class, .. } => *class != Class::Any,
            Target::Within { .. } | Target::Between { .. } => true,
            _ => false,
        },
        Act::Skip { .. } => true,
        _ => false,
    });
    Some(Special { names, form, steps, placed, span })
}

/// "Shell (sh)" gives `shell` and `sh`; "Beg Cl / Beg Cluster" gives both. Names are short: a sentence before a colon
/// is none.
pub(super) fn special_names(text: &str) -> Option<Vec<String>> {
    let text = text.trim().trim_start_matches(['-', '•', '*', ' ']).trim_matches('*').trim();
    let (name, short) = match text.split_once(['(', '[']) {
        Some((name, rest)) => (name.trim(), rest.split([')', ']']).next().map(str::trim)),
        None => (text, None),
    };
    let good = |n: &str| {
        !n.is_empty() && n.len() <= 40 && n.split_whitespace().count() <= 4 && n.chars().any(char::is_alphabetic)
    };
    let first = name.to_lowercase();
    let first = first.split_whitespace().next().unwrap_or("");
    if !good(name) || SECTIONS.contains(&first) || words::ROW.contains(&first) || words::ROUND.contains(&first) {
        return None;
    }
    let mut names: Vec<String> = Vec::new();
    let parts =
        name.split(['/', ',']).flat_map(|p| p.split(" or ")).chain(short.iter().flat_map(|s| s.split(['/', ','])));
    for part in parts.map(str::trim).filter(|p| good(p)) {
        let part = part.to_lowercase();
        let plain = part.trim_matches(['"', '“', '”']).trim_start_matches("abbreviated ").to_owned();
        if !names.contains(&plain) {
            names.push(plain);
        }
    }
    let bare: Vec<String> = names
        .iter()
        .filter_map(|n| [" stitch", "-stitch", " st", "-st"].iter().find_map(|e| n.strip_suffix(e)))
        .filter(|b| b.len() > 1)
        .map(str::to_owned)
        .collect();
    names.extend(bare);
    // beginning and beg are one word to the trade
    for name in names.clone() {
        for (long, short) in [("beginning ", "beg "), ("starting ", "beg ")] {
            if let Some(rest) = name.strip_prefix(long) {
                names.push(format!("{short}{rest}"));
            }
        }
        if let Some(rest) = name.strip_prefix("beg ") {
            names.push(format!("beginning {rest}"));
        }
    }
    (!names.is_empty()).then_some(names)
}

/// The words without those that only say where the hook goes or what was made by them.
fn without_remarks(words: &[Token]) -> Vec<Token> {
    let mut kept: Vec<Token> = Vec::with_capacity(words.len());
    let mut i = 0;
    'next: while i < words.len() {
        for remark in REMARKS {
            let said = remark
                .iter()
                .enumerate()
                .all(|(k, w)| matches!(words.get(i + k).map(|t| &t.kind), Some(Kind::Word(have)) if have == w));
            if said {
                i += remark.len();
                continue 'next;
            }
        }
        kept.push(words[i].clone());
        i += 1;
    }
    // "– 1 dcfp made", "(shell made)": what was defined
    let made = |t: &Token| matches!(&t.kind, Kind::Word(w) if w == "made" || w == "completed");
    let last = kept.iter().rposition(|t| !matches!(t.kind, Kind::Stop | Kind::Close(_)));
    if let Some(last) = last.filter(|&k| made(&kept[k]))
        && let Some(from) =
            (last.saturating_sub(5)..last).rev().find(|&k| matches!(kept[k].kind, Kind::Dash | Kind::Open(_)))
    {
        kept.truncate(from);
    }
    kept
}

/// Remarks on the hook's way inside a definition.
const REMARKS: &[&[&str]] = &[
    &["at", "front", "of", "work"],
    &["at", "back", "of", "work"],
    &["in", "front", "of", "work"],
    &["inserting", "hook", "from", "right", "to", "left"],
    &["from", "right", "to", "left"],
    &["from", "front", "to", "back", "to", "front"],
    &["from", "back", "to", "front", "to", "back"],
    &["or", "sp"],
    &["or", "space"],
    &["or", "ch", "sp"],
    &["or", "ch", "space"],
    &["or", "st"],
    &["or", "stitch"],
    &["as", "indicated"],
    &["as", "directed"],
    &["to", "close", "stitch"],
    &["to", "close", "st"],
    &["to", "close", "cluster"],
    &["to", "close"],
    &["to", "secure"],
    &["to", "lock"],
];

/// "5 dc in next st, drop loop from hook, insert hook in first dc, pull dropped loop through".
fn popcorn(words: &[Token], house: &House) -> Option<StitchForm> {
    let mut c = Cursor::new(words, house);
    let _ = c.eat_any(&["work", "make"]);
    let legs = u8::try_from(c.number()?).ok().filter(|&n| n >= 2)?;
    let stem = c.stem()?;
    c.place()?;
    let _ = c.eat_kind(&Kind::Comma) || c.eat_kind(&Kind::Stop) || c.eat_kind(&Kind::Semicolon);
    let _ = c.eat("and") || c.eat("then");
    let dropped = c.eat_any(&["drop", "remove", "take", "slip"]) && {
        let rest = &c.tokens[c.at..];
        let says = |w: &str| rest.iter().any(|t| matches!(&t.kind, Kind::Word(have) if have == w));
        says("loop") || says("lp") || says("hook")
    };
    let drawn = c.tokens[c.at..]
        .iter()
        .any(|t| matches!(&t.kind, Kind::Word(w) if matches!(w.as_str(), "draw" | "pull" | "through" | "thru")));
    (dropped && drawn && stem != Stem::SlipStitch).then(|| StitchForm::cluster(stem, legs, Meet::Closed))
}

/// The steps of a definition without the one place they name: used where the row names the place.
pub(super) fn unplaced(steps: &[Step]) -> Vec<Step> {
    match steps {
        [Step { act: Act::Group { steps, .. }, .. }] => steps.clone(),
        [Step { act: Act::Work { each, form, at: Target::Next { n: 1, .. } | Target::Same }, span }] => {
            vec![Step { act: Act::Work { each: *each, form: *form, at: Target::NEXT }, span: *span }]
        }
        _ => steps.to_vec(),
    }
}

/// The steps of a definition that names its own places, with the pattern's name on the group in them.
pub(super) fn with_name(steps: &[Step], name: Option<&str>) -> Vec<Step> {
    let mut steps = steps.to_vec();
    for step in &mut steps {
        let span = step.span;
        match &mut step.act {
            Act::Group { name: known, .. } => *known = name.map(str::to_owned),
            Act::Work { each: each @ 2.., form, at } => {
                let inner = Step { act: Act::Work { each: *each, form: *form, at: Target::NEXT }, span };
                step.act = Act::Group { steps: vec![inner], at: at.clone(), name: name.map(str::to_owned) };
            }
            _ => {}
        }
    }
    steps
}

/// A definition that is one stitch in a row further down, in front of what the row tells: "drop dc: dc in next st 2 rows
/// below, skip st behind".
pub(super) fn in_row_below(steps: &[Step], times: u32, told: &Target) -> Option<Act> {
    let [Step { act: Act::Work { each, form, at: Target::Below { n: 1, class, rows } }, .. }, behind @ ..] = steps
    else {
        return None;
    };
    let alone = match behind {
        [] => true,
        [skip] => matches!(skip.act, Act::Skip { n: 1, .. }),
        _ => false,
    };
    let Target::Next { n, .. } = told else { return None };
    let at = Target::Below { n: *n, class: class.clone(), rows: *rows };
    alone.then(|| Act::Work { each: each.saturating_mul(times), form: *form, at })
}
