//! A yarn as the words of a row name it: "A", "main color", "mouse grey", "yarn B".

use super::lex::Kind;
use super::phrase::RowReader;
use super::words;

impl RowReader<'_> {
    /// A yarn by its letter or colour: `B`, `yarn B`, `color B`, `MC`, `red`.
    pub(super) fn yarn(&mut self) -> Option<String> {
        let start = self.c.at;
        if let Some(colour) = self.colour_yarn() {
            return Some(colour);
        }
        if let Some(role) = self.yarn_by_role() {
            return Some(role);
        }
        let named = self.c.eat_any(&["yarn", "color", "colour", "shade"]);
        let word = self.c.word(0).unwrap_or_default();
        let listed = self.c.house.yarns.iter().any(|y| y == word);
        let letter =
            word.len() == 1 && word.chars().all(|c| c.is_ascii_alphabetic()) && (word != "a" || self.a_is_a_yarn());
        if listed && (word != "a" || self.a_is_a_yarn()) || letter || matches!(word, "mc" | "cc") {
            self.c.at += 1;
            return Some(word.to_uppercase());
        }
        if named && let Some(Kind::Number(n)) = self.c.kind(0) {
            self.c.at += 1;
            return Some(n.to_string());
        }
        self.c.at = start;
        None
    }

    /// "main color", "contrasting colour", "second color": a yarn by what it is for.
    pub(super) fn yarn_by_role(&mut self) -> Option<String> {
        let start = self.c.at;
        let _ = self.c.eat("the");
        let role = match self.c.word(0)? {
            "main" => "MC",
            "contrast" | "contrasting" => "CC",
            "first" => "A",
            "second" => "B",
            "third" => "C",
            "background" => "MC",
            _ => {
                self.c.at = start;
                return None;
            }
        };
        let alone = self.c.word(0) == Some("contrast");
        self.c.at += 1;
        if self.c.eat_any(&["color", "colour", "yarn", "shade"]) || alone && self.ends_yarn() {
            self.letters_of_role(role);
            return Some(role.to_owned());
        }
        self.c.at = start;
        None
    }

    /// True where nothing stands behind that the word before could belong to: "join contrast.", "with contrast, ch 16".
    fn ends_yarn(&self) -> bool {
        self.c.at_break() || self.c.word(0).is_some_and(|w| words::INTO.contains(&w) || matches!(w, "with" | "and"))
    }

    /// "(MC)" behind "main colour".
    fn letters_of_role(&mut self, role: &str) {
        let letters = self.c.word(1).is_some_and(|w| w.eq_ignore_ascii_case(role) || w.len() == 1);
        if letters && matches!(self.c.kind(0), Some(Kind::Open(_))) && matches!(self.c.kind(2), Some(Kind::Close(_))) {
            self.c.at += 3;
        }
    }

    /// "yellow" of a yarn that is listed by its colour alone, "dark green yarn" of any.
    pub(super) fn colour_yarn(&mut self) -> Option<String> {
        let start = self.c.at;
        let listed = self.c.house.yarns.iter().find(|y| {
            y.len() > 2 && {
                let parts: Vec<&str> = y.split(' ').collect();
                self.c.sees(&parts)
            }
        });
        if let Some(yarn) = listed.cloned() {
            self.c.at += yarn.split(' ').count();
            let _ = self.c.eat("yarn");
            return Some(yarn);
        }
        let mut colour: Vec<&str> = Vec::new();
        // "in mouse grey": a shade of its own
        if let (Some(shade), Some(of)) = (self.c.word(0), self.c.word(1))
            && super::words::COLOURS.contains(&of)
            && super::yarn_names::may_be_yarn(shade)
        {
            colour.push(shade);
            self.c.at += 1;
        }
        while let Some(word) = self.c.word(0).filter(|w| colour.len() < 3 && super::words::COLOURS.contains(w)) {
            colour.push(word);
            self.c.at += 1;
        }
        let led = matches!(
            start.checked_sub(1).and_then(|k| self.c.kind_at(k)),
            Some(Kind::Word(w)) if matches!(w.as_str(), "join" | "attach" | "to" | "in" | "with" | "using" | "break" | "cut" | "drop" | "off" | "rejoin")
        );
        // "change to yellow", and the stuffing on the next line
        let line_ends = |at: usize| {
            at > 0
                && self
                    .c
                    .tokens
                    .get(at)
                    .is_some_and(|t| self.text[self.c.tokens[at - 1].span.end..t.span.start].contains('\n'))
        };
        let ends = self.c.at_break()
            || line_ends(self.c.at)
            || self.c.word(0).is_some_and(|w| words::INTO.contains(&w) || matches!(w, "with" | "and" | "at" | "behind"))
            // "In gold 2 sc in each sc", "in white working into magic ring"
            || matches!(self.c.kind(0), Some(Kind::Open(_) | Kind::Star(_)))
            || self.c.names_a_stem()
            || self.c.counts_stitches()
            || self.c.word(0).is_some_and(|w| matches!(w, "working" | "work" | "attach" | "join" | "make" | "ch"));
        if !colour.is_empty() && (self.c.eat("yarn") || led && ends) {
            return Some(colour.join(" "));
        }
        self.c.at = start;
        None
    }

    /// "with a sl st" speaks of no yarn; "with A," does.
    pub(super) fn a_is_a_yarn(&self) -> bool {
        let mut ahead = self.c.clone();
        ahead.at += 1;
        let capital = self.text[self.c.tokens[self.c.at].span.start..].starts_with('A');
        // "with A sc in next 3": no article has a capital inside a sentence, but where all is in capitals
        let led = self.c.at.checked_sub(1).and_then(|k| self.c.tokens.get(k));
        let small = |t: &super::lex::Token| self.text[t.span.start..t.span.end].starts_with(char::is_lowercase);
        if capital && led.is_some_and(|t| matches!(&t.kind, Kind::Word(w) if w == "with") && small(t)) {
            return true;
        }
        if !capital && !ahead.at_break() {
            return false;
        }
        ahead.stitch().is_none() && !matches!(ahead.word(0), Some("new" | "slip" | "ring"))
            || self.text[self.c.tokens[self.c.at].span.start..].starts_with('A') && ahead.at_break()
    }
}
