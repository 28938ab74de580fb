//! What an old book leaves to be understood.

use crate::source::{Code, Problem, Severity};

/// Old books say what is worked and often not where: a row that does not come out with the row below is pointed at,
/// and may still be right. A count that is stated and not met stays an error.
pub(super) fn lenient(problem: Problem) -> Problem {
    let places = matches!(
        problem.code,
        Code::PlacesLeft | Code::PlacesShort | Code::RepeatRemainder | Code::FoundationLength | Code::TurningChain
    );
    match places && problem.is_error() {
        true => problem
            .with_severity(Severity::Warning)
            .with_hint("old books leave places to be understood; say which stitches are missed, and it can be held against the row below"),
        false => problem,
    }
}
