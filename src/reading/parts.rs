//! Names of parts: "Leaf (make 2)", "STEM", "## Border", "Edging: 1st rnd: ...".

use super::cursor::{Cursor, House};
use super::heading::heading;
use super::lex::{Kind, Token};
use super::preamble;
use super::words;
use crate::instructions::Target;

/// Where a line stands: what is told of its neighbours.
#[derive(Clone, Copy)]
pub(super) struct Around {
    /// A blank line stands above, or the line above ends a sentence.
    pub ended: bool,
    /// A blank line stands above.
    pub after_blank: bool,
    /// A heading, a chain or other work begins below.
    pub before_work: bool,
    /// The first row of a piece stands below.
    pub before_first: bool,
}

impl Around {
    /// Blank lines around it, and nothing known of what comes below.
    pub const ALONE: Around = Around { ended: true, after_blank: true, before_work: false, before_first: false };
}

/// A part's name and its copies: short, no full stop, no work.
pub(super) fn part_heading(words: &str, toks: &[Token], around: Around) -> Option<(String, u32)> {
    if around.before_work
        && let Some(name) = super::stitch_patterns::name_of_heading(words)
    {
        return Some((name.to_owned(), 1));
    }
    let marked = words.starts_with('#');
    let bare = words.trim_matches(['#', '*', ' ', '.']).trim();
    let colon = bare.ends_with(':');
    let bare = bare.trim_end_matches(':').trim();
    let bare = without_yarn(bare);
    let (name, copies) = match bare.split_once(['(', '[']).or_else(|| copies_behind(bare)) {
        Some((name, rest)) => (name.trim().trim_end_matches(':'), copies_of(rest, name)?),
        None => (bare, 1),
    };
    let told = copies > 1 || bare.len() > name.len();
    let letters = || name.chars().filter(|c| c.is_alphabetic());
    let capitals = letters().count() > 2 && letters().all(char::is_uppercase);
    let short = name.split_whitespace().count() <= if capitals { 8 } else { 5 };
    // "2ND LEG", "1st motif"
    let nth =
        name.split_once(' ').filter(|(lead, rest)| around.before_work && is_nth(lead, rest)).map(|(_, rest)| rest);
    let first_letter = nth.unwrap_or(name).trim_start_matches(['"', '\u{201c}', '\'', '\u{2018}']).chars().next();
    let titled = first_letter.is_some_and(char::is_uppercase)
        && nth.unwrap_or(name).split_whitespace().all(|w| w.len() < 4 || !w.starts_with(char::is_lowercase));
    let stopped = words.trim_end().ends_with('.') && !told;
    let digits = nth.unwrap_or(name).chars().any(|c| c.is_ascii_digit());
    // "Leg 2", "Leg 2 and body"
    let piece = name.split_once(" and ").or_else(|| name.split_once(" & ")).map_or(name, |(piece, _)| piece);
    let numbered_piece = digits && piece.split_whitespace().last().is_some_and(|w| w.len() < 3) && around.before_work;
    let plain = !stopped
        && !name.contains([',', ';', ':', '=', '.', '!', '?', '*'])
        && (!digits || numbered_piece || capitals || told && copies > 1);
    let first = name.split_whitespace().next().unwrap_or("").to_lowercase();
    let leads = matches!(
        first.as_str(),
        "multiple" | "multiples" | "with" | "using" | "stuff" | "change" | "changing" | "switch" | "switching"
    );
    let section = leads
        || preamble::SECTIONS.contains(&first.as_str())
        || name.to_lowercase().ends_with(" yarn")
        || name.to_lowercase().ends_with(" terms");
    // "SHELL" above the rows of a tortoise is no stitch
    let worded: Vec<&Token> = toks.iter().filter(|t| !(marked && t.kind == Kind::Other('#'))).collect();
    let shape = worded.len() == 1
        && (around.after_blank || capitals)
        && around.before_work
        && matches!(&worded[0].kind, Kind::Word(w) if words::SHAPES.contains(&w.as_str()));
    // "Top Crochet Fringe:", "Shell Edging": what a piece is made of, before what it is
    let made_of = |t: &Token| match &t.kind {
        Kind::Word(w) => titled && toks.len() > 1 && MADE_OF.contains(&w.as_str()),
        _ => false,
    };
    let ends_work = toks.iter().rev().find(|t| matches!(t.kind, Kind::Word(_))).is_some_and(made_of);
    let work = !shape && toks.iter().any(|t| matches!(&t.kind, Kind::Word(w) if words::WORKING_WORDS.contains(&w.as_str()) && (ends_work || !made_of(t)) || matches!(w.as_str(), "turn" | "fasten")));
    let opening = nth.is_some() || first_letter.is_some_and(|c| c.is_uppercase() || told && copies > 1);
    let stands = around.after_blank || marked || around.ended && (told || colon || capitals || titled);
    let stands = stands || around.before_work && (told || colon || capitals || titled);
    // "Ear flaps" right above "Row 1: …"
    let stands = stands || around.before_first && around.ended && name.split_whitespace().count() <= 3;
    (!name.is_empty() && short && opening && plain && !section && !work && stands).then(|| (name.to_owned(), copies))
}

