//! The orchard's patterns, from their words.

use fanwise::fabric::Fabric;
use fanwise::{reading, working};

const ORCHARD: [(&str, &str); 5] = [
    ("p-pear", include_str!("../../examples/orchard/pear.txt")),
    ("p-leaf", include_str!("../../examples/orchard/leaf.txt")),
    ("p-acorn", include_str!("../../examples/orchard/acorn.txt")),
    ("p-apple", include_str!("../../examples/orchard/apple.txt")),
    ("p-coaster", include_str!("../../examples/orchard/coaster.txt")),
];

pub(super) fn all() -> Vec<(&'static str, Fabric)> {
    ORCHARD.into_iter().map(|(name, text)| (name, fabric_of(name, text))).collect()
}

fn fabric_of(name: &str, text: &str) -> Fabric {
    let (pattern, mut problems) = reading::read(text, &Default::default());
    let worked = working::work(&pattern);
    problems.extend(worked.problems);
    for problem in problems {
        println!("{name}: {} {:?}", problem.message, text.get(problem.span.start..problem.span.end));
    }
    worked.fabric
}
