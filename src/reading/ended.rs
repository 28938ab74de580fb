//! What stands on a line of its own behind a row that is over: it says nothing of that row.

use super::cursor::{Cursor, House};
use super::lex::{Kind, Token};
use super::phrase::{RowReader, Run};
use super::words;
use crate::craft::{Stem, StitchForm};
use crate::instructions::{Act, Step, Target};

/// True where a line ends with the yarn cut and all that follows from it: "Fasten off.", "Fasten off. Weave in ends."
pub(super) fn is_over(toks: &[Token]) -> bool {
    let Some(last) = toks.last() else { return false };
    let off = toks.windows(2).rposition(|w| {
        matches!((&w[0].kind, &w[1].kind), (Kind::Word(verb), Kind::Word(off))
            if matches!(verb.as_str(), "fasten" | "finish" | "break" | "end") && off == "off")
    });
    let not = |t: &Token| matches!(&t.kind, Kind::Word(w) if w == "not");
    matches!(last.kind, Kind::Stop)
        && off.is_some_and(|k| !toks[..k].last().is_some_and(not) && toks[k..].len() <= LONGEST_ENDING)
}

/// Words behind a cut yarn that still speak of it: "leaving a long tail for sewing", "weave in all ends".
const LONGEST_ENDING: usize = 24;

/// True where a line ends with the count of its stitches: "… across. (10 sc)".
pub(super) fn is_counted(toks: &[Token]) -> bool {
    let (toks, stopped) = match toks.split_last() {
        Some((Token { kind: Kind::Stop, .. }, before)) => (before, true),
        _ => (toks, false),
    };
    if let [.., mark, Token { kind: Kind::Number(_), .. }, what] = toks
        && matches!(mark.kind, Kind::Stop | Kind::Dash)
        && (is_stitch_word(what) || names_stitch(what))
    {
        // "Join. 12 sc."
        return true;
    }
    let Some((Token { kind: Kind::Close(_), .. }, before)) = toks.split_last() else { return false };
    let open = before.iter().rposition(|t| matches!(t.kind, Kind::Open(_)));
    let ends = |t: &Token| t.kind == Kind::Stop || matches!(&t.kind, Kind::Word(w) if w == "turn");
    open.is_some_and(|k| {
        // "6 sc in magic ring [6]": a number alone is a count, whatever it stands behind
        let alone = before.len() == k + 2 || before.len() == k + 3 && is_stitch_word(&before[k + 2]);
        (stopped || alone || toks[..k].last().is_some_and(ends))
            && matches!(before.get(k + 1).map(|t| &t.kind), Some(Kind::Number(_)))
            && (1..=LONGEST_COUNT).contains(&(before.len() - k - 1))
    })
}

fn names_stitch(token: &Token) -> bool {
    matches!(&token.kind, Kind::Word(w) if words::STITCHES_BY_LETTER.begun_by(w).iter().any(|n| n.words == [w.as_str()]))
}

fn is_stitch_word(token: &Token) -> bool {
    matches!(&token.kind, Kind::Word(w) if words::STITCH.contains(&w.as_str()))
}

/// Tokens of "12 dc, 4 ch-2 sps".
const LONGEST_COUNT: usize = 9;

/// True where a line behind a row that has been counted works on: "Do not turn. Rotate work, sc in end of each row."
pub(super) fn goes_on(toks: &[Token], text: &str, house: &House) -> bool {
    begins_with_capital(toks, text) && whole_line(toks, text, house).is_some_and(|steps| steps.iter().any(works_on))
}

/// True where a line behind a row that is over works on, or only goes to where the next begins: "Skip center 9 sc. Join A
/// with sl st to next sc."
pub(super) fn goes_on_or_ties_on(toks: &[Token], text: &str, house: &House) -> bool {
    let skips = |s: &Step| matches!(s.act, Act::SkipFirst { .. } | Act::Skip { .. });
    let steps = whole_line(toks, text, house).unwrap_or_default();
    begins_with_capital(toks, text) && steps.iter().any(works_on)
        || steps.iter().any(skips) && goes_to_where_it_is_tied_on(&steps)
}

