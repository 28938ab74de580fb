//! Lines that hold a foundation chain or a ring: "With A, ch 10.", "Beg at tip of acorn, ch 2.".

use super::any_chain::any_length;
use super::cursor::{Cursor, House};
use super::lex::{Kind, Token};
use super::words;
use crate::instructions::{Act, RowKind};

/// "With A, ch 10.", "Ch 79 (multiple of 6 ch + 7)", "Holding 2 strands together, ch 12", "Make a magic ring".
pub(super) fn begins_chain(toks: &[Token], house: &House) -> bool {
    if led_ring(toks) {
        return true;
    }
    let mut c = Cursor::new(toks, house);
    c.at += usize::from(matches!(c.kind(0), Some(Kind::Star(2..))));
    let _ = super::lead::lead(&mut c);
    if let Some(at) = lead_of_chain(toks) {
        c.at = at;
    } else if c.eat_any(&["with", "using", "holding"]) {
        while !c.done() && !matches!(c.kind(0), Some(Kind::Comma | Kind::Stop | Kind::Colon)) && c.at < 12 {
            if super::lead::chain_of(&c) {
                // "With A ch 10."
                return true;
            }
            if matches!(c.word(0), Some("make" | "work")) {
                // "With 4 mm hook make 61ch."
                let mut ahead = c.clone();
                ahead.at += 1;
                if ahead.number().is_some() && ahead.eat_any(words::CHAIN) && goes_on(&ahead) {
                    return true;
                }
            }
            c.at += 1;
        }
        if !(c.eat_kind(&Kind::Comma) || c.eat_kind(&Kind::Colon)) {
            return false;
        }
        // "With A, leaving a long end, ch 10"
        while c.eat_any(&["leaving", "and", "with", "using", "holding"]) {
            while !c.done() && !matches!(c.kind(0), Some(Kind::Comma | Kind::Stop)) && c.at < 30 {
                c.at += 1;
            }
            let _ = c.eat_kind(&Kind::Comma);
        }
    }
    if super::foundation_stitches::begins(&toks[c.at.min(toks.len())..], house) {
        return true;
    }
    if super::hoops::wound(&mut c.clone()) {
        return true;
    }
    if c.eat_all(&["in", "mr"]) {
        return true;
    }
    let _ = c.eat_any(&["make", "start", "begin", "work", "commence", "commencing"]);
    let _ = c.eat("with");
    let _ = c.eat_any(&["a", "an", "any"]);
    if c.eat_any(&["loop", "ring", "circle"]) {
        // "Make a loop with 4 ch, ss in first ch."
        return c.eat_any(&["with", "of"]) && c.number().is_some() && c.eat_any(words::CHAIN);
    }
    if c.eat_any(words::ABOUT) {
        // "Work approximately 17 ch - adjust it to 12 cm."
        return c.number().is_some() && c.eat_any(words::CHAIN);
    }
    if c.eat_any(&["magic", "adjustable"]) {
        return c.eat_any(&["ring", "circle", "loop"]);
    }
    if any_length(&mut c.clone()) || super::any_chain::sample_length(&mut c).is_some() {
        return true;
    }
    if let Some(_n) = c.number() {
        return c.eat_any(words::CHAIN) && (goes_on(&c) || c.added_turning().is_some());
    }
    if !c.eat_any(words::CHAIN) {
        return false;
    }
    let _ = c.eat_kind(&Kind::Dash) || c.eat_kind(&Kind::Times) || c.eat("x") || c.eat("of");
    c.number().is_some()
        && (c.at_break()
            || c.added_turning().is_some()
            || matches!(c.kind(0), Some(Kind::Open(_)))
            || matches!(c.word(0), Some("loosely" | "and" | "join" | "with" | "using" | "for" | "leaving" | "or")))
}

/// "In white, working into magic ring, 6 dc.": a lead, the ring, and what goes into it.
fn led_ring(toks: &[Token]) -> bool {
    let led = |t: &Token| matches!(&t.kind, Kind::Word(w) if CHAIN_LEADS.contains(&w.as_str()) || w == "working");
    let word = |t: &Token, list: &[&str]| matches!(&t.kind, Kind::Word(w) if list.contains(&w.as_str()));
    let near = &toks[..toks.len().min(LONGEST_LEAD)];
    let sentence = near.iter().position(|t| t.kind == Kind::Stop).unwrap_or(near.len());
    toks.first().is_some_and(led)
        && near[..sentence]
            .windows(2)
            .any(|w| word(&w[0], &["magic", "adjustable"]) && word(&w[1], &["ring", "circle", "loop"]))
}

