//! What a pattern defines: its special stitches, and the abbreviations it lists.

use super::Piece;
use crate::source::Span;

/// A name and what it means.
pub(super) struct Defined {
    /// Lower case.
    pub name: String,
    /// A special stitch as it is worked, an abbreviation in the words it stands for.
    pub meaning: String,
    pub span: Span,
}

/// Everything a pattern defines, special stitches first.
pub(super) fn defined(piece: &Piece<'_>) -> Vec<Defined> {
    let mut found: Vec<Defined> = Vec::new();
    // what the settings define has no line in the pattern
    for special in piece.tree.specials.iter().filter(|s| !s.span.is_empty()) {
        let steps: Vec<String> = special.steps.iter().map(ToString::to_string).collect();
        let name = special.names.first().cloned().unwrap_or_default();
        found.push(Defined { name, meaning: steps.join(", "), span: special.span });
    }
    for one in listed(piece) {
        if !found.iter().any(|f| f.name == one.name) {
            found.push(one);
        }
    }
    found
}

/// Entries of the list headed "Abbreviations": "sc = single crochet", one a line or several.
fn listed(piece: &Piece<'_>) -> Vec<Defined> {
    let mut found = Vec::new();
    let mut end = None;
    for note in &piece.tree.notes {
        let headed = note.text.trim_start_matches(['#', '*', ' ']).to_lowercase().starts_with("abbreviation");
        // a blank line ends the list
        let follows = end.is_some_and(|end: usize| {
            let between = piece.text.get(end..note.span.start).unwrap_or("\n\n");
            between.bytes().filter(|&b| b == b'\n').count() == 1
        });
        if !headed && !follows {
            end = None;
            continue;
        }
        end = Some(note.span.end);
        let words = match (headed, note.text.split_once(':')) {
            (true, Some((_, rest))) => rest,
            (true, None) => continue,
            (false, _) => note.text.as_str(),
        };
        for entry in words.split([',', ';']) {
            let Some((name, meaning)) = entry.split_once('=').or_else(|| entry.split_once(':')) else { continue };
            let tidy = |t: &str| t.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
            let (name, meaning) = (tidy(name), tidy(meaning.trim_end_matches('.')));
            if !name.is_empty() && !meaning.is_empty() {
                found.push(Defined { name, meaning, span: note.span });
            }
        }
    }
    found
}
