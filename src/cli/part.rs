//! Part of a chart: the options that say which.

use clap::Args;
use fanwise::face::PartChoice;
use std::ops::RangeInclusive;

#[derive(Args, Clone)]
pub(super) struct PartArgs {
    /// Draw one part of the pattern, by its name
    #[arg(long, value_name = "NAME")]
    part: Option<String>,
    /// Draw some rows or rounds, by their numbers: 1-3 or 2,5-7; what they stand on is drawn in grey
    #[arg(long, value_name = "ROWS", value_delimiter = ',', value_parser = range)]
    rows: Vec<RangeInclusive<u32>>,
    /// Draw one repeat: of rows a strip with its number of stitches, of rounds a sector with how often it is worked
    #[arg(long)]
    one_repeat: bool,
    /// Take shaped pieces (toys, hats) apart: a disc as far as it grows, the other rounds laid open, a table of rounds
    #[arg(long, conflicts_with_all = ["one_repeat", "squares", "part", "rows"])]
    shaped: bool,
    /// Draw layers that lie behind each other apart, each on the round it stands on
    #[arg(long, conflicts_with_all = ["one_repeat", "squares", "part", "rows", "shaped"])]
    layers: bool,
    /// Draw the parts as plain shapes with their names, and the words that say how they are sewn together
    #[arg(long, conflicts_with_all = ["one_repeat", "squares", "part", "rows", "shaped", "layers"])]
    placement: bool,
    /// Draw mesh or filet on squares: one for each cell, filled where its stitches are worked
    #[arg(long, conflicts_with = "one_repeat")]
    squares: bool,
}

impl PartArgs {
    /// The part asked for.
    pub(super) fn choice(&self) -> PartChoice {
        PartChoice::default()
            .with_part(self.part.clone())
            .with_rows(self.rows.clone())
            .with_one_repeat(self.one_repeat)
            .with_squares(self.squares)
            .with_shaped(self.shaped)
            .with_layers(self.layers)
            .with_placement(self.placement)
    }
}

pub(super) fn range(told: &str) -> Result<RangeInclusive<u32>, String> {
    let number = |n: &str| n.trim().parse::<u32>().map_err(|_| format!("{n:?} is no number of a row: write 3 or 1-3"));
    match told.split_once('-') {
        None => number(told).map(|n| n..=n),
        Some((from, to)) => {
            let (from, to) = (number(from)?, number(to)?);
            if from > to {
                return Err(format!("it runs backwards: write {to}-{from}"));
            }
            Ok(from..=to)
        }
    }
}
