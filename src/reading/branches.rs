//! Words for some sizes only: "Size M only:", "Sizes L and XL only: 8th rnd: …", "All sizes:".

use super::lex::{Kind, Token, tokens as lexed};
use super::size_names::names_at;
use super::sizes::{Sizes, word};
use super::words;

/// A label that says for which sizes the words behind it are.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Label {
    /// Sizes by their place; all of them for "all sizes".
    pub sizes: Vec<usize>,
    /// The token behind the label.
    pub end: usize,
}

/// A label at the start of a line.
pub(super) fn label(tokens: &[Token], sizes: &Sizes) -> Option<Label> {
    if sizes.count() < 2 {
        return None;
    }
    let mut at = 0;
    let bracket = matches!(tokens.first().map(|t| &t.kind), Some(Kind::Open(_)));
    at += usize::from(bracket);
    at += usize::from(word(tokens.get(at)) == Some("for"));
    if word(tokens.get(at)) == Some("all") && matches!(word(tokens.get(at + 1)), Some("sizes" | "versions")) {
        let end = behind_mark(tokens, at + 2, bracket)?;
        return Some(Label { sizes: (0..sizes.count()).collect(), end });
    }
    let led = matches!(word(tokens.get(at)), Some("size" | "sizes"));
    at += usize::from(led);
    let (names, mut end) = names_at(tokens, at)?;
    let follows = matches!(word(tokens.get(end)), Some("size" | "sizes" | "version" | "versions"));
    end += usize::from(follows);
    let only = word(tokens.get(end)) == Some("only");
    end += usize::from(only);
    // "S: …" may be anything; "Size S:" and "S only:" may not
    if !(only || led || follows) {
        return None;
    }
    let found: Option<Vec<usize>> = names.iter().map(|n| sizes.index_of(n)).collect();
    let end = behind_mark(tokens, end, bracket)?;
    Some(Label { sizes: found?, end })
}

/// The token behind the colon or stop of a label, or behind its last word where it stands alone.
fn behind_mark(tokens: &[Token], mut end: usize, bracket: bool) -> Option<usize> {
    let closed = matches!(tokens.get(end).map(|t| &t.kind), Some(Kind::Close(_)));
    if bracket != closed {
        return None;
    }
    end += usize::from(closed);
    match tokens.get(end).map(|t| &t.kind) {
        None => Some(end),
        Some(Kind::Colon | Kind::Stop | Kind::Comma | Kind::Dash) => Some(end + 1),
        Some(Kind::Open(_)) if !bracket => None,
        _ if bracket => Some(end),
        _ => None,
    }
}

/// "skip to Rnd 7", "go on to Row 5", "proceed with rnd 9" behind a label: the row these words lead to.
fn leads_to(tokens: &[Token]) -> Option<u32> {
    const GOES: &[&str] =
        &["skip", "go", "proceed", "continue", "move", "jump", "now", "directly", "straight", "ahead", "on"];
    let mut at = 0;
    while word(tokens.get(at)).is_some_and(|w| GOES.contains(&w)) {
        at += 1;
    }
    if at == 0 || !matches!(word(tokens.get(at)), Some("to" | "with" | "from")) {
        return None;
    }
    let (n, end) = row_number(tokens, at + 1)?;
    tokens[end..].iter().all(|t| t.kind == Kind::Stop).then_some(n)
}

/// "Rnd 7", "7th row" at a token: its number, and the token behind.
fn row_number(tokens: &[Token], at: usize) -> Option<(u32, usize)> {
    let named = |k: usize| {
        word(tokens.get(k)).is_some_and(|w| words::ROW.contains(&w) || words::ROUND.contains(&w) || w == "r")
    };
    match (tokens.get(at).map(|t| &t.kind), tokens.get(at + 1).map(|t| &t.kind)) {
        (Some(Kind::Ordinal(n)), _) if named(at + 1) => Some((*n, at + 2)),
        (_, Some(Kind::Number(n))) if named(at) => Some((*n, at + 2)),
        _ => None,
    }
}

/// For which sizes the line in hand is, as labels come and go.
#[derive(Debug, Default)]
pub(super) struct Branch {
    /// Sizes of the label that holds; none where all.
    active: Option<Vec<usize>>,
    /// True where the label stood before a row on one line and no "all sizes" ends it.
    this_row_only: bool,
    /// The number of the row that the size in hand goes on with, leaving out those before it.
    goes_on_at: Option<u32>,
}

impl Branch {
    /// A label begins; `ends` is true where a later "all sizes" closes it, `alone` where it has a line of its own.
    pub fn begin(&mut self, label: &Label, sizes: &Sizes, alone: bool, ends: bool) {
        let all = label.sizes.len() == sizes.count();
        self.active = (!all).then(|| label.sizes.clone());
        self.this_row_only = !alone && !ends;
    }

    /// True where the words behind a label only lead some sizes to a later row, which is among the lines `after` them.
    pub fn leads_on(&mut self, tokens: &[Token], after: &str, sizes: &Sizes) -> bool {
        const MOST_LINES: usize = 60;
        let Some(n) = leads_to(tokens) else { return false };
        let begins = |line: &str| {
            row_number(&lexed(line.get(..line.floor_char_boundary(40)).unwrap_or_default(), 0), 0)
                .is_some_and(|(k, _)| k == n)
        };
        if !after.lines().take(MOST_LINES).any(begins) {
            return false;
        }
        if self.holds(sizes) {
            self.goes_on_at = Some(n);
        }
        self.active = None;
        true
    }

    /// True where the size in hand leaves the line out on its way to a later row.
    pub fn left_out(&mut self, tokens: &[Token]) -> bool {
        let Some(n) = self.goes_on_at else { return false };
        if row_number(tokens, 0).is_some_and(|(k, _)| k >= n) {
            self.goes_on_at = None;
        }
        self.goes_on_at.is_some()
    }

    /// A new heading, part or paragraph comes without a label.
    pub fn next_row(&mut self) {
        if self.this_row_only {
            self.active = None;
        }
    }

    /// A new part is for all sizes.
    pub fn next_part(&mut self) {
        (self.active, self.goes_on_at) = (None, None);
    }

    /// Sizes the line in hand is for; empty for all.
    pub fn active(&self) -> Vec<usize> {
        self.active.clone().unwrap_or_default()
    }

    /// True where the size in hand works the line in hand.
    pub fn holds(&self, sizes: &Sizes) -> bool {
        self.active.as_ref().is_none_or(|a| a.contains(&sizes.chosen))
    }
}

/// The next label of sizes behind a place, kept until it is passed.
#[derive(Default)]
pub(super) struct Later {
    /// Where its line begins, and whether it says "all sizes".
    next: Option<(usize, bool)>,
}

impl Later {
    /// True where a line behind this place says "all sizes", before the next label that does not.
    pub fn all_sizes(&mut self, text: &str, offset: usize, sizes: &Sizes) -> bool {
        if let Some((_, all)) = self.next.filter(|&(at, _)| at >= offset) {
            return all;
        }
        let mut at = offset;
        let found = text[offset..].split_inclusive('\n').find_map(|line| {
            at += line.len();
            let opening = line.get(..line.floor_char_boundary(120))?;
            let label = label(&lexed(opening, 0), sizes)?;
            Some((at - line.len(), label.sizes.len() == sizes.count()))
        });
        self.next = Some(found.unwrap_or((usize::MAX, false)));
        self.next.is_some_and(|(_, all)| all)
    }
}
