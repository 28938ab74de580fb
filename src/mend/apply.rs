//! Edits made in a text.

use crate::source::Edit;

/// The text with edits made; places count from `base`. Edits that overlap one made before them are left out.
pub(super) fn edited(text: &str, edits: &[Edit], base: usize) -> String {
    let mut sorted: Vec<&Edit> = edits.iter().collect();
    sorted.sort_by_key(|e| e.span);
    let mut out = String::with_capacity(text.len());
    let mut at = 0;
    for edit in sorted {
        let (Some(start), Some(end)) = (edit.span.start.checked_sub(base), edit.span.end.checked_sub(base)) else {
            continue;
        };
        if let (true, Some(kept)) = (start <= end && text.is_char_boundary(end), text.get(at..start)) {
            out.push_str(kept);
            out.push_str(&edit.with);
            at = end;
        }
    }
    out.push_str(text.get(at..).unwrap_or(""));
    out
}

/// A text with the edits of a mend made. Every byte they do not name stays as it is.
pub fn apply(text: &str, edits: &[Edit]) -> String {
    edited(text, edits, 0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::Span;

    #[test]
    fn edits_are_made_where_they_say_and_nowhere_else() {
        let edit = |a, b, with: &str| Edit { span: Span::new(a, b), with: with.into() };
        assert_eq!(apply("sc in next 9", &[edit(11, 12, "12"), edit(0, 0, "2 ")]), "2 sc in next 12");
        assert_eq!(apply("½ sc", &[edit(3, 5, "dc")]), "½ dc");
        assert_eq!(apply("sc", &[edit(0, 2, "dc"), edit(1, 2, "x")]), "dc", "the second overlaps");
        assert_eq!(apply("sc", &[edit(5, 9, "dc")]), "sc", "no such place");
    }
}