/// "Beg at tip of acorn, ch 2", "With A - the paler strand, ch 2": where the chain begins behind a lead that holds no
/// stitch.
fn lead_of_chain(toks: &[Token]) -> Option<usize> {
    let led = matches!(&toks.first()?.kind, Kind::Word(w) if CHAIN_LEADS.contains(&w.as_str()));
    if !led {
        return None;
    }
    let at =
        (1..toks.len().min(LONGEST_LEAD)).find(|&k| toks[k - 1].kind == Kind::Comma && ends_in_chain(&toks[k..]))?;
    let number = |k: usize| matches!(toks.get(k).map(|t| &t.kind), Some(Kind::Number(_)));
    let works = |k: usize| match &toks[k].kind {
        Kind::Word(w) => words::CHAIN.contains(&w.as_str()) || words::STITCHES.iter().any(|n| n.words == [w.as_str()]),
        // the point of "30.5 cm" ends nothing
        Kind::Stop => !(k > 0 && number(k - 1) && number(k + 1)),
        _ => false,
    };
    (!(0..at).any(works)).then_some(at)
}

/// "ch 12", "make 12 ch", with nothing behind it in its phrase.
fn ends_in_chain(toks: &[Token]) -> bool {
    let kind = |k: usize| toks.get(k).map(|t| &t.kind);
    let made = usize::from(matches!(kind(0), Some(Kind::Word(w)) if w == "make" || w == "work"));
    let chain = |k: usize| matches!(kind(k), Some(Kind::Word(w)) if words::CHAIN.contains(&w.as_str()));
    let number = |k: usize| matches!(kind(k), Some(Kind::Number(_)));
    (chain(made) && number(made + 1) || number(made) && chain(made + 1))
        && match kind(made + 2) {
            None | Some(Kind::Stop | Kind::Comma) => true,
            Some(Kind::Word(w)) => GOES_ON.contains(&w.as_str()),
            _ => false,
        }
}

/// Words behind a foundation chain that say what becomes of it: "make 4 ch and join with ss to form a ring".
const GOES_ON: &[&str] = &["and", "join", "joined", "loosely", "then"];

fn goes_on(c: &Cursor<'_>) -> bool {
    c.at_break() || c.word(0).is_some_and(|w| GOES_ON.contains(&w))
}

/// Words that a line with a foundation chain in it begins with.
const CHAIN_LEADS: &[&str] =
    &["with", "using", "holding", "beg", "beginning", "starting", "start", "in", "at", "from", "leaving"];

/// Tokens of the longest lead.
const LONGEST_LEAD: usize = 40;

/// Work without a heading that makes a chain or ring and no stitch is a foundation.
pub(super) fn loose_kind(steps: &[crate::instructions::Step]) -> RowKind {
    let chains = steps.iter().any(|s| matches!(s.act, Act::Chain { .. } | Act::AnyChain | Act::Ring { .. }));
    let works = steps.iter().any(|s| {
        !matches!(
            s.act,
            Act::Chain { .. }
                | Act::AnyChain
                | Act::Ring { .. }
                | Act::With { .. }
                | Act::Join { .. }
                | Act::Turn
                | Act::Counts { .. }
        )
    });
    if chains && !works { RowKind::Foundation } else { RowKind::Loose }
}

/// "Ch florp 6", "Make a magic florp ring": a foundation but for one word that nobody knows. It is work, so that the
/// word is pointed at.
pub(super) fn is_garbled_chain(toks: &[Token], house: &House) -> bool {
    const REACH: usize = 8;
    let strange = |t: &Token| match &t.kind {
        Kind::Word(w) => w.len() > 1 && !super::remarks::is_plain_word(w) && !words::is_of_the_craft(w),
        _ => false,
    };
    let Some(at) = toks.iter().take(REACH).position(strange) else { return false };
    let rest: Vec<Token> = toks[..at].iter().chain(&toks[at + 1..]).take(40).cloned().collect();
    begins_chain(&rest, house)
}