/// Words of the craft that tell what a piece is made of, before its name.
const MADE_OF: &[&str] = &["crochet", "picot", "shell", "cluster", "popcorn", "bobble", "puff", "chain"];

/// True for "2nd" before what is no row.
fn is_nth(lead: &str, rest: &str) -> bool {
    let number = lead.trim_end_matches(|c: char| c.is_ascii_alphabetic());
    let ending = lead[number.len()..].to_ascii_lowercase();
    let first = rest.split_whitespace().next().unwrap_or_default().to_lowercase();
    !number.is_empty()
        && number.chars().all(|c| c.is_ascii_digit())
        && matches!(ending.as_str(), "st" | "nd" | "rd" | "th")
        && !words::ROW.contains(&first.as_str())
        && !words::ROUND.contains(&first.as_str())
}

/// "WINGS make 2", "Leaf - make three", "Ears x 2": how often, with no brackets round it.
fn copies_behind(bare: &str) -> Option<(&str, &str)> {
    let lower = bare.to_ascii_lowercase();
    let at = lower.rfind(" make ").or_else(|| lower.rfind(" x "))?;
    let (name, rest) = (&bare[..at], &bare[at + 1..]);
    // "Eyes x 2: white"
    let rest = match rest.split_once([':', ',', '-']) {
        Some((number, yarn))
            if yarn.split_whitespace().all(|w| words::COLOURS.contains(&w.to_lowercase().as_str())) =>
        {
            number.trim()
        }
        _ => rest,
    };
    let number = rest.trim_start_matches("x ").trim_start_matches(|c: char| c.is_ascii_alphabetic()).trim();
    let counted = number.parse::<u32>().is_ok() || rest.split(' ').next_back().and_then(words::number_word).is_some();
    counted.then(|| (name.trim_end_matches([' ', '-', '–', '—', ',']), rest))
}

/// "BEAK - in orange": the part without the yarn it is made in.
fn without_yarn(bare: &str) -> &str {
    // "Soil: brown", "Plant: green, worked in rows"
    if let Some((name, told)) = bare.split_once(": ") {
        let mut words = told.split([' ', ',']).filter(|w| !w.is_empty()).map(str::to_lowercase);
        let colour = words.next().is_some_and(|w| words::COLOURS.contains(&w.as_str()));
        let plain =
            |w: String| words::COLOURS.contains(&w.as_str()) || super::remarks::is_plain_word(&w) || w == "rows";
        if colour && words.all(plain) {
            return name;
        }
    }
    [" - in ", " – in ", " — in ", ", in "]
        .iter()
        .find_map(|led| {
            let (name, yarn) = bare.split_once(led)?;
            let colours = yarn.split_whitespace().all(|w| words::COLOURS.contains(&w.to_lowercase().as_str()));
            (colours && !yarn.is_empty()).then_some(name)
        })
        .unwrap_or(bare)
}

/// "make 2)", "make two)", "3)" behind a name in capitals. A remark, "(see diagram)", is one copy.
fn copies_of(rest: &str, name: &str) -> Option<u32> {
    let rest = rest.trim_end_matches([')', ']']).to_lowercase();
    let capitals = name.chars().filter(|c| c.is_alphabetic()).all(char::is_uppercase);
    let Some(number) =
        rest.strip_prefix("make ").or_else(|| rest.strip_prefix("work ")).or_else(|| rest.strip_prefix('x'))
    else {
        // "WINGS (2x, in white)"
        let times = rest.split([' ', ',']).next().and_then(|w| w.strip_suffix(['x', '×']));
        if let Some(n) = times.and_then(|n| n.parse().ok()).filter(|&n| n > 0 && n < 100) {
            return Some(n);
        }
        if let Some((_, again)) = rest.split_once("(make ") {
            return copies_of(&format!("make {again}"), name);
        }
        if ["see ", "with ", "in ", "using "].iter().any(|led| rest.starts_with(led))
            || rest.split_whitespace().all(super::remarks::is_plain_word)
        {
            return Some(1);
        }
        return rest.trim().parse().ok().filter(|&n| capitals && n > 0 && n < 100);
    };
    let number = number.trim_start().split([' ', ',']).next()?.trim_end_matches(['x', '×']);
    number.parse().ok().or_else(|| words::number_word(number)).or(Some(1)).filter(|&n| n > 0)
}

