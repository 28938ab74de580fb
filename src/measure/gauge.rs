//! How large a stitch is, and how sure that is.

use crate::craft::{Stem, YARN_WEIGHTS, YarnWeight};
use crate::instructions::{Gauge, Pattern, RoundGauge};
use crate::layout::TrueSizes;
use crate::reading::GaugeTold;
use serde::Serialize;

/// Where a gauge comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum GaugeSource {
    /// The pattern tells it.
    Pattern,
    /// It was given beside the pattern.
    Option,
    /// The published table of yarn weights and hooks.
    Table,
}

/// A gauge in stitches, in use.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct GaugeUsed {
    /// Stitches.
    pub sts: f64,
    /// Rows; by the proportions of the stitch where they are not told.
    pub rows: f64,
    /// Over how many millimetres.
    pub over_mm: f64,
    /// Of which stitch.
    pub stitch: String,
    /// Where it comes from.
    pub source: GaugeSource,
    /// True where rows are told, not reckoned.
    pub rows_told: bool,
}

/// The measure of the first rounds, in use.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RoundGaugeUsed {
    /// First and last round.
    pub rows: [u32; 2],
    /// Across, in millimetres.
    pub across_mm: f64,
    /// Where it comes from.
    pub source: GaugeSource,
}

/// What is known of the size of a stitch.
#[derive(Clone, Debug, Default)]
pub(super) struct Scale {
    pub gauge: Option<GaugeUsed>,
    pub rounds: Option<RoundGaugeUsed>,
    /// Width of a stitch in millimetres; of a gauge of rounds only known once the piece is laid out.
    pub width_mm: Option<f64>,
    /// The share it may be off by, either way.
    pub unsure: f64,
}

/// A told gauge is met by hands to about this share: common practice, no source.
const TOLD: f64 = 0.05;

impl Scale {
    /// The scale of a pattern: by the gauge given beside it, else its own, else by its yarn and hook.
    pub(super) fn of(tree: &Pattern, given: Option<&GaugeTold>) -> Scale {
        match given {
            Some(GaugeTold::Stitches(gauge)) => return Scale::by_stitches(gauge, GaugeSource::Option),
            Some(GaugeTold::Rounds(rounds)) => return Scale::by_rounds(rounds, GaugeSource::Option),
            None => {}
        }
        let own = tree.gauge.as_ref().map(|g| Scale::by_stitches(g, GaugeSource::Pattern));
        let rounds = tree.gauge_of_rounds.as_ref().map(|r| Scale::by_rounds(r, GaugeSource::Pattern));
        match (own, rounds) {
            (Some(own), Some(rounds)) => Scale { rounds: rounds.rounds, ..own },
            (Some(scale), None) | (None, Some(scale)) => scale,
            (None, None) => {
                let weight = tree.yarns.iter().find_map(|y| YarnWeight::of(y.weight?));
                weight.map(|w| Scale::by_table(w, tree.hook_mm)).unwrap_or_default()
            }
        }
    }

    fn by_stitches(gauge: &Gauge, source: GaugeSource) -> Scale {
        let sizes = gauge.rows.map_or(TrueSizes::by_rule(), |rows| TrueSizes::by_gauge(gauge.stem, gauge.sts, rows));
        let rows = gauge.rows.unwrap_or_else(|| gauge.sts / height(sizes, gauge.stem));
        let used = GaugeUsed {
            sts: gauge.sts,
            rows,
            over_mm: gauge.over_mm,
            stitch: gauge.stem.to_string(),
            source,
            rows_told: gauge.rows.is_some(),
        };
        Scale { width_mm: Some(gauge.over_mm / gauge.sts), gauge: Some(used), rounds: None, unsure: TOLD }
    }

    fn by_rounds(rounds: &RoundGauge, source: GaugeSource) -> Scale {
        let used = RoundGaugeUsed { rows: rounds.rows, across_mm: rounds.across_mm, source };
        Scale { gauge: None, rounds: Some(used), width_mm: None, unsure: TOLD }
    }

    /// By the published table.
    pub(super) fn by_table(weight: YarnWeight, hook_mm: Option<f64>) -> Scale {
        const FOUR_INCHES_MM: f64 = 101.6;
        let (sts, unsure) = weight.gauge(hook_mm);
        let used = GaugeUsed {
            sts,
            rows: sts / height(TrueSizes::by_rule(), Stem::Single),
            over_mm: FOUR_INCHES_MM,
            stitch: Stem::Single.to_string(),
            source: GaugeSource::Table,
            rows_told: false,
        };
        Scale { width_mm: Some(FOUR_INCHES_MM / sts), gauge: Some(used), rounds: None, unsure }
    }

    /// The proportions of its stitches.
    pub(super) fn sizes(&self, tree: &Pattern, given: Option<&GaugeTold>) -> TrueSizes {
        let told = match given {
            Some(GaugeTold::Stitches(gauge)) => Some(gauge),
            Some(GaugeTold::Rounds(_)) => None,
            None => tree.gauge.as_ref(),
        };
        let by = told.and_then(|g| Some(TrueSizes::by_gauge(g.stem, g.sts, g.rows?)));
        by.unwrap_or_else(TrueSizes::by_rule)
    }
}

fn height(sizes: TrueSizes, stem: Stem) -> f64 {
    use crate::layout::Sizes;
    sizes.height(stem)
}

/// Three neighbouring weights of the table, that of the pattern in the middle where it has one.
pub(super) fn three_weights(tree: &Pattern) -> [YarnWeight; 3] {
    let own = tree.yarns.iter().find_map(|y| y.weight).unwrap_or(4);
    let first = usize::from(own).saturating_sub(2).min(YARN_WEIGHTS.len() - 3);
    [YARN_WEIGHTS[first], YARN_WEIGHTS[first + 1], YARN_WEIGHTS[first + 2]]
}
