//! Colours told stitch by stitch: "3 sc A, 1 sc B", "(MC) sc 4, (CC) sc 7", "3 MC, 9 CC", "sc 2 in A, inc in B".

use super::lex::Kind;
use super::phrase::{RowReader, Run};
use crate::instructions::{Act, Class, Step, Target};

impl RowReader<'_> {
    /// A yarn by its letters at a token: "MC", "B"; not the article, nor the letter of a times sign.
    fn yarn_letters(&self, at: usize) -> Option<String> {
        let word = self.c.word_at(at)?;
        let span = self.c.tokens[at].span;
        let capital = self.text[span.start..span.end].chars().all(char::is_uppercase);
        let listed = self.c.house.yarns.iter().any(|y| y == word);
        let letter = word.len() == 1 && ('a'..='h').contains(&word.chars().next().unwrap_or('x'));
        (capital && (matches!(word, "mc" | "cc") || letter || listed && word.len() <= 3)).then(|| word.to_uppercase())
    }

    /// True where nothing that belongs to the yarn stands at a token.
    fn parts_at(&self, at: usize) -> bool {
        matches!(
            self.c.kind_at(at),
            None | Some(Kind::Comma | Kind::Stop | Kind::Semicolon | Kind::Close(_) | Kind::Star(_) | Kind::Open(_))
        )
    }

    /// "(MC)" in front of stitches.
    pub(super) fn yarn_in_brackets(&mut self, open: usize, close: usize, run: &mut Run) -> bool {
        let Some(yarn) = self.yarn_letters(open + 1).filter(|_| close == open + 2) else { return false };
        self.c.at = close + 1;
        let _ = self.c.eat_kind(&Kind::Colon);
        let works = self.c.counts_stitches() || self.c.clone().stitch().is_some();
        if !works {
            self.c.at = open;
            return false;
        }
        self.push(run, open, Act::With { yarn })
    }

    /// "9 CC": so many of the row's usual stitch in a yarn.
    pub(super) fn so_many_in_yarn(&mut self, run: &mut Run) -> bool {
        let start = self.c.at;
        let Some(n) = self.c.number().filter(|&n| n > 0) else { return false };
        let Some(yarn) = self.yarn_letters(self.c.at).filter(|_| self.parts_at(self.c.at + 1)) else {
            self.c.at = start;
            return false;
        };
        self.c.at += 1;
        self.push(run, start, Act::With { yarn });
        let form = self.c.usual_form();
        self.push(run, start, Act::Work { each: 1, form, at: Target::Next { n, class: Class::Any } })
    }

    /// "A", "in B" behind a stitch: what it is worked in.
    pub(super) fn yarn_behind(&mut self, run: &mut Run) {
        let at = self.c.at + usize::from(self.c.word(0) == Some("in"));
        if !self.parts_at(at + 1) {
            return;
        }
        if let (Some(yarn), Some(last)) = (self.yarn_letters(at), run.steps.last())
            && matches!(last.act, Act::Work { .. })
        {
            let span = last.span;
            run.steps.insert(run.steps.len() - 1, Step { act: Act::With { yarn }, span });
            self.c.at = at + 1;
        }
    }
}