/// Index of the token where a row heading, or a chain, begins behind a part's name and a mark on one line.
pub(super) fn named_heading(toks: &[Token], text: &str, house: &House) -> Option<usize> {
    named_at(toks, text, house, 0)
}

/// "Begin working in rows along bottom edge:" before a heading says how the row is worked, and names no part.
pub(super) fn leads_to_row(toks: &[Token]) -> bool {
    const VERBS: &[&str] = &["beg", "begin", "start", "now", "work", "working", "continue", "cont", "return"];
    toks.len() > 3 && matches!(&toks[0].kind, Kind::Word(w) if VERBS.contains(&w.as_str()))
}

/// Tokens of a foundation with its yarn: "using pink, ch 40."
const LONGEST_CHAIN: usize = 6;

/// Tokens of the longest name before its mark, and of the longest words that lead to the heading of a numbered row.
const LONGEST_NAME: usize = 8;
const LONGEST_LEAD: usize = 12;

/// The same, from a mark on: "Second half: Shape top: 1st row: …" has a further label before its heading.
fn named_at(toks: &[Token], text: &str, house: &House, from: usize) -> Option<usize> {
    let mark =
        from + toks.get(from..)?.iter().take(LONGEST_LEAD).position(|t| matches!(t.kind, Kind::Colon | Kind::Dash))?;
    let dash = toks[mark].kind == Kind::Dash;
    let rest = toks.get(mark + 1..).filter(|r| !r.is_empty())?;
    let first = toks.first()?;
    let named = matches!(&first.kind, Kind::Word(w) if !preamble::SECTIONS.contains(&w.as_str()) && !matches!(w.as_str(), "with" | "using" | "holding") && !words::ROW.contains(&w.as_str()) && !words::ROUND.contains(&w.as_str()));
    // "2nd motif: work as 1st motif to end of rnd 1"
    let piece = |t: &Token| matches!(&t.kind, Kind::Word(w) if words::PIECES.contains(&w.as_str()) || words::LIMBS.contains(&w.as_str()) || matches!(w.as_str(), "strip" | "panel" | "half" | "section"));
    let counted = matches!(first.kind, Kind::Ordinal(_)) && toks.get(1).is_some_and(piece);
    let named = named || counted;
    let mut depth = 0i32;
    let headed = is_numbered(rest, text, house);
    if mark - from >= LONGEST_NAME && !headed {
        return None;
    }
    // "BEG PC: ch 3, …" tells a stitch
    let begins = matches!(&first.kind, Kind::Word(w) if matches!(w.as_str(), "beg" | "beginning" | "starting"));
    let shape = |t: &Token| matches!(&t.kind, Kind::Word(w) if words::SHAPES.contains(&w.as_str()) || words::CLUSTERS.contains(&w.as_str()));
    let named = named && !(begins && toks[..mark].iter().any(shape));
    // "Shell: using pink, ch 40.", of a snail: the chain is all there is
    let alone =
        mark == 1 && shape(first) && rest.len() <= LONGEST_CHAIN && super::foundation_line::begins_chain(rest, house);
    let plain = alone
        || mark > 0
            && toks[..mark].iter().all(|t| match &t.kind {
                // "BODY (make 2 alike)"
                Kind::Word(w) if depth > 0 && matches!(w.as_str(), "make" | "work") => true,
                Kind::Open(_) => {
                    depth += 1;
                    true
                }
                Kind::Close(_) => {
                    depth -= 1;
                    true
                }
                // "Beg working in rows along bottom edge: 1st row: …"
                Kind::Word(w) if matches!(w.as_str(), "rows" | "rnds" | "rounds") => headed,
                Kind::Word(w) => {
                    !words::WORKING_WORDS.contains(&w.as_str())
                        && !words::ROW.contains(&w.as_str())
                        && !words::ROUND.contains(&w.as_str())
                }
                Kind::Number(_) => true,
                Kind::Ordinal(_) => counted,
                Kind::Colon => from > 0,
                _ => false,
            });
    // "Beak: orange, ch 4, …"
    let coloured =
        rest.iter().take_while(|t| matches!(&t.kind, Kind::Word(w) if words::COLOURS.contains(&w.as_str()))).count();
    let comma = coloured > 0 && rest.get(coloured).is_some_and(|t| t.kind == Kind::Comma);
    let behind = if comma { &rest[coloured + 1..] } else { rest };
    let chained =
        super::foundation_line::begins_chain(behind, house) || begins_in_ring(behind, house) || skips_to_join(behind);
    let begins = headed || !dash && (chained || super::as_part::begins(rest)) && !is_heading(toks, text, house);
    if named && plain && !begins && !dash && from == 0 {
        return named_at(toks, text, house, mark + 1);
    }
    (named && plain && begins).then_some(mark + 1)
}