/// True for a step that works stitches of a row of its own.
fn works_on(step: &Step) -> bool {
    let slip = StitchForm::plain(Stem::SlipStitch);
    match &step.act {
        // "sl st evenly along the straight edge" is a row of its own; "sl st in next st" ends the one before
        Act::Work { form, at, .. } => *form != slip || matches!(at, Target::Evenly { .. }),
        Act::Group { .. } | Act::Repeat { .. } | Act::Shape { .. } => true,
        _ => false,
    }
}

/// True where steps go to a place, tie the yarn on there and do no more.
pub(super) fn goes_to_where_it_is_tied_on(steps: &[Step]) -> bool {
    let goes = |s: &Step| {
        matches!(
            s.act,
            Act::With { .. }
                | Act::OfRow { .. }
                | Act::SkipFirst { .. }
                | Act::Skip { .. }
                | Act::Attach { at: Some(_), .. }
        )
    };
    steps.iter().all(goes) && matches!(steps.last().map(|s| &s.act), Some(Act::Attach { .. }))
}

/// True where a paragraph among the rows is work from first to last, however it opens: "Hold both pieces together and,
/// working through both layers, sc in each st around."
pub(super) fn works_whole(toks: &[Token], text: &str, house: &House) -> bool {
    toks.len() <= LONGEST_PARAGRAPH && tells_work(toks, house) && goes_on(toks, text, house)
}

/// Tokens of the longest paragraph that is looked through for work.
const LONGEST_PARAGRAPH: usize = 160;

/// The steps of a line read for itself; none where some of its words are not understood.
fn whole_line(toks: &[Token], text: &str, house: &House) -> Option<Vec<Step>> {
    let mut reader = RowReader::new(Cursor::new(toks, house), text);
    let steps = reader.steps();
    (!reader.unread && reader.c.done()).then_some(steps)
}

/// True where a line begins as a sentence does.
pub(super) fn begins_with_capital(toks: &[Token], text: &str) -> bool {
    toks.first().is_some_and(|t| text[t.span.start..].starts_with(char::is_uppercase))
}

/// True where a line cannot be taken as the end of a row before it: some of its words would not be understood there.
pub(super) fn stands_alone(toks: &[Token], text: &str, house: &House) -> bool {
    begins_with_capital(toks, text) && whole_line(toks, text, house).is_none()
}

/// True where a line names a stitch and a number or a place for it.
pub(super) fn tells_work(toks: &[Token], house: &House) -> bool {
    let mut c = Cursor::new(toks, house);
    while !c.done() {
        let before = c.at;
        let numbered = before > 0 && matches!(toks[before - 1].kind, Kind::Number(_));
        if c.stitch().is_some() {
            if numbered || c.place().is_some() || c.number().is_some() {
                return true;
            }
        } else {
            c.at = before + 1;
        }
    }
    false
}

/// "Repeat rows 2 and 3 four more times", "Rep last row until …", "Work even until 12 rows": rows of their own.
pub(super) fn begins_again(toks: &[Token], text: &str, house: &House) -> bool {
    if begins_with_capital(toks, text) && (Cursor::new(toks, house).shapes_ends() || super::as_part::begins(toks)) {
        return true;
    }
    let word = toks.first().map(|t| &t.kind);
    let led = matches!(word, Some(Kind::Word(w)) if words::REPEAT.contains(&w.as_str())
        || matches!(w.as_str(), "work" | "cont" | "continue" | "keep" | "working" | "continuing" | "alternate" | "repeating")
        || matches!(w.as_str(), "last" | "these" | "previous" | "prev" | "the")
        || words::ROW.contains(&w.as_str()))
        || matches!(word, Some(Kind::Ordinal(_)));
    if !led {
        return false;
    }
    if begins_with_capital(toks, text) && super::stitch_patterns::begins(toks) {
        return true;
    }
    let mut reader = RowReader::new(Cursor::new(toks, house), text);
    let mut run = Run::default();
    if reader.row_again(&mut run) {
        return !run.steps.is_empty();
    }
    reader.c.at = 0;
    reader.work_even(&mut run)
}
