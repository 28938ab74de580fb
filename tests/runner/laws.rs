//! What holds of every case, whatever it is about.

use fanwise::face::check_document;
use fanwise::source::Code;
use fanwise::{Pattern, ReadOptions};

/// The laws a pattern breaks.
pub fn broken(text: &str, pattern: &Pattern, options: &ReadOptions) -> Vec<String> {
    let mut faults = Vec::new();
    let mut law = |holds: bool, what: String| {
        if !holds {
            faults.push(what);
        }
    };
    let fabric = pattern.fabric();
    law(fabric.validate().is_ok(), format!("the fabric is not whole: {:?}", fabric.validate().err()));
    for tally in &pattern.worked().tallies {
        let label = &tally.label;
        let kinds: usize = tally.kinds.values().sum();
        law(kinds == tally.made, format!("{label}: its kinds sum to {kinds}, it makes {}", tally.made));
        let words = text.get(tally.span.start..tally.span.end);
        law(words.is_some_and(|w| !w.trim().is_empty()), format!("{label}: its span holds no words"));
        let unread = pattern.problems().iter().any(|p| {
            let points = matches!(
                p.code,
                Code::UnreadWords | Code::UnknownStitch | Code::UndefinedStitch | Code::UnclosedMark | Code::Limit
            );
            points && tally.span.start <= p.span.start && p.span.end <= tally.span.end
        });
        law(tally.read || unread, format!("{label}: it is not read, and no problem points at its words"));
        if let (true, Some(offered), Some(used)) = (tally.read, tally.offered, tally.used) {
            let pointed = pattern.problems().iter().any(|p| p.is_error() || p.span.start >= tally.span.start);
            law(offered == used || pointed, format!("{label}: {used} used of {offered}, and nobody says so"));
        }
    }
    let errors = pattern.problems().iter().any(|p| p.is_error());
    for tally in pattern.worked().tallies.iter().filter(|t| t.read) {
        for stated in &tally.stated {
            let agrees = tally.agrees_with(stated);
            let (label, of) = (&tally.label, stated.of.name());
            law(agrees || errors, format!("{label}: its {} {of} do not agree, and nobody says so", stated.count));
        }
    }
    for problem in pattern.problems() {
        let span = problem.span;
        let code = problem.code.as_str();
        law(text.get(span.start..span.end).is_some(), format!("{code}: {span:?} is no part of the text"));
        law(!problem.message.ends_with('.'), format!("{code}: the message ends in a full stop: {}", problem.message));
        let first = problem.message.chars().next();
        law(first.is_some_and(|c| !c.is_uppercase()), format!("{code}: upper case: {}", problem.message));
    }
    let again = Pattern::read_with(text, options);
    let document = |p: &Pattern| check_document(&[("case".to_owned(), p.clone())]);
    law(document(&again) == document(pattern), "read twice, it is reported in two ways".into());
    faults
}