/// "Petals: 2 sc in each sc around. Fasten off." below other work: a round whose heading is its label. What defines a
/// stitch goes round nothing and ends nothing.
pub(super) fn labelled_round(toks: &[Token], text: &str, house: &House) -> Option<usize> {
    const MOST_WORDS: usize = 3;
    let mark = toks.iter().take(MOST_WORDS + 1).position(|t| t.kind == Kind::Colon).filter(|&k| k > 0)?;
    let plain = |t: &Token| match &t.kind {
        Kind::Word(w) => {
            // "Leaf points: *ch 7, …"
            let limb = words::LIMBS.iter().any(|limb| words::is_or_plural(w, limb)) || w == "leaves";
            (limb || !words::is_of_the_craft(w))
                && !preamble::SECTIONS.contains(&w.as_str())
                && !words::WORKING_WORDS.contains(&w.as_str())
        }
        _ => false,
    };
    let rest = toks.get(mark + 1..)?;
    let rows = super::cut::takes_yarn_for_rows(rest);
    let whole = |t: &Token| {
        rows || matches!(&t.kind, Kind::Word(w) if words::TO_END.contains(&w.as_str()) || matches!(w.as_str(), "join" | "fasten" | "fo" | "turn"))
    };
    let capital = text[toks[0].span.start..].starts_with(char::is_uppercase);
    if !capital || rest.len() > LONGEST_LABELLED || !toks[..mark].iter().all(plain) || is_heading(toks, text, house) {
        return None;
    }
    (rest.iter().any(whole) && (rows || super::ended::tells_work(rest, house))).then_some(mark + 1)
}

/// Tokens of the longest round that a label alone heads.
const LONGEST_LABELLED: usize = 400;

/// "5 sc in magic ring", "join blue in any sc", "using a 10 cm hoop, work 80 dc around the hoop": work that needs no
/// heading but the label before it.
fn begins_in_ring(toks: &[Token], house: &House) -> bool {
    const SOON: usize = 12;
    let mut c = Cursor::new(toks, house);
    if c.eat_any(&["join", "attach"]) {
        let yarn = c.eat("yarn") || c.word(0).is_some_and(|w| words::COLOURS.contains(&w) || w.len() == 1);
        c.at += usize::from(yarn && c.word(0).is_some_and(|w| words::COLOURS.contains(&w) || w.len() == 1));
        let _ = c.eat("with") && c.stitch().is_some();
        return c.eat_any(words::INTO) && c.place().is_some();
    }
    if c.eat_any(&["using", "with", "on"]) {
        while c.at < SOON && !matches!(c.kind(0), None | Some(Kind::Comma | Kind::Stop)) {
            c.at += 1;
        }
        let _ = c.eat_kind(&Kind::Comma);
    }
    // "Heart: mr, ch 2, 3 tr, …"
    if c.word(0) == Some("mr") && c.kind(1) == Some(&Kind::Comma) {
        return true;
    }
    let _ = c.eat_any(&["work", "make"]);
    let counted = c.number().is_some() && c.stitch().is_some();
    let mut ahead = c.clone();
    counted && (c.round_hoop().is_some() || ahead.place().is_some_and(|w| w.target == Target::Ring))
}

/// "Second earflap: Skip next 16 sc. Join yarn to next sc. 1st row: …".
pub(super) fn skips_to_join(toks: &[Token]) -> bool {
    const SOON: usize = 12;
    let word = |t: &Token, list: &[&str]| matches!(&t.kind, Kind::Word(w) if list.contains(&w.as_str()));
    toks.first().is_some_and(|t| word(t, words::SKIP))
        && toks.iter().take(SOON).any(|t| word(t, &["join", "rejoin", "attach"]))
}

pub(super) fn is_heading(toks: &[Token], text: &str, house: &House) -> bool {
    heading(&mut Cursor::new(toks, house), text).is_some()
}

/// A heading that names a row or round, not "Edging:" alone.
fn is_numbered(toks: &[Token], text: &str, house: &House) -> bool {
    let lists_rows = |w: &String| words::ROW.contains(&w.as_str()) || words::ROUND.contains(&w.as_str());
    heading(&mut Cursor::new(toks, house), text).is_some_and(|h| {
        toks.iter().take_while(|t| t.span.start < h.span.end).any(|t| matches!(&t.kind, Kind::Word(w) if lists_rows(w)))
    })
}
