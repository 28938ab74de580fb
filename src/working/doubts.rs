//! Words that can be worked in more than one way: which way is taken in this try.

use super::row::RowWork;
use crate::source::{Code, Span};

impl RowWork<'_> {
    /// Answers a doubt: the default unless another answer is being tried.
    pub fn doubt(&mut self, span: Span, answers: usize, code: Code) -> usize {
        let k = match self.asked.iter().position(|(s, ..)| *s == span) {
            Some(k) => k,
            None => {
                self.asked.push((span, answers, code));
                self.asked.len() - 1
            }
        };
        self.answers.get(k).copied().unwrap_or_else(|| self.bench.settled_answer(span))
    }

    /// The answer a doubt has now, where it was asked.
    pub(super) fn answer_at(&self, span: Span) -> usize {
        let k = self.asked.iter().position(|(s, ..)| *s == span);
        k.and_then(|k| self.answers.get(k).copied()).unwrap_or_else(|| self.bench.settled_answer(span))
    }
}
