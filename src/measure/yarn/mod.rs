//! How much yarn a piece takes, colour by colour.
//!
//! The model: each stitch takes a length in proportion to its width (`stitch`), which a swatch can set right (`swatch`);
//! what a yarn lies unused behind the work is added (`strands`), and a tail at each end (`tails`). The published
//! measurements are those of two makers and disagree by a sixth over an area, so that the estimate is a range.

mod stitch;
mod strands;
mod swatch;
mod tails;

pub use stitch::widths_of_yarn;
pub use tails::{SEWING_TAIL_M, TAIL_M};

use super::MeasureOptions;
use super::size::INCH_MM;
use crate::craft::Stem;
use crate::fabric::Fabric;
use crate::instructions::Pattern;
use crate::layout::Sizes;
use crate::source::Span;
use crate::working::Worked;
use serde::Serialize;
use std::collections::BTreeMap;

/// Metres in a yard.
pub const YARD_M: f64 = 0.036 * INCH_MM;

/// The yarn of one colour.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct YarnUse {
    /// Its letter, as the rows name it.
    pub colour: String,
    /// Its colour as published.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub name: String,
    /// Metres, tails included.
    pub metres: f64,
    /// The least it may come to, in metres.
    pub low: f64,
    /// The most.
    pub high: f64,
    /// Yards.
    pub yards: f64,
    /// Grams, where the label's metres for 100 g are known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub grams: Option<f64>,
    /// Of the metres, what its tails take.
    pub tails: f64,
    /// Ends to weave in.
    pub ends: usize,
}

/// Something to know about a yarn.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct YarnNote {
    /// In words.
    pub message: String,
    /// Where in the text.
    pub span: Span,
}

/// What a pattern takes.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct YarnEstimate {
    /// By colour, in the order of the pattern; empty where no gauge and no swatch tells how large a stitch is.
    pub colours: Vec<YarnUse>,
    /// Long floats.
    pub notes: Vec<YarnNote>,
    /// True where a swatch was measured.
    pub calibrated: bool,
}

/// The least and most an estimate may be off by without a swatch, as shares: common practice, no source.
const UNSURE: (f64, f64) = (0.08, 0.14);
/// By how much less tall stitches may take: one of two published tests has them take a sixth less over an area.
const LESS_OF_TALL: f64 = 0.16;
/// The same with one: a hand is as even as this. Common practice, no source.
const CALIBRATED: f64 = 0.05;

/// Estimates the yarn of a pattern.
///
/// `width_mm`: the width of a stitch; `unsure`: the share it may be off by.
pub(super) fn estimate(
    text: &str,
    tree: &Pattern,
    worked: &Worked,
    sizes: &dyn Sizes,
    (width_mm, unsure): (Option<f64>, f64),
    options: &MeasureOptions,
) -> YarnEstimate {
    let fabric = &worked.fabric;
    let mut found = YarnEstimate { calibrated: options.swatch.is_some(), ..YarnEstimate::default() };
    let colours = colours(fabric);
    for colour in &colours {
        for part in 0..fabric.parts.len() {
            found.notes.extend(long_floats(fabric, part, colour, tree));
        }
    }
    found.notes.sort_by_key(|n| n.span);
    let per_width = options.swatch.as_ref().map(swatch::metres_per_width).or(width_mm.map(|mm| mm / 1000.0));
    let Some(per_width) = per_width else { return found };
    let bounds = |tall: f64| match options.swatch {
        Some(_) => (CALIBRATED, CALIBRATED),
        None => (both(UNSURE.0.max(LESS_OF_TALL * tall), unsure), both(UNSURE.1, unsure)),
    };
    for colour in colours {
        let mut one = YarnUse { name: name_of(tree, &colour), colour, ..YarnUse::default() };
        let (mut worked_m, mut tall_m) = (0.0, 0.0);
        for part in &fabric.parts {
            let index = part.index.index();
            let of_part = fabric.stitches.iter().filter(|s| fabric.row(s.row).part == part.index);
            let own = of_part.filter(|s| s.colour == one.colour);
            let (mut widths, mut tall) = (0.0, 0.0);
            for stitch in own {
                let length = stitch::of_stitch(stitch, sizes);
                widths += length;
                tall += if matches!(stitch.stem(), Stem::Tall(_)) { length } else { 0.0 };
            }
            if widths == 0.0 {
                continue;
            }
            let strand = strands::strand(fabric, index, &one.colour);
            let floats: f64 = strand.floats.iter().map(|f| f.widths).sum();
            let cuts = strand.cut.iter().map(|&id| tails::at_cut(fabric, text, &worked.tallies, id));
            let told: f64 = cuts.sum();
            let untold = strand.attached.saturating_sub(strand.cut.len());
            let copies = f64::from(part.copies.max(1));
            worked_m += copies * (widths + floats) * per_width;
            tall_m += copies * tall * per_width;
            one.tails += copies * (told + TAIL_M * (strand.attached + untold) as f64);
            one.ends += part.copies.max(1) as usize * 2 * strand.attached;
        }
        one.metres = worked_m + one.tails;
        let (less, more) = bounds(if worked_m > 0.0 { tall_m / worked_m } else { 0.0 });
        (one.low, one.high) = (worked_m * (1.0 - less) + one.tails, worked_m * (1.0 + more) + one.tails);
        one.yards = one.metres / YARD_M;
        let label = options.label_of(&one.colour).or_else(|| label_told(text, tree, &one.colour));
        one.grams = label.map(|metres| 100.0 * one.metres / metres);
        found.colours.push(one);
    }
    found
}

