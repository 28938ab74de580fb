//! What `measure` tells of a piece, held against published figures and against reckoning by hand.

#[path = "measure/curve.rs"]
mod curve;
#[path = "measure/rounds.rs"]
mod rounds;
#[path = "measure/size.rs"]
mod size;
#[path = "measure/yarn.rs"]
mod yarn;

use fanwise::measure::Measured;
use fanwise::{MeasureOptions, Pattern};

/// Measures a text that must be sound.
fn measured(text: &str) -> Measured {
    measured_with(text, &MeasureOptions::default())
}

fn measured_with(text: &str, options: &MeasureOptions) -> Measured {
    let pattern = Pattern::read(text);
    assert!(pattern.is_sound(), "{text}\n{:#?}", pattern.problems());
    pattern.measure(options)
}

/// A pattern of the orchard.
fn orchard(name: &str) -> String {
    let path = format!("{}/examples/orchard/{name}.txt", env!("CARGO_MANIFEST_DIR"));
    std::fs::read_to_string(path).expect("the pattern is there")
}
