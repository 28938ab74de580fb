//! Places that words ask for and that are not there.

use super::edge::What;
use super::row::RowWork;
use crate::instructions::Class;
use crate::source::{Code, Problem, Span};

impl RowWork<'_> {
    pub(super) fn missing_class(&mut self, class: &Class, span: Span) -> bool {
        let class = &self.edge.searched(class);
        if self.edge.ahead(class) > 0 || self.edge.spots.iter().any(|s| s.is(class)) {
            return false;
        }
        let mut lengths: Vec<(u32, usize)> = Vec::new();
        for spot in &self.edge.spots {
            if let What::Space(n, _) = spot.what {
                match lengths.iter_mut().find(|(l, _)| *l == n) {
                    Some((_, many)) => *many += 1,
                    None => lengths.push((n, 1)),
                }
            }
        }
        let below = self.below();
        let message = format!("there is no {} to work in: {below} made {}", class.words(1), spaces_words(&lengths));
        let mut problem = Problem::new(Code::NoSuchPlace, span, message);
        if let Some((n, _)) = lengths.first() {
            problem = problem.with_hint(format!("did you mean \"next ch-{n} sp\"?"));
        }
        self.bench.problems.push(problem);
        self.stopped = true;
        true
    }

    pub(super) fn no_place(&mut self, span: Span, message: &str) {
        self.bench.problems.push(Problem::new(Code::NoSuchPlace, span, message));
        self.stopped = true;
    }

    /// Notes that the edge ran out at these words.
    pub fn run_out(&mut self, span: Span, n: usize) {
        self.tally.ran_out.get_or_insert(span);
        *self.tally.used.get_or_insert(0) += n;
    }
}

fn spaces_words(lengths: &[(u32, usize)]) -> String {
    if lengths.is_empty() {
        return "no ch sps".into();
    }
    let all: Vec<String> =
        lengths.iter().map(|(n, many)| format!("{many} ch-{n} sp{}", if *many == 1 { "" } else { "s" })).collect();
    all.join(" and ")
}