/// Two independent shares of doubt as one.
fn both(a: f64, b: f64) -> f64 {
    (a * a + b * b).sqrt()
}

/// Every yarn that a stitch is made in, in the order of the pattern's list, then of the work.
fn colours(fabric: &Fabric) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    for stitch in &fabric.stitches {
        if !found.contains(&stitch.colour) {
            found.push(stitch.colour.clone());
        }
    }
    found
}

fn name_of(tree: &Pattern, letter: &str) -> String {
    let yarn = tree.yarns.iter().find(|y| y.letter == letter);
    yarn.or(tree.yarns.first().filter(|_| tree.yarns.len() == 1)).map_or(String::new(), |y| y.colour.clone())
}

fn long_floats(fabric: &Fabric, part: usize, colour: &str, tree: &Pattern) -> Vec<YarnNote> {
    let strand = strands::strand(fabric, part, colour);
    let long = strand.floats.iter().filter(|f| f.along && f.stitches > strands::LONG_FLOAT);
    let one = |float: &strands::Float| {
        let row = fabric.row(fabric.stitch(float.at).row).label.to_lowercase();
        let name = name_of(tree, colour);
        let yarn = if name.is_empty() || name == colour { colour.to_owned() } else { format!("{colour} ({name})") };
        let message = format!(
            "{row}: {yarn} floats behind {} stitches; over {} it catches: work over it, or cut it",
            float.stitches,
            strands::LONG_FLOAT
        );
        YarnNote { message, span: strands::words(fabric, float) }
    };
    let mut notes: Vec<YarnNote> = long.map(one).collect();
    // a repeat has the same words every time
    notes.dedup();
    notes
}

/// The metres of 100 g that a pattern's yarn line tells: "100 g = 210 m", "(210 m per 100 g)".
fn label_told(text: &str, tree: &Pattern, letter: &str) -> Option<f64> {
    let yarn = tree.yarns.iter().find(|y| y.letter == letter)?;
    let words = text.get(yarn.span.start..yarn.span.end)?.to_lowercase();
    let amount = |units: &[&str]| {
        let bare: Vec<&str> =
            words.split(|c: char| !(c.is_alphanumeric() || c == '.')).filter(|w| !w.is_empty()).collect();
        bare.iter().enumerate().find_map(|(k, word)| {
            let split = word.find(|c: char| c.is_alphabetic()).unwrap_or(word.len());
            let (number, unit) = word.split_at(split);
            let unit = if unit.is_empty() { *bare.get(k + 1)? } else { unit };
            units.contains(&unit).then(|| number.parse::<f64>().ok()).flatten()
        })
    };
    let grams = amount(&["g", "gr", "gram", "grams"]).filter(|g| *g > 0.0)?;
    let metres = amount(&["m", "metres", "meters"]).or_else(|| Some(YARD_M * amount(&["yd", "yds", "yards"])?))?;
    (metres > 0.0).then_some(100.0 * metres / grams)
}

/// The yarn of several patterns together, by colour name, else by letter.
pub fn totals<'a>(all: impl Iterator<Item = &'a YarnEstimate>) -> Vec<YarnUse> {
    let mut by_name: BTreeMap<String, YarnUse> = BTreeMap::new();
    for one in all.flat_map(|estimate| &estimate.colours) {
        let key = if one.name.is_empty() { one.colour.clone() } else { one.name.to_lowercase() };
        let first = !by_name.contains_key(&key);
        let sum = by_name.entry(key.clone()).or_default();
        sum.colour = key;
        sum.metres += one.metres;
        sum.low += one.low;
        sum.high += one.high;
        sum.yards += one.yards;
        sum.tails += one.tails;
        sum.ends += one.ends;
        // a weight is told only where every part of it is known
        sum.grams = match (first, sum.grams, one.grams) {
            (true, _, grams) => grams,
            (false, Some(a), Some(b)) => Some(a + b),
            _ => None,
        };
    }
    by_name.into_values().collect()
}
