//! Words for the left hand: edges and directions change sides, the right side of the work stays what it is.

/// Words behind "left" or "right" that name an edge or a direction.
const EDGES: &[&str] = &["edge", "edges", "hand", "end", "corner", "corners", "margin"];

/// The words turned for a left-handed worker: "from right to left" becomes "from left to right", "the left edge" the
/// right one, clockwise the other way round. "Right side" (of the fabric) and stitches that are "left" stay.
pub(super) fn turned(words: &str) -> String {
    let tokens = cut(words);
    let word = |k: usize| tokens.get(k).map(|t| t.to_lowercase()).unwrap_or_default();
    let mut out = String::with_capacity(words.len());
    for (k, token) in tokens.iter().enumerate() {
        let lower = token.to_lowercase();
        let before = if k >= 2 { word(k - 2) } else { String::new() };
        let further = if k >= 4 { word(k - 4) } else { String::new() };
        let after = word(k + 2);
        let edge = EDGES.contains(&after.as_str());
        let direction = matches!(before.as_str(), "to" | "from")
            || before == "the" && further == "to"
            || matches!(after.as_str(), "to");
        let direction = direction && !matches!(after.as_str(), "side" | "sides" | "st" | "sts" | "stitch" | "stitches");
        let new = match lower.as_str() {
            "left" if edge || direction => "right",
            "right" if edge || direction => "left",
            "clockwise" if before == "counter" || before == "anti" => {
                // "counter-clockwise": the word before it goes
                let cut = out.len() - before.len() - 1;
                out.truncate(cut);
                "clockwise"
            }
            "clockwise" => "counterclockwise",
            "counterclockwise" | "anticlockwise" => "clockwise",
            _ => {
                out.push_str(token);
                continue;
            }
        };
        let capital = token.starts_with(char::is_uppercase);
        let mut chars = new.chars();
        match chars.next() {
            Some(c) if capital => out.extend(c.to_uppercase().chain(chars)),
            _ => out.push_str(new),
        }
    }
    out
}

/// Words, and what stands between them.
fn cut(text: &str) -> Vec<&str> {
    let mut found = Vec::new();
    let mut rest = text;
    while let Some(first) = rest.chars().next() {
        let wordy = first.is_alphanumeric();
        let end = rest.find(|c: char| c.is_alphanumeric() != wordy).unwrap_or(rest.len());
        found.push(&rest[..end]);
        rest = &rest[end..];
    }
    found
}

#[cfg(test)]
mod tests {
    use super::turned;

    #[test]
    fn edges_and_directions_change_sides_and_the_right_side_stays() {
        for (right, left) in [
            ("Work from right to left along the left edge.", "Work from left to right along the right edge."),
            (
                "With the right side facing, join B at the right-hand corner.",
                "With the right side facing, join B at the left-hand corner.",
            ),
            ("Leave the 2 sts left.", "Leave the 2 sts left."),
            ("Go round clockwise.", "Go round counterclockwise."),
            ("Turn it counter-clockwise.", "Turn it clockwise."),
            ("Sew it to the left of the stem.", "Sew it to the right of the stem."),
            ("With right sides together.", "With right sides together."),
        ] {
            assert_eq!(turned(right), left);
        }
    }
}
