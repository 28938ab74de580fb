//! What has to be said where small parts, cords or loops are made.

use super::sections::{Sections, is_caution};

/// Words of things that come off and can be swallowed.
const SMALL: &[&str] = &["eye", "eyes", "bead", "beads", "button", "buttons", "pompom", "pom-pom", "bell", "magnet"];
/// Words of things that go round a neck.
const CORDS: &[&str] =
    &["cord", "cords", "string", "garland", "bunting", "mobile", "strap", "ties", "drawstring", "hanging", "ribbon"];
/// Words of things made for small children.
const BABY: &[&str] =
    &["baby", "babies", "toddler", "toddlers", "toy", "toys", "rattle", "pacifier", "dummy", "cot", "crib", "pram"];

/// The lines of caution: the pattern's own where it has any, else ours where they apply.
///
/// Which rules hold is not ours to say: the lines send to those of the place.
pub(super) fn lines(sections: &Sections, text: &str) -> Vec<String> {
    if !sections.caution.is_empty() || is_caution(text) {
        return sections.caution.clone();
    }
    let lower = text.to_lowercase();
    let has = |list: &[&str]| lower.split(|c: char| !c.is_alphanumeric() && c != '-').any(|w| list.contains(&w));
    let mut found = Vec::new();
    let (small, cords, baby) = (has(SMALL), has(CORDS), has(BABY));
    if small || baby {
        found.push("Small parts can come off and be swallowed. For a baby or a small child, embroider them instead or sew them down all round, and look them over before each use.".to_owned());
    }
    if cords {
        found.push(
            "Cords, strings and loops can wind round a neck. Keep them short and out of reach of small children."
                .to_owned(),
        );
    }
    if !found.is_empty() {
        found.push(
            "Follow the safety rules of the place where you live; what is made for sale may have to be tested.".into(),
        );
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn caution_is_said_where_it_applies_and_the_patterns_own_comes_first() {
        let none = Sections::default();
        assert!(lines(&none, "Coaster\nCh 4.").is_empty());
        assert_eq!(lines(&none, "Bee for a baby, with bead eyes").len(), 2);
        assert_eq!(lines(&none, "A garland of leaves").len(), 2);
        let own = Sections { caution: vec!["Small pieces can be swallowed.".into()], ..Sections::default() };
        assert_eq!(lines(&own, "A garland with beads"), ["Small pieces can be swallowed."]);
    }
}
