//! Words for some sizes only: "Size M only:", "Sizes L and XL only: 8th rnd: …", "All sizes:".

use super::lex::{Kind, Token};
use super::size_names::names_at;
use super::sizes::{Sizes, word};

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

/// For which sizes the line in hand is, as labels come and go.
#[derive(Debug, Default)]
pub(super) struct Branch {
    /// Sizes of the label that holds; none where all.
    active: Option<Vec<usize>>,
    /// True where the label stood before a row on one line and no "all sizes" ends it.
    this_row_only: bool,
}

impl Branch {
    /// A label begins; `ends` is true where a later "all sizes" closes it, `alone` where it has a line of its own.
    pub fn begin(&mut self, label: &Label, sizes: &Sizes, alone: bool, ends: bool) {
        let all = label.sizes.len() == sizes.count();
        self.active = (!all).then(|| label.sizes.clone());
        self.this_row_only = !alone && !ends;
    }

    /// A new heading, part or paragraph comes without a label.
    pub fn next_row(&mut self) {
        if self.this_row_only {
            self.active = None;
        }
    }

    /// A new part is for all sizes.
    pub fn next_part(&mut self) {
        self.active = None;
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
